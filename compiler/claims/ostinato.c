/* ostinato.c - a figure repeated back to back, and a bass that does the same. */
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/tell.h"

#include <inttypes.h>

#define TIMES "[COUNT [times]]"

enum pattern { IS, REPEATS_AS, RUNS, IS_GROUND, GROUND, BUILT, REPEATS_BARS };

static const char *const patterns[] = {
    [IS] = "FIGURE is|forms|becomes ostinato in|of STREAM " TIMES,
    [REPEATS_AS] = "STREAM repeats|plays FIGURE as ostinato " TIMES,
    [RUNS] = "FIGURE runs|returns as ostinato in|through STREAM " TIMES,
    [IS_GROUND] = "FIGURE is|forms ground [bass] [of COUNT bars|bar|measures] in|of STREAM " TIMES,
    [GROUND] = "STREAM is|forms|repeats ground [bass] of COUNT bars|bar|measures " TIMES,
    [BUILT] = "STREAM stands|rests|lies|is [built] on|over ground [bass] of COUNT bars|bar|measures " TIMES,
    [REPEATS_BARS] = "STREAM repeats itself every COUNT bars|bar|measures " TIMES,
    NULL,
};

/* One statement of the model. */
enum fit { FIT_EXACT, FIT_VARIED, FIT_NOT };

struct statements {
    struct line line;          /* the stream */
    const struct note **model; /* notes of one statement */
    uint32_t size;
    struct ratio begin, length; /* where a statement begins before its first note, and how long it lasts */
    struct ratio first;         /* where the run of exact statements begins */
    uint32_t n;                 /* exact statements in a row */
    uint32_t from, end;         /* notes of the line that they take up */
};

/* What was asked. */
struct wanted {
    int64_t times; /* 0: not said */
    int64_t bars;  /* 0: not said */
    const struct stream *stream;
    const struct stream *figure; /* NULL: the stream repeats itself */
};

static struct wanted read_wanted(const struct match *m, enum pattern pattern)
{
    bool figure_second = pattern == REPEATS_AS;
    bool ground = pattern == GROUND || pattern == BUILT || pattern == REPEATS_BARS;
    bool counts_bars = ground || (pattern == IS_GROUND && m->n_counts > 0);
    struct wanted w = {.stream = &m->stream[ground || figure_second ? 0 : 1]};
    w.figure = ground ? NULL : &m->stream[figure_second ? 1 : 0];
    w.bars = counts_bars ? m->count[0] : 0;
    w.times = m->n_counts > counts_bars ? m->count[counts_bars] : 0;
    return w;
}

/* ---- statements -------------------------------------------------------------------------------- */

/* Where statement k of the run that begins at `first` begins; false on overflow. */
static bool begin_of(const struct statements *s, struct ratio first, uint32_t k, struct ratio *out)
{
    struct ratio by;
    return ratio_mul(s->length, ratio_int(k), &by) && ratio_add(first, by, out);
}

static bool note_fits(const struct statements *s, const struct note *n, const struct note *model,
                      struct ratio begin)
{
    struct ratio at = ratio_minus(n->onset, begin), want = ratio_minus(model->onset, s->begin);
    return ratio_eq(at, want) && ratio_eq(n->length, model->length) && pitch_eq(n->pitch, model->pitch);
}

/* Compares the notes of the line from index `i` that begin within a statement at `begin`. *odd gets the first
 * note that differs, *wrong how many do, *next the first note after. */
static enum fit fit_at(const struct statements *s, struct ratio begin, uint32_t i, uint32_t *odd,
                       uint32_t *wrong, uint32_t *next)
{
    struct ratio end = ratio_plus(begin, s->length);
    uint32_t n = 0;
    *wrong = 0;
    *odd = i;
    for (; i + n < s->line.n && ratio_lt(s->line.notes[i + n]->onset, end); n++) {
        if (n < s->size && note_fits(s, s->line.notes[i + n], s->model[n], begin))
            continue;
        if ((*wrong)++ == 0)
            *odd = i + n;
    }
    *next = i + n;
    if (n != s->size) {
        if (*wrong == 0)
            *odd = i + n;
        *wrong += n > s->size ? 0 : s->size - n;
    }
    if (*wrong == 0 && n == s->size)
        return FIT_EXACT;
    return n == s->size && *wrong * 3 <= n ? FIT_VARIED : FIT_NOT;
}

/* Exact statements in a row from note i on, which begins the first. */
static uint32_t run_from(const struct statements *s, uint32_t i, uint32_t *end)
{
    struct ratio lead = ratio_minus(s->model[0]->onset, s->begin);
    struct ratio first = ratio_minus(s->line.notes[i]->onset, lead), begin;
    uint32_t n = 0, odd, wrong, next;
    *end = i;
    while (*end < s->line.n && begin_of(s, first, n, &begin) &&
           fit_at(s, begin, *end, &odd, &wrong, &next) == FIT_EXACT) {
        n++;
        *end = next;
    }
    return n;
}

/* The longest run of exact statements; the earliest of equal ones. */
static void find_run(struct statements *s)
{
    struct ratio lead = ratio_minus(s->model[0]->onset, s->begin);
    for (uint32_t i = 0; i < s->line.n;) {
        uint32_t end, n = run_from(s, i, &end);
        if (n > s->n) {
            s->n = n;
            s->from = i;
            s->end = end;
            s->first = ratio_minus(s->line.notes[i]->onset, lead);
        }
        i = n ? end : i + 1;
    }
}

/* ---- reading ----------------------------------------------------------------------------------- */

static bool read_stream(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                        struct statements *s)
{
    struct stretch where;
    struct stream stream = *w->stream;
    if (!w->figure && stream.kind == STREAM_ALL && stream.passage && stream.passage->n_parts != 1)
        stream.kind = STREAM_BASS; /* a passage stands over its bass */
    return match_stretch(ctx, m, &stream, &where) && stream_line(ctx, &stream, where, 2, &s->line);
}

static bool read_figure(struct claim_context *ctx, const struct wanted *w, struct statements *s)
{
    const struct figure *f = w->figure->figure;
    struct stretch whole = {.onset = f->onset, .end = ratio_plus(f->onset, f->length)};
    struct line l;
    if (!stream_line(ctx, w->figure, whole, 1, &l))
        return false;
    s->model = l.notes;
    s->size = l.n;
    s->begin = f->onset;
    s->length = f->length;
    return true;
}

/* The first bars of the stream itself. */
static bool read_bars(struct claim_context *ctx, const struct wanted *w, struct statements *s)
{
    const struct passage *p = s->line.passage;
    const struct bar *from = p ? passage_bar_at(p, s->line.notes[0]->onset) : NULL, *to = from;
    if (!from || w->bars < 1) {
        claim_undecided(ctx, "%.*s has no bars to count", STR_ARG(w->stream->words));
        return false;
    }
    int64_t left = w->bars;
    while (left > 0 && to < p->bars + p->n_bars) {
        to++;
        left--;
    }
    const struct bar *last = to - 1;
    s->begin = ratio_lt(from->onset, s->line.stretch.onset) ? s->line.stretch.onset : from->onset;
    s->length = ratio_minus(ratio_plus(last->onset, last->length), s->begin);
    s->model = s->line.notes;
    while (s->size < s->line.n && ratio_lt(s->model[s->size]->onset, ratio_plus(s->begin, s->length)))
        s->size++;
    if (left > 0 || s->size == s->line.n) {
        claim_fails(ctx, "%.*s does not last longer than %.*s: nothing is repeated",
                    STR_ARG(w->stream->words), STR_ARG(say_count(ctx, w->bars, "bar", "bars")));
        return false;
    }
    return true;
}

/* The figure is as long as the sentence says; false after a verdict. */
static bool bars_fit(struct claim_context *ctx, const struct wanted *w, const struct statements *s)
{
    const struct passage *p = s->line.passage;
    struct ratio bars;
    if (!w->figure || !w->bars || !p)
        return true;
    if (!passage_bars_between(p, s->first, ratio_plus(s->first, s->length), &bars) ||
        ratio_eq(bars, ratio_int(w->bars)))
        return true;
    claim_fails(ctx, "%.*s is %.*s long, not %" PRId64, STR_ARG(w->figure->words),
                STR_ARG(amount_words(ctx, bars, "bar", "bars")), w->bars);
    return false;
}

/* ---- words ------------------------------------------------------------------------------------- */

static struct str say_at(struct claim_context *ctx, const struct statements *s, struct ratio at)
{
    return say_place(ctx, s->line.passage, at);
}

static struct str say_model(struct claim_context *ctx, const struct statements *s)
{
    struct line model = {.notes = s->model, .n = s->size};
    return line_words(ctx, &model);
}

/* "E3 at bar 11 beat 2 for Eb3". */
static struct str say_odd(struct claim_context *ctx, const struct statements *s, uint32_t odd, uint32_t from)
{
    if (odd >= s->line.n)
        return STR("the line ends within it");
    const struct note *n = s->line.notes[odd];
    struct str pitch = say_pitch(ctx, n->pitch), at = say_at(ctx, s, n->onset);
    if (odd - from >= s->size)
        return say_text(ctx, "%.*s at %.*s is added", STR_ARG(pitch), STR_ARG(at));
    const struct note *want = s->model[odd - from];
    if (pitch_eq(n->pitch, want->pitch))
        return say_text(ctx, "%.*s at %.*s comes or lasts otherwise", STR_ARG(pitch), STR_ARG(at));
    return say_text(ctx, "%.*s at %.*s for %.*s", STR_ARG(pitch), STR_ARG(at),
                    STR_ARG(say_pitch(ctx, want->pitch)));
}

/* What comes right after the run: another statement with notes changed, or something else; empty at the end.
 */
static struct str say_after(struct claim_context *ctx, const struct statements *s)
{
    uint32_t odd, wrong, next;
    struct ratio begin;
    if (s->n == 0 || s->end >= s->line.n || !begin_of(s, s->first, s->n, &begin))
        return STR("");
    enum fit fit = fit_at(s, begin, s->end, &odd, &wrong, &next);
    struct str what = say_odd(ctx, s, odd, s->end);
    return say_text(ctx, "; then %s: %.*s", fit == FIT_VARIED ? "a varied statement" : "something else",
                    STR_ARG(what));
}

/* Does what sounds with the first statement come again with the second? Where it does, this is a loop rather
 * than a ground. */
static bool is_all_repeated(const struct statements *s)
{
    const struct passage *p = s->line.passage;
    struct ratio second = ratio_plus(s->first, s->length);
    for (uint32_t i = 0; p && i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        uint32_t j = 0;
        for (uint32_t k = 0; k < part->n_notes; k++) {
            if (ratio_lt(part->notes[k].onset, s->first) || !ratio_lt(part->notes[k].onset, second))
                continue;
            struct ratio later = ratio_plus(part->notes[k].onset, s->length);
            while (j < part->n_notes && ratio_lt(part->notes[j].onset, later))
                j++;
            uint32_t same = j;
            while (same < part->n_notes && ratio_eq(part->notes[same].onset, later) &&
                   !pitch_eq(part->notes[same].pitch, part->notes[k].pitch))
                same++;
            if (same == part->n_notes || !ratio_eq(part->notes[same].onset, later))
                return false;
        }
    }
    return true;
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static struct str say_run(struct claim_context *ctx, const struct statements *s)
{
    struct ratio end;
    struct str times = tell_times(ctx, s->n);
    if (s->n == 0 || !begin_of(s, s->first, s->n, &end))
        return say_text(ctx, "%.*s does not occur", STR_ARG(say_model(ctx, s)));
    return say_text(ctx, "%.*s %.*s %s from %.*s", STR_ARG(say_model(ctx, s)), STR_ARG(times),
                    s->n > 1 ? "without a break" : "only", STR_ARG(say_at(ctx, s, s->first)));
}

static struct str say_true(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                           const struct statements *s)
{
    struct str times = tell_times(ctx, s->n), span = tell_span(ctx, m);
    struct str of =
        w->bars ? say_text(ctx, " of %.*s", STR_ARG(say_count(ctx, w->bars, "bar", "bars"))) : STR("");
    if (!w->figure)
        return say_text(ctx, "%.*s is a ground%.*s %.*s%.*s", STR_ARG(w->stream->words), STR_ARG(of),
                        STR_ARG(times), STR_ARG(span));
    return say_text(ctx, "%.*s is an ostinato in %.*s %.*s%.*s", STR_ARG(w->figure->words),
                    STR_ARG(w->stream->words), STR_ARG(times), STR_ARG(span));
}

/* A stretch that is named must be filled: from its first note to its last. */
static bool is_filled(const struct match *m, const struct statements *s)
{
    return !m->span.given || (s->from == 0 && s->end == s->line.n);
}

/* The bars that the run fills, to offer where the stretch was too long; empty where it begins or ends within
 * a bar. */
static struct str run_bars(struct claim_context *ctx, const struct statements *s)
{
    const struct passage *p = s->line.passage;
    struct ratio end;
    const struct bar *from = p ? passage_bar_at(p, s->first) : NULL;
    if (!from || !begin_of(s, s->first, s->n, &end) || !ratio_eq(from->onset, s->first))
        return STR("");
    for (const struct bar *to = from; to < p->bars + p->n_bars; to++)
        if (ratio_eq(ratio_plus(to->onset, to->length), end))
            return say_text(ctx, ", bar %d to bar %d", from->number, to->number);
    return STR("");
}

static void fail(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                 const struct statements *s)
{
    struct str run = say_run(ctx, s), after = say_after(ctx, s);
    bool filled = is_filled(m, s);
    if (s->n >= 2 && filled && w->times)
        claim_fails(ctx, "%.*s, not %" PRId64 " times%.*s", STR_ARG(run), w->times, STR_ARG(after));
    else if (s->n >= 2 && !filled && s->from > 0)
        claim_fails(ctx, "%.*s, but the stretch begins with %.*s at %.*s", STR_ARG(run),
                    STR_ARG(say_pitch(ctx, s->line.notes[0]->pitch)),
                    STR_ARG(say_at(ctx, s, s->line.notes[0]->onset)));
    else
        claim_fails(ctx, "%.*s%.*s", STR_ARG(run), STR_ARG(after));
    uint32_t at = s->n && s->end < s->line.n ? s->end : 0;
    claim_place(ctx, s->line.notes[at]->where, s->n && at ? "no longer repeated" : "no statement begins");
    if (s->n < 2)
        return;
    struct str span = filled ? tell_span(ctx, m) : run_bars(ctx, s);
    if (!filled && !span.n)
        return;
    struct match shorter = *m;
    shorter.span.given = false;
    claim_instead(ctx, "%.*s%.*s", STR_ARG(say_true(ctx, &shorter, w, s)), STR_ARG(span));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, (enum pattern)pattern);
    struct statements s = {.first = RATIO_ZERO, .begin = RATIO_ZERO, .length = RATIO_ZERO};
    bool ground = pattern == IS_GROUND || pattern == GROUND || pattern == BUILT;
    if (!read_stream(ctx, m, &w, &s) || !(w.figure ? read_figure(ctx, &w, &s) : read_bars(ctx, &w, &s)))
        return;
    if (w.figure && streams_same(w.figure, w.stream)) {
        claim_undecided(ctx, "%.*s is compared with itself: name the part in which it is repeated",
                        STR_ARG(w.stream->words));
        return;
    }
    find_run(&s);
    if (!bars_fit(ctx, &w, &s))
        return;
    if (s.n < 2 || !is_filled(m, &s) || (w.times && w.times != (int64_t)s.n)) {
        fail(ctx, m, &w, &s);
        return;
    }
    const char *above = !ground ? ""
                        : is_all_repeated(&s)
                            ? "; what sounds with the first statement comes again with the second"
                            : "; what sounds with the first statement changes with the second";
    claim_holds(ctx, "%.*s%.*s%s", STR_ARG(say_run(ctx, &s)), STR_ARG(say_after(ctx, &s)), above);
}

const struct claim_kind claim_kind_ostinato = {
    .name = "ostinato",
    .patterns = patterns,
    .meaning = "a figure, or so many bars of a bass, is repeated back to back, note for note",
    .page = claim_page_ostinato,
    .check = check,
    .fails = DIAG_FAILS_ostinato,
};
