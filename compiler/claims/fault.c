/* fault.c - fifths and octaves one after the other, voices that cross. */
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/weave.h"

#include <stdlib.h>

#define FIFTHS                                                                                               \
    "<parallel|consecutive|hidden|direct> [perfect] "                                                        \
    "<fifths|octaves|unisons|fifths or octaves|octaves or fifths|fifths and octaves|octaves and fifths>"
#define CROSSING                                                                                             \
    "<voice crossing|crossing voices|crossed voices|crossing of voices|voice overlap|overlapping voices|"    \
    "overlapping of voices|overlaps|overlap>"

enum form { FORM_FIFTHS, FORM_CROSSING, FORM_CROSSES };

/* Pattern, what it speaks of, whether it says that there is one. */
#define PATTERNS(X)                                                                                          \
    X("[there is] no " FIFTHS " in|of|within|among STREAM", FORM_FIFTHS, false)                              \
    X("[there is] no " FIFTHS " between STREAM and STREAM", FORM_FIFTHS, false)                              \
    X("STREAM has|contains|shows|makes no " FIFTHS, FORM_FIFTHS, false)                                      \
    X("STREAM and STREAM have|form|make|move|show [in] no " FIFTHS, FORM_FIFTHS, false)                      \
    X("STREAM avoids|lacks " FIFTHS, FORM_FIFTHS, false)                                                     \
    X("STREAM and STREAM avoid " FIFTHS, FORM_FIFTHS, false)                                                 \
    X("STREAM is free of|from " FIFTHS, FORM_FIFTHS, false)                                                  \
    X("STREAM moves without " FIFTHS, FORM_FIFTHS, false)                                                    \
    X("STREAM and STREAM move without " FIFTHS, FORM_FIFTHS, false)                                          \
    X("there is [some] " FIFTHS " in|of|within|among STREAM", FORM_FIFTHS, true)                             \
    X("there is [some] " FIFTHS " between STREAM and STREAM", FORM_FIFTHS, true)                             \
    X("STREAM has|contains|shows|makes " FIFTHS, FORM_FIFTHS, true)                                          \
    X("STREAM and STREAM have|form|make|show " FIFTHS, FORM_FIFTHS, true)                                    \
    X("[there is] no " CROSSING " in|of|within|among STREAM", FORM_CROSSING, false)                          \
    X("[there is] no " CROSSING " between STREAM and STREAM", FORM_CROSSING, false)                          \
    X("STREAM has|contains|shows no " CROSSING, FORM_CROSSING, false)                                        \
    X("STREAM is free of|from " CROSSING, FORM_CROSSING, false)                                              \
    X("STREAM avoids|lacks " CROSSING, FORM_CROSSING, false)                                                 \
    X("there is [some] " CROSSING " in|of|within|among STREAM", FORM_CROSSING, true)                         \
    X("there is [some] " CROSSING " between STREAM and STREAM", FORM_CROSSING, true)                         \
    X("STREAM has|contains|shows " CROSSING, FORM_CROSSING, true)                                            \
    X("no voices <cross|overlap> in STREAM", FORM_CROSSES, false)                                            \
    X("voices of STREAM never <cross|overlap>", FORM_CROSSES, false)                                         \
    X("STREAM and STREAM never <cross|overlap>", FORM_CROSSES, false)                                        \
    X("STREAM never <crosses|overlaps> [DIRECTION] STREAM", FORM_CROSSES, false)                             \
    X("voices of STREAM <cross|overlap>", FORM_CROSSES, true)                                                \
    X("STREAM and STREAM <cross|overlap>", FORM_CROSSES, true)                                               \
    X("STREAM <crosses|overlaps> [DIRECTION] STREAM", FORM_CROSSES, true)

static const char *const patterns[] = {
#define X(text, form, some) text,
    PATTERNS(X)
#undef X
        NULL,
};

static const struct {
    enum form form;
    bool some;
} forms[] = {
#define X(text, form, some) {form, some},
    PATTERNS(X)
#undef X
};

enum fault { FAULT_PARALLEL, FAULT_CONSECUTIVE, FAULT_HIDDEN, FAULT_CROSSING, FAULT_OVERLAP };
enum { SIZE_FIFTH = 1, SIZE_OCTAVE = 2, SIZE_UNISON = 4 };

/* By the choices above. */
static const enum fault fault_choices[] = {FAULT_PARALLEL, FAULT_CONSECUTIVE, FAULT_HIDDEN, FAULT_HIDDEN};
static const int size_choices[] = {SIZE_FIFTH,
                                   SIZE_OCTAVE | SIZE_UNISON,
                                   SIZE_UNISON,
                                   SIZE_FIFTH | SIZE_OCTAVE | SIZE_UNISON,
                                   SIZE_FIFTH | SIZE_OCTAVE | SIZE_UNISON,
                                   SIZE_FIFTH | SIZE_OCTAVE | SIZE_UNISON,
                                   SIZE_FIFTH | SIZE_OCTAVE | SIZE_UNISON};
enum { FIRST_OVERLAP = 4 };

struct wanted {
    enum fault fault;
    int sizes;
    bool some;     /* the sentence says that there is one */
    int direction; /* crossing: the first stream goes above (1), below (-1); 0: either */
    bool pair;     /* between two streams that the sentence names */
    bool any_pair; /* hidden: not the outer voices only */
    bool by_sound; /* fifths and octaves by half steps: for a remark */
    bool contrary; /* only by contrary motion: for a remark */
};

/* One place where it happens. */
struct finding {
    bool found;
    const struct strand *a, *b; /* a the lower at the place it starts from, where that is known */
    struct turn turn;
    uint32_t n; /* how many there are */
};

struct survey {
    struct weave weave;
    struct finding finding;
    uint32_t pairs;   /* pairs of voices that sound together */
    uint32_t changes; /* moments at which they were compared */
};

static struct wanted read_wanted(const struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = {.some = forms[pattern].some, .pair = m->n_streams > 1};
    switch (forms[pattern].form) {
    case FORM_FIFTHS:
        w.fault = fault_choices[m->choice[0]];
        w.sizes = size_choices[m->choice[1]];
        break;
    case FORM_CROSSING:
        w.fault = m->choice[0] >= FIRST_OVERLAP ? FAULT_OVERLAP : FAULT_CROSSING;
        break;
    case FORM_CROSSES:
        w.fault = m->choice[0] > 0 ? FAULT_OVERLAP : FAULT_CROSSING;
        w.direction = m->n_directions ? m->direction[0] : 0;
        break;
    }
    w.any_pair = w.pair || ctx->conventions->choice[CONVENTION_FAULT_HIDDEN] == 1;
    return w;
}

/* ---- fifths and octaves ------------------------------------------------------------------------ */

static int way(const struct note *from, const struct note *to)
{
    int by = pitch_midi(to->pitch) - pitch_midi(from->pitch);
    return (by > 0) - (by < 0);
}

/* The perfect interval that two notes form, compounds too; 0: another. */
static int size_of(const struct note *a, const struct note *b, bool by_sound)
{
    struct interval v = interval_upward(a->pitch, b->pitch);
    int half = abs(v.half), octaves = by_sound ? half / 12 : v.steps / 7, rest = half - 12 * octaves;
    int steps = by_sound ? (rest == 7 ? 4 : rest == 0 ? 0 : 1) : v.steps % 7;
    if (steps == 4 && rest == 7)
        return SIZE_FIFTH;
    if (steps == 0 && rest == 0)
        return octaves == 0 ? SIZE_UNISON : SIZE_OCTAVE;
    return 0;
}

/* An octave and a unison are one interval here: Hutchinson, Objectionable Parallels ("octave equivalents").
 */
static bool same_size(int a, int b)
{
    int octave = SIZE_OCTAVE | SIZE_UNISON;
    return a && (a == b || ((a & octave) && (b & octave)));
}

static bool is_leap(const struct note *from, const struct note *to)
{
    return abs(interval_between(from->pitch, to->pitch).steps) > 1;
}

/* Two voices that swap their notes stay one chord. */
static bool is_exchange(const struct turn *t)
{
    return pitch_midi(t->a1->pitch) == pitch_midi(t->b2->pitch) &&
           pitch_midi(t->b1->pitch) == pitch_midi(t->a2->pitch);
}

static bool is_consecutive(const struct wanted *w, const struct turn *t)
{
    int before = size_of(t->a1, t->b1, w->by_sound), after = size_of(t->a2, t->b2, w->by_sound);
    if (!same_size(before, after) || is_exchange(t))
        return false;
    /* From octave to unison and back counts as octaves; unisons are unisons at both ends. */
    int size = before == after ? before : SIZE_OCTAVE;
    bool one_way = way(t->a1, t->a2) == way(t->b1, t->b2);
    if (w->contrary || w->fault == FAULT_PARALLEL)
        return (size & w->sizes) && one_way != w->contrary;
    return size & w->sizes;
}

/* Both go one way into a fifth or octave out of another interval, and the upper voice leaps. */
static bool is_hidden(const struct wanted *w, const struct turn *t)
{
    int before = size_of(t->a1, t->b1, false), after = size_of(t->a2, t->b2, false);
    if (!(after & w->sizes) || same_size(before, after) || way(t->a1, t->a2) != way(t->b1, t->b2))
        return false;
    bool b_above = pitch_midi(t->b2->pitch) >= pitch_midi(t->a2->pitch);
    return b_above ? is_leap(t->b1, t->b2) : is_leap(t->a1, t->a2);
}

/* Is a strand the lowest (or highest) of what sounds at a moment: by the order of the voices where they have
 * one, by pitch otherwise? */
static bool is_outermost(const struct weave *w, const struct strand *s, bool top, struct ratio at)
{
    uint32_t mine = strand_at(s, at);
    for (uint32_t i = 0; i < w->n; i++) {
        const struct strand *other = &w->items[i];
        uint32_t there = strand_at(other, at);
        if (other == s || there == other->n)
            continue;
        int higher = w->ranked ? (other > s) - (other < s)
                               : pitch_midi(other->notes[there]->pitch) - pitch_midi(s->notes[mine]->pitch);
        if (top ? higher > 0 : higher < 0)
            return false;
    }
    return mine < s->n;
}

static bool are_outer(const struct weave *w, const struct finding *f)
{
    bool b_above = w->ranked ? f->b > f->a : pitch_midi(f->turn.b2->pitch) >= pitch_midi(f->turn.a2->pitch);
    const struct strand *low = b_above ? f->a : f->b, *high = b_above ? f->b : f->a;
    return is_outermost(w, low, false, f->turn.at) && is_outermost(w, high, true, f->turn.at);
}

static bool fault_of_motion(const struct wanted *w, const struct weave *weave, const struct finding *f)
{
    const struct turn *t = &f->turn;
    if (!t->a1 || !t->b1 || way(t->a1, t->a2) == 0 || way(t->b1, t->b2) == 0)
        return false;
    if (w->fault != FAULT_HIDDEN)
        return is_consecutive(w, t);
    return is_hidden(w, t) && (w->any_pair || are_outer(weave, f));
}

/* ---- crossing ---------------------------------------------------------------------------------- */

/* Which of two voices the author puts lower: -1 a, 1 b, 0 not said. */
static int order_of(const struct strand *a, const struct strand *b)
{
    if (!a->part || a->part != b->part || !a->part->voice_names)
        return 0;
    return a->voice < b->voice ? -1 : 1;
}

/* Below (-1) or above (1): how a lies to b in a chord. */
static int lies(const struct note *a, const struct note *b)
{
    int by = pitch_midi(a->pitch) - pitch_midi(b->pitch);
    return (by > 0) - (by < 0);
}

/* Does a voice lie between these two at the moment before a turn? Then they are no neighbours. */
static bool is_between(const struct weave *w, const struct finding *f, const struct strand *other)
{
    const struct turn *t = &f->turn;
    if (other == f->a || other == f->b)
        return false;
    if (w->ranked)
        return (other > f->a) != (other > f->b);
    uint32_t i = strand_until(other, t->at);
    return i < other->n && lies(other->notes[i], t->a1) * lies(other->notes[i], t->b1) < 0;
}

static bool is_overlap(const struct weave *w, const struct finding *f)
{
    const struct turn *t = &f->turn;
    if (!t->a1 || !t->b1)
        return false;
    int order = order_of(f->a, f->b);
    if (order == 0)
        order = lies(t->a1, t->b1);
    bool a_low = order < 0;
    const struct note *low1 = a_low ? t->a1 : t->b1, *high1 = a_low ? t->b1 : t->a1;
    const struct note *low2 = a_low ? t->a2 : t->b2, *high2 = a_low ? t->b2 : t->a2;
    if (order == 0 || lies(low1, high1) > 0 || lies(low2, high2) > 0)
        return false;
    if (lies(low2, high1) <= 0 && lies(high2, low1) >= 0)
        return false;
    for (uint32_t i = 0; i < w->n; i++)
        if (is_between(w, f, &w->items[i]))
            return false;
    return true;
}

/* The first moment on each side, and how often the sides change. */
struct sides {
    bool above, below; /* a above b, a below b */
    struct turn first_above, first_below;
    uint32_t changes;
};

static struct sides sides_of(const struct strand *a, const struct strand *b, uint32_t *moments)
{
    struct sides s = {0};
    struct turns_of walk = {.a = a, .b = b};
    struct turn t;
    int last = 0;
    for (*moments = 0; turn_next(&walk, &t); ++*moments) {
        int here = lies(t.a2, t.b2);
        if (here > 0 && !s.above)
            s.first_above = t;
        if (here < 0 && !s.below)
            s.first_below = t;
        s.above = s.above || here > 0;
        s.below = s.below || here < 0;
        s.changes += here && last && here != last;
        last = here ? here : last;
    }
    return s;
}

/* ---- looking through --------------------------------------------------------------------------- */

static void keep_first(struct finding *best, const struct finding *f)
{
    uint32_t n = best->n + 1;
    if (!best->found || ratio_lt(f->turn.at, best->turn.at))
        *best = *f;
    best->found = true;
    best->n = n;
}

/* Crossing: against the order that the names give, or, where nothing gives one, once above and once below. */
static void survey_crossing(const struct wanted *w, struct survey *s, const struct strand *a,
                            const struct strand *b)
{
    uint32_t moments;
    struct sides sides = sides_of(a, b, &moments);
    struct finding f = {.a = a, .b = b};
    int known = order_of(a, b), side = known ? -known : w->direction;
    s->pairs += moments > 0;
    s->changes += moments;
    if (known ? !(side > 0 ? sides.above : sides.below) : !(sides.above && sides.below))
        return;
    if (known && w->direction && w->direction != side)
        return;
    if (side == 0)
        side = ratio_lt(sides.first_above.at, sides.first_below.at) ? -1 : 1;
    f.turn = side > 0 ? sides.first_above : sides.first_below;
    keep_first(&s->finding, &f);
    s->finding.n += sides.changes > 1 ? sides.changes - 1 : 0;
}

static void survey_pair(const struct wanted *w, struct survey *s, const struct strand *a,
                        const struct strand *b)
{
    struct turns_of walk = {.a = a, .b = b};
    struct finding f = {.a = a, .b = b};
    uint32_t changes = 0;
    while (turn_next(&walk, &f.turn)) {
        changes++;
        bool here = w->fault == FAULT_OVERLAP ? is_overlap(&s->weave, &f) : fault_of_motion(w, &s->weave, &f);
        if (here)
            keep_first(&s->finding, &f);
    }
    s->pairs += changes > 0;
    s->changes += changes;
}

static void survey_all(const struct wanted *w, struct survey *s)
{
    s->finding = (struct finding){0};
    s->pairs = s->changes = 0;
    for (uint32_t i = 0; i < s->weave.n; i++) {
        for (uint32_t k = i + 1; k < s->weave.n; k++) {
            const struct strand *a = &s->weave.items[i], *b = &s->weave.items[k];
            if (w->pair && a->side == b->side)
                continue;
            if (w->fault == FAULT_CROSSING)
                survey_crossing(w, s, a, b);
            else
                survey_pair(w, s, a, b);
        }
    }
}

/* ---- words ------------------------------------------------------------------------------------- */

static const char *size_words(int sizes)
{
    return sizes == SIZE_FIFTH    ? "fifths"
           : sizes == SIZE_UNISON ? "unisons"
           : (sizes & SIZE_FIFTH) ? "fifths or octaves"
                                  : "octaves";
}

/* "parallel fifths", "voice crossing". */
static struct str fault_words(struct claim_context *ctx, const struct wanted *w)
{
    switch (w->fault) {
    case FAULT_PARALLEL:
        return say_text(ctx, "parallel %s", size_words(w->sizes));
    case FAULT_CONSECUTIVE:
        return say_text(ctx, "consecutive %s", size_words(w->sizes));
    case FAULT_HIDDEN:
        return say_text(ctx, "hidden %s", size_words(w->sizes));
    case FAULT_CROSSING:
        return STR("voice crossing");
    case FAULT_OVERLAP:
        return STR("voice overlap");
    }
    return STR("");
}

static struct str say_move_of(struct claim_context *ctx, const struct strand *s, const struct note *from,
                              const struct note *to)
{
    int by = way(from, to);
    struct str pitch = say_pitch(ctx, to->pitch);
    if (by == 0)
        return say_text(ctx, "%.*s stays on %.*s", STR_ARG(s->name), STR_ARG(pitch));
    return say_text(ctx, "%.*s %s %.*s", STR_ARG(s->name), by < 0 ? "falls" : "rises",
                    STR_ARG(tell_pitches(ctx, from->pitch, to->pitch)));
}

static struct str say_between_notes(struct claim_context *ctx, const struct note *a, const struct note *b)
{
    return say_interval(ctx, interval_upward(a->pitch, b->pitch));
}

static struct ratio later(struct ratio a, struct ratio b)
{
    return ratio_lt(a, b) ? b : a;
}

/* The lower voice first. */
static struct finding lower_first(const struct finding *f)
{
    struct finding out = *f;
    const struct turn *t = &f->turn;
    const struct note *a = t->a1 && t->b1 ? t->a1 : t->a2, *b = t->a1 && t->b1 ? t->b1 : t->b2;
    if (lies(a, b) > 0) {
        out.a = f->b;
        out.b = f->a;
        out.turn = (struct turn){t->b1, t->a1, t->b2, t->a2, t->at};
    }
    return out;
}

static struct str say_finding(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    struct finding f = lower_first(&s->finding);
    const struct turn *t = &f.turn;
    const struct passage *p = s->weave.passage;
    if (w->fault == FAULT_CROSSING) {
        bool a_above = lies(t->a2, t->b2) > 0;
        const struct strand *up = a_above ? f.a : f.b, *down = a_above ? f.b : f.a;
        struct str high = say_pitch(ctx, (a_above ? t->a2 : t->b2)->pitch);
        struct str low = say_pitch(ctx, (a_above ? t->b2 : t->a2)->pitch);
        return say_text(ctx, "at %.*s %.*s has %.*s, above %.*s with %.*s", STR_ARG(say_place(ctx, p, t->at)),
                        STR_ARG(up->name), STR_ARG(high), STR_ARG(down->name), STR_ARG(low));
    }
    struct str at = tell_way(ctx, p, later(t->a1->onset, t->b1->onset), t->at);
    struct str low = say_move_of(ctx, f.a, t->a1, t->a2), high = say_move_of(ctx, f.b, t->b1, t->b2);
    if (w->fault == FAULT_OVERLAP) {
        bool low_goes = lies(t->a2, t->b1) > 0;
        struct str passed = say_pitch(ctx, (low_goes ? t->b1 : t->a1)->pitch);
        return say_text(ctx, "from %.*s %.*s, past the %.*s that %.*s leaves", STR_ARG(at),
                        STR_ARG(low_goes ? low : high), STR_ARG(passed),
                        STR_ARG(low_goes ? f.b->name : f.a->name));
    }
    struct str after = say_between_notes(ctx, t->a2, t->b2), before = say_between_notes(ctx, t->a1, t->b1);
    if (str_eq(before, after))
        return say_text(ctx, "from %.*s %.*s and %.*s: %.*s both times", STR_ARG(at), STR_ARG(low),
                        STR_ARG(high), STR_ARG(after));
    return say_text(ctx, "from %.*s %.*s and %.*s: from %.*s to %.*s", STR_ARG(at), STR_ARG(low),
                    STR_ARG(high), STR_ARG(before), STR_ARG(after));
}

static void mark_finding(struct claim_context *ctx, const struct survey *s)
{
    const struct turn *t = &s->finding.turn;
    const struct strand *a = s->finding.a, *b = s->finding.b;
    const char *half = t->a1 && t->b1 ? "" : "here ";
    claim_place(ctx, t->a2->where, "%s%.*s", half, STR_ARG(a->name));
    claim_place(ctx, t->b2->where, "%s%.*s", half, STR_ARG(b->name));
}

/* "; two more places", or nothing. */
static struct str say_more(struct claim_context *ctx, const struct survey *s)
{
    if (s->finding.n < 2)
        return STR("");
    struct str more = say_count(ctx, s->finding.n - 1, "more place", "more places");
    return say_text(ctx, "; %.*s", STR_ARG(more));
}

static struct str say_scope(struct claim_context *ctx, const struct survey *s)
{
    struct str voices = say_count(ctx, s->weave.n, "voice", "voices");
    struct str pairs = say_count(ctx, s->pairs, "pair", "pairs");
    struct str changes = say_count(ctx, s->changes, "moment", "moments");
    return say_text(ctx, "%.*s, %.*s compared at %.*s", STR_ARG(voices), STR_ARG(pairs), STR_ARG(changes));
}

/* What a claim that there are none should not hide: the same by contrary motion, or by sound alone. */
static struct str say_remark(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    if (w->fault != FAULT_PARALLEL || ctx->mute)
        return STR("");
    struct survey other = *s;
    struct wanted like = *w;
    like.contrary = true;
    survey_all(&like, &other);
    if (other.finding.found) {
        struct str words = say_finding(ctx, &like, &other);
        return say_text(ctx, "; by contrary motion there are: %.*s", STR_ARG(words));
    }
    like.contrary = false;
    like.by_sound = true;
    survey_all(&like, &other);
    if (!other.finding.found)
        return STR("");
    struct str words = say_finding(ctx, &like, &other);
    return say_text(ctx, "; by sound there are, spelled otherwise: %.*s", STR_ARG(words));
}

static const char *rank_remark(const struct survey *s)
{
    return s->weave.by_rank ? "; voices taken from low to high" : "";
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

/* The voices in question, for a sentence: "between A and B", "in STREAM". */
static struct str say_where(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                            const struct finding *f)
{
    bool named = f && f->found && f->a->claim.n && f->b->claim.n && w->fault != FAULT_HIDDEN;
    if (w->pair || named) {
        struct str a = w->pair ? m->stream[0].words : f->a->claim,
                   b = w->pair ? m->stream[1].words : f->b->claim;
        return say_text(ctx, "between %.*s and %.*s", STR_ARG(a), STR_ARG(b));
    }
    return say_text(ctx, "in %.*s", STR_ARG(m->stream[0].words));
}

static void decide_found(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                         const struct survey *s)
{
    struct str words = say_finding(ctx, w, s), more = say_more(ctx, s);
    if (w->some) {
        claim_holds(ctx, "%.*s%.*s%s", STR_ARG(words), STR_ARG(more), rank_remark(s));
        return;
    }
    claim_fails(ctx, "%.*s%.*s%s", STR_ARG(words), STR_ARG(more), rank_remark(s));
    mark_finding(ctx, s);
    claim_instead(ctx, "there %s %.*s %.*s%.*s", w->fault >= FAULT_CROSSING ? "is" : "are",
                  STR_ARG(fault_words(ctx, w)), STR_ARG(say_where(ctx, m, w, &s->finding)),
                  STR_ARG(tell_span(ctx, m)));
}

/* A sentence that says which of two voices lies above fails with where they lie. */
static struct str say_never(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    struct str what = fault_words(ctx, w), scope = say_scope(ctx, s);
    if (w->fault == FAULT_CROSSING && w->pair && s->weave.n == 2) {
        const struct strand *a = &s->weave.items[0], *b = &s->weave.items[1];
        uint32_t moments;
        struct sides sides = sides_of(a, b, &moments);
        if (sides.above != sides.below)
            return say_text(ctx, "%.*s lies %s %.*s throughout: %.*s", STR_ARG(a->name),
                            sides.above ? "above" : "below", STR_ARG(b->name), STR_ARG(scope));
    }
    return say_text(ctx, "no %.*s: %.*s", STR_ARG(what), STR_ARG(scope));
}

static void decide_none(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                        const struct survey *s)
{
    struct str never = say_never(ctx, w, s);
    if (!w->some) {
        claim_holds(ctx, "%.*s%.*s%s", STR_ARG(never), STR_ARG(say_remark(ctx, w, s)), rank_remark(s));
        return;
    }
    claim_fails(ctx, "%.*s%.*s%s", STR_ARG(never), STR_ARG(say_remark(ctx, w, s)), rank_remark(s));
    struct survey other = *s;
    struct wanted either = *w;
    either.direction = 0;
    if (w->direction)
        survey_all(&either, &other);
    if (!other.finding.found)
        claim_instead(ctx, "there %s no %.*s %.*s%.*s", w->fault >= FAULT_CROSSING ? "is" : "are",
                      STR_ARG(fault_words(ctx, w)), STR_ARG(say_where(ctx, m, w, NULL)),
                      STR_ARG(tell_span(ctx, m)));
    else
        claim_instead(ctx, "%.*s and %.*s cross%.*s", STR_ARG(m->stream[0].words),
                      STR_ARG(m->stream[1].words), STR_ARG(tell_span(ctx, m)));
}

/* Nothing was found; is enough known to say that there is nothing? */
static bool is_enough(struct claim_context *ctx, const struct survey *s)
{
    const struct weave *weave = &s->weave;
    if (weave_unknown(ctx, weave))
        return false;
    if (weave->n < 2 || s->pairs == 0) {
        claim_undecided(ctx, "%s: the claim needs two voices that sound together",
                        weave->n < 2 ? "only one voice is named" : "no two voices sound at once there");
        return false;
    }
    return true;
}

/* Stacks are written from the lowest note up, so voices without names cannot be seen to cross. */
static bool can_cross(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    if (w->fault != FAULT_CROSSING)
        return true;
    const struct part *stacked = NULL;
    for (uint32_t i = 0; i < s->weave.n && !stacked; i++) {
        const struct part *part = s->weave.items[i].part;
        if (part && part->n_voices > 1 && !part->voice_names)
            stacked = part;
    }
    if (!s->weave.by_rank && !stacked)
        return true;
    if (s->weave.by_rank)
        claim_undecided(ctx, "chords are taken from low to high, so crossing cannot be seen: name the parts");
    else
        claim_undecided(
            ctx,
            "the stacks of `%.*s` are written from the lowest note up, so crossing cannot be seen: name its "
            "voices (`voices high low`, then `high:F5`)",
            STR_ARG(stacked->symbol.name));
    return false;
}

static bool nothing_changes(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    if (w->fault >= FAULT_CROSSING && w->fault != FAULT_OVERLAP)
        return false;
    for (uint32_t i = 0; i < s->weave.n; i++)
        for (uint32_t k = 1; k < s->weave.items[i].n; k++)
            if (way(s->weave.items[i].notes[k - 1], s->weave.items[i].notes[k]) != 0)
                return false;
    claim_undecided(ctx, "nothing moves there: every voice keeps its note; widen the stretch");
    return true;
}

static bool gather(struct claim_context *ctx, const struct match *m, struct survey *s)
{
    struct stretch where;
    if (m->n_streams > 1 && m->stream[0].passage != m->stream[1].passage) {
        claim_undecided(ctx, "%.*s and %.*s do not sound together: they belong to different passages",
                        STR_ARG(m->stream[0].words), STR_ARG(m->stream[1].words));
        return false;
    }
    for (int i = 0; i < m->n_streams; i++) {
        uint32_t before = s->weave.n;
        if (!match_stretch(ctx, m, &m->stream[i], &where) ||
            !weave_add(ctx, &m->stream[i], where, true, i, &s->weave))
            return false;
        if (m->n_streams > 1 && s->weave.n == before + 1)
            s->weave.items[before].name = tell_short(&m->stream[i]);
    }
    return true;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(ctx, m, pattern);
    struct survey s = {.weave = {.n = 0}};
    if (!gather(ctx, m, &s))
        return;
    if (w.fault == FAULT_HIDDEN && !w.pair)
        claim_convention(ctx, CONVENTION_FAULT_HIDDEN);
    survey_all(&w, &s);
    if (s.finding.found)
        decide_found(ctx, m, &w, &s);
    else if (is_enough(ctx, &s) && can_cross(ctx, &w, &s) && !nothing_changes(ctx, &w, &s))
        decide_none(ctx, m, &w, &s);
}

const struct claim_kind claim_kind_fault = {
    .name = "fault",
    .patterns = patterns,
    .meaning = "No two voices move one way from a perfect fifth, or octave, to another (parallel), or leap "
               "one way into "
               "one (hidden); no voice crosses or overlaps another.",
    .page = claim_page_fault,
    .check = check,
    .fails = DIAG_FAILS_fault,
};
