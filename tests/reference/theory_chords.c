/* Chord symbols, scales and numerals against tables of reference data, with the qualities and scales of the
 * standard library; see data/README.md for where each comes from. */
#include "base/buf.h"
#include "base/ratio.h"
#include "library_reader.h"
#include "rows.h"
#include "theory/roman.h"

struct suite {
    struct test test;
    struct arena arena;
    const char *project;
    struct chord_dict dict;
    const struct scale *scales;
    uint32_t n_scales;
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct tsv open_table(struct suite *s, const char *path)
{
    return tsv_read(&s->arena, s->project, path);
}

static bool tone_is(struct str s, struct tone want)
{
    struct tone got;
    return tone_parse(s, &got) && tone_eq(got, want);
}

/* The cell lists these tones in this order. */
static bool tones_are(struct str cell, const struct tone *tones, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if (!tone_is(cut(&cell, ' '), tones[i]))
            return false;
    return cell.n == 0;
}

/* ---- chord symbols ----------------------------------------------------------------------------- */

static void check_chord_symbols(struct suite *s)
{
    struct tsv t = open_table(s, "chord-symbols.tsv");
    struct rows rows = {&s->test, &t, "symbol", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct chord c;
        uint32_t bad;
        rows_check(&rows, i,
                   chord_parse(&s->dict, tsv_cell(&t, i, "symbol"), &c, &bad) && !c.altered &&
                       tones_are(tsv_cell(&t, i, "tones"), c.tones, c.n_tones));
    }
    rows_end(&rows, 80);
}

/* With a bass outside the chord, the cell lists it first. */
static bool tones_and_bass_are(struct str cell, const struct chord *c)
{
    bool outside = true;
    for (uint32_t i = 0; i < c->n_tones; i++)
        outside = outside && !tone_eq(c->tones[i], c->bass);
    return (!outside || tone_is(cut(&cell, ' '), c->bass)) && tones_are(cell, c->tones, c->n_tones);
}

static bool degrees_are(struct str cell, const struct chord *c)
{
    for (uint32_t i = 0; i < c->n_tones; i++) {
        struct interval v;
        if (!degree_parse(cut(&cell, ' '), &v) || !tone_eq(tone_move(c->root, v), c->tones[i]))
            return false;
    }
    return cell.n == 0;
}

static pcset classes_of(struct str cell)
{
    pcset set = 0;
    while (cell.n) {
        struct str word = cut(&cell, ' ');
        set |= pcset_of(word.n == 2 ? 10 + word.p[1] - '0' : word.p[0] - '0');
    }
    return set;
}

static void check_symbol_variants(struct suite *s)
{
    struct tsv t = open_table(s, "published/chord-symbols-variants.tsv");
    struct rows rows = {&s->test, &t, "symbol", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct chord c;
        uint32_t bad;
        rows_check(&rows, i,
                   chord_parse(&s->dict, tsv_cell(&t, i, "symbol"), &c, &bad) &&
                       tone_is(tsv_cell(&t, i, "root"), c.root) &&
                       tone_is(tsv_cell(&t, i, "lowest tone"), c.bass) &&
                       degrees_are(tsv_cell(&t, i, "degrees"), &c) &&
                       tones_and_bass_are(tsv_cell(&t, i, "tones"), &c) &&
                       classes_of(tsv_cell(&t, i, "pitch classes")) == chord_set(&c));
    }
    rows_end(&rows, 83);
}

/* Every suffix of the library denotes its own quality, on a root with a sign as on one without; and a chord
 * spelled by a quality is found again, first of all where no other quality has the same tones from the same
 * root. */
static void check_library_symbols(struct suite *s, int clash)
{
    CHECK(&s->test, clash == -1);
    CHECK(&s->test, s->dict.n >= 60);
    for (uint32_t q = 0; q < s->dict.n; q++) {
        const struct chord_quality *quality = &s->dict.qualities[q];
        bool same = quality->n_degrees >= 2 && quality->n_symbols > 0 && quality->n_names > 0;
        for (uint32_t i = 0; same && i < quality->n_symbols; i++) {
            /* After a plain letter a suffix with a sign first would change the root: C(b5), not Cb5. */
            bool sign_first = quality->symbols[i].n && strchr("b#", quality->symbols[i].p[0]);
            struct str text =
                str_printf(&s->arena, sign_first ? "Db(%.*s)" : "Db%.*s", STR_ARG(quality->symbols[i]));
            struct chord c;
            uint32_t bad;
            same = chord_parse(&s->dict, text, &c, &bad) && c.quality == quality && !c.altered;
            if (!same)
                fprintf(stderr, "%.*s is not %.*s\n", STR_ARG(text), STR_ARG(quality->id));
        }
        CHECK(&s->test, same);
        struct tone tones[CHORD_TONES_MAX], root = {5, -1};
        struct chord_match found[16];
        for (uint32_t i = 0; i < quality->n_degrees; i++)
            tones[i] = tone_move(root, quality->degrees[i]);
        uint32_t n = chord_identify(&s->dict, tones, quality->n_degrees, found, 16);
        bool met = false;
        for (uint32_t i = 0; i < n; i++)
            met = met || (found[i].quality == quality && found[i].spelled && tone_eq(found[i].root, root));
        if (!CHECK(&s->test, met))
            fprintf(stderr, "%.*s is not found again\n", STR_ARG(quality->id));
    }
}

/* ---- scales ------------------------------------------------------------------------------------ */

/* Names in the tables that the library has otherwise. */
static const struct {
    const char *table, *library;
} scale_names[] = {
    {"minor", "natural minor"}, /* in Descant "minor" is a key, with three forms */
    {"diminished", "whole-half diminished"},
    {"hungarian minor", "Hungarian minor"},
    {"Ionian (major)", "major"},
    {"Dorian", "dorian"},
    {"Phrygian", "phrygian"},
    {"Lydian", "lydian"},
    {"Mixolydian", "mixolydian"},
    {"Aeolian (natural minor)", "natural minor"},
    {"Locrian", "locrian"},
    {"melodic minor, ascending", "ascending melodic minor"},
    {"Phrygian-Dorian (2nd mode of melodic minor)", "phrygian-dorian"},
    {"Lydian augmented (3rd mode of melodic minor)", "lydian augmented"},
    {"Lydian dominant (4th mode of melodic minor; acoustic)", "lydian dominant"},
    {"Mixolydian b6 (5th mode of melodic minor)", "mixolydian b6"},
    {"Locrian #2 (6th mode of melodic minor)", "locrian #2"},
    {"altered (7th mode of melodic minor; diminished-whole tone)", "altered"},
    {"Phrygian dominant (5th mode of harmonic minor)", "phrygian dominant"},
    {"Locrian natural 6 (2nd mode of harmonic minor)", "locrian natural 6"},
    {"Ionian #5 (3rd mode of harmonic minor)", "ionian #5"},
    {"Dorian #4 (4th mode of harmonic minor)", "dorian #4"},
    {"Lydian #2 (6th mode of harmonic minor)", "lydian #2"},
    {"octatonic, half-whole", "octatonic half-whole"},
    {"octatonic, whole-half", "octatonic whole-half"},
    {"hexatonic, minor-third first (1 #2 3 5 #5 7)", "third-first hexatonic"},
    {"hexatonic, semitone first", "semitone-first hexatonic"},
    {"Mystic hexachord as a scale", "mystic"},
    {"mode of limited transposition 1", "whole-tone"},
    {"mode of limited transposition 2", "octatonic"},
};

static const struct scale *scale_named(const struct suite *s, struct str name)
{
    for (size_t i = 0; i < COUNT(scale_names); i++)
        if (str_is(name, scale_names[i].table))
            name = str_of(scale_names[i].library);
    for (uint32_t i = 0; i < s->n_scales; i++)
        for (uint32_t n = 0; n < s->scales[i].n_names; n++)
            if (str_eq(s->scales[i].names[n], name))
                return &s->scales[i];
    return NULL;
}

/* "0 2 4 …": the sounds in order, from the tonic up. */
static bool sounds_are(struct str cell, const struct scale *scale)
{
    pcset set = 0;
    for (uint32_t i = 0; i < scale->n_degrees; i++) {
        struct str word = cut(&cell, ' ');
        struct ratio half;
        if (!ratio_parse(word.p, word.n, &half) || half.num != scale->degrees[i].half)
            return false;
        set |= pcset_of(scale->degrees[i].half);
    }
    return cell.n == 0 && set == scale_set(scale, 0);
}

static void check_scales(struct suite *s)
{
    static const struct disagreement known[] = {
        {"diminished",
         "the table has P1 M2 m3 P4 d5 m6 M6 M7; we follow Hutchinson's Table of Scales, #4 #5"},
        {"chromatic", "the table has a diminished fifth; we write #4; both are common"},
    };
    struct tsv t = open_table(s, "scales.tsv");
    struct rows rows = {&s->test, &t, "name", known, COUNT(known), 0};
    struct rows sounds = {&s->test, &t, "name", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        const struct scale *scale = scale_named(s, tsv_cell(&t, i, "name"));
        struct str intervals = tsv_cell(&t, i, "intervals");
        bool spelled = scale != NULL;
        for (uint32_t d = 0; spelled && d < scale->n_degrees; d++) {
            struct interval v;
            spelled = interval_parse_short(cut(&intervals, ' '), &v) && interval_eq(v, scale->degrees[d]);
        }
        rows_check(&rows, i, spelled && intervals.n == 0);
        rows_check(&sounds, i, scale && sounds_are(tsv_cell(&t, i, "semitones"), scale));
    }
    rows_end(&rows, 23);
    rows_end(&sounds, 23);
}

static void check_modes(struct suite *s)
{
    struct tsv t = open_table(s, "published/scales-modes.tsv");
    struct rows rows = {&s->test, &t, "name", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        const struct scale *scale = scale_named(s, tsv_cell(&t, i, "name"));
        struct tone on_c[SCALE_TONES_MAX], tonic = {0, 0};
        struct str degrees = tsv_cell(&t, i, "degrees");
        bool agrees = scale && scale_spell(scale, tonic, on_c) == tsv_int(&t, i, "tones");
        for (uint32_t d = 0; agrees && d < scale->n_degrees; d++) {
            struct interval v;
            agrees = degree_parse(cut(&degrees, ' '), &v) && tone_eq(tone_move(tonic, v), on_c[d]);
        }
        rows_check(&rows, i,
                   agrees && degrees.n == 0 && sounds_are(tsv_cell(&t, i, "semitones"), scale) &&
                       scale_transpositions(scale) == tsv_int(&t, i, "distinct transpositions"));
    }
    rows_end(&rows, 46);
}

/* ---- numerals ---------------------------------------------------------------------------------- */

static void check_numerals(struct suite *s, const char *path, const char *bass, uint32_t expected)
{
    struct tsv t = open_table(s, path);
    struct rows rows = {&s->test, &t, "numeral", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct str mode = tsv_cell(&t, i, "key"), tonic = cut(&mode, ' ');
        struct key key = {{0, 0}, str_is(mode, "minor")};
        struct chord c;
        uint32_t bad;
        rows_check(&rows, i,
                   tone_parse(tonic, &key.tonic) && (key.minor || str_is(mode, "major")) &&
                       roman_parse(tsv_cell(&t, i, "numeral"), key, &c, &bad) &&
                       tones_are(tsv_cell(&t, i, "tones"), c.tones, c.n_tones) &&
                       tone_is(tsv_cell(&t, i, bass), c.bass));
    }
    rows_end(&rows, expected);
}

int main(int argc, char **argv)
{
    struct suite s = {.test = {"theory_chords", 0, 0}, .project = argc > 1 ? argv[1] : "."};
    int clash;
    s.dict = library_chords(&s.arena, s.project, &clash);
    s.scales = library_scales(&s.arena, s.project, &s.n_scales);
    check_library_symbols(&s, clash);
    check_chord_symbols(&s);
    check_symbol_variants(&s);
    check_scales(&s);
    check_modes(&s);
    check_numerals(&s, "roman-numerals.tsv", "bass", 68);
    check_numerals(&s, "published/roman-numerals.tsv", "lowest tone", 51);
    arena_free(&s.arena);
    return test_end(&s.test);
}
