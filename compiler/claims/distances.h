/* distances.h - how far apart two positions are, in the unit of a sentence.
 *
 * Purpose: what `period` and `imitation` share: beats and bars are those of the meters in force.
 * Units:   positions in wholes from the passage's start; a beat is the meter's unit as written.
 * Owner:   texts live in the compilation arena.
 * Errors:  false for seconds and frames, which no bar tells, and out of range.
 */
#ifndef DESCANT_CLAIMS_DISTANCES_H
#define DESCANT_CLAIMS_DISTANCES_H

#include "claims/claims.h"

bool distance_between(const struct passage *p, enum length_unit unit, struct ratio from, struct ratio to,
                      struct ratio *out);
/* The position so far after another; false where the passage ends before it. */
bool distance_after(const struct passage *p, struct ratio from, const struct length_ref *by,
                    struct ratio *out);
/* "five beats", "1 1/4 bars", "3/4". */
struct str distance_words(struct claim_context *ctx, enum length_unit unit, struct ratio d);
/* False after an undecided verdict: the LENGTH is a time, or none. `what` is what it is said of: "a period".
 */
bool distance_is_musical(struct claim_context *ctx, const struct length_ref *l, const char *what);

#endif
