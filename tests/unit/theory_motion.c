#include "theory/motion.h"

#include "theory_random.h"

enum { VOICES_MAX = 8 };

static uint32_t read_stack(const char *text, struct pitch out[VOICES_MAX])
{
    uint32_t n = 0;
    while (*text && n < VOICES_MAX) {
        uint32_t length = (uint32_t)strcspn(text, " ");
        pitch_parse((struct str){text, length}, &out[n++]);
        text += length + (text[length] == ' ');
    }
    return n;
}

static void names_two_voices(struct test *t)
{
    static const struct {
        const char *first, *second, *word;
    } rows[] = {
        {"C4 G4", "D4 A4", "parallel"}, {"C4 E4", "D4 F4", "parallel"},   {"C4 G4", "D4 B4", "similar"},
        {"C4 G4", "B3 A4", "contrary"}, {"C4 G4", "C4 A4", "oblique"},    {"C4 G4", "C4 G4", "no"},
        {"C4 G4", "B#3 G4", "no"},      {"C4 E4", "D4 F##4", "parallel"}, {"C4 Eb4", "D4 E#4", "similar"},
        {"C4 C5", "G3 G4", "parallel"}, {"F3 C5", "G3 F5", "similar"},    {"C4 E4", "C#4 Fb4", "oblique"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct pitch a[VOICES_MAX] = {0}, b[VOICES_MAX] = {0};
        read_stack(rows[i].first, a);
        read_stack(rows[i].second, b);
        CHECK_TEXT(t, motion_word(motion_of(a[0], a[1], b[0], b[1])), rows[i].word);
    }
}

static void names_stacks(struct test *t)
{
    static const struct {
        const char *first, *second;
        enum parallel_kind kind;
        const char *by;
        int direction;
        uint32_t odd;
    } rows[] = {
        {"Eb3 G3 Bb3 D4 F#4 A4", "Cb3 Eb3 Gb3 Bb3 D4 F4", PARALLEL_REAL, "M3", -1, 6},
        {"Eb3 G3 Bb3 D4 F#4 A4", "Cb3 Eb3 Gb3 Bb3 D4 F#4", PARALLEL_TONAL, "M3", -1, 5},
        {"Eb3 G3 Bb3", "B2 D#3 F#3", PARALLEL_REAL, "d4", -1, 3},
        {"Eb3 G3 Bb3", "Cb3 D#3 Gb3", PARALLEL_SOUNDING, "M3", -1, 3},
        {"C4 E4 G4", "D4 F4 A4", PARALLEL_TONAL, "M2", 1, 1},
        {"C4 E4 G4", "D4 F4 G4", PARALLEL_NOT, "M2", 1, 1},
        {"C4 E4 G4", "D4 E4 F4", PARALLEL_NOT, "M2", 1, 1},
        {"C4 E4 G4", "C4 E4 G4", PARALLEL_NOT, "P1", 0, 3},
        {"C4 E4", "B#3 D##4", PARALLEL_NOT, "d2", -1, 2}, /* spelled anew, nothing sounds different */
        {"C4 E4", "C#4 E##4", PARALLEL_NOT, "A1", 1, 1},
        {"C4", "D4", PARALLEL_REAL, "M2", 1, 1},
        {"", "", PARALLEL_NOT, "P1", 0, 0},
    };
    char out[INTERVAL_TEXT_MAX];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct pitch a[VOICES_MAX], b[VOICES_MAX];
        struct interval by;
        uint32_t odd, n = read_stack(rows[i].first, a);
        CHECK(t, read_stack(rows[i].second, b) == n);
        if (!CHECK(t, parallel_of(a, b, n, &by, &odd) == rows[i].kind))
            fprintf(stderr, "    %s to %s\n", rows[i].first, rows[i].second);
        CHECK_TEXT(t, interval_short(by, out), rows[i].by);
        CHECK(t, interval_describe(by).direction == rows[i].direction && odd == rows[i].odd);
    }
}

static bool swapped_moments_keep_the_motion(struct rng *r)
{
    struct pitch a = any_pitch(r), b = any_pitch(r), c = any_pitch(r), d = any_pitch(r);
    return motion_of(a, b, c, d) == motion_of(c, d, a, b) && motion_of(a, b, c, d) == motion_of(b, a, d, c);
}

static uint32_t any_stack(struct rng *r, struct pitch *out)
{
    uint32_t n = (uint32_t)rng_between(r, 1, VOICES_MAX);
    for (uint32_t i = 0; i < n; i++)
        out[i] = any_pitch(r);
    return n;
}

static bool transposed_is_real(struct rng *r)
{
    struct pitch a[VOICES_MAX], b[VOICES_MAX];
    uint32_t odd, n = any_stack(r, a);
    struct interval v = any_interval(r), by;
    for (uint32_t i = 0; i < n; i++)
        b[i] = pitch_move(a[i], v);
    enum parallel_kind want = v.half == 0 ? PARALLEL_NOT : PARALLEL_REAL;
    return parallel_of(a, b, n, &by, &odd) == want && interval_eq(by, v) && odd == n;
}

static bool one_voice_off_is_found(struct rng *r)
{
    struct pitch a[VOICES_MAX], b[VOICES_MAX];
    uint32_t odd, n = any_stack(r, a);
    struct interval v = {rng_between(r, 1, 9), rng_between(r, 1, 16)}, by;
    if (n < 3)
        return true;
    for (uint32_t i = 0; i < n; i++)
        b[i] = pitch_move(a[i], v);
    uint32_t off = (uint32_t)rng_between(r, 0, (int)n - 1);
    b[off].tone.alter++;
    return parallel_of(a, b, n, &by, &odd) == PARALLEL_TONAL && interval_eq(by, v) && odd == off;
}

static bool real_voices_are_parallel_in_pairs(struct rng *r)
{
    struct pitch a = any_pitch(r), b = any_pitch(r);
    struct interval v = any_interval(r);
    enum motion m = motion_of(a, b, pitch_move(a, v), pitch_move(b, v));
    return m == (v.half == 0 ? MOTION_NONE : MOTION_PARALLEL);
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"moments or voices swapped, the motion is the same", swapped_moments_keep_the_motion},
        {"a transposed stack moves in real parallel", transposed_is_real},
        {"the one voice that differs is found", one_voice_off_is_found},
        {"voices of a real parallel are parallel in pairs", real_voices_are_parallel_in_pairs},
    };
    struct test t = {"theory_motion", 0, 0};
    names_two_voices(&t);
    names_stacks(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
