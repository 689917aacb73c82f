#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/sizes.h"
#include "claims/tell.h"
#include "claims/tones.h"

#include "base/buf.h"

/* A number without a quality. */
#define STEPS "<second|third|fourth|fifth|sixth|seventh|ninth>"
static const int steps_of_choice[] = {1, 2, 3, 4, 5, 6, 8};

#define WRITTEN "[than] [its|what is] written|notated [pitch|note]"
#define SOUNDS "[than] [where|what] [it|its] sounds|sounding [pitch]"

enum pattern {
    SOUNDS_BY,
    SOUNDS_STEPS,
    AS_WRITTEN,
    AT_WRITTEN,
    WRITTEN_BY,
    WRITTEN_STEPS,
    NOTE_ON,
    NOTE_FOR,
    IN_TONE,
    TRANSPOSING,
    TRANSPOSES
};

static const char *const patterns[] = {
    [SOUNDS_BY] = "INSTRUMENT sounds INTERVAL DIRECTION " WRITTEN,
    [SOUNDS_STEPS] = "INSTRUMENT sounds " STEPS " DIRECTION " WRITTEN,
    [AS_WRITTEN] = "INSTRUMENT sounds [just|exactly] as [it is] written|notated",
    [AT_WRITTEN] = "INSTRUMENT sounds at written pitch",
    [WRITTEN_BY] = "INSTRUMENT is written|notated INTERVAL DIRECTION " SOUNDS,
    [WRITTEN_STEPS] = "INSTRUMENT is written|notated " STEPS " DIRECTION " SOUNDS,
    [NOTE_ON] = "written PITCH sounds [as] PITCH on|for INSTRUMENT",
    [NOTE_FOR] = "PITCH written for INSTRUMENT sounds [as] PITCH",
    [IN_TONE] = "INSTRUMENT is [transposing] [instrument] in TONE",
    [TRANSPOSING] = "INSTRUMENT is transposing instrument",
    [TRANSPOSES] = "INSTRUMENT transposes",
    NULL,
};

/* ---- words ----------------------------------------------------------------------------------- */

static bool as_written(const struct instrument *in)
{
    return in->sounds.steps == 0 && in->sounds.half == 0;
}

/* "sounds a perfect fifth below written" */
static struct str sounds_words(struct claim_context *ctx, const struct instrument *in)
{
    if (as_written(in))
        return STR("sounds as written");
    bool below = in->sounds.half < 0;
    struct str size = say_size(ctx, below ? interval_negate(in->sounds) : in->sounds);
    return say_text(ctx, "sounds %.*s %s written", STR_ARG(size), below ? "below" : "above");
}

static struct pitch sounding_pitch(const struct instrument *in, struct pitch written)
{
    return pitch_move(written, in->sounds);
}

/* "the horn sounds a perfect fifth below written (written C4 sounds F3)" */
static struct str entry_words(struct claim_context *ctx, const struct instrument *in)
{
    static const struct pitch middle_c = {{0, 0}, 4};
    struct str title = instrument_title(in), sounds = sounds_words(ctx, in);
    if (as_written(in))
        return say_text(ctx, "the %.*s %.*s", STR_ARG(title), STR_ARG(sounds));
    return say_text(ctx, "the %.*s %.*s (written C4 sounds %.*s)", STR_ARG(title), STR_ARG(sounds),
                    STR_ARG(say_pitch(ctx, sounding_pitch(in, middle_c))));
}

/* True after a verdict: an instrument without pitch has nothing to transpose. */
static bool unpitched(struct claim_context *ctx, const struct instrument *in)
{
    if (in->has_range || !as_written(in))
        return false;
    claim_undecided(ctx, "the instrument library gives the %.*s no pitch, neither written nor sounding",
                    STR_ARG(instrument_title(in)));
    return true;
}

static void suggest(struct claim_context *ctx, const struct instrument *in)
{
    struct str title = instrument_title(in);
    if (as_written(in))
        claim_instead(ctx, "the %.*s sounds as written", STR_ARG(title));
    else
        claim_instead(ctx, "the %.*s sounds %.*s %s written", STR_ARG(title),
                      STR_ARG(interval_sentence(ctx, in->sounds)), in->sounds.half < 0 ? "below" : "above");
}

/* ---- sentences ------------------------------------------------------------------------------- */

/* `direction` is that of the sound against the writing. */
static struct size size_asked(const struct match *m, int direction)
{
    if (m->n_intervals)
        return (struct size){.kind = SIZE_NAMED, .named = &m->interval[0], .direction = direction};
    return (struct size){.kind = SIZE_STEPS, .steps = steps_of_choice[m->choice[0]], .direction = direction};
}

static void check_interval(struct claim_context *ctx, const struct match *m, int direction)
{
    const struct instrument *in = m->instrument[0];
    struct size want = size_asked(m, direction);
    bool hangs, same_sound = false;
    bool fits = size_fits(ctx, &want, in->sounds, &hangs);
    if (hangs)
        claim_convention(ctx, CONVENTION_COMPOUND);
    if (fits) {
        claim_holds(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
        return;
    }
    if (want.kind == SIZE_NAMED)
        interval_ref_fits(want.named, direction, in->sounds, &same_sound);
    struct str sound =
        same_sound ? say_text(ctx, ": it %.*s", STR_ARG(tell_same_sound(ctx, in->sounds))) : STR("");
    claim_fails(ctx, "%.*s%.*s", STR_ARG(entry_words(ctx, in)), STR_ARG(sound));
    suggest(ctx, in);
}

static void check_as_written(struct claim_context *ctx, const struct instrument *in)
{
    if (as_written(in)) {
        claim_holds(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
        return;
    }
    claim_fails(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
    suggest(ctx, in);
}

static void check_note(struct claim_context *ctx, const struct match *m)
{
    const struct instrument *in = m->instrument[0];
    struct pitch is = sounding_pitch(in, m->pitch[0]);
    struct str written = say_pitch(ctx, m->pitch[0]), sounds = say_pitch(ctx, is),
               title = instrument_title(in);
    bool same_sound = pitch_midi(is) == pitch_midi(m->pitch[1]);
    if (pitch_eq(is, m->pitch[1])) {
        claim_holds(ctx, "%.*s, so written %.*s sounds %.*s", STR_ARG(entry_words(ctx, in)), STR_ARG(written),
                    STR_ARG(sounds));
        return;
    }
    claim_fails(ctx, "%.*s, so written %.*s sounds %.*s%s", STR_ARG(entry_words(ctx, in)), STR_ARG(written),
                STR_ARG(sounds), same_sound ? ": the same sound, spelled otherwise" : "");
    claim_instead(ctx, "written %.*s sounds %.*s on the %.*s", STR_ARG(written), STR_ARG(sounds),
                  STR_ARG(title));
}

/* An instrument is in the tone that its written C sounds, in whatever octave. */
static void check_tone(struct claim_context *ctx, const struct match *m)
{
    const struct instrument *in = m->instrument[0];
    struct tone is = tone_move((struct tone){0, 0}, in->sounds);
    struct str title = instrument_title(in), tone = say_tone(ctx, is);
    if (tone_eq(is, m->tone[0])) {
        claim_holds(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
        return;
    }
    bool same_sound = tone_pc(is) == tone_pc(m->tone[0]);
    claim_fails(ctx, "%.*s, so it is in %.*s%s", STR_ARG(entry_words(ctx, in)), STR_ARG(tone),
                same_sound ? ": the same sound, spelled otherwise" : "");
    claim_instead(ctx, "the %.*s is in %.*s", STR_ARG(title), STR_ARG(tone));
}

static void check_transposing(struct claim_context *ctx, const struct instrument *in)
{
    if (as_written(in)) {
        claim_fails(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
        suggest(ctx, in);
    } else if (in->sounds.steps % 7 == 0) {
        claim_undecided(ctx, "%.*s: by octaves only, which not all books call transposing",
                        STR_ARG(entry_words(ctx, in)));
    } else {
        claim_holds(ctx, "%.*s", STR_ARG(entry_words(ctx, in)));
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    const struct instrument *in = m->instrument[0];
    if (unpitched(ctx, in))
        return;
    switch ((enum pattern)pattern) {
    case SOUNDS_BY:
    case SOUNDS_STEPS:
        check_interval(ctx, m, m->direction[0]);
        return;
    case WRITTEN_BY:
    case WRITTEN_STEPS:
        check_interval(ctx, m, -m->direction[0]);
        return;
    case AS_WRITTEN:
    case AT_WRITTEN:
        check_as_written(ctx, in);
        return;
    case NOTE_ON:
    case NOTE_FOR:
        check_note(ctx, m);
        return;
    case IN_TONE:
        check_tone(ctx, m);
        return;
    case TRANSPOSING:
    case TRANSPOSES:
        check_transposing(ctx, in);
        return;
    }
}

const struct claim_kind claim_kind_sounding = {
    .name = "sounding",
    .patterns = patterns,
    .meaning = "how far from its written notes an instrument sounds, by the instrument library",
    .page = claim_page_sounding,
    .check = check,
    .fails = DIAG_FAILS_sounding,
};
