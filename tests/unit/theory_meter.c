#include "theory/meter.h"

#include "test.h"

static struct ratio ratio(int64_t num, int64_t den)
{
    struct ratio r = RATIO_ZERO;
    ratio_make(num, den, &r);
    return r;
}

static void reads_meters(struct test *t)
{
    static const struct {
        const char *text;
        int beats, unit, groups;
        int64_t num, den; /* length in wholes */
    } rows[] = {
        {"4/4", 4, 4, 1, 1, 1},          {"3/4", 3, 4, 1, 3, 4},
        {"6/8", 6, 8, 1, 3, 4},          {"3+2/8", 5, 8, 2, 5, 8},
        {"7/16", 7, 16, 1, 7, 16},       {"2/1", 2, 1, 1, 2, 1},
        {"99/128", 99, 128, 1, 99, 128}, {"1+1+1+1+1+1+1+1/4", 8, 4, 8, 2, 1},
    };
    char out[METER_TEXT_MAX];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct meter m, again;
        if (!CHECK(t, meter_parse(str_of(rows[i].text), &m)))
            continue;
        CHECK(t, meter_beats(m) == rows[i].beats && m.unit == rows[i].unit && m.n_groups == rows[i].groups);
        CHECK(t, ratio_eq(meter_length(m), ratio(rows[i].num, rows[i].den)));
        CHECK_TEXT(t, meter_text(m, out), rows[i].text);
        CHECK(t, meter_parse(str_of(out), &again) && meter_eq(m, again));
    }
}

static void refuses_meters(struct test *t)
{
    static const char *const bad[] = {
        "",     "4",    "4/",    "/4",    "4/3",  "4/0",  "0/4",  "100/4",         "4/256",
        "3+/8", "+3/8", "3-2/8", "4/4/4", "4/4 ", "-3/4", "3 /4", "99999999999/4", "1+1+1+1+1+1+1+1+1/4"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct meter m = {{9}, 1, 9};
        CHECK(t, !meter_parse(str_of(bad[i]), &m) && m.unit == 9);
    }
    struct meter additive = {{3, 2}, 2, 8}, turned = {{2, 3}, 2, 8}, plain = {{5}, 1, 8};
    CHECK(t, !meter_eq(additive, turned) && !meter_eq(additive, plain) && meter_eq(additive, additive));
}

/* Quarter = 80 for two bars of 4/4, then dotted quarter = 60. */
static const struct tempo_change changes[] = {
    {{0, 1}, {1, 4}, {80, 1}},
    {{2, 1}, {3, 8}, {60, 1}},
};
static const struct tempo_map map = {changes, 2};

static void runs_clocks(struct test *t)
{
    struct ratio r;
    uint32_t us = 0;
    CHECK(t, tempo_seconds(map, ratio(0, 1), &r) && ratio_eq(r, ratio(0, 1)));
    CHECK(t, tempo_seconds(map, ratio(1, 4), &r) && ratio_eq(r, ratio(3, 4)));
    CHECK(t, tempo_seconds(map, ratio(2, 1), &r) && ratio_eq(r, ratio(6, 1)));
    CHECK(t, tempo_seconds(map, ratio(19, 8), &r) && ratio_eq(r, ratio(7, 1)));
    CHECK(t,
          tempo_seconds(map, ratio(1, 12), &r) && ratio_eq(r, ratio(1, 4))); /* a triplet eighth, exactly */
    CHECK(t, tempo_position(map, ratio(13, 2), &r) && ratio_eq(r, ratio(35, 16)));
    CHECK(t, !tempo_seconds((struct tempo_map){NULL, 0}, ratio(1, 1), &r));
    CHECK(t, !tempo_position((struct tempo_map){NULL, 0}, ratio(1, 1), &r));
    struct tempo_change still = {{0, 1}, {1, 4}, {0, 1}};
    CHECK(t, !tempo_seconds((struct tempo_map){&still, 1}, ratio(1, 1), &r));
    CHECK(t, tempo_midi(changes[0], &us) && us == 750000);
    CHECK(t, tempo_midi(changes[1], &us) && us == 666667); /* a third of two seconds, rounded */
    struct tempo_change slow = {{0, 1}, {1, 4}, {3, 1}}, slowest = {{0, 1}, {1, 4}, {4, 1}};
    CHECK(t, !tempo_midi(slow, &us)); /* 20,000,000 does not fit 24 bits */
    CHECK(t, tempo_midi(slowest, &us) && us == 15000000);
}

static void refuses_overflow(struct test *t)
{
    struct ratio r;
    struct tempo_change odd = {{0, 1}, {1, 4}, {INT64_MAX, INT64_MAX - 1}};
    CHECK(t, !tempo_seconds((struct tempo_map){&odd, 1}, ratio(INT64_MAX - 2, INT64_MAX - 1), &r));
}

static bool position_and_seconds_agree(struct rng *r)
{
    struct ratio at = ratio(rng_between(r, -50, 5000), rng_between(r, 1, 48)), seconds, back;
    return tempo_seconds(map, at, &seconds) && tempo_position(map, seconds, &back) && ratio_eq(at, back);
}

static bool later_is_later(struct rng *r)
{
    struct ratio a = ratio(rng_between(r, 0, 5000), rng_between(r, 1, 48)), s, u;
    struct ratio b = ratio_plus(a, ratio(1, rng_between(r, 1, 1000)));
    return tempo_seconds(map, a, &s) && tempo_seconds(map, b, &u) && ratio_lt(s, u);
}

static bool text_round_trip(struct rng *r)
{
    struct meter m = {{0}, rng_between(r, 1, METER_GROUPS_MAX), 1 << rng_between(r, 0, 7)}, again;
    for (int i = 0; i < m.n_groups; i++)
        m.groups[i] = rng_between(r, 1, 99);
    char out[METER_TEXT_MAX];
    return meter_parse(str_of(meter_text(m, out)), &again) && meter_eq(m, again);
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"position to seconds and back is exact", position_and_seconds_agree},
        {"a later position is later in time", later_is_later},
        {"a meter written and read is the same", text_round_trip},
    };
    struct test t = {"theory_meter", 0, 0};
    reads_meters(&t);
    refuses_meters(&t);
    runs_clocks(&t);
    refuses_overflow(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
