#include "theory/timecode.h"

#include "test.h"

#include <math.h>

static const struct ratio every_rate[] = {
    {24, 1}, {25, 1},       {30, 1},       {48, 1},       {50, 1},
    {60, 1}, {24000, 1001}, {30000, 1001}, {48000, 1001}, {60000, 1001},
};

enum { RATES = sizeof every_rate / sizeof every_rate[0] };

static struct frame_rate rate(int64_t num, int64_t den)
{
    struct frame_rate r = {{0, 1}, 0};
    struct ratio fps;
    if (ratio_make(num, den, &fps))
        frame_rate_of(fps, &r);
    return r;
}

static bool code_eq(struct timecode a, struct timecode b)
{
    return a.hours == b.hours && a.minutes == b.minutes && a.seconds == b.seconds && a.frames == b.frames &&
           a.drop == b.drop;
}

static void knows_rates(struct test *t)
{
    static const struct {
        const char *said;
        int64_t num, den;
        int nominal;
        bool drops;
    } rows[] = {
        {"24", 24, 1, 24, false},
        {"25", 25, 1, 25, false},
        {"23.976", 24000, 1001, 24, false},
        {"23.98", 24000, 1001, 24, false},
        {"29.97", 30000, 1001, 30, true},
        {"30", 30, 1, 30, false},
        {"47.952", 48000, 1001, 48, false},
        {"59.94", 60000, 1001, 60, true},
        {"24000/1001", 24000, 1001, 24, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct ratio fps;
        struct frame_rate r = {{0, 1}, 0};
        CHECK(t, ratio_parse(rows[i].said, (uint32_t)strlen(rows[i].said), &fps) && frame_rate_of(fps, &r));
        CHECK(t, r.fps.num == rows[i].num && r.fps.den == rows[i].den && r.nominal == rows[i].nominal);
        CHECK(t, frame_rate_can_drop(r) == rows[i].drops);
    }
    struct frame_rate r;
    CHECK(t, !frame_rate_of((struct ratio){26, 1}, &r) && !frame_rate_of((struct ratio){0, 1}, &r));
}

static void reads_codes(struct test *t)
{
    static const char *const bad[] = {"",
                                      "01:02:33",
                                      "1:02:33:12",
                                      "01:02:33.12",
                                      "01:02:33:1x",
                                      "01;02;33;12",
                                      "01:02:33:120",
                                      " 1:02:33:12",
                                      "01:02:33:-1"};
    struct timecode c = {9, 9, 9, 9, false};
    char out[TIMECODE_TEXT_MAX];
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        CHECK(t, !timecode_parse(str_of(bad[i]), &c) && c.hours == 9);
    CHECK(t, timecode_parse(STR("01:02:33;12"), &c) && c.drop && c.frames == 12);
    CHECK_TEXT(t, timecode_text(c, out), "01:02:33;12");
    CHECK(t, timecode_check(rate(24, 1), c) == TIMECODE_NO_DROP);
    CHECK(t, timecode_parse(STR("01:02:33:12"), &c) && !c.drop);
    CHECK_TEXT(t, timecode_text(c, out), "01:02:33:12");
}

/* Every minute of a day at every rate, both ways of counting: 17,982 frames to ten minutes if some drop. */
static void counts_a_day(struct test *t)
{
    for (int i = 0; i < RATES; i++) {
        struct frame_rate r = rate(every_rate[i].num, every_rate[i].den);
        for (int drop = 0; drop <= frame_rate_can_drop(r); drop++) {
            int64_t expect = 0;
            bool same = true;
            for (int minute = 0; same && minute < 24 * 60; minute++) {
                int skip = drop && minute % 10 != 0 ? r.nominal / 15 : 0;
                struct timecode first = {minute / 60, minute % 60, 0, skip, drop};
                same = timecode_frames(r, first) == expect &&
                       code_eq(timecode_of_frames(r, expect, drop), first);
                expect += 60 * r.nominal - skip;
            }
            CHECK(t, same);
        }
    }
    CHECK(t, timecode_frames(rate(30000, 1001), (struct timecode){0, 10, 0, 0, true}) == 17982);
}

/* Frame by frame over 24 hours: each code exists, is the next one, and counts back to its frame. */
static void counts_every_frame(struct test *t)
{
    for (int i = 0; i < RATES; i++) {
        struct frame_rate r = rate(every_rate[i].num, every_rate[i].den);
        for (int drop = 0; drop <= frame_rate_can_drop(r); drop++) {
            int64_t day = timecode_frames(r, (struct timecode){24, 0, 0, 0, drop});
            int64_t n = 0;
            for (; n < day; n++) {
                struct timecode c = timecode_of_frames(r, n, drop);
                if (timecode_check(r, c) != TIMECODE_OK || timecode_frames(r, c) != n)
                    break;
            }
            CHECK(t, n == day);
        }
    }
}

static void stays_exact(struct test *t)
{
    struct frame_rate ntsc = rate(30000, 1001), film = rate(24, 1);
    struct ratio hour = frames_seconds(ntsc, 107892);
    CHECK(t, hour.num == 107892LL * 1001 / 12 && hour.den == 30000 / 12);
    CHECK(t, seconds_frames(film, (struct ratio){1, 48}) == 1); /* half a frame goes up */
    CHECK(t, seconds_frames_floor(film, (struct ratio){1, 48}) == 0);
    CHECK(t, seconds_frames(film, (struct ratio){-1, 48}) == 0 &&
                 seconds_frames_floor(film, (struct ratio){-1, 48}) == -1);
    /* Terms whose product with the rate overflows 64 bits. */
    CHECK(t, seconds_frames_floor(ntsc, (struct ratio){1234567890123456789, 1000000000000000000}) == 37);
    CHECK(t, seconds_frames(ntsc, (struct ratio){INT64_MAX, 1}) == INT64_MAX / 1001);
    CHECK(t, seconds_frames(ntsc, (struct ratio){-INT64_MAX, 1}) == -(INT64_MAX / 1001));
}

/* 25-frame transfer of 24-frame picture: 0.71 half step high. */
static void tells_speed(struct test *t)
{
    CHECK(t, fabs(speed_cents((struct ratio){25, 24}) - 70.672) < 0.001);
    CHECK(t, fabs(speed_cents((struct ratio){2, 1}) - 1200.0) < 1e-9 && fabs(speed_cents(RATIO_ONE)) < 1e-12);
}

static struct frame_rate any_rate(struct rng *r)
{
    struct ratio fps = every_rate[rng_between(r, 0, RATES - 1)];
    return rate(fps.num, fps.den);
}

static bool frame_to_seconds_and_back(struct rng *r)
{
    struct frame_rate rate = any_rate(r);
    int64_t n = rng_between(r, 0, 1 << 30);
    struct ratio s = frames_seconds(rate, n);
    return seconds_frames(rate, s) == n && seconds_frames_floor(rate, s) == n;
}

static bool text_round_trip(struct rng *r)
{
    struct frame_rate rate = any_rate(r);
    bool drop = frame_rate_can_drop(rate) && rng_between(r, 0, 1);
    struct timecode c = timecode_of_frames(rate, rng_between(r, 0, 24 * 3600 * 23), drop), again;
    char out[TIMECODE_TEXT_MAX];
    return timecode_parse(str_of(timecode_text(c, out)), &again) && code_eq(c, again);
}

/* Drop-frame counting keeps within two frames (four at 59.94) of the clock at the start of each minute. */
static bool drop_frame_follows_the_clock(struct rng *r)
{
    struct frame_rate rate_ntsc = rng_between(r, 0, 1) ? rate(30000, 1001) : rate(60000, 1001);
    int minute = rng_between(r, 0, 24 * 60 - 1), skip = minute % 10 ? rate_ntsc.nominal / 15 : 0;
    struct timecode c = {minute / 60, minute % 60, 0, skip, true};
    int64_t real = seconds_frames(rate_ntsc, ratio_int(60 * (int64_t)minute));
    int64_t off = timecode_frames(rate_ntsc, c) - real;
    return off >= -rate_ntsc.nominal / 10 && off <= rate_ntsc.nominal / 10;
}

static bool nearest_is_nearest(struct rng *r)
{
    struct frame_rate rate = any_rate(r);
    struct ratio s = {rng_between(r, 0, 1 << 30), rng_between(r, 1, 1000)}, frames;
    if (!ratio_make(s.num, s.den, &s) || !ratio_mul(s, rate.fps, &frames))
        return false;
    struct ratio off = ratio_minus(ratio_int(seconds_frames(rate, s)), frames);
    struct ratio half = {1, 2}, minus_half = {-1, 2};
    return ratio_lt(minus_half, off) && ratio_le(off, half) &&
           seconds_frames_floor(rate, s) == ratio_floor(frames);
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"frame to seconds and back is the same frame", frame_to_seconds_and_back},
        {"a code written and read is the same", text_round_trip},
        {"drop-frame counting follows the clock", drop_frame_follows_the_clock},
        {"the nearest frame is at most half a frame off", nearest_is_nearest},
    };
    struct test t = {"theory_timecode", 0, 0};
    knows_rates(&t);
    reads_codes(&t);
    counts_a_day(&t);
    counts_every_frame(&t);
    stays_exact(&t);
    tells_speed(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
