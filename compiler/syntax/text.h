/* text.h - is it text?
 *
 * Purpose: the first look at a file: UTF-8 without control characters other than tab and line ends. What is wrong is reported
 *          once a run, and replaced by blanks of the same length, so that every offset stays true and the rest can be read.
 * Owner:   returns the text itself where nothing is wrong, else a copy in the arena.
 * Errors:  false where the whole is refused: too large, or so many odd bytes that it is no text.
 */
#ifndef DESCANT_TEXT_H
#define DESCANT_TEXT_H

#include "diag/diag.h"

bool text_clean(struct arena *a, struct diag_list *diags, uint32_t file, struct str text, struct str *out);

#endif
