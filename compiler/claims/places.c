#include "claims/places.h"

#include "base/buf.h"
#include "claims/sound.h"

#include <inttypes.h>

static bool touches(struct ratio onset, struct ratio length, struct stretch s)
{
    return ratio_lt(onset, s.end) && ratio_cmp_sum(onset, length, s.onset) > 0;
}

static const struct extent *part_open(const struct part *part, struct stretch where)
{
    for (uint32_t i = 0; i < part->n_extents; i++) {
        const struct extent *e = &part->extents[i];
        if (e->kind == EXTENT_OPEN && touches(e->onset, e->length, where))
            return e;
    }
    return NULL;
}

bool passage_gap(const struct passage *p, const struct part *part, struct stretch where, struct gap *out)
{
    *out = (struct gap){NULL, NULL};
    for (uint32_t i = 0; i < p->n_bars && !out->bar; i++) {
        const struct bar *bar = &p->bars[i];
        if (!bar->transcribed && touches(bar->onset, bar->length, where))
            out->bar = bar;
    }
    for (uint32_t i = 0; i < p->n_parts; i++) {
        if (part && p->parts[i] != part)
            continue;
        const struct extent *open = part_open(p->parts[i], where);
        const struct bar *bar = open ? passage_bar_at(p, open->onset) : NULL;
        if (bar && (!out->bar || ratio_lt(bar->onset, out->bar->onset)))
            *out = (struct gap){bar, p->parts[i]};
    }
    return out->bar != NULL;
}

struct str gap_words(struct claim_context *ctx, const struct gap *gap)
{
    int number = gap->bar->number;
    if (!gap->part)
        return say_text(ctx, "bar %d is not transcribed", number);
    return say_text(ctx, "`%.*s` leaves bar %d open", STR_ARG(gap->part->symbol.name), number);
}

struct stretch passage_stretch(const struct passage *p)
{
    return (struct stretch){.onset = RATIO_ZERO, .end = p->length};
}

struct ratio note_end(const struct note *n)
{
    return ratio_plus(n->onset, n->length);
}

bool note_sounds(const struct note *n, struct stretch where)
{
    return touches(n->onset, n->length, where);
}

const struct note *part_note_in(struct claim_context *ctx, const struct part *part, struct stretch where)
{
    for (uint32_t i = 0; i < part->n_notes; i++) {
        const struct note *n = &part->notes[i];
        if (note_sounds(n, where) && take_note(ctx, part->passage, n))
            return n;
    }
    return NULL;
}

enum bar_sum {
    SUM_BEATS,     /* each times `unit` of its meter */
    SUM_BARS,      /* in bars; a pickup is no bar of its own: common practice */
    SUM_BARS_APART /* in bars, a pickup as the part of one that it is */
};

/* Sums what of each bar lies between two positions. */
static bool sum_bars(const struct passage *p, struct ratio from, struct ratio to, enum bar_sum sum,
                     struct ratio *out)
{
    struct ratio total = RATIO_ZERO;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        if (!touches(bar->onset, bar->length, (struct stretch){.onset = from, .end = to}))
            continue;
        struct ratio end = ratio_plus(bar->onset, bar->length);
        struct ratio lo = ratio_lt(bar->onset, from) ? from : bar->onset;
        struct ratio part = ratio_minus(ratio_lt(to, end) ? to : end, lo);
        if (sum == SUM_BARS && bar->number == 0)
            continue;
        struct ratio whole = bar->number == 0 ? meter_length(bar->meter) : bar->length;
        bool fits = sum == SUM_BEATS ? ratio_mul(part, ratio_int(bar->meter.unit), &part)
                                     : ratio_div(part, whole, &part);
        if (!fits || !ratio_add(total, part, &total))
            return false;
    }
    *out = total;
    return true;
}

bool passage_beats(const struct passage *p, struct ratio from, struct ratio to, struct ratio *beats)
{
    return sum_bars(p, from, to, SUM_BEATS, beats);
}

bool passage_bars_between(const struct passage *p, struct ratio from, struct ratio to, struct ratio *bars)
{
    return sum_bars(p, from, to, SUM_BARS, bars);
}

bool passage_bars_apart(const struct passage *p, struct ratio from, struct ratio to, struct ratio *bars)
{
    return sum_bars(p, from, to, SUM_BARS_APART, bars);
}

struct str value_words(struct claim_context *ctx, struct ratio wholes)
{
    static const struct {
        int64_t den;
        const char *one, *many;
    } values[] = {
        {1, "whole note", "whole notes"},          {2, "half note", "half notes"},
        {4, "quarter note", "quarter notes"},      {8, "eighth note", "eighth notes"},
        {16, "sixteenth note", "sixteenth notes"}, {32, "thirty-second note", "thirty-second notes"},
    };
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        if (wholes.den == values[i].den)
            return say_count(ctx, wholes.num, values[i].one, values[i].many);
    char text[RATIO_TEXT_MAX];
    return str_printf(ctx->arena, "%s", ratio_text(wholes, true, text));
}

struct str mixed_words(struct claim_context *ctx, struct ratio r)
{
    char text[RATIO_TEXT_MAX];
    if (r.den == 1 || r.num < r.den)
        return say_text(ctx, "%s", ratio_text(r, false, text));
    int64_t whole = ratio_floor(r);
    return say_text(ctx, "%" PRId64 " %s", whole,
                    ratio_text(ratio_minus(r, ratio_int(whole)), true, text));
}

struct str amount_words(struct claim_context *ctx, struct ratio r, const char *one, const char *many)
{
    if (r.den == 1)
        return say_count(ctx, r.num, one, many);
    struct str n = mixed_words(ctx, r);
    return say_text(ctx, "%.*s %s", STR_ARG(n), ratio_lt(r, RATIO_ONE) ? one : many);
}

struct str stretch_words(struct claim_context *ctx, const struct passage *p, struct stretch where)
{
    const struct bar *first = NULL, *last = NULL;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        if (!touches(p->bars[i].onset, p->bars[i].length, where))
            continue;
        first = first ? first : &p->bars[i];
        last = &p->bars[i];
    }
    if (!first)
        return STR("no bar");
    if (!ratio_eq(first->onset, where.onset) || !ratio_eq(ratio_plus(last->onset, last->length), where.end)) {
        struct str from = say_place(ctx, p, where.onset), to = say_place(ctx, p, where.end);
        return say_text(ctx, "%.*s up to %.*s", STR_ARG(from), STR_ARG(to));
    }
    if (first->number == 0)
        return last == first ? STR("the pickup")
                             : str_printf(ctx->arena, "from the pickup to bar %d", last->number);
    if (first == last)
        return say_text(ctx, "bar %d", first->number);
    return say_text(ctx, "bars %d to %d", first->number, last->number);
}

struct str part_words(struct claim_context *ctx, const struct part *part)
{
    return say_text(ctx, "%.*s of %.*s", STR_ARG(part->symbol.name),
                    STR_ARG(part->passage->symbol.name));
}
