#include "claims/tell.h"

#include "base/buf.h"

#include <inttypes.h>
#include <stdlib.h>

struct str tell_list(struct claim_context *ctx, const struct str *items, uint32_t n)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < n; i++) {
        if (i)
            buf_put(&b, i + 1 == n ? " and " : ", ");
        buf_str_put(&b, items[i]);
    }
    return buf_take(&b, ctx->arena);
}

struct str tell_move(struct claim_context *ctx, struct interval by, bool many)
{
    if (by.half == 0 && by.steps == 0)
        return many ? STR("stay") : STR("stays");
    if (by.half == 0)
        return many ? STR("are respelled") : STR("is respelled");
    const char *verb = by.half < 0 ? "fall" : "rise";
    return str_printf(ctx->arena, "%s%s %.*s", verb, many ? "" : "s", STR_ARG(say_interval(ctx, by)));
}

struct str tell_pitches(struct claim_context *ctx, struct pitch from, struct pitch to)
{
    return str_printf(ctx->arena, "%.*s to %.*s", STR_ARG(say_pitch(ctx, from)), STR_ARG(say_pitch(ctx, to)));
}

const char *tell_direction(struct interval by)
{
    return by.half < 0 ? "down" : by.half > 0 ? "up" : "";
}

struct str tell_steps(struct claim_context *ctx, int steps)
{
    static const char *const names[] = {
        "no step", "a step", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave",
    };
    enum { NAMES = sizeof names / sizeof names[0] };
    int n = abs(steps);
    return n < NAMES ? str_of(names[n]) : str_printf(ctx->arena, "%d steps", n);
}

static struct str place_words(struct claim_context *ctx, struct place_ref place)
{
    if (!place.has_beat)
        return str_printf(ctx->arena, "bar %d", place.bar);
    int64_t whole = ratio_floor(place.beat);
    struct ratio rest = ratio_minus(place.beat, ratio_int(whole));
    if (rest.num == 0)
        return str_printf(ctx->arena, "bar %d beat %" PRId64, place.bar, whole);
    char text[RATIO_TEXT_MAX];
    return str_printf(ctx->arena, "bar %d beat %" PRId64 " %s", place.bar, whole, ratio_text(rest, true, text));
}

struct str tell_span(struct claim_context *ctx, const struct match *m)
{
    if (!m->span.given)
        return STR("");
    struct str from = place_words(ctx, m->span.from), to = place_words(ctx, m->span.to);
    if (str_eq(from, to))
        return str_printf(ctx->arena, ", %.*s", STR_ARG(from));
    return str_printf(ctx->arena, ", %.*s to %.*s", STR_ARG(from), STR_ARG(to));
}

struct str tell_between(struct claim_context *ctx, const struct passage *p, struct ratio from, struct ratio to)
{
    if (!p)
        return STR("within the figure");
    return str_printf(ctx->arena, "between %.*s and %.*s", STR_ARG(say_place(ctx, p, from)),
                      STR_ARG(say_place(ctx, p, to)));
}

struct str tell_times(struct claim_context *ctx, int64_t n)
{
    if (n == 1)
        return STR("once");
    if (n == 2)
        return STR("twice");
    return say_count(ctx, n, "time", "times");
}

struct str tell_all(struct claim_context *ctx, uint32_t n, const char *one, const char *many)
{
    if (n == 1)
        return str_printf(ctx->arena, "the only %s", one);
    if (n == 2)
        return str_printf(ctx->arena, "both %s", many);
    return str_printf(ctx->arena, "all %.*s", STR_ARG(say_count(ctx, n, one, many)));
}

struct str tell_same_sound(struct claim_context *ctx, struct interval spelled)
{
    return str_printf(ctx->arena, "sounds the same; spelled it is %.*s", STR_ARG(say_interval(ctx, spelled)));
}
