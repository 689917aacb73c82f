#include "claims/layering.h"

void layering_of_harmony(struct claim_context *ctx, const struct harmony *h, struct layering *out)
{
    *out = (struct layering){.n = h->n_layers};
    for (uint32_t i = 0; i < h->n_layers; i++) {
        const struct chord *c = &h->layers[h->n_layers - 1 - i]; /* written upper first */
        struct chord_match name = {.root = c->root, .quality = c->quality};
        out->layers[i] = (struct layer){.root = c->root, .tones = bag_of_chord(ctx->arena, c)};
        out->layers[i].name = c->quality && !c->altered ? say_symbol(ctx, &name, c->bass)
                                                        : say_tone(ctx, c->root);
    }
}

static struct tone_bag bag_of_pitches(struct claim_context *ctx, const struct pitch *pitches, uint32_t n)
{
    struct tone_bag bag = bag_new(ctx->arena, n);
    for (uint32_t i = 0; i < n; i++)
        bag_add(&bag, pitches[i].tone);
    return bag;
}

static bool same_tones(const struct tone_bag *a, const struct tone_bag *b)
{
    bool same = a->n == b->n;
    for (uint32_t i = 0; same && i < a->n; i++)
        same = bag_has(b, a->t[i]);
    return same;
}

/* Layer `i` and those above it over pitches[from .. n); at most LAYERS_MAX deep. */
static bool separate_from(struct claim_context *ctx, const struct pitch *pitches, uint32_t n, uint32_t from,
                          struct layering *l, uint32_t i)
{
    if (i == l->n)
        return from == n;
    for (uint32_t end = from + 1; end <= n; end++) {
        struct tone_bag part = bag_of_pitches(ctx, pitches + from, end - from);
        if (!same_tones(&part, &l->layers[i].tones) || !separate_from(ctx, pitches, n, end, l, i + 1))
            continue;
        l->layers[i].first = from;
        l->layers[i].n = end - from;
        return true;
    }
    return false;
}

bool layering_separate(struct claim_context *ctx, const struct pitch *pitches, uint32_t n, struct layering *l)
{
    return separate_from(ctx, pitches, n, 0, l, 0);
}

struct layering layering_reversed(const struct layering *l)
{
    struct layering r = {.n = l->n};
    for (uint32_t i = 0; i < l->n; i++)
        r.layers[i] = l->layers[l->n - 1 - i];
    return r;
}

bool layering_nested(const struct layering *l, uint32_t *inner, uint32_t *outer)
{
    for (uint32_t i = 0; i < l->n; i++) {
        for (uint32_t k = 0; k < l->n; k++) {
            if (i != k && !(bag_set(&l->layers[i].tones) & ~bag_set(&l->layers[k].tones))) {
                *inner = i;
                *outer = k;
                return true;
            }
        }
    }
    return false;
}

static bool layer_of_pitches(struct claim_context *ctx, const struct pitch *pitches, uint32_t first,
                             uint32_t n, struct layer *out)
{
    enum { MATCHES = 4 };
    struct chord_match found[MATCHES];
    struct tone_bag tones = bag_of_pitches(ctx, pitches + first, n);
    uint32_t n_found = chord_identify(&ctx->model->library->chords, tones.t, tones.n, found, MATCHES);
    for (uint32_t i = 0; i < n_found; i++) {
        if (!found[i].spelled || !chord_is_tertian(found[i].quality))
            continue;
        *out = (struct layer){found[i].root, say_symbol(ctx, &found[i], found[i].root), tones, first, n};
        return true;
    }
    return false;
}

/* The stack cut into two layers, or three where `upper_cut` lies below n. */
static bool find_cut(struct claim_context *ctx, const struct pitch *pitches, uint32_t n, uint32_t cut,
                     uint32_t upper_cut, struct layering *out)
{
    uint32_t inner, outer;
    *out = (struct layering){.n = upper_cut < n ? 3 : 2};
    return layer_of_pitches(ctx, pitches, 0, cut, &out->layers[0]) &&
           layer_of_pitches(ctx, pitches, cut, upper_cut - cut, &out->layers[1]) &&
           (out->n == 2 || layer_of_pitches(ctx, pitches, upper_cut, n - upper_cut, &out->layers[2])) &&
           !layering_nested(out, &inner, &outer);
}

bool layering_find(struct claim_context *ctx, const struct pitch *pitches, uint32_t n, struct layering *out)
{
    for (uint32_t cut = 3; cut + 3 <= n; cut++)
        if (find_cut(ctx, pitches, n, cut, n, out))
            return true;
    for (uint32_t cut = 3; cut + 6 <= n; cut++)
        for (uint32_t upper = cut + 3; upper + 3 <= n; upper++)
            if (find_cut(ctx, pitches, n, cut, upper, out))
                return true;
    return false;
}

static bool tones_are_there(const struct layering *l, const struct tone_bag *have)
{
    for (uint32_t i = 0; i < l->n; i++)
        for (uint32_t k = 0; k < l->layers[i].tones.n; k++)
            if (!bag_has(have, l->layers[i].tones.t[k]))
                return false;
    return true;
}

bool layering_of_chord(struct claim_context *ctx, const struct chord_ref *c, struct moment *m,
                       struct layering *out)
{
    if (!chord_moment(ctx, c, false, m))
        return false;
    bool named = m->symbol && m->symbol->n_layers > 1;
    if (named) {
        struct tone_bag have = bag_of_moment(ctx->arena, m);
        layering_of_harmony(ctx, m->symbol, out);
        if (m->source == MOMENT_SYMBOL || tones_are_there(out, &have))
            return true;
    }
    if (m->source != MOMENT_SYMBOL && layering_find(ctx, m->pitches, m->n, out))
        return true;
    if (named)
        claim_undecided(
            ctx,
            "the symbol at that place reads %.*s, but the notes %.*s do not hold all its tones: which layers "
            "are meant?",
            STR_ARG(say_harmony(ctx, m->symbol)), STR_ARG(say_chord(ctx, c, m)));
    else
        claim_undecided(
            ctx,
            "%.*s (%.*s) shows no two chords one over the other: name the layers in the harmony row, "
            "`D over Eb`",
            STR_ARG(c->words), STR_ARG(say_chord(ctx, c, m)));
    return false;
}

struct str say_layers(struct claim_context *ctx, const struct layering *l)
{
    struct buf b = {0};
    for (uint32_t i = l->n; i-- > 0;)
        buf_printf(&b, "%.*s%s", STR_ARG(l->layers[i].name), i ? " over " : "");
    return buf_take(&b, ctx->arena);
}
