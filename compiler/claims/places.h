/* places.h - what is known of a passage, and where.
 *
 * Purpose: claims of silence, entry and "only" need the parts that do not play as much as those that do: a
 *          bar that some part writes is transcribed, and the parts that do not write it rest there; of a bar
 *          that no part writes nothing is known.
 * Units:   positions in wholes from the passage's start.
 * Owner:   texts live in the compilation arena.
 * Errors:  none; what is missing is returned as a gap.
 */
#ifndef DESCANT_CLAIMS_PLACES_H
#define DESCANT_CLAIMS_PLACES_H

#include "claims/claims.h"

/* A stretch of which the notes are not known. */
struct gap {
    const struct bar *bar;   /* a bar that no part writes, or that in which an open stretch begins */
    const struct part *part; /* whose stretch was left open; NULL: the bar is not transcribed */
};

/* The earliest gap that the stretch touches, for one part, or for all where `part` is NULL. False: all is
 * known. */
bool passage_gap(const struct passage *p, const struct part *part, struct stretch where, struct gap *out);
/* "bar 2 is not transcribed", "reed leaves bar 2 open". */
struct str gap_words(struct claim_context *ctx, const struct gap *gap);

struct stretch passage_stretch(const struct passage *p); /* the whole of it */
struct ratio note_end(const struct note *n);
/* Does the note sound anywhere in [onset, end)? */
bool note_sounds(const struct note *n, struct stretch where);
/* The first note of a part that sounds in the stretch; NULL: none. */
const struct note *part_note_in(struct claim_context *ctx, const struct part *part, struct stretch where);

/* Beats of the meters in force between two positions, bars likewise (a pickup counts as none: the length of
 * what begins with one). False on overflow. */
bool passage_beats(const struct passage *p, struct ratio from, struct ratio to, struct ratio *beats);
bool passage_bars_between(const struct passage *p, struct ratio from, struct ratio to, struct ratio *bars);
/* How many bars lie between two moments: a pickup counts as the part of a bar that it is, so that a pickup
 * and the same upbeat two bars later are two bars apart. */
bool passage_bars_apart(const struct passage *p, struct ratio from, struct ratio to, struct ratio *bars);

/* A note value: "one eighth note", "three half notes", and "1/12" where it has no such name. */
struct str value_words(struct claim_context *ctx, struct ratio wholes);
/* "2", "2 1/2", for counts of beats and bars. */
struct str mixed_words(struct claim_context *ctx, struct ratio r);
/* "one beat", "2 1/2 beats". */
struct str amount_words(struct claim_context *ctx, struct ratio r, const char *one, const char *many);
/* "bar 3", "bars 3 to 6", "bar 3 beat 2 up to bar 4 beat 1". */
struct str stretch_words(struct claim_context *ctx, const struct passage *p, struct stretch where);
/* A name with its article as a stream has it: "reed of lamp". */
struct str part_words(struct claim_context *ctx, const struct part *part);

#endif
