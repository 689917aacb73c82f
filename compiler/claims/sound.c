#include "claims/sound.h"

#include "base/buf.h"

#include <stdlib.h>

/* ---- taking evidence ----------------------------------------------------------------------------- */

void take_passage(struct claim_context *ctx, const struct passage *p)
{
    if (!ctx->passage)
        ctx->passage = p;
}

static bool same_place(struct span a, struct span b)
{
    return a.file == b.file && a.lo == b.lo && a.hi == b.hi;
}

static void remember(struct claim_context *ctx, struct span where, struct str words)
{
    struct uncertain *u = ctx->uncertain;
    for (uint32_t i = 0; i < u->n; i++)
        if (same_place(u->places[i].where, where))
            return;
    if (u->n < UNCERTAIN_MAX)
        u->places[u->n++] = (struct uncertain_place){where, words};
}

static bool left_out(const struct claim_context *ctx, struct span where)
{
    if (!ctx->without_uncertain)
        return false;
    const struct uncertain *u = ctx->uncertain;
    return !u || !u->one || same_place(u->left_out, where);
}

void stretch_widen(struct stretch *s, struct stretch by)
{
    if (!s->given || ratio_lt(by.onset, s->onset))
        s->onset = by.onset;
    if (!s->given || ratio_lt(s->end, by.end))
        s->end = by.end;
    s->given = true;
}

/* Outputs show where a claim belongs by what it was decided from. */
static void take_time(struct claim_context *ctx, const struct passage *p, struct ratio onset,
                      struct ratio length)
{
    if (p && p == ctx->passage && !ctx->mute)
        stretch_widen(&ctx->claim->read, (struct stretch){.onset = onset, .end = ratio_plus(onset, length)});
}

bool take_note(struct claim_context *ctx, const struct passage *p, const struct note *n)
{
    take_passage(ctx, p);
    take_time(ctx, p, n->onset, n->length);
    if (!n->uncertain)
        return true;
    ctx->touched_uncertain = true;
    if (ctx->uncertain && !ctx->without_uncertain && !ctx->mute) {
        struct str pitch = say_pitch(ctx, n->pitch), place = p ? say_place(ctx, p, n->onset) : STR("");
        remember(ctx, n->where,
                 say_text(ctx, "%.*s%s%.*s", STR_ARG(pitch), p ? " at " : "", STR_ARG(place)));
    }
    return !left_out(ctx, n->where);
}

bool take_harmony(struct claim_context *ctx, const struct passage *p, const struct harmony_event *e)
{
    take_passage(ctx, p);
    take_time(ctx, p, e->onset, e->length);
    if (!e->uncertain)
        return true;
    ctx->touched_uncertain = true;
    if (ctx->uncertain && !ctx->without_uncertain && !ctx->mute) {
        struct str place = say_place(ctx, p, e->onset);
        remember(ctx, e->where,
                 say_text(ctx, "%.*s at %.*s", STR_ARG(e->harmony.text), STR_ARG(place)));
    }
    return !left_out(ctx, e->where);
}

/* ---- what is known ------------------------------------------------------------------------------- */

bool within(struct ratio onset, struct ratio length, struct stretch where)
{
    return ratio_lt(onset, where.end) && ratio_cmp_sum(onset, length, where.onset) > 0;
}

struct str bars_words(struct claim_context *ctx, const struct passage *p, struct stretch where)
{
    const struct bar *first = passage_bar_at(p, where.onset), *last = first;
    if (!first)
        return STR("no bar");
    while (last + 1 < p->bars + p->n_bars && ratio_lt(last[1].onset, where.end))
        last++;
    if (first == last)
        return say_text(ctx, "bar %d", first->number);
    return say_text(ctx, "bars %d to %d", first->number, last->number);
}

void nothing_sounds(struct claim_context *ctx, const struct stream *s, const struct passage *p,
                    struct stretch where)
{
    struct str bars = p ? bars_words(ctx, p, where) : STR("it");
    claim_undecided(ctx, "nothing sounds there: no event of %.*s in %.*s", STR_ARG(s->words), STR_ARG(bars));
}

static bool bars_known(struct claim_context *ctx, const struct passage *p, struct stretch where)
{
    const struct bar *bar = passage_bar_at(p, where.onset);
    if (!bar)
        return true;
    const struct bar *end = p->bars + p->n_bars;
    while (bar < end && bar->transcribed && ratio_lt(bar->onset, where.end))
        bar++;
    if (bar == end || !ratio_lt(bar->onset, where.end))
        return true;
    const struct bar *last = bar;
    while (last + 1 < end && !last[1].transcribed && ratio_lt(last[1].onset, where.end))
        last++;
    if (last == bar)
        claim_undecided(ctx, "bar %d of `%.*s` is not transcribed", bar->number, STR_ARG(p->symbol.name));
    else
        claim_undecided(ctx, "bars %d to %d of `%.*s` are not transcribed", bar->number, last->number,
                        STR_ARG(p->symbol.name));
    return false;
}

static bool part_known(struct claim_context *ctx, const struct part *part, struct stretch where)
{
    for (uint32_t i = 0; i < part->n_extents; i++) {
        const struct extent *e = &part->extents[i];
        if (e->kind != EXTENT_OPEN || !within(e->onset, e->length, where))
            continue;
        struct str place = say_place(ctx, part->passage, e->onset);
        claim_undecided(ctx, "`%.*s` was left open at %.*s", STR_ARG(part->symbol.name), STR_ARG(place));
        return false;
    }
    return true;
}

bool stretch_known(struct claim_context *ctx, const struct passage *p, const struct part *part,
                   struct stretch where)
{
    if (!bars_known(ctx, p, where))
        return false;
    if (part)
        return part_known(ctx, part, where);
    for (uint32_t i = 0; i < p->n_parts; i++)
        if (!part_known(ctx, p->parts[i], where))
            return false;
    return true;
}

/* ---- what sounds --------------------------------------------------------------------------------- */

void part_stacks(const struct part *part, struct stretch where, uint32_t *first, uint32_t *end)
{
    uint32_t lo = 0, hi = part->n_stacks;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(part->stacks[middle].onset, where.onset))
            lo = middle + 1;
        else
            hi = middle;
    }
    /* The stack before may still sound: a part is one row of events. */
    if (lo > 0 && within(part->stacks[lo - 1].onset, part->stacks[lo - 1].length, where))
        lo--;
    *first = lo;
    while (lo < part->n_stacks && ratio_lt(part->stacks[lo].onset, where.end))
        lo++;
    *end = lo;
}

static int compare_ratios(const void *a, const void *b)
{
    return ratio_cmp(*(const struct ratio *)a, *(const struct ratio *)b);
}

struct ratio *passage_changes(struct claim_context *ctx, const struct passage *p, struct stretch where,
                              uint32_t *n)
{
    uint32_t cap = 1;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        uint32_t first, end;
        part_stacks(p->parts[i], where, &first, &end);
        cap += 2 * (end - first);
    }
    struct ratio *at = ARENA_NEW_ARRAY(ctx->arena, struct ratio, cap);
    uint32_t count = 0;
    at[count++] = where.onset;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        uint32_t first, end;
        part_stacks(p->parts[i], where, &first, &end);
        for (uint32_t k = first; k < end; k++) {
            const struct stack *s = &p->parts[i]->stacks[k];
            struct ratio over = ratio_plus(s->onset, s->length);
            if (ratio_lt(where.onset, s->onset))
                at[count++] = s->onset;
            if (ratio_lt(over, where.end))
                at[count++] = over;
        }
    }
    qsort(at, count, sizeof *at, compare_ratios);
    uint32_t kept = 1;
    for (uint32_t i = 1; i < count; i++)
        if (!ratio_eq(at[i], at[kept - 1]))
            at[kept++] = at[i];
    *n = kept;
    return at;
}

/* All that sounds at a position. A stack may hold more notes than its part has voices. */
static struct sounding *all_sounding(struct arena *a, const struct passage *p, struct ratio at, uint32_t *n)
{
    uint32_t max = 8;
    for (uint32_t i = 0; i < p->n_parts; i++)
        max += p->parts[i]->n_voices;
    for (;; max *= 2) {
        struct sounding *s = ARENA_NEW_ARRAY(a, struct sounding, max);
        *n = passage_sounding(p, at, s, max);
        if (*n < max)
            return s;
    }
}

/* Room for n notes with the tones beside them. */
static void moment_room(struct claim_context *ctx, struct moment *m, uint32_t n, bool notes)
{
    m->pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, n);
    m->tones = ARENA_NEW_ARRAY(ctx->arena, struct tone, n);
    if (notes) {
        m->notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, n);
        m->parts = ARENA_NEW_ARRAY(ctx->arena, const struct part *, n);
    }
}

bool moment_sounding(struct claim_context *ctx, const struct passage *p, struct ratio at, struct moment *out)
{
    uint32_t n;
    const struct sounding *s = all_sounding(ctx->arena, p, at, &n);
    struct moment m = {.onset = at, .length = RATIO_ZERO, .source = MOMENT_SOUNDING};
    struct ratio end = at; /* where the first of its notes ends */
    moment_room(ctx, &m, n, true);
    for (uint32_t i = 0; i < n; i++) {
        const struct note *note = s[i].note;
        if (!take_note(ctx, p, note))
            continue;
        m.where = m.n ? span_join(m.where, note->where) : note->where;
        struct ratio over = ratio_plus(note->onset, note->length);
        if (m.n == 0 || ratio_lt(over, end))
            end = over;
        m.pitches[m.n] = note->pitch;
        m.tones[m.n] = note->pitch.tone;
        m.notes[m.n] = note;
        m.parts[m.n++] = s[i].part;
    }
    if (m.n == 0)
        return false;
    m.length = ratio_minus(end, at);
    const struct harmony_event *event = passage_harmony_at(p, at);
    m.symbol = event && event->harmony.kind != HARMONY_NONE ? &event->harmony : NULL;
    *out = m;
    return true;
}

/* ---- what a symbol denotes ----------------------------------------------------------------------- */

static bool is_voiced(const struct harmony *h)
{
    for (uint32_t i = 0; i < h->n_layers; i++)
        if (!h->voicing[i])
            return false;
    return h->n_layers > 0;
}

/* All layers' notes by sound, lowest first; the lower layer first among equals. */
static void moment_voiced(struct claim_context *ctx, const struct harmony *h, struct moment *m)
{
    uint32_t total = 0;
    for (uint32_t i = 0; i < h->n_layers; i++)
        total += h->n_voicing[i];
    m->source = MOMENT_VOICED;
    moment_room(ctx, m, total, false);
    for (uint32_t layer = h->n_layers; layer-- > 0;) {
        for (uint32_t i = 0; i < h->n_voicing[layer]; i++) {
            struct pitch pitch = h->voicing[layer][i];
            uint32_t at = m->n++;
            for (; at > 0 && pitch_midi(m->pitches[at - 1]) > pitch_midi(pitch); at--)
                m->pitches[at] = m->pitches[at - 1];
            m->pitches[at] = pitch;
        }
    }
    for (uint32_t i = 0; i < m->n; i++)
        m->tones[i] = m->pitches[i].tone;
}

static void tone_once(struct moment *m, struct tone t)
{
    for (uint32_t i = 0; i < m->n; i++)
        if (tone_eq(m->tones[i], t))
            return;
    m->tones[m->n++] = t;
}

/* Lowest layer first, each with its bass first; every spelled tone once. */
static void moment_symbol(struct claim_context *ctx, const struct harmony *h, struct moment *m)
{
    m->source = MOMENT_SYMBOL;
    m->tones = ARENA_NEW_ARRAY(ctx->arena, struct tone, (size_t)h->n_layers * (CHORD_TONES_MAX + 1));
    for (uint32_t layer = h->n_layers; layer-- > 0;) {
        tone_once(m, h->layers[layer].bass);
        for (uint32_t i = 0; i < h->layers[layer].n_tones; i++)
            tone_once(m, h->layers[layer].tones[i]);
    }
}

/* Is everything that sounds at a position written? A chord with a part left open would be a wrong one. */
static bool position_known(const struct passage *p, struct ratio at)
{
    const struct bar *bar = passage_bar_at(p, at);
    if (!bar || !bar->transcribed)
        return false;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_extents; k++) {
            const struct extent *e = &part->extents[k];
            if (e->kind == EXTENT_OPEN && ratio_le(e->onset, at) &&
                ratio_cmp_sum(e->onset, e->length, at) > 0)
                return false;
        }
    }
    return true;
}

bool moment_harmony(struct claim_context *ctx, const struct passage *p, const struct harmony *h,
                    struct ratio at, struct moment *out)
{
    struct moment m = {.onset = at, .length = RATIO_ZERO, .symbol = h};
    bool voiced = h && is_voiced(h);
    if (!voiced && p && position_known(p, at) && moment_sounding(ctx, p, at, &m)) {
        m.symbol = h;
        *out = m;
        return true;
    }
    if (!h || h->n_layers == 0)
        return false;
    m = (struct moment){.onset = at, .length = RATIO_ZERO, .symbol = h, .where = h->where};
    if (voiced)
        moment_voiced(ctx, h, &m);
    else
        moment_symbol(ctx, h, &m);
    *out = m;
    return m.n > 0;
}
