/* mutate.h - one text made into another.
 *
 * Purpose: changes that keep most of a text well formed: words, numbers and lines are moved, doubled, taken
 * from another text or from the words of the language; now and then bytes are hit at random. Owner:   appends
 * to the caller's buffer. Errors:  none. The same generator gives the same text.
 */
#ifndef DESCANT_FUZZ_MUTATE_H
#define DESCANT_FUZZ_MUTATE_H

#include "base/buf.h"
#include "unit/test.h"

/* Makes 1 to 6 changes; `other` lends words and lines. At most `max` bytes. */
void mutate(struct rng *r, struct str text, struct str other, uint32_t max, struct buf *out);

#endif
