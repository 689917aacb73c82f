#include "claims/accent.h"

enum { LEVEL_BAR = 100, LEVEL_HALF = 90, LEVEL_BEAT = 80, LEVEL_PART = 60, LEVEL_LOSS = 10 };

/* Beats as they are felt: how many in a bar, and how long. */
struct pulse {
    int n;
    struct ratio beat;
};

static struct pulse pulse_of(struct meter m)
{
    int units = meter_beats(m);
    bool compound = m.n_groups == 1 && m.unit >= 8 && units > 3 && units % 3 == 0;
    int per = compound ? 3 : 1;
    struct pulse p = {units / per, {per, m.unit}};
    if (!ratio_make(per, m.unit, &p.beat))
        p.beat = RATIO_ONE;
    return p;
}

/* Does an additive meter begin a group there? */
static bool begins_group(struct meter m, struct ratio into)
{
    int64_t at = 0;
    for (int i = 0; i < m.n_groups; i++) {
        struct ratio group;
        if (ratio_make(at, m.unit, &group) && ratio_eq(group, into))
            return true;
        at += m.groups[i];
    }
    return false;
}

/* Within a beat: halves and thirds first, then what they are divided into. */
static int level_of_part(struct ratio part)
{
    int level = LEVEL_PART;
    int64_t den = part.den;
    if (den % 3 == 0)
        den /= 3;
    else
        den /= 2;
    for (; den > 1; den /= 2)
        level -= LEVEL_LOSS;
    return level;
}

int accent_level(const struct passage *p, struct ratio at)
{
    const struct bar *bar = p ? passage_bar_at(p, at) : NULL;
    if (!bar)
        return 0;
    struct ratio into = ratio_minus(at, bar->onset), beats;
    if (bar->number == 0) /* a pickup is the end of a bar */
        into = ratio_plus(into, ratio_minus(meter_length(bar->meter), bar->length));
    struct pulse pulse = pulse_of(bar->meter);
    if (into.num == 0)
        return LEVEL_BAR;
    if (bar->meter.n_groups > 1 && begins_group(bar->meter, into))
        return LEVEL_HALF;
    if (!ratio_div(into, pulse.beat, &beats))
        return 0;
    if (beats.den == 1)
        return bar->meter.n_groups == 1 && pulse.n % 2 == 0 && pulse.n > 2 && beats.num * 2 == pulse.n
                   ? LEVEL_HALF
                   : LEVEL_BEAT;
    return level_of_part(ratio_minus(beats, ratio_int(ratio_floor(beats))));
}
