#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>

#if defined(__has_feature) /* clang */
#if __has_feature(address_sanitizer)
#define UNDER_ASAN
#endif
#elif defined(__SANITIZE_ADDRESS__) /* gcc */
#define UNDER_ASAN
#endif

/* Under the sanitizer `left` stays 0, so that each allocation comes through here and unpoisons its own bytes. */
#if defined(UNDER_ASAN)
#include <sanitizer/asan_interface.h>
enum { WATCHED = 1 };
#else
#define ASAN_POISON_MEMORY_REGION(p, n) ((void)(p), (void)(n))
#define ASAN_UNPOISON_MEMORY_REGION(p, n) ((void)(p), (void)(n))
enum { WATCHED = 0 };
#endif

enum { BLOCK_MIN = 64 * 1024, BLOCK_USUAL_MAX = 1024 * 1024 };

struct arena_block {
    struct arena_block *next;
    size_t size; /* a multiple of ARENA_ALIGN */
    _Alignas(ARENA_ALIGN) char data[];
};

static size_t room(const struct arena *a)
{
    return a->head ? (size_t)(a->head->data + a->head->size - a->next) : 0;
}

static void block_push(struct arena *a, size_t need)
{
    size_t size = a->head ? a->head->size * 2 : BLOCK_MIN;
    if (size > BLOCK_USUAL_MAX)
        size = BLOCK_USUAL_MAX;
    if (size < need)
        size = need;
    struct arena_block *b = malloc(sizeof *b + size);
    if (!b)
        abort();
    b->next = a->head;
    b->size = size;
    ASAN_POISON_MEMORY_REGION(b->data, size);
    a->head = b;
    a->next = b->data;
}

void *arena_take_slowly(struct arena *a, size_t size)
{
    if (size > SIZE_MAX / 2)
        abort();
    size_t need = (size + ARENA_ALIGN - 1) & ~(size_t)(ARENA_ALIGN - 1);
    if (room(a) < need || !a->head)
        block_push(a, need);
    char *p = a->next;
    a->next += need;
    a->left = WATCHED ? 0 : room(a);
    ASAN_UNPOISON_MEMORY_REGION(p, size);
    return p;
}

void arena_reserve(struct arena *a, size_t size)
{
    size_t need = size < BLOCK_USUAL_MAX ? (size + ARENA_ALIGN - 1) & ~(size_t)(ARENA_ALIGN - 1) : BLOCK_USUAL_MAX;
    if (room(a) < need) {
        block_push(a, need);
        a->left = WATCHED ? 0 : room(a);
    }
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
    char *copy = arena_take(a, n + 1);
    if (n)
        memcpy(copy, p, n);
    copy[n] = 0;
    return copy;
}

struct arena_mark arena_mark(const struct arena *a)
{
    return (struct arena_mark){a->head, a->next};
}

void arena_reset(struct arena *a, struct arena_mark mark)
{
    while (a->head && a->head != mark.head) {
        struct arena_block *b = a->head;
        a->head = b->next;
        ASAN_UNPOISON_MEMORY_REGION(b->data, b->size);
        free(b);
    }
    a->next = mark.next;
    a->left = WATCHED ? 0 : room(a);
    if (a->head)
        ASAN_POISON_MEMORY_REGION(a->next, room(a));
}

void arena_free(struct arena *a)
{
    arena_reset(a, (struct arena_mark){NULL, NULL});
}

void arena_clear(struct arena *a)
{
    struct arena_block *kept = a->head;
    if (!kept)
        return;
    struct arena_block *older = kept->next;
    kept->next = NULL;
    a->head = older;
    arena_free(a);
    a->head = kept;
    arena_reset(a, (struct arena_mark){kept, kept->data});
}
