#include "base/ratio.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

__extension__ typedef __int128 wide; /* products of two int64 */

static wide wide_gcd(wide a, wide b)
{
    while (b) {
        wide t = a % b;
        a = b;
        b = t;
    }
    return a < 0 ? -a : a;
}

static int64_t small_gcd(int64_t a, int64_t b)
{
    while (b) {
        int64_t t = a % b;
        a = b;
        b = t;
    }
    return a < 0 ? -a : a;
}

/* den is not 0, and neither is the least integer. */
static struct ratio small_reduce(int64_t num, int64_t den)
{
    if (den < 0) {
        num = -num;
        den = -den;
    }
    if ((den & (den - 1)) == 0) { /* halves of halves, as most note values are: no division is needed */
        int shift = __builtin_ctzll((uint64_t)(num | den));
        return (struct ratio){num / ((int64_t)1 << shift), den >> shift};
    }
    int64_t g = small_gcd(num, den);
    return (struct ratio){num / g, den / g};
}

static bool reduce(wide num, wide den, struct ratio *out)
{
    if (den == 0)
        return false;
    if (num > INT64_MIN && num <= INT64_MAX && den > INT64_MIN && den <= INT64_MAX) {
        *out = small_reduce((int64_t)num, (int64_t)den);
        return true;
    }
    if (den < 0) {
        num = -num;
        den = -den;
    }
    wide g = wide_gcd(num, den);
    if (g > 1) {
        num /= g;
        den /= g;
    }
    if (num > INT64_MAX || num < -(wide)INT64_MAX || den > INT64_MAX)
        return false;
    *out = (struct ratio){(int64_t)num, (int64_t)den};
    return true;
}

bool ratio_make(int64_t num, int64_t den, struct ratio *out)
{
    return reduce(num, den, out);
}

bool ratio_add(struct ratio a, struct ratio b, struct ratio *out)
{
    if (!ratio_is_small(a) || !ratio_is_small(b))
        return reduce((wide)a.num * b.den + (wide)b.num * a.den, (wide)a.den * b.den, out);
    *out = a.den == b.den ? small_reduce(a.num + b.num, a.den)
                          : small_reduce(a.num * b.den + b.num * a.den, a.den * b.den);
    return true;
}

bool ratio_sub(struct ratio a, struct ratio b, struct ratio *out)
{
    return ratio_add(a, (struct ratio){-b.num, b.den}, out);
}

bool ratio_mul(struct ratio a, struct ratio b, struct ratio *out)
{
    return reduce((wide)a.num * b.num, (wide)a.den * b.den, out);
}

bool ratio_div(struct ratio a, struct ratio b, struct ratio *out)
{
    return reduce((wide)a.num * b.den, (wide)a.den * b.num, out);
}

int ratio_cmp_wide(struct ratio a, struct ratio b)
{
    wide l = (wide)a.num * b.den, r = (wide)b.num * a.den;
    return (l > r) - (l < r);
}

struct ratio ratio_plus(struct ratio a, struct ratio b)
{
    struct ratio r;
    if (!ratio_add(a, b, &r))
        abort();
    return r;
}

struct ratio ratio_minus(struct ratio a, struct ratio b)
{
    struct ratio r;
    if (!ratio_sub(a, b, &r))
        abort();
    return r;
}

int ratio_cmp_sum_wide(struct ratio a, struct ratio b, struct ratio c)
{
    return ratio_cmp(ratio_plus(a, b), c);
}

int64_t ratio_floor(struct ratio r)
{
    int64_t q = r.num / r.den;
    return r.num % r.den < 0 ? q - 1 : q;
}

int64_t ratio_round(struct ratio r)
{
    wide twice = (wide)r.num * 2;
    wide q = r.num >= 0 ? (twice + r.den) / ((wide)r.den * 2) : -((-twice + r.den) / ((wide)r.den * 2));
    return (int64_t)q;
}

double ratio_double(struct ratio r)
{
    return (double)r.num / (double)r.den;
}

const char *ratio_text(struct ratio r, bool keep_den, char out[RATIO_TEXT_MAX])
{
    if (r.den == 1 && !keep_den)
        snprintf(out, RATIO_TEXT_MAX, "%" PRId64, r.num);
    else
        snprintf(out, RATIO_TEXT_MAX, "%" PRId64 "/%" PRId64, r.num, r.den);
    return out;
}

static bool digits(const char *s, uint32_t n, uint32_t *at, int64_t *out)
{
    uint32_t start = *at;
    int64_t v = 0;
    while (*at < n && s[*at] >= '0' && s[*at] <= '9') {
        if (__builtin_mul_overflow(v, 10, &v) || __builtin_add_overflow(v, s[*at] - '0', &v))
            return false;
        ++*at;
    }
    *out = v;
    return *at > start;
}

bool ratio_parse(const char *s, uint32_t n, struct ratio *out)
{
    uint32_t at = 0;
    int64_t a, b = 0;
    if (!digits(s, n, &at, &a))
        return false;
    if (at == n)
        return ratio_make(a, 1, out);
    char mark = s[at++];
    uint32_t from = at;
    if (!digits(s, n, &at, &b) || at != n)
        return false;
    if (mark == '/')
        return ratio_make(a, b, out);
    if (mark != '.' || n - from > 18)
        return false;
    int64_t scale = 1;
    for (uint32_t i = from; i < n; i++)
        scale *= 10;
    struct ratio part;
    return ratio_make(b, scale, &part) && ratio_add(ratio_int(a), part, out);
}
