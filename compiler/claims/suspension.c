/* suspension.c - a note kept while the harmony moves on, and how it gives way. */
#include "claims/accent.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"
#include "claims/weave.h"

#include <stdlib.h>

#define FIGURE_ "COUNT -|–|to COUNT"

enum pattern { HAS, HAS_ANY, THERE, THERE_ANY, NO, NO_ANY, SUSPENDS };

static const char *const patterns[] = {
    [HAS] = "STREAM has|makes|forms|contains " FIGURE_ " [bass] suspension at|on|in PLACE",
    [HAS_ANY] = "STREAM has|makes|forms|contains [bass] suspension at|on|in PLACE",
    [THERE] = "there is " FIGURE_ " suspension in|of STREAM at|on PLACE",
    [THERE_ANY] = "there is suspension in|of STREAM at|on PLACE",
    [NO] = "STREAM has no " FIGURE_ " suspension at|on|in PLACE",
    [NO_ANY] = "STREAM has no suspension at|on|in PLACE",
    [SUSPENDS] = "STREAM suspends PITCH at|on|over|into PLACE",
    NULL,
};

/* What is asked: the two figures, 0: any. */
struct wanted {
    int first, second;
    const struct pitch *pitch; /* the note that is kept; NULL: any */
    bool none;                 /* the sentence says that there is none */
};

/* How far a voice comes; the order is that of the steps of a suspension. */
enum stage {
    STAGE_SILENT,      /* the voice does not sound there */
    STAGE_OTHER_PITCH, /* it has another note than the one named */
    STAGE_STRUCK,      /* the note is new: nothing is kept */
    STAGE_UNPREPARED,  /* what it was kept from was dissonant */
    STAGE_ALONE,       /* nothing sounds against it */
    STAGE_CONSONANT,   /* nothing clashes */
    STAGE_OPEN,        /* what follows is not known */
    STAGE_LEAVES,      /* does not go on by step */
    STAGE_RISES,       /* goes up: a retardation */
    STAGE_WEAK,        /* stands on a weaker beat than where it goes */
    STAGE_OTHER,       /* a suspension, with other figures */
    STAGE_FITS
};

struct trial {
    enum stage stage;
    const struct strand *strand;
    uint32_t note, prepared; /* the note at the place, and the one that it was kept from */
    bool struck_again;
    bool lowest;                 /* the voice is the bass: measured up to another voice */
    struct pitch against, under; /* what it is measured from, at the place and at its resolution */
    struct next next;
    int first, second;
};

struct scene {
    struct claim_context *ctx;
    const struct passage *passage;
    struct weave around; /* all that sounds */
    struct ratio at;
};

static struct wanted read_wanted(const struct match *m, enum pattern pattern)
{
    struct wanted w = {.none = pattern == NO || pattern == NO_ANY};
    if (m->n_counts == 2) {
        w.first = (int)(m->count[0] < 99 ? m->count[0] : 99);
        w.second = (int)(m->count[1] < 99 ? m->count[1] : 99);
    }
    w.pitch = m->n_pitches ? &m->pitch[0] : NULL;
    return w;
}

/* ---- intervals --------------------------------------------------------------------------------- */

/* The bass of a passage is made of notes of its parts, so notes are told apart by where they are written. */
static bool is_same(const struct note *a, const struct note *b)
{
    return a->where.file == b->where.file && a->where.lo == b->where.lo;
}

/* The lowest note that sounds at a position, but for one voice; NULL: none. */
static const struct note *lowest_other(const struct scene *s, const struct strand *but, struct ratio at)
{
    const struct note *low = NULL;
    uint32_t mine = strand_at(but, at);
    for (uint32_t i = 0; i < s->around.n; i++) {
        const struct strand *o = &s->around.items[i];
        uint32_t k = strand_at(o, at);
        if (k == o->n || (mine < but->n && is_same(o->notes[k], but->notes[mine])))
            continue;
        if (!strand_take(s->ctx, &s->around, o->notes[k]))
            continue;
        if (!low || pitch_midi(o->notes[k]->pitch) < pitch_midi(low->pitch))
            low = o->notes[k];
    }
    return low;
}

/* Figures above nine are named by what is left without the octave, but a ninth keeps its name: Hutchinson,
 * Suspension. */
static int figure_of(struct interval v)
{
    int steps = abs(v.steps);
    if (steps >= 7 && steps % 7 <= 1)
        return steps % 7 == 1 ? 9 : 8;
    return steps % 7 + 1;
}

static bool figure_is(int wanted, int got, bool lowest)
{
    if (lowest && got == 9)
        got = 2;
    if (lowest && wanted == 10)
        wanted = 3;
    if (wanted > 9)
        wanted = (wanted - 1) % 7 + 1;
    return wanted == 0 || wanted == got;
}

/* The chord that the author states there, if any. */
static const struct harmony *chord_at(const struct scene *s, struct ratio at)
{
    const struct harmony_event *e = passage_harmony_at(s->passage, at);
    if (!e || e->harmony.kind == HARMONY_NONE || !take_harmony(s->ctx, s->passage, e))
        return NULL;
    return &e->harmony;
}

static bool chord_has(const struct harmony *h, struct tone t)
{
    for (uint32_t i = 0; i < h->n_layers; i++) {
        if (tone_eq(h->layers[i].bass, t))
            return true;
        for (uint32_t k = 0; k < h->layers[i].n_tones; k++)
            if (tone_eq(h->layers[i].tones[k], t))
                return true;
    }
    return false;
}

/* Good to prepare from: consonant with the bass, or a tone of the chord stated there. */
static bool is_prepared(const struct scene *s, const struct strand *strand, struct pitch p, struct ratio at)
{
    const struct note *other = lowest_other(s, strand, at);
    const struct harmony *h = chord_at(s, at);
    return !other || interval_consonant(interval_upward(other->pitch, p)) || (h && chord_has(h, p.tone));
}

/* ---- one voice --------------------------------------------------------------------------------- */

/* The note kept, and from where; false: it is struck new at the place. */
static bool find_kept(const struct scene *s, const struct weave *w, struct trial *t)
{
    const struct note *n = t->strand->notes[t->note];
    t->prepared = t->note;
    if (ratio_lt(n->onset, s->at))
        return true;
    t->struck_again = true;
    struct next before = strand_before(s->ctx, w, t->strand, t->note);
    if (before.kind != NEXT_NOTE || !pitch_eq(t->strand->notes[before.index]->pitch, n->pitch))
        return false;
    t->prepared = before.index;
    return true;
}

/* The note of an upper voice that the bass forms a second with, and then a third. */
static bool measure_up(const struct scene *s, struct trial *t, struct ratio after, struct pitch to)
{
    struct pitch mine = t->strand->notes[t->note]->pitch;
    for (uint32_t i = 0; i < s->around.n; i++) {
        const struct strand *o = &s->around.items[i];
        uint32_t k = strand_at(o, s->at), later = strand_at(o, after);
        if (k == o->n || is_same(o->notes[k], t->strand->notes[t->note]))
            continue;
        struct interval v = interval_between(mine, o->notes[k]->pitch);
        if (v.steps <= 0 || v.steps % 7 != 1 || !strand_take(s->ctx, &s->around, o->notes[k]))
            continue;
        t->against = o->notes[k]->pitch;
        t->under = o->notes[later < o->n ? later : k]->pitch;
        t->first = figure_of(v);
        t->second = figure_of(interval_between(to, t->under));
        return true;
    }
    return false;
}

/* Does it clash? A fourth, a second or a seventh do; a sixth or a fifth only as a tone foreign to the chord.
 */
static bool clashes(const struct scene *s, const struct trial *t)
{
    struct pitch p = t->strand->notes[t->note]->pitch;
    const struct harmony *h = chord_at(s, s->at);
    if (!interval_consonant(interval_upward(t->against, p)))
        return true;
    return h && !chord_has(h, p.tone);
}

static enum stage judge_leaving(const struct scene *s, const struct trial *t, const struct wanted *w)
{
    const struct note *from = t->strand->notes[t->note], *to = t->strand->notes[t->next.index];
    struct interval by = interval_between(from->pitch, to->pitch);
    if (abs(by.steps) != 1 || abs(by.half) > 2 || by.half == 0)
        return STAGE_LEAVES;
    if (by.half > 0)
        return STAGE_RISES;
    if (accent_level(s->passage, s->at) < accent_level(s->passage, to->onset))
        return STAGE_WEAK;
    if (!figure_is(w->first, t->first, t->lowest) || !figure_is(w->second, t->second, t->lowest))
        return STAGE_OTHER;
    return STAGE_FITS;
}

static struct trial try_voice(const struct scene *s, const struct weave *w, const struct strand *strand,
                              const struct wanted *wanted)
{
    struct trial t = {.strand = strand, .note = strand_at(strand, s->at)};
    if (t.note == strand->n || !strand_take(s->ctx, w, strand->notes[t.note]))
        return t;
    struct pitch p = strand->notes[t.note]->pitch;
    t.stage = STAGE_OTHER_PITCH;
    if (wanted->pitch && !pitch_eq(*wanted->pitch, p))
        return t;
    t.stage = STAGE_STRUCK;
    if (!find_kept(s, w, &t))
        return t;
    t.stage = STAGE_UNPREPARED;
    if (!is_prepared(s, strand, p, strand->notes[t.prepared]->onset))
        return t;
    t.stage = STAGE_ALONE;
    const struct note *bass = lowest_other(s, strand, s->at);
    if (!bass)
        return t;
    t.next = strand_moves(s->ctx, w, strand, t.note);
    bool known = t.next.kind == NEXT_NOTE;
    struct ratio after = known ? strand->notes[t.next.index]->onset : s->at;
    struct pitch to = known ? strand->notes[t.next.index]->pitch : p;
    t.lowest = pitch_midi(p) < pitch_midi(bass->pitch);
    t.stage = STAGE_CONSONANT;
    t.against = bass->pitch;
    if (t.lowest) {
        if (!measure_up(s, &t, after, to))
            return t;
    } else {
        const struct note *under = lowest_other(s, strand, after);
        t.under = under ? under->pitch : bass->pitch;
        t.first = figure_of(interval_between(bass->pitch, p));
        t.second = figure_of(interval_between(t.under, to));
        if (!clashes(s, &t))
            return t;
    }
    t.stage = known ? judge_leaving(s, &t, wanted) : STAGE_OPEN;
    return t;
}

/* ---- words ------------------------------------------------------------------------------------- */

static struct str say_at(const struct scene *s, struct ratio at)
{
    return say_place(s->ctx, s->passage, at);
}

static struct pitch pitch_at(const struct trial *t)
{
    return t->strand->notes[t->note]->pitch;
}

/* "C5 over G3 is a perfect fourth"; for the bass "C3 under D4 is a major second". */
static struct str say_clash(const struct scene *s, const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    return say_text(ctx, "%.*s %s %.*s is %.*s", STR_ARG(say_pitch(ctx, pitch_at(t))),
                    t->lowest ? "under" : "over", STR_ARG(say_pitch(ctx, t->against)),
                    STR_ARG(say_interval(ctx, interval_upward(t->against, pitch_at(t)))));
}

static struct str say_kept(const struct scene *s, const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    const struct note *from = t->strand->notes[t->prepared];
    const struct note *other = lowest_other(s, t->strand, from->onset);
    struct str how = str_of(t->struck_again ? "struck again" : "held");
    if (!other)
        return say_text(ctx, "%.*s of %.*s, from %.*s, %.*s at %.*s", STR_ARG(say_pitch(ctx, from->pitch)),
                        STR_ARG(t->strand->name), STR_ARG(say_at(s, from->onset)), STR_ARG(how),
                        STR_ARG(say_at(s, s->at)));
    struct interval v = interval_upward(other->pitch, from->pitch);
    return say_text(ctx, "%.*s of %.*s, at %.*s %.*s %s %.*s%s, %.*s at %.*s",
                    STR_ARG(say_pitch(ctx, from->pitch)), STR_ARG(t->strand->name),
                    STR_ARG(say_at(s, from->onset)), STR_ARG(say_interval(ctx, v)),
                    pitch_midi(from->pitch) < pitch_midi(other->pitch) ? "under" : "over",
                    STR_ARG(say_pitch(ctx, other->pitch)), interval_consonant(v) ? "" : " and a chord tone",
                    STR_ARG(how), STR_ARG(say_at(s, s->at)));
}

static struct str say_leaving(const struct scene *s, const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    const struct note *to = t->strand->notes[t->next.index];
    struct interval by = interval_between(pitch_at(t), to->pitch);
    return say_text(ctx, "%s to %.*s at %.*s", by.half < 0 ? "falls" : "rises",
                    STR_ARG(say_pitch(ctx, to->pitch)), STR_ARG(say_at(s, to->onset)));
}

static struct str say_figures(const struct scene *s, const struct trial *t)
{
    int first = t->lowest && t->first == 9 ? 2 : t->first;
    return say_text(s->ctx, "%d-%d", first, t->second);
}

static struct str say_why(const struct scene *s, const struct trial *t, const struct wanted *w)
{
    struct claim_context *ctx = s->ctx;
    struct str pitch = t->stage > STAGE_SILENT ? say_pitch(ctx, pitch_at(t)) : STR("");
    struct str name = t->strand->name, at = say_at(s, s->at);
    switch (t->stage) {
    case STAGE_SILENT:
        return say_text(ctx, "%.*s does not sound at %.*s", STR_ARG(name), STR_ARG(at));
    case STAGE_OTHER_PITCH:
        return say_text(ctx, "%.*s has %.*s at %.*s, not %.*s", STR_ARG(name), STR_ARG(pitch), STR_ARG(at),
                        STR_ARG(say_pitch(ctx, *w->pitch)));
    case STAGE_STRUCK:
        return say_text(ctx, "%.*s of %.*s is struck new at %.*s, not prepared", STR_ARG(pitch),
                        STR_ARG(name), STR_ARG(at));
    case STAGE_UNPREPARED:
        return say_text(ctx, "%.*s is dissonant where it is prepared: %.*s", STR_ARG(pitch),
                        STR_ARG(say_kept(s, t)));
    case STAGE_CONSONANT:
        return say_text(ctx, "nothing clashes at %.*s: %.*s", STR_ARG(at), STR_ARG(say_clash(s, t)));
    case STAGE_LEAVES:
        return say_text(ctx, "%.*s of %.*s does not go on by step: it %.*s", STR_ARG(pitch), STR_ARG(name),
                        STR_ARG(say_leaving(s, t)));
    case STAGE_RISES:
        return say_text(ctx, "%.*s of %.*s %.*s: a retardation, which rises, no suspension, which falls",
                        STR_ARG(pitch), STR_ARG(name), STR_ARG(say_leaving(s, t)));
    case STAGE_WEAK:
        return say_text(ctx,
                        "%.*s of %.*s %.*s, which is stronger than %.*s: a suspension stands on the stronger",
                        STR_ARG(pitch), STR_ARG(name), STR_ARG(say_leaving(s, t)), STR_ARG(at));
    case STAGE_OTHER:
        return say_text(ctx, "%.*s, and %.*s: %.*s, not %d-%d", STR_ARG(say_clash(s, t)),
                        STR_ARG(say_leaving(s, t)), STR_ARG(say_figures(s, t)), w->first, w->second);
    case STAGE_ALONE:
    case STAGE_OPEN:
    case STAGE_FITS:
        break;
    }
    return STR("");
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static struct str say_true(const struct scene *s, const struct match *m, const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    return say_text(ctx, "%.*s has a %.*s suspension at %.*s", STR_ARG(m->stream[0].words),
                    STR_ARG(say_figures(s, t)), STR_ARG(say_at(s, s->at)));
}

static void decide_fits(const struct scene *s, const struct match *m, const struct wanted *w,
                        const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    const struct note *to = t->strand->notes[t->next.index];
    struct str kept = say_kept(s, t), clash = say_clash(s, t), leaving = say_leaving(s, t),
               figures = say_figures(s, t);
    if (!w->none) {
        claim_holds(ctx, "%.*s, where %.*s; it %.*s: %.*s", STR_ARG(kept), STR_ARG(clash), STR_ARG(leaving),
                    STR_ARG(figures));
        return;
    }
    claim_fails(ctx, "%.*s, where %.*s; it %.*s: %.*s", STR_ARG(kept), STR_ARG(clash), STR_ARG(leaving),
                STR_ARG(figures));
    claim_place(ctx, t->strand->notes[t->note]->where, "kept");
    claim_place(ctx, to->where, "resolves");
    claim_instead(ctx, "%.*s", STR_ARG(say_true(s, m, t)));
}

static void decide(const struct scene *s, const struct match *m, const struct weave *w,
                   const struct wanted *wanted, const struct trial *t)
{
    struct claim_context *ctx = s->ctx;
    struct str pitch = t->stage > STAGE_SILENT ? say_pitch(ctx, pitch_at(t)) : STR("");
    if (t->stage == STAGE_ALONE) {
        claim_undecided(ctx,
                        "nothing else sounds at %.*s: a suspension needs another voice to clash with; "
                        "transcribe the bass",
                        STR_ARG(say_at(s, s->at)));
        return;
    }
    if (t->stage == STAGE_OPEN) {
        claim_undecided(ctx, "%.*s clashes at %.*s, but %.*s", STR_ARG(pitch), STR_ARG(say_at(s, s->at)),
                        STR_ARG(next_words(ctx, w, t->strand, t->note, &t->next)));
        return;
    }
    if (t->stage == STAGE_FITS) {
        decide_fits(s, m, wanted, t);
        return;
    }
    struct str why = say_why(s, t, wanted);
    if (wanted->none) {
        claim_holds(ctx, "%.*s", STR_ARG(why));
        return;
    }
    claim_fails(ctx, "%.*s", STR_ARG(why));
    if (t->stage > STAGE_SILENT)
        claim_place(ctx, t->strand->notes[t->note]->where, "%.*s", STR_ARG(pitch));
    if (t->stage == STAGE_OTHER)
        claim_instead(ctx, "%.*s", STR_ARG(say_true(s, m, t)));
    else
        claim_instead(ctx, "%.*s has no suspension at %.*s", STR_ARG(m->stream[0].words),
                      STR_ARG(say_at(s, s->at)));
}

/* Around the place all must be known: a part that is left open could be the bass. */
static bool is_known(const struct scene *s, const struct trial *t)
{
    struct gap gap;
    struct stretch needed = {.onset = s->at, .end = s->at};
    if (t->stage > STAGE_SILENT)
        needed.end = note_end(t->strand->notes[t->note]);
    if (t->stage > STAGE_STRUCK)
        needed.onset = t->strand->notes[t->prepared]->onset;
    if (t->stage > STAGE_OPEN)
        needed.end = note_end(t->strand->notes[t->next.index]);
    if (!passage_gap(s->passage, NULL, needed, &gap))
        return true;
    claim_undecided(s->ctx, "%.*s: the bass there is not known", STR_ARG(gap_words(s->ctx, &gap)));
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, (enum pattern)pattern);
    struct stream s = m->stream[0];
    struct scene scene = {.ctx = ctx, .passage = s.passage};
    struct weave own;
    if (!s.passage) {
        claim_undecided(ctx, "%.*s belongs to no passage, so nothing sounds against it", STR_ARG(s.words));
        return;
    }
    take_passage(ctx, s.passage);
    struct stretch whole = passage_stretch(s.passage);
    if (!place_position(ctx, s.passage, m->place[0], &scene.at) || !weave_read(ctx, &s, whole, false, &own) ||
        !weave_passage(ctx, s.passage, whole, &scene.around))
        return;
    if (own.unclear || scene.around.unclear) {
        const struct part *part = own.unclear ? own.unclear : scene.around.unclear;
        voices_unclear(ctx, part);
        return;
    }
    struct trial best = {.strand = own.n ? &own.items[0] : NULL};
    for (uint32_t i = 0; i < own.n; i++) {
        struct trial t = try_voice(&scene, &own, &own.items[i], &w);
        if (i == 0 || t.stage > best.stage)
            best = t;
    }
    if (!best.strand)
        claim_undecided(ctx, "%.*s has no notes", STR_ARG(s.words));
    else if (is_known(&scene, &best))
        decide(&scene, m, &own, &w, &best);
}

const struct claim_kind claim_kind_suspension = {
    .name = "suspension",
    .patterns = patterns,
    .meaning = "A voice keeps a consonant note into a stronger beat, where it clashes, and goes down a step: "
               "7-6, 4-3, 9-8, "
               "2-3 by the intervals from the bass.",
    .page = claim_page_suspension,
    .check = check,
    .fails = DIAG_FAILS_suspension,
};
