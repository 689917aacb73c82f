/* The timeline as a viewer and a player meet it. */
#include "checks/checks.h"

#include "base/buf.h"

/* A large video host's rules for chapters, as its public help pages state them: the first at 0:00, at
 * least three, each at least ten seconds (support.vevo.com "Chapters"). */
static const struct ratio chapter_least = {10, 1};
enum { CHAPTERS_LEAST = 3 };
/* A gap of more than this is worth a note: a viewer takes it for a fault. Common practice. */
static const struct ratio gap_most = {10, 1};

static bool is_sound(const struct item *i)
{
    return i->kind == ITEM_SAY || i->kind == ITEM_PLAY || i->kind == ITEM_DEMO || i->kind == ITEM_SILENCE;
}

static const char *const kinds[] = {"chapter", "narration", "clip", "demo", "picture", "silence"};

static struct ratio end_of(const struct item *i)
{
    return ratio_plus(i->start, i->length);
}

/* An estimate is told to the second: more would look measured. */
static struct str end_text(const struct model *m, const struct item *i)
{
    struct ratio end = end_of(i);
    if (!i->estimated)
        return clock_text(m->arena, end, false);
    return str_printf(m->arena, "about %.*s",
                      STR_ARG(clock_text(m->arena, ratio_int(ratio_round(end)), true)));
}

/* What the estimate rests on; empty for an item whose length is known. */
static struct str estimate_text(const struct model *m, const struct item *i)
{
    if (!i->estimated)
        return STR("");
    if (i->kind != ITEM_SAY)
        return STR(": its bars at their tempo");
    char speed[RATIO_TEXT_MAX];
    return str_printf(m->arena, ": %u words at %s a minute", i->prose.n_words,
                      ratio_text(m->profile->speech, false, speed));
}

static void report_overlap(const struct model *m, const struct item *before, const struct item *item)
{
    struct diag *d = diag_add(m->diags, DIAG_TIME_OVERLAP, item->begins,
                              "this %s begins at %.*s, before the %s that began at %.*s ends",
                              kinds[item->kind], STR_ARG(clock_text(m->arena, item->start, false)),
                              kinds[before->kind], STR_ARG(clock_text(m->arena, before->start, false)));
    diag_place(m->diags, d, before->begins, "ends at %.*s%.*s", STR_ARG(end_text(m, before)),
               STR_ARG(estimate_text(m, before)));
    if (before->estimated && before->kind == ITEM_SAY)
        diag_help(m->diags, d, "begin later or say less; once the take is recorded, give its times: "
                               "`say from %.*s to … {`", STR_ARG(clock_text(m->arena, before->start, false)));
    else
        diag_help(m->diags, d, "begin at %.*s, or end the %s earlier",
                  STR_ARG(clock_text(m->arena, end_of(before), false)), kinds[before->kind]);
}

static void check_pair(const struct model *m, const struct item *before, const struct item *item)
{
    struct ratio end = end_of(before);
    if (ratio_lt(item->start, end)) {
        report_overlap(m, before, item);
    } else if (ratio_lt(gap_most, ratio_minus(item->start, end)) && !m->timeline_lost) {
        struct diag *d =
            diag_add(m->diags, DIAG_TIME_GAP, item->begins, "nothing is heard from %.*s to %.*s",
                     STR_ARG(end_text(m, before)), STR_ARG(clock_text(m->arena, item->start, false)));
        diag_place(m->diags, d, before->begins, "ends at %.*s%.*s", STR_ARG(end_text(m, before)),
                   STR_ARG(estimate_text(m, before)));
        diag_help(m->diags, d, "if it is meant, say so: `then silence for 12 s`");
    }
}

/* Pairs of neighbours; false if the timeline runs backwards, so that nothing can be said of lengths. */
static bool check_order(const struct model *m)
{
    const struct item *before = NULL, *sound = NULL; /* the sound that ends last so far */
    bool forwards = true;
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct item *item = m->items[i];
        if (item->time_lost) { /* and so nothing is known of where the next ones lie */
            before = sound = NULL;
            continue;
        }
        if (before && ratio_lt(item->start, before->start)) {
            struct diag *d = diag_add(m->diags, DIAG_TIME_BACKWARDS, item->begins,
                                      "the timeline runs back from %.*s to %.*s",
                                      STR_ARG(clock_text(m->arena, before->start, false)),
                                      STR_ARG(clock_text(m->arena, item->start, false)));
            diag_place(m->diags, d, before->begins, "this %s stands before it", kinds[before->kind]);
            diag_help(m->diags, d, "put the statements in the order of their times, or mend the time");
            forwards = false;
            sound = NULL;
        } else if (sound && is_sound(item) && item->timed) {
            check_pair(m, sound, item);
        }
        before = item;
        if (is_sound(item) && (!sound || ratio_le(end_of(sound), end_of(item))))
            sound = item;
    }
    return forwards;
}

static void check_chapter_length(const struct model *m, const struct item *chapter, struct ratio end)
{
    struct ratio length = ratio_minus(end, chapter->start);
    if (ratio_le(chapter_least, length) || ratio_lt(length, RATIO_ZERO))
        return;
    struct diag *d = length.num == 0 ? diag_add(m->diags, DIAG_CHAPTER_SHORT, chapter->where,
                                                "the chapter \"%.*s\" holds nothing", STR_ARG(chapter->title))
                                     : diag_add(m->diags, DIAG_CHAPTER_SHORT, chapter->where,
                                                "the chapter \"%.*s\" lasts %.*f s", STR_ARG(chapter->title),
                                                length.den == 1 ? 0 : 3, ratio_double(length));
    diag_note(m->diags, d, "a large host drops the whole list if one chapter is shorter than 10 s");
}

/* Chapters up to the first item whose time could not be read. */
static void check_chapters(const struct model *m)
{
    const struct item *last = NULL, *first = NULL;
    uint32_t n = 0;
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct item *item = m->items[i];
        if (item->time_lost)
            return;
        if (item->kind != ITEM_CHAPTER)
            continue;
        if (last)
            check_chapter_length(m, last, item->start);
        last = item;
        first = first ? first : item;
        n++;
    }
    if (!first)
        return;
    check_chapter_length(m, last, m->length);
    if (first->start.num) {
        struct diag *d = diag_add(m->diags, DIAG_CHAPTER_FIRST, first->begins,
                                  "the first chapter begins at %.*s, not at 0:00",
                                  STR_ARG(clock_text(m->arena, first->start, false)));
        diag_note(m->diags, d, "a large host then shows no chapters at all");
    }
    if (n < CHAPTERS_LEAST) {
        struct diag *d = diag_add(m->diags, DIAG_CHAPTER_FEW, first->where, "the episode has %s",
                                  n == 1 ? "one chapter" : "two chapters");
        diag_note(m->diags, d, "a large host shows chapters from three up");
    }
}

void check_timeline(const struct model *m)
{
    if (m->is_library)
        return; /* it has none: reported */
    if (check_order(m) && !m->timeline_lost)
        check_chapters(m);
}
