/* fields.h - which fields a declaration may have.
 *
 * Purpose: one message for a field that does not belong, one for a field given twice.
 */
#ifndef DESCANT_FIELDS_H
#define DESCANT_FIELDS_H

#include "sema/sema.h"

enum { FIELD_SET_MAX = 20 };

struct field_set {
    const char *of;            /* "a work" */
    int words[FIELD_SET_MAX];  /* TOK_…, 0 ends */
};

/* May the child `f` of a block be read? Error nodes are passed over in silence; a field that does not
 * belong or was given before is reported. Several `anchor` and `use` fields are welcome. */
/* Is any field of the block reported by field_allowed, or lost? */
bool fields_broken(const struct field_set *set, const struct node *block);
bool field_allowed(struct sema *s, const struct field_set *set, const struct node *block, const struct node *f);

#endif
