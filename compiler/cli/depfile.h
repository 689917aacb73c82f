/* depfile.h - what outputs depend on, as rules that make and ninja read.
 *
 * Purpose: `descant build --deps FILE`.
 * Errors:  none.
 */
#ifndef DESCANT_DEPFILE_H
#define DESCANT_DEPFILE_H

#include "base/buf.h"

/* "TARGET...: SOURCE..." and an empty rule for each source but the first, so that a deleted library is no error for make.
 * Standard input and the embedded library are left out. */
void depfile_rule(struct buf *b, const struct str *targets, uint32_t n_targets, const struct str *sources,
                  uint32_t n_sources);

#endif
