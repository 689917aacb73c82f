/* crossing.h - rhythms that go against each other, or against the meter; for crossing.c, hemiola.c and
 * syncopation.c.
 *
 * Purpose: three sentences of one kind, each decided in a file of its own.
 * Units:   positions in wholes from the passage's start.
 * Owner:   texts live in the compilation arena.
 * Errors:  each call ends in exactly one verdict.
 */
#ifndef DESCANT_CLAIMS_CROSSING_H
#define DESCANT_CLAIMS_CROSSING_H

#include "claims/attacks.h"

/* `hemiola in …`: two threes struck as three twos. s NULL: some part, or the harmony, of the passage. */
void hemiola_check(struct claim_context *ctx, const struct match *m, const struct stream *s);
/* `… is syncopated`: a note held over a stronger place than it begins on. */
void syncopation_check(struct claim_context *ctx, const struct match *m);

#endif
