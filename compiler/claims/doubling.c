#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/sizes.h"
#include "claims/tell.h"

#include "base/buf.h"

#include <stdlib.h>

/* An interval without a quality: its sizes are as the key gives them. */
#define STEPS "<second|third|fourth|fifth|sixth|seventh|tenth>"
static const int steps_of_choice[] = {1, 2, 3, 4, 5, 6, 9};

enum pattern { PLAIN, AT, AT_STEPS, BY, TOGETHER, TOGETHER_STEPS, PASSIVE };

static const char *const patterns[] = {
    [PLAIN] = "STREAM doubles STREAM",
    [AT] = "STREAM doubles STREAM at|in INTERVAL [DIRECTION]",
    [AT_STEPS] = "STREAM doubles STREAM at|in " STEPS " [DIRECTION]",
    [BY] = "STREAM doubles STREAM INTERVAL DIRECTION",
    [TOGETHER] = "STREAM and STREAM play|sing|move|go|are in INTERVAL",
    [TOGETHER_STEPS] = "STREAM and STREAM play|sing|move|go|are in " STEPS,
    [PASSIVE] = "STREAM is doubled by STREAM [at|in INTERVAL] [DIRECTION]",
    NULL,
};

/* ---- what is asked --------------------------------------------------------------------------- */

struct question {
    struct size size;           /* of a against b */
    const struct stream *a, *b; /* a doubles b */
};

/* ---- what begins together -------------------------------------------------------------------- */

struct strike {
    struct ratio at, length;         /* of the longest note */
    const struct note *const *notes; /* lowest first */
    uint32_t n;
};

struct strikes {
    struct strike *items;
    uint32_t n;
};

static bool strikes_read(struct claim_context *ctx, const struct stream *s, struct stretch where,
                         struct strikes *out)
{
    struct line l;
    if (!stream_notes(ctx, s, where, &l))
        return false;
    *out = (struct strikes){.items = ARENA_NEW_ARRAY(ctx->arena, struct strike, l.n)};
    for (uint32_t i = 0; i < l.n; i++) {
        const struct note *n = l.notes[i];
        struct strike *last = out->n ? &out->items[out->n - 1] : NULL;
        if (ratio_lt(n->onset, where.onset))
            continue;
        if (!last || !ratio_eq(last->at, n->onset)) {
            out->items[out->n++] = (struct strike){n->onset, n->length, &l.notes[i], 1};
            continue;
        }
        last->n++;
        if (ratio_lt(last->length, n->length))
            last->length = n->length;
    }
    if (out->n == 0)
        claim_undecided(ctx, "%.*s begins no note there: it only holds one from before", STR_ARG(s->words));
    return out->n > 0;
}

/* ---- comparing ------------------------------------------------------------------------------- */

enum difference { ALIKE, ALONE_A, ALONE_B, LENGTHS, SIZES, NOT_ONE_SIZE, NUMBERS };

struct finding {
    enum difference difference;
    uint32_t i, k, voice;  /* where: strikes of a and b, and the note in them */
    struct interval first; /* between the first pair: a against b */
    bool steps_only;       /* sizes vary, the number of letters does not */
    bool by_compound;      /* hangs on the convention */
    uint32_t notes;        /* pairs that agree before it */
    uint32_t end;          /* strikes that agree before it */
};

static struct interval pair_interval(const struct strike *a, const struct strike *b, uint32_t voice)
{
    return interval_between(b->notes[voice]->pitch, a->notes[voice]->pitch);
}

static bool compare_strike(const struct claim_context *ctx, const struct question *q, const struct strike *a,
                           const struct strike *b, struct finding *f)
{
    if (a->n != b->n) {
        f->difference = NUMBERS;
        return false;
    }
    for (f->voice = 0; f->voice < a->n; f->voice++) {
        struct interval v = pair_interval(a, b, f->voice);
        bool hangs;
        if (f->notes == 0)
            f->first = v;
        bool fits = size_fits(ctx, &q->size, v, &hangs);
        f->by_compound = f->by_compound || hangs;
        if (!fits || !size_same(&q->size, f->first, v)) {
            f->difference = fits ? NOT_ONE_SIZE : SIZES;
            return false;
        }
        f->steps_only = f->steps_only || v.half != f->first.half;
        f->notes++;
    }
    f->voice = 0;
    if (!ratio_eq(a->length, b->length)) {
        f->difference = LENGTHS;
        return false;
    }
    return true;
}

static struct finding compare(const struct claim_context *ctx, const struct question *q,
                              const struct strikes *a, const struct strikes *b)
{
    struct finding f = {.difference = ALIKE};
    for (; f.i < a->n || f.k < b->n; f.i++, f.k++) {
        int order = f.i == a->n ? 1 : f.k == b->n ? -1 : ratio_cmp(a->items[f.i].at, b->items[f.k].at);
        if (order) {
            f.difference = order < 0 ? ALONE_A : ALONE_B;
            return f;
        }
        if (!compare_strike(ctx, q, &a->items[f.i], &b->items[f.k], &f))
            return f;
        f.end++;
    }
    return f;
}

/* ---- words ----------------------------------------------------------------------------------- */

static struct str strike_words(struct claim_context *ctx, const struct strike *s)
{
    struct pitch *pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, s->n);
    for (uint32_t i = 0; i < s->n; i++)
        pitches[i] = s->notes[i]->pitch;
    return say_pitches(ctx, pitches, s->n);
}

static void alone_words(struct claim_context *ctx, const struct passage *p, const struct stream *who,
                        const struct stream *other, const struct strike *s)
{
    struct str pitch = strike_words(ctx, s), at = say_place(ctx, p, s->at);
    struct str other_name = tell_short(other);
    claim_place(ctx, s->notes[0]->where, "begins alone");
    claim_fails(ctx, "%.*s begins %.*s at %.*s, and %.*s begins nothing there", STR_ARG(tell_short(who)),
                STR_ARG(pitch), STR_ARG(at), STR_ARG(other_name));
}

static void size_words(struct claim_context *ctx, const struct question *q, const struct strike *a,
                       const struct strike *b, const struct finding *f)
{
    const struct note *x = a->notes[f->voice], *y = b->notes[f->voice];
    struct str at = say_place(ctx, q->a->passage, a->at), px = say_pitch(ctx, x->pitch),
               py = say_pitch(ctx, y->pitch);
    struct str level = size_level(ctx, pair_interval(a, b, f->voice));
    const char *of = str_eq(level, STR("at the unison")) ? " with" : "";
    struct str sound = STR("");
    bool same_sound = false;
    if (q->size.kind == SIZE_NAMED &&
        !interval_ref_fits(q->size.named, q->size.direction, pair_interval(a, b, f->voice), &same_sound) &&
        same_sound)
        sound = say_text(ctx, "; it %.*s", STR_ARG(tell_same_sound(ctx, pair_interval(a, b, f->voice))));
    claim_place(ctx, x->where, "%.*s", STR_ARG(px));
    claim_place(ctx, y->where, "%.*s", STR_ARG(py));
    if (f->difference == NOT_ONE_SIZE)
        claim_fails(ctx, "at %.*s %.*s lies %.*s%s %.*s, the notes before %.*s", STR_ARG(at), STR_ARG(px),
                    STR_ARG(level), of, STR_ARG(py), STR_ARG(size_level(ctx, f->first)));
    else
        claim_fails(ctx, "at %.*s %.*s lies %.*s%s %.*s%.*s", STR_ARG(at), STR_ARG(px), STR_ARG(level), of,
                    STR_ARG(py), STR_ARG(sound));
}

static void length_words(struct claim_context *ctx, const struct question *q, const struct strike *a,
                         const struct strike *b)
{
    char x[RATIO_TEXT_MAX], y[RATIO_TEXT_MAX];
    struct str at = say_place(ctx, q->a->passage, a->at), name = tell_short(q->a), other = tell_short(q->b);
    claim_place(ctx, a->notes[0]->where, "lasts %s", ratio_text(a->length, true, x));
    claim_place(ctx, b->notes[0]->where, "lasts %s", ratio_text(b->length, true, y));
    claim_fails(ctx, "at %.*s they begin together, but %.*s lasts %s and %.*s %s", STR_ARG(at), STR_ARG(name),
                ratio_text(a->length, true, x), STR_ARG(other), ratio_text(b->length, true, y));
}

/* ---- what is true instead -------------------------------------------------------------------- */

static void suggest_level(struct claim_context *ctx, const struct question *q, struct interval v,
                          bool steps_only, struct str span)
{
    struct str level = size_level(ctx, v);
    if (!steps_only)
        claim_instead(ctx, "%.*s doubles %.*s %.*s%.*s", STR_ARG(q->a->words), STR_ARG(q->b->words),
                      STR_ARG(level), STR_ARG(span));
    else
        claim_instead(ctx, "%.*s doubles %.*s at the %s%s%.*s", STR_ARG(q->a->words), STR_ARG(q->b->words),
                      size_number(v.steps), v.half > 0 ? " above" : " below", STR_ARG(span));
}

/* The strikes that begin in a stretch. */
static struct strikes strikes_in(const struct strikes *s, struct stretch where)
{
    uint32_t lo = 0, hi = s->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(s->items[middle].at, where.onset))
            lo = middle + 1;
        else
            hi = middle;
    }
    struct strikes out = {s->items + lo, 0};
    while (lo + out.n < s->n && ratio_lt(s->items[lo + out.n].at, where.end))
        out.n++;
    return out;
}

/* What holds of two rows of strikes: their own interval, or the number of letters; false: nothing does. */
static bool level_of(const struct claim_context *ctx, const struct question *q, const struct strikes *a,
                     const struct strikes *b, struct interval *level, bool *steps_only)
{
    struct question any = *q;
    if (a->n == 0 || b->n == 0 || a->items[0].n != b->items[0].n)
        return false;
    struct interval v = pair_interval(&a->items[0], &b->items[0], 0);
    any.size = (struct size){.kind = SIZE_STEPS, .steps = abs(v.steps)};
    struct finding f = compare(ctx, &any, a, b);
    *level = v;
    *steps_only = f.steps_only;
    return f.difference == ALIKE && (!f.steps_only || size_number(v.steps));
}

/* The longest run of whole bars through which one interval holds. */
static void suggest_bars(struct claim_context *ctx, const struct question *q, const struct strikes *a,
                         const struct strikes *b, struct stretch where)
{
    const struct passage *p = q->a->passage;
    uint32_t best_n = 0, best_first = 0, first = 0;
    bool running = false;
    struct interval level = {0, 0}, v;
    bool steps_only;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        struct stretch inside = {.onset = bar->onset, .end = ratio_plus(bar->onset, bar->length)};
        bool in = ratio_le(where.onset, inside.onset) && ratio_le(inside.end, where.end);
        struct strikes x = strikes_in(a, inside), y = strikes_in(b, inside);
        if (!in || !level_of(ctx, q, &x, &y, &v, &steps_only)) {
            running = false;
            continue;
        }
        if (!running || v.steps != level.steps)
            first = i;
        running = true;
        level = v;
        if (i - first + 1 > best_n) {
            best_n = i - first + 1;
            best_first = first;
        }
    }
    if (best_n == 0)
        return;
    const struct bar *from = &p->bars[best_first], *to = from + best_n - 1;
    struct stretch run = {.onset = from->onset, .end = ratio_plus(to->onset, to->length)};
    struct strikes x = strikes_in(a, run), y = strikes_in(b, run);
    struct str span = from == to ? say_text(ctx, ", bar %d", from->number)
                                 : say_text(ctx, ", bar %d to bar %d", from->number, to->number);
    if (level_of(ctx, q, &x, &y, &v, &steps_only))
        suggest_level(ctx, q, v, steps_only, span);
}

static void suggest(struct claim_context *ctx, const struct match *m, const struct question *q,
                    const struct strikes *a, const struct strikes *b, struct stretch where)
{
    struct interval v;
    bool steps_only;
    if (ctx->mute)
        return;
    if (level_of(ctx, q, a, b, &v, &steps_only))
        suggest_level(ctx, q, v, steps_only, tell_span(ctx, m));
    else
        suggest_bars(ctx, q, a, b, where);
}

/* ---- the verdict ----------------------------------------------------------------------------- */

static void hold(struct claim_context *ctx, const struct question *q, const struct finding *f)
{
    struct str notes = say_count(ctx, f->notes, "note", "notes"), name = tell_short(q->a),
               other = tell_short(q->b);
    if (f->steps_only)
        claim_holds(ctx, "%.*s in one rhythm, %.*s always a %s %s %.*s, its sizes as the key gives them",
                    STR_ARG(notes), STR_ARG(name), size_number(f->first.steps),
                    f->first.half > 0 ? "above" : "below", STR_ARG(other));
    else
        claim_holds(ctx, "%.*s in one rhythm, each of %.*s %.*s%s %.*s", STR_ARG(notes), STR_ARG(name),
                    STR_ARG(size_level(ctx, f->first)),
                    f->first.steps == 0 && f->first.half == 0 ? " with" : "", STR_ARG(other));
}

static void decide(struct claim_context *ctx, const struct match *m, const struct question *q,
                   const struct strikes *a, const struct strikes *b, struct stretch where)
{
    struct finding f = compare(ctx, q, a, b);
    const struct strike *x = f.i < a->n ? &a->items[f.i] : NULL, *y = f.k < b->n ? &b->items[f.k] : NULL;
    if (f.by_compound)
        claim_convention(ctx, CONVENTION_COMPOUND);
    switch (f.difference) {
    case ALIKE:
        hold(ctx, q, &f);
        return;
    case ALONE_A:
        alone_words(ctx, q->a->passage, q->a, q->b, x);
        break;
    case ALONE_B:
        alone_words(ctx, q->a->passage, q->b, q->a, y);
        break;
    case LENGTHS:
        length_words(ctx, q, x, y);
        break;
    case SIZES:
    case NOT_ONE_SIZE:
        size_words(ctx, q, x, y, &f);
        break;
    case NUMBERS:
        claim_undecided(
            ctx, "at %.*s %.*s has %.*s and %.*s %.*s: name the voice that is meant, as in `voice 1 of …`",
            STR_ARG(say_place(ctx, q->a->passage, x->at)), STR_ARG(tell_short(q->a)),
            STR_ARG(say_count(ctx, x->n, "note", "notes")), STR_ARG(tell_short(q->b)),
            STR_ARG(say_count(ctx, y->n, "note", "notes")));
        return;
    }
    suggest(ctx, m, q, a, b, where);
}

static bool is_played(struct claim_context *ctx, const struct stream *s)
{
    if (s->kind != STREAM_HARMONY && s->kind != STREAM_ALL)
        return true;
    claim_undecided(ctx, "%.*s is not one part that could double another: name a part or a voice",
                    STR_ARG(s->words));
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct question q = {.size.kind = SIZE_OCTAVES, .a = &m->stream[0], .b = &m->stream[1]};
    struct stretch where, other;
    struct strikes a, b;
    if (m->n_intervals) {
        q.size.kind = SIZE_NAMED;
        q.size.named = &m->interval[0];
    }
    if (pattern == AT_STEPS || pattern == TOGETHER_STEPS) {
        q.size.kind = SIZE_STEPS;
        q.size.steps = steps_of_choice[m->choice[0]];
    }
    if (pattern == PASSIVE) {
        q.a = &m->stream[1];
        q.b = &m->stream[0];
    }
    q.size.direction = m->n_directions ? m->direction[0] : 0;
    if (!is_played(ctx, q.a) || !is_played(ctx, q.b))
        return;
    if (streams_same(q.a, q.b) || !q.a->passage || q.a->passage != q.b->passage) {
        claim_undecided(ctx, "%.*s and %.*s are not two parts of one passage", STR_ARG(q.a->words),
                        STR_ARG(q.b->words));
        return;
    }
    if (!match_stretch(ctx, m, q.a, &where) || !match_stretch(ctx, m, q.b, &other))
        return;
    if (strikes_read(ctx, q.a, where, &a) && strikes_read(ctx, q.b, other, &b))
        decide(ctx, m, &q, &a, &b, where);
}

const struct claim_kind claim_kind_doubling = {
    .name = "doubling",
    .patterns = patterns,
    .meaning =
        "two parts have the same attacks and lengths, and one lies at one interval from the other throughout",
    .page = claim_page_doubling,
    .check = check,
    .fails = DIAG_FAILS_doubling,
};
