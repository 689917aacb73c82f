#include "diag/suggest.h"

/* No name that people give is longer; longer ones are compared for equality only. */
enum { NAME_LENGTH_MAX = 64 };

static char fold(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool equal_folded(struct str a, struct str b)
{
    if (a.n != b.n)
        return false;
    for (uint32_t i = 0; i < a.n; i++)
        if (fold(a.p[i]) != fold(b.p[i]))
            return false;
    return true;
}

static uint32_t least(uint32_t a, uint32_t b)
{
    return a < b ? a : b;
}

/* Rows are the three last prefixes of a against every prefix of b. "Restricted": a pair of letters that is
 * exchanged is not edited again (R. A. Wagner and R. Lowrance, The Extended String-to-String Correction
 * Problem, 1975; from memory). */
uint32_t name_distance(struct str a, struct str b, uint32_t cap)
{
    if (equal_folded(a, b))
        return 0;
    uint32_t gap = a.n > b.n ? a.n - b.n : b.n - a.n;
    if (gap > cap || a.n > NAME_LENGTH_MAX || b.n > NAME_LENGTH_MAX)
        return cap + 1;
    uint32_t rows[3][NAME_LENGTH_MAX + 1];
    for (uint32_t j = 0; j <= b.n; j++)
        rows[0][j] = j;
    for (uint32_t i = 1; i <= a.n; i++) {
        uint32_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *above2 = rows[(i + 1) % 3];
        row[0] = i;
        uint32_t best = row[0];
        for (uint32_t j = 1; j <= b.n; j++) {
            char x = fold(a.p[i - 1]), y = fold(b.p[j - 1]);
            row[j] = least(least(above[j] + 1, row[j - 1] + 1), above[j - 1] + (x != y));
            if (i > 1 && j > 1 && x == fold(b.p[j - 2]) && y == fold(a.p[i - 2]))
                row[j] = least(row[j], above2[j - 2] + 1);
            best = least(best, row[j]);
        }
        if (best > cap)
            return cap + 1;
    }
    return least(rows[a.n % 3][b.n], cap + 1);
}

void suggest_start(struct suggest *s, struct str wanted)
{
    *s = (struct suggest){.wanted = wanted};
}

void suggest_offer(struct suggest *s, struct str candidate)
{
    uint32_t cap = s->wanted.n / 3;
    uint32_t distance = name_distance(s->wanted, candidate, cap);
    if (distance > cap)
        return;
    uint32_t at = 0;
    while (at < s->n && (s->distance[at] < distance ||
                         (s->distance[at] == distance && str_cmp(s->best[at], candidate) < 0)))
        at++;
    if (at == SUGGEST_MAX)
        return;
    for (uint32_t i = 0; i < s->n; i++)
        if (str_eq(s->best[i], candidate))
            return;
    if (s->n < SUGGEST_MAX)
        s->n++;
    for (uint32_t i = s->n - 1; i > at; i--) {
        s->best[i] = s->best[i - 1];
        s->distance[i] = s->distance[i - 1];
    }
    s->best[at] = candidate;
    s->distance[at] = distance;
}

struct str suggest_text(const struct suggest *s, struct arena *a)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < s->n; i++)
        buf_printf(&b, "%s`%.*s`", i == 0 ? "" : i + 1 == s->n ? " or " : ", ", STR_ARG(s->best[i]));
    return buf_take(&b, a);
}
