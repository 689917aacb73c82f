#include "base/str.h"

int str_cmp(struct str a, struct str b)
{
    uint32_t n = a.n < b.n ? a.n : b.n;
    int c = n ? memcmp(a.p, b.p, n) : 0;
    if (c)
        return c;
    return (a.n > b.n) - (a.n < b.n);
}

uint32_t str_find(struct str s, struct str what)
{
    if (what.n == 0 || what.n > s.n)
        return what.n ? s.n : 0;
    const char *p = s.p, *last = s.p + (s.n - what.n);
    while (p <= last && (p = memchr(p, what.p[0], (size_t)(last - p) + 1))) {
        if (memcmp(p, what.p, what.n) == 0)
            return (uint32_t)(p - s.p);
        p++;
    }
    return s.n;
}

uint32_t str_hash(struct str s)
{
    uint32_t h = STR_HASH_EMPTY;
    for (uint32_t i = 0; i < s.n; i++)
        h = str_hash_add(h, (unsigned char)s.p[i]);
    return h;
}
