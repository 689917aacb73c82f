/* check.h - a sentence as clauses; for check.c and clauses.c.
 *
 * Purpose: `A moves by step and rises throughout` is two claims with one subject; both must hold.
 * Units:   none.
 * Owner:   matches point into the compilation arena.
 * Errors:  no clause is returned where any part of the sentence fits no pattern.
 */
#ifndef DESCANT_CLAIMS_CHECK_H
#define DESCANT_CLAIMS_CHECK_H

#include "claims/match.h"

enum { CLAUSES_MAX = 4 };

struct clause {
    const struct pattern *pattern;
    struct match match;
    struct str affirmed; /* a denied clause without its `not`; else empty */
};

/* A sentence may begin with a capital letter, as sentences do (`The bass …`); a chord symbol keeps its own.
 */
struct sentence sentence_without_capital(const struct model *m, struct sentence s);
/* Returns how many clauses the sentence has, 0 if it is not understood. */
uint32_t clauses_read(struct model *m, struct sentence s, struct clause out[CLAUSES_MAX]);

#endif
