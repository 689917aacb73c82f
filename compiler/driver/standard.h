/* standard.h - the standard library as it stands in the program.
 *
 * Purpose: stdlib/ is read and checked once, when the program is built: grammar/freeze.c writes what standard_read gives as the
 *          tables below, so that a run begins with its own file.
 * Owner:   static data; `where` of its symbols is a place in the files of stdlib/ in their order.
 * Errors:  a mistake in stdlib/ is a diagnostic of standard_read and ends the build.
 */
#ifndef DESCANT_STANDARD_H
#define DESCANT_STANDARD_H

#include "sema/model.h"

extern const struct theory_library standard_library;
extern const struct claim_lexicon standard_lexicon;

/* Reads the embedded texts of stdlib/. For grammar/freeze.c only. */
void standard_read(struct arena *a, struct source_list *sources, struct diag_list *diags, struct theory_library *out);

#endif
