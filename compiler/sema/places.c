/* Places: bars and beats of a passage as positions. */
#include "sema/sema.h"

static void no_such_bar(struct sema *s, const struct passage *p, const struct node *n)
{
    if (is_spoiled(s, p->symbol.name))
        return;
    if (!p->n_bars)
        diag_add(s->diags, DIAG_BAR_UNKNOWN, n->where, "`%.*s` has no bars yet", STR_ARG(p->symbol.name));
    else if (p->n_bars == 1)
        diag_add(s->diags, DIAG_BAR_UNKNOWN, n->where,
                 "bar %.*s does not exist in `%.*s`, whose only bar is bar %d", STR_ARG(n->text),
                 STR_ARG(p->symbol.name), p->bars[0].number);
    else
        diag_add(s->diags, DIAG_BAR_UNKNOWN, n->where,
                 "bar %.*s does not exist in `%.*s`, which has bars %d to %d", STR_ARG(n->text),
                 STR_ARG(p->symbol.name), p->bars[0].number, p->bars[p->n_bars - 1].number);
}

/* Onset and end of a PLACE: a whole bar, or the beat from where it begins to the next. */
static bool place_read(struct sema *s, const struct passage *p, const struct node *place, struct ratio *onset,
                       struct ratio *end)
{
    const struct node *number = place->first, *beat = number->next;
    int64_t bar_number;
    if (!value_int(s, number, 0, INT32_MAX, &bar_number))
        return false;
    const struct bar *bar = passage_bar(p, (int)bar_number);
    if (!bar) {
        no_such_bar(s, p, number);
        return false;
    }
    *onset = bar->onset;
    *end = ratio_plus(bar->onset, bar->length);
    if (!beat)
        return true;
    struct ratio at, unit = {1, bar->meter.unit}, from, to;
    if (!value_ratio(s, beat, &at))
        return false;
    if (!ratio_mul(ratio_minus(at, RATIO_ONE), unit, &from) || from.num < 0 || ratio_le(bar->length, from)) {
        char meter[METER_TEXT_MAX];
        diag_add(s->diags, DIAG_BAR_UNKNOWN, beat->where, "bar %d has no beat %.*s: its meter is %s",
                 bar->number, STR_ARG(beat->text), meter_text(bar->meter, meter));
        return false;
    }
    ratio_mul(ratio_int(ratio_floor(at)), unit, &to);
    *onset = ratio_plus(bar->onset, from);
    *end = ratio_plus(bar->onset, to);
    return true;
}

bool stretch_read(struct sema *s, const struct passage *p, const struct node *places, struct stretch *out)
{
    struct ratio onset, end, last_onset;
    if (!place_read(s, p, places->first, &onset, &end))
        return false;
    if (places->last != places->first && !place_read(s, p, places->last, &last_onset, &end))
        return false;
    if (ratio_le(end, onset)) {
        diag_add(s->diags, DIAG_BAR_UNKNOWN, places->where, "this stretch ends before it begins");
        return false;
    }
    *out = (struct stretch){onset, end, true, places->where};
    return true;
}
