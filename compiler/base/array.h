/* array.h - arrays that grow inside an arena.
 *
 * Purpose: ARRAY_PUSH appends; the array has room for four, and doubles when its length is a power of two from there on, so no
 *          capacity is kept.
 * Owner:   old copies stay in the arena until it goes.
 */
#ifndef DESCANT_ARRAY_H
#define DESCANT_ARRAY_H

#include "base/arena.h"

#include <stdint.h>
#include <string.h>

enum { ARRAY_LEAST = 4 };

static inline void *array_grow(struct arena *a, const void *items, uint32_t n, size_t size)
{
    uint32_t cap = n ? n * 2 : ARRAY_LEAST;
    void *grown = arena_array(a, cap, size);
    if (n)
        memcpy(grown, items, n * size);
    return grown;
}

#define ARRAY_PUSH(arena, items, n, ...)                                             \
    do {                                                                             \
        if ((n) == 0 || ((n) >= ARRAY_LEAST && ((n) & ((n) - 1)) == 0))              \
            (items) = array_grow((arena), (items), (n), sizeof *(items));            \
        (items)[(n)++] = __VA_ARGS__;                                                \
    } while (0)

#endif
