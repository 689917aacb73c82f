#include "theory/chord.h"

#include "theory_random.h"

/* A dictionary of the test's own, small enough that most symbols need alterations. */
struct row {
    const char *id, *symbols, *degrees; /* words divided by single spaces; "." is the empty symbol */
};

static const struct row rows[] = {
    {"major-triad", ". M maj", "1 3 5"},
    {"minor-triad", "m -", "1 b3 5"},
    {"diminished-triad", "dim ° o", "1 b3 b5"},
    {"augmented-triad", "aug +", "1 3 #5"},
    {"power-chord", "5", "1 5"},
    {"suspended-fourth", "sus4 sus", "1 4 5"},
    {"sixth", "6", "1 3 5 6"},
    {"minor-sixth", "m6", "1 b3 5 6"},
    {"six-nine", "6/9 69", "1 3 5 6 9"},
    {"dominant-seventh", "7", "1 3 5 b7"},
    {"major-seventh", "maj7 M7 Δ7 Δ", "1 3 5 7"},
    {"minor-seventh", "m7 -7", "1 b3 5 b7"},
    {"half-diminished-seventh", "m7b5 ø7 ø", "1 b3 b5 b7"},
    {"diminished-seventh", "dim7 °7 o7", "1 b3 b5 bb7"},
    {"minor-major-seventh", "mMaj7 mmaj7 -Δ7", "1 b3 5 7"},
    {"dominant-ninth", "9", "1 3 5 b7 9"},
    {"major-ninth", "maj9", "1 3 5 7 9"},
    {"minor-eleventh", "m11", "1 b3 5 b7 9 11"},
    {"dominant-thirteenth", "13", "1 3 5 b7 9 13"},
    {"added-ninth", "add9", "1 3 5 9"},
};

enum { ROWS = sizeof rows / sizeof rows[0], SYMBOLS_MAX = 4, SLOTS = 256 };

struct book {
    struct chord_quality qualities[ROWS];
    struct str symbols[ROWS][SYMBOLS_MAX], names[ROWS];
    struct chord_dict_slot slots[SLOTS];
    struct chord_dict dict;
};

static struct str next_word(const char **at)
{
    uint32_t n = (uint32_t)strcspn(*at, " ");
    struct str word = {*at, n};
    *at += n + ((*at)[n] == ' ');
    return word;
}

static void fill_row(struct book *b, uint32_t i)
{
    struct chord_quality *q = &b->qualities[i];
    b->names[i] = str_of(rows[i].id);
    *q = (struct chord_quality){.id = b->names[i],
                                .name = b->names[i],
                                .names = &b->names[i],
                                .n_names = 1,
                                .symbols = b->symbols[i]};
    for (const char *at = rows[i].symbols; *at && q->n_symbols < SYMBOLS_MAX;) {
        struct str word = next_word(&at);
        b->symbols[i][q->n_symbols++] = str_is(word, ".") ? STR("") : word;
    }
    for (const char *at = rows[i].degrees; *at;) {
        struct interval v = {0, 0};
        degree_parse(next_word(&at), &v);
        q->degrees[q->n_degrees++] = v;
        q->shape |= pcset_of(v.half);
    }
}

static void open_book(struct book *b, struct test *t)
{
    memset(b, 0, sizeof *b);
    uint32_t n_symbols = 0;
    for (uint32_t i = 0; i < ROWS; i++) {
        fill_row(b, i);
        n_symbols += b->qualities[i].n_symbols;
    }
    uint32_t slots = chord_dict_slots(n_symbols);
    CHECK(t, slots >= 2 * n_symbols && slots <= SLOTS && (slots & (slots - 1)) == 0);
    CHECK(t, chord_dict_build(&b->dict, b->qualities, ROWS, b->slots, slots) == -1);
}

static const char *tones_text(const struct chord *c, char *out)
{
    char tone[PITCH_TEXT_MAX];
    out[0] = '\0';
    for (uint32_t i = 0; i < c->n_tones; i++) {
        strcat(out, i ? " " : "");
        strcat(out, tone_text(c->tones[i], SIGN_ASCII, tone));
    }
    return out;
}

/* An id with a star: altered from that quality. */
static const struct {
    const char *symbol, *tones, *bass, *id;
} symbols[] = {
    {"C", "C E G", "C", "major-triad"},
    {"B♭", "Bb D F", "Bb", "major-triad"},
    {"Bb/D", "Bb D F", "D", "major-triad"},
    {"C6/9", "C E G A D", "C", "six-nine"},
    {"C6/9/E", "C E G A D", "E", "six-nine"},
    {"C7sus4", "C F G Bb", "C", "dominant-seventh*"},
    {"Csus2", "C D G", "C", "major-triad*"},
    {"Cm(maj7)", "C Eb G B", "C", "minor-major-seventh"},
    {"C-Δ7", "C Eb G B", "C", "minor-major-seventh"},
    {"C7(b9,#11)", "C E G Bb Db F#", "C", "dominant-seventh*"},
    {"C7(b9, #11)", "C E G Bb Db F#", "C", "dominant-seventh*"},
    {"C7(♭9)(♯11)", "C E G Bb Db F#", "C", "dominant-seventh*"},
    {"CΔ7", "C E G B", "C", "major-seventh"},
    {"C∆7", "C E G B", "C", "major-seventh"}, /* U+2206 for U+0394 */
    {"C△", "C E G B", "C", "major-seventh"},
    {"C°7", "C Eb Gb Bbb", "C", "diminished-seventh"},
    {"Cº7", "C Eb Gb Bbb", "C", "diminished-seventh"}, /* the ordinal sign */
    {"Cø7", "C Eb Gb Bb", "C", "half-diminished-seventh"},
    {"CØ", "C Eb Gb Bb", "C", "half-diminished-seventh"},
    {"C+", "C E G#", "C", "augmented-triad"},
    {"C-7", "C Eb G Bb", "C", "minor-seventh"},
    {"C−7", "C Eb G Bb", "C", "minor-seventh"}, /* U+2212 */
    {"C-7-5", "C Eb Gb Bb", "C", "half-diminished-seventh"},
    {"C-7(♭5)", "C Eb Gb Bb", "C", "half-diminished-seventh"},
    {"C7+9", "C E G Bb D#", "C", "dominant-seventh*"},
    {"Cmaj9#11", "C E G B D F#", "C", "major-ninth*"},
    {"F#m7b5/E", "F# A C E", "E", "half-diminished-seventh"},
    {"C7b5#5", "C E Gb G# Bb", "C", "dominant-seventh*"},
    {"C7b9#9", "C E G Bb Db D#", "C", "dominant-seventh*"},
    {"C9b9", "C E G Bb Db", "C", "dominant-ninth*"},
    {"C13b9", "C E G Bb Db A", "C", "dominant-thirteenth*"},
    {"Cm11b5", "C Eb Gb Bb D F", "C", "minor-eleventh*"},
    {"C13sus4", "C F G Bb D A", "C", "dominant-thirteenth*"},
    {"C(add9)", "C E G D", "C", "added-ninth"},
    {"C/9", "C E G D", "C", "added-ninth"},
    {"Cadd#11", "C E G F#", "C", "major-triad*"},
    {"C7no5", "C E Bb", "C", "dominant-seventh*"},
    {"C7(no3)", "C G Bb", "C", "dominant-seventh*"},
    {"C7omit1", "E G Bb", "C", "dominant-seventh*"},
    {"Cno3", "C G", "C", "power-chord"},
    {"C5no3", "C G", "C", "power-chord"},
    {"Cm/Bb", "C Eb G", "Bb", "minor-triad"},
    {"C/C", "C E G", "C", "major-triad"},
    {"C5", "C G", "C", "power-chord"},
    {"Cb5", "Cb Gb", "Cb", "power-chord"}, /* the sign belongs to the root; the other is C(b5) */
    {"C(b5)", "C E Gb", "C", "major-triad*"},
    {"G##m", "G## B# D##", "G##", "minor-triad"},
};

static void reads_symbols(struct test *t, const struct book *b)
{
    char tones[CHORD_TONES_MAX * 16], bass[PITCH_TEXT_MAX], id[64];
    for (size_t i = 0; i < sizeof symbols / sizeof symbols[0]; i++) {
        struct chord c = {0};
        uint32_t bad = 0;
        struct str s = str_of(symbols[i].symbol);
        if (!CHECK(t, chord_parse(&b->dict, s, &c, &bad))) {
            fprintf(stderr, "    %s at %u\n", symbols[i].symbol, bad);
            continue;
        }
        snprintf(id, sizeof id, "%.*s%s", STR_ARG(c.quality->id), c.altered ? "*" : "");
        CHECK_TEXT(t, tones_text(&c, tones), symbols[i].tones);
        CHECK_TEXT(t, tone_text(c.bass, SIGN_ASCII, bass), symbols[i].bass);
        CHECK_TEXT(t, id, symbols[i].id);
        CHECK(t, c.slash == (strchr(symbols[i].symbol, '/') && strcmp(symbols[i].symbol, "C/9") != 0 &&
                             strcmp(symbols[i].symbol, "C6/9") != 0));
    }
}

static void refuses(struct test *t, const struct book *b)
{
    static const struct {
        const char *symbol;
        uint32_t bad;
    } cases[] = {
        {"", 0},    {"H7", 0},   {"c7", 0},    {"N.C.", 0},  {"Cmx7", 2},  {"C7x", 2},    {"Cm7b5q", 5},
        {"C/H", 2}, {"C/Dm", 3}, {"C/", 1},    {"C7(b9", 5}, {"C7)", 2},   {"C7()", 3},   {"C7,", 2},
        {"C 7", 1}, {"C7b7", 2}, {"C7add", 2}, {"C7no4", 2}, {"C7b99", 2}, {"C7 #9 ", 5}, {"C7((b9))", 3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct chord c = {.n_tones = 77};
        uint32_t bad = 99;
        bool read = chord_parse(&b->dict, str_of(cases[i].symbol), &c, &bad);
        CHECK(t, !read && c.n_tones == 77);
        if (!CHECK(t, bad == cases[i].bad))
            fprintf(stderr, "    %s: bad byte %u, not %u\n", cases[i].symbol, bad, cases[i].bad);
    }
}

static void finds_clashes(struct test *t)
{
    struct str first[] = {STR("7b9")}, second[] = {STR("x"), STR("7(♭9)")}, twice[] = {STR("y"), STR("(y)")};
    struct chord_quality q[3] = {{.symbols = first, .n_symbols = 1},
                                 {.symbols = twice, .n_symbols = 2},
                                 {.symbols = second, .n_symbols = 2}};
    struct chord_dict_slot slots[16] = {0};
    struct chord_dict dict;
    CHECK(t, chord_dict_build(&dict, q, 3, slots, 16) == 2);
    memset(slots, 0, sizeof slots);
    CHECK(t, chord_dict_build(&dict, q, 2, slots, 16) == -1); /* one quality may spell a symbol twice */
}

static void reads_degrees(struct test *t)
{
    struct interval v = {0, 0};
    CHECK(t, degree_parse(STR("bb7"), &v) && v.steps == 6 && v.half == 9);
    CHECK(t, degree_parse(STR("♯11"), &v) && v.steps == 10 && v.half == 18);
    CHECK(t, degree_parse(STR("1"), &v) && v.steps == 0 && v.half == 0);
    CHECK(t, degree_parse(STR("13"), &v) && v.steps == 12 && v.half == 21);
    static const char *const bad[] = {"", "b", "0", "16", "b1", "3b", "x3", "1000", "bbbb7", "-5", "3 "};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        CHECK(t, !degree_parse(str_of(bad[i]), &v));
}

static void read_tones(const char *text, struct tone *out, uint32_t *n)
{
    for (*n = 0; *text; ++*n)
        tone_parse(next_word(&text), &out[*n]);
}

static void identifies(struct test *t, const struct book *b)
{
    /* Best reading first: root, quality, s for spelled, b for the root in the bass. */
    static const struct {
        const char *tones, *readings;
    } cases[] = {
        {"C E G", "C major-triad sb"},
        {"E G C", "C major-triad s-"},
        {"A C E G", "A minor-seventh sb, C sixth s-"},
        {"C E G A", "C sixth sb, A minor-seventh s-"},
        {"F A C D#", "F dominant-seventh -b"}, /* a German sixth: by sound only */
        {"C E G#", "C augmented-triad sb, E augmented-triad --, G# augmented-triad --"},
        {"B D F Ab", "B diminished-seventh sb, D diminished-seventh --, F diminished-seventh --, "
                     "Ab diminished-seventh --"},
        {"C G", "C power-chord sb"},
        {"C D E", ""},
        {"C# Db F Ab", "Db major-triad -b"},
        {"", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct tone tones[8];
        struct chord_match found[8];
        uint32_t n;
        char text[512] = "", tone[PITCH_TEXT_MAX];
        read_tones(cases[i].tones, tones, &n);
        uint32_t matches = chord_identify(&b->dict, tones, n, found, 8);
        for (uint32_t m = 0; m < matches; m++) {
            size_t at = strlen(text);
            snprintf(text + at, sizeof text - at, "%s%s %.*s %c%c", m ? ", " : "",
                     tone_text(found[m].root, SIGN_ASCII, tone), STR_ARG(found[m].quality->id),
                     found[m].spelled ? 's' : '-', found[m].root_bass ? 'b' : '-');
        }
        CHECK_TEXT(t, text, cases[i].readings);
        /* A short list holds the best of the long one. */
        struct chord_match best[1];
        CHECK(t, chord_identify(&b->dict, tones, n, best, 1) == (matches > 0));
        CHECK(t,
              matches == 0 || (best[0].quality == found[0].quality && tone_eq(best[0].root, found[0].root)));
        CHECK(t, chord_identify(&b->dict, tones, n, found, 0) == 0);
    }
}

static void writes_symbols(struct test *t, const struct book *b)
{
    struct chord c;
    uint32_t bad;
    char out[PITCH_TEXT_MAX];
    CHECK(t, chord_parse(&b->dict, STR("F#ø/E"), &c, &bad));
    CHECK_TEXT(t, chord_symbol(c.root, c.quality, &c.bass, SIGN_ASCII, out), "F#m7b5/E");
    CHECK_TEXT(t, chord_symbol(c.root, c.quality, NULL, SIGN_UNICODE, out), "F♯m7♭5");
    CHECK_TEXT(t, chord_symbol(c.root, c.quality, &c.bass, SIGN_WORDS, out),
               "F sharp half-diminished-seventh over E");
    CHECK(t, chord_set(&c) == (pcset_of(6) | pcset_of(9) | pcset_of(0) | pcset_of(4)));
    const struct chord_quality nameless = {.name = STR("mystic chord")};
    CHECK_TEXT(t, chord_symbol(c.root, &nameless, NULL, SIGN_ASCII, out), "F# mystic chord");
    CHECK(t, chord_parse(&b->dict, STR("C/D"), &c, &bad));
    CHECK(t, chord_set(&c) == (pcset_of(0) | pcset_of(4) | pcset_of(7) | pcset_of(2)));
}

/* Laws get only a generator, so each opens the book once more; it is small. */
static const struct chord_quality *any_quality(struct rng *r, struct book *b)
{
    struct test silent = {"", 0, 0};
    open_book(b, &silent);
    return &b->qualities[rng_between(r, 0, ROWS - 1)];
}

static bool symbol_round_trip(struct rng *r)
{
    struct book b;
    const struct chord_quality *q = any_quality(r, &b);
    struct tone root = any_tone(r), bass = any_tone(r);
    enum sign_style style = rng_between(r, 0, 1) ? SIGN_ASCII : SIGN_UNICODE;
    bool slash = rng_between(r, 0, 1);
    char text[PITCH_TEXT_MAX];
    struct chord c;
    uint32_t bad;
    if (q->n_symbols && q->symbols[0].n && q->symbols[0].p[0] == 'b')
        return true;
    chord_symbol(root, q, slash ? &bass : NULL, style, text);
    return chord_parse(&b.dict, str_of(text), &c, &bad) && c.quality == q && !c.altered && c.slash == slash &&
           tone_eq(c.root, root) && tone_eq(c.bass, slash ? bass : root);
}

static bool transposed_symbol_transposes_tones(struct rng *r)
{
    static const char *const suffixes[] = {"m7b5", "7(b9,#11)", "6/9", "sus2", "maj9#11", "7no5", "°7", "+"};
    struct book b;
    any_quality(r, &b);
    const char *suffix = suffixes[rng_between(r, 0, 7)];
    struct interval v = interval_between_tones(any_tone(r), any_tone(r));
    struct tone root = any_tone(r), moved = tone_move(root, v);
    char sign[PITCH_TEXT_MAX], text[2 * PITCH_TEXT_MAX];
    struct chord one, two;
    uint32_t bad;
    snprintf(text, sizeof text, "%s%s", tone_text(root, SIGN_ASCII, sign), suffix);
    if (!chord_parse(&b.dict, str_of(text), &one, &bad))
        return false;
    snprintf(text, sizeof text, "%s%s", tone_text(moved, SIGN_ASCII, sign), suffix);
    if (!chord_parse(&b.dict, str_of(text), &two, &bad) || one.n_tones != two.n_tones)
        return false;
    for (uint32_t i = 0; i < one.n_tones; i++)
        if (!tone_eq(tone_move(one.tones[i], v), two.tones[i]))
            return false;
    return pcset_transpose(chord_set(&one), v.half) == chord_set(&two);
}

static bool a_spelled_chord_is_found_first(struct rng *r)
{
    struct book b;
    const struct chord_quality *q = any_quality(r, &b);
    struct tone root = any_tone(r), tones[CHORD_TONES_MAX];
    struct chord_match best;
    for (uint32_t i = 0; i < q->n_degrees; i++)
        tones[i] = tone_move(root, q->degrees[i]);
    return chord_identify(&b.dict, tones, q->n_degrees, &best, 1) == 1 && best.quality == q && best.spelled &&
           best.root_bass && tone_eq(best.root, root);
}

static bool any_bytes(struct rng *r)
{
    static const char near[] = "ABCDEFGmajsusdi79b#(),/+-o 51346nt\xC2\xB0\xC3\xB8\xCE\x94\xE2\x99\xAD";
    struct book b;
    char text[16];
    uint32_t n = (uint32_t)rng_between(r, 0, 15), bad = 0;
    struct chord c;
    any_quality(r, &b);
    for (uint32_t i = 0; i < n; i++)
        text[i] = near[rng_between(r, 0, (int)sizeof near - 1)];
    text[0] = near[rng_between(r, 0, 7)];
    if (!chord_parse(&b.dict, (struct str){text, n}, &c, &bad))
        return bad <= n;
    return c.n_tones > 0 && c.n_tones <= CHORD_TONES_MAX && c.quality;
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"a symbol written and read is the same chord", symbol_round_trip},
        {"a transposed symbol has the transposed tones", transposed_symbol_transposes_tones},
        {"a chord spelled from its root is found first", a_spelled_chord_is_found_first},
        {"any bytes are read or refused within their length", any_bytes},
    };
    struct test t = {"theory_chord", 0, 0};
    struct book b;
    open_book(&b, &t);
    reads_symbols(&t, &b);
    refuses(&t, &b);
    finds_clashes(&t);
    reads_degrees(&t);
    identifies(&t, &b);
    writes_symbols(&t, &b);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
