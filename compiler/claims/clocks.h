/* clocks.h - bars and beats on a recording's clock.
 *
 * Purpose: what `length`, `tempo` and `sync` share: where a position lies on a clock, how far a time may be
 * off, and how seconds are worded. Units:   positions in wholes from the passage's start; times in seconds on
 * the recording's own clock. Owner:   texts live in the compilation arena. Errors:  false where nothing tells
 * the time, or where numbers run out of range.
 */
#ifndef DESCANT_CLAIMS_CLOCKS_H
#define DESCANT_CLAIMS_CLOCKS_H

#include "claims/claims.h"

/* The recording's own frames, or those of the edit; the recording may be NULL. */
struct frame_rate clock_rate(const struct claim_context *ctx, const struct recording *r);
/* A time is right if it is off by no more than this: the convention's amount, or one frame of the clock. */
struct ratio clock_tolerance(const struct claim_context *ctx, const struct recording *r);
/* Is the tolerance in force one frame, so that it is worded so? */
bool clock_tolerance_is_frame(const struct claim_context *ctx);
/* Seconds that a LENGTH means on a clock; false if it is no time. */
bool clock_length(const struct claim_context *ctx, const struct length_ref *l, const struct recording *r,
                  struct ratio *seconds);
/* What the clock shows at a position. The two ends of a passage need no tempo; false where all between do. */
bool clock_at(const struct passage *p, const struct heard *h, struct ratio at, struct ratio *seconds);

/* "18 s", "6.5 s", "about 0.042 s"; from a minute on as a clock shows it. */
struct str clock_seconds_words(struct claim_context *ctx, struct ratio seconds);
/* "one frame", or the tolerance in seconds. */
struct str clock_tolerance_words(struct claim_context *ctx, bool is_frame, struct ratio tolerance);
/* A number in so many decimals, rounded to nearest, halves away from zero: "79.82". Trailing zeros are left
 * out. *exact tells that nothing was rounded. */
struct str decimal_words(struct claim_context *ctx, struct ratio v, int decimals, bool *exact);

#endif
