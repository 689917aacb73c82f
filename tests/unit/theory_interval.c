#include "theory/interval.h"

#include "theory_random.h"

static struct interval read_short(const char *z)
{
    struct interval v = {99, 99};
    interval_parse_short(str_of(z), &v);
    return v;
}

static struct pitch pitch(const char *z)
{
    struct pitch p = {{0, 0}, 0};
    pitch_parse(str_of(z), &p);
    return p;
}

static void names_intervals(struct test *t)
{
    static const struct {
        const char *from, *to, *name, *words;
        int direction;
    } rows[] = {
        {"C4", "Eb4", "m3", "minor third", 1},
        {"C4", "D#4", "A2", "augmented second", 1},
        {"Bb3", "B3", "A1", "augmented unison", 1},
        {"B3", "Bb3", "A1", "augmented unison", -1},
        {"Eb3", "Cb3", "M3", "major third", -1},
        {"C4", "C4", "P1", "perfect unison", 0},
        {"C4", "Dbb4", "d2", "diminished second", 1},
        {"C4", "Dbbb4", "dd2", "doubly diminished second", 1}, /* written up, sounding down */
        {"F4", "B##4", "AAA4", "triply augmented fourth", 1},
        {"C4", "Eb5", "m10", "minor tenth", 1},
        {"C4", "C6", "P15", "two octaves", 1},
        {"C4", "G6", "P19", "two octaves and a perfect fifth", 1},
        {"C4", "C#6", "A15", "two octaves and an augmented unison", 1},
        {"C4", "Cb6", "d15", "an octave and a diminished octave", 1},
        {"C1", "D6", "M37", "five octaves and a major second", 1},
    };
    char out[INTERVAL_TEXT_MAX];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct interval v = interval_between(pitch(rows[i].from), pitch(rows[i].to));
        CHECK_TEXT(t, interval_short(v, out), rows[i].name);
        CHECK_TEXT(t, interval_words(v, out), rows[i].words);
        CHECK(t, interval_describe(v).direction == rows[i].direction);
    }
}

static void writes_phrases(struct test *t)
{
    static const struct {
        const char *name, *plain, *compound;
    } rows[] = {
        {"m3", "a minor third", "a minor third"},
        {"A4", "an augmented fourth", "an augmented fourth"},
        {"AA4", "a doubly augmented fourth", "a doubly augmented fourth"},
        {"P8", "an octave", "an octave"},
        {"A8", "an augmented octave", "an augmented octave"},
        {"M10", "a major tenth", "an octave and a major third"},
        {"A11", "an augmented eleventh", "an octave and an augmented fourth"},
        {"d9", "a diminished ninth", "an octave and a diminished second"},
        {"P15", "two octaves", "two octaves"},
        {"P19", "two octaves and a perfect fifth", "two octaves and a perfect fifth"},
        {"AAAAAAAA2", "an 8 times augmented second", "an 8 times augmented second"},
        {"P1", "a perfect unison", "a perfect unison"},
    };
    char out[INTERVAL_TEXT_MAX];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        CHECK_TEXT(t, interval_phrase(read_short(rows[i].name), false, out), rows[i].plain);
        CHECK_TEXT(t, interval_phrase(read_short(rows[i].name), true, out), rows[i].compound);
    }
}

static void refuses(struct test *t)
{
    static const char *const bad[] = {"",    "3",   "M",     "P3",           "M5",  "m4",  "PP5",
                                      "MM3", "d1",  "M0",    "A0",           "m3 ", "Mm3", "Ad4",
                                      "x3",  "m-3", "M1000", "M99999999999", "M15", "P7"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct interval v = {5, 5};
        CHECK(t, !interval_parse_short(str_of(bad[i]), &v));
        CHECK(t, v.steps == 5 && v.half == 5);
    }
    struct interval v;
    CHECK(t, !interval_of_name(QUALITY_PERFECT, 1, 3, &v) && !interval_of_name(QUALITY_AUGMENTED, 0, 3, &v));
}

static void takes_octaves_out(struct test *t)
{
    static const struct {
        const char *from, *simple;
    } rows[] = {{"P15", "P8"}, {"P8", "P8"},  {"M10", "M3"}, {"d15", "d8"},
                {"A22", "A8"}, {"m14", "m7"}, {"P1", "P1"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct interval v = read_short(rows[i].from), simple = read_short(rows[i].simple);
        CHECK(t, interval_eq(interval_simple(v), simple));
        CHECK(t, interval_eq(interval_simple(interval_negate(v)), interval_negate(simple)));
    }
    CHECK(t, interval_eq(interval_class_spelled(read_short("M7")), read_short("m2")));
    CHECK(t, interval_eq(interval_class_spelled(interval_negate(read_short("m9"))), read_short("m2")));
    CHECK(t, interval_eq(interval_class_spelled(read_short("P8")), read_short("P1")));
    CHECK(t, interval_eq(interval_class_spelled(read_short("A8")), read_short("A1")));
    CHECK(t, interval_eq(interval_class_spelled(read_short("d5")), read_short("A4")));
}

static void knows_words(struct test *t)
{
    enum interval_quality quality = QUALITY_PERFECT;
    char out[INTERVAL_TEXT_MAX];
    CHECK(t, interval_quality_word(STR("diminished"), &quality) && quality == QUALITY_DIMINISHED);
    CHECK(t, !interval_quality_word(STR("Major"), &quality));
    CHECK(t, interval_number_word(STR("unison")) == 1 && interval_number_word(STR("octave")) == 8);
    CHECK(t, interval_number_word(STR("fifteenth")) == 15 && interval_number_word(STR("sixteenth")) == 0);
    CHECK(t, interval_number_word(STR("")) == 0);
    CHECK_TEXT(t, half_steps_words(-1, out), "half step");
    CHECK_TEXT(t, half_steps_words(2, out), "whole step");
    CHECK_TEXT(t, half_steps_words(6, out), "tritone");
    CHECK_TEXT(t, half_steps_words(-7, out), "7 half steps");
}

static bool up_then_down(struct rng *r)
{
    struct pitch p = any_pitch(r);
    struct interval v = any_interval(r);
    return pitch_eq(pitch_move(pitch_move(p, v), interval_negate(v)), p);
}

static bool moving_goes_where_measured(struct rng *r)
{
    struct pitch a = any_pitch(r), b = any_pitch(r);
    return pitch_eq(pitch_move(a, interval_between(a, b)), b) &&
           tone_eq(tone_move(a.tone, interval_between_tones(a.tone, b.tone)), b.tone);
}

static bool transposing_keeps_intervals(struct rng *r)
{
    struct pitch a = any_pitch(r), b = any_pitch(r);
    struct interval v = any_interval(r);
    return interval_eq(interval_between(a, b), interval_between(pitch_move(a, v), pitch_move(b, v)));
}

static bool moves_add_up(struct rng *r)
{
    struct pitch p = any_pitch(r);
    struct interval a = any_interval(r), b = any_interval(r), sum = {a.steps + b.steps, a.half + b.half};
    return pitch_eq(pitch_move(pitch_move(p, a), b), pitch_move(p, sum));
}

static bool inversion_returns(struct rng *r)
{
    struct interval v = interval_between_tones(any_tone(r), any_tone(r));
    struct interval inverted = interval_invert(v);
    return interval_eq(interval_invert(inverted), v) && v.steps + inverted.steps == 7 &&
           v.half + inverted.half == 12;
}

/* Perfect stays perfect, major and minor, augmented and diminished change places (Hutchinson, Intervals). */
static bool inversion_swaps_quality(struct rng *r)
{
    static const enum interval_quality other[] = {
        [QUALITY_PERFECT] = QUALITY_PERFECT,      [QUALITY_MAJOR] = QUALITY_MINOR,
        [QUALITY_MINOR] = QUALITY_MAJOR,          [QUALITY_AUGMENTED] = QUALITY_DIMINISHED,
        [QUALITY_DIMINISHED] = QUALITY_AUGMENTED,
    };
    struct interval v = interval_between_tones(any_tone(r), any_tone(r));
    if (v.steps == 0)
        return true; /* a unison's quality follows its direction */
    struct interval_name a = interval_describe(v), b = interval_describe(interval_invert(v));
    return b.quality == other[a.quality] && a.times == b.times && a.number + b.number == 9;
}

static bool names_round_trip(struct rng *r)
{
    char out[INTERVAL_TEXT_MAX];
    struct interval v = any_interval(r), read, named;
    struct interval_name name = interval_describe(v);
    struct interval up = name.direction < 0 ? interval_negate(v) : v;
    return interval_parse_short(str_of(interval_short(v, out)), &read) && interval_eq(read, up) &&
           interval_of_name(name.quality, name.times, name.number, &named) && interval_eq(named, up);
}

static bool simple_is_simple(struct rng *r)
{
    struct interval v = any_interval(r), s = interval_simple(v);
    int octaves = (v.steps - s.steps) / 7;
    bool whole = v.steps - s.steps == 7 * octaves && v.half - s.half == 12 * octaves;
    return whole && abs(s.steps) <= 7 && interval_eq(interval_simple(s), s);
}

static bool class_ignores_order_and_octave(struct rng *r)
{
    struct pitch a = any_pitch(r), b = any_pitch(r), higher = b;
    higher.octave = (int16_t)(b.octave + rng_between(r, -3, 3));
    struct interval one = interval_class_spelled(interval_between(a, b));
    return interval_eq(one, interval_class_spelled(interval_between(b, a))) &&
           interval_eq(one, interval_class_spelled(interval_between(a, higher))) && one.steps >= 0 &&
           one.steps <= 3;
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"up then down is the identity", up_then_down},
        {"a pitch moved by a measured interval arrives", moving_goes_where_measured},
        {"transposing a pair keeps its interval", transposing_keeps_intervals},
        {"moves add up", moves_add_up},
        {"inverting twice is the identity", inversion_returns},
        {"inversion swaps the qualities", inversion_swaps_quality},
        {"a name read is the interval named", names_round_trip},
        {"octaves are taken out whole", simple_is_simple},
        {"interval class ignores order and octave", class_ignores_order_and_octave},
    };
    struct test t = {"theory_interval", 0, 0};
    names_intervals(&t);
    writes_phrases(&t);
    refuses(&t);
    takes_octaves_out(&t);
    knows_words(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
