#include "base/buf.h"

#include <stdio.h>
#include <stdlib.h>

static void reserve(struct buf *b, size_t more)
{
    size_t need;
    if (__builtin_add_overflow(b->n, more, &need) || need >= UINT32_MAX)
        abort();
    if (need + 1 <= b->cap)
        return;
    size_t cap = b->cap ? b->cap * 2 : 256;
    while (cap < need + 1)
        cap *= 2;
    char *p = realloc(b->p, cap);
    if (!p)
        abort();
    b->p = p;
    b->cap = cap;
}

void buf_bytes(struct buf *b, const void *p, size_t n)
{
    reserve(b, n);
    if (n)
        memcpy(b->p + b->n, p, n);
    b->n += n;
    b->p[b->n] = 0;
}

void buf_byte(struct buf *b, int byte)
{
    char c = (char)byte;
    buf_bytes(b, &c, 1);
}

void buf_put(struct buf *b, const char *z)
{
    buf_bytes(b, z, strlen(z));
}

void buf_str_put(struct buf *b, struct str s)
{
    buf_bytes(b, s.p, s.n);
}

void buf_vprintf(struct buf *b, const char *format, va_list ap)
{
    va_list again;
    va_copy(again, ap);
    int n = vsnprintf(NULL, 0, format, ap);
    if (n < 0)
        abort();
    reserve(b, (size_t)n);
    vsnprintf(b->p + b->n, (size_t)n + 1, format, again);
    va_end(again);
    b->n += (size_t)n;
}

void buf_printf(struct buf *b, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    buf_vprintf(b, format, ap);
    va_end(ap);
}

struct str buf_str(const struct buf *b)
{
    return (struct str){b->p ? b->p : "", (uint32_t)b->n};
}

struct str buf_take(struct buf *b, struct arena *a)
{
    struct str s = {arena_copy(a, b->p ? b->p : "", b->n), (uint32_t)b->n};
    buf_free(b);
    return s;
}

void buf_free(struct buf *b)
{
    free(b->p);
    *b = (struct buf){0};
}

struct str str_printf(struct arena *a, const char *format, ...)
{
    char text[512]; /* most messages fit, and are formatted once */
    va_list ap;
    va_start(ap, format);
    int n = vsnprintf(text, sizeof text, format, ap);
    va_end(ap);
    if (n < 0)
        abort();
    if ((size_t)n < sizeof text)
        return (struct str){arena_copy(a, text, (size_t)n), (uint32_t)n};
    struct buf b = {0};
    va_start(ap, format);
    buf_vprintf(&b, format, ap);
    va_end(ap);
    return buf_take(&b, a);
}
