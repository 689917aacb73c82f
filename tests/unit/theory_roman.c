#include "theory/roman.h"

#include "theory_random.h"

static const char *chord_text(const struct chord *c, char *out)
{
    char tone[PITCH_TEXT_MAX];
    out[0] = '\0';
    for (uint32_t i = 0; i < c->n_tones; i++) {
        strcat(out, tone_text(c->tones[i], SIGN_ASCII, tone));
        strcat(out, " ");
    }
    strcat(out, "/ ");
    strcat(out, tone_text(c->bass, SIGN_ASCII, tone));
    return out;
}

static void reads_numerals(struct test *t)
{
    static const struct {
        const char *numeral;
        bool minor; /* on A */
        const char *chord;
    } rows[] = {
        {"I7", false, "A C# E G# / A"},
        {"IV65", false, "D F# A C# / F#"},
        {"Imaj7", false, "A C# E G# / A"},
        {"IVM7", false, "D F# A C# / D"},
        {"bVII7", false, "G B D F / G"},
        {"iv7", false, "D F A C / D"},
        {"i7", true, "A C E G / A"},
        {"imaj7", true, "A C E G# / A"},
        {"III7", true, "C E G B / C"},
        {"VII7", true, "G B D F / G"},
        {"VII", true, "G B D / G"},
        {"vii°", true, "G# B D / G#"},
        {"viiø7", true, "G# B D F# / G#"},
        {"vi°", true, "F# A C / F#"},
        {"bVI", true, "F A C / F"},
        {"VI", true, "F A C / F"},
        {"♭VI", false, "F A C / F"},
        {"#iv°7", false, "D# F# A C / D#"},
        {"V9", true, "E G# B D F / E"},
        {"V9", false, "E G# B D F# / E"},
        {"V2", true, "E G# B D / D"},
        {"V6/5", true, "E G# B D / G#"},
        {"V4/2/V", false, "B D# F# A / A"},
        {"V/V/V", false, "F# A# C# / F#"},
        {"viio7/V/V", false, "A# C# E G / A#"},
        {"cad64", false, "A C# E / E"},
        {"cad64", true, "A C E / E"},
        {"N", true, "Bb D F / Bb"},
        {"N6", false, "Bb D F / D"},
        {"It6", true, "F A D# / F"},
        {"Fr43", true, "F A B D# / F"},
        {"Ger65", true, "F A C D# / F"},
        {"Ger+6/V", false, "C E G A# / C"},
        {"iiø", true, "B D F A / B"},
        {"III+6", true, "C E G# / E"},
        {"V53", true, "E G# B / E"},
    };
    char text[256];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct key a = {{5, 0}, rows[i].minor};
        struct chord c = {0};
        uint32_t bad = 0;
        if (CHECK(t, roman_parse(str_of(rows[i].numeral), a, &c, &bad)))
            CHECK_TEXT(t, chord_text(&c, text), rows[i].chord);
        else
            fprintf(stderr, "    %s at %u\n", rows[i].numeral, bad);
        CHECK(t, !c.slash && !c.quality);
    }
}

static void refuses(struct test *t)
{
    static const struct {
        const char *numeral;
        uint32_t bad;
    } rows[] = {
        {"", 0},        {"X", 0},     {"Iv", 1},    {"VIII", 3}, {"V8", 1},   {"V765", 2},
        {"Vo", 1},      {"v+", 1},    {"IIø7", 2},  {"ii6x", 3}, {"V/", 2},   {"V7/x", 3},
        {"V7/viio", 7}, {"V7/V7", 4}, {"N7", 2},    {"Ger", 3},  {"It65", 3}, {"maj7", 0},
        {"Imaj", 4},    {"Imaj6", 4}, {"viiø6", 5}, {"/V", 0},   {" V", 0},   {"cad6", 0},
    };
    struct key c_major = {{0, 0}, false};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct chord c = {.n_tones = 77};
        uint32_t bad = 99;
        CHECK(t, !roman_parse(str_of(rows[i].numeral), c_major, &c, &bad) && c.n_tones == 77);
        if (!CHECK(t, bad == rows[i].bad))
            fprintf(stderr, "    %s: bad byte %u, not %u\n", rows[i].numeral, bad, rows[i].bad);
    }
}

static const char *any_numeral(struct rng *r)
{
    static const char *const all[] = {"I",    "ii65",  "V43", "viio7", "V7/V",   "bVI6",  "N6",   "It+6",
                                      "Fr+6", "Ger+6", "iv",  "viiø7", "V42/ii", "cad64", "III+", "#ivo7/V"};
    return all[rng_between(r, 0, (int)(sizeof all / sizeof all[0]) - 1)];
}

static bool a_numeral_moves_with_its_key(struct rng *r)
{
    const char *numeral = any_numeral(r);
    struct interval v = interval_between_tones(any_tone(r), any_tone(r));
    struct key from = {any_tone(r), rng_between(r, 0, 1) == 1}, to = {tone_move(from.tonic, v), from.minor};
    struct chord a, b;
    uint32_t bad;
    if (!roman_parse(str_of(numeral), from, &a, &bad) || !roman_parse(str_of(numeral), to, &b, &bad))
        return false;
    bool same = a.n_tones == b.n_tones && tone_eq(tone_move(a.bass, v), b.bass);
    for (uint32_t i = 0; same && i < a.n_tones; i++)
        same = tone_eq(tone_move(a.tones[i], v), b.tones[i]);
    return same;
}

static bool the_bass_is_a_chord_tone(struct rng *r)
{
    struct key k = {any_tone(r), rng_between(r, 0, 1) == 1};
    struct chord c;
    uint32_t bad;
    if (!roman_parse(str_of(any_numeral(r)), k, &c, &bad) || c.n_tones < 3 || !tone_eq(c.root, c.tones[0]))
        return false;
    for (uint32_t i = 0; i < c.n_tones; i++)
        if (tone_eq(c.tones[i], c.bass))
            return true;
    return false;
}

/* Applied chords are the plain ones of the key they are applied to. */
static bool applied_is_plain_in_the_other_key(struct rng *r)
{
    static const char *const plain[] = {"V7", "viio7", "V65", "Ger+6"};
    static const char *const applied[] = {"V7/V", "viio7/V", "V65/V", "Ger+6/V"};
    int i = rng_between(r, 0, 3);
    struct key k = {any_tone(r), rng_between(r, 0, 1) == 1};
    struct key dominant = {tone_move(k.tonic, (struct interval){4, 7}), false};
    struct chord a, b;
    uint32_t bad;
    if (!roman_parse(str_of(applied[i]), k, &a, &bad) || !roman_parse(str_of(plain[i]), dominant, &b, &bad))
        return false;
    return tone_eq(a.bass, b.bass) && chord_set(&a) == chord_set(&b) && tone_eq(a.tones[3], b.tones[3]);
}

static bool any_bytes(struct rng *r)
{
    static const char near[] = "IViv/76542oNGermaj+#bFrIt\xC3\xB8\xC2\xB0";
    char text[12];
    uint32_t n = (uint32_t)rng_between(r, 0, 11), bad = 0;
    struct key k = {any_tone(r), rng_between(r, 0, 1) == 1};
    struct chord c;
    for (uint32_t i = 0; i < n; i++)
        text[i] = near[rng_between(r, 0, (int)sizeof near - 1)];
    return roman_parse((struct str){text, n}, k, &c, &bad) ? c.n_tones >= 3 && c.n_tones <= 5 : bad <= n;
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"a numeral moves with its key", a_numeral_moves_with_its_key},
        {"the root stands first, the bass is a chord tone", the_bass_is_a_chord_tone},
        {"an applied chord is the plain one of the other key", applied_is_plain_in_the_other_key},
        {"any bytes are read or refused within their length", any_bytes},
    };
    struct test t = {"theory_roman", 0, 0};
    reads_numerals(&t);
    refuses(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
