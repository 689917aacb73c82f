/* pcset.h - sets of pitch classes by sound.
 *
 * Units:   bit n of a pcset is pitch class n (C = 0 … B = 11).
 * Source:  J. Rahn, Basic Atonal Theory (1980) for the prime form; A. Forte, The Structure of Atonal
 *          Music (1973) for its variant; vectors as in both.
 */
#ifndef DESCANT_THEORY_PCSET_H
#define DESCANT_THEORY_PCSET_H

#include <stdbool.h>
#include <stdint.h>

typedef uint16_t pcset; /* a set is a number here, not a struct */

enum prime_rule { PRIME_RAHN, PRIME_FORTE };

static inline pcset pcset_of(int pc)
{
    return (pcset)(1u << (unsigned)(((pc % 12) + 12) % 12));
}

int pcset_count(pcset s);
pcset pcset_transpose(pcset s, int half); /* half may be negative */
pcset pcset_invert(pcset s);              /* pc -> -pc */
/* Normal order into out[12]; returns how many. Most compact, packed by the rule. */
int pcset_normal(pcset s, enum prime_rule rule, int out[12]);
/* Prime form as a set that begins on 0. */
pcset pcset_prime(pcset s, enum prime_rule rule);
void pcset_vector(pcset s, int out[6]);

#endif
