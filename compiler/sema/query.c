#include "base/buf.h"
#include "sema/model.h"

#include <inttypes.h>

/* ---- bars and beats --------------------------------------------------------------------------- */

const struct bar *passage_bar_at(const struct passage *p, struct ratio at)
{
    uint32_t lo = 0, hi = p->n_bars;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(p->bars[middle].onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    if (lo == 0)
        return NULL;
    const struct bar *bar = &p->bars[lo - 1];
    return ratio_lt(ratio_minus(at, bar->onset), bar->length) ? bar : NULL;
}

const struct bar *passage_bar(const struct passage *p, int number)
{
    /* Bars are numbered without a gap, from 0 with a pickup. */
    if (p->n_bars == 0 || number < p->bars[0].number)
        return NULL;
    int64_t index = (int64_t)number - p->bars[0].number;
    return index < p->n_bars ? &p->bars[index] : NULL;
}

struct str place_text(struct arena *a, const struct passage *p, struct ratio at)
{
    const struct bar *bar = passage_bar_at(p, at);
    if (!bar)
        return p->n_bars ? str_printf(a, "the end of bar %d", p->bars[p->n_bars - 1].number) : STR("the end");
    struct ratio beat;
    if (!ratio_mul(ratio_minus(at, bar->onset), ratio_int(bar->meter.unit), &beat))
        return str_printf(a, "bar %d", bar->number);
    int64_t whole = ratio_floor(beat);
    struct ratio rest = ratio_minus(beat, ratio_int(whole));
    if (rest.num == 0)
        return str_printf(a, "bar %d beat %" PRId64, bar->number, whole + 1);
    char text[RATIO_TEXT_MAX];
    return str_printf(a, "bar %d beat %" PRId64 " %s", bar->number, whole + 1, ratio_text(rest, true, text));
}

/* ---- clocks ------------------------------------------------------------------------------------ */

static bool position_seconds(const struct passage *p, struct ratio at, struct ratio *seconds)
{
    return p->n_tempos && tempo_seconds((struct tempo_map){p->tempos, p->n_tempos}, at, seconds);
}

bool passage_clock(const struct passage *p, const struct heard *h, struct ratio at, struct ratio *seconds)
{
    struct ratio whole, part, heard, share;
    if (!position_seconds(p, p->length, &whole) || whole.num == 0 || !position_seconds(p, at, &part))
        return false;
    /* The performance breathes; bars are taken to share its length as the tempo map shares its own. */
    return ratio_sub(h->to, h->from, &heard) && ratio_div(part, whole, &share) &&
           ratio_mul(share, heard, &share) && ratio_add(h->from, share, seconds);
}

bool passage_seconds(const struct passage *p, struct stretch s, struct ratio *seconds)
{
    struct ratio from, to;
    return position_seconds(p, s.onset, &from) && position_seconds(p, s.end, &to) &&
           ratio_sub(to, from, seconds);
}

static int64_t power_of_ten(int n)
{
    int64_t v = 1;
    while (n-- > 0)
        v *= 10;
    return v;
}

struct str clock_text(struct arena *a, struct ratio seconds, bool floor)
{
    enum { DIGITS = 3 };
    int64_t scale = floor ? 1 : power_of_ten(DIGITS);
    bool below = seconds.num < 0;
    struct ratio scaled, size = {below ? -seconds.num : seconds.num, seconds.den};
    if (!ratio_mul(size, ratio_int(scale), &scaled))
        return STR("a time out of range");
    int64_t units = floor ? ratio_floor(scaled) : ratio_round(scaled);
    int64_t whole = units / scale, fraction = units % scale;
    struct buf b = {0};
    if (below && units)
        buf_byte(&b, '-');
    if (whole >= 3600)
        buf_printf(&b, "%" PRId64 ":%02" PRId64 ":", whole / 3600, whole / 60 % 60);
    else
        buf_printf(&b, "%" PRId64 ":", whole / 60);
    buf_printf(&b, "%02" PRId64, whole % 60);
    if (fraction)
        buf_printf(&b, ".%03" PRId64, fraction);
    return buf_take(&b, a);
}

struct str recording_text(struct arena *a, const struct recording *r, struct ratio seconds)
{
    if (!r->has_frames || seconds.num < 0)
        return clock_text(a, seconds, false);
    char text[TIMECODE_TEXT_MAX];
    int64_t frames = seconds_frames(r->rate, seconds);
    return str_printf(a, "%s", timecode_text(timecode_of_frames(r->rate, frames, r->drop), text));
}

/* ---- what is in force, and what sounds ----------------------------------------------------------- */

const struct key_change *passage_key_at(const struct passage *p, struct ratio at)
{
    const struct key_change *found = NULL;
    for (uint32_t i = 0; i < p->n_keys && ratio_le(p->keys[i].at, at); i++)
        found = &p->keys[i];
    return found;
}

const struct harmony_event *passage_harmony_at(const struct passage *p, struct ratio at)
{
    uint32_t lo = 0, hi = p->n_harmony;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(p->harmony[middle].onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    if (lo == 0)
        return NULL;
    const struct harmony_event *event = &p->harmony[lo - 1];
    return ratio_lt(ratio_minus(at, event->onset), event->length) ? event : NULL;
}

/* A part is one row of events, so at most one of its stacks sounds at a time: the last that has begun. */
static const struct stack *stack_at(const struct part *part, struct ratio at)
{
    uint32_t lo = 0, hi = part->n_stacks;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(part->stacks[middle].onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo ? &part->stacks[lo - 1] : NULL;
}

uint32_t part_stack_after(const struct part *part, struct ratio at)
{
    uint32_t lo = 0, hi = part->n_stacks;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_cmp_sum(part->stacks[middle].onset, part->stacks[middle].length, at) <= 0)
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

uint32_t passage_sounding(const struct passage *p, struct ratio at, struct sounding *out, uint32_t max)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        const struct stack *stack = stack_at(part, at);
        for (uint32_t k = 0; stack && k < stack->n; k++) {
            const struct note *note = &part->notes[stack->first + k];
            if (ratio_cmp_sum(note->onset, note->length, at) <= 0)
                continue;
            if (n == max)
                return n;
            /* Insertion keeps part order among equal pitches. */
            uint32_t slot = n++;
            for (; slot > 0 && pitch_midi(out[slot - 1].note->pitch) > pitch_midi(note->pitch); slot--)
                out[slot] = out[slot - 1];
            out[slot] = (struct sounding){note, part};
        }
    }
    return n;
}

static bool overlaps(struct ratio onset, struct ratio length, struct stretch s)
{
    return ratio_lt(onset, s.end) && ratio_cmp_sum(onset, length, s.onset) > 0;
}

bool passage_known(const struct passage *p, struct stretch s)
{
    for (uint32_t i = 0; i < p->n_bars && ratio_lt(p->bars[i].onset, s.end); i++)
        if (!p->bars[i].transcribed && overlaps(p->bars[i].onset, p->bars[i].length, s))
            return false;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_extents; k++)
            if (part->extents[k].kind == EXTENT_OPEN &&
                overlaps(part->extents[k].onset, part->extents[k].length, s))
                return false;
    }
    return true;
}

struct str instrument_title(const struct instrument *i)
{
    return i->n_names ? i->names[0] : i->symbol.name;
}

struct span run_span(const struct run *r, uint32_t lo, uint32_t hi)
{
    if (r->where.hi == r->where.lo) /* not found in the source */
        return r->where;
    if (r->places)
        return (struct span){r->where.file, r->places[lo], r->places[hi]};
    return (struct span){r->where.file, r->where.lo + lo, r->where.lo + hi};
}

bool run_is_address(const struct run *r)
{
    return r->link && r->link->kind == LINK_WEB && str_eq(r->link->target, r->text);
}
