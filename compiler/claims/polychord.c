/* polychord.c - whether a chord is made of complete chords, one over the other. */
#include "claims/layering.h"
#include "claims/pages.h"
#include "claims/tones.h"

enum { IS, IS_OF, IS_OF_TWO, INTERLEAVED, INTERLEAVED_OF, INTERLEAVED_OF_TWO };

static const char *const patterns[] = {
    [IS] = "CHORD is|forms|makes polychord",
    [IS_OF] = "CHORD is|forms|makes polychord [of] SYMBOL",
    [IS_OF_TWO] = "CHORD is|forms|makes polychord [of] SYMBOL over|above SYMBOL",
    [INTERLEAVED] = "CHORD is|forms|makes interleaved polychord",
    [INTERLEAVED_OF] = "CHORD is|forms|makes interleaved polychord [of] SYMBOL",
    [INTERLEAVED_OF_TWO] = "CHORD is|forms|makes interleaved polychord [of] SYMBOL over|above|and SYMBOL",
    NULL,
};

struct case_of {
    struct str words;
    struct moment moment;
    struct tone_bag have;
    bool interleaved;       /* claimed to be */
    bool named;             /* the sentence names the layers */
    struct layering layers; /* those named, or those the symbol at the place names; n is 0 without */
};

/* ---- what the sentence or the symbol names --------------------------------------------------------- */

/* The layers the sentence names: `D over Eb` may have come as one symbol or as two. */
static void read_named(struct claim_context *ctx, const struct match *m, struct case_of *c)
{
    struct layering upper, lower;
    if (m->n_chords < 2)
        return;
    c->named = true;
    layering_of_harmony(ctx, m->chord[m->n_chords - 1].symbol, &lower);
    c->layers = lower;
    if (m->n_chords < 3)
        return;
    layering_of_harmony(ctx, m->chord[1].symbol, &upper);
    for (uint32_t i = 0; i < upper.n && c->layers.n < LAYERS_MAX; i++)
        c->layers.layers[c->layers.n++] = upper.layers[i];
}

/* "; its tones together also make Cmaj9": what the whole would be called as one chord. */
static struct str say_union(struct claim_context *ctx, const struct case_of *c)
{
    bool spelled;
    struct str names = say_chord_names(ctx, &c->have, &spelled);
    if (!names.n)
        return STR("");
    return say_text(ctx, "; all its tones together also %s one ordinary chord, %.*s",
                    spelled ? "make" : "sound as", STR_ARG(names));
}

/* "D (D4 F#4 A4) over Eb (Eb3 G3 Bb3)" */
static struct str say_registers(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    struct buf b = {0};
    for (uint32_t i = l->n; i-- > 0;) {
        const struct layer *layer = &l->layers[i];
        buf_printf(&b, "%.*s (%.*s)%s", STR_ARG(layer->name),
                   STR_ARG(say_pitches(ctx, c->moment.pitches + layer->first, layer->n)), i ? " over " : "");
    }
    return buf_take(&b, ctx->arena);
}

/* ---- why it is none ---------------------------------------------------------------------------------------
 */

/* A tone that a layer asks for and that does not sound. */
static bool report_incomplete(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    for (uint32_t i = 0; i < l->n; i++) {
        for (uint32_t k = 0; k < l->layers[i].tones.n; k++) {
            struct tone t = l->layers[i].tones.t[k], twin;
            if (bag_has(&c->have, t))
                continue;
            struct str lack = say_tone(ctx, t), sound = STR("");
            if (bag_on(&c->have, tone_pc(t), &twin))
                sound = say_text(ctx, " (%.*s sounds the same; spelled it is not %.*s)",
                                 STR_ARG(say_tone(ctx, twin)), STR_ARG(lack));
            claim_fails(ctx, "the layer %.*s is not complete in %.*s: it has no %.*s%.*s",
                        STR_ARG(l->layers[i].name), STR_ARG(say_moment(ctx, &c->moment)), STR_ARG(lack),
                        STR_ARG(sound));
            return true;
        }
    }
    return false;
}

/* A tone that sounds and belongs to no layer. */
static bool report_left_over(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    for (uint32_t i = 0; i < c->have.n; i++) {
        bool belongs = false;
        for (uint32_t k = 0; k < l->n; k++)
            belongs = belongs || bag_has(&l->layers[k].tones, c->have.t[i]);
        if (belongs)
            continue;
        claim_fails(ctx, "%.*s is %.*s: %.*s belongs to no layer of %.*s", STR_ARG(c->words),
                    STR_ARG(say_moment(ctx, &c->moment)), STR_ARG(say_tone(ctx, c->have.t[i])),
                    STR_ARG(say_layers(ctx, l)));
        for (uint32_t k = 0; c->moment.notes && k < c->moment.n; k++)
            if (tone_eq(c->moment.tones[k], c->have.t[i]))
                claim_place(ctx, c->moment.notes[k]->where, "%.*s",
                            STR_ARG(say_pitch(ctx, c->moment.pitches[k])));
        return true;
    }
    return false;
}

static bool report_nested(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    uint32_t inner, outer;
    if (!layering_nested(l, &inner, &outer))
        return false;
    claim_fails(ctx, "%.*s is %.*s: %.*s holds every tone of %.*s, so the two are one chord",
                STR_ARG(c->words), STR_ARG(say_moment(ctx, &c->moment)), STR_ARG(l->layers[outer].name),
                STR_ARG(l->layers[inner].name));
    return true;
}

/* Named upside down. */
static bool report_upside_down(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    struct layering other = layering_reversed(l);
    if (c->interleaved || !layering_separate(ctx, c->moment.pitches, c->moment.n, &other))
        return false;
    claim_fails(ctx, "%.*s: the layers lie the other way round, %.*s", STR_ARG(say_registers(ctx, c, &other)),
                STR_ARG(say_layers(ctx, &other)));
    claim_instead(ctx, "%.*s is a polychord of %.*s", STR_ARG(c->words), STR_ARG(say_layers(ctx, &other)));
    return true;
}

static bool is_of_layer(const struct layering *l, uint32_t i, struct tone t)
{
    return bag_has(&l->layers[i].tones, t);
}

/* Complete, but one reaches into the other. */
static void report_interleaved(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    uint32_t high = 0, low = 0;
    bool found = false;
    const struct moment *m = &c->moment;
    for (uint32_t i = 0; i + 1 < l->n && !found; i++) {
        for (uint32_t k = 0; k < m->n; k++)
            if (is_of_layer(l, i, m->tones[k]) && !is_of_layer(l, i + 1, m->tones[k]))
                high = k; /* the highest that belongs to the lower layer alone */
        for (uint32_t k = m->n; k-- > 0;)
            if (is_of_layer(l, i + 1, m->tones[k]) && !is_of_layer(l, i, m->tones[k]))
                low = k; /* the lowest that belongs to the upper layer alone */
        found = low < high;
    }
    struct str proof = found ? say_text(ctx,
                                        "%.*s of the upper chord lies below %.*s of the lower one",
                                        STR_ARG(say_pitch(ctx, m->pitches[low])),
                                        STR_ARG(say_pitch(ctx, m->pitches[high])))
                             : STR("they do not lie one over the other");
    claim_fails(ctx, "%.*s: the layers of %.*s are complete but interleave: %.*s",
                STR_ARG(say_moment(ctx, m)), STR_ARG(say_layers(ctx, l)), STR_ARG(proof));
    if (found && m->notes) {
        claim_place(ctx, m->notes[low]->where, "%.*s, upper chord", STR_ARG(say_pitch(ctx, m->pitches[low])));
        claim_place(ctx, m->notes[high]->where, "%.*s, lower chord",
                    STR_ARG(say_pitch(ctx, m->pitches[high])));
    }
    claim_instead(ctx, "%.*s is an interleaved polychord of %.*s", STR_ARG(c->words),
                  STR_ARG(say_layers(ctx, l)));
}

/* One bass tone under a complete chord: true after reporting it. */
static bool report_slash(struct claim_context *ctx, const struct case_of *c)
{
    const struct moment *m = &c->moment;
    uint32_t first = 1;
    while (first < m->n && tone_eq(m->tones[first], m->tones[0]))
        first++;
    /* The bass may be doubled above, as a pedal often is: without it the rest must still be a chord. */
    struct tone_bag upper = bag_new(ctx->arena, m->n);
    for (uint32_t i = first; i < m->n; i++)
        if (!tone_eq(m->tones[i], m->tones[0]))
            bag_add(&upper, m->tones[i]);
    struct chord_match match;
    if (upper.n < 3 || !chord_reading(ctx, &upper, &match) || !match.spelled)
        return false;
    struct str bass = say_tone(ctx, m->tones[0]), upper_name = say_symbol(ctx, &match, match.root);
    claim_fails(
        ctx,
        "%.*s is %.*s: %.*s over the single bass note %.*s is a slash chord, %.*s/%.*s; %.*s alone is no "
        "chord%.*s",
        STR_ARG(c->words), STR_ARG(say_moment(ctx, m)), STR_ARG(upper_name), STR_ARG(bass),
        STR_ARG(upper_name), STR_ARG(bass), STR_ARG(bass), STR_ARG(say_union(ctx, c)));
    if (m->notes)
        claim_place(ctx, m->notes[0]->where, "%.*s, the only bass note",
                    STR_ARG(say_pitch(ctx, m->pitches[0])));
    return true;
}

/* One chord in root position is that, before it is anything over a bass. */
static bool report_one_chord(struct claim_context *ctx, const struct case_of *c, bool root_position)
{
    struct chord_match match;
    bool spelled;
    if (!chord_reading(ctx, &c->have, &match) || (root_position && !(match.spelled && match.root_bass)))
        return false;
    claim_fails(
        ctx, "%.*s is %.*s: one chord, %.*s; no cut leaves a complete triad or seventh chord on both sides",
        STR_ARG(c->words), STR_ARG(say_moment(ctx, &c->moment)),
        STR_ARG(say_chord_names(ctx, &c->have, &spelled)));
    return true;
}

static void report_none(struct claim_context *ctx, const struct case_of *c)
{
    if (report_one_chord(ctx, c, true) || report_slash(ctx, c) || report_one_chord(ctx, c, false))
        return;
    claim_fails(ctx, "%.*s is %.*s: no cut leaves a complete triad or seventh chord on both sides",
                STR_ARG(c->words), STR_ARG(say_moment(ctx, &c->moment)));
}

/* ---- the verdict
 * ------------------------------------------------------------------------------------------- */

static void report_separate(struct claim_context *ctx, const struct case_of *c, const struct layering *l)
{
    struct str registers = say_registers(ctx, c, l);
    if (!c->interleaved) {
        claim_holds(ctx, "%.*s, each complete and in its own register%.*s", STR_ARG(registers),
                    STR_ARG(say_union(ctx, c)));
        return;
    }
    claim_fails(ctx, "%.*s: the layers do not interleave, each has its own register", STR_ARG(registers));
    claim_instead(ctx, "%.*s is a polychord of %.*s", STR_ARG(c->words), STR_ARG(say_layers(ctx, l)));
}

/* Layers are named: are they there, are they all there is, and how do they lie? */
static void judge_named(struct claim_context *ctx, struct case_of *c)
{
    struct layering *l = &c->layers;
    if (report_incomplete(ctx, c, l) || report_left_over(ctx, c, l) || report_nested(ctx, c, l)) {
        struct layering other;
        if (layering_find(ctx, c->moment.pitches, c->moment.n, &other) && !c->interleaved)
            claim_instead(ctx, "%.*s is a polychord of %.*s", STR_ARG(c->words),
                          STR_ARG(say_layers(ctx, &other)));
        return;
    }
    if (layering_separate(ctx, c->moment.pitches, c->moment.n, l))
        report_separate(ctx, c, l);
    else if (report_upside_down(ctx, c, l))
        return;
    else if (c->interleaved)
        claim_holds(ctx, "%.*s holds every tone of %.*s and no other, the layers crossing%.*s",
                    STR_ARG(say_moment(ctx, &c->moment)), STR_ARG(say_layers(ctx, l)),
                    STR_ARG(say_union(ctx, c)));
    else
        report_interleaved(ctx, c, l);
}

/* Are the layers of the symbol at the place just what sounds? Then they are meant. */
static bool symbol_layers_fit(struct claim_context *ctx, const struct case_of *c)
{
    uint32_t inner, outer;
    struct tone_bag all = bag_new(ctx->arena, LAYERS_MAX * (CHORD_TONES_MAX + 1));
    for (uint32_t i = 0; i < c->layers.n; i++)
        for (uint32_t k = 0; k < c->layers.layers[i].tones.n; k++)
            bag_add(&all, c->layers.layers[i].tones.t[k]);
    return c->layers.n > 1 && !layering_nested(&c->layers, &inner, &outer) &&
           tones_compare_all(ctx->arena, &c->have, &all).fit == TONES_COMPLETE;
}

static void judge_unnamed(struct claim_context *ctx, struct case_of *c)
{
    struct layering found;
    if (c->moment.symbol && c->moment.symbol->n_layers > 1)
        layering_of_harmony(ctx, c->moment.symbol, &c->layers);
    if (symbol_layers_fit(ctx, c))
        judge_named(ctx, c);
    else if (layering_find(ctx, c->moment.pitches, c->moment.n, &found))
        report_separate(ctx, c, &found);
    else if (c->interleaved)
        claim_undecided(
            ctx,
            "which chords interleave in %.*s is not said: name them, `… is an interleaved polychord of D "
            "over Eb`",
            STR_ARG(say_moment(ctx, &c->moment)));
    else
        report_none(ctx, c);
}

/* A bare symbol of one chord says by itself that it is no polychord. */
static bool refuse_symbol(struct claim_context *ctx, const struct match *m)
{
    const struct chord_ref *c = &m->chord[0];
    if (c->at_place || !c->symbol || c->symbol->n_layers != 1)
        return false;
    const struct chord *chord = &c->symbol->layers[0];
    if (chord->slash)
        claim_fails(
            ctx, "%.*s is a slash chord: one chord over the single bass note %.*s, which alone is no chord",
            STR_ARG(c->words), STR_ARG(say_tone(ctx, chord->bass)));
    else
        claim_fails(ctx, "%.*s names one chord; a polychord is written with `over`, as in `D over Eb`",
                    STR_ARG(c->words));
    return true;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct case_of c = {.words = m->chord[0].words, .interleaved = pattern >= INTERLEAVED};
    if (refuse_symbol(ctx, m) || !chord_moment(ctx, &m->chord[0], true, &c.moment))
        return;
    c.have = bag_of_moment(ctx->arena, &c.moment);
    read_named(ctx, m, &c);
    if (c.named && c.layers.n < 2)
        claim_undecided(ctx, "a polychord has two chords or more: name both, as in `D over Eb`");
    else if (c.named)
        judge_named(ctx, &c);
    else
        judge_unnamed(ctx, &c);
}

const struct claim_kind claim_kind_polychord = {
    .name = "polychord",
    .patterns = patterns,
    .meaning = "Whether the notes are two or more complete chords, each in its own register (or, if said, "
               "interleaved).",
    .page = claim_page_polychord,
    .check = check,
    .fails = DIAG_FAILS_polychord,
};
