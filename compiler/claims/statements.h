/* statements.h - where a figure stands in a line.
 *
 * Purpose: claims that a figure returns, or passes from part to part, look for it in lines it was not cut
 * from. Units:   notes counted from 0; positions in wholes from the passage's start. Owner:   the compilation
 * arena. Errors:  none.
 */
#ifndef DESCANT_CLAIMS_STATEMENTS_H
#define DESCANT_CLAIMS_STATEMENTS_H

#include "claims/claims.h"

/* What must be the same. The rhythm always is: attacks and lengths. */
enum sameness {
    SAME_PITCHES, /* by sound */
    SAME_MELODY,  /* at one level for all notes, by sound */
    SAME_RHYTHM
};

struct statement {
    uint32_t first; /* of the line's notes */
    uint32_t n;
    struct interval level; /* from the figure's first note to its own */
    struct ratio onset, end;
};

struct statements {
    struct statement *items;
    uint32_t n;
};

/* Does the figure stand in the line from its note `first` on? */
bool statement_at(const struct line *line, uint32_t first, const struct line *figure, enum sameness how,
                  struct statement *out);
/* From left to right; none begins before the one before has run out of notes, nor outside the line's stretch.
 */
void statements_find(struct claim_context *ctx, const struct line *line, const struct line *figure,
                     enum sameness how, struct statements *out);

#endif
