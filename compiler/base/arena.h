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
#include <string.h>

struct arena_block;

struct arena {
    struct arena_block *head; /* newest block first */
    char *next;               /* the first free byte of head */
    size_t left;              /* free bytes from there on that need no look at the block */
};

/* A place in an arena to return to. */
struct arena_mark {
    struct arena_block *head;
    char *next;
};

enum { ARENA_ALIGN = 16 };

/* As arena_take, where the block may be full. */
void *arena_take_slowly(struct arena *a, size_t size);

/* Aligned for any object, and not cleared: for bytes that are written at once. */
static inline void *arena_take(struct arena *a, size_t size)
{
    if (size >= a->left)
        return arena_take_slowly(a, size);
    size_t need = (size + ARENA_ALIGN - 1) & ~(size_t)(ARENA_ALIGN - 1);
    char *p = a->next;
    a->next += need;
    a->left -= need;
    return p;
}

/* Zeroed memory, aligned for any object. size may be 0. Inline: clearing a structure of known size is a few stores. */
static inline void *arena_alloc(struct arena *a, size_t size)
{
    return memset(arena_take(a, size), 0, size);
}

/* Makes room for so many bytes in one block, where that many will be needed: it is asked for once, and can serve again whole. */
void arena_reserve(struct arena *a, size_t size);

/* count objects of size bytes each, zeroed; an overflowing product aborts. */
void *arena_array(struct arena *a, size_t count, size_t size);

/* Copies n bytes and adds a NUL after them. */
char *arena_copy(struct arena *a, const char *p, size_t n);

struct arena_mark arena_mark(const struct arena *a);

/* Gives back all that was allocated since the mark. */
void arena_reset(struct arena *a, struct arena_mark mark);

/* Gives everything back; the arena may be used again. */
void arena_free(struct arena *a);

/* The same, but keeps the newest block, which is the largest as a rule, for what comes next. */
void arena_clear(struct arena *a);

#define ARENA_NEW(a, type) ((type *)arena_alloc((a), sizeof(type)))
#define ARENA_NEW_ARRAY(a, type, count) ((type *)arena_array((a), (count), sizeof(type)))

#endif
