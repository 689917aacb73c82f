/* lexicon.h - what sentences can be made of, prepared once for a library.
 *
 * Purpose: the kinds' patterns, compiled, and the library's names by how they begin, so that reading a sentence costs its own
 *          length and not the library's.
 * Owner:   lives in the arena it was built in; borrows names from the library.
 */
#ifndef DESCANT_CLAIMS_LEXICON_H
#define DESCANT_CLAIMS_LEXICON_H

#include "sema/model.h"

struct pattern_table; /* claims/match.h */

/* Compiles the kinds' patterns. */
struct pattern_table *pattern_table_build(struct arena *a);
/* The patterns with the names of a library: for the standard library when the program is built. */
struct claim_lexicon *lexicon_build(struct arena *a, const struct pattern_table *table, const struct theory_library *library);
/* The same patterns with the names of another library: for a compilation that adds to the standard one. */
struct claim_lexicon *lexicon_renew(struct arena *a, const struct claim_lexicon *old, const struct theory_library *library);

#endif
