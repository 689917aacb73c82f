/* lines.h - how one line goes from note to note.
 *
 * Purpose: what `stepwise` and `bass-line` have in common: the moves of a line, and whether they are
 *          steps.
 * Units:   as in sema/model.h.
 * Owner:   results live in the compilation arena.
 * Errors:  a line that never moves is undecided.
 * Source:  a step goes to the next letter, also as an augmented second; half and whole steps are sizes
 *          by sound: Hutchinson, Half Steps and Whole Steps; steps and skips: common practice.
 */
#ifndef DESCANT_CLAIMS_LINES_H
#define DESCANT_CLAIMS_LINES_H

#include "claims/claims.h"

enum manner {
    MANNER_ANY,
    MANNER_STEP,       /* to the next letter, or a half step on the same one */
    MANNER_HALF_STEP,  /* one half step; the convention half-step may ask for the next letter */
    MANNER_WHOLE_STEP, /* two half steps */
    MANNER_LEAP        /* further than the next letter */
};

struct move {
    const struct note *from, *to;
    struct interval by;
};

/* The moves of a line; a note struck again is not one. */
struct moves {
    struct move *items;
    uint32_t n;
    uint32_t repeats;
    const struct line *line;
};

/* False after an undecided verdict: nothing moves. */
bool line_moves(struct claim_context *ctx, const struct line *line, struct moves *out);

/* Does a move go in this manner, and in this direction (1, -1; 0: either)? */
bool move_fits(const struct claim_context *ctx, const struct move *m, enum manner manner, int direction);
/* Index of the first move that does not fit; moves->n if all do. */
uint32_t moves_first_misfit(const struct claim_context *ctx, const struct moves *moves, enum manner manner,
                            int direction);
/* Calls claim_convention where a half step that keeps its letter decides. */
void moves_conventions(struct claim_context *ctx, const struct moves *moves, enum manner manner);

/* "by step", "by half step" …; empty for MANNER_ANY. */
const char *manner_words(enum manner manner);
/* "step", "steps"; "move", "moves" for MANNER_ANY. */
const char *manner_noun(enum manner manner, bool many);
/* What a move is: "a minor third, a leap", "an augmented second, a step of three half steps". */
struct str say_move_kind(struct claim_context *ctx, const struct move *m);
/* "D4 to F4 (bar 2 beat 3)". */
struct str say_move_place(struct claim_context *ctx, const struct moves *moves, const struct move *m);
/* The notes without repeats, "C4 D4 E4", long lines cut in the middle. */
struct str say_line(struct claim_context *ctx, const struct moves *moves);

#endif
