/* ratio.h - exact fractions for musical and clock time.
 *
 * Purpose: no floating point decides a verdict; a triplet is exactly 1/12.
 * Units:   named where used: wholes (whole notes), seconds, frames.
 * Errors:  the checked functions return false on overflow or division by zero and leave *out
 *          untouched; callers turn that into a diagnostic or an undecided verdict.
 */
#ifndef DESCANT_RATIO_H
#define DESCANT_RATIO_H

#include <stdbool.h>
#include <stdint.h>

/* num/den in lowest terms, den > 0. A zeroed struct is not a ratio: use RATIO_ZERO. */
struct ratio {
    int64_t num, den;
};

#define RATIO_ZERO ((struct ratio){0, 1})
#define RATIO_ONE ((struct ratio){1, 1})

/* num/den in lowest terms; false if den is 0 or the result does not fit. */
bool ratio_make(int64_t num, int64_t den, struct ratio *out);
bool ratio_add(struct ratio a, struct ratio b, struct ratio *out);
bool ratio_sub(struct ratio a, struct ratio b, struct ratio *out);
bool ratio_mul(struct ratio a, struct ratio b, struct ratio *out);
bool ratio_div(struct ratio a, struct ratio b, struct ratio *out);

/* As the two below, for all terms (computed in 128 bits). */
int ratio_cmp_wide(struct ratio a, struct ratio b);
int ratio_cmp_sum_wide(struct ratio a, struct ratio b, struct ratio c);

/* Positions in a passage have small terms: products of two, and sums of products of three, fit 64 bits. */
static inline bool ratio_is_small(struct ratio r)
{
    return r.num > -(1 << 20) && r.num < 1 << 20 && r.den < 1 << 20;
}

/* -1, 0 or 1; exact for every pair. */
static inline int ratio_cmp(struct ratio a, struct ratio b)
{
    if (!ratio_is_small(a) || !ratio_is_small(b))
        return ratio_cmp_wide(a, b);
    int64_t l = a.num * b.den, r = b.num * a.den;
    return (l > r) - (l < r);
}

/* Compares a + b with c, as where something begins and how long it lasts with a position. Exact; a sum that is out of range
 * aborts, as in ratio_plus. */
static inline int ratio_cmp_sum(struct ratio a, struct ratio b, struct ratio c)
{
    if (!ratio_is_small(a) || !ratio_is_small(b) || !ratio_is_small(c))
        return ratio_cmp_sum_wide(a, b, c);
    int64_t l = (a.num * b.den + b.num * a.den) * c.den, r = c.num * a.den * b.den;
    return (l > r) - (l < r);
}

static inline bool ratio_eq(struct ratio a, struct ratio b)
{
    return a.num == b.num && a.den == b.den;
}

static inline bool ratio_lt(struct ratio a, struct ratio b)
{
    return ratio_cmp(a, b) < 0;
}

static inline bool ratio_le(struct ratio a, struct ratio b)
{
    return ratio_cmp(a, b) <= 0;
}

static inline struct ratio ratio_int(int64_t n)
{
    return (struct ratio){n, 1};
}

/* Sum and difference where the operands are already known to be in range (positions of a checked
 * model); an overflow is a bug in the caller and aborts. */
struct ratio ratio_plus(struct ratio a, struct ratio b);
struct ratio ratio_minus(struct ratio a, struct ratio b);

/* Largest integer not above r; nearest integer, halves away from zero. */
int64_t ratio_floor(struct ratio r);
int64_t ratio_round(struct ratio r);

/* For pictures and messages only. */
double ratio_double(struct ratio r);

/* Room for ratio_text: two int64, a slash, a NUL. */
enum { RATIO_TEXT_MAX = 44 };
/* Writes "3/4", or "3" where den is 1 and keep_den is false. Returns out. */
const char *ratio_text(struct ratio r, bool keep_den, char out[RATIO_TEXT_MAX]);

/* Reads [0-9]+ ("/" [0-9]+ | "." [0-9]+)?, the whole of s[0..n). False on overflow, zero
 * denominator or other text. */
bool ratio_parse(const char *s, uint32_t n, struct ratio *out);

#endif
