#include "claims/clocks.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

#define BEGINS "enters|begins|starts"
#define ENDS "ends|stops|finishes"
#define CLOCK "TIME of|in|on RECORDING"

enum pattern { BEGINS_WITHIN, BEGINS_AT, BEGINS_AT_WITHIN, ENDS_WITHIN, ENDS_AT, ENDS_AT_WITHIN };

static const char *const patterns[] = {
    [BEGINS_WITHIN] = "STREAM " BEGINS " within LENGTH of " CLOCK,
    [BEGINS_AT] = "STREAM " BEGINS " at|on " CLOCK,
    [BEGINS_AT_WITHIN] = "STREAM " BEGINS " at|on " CLOCK " within LENGTH",
    [ENDS_WITHIN] = "STREAM " ENDS " within LENGTH of " CLOCK,
    [ENDS_AT] = "STREAM " ENDS " at|on " CLOCK,
    [ENDS_AT_WITHIN] = "STREAM " ENDS " at|on " CLOCK " within LENGTH",
    NULL,
};

/* ---- where it begins or ends, in bars -------------------------------------------------------- */

struct edge {
    struct ratio at;
    bool end;
    const struct note *note; /* the note that begins or ends there; NULL: a bar line */
    struct gap gap;          /* something unknown beyond it */
    bool unsure;
};

/* A passage goes from its first bar line to its last, or through the bars named. */
static bool covers_bars(const struct stream *s)
{
    return s->kind == STREAM_ALL || s->kind == STREAM_HARMONY || s->kind == STREAM_OUTER;
}

static const struct part *part_of(const struct stream *s)
{
    return s->kind == STREAM_PART || s->kind == STREAM_VOICE ? s->part : NULL;
}

/* What a part leaves open beyond its first or last written note. */
static void edge_gap(const struct stream *s, struct stretch where, struct edge *e)
{
    struct stretch beyond = where;
    if (e->end)
        beyond.onset = e->at;
    else
        beyond.end = e->at;
    e->unsure = ratio_lt(beyond.onset, beyond.end) && passage_gap(s->passage, part_of(s), beyond, &e->gap);
}

/* Notes of a part, an open bar or not: what is written tells where it does not begin. */
static const struct note *part_edge(struct claim_context *ctx, const struct stream *s, struct stretch where,
                                    bool end)
{
    const struct note *found = NULL;
    for (uint32_t i = 0; i < s->part->n_notes; i++) {
        const struct note *n = &s->part->notes[i];
        bool mine = s->kind != STREAM_VOICE || n->voice == s->voice;
        if (!mine || !note_sounds(n, where) || !take_note(ctx, s->passage, n))
            continue;
        bool further =
            found && (end ? ratio_lt(note_end(found), note_end(n)) : ratio_lt(n->onset, found->onset));
        if (!found || further)
            found = n;
    }
    return found;
}

/* False after an undecided verdict. */
static bool edge_find(struct claim_context *ctx, const struct stream *s, struct stretch where, bool end,
                      struct edge *out)
{
    struct line l;
    *out = (struct edge){.at = end ? where.end : where.onset, .end = end};
    if (covers_bars(s))
        return true;
    if (part_of(s)) {
        out->note = part_edge(ctx, s, where, end);
        if (!out->note) {
            nothing_sounds(ctx, s, s->passage, where);
            return false;
        }
    } else {
        if (!stream_notes(ctx, s, where, &l))
            return false;
        out->note = l.notes[0];
        for (uint32_t i = 1; i < l.n && end; i++)
            if (ratio_lt(note_end(out->note), note_end(l.notes[i])))
                out->note = l.notes[i];
    }
    out->at = end ? note_end(out->note) : out->note->onset;
    if (part_of(s))
        edge_gap(s, where, out);
    return true;
}

/* "`reed` enters at bar 3 beat 1 with E4", "lamp ends at the end of bar 6" */
static struct str edge_words(struct claim_context *ctx, const struct stream *s, const struct edge *e)
{
    struct str name = tell_short(s), at = say_place(ctx, s->passage, e->at);
    if (!e->note)
        return say_text(ctx, "%.*s %s at %.*s", STR_ARG(name), e->end ? "ends" : "begins", STR_ARG(at));
    return say_text(ctx, "%.*s %s %.*s at %.*s", STR_ARG(name),
                    e->end ? "ends its last note," : "begins with", STR_ARG(say_pitch(ctx, e->note->pitch)),
                    STR_ARG(at));
}

/* ---- on the clock ---------------------------------------------------------------------------- */

struct meeting {
    struct ratio shown; /* what the clock shows there */
    struct ratio off;   /* shown less the time of the sentence */
    bool fits, found;
};

/* A passage may be heard more than once: the hearing that comes nearest counts. */
static struct meeting meet(const struct match *m, const struct stream *s, const struct edge *e,
                           struct ratio tolerance)
{
    struct meeting best = {.found = false};
    for (uint32_t i = 0; i < s->passage->n_heard; i++) {
        const struct heard *h = &s->passage->heard[i];
        struct meeting one = {.found = true};
        if (h->recording != m->recording[0] || !clock_at(s->passage, h, e->at, &one.shown) ||
            !ratio_sub(one.shown, m->time[0], &one.off))
            continue;
        struct ratio size = {one.off.num < 0 ? -one.off.num : one.off.num, one.off.den};
        struct ratio best_size = {best.off.num < 0 ? -best.off.num : best.off.num, best.off.den};
        one.fits = ratio_le(size, tolerance);
        if (!best.found || ratio_lt(size, best_size))
            best = one;
    }
    return best;
}

static bool is_heard(const struct stream *s, const struct recording *r)
{
    for (uint32_t i = 0; i < s->passage->n_heard; i++)
        if (s->passage->heard[i].recording == r)
            return true;
    return false;
}

static void missing_clock(struct claim_context *ctx, const struct match *m, const struct stream *s)
{
    struct str passage = s->passage->symbol.name, r = m->recording[0]->symbol.name;
    if (!is_heard(s, m->recording[0]))
        claim_undecided(ctx, "`%.*s` is not heard in `%.*s` by this file: add `heard in %.*s … to …` to it",
                        STR_ARG(passage), STR_ARG(r), STR_ARG(r));
    else
        claim_undecided(ctx, "`%.*s` states no tempo, so only its two ends have a time: add `tempo`",
                        STR_ARG(passage));
}

/* "0.5 s (12 frames) late" */
static struct str off_words(struct claim_context *ctx, const struct recording *r, struct ratio off)
{
    struct ratio size = {off.num < 0 ? -off.num : off.num, off.den}, frames;
    struct str seconds = clock_seconds_words(ctx, size);
    const char *side = off.num < 0 ? "early" : "late";
    if (size.num == 0)
        return STR("on the dot");
    bool exact;
    if (!r->has_frames || !ratio_mul(size, r->rate.fps, &frames))
        return say_text(ctx, "%.*s %s", STR_ARG(seconds), side);
    struct str n = decimal_words(ctx, frames, 1, &exact);
    return say_text(ctx, "%.*s (%s%.*s %s) %s", STR_ARG(seconds), exact ? "" : "about ", STR_ARG(n),
                    ratio_eq(frames, RATIO_ONE) ? "frame" : "frames", side);
}

/* The time as the clock shows it, if it is right within the tolerance although rounded. */
static void suggest(struct claim_context *ctx, const struct match *m, const struct stream *s,
                    const struct edge *e, const struct meeting *meeting)
{
    const struct recording *r = m->recording[0];
    struct ratio tolerance = clock_tolerance(ctx, r), off;
    struct ratio shown =
        r->has_frames ? frames_seconds(r->rate, seconds_frames(r->rate, meeting->shown)) : RATIO_ZERO;
    if (!r->has_frames && (!ratio_mul(meeting->shown, ratio_int(1000), &shown) ||
                           !ratio_make(ratio_round(shown), 1000, &shown)))
        return;
    if (!ratio_sub(meeting->shown, shown, &off) || meeting->shown.num < 0)
        return;
    off.num = off.num < 0 ? -off.num : off.num;
    if (ratio_le(off, tolerance))
        claim_instead(ctx, "%.*s %s at %.*s of %.*s%.*s", STR_ARG(s->words),
                      e->end           ? "ends"
                      : covers_bars(s) ? "begins"
                                       : "enters",
                      STR_ARG(recording_text(ctx->arena, r, meeting->shown)), STR_ARG(r->symbol.name),
                      STR_ARG(tell_span(ctx, m)));
}

static void decide(struct claim_context *ctx, const struct match *m, const struct stream *s,
                   const struct edge *e, struct ratio tolerance)
{
    const struct recording *r = m->recording[0];
    struct meeting meeting = meet(m, s, e, tolerance);
    if (!meeting.found) {
        missing_clock(ctx, m, s);
        return;
    }
    struct str within =
        clock_tolerance_words(ctx, m->n_lengths == 0 && clock_tolerance_is_frame(ctx), tolerance);
    struct str words = edge_words(ctx, s, e), shown = recording_text(ctx->arena, r, meeting.shown);
    struct str off = off_words(ctx, r, meeting.off);
    if (e->note)
        claim_place(ctx, e->note->where, "%s", e->end ? "the last note" : "the first note");
    /* A note that is not written may come still earlier, or end still later. */
    bool beyond = e->unsure && (e->end ? meeting.off.num <= 0 : meeting.off.num >= 0);
    if (e->unsure && (meeting.fits || beyond))
        claim_undecided(ctx, "%.*s, `%.*s` %.*s, but %.*s", STR_ARG(words), STR_ARG(r->symbol.name),
                        STR_ARG(shown), STR_ARG(gap_words(ctx, &e->gap)));
    else if (meeting.fits)
        claim_holds(ctx, "%.*s, `%.*s` %.*s: %.*s (right within %.*s)", STR_ARG(words),
                    STR_ARG(r->symbol.name), STR_ARG(shown), STR_ARG(off), STR_ARG(within));
    else {
        claim_fails(ctx, "%.*s, `%.*s` %.*s: %.*s (give or take %.*s)", STR_ARG(words),
                    STR_ARG(r->symbol.name), STR_ARG(shown), STR_ARG(off), STR_ARG(within));
        if (!e->unsure)
            suggest(ctx, m, s, e, &meeting);
    }
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    const struct stream *s = &m->stream[0];
    bool end = pattern >= ENDS_WITHIN;
    struct stretch where;
    struct edge e;
    struct ratio tolerance = clock_tolerance(ctx, m->recording[0]);
    if (!s->passage) {
        claim_undecided(ctx, "%.*s belongs to no passage, so no clock shows it", STR_ARG(s->words));
        return;
    }
    if (m->n_lengths && !clock_length(ctx, &m->length[0], m->recording[0], &tolerance)) {
        claim_undecided(ctx, "a clock is off by seconds or frames, not by %.*s", STR_ARG(m->length[0].words));
        return;
    }
    if (!match_stretch(ctx, m, s, &where))
        return;
    take_passage(ctx, s->passage);
    if (m->n_lengths == 0)
        claim_convention(ctx, CONVENTION_TIME_TOLERANCE);
    if (s->passage->n_bars == 0) {
        claim_undecided(ctx, "no bar of `%.*s` is written, so nothing in it has a time",
                        STR_ARG(s->passage->symbol.name));
        return;
    }
    if (edge_find(ctx, s, where, end, &e))
        decide(ctx, m, s, &e, tolerance);
}

const struct claim_kind claim_kind_sync = {
    .name = "sync",
    .patterns = patterns,
    .meaning = "what a recording's clock shows where a part enters, or where a passage begins or ends",
    .page = claim_page_sync,
    .check = check,
    .fails = DIAG_FAILS_sync,
};
