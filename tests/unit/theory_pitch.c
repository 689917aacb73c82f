#include "theory/pitch.h"

#include "theory_random.h"

static void reads_and_writes(struct test *t)
{
    static const struct {
        const char *text;
        int letter, alter, octave, midi;
        const char *unicode, *words;
    } rows[] = {
        {"C4", 0, 0, 4, 60, "C4", "C 4"},
        {"A4", 5, 0, 4, 69, "A4", "A 4"},
        {"Bb3", 6, -1, 3, 58, "B♭3", "B flat 3"},
        {"C#-1", 0, 1, -1, 1, "C♯-1", "C sharp minus 1"},
        {"F##5", 3, 2, 5, 79, "F𝄪5", "F double sharp 5"},
        {"Cb4", 0, -1, 4, 59, "C♭4", "C flat 4"}, /* the number belongs to the letter: sounds as B3 */
        {"B#3", 6, 1, 3, 60, "B♯3", "B sharp 3"},
        {"Dbbb2", 1, -3, 2, 35, "D♭𝄫2", "D triple flat 2"},
        {"E#####0", 2, 5, 0, 21, "E♯𝄪𝄪0", "E 5-fold sharp 0"},
    };
    char out[PITCH_TEXT_MAX];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct pitch p = {{0, 0}, 0};
        CHECK(t, pitch_parse(str_of(rows[i].text), &p));
        CHECK(t,
              p.tone.letter == rows[i].letter && p.tone.alter == rows[i].alter && p.octave == rows[i].octave);
        CHECK(t, pitch_midi(p) == rows[i].midi);
        CHECK_TEXT(t, pitch_text(p, SIGN_ASCII, out), rows[i].text);
        CHECK_TEXT(t, pitch_text(p, SIGN_UNICODE, out), rows[i].unicode);
        CHECK_TEXT(t, pitch_text(p, SIGN_WORDS, out), rows[i].words);
    }
}

static void reads_other_signs(struct test *t)
{
    static const struct {
        const char *text;
        int alter;
    } rows[] = {{"Fx", 2}, {"F𝄪", 2}, {"F♯", 1}, {"F♯♯", 2}, {"F♭", -1}, {"F𝄫", -2}, {"F♮", 0}, {"F#x", 3}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct tone tone = {0, 99};
        CHECK(t, tone_parse(str_of(rows[i].text), &tone));
        CHECK(t, tone.letter == 3 && tone.alter == rows[i].alter);
    }
    struct pitch natural = {{0, 9}, 0};
    CHECK(t, pitch_parse(STR("Fn5"), &natural) && natural.tone.letter == 3 && natural.tone.alter == 0 && natural.octave == 5);
    CHECK(t, !pitch_parse(STR("F#n5"), &natural) && !pitch_parse(STR("Fnn5"), &natural) && !pitch_parse(STR("Fn"), &natural));
}

static void refuses(struct test *t)
{
    static const char *const pitches[] = {"",    "4",    "H4",   "c4", "C",   "C4 ", " C4", "C--1",
                                          "C4b", "C#b4", "C100", "C-", "C4.", "♯C4", "C+1", "C99999999999"};
    static const char *const tones[] = {"", "#", "C#b", "Cb#", "C4", "C♮♯", "C♯♮", "bb"};
    for (size_t i = 0; i < sizeof pitches / sizeof pitches[0]; i++) {
        struct pitch p = {{5, 7}, 9};
        CHECK(t, !pitch_parse(str_of(pitches[i]), &p));
        CHECK(t, p.tone.letter == 5 && p.tone.alter == 7 && p.octave == 9);
    }
    for (size_t i = 0; i < sizeof tones / sizeof tones[0]; i++) {
        struct tone tone = {5, 7};
        CHECK(t, !tone_parse(str_of(tones[i]), &tone));
        CHECK(t, tone.letter == 5 && tone.alter == 7);
    }
}

/* Both sides of ALTER_MAX and OCTAVE_MAX. */
static void keeps_limits(struct test *t)
{
    char text[ALTER_MAX + 8] = "F", out[PITCH_TEXT_MAX];
    struct tone tone;
    struct pitch p;
    memset(text + 1, '#', ALTER_MAX);
    text[ALTER_MAX + 1] = '\0';
    CHECK(t, tone_parse(str_of(text), &tone) && tone.alter == ALTER_MAX);
    CHECK_TEXT(t, tone_text(tone, SIGN_ASCII, out), text);
    CHECK(t, strlen(tone_text(tone, SIGN_UNICODE, out)) < PITCH_TEXT_MAX - 1);
    struct tone again;
    CHECK(t, tone_parse(str_of(out), &again) && tone_eq(tone, again));
    text[ALTER_MAX + 1] = '#';
    text[ALTER_MAX + 2] = '\0';
    CHECK(t, !tone_parse(str_of(text), &tone));
    CHECK_TEXT(t, tone_text((struct tone){3, ALTER_MAX + 1}, SIGN_ASCII, out), "F(100#)");
    CHECK(t, pitch_parse(STR("C99"), &p) && p.octave == OCTAVE_MAX);
    CHECK(t, pitch_parse(STR("C-99"), &p) && p.octave == -OCTAVE_MAX);
}

static void reads_a_beginning(struct test *t)
{
    struct tone tone;
    uint32_t used = 0;
    CHECK(t, tone_read(STR("Bb#11"), &tone, &used) && used == 2 && tone.alter == -1);
    CHECK(t, tone_read(STR("C♭maj7"), &tone, &used) && used == 4 && tone.alter == -1);
    CHECK(t, tone_read(STR("Gsus4"), &tone, &used) && used == 1 && tone.alter == 0);
}

static void spells_the_keyboard(struct test *t)
{
    static const char *const sharps[] = {"C4",  "C#4", "D4",  "D#4", "E4",  "F4",
                                         "F#4", "G4",  "G#4", "A4",  "A#4", "B4"};
    static const char *const flats[] = {"C4",  "Db4", "D4",  "Eb4", "E4",  "F4",
                                        "Gb4", "G4",  "Ab4", "A4",  "Bb4", "B4"};
    char out[PITCH_TEXT_MAX];
    for (int i = 0; i < 12; i++) {
        CHECK_TEXT(t, pitch_text(pitch_of_midi(60 + i, false), SIGN_ASCII, out), sharps[i]);
        CHECK_TEXT(t, pitch_text(pitch_of_midi(60 + i, true), SIGN_ASCII, out), flats[i]);
    }
    CHECK_TEXT(t, pitch_text(pitch_of_midi(-1, true), SIGN_ASCII, out), "B-2");
}

static bool text_round_trip(struct rng *r)
{
    char ascii[PITCH_TEXT_MAX], unicode[PITCH_TEXT_MAX];
    struct pitch p = any_pitch(r), a, u;
    return pitch_parse(str_of(pitch_text(p, SIGN_ASCII, ascii)), &a) && pitch_eq(p, a) &&
           pitch_parse(str_of(pitch_text(p, SIGN_UNICODE, unicode)), &u) && pitch_eq(p, u);
}

static bool sound_and_class_agree(struct rng *r)
{
    struct pitch p = any_pitch(r);
    return ((pitch_midi(p) % 12) + 12) % 12 == tone_pc(p.tone);
}

static bool midi_round_trip(struct rng *r)
{
    int midi = rng_between(r, -100, 300);
    return pitch_midi(pitch_of_midi(midi, true)) == midi && pitch_midi(pitch_of_midi(midi, false)) == midi;
}

static bool an_octave_doubles(struct rng *r)
{
    struct pitch p = any_pitch(r), above = p;
    above.octave++;
    double ratio = pitch_hertz(above, 440.0) / pitch_hertz(p, 440.0);
    return pitch_midi(above) == pitch_midi(p) + 12 && pitch_steps(above) == pitch_steps(p) + 7 &&
           ratio > 2.0 - 1e-12 && ratio < 2.0 + 1e-12;
}

/* Random bytes near music: read or refused, what is read is written and read back alike. */
static bool any_bytes(struct rng *r)
{
    static const char near[] = "ABCDEFGHabx#b-0123456789\xE2\x99\xAF\xF0\x9D\x84\xAA";
    char text[12], out[PITCH_TEXT_MAX];
    uint32_t n = (uint32_t)rng_between(r, 0, 11);
    for (uint32_t i = 0; i < n; i++)
        text[i] = near[rng_between(r, 0, (int)sizeof near - 1)];
    struct pitch p, again;
    if (!pitch_parse((struct str){text, n}, &p))
        return true;
    return pitch_parse(str_of(pitch_text(p, SIGN_ASCII, out)), &again) && pitch_eq(p, again);
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"a pitch written and read is the same", text_round_trip},
        {"pitch class is sound without octave", sound_and_class_agree},
        {"a MIDI number spelled sounds the same", midi_round_trip},
        {"an octave doubles the frequency", an_octave_doubles},
        {"any bytes are read or refused", any_bytes},
    };
    struct test t = {"theory_pitch", 0, 0};
    reads_and_writes(&t);
    reads_other_signs(&t);
    refuses(&t);
    keeps_limits(&t);
    reads_a_beginning(&t);
    spells_the_keyboard(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
