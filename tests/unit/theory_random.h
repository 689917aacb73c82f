/* theory_random.h - random values for the laws of the theory.
 *
 * Purpose: pitches and intervals wider than music uses, and sets of pitch classes.
 * Owner:   plain values; every random value comes from the caller's generator.
 * Errors:  none.
 */
#ifndef DESCANT_THEORY_RANDOM_H
#define DESCANT_THEORY_RANDOM_H

#include "test.h"
#include "theory/interval.h"
#include "theory/pcset.h"

static inline struct tone any_tone(struct rng *r)
{
    return (struct tone){(int8_t)rng_between(r, 0, 6), (int16_t)rng_between(r, -3, 3)};
}

static inline struct pitch any_pitch(struct rng *r)
{
    struct tone tone = any_tone(r);
    return (struct pitch){tone, (int16_t)rng_between(r, -3, 10)};
}

/* Up or down, with qualities to triply augmented or so. */
static inline struct interval any_interval(struct rng *r)
{
    return interval_between(any_pitch(r), any_pitch(r));
}

static inline pcset any_set(struct rng *r)
{
    return (pcset)rng_between(r, 0, 0xFFF);
}

#endif
