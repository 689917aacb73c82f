#include "back/segments.h"

#include <stdlib.h>

struct stretch passage_whole(const struct passage *p)
{
    return (struct stretch){.onset = RATIO_ZERO, .end = p->length};
}

struct stretch item_stretch(const struct item *item, uint32_t index)
{
    if (item->stretch.given && item->n_passages == 1)
        return item->stretch;
    return passage_whole(item->passages[index]);
}

bool part_sounds(const struct part *part, struct stretch s)
{
    uint32_t lo = 0, hi = part->n_stacks;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(part->stacks[middle].onset, s.end))
            lo = middle + 1;
        else
            hi = middle;
    }
    if (lo == 0)
        return false;
    /* One stack of a part sounds at a time: if the last that begins before the end is over, so are those
     * before it. */
    const struct stack *last = &part->stacks[lo - 1];
    return last->n > 0 && ratio_lt(s.onset, ratio_plus(last->onset, last->length));
}

uint32_t harmony_in(const struct passage *p, struct stretch s, uint32_t *first)
{
    uint32_t begin = 0;
    while (begin < p->n_harmony &&
           ratio_le(ratio_plus(p->harmony[begin].onset, p->harmony[begin].length), s.onset))
        begin++;
    uint32_t end = begin;
    while (end < p->n_harmony && ratio_lt(p->harmony[end].onset, s.end))
        end++;
    *first = begin;
    return end - begin;
}

bool claim_touches(const struct claim *c, const struct passage *p, struct stretch s)
{
    if (c->passage != p)
        return false;
    return !c->read.given || (ratio_lt(c->read.onset, s.end) && ratio_lt(s.onset, c->read.end));
}

/* ---- speech ----------------------------------------------------------------------------------- */

static int by_from(const void *a, const void *b)
{
    const struct speech *x = a, *y = b;
    int c = ratio_cmp(x->from, y->from);
    return c ? c : ratio_cmp(x->to, y->to);
}

struct speech_list speech_make(const struct model *m, struct arena *a)
{
    struct speech *all = ARENA_NEW_ARRAY(a, struct speech, m->n_items);
    uint32_t n = 0, kept = 0;
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct item *item = m->items[i];
        if (item->kind == ITEM_SAY && item->prose.n_words)
            all[n++] = (struct speech){item->start, ratio_plus(item->start, item->length)};
    }
    if (n)
        qsort(all, n, sizeof *all, by_from);
    for (uint32_t i = 0; i < n; i++) {
        if (kept == 0 || ratio_lt(all[kept - 1].to, all[i].from))
            all[kept++] = all[i];
        else if (ratio_lt(all[kept - 1].to, all[i].to))
            all[kept - 1].to = all[i].to;
    }
    return (struct speech_list){all, kept};
}

bool speech_pause(const struct speech_list *list, const struct item *item, struct ratio least,
                  struct speech *out)
{
    struct ratio from = item->start, end = ratio_plus(item->start, item->length);
    uint32_t lo = 0, hi = list->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(list->items[middle].to, from))
            lo = middle + 1;
        else
            hi = middle;
    }
    for (uint32_t i = lo;; i++) {
        const struct speech *next = i < list->n ? &list->items[i] : NULL;
        struct ratio to = next && ratio_lt(next->from, end) ? next->from : end;
        if (ratio_lt(from, to) && ratio_le(least, ratio_minus(to, from))) {
            *out = (struct speech){from, to};
            return true;
        }
        if (!next || ratio_le(end, next->to))
            return false;
        from = next->to;
    }
}
