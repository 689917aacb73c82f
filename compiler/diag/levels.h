/* levels.h - the levels that the author sets.
 *
 * Purpose: `-W name`, `-W no-name` and `-W error=name` change what a code costs.
 * Owner:   a plain value.
 * Errors:  an unknown code, or an error that should be hidden, is refused when the option is read.
 */
#ifndef DESCANT_LEVELS_H
#define DESCANT_LEVELS_H

#include "diag/diag.h"

enum level_wish { WISH_NONE, WISH_HIDE, WISH_WARNING, WISH_ERROR };

struct diag_levels {
    unsigned char wish[DIAG_COUNT]; /* enum level_wish */
};

enum level_fault { LEVEL_OK, LEVEL_UNKNOWN /* no such code */, LEVEL_FIXED /* an error cannot be made less */ };

/* Reads "name", "no-name" or "error=name"; *name gets the code's name as given. */
enum level_fault levels_read(struct diag_levels *levels, struct str text, struct str *name);
/* Applies the wishes, drops what is hidden and counts errors and warnings anew. */
void levels_apply(const struct diag_levels *levels, struct diag_list *list);

#endif
