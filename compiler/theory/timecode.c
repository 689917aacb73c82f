#include "theory/timecode.h"

#include <math.h>
#include <stdio.h>

__extension__ typedef __int128 wide; /* products of two int64 */

struct rate_row {
    struct ratio said; /* as people write it */
    struct ratio exact;
    int nominal;
};

/* 23.976 and its like name the exact fraction over 1001 (SMPTE ST 12-1). */
static const struct rate_row rates[] = {
    {{24, 1}, {24, 1}, 24},
    {{25, 1}, {25, 1}, 25},
    {{30, 1}, {30, 1}, 30},
    {{48, 1}, {48, 1}, 48},
    {{50, 1}, {50, 1}, 50},
    {{60, 1}, {60, 1}, 60},
    {{24000, 1001}, {24000, 1001}, 24},
    {{30000, 1001}, {30000, 1001}, 30},
    {{48000, 1001}, {48000, 1001}, 48},
    {{60000, 1001}, {60000, 1001}, 60},
    {{2997, 125}, {24000, 1001}, 24}, /* 23.976 */
    {{1199, 50}, {24000, 1001}, 24},  /* 23.98 */
    {{2997, 100}, {30000, 1001}, 30}, /* 29.97 */
    {{5994, 125}, {48000, 1001}, 48}, /* 47.952 */
    {{2997, 50}, {60000, 1001}, 60},  /* 59.94 */
};

bool frame_rate_of(struct ratio fps, struct frame_rate *out)
{
    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        if (ratio_eq(rates[i].said, fps)) {
            *out = (struct frame_rate){rates[i].exact, rates[i].nominal};
            return true;
        }
    }
    return false;
}

bool frame_rate_can_drop(struct frame_rate r)
{
    return r.fps.den == 1001 && (r.nominal == 30 || r.nominal == 60);
}

/* Frame numbers that a minute skips: 2 at 29.97, 4 at 59.94. */
static int dropped_a_minute(struct frame_rate r)
{
    return r.nominal / 15;
}

bool timecode_parse(struct str s, struct timecode *out)
{
    if (s.n != 11)
        return false;
    int field[4];
    for (uint32_t i = 0; i < 4; i++) {
        char tens = s.p[3 * i], ones = s.p[3 * i + 1];
        if (tens < '0' || tens > '9' || ones < '0' || ones > '9')
            return false;
        field[i] = 10 * (tens - '0') + (ones - '0');
    }
    if (s.p[2] != ':' || s.p[5] != ':' || (s.p[8] != ':' && s.p[8] != ';'))
        return false;
    *out = (struct timecode){field[0], field[1], field[2], field[3], s.p[8] == ';'};
    return true;
}

enum timecode_fault timecode_check(struct frame_rate r, struct timecode t)
{
    if (t.drop && !frame_rate_can_drop(r))
        return TIMECODE_NO_DROP;
    if (t.hours < 0 || t.hours > 23 || t.minutes < 0 || t.minutes > 59 || t.seconds < 0 || t.seconds > 59)
        return TIMECODE_MINUTES;
    if (t.frames < 0 || t.frames >= r.nominal)
        return TIMECODE_FRAMES;
    if (t.drop && t.seconds == 0 && t.frames < dropped_a_minute(r) && t.minutes % 10 != 0)
        return TIMECODE_DROPPED;
    return TIMECODE_OK;
}

int64_t timecode_frames(struct frame_rate r, struct timecode t)
{
    int64_t minutes = 60 * (int64_t)t.hours + t.minutes;
    int64_t number = (60 * minutes + t.seconds) * r.nominal + t.frames;
    return t.drop ? number - dropped_a_minute(r) * (minutes - minutes / 10) : number;
}

struct timecode timecode_of_frames(struct frame_rate r, int64_t frames, bool drop)
{
    int64_t number = frames;
    if (drop) {
        /* Put the skipped numbers back: the first minute of ten skips none, the other nine skip some each. */
        int64_t skip = dropped_a_minute(r);
        int64_t full_minute = 60 * (int64_t)r.nominal, short_minute = full_minute - skip;
        int64_t ten = full_minute + 9 * short_minute;
        int64_t into = frames % ten;
        int64_t short_minutes = into < full_minute ? 0 : (into - full_minute) / short_minute + 1;
        number += skip * (9 * (frames / ten) + short_minutes);
    }
    int64_t seconds = number / r.nominal;
    return (struct timecode){
        (int)(seconds / 3600), (int)(seconds / 60 % 60), (int)(seconds % 60), (int)(number % r.nominal), drop,
    };
}

struct ratio frames_seconds(struct frame_rate r, int64_t frames)
{
    struct ratio seconds = RATIO_ZERO;
    ratio_div(ratio_int(frames), r.fps, &seconds);
    return seconds;
}

/* Keeps frames where frames_seconds is exact; some five million years. */
static int64_t frames_within(wide frames)
{
    wide most = INT64_MAX / 1001;
    return (int64_t)(frames > most ? most : frames < -most ? -most : frames);
}

static wide wide_floor(wide num, wide den)
{
    wide q = num / den;
    return num % den < 0 ? q - 1 : q;
}

int64_t seconds_frames_floor(struct frame_rate r, struct ratio seconds)
{
    return frames_within(wide_floor((wide)seconds.num * r.fps.num, (wide)seconds.den * r.fps.den));
}

int64_t seconds_frames(struct frame_rate r, struct ratio seconds)
{
    wide num = (wide)seconds.num * r.fps.num, den = (wide)seconds.den * r.fps.den;
    return frames_within(wide_floor(2 * num + den, 2 * den));
}

const char *timecode_text(struct timecode t, char out[TIMECODE_TEXT_MAX])
{
    char mark = t.drop ? ';' : ':';
    snprintf(out, TIMECODE_TEXT_MAX, "%02d:%02d:%02d%c%02d", t.hours, t.minutes, t.seconds, mark, t.frames);
    return out;
}

double speed_cents(struct ratio speed)
{
    return 1200.0 * log2(ratio_double(speed));
}
