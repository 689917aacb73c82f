/* same_sound.c - whether two spellings are one sound. */
#include "claims/pages.h"
#include "claims/tones.h"

#include <stdlib.h>

enum {
    PITCHES_SOUND,
    PITCH_SOUNDS_AS,
    PITCHES_ENHARMONIC,
    PITCH_ENHARMONIC_OF,
    TONES_SOUND,
    TONE_SOUNDS_AS,
    TONES_ENHARMONIC,
    TONE_ENHARMONIC_OF,
    CHORDS_SOUND,
    CHORD_SOUNDS_AS,
    CHORDS_ENHARMONIC,
    CHORD_ENHARMONIC_OF,
    FORMS = 4 /* of each: pitches, tones, chords */
};

#define SAME "<same|alike|identical|equal>"
#define TWINS                                                                                                \
    "enharmonic|enharmonically [equivalent|equal|twin|spellings|chords|notes|pitches] [of each other]"
#define TWIN "enharmonic|enharmonically [equivalent|equal|twin|spelling|respelling] of|to|with"

static const char *const patterns[] = {
    [PITCHES_SOUND] = "[notes|pitches] PITCH and PITCH sound|is " SAME " [pitch|sound|note]",
    [PITCH_SOUNDS_AS] = "PITCH sounds|is same [pitch|sound|note] as PITCH",
    [PITCHES_ENHARMONIC] = "[notes|pitches] PITCH and PITCH is " TWINS,
    [PITCH_ENHARMONIC_OF] = "PITCH is " TWIN " PITCH",
    [TONES_SOUND] = "[notes|tones] TONE and TONE sound|is " SAME " [pitch|sound|note]",
    [TONE_SOUNDS_AS] = "TONE sounds|is same [pitch|sound|note] as TONE",
    [TONES_ENHARMONIC] = "[notes|tones] TONE and TONE is " TWINS,
    [TONE_ENHARMONIC_OF] = "TONE is " TWIN " TONE",
    [CHORDS_SOUND] = "[chords] CHORD and CHORD sound " SAME,
    [CHORD_SOUNDS_AS] = "CHORD sounds same as CHORD",
    [CHORDS_ENHARMONIC] = "[chords] CHORD and CHORD is " TWINS,
    [CHORD_ENHARMONIC_OF] = "CHORD is " TWIN " CHORD",
    NULL,
};

/* Enharmonic means one sound in two spellings; sounding the same asks for the sound alone. */
static bool asks_two_spellings(int pattern)
{
    return pattern % FORMS >= PITCHES_ENHARMONIC;
}

/* ---- pitches ------------------------------------------------------------------------------------- */

/* The letter of `letter` at the sound of `sound`, in the octave that lies nearest; false where that takes
 * more than a double accidental. */
static bool respell(struct pitch sound, int letter, struct pitch *out)
{
    for (int octave = sound.octave - 1; octave <= sound.octave + 1; octave++) {
        struct pitch p = {{(int8_t)letter, 0}, (int16_t)octave};
        int alter = pitch_midi(sound) - pitch_midi(p);
        if (abs(alter) <= 2) {
            p.tone.alter = (int16_t)alter;
            *out = p;
            return true;
        }
    }
    return false;
}

/* What sounds like `a` and is spelled as near to `b` as can be. */
static struct pitch twin_of(struct pitch a, struct pitch b)
{
    struct pitch out;
    if (respell(a, b.tone.letter, &out) && !pitch_eq(out, a))
        return out;
    if (respell(a, (a.tone.letter + 1) % 7, &out) || respell(a, (a.tone.letter + 6) % 7, &out))
        return out;
    return a;
}

static void offer_pitches(struct claim_context *ctx, struct pitch a, struct pitch b, int pattern)
{
    struct str one = say_pitch(ctx, a), two = say_pitch(ctx, twin_of(a, b));
    if (asks_two_spellings(pattern))
        claim_instead(ctx, "%.*s and %.*s are enharmonic", STR_ARG(one), STR_ARG(two));
    else
        claim_instead(ctx, "%.*s and %.*s sound the same", STR_ARG(one), STR_ARG(two));
}

static void check_pitches(struct claim_context *ctx, struct pitch a, struct pitch b, int pattern)
{
    struct str one = say_pitch(ctx, a), two = say_pitch(ctx, b);
    int half = pitch_midi(b) - pitch_midi(a);
    if (half) {
        bool octaves = half % 12 == 0;
        claim_fails(ctx, "%.*s and %.*s lie %.*s apart by sound%s", STR_ARG(one), STR_ARG(two),
                    STR_ARG(octaves ? say_interval(ctx, (struct interval){abs(half) / 12 * 7, abs(half)})
                                    : say_half_steps(ctx, half)),
                    octaves && !tone_eq(a.tone, b.tone)
                        ? "; the number of the octave belongs to the letter, and a new one begins at C"
                        : "");
        offer_pitches(ctx, a, b, pattern);
        return;
    }
    bool one_spelling = pitch_eq(a, b);
    if (one_spelling && asks_two_spellings(pattern)) {
        claim_fails(ctx, "%.*s is named twice: enharmonic notes are one sound in two spellings",
                    STR_ARG(one));
        offer_pitches(ctx, a, b, pattern);
    } else if (one_spelling) {
        claim_holds(ctx, "%.*s is one note, spelled alike", STR_ARG(one));
    } else {
        claim_holds(ctx, "%.*s and %.*s are one sound, %d as a MIDI number", STR_ARG(one), STR_ARG(two),
                    pitch_midi(a));
    }
}

/* ---- tones --------------------------------------------------------------------------------------- */

static void check_tones(struct claim_context *ctx, struct tone a, struct tone b, int pattern)
{
    struct str one = say_tone(ctx, a), two = say_tone(ctx, b);
    int half = ((tone_pc(b) - tone_pc(a)) % 12 + 12) % 12;
    bool one_spelling = tone_eq(a, b);
    if (half == 0 && one_spelling && !asks_two_spellings(pattern)) {
        claim_holds(ctx, "%.*s is one tone, spelled alike", STR_ARG(one));
        return;
    }
    if (half == 0 && !one_spelling) {
        claim_holds(ctx, "%.*s and %.*s are one sound in every octave", STR_ARG(one), STR_ARG(two));
        return;
    }
    if (half)
        claim_fails(ctx, "%.*s lies %.*s from %.*s by sound", STR_ARG(two),
                    STR_ARG(say_half_steps(ctx, half > 6 ? 12 - half : half)), STR_ARG(one));
    else
        claim_fails(ctx, "%.*s is named twice: enharmonic tones are one sound in two spellings",
                    STR_ARG(one));
    struct tone twin = twin_of((struct pitch){a, 4}, (struct pitch){b, 4}).tone;
    claim_instead(ctx, "%.*s and %.*s %s", STR_ARG(one), STR_ARG(say_tone(ctx, twin)),
                  asks_two_spellings(pattern) ? "are enharmonic" : "sound the same");
}

/* ---- chords -------------------------------------------------------------------------------------- */

/* "F# (spelled Gb in the second)": tones of the first that the second spells otherwise. */
static struct str say_respelled(struct claim_context *ctx, const struct tone_bag *a, const struct tone_bag *b)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, a->n + 1);
    uint32_t n = 0;
    for (uint32_t i = 0; !ctx->mute && i < a->n; i++) {
        struct tone other;
        if (!bag_has(b, a->t[i]) && bag_on(b, tone_pc(a->t[i]), &other))
            words[n++] = say_text(ctx, "%.*s is %.*s in the second", STR_ARG(say_tone(ctx, a->t[i])),
                                  STR_ARG(say_tone(ctx, other)));
    }
    return say_list(ctx, words, n, "and");
}

static struct tone_bag without(struct claim_context *ctx, const struct tone_bag *from, pcset set)
{
    struct tone_bag rest = bag_new(ctx->arena, from->n);
    for (uint32_t i = 0; i < from->n; i++)
        if (!(set & pcset_of(tone_pc(from->t[i]))))
            bag_add(&rest, from->t[i]);
    return rest;
}

static void report_chords(struct claim_context *ctx, const struct match *m, const struct tone_bag bags[2])
{
    struct tone_bag only[2] = {without(ctx, &bags[0], bag_set(&bags[1])),
                               without(ctx, &bags[1], bag_set(&bags[0]))};
    struct str parts[2];
    uint32_t n = 0;
    for (int i = 0; i < 2; i++)
        if (only[i].n)
            parts[n++] = say_text(ctx, "only %.*s has %.*s", STR_ARG(m->chord[i].words),
                                  STR_ARG(say_tones(ctx, only[i].t, only[i].n)));
    claim_fails(ctx, "%.*s is %.*s, %.*s is %.*s: %.*s", STR_ARG(m->chord[0].words),
                STR_ARG(say_tones(ctx, bags[0].t, bags[0].n)), STR_ARG(m->chord[1].words),
                STR_ARG(say_tones(ctx, bags[1].t, bags[1].n)), STR_ARG(say_list(ctx, parts, n, "and")));
}

static void check_chords(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct tone_bag bags[2];
    for (int i = 0; i < 2; i++) {
        struct moment moment;
        if (!chord_moment(ctx, &m->chord[i], false, &moment))
            return;
        bags[i] = bag_of_moment(ctx->arena, &moment);
    }
    if (bag_set(&bags[0]) != bag_set(&bags[1])) {
        report_chords(ctx, m, bags);
        return;
    }
    struct str tones = say_tones(ctx, bags[0].t, bags[0].n), other = say_respelled(ctx, &bags[0], &bags[1]);
    bool spelled_alike = true;
    for (uint32_t i = 0; i < bags[0].n; i++)
        spelled_alike = spelled_alike && bag_has(&bags[1], bags[0].t[i]);
    if (spelled_alike && asks_two_spellings(pattern)) {
        claim_fails(ctx, "both are %.*s, spelled alike: enharmonic chords are one sound in two spellings",
                    STR_ARG(tones));
        claim_instead(ctx, "%.*s and %.*s sound the same", STR_ARG(m->chord[0].words),
                      STR_ARG(m->chord[1].words));
    } else {
        claim_holds(ctx, "%.*s has the tones %.*s, %.*s the same by sound%s%.*s", STR_ARG(m->chord[0].words),
                    STR_ARG(tones), STR_ARG(m->chord[1].words), other.n ? ": " : "", STR_ARG(other));
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    if (pattern < TONES_SOUND)
        check_pitches(ctx, m->pitch[0], m->pitch[1], pattern);
    else if (pattern < CHORDS_SOUND)
        check_tones(ctx, m->tone[0], m->tone[1], pattern);
    else
        check_chords(ctx, m, pattern);
}

const struct claim_kind claim_kind_same_sound = {
    .name = "same-sound",
    .patterns = patterns,
    .meaning = "Whether two pitches, tones or chords are one sound, whatever their spelling.",
    .page = claim_page_same_sound,
    .check = check,
    .fails = DIAG_FAILS_same_sound,
};
