/* sizes.h - how far one part lies from another: an interval by its name, by its number, or any.
 *
 * Purpose: what `doubling` and `imitation` share.
 * Units:   intervals from the part that is set against to the one that is measured, spelled.
 * Owner:   texts live in the compilation arena.
 * Errors:  none.
 */
#ifndef DESCANT_CLAIMS_SIZES_H
#define DESCANT_CLAIMS_SIZES_H

#include "claims/claims.h"

enum size_kind {
    SIZE_ANY,
    SIZE_OCTAVES, /* the unison or any octaves */
    SIZE_NAMED,
    SIZE_STEPS /* so many letters: sizes as the key gives them */
};

struct size {
    enum size_kind kind;
    const struct interval_ref *named; /* SIZE_NAMED */
    int steps;                        /* SIZE_STEPS */
    int direction;                    /* 1 above, -1 below, 0 either */
};

/* Is it the size asked? Under the convention `compound reduced` octaves do not count; *hangs tells that the
 * answer is another under the other value. */
bool size_fits(const struct claim_context *ctx, const struct size *want, struct interval v, bool *hangs);
/* Are two notes set against two others at one size, as far as the question goes? */
bool size_same(const struct size *want, struct interval a, struct interval b);

/* "at the unison", "a perfect fifth above", "an octave and a major third below": of an interval with its
 * direction. */
struct str size_level(struct claim_context *ctx, struct interval v);
/* "third": the number of an interval that may stand without its quality; NULL for unisons, octaves and
 * numbers past the twelfth. */
const char *size_number(int steps);

#endif
