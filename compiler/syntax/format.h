/* format.h - one style for the look of a file.
 *
 * Purpose: indentation by nesting (two blanks a block; a line that goes on stays as far behind its statement as it was, and
 *          at least two blanks), no blanks at line ends, never two empty lines, LF line ends, one line end at the end of the
 *          file. Columns that the author lined up inside a line stay; narration and comments stay to the letter.
 * Owner:   appends to the caller's buffer.
 * Errors:  false where the file has syntax errors: nothing is appended, for a guess could move words into another block.
 */
#ifndef DESCANT_FORMAT_H
#define DESCANT_FORMAT_H

#include "base/buf.h"
#include "diag/diag.h"

/* The text must be NUL-terminated behind its end. What is wrong with it is added to diags. */
bool format_text(struct arena *a, uint32_t file, struct str text, struct diag_list *diags, struct buf *out);

#endif
