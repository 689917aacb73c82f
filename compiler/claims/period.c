#include "claims/distances.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/statements.h"
#include "claims/tell.h"

#include "base/buf.h"

#define RETURNS "returns|recurs|repeats|comes|sounds [back|again]"
#define HOW "[<at same pitch|at any pitch|in rhythm only>]"

enum pattern { EVERY, EVERY_IN, EVERY_ONE, EVERY_ONE_IN };

static const char *const patterns[] = {
    [EVERY] = "FIGURE " RETURNS " every LENGTH " HOW,
    [EVERY_IN] = "FIGURE " RETURNS " every LENGTH in STREAM " HOW,
    [EVERY_ONE] =
        "FIGURE " RETURNS " every <bar|measure|beat|other bar|second bar|other beat|second beat> " HOW,
    [EVERY_ONE_IN] = "FIGURE " RETURNS
                     " every <bar|measure|beat|other bar|second bar|other beat|second beat> in STREAM " HOW,
    NULL,
};

enum { SHOWN = 8 }; /* statements that are told one by one */

/* What the sentence asks. */
struct question {
    enum sameness how;
    struct length_ref every;
    const struct passage *passage; /* of the line */
    struct str figure, line;       /* as the sentence names them; `line` is empty for the figure's own part */
};

static bool distance(const struct question *q, struct ratio from, struct ratio to, struct ratio *out)
{
    return distance_between(q->passage, q->every.unit, from, to, out);
}

/* ---- what the line shows --------------------------------------------------------------------- */

enum outcome {
    EVEN,  /* three or more, all so far apart, and none is missing at the end */
    TWICE, /* one distance, as asked */
    ONCE,
    NEVER,
    UNEVEN, /* statement `at` comes at another distance than asked */
    BREAKS, /* after statement `at` another is due in the stretch, and does not come */
    TOO_LARGE
};

struct finding {
    enum outcome outcome;
    uint32_t at;
    struct ratio d; /* of UNEVEN: the distance found; of BREAKS: where the next is due, as a distance */
};

static struct finding find(const struct question *q, const struct statements *s, struct ratio every,
                           struct ratio end)
{
    struct ratio d, left, length;
    if (s->n < 2)
        return (struct finding){s->n ? ONCE : NEVER, 0, RATIO_ZERO};
    for (uint32_t i = 1; i < s->n; i++) {
        if (!distance(q, s->items[i - 1].onset, s->items[i].onset, &d))
            return (struct finding){TOO_LARGE, i, RATIO_ZERO};
        if (!ratio_eq(d, every))
            return (struct finding){UNEVEN, i, d};
    }
    const struct statement *last = &s->items[s->n - 1];
    if (!distance(q, last->onset, end, &left) || !distance(q, last->onset, last->end, &length) ||
        !ratio_sub(left, every, &left))
        return (struct finding){TOO_LARGE, s->n - 1, RATIO_ZERO};
    if (ratio_le(length, left))
        return (struct finding){BREAKS, s->n - 1, every};
    return (struct finding){s->n == 2 ? TWICE : EVEN, s->n - 1, RATIO_ZERO};
}

/* "bar 1 beat 1, bar 3 beat 1 and bar 5 beat 1", long lists cut. */
static struct str places_words(struct claim_context *ctx, const struct question *q,
                               const struct statements *s)
{
    struct str places[SHOWN];
    uint32_t n = s->n < SHOWN ? s->n : SHOWN;
    for (uint32_t i = 0; i < n; i++)
        places[i] = say_place(ctx, q->passage, s->items[i].onset);
    struct str list = tell_list(ctx, places, n);
    return n == s->n ? list : say_text(ctx, "%.*s …", STR_ARG(list));
}

/* ---- what is true instead -------------------------------------------------------------------- */

static void suggest(struct claim_context *ctx, const struct question *q, struct ratio every, struct str span)
{
    static const char *const words[] = {
        [SAME_PITCHES] = "", [SAME_MELODY] = " at any pitch", [SAME_RHYTHM] = " in rhythm only"};
    struct str apart = distance_words(ctx, q->every.unit, every);
    if (ratio_eq(every, RATIO_ONE) && q->every.unit != LENGTH_WHOLES)
        apart = q->every.unit == LENGTH_BEATS ? STR("beat") : STR("bar");
    claim_instead(ctx, "%.*s returns every %.*s%s%.*s%s%.*s", STR_ARG(q->figure), STR_ARG(apart),
                  q->line.n ? " in " : "", STR_ARG(q->line), words[q->how], STR_ARG(span));
}

/* The longest run of even distances, in whole bars. */
static void suggest_run(struct claim_context *ctx, const struct question *q, const struct statements *s)
{
    uint32_t best = 0, best_n = 0;
    struct ratio best_d = RATIO_ZERO, d, before = RATIO_ZERO;
    for (uint32_t i = 1, run = 0; i < s->n; i++) {
        if (!distance(q, s->items[i - 1].onset, s->items[i].onset, &d))
            return;
        run = run && ratio_eq(d, before) ? run + 1 : 1;
        before = d;
        if (run > best_n) {
            best_n = run;
            best = i - run;
            best_d = d;
        }
    }
    if (best_n < 2 || best_d.num <= 0)
        return;
    struct statements run = {s->items + best, best_n + 1};
    const struct statement *last = &run.items[best_n];
    const struct bar *from = passage_bar_at(q->passage, run.items[0].onset);
    const struct bar *to = passage_bar_at(q->passage, last->onset);
    while (to && to + 1 < q->passage->bars + q->passage->n_bars &&
           ratio_lt(ratio_plus(to->onset, to->length), last->end))
        to++;
    if (!from || !to)
        return;
    struct ratio end = ratio_plus(to->onset, to->length);
    bool cut_before = best == 0 || ratio_lt(s->items[best - 1].onset, from->onset);
    bool cut_after = best + best_n + 1 == s->n || ratio_le(end, s->items[best + best_n + 1].onset);
    if (cut_before && cut_after && find(q, &run, best_d, end).outcome == EVEN)
        suggest(ctx, q, best_d, say_text(ctx, ", bar %d to bar %d", from->number, to->number));
}

/* ---- the verdict ----------------------------------------------------------------------------- */

static void fail(struct claim_context *ctx, const struct match *m, const struct question *q,
                 const struct statements *s, const struct finding *f, struct stretch where)
{
    const struct statement *at = &s->items[f->at];
    struct str place = say_place(ctx, q->passage, at->onset);
    if (f->outcome == UNEVEN) {
        struct str from = say_place(ctx, q->passage, s->items[f->at - 1].onset);
        claim_fails(ctx, "from %.*s to %.*s it is %.*s, not %.*s", STR_ARG(from), STR_ARG(place),
                    STR_ARG(distance_words(ctx, q->every.unit, f->d)), STR_ARG(q->every.words));
    } else {
        claim_fails(ctx, "it comes at %.*s; %.*s after the last another is due, and it does not come",
                    STR_ARG(places_words(ctx, q, s)), STR_ARG(distance_words(ctx, q->every.unit, f->d)));
    }
    struct ratio d;
    if (!distance(q, s->items[0].onset, s->items[1].onset, &d))
        return;
    if (d.num > 0 && find(q, s, d, where.end).outcome == EVEN)
        suggest(ctx, q, d, tell_span(ctx, m));
    else if (!ctx->mute)
        suggest_run(ctx, q, s);
}

static void decide(struct claim_context *ctx, const struct match *m, const struct question *q,
                   const struct statements *s, const struct line *line)
{
    struct finding f = find(q, s, q->every.amount, line->stretch.end);
    for (uint32_t i = 0; i < s->n && i < SHOWN && !ctx->mute; i++)
        claim_place(ctx, line->notes[s->items[i].first]->where, "the figure begins");
    switch (f.outcome) {
    case EVEN:
        claim_holds(ctx, "%.*s, at %.*s", STR_ARG(say_count(ctx, s->n, "statement", "statements")),
                    STR_ARG(places_words(ctx, q, s)));
        return;
    case TWICE:
        claim_undecided(
            ctx,
            "it comes at %.*s, so far apart, but one return is no rule: name a stretch with three "
            "statements",
            STR_ARG(places_words(ctx, q, s)));
        return;
    case ONCE:
        claim_fails(ctx, "it comes only once, at %.*s", STR_ARG(places_words(ctx, q, s)));
        return;
    case NEVER:
        claim_fails(ctx, "it does not come there at all");
        return;
    case UNEVEN:
    case BREAKS:
        fail(ctx, m, q, s, &f, line->stretch);
        return;
    case TOO_LARGE:
        claim_undecided(ctx, "the distance is out of range");
        return;
    }
}

/* ---- the sentence ---------------------------------------------------------------------------- */

static struct length_ref one_of(int choice)
{
    static const struct {
        enum length_unit unit;
        int n;
        const char *words;
    } rows[] = {{LENGTH_BARS, 1, "one bar"},   {LENGTH_BARS, 1, "one bar"},  {LENGTH_BEATS, 1, "one beat"},
                {LENGTH_BARS, 2, "two bars"},  {LENGTH_BARS, 2, "two bars"}, {LENGTH_BEATS, 2, "two beats"},
                {LENGTH_BEATS, 2, "two beats"}};
    return (struct length_ref){rows[choice].unit, ratio_int(rows[choice].n), str_of(rows[choice].words)};
}

/* The line in which the figure is looked for: the one named, or the figure's own part. False after a verdict.
 */
static bool line_of(struct claim_context *ctx, const struct match *m, struct stream *out)
{
    const struct stream *figure = &m->stream[0];
    if (m->n_streams > 1) {
        *out = m->stream[1];
        if (out->passage)
            return true;
        claim_undecided(ctx, "%.*s belongs to no passage: name a part", STR_ARG(out->words));
        return false;
    }
    if (!figure->figure->part) {
        claim_undecided(
            ctx,
            "%.*s is written out on its own: say in which part it returns, as in `%.*s returns every two "
            "bars in reed of lamp`",
            STR_ARG(figure->words), STR_ARG(figure->words));
        return false;
    }
    *out = (struct stream){.kind = STREAM_PART,
                           .passage = figure->passage,
                           .part = figure->figure->part,
                           .words = part_words(ctx, figure->figure->part)};
    return true;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    static const enum sameness asked[] = {SAME_PITCHES, SAME_MELODY, SAME_RHYTHM};
    bool one = pattern == EVERY_ONE || pattern == EVERY_ONE_IN;
    int how = one ? m->choice[1] : m->choice[0];
    struct stream stream;
    struct stretch where;
    struct line line, figure;
    struct statements found;
    if (!line_of(ctx, m, &stream))
        return;
    struct question q = {.how = how < 0 ? SAME_PITCHES : asked[how],
                         .every = one ? one_of(m->choice[0]) : m->length[0],
                         .passage = stream.passage,
                         .figure = m->stream[0].words,
                         .line = m->n_streams > 1 ? m->stream[1].words : STR("")};
    if (!distance_is_musical(ctx, &q.every, "a period"))
        return;
    const struct figure *f = m->stream[0].figure;
    struct stretch own = {.onset = f->onset, .end = ratio_plus(f->onset, f->length)};
    if (!match_stretch(ctx, m, &stream, &where) || !stream_line(ctx, &stream, where, 1, &line) ||
        !stream_line(ctx, &m->stream[0], own, 1, &figure))
        return;
    line.stretch = where;
    statements_find(ctx, &line, &figure, q.how, &found);
    decide(ctx, m, &q, &found, &line);
}

const struct claim_kind claim_kind_period = {
    .name = "period",
    .patterns = patterns,
    .meaning = "a figure comes back at even distances, until the bars named have no room for another",
    .page = claim_page_period,
    .check = check,
    .fails = DIAG_FAILS_period,
};
