/* explain.h - `descant explain`.
 *
 * Purpose: the pages of the codes and claim kinds, the entries of the standard library, and the conventions.
 * Errors:  what is not known is said with similar names.
 */
#ifndef DESCANT_EXPLAIN_H
#define DESCANT_EXPLAIN_H

#include "base/buf.h"

/* Appends what the words ask for; none lists what can be explained. False: the text is a message for standard error. */
bool explain(const char **words, uint32_t n, struct buf *b);

#endif
