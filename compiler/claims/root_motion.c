#include "base/buf.h"
#include "claims/claims.h"
#include "claims/pages.h"
#include "claims/tell.h"

#include <stdlib.h>

#define MOVES "moves|goes|proceeds|progresses|shifts"
#define VERBS "<rises|climbs|ascends|falls|drops|sinks|descends>"
#define STEPS "<step|second|third|fourth|fifth|sixth|seventh>"
#define EACH "[each|every time]"

enum { FIRST_DOWN = 3 }; /* in VERBS */

static const char *const patterns[] = {
    "roots of STREAM " MOVES " [DIRECTION] [by] INTERVAL " EACH,
    "roots of STREAM " MOVES " [DIRECTION] [by] INTERVAL COUNT [times]",
    "roots of STREAM " MOVES " [DIRECTION] by " STEPS " " EACH,
    "roots of STREAM " MOVES " DIRECTION " STEPS " " EACH,
    "roots of STREAM " MOVES " [DIRECTION] [by] " STEPS " COUNT [times]",
    "roots of STREAM " VERBS " [by] INTERVAL " EACH,
    "roots of STREAM " VERBS " [by] INTERVAL COUNT [times]",
    "roots of STREAM " VERBS " [by] " STEPS " " EACH,
    "roots of STREAM " VERBS " [by] " STEPS " COUNT [times]",
    "roots of STREAM lie|is INTERVAL apart",
    NULL,
};

/* Which choice of a pattern is the verb, which the number of steps; -1: none. */
static const struct {
    int verb, steps;
} slots[] = {{-1, -1}, {-1, -1}, {-1, 0}, {-1, 0}, {-1, 0}, {0, -1}, {0, -1}, {0, 1}, {0, 1}, {-1, -1}};

struct wanted {
    int direction;                       /* 1, -1; 0: either */
    const struct interval_ref *interval; /* NULL: only the number of steps counts */
    int steps;
    int64_t times; /* 0: any number */
};

/* Chords in a row with one set of roots (one a layer), and the first of them. */
struct rooted {
    const struct moment *moment;
    struct tone roots[LAYERS_MAX];
    uint32_t n;
};

struct root_line {
    struct rooted *items;
    uint32_t n;
    const struct passage *passage;
};

/* By number of steps. */
static const char *const number_words[] = {"unisons", "step",   "thirds",  "fourths",
                                           "fifths",  "sixths", "sevenths"};

static struct wanted read_wanted(const struct match *m, int pattern)
{
    int verb = slots[pattern].verb, steps = slots[pattern].steps;
    struct wanted w = {0};
    if (verb >= 0)
        w.direction = m->choice[verb] >= FIRST_DOWN ? -1 : 1;
    else if (m->n_directions)
        w.direction = m->direction[0];
    if (m->n_intervals)
        w.interval = &m->interval[0];
    if (steps >= 0)
        w.steps = m->choice[steps] == 0 ? 1 : m->choice[steps];
    if (m->n_counts)
        w.times = m->count[0];
    return w;
}

/* ---- roots --------------------------------------------------------------------------------------- */

static bool read_roots(struct claim_context *ctx, const struct passage *p, const struct moment *m,
                       struct rooted *out)
{
    *out = (struct rooted){.moment = m};
    const struct harmony *h = m->symbol;
    if (!h || h->kind == HARMONY_NONE) {
        claim_undecided(ctx, "%.*s has no root (%s); name a stretch without it",
                        STR_ARG(say_place(ctx, p, m->onset)), h ? "N.C." : "no chord is written there");
        claim_place(ctx, m->where, "no root");
        return false;
    }
    for (uint32_t i = 0; i < h->n_layers; i++)
        out->roots[out->n++] = h->layers[i].root;
    return true;
}

static bool same_roots(const struct rooted *a, const struct rooted *b)
{
    if (a->n != b->n)
        return false;
    for (uint32_t i = 0; i < a->n; i++)
        if (!tone_eq(a->roots[i], b->roots[i]))
            return false;
    return true;
}

static bool gather(struct claim_context *ctx, const struct match *m, struct root_line *out)
{
    struct stream harmony = m->stream[0];
    /* A root is a reading: it stands in the harmony of the passage, whatever part is named. */
    harmony.kind = STREAM_HARMONY;
    struct stretch where;
    struct moments moments;
    if (!harmony.passage) {
        claim_undecided(ctx, "%.*s has no harmony row: roots are read from chord symbols",
                        STR_ARG(harmony.words));
        return false;
    }
    if (!match_stretch(ctx, m, &harmony, &where) || !stream_moments(ctx, &harmony, where, 2, &moments))
        return false;
    *out = (struct root_line){.passage = moments.passage,
                              .items = ARENA_NEW_ARRAY(ctx->arena, struct rooted, moments.n)};
    for (uint32_t i = 0; i < moments.n; i++) {
        struct rooted *r = &out->items[out->n];
        if (!read_roots(ctx, moments.passage, &moments.items[i], r))
            return false;
        if (out->n == 0 || !same_roots(r - 1, r))
            out->n++;
    }
    if (out->n > 1)
        return true;
    claim_undecided(ctx, "the root does not move: every chord %.*s stands on %.*s",
                    STR_ARG(tell_between(ctx, moments.passage, moments.items[0].onset,
                                         moments.items[moments.n - 1].onset)),
                    STR_ARG(say_tones(ctx, out->items[0].roots, out->items[0].n)));
    return false;
}

/* ---- judging ------------------------------------------------------------------------------------- */

/* Roots are pitch classes: up a fourth is down a fifth. The interval from a root to the next, the
 * way that is asked, or the smaller way. */
static struct interval root_interval(struct tone from, struct tone to, int direction)
{
    struct interval up = interval_between_tones(from, to);
    struct interval down = interval_negate(interval_between_tones(to, from));
    if (direction)
        return direction > 0 ? up : down;
    return up.steps <= 3 ? up : down;
}

static bool root_fits_way(const struct wanted *w, struct tone from, struct tone to, int direction,
                          bool *same_sound)
{
    struct interval by = root_interval(from, to, direction);
    if (!w->interval)
        return abs(by.steps) == w->steps;
    struct interval_ref want = *w->interval;
    want.v = interval_simple(want.v);
    return interval_ref_fits(&want, direction, by, same_sound);
}

static bool root_fits(const struct wanted *w, struct tone from, struct tone to, bool *same_sound)
{
    bool up = w->direction >= 0 && root_fits_way(w, from, to, 1, same_sound);
    return up || (w->direction <= 0 && root_fits_way(w, from, to, -1, same_sound));
}

/* Do all layers of a chord go on as asked? *same_sound: those that do not, do so by sound. */
static bool move_fits(const struct wanted *w, const struct rooted *a, const struct rooted *b,
                      bool *same_sound)
{
    bool fits = true, all_same = true;
    for (uint32_t i = 0; i < a->n; i++) {
        bool same = false;
        if (root_fits(w, a->roots[i], b->roots[i], &same))
            continue;
        fits = false;
        all_same = all_same && same;
    }
    *same_sound = !fits && all_same;
    return fits;
}

/* ---- words --------------------------------------------------------------------------------------- */

/* "C, F, Bb, Eb", with "…" in the middle of long lines. */
static struct str say_line(struct claim_context *ctx, const struct root_line *line)
{
    enum { SHOWN = 16 };
    struct buf b = {0};
    for (uint32_t i = 0; i < line->n; i++) {
        if (i && line->n > SHOWN && i == SHOWN - 1) {
            buf_put(&b, " …");
            i = line->n - 1;
        }
        buf_printf(&b, "%s%.*s", i ? ", " : "",
                   STR_ARG(say_tones(ctx, line->items[i].roots, line->items[i].n)));
    }
    return buf_take(&b, ctx->arena);
}

static struct str say_root_move(struct claim_context *ctx, const struct wanted *w, const struct rooted *a,
                                const struct rooted *b)
{
    struct str *moves = ARENA_NEW_ARRAY(ctx->arena, struct str, a->n);
    for (uint32_t i = 0; i < a->n; i++) {
        struct interval by = root_interval(a->roots[i], b->roots[i], w->direction);
        struct str tones = say_text(ctx, "%.*s to %.*s", STR_ARG(say_tone(ctx, a->roots[i])),
                                    STR_ARG(say_tone(ctx, b->roots[i])));
        if (by.steps == 0 && by.half == 0)
            moves[i] = say_text(ctx, "%.*s stays", STR_ARG(say_tone(ctx, a->roots[i])));
        else
            moves[i] = say_text(ctx, "%.*s goes %.*s", STR_ARG(tones), STR_ARG(say_move(ctx, by)));
    }
    return tell_list(ctx, moves, a->n);
}

/* "down a perfect fifth", "by fifths". */
static struct str say_wanted(struct claim_context *ctx, const struct wanted *w)
{
    const char *way = w->direction > 0 ? "up " : w->direction < 0 ? "down " : "";
    if (w->interval)
        return say_text(ctx, "%s%.*s", way[0] ? way : "by ", STR_ARG(tell_size(ctx, w->interval)));
    return say_text(ctx, "%sby %s", way, number_words[w->steps]);
}

/* Of one move: "down a perfect fifth", "by a third". */
static struct str say_one_move(struct claim_context *ctx, const struct wanted *w)
{
    const char *way = w->direction > 0 ? "up" : w->direction < 0 ? "down" : "by";
    struct str size = w->interval ? tell_size(ctx, w->interval) : tell_steps(ctx, w->steps);
    return say_text(ctx, "%s %.*s", way, STR_ARG(size));
}

/* ---- true sentences ------------------------------------------------------------------------------ */

static bool all_fit(const struct root_line *line, const struct wanted *w)
{
    bool same;
    for (uint32_t i = 1; i < line->n; i++)
        if (line->items[i].n != line->items[i - 1].n ||
            !move_fits(w, &line->items[i - 1], &line->items[i], &same))
            return false;
    return true;
}

/* The number of steps that was asked for, or else that of the first move. */
static int likely_steps(const struct wanted *asked, struct interval first)
{
    if (!asked->interval)
        return asked->steps;
    struct wanted w = {.steps = abs(interval_simple(asked->interval->v).steps)};
    return asked->interval->by_sound || w.steps > 6 ? abs(first.steps) : w.steps;
}

static void offer_instead(struct claim_context *ctx, const struct match *m, const struct root_line *line,
                          const struct wanted *asked)
{
    struct str stream = m->stream[0].words, span = tell_span(ctx, m);
    struct interval by = root_interval(line->items[0].roots[0], line->items[1].roots[0], 0);
    int direction = by.steps < 0 || (by.steps == 0 && by.half < 0) ? -1 : 1;
    struct interval_ref size = {.v = direction < 0 ? interval_negate(by) : by};
    struct wanted same = *asked;
    struct wanted exact = {.direction = direction, .interval = &size};
    struct wanted steps = {.steps = likely_steps(asked, by)};
    same.times = 0;
    if (all_fit(line, &same))
        claim_instead(ctx, "the roots of %.*s move %.*s %.*s%.*s", STR_ARG(stream),
                      STR_ARG(say_wanted(ctx, asked)), STR_ARG(tell_times(ctx, line->n - 1)), STR_ARG(span));
    else if (all_fit(line, &exact))
        claim_instead(ctx, "the roots of %.*s move %.*s%.*s", STR_ARG(stream),
                      STR_ARG(say_wanted(ctx, &exact)), STR_ARG(span));
    else if (steps.steps && all_fit(line, &steps))
        claim_instead(ctx, "the roots of %.*s move %.*s%.*s", STR_ARG(stream),
                      STR_ARG(say_wanted(ctx, &steps)), STR_ARG(span));
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

static uint32_t count_fits(const struct root_line *line, const struct wanted *w)
{
    uint32_t n = 0;
    bool same;
    for (uint32_t i = 1; i < line->n; i++)
        n += line->items[i].n == line->items[i - 1].n &&
             move_fits(w, &line->items[i - 1], &line->items[i], &same);
    return n;
}

static void fail(struct claim_context *ctx, const struct match *m, const struct root_line *line,
                 const struct wanted *w, uint32_t at)
{
    const struct rooted *a = &line->items[at - 1], *b = &line->items[at];
    bool same_sound;
    move_fits(w, a, b, &same_sound);
    struct str place = say_place(ctx, line->passage, b->moment->onset);
    struct str rest = STR("");
    if (line->n > 2)
        rest = say_text(ctx, "; of %.*s %.*s as claimed",
                        STR_ARG(say_count(ctx, line->n - 1, "move", "moves")),
                        STR_ARG(tell_how_many(ctx, count_fits(line, w), "is", "are")));
    claim_fails(ctx, "%.*s (%.*s), not %.*s%s%.*s", STR_ARG(say_root_move(ctx, w, a, b)), STR_ARG(place),
                STR_ARG(say_wanted(ctx, w)), same_sound ? ": it sounds the same, the spelling differs" : "",
                STR_ARG(rest));
    claim_place(ctx, b->moment->where, "%.*s", STR_ARG(say_root_move(ctx, w, a, b)));
    offer_instead(ctx, m, line, w);
}

static void hold(struct claim_context *ctx, const struct root_line *line, const struct wanted *w)
{
    bool by_sound = w->interval && w->interval->by_sound;
    claim_holds(ctx, "roots %.*s: %.*s, %s%.*s%s", STR_ARG(say_line(ctx, line)),
                STR_ARG(say_count(ctx, line->n - 1, "move", "moves")), line->n == 2 ? "" : "each ",
                STR_ARG(say_one_move(ctx, w)), by_sound ? ", by sound" : "");
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, pattern);
    struct root_line line;
    if (!gather(ctx, m, &line))
        return;
    for (uint32_t i = 1; i < line.n; i++) {
        if (line.items[i].n == line.items[i - 1].n)
            continue;
        claim_undecided(ctx, "%.*s and %.*s have unequal numbers of roots: which goes to which is not said",
                        STR_ARG(line.items[i - 1].moment->symbol->text),
                        STR_ARG(line.items[i].moment->symbol->text));
        return;
    }
    bool same;
    for (uint32_t i = 1; i < line.n; i++) {
        if (!move_fits(&w, &line.items[i - 1], &line.items[i], &same)) {
            fail(ctx, m, &line, &w, i);
            return;
        }
    }
    if (w.times && w.times != line.n - 1) {
        claim_fails(ctx, "roots %.*s: they move %.*s %.*s, not %.*s", STR_ARG(say_line(ctx, &line)),
                    STR_ARG(say_wanted(ctx, &w)), STR_ARG(tell_times(ctx, line.n - 1)),
                    STR_ARG(tell_times(ctx, w.times)));
        offer_instead(ctx, m, &line, &w);
        return;
    }
    hold(ctx, &line, &w);
}

const struct claim_kind claim_kind_root_motion = {
    .name = "root-motion",
    .patterns = patterns,
    .meaning = "From each chord to the next the root, as its symbol spells it, moves by the interval "
               "named; up a fourth is down a fifth.",
    .page = claim_page_root_motion,
    .check = check,
    .fails = DIAG_FAILS_root_motion,
};
