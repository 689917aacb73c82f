#include "claims/accent.h"
#include "claims/crossing.h"

#include "base/buf.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include <inttypes.h>

/* How strong a place is, accent.h tells: the first of a bar is strongest, then its middle, then the other
 * beats, then each further division. Source: Hutchinson, Basics of Rhythm, agrees as far as it goes (strong
 * are the first beat of each bar, and the third of 4/4). */

/* Where a bar would begin if it were whole: a pickup is the end of one. */
static struct ratio bar_base(const struct bar *bar)
{
    if (bar->number != 0)
        return bar->onset;
    return ratio_minus(bar->onset, ratio_minus(meter_length(bar->meter), bar->length));
}

/* The first place of a grid, counted from the whole bar's beginning, that lies after `from`. */
static struct ratio grid_after(const struct bar *bar, struct ratio step, struct ratio from)
{
    struct ratio count, by, base = bar_base(bar);
    if (ratio_lt(from, bar->onset) || !ratio_div(ratio_minus(from, base), step, &count) ||
        !ratio_mul(step, ratio_int(ratio_floor(count) + 1), &by))
        return bar->onset;
    return ratio_plus(base, by);
}

struct strong {
    struct ratio at;
    int level;
    bool found;
};

static void strongest_of_grid(const struct passage *p, struct ratio from, struct ratio to, int64_t grid,
                              struct strong *best)
{
    const struct bar *bar = passage_bar_at(p, from);
    for (; bar && bar < p->bars + p->n_bars && ratio_lt(bar->onset, to); bar++) {
        struct ratio step = {1, bar->meter.unit * grid}, end = ratio_plus(bar->onset, bar->length);
        struct ratio at = grid_after(bar, step, from);
        for (; ratio_lt(at, end) && ratio_lt(at, to); at = ratio_plus(at, step))
            if (accent_level(p, at) > best->level)
                *best = (struct strong){at, accent_level(p, at), true};
    }
}

/* The strongest place strictly between two positions, the first of its strength. False: none is stronger than
 * `than`. */
static bool stronger_within(const struct passage *p, struct ratio from, struct ratio to, int than,
                            struct ratio *out)
{
    enum { FINEST = 16 }; /* of the unit: what is finer is weaker than all of these */
    struct strong best = {.level = than};
    const struct bar *bar = passage_bar_at(p, from);
    if (bar && ratio_eq(bar_base(bar), from))
        return false; /* nothing is stronger than the first of a bar */
    for (int64_t grid = 1; grid <= FINEST && !best.found; grid *= 2)
        strongest_of_grid(p, from, to, grid, &best);
    *out = best.at;
    return best.found;
}

enum hold_kind { HELD_OVER, RESTED_OVER, ON_THE_BEAT };

/* How a note goes against the meter; *over gets the stronger place. */
static enum hold_kind note_kind(const struct line *l, uint32_t i, struct ratio *over)
{
    const struct note *n = l->notes[i];
    int level = accent_level(l->passage, n->onset);
    if (stronger_within(l->passage, n->onset, note_end(n), level, over))
        return HELD_OVER;
    if (i + 1 < l->n && ratio_lt(note_end(n), l->notes[i + 1]->onset) &&
        stronger_within(l->passage, n->onset, l->notes[i + 1]->onset, level, over))
        return RESTED_OVER;
    return ON_THE_BEAT;
}

struct findings {
    uint32_t n[3];
    uint32_t first[3];
    struct ratio over[3];
};

static void decide(struct claim_context *ctx, const struct match *m, const struct line *l,
                   const struct findings *f)
{
    const struct stream *s = &m->stream[0];
    enum hold_kind kind = f->n[HELD_OVER] ? HELD_OVER : f->n[RESTED_OVER] ? RESTED_OVER : ON_THE_BEAT;
    const struct note *n = l->notes[f->first[kind]];
    struct str pitch = say_pitch(ctx, n->pitch), at = say_place(ctx, l->passage, n->onset);
    struct str over = kind == ON_THE_BEAT ? STR("") : say_place(ctx, l->passage, f->over[kind]);
    switch (kind) {
    case HELD_OVER:
        claim_place(ctx, n->where, "held over a stronger place");
        claim_holds(ctx,
                    "%.*s at %.*s is held over %.*s, a stronger place than it begins on (%" PRIu32
                    " of %" PRIu32 " notes)",
                    STR_ARG(pitch), STR_ARG(at), STR_ARG(over), f->n[HELD_OVER], l->n);
        return;
    case RESTED_OVER:
        claim_place(ctx, n->where, "followed by a rest on a stronger place");
        claim_undecided(ctx,
                        "%.*s at %.*s is followed by a rest at %.*s, a stronger place, but no note is held "
                        "over one: books "
                        "differ on whether rests make a syncopation",
                        STR_ARG(pitch), STR_ARG(at), STR_ARG(over));
        return;
    case ON_THE_BEAT:
        claim_fails(
            ctx,
            "no note is held over a stronger place than it begins on, nor rests over one: %.*s from %.*s on",
            STR_ARG(say_count(ctx, l->n, "note", "notes")), STR_ARG(at));
        claim_instead(ctx, "%.*s is not syncopated%.*s", STR_ARG(s->words), STR_ARG(tell_span(ctx, m)));
        return;
    }
}

void syncopation_check(struct claim_context *ctx, const struct match *m)
{
    const struct stream *s = &m->stream[0];
    struct stretch where;
    struct line l;
    struct findings f = {0};
    if (!s->passage) {
        claim_undecided(ctx, "%.*s is written out without a meter, so no place in it is strong",
                        STR_ARG(s->words));
        return;
    }
    if (s->kind == STREAM_ALL || s->kind == STREAM_OUTER || s->kind == STREAM_HARMONY) {
        claim_undecided(ctx, "%.*s is several rhythms at once: name a part, a voice or a figure",
                        STR_ARG(s->words));
        return;
    }
    if (!match_stretch(ctx, m, s, &where) || !stream_notes(ctx, s, where, &l))
        return;
    for (uint32_t i = 0; i < l.n; i++) {
        struct ratio over = RATIO_ZERO;
        enum hold_kind kind = note_kind(&l, i, &over);
        if (f.n[kind]++ == 0) {
            f.first[kind] = i;
            f.over[kind] = over;
        }
    }
    decide(ctx, m, &l, &f);
}
