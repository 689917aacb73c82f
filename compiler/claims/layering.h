/* layering.h - the layers of a polychord.
 *
 * Purpose: finds the complete chords that lie one over the other in a stack of notes, or tests those that a
 * symbol names. Units:   layers are numbered from the lowest; pitches are sounding, lowest first. Owner: the
 * claim's arena. Errors:  a search that finds nothing returns false. Source:  Hutchinson, Impressionism and
 * Extended Tonality, Polychords: two or more triads or seventh chords that sound together; their inversions
 * need not be named. That each keeps its own register is our definition (claims.md).
 */
#ifndef DESCANT_CLAIMS_LAYERING_H
#define DESCANT_CLAIMS_LAYERING_H

#include "claims/tones.h"

struct layer {
    struct tone root;
    struct str name; /* "D", "Bm7" */
    struct tone_bag tones;
    uint32_t first, n; /* pitches[first .. first + n), once it is known to lie apart */
};

struct layering {
    struct layer layers[LAYERS_MAX];
    uint32_t n;
};

/* The layers a symbol names (one for an ordinary chord). */
void layering_of_harmony(struct claim_context *ctx, const struct harmony *h, struct layering *out);
/* Do the layers lie one wholly over the other, each complete and spelled as named, with no note left over?
 * Sets first and n of each. */
bool layering_separate(struct claim_context *ctx, const struct pitch *pitches, uint32_t n,
                       struct layering *l);
/* The same layers, upside down. */
struct layering layering_reversed(const struct layering *l);
/* Finds two, else three, complete triads or seventh chords that lie one over the other, none of them part of
 * another. */
bool layering_find(struct claim_context *ctx, const struct pitch *pitches, uint32_t n, struct layering *out);
/* Two neighbouring layers of which one holds all tones of the other, by sound; false: none. */
bool layering_nested(const struct layering *l, uint32_t *inner, uint32_t *outer);
/* The layers a chord has: those its symbol names if their tones are there, else those its notes show. False
 * after claim_undecided. */
bool layering_of_chord(struct claim_context *ctx, const struct chord_ref *c, struct moment *m,
                       struct layering *out);
/* "D over Eb" */
struct str say_layers(struct claim_context *ctx, const struct layering *l);

#endif
