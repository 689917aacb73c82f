/* verdicts.h - the claims of a file, checked.
 *
 * Purpose: turns the tree's sentences into words, leaves out what speaks of music that could not be read, and runs the rest.
 */
#ifndef DESCANT_VERDICTS_H
#define DESCANT_VERDICTS_H

#include "sema/sema.h"

void verdicts_run(struct sema *s, const struct claim_lexicon *lexicon);

#endif
