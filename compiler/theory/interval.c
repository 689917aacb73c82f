#include "theory/interval.h"

#include "theory/floor.h"
#include "theory/text.h"

#include <stdlib.h>

static const char *const quality_words[] = {
    [QUALITY_PERFECT] = "perfect",     [QUALITY_MAJOR] = "major",           [QUALITY_MINOR] = "minor",
    [QUALITY_AUGMENTED] = "augmented", [QUALITY_DIMINISHED] = "diminished",
};

static const char quality_letters[] = {
    [QUALITY_PERFECT] = 'P',   [QUALITY_MAJOR] = 'M',      [QUALITY_MINOR] = 'm',
    [QUALITY_AUGMENTED] = 'A', [QUALITY_DIMINISHED] = 'd',
};

enum { QUALITIES = 5, NUMBER_MAX = 999 };

/* Index is the interval's number. */
static const char *const number_words[] = {
    "",       "unison", "second", "third",    "fourth",  "fifth",      "sixth",      "seventh",
    "octave", "ninth",  "tenth",  "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth",
};

enum { NUMBER_WORDS = sizeof number_words / sizeof number_words[0] };

static const struct interval octave = {7, 12};

/* A natural pitch `steps` letters above C0. */
static struct pitch natural_pitch(int steps)
{
    return (struct pitch){{(int8_t)floor_mod(steps, 7), 0}, (int16_t)floor_div(steps, 7)};
}

/* Size of the major or perfect interval of so many steps: what the major scale has above its tonic. */
static int scale_half(int steps)
{
    return pitch_midi(natural_pitch(steps)) - pitch_midi(natural_pitch(0));
}

static bool is_perfect_number(int steps)
{
    int simple = floor_mod(steps, 7);
    return simple == 0 || simple == 3 || simple == 4;
}

static struct interval add(struct interval a, struct interval b, int times)
{
    return (struct interval){a.steps + times * b.steps, a.half + times * b.half};
}

/* Up in letters, or in sound where the letter stays. */
static struct interval ascending(struct interval v)
{
    bool down = v.steps < 0 || (v.steps == 0 && v.half < 0);
    return down ? interval_negate(v) : v;
}

struct interval interval_between(struct pitch from, struct pitch to)
{
    return (struct interval){pitch_steps(to) - pitch_steps(from), pitch_midi(to) - pitch_midi(from)};
}

struct interval interval_between_tones(struct tone a, struct tone b)
{
    int16_t octave_b = b.letter < a.letter ? 5 : 4;
    return interval_between((struct pitch){a, 4}, (struct pitch){b, octave_b});
}

struct pitch pitch_move(struct pitch p, struct interval by)
{
    struct pitch q = natural_pitch(pitch_steps(p) + by.steps);
    q.tone.alter = (int16_t)(pitch_midi(p) + by.half - pitch_midi(q));
    return q;
}

struct tone tone_move(struct tone t, struct interval by)
{
    return pitch_move((struct pitch){t, 4}, by).tone;
}

struct interval interval_negate(struct interval v)
{
    return (struct interval){-v.steps, -v.half};
}

struct interval_name interval_describe(struct interval v)
{
    struct interval up = ascending(v);
    int direction = v.steps == 0 && v.half == 0 ? 0 : interval_eq(up, v) ? 1 : -1;
    struct interval_name name = {QUALITY_PERFECT, 1, up.steps + 1, direction};
    int over = up.half - scale_half(up.steps);
    bool perfect = is_perfect_number(up.steps);
    int lowest = perfect ? 0 : -1; /* the minor interval is no diminished one */
    if (over > 0) {
        name.quality = QUALITY_AUGMENTED;
        name.times = over;
    } else if (over < lowest) {
        name.quality = QUALITY_DIMINISHED;
        name.times = lowest - over;
    } else if (!perfect) {
        name.quality = over == 0 ? QUALITY_MAJOR : QUALITY_MINOR;
    }
    return name;
}

bool interval_of_name(enum interval_quality quality, int times, int number, struct interval *out)
{
    if (number < 1 || number > NUMBER_MAX || times < 1 || times > ALTER_MAX)
        return false;
    int steps = number - 1;
    bool perfect = is_perfect_number(steps);
    int over = 0;
    switch (quality) {
    case QUALITY_PERFECT:
        if (!perfect || times != 1)
            return false;
        break;
    case QUALITY_MAJOR:
    case QUALITY_MINOR:
        if (perfect || times != 1)
            return false;
        over = quality == QUALITY_MINOR ? -1 : 0;
        break;
    case QUALITY_AUGMENTED:
        over = times;
        break;
    case QUALITY_DIMINISHED:
        /* A unison made smaller is an augmented unison the other way. */
        if (steps == 0)
            return false;
        over = perfect ? -times : -1 - times;
        break;
    }
    *out = (struct interval){steps, scale_half(steps) + over};
    return true;
}

struct interval interval_simple(struct interval v)
{
    struct interval up = ascending(v);
    int octaves = up.steps > 7 ? (up.steps - 1) / 7 : 0;
    struct interval simple = add(up, octave, -octaves);
    return interval_eq(up, v) ? simple : interval_negate(simple);
}

struct interval interval_invert(struct interval v)
{
    return add(octave, v, -1);
}

struct interval interval_class_spelled(struct interval v)
{
    struct interval simple = interval_simple(ascending(v));
    struct interval other = interval_invert(simple);
    /* The two add up to seven steps, so letters always decide; an augmented octave leaves a unison down. */
    return simple.steps < other.steps ? simple : ascending(other);
}

/* Whole octaves and what is left over; never a unison made smaller, for which one octave is put back. */
static int split_octaves(struct interval v, struct interval *rest)
{
    int octaves = v.steps / 7;
    *rest = add(v, octave, -octaves);
    if (octaves > 0 && rest->steps == 0 && rest->half < 0) {
        octaves--;
        *rest = add(*rest, octave, 1);
    }
    return octaves;
}

static void put_times(struct text_out *t, int times)
{
    static const char *const words[] = {"", "", "doubly ", "triply ", "quadruply "};
    if (times < (int)(sizeof words / sizeof words[0])) {
        text_put(t, words[times]);
    } else {
        text_int(t, times);
        text_put(t, " times ");
    }
}

static void put_octaves(struct text_out *t, int n)
{
    static const char *const words[] = {"no",   "an",  "two",   "three", "four",
                                        "five", "six", "seven", "eight", "nine"};
    if (n < (int)(sizeof words / sizeof words[0]))
        text_put(t, words[n]);
    else
        text_int(t, n);
    text_put(t, n == 1 ? " octave" : " octaves");
}

/* An interval below the fifteenth, or a fifteenth that is not perfect. */
static void put_name(struct text_out *t, struct interval v)
{
    struct interval_name name = interval_describe(v);
    put_times(t, name.times);
    text_put(t, quality_words[name.quality]);
    text_put(t, " ");
    text_put(t, number_words[name.number]);
}

static bool starts_with_vowel(struct interval v)
{
    struct interval_name name = interval_describe(v);
    /* "an augmented", but "a doubly augmented"; numerals from five on: "an 8 times", "an 11 times". */
    if (name.times > 4)
        return name.times == 8 || name.times == 11 || name.times == 18 || name.times / 10 == 8;
    return name.quality == QUALITY_AUGMENTED && name.times == 1;
}

static void put_name_with_article(struct text_out *t, struct interval v)
{
    text_put(t, starts_with_vowel(v) ? "an " : "a ");
    put_name(t, v);
}

static void put_compound(struct text_out *t, struct interval v)
{
    struct interval rest;
    put_octaves(t, split_octaves(v, &rest));
    if (rest.steps == 0 && rest.half == 0)
        return;
    text_put(t, " and ");
    put_name_with_article(t, rest);
}

const char *interval_words(struct interval v, char *out)
{
    struct text_out t = text_begin(out, INTERVAL_TEXT_MAX);
    struct interval up = ascending(v);
    if (up.steps >= 14)
        put_compound(&t, up);
    else
        put_name(&t, up);
    return out;
}

const char *interval_phrase(struct interval v, bool compound, char *out)
{
    struct text_out t = text_begin(out, INTERVAL_TEXT_MAX);
    struct interval up = ascending(v);
    if (up.steps >= 14 || (compound && up.steps > 7) || interval_eq(up, octave))
        put_compound(&t, up);
    else
        put_name_with_article(&t, up);
    return out;
}

const char *interval_short(struct interval v, char *out)
{
    struct text_out t = text_begin(out, INTERVAL_TEXT_MAX);
    struct interval_name name = interval_describe(v);
    char letter[2] = {quality_letters[name.quality], '\0'};
    /* Two pitches within the parsers' limits are never further from a perfect or major size than this. */
    int most = 2 * ALTER_MAX + 1;
    if (name.times > most)
        text_int(&t, name.times);
    text_repeat(&t, letter, name.times > most ? 1 : name.times);
    text_int(&t, name.number);
    return out;
}

bool interval_parse_short(struct str s, struct interval *out)
{
    const char *letter = s.n ? memchr(quality_letters, s.p[0], QUALITIES) : NULL;
    if (!letter)
        return false;
    uint32_t at = 0;
    while (at < s.n && at <= ALTER_MAX && s.p[at] == *letter)
        at++;
    int times = (int)at;
    int number = 0;
    uint32_t first = at;
    for (; at < s.n && s.p[at] >= '0' && s.p[at] <= '9' && number <= NUMBER_MAX; at++)
        number = number * 10 + (s.p[at] - '0');
    if (at != s.n || at == first)
        return false;
    return interval_of_name((enum interval_quality)(letter - quality_letters), times, number, out);
}

bool interval_quality_word(struct str word, enum interval_quality *out)
{
    for (int i = 0; i < QUALITIES; i++) {
        if (str_is(word, quality_words[i])) {
            *out = (enum interval_quality)i;
            return true;
        }
    }
    return false;
}

int interval_number_word(struct str word)
{
    for (int i = 1; i < NUMBER_WORDS; i++)
        if (str_is(word, number_words[i]))
            return i;
    return 0;
}

const char *half_steps_words(int half, char *out)
{
    struct text_out t = text_begin(out, INTERVAL_TEXT_MAX);
    int n = abs(half);
    if (n == 1 || n == 2 || n == 6) {
        text_put(&t, n == 1 ? "half step" : n == 2 ? "whole step" : "tritone");
    } else {
        text_int(&t, n);
        text_put(&t, " half steps");
    }
    return out;
}
