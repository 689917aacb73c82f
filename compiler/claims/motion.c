#include "theory/motion.h"

#include "base/buf.h"
#include "claims/claims.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/voices.h"

#include <stdlib.h>

#define MOTIONS "<contrary|similar|direct|oblique|parallel>"
#define WAYS "<apart|outward|outwards|together|inward|inwards|toward each other|towards each other>"
#define SIZES "<unison|second|third|fourth|fifth|sixth|seventh|octave|tenth>"

static const char *const patterns[] = {
    "STREAM moves|goes|proceeds in " MOTIONS " motion [throughout]",
    "STREAM and STREAM moves|goes|proceeds in " MOTIONS " motion [throughout]",
    "STREAM moves|goes|proceeds in " MOTIONS " motion to|with|against STREAM",
    "STREAM moves|goes " WAYS,
    "STREAM and STREAM moves|goes " WAYS,
    "STREAM moves|goes|proceeds in parallel " SIZES,
    "STREAM and STREAM moves|goes|proceeds in parallel " SIZES,
    NULL,
};

enum ask { ASK_MOTION, ASK_WAY, ASK_SIZE };
static const enum ask asks[] = {ASK_MOTION, ASK_MOTION, ASK_MOTION, ASK_WAY, ASK_WAY, ASK_SIZE, ASK_SIZE};

/* By the choices above. */
static const enum motion motion_choices[] = {MOTION_CONTRARY, MOTION_SIMILAR, MOTION_SIMILAR, MOTION_OBLIQUE,
                                             MOTION_PARALLEL};
static const int way_choices[] = {1, 1, 1, -1, -1, -1, -1, -1};
static const int size_choices[] = {0, 1, 2, 3, 4, 5, 6, 7, 9};

enum { MOTION_KINDS = MOTION_PARALLEL + 1 };

struct wanted {
    enum ask ask;
    enum motion motion;
    int way;  /* ASK_WAY: 1 apart, -1 toward each other */
    int size; /* ASK_SIZE: steps between the voices */
    bool compound_reduced;
};

/* Two voices from one moment at which both sound to the next. */
struct turn {
    struct pitch low1, high1, low2, high2;
    struct ratio at_from, at_to;
    const struct note *low_arrival, *high_arrival; /* NULL where a voicing was written in a symbol */
    struct str low, high;                          /* what the voices are called */
    struct span where;
    enum motion motion;
};

struct turns {
    struct turn *items;
    uint32_t n, cap;
    const struct passage *passage;
    uint32_t count[MOTION_KINDS];
    bool by_rank;
    bool many; /* more than two voices */
};

static struct wanted read_wanted(const struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = {.ask = asks[pattern], .motion = MOTION_PARALLEL};
    w.compound_reduced = ctx->conventions->choice[CONVENTION_COMPOUND] == 1;
    switch (w.ask) {
    case ASK_MOTION:
        w.motion = motion_choices[m->choice[0]];
        break;
    case ASK_WAY:
        w.motion = MOTION_CONTRARY;
        w.way = way_choices[m->choice[0]];
        break;
    case ASK_SIZE:
        w.size = size_choices[m->choice[0]];
        break;
    }
    return w;
}

/* ---- gathering ----------------------------------------------------------------------------------- */

static struct turns turns_new(struct claim_context *ctx, const struct passage *p, uint32_t room)
{
    return (struct turns){.items = ARENA_NEW_ARRAY(ctx->arena, struct turn, room), .cap = room, .passage = p};
}

/* Keeps a turn unless neither voice moves: a note struck again is not motion. */
static void turns_add(struct turns *t, struct turn turn)
{
    turn.motion = motion_of(turn.low1, turn.high1, turn.low2, turn.high2);
    if (turn.motion == MOTION_NONE || t->n == t->cap)
        return;
    t->count[turn.motion]++;
    t->items[t->n++] = turn;
}

static const struct note *line_at(const struct line *l, struct ratio at)
{
    uint32_t lo = 0, hi = l->n; /* notes before lo have begun, those from hi on have not */
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_le(l->notes[middle]->onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    const struct note *found = lo ? l->notes[lo - 1] : NULL;
    return found && ratio_lt(at, ratio_plus(found->onset, found->length)) ? found : NULL;
}

/* The attacks of two lines in order; both lists are. */
static struct ratio next_attack(const struct line *a, uint32_t *i, const struct line *b, uint32_t *k)
{
    if (*k == b->n || (*i < a->n && ratio_le(a->notes[*i]->onset, b->notes[*k]->onset)))
        return a->notes[(*i)++]->onset;
    return b->notes[(*k)++]->onset;
}

/* Two lines: every attack of either at which both sound. Where one rests, the motion is taken over
 * the rest. */
static void turns_of_lines(const struct line *a, const struct line *b, const struct match *m,
                           struct turns *out)
{
    const struct note *low1 = NULL, *high1 = NULL;
    struct ratio from = RATIO_ZERO;
    for (uint32_t i = 0, k = 0; i < a->n || k < b->n;) {
        struct ratio at = next_attack(a, &i, b, &k);
        const struct note *low2 = line_at(a, at), *high2 = line_at(b, at);
        if (!low2 || !high2)
            continue;
        if (low1)
            turns_add(out, (struct turn){low1->pitch, high1->pitch, low2->pitch, high2->pitch, from, at, low2,
                                         high2, tell_short(&m->stream[0]), tell_short(&m->stream[1]),
                                         high2->where, MOTION_NONE});
        low1 = low2;
        high1 = high2;
        from = at;
    }
}

static bool gather_two(struct claim_context *ctx, const struct match *m, struct turns *out)
{
    struct stretch where;
    struct line a, b;
    if (m->stream[0].passage != m->stream[1].passage) {
        claim_undecided(ctx, "%.*s and %.*s do not sound together: they belong to different passages",
                        STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words));
        return false;
    }
    if (!match_stretch(ctx, m, &m->stream[0], &where) || !stream_line(ctx, &m->stream[0], where, 1, &a))
        return false;
    if (!m->span.given && !match_stretch(ctx, m, &m->stream[1], &where))
        return false;
    if (!stream_line(ctx, &m->stream[1], where, 1, &b))
        return false;
    *out = turns_new(ctx, a.passage, a.n + b.n);
    turns_of_lines(&a, &b, m, out);
    return true;
}

/* Lowest and highest note at each moment. */
static bool gather_outer(struct claim_context *ctx, const struct moments *moments, struct turns *out)
{
    *out = turns_new(ctx, moments->passage, moments->n);
    for (uint32_t i = 0; i < moments->n; i++) {
        const struct moment *b = &moments->items[i];
        if (b->source == MOMENT_SYMBOL || b->n < 2) {
            claim_undecided(ctx, "%.*s does not show two outer voices: %s",
                            STR_ARG(say_place(ctx, moments->passage, b->onset)),
                            b->source == MOMENT_SYMBOL ? "a symbol alone needs a voicing"
                                                       : "one note sounds there");
            return false;
        }
        if (i == 0)
            continue;
        const struct moment *a = &moments->items[i - 1];
        bool notes = b->source == MOMENT_SOUNDING;
        turns_add(out, (struct turn){a->pitches[0], a->pitches[a->n - 1], b->pitches[0], b->pitches[b->n - 1],
                                     a->onset, b->onset, notes ? b->notes[0] : NULL,
                                     notes ? b->notes[b->n - 1] : NULL, STR("the bass"), STR("the top voice"),
                                     b->where, MOTION_NONE});
    }
    return true;
}

/* All voices of a stream: two of them; or more, each against the lowest, where that says something. */
static bool gather_voices(struct claim_context *ctx, const struct moments *moments, const struct wanted *w,
                          struct turns *out)
{
    struct changes changes;
    if (!moments_changes(ctx, moments, &changes))
        return false;
    uint32_t room = 0;
    for (uint32_t i = 0; i < changes.n; i++)
        room += changes.items[i].n;
    *out = turns_new(ctx, changes.passage, room);
    bool all = w->ask == ASK_MOTION && (w->motion == MOTION_PARALLEL || w->motion == MOTION_SIMILAR);
    for (uint32_t i = 0; i < changes.n; i++) {
        const struct change *c = &changes.items[i];
        if (c->n != 2 && (!all || c->n < 2)) {
            claim_undecided(ctx,
                            "%.*s sound at %.*s: name two, as in `the outer voices of lamp` or `voice 1 of "
                            "strings and voice 2 of strings`",
                            STR_ARG(say_count(ctx, c->n, "voice", "voices")),
                            STR_ARG(say_place(ctx, changes.passage, c->at_to)));
            return false;
        }
        out->by_rank = out->by_rank || c->by_rank;
        out->many = out->many || c->n > 2;
        for (uint32_t k = 1; k < c->n; k++)
            turns_add(out, (struct turn){c->from[0], c->from[k], c->to[0], c->to[k], c->at_from, c->at_to,
                                         c->arrivals[0], c->arrivals[k], c->names[0], c->names[k], c->where,
                                         MOTION_NONE});
    }
    return true;
}

static bool gather(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                   struct turns *out)
{
    if (m->n_streams > 1)
        return gather_two(ctx, m, out);
    struct stretch where;
    struct moments moments;
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 2, &moments))
        return false;
    if (m->stream[0].kind == STREAM_OUTER)
        return gather_outer(ctx, &moments, out);
    return gather_voices(ctx, &moments, w, out);
}

/* ---- words --------------------------------------------------------------------------------------- */

static struct str say_voice(struct claim_context *ctx, struct str name, struct pitch from, struct pitch to)
{
    int half = interval_between(from, to).half;
    if (half == 0)
        return say_text(ctx, "%.*s stays on %.*s", STR_ARG(name), STR_ARG(say_pitch(ctx, to)));
    return say_text(ctx, "%.*s %s %.*s", STR_ARG(name), half < 0 ? "falls" : "rises",
                    STR_ARG(tell_pitches(ctx, from, to)));
}

/* "from bar 1 beat 1 to beat 2 the bass falls C3 to B2 and the top voice rises E4 to F4". */
static struct str say_turn(struct claim_context *ctx, const struct turns *all, const struct turn *t)
{
    struct str way = tell_way(ctx, all->passage, t->at_from, t->at_to);
    return say_text(ctx, "from %.*s %.*s and %.*s", STR_ARG(way),
                    STR_ARG(say_voice(ctx, t->low, t->low1, t->low2)),
                    STR_ARG(say_voice(ctx, t->high, t->high1, t->high2)));
}

/* "of six changes four are contrary, one is oblique and one is similar"; nothing for one change. */
static struct str say_tally(struct claim_context *ctx, const struct turns *all)
{
    struct str kinds[MOTION_KINDS];
    uint32_t n = 0;
    for (int i = MOTION_OBLIQUE; i < MOTION_KINDS; i++) {
        struct str verb = say_count(ctx, all->count[i], "is", "are");
        if (all->count[i])
            kinds[n++] = say_text(ctx, "%.*s %s", STR_ARG(verb), motion_word((enum motion)i));
    }
    if (all->n < 2)
        return STR("");
    if (n == 1)
        return say_text(ctx, "; so are %.*s", STR_ARG(tell_all(ctx, all->n, "change", "changes")));
    return say_text(ctx, "; of %.*s %.*s", STR_ARG(say_count(ctx, all->n, "change", "changes")),
                    STR_ARG(tell_list(ctx, kinds, n)));
}

static struct str say_subject(struct claim_context *ctx, const struct match *m)
{
    if (m->n_streams < 2)
        return m->stream[0].words;
    return say_text(ctx, "%.*s and %.*s", STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words));
}

/* ---- judging ------------------------------------------------------------------------------------- */

/* Steps between two voices, octaves out where the convention allows it. Parallel fifths and octaves are so
 * called at any number of octaves (Open Music Theory, Composing a first-species counterpoint: a fifth or a
 * twelfth). */
static int distance_steps(const struct wanted *w, struct pitch low, struct pitch high, bool *compound)
{
    enum { FIFTH = 4, OCTAVE = 7 };
    int steps = abs(interval_between(low, high).steps);
    if (w->size == FIFTH || w->size == OCTAVE) {
        while (steps - OCTAVE >= w->size)
            steps -= OCTAVE;
        return steps;
    }
    if (steps <= 7 || w->size > 7)
        return steps;
    *compound = true;
    return w->compound_reduced ? steps % 7 : steps;
}

static bool turn_fits(const struct wanted *w, const struct turn *t, bool *compound)
{
    if (t->motion != w->motion)
        return false;
    switch (w->ask) {
    case ASK_MOTION:
        return true;
    case ASK_WAY: {
        int before = abs(interval_between(t->low1, t->high1).half);
        int after = abs(interval_between(t->low2, t->high2).half);
        return w->way > 0 ? after > before : after < before;
    }
    case ASK_SIZE:
        return distance_steps(w, t->low1, t->high1, compound) == w->size &&
               distance_steps(w, t->low2, t->high2, compound) == w->size;
    }
    return false;
}

static void offer_instead(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                          const struct turns *all)
{
    enum motion one = all->items[0].motion;
    struct str moves = m->n_streams > 1 ? STR("move") : tell_verb(ctx, &m->stream[0], "move");
    bool sayable = !all->many || one == MOTION_PARALLEL || one == MOTION_SIMILAR;
    if (sayable && all->count[one] == all->n && (one != w->motion || w->ask != ASK_MOTION))
        claim_instead(ctx, "%.*s %.*s in %s motion%.*s", STR_ARG(say_subject(ctx, m)), STR_ARG(moves),
                      motion_word(one), STR_ARG(tell_span(ctx, m)));
}

/* Why a turn of the right motion still does not fit. */
static struct str say_why(struct claim_context *ctx, const struct wanted *w, const struct turn *t)
{
    switch (w->ask) {
    case ASK_MOTION:
        break;
    case ASK_WAY:
        if (t->motion == MOTION_CONTRARY)
            return say_text(ctx, "contrary motion, but %s",
                            w->way > 0 ? "toward each other" : "apart");
        break;
    case ASK_SIZE:
        if (t->motion == MOTION_PARALLEL)
            return say_text(ctx, "parallel motion, but %.*s apart",
                            STR_ARG(say_interval(ctx, interval_between(t->low1, t->high1))));
        break;
    }
    return say_text(ctx, "%s motion", motion_word(t->motion));
}

static void fail(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                 const struct turns *all, const struct turn *t)
{
    claim_fails(ctx, "%.*s: %.*s%.*s", STR_ARG(say_turn(ctx, all, t)), STR_ARG(say_why(ctx, w, t)),
                STR_ARG(say_tally(ctx, all)));
    bool low_moves = interval_between(t->low1, t->low2).half != 0;
    if (t->low_arrival && low_moves)
        claim_place(ctx, t->low_arrival->where, "%.*s", STR_ARG(say_voice(ctx, t->low, t->low1, t->low2)));
    if (t->high_arrival)
        claim_place(ctx, t->high_arrival->where, "%.*s",
                    STR_ARG(say_voice(ctx, t->high, t->high1, t->high2)));
    else
        claim_place(ctx, t->where, "%s motion", motion_word(t->motion));
    offer_instead(ctx, m, w, all);
}

/* The notes of one voice in order, a kept note once: "C3 B2 A2 G2". */
static struct str say_notes(struct claim_context *ctx, const struct turns *all, bool high)
{
    enum { SHOWN = 10 };
    struct pitch last = high ? all->items[0].high1 : all->items[0].low1;
    struct buf b = {0};
    uint32_t n = 1;
    buf_str_put(&b, say_pitch(ctx, last));
    for (uint32_t i = 0; i < all->n; i++) {
        struct pitch next = high ? all->items[i].high2 : all->items[i].low2;
        if (pitch_eq(next, last))
            continue;
        if (n++ == SHOWN) {
            buf_put(&b, " …");
            break;
        }
        buf_printf(&b, " %.*s", STR_ARG(say_pitch(ctx, next)));
        last = next;
    }
    return buf_take(&b, ctx->arena);
}

/* Do all turns belong to the same two voices, one after the other? */
static bool is_one_pair(const struct turns *all)
{
    for (uint32_t i = 1; i < all->n; i++)
        if (!str_eq(all->items[i].low, all->items[0].low) || !str_eq(all->items[i].high, all->items[0].high))
            return false;
    return true;
}

static void hold(struct claim_context *ctx, const struct wanted *w, const struct turns *all)
{
    const struct turn *first = &all->items[0];
    const char *rank = all->by_rank ? "; voices taken from low to high" : "";
    struct str how = all->n == 1   ? STR("the change is")
                     : all->n == 2 ? STR("both changes are")
                                   : say_text(ctx, "all %.*s are",
                                              STR_ARG(say_count(ctx, all->n, "change", "changes")));
    struct str motion = say_text(ctx, "%.*s %s", STR_ARG(how), motion_word(w->motion));
    if (is_one_pair(all))
        claim_holds(ctx, "%.*s %.*s, %.*s %.*s: %.*s%s", STR_ARG(first->low),
                    STR_ARG(say_notes(ctx, all, false)), STR_ARG(first->high),
                    STR_ARG(say_notes(ctx, all, true)), STR_ARG(motion), rank);
    else
        claim_holds(ctx, "%.*s, and so on in every voice against the lowest: %.*s%s",
                    STR_ARG(say_turn(ctx, all, first)), STR_ARG(motion), rank);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(ctx, m, pattern);
    struct turns all;
    if (!gather(ctx, m, &w, &all))
        return;
    if (all.n == 0) {
        claim_undecided(
            ctx, "nothing moves: in this stretch the voices of %.*s keep their notes or never sound together",
            STR_ARG(say_subject(ctx, m)));
        return;
    }
    const struct turn *flawed = NULL;
    bool compound = false;
    for (uint32_t i = 0; i < all.n && !flawed; i++)
        if (!turn_fits(&w, &all.items[i], &compound))
            flawed = &all.items[i];
    if (compound)
        claim_convention(ctx, CONVENTION_COMPOUND);
    if (flawed)
        fail(ctx, m, &w, &all, flawed);
    else
        hold(ctx, &w, &all);
}

const struct claim_kind claim_kind_motion = {
    .name = "motion",
    .patterns = patterns,
    .meaning = "At every change two voices move against each other (contrary), one way (similar, or "
               "parallel where the number of their interval stays), or one of them alone (oblique).",
    .page = claim_page_motion,
    .check = check,
    .fails = DIAG_FAILS_motion,
};
