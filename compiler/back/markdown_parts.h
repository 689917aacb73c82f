/* markdown_parts.h - the sections of the show notes, for its files.
 *
 * Purpose: markdown.c sets the order; markdown_log.c writes the clip log.
 * Owner:   see markdown_text.h.
 * Errors:  none.
 */
#ifndef DESCANT_BACK_MARKDOWN_PARTS_H
#define DESCANT_BACK_MARKDOWN_PARTS_H

#include "back/markdown_text.h"

/* "6 s", "2.5 s" */
struct str length_text(struct arena *a, struct ratio seconds);
/* "bars 1 to 2", "bar 3 beat 2 to the end of bar 4" */
struct str stretch_text(struct arena *a, const struct passage *p, struct stretch s);
/* "“The Lamp”" as plain text: the title in quotation marks, else the name. */
struct str work_text(struct arena *a, const struct work *w);
/* "by ear", "score NAME, bars 12 to 16", "not stated" */
struct str basis_text(struct arena *a, const struct passage *p);

/* "## Clip log" with its notice; nothing without clips and demos. */
void md_clip_log(struct md *w);

#endif
