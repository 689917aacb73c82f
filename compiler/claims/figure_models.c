/* What the kinds on figures do to a model before it is compared, and how their sentences are read. */
#include "claims/figures.h"
#include "claims/melody.h"

bool figures_read(struct claim_context *ctx, const struct match *m, struct figure_pair *out)
{
    struct str a = m->stream[0].words, b = m->stream[1].words;
    *out = (struct figure_pair){.a_name = a, .b_name = b, .b_claim = b};
    if (streams_same(&m->stream[0], &m->stream[1])) {
        claim_undecided(ctx, "%.*s is compared with itself: name two figures", STR_ARG(a));
        return false;
    }
    return melody_line(ctx, m, 0, 2, &out->a) && melody_line(ctx, m, 1, 2, &out->b);
}

void figures_check(struct claim_context *ctx, const struct match *m, const struct figure_question *q)
{
    struct figure_pair pair;
    if (!figures_read(ctx, m, &pair))
        return;
    pair.verb = q->mirrored ? "inverts" : "repeats";
    pair.plain = true;
    figures_compare(ctx, &pair, q);
}

bool figure_level_named(struct claim_context *ctx, const struct interval_ref *by, int direction,
                        struct figure_level *out)
{
    *out = (struct figure_level){.given = true, .by_sound = by->by_sound, .words = by->words, .v = by->v};
    if (by->cents) {
        struct ratio half;
        if (!ratio_div(by->amount, ratio_int(100), &half) || half.den != 1 || half.num > INT16_MAX) {
            claim_fails(ctx, "written notes lie whole half steps apart, and %.*s is none",
                        STR_ARG(by->words));
            return false;
        }
        out->by_sound = true;
        out->v = (struct interval){0, (int)half.num};
    }
    if (direction < 0)
        out->v = interval_negate(out->v);
    return true;
}

/* ---- models ------------------------------------------------------------------------------------ */

static struct note *note_copy(struct claim_context *ctx, const struct note *n)
{
    struct note *copy = ARENA_NEW(ctx->arena, struct note);
    *copy = *n;
    return copy;
}

struct line line_reversed(struct claim_context *ctx, const struct line *l)
{
    struct line out = *l;
    out.notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, l->n);
    const struct note *last = l->notes[l->n - 1];
    struct ratio end = ratio_plus(last->onset, last->length), begin = l->notes[0]->onset;
    for (uint32_t i = 0; i < l->n; i++) {
        struct note *n = note_copy(ctx, l->notes[l->n - 1 - i]);
        n->onset = ratio_plus(begin, ratio_minus(end, ratio_plus(n->onset, n->length)));
        out.notes[i] = n;
    }
    return out;
}

bool line_scaled(struct claim_context *ctx, const struct line *l, struct ratio by, struct line *out)
{
    *out = *l;
    out->notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, l->n);
    struct ratio begin = l->notes[0]->onset;
    for (uint32_t i = 0; i < l->n; i++) {
        struct note *n = note_copy(ctx, l->notes[i]);
        if (!ratio_mul(ratio_minus(n->onset, begin), by, &n->onset) || !ratio_mul(n->length, by, &n->length))
            return false;
        out->notes[i] = n;
    }
    return true;
}

struct line line_part(const struct line *l, uint32_t from, uint32_t n)
{
    struct line out = *l;
    out.notes = l->notes + from;
    out.n = n;
    return out;
}
