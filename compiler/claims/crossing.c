#include "claims/crossing.h"
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

#include <inttypes.h>

#define RATIO "COUNT against|over COUNT"

enum pattern { AGAINST, PLAYS, TOGETHER, BETWEEN, HEMIOLA, HAS_HEMIOLA, SYNCOPATED, SYNCOPATION };

static const char *const patterns[] = {
    [AGAINST] = "STREAM against STREAM is|makes|gives " RATIO,
    [PLAYS] = "STREAM plays|moves|goes [in] " RATIO " of|in|with STREAM",
    [TOGETHER] = "STREAM and STREAM play|move|go|are [in] " RATIO,
    [BETWEEN] = "[there is] " RATIO " between|in STREAM and STREAM",
    [HEMIOLA] = "[there is] hemiola [in|of STREAM]",
    [HAS_HEMIOLA] = "STREAM has|makes|forms|plays hemiola",
    [SYNCOPATED] = "[rhythm of] STREAM is syncopated",
    [SYNCOPATION] = "STREAM has|contains syncopation",
    NULL,
};

/* ---- so many against so many ----------------------------------------------------------------- */

/* From one attack that both have to the next. */
struct cell {
    struct ratio from, to;     /* `to` of the last: where its attacks would come round */
    uint32_t a, b;             /* how many attacks of each begin in it */
    struct ratio a_gap, b_gap; /* how far apart they are; 0 of a single one */
    bool even;                 /* all as far apart as the first two, and both fill the same length */
    bool last;
    uint32_t a_first, b_first; /* index of the first attacks */
};

struct cells {
    struct cell *items;
    uint32_t n;
    uint32_t stray; /* attacks before the first common one */
};

static bool gaps_even(const struct attacks *a, uint32_t first, uint32_t n, struct ratio *gap)
{
    *gap = RATIO_ZERO;
    for (uint32_t i = 1; i < n; i++) {
        struct ratio g = ratio_minus(a->items[first + i].at, a->items[first + i - 1].at);
        if (i > 1 && !ratio_eq(g, *gap))
            return false;
        *gap = g;
    }
    return true;
}

/* A cell whose attacks have run their course before the next one begins may be followed by rests. */
static void cell_measure(const struct attacks *a, const struct attacks *b, struct cell *c)
{
    struct ratio a_length = RATIO_ZERO, b_length = RATIO_ZERO;
    bool a_even = gaps_even(a, c->a_first, c->a, &c->a_gap),
         b_even = gaps_even(b, c->b_first, c->b, &c->b_gap);
    bool fits =
        ratio_mul(c->a_gap, ratio_int(c->a), &a_length) && ratio_mul(c->b_gap, ratio_int(c->b), &b_length);
    struct ratio length = c->a > 1 ? a_length : b_length;
    c->even = fits && a_even && b_even && (c->a < 2 || c->b < 2 || ratio_eq(a_length, b_length));
    if (c->last)
        c->to = ratio_plus(c->from, length);
    else if (c->even && ratio_lt(c->to, ratio_plus(c->from, length)))
        c->even = false;
}

/* Only where both play: from the later beginning to the earlier end of attacks within the stretch. */
static void cells_read(struct claim_context *ctx, const struct attacks *a, const struct attacks *b,
                       struct stretch where, struct cells *out)
{
    uint32_t i = attacks_from(a, where.onset), k = attacks_from(b, where.onset);
    uint32_t a_end = attacks_from(a, where.end), b_end = attacks_from(b, where.end);
    *out = (struct cells){.items = ARENA_NEW_ARRAY(ctx->arena, struct cell, a_end - i + 1)};
    if (i < a_end && k < b_end) { /* one may have begun before the other */
        struct ratio later = ratio_lt(a->items[i].at, b->items[k].at) ? b->items[k].at : a->items[i].at;
        i = attacks_from(a, later);
        k = attacks_from(b, later);
    }
    while (i < a_end || k < b_end) {
        int order = i == a_end ? 1 : k == b_end ? -1 : ratio_cmp(a->items[i].at, b->items[k].at);
        struct cell *open = out->n ? &out->items[out->n - 1] : NULL;
        if (order == 0) {
            struct ratio at = a->items[i].at;
            if (open)
                open->to = at;
            out->items[out->n++] = (struct cell){.from = at, .a = 1, .b = 1, .a_first = i++, .b_first = k++};
            continue;
        }
        if (!open)
            out->stray++;
        else if (order < 0)
            open->a++;
        else
            open->b++;
        i += order < 0;
        k += order > 0;
    }
    for (uint32_t c = 0; c < out->n; c++) {
        out->items[c].last = c + 1 == out->n;
        cell_measure(a, b, &out->items[c]);
    }
}

static uint32_t common_factor(uint32_t a, uint32_t b)
{
    while (b) {
        uint32_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* One attack of each after complete cells: where the rhythm comes to rest. */
static bool cell_closes(const struct cells *cells, uint32_t i)
{
    const struct cell *c = &cells->items[i];
    return c->last && i > 0 && c->a == 1 && c->b == 1;
}

/* Index of the first cell that is not a against b; cells->n if all are. */
static uint32_t first_misfit(const struct cells *cells, uint32_t a, uint32_t b)
{
    for (uint32_t i = 0; i < cells->n; i++) {
        const struct cell *c = &cells->items[i];
        if ((c->a != a || c->b != b || !c->even) && !cell_closes(cells, i))
            return i;
    }
    return cells->n;
}

/* Complete cells, the closing attack left out. */
static uint32_t n_complete(const struct cells *cells)
{
    return cells->n - (cells->n && cell_closes(cells, cells->n - 1));
}

/* ---- words ----------------------------------------------------------------------------------- */

static struct str gap_list(struct claim_context *ctx, const struct attacks *a, uint32_t first, uint32_t n)
{
    struct buf b = {0};
    char text[RATIO_TEXT_MAX];
    for (uint32_t i = 1; i < n; i++)
        buf_printf(&b, "%s%s", i > 1 ? " " : "",
                   ratio_text(ratio_minus(a->items[first + i].at, a->items[first + i - 1].at), true, text));
    return buf_take(&b, ctx->arena);
}

/* "`reed` attacks three times, 1/6 1/6 apart" */
static struct str side_words(struct claim_context *ctx, const struct attacks *a, uint32_t first, uint32_t n)
{
    struct str times = tell_times(ctx, n);
    if (n < 2)
        return say_text(ctx, "%.*s attacks once", STR_ARG(a->name));
    struct str gaps = gap_list(ctx, a, first, n);
    return say_text(ctx, "%.*s attacks %.*s (%.*s apart)", STR_ARG(a->name), STR_ARG(times), STR_ARG(gaps));
}

static struct str cell_words(struct claim_context *ctx, const struct attacks *a, const struct attacks *b,
                             const struct cell *c)
{
    struct str from = say_place(ctx, a->passage, c->from);
    struct str x = side_words(ctx, a, c->a_first, c->a), y = side_words(ctx, b, c->b_first, c->b);
    return say_text(ctx, "from %.*s on %.*s, %.*s", STR_ARG(from), STR_ARG(x), STR_ARG(y));
}

static struct str gap_words_of(struct claim_context *ctx, uint32_t n, struct ratio gap)
{
    char text[RATIO_TEXT_MAX];
    if (n < 2)
        return STR("one");
    return say_text(ctx, "%" PRIu32 " of %s", n, ratio_text(gap, true, text));
}

static void hold_cells(struct claim_context *ctx, const struct attacks *a, const struct attacks *b,
                       const struct cells *cells)
{
    const struct cell *c = &cells->items[0];
    struct str from = say_place(ctx, a->passage, c->from);
    struct str x = gap_words_of(ctx, c->a, c->a_gap), y = gap_words_of(ctx, c->b, c->b_gap);
    claim_holds(ctx, "from %.*s on, %.*s: attacks of %.*s %.*s, of %.*s %.*s", STR_ARG(from),
                STR_ARG(tell_times(ctx, n_complete(cells))), STR_ARG(a->name), STR_ARG(x), STR_ARG(b->name),
                STR_ARG(y));
}

/* ---- what is true instead -------------------------------------------------------------------- */

/* Do all cells of the stretch have one ratio that is no plain one against one? */
static bool uniform(const struct cells *cells, uint32_t *a, uint32_t *b)
{
    if (cells->n == 0 || cells->stray)
        return false;
    *a = cells->items[0].a;
    *b = cells->items[0].b;
    return *a + *b > 2 && first_misfit(cells, *a, *b) == cells->n;
}

static void suggest(struct claim_context *ctx, const struct match *m, uint32_t a, uint32_t b, struct str span)
{
    claim_instead(ctx, "%.*s against %.*s is %" PRIu32 " against %" PRIu32 "%.*s",
                  STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words), a, b, STR_ARG(span));
}

/* Bar by bar; the longest run of bars with one ratio is offered. */
static void suggest_bars(struct claim_context *ctx, const struct match *m, const struct attacks *a,
                         const struct attacks *b, struct stretch where)
{
    const struct passage *p = a->passage;
    struct cells cells;
    uint32_t best_a = 0, best_b = 0, best_n = 0, best_last = 0, run = 0, was_a = 0, was_b = 0;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        struct stretch inside = {.onset = bar->onset, .end = ratio_plus(bar->onset, bar->length)};
        uint32_t x = 0, y = 0;
        bool in = ratio_le(where.onset, inside.onset) && ratio_le(inside.end, where.end);
        if (in)
            cells_read(ctx, a, b, inside, &cells);
        if (!in || !uniform(&cells, &x, &y)) {
            run = 0;
            continue;
        }
        run = run && x == was_a && y == was_b ? run + 1 : 1;
        was_a = x;
        was_b = y;
        if (run > best_n) {
            best_n = run;
            best_last = i;
            best_a = x;
            best_b = y;
        }
    }
    if (best_n == 0)
        return;
    int last = p->bars[best_last].number, first = last - (int)best_n + 1;
    struct str span =
        best_n == 1 ? say_text(ctx, ", bar %d", last) : say_text(ctx, ", bar %d to bar %d", first, last);
    struct stretch all = {.onset = p->bars[best_last - best_n + 1].onset,
                          .end = ratio_plus(p->bars[best_last].onset, p->bars[best_last].length)};
    cells_read(ctx, a, b, all, &cells);
    if (uniform(&cells, &best_a, &best_b))
        suggest(ctx, m, best_a, best_b, span);
}

static void suggest_cells(struct claim_context *ctx, const struct match *m, const struct attacks *a,
                          const struct attacks *b, const struct cells *cells, struct stretch where)
{
    uint32_t x, y;
    if (ctx->mute)
        return;
    if (uniform(cells, &x, &y))
        suggest(ctx, m, x, y, tell_span(ctx, m));
    else
        suggest_bars(ctx, m, a, b, where);
}

/* ---- the verdict ----------------------------------------------------------------------------- */

static bool streams_together(struct claim_context *ctx, const struct match *m)
{
    const struct stream *a = &m->stream[0], *b = &m->stream[1];
    if (!a->passage || a->passage != b->passage) {
        claim_undecided(ctx, "%.*s and %.*s do not sound in one passage, so they have no time in common",
                        STR_ARG(a->words), STR_ARG(b->words));
        return false;
    }
    if (streams_same(a, b)) {
        claim_undecided(ctx, "%.*s is set against itself: name two", STR_ARG(a->words));
        return false;
    }
    return true;
}

static void check_against(struct claim_context *ctx, const struct match *m)
{
    struct attacks a, b;
    struct stretch where, other;
    struct cells cells;
    if (m->count[0] < 1 || m->count[1] < 1 || m->count[0] > UINT16_MAX || m->count[1] > UINT16_MAX) {
        claim_undecided(ctx, "give two numbers of attacks, one or more each");
        return;
    }
    if (!streams_together(ctx, m) || !match_stretch(ctx, m, &m->stream[0], &where) ||
        !match_stretch(ctx, m, &m->stream[1], &other))
        return;
    /* Two figures are set against each other where both are written. */
    where.onset = ratio_lt(where.onset, other.onset) ? other.onset : where.onset;
    where.end = ratio_lt(other.end, where.end) ? other.end : where.end;
    if (!attacks_read(ctx, &m->stream[0], where, &a) || !attacks_read(ctx, &m->stream[1], where, &b))
        return;
    uint32_t x = (uint32_t)m->count[0], y = (uint32_t)m->count[1], rounds = common_factor(x, y);
    cells_read(ctx, &a, &b, where, &cells);
    uint32_t misfit = first_misfit(&cells, x / rounds, y / rounds);
    if (cells.n == 0 || cells.stray) {
        struct str first_a = say_place(ctx, a.passage, a.items[0].at),
                   first_b = say_place(ctx, a.passage, b.items[0].at);
        claim_fails(
            ctx, "%.*s begins at %.*s, %.*s at %.*s, and where the second begins they do not attack together",
            STR_ARG(a.name), STR_ARG(first_a), STR_ARG(b.name), STR_ARG(first_b));
        suggest_cells(ctx, m, &a, &b, &cells, where);
    } else if (misfit < cells.n) {
        const struct cell *c = &cells.items[misfit];
        claim_place(ctx, a.items[c->a_first].where, "%.*s", STR_ARG(a.name));
        claim_place(ctx, b.items[c->b_first].where, "%.*s", STR_ARG(b.name));
        claim_fails(ctx, "%.*s", STR_ARG(cell_words(ctx, &a, &b, c)));
        suggest_cells(ctx, m, &a, &b, &cells, where);
    } else if (n_complete(&cells) % rounds) {
        claim_fails(ctx,
                    "%" PRIu32 " against %" PRIu32 " comes %.*s, which makes no whole number of %" PRIu32
                    " against %" PRIu32,
                    x / rounds, y / rounds, STR_ARG(tell_times(ctx, n_complete(&cells))), x, y);
        suggest_cells(ctx, m, &a, &b, &cells, where);
    } else {
        hold_cells(ctx, &a, &b, &cells);
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch ((enum pattern)pattern) {
    case AGAINST:
    case PLAYS:
    case TOGETHER:
    case BETWEEN:
        check_against(ctx, m);
        return;
    case HEMIOLA:
    case HAS_HEMIOLA:
        hemiola_check(ctx, m, m->n_streams ? &m->stream[0] : NULL);
        return;
    case SYNCOPATED:
    case SYNCOPATION:
        syncopation_check(ctx, m);
        return;
    }
}

const struct claim_kind claim_kind_crossing = {
    .name = "crossing",
    .patterns = patterns,
    .meaning = "two rhythms of different pulse at once, a hemiola, or notes held against the meter; by their "
               "attacks",
    .page = claim_page_crossing,
    .check = check,
    .fails = DIAG_FAILS_crossing,
};
