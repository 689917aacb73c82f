/* clock.h - seconds as files write them.
 *
 * Purpose: one rounding for every output: to the nearest millisecond, halves up.
 * Units:   seconds as exact ratios, milliseconds as integers.
 * Errors:  none; what does not fit is the largest or smallest value.
 */
#ifndef DESCANT_BACK_CLOCK_H
#define DESCANT_BACK_CLOCK_H

#include "base/buf.h"
#include "base/ratio.h"

int64_t seconds_ms(struct ratio seconds);
struct ratio ms_seconds(int64_t ms);
/* "00:01:02.345" with the mark given; below zero is zero. */
void buf_stamp(struct buf *b, int64_t ms, char mark);
/* "62.345" */
void buf_seconds(struct buf *b, int64_t ms);

#endif
