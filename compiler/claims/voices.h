/* voices.h - which note of one chord leads to which of the next.
 *
 * Purpose: claims on "every voice" need voices. A part's voices keep their places; voicings written in
 *          a symbol, and chords that pass from part to part, are read from low to high, and the verdict
 *          says so.
 * Units:   as in sema/model.h.
 * Owner:   results live in the compilation arena.
 * Errors:  where no voices can be told apart the claim is undecided, with the way to name them.
 */
#ifndef DESCANT_CLAIMS_VOICES_H
#define DESCANT_CLAIMS_VOICES_H

#include "claims/claims.h"

/* The voices of two neighbouring moments. */
struct change {
    struct ratio at_from, at_to;
    struct pitch *from, *to;
    const struct note *
        *arrivals;     /* the notes gone to; an entry is NULL where a voicing was written in a symbol */
    struct str *names; /* "voice 6", "alto", "reed" */
    uint32_t n;
    uint32_t missing;  /* named voices that rest in one of the two */
    bool by_rank;      /* voices were taken from low to high */
    struct span where; /* the second moment */
};

struct changes {
    struct change *items;
    uint32_t n;
    uint32_t repeats; /* neighbours in which no voice moves; left out of items */
    const struct passage *passage;
};

/* Every change within the moments. False after an undecided verdict: a mere symbol, unequal voices,
 * or nothing moves. */
bool moments_changes(struct claim_context *ctx, const struct moments *moments, struct changes *out);

struct interval change_interval(const struct change *c, uint32_t voice);
/* "voice 6 falls A4 to F#4, a minor third". */
struct str say_voice_move(struct claim_context *ctx, const struct change *c, uint32_t voice);
/* Marks a voice's move as the place that proves or breaks the claim. */
void change_place(struct claim_context *ctx, const struct change *c, uint32_t voice);

#endif
