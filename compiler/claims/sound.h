/* sound.h - notes read as evidence.
 *
 * Purpose: for stream.c, moments.c, sound.c, check.c and the kinds that read notes themselves: one place
 *          where a note is taken or left out, where uncertain places are remembered, and where it is said
 *          what of a passage is not known.
 * Units:   positions in wholes from the passage's start.
 * Owner:   the claim's arena.
 * Errors:  what says so gives an undecided verdict and returns false.
 */
#ifndef DESCANT_CLAIMS_SOUND_H
#define DESCANT_CLAIMS_SOUND_H

#include "claims/claims.h"

enum { UNCERTAIN_MAX = 8 };

/* A place marked `uncertain`: a note or a harmony symbol. */
struct uncertain_place {
    struct span where;
    struct str words; /* "A4 at bar 3 beat 2" */
};

/* What a check has read; kept from one run to the next. */
struct uncertain {
    struct uncertain_place places[UNCERTAIN_MAX];
    uint32_t n;
    bool one;              /* leave out `left_out` only, not every uncertain place */
    struct span left_out;
};

/* Takes a note, or a symbol, as evidence; false where this run leaves it out. p may be NULL. */
bool take_note(struct claim_context *ctx, const struct passage *p, const struct note *n);
bool take_harmony(struct claim_context *ctx, const struct passage *p, const struct harmony_event *e);
/* Makes a stretch reach over another; one that is not `given` is empty. */
void stretch_widen(struct stretch *s, struct stretch by);
/* Remembers the first passage read. */
void take_passage(struct claim_context *ctx, const struct passage *p);

/* False after an undecided verdict where bars are not transcribed, or the part (NULL: any) left them open. */
bool stretch_known(struct claim_context *ctx, const struct passage *p, const struct part *part,
                   struct stretch where);
/* "bar 4", "bars 4 to 5". */
struct str bars_words(struct claim_context *ctx, const struct passage *p, struct stretch where);
/* Says that there is nothing to look at. */
void nothing_sounds(struct claim_context *ctx, const struct stream *s, const struct passage *p,
                    struct stretch where);

bool within(struct ratio onset, struct ratio length, struct stretch where); /* sounds somewhere in it */
/* Stacks of a part that sound in the stretch: [*first, *end). */
void part_stacks(const struct part *part, struct stretch where, uint32_t *first, uint32_t *end);
/* Every position in the stretch at which a stack begins or ends, its onset too, in order. */
struct ratio *passage_changes(struct claim_context *ctx, const struct passage *p, struct stretch where,
                              uint32_t *n);
/* What sounds at a position; false where nothing does. */
bool moment_sounding(struct claim_context *ctx, const struct passage *p, struct ratio at, struct moment *out);
/* What a harmony symbol denotes at a position: its voicing, what sounds there, or its tones. False where
 * nothing is known. */
bool moment_harmony(struct claim_context *ctx, const struct passage *p, const struct harmony *h,
                    struct ratio at, struct moment *out);

#endif
