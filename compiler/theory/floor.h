/* floor.h - division that rounds down.
 *
 * Purpose: letters, pitch classes and octaves go on below zero; C's / and % don't.
 * Units:   none; the divisor is positive.
 * Owner:   plain values.
 * Errors:  none.
 */
#ifndef DESCANT_THEORY_FLOOR_H
#define DESCANT_THEORY_FLOOR_H

/* 0 <= floor_mod(a, n) < n, and floor_div(a, n) * n + floor_mod(a, n) == a. */
static inline int floor_mod(int a, int n)
{
    int r = a % n;
    return r < 0 ? r + n : r;
}

static inline int floor_div(int a, int n)
{
    return (a - floor_mod(a, n)) / n;
}

#endif
