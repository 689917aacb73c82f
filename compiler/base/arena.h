/* arena.h - memory that is given back all at once.
 *
 * Purpose: owns every structure of one lifetime (context, compilation, scratch).
 * Units:   sizes in bytes.
 * Owner:   what arena_alloc returns lives until arena_free or a reset past its mark.
 * Errors:  out of memory calls abort(); no caller tests a pointer from an arena.
 */
#ifndef DESCANT_ARENA_H
#define DESCANT_ARENA_H

#include <stddef.h>

struct arena_block;

struct arena {
    struct arena_block *head; /* newest block first */
    size_t used;              /* bytes used in head */
    size_t total;             /* bytes handed out, for --trace and tests */
};

/* A place in an arena to return to. */
struct arena_mark {
    struct arena_block *head;
    size_t used;
};

/* Zeroed memory, aligned for any object. size may be 0. */
void *arena_alloc(struct arena *a, size_t size);

/* count objects of size bytes each, zeroed; an overflowing product aborts. */
void *arena_array(struct arena *a, size_t count, size_t size);

/* Copies n bytes and adds a NUL after them. */
char *arena_copy(struct arena *a, const char *p, size_t n);

struct arena_mark arena_mark(const struct arena *a);

/* Gives back all that was allocated since the mark. */
void arena_reset(struct arena *a, struct arena_mark mark);

/* Gives everything back; the arena may be used again. */
void arena_free(struct arena *a);

#define ARENA_NEW(a, type) ((type *)arena_alloc((a), sizeof(type)))
#define ARENA_NEW_ARRAY(a, type, count) ((type *)arena_array((a), (count), sizeof(type)))

#endif
