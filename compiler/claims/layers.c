/* layers.c - how far apart the layers of a polychord lie, and what they share. */
#include "claims/layering.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum { APART, SHARE_COUNT, SHARE_TONES, SHARE_ONLY, HAVE_COUNT };

static const char *const patterns[] = {
    [APART] = "[roots of] [two|three] layers of CHORD lies|stands|are|sits INTERVAL apart",
    [SHARE_COUNT] = "[two|three] layers of CHORD shares [exactly] COUNT [common] tone|tones|note|notes",
    [SHARE_TONES] = "[two|three] layers of CHORD shares TONES",
    [SHARE_ONLY] = "[two|three] layers of CHORD shares only TONES",
    [HAVE_COUNT] =
        "[two|three] layers of CHORD have [exactly] COUNT [common] tone|tones|note|notes [in common]",
    NULL,
};

/* ---- distance -------------------------------------------------------------------------------------------
 */

static void report_apart(struct claim_context *ctx, const struct match *m, const struct layering *l,
                         uint32_t broken, struct interval v, bool same_sound)
{
    const struct layer *low = &l->layers[broken], *high = &l->layers[broken + 1];
    struct interval named = interval_class_spelled(m->interval[0].v);
    struct str why = STR("");
    if (same_sound)
        why = say_text(ctx, "; it %.*s", STR_ARG(tell_same_sound(ctx, v)));
    else if (!m->interval[0].by_sound && interval_eq(named, v))
        why = STR("; the distance is the smaller of the interval and its inversion");
    claim_fails(ctx, "%.*s: the roots %.*s and %.*s lie %.*s apart, not %.*s%.*s",
                STR_ARG(say_layers(ctx, l)), STR_ARG(say_tone(ctx, high->root)),
                STR_ARG(say_tone(ctx, low->root)), STR_ARG(say_interval(ctx, v)),
                STR_ARG(say_named(ctx, &m->interval[0])), STR_ARG(why));
    if (l->n == 2)
        claim_instead(ctx, "the layers of %.*s lie %.*s apart", STR_ARG(m->chord[0].words),
                      STR_ARG(say_interval(ctx, v)));
}

/* Six half steps are as far one way round as the other, so either name of a tritone will do. */
static bool distance_fits(const struct interval_ref *want, struct interval v, bool *same_sound)
{
    bool ignored;
    if (interval_ref_fits(want, 0, v, same_sound))
        return true;
    return v.half == 6 && interval_ref_fits(want, 0, interval_invert(v), &ignored);
}

static void check_apart(struct claim_context *ctx, const struct match *m, const struct layering *l)
{
    for (uint32_t i = 0; i + 1 < l->n; i++) {
        struct interval v = interval_class_spelled(
            interval_between_tones(l->layers[i].root, l->layers[i + 1].root));
        bool same_sound = false;
        if (!distance_fits(&m->interval[0], v, &same_sound)) {
            report_apart(ctx, m, l, i, v, same_sound);
            return;
        }
    }
    const struct layer *low = &l->layers[0], *high = &l->layers[1];
    const char *more = l->n > 2 ? ", and so on upwards" : "";
    claim_holds(ctx, "%.*s: from %.*s to %.*s, the nearer way round, is %.*s%s", STR_ARG(say_layers(ctx, l)),
                STR_ARG(say_tone(ctx, low->root)), STR_ARG(say_tone(ctx, high->root)),
                STR_ARG(say_named(ctx, &m->interval[0])), more);
}

/* ---- shared tones -----------------------------------------------------------------------------------------
 */

/* Tones of the lowest layer that all others have, by sound. */
static struct tone_bag shared_tones(struct claim_context *ctx, const struct layering *l)
{
    struct tone_bag shared = bag_new(ctx->arena, l->layers[0].tones.n);
    pcset set = bag_set(&l->layers[0].tones);
    for (uint32_t i = 1; i < l->n; i++)
        set &= bag_set(&l->layers[i].tones);
    for (uint32_t k = 0; k < l->layers[0].tones.n; k++)
        if (set & pcset_of(tone_pc(l->layers[0].tones.t[k])))
            bag_add(&shared, l->layers[0].tones.t[k]);
    return shared;
}

/* "D (D, F# and A) over Eb (Eb, G and Bb)" */
static struct str say_contents(struct claim_context *ctx, const struct layering *l)
{
    struct buf b = {0};
    for (uint32_t i = l->n; i-- > 0;)
        buf_printf(&b, "%.*s (%.*s)%s", STR_ARG(l->layers[i].name),
                   STR_ARG(say_tones(ctx, l->layers[i].tones.t, l->layers[i].tones.n)), i ? " over " : "");
    return buf_take(&b, ctx->arena);
}

static bool tones_fit(const struct match *m, int pattern, pcset shared)
{
    pcset named = 0;
    if (pattern == SHARE_COUNT || pattern == HAVE_COUNT)
        return m->count[0] == pcset_count(shared);
    for (int i = 0; i < m->n_list; i++)
        named |= pcset_of(tone_pc(m->list[i]));
    return !(named & ~shared) && (pattern != SHARE_ONLY || named == shared);
}

static void check_shared(struct claim_context *ctx, const struct match *m, int pattern,
                         const struct layering *l)
{
    struct tone_bag bag = shared_tones(ctx, l);
    pcset set = bag_set(&bag);
    struct str shared = say_shared(ctx, set, say_tones(ctx, bag.t, bag.n)), contents = say_contents(ctx, l);
    if (tones_fit(m, pattern, set)) {
        claim_holds(ctx, "%.*s share %.*s", STR_ARG(contents), STR_ARG(shared));
        return;
    }
    claim_fails(ctx, "%.*s share %.*s%.*s", STR_ARG(contents), STR_ARG(shared),
                STR_ARG(say_not_shared(ctx, m, set)));
    claim_instead(ctx, "the layers of %.*s share %.*s", STR_ARG(m->chord[0].words),
                  STR_ARG(set ? say_count(ctx, pcset_count(set), "tone", "tones") : STR("no tone")));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct moment moment;
    struct layering layers;
    if (!layering_of_chord(ctx, &m->chord[0], &moment, &layers))
        return;
    if (pattern == APART)
        check_apart(ctx, m, &layers);
    else
        check_shared(ctx, m, pattern, &layers);
}

const struct claim_kind claim_kind_layers = {
    .name = "layers",
    .patterns = patterns,
    .meaning = "How far apart the roots of a polychord's layers lie, the nearer way round, or which tones "
               "the layers share.",
    .page = claim_page_layers,
    .check = check,
    .fails = DIAG_FAILS_layers,
};
