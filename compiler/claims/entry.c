#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

enum pattern { AT_PLACE, AT_LENGTH, AT_LENGTH_BEFORE, ORDER, ORDER_NOUN, RELATIVE, TOGETHER, BOTH_TOGETHER };

static const char *const patterns[] = {
    [AT_PLACE] = "PART enters at|in|on PLACE",
    [AT_LENGTH] = "PART enters LENGTH after PART",
    [AT_LENGTH_BEFORE] = "PART enters LENGTH before PART",
    [ORDER] = "PART enters <first|last>",
    [ORDER_NOUN] = "PART is <first|last> [part] to enter",
    [RELATIVE] = "PART enters <before|after> PART",
    [TOGETHER] = "PART enters <together with|with|at same time as> PART",
    [BOTH_TOGETHER] = "PART and PART enter <together|at same time>",
    NULL,
};

/* ---- one part's first note ----------------------------------------------------------------------------- */

enum entrance_kind {
    ENTRANCE_NONE, /* the part does not begin in the stretch */
    ENTRANCE_NOTE,
    ENTRANCE_RUNNING /* it sounds already when the stretch begins */
};

struct entrance {
    enum entrance_kind kind;
    const struct part *part;
    const struct note *note;
    struct gap gap; /* something unknown before it, or in the whole stretch where it never enters */
    bool unsure;    /* there is such a gap */
};

static struct entrance entrance_find(struct claim_context *ctx, const struct part *part, struct stretch where)
{
    struct entrance e = {.part = part};
    struct stretch before = where;
    e.note = part_note_in(ctx, part, where);
    if (e.note) {
        e.kind = ratio_lt(e.note->onset, where.onset) ? ENTRANCE_RUNNING : ENTRANCE_NOTE;
        before.end = e.note->onset;
    }
    e.unsure = e.kind != ENTRANCE_RUNNING && ratio_lt(before.onset, before.end) &&
               passage_gap(part->passage, part, before, &e.gap);
    return e;
}

static struct str entrance_at(struct claim_context *ctx, const struct entrance *e)
{
    return say_place(ctx, e->part->passage, e->note->onset);
}

/* "the reed of lamp enters", "strings of lamp enter": the beginning of a true sentence. */
static struct str enters_words(struct claim_context *ctx, const struct match *m)
{
    struct str verb = tell_verb(ctx, &m->stream[0], "enter");
    return str_printf(ctx->arena, "%.*s %.*s", STR_ARG(m->stream[0].words), STR_ARG(verb));
}

/* "`reed` enters at bar 3 beat 1 with E4" */
static struct str entrance_words(struct claim_context *ctx, const struct entrance *e)
{
    struct str name = e->part->symbol.name;
    if (e->kind == ENTRANCE_NONE)
        return say_text(ctx, "`%.*s` does not enter", STR_ARG(name));
    struct str pitch = say_pitch(ctx, e->note->pitch);
    struct str at = entrance_at(ctx, e);
    return say_text(ctx, "`%.*s` enters at %.*s with %.*s", STR_ARG(name), STR_ARG(at),
                    STR_ARG(pitch));
}

/* True after a verdict: the part has no beginning in the stretch, so nothing can be said of when it enters.
 */
static bool entrance_missing(struct claim_context *ctx, const struct entrance *e)
{
    struct str name = e->part->symbol.name;
    if (e->kind == ENTRANCE_NOTE)
        return false;
    if (e->kind == ENTRANCE_RUNNING) {
        struct str pitch = say_pitch(ctx, e->note->pitch);
        claim_place(ctx, e->note->where, "sounds already");
        claim_fails(ctx, "`%.*s` does not enter there: it holds %.*s from %.*s", STR_ARG(name),
                    STR_ARG(pitch), STR_ARG(entrance_at(ctx, e)));
    } else if (e->unsure) {
        claim_undecided(ctx, "no note of `%.*s` is written there, and %.*s", STR_ARG(name),
                        STR_ARG(gap_words(ctx, &e->gap)));
    } else {
        claim_undecided(ctx, "`%.*s` has no note there, so it does not enter", STR_ARG(name));
    }
    return true;
}

static void undecided_gap(struct claim_context *ctx, const struct entrance *e)
{
    claim_undecided(ctx, "%.*s, but %.*s, so it may enter earlier", STR_ARG(entrance_words(ctx, e)),
                    STR_ARG(gap_words(ctx, &e->gap)));
}

/* The stretch to look at: the sentence's SPAN, or the whole passage. */
static bool entry_stretch(struct claim_context *ctx, const struct match *m, struct stretch *out)
{
    const struct stream *s = &m->stream[0];
    if (!s->part) {
        claim_undecided(ctx, "%.*s is not a part: only a part enters", STR_ARG(s->words));
        return false;
    }
    if (!match_stretch(ctx, m, s, out))
        return false;
    take_passage(ctx, s->passage);
    return true;
}

/* ---- at a place ------------------------------------------------------------------------------------------
 */

/* A bar without a beat is the whole bar; a beat is that moment. */
static bool place_holds(const struct passage *p, struct place_ref place, struct ratio at, struct ratio onset)
{
    const struct bar *bar = passage_bar_at(p, onset);
    return place.has_beat ? ratio_eq(at, onset) : bar && bar->number == place.bar;
}

/* With a gap before the first written note the true entrance may come earlier. Still the place is refuted
 * where a written note stands before it, or where the part is known to rest in that bar. */
static bool place_refuted(const struct passage *p, const struct entrance *e, struct ratio at, bool right)
{
    const struct bar *bar = passage_bar_at(p, at);
    struct gap gap;
    if (right || !bar)
        return false;
    return ratio_lt(e->note->onset, at) ||
           !passage_gap(p, e->part, (struct stretch){.onset = at, .end = ratio_plus(bar->onset, bar->length)},
                        &gap);
}

static void check_place(struct claim_context *ctx, const struct match *m)
{
    struct stretch where;
    struct ratio at;
    if (!entry_stretch(ctx, m, &where) || !place_position(ctx, m->stream[0].passage, m->place[0], &at))
        return;
    struct entrance e = entrance_find(ctx, m->stream[0].part, where);
    if (entrance_missing(ctx, &e))
        return;
    const struct passage *p = e.part->passage;
    bool right = place_holds(p, m->place[0], at, e.note->onset);
    if (e.unsure && !place_refuted(p, &e, at, right)) {
        undecided_gap(ctx, &e);
        return;
    }
    claim_place(ctx, e.note->where, "the first note of `%.*s`", STR_ARG(e.part->symbol.name));
    struct str words = entrance_words(ctx, &e);
    if (right) {
        claim_holds(ctx, "%.*s, its first note%s", STR_ARG(words), where.given ? " there" : "");
    } else if (e.unsure) {
        claim_fails(ctx, "%.*s, or earlier: %.*s", STR_ARG(words), STR_ARG(gap_words(ctx, &e.gap)));
    } else {
        claim_fails(ctx, "%.*s, %s", STR_ARG(words),
                    ratio_lt(at, e.note->onset) ? "and rests before it" : "its first note");
        claim_instead(ctx, "%.*s at %.*s%.*s", STR_ARG(enters_words(ctx, m)), STR_ARG(entrance_at(ctx, &e)),
                      STR_ARG(tell_span(ctx, m)));
    }
}

/* ---- after another part
 * -------------------------------------------------------------------------------------- */

/* Both parts' entrances; false after a verdict. */
static bool entrances_two(struct claim_context *ctx, const struct match *m, struct entrance *a,
                          struct entrance *b)
{
    struct stretch where;
    if (!entry_stretch(ctx, m, &where))
        return false;
    if (!m->stream[1].part || m->stream[1].passage != m->stream[0].passage) {
        claim_undecided(ctx, "%.*s and %.*s are not two parts of one passage", STR_ARG(m->stream[0].words),
                        STR_ARG(m->stream[1].words));
        return false;
    }
    if (m->stream[0].part == m->stream[1].part) {
        claim_undecided(ctx, "%.*s is compared with itself: name two parts", STR_ARG(m->stream[0].words));
        return false;
    }
    *a = entrance_find(ctx, m->stream[0].part, where);
    *b = entrance_find(ctx, m->stream[1].part, where);
    if (entrance_missing(ctx, a) || entrance_missing(ctx, b))
        return false;
    const struct entrance *unsure = a->unsure ? a : b->unsure ? b : NULL;
    if (unsure)
        undecided_gap(ctx, unsure);
    return !unsure;
}

static struct str both_words(struct claim_context *ctx, const struct entrance *a, const struct entrance *b)
{
    return say_text(ctx, "%.*s, %.*s", STR_ARG(entrance_words(ctx, a)),
                    STR_ARG(entrance_words(ctx, b)));
}

/* What lies between two entrances in the unit of the sentence; false after a verdict. */
static bool distance_in(struct claim_context *ctx, const struct passage *p, struct ratio from,
                        struct ratio to, const struct length_ref *want, struct ratio *out)
{
    bool fits = true;
    switch (want->unit) {
    case LENGTH_BEATS:
        fits = passage_beats(p, from, to, out);
        break;
    case LENGTH_BARS:
        fits = passage_bars_apart(p, from, to, out);
        break;
    case LENGTH_WHOLES:
        *out = ratio_minus(to, from);
        break;
    case LENGTH_SECONDS:
    case LENGTH_FRAMES:
        if (!passage_seconds(p, (struct stretch){.onset = from, .end = to}, out)) {
            claim_undecided(
                ctx, "`%.*s` has no tempo, so bars are not seconds: state one, or give the distance in beats",
                STR_ARG(p->symbol.name));
            return false;
        }
        fits = want->unit == LENGTH_SECONDS || ratio_mul(*out, ctx->model->rate.fps, out);
        break;
    }
    if (!fits)
        claim_undecided(ctx, "the distance is out of range");
    return fits;
}

static struct str distance_words(struct claim_context *ctx, enum length_unit unit, struct ratio d)
{
    switch (unit) {
    case LENGTH_BEATS:
        return amount_words(ctx, d, "beat", "beats");
    case LENGTH_BARS:
        return amount_words(ctx, d, "bar", "bars");
    case LENGTH_WHOLES:
        return value_words(ctx, d);
    case LENGTH_SECONDS:
        return say_text(ctx, "%.*s s", STR_ARG(mixed_words(ctx, d)));
    case LENGTH_FRAMES:
        return amount_words(ctx, d, "frame", "frames");
    }
    return STR("");
}

static void check_length(struct claim_context *ctx, const struct match *m, bool before)
{
    struct entrance a, b;
    if (!entrances_two(ctx, m, &a, &b))
        return;
    const struct entrance *first = before ? &a : &b, *second = before ? &b : &a;
    struct str both = both_words(ctx, first, second);
    claim_place(ctx, first->note->where, "the first note of `%.*s`", STR_ARG(first->part->symbol.name));
    claim_place(ctx, second->note->where, "the first note of `%.*s`", STR_ARG(second->part->symbol.name));
    if (!ratio_lt(first->note->onset, second->note->onset)) {
        bool same = ratio_eq(first->note->onset, second->note->onset);
        claim_fails(ctx, "%.*s%s", STR_ARG(both), same ? ": together" : ", so the other way round");
        claim_instead(ctx, "%.*s %s %.*s", STR_ARG(enters_words(ctx, m)),
                      same     ? "together with"
                      : before ? "after"
                               : "before",
                      STR_ARG(m->stream[1].words));
        return;
    }
    struct ratio d;
    const struct length_ref *want = &m->length[0];
    if (!distance_in(ctx, a.part->passage, first->note->onset, second->note->onset, want, &d))
        return;
    struct str words = distance_words(ctx, want->unit, d);
    if (ratio_eq(d, want->amount)) {
        claim_holds(ctx, "%.*s: %.*s later", STR_ARG(both), STR_ARG(words));
        return;
    }
    claim_fails(ctx, "%.*s: %.*s later", STR_ARG(both), STR_ARG(words));
    bool time = want->unit == LENGTH_SECONDS || want->unit == LENGTH_FRAMES;
    if (d.den == 1 || !time)
        claim_instead(ctx, "%.*s %.*s %s %.*s", STR_ARG(enters_words(ctx, m)), STR_ARG(words),
                      before ? "before" : "after", STR_ARG(m->stream[1].words));
}

/* order: -1 before, 0 together, 1 after */
static void check_relative(struct claim_context *ctx, const struct match *m, int order)
{
    static const char *const words[] = {"before", "together with", "after"};
    struct entrance a, b;
    if (!entrances_two(ctx, m, &a, &b))
        return;
    int is = ratio_cmp(a.note->onset, b.note->onset);
    struct str both = both_words(ctx, &a, &b);
    if (is == order) {
        claim_holds(ctx, "%.*s", STR_ARG(both));
        return;
    }
    claim_place(ctx, a.note->where, "the first note of `%.*s`", STR_ARG(a.part->symbol.name));
    claim_fails(ctx, "%.*s", STR_ARG(both));
    claim_instead(ctx, "%.*s %s %.*s", STR_ARG(enters_words(ctx, m)), words[is + 1],
                  STR_ARG(m->stream[1].words));
}

/* ---- first and last
 * ----------------------------------------------------------------------------------------------- */

/* All entrances of a passage's parts, in the parts' order. */
struct order {
    struct entrance *items;
    uint32_t n;
    const struct entrance *mine;
};

static struct order order_read(struct claim_context *ctx, const struct part *part, struct stretch where)
{
    const struct passage *p = part->passage;
    struct order o = {ARENA_NEW_ARRAY(ctx->arena, struct entrance, p->n_parts), p->n_parts, NULL};
    for (uint32_t i = 0; i < p->n_parts; i++) {
        o.items[i] = entrance_find(ctx, p->parts[i], where);
        if (p->parts[i] == part)
            o.mine = &o.items[i];
    }
    return o;
}

/* What another part's entrance means for "first" (or "last"): 1 it agrees, -1 it contradicts, 0 a gap leaves
 * it open. A part with a gap before its first written note may enter anywhere from the gap to that note. */
static int order_agrees(const struct entrance *mine, const struct entrance *other, bool last)
{
    if (other->kind != ENTRANCE_NOTE && !other->unsure)
        return 1; /* it never enters, or did so before */
    struct ratio mine_from = mine->unsure ? mine->gap.bar->onset : mine->note->onset;
    struct ratio other_from = other->unsure ? other->gap.bar->onset : other->note->onset;
    bool written = other->kind == ENTRANCE_NOTE;
    if (last) {
        if (written && ratio_lt(other->note->onset, mine_from))
            return 1;
        return written && ratio_le(mine->note->onset, other_from) ? -1 : 0;
    }
    if (ratio_lt(mine->note->onset, other_from))
        return 1;
    return written && ratio_le(other->note->onset, mine_from) ? -1 : 0;
}

static bool entrance_before(const struct entrance *a, const struct entrance *b)
{
    return ratio_lt(a->note->onset, b->note->onset);
}

/* What all others mean together; *decisive gets the part that contradicts most, or that leaves it open. */
static int order_decide(const struct order *o, bool last, const struct entrance **decisive)
{
    int answer = 1;
    *decisive = NULL;
    for (uint32_t i = 0; i < o->n; i++) {
        const struct entrance *e = &o->items[i];
        if (e == o->mine)
            continue;
        int agrees = order_agrees(o->mine, e, last);
        bool further = agrees < 0 && answer < 0 &&
                       (last ? entrance_before(*decisive, e) : entrance_before(e, *decisive));
        if (agrees < answer || further) {
            answer = agrees;
            *decisive = e;
        }
    }
    return answer;
}

/* Parts that enter in the stretch, the one in question among them. */
static uint32_t order_count(const struct order *o)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < o->n; i++)
        n += o->items[i].kind == ENTRANCE_NOTE;
    return n;
}

static void fail_order(struct claim_context *ctx, const struct match *m, const struct order *o,
                       const struct entrance *rival)
{
    int by = ratio_cmp(o->mine->note->onset, rival->note->onset);
    claim_place(ctx, rival->note->where, "the first note of `%.*s`", STR_ARG(rival->part->symbol.name));
    claim_fails(ctx, "%.*s", STR_ARG(both_words(ctx, o->mine, rival)));
    if (!o->mine->unsure && !rival->unsure)
        claim_instead(ctx, "%.*s %s %.*s", STR_ARG(enters_words(ctx, m)),
                      by < 0   ? "before"
                      : by > 0 ? "after"
                               : "together with",
                      STR_ARG(part_words(ctx, rival->part)));
}

static void hold_order(struct claim_context *ctx, const struct order *o)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, o->n);
    uint32_t n = 0;
    for (uint32_t i = 0; i < o->n; i++)
        if (&o->items[i] != o->mine && o->items[i].kind == ENTRANCE_NOTE)
            words[n++] = entrance_words(ctx, &o->items[i]);
    claim_holds(ctx, "%.*s; %.*s", STR_ARG(entrance_words(ctx, o->mine)), STR_ARG(tell_list(ctx, words, n)));
}

static void check_order(struct claim_context *ctx, const struct match *m, bool last)
{
    struct stretch where;
    if (!entry_stretch(ctx, m, &where))
        return;
    struct order o = order_read(ctx, m->stream[0].part, where);
    if (entrance_missing(ctx, o.mine))
        return;
    const struct entrance *decisive;
    int answer = order_decide(&o, last, &decisive);
    if (answer < 0) {
        fail_order(ctx, m, &o, decisive);
    } else if (answer == 0) {
        const struct entrance *open = decisive->unsure ? decisive : o.mine;
        claim_undecided(ctx, "%.*s, but %.*s, so the order is not certain",
                        STR_ARG(entrance_words(ctx, o.mine)), STR_ARG(gap_words(ctx, &open->gap)));
    } else if (order_count(&o) < 2) {
        claim_undecided(ctx, "%.*s, and no other part enters to compare it with",
                        STR_ARG(entrance_words(ctx, o.mine)));
    } else {
        hold_order(ctx, &o);
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch ((enum pattern)pattern) {
    case AT_PLACE:
        check_place(ctx, m);
        return;
    case AT_LENGTH:
        check_length(ctx, m, false);
        return;
    case AT_LENGTH_BEFORE:
        check_length(ctx, m, true);
        return;
    case ORDER:
    case ORDER_NOUN:
        check_order(ctx, m, m->choice[0] == 1);
        return;
    case RELATIVE:
        check_relative(ctx, m, m->choice[0] == 0 ? -1 : 1);
        return;
    case TOGETHER:
    case BOTH_TOGETHER:
        check_relative(ctx, m, 0);
        return;
    }
}

const struct claim_kind claim_kind_entry = {
    .name = "entry",
    .patterns = patterns,
    .meaning = "where a part's first sounding note stands, or how it lies to the first notes of others",
    .page = claim_page_entry,
    .check = check,
    .fails = DIAG_FAILS_entry,
};
