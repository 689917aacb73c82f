#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sizes.h"
#include "claims/sound.h"
#include "claims/statements.h"
#include "claims/tell.h"

#include "base/buf.h"

#define CHORDS "chords|accompaniment"
#define GIVES "hands|passes|gives"
#define GOES "passes|goes|moves|wanders"

enum pattern { CHORDS_TO, CHORDS_FROM, CHORDS_PASS, FIGURE_TO, FIGURE_FROM, FIGURE_PASSES };

static const char *const patterns[] = {
    [CHORDS_TO] = "PART " GIVES " [over|on] " CHORDS " [over|on] to PART",
    [CHORDS_FROM] = "PART takes [over] " CHORDS " [over] from PART",
    [CHORDS_PASS] = CHORDS " pass|go|move|wander [over|on] from PART to PART",
    [FIGURE_TO] = "PART " GIVES " [over|on] FIGURE [over|on] to PART",
    [FIGURE_FROM] = "PART takes [over] FIGURE [over] from PART",
    [FIGURE_PASSES] = "FIGURE " GOES " [over|on] from PART to PART",
    NULL,
};

struct question {
    const struct stream *giver, *taker;
    const struct stream *figure; /* NULL: chords */
    const struct passage *passage;
};

/* ---- one part, as runs of what it plays ------------------------------------------------------ */

/* A chord, or a statement of the figure. */
struct event {
    struct ratio onset, end;
    pcset set; /* of a chord */
    const struct pitch *pitches;
    uint32_t n;            /* notes in it */
    struct interval level; /* of a statement, against the figure */
    struct span where;
};

struct player {
    const struct stream *stream;
    struct event *events; /* chords, or statements only */
    uint32_t n;
    struct line notes; /* everything it plays */
};

static bool read_chords(struct claim_context *ctx, struct player *p, struct stretch where)
{
    struct moments chords;
    if (!stream_moments(ctx, p->stream, where, 1, &chords))
        return false;
    p->events = ARENA_NEW_ARRAY(ctx->arena, struct event, chords.n);
    for (uint32_t i = 0; i < chords.n; i++) {
        const struct moment *m = &chords.items[i];
        struct event *e = &p->events[p->n++];
        *e = (struct event){.onset = m->onset,
                            .end = ratio_plus(m->onset, m->length),
                            .pitches = m->pitches,
                            .n = m->n,
                            .where = m->where};
        for (uint32_t k = 0; k < m->n; k++)
            e->set |= pcset_of(tone_pc(m->tones[k]));
    }
    return true;
}

static bool read_statements(struct claim_context *ctx, const struct question *q, struct player *p,
                            struct stretch where)
{
    const struct figure *f = q->figure->figure;
    struct stretch own = {.onset = f->onset, .end = ratio_plus(f->onset, f->length)};
    struct line line, figure;
    struct statements found;
    if (!stream_line(ctx, p->stream, where, 1, &line) || !stream_line(ctx, q->figure, own, 1, &figure))
        return false;
    statements_find(ctx, &line, &figure, SAME_MELODY, &found);
    p->events = ARENA_NEW_ARRAY(ctx->arena, struct event, found.n + 1);
    for (uint32_t i = 0; i < found.n; i++) {
        const struct statement *s = &found.items[i];
        p->events[p->n++] = (struct event){.onset = s->onset,
                                           .end = s->end,
                                           .n = s->n,
                                           .level = s->level,
                                           .where = line.notes[s->first]->where};
    }
    return true;
}

static bool player_read(struct claim_context *ctx, const struct question *q, const struct stream *s,
                        struct player *out)
{
    struct stretch all = passage_stretch(q->passage);
    *out = (struct player){.stream = s};
    return stream_notes(ctx, s, all, &out->notes) &&
           (q->figure ? read_statements(ctx, q, out, all) : read_chords(ctx, out, all));
}

/* ---- looking for the place ------------------------------------------------------------------- */

enum outcome { HANDED, NOT_BEFORE, GOES_ON, OTHER_CHORD, LONE_NOTE };

/* What is found at one entry of the taker. */
struct hand_off {
    enum outcome outcome;
    const struct event *last, *first; /* of the giver, of the taker */
    const struct event *odd;          /* OTHER_CHORD, LONE_NOTE: the taker's, or giver's */
    struct ratio goes_on;             /* GOES_ON: where the giver plays again */
    bool same_pitch;
};

static struct ratio beat_at(const struct passage *p, struct ratio at)
{
    const struct bar *bar = passage_bar_at(p, at);
    return bar ? (struct ratio){1, bar->meter.unit} : RATIO_ZERO;
}

/* Does it come after more than a beat of rest? A statement of a figure is an entry wherever it begins. */
static bool is_entry(const struct question *q, const struct player *p, uint32_t i)
{
    return q->figure || i == 0 ||
           ratio_lt(ratio_plus(p->events[i - 1].end, beat_at(q->passage, p->events[i].onset)),
                    p->events[i].onset);
}

/* Index after the last event of a run: those that come with no more than a beat between. */
static uint32_t run_end(const struct question *q, const struct player *p, uint32_t first)
{
    uint32_t i = first + 1;
    while (i < p->n && !is_entry(q, p, i))
        i++;
    return i;
}

static bool same_pitches(const struct event *a, const struct event *b)
{
    if (a->n != b->n)
        return false;
    for (uint32_t i = 0; i < a->n; i++)
        if (pitch_midi(a->pitches[i]) != pitch_midi(b->pitches[i]))
            return false;
    return true;
}

/* Every chord of the taker's run must be one that the giver played before it. */
static void compare_chords(const struct player *giver, uint32_t from, uint32_t to, const struct player *taker,
                           uint32_t first, uint32_t end, struct hand_off *out)
{
    out->same_pitch = true;
    for (uint32_t i = first; i < end; i++) {
        bool known = false, same = false;
        for (uint32_t k = from; k < to; k++) {
            known = known || giver->events[k].set == taker->events[i].set;
            same = same || same_pitches(&giver->events[k], &taker->events[i]);
        }
        out->same_pitch = out->same_pitch && same;
        if (!known || taker->events[i].n < 2) {
            out->outcome = taker->events[i].n < 2 ? LONE_NOTE : OTHER_CHORD;
            out->odd = &taker->events[i];
            return;
        }
    }
}

/* How many events of a player begin before a position; notes of a line likewise. */
static uint32_t events_before(const struct player *p, struct ratio at)
{
    uint32_t lo = 0, hi = p->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(p->events[middle].onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

static uint32_t notes_before(const struct line *l, struct ratio at)
{
    uint32_t lo = 0, hi = l->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(l->notes[middle]->onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

static struct hand_off look_at(const struct question *q, const struct player *giver,
                               const struct player *taker, uint32_t first)
{
    const struct event *e = &taker->events[first];
    struct hand_off out = {.outcome = NOT_BEFORE, .first = e};
    struct ratio beat = beat_at(q->passage, e->onset);
    uint32_t end = run_end(q, taker, first), last = events_before(giver, e->onset);
    if (last == 0)
        return out;
    last--;
    out.last = &giver->events[last];
    if (ratio_lt(ratio_plus(out.last->end, beat), e->onset))
        return out;
    out.outcome = GOES_ON;
    out.goes_on = e->onset;
    if (ratio_lt(ratio_plus(e->onset, beat), out.last->end))
        return out;
    for (uint32_t i = notes_before(&giver->notes, e->onset); i < giver->notes.n; i++) {
        out.goes_on = giver->notes.notes[i]->onset;
        if (!ratio_lt(out.goes_on, taker->events[end - 1].end))
            break;
        if (ratio_le(out.last->end, out.goes_on))
            return out;
    }
    out.outcome = HANDED;
    if (q->figure) {
        out.same_pitch = out.last->level.half == e->level.half;
        return out;
    }
    uint32_t from = last;
    while (!is_entry(q, giver, from))
        from--;
    compare_chords(giver, from, last + 1, taker, first, end, &out);
    return out;
}

/* The first entry within the stretch that is a hand-off, or else the one that comes nearest to it. False: no
 * entry. */
static bool search(const struct question *q, const struct player *giver, const struct player *taker,
                   struct stretch where, struct hand_off *out)
{
    static const int nearness[] = {
        [HANDED] = 3, [NOT_BEFORE] = 0, [GOES_ON] = 1, [OTHER_CHORD] = 2, [LONE_NOTE] = 2};
    bool found = false;
    for (uint32_t i = 0; i < taker->n; i++) {
        const struct event *e = &taker->events[i];
        if (ratio_lt(e->onset, where.onset) || !ratio_lt(e->onset, where.end) || !is_entry(q, taker, i))
            continue;
        struct hand_off one = look_at(q, giver, taker, i);
        if (!found || nearness[one.outcome] > nearness[out->outcome])
            *out = one;
        found = true;
    }
    return found;
}

/* ---- words ----------------------------------------------------------------------------------- */

static struct str event_words(struct claim_context *ctx, const struct event *e)
{
    return say_text(ctx, "(%.*s)", STR_ARG(say_pitches(ctx, e->pitches, e->n)));
}

static struct str what_words(const struct question *q)
{
    return q->figure ? q->figure->words : STR("the chords");
}

static void hold(struct claim_context *ctx, const struct question *q, const struct hand_off *h)
{
    struct str a = tell_short(q->giver), b = tell_short(q->taker), what = what_words(q);
    struct str end = say_place(ctx, q->passage, h->last->end),
               at = say_place(ctx, q->passage, h->first->onset);
    struct str how = h->same_pitch ? STR("at the same pitch") : STR("in another register");
    if (q->figure && !h->same_pitch)
        how = size_level(ctx, (struct interval){h->first->level.steps - h->last->level.steps,
                                                h->first->level.half - h->last->level.half});
    claim_place(ctx, h->last->where, "the last of %.*s", STR_ARG(a));
    claim_place(ctx, h->first->where, "the first of %.*s", STR_ARG(b));
    claim_holds(ctx, "%.*s has %.*s up to %.*s and stops, %.*s has %.*s from %.*s on, %.*s", STR_ARG(a),
                STR_ARG(what), STR_ARG(end), STR_ARG(b), STR_ARG(what), STR_ARG(at), STR_ARG(how));
}

static void fail(struct claim_context *ctx, const struct question *q, const struct hand_off *h)
{
    struct str a = tell_short(q->giver), b = tell_short(q->taker),
               at = say_place(ctx, q->passage, h->first->onset);
    struct str what = what_words(q);
    claim_place(ctx, h->first->where, "%.*s comes in", STR_ARG(b));
    switch (h->outcome) {
    case HANDED:
        return;
    case NOT_BEFORE:
        if (h->last)
            claim_fails(ctx, "%.*s has %.*s from %.*s on, more than a beat after %.*s has ended (%.*s)",
                        STR_ARG(b), STR_ARG(what), STR_ARG(at), STR_ARG(a),
                        STR_ARG(say_place(ctx, q->passage, h->last->end)));
        else
            claim_fails(ctx, "%.*s has %.*s from %.*s on, and %.*s has not had %s before", STR_ARG(b),
                        STR_ARG(what), STR_ARG(at), STR_ARG(a), q->figure ? "it" : "any");
        return;
    case GOES_ON:
        claim_fails(ctx, "%.*s comes in at %.*s, but %.*s does not stop: it plays on at %.*s", STR_ARG(b),
                    STR_ARG(at), STR_ARG(a), STR_ARG(say_place(ctx, q->passage, h->goes_on)));
        return;
    case OTHER_CHORD:
        claim_place(ctx, h->odd->where, "not among the chords before");
        claim_fails(ctx, "%.*s comes in at %.*s, but its chord %.*s at %.*s is none that %.*s played",
                    STR_ARG(b), STR_ARG(at), STR_ARG(event_words(ctx, h->odd)),
                    STR_ARG(say_place(ctx, q->passage, h->odd->onset)), STR_ARG(a));
        return;
    case LONE_NOTE:
        claim_place(ctx, h->odd->where, "a single note");
        claim_fails(ctx, "%.*s comes in at %.*s, but with a single note at %.*s, which is no chord",
                    STR_ARG(b), STR_ARG(at), STR_ARG(say_place(ctx, q->passage, h->odd->onset)));
        return;
    }
}

/* ---- what is true instead -------------------------------------------------------------------- */

static void suggest(struct claim_context *ctx, const struct question *q, const struct player *giver,
                    const struct player *taker)
{
    struct hand_off h;
    struct stretch all = passage_stretch(q->passage);
    for (int turned = 0; turned < 2; turned++) {
        const struct player *a = turned ? taker : giver, *b = turned ? giver : taker;
        struct question other = *q;
        other.giver = a->stream;
        other.taker = b->stream;
        if (!search(&other, a, b, all, &h) || h.outcome != HANDED)
            continue;
        claim_instead(ctx, "%.*s hands %.*s to %.*s at %.*s", STR_ARG(a->stream->words),
                      STR_ARG(what_words(q)), STR_ARG(b->stream->words),
                      STR_ARG(say_place(ctx, q->passage, h.first->onset)));
        return;
    }
}

/* ---- the sentence ---------------------------------------------------------------------------- */

static struct question question_of(const struct match *m, enum pattern pattern)
{
    const struct stream *s = m->stream;
    struct question q = {0};
    switch (pattern) {
    case CHORDS_TO:
    case CHORDS_PASS:
        q = (struct question){.giver = &s[0], .taker = &s[1]};
        break;
    case CHORDS_FROM:
        q = (struct question){.giver = &s[1], .taker = &s[0]};
        break;
    case FIGURE_TO:
        q = (struct question){.giver = &s[0], .taker = &s[2], .figure = &s[1]};
        break;
    case FIGURE_FROM:
        q = (struct question){.giver = &s[2], .taker = &s[0], .figure = &s[1]};
        break;
    case FIGURE_PASSES:
        q = (struct question){.giver = &s[1], .taker = &s[2], .figure = &s[0]};
        break;
    }
    q.passage = q.giver->passage;
    return q;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct question q = question_of(m, (enum pattern)pattern);
    struct stretch where;
    struct player giver, taker;
    struct hand_off h = {.outcome = NOT_BEFORE};
    if (!q.passage || q.passage != q.taker->passage || streams_same(q.giver, q.taker)) {
        claim_undecided(ctx, "%.*s and %.*s are not two parts of one passage", STR_ARG(q.giver->words),
                        STR_ARG(q.taker->words));
        return;
    }
    if (!match_stretch(ctx, m, q.giver, &where) || !player_read(ctx, &q, q.giver, &giver) ||
        !player_read(ctx, &q, q.taker, &taker))
        return;
    struct str what = what_words(&q);
    if (!search(&q, &giver, &taker, where, &h)) {
        claim_fails(ctx, "%.*s does not come in with %.*s there", STR_ARG(tell_short(q.taker)),
                    STR_ARG(what));
        suggest(ctx, &q, &giver, &taker);
    } else if (h.outcome == HANDED) {
        hold(ctx, &q, &h);
    } else {
        fail(ctx, &q, &h);
        suggest(ctx, &q, &giver, &taker);
    }
}

const struct claim_kind claim_kind_hand_off = {
    .name = "hand-off",
    .patterns = patterns,
    .meaning = "one part stops, and within a beat another goes on with the same chords or the same figure",
    .page = claim_page_hand_off,
    .check = check,
    .fails = DIAG_FAILS_hand_off,
};
