/* melody.h - a line of notes told in words, and its rhythm.
 *
 * Purpose: what the kinds on figures say of single notes and moves is worded once.
 * Units:   notes counted from 0 here, from 1 in messages.
 * Owner:   texts live in the compilation arena.
 * Errors:  melody_line returns false after an undecided verdict.
 */
#ifndef DESCANT_CLAIMS_MELODY_H
#define DESCANT_CLAIMS_MELODY_H

#include "claims/claims.h"

/* The line of m->stream[index]. The sentence's SPAN cuts the first only: the model is taken whole. */
bool melody_line(struct claim_context *ctx, const struct match *m, int index, uint32_t least,
                 struct line *out);

/* Do two names stand for one thing? Nothing is proved by comparing it with itself. */
bool streams_same(const struct stream *a, const struct stream *b);

/* The first note whose attack (counted from the first note) or length differs, the smaller of the two numbers
 * of notes if none does. *attack tells which it is. */
uint32_t lines_rhythm_differ(const struct line *a, const struct line *b, bool *attack);

/* "E4 F4 G4 D#4", long melodies cut after twelve notes. */
struct str line_words(struct claim_context *ctx, const struct line *l);
/* "falls B5 to G5, a major third", "repeats B5". */
struct str melodic_words(struct claim_context *ctx, struct pitch from, struct pitch to);
/* "an octave and a major third", whatever the direction. */
struct str interval_sentence(struct claim_context *ctx, struct interval v);
/* The place of a note: " at bar 4 beat 2", or nothing for a figure of a library. */
struct str note_at(struct claim_context *ctx, const struct line *l, uint32_t i);

#endif
