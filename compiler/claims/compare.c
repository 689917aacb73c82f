#include "claims/attacks.h"
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"
#include "claims/tones.h"

#include "base/buf.h"

#include <inttypes.h>
#include <stdlib.h>

#define FEATURE "<alternation|rhythm|set classes|interval sequence|meter|instrument families>"
#define FEATURES FEATURE " [[and] " FEATURE "]"

enum pattern { SHARE, SHARES_WITH, HAVE_SAME, HAS_SAME };

static const char *const patterns[] = {
    [SHARE] = "PASSAGE and PASSAGE share [their|same] " FEATURES,
    [SHARES_WITH] = "PASSAGE shares [its] " FEATURES " with PASSAGE",
    [HAVE_SAME] = "PASSAGE and PASSAGE have same " FEATURES,
    [HAS_SAME] = "PASSAGE has same " FEATURES " as PASSAGE",
    NULL,
};

enum feature { ALTERNATION, RHYTHM, SET_CLASSES, INTERVAL_SEQUENCE, METER, FAMILIES, FEATURE_COUNT };

static const char *const feature_words[] = {
    [ALTERNATION] = "alternation",
    [RHYTHM] = "rhythm",
    [SET_CLASSES] = "set classes",
    [INTERVAL_SEQUENCE] = "interval sequence",
    [METER] = "meter",
    [FAMILIES] = "instrument families",
};

/* One of the two passages, as far as the sentence goes. */
struct side {
    const struct stream *stream;
    const struct passage *passage;
    struct stretch where;
    struct str name; /* "`lamp`" */
};

/* ---- chords ---------------------------------------------------------------------------------- */

/* A chord; repeated, it is one. */
struct chord_event {
    pcset set;
    struct tone root;
    bool has_root;
    struct ratio onset;
    struct str words;
    struct span where;
};

struct chord_events {
    struct chord_event *items;
    uint32_t n;
    bool symbols; /* the harmony row, rather than what sounds */
};

/* Of a polychord the lowest layer's root stands for it. */
static struct chord_event event_of(struct claim_context *ctx, const struct moment *m, bool symbols)
{
    struct chord_event e = {.onset = m->onset, .where = m->where};
    struct tone_bag bag = bag_of_moment(ctx->arena, m);
    struct chord_match reading;
    if (symbols && m->symbol) {
        const struct harmony *h = m->symbol;
        for (uint32_t i = 0; i < h->n_layers; i++)
            e.set |= chord_set(&h->layers[i]);
        e.root = h->layers[h->n_layers - 1].root;
        e.has_root = true;
        e.words = h->text;
        return e;
    }
    e.set = bag_set(&bag);
    e.has_root = chord_reading(ctx, &bag, &reading);
    if (e.has_root)
        e.root = reading.root;
    e.words = say_text(ctx, "(%.*s)", STR_ARG(say_tones(ctx, m->tones, m->n)));
    return e;
}

static bool same_chord(const struct chord_event *a, const struct chord_event *b)
{
    return a->set == b->set && a->has_root == b->has_root &&
           (!a->has_root || tone_pc(a->root) == tone_pc(b->root));
}

/* The harmony row where there is one, else every chord that sounds. False after an undecided verdict. */
static bool chords_read(struct claim_context *ctx, const struct side *s, struct chord_events *out)
{
    struct moments chords;
    *out = (struct chord_events){.symbols = s->passage->n_harmony > 0};
    struct stream harmony = {
        .kind = out->symbols ? STREAM_HARMONY : STREAM_ALL, .passage = s->passage, .words = s->name};
    if (!stream_moments(ctx, &harmony, s->where, 1, &chords))
        return false;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct chord_event, chords.n);
    for (uint32_t i = 0; i < chords.n; i++) {
        struct chord_event e = event_of(ctx, &chords.items[i], out->symbols);
        if (pcset_count(e.set) < 2)
            continue; /* a lone tone is no chord */
        if (out->n == 0 || !same_chord(&out->items[out->n - 1], &e))
            out->items[out->n++] = e;
    }
    if (out->n == 0)
        claim_undecided(ctx, "%.*s has no chord, only single notes", STR_ARG(s->name));
    return out->n > 0;
}

static struct str chords_words(struct claim_context *ctx, const struct chord_events *e, uint32_t n)
{
    enum { SHOWN = 8 };
    struct buf b = {0};
    for (uint32_t i = 0; i < n && i < SHOWN && !ctx->mute; i++)
        buf_printf(&b, "%s%.*s", i ? ", " : "", STR_ARG(e->items[i].words));
    if (n > SHOWN)
        buf_put(&b, " …");
    return buf_take(&b, ctx->arena);
}

/* From one root to the next by sound, the shorter way; a tritone counts up. */
static int root_step(const struct chord_event *a, const struct chord_event *b)
{
    int up = (tone_pc(b->root) - tone_pc(a->root) + 12) % 12;
    return up > 6 ? up - 12 : up;
}

/* ---- alternation ----------------------------------------------------------------------------- */

/* Index of the first chord that is not due; n where two chords take turns all through. */
static uint32_t turn_break(const struct chord_events *e)
{
    uint32_t i = 2;
    while (i < e->n && same_chord(&e->items[i], &e->items[i - 2]))
        i++;
    return i < e->n ? i : e->n;
}

/* False after a verdict: the passage does not alternate. */
static bool alternates(struct claim_context *ctx, const struct side *s, const struct chord_events *e)
{
    enum { LEAST = 4 }; /* X Y X Y */
    uint32_t at = turn_break(e);
    if (at == e->n && e->n >= LEAST)
        return true;
    struct str chords = chords_words(ctx, e, at < e->n ? at + 1 : e->n);
    claim_place(ctx, e->items[at < e->n ? at : e->n - 1].where, "%s",
                at < e->n ? "another chord was due" : "the last chord");
    claim_fails(ctx, "%.*s does not alternate two chords: %.*s%s", STR_ARG(s->name), STR_ARG(chords),
                at < e->n ? "" : " is less than X Y X Y");
    return false;
}

static struct str alternation_words(struct claim_context *ctx, const struct side *s,
                                    const struct chord_events *e)
{
    const struct chord_event *x = &e->items[0], *y = &e->items[1];
    struct str roots = STR("");
    if (x->has_root && y->has_root) {
        int by = root_step(x, y);
        roots =
            say_text(ctx, ", roots %.*s %s", STR_ARG(say_half_steps(ctx, abs(by))), by < 0 ? "down" : "up");
    }
    return say_text(ctx, "%.*s has %.*s and %.*s, %" PRIu32 " in turn%.*s", STR_ARG(s->name),
                    STR_ARG(x->words), STR_ARG(y->words), e->n, STR_ARG(roots));
}

static void check_alternation(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    struct chord_events x, y;
    if (!chords_read(ctx, a, &x) || !chords_read(ctx, b, &y) || !alternates(ctx, a, &x) ||
        !alternates(ctx, b, &y))
        return;
    bool same = same_chord(&x.items[0], &y.items[0]) && same_chord(&x.items[1], &y.items[1]);
    claim_holds(ctx, "both alternate two chords: %.*s; %.*s%s", STR_ARG(alternation_words(ctx, a, &x)),
                STR_ARG(alternation_words(ctx, b, &y)), same ? ": the same two" : "; the chords differ");
}

/* ---- rhythm ---------------------------------------------------------------------------------- */

static bool rhythm_read(struct claim_context *ctx, const struct side *s, struct attacks *out)
{
    struct stream all = {
        .kind = s->passage->n_parts ? STREAM_ALL : STREAM_HARMONY, .passage = s->passage, .words = s->name};
    if (!attacks_read(ctx, &all, s->where, out))
        return false;
    out->name = s->name;
    return true;
}

static struct ratio from_first(const struct attacks *a, uint32_t i)
{
    return ratio_minus(a->items[i].at, a->items[0].at);
}

static void check_rhythm(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    struct attacks x, y;
    char tx[RATIO_TEXT_MAX], ty[RATIO_TEXT_MAX];
    if (!rhythm_read(ctx, a, &x) || !rhythm_read(ctx, b, &y))
        return;
    uint32_t n = x.n < y.n ? x.n : y.n;
    for (uint32_t i = 0; i < n; i++) {
        if (ratio_eq(from_first(&x, i), from_first(&y, i)))
            continue;
        claim_place(ctx, x.items[i].where, "attack %" PRIu32, i + 1);
        claim_place(ctx, y.items[i].where, "attack %" PRIu32, i + 1);
        claim_fails(ctx, "attack %" PRIu32 " comes %s after the first in %.*s, %s in %.*s", i + 1,
                    ratio_text(from_first(&x, i), true, tx), STR_ARG(a->name),
                    ratio_text(from_first(&y, i), true, ty), STR_ARG(b->name));
        return;
    }
    if (x.n != y.n)
        claim_fails(ctx, "%.*s has %.*s, %.*s %" PRIu32 "; as far as the shorter goes they agree",
                    STR_ARG(a->name), STR_ARG(say_count(ctx, x.n, "attack", "attacks")), STR_ARG(b->name),
                    y.n);
    else if (n < 2)
        claim_undecided(ctx, "one attack makes no rhythm to share");
    else
        claim_holds(ctx, "%.*s at the same distances in both; pitches and lengths are not compared",
                    STR_ARG(say_count(ctx, n, "attack", "attacks")));
}

/* ---- set classes ----------------------------------------------------------------------------- */

enum { CLASSES_MAX = 224 };

struct classes {
    pcset items[CLASSES_MAX];
    uint32_t n;
};

static bool class_has(const struct classes *c, pcset prime)
{
    for (uint32_t i = 0; i < c->n; i++)
        if (c->items[i] == prime)
            return true;
    return false;
}

static enum prime_rule rule_of(const struct claim_context *ctx)
{
    return ctx->conventions->choice[CONVENTION_PRIME_FORM] == 0 ? PRIME_RAHN : PRIME_FORTE;
}

static void classes_of(const struct claim_context *ctx, const struct chord_events *e, struct classes *out)
{
    out->n = 0;
    for (uint32_t i = 0; i < e->n; i++) {
        pcset prime = pcset_prime(e->items[i].set, rule_of(ctx));
        if (!class_has(out, prime) && out->n < CLASSES_MAX)
            out->items[out->n++] = prime;
    }
}

/* "[0,3,7]" */
static struct str prime_words(struct claim_context *ctx, pcset prime)
{
    struct buf b = {0};
    for (int pc = 0; pc < 12; pc++)
        if (prime & pcset_of(pc))
            buf_printf(&b, "%s%d", b.n ? "," : "", pc);
    struct str classes = buf_take(&b, ctx->arena);
    return say_text(ctx, "[%.*s]", STR_ARG(classes));
}

static struct str classes_words(struct claim_context *ctx, const struct classes *c)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, c->n);
    for (uint32_t i = 0; i < c->n; i++)
        words[i] = prime_words(ctx, c->items[i]);
    return tell_list(ctx, words, c->n);
}

/* True after a failing verdict: a class of the one that the other lacks. */
static bool class_missing(struct claim_context *ctx, const struct side *a, const struct classes *of_a,
                          const struct chord_events *chords, const struct side *b, const struct classes *of_b)
{
    for (uint32_t i = 0; i < of_a->n; i++) {
        if (class_has(of_b, of_a->items[i]))
            continue;
        uint32_t k = 0;
        while (k + 1 < chords->n && pcset_prime(chords->items[k].set, rule_of(ctx)) != of_a->items[i])
            k++;
        claim_place(ctx, chords->items[k].where, "%.*s", STR_ARG(chords->items[k].words));
        claim_fails(ctx, "%.*s in %.*s is of class %.*s, which %.*s does not have: it has %.*s",
                    STR_ARG(chords->items[k].words), STR_ARG(a->name),
                    STR_ARG(prime_words(ctx, of_a->items[i])), STR_ARG(b->name),
                    STR_ARG(classes_words(ctx, of_b)));
        return true;
    }
    return false;
}

static void check_classes(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    struct chord_events x, y;
    struct classes cx, cy;
    if (!chords_read(ctx, a, &x) || !chords_read(ctx, b, &y))
        return;
    claim_convention(ctx, CONVENTION_PRIME_FORM);
    classes_of(ctx, &x, &cx);
    classes_of(ctx, &y, &cy);
    if (class_missing(ctx, a, &cx, &x, b, &cy) || class_missing(ctx, b, &cy, &y, a, &cx))
        return;
    claim_holds(ctx, "the chords of both are of %s %.*s; %.*s in %.*s, %.*s in %.*s",
                cx.n == 1 ? "the class" : "the classes", STR_ARG(classes_words(ctx, &cx)),
                STR_ARG(chords_words(ctx, &x, x.n)), STR_ARG(a->name), STR_ARG(chords_words(ctx, &y, y.n)),
                STR_ARG(b->name));
}

/* ---- interval sequence ----------------------------------------------------------------------- */

/* Steps in half steps, from root to root, or from note to note of a single line. */
struct steps {
    int *items;
    uint32_t n;
    struct str *to; /* what each leads to */
    bool roots;
};

static bool steps_of_roots(struct claim_context *ctx, const struct side *s, struct steps *out)
{
    struct chord_events e;
    if (!chords_read(ctx, s, &e))
        return false;
    *out = (struct steps){ARENA_NEW_ARRAY(ctx->arena, int, e.n), 0,
                          ARENA_NEW_ARRAY(ctx->arena, struct str, e.n), true};
    for (uint32_t i = 0; i < e.n; i++) {
        if (!e.items[i].has_root) {
            claim_undecided(ctx,
                            "%.*s in %.*s has no root that could be compared: write its symbol in `harmony`",
                            STR_ARG(e.items[i].words), STR_ARG(s->name));
            return false;
        }
        if (i == 0)
            continue;
        out->to[out->n] = e.items[i].words;
        out->items[out->n++] = root_step(&e.items[i - 1], &e.items[i]);
    }
    return true;
}

static bool steps_of_line(struct claim_context *ctx, const struct side *s, struct steps *out)
{
    struct line l;
    if (!stream_line(ctx, s->stream, s->where, 2, &l))
        return false;
    *out = (struct steps){ARENA_NEW_ARRAY(ctx->arena, int, l.n), 0,
                          ARENA_NEW_ARRAY(ctx->arena, struct str, l.n), false};
    for (uint32_t i = 1; i < l.n; i++) {
        out->to[out->n] = say_pitch(ctx, l.notes[i]->pitch);
        out->items[out->n++] = pitch_midi(l.notes[i]->pitch) - pitch_midi(l.notes[i - 1]->pitch);
    }
    return true;
}

/* "up 4, down 3" */
static struct str steps_words(struct claim_context *ctx, const struct steps *s)
{
    enum { SHOWN = 12 };
    struct buf b = {0};
    for (uint32_t i = 0; i < s->n && i < SHOWN && !ctx->mute; i++)
        buf_printf(&b, "%s%s%d", i ? ", " : "", s->items[i] < 0 ? "down " : "up ", abs(s->items[i]));
    if (s->n > SHOWN)
        buf_put(&b, " …");
    return buf_take(&b, ctx->arena);
}

static void check_sequence(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    struct steps x, y;
    bool harmony_a = a->passage->n_harmony > 0, harmony_b = b->passage->n_harmony > 0;
    if (harmony_a != harmony_b) {
        claim_undecided(ctx, "%.*s has a `harmony`, %.*s none: roots are not compared with notes",
                        STR_ARG(harmony_a ? a->name : b->name), STR_ARG(harmony_a ? b->name : a->name));
        return;
    }
    if (harmony_a ? !steps_of_roots(ctx, a, &x) || !steps_of_roots(ctx, b, &y)
                  : !steps_of_line(ctx, a, &x) || !steps_of_line(ctx, b, &y))
        return;
    const char *what = harmony_a ? "roots" : "notes";
    for (uint32_t i = 0; i < x.n && i < y.n; i++) {
        if (x.items[i] == y.items[i])
            continue;
        claim_fails(ctx, "step %" PRIu32 " of the %s: to %.*s in %.*s it is %s %.*s, to %.*s in %.*s %s %.*s",
                    i + 1, what, STR_ARG(x.to[i]), STR_ARG(a->name), x.items[i] < 0 ? "down" : "up",
                    STR_ARG(say_half_steps(ctx, abs(x.items[i]))), STR_ARG(y.to[i]), STR_ARG(b->name),
                    y.items[i] < 0 ? "down" : "up", STR_ARG(say_half_steps(ctx, abs(y.items[i]))));
        return;
    }
    if (x.n != y.n)
        claim_fails(ctx, "%.*s has %.*s, %.*s %" PRIu32 "; as far as the shorter goes they agree",
                    STR_ARG(a->name), STR_ARG(say_count(ctx, x.n, "step", "steps")), STR_ARG(b->name), y.n);
    else if (x.n == 0)
        claim_undecided(ctx, "%.*s has one chord only, which makes no sequence", STR_ARG(a->name));
    else
        claim_holds(ctx, "the %s of both go %.*s half steps, by sound", what, STR_ARG(steps_words(ctx, &x)));
}

/* ---- meter ----------------------------------------------------------------------------------- */

static bool bar_in(const struct side *s, const struct bar *bar)
{
    return within(bar->onset, bar->length, s->where);
}

/* The next bar of the stretch at which the meter is another than in the one before; NULL: none. */
static const struct bar *next_meter(const struct side *s, const struct bar *last)
{
    const struct passage *p = s->passage;
    for (const struct bar *bar = last ? last + 1 : p->bars; bar < p->bars + p->n_bars; bar++)
        if (bar_in(s, bar) && (!last || !meter_eq(bar->meter, last->meter)))
            return bar;
    return NULL;
}

static struct str meters_words(struct claim_context *ctx, const struct side *s)
{
    struct buf b = {0};
    char text[METER_TEXT_MAX];
    for (const struct bar *bar = next_meter(s, NULL); bar; bar = next_meter(s, bar))
        buf_printf(&b, "%s%s", b.n ? ", then " : "", meter_text(bar->meter, text));
    return buf_take(&b, ctx->arena);
}

static uint32_t n_bars(const struct side *s)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->passage->n_bars; i++)
        n += bar_in(s, &s->passage->bars[i]);
    return n;
}

static void check_meter(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    const struct bar *x = next_meter(a, NULL), *y = next_meter(b, NULL);
    if (!x || !y) {
        claim_undecided(ctx, "%.*s has no bar", STR_ARG(x ? b->name : a->name));
        return;
    }
    while (x && y && meter_eq(x->meter, y->meter)) {
        x = next_meter(a, x);
        y = next_meter(b, y);
    }
    struct str of_a = meters_words(ctx, a), of_b = meters_words(ctx, b);
    if (x || y)
        claim_fails(ctx, "%.*s is in %.*s, %.*s in %.*s", STR_ARG(a->name), STR_ARG(of_a), STR_ARG(b->name),
                    STR_ARG(of_b));
    else
        claim_holds(ctx, "both are in %.*s; %.*s in %.*s, %.*s in %.*s", STR_ARG(of_a),
                    STR_ARG(say_count(ctx, n_bars(a), "bar", "bars")), STR_ARG(a->name),
                    STR_ARG(say_count(ctx, n_bars(b), "bar", "bars")), STR_ARG(b->name));
}

/* ---- families -------------------------------------------------------------------------------- */

enum { FAMILIES_MAX = 32 };

struct families {
    struct str items[FAMILIES_MAX];
    const struct part *parts[FAMILIES_MAX]; /* the first of each */
    uint32_t n;
};

static bool family_has(const struct families *f, struct str family)
{
    for (uint32_t i = 0; i < f->n; i++)
        if (str_eq(f->items[i], family))
            return true;
    return false;
}

/* The main family of each instrument of a part that plays in the stretch. False after an undecided verdict.
 */
static bool families_read(struct claim_context *ctx, const struct side *s, struct families *out)
{
    out->n = 0;
    if (!stretch_known(ctx, s->passage, NULL, s->where))
        return false;
    for (uint32_t i = 0; i < s->passage->n_parts; i++) {
        const struct part *part = s->passage->parts[i];
        struct attacks attacks;
        attacks_of_part(ctx, part, s->where, &attacks);
        for (uint32_t k = 0; k < part->n_instruments && attacks.n; k++) {
            const struct instrument *in = part->instruments[k];
            if (in->n_families == 0) {
                claim_undecided(ctx, "the entry of %.*s names no family: add `family` to it",
                                STR_ARG(instrument_title(in)));
                return false;
            }
            if (family_has(out, in->families[0]) || out->n == FAMILIES_MAX)
                continue;
            out->parts[out->n] = part;
            out->items[out->n++] = in->families[0];
        }
    }
    if (out->n == 0)
        claim_undecided(ctx, "no instrument plays in %.*s", STR_ARG(s->name));
    return out->n > 0;
}

static struct str families_words(struct claim_context *ctx, const struct families *f)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, f->n);
    for (uint32_t i = 0; i < f->n; i++) {
        char *p = arena_copy(ctx->arena, f->items[i].p, f->items[i].n);
        for (uint32_t k = 0; k < f->items[i].n; k++)
            p[k] = p[k] == '-' ? ' ' : p[k];
        words[i] = (struct str){p, f->items[i].n};
    }
    return tell_list(ctx, words, f->n);
}

static bool family_missing(struct claim_context *ctx, const struct side *a, const struct families *of_a,
                           const struct side *b, const struct families *of_b)
{
    for (uint32_t i = 0; i < of_a->n; i++) {
        if (family_has(of_b, of_a->items[i]))
            continue;
        claim_place(ctx, of_a->parts[i]->symbol.where, "plays in %.*s", STR_ARG(a->name));
        claim_fails(ctx, "`%.*s` of %.*s is %.*s, and no part of %.*s is: there it is %.*s",
                    STR_ARG(of_a->parts[i]->symbol.name), STR_ARG(a->name), STR_ARG(of_a->items[i]),
                    STR_ARG(b->name), STR_ARG(families_words(ctx, of_b)));
        return true;
    }
    return false;
}

static void check_families(struct claim_context *ctx, const struct side *a, const struct side *b)
{
    struct families x, y;
    if (!families_read(ctx, a, &x) || !families_read(ctx, b, &y) || family_missing(ctx, a, &x, b, &y) ||
        family_missing(ctx, b, &y, a, &x))
        return;
    claim_holds(ctx, "both are played by %.*s", STR_ARG(families_words(ctx, &x)));
}

/* ---- each feature by its own rule ------------------------------------------------------------ */

static void check_feature(struct claim_context *ctx, const struct side *a, const struct side *b,
                          enum feature f)
{
    switch (f) {
    case ALTERNATION:
        check_alternation(ctx, a, b);
        return;
    case RHYTHM:
        check_rhythm(ctx, a, b);
        return;
    case SET_CLASSES:
        check_classes(ctx, a, b);
        return;
    case INTERVAL_SEQUENCE:
        check_sequence(ctx, a, b);
        return;
    case METER:
        check_meter(ctx, a, b);
        return;
    case FAMILIES:
        check_families(ctx, a, b);
        return;
    case FEATURE_COUNT:
        return;
    }
}

/* One feature as a claim of its own; the sentence's verdict is made of these. */
static struct claim ask(struct claim_context *ctx, const struct side *a, const struct side *b, enum feature f)
{
    struct claim one = {.symbol = ctx->claim->symbol, .text = ctx->claim->text, .verdict = VERDICT_UNDECIDED};
    struct claim_context part = *ctx;
    part.claim = &one;
    check_feature(&part, a, b, f);
    ctx->touched_uncertain = ctx->touched_uncertain || part.touched_uncertain;
    return one;
}

static void suggest(struct claim_context *ctx, const struct match *m, const struct side *a,
                    const struct side *b)
{
    if (ctx->mute)
        return;
    for (int f = 0; f < FEATURE_COUNT; f++) {
        /* The rhythm of two passages alone is a sentence of the kind `share`. */
        if (f == RHYTHM || ask(ctx, a, b, (enum feature)f).verdict != VERDICT_HOLDS)
            continue;
        claim_instead(ctx, "%.*s and %.*s share their %s%.*s", STR_ARG(a->stream->words),
                      STR_ARG(b->stream->words), feature_words[f], STR_ARG(tell_span(ctx, m)));
        return;
    }
}

static bool side_read(struct claim_context *ctx, const struct match *m, int index, struct side *out)
{
    const struct stream *s = &m->stream[index];
    *out = (struct side){.stream = s,
                         .passage = s->passage,
                         .name = say_text(ctx, "`%.*s`", STR_ARG(s->passage->symbol.name))};
    return match_stretch(ctx, m, s, &out->where);
}

/* The convention, the places and the music that was read belong to the sentence. */
static void take_over(struct claim_context *ctx, const struct claim *one)
{
    struct claim *claim = ctx->claim;
    struct claim_place **end = &claim->places;
    while (*end)
        end = &(*end)->next;
    *end = one->places;
    if (one->convention.n)
        claim_convention(ctx, CONVENTION_PRIME_FORM);
    if (one->read.given)
        stretch_widen(&claim->read, one->read);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct side a, b;
    struct buf words = {0};
    struct claim worst = {.verdict = VERDICT_HOLDS};
    (void)pattern;
    if (m->stream[0].passage == m->stream[1].passage) {
        claim_undecided(ctx, "%.*s is compared with itself: name two passages", STR_ARG(m->stream[0].words));
        return;
    }
    if (!side_read(ctx, m, 0, &a) || !side_read(ctx, m, 1, &b))
        return;
    take_passage(ctx, a.passage);
    for (int i = 0; i < 2; i++) {
        if (m->choice[i] < 0)
            continue;
        struct claim one = ask(ctx, &a, &b, (enum feature)m->choice[i]);
        take_over(ctx, &one);
        buf_printf(&words, "%s%s: %.*s", words.n ? "; " : "", feature_words[m->choice[i]],
                   STR_ARG(one.evidence));
        bool worse = one.verdict == VERDICT_FAILS ||
                     (one.verdict == VERDICT_UNDECIDED && worst.verdict == VERDICT_HOLDS);
        if (worse && worst.verdict != VERDICT_FAILS)
            worst = one;
    }
    struct str all = buf_take(&words, ctx->arena);
    switch (worst.verdict) {
    case VERDICT_HOLDS:
        claim_holds(ctx, "%.*s", STR_ARG(all));
        return;
    case VERDICT_FAILS:
        claim_fails(ctx, "%.*s", STR_ARG(all));
        suggest(ctx, m, &a, &b);
        return;
    case VERDICT_UNDECIDED:
        claim_undecided(ctx, "%.*s", STR_ARG(all));
        return;
    }
}

const struct claim_kind claim_kind_compare = {
    .name = "compare",
    .patterns = patterns,
    .meaning =
        "two passages have a feature in common, each feature by a rule of its own; what differs is told",
    .page = claim_page_compare,
    .check = check,
    .fails = DIAG_FAILS_compare,
};
