/* lexicon.h - what sentences can be made of, prepared once for a library.
 *
 * Purpose: the kinds' patterns, compiled, and the library's names by how they begin, so that reading a sentence costs its own
 *          length and not the library's.
 * Owner:   lives in the arena it was built in; borrows names from the library.
 */
#ifndef DESCANT_CLAIMS_LEXICON_H
#define DESCANT_CLAIMS_LEXICON_H

#include "sema/model.h"

/* Built by the context for the standard library, by a compilation that adds to it for itself. */
struct claim_lexicon *lexicon_build(struct arena *a, const struct theory_library *library);

#endif
