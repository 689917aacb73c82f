/* interval.h - spelled intervals.
 *
 * Purpose: an augmented second is not a minor third; both sizes are kept, in letters and in sound.
 * Units:   steps in staff letters (a third = 2), half in half steps; both signed: an ascending major
 *          third is {2, 4}, descending {-2, -4}. Written up and sounding down ({1,-1}, a doubly
 *          diminished second) is possible.
 * Errors:  parsers return false and leave *out untouched.
 * Source:  R. Hutchinson, Music Theory for the 21st-Century Classroom (2017), Intervals; quality by
 *          half steps against the major scale.
 */
#ifndef DESCANT_THEORY_INTERVAL_H
#define DESCANT_THEORY_INTERVAL_H

#include "theory/pitch.h"

struct interval {
    int steps;
    int half;
};

enum interval_quality {
    QUALITY_PERFECT,
    QUALITY_MAJOR,
    QUALITY_MINOR,
    QUALITY_AUGMENTED,
    QUALITY_DIMINISHED
};

/* The name of an interval without its direction. */
struct interval_name {
    enum interval_quality quality;
    int times;  /* 1 augmented, 2 doubly augmented …; 1 for perfect, major, minor */
    int number; /* 1 unison, 3 third, 10 tenth; >= 1 */
    int direction; /* 1 up, -1 down, 0 a perfect unison */
};

struct interval interval_between(struct pitch from, struct pitch to);
/* From a up to b within the octave: 0 <= steps < 7. */
struct interval interval_between_tones(struct tone a, struct tone b);
struct pitch pitch_move(struct pitch p, struct interval by);
struct tone tone_move(struct tone t, struct interval by);

static inline bool interval_eq(struct interval a, struct interval b)
{
    return a.steps == b.steps && a.half == b.half;
}

struct interval interval_negate(struct interval v);

/* Direction follows the letters; a unison's follows the sound. A second written up that sounds
 * down keeps direction 1 and is diminished as often as needed. */
struct interval_name interval_describe(struct interval v);
/* False where quality and number do not go together (a perfect third) or number < 1. Ascending. */
bool interval_of_name(enum interval_quality quality, int times, int number, struct interval *out);

/* Octaves taken out, direction kept; an octave stays an octave ({7,12}). */
struct interval interval_simple(struct interval v);
/* Inversion of an ascending simple interval at the octave: m3 -> M6; P1 <-> P8. */
struct interval interval_invert(struct interval v);
/* The smaller of |v| reduced and its inversion, ascending; by letters, then by sound. */
struct interval interval_class_spelled(struct interval v);

enum { INTERVAL_TEXT_MAX = 512 };
/* "minor third", "doubly augmented fourth", "minor tenth", "two octaves and a perfect fifth"
 * (from the fifteenth up); "a"/"an" is not included. */
const char *interval_words(struct interval v, char *out);
/* The same with an article: "a minor third", "an octave and a major third", "two octaves". With compound
 * true, intervals past the octave are given as octaves plus remainder ("an octave and a major third"). */
const char *interval_phrase(struct interval v, bool compound, char *out);
/* "m3", "P5", "AA4", "M10"; direction not shown. */
const char *interval_short(struct interval v, char *out);
/* Reads "m3 M3 P5 A4 d5 AA1 dd8 M10 …"; the whole of s. Ascending. */
bool interval_parse_short(struct str s, struct interval *out);

/* Word tables, so that no caller spells them again: "perfect", "major" …; "unison", "second" … up
 * to "fifteenth" (number 15), also "octave" for 8. False / 0 if not such a word. */
bool interval_quality_word(struct str word, enum interval_quality *out);
int interval_number_word(struct str word);

/* The name by sound of a distance in half steps: "half step", "whole step", "tritone", else "N half
 * steps". */
const char *half_steps_words(int half, char *out);

#endif
