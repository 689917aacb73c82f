/* meter.h - bars, beats, tempo and exact positions.
 *
 * Units:   positions and lengths in wholes (fractions of a whole note) from the start of a passage; bars
 *          numbered as printed; beats from 1, a beat being the meter's written unit (6/8 has six, also when
 *          felt in two).
 * Errors:  functions that can leave the music return false.
 */
#ifndef DESCANT_THEORY_METER_H
#define DESCANT_THEORY_METER_H

#include "base/ratio.h"
#include "base/str.h"

enum { METER_GROUPS_MAX = 8 };

struct meter {
    int groups[METER_GROUPS_MAX]; /* 3+2/8 is {3,2}; 4/4 is {4} */
    int n_groups;
    int unit;                     /* 4 in 3/4; a power of two */
};

/* "3/4", "3+2/8": whole of s. Units 1 to 128, groups 1 to 99. */
bool meter_parse(struct str s, struct meter *out);
struct ratio meter_length(struct meter m); /* wholes in a bar */
int meter_beats(struct meter m);           /* 5 in 3+2/8 */
bool meter_eq(struct meter a, struct meter b);
enum { METER_TEXT_MAX = 64 };
const char *meter_text(struct meter m, char out[METER_TEXT_MAX]);

/* One tempo from a position on: `beat` wholes, `bpm` of them a minute. */
struct tempo_change {
    struct ratio at;   /* wholes */
    struct ratio beat; /* 1/4, 3/8 … */
    struct ratio bpm;
};

/* Changes in order, the first at 0. */
struct tempo_map {
    const struct tempo_change *changes;
    uint32_t n;
};

/* Seconds from the start to a position; false without a tempo or on overflow. Exact. */
bool tempo_seconds(struct tempo_map map, struct ratio at, struct ratio *seconds);
/* The inverse. */
bool tempo_position(struct tempo_map map, struct ratio seconds, struct ratio *at);
/* Microseconds a quarter note, rounded to nearest, as a Standard MIDI File holds it; false if it does not fit
 * 24 bits. */
bool tempo_midi(struct tempo_change c, uint32_t *microseconds);

#endif
