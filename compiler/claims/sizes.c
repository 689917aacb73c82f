#include "claims/sizes.h"

#include "base/buf.h"

#include <stdlib.h>

static bool is_octaves(struct interval v)
{
    return v.steps % 7 == 0 && v.half == v.steps / 7 * 12;
}

static bool fits_direction(int direction, struct interval v)
{
    return direction == 0 || (direction > 0 ? v.half > 0 : v.half < 0);
}

bool size_fits(const struct claim_context *ctx, const struct size *want, struct interval v, bool *hangs)
{
    bool strict = false, reduced = false, same_sound;
    *hangs = false;
    switch (want->kind) {
    case SIZE_ANY:
        return fits_direction(want->direction, v);
    case SIZE_OCTAVES:
        return is_octaves(v) && fits_direction(want->direction, v);
    case SIZE_NAMED:
        strict = interval_ref_fits(want->named, want->direction, v, &same_sound);
        reduced = interval_ref_fits(want->named, want->direction, interval_simple(v), &same_sound);
        break;
    case SIZE_STEPS:
        strict = fits_direction(want->direction, v) && abs(v.steps) == want->steps;
        reduced = fits_direction(want->direction, v) && abs(interval_simple(v).steps) == want->steps;
        break;
    }
    *hangs = reduced && !strict;
    return strict || (ctx->conventions->choice[CONVENTION_COMPOUND] && reduced);
}

bool size_same(const struct size *want, struct interval a, struct interval b)
{
    if (want->kind == SIZE_STEPS)
        return a.steps == b.steps;
    if (want->kind == SIZE_NAMED && want->named->by_sound)
        return a.half == b.half;
    return interval_eq(a, b);
}

struct str size_level(struct claim_context *ctx, struct interval v)
{
    char text[INTERVAL_TEXT_MAX];
    if (v.steps == 0 && v.half == 0)
        return STR("at the unison");
    if (ctx->mute)
        return STR("");
    return str_printf(ctx->arena, "%s %s", interval_phrase(v.half < 0 ? interval_negate(v) : v, true, text),
                      v.half < 0 ? "below" : "above");
}

const char *size_number(int steps)
{
    static const char *const names[] = {NULL,      "second", "third", "fourth", "fifth",    "sixth",
                                        "seventh", NULL,     "ninth", "tenth",  "eleventh", "twelfth"};
    enum { NAMES = sizeof names / sizeof names[0] };
    return abs(steps) < NAMES ? names[abs(steps)] : NULL;
}
