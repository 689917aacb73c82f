#include "claims/distances.h"
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sizes.h"
#include "claims/tell.h"

#include "base/buf.h"

#include <inttypes.h>
#include <stdlib.h>

#define VERB "imitates|follows"
#define STEPS "<second|third|fourth|fifth|sixth|seventh|ninth|tenth|eleventh|twelfth>"
static const int steps_of_choice[] = {1, 2, 3, 4, 5, 6, 8, 9, 10, 11};
#define AFTER "[<after> LENGTH] [<for> LENGTH]"
#define MAKES "make|form|are|sing|play [in] canon"

enum pattern { AT, AT_STEPS, BY, PLAIN, LATER, CANON, CANON_STEPS, CANON_PLAIN };

static const char *const patterns[] = {
    [AT] = "STREAM " VERB " STREAM [in canon] at|in INTERVAL [DIRECTION] " AFTER,
    [AT_STEPS] = "STREAM " VERB " STREAM [in canon] at|in " STEPS " [DIRECTION] " AFTER,
    [BY] = "STREAM " VERB " STREAM INTERVAL DIRECTION " AFTER,
    [PLAIN] = "STREAM imitates STREAM " AFTER,
    [LATER] = "STREAM follows STREAM in canon " AFTER,
    [CANON] = "STREAM and STREAM " MAKES " at|in INTERVAL [DIRECTION] " AFTER,
    [CANON_STEPS] = "STREAM and STREAM " MAKES " at|in " STEPS " [DIRECTION] " AFTER,
    [CANON_PLAIN] = "STREAM and STREAM " MAKES " " AFTER,
    NULL,
};

/* ---- what is asked --------------------------------------------------------------------------- */

struct question {
    const struct stream *follower, *leader;
    struct size size;                         /* of the follower against the leader */
    const struct length_ref *after, *lasting; /* NULL: as it is; to the end */
    const struct passage *passage;
};

/* ---- comparing ------------------------------------------------------------------------------- */

enum difference { ALIKE, NOT_ANSWERED, FREE_NOTE, RHYTHM, SIZES, NOT_ONE_SIZE, TOO_FEW };

struct finding {
    enum difference difference;
    uint32_t i, k; /* notes of the leader and the follower */
    struct interval first;
    bool steps_only, by_compound;
    uint32_t notes;     /* that agree */
    struct ratio until; /* up to where the follower agrees */
};

static uint32_t first_from(const struct line *l, struct ratio at)
{
    uint32_t i = 0;
    while (i < l->n && ratio_lt(l->notes[i]->onset, at))
        i++;
    return i;
}

static bool compare_note(const struct claim_context *ctx, const struct question *q, const struct note *lead,
                         const struct note *follow, struct ratio end, struct finding *f)
{
    struct interval v = interval_between(lead->pitch, follow->pitch);
    struct ratio answered = ratio_plus(follow->onset, lead->length);
    bool hangs, both_go_on = ratio_le(end, answered) && ratio_le(end, note_end(follow));
    if (f->notes == 0)
        f->first = v;
    bool fits = size_fits(ctx, &q->size, v, &hangs);
    f->by_compound = f->by_compound || hangs;
    if (!fits || !size_same(&q->size, f->first, v)) {
        f->difference = fits ? NOT_ONE_SIZE : SIZES;
        return false;
    }
    if (!ratio_eq(lead->length, follow->length) && !both_go_on) {
        f->difference = RHYTHM;
        return false;
    }
    f->steps_only = f->steps_only || v.half != f->first.half;
    return true;
}

/* The leader from `start` on against the follower from `entry` on, up to `end` of the follower. */
static struct finding compare(const struct claim_context *ctx, const struct question *q,
                              const struct line *lead, const struct line *follow, struct ratio start,
                              struct ratio entry, struct ratio end)
{
    struct finding f = {
        .difference = ALIKE, .i = first_from(lead, start), .k = first_from(follow, entry), .until = entry};
    struct ratio by = ratio_minus(entry, start);
    for (;; f.i++, f.k++) {
        const struct note *a = f.i < lead->n ? lead->notes[f.i] : NULL;
        const struct note *b = f.k < follow->n ? follow->notes[f.k] : NULL;
        if (a && ratio_le(end, ratio_plus(a->onset, by)))
            a = NULL;
        if (b && ratio_le(end, b->onset))
            b = NULL;
        if (!a && !b)
            break;
        int order = !b ? -1 : !a ? 1 : ratio_cmp(ratio_plus(a->onset, by), b->onset);
        if (order) {
            f.difference = order < 0 ? NOT_ANSWERED : FREE_NOTE;
            return f;
        }
        f.until = b->onset;
        if (!compare_note(ctx, q, a, b, end, &f))
            return f;
        f.until = note_end(b);
        f.notes++;
    }
    if (f.notes < 2)
        f.difference = TOO_FEW;
    return f;
}

/* ---- words ----------------------------------------------------------------------------------- */

static struct str note_words(struct claim_context *ctx, const struct question *q, const struct note *n)
{
    struct str pitch = say_pitch(ctx, n->pitch);
    return say_text(ctx, "%.*s at %.*s", STR_ARG(pitch), STR_ARG(say_place(ctx, q->passage, n->onset)));
}

static void fail_words(struct claim_context *ctx, const struct question *q, const struct line *lead,
                       const struct line *follow, const struct finding *f, struct ratio entry)
{
    char x[RATIO_TEXT_MAX], y[RATIO_TEXT_MAX];
    const struct note *a = f->i < lead->n ? lead->notes[f->i] : NULL;
    const struct note *b = f->k < follow->n ? follow->notes[f->k] : NULL;
    struct str who = tell_short(q->follower), whom = tell_short(q->leader);
    uint32_t number = f->notes + 1;
    if (a)
        claim_place(ctx, a->where, "note %" PRIu32 " of %.*s", number, STR_ARG(whom));
    if (b)
        claim_place(ctx, b->where, "note %" PRIu32 " of %.*s", number, STR_ARG(who));
    if (f->difference == NOT_ANSWERED && f->notes == 0) {
        claim_fails(ctx, "%.*s begins nothing at %.*s", STR_ARG(who),
                    STR_ARG(say_place(ctx, q->passage, entry)));
    } else if (f->difference == NOT_ANSWERED) {
        claim_fails(ctx, "note %" PRIu32 ": %.*s of %.*s is not answered at its time", number,
                    STR_ARG(note_words(ctx, q, a)), STR_ARG(whom));
    } else if (f->difference == FREE_NOTE) {
        claim_fails(ctx, "note %" PRIu32 ": %.*s of %.*s answers nothing", number,
                    STR_ARG(note_words(ctx, q, b)), STR_ARG(who));
    } else if (f->difference == RHYTHM) {
        claim_fails(ctx, "note %" PRIu32 ": %.*s lasts %s, its answer %.*s %s", number,
                    STR_ARG(note_words(ctx, q, a)), ratio_text(a->length, true, x),
                    STR_ARG(note_words(ctx, q, b)), ratio_text(b->length, true, y));
    } else {
        struct str level = size_level(ctx, interval_between(a->pitch, b->pitch));
        struct str before = f->difference == NOT_ONE_SIZE
                                ? say_text(ctx, ", the notes before %.*s", STR_ARG(size_level(ctx, f->first)))
                                : STR("");
        claim_fails(ctx, "note %" PRIu32 ": %.*s is answered by %.*s, %.*s%.*s", number,
                    STR_ARG(note_words(ctx, q, a)), STR_ARG(note_words(ctx, q, b)), STR_ARG(level),
                    STR_ARG(before));
    }
}

/* ---- what is true instead -------------------------------------------------------------------- */

/* The unit of the sentence; without one, beats. */
static enum length_unit unit_of(const struct question *q)
{
    return q->after ? q->after->unit : LENGTH_BEATS;
}

static void suggest_sentence(struct claim_context *ctx, const struct question *q, const struct finding *f,
                             struct ratio start, struct ratio entry, struct str lasting, struct str span)
{
    struct ratio d;
    const char *number = size_number(f->first.steps);
    if (!distance_between(q->passage, unit_of(q), start, entry, &d) || (f->steps_only && !number))
        return;
    struct str level = f->steps_only
                           ? say_text(ctx, "at the %s %s", number, f->first.half < 0 ? "below" : "above")
                       : f->first.steps == 0 && f->first.half == 0 ? STR("at the unison")
                                                                   : size_level(ctx, f->first);
    claim_instead(ctx, "%.*s imitates %.*s %.*s after %.*s%.*s%.*s", STR_ARG(q->follower->words),
                  STR_ARG(q->leader->words), STR_ARG(level), STR_ARG(distance_words(ctx, unit_of(q), d)),
                  STR_ARG(lasting), STR_ARG(span));
}

/* As far as the follower does imitate, from where it enters: first by one interval, then by letters. */
static void suggest(struct claim_context *ctx, const struct match *m, const struct question *q,
                    const struct line *lead, const struct line *follow, struct ratio start,
                    struct ratio entry, struct ratio end)
{
    for (int by_steps = 0; by_steps < 2; by_steps++) {
        struct question any = *q;
        uint32_t i = first_from(lead, start), k = first_from(follow, entry);
        if (i == lead->n || k == follow->n)
            return;
        struct interval v = interval_between(lead->notes[i]->pitch, follow->notes[k]->pitch);
        any.size = (struct size){.kind = by_steps ? SIZE_STEPS : SIZE_ANY, .steps = abs(v.steps)};
        struct finding f = compare(ctx, &any, lead, follow, start, entry, end);
        if (f.difference == ALIKE) {
            suggest_sentence(ctx, q, &f, start, entry, STR(""), tell_span(ctx, m));
            return;
        }
        struct ratio bars, whole;
        if (!distance_between(q->passage, LENGTH_BARS, entry, f.until, &bars) || bars.num < bars.den)
            continue;
        struct length_ref lasting = {.unit = LENGTH_BARS, .amount = ratio_int(ratio_floor(bars))};
        if (!distance_after(q->passage, entry, &lasting, &whole))
            continue;
        f = compare(ctx, &any, lead, follow, start, entry, whole);
        if (f.difference != ALIKE)
            continue;
        struct str words = amount_words(ctx, lasting.amount, "bar", "bars");
        suggest_sentence(ctx, q, &f, start, entry, say_text(ctx, " for %.*s", STR_ARG(words)),
                         tell_span(ctx, m));
        return;
    }
}

/* ---- the verdict ----------------------------------------------------------------------------- */

static void hold(struct claim_context *ctx, const struct question *q, const struct finding *f,
                 struct ratio start, struct ratio entry)
{
    struct ratio d = RATIO_ZERO;
    struct str from = say_place(ctx, q->passage, start), at = say_place(ctx, q->passage, entry);
    struct str notes = say_count(ctx, f->notes, "note", "notes");
    struct str far = distance_between(q->passage, unit_of(q), start, entry, &d)
                         ? distance_words(ctx, unit_of(q), d)
                         : STR("");
    if (f->steps_only)
        claim_holds(
            ctx,
            "%.*s from %.*s on are answered from %.*s on, %.*s later, a %s %s: sizes as the key gives them",
            STR_ARG(notes), STR_ARG(from), STR_ARG(at), STR_ARG(far), size_number(f->first.steps),
            f->first.half < 0 ? "below" : "above");
    else
        claim_holds(ctx, "%.*s from %.*s on are answered from %.*s on, %.*s later, %.*s, note for note",
                    STR_ARG(notes), STR_ARG(from), STR_ARG(at), STR_ARG(far),
                    STR_ARG(size_level(ctx, f->first)));
}

/* Where the follower enters: as far after the leader as the sentence says, or with its first note after the
 * leader's. False after a verdict. */
static bool entry_of(struct claim_context *ctx, const struct question *q, const struct line *follow,
                     struct ratio start, struct ratio *entry)
{
    if (q->after) {
        if (distance_after(q->passage, start, q->after, entry))
            return true;
        claim_fails(ctx, "%.*s begins at %.*s; the passage ends less than %.*s after that",
                    STR_ARG(tell_short(q->leader)), STR_ARG(say_place(ctx, q->passage, start)),
                    STR_ARG(q->after->words));
        return false;
    }
    for (uint32_t i = 0; i < follow->n; i++) {
        if (ratio_lt(start, follow->notes[i]->onset)) {
            *entry = follow->notes[i]->onset;
            return true;
        }
    }
    claim_fails(ctx, "%.*s begins nothing after the first note of %.*s", STR_ARG(tell_short(q->follower)),
                STR_ARG(tell_short(q->leader)));
    return false;
}

static void decide(struct claim_context *ctx, const struct match *m, const struct question *q,
                   const struct line *lead, const struct line *follow, struct stretch where)
{
    struct ratio start = lead->notes[first_from(lead, where.onset)]->onset, entry, end = where.end, real;
    if (!entry_of(ctx, q, follow, start, &entry))
        return;
    if (q->lasting && !distance_after(q->passage, entry, q->lasting, &end)) {
        claim_fails(ctx, "from %.*s on there is less than %.*s left",
                    STR_ARG(say_place(ctx, q->passage, entry)), STR_ARG(q->lasting->words));
        return;
    }
    if (ratio_lt(where.end, end)) {
        claim_undecided(ctx, "the bars named end before %.*s are over: name more",
                        STR_ARG(q->lasting->words));
        return;
    }
    struct finding f = compare(ctx, q, lead, follow, start, entry, end);
    if (f.by_compound)
        claim_convention(ctx, CONVENTION_COMPOUND);
    if (f.difference == ALIKE) {
        hold(ctx, q, &f, start, entry);
        return;
    }
    if (f.difference == TOO_FEW) {
        claim_undecided(ctx,
                        "only %.*s of %.*s can be compared there, which makes no imitation: name more bars",
                        STR_ARG(say_count(ctx, f.notes, "note", "notes")), STR_ARG(tell_short(q->leader)));
        return;
    }
    fail_words(ctx, q, lead, follow, &f, entry);
    if (ctx->mute)
        return;
    uint32_t k = first_from(follow, start);
    while (k < follow->n && !ratio_lt(start, follow->notes[k]->onset))
        k++;
    real = f.notes == 0 && f.difference == NOT_ANSWERED && k < follow->n ? follow->notes[k]->onset : entry;
    suggest(ctx, m, q, lead, follow, start, real, where.end);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct question q = {.follower = &m->stream[0], .leader = &m->stream[1], .passage = m->stream[0].passage};
    struct stretch where;
    struct line lead, follow;
    int by_steps =
        pattern == AT_STEPS || pattern == CANON_STEPS; /* then a choice of the pattern comes first */
    bool canon = pattern == CANON || pattern == CANON_STEPS || pattern == CANON_PLAIN;
    if (m->n_intervals) {
        q.size = (struct size){.kind = SIZE_NAMED, .named = &m->interval[0]};
    } else if (by_steps) {
        q.size = (struct size){.kind = SIZE_STEPS, .steps = steps_of_choice[m->choice[0]]};
    }
    q.size.direction = m->n_directions ? m->direction[0] : 0;
    /* Which of the two lengths stand there. */
    if (m->choice[by_steps] == 0)
        q.after = &m->length[0];
    if (m->choice[by_steps + 1] == 0)
        q.lasting = &m->length[q.after != NULL];
    if ((q.after && !distance_is_musical(ctx, q.after, "a canon")) ||
        (q.lasting && !distance_is_musical(ctx, q.lasting, "a canon")))
        return;
    if (streams_same(q.follower, q.leader) || !q.passage || q.passage != q.leader->passage) {
        claim_undecided(ctx, "%.*s and %.*s are not two parts of one passage", STR_ARG(q.follower->words),
                        STR_ARG(q.leader->words));
        return;
    }
    if (q.follower->kind == STREAM_FIGURE || q.leader->kind == STREAM_FIGURE) {
        claim_undecided(ctx,
                        "a figure does not go on: name two parts, or say that one figure repeats the other");
        return;
    }
    if (!match_stretch(ctx, m, q.follower, &where) || !stream_line(ctx, q.follower, where, 1, &follow) ||
        !stream_line(ctx, q.leader, where, 1, &lead))
        return;
    uint32_t i = first_from(&lead, where.onset), k = first_from(&follow, where.onset);
    if (i == lead.n || k == follow.n) {
        claim_undecided(ctx, "%.*s begins no note there",
                        STR_ARG(i == lead.n ? q.leader->words : q.follower->words));
        return;
    }
    /* Of a canon the part that begins first leads. */
    if (canon && ratio_lt(follow.notes[k]->onset, lead.notes[i]->onset)) {
        const struct stream *s = q.follower;
        struct line l = follow;
        q.follower = q.leader;
        q.leader = s;
        follow = lead;
        lead = l;
    }
    decide(ctx, m, &q, &lead, &follow, where);
}

const struct claim_kind claim_kind_imitation = {
    .name = "imitation",
    .patterns = patterns,
    .meaning = "a part plays what another has played, at one interval and one distance, to the end or for so "
               "many bars",
    .page = claim_page_imitation,
    .check = check,
    .fails = DIAG_FAILS_imitation,
};
