/* accent.h - how strong a position of the bar is.
 *
 * Purpose: suspensions stand on strong beats and passing tones mostly on weak ones; both are compared by
 *          level.
 * Units:   a level is a number to compare with others only: higher is stronger.
 * Errors:  a position outside the bars is the weakest.
 * Source:  the bar before its half, the half before the other beats, a beat before its parts, halves and
 *          thirds of a beat before smaller parts; 6/8, 9/8 and 12/8 in dotted beats; in triple time beats
 *          two and three are equal: common practice. Additive meters by their groups.
 */
#ifndef DESCANT_CLAIMS_ACCENT_H
#define DESCANT_CLAIMS_ACCENT_H

#include "claims/claims.h"

int accent_level(const struct passage *p, struct ratio at);

#endif
