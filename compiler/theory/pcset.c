#include "theory/pcset.h"

enum { ALL = 0xFFF };

int pcset_count(pcset s)
{
    int n = 0;
    for (unsigned rest = s & ALL; rest; rest &= rest - 1)
        n++;
    return n;
}

pcset pcset_transpose(pcset s, int half)
{
    unsigned by = (unsigned)(((half % 12) + 12) % 12);
    unsigned wide = (unsigned)(s & ALL) << by;
    return (pcset)((wide | wide >> 12) & ALL);
}

pcset pcset_invert(pcset s)
{
    pcset out = 0;
    for (int pc = 0; pc < 12; pc++)
        if (s & pcset_of(pc))
            out |= pcset_of(-pc);
    return out;
}

static int highest(pcset s)
{
    int top = 0;
    for (int pc = 0; pc < 12; pc++)
        if (s & pcset_of(pc))
            top = pc;
    return top;
}

/* Of two sets of equal size that begin on 0, is a packed better? Both rules first want the smallest span.
 * Rahn then compares from the last tone inward, which is the order of the sets as binary numbers; Forte
 * compares from the second tone outward, so the set that has the lowest tone not in both is the better. */
static bool packed_before(pcset a, pcset b, enum prime_rule rule)
{
    switch (rule) {
    case PRIME_RAHN:
        return a < b;
    case PRIME_FORTE: {
        int span_a = highest(a), span_b = highest(b);
        if (span_a != span_b)
            return span_a < span_b;
        unsigned differ = (unsigned)(a ^ b);
        return (a & differ & (~differ + 1)) != 0;
    }
    }
    return false;
}

/* The best packed rotation, moved to begin on 0; *first gets the tone it begins on (the lowest on a tie). */
static pcset best_rotation(pcset s, enum prime_rule rule, int *first)
{
    pcset best = 0;
    *first = 0;
    for (int pc = 0; pc < 12; pc++) {
        if (!(s & pcset_of(pc)))
            continue;
        pcset turned = pcset_transpose(s, -pc);
        if (!best || packed_before(turned, best, rule)) {
            best = turned;
            *first = pc;
        }
    }
    return best;
}

int pcset_normal(pcset s, enum prime_rule rule, int out[12])
{
    int first, n = 0;
    pcset best = best_rotation(s, rule, &first);
    for (int pc = 0; pc < 12; pc++)
        if (best & pcset_of(pc))
            out[n++] = (first + pc) % 12;
    return n;
}

pcset pcset_prime(pcset s, enum prime_rule rule)
{
    int first;
    pcset plain = best_rotation(s, rule, &first);
    pcset inverted = best_rotation(pcset_invert(s), rule, &first);
    return packed_before(inverted, plain, rule) ? inverted : plain;
}

void pcset_vector(pcset s, int out[6])
{
    for (int ic = 1; ic <= 6; ic++)
        out[ic - 1] = pcset_count(s & pcset_transpose(s, ic));
    out[5] /= 2; /* a tritone is met from both its ends */
}
