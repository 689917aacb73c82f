/* The timeline as a viewer and a player meet it. */
#include "checks/checks.h"

/* A large video host's rules for chapters, as its public help pages state them: the first at 0:00, at least three, each at least ten
 * seconds (support.vevo.com "Chapters"). */
static const struct ratio chapter_least = {10, 1};
enum { CHAPTERS_LEAST = 3 };
/* A gap of more than this is worth a note: a viewer takes it for a fault. Common practice. */
static const struct ratio gap_most = {10, 1};

static bool is_sound(const struct item *i)
{
    return i->kind == ITEM_SAY || i->kind == ITEM_PLAY || i->kind == ITEM_DEMO || i->kind == ITEM_SILENCE;
}

static const char *const kinds[] = {"chapter", "narration", "clip", "demo", "picture", "silence"};

static void check_pair(const struct model *m, const struct item *before, const struct item *item)
{
    struct ratio end = ratio_plus(before->start, before->length);
    struct str at = clock_text(m->arena, item->start, false), ends = clock_text(m->arena, end, false);
    if (ratio_lt(item->start, end)) {
        struct diag *d = diag_add(m->diags, DIAG_TIME_OVERLAP, item->where, "this %s begins at %.*s, before the %s ends at %.*s",
                                  kinds[item->kind], STR_ARG(at), kinds[before->kind], STR_ARG(ends));
        diag_place(m->diags, d, before->where, "it ends at %.*s%s", STR_ARG(ends), before->estimated ? ", by estimate" : "");
    } else if (ratio_lt(gap_most, ratio_minus(item->start, end))) {
        diag_add(m->diags, DIAG_TIME_GAP, item->where, "nothing happens from %.*s to %.*s", STR_ARG(ends), STR_ARG(at));
    }
}

static void check_order(const struct model *m)
{
    const struct item *before = NULL, *sound = NULL;
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct item *item = m->items[i];
        if (before && ratio_lt(item->start, before->start)) {
            struct diag *d = diag_add(m->diags, DIAG_TIME_BACKWARDS, item->where, "the timeline runs back from %.*s to %.*s",
                                      STR_ARG(clock_text(m->arena, before->start, false)),
                                      STR_ARG(clock_text(m->arena, item->start, false)));
            diag_place(m->diags, d, before->where, "this stands before it");
        } else if (sound && is_sound(item) && item->timed) {
            check_pair(m, sound, item);
        }
        before = item;
        if (is_sound(item))
            sound = item;
    }
}

static void check_chapters(const struct model *m)
{
    const struct item *last = NULL;
    uint32_t n = 0;
    for (uint32_t i = 0; i <= m->n_items; i++) {
        const struct item *item = i < m->n_items ? m->items[i] : NULL;
        if (item && item->kind != ITEM_CHAPTER)
            continue;
        struct ratio at = item ? item->start : m->length;
        if (item && !n && at.num)
            diag_add(m->diags, DIAG_CHAPTER_FIRST, item->where, "the first chapter begins at %.*s, not at 0:00",
                     STR_ARG(clock_text(m->arena, at, false)));
        if (last && ratio_lt(ratio_minus(at, last->start), chapter_least) && ratio_le(last->start, at)) {
            struct diag *d = diag_add(m->diags, DIAG_CHAPTER_SHORT, last->where, "the chapter \"%.*s\" lasts %.1f s", STR_ARG(last->title),
                                      ratio_double(ratio_minus(at, last->start)));
            diag_note(m->diags, d, "a large host drops the whole list if one chapter is shorter than 10 s");
        }
        last = item;
        n += item != NULL;
    }
    if (n > 0 && n < CHAPTERS_LEAST)
        for (uint32_t i = 0; i < m->n_items; i++)
            if (m->items[i]->kind == ITEM_CHAPTER) {
                diag_add(m->diags, DIAG_CHAPTER_FEW, m->items[i]->where, "%s: a large host shows chapters from three up",
                         n == 1 ? "one chapter" : "two chapters");
                break;
            }
}

void check_timeline(const struct model *m)
{
    check_order(m);
    check_chapters(m);
}
