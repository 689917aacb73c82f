/* Pitches, intervals, set classes, timecode and motion against tables of reference data; see data/README.md
 * for where each comes from. */
#include "rows.h"
#include "theory/interval.h"
#include "theory/motion.h"
#include "theory/pcset.h"
#include "theory/timecode.h"

#include <math.h>

enum { VOICES_MAX = 4 };

struct suite {
    struct test test;
    struct arena arena;
    const char *project;
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct tsv open_table(struct suite *s, const char *path)
{
    return tsv_read(&s->arena, s->project, path);
}

static struct pitch pitch_at(const struct tsv *t, uint32_t row, const char *column)
{
    struct pitch p = {{0, 0}, -999};
    pitch_parse(tsv_cell(t, row, column), &p);
    return p;
}

static struct interval short_at(const struct tsv *t, uint32_t row, const char *column)
{
    struct interval v = {-999, -999};
    interval_parse_short(tsv_cell(t, row, column), &v);
    return v;
}

/* ---- pitches and intervals --------------------------------------------------------------------- */

static void check_pitches(struct suite *s, const char *path, const char *pitch, const char *hertz,
                          double within, uint32_t expected)
{
    struct tsv t = open_table(s, path);
    struct rows rows = {&s->test, &t, pitch, NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct pitch p = pitch_at(&t, i, pitch);
        int midi = (int)tsv_int(&t, i, "MIDI");
        bool flat = p.tone.alter < 0;
        rows_check(&rows, i,
                   pitch_midi(p) == midi && pitch_eq(pitch_of_midi(midi, flat), p) &&
                       fabs(pitch_hertz(p, 440.0) - tsv_double(&t, i, hertz)) <= within);
    }
    rows_end(&rows, expected);
}

static void check_interval_pairs(struct suite *s)
{
    struct tsv t = open_table(s, "interval-pairs.tsv");
    struct rows rows = {&s->test, &t, "from", NULL, 0, 0};
    char out[INTERVAL_TEXT_MAX];
    for (uint32_t i = 0; i < t.rows; i++) {
        struct pitch from = pitch_at(&t, i, "from"), to = pitch_at(&t, i, "to");
        struct interval v = interval_between(from, to);
        int direction = str_is(tsv_cell(&t, i, "direction"), "up") ? 1 : -1;
        rows_check(&rows, i,
                   str_is(tsv_cell(&t, i, "interval"), interval_short(v, out)) &&
                       interval_describe(v).direction == direction &&
                       v.half * direction == tsv_int(&t, i, "semitones") &&
                       pitch_eq(pitch_move(from, v), to));
    }
    rows_end(&rows, 70);
}

/* An empty cell asks nothing. */
static bool is_short_or_empty(const struct tsv *t, uint32_t row, const char *column, struct interval v)
{
    return tsv_cell(t, row, column).n == 0 || interval_eq(short_at(t, row, column), v);
}

static void check_intervals(struct suite *s)
{
    static const char reason[] = "from the fifteenth up we say octaves and what is left: two octaves";
    static const struct disagreement words[] = {
        {"dd15", reason}, {"d15", reason}, {"P15", reason}, {"A15", reason}, {"AA15", reason},
    };
    struct tsv t = open_table(s, "published/intervals.tsv");
    struct rows rows = {&s->test, &t, "name", NULL, 0, 0};
    struct rows wording = {&s->test, &t, "name", words, COUNT(words), 0};
    char out[INTERVAL_TEXT_MAX];
    for (uint32_t i = 0; i < t.rows; i++) {
        struct interval v = short_at(&t, i, "name"), simple = interval_simple(v);
        bool compound = tsv_cell(&t, i, "simple form").n > 0;
        rows_check(&rows, i,
                   v.steps == tsv_int(&t, i, "diatonic steps") && v.half == tsv_int(&t, i, "semitones") &&
                       interval_describe(v).number == tsv_int(&t, i, "number") &&
                       str_is(tsv_cell(&t, i, "name"), interval_short(v, out)) &&
                       interval_eq(simple, compound ? short_at(&t, i, "simple form") : v) &&
                       is_short_or_empty(&t, i, "inversion at the octave", interval_invert(v)) &&
                       is_short_or_empty(&t, i, "inversion of the simple", interval_invert(simple)));
        rows_check(&wording, i, str_is(tsv_cell(&t, i, "words"), interval_words(v, out)));
    }
    rows_end(&rows, 81);
    rows_end(&wording, 81);
}

/* Written and sounding pitch of transposing instruments: "M9 down". */
static void check_transpositions(struct suite *s)
{
    struct tsv t = open_table(s, "published/written-sounding.tsv");
    struct rows rows = {&s->test, &t, "instrument", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct str words = tsv_cell(&t, i, "interval");
        struct interval v = {-999, -999};
        bool read = interval_parse_short(cut(&words, ' '), &v);
        if (str_is(words, "down"))
            v = interval_negate(v);
        struct pitch sounding = pitch_move(pitch_at(&t, i, "written"), v);
        rows_check(&rows, i, read && pitch_eq(sounding, pitch_at(&t, i, "sounding")));
    }
    rows_end(&rows, 14);
}

/* ---- set classes ------------------------------------------------------------------------------- */

/* "0 1 4" or "014TE". */
static pcset set_at(const struct tsv *t, uint32_t row, const char *column)
{
    struct str s = tsv_cell(t, row, column);
    pcset set = 0;
    bool spaced = memchr(s.p, ' ', s.n) != NULL;
    while (s.n) {
        struct str word = spaced ? cut(&s, ' ') : str_slice(s, 0, 1);
        if (!spaced)
            s = str_slice(s, 1, s.n);
        int pc = word.p[0] == 'T' ? 10 : word.p[0] == 'E' ? 11 : word.p[0] - '0';
        set |= pcset_of(word.n == 2 ? 10 + word.p[1] - '0' : pc);
    }
    return set;
}

static bool vector_is(pcset set, struct str cell)
{
    int vector[6];
    char text[64];
    pcset_vector(set, vector);
    snprintf(text, sizeof text, "%d %d %d %d %d %d", vector[0], vector[1], vector[2], vector[3], vector[4],
             vector[5]);
    return str_is(cell, text);
}

/* From either printed form, both rules give the printed forms. */
static bool primes_are(pcset rahn, pcset forte)
{
    return pcset_prime(rahn, PRIME_RAHN) == rahn && pcset_prime(forte, PRIME_RAHN) == rahn &&
           pcset_prime(rahn, PRIME_FORTE) == forte && pcset_prime(forte, PRIME_FORTE) == forte;
}

static void check_set_classes(struct suite *s)
{
    struct tsv t = open_table(s, "set-classes.tsv");
    struct rows rows = {&s->test, &t, "prime form (Rahn)", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        pcset rahn = set_at(&t, i, "prime form (Rahn)"), forte = set_at(&t, i, "prime form (Forte)");
        rows_check(&rows, i,
                   pcset_count(rahn) == tsv_int(&t, i, "cardinality") && primes_are(rahn, forte) &&
                       vector_is(rahn, tsv_cell(&t, i, "interval-class vector")));
    }
    rows_end(&rows, 208);
}

/* How many moves, and how many inversions followed by a move, give the set back. */
static void symmetries(pcset set, int *moves, int *turns, int *distinct)
{
    bool seen[0x1000] = {false};
    *moves = *turns = *distinct = 0;
    for (int half = 0; half < 12; half++) {
        pcset moved = pcset_transpose(set, half), turned = pcset_transpose(pcset_invert(set), half);
        *moves += moved == set;
        *turns += turned == set;
        *distinct += !seen[moved];
        seen[moved] = true;
        *distinct += !seen[turned];
        seen[turned] = true;
    }
}

static void check_named_set_classes(struct suite *s)
{
    struct tsv t = open_table(s, "published/set-classes-named.tsv");
    struct rows rows = {&s->test, &t, "Forte name", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        pcset rahn = set_at(&t, i, "prime form after Rahn"), forte = set_at(&t, i, "prime form after Forte");
        int moves, turns, distinct;
        symmetries(rahn, &moves, &turns, &distinct);
        pcset complement = set_at(&t, i, "prime form of the complement");
        rows_check(&rows, i,
                   pcset_count(rahn) == tsv_int(&t, i, "cardinality") && primes_are(rahn, forte) &&
                       vector_is(rahn, tsv_cell(&t, i, "interval-class vector")) &&
                       distinct == tsv_int(&t, i, "distinct sets") &&
                       moves == tsv_int(&t, i, "degree of transpositional") &&
                       turns == tsv_int(&t, i, "degree of inversional") &&
                       pcset_prime((pcset)(~rahn & 0xFFF), PRIME_RAHN) == complement);
    }
    rows_end(&rows, 224);
}

/* ---- timecode ---------------------------------------------------------------------------------- */

/* "24", "30000/1001 drop", "30000/1001 DF", "30000/1001 non-drop". */
static struct frame_rate rate_at(const struct tsv *t, uint32_t row, const char *column, bool *drop)
{
    struct str s = tsv_cell(t, row, column);
    struct str fraction = cut(&s, ' ');
    struct ratio fps = RATIO_ZERO;
    struct frame_rate rate = {{0, 1}, 1};
    *drop = str_is(s, "drop") || str_is(s, "DF");
    if (ratio_parse(fraction.p, fraction.n, &fps))
        frame_rate_of(fps, &rate);
    return rate;
}

static bool code_is(struct frame_rate rate, bool drop, int64_t frame, struct str code)
{
    struct timecode c;
    char out[TIMECODE_TEXT_MAX];
    return timecode_parse(code, &c) && c.drop == drop && timecode_check(rate, c) == TIMECODE_OK &&
           timecode_frames(rate, c) == frame &&
           str_is(code, timecode_text(timecode_of_frames(rate, frame, drop), out));
}

static void check_timecode(struct suite *s)
{
    struct tsv t = open_table(s, "timecode.tsv");
    struct rows rows = {&s->test, &t, "frame", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        bool drop;
        struct frame_rate rate = rate_at(&t, i, "rate", &drop);
        rows_check(&rows, i, code_is(rate, drop, tsv_int(&t, i, "frame"), tsv_cell(&t, i, "timecode")));
    }
    rows_end(&rows, 22);
}

static void check_timecode_frames(struct suite *s)
{
    struct tsv t = open_table(s, "published/timecode-frames.tsv");
    struct rows rows = {&s->test, &t, "frame count", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        bool drop;
        struct frame_rate rate = rate_at(&t, i, "rate", &drop);
        int64_t frame = tsv_int(&t, i, "frame count");
        struct ratio seconds = frames_seconds(rate, frame);
        /* The table rounds to six places. */
        bool timed = fabs(ratio_double(seconds) - tsv_double(&t, i, "real time")) <= 0.5e-6 + 1e-9;
        rows_check(&rows, i,
                   timed && seconds_frames(rate, seconds) == frame &&
                       code_is(rate, drop, frame, tsv_cell(&t, i, "timecode")));
    }
    rows_end(&rows, 68);
}

static void check_timecode_validity(struct suite *s)
{
    static const struct {
        const char *why;
        enum timecode_fault fault;
    } faults[] = {{"dropped", TIMECODE_DROPPED}, {"frame", TIMECODE_FRAMES},   {"hour", TIMECODE_MINUTES},
                  {"minute", TIMECODE_MINUTES},  {"second", TIMECODE_MINUTES}, {"", TIMECODE_OK}};
    struct tsv t = open_table(s, "published/timecode-validity.tsv");
    struct rows rows = {&s->test, &t, "timecode", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        bool drop;
        struct frame_rate rate = rate_at(&t, i, "rate", &drop);
        struct timecode c = {0, 0, 0, 0, false};
        size_t why = 0;
        while (!str_starts(tsv_cell(&t, i, "why"), str_of(faults[why].why)))
            why++;
        bool valid = str_is(tsv_cell(&t, i, "verdict"), "valid");
        rows_check(&rows, i,
                   timecode_parse(tsv_cell(&t, i, "timecode"), &c) && c.drop == drop &&
                       timecode_check(rate, c) == faults[why].fault &&
                       valid == (faults[why].fault == TIMECODE_OK));
    }
    rows_end(&rows, 23);
}

/* Its columns come in pairs of one name, so they are taken by number. */
static void check_timecode_conversions(struct suite *s)
{
    struct tsv t = open_table(s, "published/timecode-conversions.tsv");
    struct rows rows = {&s->test, &t, "frame", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        const struct str *row = &t.cells[(i + 1) * t.columns];
        bool from_drop, to_drop;
        struct frame_rate from = rate_at(&t, i, "from rate", &from_drop),
                          to = rate_at(&t, i, "to rate", &to_drop);
        struct ratio from_frame, to_frame;
        bool read =
            ratio_parse(row[1].p, row[1].n, &from_frame) && ratio_parse(row[4].p, row[4].n, &to_frame);
        int64_t converted = seconds_frames_floor(to, frames_seconds(from, from_frame.num));
        rows_check(&rows, i,
                   read && converted == to_frame.num && code_is(from, from_drop, from_frame.num, row[2]) &&
                       code_is(to, to_drop, to_frame.num, row[5]));
    }
    rows_end(&rows, 10);
}

/* ---- motion ------------------------------------------------------------------------------------ */

static uint32_t read_stack(struct str s, struct pitch out[VOICES_MAX])
{
    uint32_t n = 0;
    while (s.n && n < VOICES_MAX)
        n += pitch_parse(cut(&s, ' '), &out[n]);
    return n;
}

static void check_motion(struct suite *s)
{
    struct tsv t = open_table(s, "published/motion.tsv");
    struct rows rows = {&s->test, &t, "first", NULL, 0, 0};
    for (uint32_t i = 0; i < t.rows; i++) {
        struct pitch a[VOICES_MAX] = {0}, b[VOICES_MAX] = {0};
        uint32_t n = read_stack(tsv_cell(&t, i, "first"), a), odd;
        bool agrees = n >= 2 && read_stack(tsv_cell(&t, i, "second"), b) == n;
        const char *word = motion_word(motion_of(a[0], a[n - 1], b[0], b[n - 1]));
        agrees = agrees && str_is(tsv_cell(&t, i, "motion"), word);
        struct interval by;
        enum parallel_kind kind = parallel_of(a, b, n, &by, &odd);
        struct str real = tsv_cell(&t, i, "real");
        if (str_is(real, "real"))
            agrees = agrees && kind == PARALLEL_REAL;
        else if (str_is(real, "tonal"))
            agrees = agrees && kind == PARALLEL_TONAL;
        else
            agrees = agrees && real.n == 0 && (kind != PARALLEL_NOT) == (strcmp(word, "parallel") == 0);
        rows_check(&rows, i, agrees);
    }
    rows_end(&rows, 18);
}

int main(int argc, char **argv)
{
    struct suite s = {.test = {"theory_tables", 0, 0}, .project = argc > 1 ? argv[1] : "."};
    /* Frequencies are printed to four and six places. */
    check_pitches(&s, "pitch-midi-frequency.tsv", "pitch", "frequency", 0.5e-4 + 1e-9, 88);
    check_pitches(&s, "published/midi-notes.tsv", "pitch", "frequency", 0.5e-6 + 1e-9, 128);
    check_interval_pairs(&s);
    check_intervals(&s);
    check_transpositions(&s);
    check_set_classes(&s);
    check_named_set_classes(&s);
    check_timecode(&s);
    check_timecode_frames(&s);
    check_timecode_validity(&s);
    check_timecode_conversions(&s);
    check_motion(&s);
    arena_free(&s.arena);
    return test_end(&s.test);
}
