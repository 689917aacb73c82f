#include "back/clock.h"

#include <inttypes.h>

enum { MS = 1000 };

int64_t seconds_ms(struct ratio seconds)
{
    __int128 twice = (__int128)seconds.num * MS * 2 + seconds.den, whole = (__int128)seconds.den * 2;
    __int128 ms = twice / whole;
    if (twice % whole < 0)
        ms--;
    if (ms > INT64_MAX)
        return INT64_MAX;
    return ms < INT64_MIN ? INT64_MIN : (int64_t)ms;
}

struct ratio ms_seconds(int64_t ms)
{
    struct ratio r = RATIO_ZERO;
    ratio_make(ms, MS, &r);
    return r;
}

void buf_stamp(struct buf *b, int64_t ms, char mark)
{
    if (ms < 0)
        ms = 0;
    int64_t s = ms / MS;
    buf_printf(b, "%02" PRId64 ":%02d:%02d%c%03d", s / 3600, (int)(s / 60 % 60), (int)(s % 60), mark,
               (int)(ms % MS));
}

void buf_seconds(struct buf *b, int64_t ms)
{
    if (ms < 0)
        buf_byte(b, '-');
    uint64_t size = ms < 0 ? 0 - (uint64_t)ms : (uint64_t)ms;
    buf_printf(b, "%" PRIu64 ".%03d", size / MS, (int)(size % MS));
}
