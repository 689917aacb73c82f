/* markdown.c - the episode as show notes. */
#include "back/back.h"
#include "back/clock.h"
#include "back/markdown_parts.h"
#include "back/segments.h"

#include <inttypes.h>
#include <stdlib.h>

/* ---- words ------------------------------------------------------------------------------------------ */

struct str length_text(struct arena *a, struct ratio seconds)
{
    struct buf b = {0};
    buf_seconds(&b, seconds_ms(seconds));
    while (b.p[b.n - 1] == '0')
        b.n--;
    if (b.p[b.n - 1] == '.')
        b.n--;
    buf_put(&b, " s");
    return buf_take(&b, a);
}

/* The bar that ends at `end`, or holds it. */
static const struct bar *last_bar(const struct passage *p, struct ratio end)
{
    const struct bar *found = NULL;
    for (uint32_t i = 0; i < p->n_bars && ratio_lt(p->bars[i].onset, end); i++)
        found = &p->bars[i];
    return found;
}

struct str stretch_text(struct arena *a, const struct passage *p, struct stretch s)
{
    const struct bar *first = passage_bar_at(p, s.onset), *last = last_bar(p, s.end);
    if (!first || !last)
        return STR("all of it");
    bool bars = ratio_eq(first->onset, s.onset) && ratio_eq(ratio_plus(last->onset, last->length), s.end);
    if (bars && first == last)
        return str_printf(a, "bar %d", first->number);
    if (bars)
        return str_printf(a, "bars %d to %d", first->number, last->number);
    return str_printf(a, "%.*s up to %.*s", STR_ARG(place_text(a, p, s.onset)),
                      STR_ARG(place_text(a, p, s.end)));
}

struct str work_text(struct arena *a, const struct work *w)
{
    return w->title.n ? str_printf(a, "\"%.*s\"", STR_ARG(w->title)) : w->symbol.name;
}

/* The bars of a score are kept as typed, with or without the word. */
static const char *bars_before(struct str bars)
{
    if (bars.n == 0)
        return "";
    return bars.p[0] >= '0' && bars.p[0] <= '9' ? ", bars " : ", ";
}

struct str basis_text(struct arena *a, const struct passage *p)
{
    if (!p->has_basis)
        return STR("not stated");
    switch (p->basis) {
    case BASIS_EAR:
        return STR("by ear");
    case BASIS_REDUCTION:
        return STR("from a reduction");
    case BASIS_GUESS:
        return STR("a guess");
    case BASIS_SCORE:
        return str_printf(a, "score %.*s%s%.*s", p->score ? (int)p->score->symbol.name.n : 0,
                          p->score ? p->score->symbol.name.p : "", bars_before(p->score_bars),
                          STR_ARG(p->score_bars));
    }
    return STR("not stated");
}

/* ---- head -------------------------------------------------------------------------------------------- */

static void put_summary(struct md *w)
{
    const struct model *m = w->m;
    uint32_t all = 0, holds = 0, fails = 0, undecided = 0, by_ear = 0, uncertain = 0;
    for (uint32_t i = 0; i < m->n_claims; i++) {
        const struct claim *c = m->claims[i];
        if (!md_number_of(w, c))
            continue;
        all++;
        holds += c->verdict == VERDICT_HOLDS;
        fails += c->verdict == VERDICT_FAILS;
        undecided += c->verdict == VERDICT_UNDECIDED;
        by_ear += c->by_ear;
        uncertain += c->on_uncertain;
    }
    if (all == 0)
        return;
    md_printf(w, "%" PRIu32 " %s: %" PRIu32 " %s, %" PRIu32 " %s, %" PRIu32 " undecided", all,
              all == 1 ? "claim" : "claims", holds, holds == 1 ? "holds" : "hold", fails,
              fails == 1 ? "fails" : "fail", undecided);
    if (by_ear)
        md_printf(w, "; %" PRIu32 " by ear", by_ear);
    if (uncertain)
        md_printf(w, "; %" PRIu32 " on an uncertain note", uncertain);
    md_raw(w, ".");
    md_gap(w);
}

static void put_head(struct md *w)
{
    const struct model *m = w->m;
    md_heading(w, 1, m->title);
    if (m->series.n) {
        md_text(w, m->series);
        md_raw(w, m->number.n ? ", " : "");
    }
    if (m->number.n) {
        md_raw(w, "number ");
        md_text(w, m->number);
    }
    if (m->date.n) {
        md_raw(w, w->line_start ? "" : ", ");
        md_text(w, m->date);
    }
    if (!w->line_start)
        md_gap(w);
    put_summary(w);
    if (m->n_holes) {
        md_printf(w, "%" PRIu32 " %s still open: see the end.", m->n_holes,
                  m->n_holes == 1 ? "thing is" : "things are");
        md_gap(w);
    }
}

/* ---- chapters -------------------------------------------------------------------------------------------
 */

static int by_start(const void *a, const void *b)
{
    const struct item *const *x = a, *const *y = b;
    return ratio_cmp((*x)->start, (*y)->start);
}

static void put_chapter(struct md *w, struct ratio start, struct str title)
{
    md_bullet(w, 0);
    md_text(w, clock_text(w->arena, start, true));
    md_raw(w, " ");
    md_text(w, title);
    md_end_line(w);
}

/* Hosts of videos read such a list only if it begins at 0:00, so the episode itself stands there if no
 * chapter does. */
static void put_chapters(struct md *w)
{
    const struct model *m = w->m;
    const struct item **chapters = ARENA_NEW_ARRAY(w->arena, const struct item *, m->n_items);
    uint32_t n = 0;
    for (uint32_t i = 0; i < m->n_items; i++)
        if (m->items[i]->kind == ITEM_CHAPTER)
            chapters[n++] = m->items[i];
    if (n == 0)
        return;
    qsort(chapters, n, sizeof *chapters, by_start);
    md_heading(w, 2, STR("Chapters"));
    if (ratio_floor(chapters[0]->start) > 0)
        put_chapter(w, RATIO_ZERO, m->title);
    for (uint32_t i = 0; i < n; i++)
        put_chapter(w, chapters[i]->start, chapters[i]->title);
    md_gap(w);
}

/* ---- narration --------------------------------------------------------------------------------------------
 */

static void put_music_words(struct md *w, const struct item *item)
{
    for (uint32_t i = 0; i < item->n_passages; i++) {
        const struct passage *p = item->passages[i];
        md_raw(w, i ? "; " : ": ");
        if (p->work) {
            md_text(w, work_text(w->arena, p->work));
            md_raw(w, ", ");
        }
        md_text(w, p->symbol.name);
        md_raw(w, " ");
        md_text(w, stretch_text(w->arena, p, item_stretch(item, i)));
    }
    if (item->figure) {
        md_raw(w, item->n_passages ? ", figure " : ": figure ");
        md_text(w, item->figure->symbol.name);
    }
}

/* A line in brackets for what is heard or seen between the words. */
static void put_event(struct md *w, const struct item *item, const char *what)
{
    md_raw(w, "\\[");
    md_text(w, clock_text(w->arena, item->start, true));
    md_raw(w, " ");
    md_raw(w, what);
    put_music_words(w, item);
    if (item->recording) {
        md_raw(w, ", from ");
        md_text(w, item->recording->title.n ? item->recording->title : item->recording->symbol.name);
    }
    if (item->form.n) {
        md_raw(w, ", as ");
        md_text(w, item->form);
    }
    if (item->length.num > 0) {
        md_raw(w, ", ");
        md_text(w, length_text(w->arena, item->length));
    }
    md_raw(w, "\\]");
    md_gap(w);
}

static void put_narration(struct md *w)
{
    const struct model *m = w->m;
    if (m->n_items == 0)
        return;
    md_heading(w, 2, STR("Narration"));
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct item *item = m->items[i];
        switch (item->kind) {
        case ITEM_CHAPTER:
            md_heading(w, 3, item->title);
            break;
        case ITEM_SAY:
            md_prose(w, &item->prose);
            break;
        case ITEM_PLAY:
            put_event(w, item, "music");
            break;
        case ITEM_DEMO:
            put_event(w, item, "example");
            break;
        case ITEM_SHOW:
            put_event(w, item, "picture");
            break;
        case ITEM_SILENCE:
            put_event(w, item, "silence");
            break;
        }
    }
}

/* ---- claims
 * ------------------------------------------------------------------------------------------------ */

static const char *verdict_text(const struct claim *c)
{
    switch (c->verdict) {
    case VERDICT_HOLDS:
        return "holds";
    case VERDICT_FAILS:
        return "fails";
    case VERDICT_UNDECIDED:
        return "undecided";
    }
    return "";
}

static void put_detail(struct md *w, const char *name, struct str text)
{
    if (text.n == 0)
        return;
    md_bullet(w, 1);
    md_raw(w, name);
    md_raw(w, ": ");
    md_message(w, text);
    md_end_line(w);
}

static void put_mark(struct md *w, const struct numbered *number)
{
    md_bullet(w, 0);
    md_printf(w, "**%c%" PRIu32 "** ", number->letter, number->number);
}

static void put_claim(struct md *w, const struct claim *c, const struct numbered *number)
{
    put_mark(w, number);
    md_text(w, c->text);
    md_printf(w, ": **%s**%s", verdict_text(c), c->on_uncertain ? ", on an uncertain note" : "");
    md_end_line(w);
    bool same = str_eq(c->reason, c->evidence);
    put_detail(w, "Evidence", c->evidence);
    if (!same && c->verdict != VERDICT_HOLDS)
        put_detail(w, c->verdict == VERDICT_FAILS ? "Against it" : "Missing", c->reason);
    put_detail(w, "This would hold", c->instead);
    put_detail(w, "Convention", c->convention);
    if (c->passage)
        put_detail(w, "Basis",
                   str_printf(w->arena, "%.*s, %.*s", STR_ARG(c->passage->symbol.name),
                              STR_ARG(basis_text(w->arena, c->passage))));
    else if (c->by_ear)
        put_detail(w, "Basis", STR("by ear"));
    if (c->uses == 0)
        put_detail(w, "In the narration", STR("no words refer to it"));
}

static void put_claims(struct md *w)
{
    bool any = false;
    for (uint32_t i = 0; i < w->m->n_claims; i++) {
        const struct numbered *number = md_number_of(w, w->m->claims[i]);
        if (!number)
            continue;
        if (!any)
            md_heading(w, 2, STR("Claims"));
        any = true;
        put_claim(w, w->m->claims[i], number);
    }
    if (any)
        md_gap(w);
}

/* ---- facts, readings, sources
 * ---------------------------------------------------------------------------------- */

/* " [S1, page 41]" */
static void put_source_mark(struct md *w, const struct citation *source, struct str page)
{
    const struct numbered *number = md_number_of(w, source);
    if (!number)
        return;
    md_printf(w, " \\[%c%" PRIu32, number->letter, number->number);
    if (page.n) {
        md_raw(w, ", page ");
        md_text(w, page);
    }
    md_raw(w, "\\]");
}

static void put_facts(struct md *w)
{
    bool any = false;
    for (uint32_t i = 0; i < w->m->n_facts; i++) {
        const struct fact *f = w->m->facts[i];
        const struct numbered *number = md_number_of(w, f);
        if (!number)
            continue;
        if (!any)
            md_heading(w, 2, STR("Facts"));
        any = true;
        put_mark(w, number);
        md_text(w, f->text);
        if (f->source)
            put_source_mark(w, f->source, f->page);
        else
            md_raw(w, " (no source given)");
        md_end_line(w);
    }
    if (any)
        md_gap(w);
}

static void put_readings(struct md *w)
{
    bool any = false;
    for (uint32_t i = 0; i < w->m->n_readings; i++) {
        const struct numbered *number = md_number_of(w, w->m->readings[i]);
        if (!number)
            continue;
        if (!any) {
            md_heading(w, 2, STR("Readings"));
            md_raw(w, "The author's readings: interpretations, not proven.");
            md_gap(w);
        }
        any = true;
        put_mark(w, number);
        md_text(w, w->m->readings[i]->text);
        md_raw(w, " (the author's reading, not proven)");
        md_end_line(w);
    }
    if (any)
        md_gap(w);
}

/* An address that CommonMark takes between < and > without change. */
static bool plain_url(struct str url)
{
    if (!str_starts(url, STR("http://")) && !str_starts(url, STR("https://")))
        return false;
    for (uint32_t i = 0; i < url.n; i++)
        if ((unsigned char)url.p[i] <= ' ' || strchr("<>\\\"`{}|^[]*_&", url.p[i]))
            return false;
    return true;
}

static void put_part(struct md *w, bool *first, const char *before, struct str text)
{
    if (text.n == 0)
        return;
    md_raw(w, *first ? "" : ", ");
    md_raw(w, before);
    md_text(w, text);
    *first = false;
}

static void put_source(struct md *w, const struct citation *c)
{
    bool first = true;
    put_part(w, &first, "", c->author);
    if (c->title.n)
        put_part(w, &first, "", str_printf(w->arena, "\"%.*s\"", STR_ARG(c->title)));
    put_part(w, &first, "", c->publisher);
    if (c->year)
        put_part(w, &first, "", str_printf(w->arena, "%d", c->year));
    put_part(w, &first, "page ", c->page);
    if (plain_url(c->url)) {
        md_raw(w, first ? "<" : ", <");
        buf_str_put(w->out, c->url);
        md_raw(w, ">");
    } else {
        put_part(w, &first, "", c->url);
    }
    put_part(w, &first, "", c->note);
    if (c->page.n == 0 && c->url.n == 0)
        md_raw(w, " (no page or address)");
    if (c->uses == 0)
        md_raw(w, " (not cited)");
}

static void put_sources(struct md *w)
{
    bool any = false;
    for (uint32_t i = 0; i < w->m->n_citations; i++) {
        const struct numbered *number = md_number_of(w, w->m->citations[i]);
        if (!number)
            continue;
        if (!any)
            md_heading(w, 2, STR("Sources"));
        any = true;
        put_mark(w, number);
        put_source(w, w->m->citations[i]);
        md_end_line(w);
    }
    if (any)
        md_gap(w);
}

/* ---- music
 * -------------------------------------------------------------------------------------------------------- */

static void put_uncertain(struct md *w, const struct passage *p)
{
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_notes; k++) {
            if (!part->notes[k].uncertain)
                continue;
            char text[PITCH_TEXT_MAX];
            put_detail(w, "Uncertain",
                       str_printf(w->arena, "%s in %.*s, %.*s",
                                  pitch_text(part->notes[k].pitch, SIGN_ASCII, text),
                                  STR_ARG(part->symbol.name),
                                  STR_ARG(place_text(w->arena, p, part->notes[k].onset))));
        }
    }
    for (uint32_t i = 0; i < p->n_harmony; i++)
        if (p->harmony[i].uncertain)
            put_detail(w, "Uncertain",
                       str_printf(w->arena, "%.*s, %.*s", STR_ARG(p->harmony[i].harmony.text),
                                  STR_ARG(place_text(w->arena, p, p->harmony[i].onset))));
}

static void put_heard(struct md *w, const struct passage *p)
{
    for (uint32_t i = 0; i < p->n_heard; i++) {
        const struct heard *h = &p->heard[i];
        put_detail(w, "Heard",
                   str_printf(w->arena, "%.*s, %.*s to %.*s", STR_ARG(h->recording->symbol.name),
                              STR_ARG(recording_text(w->arena, h->recording, h->from)),
                              STR_ARG(recording_text(w->arena, h->recording, h->to))));
    }
}

/* Passages with where they are heard and how their notes were got. */
static void put_music(struct md *w)
{
    const struct model *m = w->m;
    bool any = false;
    for (uint32_t i = 0; i < m->n_passages; i++) {
        const struct passage *p = m->passages[i];
        if (p->symbol.library)
            continue;
        if (!any)
            md_heading(w, 2, STR("Music"));
        any = true;
        md_bullet(w, 0);
        md_raw(w, "**");
        md_text(w, p->symbol.name);
        md_raw(w, "**");
        if (p->work) {
            md_raw(w, ", from ");
            md_text(w, work_text(w->arena, p->work));
            if (p->work->composer.n) {
                md_raw(w, " by ");
                md_text(w, p->work->composer);
            }
        }
        md_end_line(w);
        put_heard(w, p);
        put_detail(w, "Notes", basis_text(w->arena, p));
        put_uncertain(w, p);
    }
    if (any)
        md_gap(w);
}

/* ---- the rest
 * ------------------------------------------------------------------------------------------------------- */

static void put_spellings(struct md *w)
{
    const struct model *m = w->m;
    if (m->n_spellings == 0)
        return;
    md_heading(w, 2, STR("Spelling"));
    for (uint32_t i = 0; i < m->n_spellings; i++) {
        const struct spelling *s = m->spellings[i];
        md_bullet(w, 0);
        md_text(w, s->right);
        for (uint32_t k = 0; k < s->n_wrong; k++) {
            md_raw(w, k ? ", " : ", never ");
            md_text(w, s->wrong[k]);
        }
        if (s->said.n) {
            md_raw(w, "; said ");
            md_text(w, s->said);
        }
        md_end_line(w);
    }
    md_gap(w);
}

static void put_errata(struct md *w)
{
    const struct model *m = w->m;
    if (m->n_errata == 0)
        return;
    md_heading(w, 2, STR("Corrections"));
    for (uint32_t i = 0; i < m->n_errata; i++) {
        const struct erratum *e = m->errata[i];
        md_bullet(w, 0);
        if (e->date.n) {
            md_text(w, e->date);
            md_raw(w, ", ");
        }
        md_raw(w, "claim ");
        md_text(w, e->claim);
        md_end_line(w);
        put_detail(w, "Said", e->said);
        put_detail(w, "True", e->truth);
    }
    md_gap(w);
}

static void put_holes(struct md *w)
{
    const struct model *m = w->m;
    if (m->n_holes == 0)
        return;
    md_heading(w, 2, STR("Still open"));
    for (uint32_t i = 0; i < m->n_holes; i++) {
        md_bullet(w, 0);
        md_text(w, m->holes[i]->text);
        md_printf(w, " (line %" PRIu32 ")",
                  source_position(m->sources, m->holes[i]->where.file, m->holes[i]->where.lo).line);
        md_end_line(w);
    }
    md_gap(w);
}

static void put_listening(struct md *w)
{
    for (uint32_t i = 0; i < w->m->n_items; i++) {
        if (w->m->items[i]->kind != ITEM_DEMO)
            continue;
        md_heading(w, 2, STR("Listening"));
        md_raw(w, "Set the level of your headphones with the narration, not with an example: rendered "
                  "examples can be louder "
                  "than they look, and pure tones are hard on the ear.");
        md_gap(w);
        return;
    }
}

void back_markdown(const struct model *m, struct output_list *out)
{
    struct arena scratch = {0};
    struct buf b = {0};
    struct md w = {.out = &b, .m = m, .arena = &scratch, .line_start = true};
    md_number(&w);
    put_head(&w);
    put_chapters(&w);
    put_narration(&w);
    put_claims(&w);
    put_facts(&w);
    put_readings(&w);
    put_sources(&w);
    put_music(&w);
    md_clip_log(&w);
    put_spellings(&w);
    put_errata(&w);
    put_holes(&w);
    put_listening(&w);
    while (b.n > 1 && b.p[b.n - 1] == '\n' && b.p[b.n - 2] == '\n')
        b.n--;
    output_add(out, "md", &b);
    arena_free(&scratch);
}
