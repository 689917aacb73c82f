#include "claims/clocks.h"

#include "base/buf.h"

#include <inttypes.h>

struct frame_rate clock_rate(const struct claim_context *ctx, const struct recording *r)
{
    return r && r->has_frames ? r->rate : ctx->model->rate;
}

bool clock_tolerance_is_frame(const struct claim_context *ctx)
{
    return ctx->conventions->amount[CONVENTION_TIME_TOLERANCE].num == 0;
}

struct ratio clock_tolerance(const struct claim_context *ctx, const struct recording *r)
{
    if (clock_tolerance_is_frame(ctx))
        return frames_seconds(clock_rate(ctx, r), 1);
    return ctx->conventions->amount[CONVENTION_TIME_TOLERANCE];
}

bool clock_length(const struct claim_context *ctx, const struct length_ref *l, const struct recording *r,
                  struct ratio *seconds)
{
    switch (l->unit) {
    case LENGTH_SECONDS:
        *seconds = l->amount;
        return true;
    case LENGTH_FRAMES:
        return ratio_div(l->amount, clock_rate(ctx, r).fps, seconds);
    case LENGTH_BARS:
    case LENGTH_BEATS:
    case LENGTH_WHOLES:
        return false;
    }
    return false;
}

bool clock_at(const struct passage *p, const struct heard *h, struct ratio at, struct ratio *seconds)
{
    if (at.num == 0) {
        *seconds = h->from;
        return true;
    }
    if (p->n_bars && ratio_eq(at, p->length)) {
        *seconds = h->to;
        return true;
    }
    return passage_clock(p, h, at, seconds);
}

struct str decimal_words(struct claim_context *ctx, struct ratio v, int decimals, bool *exact)
{
    int64_t scale = 1;
    struct ratio scaled, size = {v.num < 0 ? -v.num : v.num, v.den};
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    *exact = false;
    if (!ratio_mul(size, ratio_int(scale), &scaled))
        return STR("a number out of range");
    *exact = scaled.den == 1;
    int64_t units = ratio_round(scaled), rest = units % scale;
    while (decimals > 0 && rest % 10 == 0) {
        rest /= 10;
        decimals--;
    }
    const char *sign = v.num < 0 && units ? "-" : "";
    if (decimals == 0)
        return str_printf(ctx->arena, "%s%" PRId64, sign, units / scale);
    return str_printf(ctx->arena, "%s%" PRId64 ".%0*" PRId64, sign, units / scale, decimals, rest);
}

struct str clock_seconds_words(struct claim_context *ctx, struct ratio seconds)
{
    enum { DECIMALS = 3 };
    if (ctx->mute)
        return STR("");
    if (!ratio_lt(seconds, ratio_int(60)))
        return clock_text(ctx->arena, seconds, false);
    bool exact;
    struct str number = decimal_words(ctx, seconds, DECIMALS, &exact);
    return str_printf(ctx->arena, "%s%.*s s", exact ? "" : "about ", STR_ARG(number));
}

struct str clock_tolerance_words(struct claim_context *ctx, bool is_frame, struct ratio tolerance)
{
    return is_frame ? STR("one frame") : clock_seconds_words(ctx, tolerance);
}
