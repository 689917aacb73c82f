/* chord_is.c - whether the notes at a place are the chord that a symbol names. */
#include "claims/layering.h"
#include "claims/pages.h"
#include "claims/tones.h"

enum { IS, SOUNDS_LIKE };

static const char *const patterns[] = {
    [IS] = "CHORD is|forms|spells|makes SYMBOL",
    [SOUNDS_LIKE] = "CHORD sounds <like|as> SYMBOL",
    NULL,
};

/* Everything a verdict of this kind needs. */
struct case_of {
    const struct match *m;
    const struct harmony *want;
    struct str want_words; /* as the sentence has it */
    struct tone_bag want_tones;
    struct moment moment;
    struct tone_bag have;
    struct tones_report report;
    bool by_sound;
};

static bool is_slash(const struct harmony *h)
{
    return h->n_layers == 1 && h->layers[0].slash;
}

static struct str words_of(const struct case_of *c)
{
    return c->m->chord[0].words;
}

/* ", which is Am7/C", or what comes nearest, or nothing. */
static struct str say_truth(struct claim_context *ctx, const struct case_of *c)
{
    bool spelled;
    struct str names = say_chord_names(ctx, &c->have, &spelled);
    if (names.n)
        return say_text(ctx, "; the notes %s %.*s", spelled ? "are" : "sound like", STR_ARG(names));
    names = say_nearest_chord(ctx, &c->have);
    return names.n ? say_text(ctx, "; the nearest chord is %.*s", STR_ARG(names))
                   : STR("; the notes make no chord of the library");
}

static void offer_true(struct claim_context *ctx, const struct case_of *c)
{
    struct chord_match match;
    if (c->moment.source == MOMENT_SYMBOL || !chord_reading(ctx, &c->have, &match))
        return;
    claim_instead(ctx, "%.*s %s %.*s", STR_ARG(words_of(c)), match.spelled ? "is" : "sounds like",
                  STR_ARG(say_symbol(ctx, &match, c->have.t[0])));
}

/* "D is missing; F# and A are foreign to it" */
static struct str say_differences(struct claim_context *ctx, const struct case_of *c)
{
    const struct tones_report *r = &c->report;
    struct str missing = say_tones(ctx, r->missing.t, r->missing.n),
               foreign = say_tones(ctx, r->foreign.t, r->foreign.n);
    const char *lack = r->missing.n > 1 ? "are missing" : "is missing",
               *extra = r->foreign.n > 1 ? "are" : "is";
    if (!r->missing.n)
        return say_text(ctx, "%.*s %s foreign to it", STR_ARG(foreign), extra);
    if (!r->foreign.n)
        return say_text(ctx, "%.*s %s", STR_ARG(missing), lack);
    return say_text(ctx, "%.*s %s, %.*s %s foreign to it", STR_ARG(missing), lack, STR_ARG(foreign),
                    extra);
}

static void point_at_foreign(struct claim_context *ctx, const struct case_of *c)
{
    if (!c->moment.notes)
        return;
    for (uint32_t i = 0; i < c->moment.n; i++)
        if (bag_has(&c->report.foreign, c->moment.tones[i]))
            claim_place(ctx, c->moment.notes[i]->where, "%.*s is foreign to %.*s",
                        STR_ARG(say_pitch(ctx, c->moment.pitches[i])), STR_ARG(c->want_words));
}

static void report_tones(struct claim_context *ctx, const struct case_of *c)
{
    struct str want = say_tones(ctx, c->want_tones.t, c->want_tones.n);
    claim_fails(ctx, "%.*s is %.*s; %.*s is %.*s: %.*s%.*s", STR_ARG(words_of(c)),
                STR_ARG(say_chord(ctx, &c->m->chord[0], &c->moment)), STR_ARG(c->want_words), STR_ARG(want),
                STR_ARG(say_differences(ctx, c)), STR_ARG(say_truth(ctx, c)));
    point_at_foreign(ctx, c);
    offer_true(ctx, c);
}

static void report_respelled(struct claim_context *ctx, const struct case_of *c)
{
    struct str want = say_tones(ctx, c->want_tones.t, c->want_tones.n);
    bool spelled;
    struct str names = say_chord_names(ctx, &c->have, &spelled);
    struct str truth = spelled ? say_text(ctx, ", which is %.*s", STR_ARG(names)) : STR("");
    claim_fails(ctx, "%.*s sounds the same as %.*s (%.*s); spelled it is %.*s%.*s", STR_ARG(words_of(c)),
                STR_ARG(c->want_words), STR_ARG(want), STR_ARG(say_chord(ctx, &c->m->chord[0], &c->moment)),
                STR_ARG(truth));
    point_at_foreign(ctx, c);
    if (spelled)
        offer_true(ctx, c);
    else
        claim_instead(ctx, "%.*s sounds like %.*s", STR_ARG(words_of(c)), STR_ARG(c->want_words));
}

static void report_bass(struct claim_context *ctx, const struct case_of *c)
{
    struct tone bass = c->moment.pitches[0].tone, want = c->want->layers[0].bass;
    claim_fails(ctx, "%.*s has the tones of %.*s, but the bass is %.*s, not %.*s", STR_ARG(words_of(c)),
                STR_ARG(c->want_words), STR_ARG(say_pitch(ctx, c->moment.pitches[0])),
                STR_ARG(say_tone(ctx, want)));
    if (c->moment.notes)
        claim_place(ctx, c->moment.notes[0]->where, "%.*s is the lowest note", STR_ARG(say_tone(ctx, bass)));
    offer_true(ctx, c);
}

/* A symbol with layers says which lies over which. */
static bool layers_stand(struct claim_context *ctx, const struct case_of *c)
{
    struct layering layers;
    if (c->want->n_layers < 2)
        return true;
    layering_of_harmony(ctx, c->want, &layers);
    return layering_separate(ctx, c->moment.pitches, c->moment.n, &layers);
}

static void report_layers(struct claim_context *ctx, const struct case_of *c)
{
    struct layering layers, other;
    layering_of_harmony(ctx, c->want, &layers);
    other = layering_reversed(&layers);
    struct str what = say_chord(ctx, &c->m->chord[0], &c->moment);
    if (layering_separate(ctx, c->moment.pitches, c->moment.n, &other)) {
        claim_fails(ctx, "%.*s is %.*s: the layers lie the other way round, %.*s", STR_ARG(words_of(c)),
                    STR_ARG(what), STR_ARG(say_layers(ctx, &other)));
        claim_instead(ctx, "%.*s is %.*s", STR_ARG(words_of(c)), STR_ARG(say_layers(ctx, &other)));
        return;
    }
    claim_fails(ctx,
                "%.*s is %.*s: it has all the tones of %.*s, but the layers do not lie one over the other",
                STR_ARG(words_of(c)), STR_ARG(what), STR_ARG(c->want_words));
    claim_instead(ctx, "%.*s sounds like %.*s", STR_ARG(words_of(c)), STR_ARG(c->want_words));
}

/* "; also Am7/C": other chords of the very same tones. */
static struct str say_twins(struct claim_context *ctx, const struct case_of *c)
{
    struct chord_match all[READINGS_MAX];
    struct str names[READINGS_MAX];
    const struct chord *want = &c->want->layers[0];
    uint32_t n = chord_readings(ctx, &c->have, all), kept = 0;
    for (uint32_t i = 0; i < n && all[i].spelled; i++)
        if (c->want->n_layers > 1 || !tone_eq(all[i].root, want->root) || all[i].quality != want->quality)
            names[kept++] = say_symbol(ctx, &all[i], c->have.t[0]);
    return kept ? say_text(ctx, "; the same tones make %.*s",
                           STR_ARG(say_list(ctx, names, kept, "or")))
                : STR("");
}

static void report_agreement(struct claim_context *ctx, const struct case_of *c)
{
    struct str left_out = STR(""), bass = STR("");
    struct tone lowest = c->moment.pitches[0].tone;
    if (c->report.fit == TONES_SHORT)
        left_out = say_text(ctx, ", with %.*s left out, as the chord allows",
                            STR_ARG(say_tones(ctx, c->report.missing.t, c->report.missing.n)));
    if (c->want->n_layers == 1 && !tone_eq(lowest, c->want->layers[0].bass))
        bass = say_text(ctx, "; the bass is %.*s", STR_ARG(say_tone(ctx, lowest)));
    const char *verb = c->by_sound && c->report.fit == TONES_RESPELLED ? "sounds like" : "makes";
    claim_holds(ctx, "%.*s %s %.*s (%.*s)%.*s%.*s%.*s", STR_ARG(say_chord(ctx, &c->m->chord[0], &c->moment)),
                verb, STR_ARG(c->want_words), STR_ARG(say_tones(ctx, c->want_tones.t, c->want_tones.n)),
                STR_ARG(left_out), STR_ARG(bass), STR_ARG(say_twins(ctx, c)));
}

/* What only a symbol stands for is the analyst's reading: it cannot prove itself, but it can contradict the
 * sentence. */
static void judge_symbol(struct claim_context *ctx, const struct case_of *c)
{
    bool bare = !c->m->chord[0].at_place;
    if (c->report.fit == TONES_DIFFER) {
        report_tones(ctx, c);
        return;
    }
    if (bare)
        claim_undecided(ctx, "%.*s and %.*s are two names: name the place where the chord sounds",
                        STR_ARG(words_of(c)), STR_ARG(c->want_words));
    else
        claim_undecided(
            ctx,
            "%.*s is known by its symbol %.*s alone: no notes are written there; add a part, or a voicing "
            "`as (…)` to the symbol",
            STR_ARG(words_of(c)), STR_ARG(say_harmony(ctx, c->moment.symbol)));
}

static void judge_notes(struct claim_context *ctx, const struct case_of *c)
{
    bool slash_fits = !is_slash(c->want) || tone_eq(c->moment.pitches[0].tone, c->want->layers[0].bass) ||
                      (c->by_sound && tone_pc(c->moment.pitches[0].tone) == tone_pc(c->want->layers[0].bass));
    switch (c->report.fit) {
    case TONES_DIFFER:
        report_tones(ctx, c);
        return;
    case TONES_RESPELLED:
        if (!c->by_sound) {
            report_respelled(ctx, c);
            return;
        }
        break;
    case TONES_COMPLETE:
    case TONES_SHORT:
        break;
    }
    if (!slash_fits)
        report_bass(ctx, c);
    else if (!c->by_sound && !layers_stand(ctx, c))
        report_layers(ctx, c);
    else
        report_agreement(ctx, c);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct case_of c = {.m = m,
                        .want = m->chord[1].symbol,
                        .want_words = m->chord[1].words,
                        .by_sound = pattern == SOUNDS_LIKE};
    if (!c.want || !c.want->n_layers) {
        claim_undecided(ctx, "`%.*s` names no tones to compare with", STR_ARG(c.want_words));
        return;
    }
    if (!chord_moment(ctx, &m->chord[0], false, &c.moment))
        return;
    c.want_tones = bag_of_harmony(ctx->arena, c.want);
    c.have = bag_of_moment(ctx->arena, &c.moment);
    c.report = c.want->n_layers == 1
                   ? tones_compare(ctx->arena, &c.have, &c.want_tones, c.want->layers[0].root)
                   : tones_compare_all(ctx->arena, &c.have, &c.want_tones);
    if (c.moment.source == MOMENT_SYMBOL)
        judge_symbol(ctx, &c);
    else
        judge_notes(ctx, &c);
}

const struct claim_kind claim_kind_chord_is = {
    .name = "chord-is",
    .patterns = patterns,
    .meaning = "Whether the notes at a place are the tones of the symbol, spelled as it spells them, over "
               "the bass it names.",
    .page = claim_page_chord_is,
    .check = check,
    .fails = DIAG_FAILS_chord_is,
};
