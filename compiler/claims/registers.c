/* registers.c - how far one stream lies above or below another, note for note. */
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

#include <inttypes.h>
#include <stdlib.h>

static const char *const patterns[] = {
    "STREAM lies|stands|sounds|plays|runs|is INTERVAL DIRECTION [than] STREAM [throughout]",
    "every note of STREAM lies|stands|sounds|is INTERVAL DIRECTION [than] STREAM",
    "STREAM and STREAM lies|stands|are|sounds INTERVAL apart [throughout]",
    "interval between STREAM and STREAM is INTERVAL [throughout]",
    NULL,
};

struct note_pair {
    const struct note *a, *b; /* of the first stream, and the note of the second it is held against */
    struct interval v;        /* from b to a */
};

struct pairs {
    struct note_pair *items;
    uint32_t n, cap;
    bool by_order; /* first with first; otherwise by what sounds together */
    bool stacks;   /* several notes at once, paired from the lowest up */
};

/* A pair that sounds on from moment to moment counts once; only the latest are looked through. */
static void pairs_add(struct claim_context *ctx, struct pairs *p, const struct note *a, const struct note *b)
{
    enum { LOOKED_BACK = 32 };
    for (uint32_t i = p->n; i > 0 && i + LOOKED_BACK > p->n; i--)
        if (p->items[i - 1].a == a && p->items[i - 1].b == b)
            return;
    if (p->n == p->cap) {
        uint32_t cap = p->cap ? 2 * p->cap : 16;
        struct note_pair *items = ARENA_NEW_ARRAY(ctx->arena, struct note_pair, cap);
        if (p->n)
            memcpy(items, p->items, p->n * sizeof *items);
        p->items = items;
        p->cap = cap;
    }
    p->items[p->n++] = (struct note_pair){a, b, interval_between(b->pitch, a->pitch)};
}

static bool pair_by_order(struct claim_context *ctx, const struct match *m, const struct line *a,
                          const struct line *b, struct pairs *out)
{
    if (a->n != b->n) {
        claim_undecided(ctx,
                        "%.*s has %.*s, %.*s %" PRIu32 ": name two stretches that correspond note for note",
                        STR_ARG(m->stream[0].words), STR_ARG(say_count(ctx, (int64_t)a->n, "note", "notes")),
                        STR_ARG(m->stream[1].words), b->n);
        return false;
    }
    out->by_order = true;
    for (uint32_t i = 0; i < a->n; i++)
        pairs_add(ctx, out, a->notes[i], b->notes[i]);
    return true;
}

static int note_compare(const void *left, const void *right)
{
    const struct note *a = *(const struct note *const *)left, *b = *(const struct note *const *)right;
    int by_sound = pitch_midi(a->pitch) - pitch_midi(b->pitch);
    return by_sound ? by_sound : pitch_steps(a->pitch) - pitch_steps(b->pitch);
}

/* One stream, walked through in time. */
struct walk {
    const struct line *line;
    uint32_t first;            /* notes before it have ended */
    const struct note **found; /* what sounds at the moment, lowest first; room for every note */
    uint32_t n;
};

static struct walk walk_start(struct claim_context *ctx, const struct line *line)
{
    return (struct walk){.line = line, .found = ARENA_NEW_ARRAY(ctx->arena, const struct note *, line->n)};
}

static bool has_ended(const struct note *note, struct ratio at)
{
    return ratio_cmp_sum(note->onset, note->length, at) <= 0;
}

static void walk_to(struct walk *w, struct ratio at)
{
    const struct line *line = w->line;
    while (w->first < line->n && has_ended(line->notes[w->first], at))
        w->first++;
    w->n = 0;
    for (uint32_t i = w->first; i < line->n && ratio_le(line->notes[i]->onset, at); i++)
        if (!has_ended(line->notes[i], at))
            w->found[w->n++] = line->notes[i];
    qsort(w->found, w->n, sizeof *w->found, note_compare);
}

static bool pair_at(struct claim_context *ctx, const struct match *m, struct walk *a, struct walk *b,
                    struct ratio at, struct pairs *out)
{
    walk_to(a, at);
    walk_to(b, at);
    if (!a->n || !b->n)
        return true;
    if (a->n != b->n) {
        claim_undecided(ctx, "at %.*s %.*s has %.*s, %.*s %" PRIu32 ": name voices, as in `voice 1 of …`",
                        STR_ARG(say_place(ctx, a->line->passage, at)), STR_ARG(m->stream[0].words),
                        STR_ARG(say_count(ctx, (int64_t)a->n, "note", "notes")), STR_ARG(m->stream[1].words),
                        b->n);
        return false;
    }
    out->stacks = out->stacks || a->n > 1;
    for (uint32_t i = 0; i < a->n; i++)
        pairs_add(ctx, out, a->found[i], b->found[i]);
    return true;
}

/* The next moment: the earlier of the two lines' next notes, each moment once. False: there is none. */
static bool next_onset(const struct line *a, const struct line *b, uint32_t *i, uint32_t *k, struct ratio *at)
{
    const struct note *left = *i < a->n ? a->notes[*i] : NULL, *right = *k < b->n ? b->notes[*k] : NULL;
    if (!left && !right)
        return false;
    struct ratio next = !right || (left && ratio_le(left->onset, right->onset)) ? left->onset : right->onset;
    while (*i < a->n && ratio_le(a->notes[*i]->onset, next))
        ++*i;
    while (*k < b->n && ratio_le(b->notes[*k]->onset, next))
        ++*k;
    *at = ratio_lt(next, a->stretch.onset) ? a->stretch.onset : next;
    return true;
}

/* Wherever both sound: at every moment of the stretch at which a note of either begins. */
static bool pair_by_time(struct claim_context *ctx, const struct match *m, const struct line *a,
                         const struct line *b, struct pairs *out)
{
    struct walk left = walk_start(ctx, a), right = walk_start(ctx, b);
    struct ratio at;
    for (uint32_t i = 0, k = 0; next_onset(a, b, &i, &k, &at);)
        if (!pair_at(ctx, m, &left, &right, at, out))
            return false;
    if (!out->n)
        claim_undecided(
            ctx, "%.*s and %.*s never sound together there: make figures of them to compare note for note",
            STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words));
    return out->n > 0;
}

static bool is_line(const struct stream *s)
{
    switch (s->kind) {
    case STREAM_FIGURE:
    case STREAM_BASS:
    case STREAM_TOP:
    case STREAM_VOICE:
        return true;
    case STREAM_PART:
    case STREAM_HARMONY:
    case STREAM_OUTER:
    case STREAM_ALL:
        return false;
    }
    return false;
}

static bool read_side(struct claim_context *ctx, const struct match *m, int i, struct line *out)
{
    const struct stream *s = &m->stream[i];
    struct stretch where;
    if (!match_stretch(ctx, m, s, &where))
        return false;
    bool ok = is_line(s) ? stream_line(ctx, s, where, 1, out) : stream_notes(ctx, s, where, out);
    if (ok)
        out->stretch = where;
    return ok;
}

static bool pair_streams(struct claim_context *ctx, const struct match *m, struct pairs *out)
{
    struct line a, b;
    if (!read_side(ctx, m, 0, &a) || !read_side(ctx, m, 1, &b))
        return false;
    if (m->stream[0].kind == STREAM_FIGURE || m->stream[1].kind == STREAM_FIGURE)
        return pair_by_order(ctx, m, &a, &b, out);
    if (a.passage != b.passage) {
        claim_undecided(ctx,
                        "%.*s and %.*s stand in two passages: make figures of them to compare note for note",
                        STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words));
        return false;
    }
    return pair_by_time(ctx, m, &a, &b, out);
}

/* 1 above, -1 below; 0 where the sentence only says how far apart. */
static int direction_of(const struct match *m)
{
    return m->n_directions ? m->direction[0] : 0;
}

static const char *direction_word(const struct match *m, const char *up, const char *down, const char *apart)
{
    int direction = direction_of(m);
    return direction > 0 ? up : direction < 0 ? down : apart;
}

/* ---- the verdict ----------------------------------------------------------------------------------- */

static bool pair_fits(const struct claim_context *ctx, const struct match *m, struct interval v,
                      bool *same_sound)
{
    const struct interval_ref *want = &m->interval[0];
    bool ignored;
    if (interval_ref_fits(want, direction_of(m), v, same_sound))
        return true;
    return ctx->conventions->choice[CONVENTION_COMPOUND] &&
           interval_ref_fits(want, direction_of(m), interval_simple(v), &ignored);
}

static const char *side_word(struct interval v)
{
    int direction = interval_describe(v).direction;
    return direction > 0 ? "above" : direction < 0 ? "below" : "at the pitch of";
}

/* "G#5 over E4, A5 over F4", at most four. */
static struct str say_pairs(struct claim_context *ctx, const struct match *m, const struct pairs *p)
{
    enum { SHOWN = 4 };
    struct buf b = {0};
    for (uint32_t i = 0; i < p->n && i < SHOWN; i++)
        buf_printf(&b, "%s%.*s %s %.*s", i ? ", " : "", STR_ARG(say_pitch(ctx, p->items[i].a->pitch)),
                   direction_word(m, "over", "under", "and"), STR_ARG(say_pitch(ctx, p->items[i].b->pitch)));
    if (p->n > SHOWN)
        buf_put(&b, " and so on");
    return buf_take(&b, ctx->arena);
}

static void report_agreement(struct claim_context *ctx, const struct match *m, const struct pairs *p)
{
    struct str how = p->by_order ? STR("note for note")
                     : p->stacks ? STR("sounding together, paired from the lowest up")
                                 : STR("wherever both sound");
    claim_holds(ctx, "%.*s, %.*s: each %.*s %s (%.*s)",
                STR_ARG(say_count(ctx, (int64_t)p->n, "pair of notes", "pairs of notes")), STR_ARG(how),
                STR_ARG(m->interval[0].words), direction_word(m, "higher", "lower", "apart"),
                STR_ARG(say_pairs(ctx, m, p)));
}

/* What all pairs have in common, if anything: the spelled interval, or only its sound. */
static void offer_true(struct claim_context *ctx, const struct match *m, const struct pairs *p)
{
    struct interval v = p->items[0].v;
    bool spelled = true, sounding = true;
    for (uint32_t i = 1; i < p->n; i++) {
        spelled = spelled && interval_eq(p->items[i].v, v);
        sounding = sounding && p->items[i].v.half == v.half;
    }
    char octaves[INTERVAL_TEXT_MAX];
    struct str a = m->stream[0].words, b = m->stream[1].words, span = tell_span(ctx, m);
    struct str lies = tell_verb(ctx, &m->stream[0], "lie");
    if (spelled && v.steps)
        claim_instead(ctx, "%.*s %.*s %s %s %.*s%.*s", STR_ARG(a), STR_ARG(lies),
                      interval_phrase(v, true, octaves), side_word(v), STR_ARG(b), STR_ARG(span));
    else if (sounding && v.half)
        claim_instead(ctx, "%.*s %.*s %d semitones %s %.*s%.*s", STR_ARG(a), STR_ARG(lies), abs(v.half),
                      v.half < 0 ? "below" : "above", STR_ARG(b), STR_ARG(span));
}

static void report_difference(struct claim_context *ctx, const struct match *m, const struct pairs *p,
                              uint32_t broken, uint32_t n_fitting, bool same_sound)
{
    const struct note_pair *pair = &p->items[broken];
    const struct passage *passage = m->stream[0].passage;
    struct str a = say_pitch(ctx, pair->a->pitch), b = say_pitch(ctx, pair->b->pitch);
    struct str size = say_size(ctx, pair->v), where = STR(""), rest = STR(""), sound = STR("");
    if (passage)
        where = say_text(ctx, "at %.*s ", STR_ARG(say_place(ctx, passage, pair->a->onset)));
    if (n_fitting)
        rest = say_text(ctx, "; %" PRIu32 " of %" PRIu32 " pairs lie as claimed", n_fitting, p->n);
    if (same_sound)
        sound = say_text(ctx, "; it %.*s", STR_ARG(tell_same_sound(ctx, pair->v)));
    claim_fails(ctx, "%.*s%.*s lies %.*s %s %.*s, not %.*s %s%.*s%.*s", STR_ARG(where), STR_ARG(a),
                STR_ARG(size), side_word(pair->v), STR_ARG(b), STR_ARG(m->interval[0].words),
                direction_word(m, "above", "below", "apart"), STR_ARG(sound), STR_ARG(rest));
    claim_place(ctx, pair->a->where, "%.*s, %.*s %s %.*s", STR_ARG(a), STR_ARG(size), side_word(pair->v),
                STR_ARG(b));
    claim_place(ctx, pair->b->where, "%.*s", STR_ARG(b));
    offer_true(ctx, m, p);
}

/* Would the verdict be another one under the other reading of compound intervals? */
static bool depends_on_compound(const struct match *m, const struct pairs *p)
{
    for (uint32_t i = 0; i < p->n; i++) {
        bool ignored;
        bool strict = interval_ref_fits(&m->interval[0], direction_of(m), p->items[i].v, &ignored);
        bool reduced = interval_ref_fits(&m->interval[0], direction_of(m), interval_simple(p->items[i].v),
                                         &ignored);
        if (!strict && reduced)
            return true;
    }
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct pairs p = {0};
    (void)pattern;
    if (!pair_streams(ctx, m, &p))
        return;
    uint32_t broken = p.n, n_fitting = 0;
    bool broken_by_spelling = false;
    for (uint32_t i = 0; i < p.n; i++) {
        bool same_sound = false;
        if (pair_fits(ctx, m, p.items[i].v, &same_sound)) {
            n_fitting++;
        } else if (broken == p.n) {
            broken = i;
            broken_by_spelling = same_sound;
        }
    }
    if (depends_on_compound(m, &p))
        claim_convention(ctx, CONVENTION_COMPOUND);
    if (broken == p.n)
        report_agreement(ctx, m, &p);
    else
        report_difference(ctx, m, &p, broken, n_fitting, broken_by_spelling);
}

const struct claim_kind claim_kind_registers = {
    .name = "registers",
    .patterns = patterns,
    .meaning = "How far each note of one line lies above or below its partner in another, octaves counted.",
    .page = claim_page_registers,
    .check = check,
    .fails = DIAG_FAILS_registers,
};
