/* suggest.h - near names.
 *
 * Purpose: "a passage with a similar name: `lamp`"; no guess beats a bad one.
 * Units:   restricted Damerau-Levenshtein distance over bytes of the folded name; at most a third of its length.
 * Owner:   the caller offers candidates one by one; the best three are kept, borrowed, in a fixed order.
 */
#ifndef DESCANT_SUGGEST_H
#define DESCANT_SUGGEST_H

#include "base/buf.h"

enum { SUGGEST_MAX = 3 };

struct suggest {
    struct str wanted;
    struct str best[SUGGEST_MAX];
    uint32_t distance[SUGGEST_MAX];
    uint32_t n;
};

void suggest_start(struct suggest *s, struct str wanted);
void suggest_offer(struct suggest *s, struct str candidate);
/* "`violin` or `viola`": what was found, for a message; empty if nothing was. */
struct str suggest_text(const struct suggest *s, struct arena *a);
/* Distance of two names, capped at cap + 1. */
uint32_t name_distance(struct str a, struct str b, uint32_t cap);

#endif
