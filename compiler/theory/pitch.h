/* pitch.h - spelled pitches and pitch classes.
 *
 * Purpose: C#4 and Db4 sound the same and are different pitches; both facts are kept.
 * Units:   letters C=0 … B=6; alterations in half steps (any count); octaves in scientific
 *          numbering (C4 is middle C; the number belongs to the letter, so Cb4 sounds as B3);
 *          sound in MIDI numbers, C4 = 60 (may be negative or above 127).
 * Owner:   plain values.
 * Errors:  parsers return false and leave *out untouched.
 */
#ifndef DESCANT_THEORY_PITCH_H
#define DESCANT_THEORY_PITCH_H

#include "base/str.h"
#include "theory/floor.h"

/* A spelled pitch class ("tone"): no octave. */
struct tone {
    int8_t letter;
    int16_t alter; /* half steps: # = 1, b = -1 */
};

struct pitch {
    struct tone tone;
    int16_t octave;
};

/* How accidentals are written. */
enum sign_style {
    SIGN_ASCII,   /* F#, Bb, F##, Bbb */
    SIGN_UNICODE, /* F♯, B♭, F𝄪, B𝄫 */
    SIGN_WORDS    /* F sharp, B flat, F double sharp */
};

/* Accidentals beyond this many are refused by the parsers ("any count" within reason). */
enum { ALTER_MAX = 99, OCTAVE_MAX = 99 };

/* Room for any tone or pitch in any style within the limits above, with a NUL. */
enum { PITCH_TEXT_MAX = 512 };

/* Reads letter and accidentals from the start of s; *used gets the bytes read. ASCII # b x and
 * ♯ ♭ 𝄪 𝄫 ♮ are accepted, upper-case letters only. `x` is a double sharp; pitch_parse reads `n` as ♮. */
bool tone_read(struct str s, struct tone *out, uint32_t *used);
/* The whole of s is a tone / a pitch with octave (Bb3, C#-1). */
bool tone_parse(struct str s, struct tone *out);
bool pitch_parse(struct str s, struct pitch *out);

/* Half steps of C D E F G A B above C. */
static const int8_t letter_half[7] = {0, 2, 4, 5, 7, 9, 11};

/* 0 … 11 */
static inline int tone_pc(struct tone t)
{
    int pc = letter_half[t.letter] + t.alter;
    return pc >= 0 && pc < 12 ? pc : floor_mod(pc, 12);
}

/* C4 = 60 */
static inline int pitch_midi(struct pitch p)
{
    return 12 * (p.octave + 1) + letter_half[p.tone.letter] + p.tone.alter;
}

/* Letters above C0: 7 * octave + letter. */
static inline int pitch_steps(struct pitch p)
{
    return 7 * p.octave + p.tone.letter;
}

/* Spelled. */
static inline bool tone_eq(struct tone a, struct tone b)
{
    return a.letter == b.letter && a.alter == b.alter;
}

/* Spelled, octave included. */
static inline bool pitch_eq(struct pitch a, struct pitch b)
{
    return tone_eq(a.tone, b.tone) && a.octave == b.octave;
}

/* The plainest spelling of a MIDI number: sharps or flats for the black keys. */
struct pitch pitch_of_midi(int midi, bool flats);

/* Frequency in hertz at equal temperament; a4 usually 440 (ISO 16). For sound, tables, messages. */
double pitch_hertz(struct pitch p, double a4);

/* NUL-terminated text into out (PITCH_TEXT_MAX bytes); returns out. In SIGN_WORDS a pitch is
 * "F sharp 4". */
const char *tone_text(struct tone t, enum sign_style style, char *out);
const char *pitch_text(struct pitch p, enum sign_style style, char *out);

#endif
