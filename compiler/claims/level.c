#include "claims/level.h"

#include <stdlib.h>

/* Sorted by sound, then by spelling, then as played. */
struct step {
    struct interval by;
    uint32_t note;
};

static int step_cmp(const void *a, const void *b)
{
    const struct step *x = a, *y = b;
    if (x->by.half != y->by.half)
        return x->by.half < y->by.half ? -1 : 1;
    if (x->by.steps != y->by.steps)
        return x->by.steps < y->by.steps ? -1 : 1;
    return (x->note > y->note) - (x->note < y->note);
}

static struct step *steps_sorted(struct arena *a, const struct pitch *from, const struct pitch *to,
                                 uint32_t n)
{
    struct step *steps = ARENA_NEW_ARRAY(a, struct step, n);
    for (uint32_t i = 0; i < n; i++)
        steps[i] = (struct step){interval_between(from[i], to[i]), i};
    qsort(steps, n, sizeof *steps, step_cmp);
    return steps;
}

/* The first step behind `at` that is of another level. */
static uint32_t level_end(const struct step *steps, uint32_t n, uint32_t at, bool by_sound)
{
    uint32_t end = at;
    while (end < n &&
           (by_sound ? steps[end].by.half == steps[at].by.half : interval_eq(steps[end].by, steps[at].by)))
        end++;
    return end;
}

/* The spelling that most of steps[lo .. hi) have, in *out; the earliest note's on a tie. Returns how many
 * have it. */
static uint32_t commonest_spelling(const struct step *steps, uint32_t lo, uint32_t hi, struct step *out)
{
    uint32_t most = 0;
    for (uint32_t i = lo, end; i < hi; i = end) {
        end = level_end(steps, hi, i, false);
        if (end - i > most || (end - i == most && steps[i].note < out->note)) {
            most = end - i;
            *out = steps[i];
        }
    }
    return most;
}

struct interval level_commonest(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n,
                                bool by_sound)
{
    const struct step *steps = steps_sorted(a, from, to, n);
    struct step best = steps[0];
    uint32_t best_n = 0, best_spelled = 0;
    for (uint32_t i = 0, end; i < n; i = end) {
        end = level_end(steps, n, i, by_sound);
        struct step level = steps[i];
        uint32_t size = end - i, spelled = commonest_spelling(steps, i, end, &level);
        bool more = size > best_n || (size == best_n && spelled > best_spelled);
        if (more || (size == best_n && spelled == best_spelled && level.note < best.note)) {
            best = level;
            best_n = size;
            best_spelled = spelled;
        }
    }
    return best.by;
}

void level_spell(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n,
                 struct interval *level)
{
    const struct step *steps = steps_sorted(a, from, to, n);
    uint32_t lo = 0;
    while (lo < n && steps[lo].by.half < level->half)
        lo++;
    if (lo == n || steps[lo].by.half != level->half)
        return;
    struct step spelled = steps[lo];
    commonest_spelling(steps, lo, level_end(steps, n, lo, true), &spelled);
    *level = spelled.by;
}

int level_steps(struct arena *a, const struct pitch *from, const struct pitch *to, uint32_t n)
{
    struct step *steps = ARENA_NEW_ARRAY(a, struct step, n), best = {{0, 0}, 0};
    for (uint32_t i = 0; i < n; i++) /* their sound does not count */
        steps[i] = (struct step){{interval_between(from[i], to[i]).steps, 0}, i};
    qsort(steps, n, sizeof *steps, step_cmp);
    commonest_spelling(steps, 0, n, &best);
    return best.by.steps;
}
