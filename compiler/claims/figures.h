/* figures.h - two melodies compared note by note.
 *
 * Purpose: what `repeats` and its kin have in common: an inversion repeats the model turned over, a
 *          retrograde the model read backwards, an augmentation the model with longer values, a fragment
 *          a part of it.
 * Units:   notes counted from 0 here, from 1 in messages; levels in spelled intervals.
 * Owner:   texts live in the compilation arena.
 * Errors:  every call ends in exactly one verdict.
 * Source:  Hutchinson, Melodic Analysis, Melodic Alteration (real and tonal inversion, intervallic and
 *          rhythmic change, extension); E. Prout, Fugue, section 57 (an exact transposition is real,
 *          an altered one tonal).
 */
#ifndef DESCANT_CLAIMS_FIGURES_H
#define DESCANT_CLAIMS_FIGURES_H

#include "claims/claims.h"

enum figure_rhythm {
    FIGURE_RHYTHM_SAME, /* every attack and every length */
    FIGURE_RHYTHM_FREE, /* pitches only */
    FIGURE_RHYTHM_OTHER /* the rhythm must differ */
};

/* How far one melody lies from the other. */
struct figure_level {
    bool given;        /* false: any level, one for all notes */
    bool by_sound;     /* only v.half counts */
    struct interval v; /* with its direction */
    struct str words;  /* as the sentence puts it, for levels by sound: "three semitones" */
};

/* What a sentence asks of its two figures: m->stream[0] against the model m->stream[1]. */
struct figure_question {
    bool mirrored; /* against the model turned over */
    bool tonal;    /* by steps of a key */
    struct figure_level level;
    bool has_axis; /* mirrored around this pitch */
    struct pitch axis;
    bool has_steps; /* tonal: the level in steps of the key, with its direction */
    int steps;
    bool has_key; /* tonal: else the key stated in the passage */
    struct key key;
    enum figure_rhythm rhythm;
    int64_t changed; /* so many notes are allowed, and required, to differ in pitch */
};

/* Two melodies to be compared, each with two notes at least, and how a sentence puts it. */
struct figure_pair {
    struct str a_name, b_name; /* in prose: "answer", "call read backwards" */
    struct str b_claim;        /* the second in a sentence, after the verb: "call", "call twofold" */
    struct str lead;           /* what evidence calls the model: "call read backwards"; may be empty */
    const char *verb;          /* "repeats", "reverses", "is the head of" */
    bool plain;                /* the sentence may also name a level in steps, or notes that are changed */
    struct line a, b;
};

/* The lines of the sentence's two figures; false after a verdict. */
bool figures_read(struct claim_context *ctx, const struct match *m, struct figure_pair *out);
/* Gives the verdict. */
void figures_compare(struct claim_context *ctx, const struct figure_pair *pair,
                     const struct figure_question *q);
/* Both, for `repeats` and `inverts`. */
void figures_check(struct claim_context *ctx, const struct match *m, const struct figure_question *q);

/* The level that a DIRECTION and an INTERVAL of the sentence name; false after a verdict: a distance that is
 * no whole number of half steps, which no note can lie at. */
bool figure_level_named(struct claim_context *ctx, const struct interval_ref *by, int direction,
                        struct figure_level *out);

/* ---- models made of a model: new notes in the claim's arena ---- */

/* The last note first; its rhythm runs backwards too. */
struct line line_reversed(struct claim_context *ctx, const struct line *l);
/* Every length and distance times a factor; false on overflow. */
bool line_scaled(struct claim_context *ctx, const struct line *l, struct ratio by, struct line *out);
/* Notes [from, from + n). */
struct line line_part(const struct line *l, uint32_t from, uint32_t n);

#endif
