#include "theory/text.h"

#include <stdio.h>

struct text_out text_begin(char *p, uint32_t max)
{
    p[0] = '\0';
    return (struct text_out){p, 0, max};
}

void text_str(struct text_out *t, struct str s)
{
    uint32_t room = t->max - 1 - t->n;
    uint32_t n = s.n < room ? s.n : room;
    if (n)
        memcpy(t->p + t->n, s.p, n);
    t->n += n;
    t->p[t->n] = '\0';
}

void text_put(struct text_out *t, const char *z)
{
    text_str(t, str_of(z));
}

void text_int(struct text_out *t, int value)
{
    char digits[16];
    snprintf(digits, sizeof digits, "%d", value);
    text_put(t, digits);
}

void text_repeat(struct text_out *t, const char *z, int times)
{
    for (int i = 0; i < times && t->n + 1 < t->max; i++)
        text_put(t, z);
}
