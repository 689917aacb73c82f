#include "theory/motion.h"

static int sign(int v)
{
    return (v > 0) - (v < 0);
}

enum motion motion_of(struct pitch low1, struct pitch high1, struct pitch low2, struct pitch high2)
{
    int low = sign(interval_between(low1, low2).half);
    int high = sign(interval_between(high1, high2).half);
    if (low == 0 && high == 0)
        return MOTION_NONE;
    if (low == 0 || high == 0)
        return MOTION_OBLIQUE;
    if (low != high)
        return MOTION_CONTRARY;
    bool kept = interval_between(low1, high1).steps == interval_between(low2, high2).steps;
    return kept ? MOTION_PARALLEL : MOTION_SIMILAR;
}

const char *motion_word(enum motion m)
{
    switch (m) {
    case MOTION_NONE:
        return "no";
    case MOTION_OBLIQUE:
        return "oblique";
    case MOTION_CONTRARY:
        return "contrary";
    case MOTION_SIMILAR:
        return "similar";
    case MOTION_PARALLEL:
        return "parallel";
    }
    return "no";
}

static struct interval voice(const struct pitch *from, const struct pitch *to, uint32_t i)
{
    return interval_between(from[i], to[i]);
}

/* What most voices move by: the commonest size in sound, then the commonest spelling of that size; the lowest
 * voice's on a tie. Stacks are a few voices high, so counting pairs is fast enough. */
static struct interval commonest(const struct pitch *from, const struct pitch *to, uint32_t n)
{
    struct interval best = {0, 0};
    uint32_t best_sounding = 0, best_spelled = 0;
    for (uint32_t i = 0; i < n; i++) {
        struct interval v = voice(from, to, i);
        uint32_t sounding = 0, spelled = 0;
        for (uint32_t k = 0; k < n; k++) {
            struct interval w = voice(from, to, k);
            sounding += w.half == v.half;
            spelled += interval_eq(w, v);
        }
        bool same_size = best_sounding > 0 && v.half == best.half;
        if (sounding > best_sounding || (same_size && spelled > best_spelled)) {
            best = v;
            best_sounding = sounding;
            best_spelled = spelled;
        }
    }
    return best;
}

enum parallel_kind parallel_of(const struct pitch *from, const struct pitch *to, uint32_t n,
                               struct interval *by, uint32_t *odd)
{
    *by = commonest(from, to, n);
    *odd = n;
    bool one_spelling = true, one_size = true, one_step = by->steps != 0;
    for (uint32_t i = 0; i < n; i++) {
        struct interval v = voice(from, to, i);
        one_spelling = one_spelling && interval_eq(v, *by);
        one_step = one_step && v.steps == by->steps && sign(v.half) == sign(by->half);
        if (v.half != by->half && *odd == n) {
            one_size = false;
            *odd = i;
        }
    }
    if (n == 0 || by->half == 0)
        return PARALLEL_NOT;
    if (one_spelling)
        return PARALLEL_REAL;
    if (one_size)
        return PARALLEL_SOUNDING;
    return one_step ? PARALLEL_TONAL : PARALLEL_NOT;
}
