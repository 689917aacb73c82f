/* sequence.c - a figure stated again and again, each time a step further. */
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/tell.h"

#include <inttypes.h>
#include <stdlib.h>

#define SORTS "[<real|exact|chromatic|tonal|diatonic>] sequence"
#define STEPS "<step|second|third|fourth|fifth|sixth|seventh|octave>"
#define KEY_TIMES "[in KEY] [COUNT [times]]"

enum pattern { BY, BY_STEPS, BARE, BY_LEGS, BY_STEPS_LEGS, SEQUENCES, SEQUENCES_STEPS };

static const char *const patterns[] = {
    [BY] = "STREAM is|forms|makes " SORTS " of|on FIGURE DIRECTION [by] INTERVAL " KEY_TIMES,
    [BY_STEPS] = "STREAM is|forms|makes " SORTS " of|on FIGURE DIRECTION [by] " STEPS " " KEY_TIMES,
    [BARE] = "STREAM is|forms|makes " SORTS " of|on FIGURE " KEY_TIMES,
    [BY_LEGS] = "STREAM is|forms|makes " SORTS
                " of|on FIGURE DIRECTION [by] INTERVAL in|with COUNT legs|statements [in KEY]",
    [BY_STEPS_LEGS] = "STREAM is|forms|makes " SORTS " of|on FIGURE DIRECTION [by] " STEPS
                      " in|with COUNT legs|statements [in KEY]",
    [SEQUENCES] = "STREAM sequences FIGURE DIRECTION [by] INTERVAL " KEY_TIMES,
    [SEQUENCES_STEPS] = "STREAM sequences FIGURE DIRECTION [by] " STEPS " " KEY_TIMES,
    NULL,
};

static const int steps_of_choice[] = {1, 1, 2, 3, 4, 5, 6, 7};
enum { FIRST_TONAL = 3 };
enum sort { SORT_ANY, SORT_REAL, SORT_TONAL };

struct wanted {
    enum sort sort;
    int direction;                 /* 0: either */
    const struct interval_ref *by; /* NULL: none named */
    int steps;                     /* 0: none named */
    int64_t times;                 /* statements; 0: not said */
    bool has_key;
    struct key key;
};

/* The stream as statements of the figure, one after the other. */
struct legs {
    struct line model, line;
    uint32_t size; /* notes in one */
    uint32_t n;    /* whole statements that the notes make */
    uint32_t left; /* notes after them */
};

/* Where the sequence breaks. */
enum flaw {
    FLAW_NONE,
    FLAW_RHYTHM, /* a statement in another rhythm */
    FLAW_GAP,    /* it does not begin when it should */
    FLAW_SHAPE,  /* a note a different number of steps away than the first */
    FLAW_MOVE,   /* the statement lies elsewhere than the move before would put it */
    FLAW_LEFT    /* notes after the last statement */
};

struct finding {
    enum flaw flaw;
    uint32_t leg, note; /* where; note within the statement */
    uint32_t good;      /* statements before it that are in order */
    bool real;          /* every note of each moves by one number of half steps */
    bool spelled;       /* and by one spelled interval */
    struct interval by; /* of the first move */
};

static struct wanted read_wanted(const struct match *m, enum pattern pattern)
{
    bool verb = pattern == SEQUENCES || pattern == SEQUENCES_STEPS;
    int sort = verb ? -1 : m->choice[0];
    bool steps = pattern == BY_STEPS || pattern == BY_STEPS_LEGS || pattern == SEQUENCES_STEPS;
    struct wanted w = {.sort = sort < 0 ? SORT_ANY : sort < FIRST_TONAL ? SORT_REAL : SORT_TONAL};
    w.direction = m->n_directions ? m->direction[0] : 0;
    w.by = m->n_intervals ? &m->interval[0] : NULL;
    w.steps = steps ? steps_of_choice[m->choice[verb ? 0 : 1]] : 0;
    w.times = m->n_counts ? m->count[0] : 0;
    w.has_key = m->n_keys > 0;
    if (w.has_key)
        w.key = m->key[0];
    return w;
}

/* ---- statements -------------------------------------------------------------------------------- */

static const struct note *leg_note(const struct legs *l, uint32_t leg, uint32_t i)
{
    return l->line.notes[leg * l->size + i];
}

/* The rhythm of a statement against the figure's, from its first note on. */
static bool leg_rhythm(const struct legs *l, uint32_t leg, uint32_t *note)
{
    for (uint32_t i = 0; i < l->size; i++) {
        const struct note *n = leg_note(l, leg, i), *m = l->model.notes[i];
        struct ratio from = ratio_minus(n->onset, leg_note(l, leg, 0)->onset);
        *note = i;
        if (!ratio_eq(from, ratio_minus(m->onset, l->model.notes[0]->onset)) ||
            !ratio_eq(n->length, m->length))
            return false;
    }
    return true;
}

/* How note i moves from the figure (leg 0) or the statement before. */
static struct interval leg_by(const struct legs *l, uint32_t leg, uint32_t i)
{
    const struct note *from = leg == 0 ? l->model.notes[i] : leg_note(l, leg - 1, i);
    return interval_between(from->pitch, leg_note(l, leg, i)->pitch);
}

/* All statements begin equally far apart. */
static bool leg_distance(const struct legs *l, uint32_t leg)
{
    if (leg < 2)
        return true;
    struct ratio first = ratio_minus(leg_note(l, 1, 0)->onset, leg_note(l, 0, 0)->onset);
    return ratio_eq(ratio_minus(leg_note(l, leg, 0)->onset, leg_note(l, leg - 1, 0)->onset), first);
}

static enum flaw leg_flaw(const struct legs *l, uint32_t leg, struct finding *f)
{
    struct interval own = leg_by(l, leg, 0);
    f->leg = leg;
    if (!leg_rhythm(l, leg, &f->note))
        return FLAW_RHYTHM;
    if (!leg_distance(l, leg))
        return FLAW_GAP;
    for (f->note = 1; f->note < l->size; f->note++) {
        struct interval by = leg_by(l, leg, f->note);
        if (by.steps != own.steps)
            return FLAW_SHAPE;
        f->real = f->real && by.half == own.half;
        f->spelled = f->spelled && interval_eq(by, own);
    }
    f->note = 0;
    if (leg == 1)
        f->by = own;
    if (leg == 1 && own.half == 0)
        return FLAW_MOVE;
    if (leg > 1 && own.steps != f->by.steps)
        return FLAW_MOVE;
    if (leg > 1 && own.half != f->by.half)
        f->real = f->spelled = false;
    return FLAW_NONE;
}

static struct finding examine(const struct legs *l)
{
    struct finding f = {.real = true, .spelled = true};
    for (uint32_t leg = 0; leg < l->n; leg++) {
        struct finding before = f;
        f.flaw = leg_flaw(l, leg, &f);
        if (f.flaw != FLAW_NONE) {
            f.real = before.real;
            f.spelled = before.spelled;
            return f;
        }
        f.good = leg + 1;
    }
    if (l->left) {
        f.flaw = FLAW_LEFT;
        f.leg = l->n;
        f.note = 0;
    }
    return f;
}

/* ---- words ------------------------------------------------------------------------------------- */

static const char *ordinal(uint32_t n)
{
    static const char *const words[] = {"first", "second", "third",   "fourth",
                                        "fifth", "sixth",  "seventh", "eighth"};
    return n < sizeof words / sizeof words[0] ? words[n] : "next";
}

static struct str say_leg(struct claim_context *ctx, const struct legs *l, uint32_t leg)
{
    struct line part = l->line;
    part.notes += leg * l->size;
    part.n = l->size;
    return line_words(ctx, &part);
}

/* "C5 B4 A4 G4, B4 A4 G4 F4, A4 G4 F4 E4": the first of many statements. */
static struct str say_legs(struct claim_context *ctx, const struct legs *l)
{
    enum { SHOWN = 4 };
    struct str text = say_leg(ctx, l, 0);
    for (uint32_t i = 1; i < l->n && i < SHOWN; i++)
        text = say_text(ctx, "%.*s, %.*s", STR_ARG(text), STR_ARG(say_leg(ctx, l, i)));
    return l->n > SHOWN ? say_text(ctx, "%.*s ...", STR_ARG(text)) : text;
}

static struct str say_place_of(struct claim_context *ctx, const struct legs *l, const struct note *n)
{
    if (!l->line.passage)
        return say_pitch(ctx, n->pitch);
    return say_text(ctx, "%.*s at %.*s", STR_ARG(say_pitch(ctx, n->pitch)),
                    STR_ARG(say_place(ctx, l->line.passage, n->onset)));
}

static struct str say_flaw(struct claim_context *ctx, const struct legs *l, const struct finding *f)
{
    const struct note *n = l->line.notes[f->leg * l->size + f->note];
    struct str at = say_place_of(ctx, l, n);
    const char *which = ordinal(f->leg);
    switch (f->flaw) {
    case FLAW_NONE:
        break;
    case FLAW_RHYTHM:
        return say_text(ctx, "the %s statement has another rhythm at its note %u, %.*s", which, f->note + 1,
                        STR_ARG(at));
    case FLAW_GAP:
        return say_text(ctx, "the %s statement, from %.*s, does not follow at the same distance", which,
                        STR_ARG(at));
    case FLAW_SHAPE: {
        struct interval by = leg_by(l, f->leg, f->note), own = leg_by(l, f->leg, 0);
        return say_text(
            ctx, "the %s statement leaves the figure at its note %u, %.*s: it %.*s, the first note %.*s",
            which, f->note + 1, STR_ARG(at), STR_ARG(tell_move(ctx, by, false)),
            STR_ARG(tell_move(ctx, own, false)));
    }
    case FLAW_MOVE: {
        struct interval by = leg_by(l, f->leg, 0);
        if (f->leg == 1)
            return say_text(ctx,
                            "the second statement, from %.*s, is at the pitch of the first: a repetition",
                            STR_ARG(at));
        return say_text(ctx, "the %s statement, from %.*s, %.*s, the second %.*s", which, STR_ARG(at),
                        STR_ARG(tell_move(ctx, by, false)), STR_ARG(tell_move(ctx, f->by, false)));
    }
    case FLAW_LEFT:
        return say_text(ctx, "after %.*s %.*s left, from %.*s",
                        STR_ARG(say_count(ctx, l->n, "statement", "statements")),
                        STR_ARG(say_count(ctx, l->left, "note is", "notes are")), STR_ARG(at));
    }
    return STR("");
}

/* "down a step", "up a major second": what the sentence names. */
static struct str say_step(struct claim_context *ctx, const struct wanted *w)
{
    const char *way = w->direction < 0 ? "down " : w->direction > 0 ? "up " : "";
    struct str by = w->by ? tell_size(ctx, w->by) : w->steps ? tell_steps(ctx, w->steps) : STR("");
    return say_text(ctx, "%s%.*s", way, STR_ARG(by));
}

/* "a major second higher", "a step lower". */
static struct str say_by(struct claim_context *ctx, const struct finding *f)
{
    struct str by = f->real ? interval_sentence(ctx, f->by) : tell_steps(ctx, f->by.steps);
    return say_text(ctx, "%.*s %s", STR_ARG(by), f->by.half < 0 ? "lower" : "higher");
}

/* The sentence that is true of the first `n` statements; the stretch that they fill goes behind it. */
static void suggest(struct claim_context *ctx, const struct match *m, const struct finding *f, struct str key,
                    struct str span)
{
    const char *way = f->by.half < 0 ? "down" : "up";
    struct str by = f->real && f->spelled ? interval_sentence(ctx, f->by) : tell_steps(ctx, f->by.steps);
    const char *sort = f->real ? "real" : "tonal";
    if (f->real && !f->spelled)
        by = say_count(ctx, abs(f->by.half), "semitone", "semitones");
    claim_instead(ctx, "%.*s is a %s sequence of %.*s %s %.*s%.*s, %.*s%.*s", STR_ARG(m->stream[0].words),
                  sort, STR_ARG(m->stream[1].words), way, STR_ARG(by), STR_ARG(key),
                  STR_ARG(tell_times(ctx, f->good)), STR_ARG(span));
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static bool key_of(const struct wanted *w, const struct legs *l, struct key *out)
{
    const struct key_change *k =
        l->line.passage ? passage_key_at(l->line.passage, l->line.notes[0]->onset) : NULL;
    if (w->has_key)
        *out = w->key;
    else if (k)
        *out = k->key;
    return w->has_key || k;
}

/* The first note of the statements that the key does not have; line.n: none. */
static uint32_t first_foreign(const struct claim_context *ctx, const struct legs *l, const struct finding *f,
                              struct key key)
{
    enum minor_form form = (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
    for (uint32_t i = 0; i < f->good * l->size; i++)
        if (!key_has_tone(key, form, l->line.notes[i]->pitch.tone))
            return i;
    return l->line.n;
}

/* Whole bars that the good statements fill, as ", bar 1 to bar 3"; empty where they end within a bar. */
static struct str good_span(struct claim_context *ctx, const struct legs *l, const struct finding *f)
{
    const struct passage *p = l->line.passage;
    const struct note *last = l->line.notes[f->good * l->size - 1];
    struct ratio end = ratio_plus(last->onset, last->length);
    const struct bar *from = p ? passage_bar_at(p, l->line.notes[0]->onset) : NULL,
                     *to = p ? passage_bar_at(p, last->onset) : NULL;
    if (!from || !to || !ratio_eq(ratio_plus(to->onset, to->length), end) ||
        !ratio_eq(from->onset, l->line.notes[0]->onset))
        return STR("");
    return from == to ? say_text(ctx, ", bar %d", from->number)
                      : say_text(ctx, ", bar %d to bar %d", from->number, to->number);
}

static void fail_flaw(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                      const struct legs *l, const struct finding *f)
{
    struct str words = say_flaw(ctx, l, f);
    claim_fails(ctx, "%.*s", STR_ARG(words));
    claim_place(ctx, l->line.notes[f->leg * l->size + f->note]->where, "here");
    struct key key;
    struct str span = f->good >= 2 ? good_span(ctx, l, f) : STR("");
    if (!span.n || (!f->real && (!key_of(w, l, &key) || first_foreign(ctx, l, f, key) < l->line.n)))
        return;
    char text[PITCH_TEXT_MAX];
    struct str in = f->real ? STR("") : say_text(ctx, " in %s", key_text(key, SIGN_ASCII, text));
    suggest(ctx, m, f, in, span);
}

/* Does each statement move as the sentence says? A named size must be kept by every note. */
static bool move_named(const struct wanted *w, const struct finding *f, bool *same_sound)
{
    *same_sound = false;
    if (w->direction && (w->direction > 0) != (f->by.half > 0))
        return false;
    if (w->steps && w->steps != abs(f->by.steps))
        return false;
    if (!w->by)
        return true;
    return interval_ref_fits(w->by, w->direction, f->by, same_sound) && f->real &&
           (w->by->by_sound || f->spelled);
}

/* Right as a sequence; what it is not of what the sentence says. */
enum mismatch { MATCHES, NOT_REAL, NOT_TONAL, OTHER_MOVE, OTHER_COUNT };

static enum mismatch mismatch_of(const struct wanted *w, const struct legs *l, const struct finding *f,
                                 bool *same_sound)
{
    *same_sound = false;
    if (w->sort == SORT_REAL && !f->real)
        return NOT_REAL;
    if (w->sort == SORT_TONAL && f->real)
        return NOT_TONAL;
    if (!move_named(w, f, same_sound))
        return OTHER_MOVE;
    return w->times && w->times != (int64_t)l->n ? OTHER_COUNT : MATCHES;
}

static struct str say_mismatch(struct claim_context *ctx, const struct wanted *w, const struct legs *l,
                               const struct finding *f, enum mismatch wrong, bool same_sound)
{
    switch (wrong) {
    case MATCHES:
        break;
    case NOT_REAL:
        return STR("a tonal sequence, not a real one: the steps stay, their sizes follow the key");
    case NOT_TONAL:
        return STR("a real sequence, not a tonal one: every interval keeps its size");
    case OTHER_MOVE: {
        const char *why = same_sound          ? "; it sounds the same"
                          : w->by && !f->real ? ", and within the key the sizes differ"
                                              : "";
        return say_text(ctx, "each statement lies %.*s, not %.*s%s", STR_ARG(say_by(ctx, f)),
                        STR_ARG(say_step(ctx, w)), why);
    }
    case OTHER_COUNT:
        return say_text(ctx, "the figure is stated %.*s, not %" PRId64 " times",
                        STR_ARG(tell_times(ctx, l->n)), w->times);
    }
    return STR("");
}

static void decide(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                   const struct legs *l, const struct finding *f)
{
    struct key key = {0};
    char text[PITCH_TEXT_MAX];
    bool has_key = key_of(w, l, &key);
    struct str in = !f->real && has_key ? say_text(ctx, " in %s", key_text(key, SIGN_ASCII, text)) : STR("");
    bool same;
    enum mismatch wrong = mismatch_of(w, l, f, &same);
    uint32_t foreign = has_key ? first_foreign(ctx, l, f, key) : l->line.n;
    if (f->real && !f->spelled)
        claim_convention(ctx, CONVENTION_PARALLEL);
    if (!f->real && has_key && key.minor)
        claim_convention(ctx, CONVENTION_MINOR);
    if (!f->real && has_key && foreign < l->line.n) {
        struct str at = say_place_of(ctx, l, l->line.notes[foreign]);
        claim_fails(ctx, "%.*s is foreign to %s, and the statements do not move by one size either",
                    STR_ARG(at), key_text(key, SIGN_ASCII, text));
        claim_place(ctx, l->line.notes[foreign]->where, "foreign to %s", key_text(key, SIGN_ASCII, text));
        return;
    }
    if (wrong != MATCHES) {
        struct str words = say_mismatch(ctx, w, l, f, wrong, same);
        claim_fails(ctx, "%.*s: %.*s", STR_ARG(words), STR_ARG(say_legs(ctx, l)));
        if (f->real || has_key)
            suggest(ctx, m, f, in, tell_span(ctx, m));
        return;
    }
    if (!f->real && !has_key) {
        claim_undecided(
            ctx,
            "letter by letter the statements agree, but no key says which steps count: end the sentence with "
            "`in C major` or whichever key it is, or state `key` in the passage");
        return;
    }
    claim_holds(ctx, "%.*s: %.*s, each %.*s than the one before%s%.*s", STR_ARG(say_legs(ctx, l)),
                STR_ARG(say_count(ctx, l->n, "statement", "statements")), STR_ARG(say_by(ctx, f)),
                f->real ? ", every interval of one size: a real sequence"
                        : ", the sizes as the key gives them: a tonal sequence",
                STR_ARG(in));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, (enum pattern)pattern);
    struct legs l;
    if (streams_same(&m->stream[0], &m->stream[1])) {
        claim_undecided(ctx, "%.*s is compared with itself: name the part or the figure that goes on",
                        STR_ARG(m->stream[0].words));
        return;
    }
    if (!melody_line(ctx, m, 0, 2, &l.line) || !melody_line(ctx, m, 1, 2, &l.model))
        return;
    l.size = l.model.n;
    l.n = l.line.n / l.size;
    l.left = l.line.n % l.size;
    if (l.n < 2) {
        claim_fails(ctx, "%.*s has %.*s, the figure %u: no second statement", STR_ARG(m->stream[0].words),
                    STR_ARG(say_count(ctx, l.line.n, "note", "notes")), l.size);
        return;
    }
    struct finding f = examine(&l);
    if (ctx->conventions->choice[CONVENTION_PARALLEL] == 1 && f.real && !f.spelled)
        f.real = false;
    if (f.flaw != FLAW_NONE)
        fail_flaw(ctx, m, &w, &l, &f);
    else
        decide(ctx, m, &w, &l, &f);
}

const struct claim_kind claim_kind_sequence = {
    .name = "sequence",
    .patterns = patterns,
    .meaning = "a stream is one figure stated again and again, each time moved by the same interval (real) "
               "or by as many "
               "steps of the key (tonal)",
    .page = claim_page_sequence,
    .check = check,
    .fails = DIAG_FAILS_sequence,
};
