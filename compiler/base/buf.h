/* buf.h - text or bytes that grow.
 *
 * Purpose: builds messages and outputs. A NUL always stands behind the bytes.
 * Owner:   the buffer owns its bytes (malloc); buf_free gives them back, buf_str borrows them
 *          until the next call, buf_take copies them into an arena and empties the buffer.
 * Errors:  out of memory or over 4 GiB calls abort().
 */
#ifndef DESCANT_BUF_H
#define DESCANT_BUF_H

#include "base/arena.h"
#include "base/str.h"

#include <stdarg.h>

struct buf {
    char *p;
    size_t n, cap;
};

void buf_byte(struct buf *b, int byte);
void buf_bytes(struct buf *b, const void *p, size_t n);
void buf_put(struct buf *b, const char *z);
void buf_str_put(struct buf *b, struct str s);
void buf_printf(struct buf *b, const char *format, ...) __attribute__((format(printf, 2, 3)));
void buf_vprintf(struct buf *b, const char *format, va_list ap)
    __attribute__((format(printf, 2, 0)));
struct str buf_str(const struct buf *b);
struct str buf_take(struct buf *b, struct arena *a);
void buf_free(struct buf *b);

/* printf into an arena. */
struct str str_printf(struct arena *a, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
