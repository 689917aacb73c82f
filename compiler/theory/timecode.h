/* timecode.h - SMPTE timecode and frame counts.
 *
 * Units:   frames from 00:00:00:00; seconds as exact ratios; rates as exact fractions.
 * Errors:  false where a code does not exist (frame too high, a dropped number) or a rate is not supported.
 * Source:  SMPTE ST 12-1 (drop-frame rule, read in public notes, not in the standard): 30000/1001 and
 *          60000/1001 skip the first 2 (4) frame numbers of each minute that ten does not divide.
 */
#ifndef DESCANT_THEORY_TIMECODE_H
#define DESCANT_THEORY_TIMECODE_H

#include "base/ratio.h"
#include "base/str.h"

struct frame_rate {
    struct ratio fps;  /* 24000/1001 … 60 */
    int nominal;       /* 24, 25, 30, 50, 60 …: frame numbers in a counted second */
};

struct timecode {
    int hours, minutes, seconds, frames;
    bool drop; /* written with ; before the frames */
};

enum timecode_fault {
    TIMECODE_OK,
    TIMECODE_MINUTES,  /* hours over 23, minutes or seconds over 59 */
    TIMECODE_FRAMES,   /* frame number not below the rate */
    TIMECODE_DROPPED,  /* ;00 or ;01 of a minute that drops them */
    TIMECODE_NO_DROP   /* the rate has no drop-frame count */
};

/* 24, 25, 30, 48, 50, 60, 24000/1001, 30000/1001, 48000/1001, 60000/1001; also 23.976, 23.98, 29.97, 47.952,
 * 59.94 as their exact fractions. */
bool frame_rate_of(struct ratio fps, struct frame_rate *out);
bool frame_rate_can_drop(struct frame_rate r);

/* "01:02:33:12", "01:02:33;12" */
bool timecode_parse(struct str s, struct timecode *out);
enum timecode_fault timecode_check(struct frame_rate r, struct timecode t);
/* t must check as TIMECODE_OK. */
int64_t timecode_frames(struct frame_rate r, struct timecode t);
/* frames >= 0; drop only where the rate can. From 24 h on the hours go past 23: nothing wraps. */
struct timecode timecode_of_frames(struct frame_rate r, int64_t frames, bool drop);
struct ratio frames_seconds(struct frame_rate r, int64_t frames);
/* Nearest frame, halves up. Both are exact for any ratio, and stop at five million years, where
 * frames_seconds would. */
int64_t seconds_frames(struct frame_rate r, struct ratio seconds);
/* Frame rounded down. */
int64_t seconds_frames_floor(struct frame_rate r, struct ratio seconds);

enum { TIMECODE_TEXT_MAX = 64 };
const char *timecode_text(struct timecode t, char out[TIMECODE_TEXT_MAX]);

/* How a recording that runs `speed` times as fast sounds, in cents: 1200 * log2(speed). For messages. */
double speed_cents(struct ratio speed);

#endif
