#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#if defined(__has_feature) /* clang */
#if __has_feature(address_sanitizer)
#define UNDER_ASAN
#endif
#elif defined(__SANITIZE_ADDRESS__) /* gcc */
#define UNDER_ASAN
#endif

#if defined(UNDER_ASAN)
#include <sanitizer/asan_interface.h>
#else
#define ASAN_POISON_MEMORY_REGION(p, n) ((void)(p), (void)(n))
#define ASAN_UNPOISON_MEMORY_REGION(p, n) ((void)(p), (void)(n))
#endif

enum { BLOCK_MIN = 64 * 1024, ALIGN = 16 };

struct arena_block {
    struct arena_block *next;
    size_t size;
    _Alignas(ALIGN) char data[];
};

static void block_push(struct arena *a, size_t need)
{
    size_t size = a->head ? a->head->size * 2 : BLOCK_MIN;
    if (size > (size_t)1 << 20)
        size = (size_t)1 << 20;
    if (size < need)
        size = need;
    struct arena_block *b = malloc(sizeof *b + size);
    if (!b)
        abort();
    b->next = a->head;
    b->size = size;
    ASAN_POISON_MEMORY_REGION(b->data, size);
    a->head = b;
    a->used = 0;
}

void *arena_alloc(struct arena *a, size_t size)
{
    if (size > SIZE_MAX / 2)
        abort();
    size_t need = (size + ALIGN - 1) & ~(size_t)(ALIGN - 1);
    if (!a->head || a->head->size - a->used < need)
        block_push(a, need);
    char *p = a->head->data + a->used;
    a->used += need;
    a->total += need;
    ASAN_UNPOISON_MEMORY_REGION(p, size);
    memset(p, 0, size);
    return p;
}

void *arena_array(struct arena *a, size_t count, size_t size)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, size, &bytes))
        abort();
    return arena_alloc(a, bytes);
}

char *arena_copy(struct arena *a, const char *p, size_t n)
{
    char *copy = arena_alloc(a, n + 1);
    if (n)
        memcpy(copy, p, n);
    return copy;
}

struct arena_mark arena_mark(const struct arena *a)
{
    return (struct arena_mark){a->head, a->used};
}

void arena_reset(struct arena *a, struct arena_mark mark)
{
    while (a->head && a->head != mark.head) {
        struct arena_block *b = a->head;
        a->head = b->next;
        ASAN_UNPOISON_MEMORY_REGION(b->data, b->size);
        free(b);
    }
    a->used = mark.used;
    if (a->head)
        ASAN_POISON_MEMORY_REGION(a->head->data + a->used, a->head->size - a->used);
}

void arena_free(struct arena *a)
{
    arena_reset(a, (struct arena_mark){NULL, 0});
    a->total = 0;
}
