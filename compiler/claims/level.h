/* level.h - how far apart two melodies lie, note by note.
 *
 * Purpose: of the intervals from the notes of one melody to those of another, the one that most notes have.
 * Units:   from[i] to to[i], n of them, n > 0; as long to compute as sorting them.
 * Owner:   works in the arena, keeps nothing.
 */
#ifndef DESCANT_CLAIMS_LEVEL_H
#define DESCANT_CLAIMS_LEVEL_H

#include "base/arena.h"
#include "theory/interval.h"

/* The level at which most notes lie; of levels that sound alike the spelling that most notes have; then the
 * earliest. */
struct interval level_commonest(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n,
                                bool by_sound);
/* Respells *level, which is meant by sound, as most of the notes have it that lie there; stays if none does.
 */
void level_spell(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n,
                 struct interval *level);

/* The number of staff steps that most notes lie apart; the earliest note's on a tie. */
int level_steps(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n);

#endif
