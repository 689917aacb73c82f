/* rows.h - rows of bars: what parts and harmony have in common.
 *
 * Purpose: a reader walks the rows, keeps position, note value and bar lines, and checks that bars are full; what an event is
 *          is left to its callbacks.
 */
#ifndef DESCANT_ROWS_H
#define DESCANT_ROWS_H

#include "sema/sema.h"

struct bar_map; /* music.c */

struct row_reader {
    struct sema *s;
    struct bar_map *map;
    struct passage *passage;
    struct part *part;        /* NULL for harmony */
    struct ratio at;          /* wholes */
    struct ratio event_at;    /* onset of the event just read */
    struct ratio value;
    bool value_given;
    bool event_open;          /* an event ends at `at`: hold and uncertain refer to it */
    bool spoiled;             /* something in this row could not be read */
    bool value_lost, event_lost; /* the value or event that this row goes on from stood where it could not be read */
    int bar;                  /* the bar that is being filled */
    int next_row;             /* bar of the next row, -1 */
    const struct node *last_row;
    int last_bar;
    struct span events;       /* of the bar that is being filled, as written; hi 0: none yet */

    bool (*event)(struct row_reader *r, const struct node *n); /* a note, stack or symbol; true if it was taken */
    void (*hold)(struct row_reader *r);      /* the last event goes on by r->value */
    void (*uncertain)(struct row_reader *r); /* the last event is uncertain */
    void (*rest)(struct row_reader *r, const struct node *n);
    void (*open)(struct row_reader *r, struct ratio length, struct span where); /* may be NULL */
    void (*fault)(struct row_reader *r, struct ratio end); /* a bar did not fill: cut or fill up to its end; may be NULL */
};

void rows_read(struct row_reader *r, const struct node *list);
/* Sets event_at and moves on by the note value; false (reported) without one. */
bool row_advance(struct row_reader *r, const struct node *n);
struct bar *row_bar(struct row_reader *r, int number);
/* Reports a `hold` or `uncertain` that nothing stands before. */
void row_nothing_before(struct row_reader *r, const struct node *n);

void part_build(struct sema *s, struct bar_map *map, struct passage *p, const struct node *statement);
void harmony_rows(struct sema *s, struct bar_map *map, struct passage *p, const struct node *list);
/* Events of a figure that is written out, without bars. */
void events_read(struct row_reader *r, const struct node *list);

#endif
