/* interval.c - the interval from one note to another, by spelling and direction. */
#include "claims/pages.h"
#include "claims/tones.h"

enum {
    FROM_PITCH_TO_PITCH,
    INTERVAL_FROM_PITCH,
    PITCH_LIES,
    PITCHES_APART,
    BETWEEN_PITCHES,
    FROM_TONE_TO_TONE,
    FROM_PLACE_TO_PLACE,
    FROM_PLACE_TO_PLACE_OF_ONE,
    LEAPS,
    GOES,
    MOVES
};

enum { FIRST_DOWN = 3 }; /* among the verbs of GOES */

static const char *const patterns[] = {
    [FROM_PITCH_TO_PITCH] = "PITCH [DIRECTION] to PITCH is INTERVAL [DIRECTION]",
    [INTERVAL_FROM_PITCH] = "interval from PITCH [DIRECTION] to PITCH is INTERVAL [DIRECTION]",
    [PITCH_LIES] = "PITCH is|lies|stands|sounds INTERVAL DIRECTION PITCH",
    [PITCHES_APART] = "PITCH and PITCH are|lies|stands|sounds INTERVAL apart",
    [BETWEEN_PITCHES] = "interval between PITCH and PITCH is INTERVAL",
    [FROM_TONE_TO_TONE] = "TONE [DIRECTION] to TONE is INTERVAL [DIRECTION]",
    [FROM_PLACE_TO_PLACE] = "interval from PLACE of STREAM to PLACE of STREAM is INTERVAL [DIRECTION]",
    [FROM_PLACE_TO_PLACE_OF_ONE] = "interval from PLACE to PLACE of STREAM is INTERVAL [DIRECTION]",
    [LEAPS] = "STREAM leaps|jumps|skips [DIRECTION] INTERVAL [DIRECTION]",
    [GOES] = "STREAM <rises|climbs|ascends|falls|drops|sinks|descends> [by] INTERVAL",
    [MOVES] = "STREAM moves|goes|steps DIRECTION [by] INTERVAL",
    NULL,
};

/* Two notes and what the sentence says of them. */
struct pair {
    struct str from, to; /* "Eb3", or "B" for a tone */
    struct interval v;   /* spelled, signed */
    int direction;       /* claimed: 1, -1; 0 none */
    bool pitches;        /* a and b are known with their octaves */
    struct pitch a, b;
};

static struct pair pair_of(struct claim_context *ctx, const struct match *m, struct pitch a, struct pitch b)
{
    return (struct pair){say_pitch(ctx, a),
                         say_pitch(ctx, b),
                         interval_between(a, b),
                         m->n_directions ? m->direction[0] : 0,
                         true,
                         a,
                         b};
}

static const char *direction_word(struct interval v)
{
    int direction = interval_describe(v).direction;
    return direction > 0 ? " up" : direction < 0 ? " down" : "";
}

static int absolute(int n)
{
    return n < 0 ? -n : n;
}

/* "a major third down" */
static struct str say_signed(struct claim_context *ctx, struct interval v)
{
    return say_text(ctx, "%.*s%s", STR_ARG(say_size(ctx, v)), direction_word(v));
}

/* The sentence of the same form that names the true interval. */
static void offer_true(struct claim_context *ctx, const struct match *m, int pattern, const struct pair *p)
{
    struct str name = say_interval(ctx, p->v);
    const char *direction = m->n_directions ? direction_word(p->v) : "";
    struct str from = p->from, to = p->to;
    switch (pattern) {
    case PITCH_LIES:
        claim_instead(ctx, "%.*s lies %.*s %s %.*s", STR_ARG(to), STR_ARG(name),
                      interval_describe(p->v).direction < 0 ? "below" : "above", STR_ARG(from));
        return;
    case PITCHES_APART:
        claim_instead(ctx, "%.*s and %.*s lie %.*s apart", STR_ARG(from), STR_ARG(to), STR_ARG(name));
        return;
    case LEAPS:
    case GOES:
    case MOVES:
        claim_instead(ctx, "%.*s to %.*s is %.*s%s", STR_ARG(from), STR_ARG(to), STR_ARG(name),
                      direction_word(p->v));
        return;
    default:
        claim_instead(ctx, "%.*s to %.*s is %.*s%s", STR_ARG(from), STR_ARG(to), STR_ARG(name), direction);
        return;
    }
}

static bool is_plain(struct pitch p)
{
    return absolute(p.tone.alter) <= 2;
}

/* The spellings of the same sound that would make the named interval: of the second note, and of the first.
 */
static struct str say_respelling(struct claim_context *ctx, const struct interval_ref *want,
                                 const struct pair *p)
{
    if (!p->pitches)
        return STR("");
    bool down = p->v.half < 0 || (p->v.half == 0 && p->v.steps < 0);
    struct interval named = down ? interval_negate(want->v) : want->v;
    struct pitch b = pitch_move(p->a, named), a = pitch_move(p->b, interval_negate(named));
    struct str forms[2];
    uint32_t n = 0;
    if (is_plain(b))
        forms[n++] = say_text(ctx, "%.*s to %.*s", STR_ARG(p->from), STR_ARG(say_pitch(ctx, b)));
    if (is_plain(a))
        forms[n++] = say_text(ctx, "%.*s to %.*s", STR_ARG(say_pitch(ctx, a)), STR_ARG(p->to));
    return n ? say_text(ctx, "; spelled %.*s it is %.*s", STR_ARG(say_list(ctx, forms, n, "or")),
                        STR_ARG(want->words))
             : STR("");
}

static void report_difference(struct claim_context *ctx, const struct interval_ref *want,
                              const struct pair *p, bool same_sound)
{
    struct str truth = say_signed(ctx, p->v), half = say_half_steps(ctx, p->v.half);
    bool ignored;
    if (same_sound) {
        claim_fails(ctx, "%.*s to %.*s is not %.*s: it sounds the same (%.*s); spelled it is %.*s%.*s",
                    STR_ARG(p->from), STR_ARG(p->to), STR_ARG(want->words), STR_ARG(half), STR_ARG(truth),
                    STR_ARG(say_respelling(ctx, want, p)));
        return;
    }
    if (interval_ref_fits(want, 0, p->v, &ignored)) {
        claim_fails(ctx, "%.*s to %.*s is %.*s, not %s", STR_ARG(p->from), STR_ARG(p->to), STR_ARG(truth),
                    p->direction > 0 ? "up" : "down");
        return;
    }
    enum interval_quality quality = interval_describe(p->v).quality;
    bool twin = quality == QUALITY_AUGMENTED || quality == QUALITY_DIMINISHED;
    struct str sound = twin || want->by_sound ? say_text(ctx, " (%.*s by sound)", STR_ARG(half))
                                              : STR("");
    claim_fails(ctx, "%.*s to %.*s is %.*s%.*s, not %.*s", STR_ARG(p->from), STR_ARG(p->to), STR_ARG(truth),
                STR_ARG(sound), STR_ARG(want->words));
}

/* Written one way and sounding the other. */
static bool is_conflict(struct interval v)
{
    return (v.steps > 0 && v.half < 0) || (v.steps < 0 && v.half > 0);
}

static struct str say_conflict(struct claim_context *ctx, struct interval v)
{
    return say_text(ctx, "written %s but sounding %s by %.*s", v.steps > 0 ? "up" : "down",
                    v.half > 0 ? "up" : "down", STR_ARG(say_half_steps(ctx, v.half)));
}

static void report_agreement(struct claim_context *ctx, const struct interval_ref *want, const struct pair *p)
{
    struct str half = say_half_steps(ctx, p->v.half), truth = say_signed(ctx, p->v);
    struct str letters = say_count(ctx, absolute(p->v.steps) + 1, "letter", "letters");
    if (want->by_sound || want->cents)
        claim_holds(ctx, "%.*s to %.*s: %.*s by sound; spelled it is %.*s", STR_ARG(p->from), STR_ARG(p->to),
                    STR_ARG(half), STR_ARG(truth));
    else if (is_conflict(p->v))
        claim_holds(ctx, "%.*s to %.*s: %.*s, %.*s", STR_ARG(p->from), STR_ARG(p->to),
                    STR_ARG(say_interval(ctx, p->v)), STR_ARG(say_conflict(ctx, p->v)));
    else
        claim_holds(ctx, "%.*s to %.*s: %.*s, %.*s: %.*s", STR_ARG(p->from), STR_ARG(p->to), STR_ARG(letters),
                    STR_ARG(half), STR_ARG(truth));
}

/* Up and down have no one meaning where letters and sound disagree. */
static bool refuse_conflict(struct claim_context *ctx, const struct interval_ref *want, const struct pair *p)
{
    if (!is_conflict(p->v) || !p->direction || want->by_sound)
        return false;
    claim_undecided(ctx, "%.*s to %.*s is %.*s: leave the direction out, or name what is heard",
                    STR_ARG(p->from), STR_ARG(p->to), STR_ARG(say_conflict(ctx, p->v)));
    return true;
}

static void judge(struct claim_context *ctx, const struct match *m, int pattern, const struct pair *p)
{
    const struct interval_ref *want = &m->interval[0];
    bool same_sound = false, ignored = false;
    if (refuse_conflict(ctx, want, p))
        return;
    bool strict = interval_ref_fits(want, p->direction, p->v, &same_sound);
    bool reduced = strict || interval_ref_fits(want, p->direction, interval_simple(p->v), &ignored);
    if (strict != reduced)
        claim_convention(ctx, CONVENTION_COMPOUND);
    if (ctx->conventions->choice[CONVENTION_COMPOUND] ? reduced : strict) {
        report_agreement(ctx, want, p);
        return;
    }
    report_difference(ctx, want, p, same_sound);
    offer_true(ctx, m, pattern, p);
}

/* ---- tones without octaves ------------------------------------------------------------------------- */

/* Without a direction two tones form an interval and its inversion; only what is true of both is decided. */
static void judge_both_ways(struct claim_context *ctx, const struct match *m, const struct pair *up,
                            struct interval down)
{
    const struct interval_ref *want = &m->interval[0];
    bool same_up, same_down;
    bool fits_up = interval_ref_fits(want, 0, up->v, &same_up),
         fits_down = interval_ref_fits(want, 0, down, &same_down);
    struct str upward = say_interval(ctx, up->v), downward = say_interval(ctx, down);
    struct str from = up->from, to = up->to;
    if (fits_up && fits_down) {
        claim_holds(ctx, "%.*s to %.*s is %.*s, up or down", STR_ARG(from), STR_ARG(to),
                    STR_ARG(want->words));
    } else if (fits_up || fits_down) {
        claim_undecided(
            ctx,
            "%.*s up to %.*s is %.*s, %.*s down to %.*s is %.*s: say `up` or `down`, or name the octaves",
            STR_ARG(from), STR_ARG(to), STR_ARG(upward), STR_ARG(from), STR_ARG(to), STR_ARG(downward));
    } else {
        const char *sound = same_up || same_down ? "; it sounds the same, spelled it is not" : "";
        claim_fails(ctx, "%.*s up to %.*s is %.*s, %.*s down to %.*s is %.*s; neither is %.*s%s",
                    STR_ARG(from), STR_ARG(to), STR_ARG(upward), STR_ARG(from), STR_ARG(to),
                    STR_ARG(downward), STR_ARG(want->words), sound);
        claim_instead(ctx, "%.*s up to %.*s is %.*s", STR_ARG(from), STR_ARG(to), STR_ARG(upward));
    }
}

static void check_tones(struct claim_context *ctx, const struct match *m)
{
    struct tone a = m->tone[0], b = m->tone[1];
    const struct interval_ref *want = &m->interval[0];
    struct interval up = interval_between_tones(a, b), down = interval_negate(interval_between_tones(b, a));
    struct pair p = {say_tone(ctx, a), say_tone(ctx, b), up, m->n_directions ? m->direction[0] : 0, false,
                     {{0}, 0},         {{0}, 0}};
    if (want->v.steps >= 7 || want->v.half >= 12) {
        claim_undecided(
            ctx, "tones without an octave show no interval as wide as %.*s: write the pitches, `%.*s4`",
            STR_ARG(want->words), STR_ARG(p.from));
        return;
    }
    if (!p.direction) {
        judge_both_ways(ctx, m, &p, down);
        return;
    }
    if (p.direction < 0)
        p.v = down;
    bool same_sound = false;
    if (interval_ref_fits(want, p.direction, p.v, &same_sound)) {
        report_agreement(ctx, want, &p);
        return;
    }
    report_difference(ctx, want, &p, same_sound);
    claim_instead(ctx, "%.*s %s to %.*s is %.*s", STR_ARG(p.from), p.direction > 0 ? "up" : "down",
                  STR_ARG(p.to), STR_ARG(say_interval(ctx, p.v)));
}

/* ---- notes found at places ------------------------------------------------------------------------- */

/* A stretch just long enough to hold what sounds at a position. */
static struct stretch stretch_at(struct ratio at, struct span where)
{
    static const struct ratio shortest = {1, 1 << 20};
    struct stretch s = {at, at, true, where};
    if (!ratio_add(at, shortest, &s.end))
        s.end = ratio_plus(at, RATIO_ONE);
    return s;
}

/* The one note of the stream that sounds at a place. */
static bool note_at(struct claim_context *ctx, const struct stream *s, struct place_ref place,
                    const struct note **out)
{
    struct ratio at;
    struct line line;
    if (!s->passage) {
        claim_undecided(ctx, "%.*s comes from a library and has no bars: name a part of a passage",
                        STR_ARG(s->words));
        return false;
    }
    if (!place_position(ctx, s->passage, place, &at))
        return false;
    struct stretch where = stretch_at(at, place.where);
    bool line_only = s->kind == STREAM_BASS || s->kind == STREAM_TOP;
    if (!(line_only ? stream_line(ctx, s, where, 1, &line) : stream_notes(ctx, s, where, &line)))
        return false;
    if (line.n != 1) {
        struct pitch *pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, line.n);
        for (uint32_t i = 0; i < line.n; i++)
            pitches[i] = line.notes[i]->pitch;
        claim_undecided(ctx, "%.*s sound in %.*s at %.*s: name one voice, `voice 1 of …` is the lowest",
                        STR_ARG(say_pitches(ctx, pitches, line.n)), STR_ARG(s->words),
                        STR_ARG(say_place(ctx, s->passage, at)));
        return false;
    }
    *out = line.notes[0];
    return true;
}

static void judge_notes(struct claim_context *ctx, const struct match *m, int pattern, const struct note *a,
                        const struct note *b)
{
    struct pair p = pair_of(ctx, m, a->pitch, b->pitch);
    if (pattern == GOES)
        p.direction = m->choice[0] < FIRST_DOWN ? 1 : -1;
    judge(ctx, m, pattern, &p);
    claim_place(ctx, a->where, "from %.*s", STR_ARG(p.from));
    claim_place(ctx, b->where, "to %.*s", STR_ARG(p.to));
}

static void check_places(struct claim_context *ctx, const struct match *m, int pattern)
{
    const struct note *a, *b;
    const struct stream *second = &m->stream[m->n_streams > 1 ? 1 : 0];
    if (note_at(ctx, &m->stream[0], m->place[0], &a) && note_at(ctx, second, m->place[1], &b))
        judge_notes(ctx, m, pattern, a, b);
}

static bool is_chordal(const struct stream *s, struct stretch where)
{
    for (uint32_t i = 0; s->kind == STREAM_PART && i < s->part->n_stacks; i++) {
        const struct stack *stack = &s->part->stacks[i];
        if (stack->n > 1 && ratio_le(where.onset, stack->onset) && ratio_lt(stack->onset, where.end))
            return true;
    }
    return s->kind == STREAM_HARMONY;
}

static void check_leap(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct stretch where;
    struct line line;
    if (!match_stretch(ctx, m, &m->stream[0], &where))
        return;
    if (is_chordal(&m->stream[0], where)) {
        claim_undecided(ctx, "several voices sound in %.*s: add `in real parallel motion`, or name one voice",
                        STR_ARG(m->stream[0].words));
        return;
    }
    if (!stream_line(ctx, &m->stream[0], where, 2, &line))
        return;
    if (line.n > 2) {
        claim_undecided(
            ctx, "%.*s of %.*s sound there: name the two, as in `from bar 1 beat 1 to bar 1 beat 2`",
            STR_ARG(say_count(ctx, (int64_t)line.n, "note", "notes")), STR_ARG(m->stream[0].words));
        return;
    }
    judge_notes(ctx, m, pattern, line.notes[0], line.notes[1]);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct pair p;
    switch (pattern) {
    case PITCH_LIES:
        p = pair_of(ctx, m, m->pitch[1], m->pitch[0]);
        judge(ctx, m, pattern, &p);
        return;
    case FROM_TONE_TO_TONE:
        check_tones(ctx, m);
        return;
    case FROM_PLACE_TO_PLACE:
    case FROM_PLACE_TO_PLACE_OF_ONE:
        check_places(ctx, m, pattern);
        return;
    case LEAPS:
    case GOES:
    case MOVES:
        check_leap(ctx, m, pattern);
        return;
    default:
        p = pair_of(ctx, m, m->pitch[0], m->pitch[1]);
        judge(ctx, m, pattern, &p);
        return;
    }
}

const struct claim_kind claim_kind_interval = {
    .name = "interval",
    .patterns = patterns,
    .meaning = "The interval between two notes, named by letters and half steps, with its direction.",
    .page = claim_page_interval,
    .check = check,
    .fails = DIAG_FAILS_interval,
};
