#include "theory/meter.h"

#include "theory/text.h"

static bool number_read(struct str s, uint32_t *at, int max, int *out)
{
    uint32_t first = *at;
    int v = 0;
    while (*at < s.n && s.p[*at] >= '0' && s.p[*at] <= '9' && v <= max)
        v = v * 10 + (s.p[(*at)++] - '0');
    *out = v;
    return *at > first && v >= 1 && v <= max;
}

bool meter_parse(struct str s, struct meter *out)
{
    struct meter m = {{0}, 0, 0};
    uint32_t at = 0;
    for (;;) {
        if (m.n_groups == METER_GROUPS_MAX || !number_read(s, &at, 99, &m.groups[m.n_groups]) || at == s.n)
            return false;
        m.n_groups++;
        char mark = s.p[at++];
        if (mark == '/')
            break;
        if (mark != '+')
            return false;
    }
    if (!number_read(s, &at, 128, &m.unit) || at != s.n || (m.unit & (m.unit - 1)) != 0)
        return false;
    *out = m;
    return true;
}

int meter_beats(struct meter m)
{
    int beats = 0;
    for (int i = 0; i < m.n_groups; i++)
        beats += m.groups[i];
    return beats;
}

struct ratio meter_length(struct meter m)
{
    struct ratio length = RATIO_ZERO;
    ratio_make(meter_beats(m), m.unit, &length);
    return length;
}

bool meter_eq(struct meter a, struct meter b)
{
    if (a.n_groups != b.n_groups || a.unit != b.unit)
        return false;
    for (int i = 0; i < a.n_groups; i++)
        if (a.groups[i] != b.groups[i])
            return false;
    return true;
}

const char *meter_text(struct meter m, char out[METER_TEXT_MAX])
{
    struct text_out t = text_begin(out, METER_TEXT_MAX);
    for (int i = 0; i < m.n_groups; i++) {
        if (i)
            text_put(&t, "+");
        text_int(&t, m.groups[i]);
    }
    text_put(&t, "/");
    text_int(&t, m.unit);
    return out;
}

/* Seconds that a whole note lasts: 60 / (beat * bpm). */
static bool whole_seconds(struct tempo_change c, struct ratio *out)
{
    struct ratio wholes_a_minute;
    if (!ratio_lt(RATIO_ZERO, c.beat) || !ratio_lt(RATIO_ZERO, c.bpm))
        return false;
    return ratio_mul(c.beat, c.bpm, &wholes_a_minute) && ratio_div(ratio_int(60), wholes_a_minute, out);
}

/* Seconds from one position to another at a steady tempo. */
static bool stretch_seconds(struct tempo_change c, struct ratio from, struct ratio to, struct ratio *out)
{
    struct ratio whole, length;
    return whole_seconds(c, &whole) && ratio_sub(to, from, &length) && ratio_mul(length, whole, out);
}

bool tempo_seconds(struct tempo_map map, struct ratio at, struct ratio *seconds)
{
    struct ratio sum = RATIO_ZERO;
    if (map.n == 0)
        return false;
    for (uint32_t i = 0; i < map.n; i++) {
        bool last = i + 1 == map.n || ratio_le(at, map.changes[i + 1].at);
        struct ratio part, to = last ? at : map.changes[i + 1].at;
        if (!stretch_seconds(map.changes[i], map.changes[i].at, to, &part) || !ratio_add(sum, part, &sum))
            return false;
        if (last)
            break;
    }
    *seconds = sum;
    return true;
}

bool tempo_position(struct tempo_map map, struct ratio seconds, struct ratio *at)
{
    struct ratio begins = RATIO_ZERO; /* seconds at which the current tempo begins */
    for (uint32_t i = 0; i < map.n; i++) {
        struct tempo_change c = map.changes[i];
        struct ratio part, next, whole, into, moved;
        if (i + 1 < map.n) {
            if (!stretch_seconds(c, c.at, map.changes[i + 1].at, &part) || !ratio_add(begins, part, &next))
                return false;
            if (ratio_lt(next, seconds)) {
                begins = next;
                continue;
            }
        }
        return whole_seconds(c, &whole) && ratio_sub(seconds, begins, &into) &&
               ratio_div(into, whole, &moved) && ratio_add(c.at, moved, at);
    }
    return false;
}

bool tempo_midi(struct tempo_change c, uint32_t *microseconds)
{
    struct ratio whole, quarter;
    if (!whole_seconds(c, &whole) || !ratio_mul(whole, ratio_int(250000), &quarter))
        return false;
    int64_t rounded = ratio_round(quarter);
    if (rounded < 1 || rounded > 0xFFFFFF)
        return false;
    *microseconds = (uint32_t)rounded;
    return true;
}
