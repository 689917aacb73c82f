/* checks.h - everything that is checked of the model and is not a claim.
 *
 * Purpose: one table (checks.c); each check reads the model and adds diagnostics, whatever the others found.
 */
#ifndef DESCANT_CHECKS_H
#define DESCANT_CHECKS_H

#include "sema/model.h"

void checks_run(const struct model *m);

void check_ranges(const struct model *m);     /* ranges.c: notes against instruments */
void check_harmony(const struct model *m);    /* harmony.c: symbols against what sounds */
void check_clocks(const struct model *m);     /* clocks.c: bars against recordings, speeds, anchors */
void check_timeline(const struct model *m);   /* timeline.c: overlaps, gaps, chapters */
void check_links(const struct model *m);      /* narration.c: words and the verdicts of their claims */
void check_spelling(const struct model *m);   /* spelling.c: the spelling list against the narration */
void check_sources(const struct model *m);    /* narration.c: facts, years, sources */
void check_holes(const struct model *m);      /* narration.c: what the author left open */

#endif
