/* str.h - a slice of bytes, not NUL-terminated.
 *
 * Purpose: every text below the command is one of these.
 * Owner:   points into a source, an arena or static data; never freed through the slice.
 * Errors:  none.
 */
#ifndef DESCANT_STR_H
#define DESCANT_STR_H

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

struct str {
    const char *p;
    uint32_t n;
};

/* A slice of a string literal. */
#define STR(literal) ((struct str){"" literal, (uint32_t)(sizeof(literal) - 1)})
/* For printf("%.*s"). */
#define STR_ARG(s) (int)(s).n, (s).p

static inline struct str str_of(const char *z)
{
    return (struct str){z, z ? (uint32_t)strlen(z) : 0};
}

static inline bool str_eq(struct str a, struct str b)
{
    return a.n == b.n && (a.n == 0 || memcmp(a.p, b.p, a.n) == 0);
}

/* The first bytes decide most comparisons, before the length of z need be known. */
static inline bool str_is(struct str a, const char *z)
{
    return (a.n == 0 || a.p[0] == z[0]) && str_eq(a, str_of(z));
}

static inline bool str_starts(struct str a, struct str prefix)
{
    return a.n >= prefix.n && (prefix.n == 0 || memcmp(a.p, prefix.p, prefix.n) == 0);
}

/* The slice from byte lo up to, not including, byte hi; both are clamped to the slice. */
static inline struct str str_slice(struct str s, uint32_t lo, uint32_t hi)
{
    if (hi > s.n)
        hi = s.n;
    if (lo > hi)
        lo = hi;
    return (struct str){s.p ? s.p + lo : s.p, hi - lo};
}

/* Byte order, shorter first where one is the other's beginning; for qsort and sorted output. */
int str_cmp(struct str a, struct str b);

/* Offset of the first occurrence of `what` in s; s.n if there is none. */
uint32_t str_find(struct str s, struct str what);

/* FNV-1a, for hash tables; the same on every machine. Byte by byte from STR_HASH_EMPTY, or all at once. */
#define STR_HASH_EMPTY 2166136261u
static inline uint32_t str_hash_add(uint32_t hash, unsigned char c)
{
    return (hash ^ c) * 16777619u;
}
uint32_t str_hash(struct str s);

#endif
