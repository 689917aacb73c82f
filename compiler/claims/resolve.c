/* resolve.c - where a note that wants to move goes next. */
#include "claims/lines.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"
#include "claims/tones.h"
#include "claims/weave.h"

#include <stdlib.h>

#define OF "[of|in STREAM]"
#define STEP "[by <step|half step|semitone|whole step|tone>]"
#define AFTER "[<with ornament|after ornament|with decoration>]"
#define TO "[to PITCH] [to TONE]"

enum pattern { NOTE, NOTE_TO, NOTE_BY, NOTE_OF, LEADING, LEADING_EVERY, SEVENTH, SEVENTH_EVERY };

static const char *const patterns[] = {
    [NOTE] = "PITCH at|on|in PLACE " OF " resolves [DIRECTION] " STEP " " TO " " AFTER,
    [NOTE_TO] = "PITCH at|on|in PLACE " OF " resolves [DIRECTION] " TO " " STEP " " AFTER,
    [NOTE_BY] = "PITCH at|on|in PLACE " OF " resolves DIRECTION INTERVAL " TO " " AFTER,
    [NOTE_OF] = "PITCH of|in STREAM at|on PLACE resolves [DIRECTION] " STEP " " TO " " AFTER,
    [LEADING] = "leading tone|note of KEY " OF " resolves [DIRECTION] " STEP " " TO " " OF,
    [LEADING_EVERY] = "every|each leading tone|note of KEY " OF " resolves [DIRECTION] " STEP " " OF,
    [SEVENTH] = "seventh of CHORD resolves [DIRECTION] " STEP " " TO,
    [SEVENTH_EVERY] = "every|each seventh of|in STREAM resolves [DIRECTION] " STEP,
    NULL,
};

/* By the choice in STEP. */
static const enum manner manner_choices[] = {MANNER_STEP, MANNER_HALF_STEP, MANNER_HALF_STEP,
                                             MANNER_WHOLE_STEP, MANNER_WHOLE_STEP};

/* What a note is asked to do. */
struct wanted {
    int direction; /* 1, -1; 0: either */
    enum manner manner;
    const struct interval_ref *by; /* NULL: a step */
    const struct pitch *to;
    const struct tone *to_tone;
    bool ornamented; /* up to two notes may stand between */
};

/* One note and where it goes. */
struct case_of {
    const struct weave *weave;
    const struct strand *strand;
    uint32_t note;
    struct next next;
    bool resolves;
    uint32_t late; /* the note that would resolve it after an ornament; strand->n: none */
};

enum { ORNAMENTS_MAX = 2 };

static struct wanted read_wanted(const struct match *m, enum pattern pattern)
{
    bool key = pattern == LEADING || pattern == LEADING_EVERY;
    bool seventh = pattern == SEVENTH || pattern == SEVENTH_EVERY;
    int step = pattern == NOTE_BY ? -1 : m->choice[0],
        after = pattern == NOTE_BY ? m->choice[0] : m->choice[1];
    struct wanted w = {.direction = m->n_directions ? m->direction[0]
                                    : key           ? 1
                                    : seventh       ? -1
                                                    : 0,
                       .manner = step >= 0 ? manner_choices[step] : MANNER_STEP};
    w.by = pattern == NOTE_BY ? &m->interval[0] : NULL;
    bool note = !key && !seventh;
    w.to = m->n_pitches > note ? &m->pitch[note] : NULL;
    w.to_tone = m->n_tones ? &m->tone[0] : NULL;
    if (key && !w.to && !w.to_tone && w.direction > 0)
        w.to_tone = &m->key[0].tonic;
    w.ornamented = note && after >= 0;
    return w;
}

/* ---- does it? ---------------------------------------------------------------------------------- */

/* A step is a second here; an augmented one, and a change on the same letter, resolve nothing. */
static bool goes_by(const struct claim_context *ctx, const struct wanted *w, const struct move *move)
{
    bool same;
    if (w->by)
        return interval_ref_fits(w->by, w->direction, move->by, &same);
    if (!move_fits(ctx, move, w->manner, w->direction))
        return false;
    return w->manner != MANNER_STEP || (abs(move->by.steps) == 1 && abs(move->by.half) <= 2);
}

static bool arrives(const struct claim_context *ctx, const struct wanted *w, const struct note *from,
                    const struct note *to)
{
    struct move move = {from, to, interval_between(from->pitch, to->pitch)};
    return goes_by(ctx, w, &move) && (!w->to || pitch_eq(*w->to, to->pitch)) &&
           (!w->to_tone || tone_eq(*w->to_tone, to->pitch.tone));
}

static struct case_of examine(struct claim_context *ctx, const struct wanted *w, const struct weave *weave,
                              const struct strand *s, uint32_t i)
{
    struct case_of c = {.weave = weave, .strand = s, .note = i, .late = s->n};
    c.next = strand_moves(ctx, weave, s, i);
    if (c.next.kind != NEXT_NOTE)
        return c;
    c.resolves = arrives(ctx, w, s->notes[i], s->notes[c.next.index]);
    struct next on = c.next;
    for (int k = 0; k < ORNAMENTS_MAX && !c.resolves && c.late == s->n; k++) {
        on = strand_after(ctx, weave, s, on.index);
        if (on.kind != NEXT_NOTE)
            break;
        if (arrives(ctx, w, s->notes[i], s->notes[on.index]))
            c.late = on.index;
    }
    if (w->ornamented && c.late < s->n)
        c.resolves = true;
    return c;
}

/* ---- words ------------------------------------------------------------------------------------- */

static struct str say_note(struct claim_context *ctx, const struct case_of *c, uint32_t i)
{
    const struct note *n = c->strand->notes[i];
    return say_text(ctx, "%.*s at %.*s", STR_ARG(say_pitch(ctx, n->pitch)),
                    STR_ARG(say_place(ctx, c->weave->passage, n->onset)));
}

/* "B4 at bar 1 beat 4 of alto rises to C5, a minor second". */
static struct str say_case(struct claim_context *ctx, const struct case_of *c)
{
    const struct note *from = c->strand->notes[c->note], *to = c->strand->notes[c->next.index];
    struct interval by = interval_between(from->pitch, to->pitch);
    return say_text(ctx, "%.*s (%.*s) %s to %.*s, %.*s", STR_ARG(say_note(ctx, c, c->note)),
                    STR_ARG(c->strand->name), by.half < 0 ? "falls" : "rises",
                    STR_ARG(say_pitch(ctx, to->pitch)), STR_ARG(say_interval(ctx, by)));
}

static struct str say_late(struct claim_context *ctx, const struct case_of *c)
{
    if (c->late == c->strand->n)
        return STR("");
    return say_text(ctx, "%.*s comes after an ornament", STR_ARG(say_note(ctx, c, c->late)));
}

/* "down by step", "up a minor third". */
static struct str say_wanted(struct claim_context *ctx, const struct wanted *w)
{
    const char *way = w->direction > 0 ? "up " : w->direction < 0 ? "down " : "";
    struct str how = w->by ? tell_size(ctx, w->by) : str_of(manner_words(w->manner));
    struct str to = w->to        ? say_text(ctx, " to %.*s", STR_ARG(say_pitch(ctx, *w->to)))
                    : w->to_tone ? say_text(ctx, " to %.*s", STR_ARG(say_tone(ctx, *w->to_tone)))
                                 : STR("");
    return say_text(ctx, "%s%.*s%.*s", way, STR_ARG(how), STR_ARG(to));
}

/* ---- verdict on one note ----------------------------------------------------------------------- */

static void case_unknown(struct claim_context *ctx, const struct case_of *c)
{
    struct str why = next_words(ctx, c->weave, c->strand, c->note, &c->next);
    const char *end = c->next.kind == NEXT_REST ? ": the notes do not say whether the ear connects them" : "";
    claim_undecided(ctx, "%.*s (%.*s): %.*s%s", STR_ARG(say_note(ctx, c, c->note)), STR_ARG(c->strand->name),
                    STR_ARG(why), end);
}

static void case_fails(struct claim_context *ctx, const struct wanted *w, const struct case_of *c)
{
    struct str late = say_late(ctx, c);
    const struct note *to = c->strand->notes[c->next.index];
    claim_fails(ctx, "%.*s, not %.*s%s%.*s", STR_ARG(say_case(ctx, c)), STR_ARG(say_wanted(ctx, w)),
                late.n ? "; " : "", STR_ARG(late));
    claim_place(ctx, c->strand->notes[c->note]->where, "%.*s",
                STR_ARG(say_pitch(ctx, c->strand->notes[c->note]->pitch)));
    claim_place(ctx, to->where, "goes to %.*s", STR_ARG(say_pitch(ctx, to->pitch)));
}

/* The sentence that would be true of one note. */
static void case_instead(struct claim_context *ctx, const struct wanted *w, const struct case_of *c,
                         struct str subject)
{
    const struct note *from = c->strand->notes[c->note], *to = c->strand->notes[c->next.index];
    struct move move = {from, to, interval_between(from->pitch, to->pitch)};
    struct wanted step = {.manner = MANNER_STEP};
    const char *way = move.by.half < 0 ? "down" : "up";
    if (c->late < c->strand->n && !w->by && w->manner == MANNER_STEP) {
        struct str late = say_pitch(ctx, c->strand->notes[c->late]->pitch);
        way = interval_between(from->pitch, c->strand->notes[c->late]->pitch).half < 0 ? "down" : "up";
        claim_instead(ctx, "%.*s resolves %s by step to %.*s with an ornament", STR_ARG(subject), way,
                      STR_ARG(late));
        return;
    }
    if (goes_by(ctx, &step, &move))
        claim_instead(ctx, "%.*s resolves %s by step to %.*s", STR_ARG(subject), way,
                      STR_ARG(say_pitch(ctx, to->pitch)));
}

/* ---- a note at a place ------------------------------------------------------------------------- */

/* Voices that have the pitch at a position: [0, n) of `found`; *other gets a note that sounds there instead.
 */
static uint32_t find_pitch(struct claim_context *ctx, const struct weave *w, struct pitch pitch,
                           struct ratio at, const struct strand **found, const struct note **other)
{
    uint32_t n = 0;
    *other = NULL;
    for (uint32_t i = 0; i < w->n; i++) {
        const struct strand *s = &w->items[i];
        uint32_t k = strand_at(s, at);
        if (k == s->n || !strand_take(ctx, w, s->notes[k]))
            continue;
        bool alike = pitch_midi(s->notes[k]->pitch) == pitch_midi(pitch);
        if (pitch_eq(s->notes[k]->pitch, pitch))
            found[n++] = s;
        else if (!*other || alike)
            *other = s->notes[k];
    }
    return n;
}

static void no_such_note(struct claim_context *ctx, const struct weave *w, struct pitch pitch,
                         struct ratio at, const struct note *other)
{
    struct str place = say_place(ctx, w->passage, at), name = say_pitch(ctx, pitch);
    if (w->unclear || w->has_gap || !other) {
        struct gap gap;
        struct stretch here = {.onset = at, .end = w->stretch.end};
        if (w->has_gap && passage_gap(w->passage, NULL, here, &gap))
            claim_undecided(ctx, "%.*s: whether %.*s sounds at %.*s is not known",
                            STR_ARG(gap_words(ctx, &gap)), STR_ARG(name), STR_ARG(place));
        else if (w->unclear)
            voices_unclear(ctx, w->unclear);
        else
            claim_undecided(ctx, "nothing sounds there: no %.*s at %.*s", STR_ARG(name), STR_ARG(place));
        return;
    }
    bool alike = pitch_midi(other->pitch) == pitch_midi(pitch);
    claim_fails(ctx, "no %.*s sounds at %.*s%s%.*s", STR_ARG(name), STR_ARG(place),
                alike ? "; it sounds the same, but is spelled " : "; there is ",
                STR_ARG(say_pitch(ctx, other->pitch)));
    claim_place(ctx, other->where, "%.*s", STR_ARG(say_pitch(ctx, other->pitch)));
}

/* A half step on one letter: the convention says whether it is one. */
static bool is_chromatic(const struct case_of *c)
{
    struct interval by =
        interval_between(c->strand->notes[c->note]->pitch, c->strand->notes[c->next.index]->pitch);
    return by.steps == 0 && abs(by.half) == 1;
}

/* Several voices have the note: they must agree, or the sentence must name one. */
static void decide_notes(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                         const struct weave *weave, const struct strand **found, uint32_t n, struct ratio at)
{
    struct case_of first = {0};
    for (uint32_t i = 0; i < n; i++) {
        struct case_of c = examine(ctx, w, weave, found[i], strand_at(found[i], at));
        if (i == 0)
            first = c;
        if (c.resolves != first.resolves || (c.next.kind == NEXT_NOTE) != (first.next.kind == NEXT_NOTE)) {
            claim_undecided(ctx, "%.*s and %.*s both have %.*s and go on differently: name one, as in `%.*s`",
                            STR_ARG(first.strand->name), STR_ARG(c.strand->name),
                            STR_ARG(say_note(ctx, &c, c.note)), STR_ARG(c.strand->claim));
            return;
        }
    }
    if (first.next.kind != NEXT_NOTE) {
        case_unknown(ctx, &first);
    } else if (first.resolves) {
        if (is_chromatic(&first))
            claim_convention(ctx, CONVENTION_HALF_STEP);
        struct str late = say_late(ctx, &first);
        claim_holds(ctx, "%.*s%s%.*s", STR_ARG(say_case(ctx, &first)), late.n ? "; " : "", STR_ARG(late));
    } else {
        if (is_chromatic(&first) && w->manner == MANNER_HALF_STEP)
            claim_convention(ctx, CONVENTION_HALF_STEP);
        struct str place = say_place(ctx, weave->passage, at);
        struct str of = m->n_streams ? say_text(ctx, " of %.*s", STR_ARG(m->stream[0].words)) : STR("");
        case_fails(ctx, w, &first);
        case_instead(ctx, w, &first,
                     say_text(ctx, "%.*s at %.*s%.*s", STR_ARG(say_pitch(ctx, m->pitch[0])), STR_ARG(place),
                              STR_ARG(of)));
    }
}

static void check_note(struct claim_context *ctx, const struct match *m, const struct wanted *w)
{
    struct stream all = {.kind = STREAM_ALL, .passage = weave_only_passage(ctx->model)};
    const struct stream *s = m->n_streams ? &m->stream[0] : &all;
    struct weave weave;
    struct ratio at;
    const struct note *other;
    if (!s->passage) {
        claim_undecided(ctx, "several passages could be meant: say which, as in `%.*s at bar 1 of lamp`",
                        STR_ARG(say_pitch(ctx, m->pitch[0])));
        return;
    }
    take_passage(ctx, s->passage);
    if (!place_position(ctx, s->passage, m->place[0], &at))
        return;
    struct stretch whole = passage_stretch(s->passage);
    if (!weave_read(ctx, s, whole, false, &weave))
        return;
    const struct strand **found = ARENA_NEW_ARRAY(ctx->arena, const struct strand *, weave.n);
    uint32_t n = find_pitch(ctx, &weave, m->pitch[0], at, found, &other);
    if (n == 0)
        no_such_note(ctx, &weave, m->pitch[0], at, other);
    else
        decide_notes(ctx, m, w, &weave, found, n, at);
}

/* ---- every one of a kind ----------------------------------------------------------------------- */

/* What has been seen of several notes; one that fails decides. */
struct tally {
    uint32_t resolved, open;
    struct case_of bad, unknown, good;
    bool failed;
};

static void tally_add(struct tally *t, const struct case_of *c)
{
    if (c->next.kind != NEXT_NOTE) {
        if (t->open++ == 0)
            t->unknown = *c;
    } else if (c->resolves) {
        if (t->resolved++ == 0)
            t->good = *c;
    } else if (!t->failed) {
        t->failed = true;
        t->bad = *c;
    }
}

static void decide_tally(struct claim_context *ctx, const struct wanted *w, const struct tally *t,
                         const char *one, const char *many)
{
    if (t->failed) {
        case_fails(ctx, w, &t->bad);
        if (t->bad.strand->claim.n && t->bad.weave->passage) {
            const struct note *from = t->bad.strand->notes[t->bad.note];
            struct str place = say_place(ctx, t->bad.weave->passage, from->onset);
            struct str subject = say_text(ctx, "%.*s at %.*s of %.*s", STR_ARG(say_pitch(ctx, from->pitch)),
                                          STR_ARG(place), STR_ARG(t->bad.strand->claim));
            case_instead(ctx, w, &t->bad, subject);
        }
    } else if (t->open) {
        case_unknown(ctx, &t->unknown);
    } else {
        struct str count = say_count(ctx, t->resolved, one, many);
        struct str first = say_case(ctx, &t->good);
        claim_holds(ctx, "%.*s, %.*s: %.*s", STR_ARG(count), STR_ARG(say_wanted(ctx, w)), STR_ARG(first));
    }
}

/* Follows every note of the stretch that has the tone; a note struck again is followed once. */
static void tally_tone(struct claim_context *ctx, const struct wanted *w, const struct weave *weave,
                       struct tone tone, struct tally *t)
{
    for (uint32_t i = 0; i < weave->n; i++) {
        const struct strand *s = &weave->items[i];
        for (uint32_t k = 0; k < s->n; k++) {
            bool again = k > 0 && pitch_eq(s->notes[k - 1]->pitch, s->notes[k]->pitch);
            if (!tone_eq(s->notes[k]->pitch.tone, tone) || again)
                continue;
            struct case_of c = examine(ctx, w, weave, s, k);
            tally_add(t, &c);
        }
    }
}

static void check_leading(struct claim_context *ctx, const struct match *m, const struct wanted *w)
{
    struct stream all = {
        .kind = STREAM_ALL, .words = STR("the passage"), .passage = weave_only_passage(ctx->model)};
    const struct stream *s = m->n_streams ? &m->stream[0] : &all;
    struct stretch where;
    struct weave weave;
    struct tally tally = {0};
    if (!s->passage && s->kind != STREAM_FIGURE) {
        claim_undecided(
            ctx, "several passages could be meant: say which, as in `the leading tone of C major in lamp`");
        return;
    }
    if (!match_stretch(ctx, m, s, &where) || !weave_read(ctx, s, where, true, &weave))
        return;
    struct tone tone = tone_move(m->key[0].tonic, (struct interval){6, 11});
    tally_tone(ctx, w, &weave, tone, &tally);
    if (!tally.failed && weave_unknown(ctx, &weave))
        return;
    if (!tally.failed && !tally.open && !tally.resolved) {
        char key[PITCH_TEXT_MAX];
        claim_undecided(ctx, "no leading tone of %s, %.*s, sounds there",
                        key_text(m->key[0], SIGN_ASCII, key), STR_ARG(say_tone(ctx, tone)));
        return;
    }
    decide_tally(ctx, w, &tally, "leading tone resolves", "leading tones resolve");
}

/* ---- sevenths of chords ------------------------------------------------------------------------ */

/* The seventh that a chord has by its symbol, or by what sounds; false: it has none. */
static bool seventh_of(struct claim_context *ctx, const struct moment *m, struct tone *out)
{
    if (m->symbol && m->symbol->n_layers == 1) {
        const struct chord *c = &m->symbol->layers[0];
        for (uint32_t i = 0; i < c->n_tones; i++) {
            *out = c->tones[i];
            if (interval_between_tones(c->root, c->tones[i]).steps == 6)
                return true;
        }
        return false;
    }
    struct tone_bag bag = bag_of_moment(ctx->arena, m);
    struct chord_match read;
    if (m->symbol || !chord_reading(ctx, &bag, &read))
        return false;
    for (uint32_t i = 0; i < bag.n; i++) {
        *out = bag.t[i];
        if (interval_between_tones(read.root, bag.t[i]).steps == 6)
            return true;
    }
    return false;
}

/* Follows the seventh in every voice that has it at the chord's beginning. */
static uint32_t tally_seventh(struct claim_context *ctx, const struct wanted *w, const struct weave *weave,
                              const struct moment *m, struct tone tone, struct tally *t)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < weave->n; i++) {
        const struct strand *s = &weave->items[i];
        uint32_t k = strand_at(s, m->onset);
        if (k == s->n || !tone_eq(s->notes[k]->pitch.tone, tone) || !strand_take(ctx, weave, s->notes[k]))
            continue;
        struct case_of c = examine(ctx, w, weave, s, k);
        tally_add(t, &c);
        n++;
    }
    return n;
}

static void check_seventh(struct claim_context *ctx, const struct match *m, const struct wanted *w)
{
    const struct chord_ref *c = &m->chord[0];
    struct moment moment;
    struct weave weave;
    struct tone tone;
    struct tally tally = {0};
    if (!c->at_place) {
        claim_undecided(
            ctx,
            "`%.*s` names a chord, not a place: a resolution needs voices, as in `the seventh of the chord "
            "at bar 1`",
            STR_ARG(c->words));
        return;
    }
    if (!chord_moment(ctx, c, true, &moment))
        return;
    if (!seventh_of(ctx, &moment, &tone)) {
        struct str chord = moment.symbol ? moment.symbol->text : say_moment(ctx, &moment);
        claim_fails(ctx, "the chord, %.*s, has no seventh", STR_ARG(chord));
        return;
    }
    if (!weave_passage(ctx, c->passage, passage_stretch(c->passage), &weave))
        return;
    if (tally_seventh(ctx, w, &weave, &moment, tone, &tally) == 0) {
        if (weave.unclear)
            voices_unclear(ctx, weave.unclear);
        else if (moment.source == MOMENT_VOICED)
            claim_undecided(ctx, "a voicing in a symbol has no voices to follow: transcribe the parts");
        else
            claim_fails(ctx, "the seventh, %.*s, does not sound in %.*s", STR_ARG(say_tone(ctx, tone)),
                        STR_ARG(say_moment(ctx, &moment)));
        return;
    }
    decide_tally(ctx, w, &tally, "voice has the seventh", "voices have the seventh");
}

static void check_sevenths(struct claim_context *ctx, const struct match *m, const struct wanted *w)
{
    struct stream harmony = m->stream[0];
    struct stretch where;
    struct moments chords;
    struct weave weave;
    struct tally tally = {0};
    harmony.kind = STREAM_HARMONY;
    if (!harmony.passage || !match_stretch(ctx, m, &harmony, &where) ||
        !stream_moments(ctx, &harmony, where, 1, &chords) ||
        !weave_passage(ctx, harmony.passage, where, &weave)) {
        claim_undecided(ctx, "%.*s has no chords", STR_ARG(m->stream[0].words));
        return;
    }
    for (uint32_t i = 0; i < chords.n; i++) {
        struct tone tone;
        if (seventh_of(ctx, &chords.items[i], &tone))
            tally_seventh(ctx, w, &weave, &chords.items[i], tone, &tally);
    }
    if (!tally.failed && weave_unknown(ctx, &weave))
        return;
    if (tally.failed || tally.open || tally.resolved)
        decide_tally(ctx, w, &tally, "seventh resolves", "sevenths resolve");
    else
        claim_undecided(ctx, "no seventh of a chord sounds there in a voice that can be followed");
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, (enum pattern)pattern);
    switch ((enum pattern)pattern) {
    case NOTE:
    case NOTE_TO:
    case NOTE_BY:
    case NOTE_OF:
        check_note(ctx, m, &w);
        break;
    case LEADING:
    case LEADING_EVERY:
        check_leading(ctx, m, &w);
        break;
    case SEVENTH:
        check_seventh(ctx, m, &w);
        break;
    case SEVENTH_EVERY:
        check_sevenths(ctx, m, &w);
        break;
    }
}

const struct claim_kind claim_kind_resolve = {
    .name = "resolve",
    .patterns = patterns,
    .meaning = "A note goes by step, in its own voice, to the next note of another pitch: a leading tone up, "
               "a seventh "
               "down.",
    .page = claim_page_resolve,
    .check = check,
    .fails = DIAG_FAILS_resolve,
};
