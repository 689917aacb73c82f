#include "claims/crossing.h"

#include "base/buf.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

/* Six units of one length that the meter groups in threes. */
struct window {
    struct ratio from, unit;
    const struct bar *first, *last;
};

struct windows {
    struct window *items;
    uint32_t n;
    bool triple; /* some bar's meter has threes */
};

static int units_of(struct meter m)
{
    return meter_beats(m);
}

static bool all_threes(struct meter m)
{
    for (int i = 0; i < m.n_groups; i++)
        if (m.groups[i] != 3 && !(m.n_groups == 1 && m.groups[i] % 3 == 0))
            return false;
    return true;
}

/* Two bars of three beats (3/4, 9/8), or half of what a compound meter groups by two threes (6/8, 12/8). */
static void windows_of_bar(const struct passage *p, uint32_t i, struct windows *out)
{
    const struct bar *bar = &p->bars[i], *next = i + 1 < p->n_bars ? bar + 1 : NULL;
    int units = units_of(bar->meter);
    if (!all_threes(bar->meter) || !ratio_eq(bar->length, meter_length(bar->meter)))
        return;
    out->triple = true;
    if (units % 6 == 0) {
        struct ratio unit = {1, bar->meter.unit}, six = {6, bar->meter.unit}, at = bar->onset;
        if (!ratio_make(6, bar->meter.unit, &six))
            return;
        for (int k = 0; k < units / 6; k++, at = ratio_plus(at, six))
            out->items[out->n++] = (struct window){at, unit, bar, bar};
    } else if (next && meter_eq(bar->meter, next->meter) && (units == 3 || units == 9)) {
        struct ratio unit;
        if (ratio_div(bar->length, ratio_int(3), &unit))
            out->items[out->n++] = (struct window){bar->onset, unit, bar, next};
    }
}

static void windows_read(struct claim_context *ctx, const struct passage *p, struct windows *out)
{
    uint32_t cap = 0;
    for (uint32_t i = 0; i < p->n_bars; i++)
        cap += (uint32_t)units_of(p->bars[i].meter) / 6 + 1;
    *out = (struct windows){.items = ARENA_NEW_ARRAY(ctx->arena, struct window, cap + 1)};
    for (uint32_t i = 0; i < p->n_bars; i++)
        windows_of_bar(p, i, out);
}

static struct ratio unit_at(const struct window *w, int units)
{
    struct ratio by;
    return ratio_mul(w->unit, ratio_int(units), &by) ? ratio_plus(w->from, by) : w->from;
}

static struct stretch window_stretch(const struct window *w)
{
    return (struct stretch){.onset = w->from, .end = unit_at(w, 6)};
}

enum grouping {
    GROUPS_TWOS, /* struck where each two begins, and not where the second three does */
    GROUPS_OPEN, /* struck on all of these: how they group the attacks do not tell */
    GROUPS_OTHERS
};

static enum grouping grouping_of(const struct attacks *a, const struct window *w)
{
    for (int i = 0; i < 6; i += 2)
        if (!attacks_at(a, unit_at(w, i)))
            return GROUPS_OTHERS;
    return attacks_at(a, unit_at(w, 3)) ? GROUPS_OPEN : GROUPS_TWOS;
}

/* ---- words ----------------------------------------------------------------------------------- */

static struct str bars_of(struct claim_context *ctx, const struct window *w)
{
    if (w->first == w->last)
        return say_text(ctx, "bar %d", w->first->number);
    return say_text(ctx, "bar %d to bar %d", w->first->number, w->last->number);
}

/* "bar 7 beat 1, bar 7 beat 3, bar 8 beat 2" */
static struct str twos_words(struct claim_context *ctx, const struct passage *p, const struct window *w)
{
    struct str places[3];
    for (int i = 0; i < 3; i++)
        places[i] = say_place(ctx, p, unit_at(w, 2 * i));
    return tell_list(ctx, places, 3);
}

static void hold(struct claim_context *ctx, const struct attacks *a, const struct window *w)
{
    struct str twos = twos_words(ctx, a->passage, w), three = say_place(ctx, a->passage, unit_at(w, 3));
    for (int i = 0; i < 6; i += 2)
        claim_place(ctx, a->items[attacks_from(a, unit_at(w, i))].where, "a group of two begins");
    claim_holds(
        ctx,
        "%.*s: %.*s attacks at %.*s, and not at %.*s, where the second three begins: three twos for two "
        "threes",
        STR_ARG(bars_of(ctx, w)), STR_ARG(a->name), STR_ARG(twos), STR_ARG(three));
}

/* What keeps the first window from being a hemiola. */
static void fail(struct claim_context *ctx, const struct attacks *a, const struct window *w)
{
    struct str bars = bars_of(ctx, w), twos = twos_words(ctx, a->passage, w);
    struct ratio missing = w->from;
    for (int i = 4; i >= 0; i -= 2)
        if (!attacks_at(a, unit_at(w, i)))
            missing = unit_at(w, i);
    claim_fails(ctx, "%.*s: %.*s begins nothing at %.*s; three twos would begin at %.*s", STR_ARG(bars),
                STR_ARG(a->name), STR_ARG(say_place(ctx, a->passage, missing)), STR_ARG(twos));
}

/* ---- one stream, or any ---------------------------------------------------------------------- */

struct search {
    const struct windows *windows;
    struct stretch where;
    const struct window *twos, *open, *others; /* the first of each in the stretch */
    struct attacks of_twos, of_open, of_others;
    const struct window *elsewhere; /* the first hemiola outside the stretch */
    struct str elsewhere_words;     /* in this stream */
};

static bool inside(const struct window *w, struct stretch where)
{
    struct stretch s = window_stretch(w);
    return ratio_le(where.onset, s.onset) && ratio_le(s.end, where.end);
}

static void search_in(struct search *s, const struct attacks *a, struct str words)
{
    for (uint32_t i = 0; i < s->windows->n; i++) {
        const struct window *w = &s->windows->items[i];
        enum grouping g = grouping_of(a, w);
        bool in = inside(w, s->where);
        if (g == GROUPS_TWOS && !in && !s->elsewhere) {
            s->elsewhere = w;
            s->elsewhere_words = words;
        }
        if (!in)
            continue;
        const struct window **first = g == GROUPS_TWOS ? &s->twos : g == GROUPS_OPEN ? &s->open : &s->others;
        struct attacks *whose = g == GROUPS_TWOS   ? &s->of_twos
                                : g == GROUPS_OPEN ? &s->of_open
                                                   : &s->of_others;
        if (!*first) {
            *first = w;
            *whose = *a;
        }
    }
}

static void decide(struct claim_context *ctx, const struct search *s)
{
    if (s->twos) {
        hold(ctx, &s->of_twos, s->twos);
        return;
    }
    if (s->open) {
        claim_undecided(
            ctx,
            "%.*s: %.*s begins a note on every place where a two or a three would, so the attacks do not "
            "tell how it groups them: ask for the harmony or the bass",
            STR_ARG(bars_of(ctx, s->open)), STR_ARG(s->of_open.name));
        return;
    }
    fail(ctx, &s->of_others, s->others);
    if (s->elsewhere)
        claim_instead(ctx, "there is a hemiola in %.*s, %.*s", STR_ARG(s->elsewhere_words),
                      STR_ARG(bars_of(ctx, s->elsewhere)));
}

/* True after a verdict: the stretch has nothing that could be regrouped. */
static bool nothing_to_group(struct claim_context *ctx, const struct windows *windows, struct stretch where)
{
    for (uint32_t i = 0; i < windows->n; i++)
        if (inside(&windows->items[i], where))
            return false;
    if (windows->triple)
        claim_undecided(
            ctx,
            "a hemiola takes two bars of three beats, or six units of a compound meter, and the bars named "
            "hold fewer: name all it takes");
    else
        claim_fails(ctx, "the meter has no threes that could be struck as twos");
    return true;
}

/* Any part, or the harmony. */
static void check_passage(struct claim_context *ctx, const struct passage *p, struct search *s)
{
    struct gap gap;
    struct stretch all = passage_stretch(p);
    uint32_t n = 0;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        struct attacks a;
        attacks_of_part(ctx, p->parts[i], all, &a);
        n += a.n;
        if (a.n)
            search_in(s, &a, part_words(ctx, p->parts[i]));
    }
    if (p->n_harmony) {
        struct attacks a;
        struct stream harmony = {.kind = STREAM_HARMONY,
                                 .passage = p,
                                 .words = say_text(ctx, "the harmony of %.*s", STR_ARG(p->symbol.name))};
        if (!attacks_read(ctx, &harmony, all, &a))
            return;
        n += a.n;
        search_in(s, &a, harmony.words);
    }
    if (n == 0)
        claim_undecided(ctx, "nothing sounds in `%.*s`", STR_ARG(p->symbol.name));
    else if (!s->twos && passage_gap(p, NULL, s->where, &gap))
        claim_undecided(ctx, "%.*s, and what is written shows none", STR_ARG(gap_words(ctx, &gap)));
    else
        decide(ctx, s);
}

void hemiola_check(struct claim_context *ctx, const struct match *m, const struct stream *s)
{
    const struct passage *p = s ? s->passage : passage_of_sentence(ctx);
    struct stretch where;
    struct windows windows;
    struct attacks a;
    if (s && !p)
        claim_undecided(ctx, "%.*s is written out without a meter, so it has nothing to go against",
                        STR_ARG(s->words));
    if (!p)
        return;
    struct stream whole = {.kind = STREAM_ALL, .passage = p, .words = p->symbol.name};
    if (!match_stretch(ctx, m, s ? s : &whole, &where))
        return;
    take_passage(ctx, p);
    windows_read(ctx, p, &windows);
    if (nothing_to_group(ctx, &windows, where))
        return;
    struct search search = {.windows = &windows, .where = where};
    if (!s || s->kind == STREAM_ALL) {
        check_passage(ctx, p, &search);
        return;
    }
    struct stretch read = s->kind == STREAM_FIGURE ? where : passage_stretch(p);
    if (!stretch_known(ctx, p, s->part, where) || !attacks_read(ctx, s, where, &a))
        return;
    /* The rest of the passage is looked at for a true sentence only. */
    if (!ctx->mute && s->part && passage_known(p, read))
        attacks_of_part(ctx, s->part, read, &a);
    search_in(&search, &a, s->words);
    decide(ctx, &search);
}
