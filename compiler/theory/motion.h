/* motion.h - how voices move.
 *
 * Purpose: names the motion of two voices, and of whole stacks, between two moments.
 * Source:  Hutchinson, Types of Contrapuntal Motion (parallel: the same interval kept); Open Music Theory
 *          (same generic interval). *Real* parallel: every voice moves by one interval. *Tonal*: by one
 *          number of staff steps, sizes differing.
 */
#ifndef DESCANT_THEORY_MOTION_H
#define DESCANT_THEORY_MOTION_H

#include "theory/interval.h"

enum motion {
    MOTION_NONE,     /* neither voice moves */
    MOTION_OBLIQUE,  /* one moves */
    MOTION_CONTRARY, /* opposite directions */
    MOTION_SIMILAR,  /* same direction, another interval between them */
    MOTION_PARALLEL  /* same direction, same number of staff steps: the generic interval is kept */
};

/* Lower and upper voice, from the first moment to the second. Direction is by sound. */
enum motion motion_of(struct pitch low1, struct pitch high1, struct pitch low2, struct pitch high2);
const char *motion_word(enum motion m); /* "contrary" …; "no" for none */

enum parallel_kind {
    PARALLEL_NOT,     /* some voice moves another number of steps, or another way */
    PARALLEL_TONAL,   /* one number of staff steps, sizes differ */
    PARALLEL_REAL,    /* one spelled interval */
    PARALLEL_SOUNDING /* one number of half steps, spelled differently */
};

/* Compares n voices. *odd gets the first voice (0 = lowest) that does not move as most do by sound (n if all
 * do); *by gets what most move by: among the voices of the commonest size in sound, the commonest spelled
 * interval; the lower voice's on a tie. Nothing moving at all is PARALLEL_NOT. */
enum parallel_kind parallel_of(const struct pitch *from, const struct pitch *to, uint32_t n,
                               struct interval *by, uint32_t *odd);

#endif
