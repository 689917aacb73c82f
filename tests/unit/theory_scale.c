#include "theory/scale.h"

#include "theory_random.h"

static struct scale scale_of(const char *id, const int (*degrees)[2], uint32_t n)
{
    struct scale s = {.id = str_of(id), .name = str_of(id), .n_degrees = n};
    for (uint32_t i = 0; i < n; i++) {
        s.degrees[i] = (struct interval){degrees[i][0], degrees[i][1]};
        s.shape |= pcset_of(degrees[i][1]);
    }
    return s;
}

static struct key key_named(const char *tonic, bool minor)
{
    struct key k = {{0, 0}, minor};
    tone_parse(str_of(tonic), &k.tonic);
    return k;
}

static void spells_scales(struct test *t)
{
    static const int octatonic[][2] = {{0, 0}, {1, 1}, {2, 3}, {2, 4}, {3, 6}, {4, 7}, {5, 9}, {6, 10}};
    static const int dorian[][2] = {{0, 0}, {1, 2}, {2, 3}, {3, 5}, {4, 7}, {5, 9}, {6, 10}};
    static const int whole[][2] = {{0, 0}, {1, 2}, {2, 4}, {3, 6}, {4, 8}, {6, 10}};
    struct scale o = scale_of("octatonic", octatonic, 8), d = scale_of("dorian", dorian, 7);
    struct scale w = scale_of("whole", whole, 6);
    struct tone tones[SCALE_TONES_MAX];
    char out[PITCH_TEXT_MAX];
    CHECK(t,
          scale_transpositions(&o) == 3 && scale_transpositions(&d) == 12 && scale_transpositions(&w) == 2);
    CHECK(t, scale_spell(&d, key_named("Eb", false).tonic, tones) == 7);
    CHECK_TEXT(t, tone_text(tones[2], SIGN_ASCII, out), "Gb");
    CHECK_TEXT(t, tone_text(tones[6], SIGN_ASCII, out), "Db");
    CHECK(t, scale_set(&d, 2) == key_set(key_named("C", false), MINOR_ALL));
}

static void knows_keys(struct test *t)
{
    struct key a = key_named("A", true), c = key_named("C", false);
    CHECK(t, pcset_count(key_set(a, MINOR_ALL)) == 9 && pcset_count(key_set(a, MINOR_NATURAL)) == 7);
    CHECK(t, key_set(a, MINOR_NATURAL) == key_set(c, MINOR_ALL));
    CHECK(t, key_has_tone(a, MINOR_HARMONIC, key_named("G#", false).tonic));
    CHECK(t, !key_has_tone(a, MINOR_HARMONIC, key_named("G", false).tonic));
    CHECK(t, !key_has_tone(a, MINOR_ALL,
                           key_named("Ab", false).tonic)); /* sounds in the key, isn't spelled in it */
    CHECK(t, key_has_tone(a, MINOR_MELODIC, key_named("F#", false).tonic));
    CHECK(t, key_contains(a, MINOR_ALL, pcset_of(8)) && !key_contains(a, MINOR_NATURAL, pcset_of(8)));
    CHECK(t, key_contains(c, MINOR_ALL, 0));
}

static void counts_signatures(struct test *t)
{
    static const struct {
        const char *tonic;
        bool minor;
        int fifths;
    } rows[] = {{"C", false, 0}, {"D", false, 2}, {"F", true, -4},  {"F#", false, 6},  {"Gb", false, -6},
                {"A", true, 0},  {"C#", true, 4}, {"Eb", true, -6}, {"Cb", false, -7}, {"G#", false, 8}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        CHECK(t, key_fifths(key_named(rows[i].tonic, rows[i].minor)) == rows[i].fifths);
    static const char *const usual[] = {
        "C major",  "Db major", "D major",  "Eb major", "E major",  "F major",  "F# major", "G major",
        "Ab major", "A major",  "Bb major", "B major",  "C minor",  "C# minor", "D minor",  "Eb minor",
        "E minor",  "F minor",  "F# minor", "G minor",  "G# minor", "A minor",  "Bb minor", "B minor",
    };
    char out[PITCH_TEXT_MAX];
    for (int i = 0; i < 24; i++) {
        CHECK_TEXT(t, key_text(key_of_index(i), SIGN_ASCII, out), usual[i]);
        CHECK(t, abs(key_fifths(key_of_index(i))) <= 6);
    }
    CHECK_TEXT(t, key_text(key_of_index(15), SIGN_WORDS, out), "E flat minor");
}

static void finds_degrees(struct test *t)
{
    int degree = -1, alter = -1;
    key_degree(key_named("C", false), key_named("F#", false).tonic, &degree, &alter);
    CHECK(t, degree == 3 && alter == 1);
    key_degree(key_named("A", true), key_named("G#", false).tonic, &degree, &alter);
    CHECK(t, degree == 6 && alter == 1);
    key_degree(key_named("Eb", false), key_named("Cb", false).tonic, &degree, &alter);
    CHECK(t, degree == 5 && alter == -1);
}

static struct key any_key(struct rng *r)
{
    return (struct key){any_tone(r), rng_between(r, 0, 1) == 1};
}

static bool spelled_in_key_sounds_in_key(struct rng *r)
{
    struct key k = any_key(r);
    struct tone tone = any_tone(r);
    enum minor_form form = (enum minor_form)rng_between(r, 0, 3);
    return !key_has_tone(k, form, tone) || key_contains(k, form, pcset_of(tone_pc(tone)));
}

static bool relative_keys_share_signature_and_tones(struct rng *r)
{
    struct key minor = {any_tone(r), true}, major = {tone_move(minor.tonic, (struct interval){2, 3}), false};
    return key_fifths(minor) == key_fifths(major) &&
           key_set(minor, MINOR_NATURAL) == key_set(major, MINOR_ALL);
}

static bool a_fifth_up_adds_a_sharp(struct rng *r)
{
    struct key k = any_key(r), up = k;
    up.tonic = tone_move(k.tonic, (struct interval){4, 7});
    int common = pcset_count(key_set(k, MINOR_NATURAL) & key_set(up, MINOR_NATURAL));
    return key_fifths(up) == key_fifths(k) + 1 && common == 6;
}

static bool degree_rebuilds_the_tone(struct rng *r)
{
    struct key k = any_key(r);
    struct tone tone = any_tone(r);
    int degree, alter;
    key_degree(k, tone, &degree, &alter);
    struct tone plain = {tone.letter, (int16_t)(tone.alter - alter)};
    return key_has_tone(k, MINOR_NATURAL, plain) && (k.tonic.letter + degree) % 7 == tone.letter;
}

static bool the_union_is_the_three_forms(struct rng *r)
{
    struct key k = any_key(r);
    pcset all = key_set(k, MINOR_NATURAL) | key_set(k, MINOR_HARMONIC) | key_set(k, MINOR_MELODIC);
    return key_set(k, MINOR_ALL) == all && key_contains(k, MINOR_ALL, (pcset)(all & any_set(r)));
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"what is spelled in a key sounds in it", spelled_in_key_sounds_in_key},
        {"relative keys share signature and tones", relative_keys_share_signature_and_tones},
        {"a fifth up adds a sharp and changes one tone", a_fifth_up_adds_a_sharp},
        {"degree and alteration rebuild the tone", degree_rebuilds_the_tone},
        {"all of minor is the union of its forms", the_union_is_the_three_forms},
    };
    struct test t = {"theory_scale", 0, 0};
    spells_scales(&t);
    knows_keys(&t);
    counts_signatures(&t);
    finds_degrees(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
