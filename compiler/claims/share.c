#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/tell.h"

#include "base/buf.h"

#define WHAT "<rhythm|contour|full contour|intervals|shape>"

enum pattern { SHARE, SHARE_FIRST, HAVE_SAME, HAS_SAME_AS, SHARES_WITH, SHARES_FIRST_WITH, BEGIN_WITH };

static const char *const patterns[] = {
    [SHARE] = "STREAM and STREAM share [their] [same] " WHAT,
    [SHARE_FIRST] = "STREAM and STREAM share [their] first COUNT notes|note [<in any octave>]",
    [HAVE_SAME] = "STREAM and STREAM have same " WHAT,
    [HAS_SAME_AS] = "STREAM has same " WHAT " as STREAM",
    [SHARES_WITH] = "STREAM shares [its] " WHAT " with STREAM",
    [SHARES_FIRST_WITH] = "STREAM shares [its] first COUNT notes|note with STREAM [<in any octave>]",
    [BEGIN_WITH] = "STREAM and STREAM begin with same COUNT notes|note [<in any octave>]",
    NULL,
};

enum shared { RHYTHM, CONTOUR, FULL_CONTOUR, INTERVALS };

/* ---- rhythm -----------------------------------------------------------------------------------------------
 */

/* An attack: what begins together counts once. */
struct attack {
    struct ratio onset;  /* from the first attack */
    struct ratio length; /* of the longest note */
    struct ratio at;     /* in the passage */
    struct span where;
};

struct rhythm {
    struct attack *items;
    uint32_t n;
    const struct passage *passage;
    bool lengths; /* one event at a time, so lengths belong to the rhythm; of several parts only attacks do */
    struct str words;
};

/* Parts, voices, figures: one row of events. */
static bool is_row(const struct stream *s)
{
    return s->kind != STREAM_ALL && s->kind != STREAM_OUTER;
}

static void attack_add(struct rhythm *r, struct ratio at, struct ratio length, struct span where)
{
    struct attack *last = r->n ? &r->items[r->n - 1] : NULL;
    if (last && ratio_eq(last->at, at)) {
        if (ratio_lt(last->length, length))
            last->length = length;
        return;
    }
    struct ratio from = r->n ? ratio_minus(at, r->items[0].at) : RATIO_ZERO;
    r->items[r->n++] = (struct attack){from, length, at, where};
}

static bool rhythm_of_harmony(struct claim_context *ctx, const struct stream *s, struct stretch where,
                              struct rhythm *out)
{
    struct moments chords;
    if (!stream_moments(ctx, s, where, 1, &chords))
        return false;
    out->passage = chords.passage;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct attack, chords.n);
    for (uint32_t i = 0; i < chords.n; i++)
        attack_add(out, chords.items[i].onset, chords.items[i].length, chords.items[i].where);
    return true;
}

static bool rhythm_read(struct claim_context *ctx, const struct match *m, int index, struct rhythm *out)
{
    const struct stream *s = &m->stream[index];
    struct stretch where;
    struct line notes;
    *out = (struct rhythm){.lengths = is_row(s), .words = s->words};
    if (!match_stretch(ctx, m, s, &where))
        return false;
    if (s->kind == STREAM_HARMONY)
        return rhythm_of_harmony(ctx, s, where, out);
    if (!stream_notes(ctx, s, where, &notes))
        return false;
    out->passage = notes.passage;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct attack, notes.n);
    for (uint32_t i = 0; i < notes.n; i++)
        attack_add(out, notes.notes[i]->onset, notes.notes[i]->length, notes.notes[i]->where);
    return true;
}

/* The values as written: "1/8 1/8 1/4 1/2", or the distances of the attacks. */
static struct str rhythm_words(struct claim_context *ctx, const struct rhythm *r)
{
    enum { MOST = 12 };
    struct buf b = {0};
    char text[RATIO_TEXT_MAX];
    for (uint32_t i = 0; i < r->n && i < MOST; i++) {
        bool last = i + 1 == r->n;
        struct ratio v =
            r->lengths || last ? r->items[i].length : ratio_minus(r->items[i + 1].onset, r->items[i].onset);
        if (!r->lengths && last)
            break;
        buf_printf(&b, "%s%s", i ? " " : "", ratio_text(v, true, text));
    }
    if (r->n > MOST)
        buf_put(&b, " ...");
    return buf_take(&b, ctx->arena);
}

static struct str attack_at(struct claim_context *ctx, const struct rhythm *r, uint32_t i)
{
    if (!r->passage)
        return STR("");
    return say_text(ctx, " (%.*s)", STR_ARG(say_place(ctx, r->passage, r->items[i].at)));
}

/* Why the first difference is one: an attack that comes elsewhere, or a length. */
static void fail_rhythm(struct claim_context *ctx, const struct rhythm *a, const struct rhythm *b, uint32_t i,
                        bool attack)
{
    char at[RATIO_TEXT_MAX], bt[RATIO_TEXT_MAX];
    struct ratio x = attack ? a->items[i].onset : a->items[i].length;
    struct ratio y = attack ? b->items[i].onset : b->items[i].length;
    claim_place(ctx, a->items[i].where, "attack %u differs", i + 1);
    claim_place(ctx, b->items[i].where, "attack %u differs", i + 1);
    claim_fails(ctx, "attack %u: in %.*s%.*s it %s %s%s, in %.*s%.*s %s%s", i + 1, STR_ARG(a->words),
                STR_ARG(attack_at(ctx, a, i)), attack ? "comes" : "lasts", ratio_text(x, true, at),
                attack ? " after the first" : "", STR_ARG(b->words), STR_ARG(attack_at(ctx, b, i)),
                ratio_text(y, true, bt), attack ? " after it" : "");
}

/* ---- lines
 * -------------------------------------------------------------------------------------------------- */

struct lines {
    struct line a, b;
    struct str a_words, b_words;
    uint32_t n;
};

static bool lines_read(struct claim_context *ctx, const struct match *m, uint32_t least, struct lines *out)
{
    struct stretch where;
    *out = (struct lines){.a_words = m->stream[0].words, .b_words = m->stream[1].words};
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_line(ctx, &m->stream[0], where, least, &out->a))
        return false;
    if (!match_stretch(ctx, m, &m->stream[1], &where) ||
        !stream_line(ctx, &m->stream[1], where, least, &out->b))
        return false;
    out->n = out->a.n < out->b.n ? out->a.n : out->b.n;
    return true;
}

static struct pitch pitch_at(const struct line *l, uint32_t i)
{
    return l->notes[i]->pitch;
}

static struct interval step_at(const struct line *l, uint32_t i)
{
    return interval_between(pitch_at(l, i), pitch_at(l, i + 1));
}

static int sign(int v)
{
    return (v > 0) - (v < 0);
}

/* "note 3: call falls G4 to D#4, a diminished fourth; answer rises …" for the moves into note i + 1. */
static void fail_move(struct claim_context *ctx, const struct lines *l, uint32_t from, uint32_t to,
                      const char *tail)
{
    claim_place(ctx, l->a.notes[to]->where, "note %u of %.*s", to + 1, STR_ARG(l->a_words));
    claim_place(ctx, l->b.notes[to]->where, "note %u of %.*s", to + 1, STR_ARG(l->b_words));
    struct str against = from + 1 == to ? STR("") : say_text(ctx, " against note %u", from + 1);
    claim_fails(ctx, "note %u%.*s: %.*s %.*s%.*s; %.*s %.*s%s", to + 1, STR_ARG(against), STR_ARG(l->a_words),
                STR_ARG(melodic_words(ctx, pitch_at(&l->a, from), pitch_at(&l->a, to))),
                STR_ARG(note_at(ctx, &l->a, to)), STR_ARG(l->b_words),
                STR_ARG(melodic_words(ctx, pitch_at(&l->b, from), pitch_at(&l->b, to))), tail);
}

/* True after a verdict. */
static bool fail_counts(struct claim_context *ctx, const struct lines *l)
{
    if (l->a.n == l->b.n)
        return false;
    claim_fails(ctx, "%.*s has %.*s, %.*s has %.*s", STR_ARG(l->a_words),
                STR_ARG(say_count(ctx, l->a.n, "note", "notes")), STR_ARG(l->b_words),
                STR_ARG(say_count(ctx, l->b.n, "note", "notes")));
    return true;
}

/* "up, up, down": the contour for people. */
static struct str contour_words(struct claim_context *ctx, const struct line *l)
{
    enum { MOST = 12 };
    struct buf b = {0};
    for (uint32_t i = 0; i + 1 < l->n && i < MOST; i++) {
        int way = sign(step_at(l, i).half);
        buf_printf(&b, "%s%s", i ? ", " : "", way > 0 ? "up" : way < 0 ? "down" : "level");
    }
    if (l->n > MOST + 1)
        buf_put(&b, " ...");
    return buf_take(&b, ctx->arena);
}

/* A sentence of the kind that is true where another is not: what else the two lines share. */
static void suggest_shared(struct claim_context *ctx, const struct lines *l, enum shared not )
{
    bool contour = true, intervals = true, attack;
    for (uint32_t i = 0; i + 1 < l->n; i++) {
        contour = contour && sign(step_at(&l->a, i).half) == sign(step_at(&l->b, i).half);
        intervals = intervals && interval_eq(step_at(&l->a, i), step_at(&l->b, i));
    }
    bool same_n = l->a.n == l->b.n && l->n > 1;
    const char *what = NULL;
    if (same_n && not != INTERVALS && intervals)
        what = "intervals";
    else if (same_n && not != CONTOUR && contour)
        what = "contour";
    else if (same_n && not != RHYTHM && lines_rhythm_differ(&l->a, &l->b, &attack) == l->n)
        what = "rhythm";
    if (what)
        claim_instead(ctx, "%.*s and %.*s share their %s", STR_ARG(l->a_words), STR_ARG(l->b_words), what);
}

/* After a difference of rhythm: what two figures, which are lines for certain, share all the same. */
static void suggest_lines(struct claim_context *ctx, const struct match *m)
{
    struct lines l;
    if (m->stream[0].kind == STREAM_FIGURE && m->stream[1].kind == STREAM_FIGURE && lines_read(ctx, m, 1, &l))
        suggest_shared(ctx, &l, RHYTHM);
}

static void check_rhythm(struct claim_context *ctx, const struct match *m)
{
    struct rhythm a, b;
    if (!rhythm_read(ctx, m, 0, &a) || !rhythm_read(ctx, m, 1, &b))
        return;
    bool lengths = a.lengths && b.lengths;
    a.lengths = b.lengths = lengths;
    uint32_t n = a.n < b.n ? a.n : b.n;
    for (uint32_t i = 0; i < n; i++) {
        bool attack = !ratio_eq(a.items[i].onset, b.items[i].onset);
        if (attack || (lengths && !ratio_eq(a.items[i].length, b.items[i].length))) {
            fail_rhythm(ctx, &a, &b, i, attack);
            suggest_lines(ctx, m);
            return;
        }
    }
    struct str attacks = say_count(ctx, a.n, "attack", "attacks");
    if (a.n != b.n) {
        claim_fails(ctx, "%.*s has %.*s, %.*s has %.*s; as far as the shorter goes they agree",
                    STR_ARG(a.words), STR_ARG(attacks), STR_ARG(b.words),
                    STR_ARG(say_count(ctx, b.n, "attack", "attacks")));
    } else if (a.n < 2) {
        claim_undecided(ctx, "one attack makes no rhythm to share");
    } else {
        claim_holds(ctx, "%.*s in both, %s %.*s", STR_ARG(attacks),
                    lengths ? "of" : "these values apart:", STR_ARG(rhythm_words(ctx, &a)));
    }
}

static void check_contour(struct claim_context *ctx, const struct match *m)
{
    struct lines l;
    if (!lines_read(ctx, m, 2, &l))
        return;
    for (uint32_t i = 0; i + 1 < l.n; i++) {
        if (sign(step_at(&l.a, i).half) != sign(step_at(&l.b, i).half)) {
            fail_move(ctx, &l, i, i + 1, "");
            suggest_shared(ctx, &l, CONTOUR);
            return;
        }
    }
    if (!fail_counts(ctx, &l))
        claim_holds(ctx, "%.*s in both", STR_ARG(contour_words(ctx, &l.a)));
}

/* Every note against every earlier one, not its neighbour only. */
static void check_full_contour(struct claim_context *ctx, const struct match *m)
{
    struct lines l;
    if (!lines_read(ctx, m, 2, &l))
        return;
    for (uint32_t to = 1; to < l.n; to++) {
        for (uint32_t from = 0; from < to; from++) {
            int a = sign(pitch_midi(pitch_at(&l.a, to)) - pitch_midi(pitch_at(&l.a, from)));
            int b = sign(pitch_midi(pitch_at(&l.b, to)) - pitch_midi(pitch_at(&l.b, from)));
            if (a != b) {
                fail_move(ctx, &l, from, to, "");
                suggest_shared(ctx, &l, FULL_CONTOUR);
                return;
            }
        }
    }
    if (!fail_counts(ctx, &l))
        claim_holds(ctx, "%.*s in both, and every note stands alike to all others",
                    STR_ARG(contour_words(ctx, &l.a)));
}

/* "a half step up, a third down" is long: name the notes that make the intervals. */
static void check_intervals(struct claim_context *ctx, const struct match *m)
{
    struct lines l;
    if (!lines_read(ctx, m, 2, &l))
        return;
    bool sounding = ctx->conventions->choice[CONVENTION_PARALLEL] == 0;
    uint32_t respelled = 0;
    for (uint32_t i = 0; i + 1 < l.n; i++) {
        struct interval a = step_at(&l.a, i), b = step_at(&l.b, i);
        if (interval_eq(a, b))
            continue;
        bool sounds = a.half == b.half;
        if (sounds) {
            claim_convention(ctx, CONVENTION_PARALLEL);
            respelled = respelled ? respelled : i + 2;
        }
        if (sounds && sounding)
            continue;
        fail_move(ctx, &l, i, i + 1, sounds ? "; they sound the same" : "");
        suggest_shared(ctx, &l, INTERVALS);
        return;
    }
    if (fail_counts(ctx, &l))
        return;
    struct str a = line_words(ctx, &l.a), b = line_words(ctx, &l.b);
    struct str count = say_count(ctx, l.n - 1, "interval", "intervals");
    if (respelled)
        claim_holds(ctx, "%.*s and %.*s: %.*s in the same order, by sound (note %u is spelled otherwise)",
                    STR_ARG(a), STR_ARG(b), STR_ARG(count), respelled);
    else
        claim_holds(ctx, "%.*s and %.*s: %.*s in the same order", STR_ARG(a), STR_ARG(b), STR_ARG(count));
}

/* ---- first notes
 * ------------------------------------------------------------------------------------------------ */

static bool notes_same(struct pitch a, struct pitch b, bool any_octave)
{
    return any_octave ? tone_eq(a.tone, b.tone) : pitch_eq(a, b);
}

static uint32_t same_beginning(const struct lines *l, bool any_octave)
{
    uint32_t n = 0;
    while (n < l->n && notes_same(pitch_at(&l->a, n), pitch_at(&l->b, n), any_octave))
        n++;
    return n;
}

/* The longest beginning that is the same: at pitch, else in any octave. */
static void suggest_first(struct claim_context *ctx, const struct lines *l, int64_t wanted)
{
    uint32_t at_pitch = same_beginning(l, false), octaves = same_beginning(l, true);
    bool free = octaves >= wanted || at_pitch == 0;
    int64_t n = free ? octaves : at_pitch;
    if (n > wanted)
        n = wanted;
    if (n > 0)
        claim_instead(ctx, "%.*s and %.*s share their first %.*s%s", STR_ARG(l->a_words), STR_ARG(l->b_words),
                      STR_ARG(say_count(ctx, n, "note", "notes")), free ? " in any octave" : "");
}

static void check_first(struct claim_context *ctx, const struct match *m)
{
    struct lines l;
    int64_t wanted = m->count[0];
    bool any_octave = m->choice[0] == 0;
    if (wanted < 1) {
        claim_undecided(ctx, "no note is nothing to share: give a number of notes");
        return;
    }
    if (!lines_read(ctx, m, 1, &l))
        return;
    uint32_t same = same_beginning(&l, any_octave);
    if (same >= wanted) {
        struct line head = l.a;
        head.n = (uint32_t)wanted;
        claim_holds(ctx, "both begin %.*s%s", STR_ARG(line_words(ctx, &head)),
                    any_octave ? ", octaves apart or not" : "");
        return;
    }
    if (same == l.n) {
        bool a_short = l.a.n == l.n;
        claim_fails(ctx, "%.*s has only %.*s", STR_ARG(a_short ? l.a_words : l.b_words),
                    STR_ARG(say_count(ctx, l.n, "note", "notes")));
    } else {
        struct pitch a = pitch_at(&l.a, same), b = pitch_at(&l.b, same);
        bool octave = tone_eq(a.tone, b.tone), sounds = pitch_midi(a) == pitch_midi(b);
        claim_place(ctx, l.a.notes[same]->where, "note %u of %.*s", same + 1, STR_ARG(l.a_words));
        claim_place(ctx, l.b.notes[same]->where, "note %u of %.*s", same + 1, STR_ARG(l.b_words));
        claim_fails(ctx, "note %u is %.*s%.*s in %.*s, %.*s%.*s in %.*s%s", same + 1,
                    STR_ARG(say_pitch(ctx, a)), STR_ARG(note_at(ctx, &l.a, same)), STR_ARG(l.a_words),
                    STR_ARG(say_pitch(ctx, b)), STR_ARG(note_at(ctx, &l.b, same)), STR_ARG(l.b_words),
                    octave   ? ": the same tone in another octave"
                    : sounds ? ": the same sound, spelled otherwise"
                             : "");
    }
    suggest_first(ctx, &l, wanted);
}

/* ---- sentences
 * ------------------------------------------------------------------------------------------------------- */

static void check_shared(struct claim_context *ctx, const struct match *m, enum shared what)
{
    switch (what) {
    case RHYTHM:
        check_rhythm(ctx, m);
        return;
    case CONTOUR:
        check_contour(ctx, m);
        return;
    case FULL_CONTOUR:
        check_full_contour(ctx, m);
        return;
    case INTERVALS:
        check_intervals(ctx, m);
        return;
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    static const enum shared of_choice[] = {RHYTHM, CONTOUR, FULL_CONTOUR, INTERVALS, CONTOUR};
    if (streams_same(&m->stream[0], &m->stream[1])) {
        claim_undecided(ctx, "%.*s is compared with itself: name two", STR_ARG(m->stream[0].words));
        return;
    }
    switch ((enum pattern)pattern) {
    case SHARE:
    case HAVE_SAME:
    case HAS_SAME_AS:
    case SHARES_WITH:
        check_shared(ctx, m, of_choice[m->choice[0]]);
        return;
    case SHARE_FIRST:
    case SHARES_FIRST_WITH:
    case BEGIN_WITH:
        check_first(ctx, m);
        return;
    }
}

const struct claim_kind claim_kind_share = {
    .name = "share",
    .patterns = patterns,
    .meaning = "two lines have one rhythm, one contour, the same intervals in order, or the same first notes",
    .page = claim_page_share,
    .check = check,
    .fails = DIAG_FAILS_share,
};
