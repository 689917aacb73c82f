/* rows.h - checking a table row by row.
 *
 * Purpose: every row of a table must agree with us, but for those listed as known to disagree, with the
 *          reason; those must still disagree. So the set of disagreements is asserted exactly.
 * Owner:   borrows the table and the list.
 * Errors:  as test.h.
 */
#ifndef DESCANT_TEST_ROWS_H
#define DESCANT_TEST_ROWS_H

#include "../unit/test.h"
#include "tsv.h"

/* One row that says otherwise than we do: the text of its key column, and why. */
struct disagreement {
    const char *key;
    const char *reason;
};

struct rows {
    struct test *test;
    const struct tsv *table;
    const char *key; /* the column that tells a row from others */
    const struct disagreement *known;
    size_t n_known;
    size_t met;
};

static inline const struct disagreement *rows_known(const struct rows *r, struct str key)
{
    for (size_t i = 0; i < r->n_known; i++)
        if (str_is(key, r->known[i].key))
            return &r->known[i];
    return NULL;
}

static inline void rows_check(struct rows *r, uint32_t row, bool agrees)
{
    struct str key = tsv_cell(r->table, row, r->key);
    const struct disagreement *known = rows_known(r, key);
    r->met += known != NULL;
    if (agrees == !known) {
        r->test->passed++;
        return;
    }
    r->test->failed++;
    fprintf(stderr, "%s row %u (%.*s): %s\n", r->table->name, row + 1, STR_ARG(key),
            known ? "agrees, though listed as a disagreement" : "disagrees");
}

/* The table had as many rows as it should, and every listed disagreement among them. */
static inline void rows_end(struct rows *r, uint32_t expected)
{
    CHECK(r->test, r->table->rows == expected);
    CHECK(r->test, r->met == r->n_known);
}

#endif
