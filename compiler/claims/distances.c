#include "claims/distances.h"

#include "base/buf.h"
#include "claims/places.h"

/* What of each bar lies between two positions, in beats, or in bars of which a pickup is a part. Only those
 * bars are looked at: claims ask this for one pair of notes after the other. */
static bool sum_bars(const struct passage *p, bool beats, struct ratio from, struct ratio to,
                     struct ratio *out)
{
    struct ratio total = RATIO_ZERO;
    const struct bar *bar = passage_bar_at(p, from);
    for (; bar && bar < p->bars + p->n_bars && ratio_lt(bar->onset, to); bar++) {
        struct ratio lo = ratio_lt(bar->onset, from) ? from : bar->onset,
                     end = ratio_plus(bar->onset, bar->length);
        struct ratio part = ratio_minus(ratio_lt(to, end) ? to : end, lo);
        bool fits = beats ? ratio_mul(part, ratio_int(bar->meter.unit), &part)
                          : ratio_div(part, meter_length(bar->meter), &part);
        if (!fits || !ratio_add(total, part, &total))
            return false;
    }
    *out = total;
    return true;
}

bool distance_between(const struct passage *p, enum length_unit unit, struct ratio from, struct ratio to,
                      struct ratio *out)
{
    switch (unit) {
    case LENGTH_BEATS:
        return sum_bars(p, true, from, to, out);
    case LENGTH_BARS:
        return sum_bars(p, false, from, to, out);
    case LENGTH_WHOLES:
        return ratio_sub(to, from, out);
    case LENGTH_SECONDS:
    case LENGTH_FRAMES:
        return false;
    }
    return false;
}

bool distance_after(const struct passage *p, struct ratio from, const struct length_ref *by,
                    struct ratio *out)
{
    struct ratio left = by->amount, d, end;
    if (by->unit == LENGTH_WHOLES)
        return ratio_add(from, left, out) && ratio_le(*out, p->length);
    for (const struct bar *bar = passage_bar_at(p, from); bar && bar < p->bars + p->n_bars; bar++) {
        struct ratio one =
            by->unit == LENGTH_BARS ? meter_length(bar->meter) : (struct ratio){1, bar->meter.unit};
        end = ratio_plus(bar->onset, bar->length);
        if (!distance_between(p, by->unit, from, end, &d))
            return false;
        if (ratio_le(left, d) && d.num > 0)
            return ratio_mul(left, one, out) && ratio_add(from, *out, out);
        if (!ratio_sub(left, d, &left))
            return false;
        from = end;
    }
    return false;
}

struct str distance_words(struct claim_context *ctx, enum length_unit unit, struct ratio d)
{
    if (ctx->mute)
        return STR("");
    if (unit == LENGTH_BEATS)
        return amount_words(ctx, d, "beat", "beats");
    if (unit == LENGTH_BARS)
        return amount_words(ctx, d, "bar", "bars");
    return value_words(ctx, d);
}

bool distance_is_musical(struct claim_context *ctx, const struct length_ref *l, const char *what)
{
    if (l->unit == LENGTH_SECONDS || l->unit == LENGTH_FRAMES)
        claim_undecided(ctx, "%s is counted in beats, bars or note values, not in %.*s", what,
                        STR_ARG(l->words));
    else if (l->amount.num <= 0)
        claim_undecided(ctx, "%.*s is no distance", STR_ARG(l->words));
    else
        return true;
    return false;
}
