/* ornament.c - what a note is to the chord stated under it: one of its tones, or an ornament of a kind. */
#include "claims/accent.h"
#include "claims/lines.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"
#include "claims/weave.h"

#include <stdlib.h>

#define QUALIFIER "[<accented|unaccented|upper|lower|chromatic>]"
#define TONE_NAMES                                                                                           \
    "<passing|neighbour|neighbor|neighbouring|neighboring|auxiliary|escape|chord|non-chord|nonchord|"        \
    "non-harmonic|nonharmonic> tone|note"
#define NOUN_NAMES                                                                                           \
    "<anticipation|appoggiatura|suspension|retardation|neighbour|neighbor|double neighbour|double neighbor>"
#define VERB "is|becomes|forms"

enum pattern { TONE_AT, TONE_OF, NOUN_AT, NOUN_OF };

static const char *const patterns[] = {
    [TONE_AT] = "PITCH at|on|in PLACE [of|in STREAM] " VERB " " QUALIFIER " " TONE_NAMES,
    [TONE_OF] = "PITCH of|in STREAM at|on|in PLACE " VERB " " QUALIFIER " " TONE_NAMES,
    [NOUN_AT] = "PITCH at|on|in PLACE [of|in STREAM] " VERB " " QUALIFIER " " NOUN_NAMES,
    [NOUN_OF] = "PITCH of|in STREAM at|on|in PLACE " VERB " " QUALIFIER " " NOUN_NAMES,
    NULL,
};

enum sort {
    SORT_CHORD,
    SORT_PASSING,
    SORT_NEIGHBOUR,
    SORT_ESCAPE,
    SORT_ANTICIPATION,
    SORT_APPOGGIATURA,
    SORT_SUSPENSION,
    SORT_RETARDATION,
    SORT_DOUBLE,
    SORT_OTHER,   /* foreign to the chord, and none of these */
    SORT_FOREIGN, /* asked for only: any that is no chord tone */
    SORT_OPEN     /* what comes before or after is not known */
};

/* By the choices above. */
static const enum sort tone_choices[] = {SORT_PASSING,   SORT_NEIGHBOUR, SORT_NEIGHBOUR, SORT_NEIGHBOUR,
                                         SORT_NEIGHBOUR, SORT_NEIGHBOUR, SORT_ESCAPE,    SORT_CHORD,
                                         SORT_FOREIGN,   SORT_FOREIGN,   SORT_FOREIGN,   SORT_FOREIGN};
static const enum sort noun_choices[] = {SORT_ANTICIPATION, SORT_APPOGGIATURA, SORT_SUSPENSION,
                                         SORT_RETARDATION,  SORT_NEIGHBOUR,    SORT_NEIGHBOUR,
                                         SORT_DOUBLE,       SORT_DOUBLE};

static const char *const sort_names[] = {
    [SORT_CHORD] = "chord tone",          [SORT_PASSING] = "passing tone",
    [SORT_NEIGHBOUR] = "neighbour tone",  [SORT_ESCAPE] = "escape tone",
    [SORT_ANTICIPATION] = "anticipation", [SORT_APPOGGIATURA] = "appoggiatura",
    [SORT_SUSPENSION] = "suspension",     [SORT_RETARDATION] = "retardation",
    [SORT_DOUBLE] = "double neighbour",   [SORT_OTHER] = "non-chord tone",
    [SORT_FOREIGN] = "non-chord tone",    [SORT_OPEN] = ""};

enum qualifier { QUALIFIER_NONE = -1, ACCENTED, UNACCENTED, UPPER, LOWER, CHROMATIC };

enum manner_of { BY_NOTHING, BY_SAME, BY_STEP, BY_LEAP };

struct wanted {
    enum sort sort;
    enum qualifier qualifier;
};

/* A note, what is around it, and what that makes it. */
struct reading_of {
    const struct weave *weave;
    const struct strand *strand;
    uint32_t note;
    struct ratio at;
    const struct harmony *chord;
    bool by_sound; /* in the chord by sound, spelled otherwise */
    enum manner_of in, out;
    struct next before, after; /* the notes it comes from and goes to; of another pitch, but for BY_SAME */
    struct interval in_by, out_by;
    enum sort sort;
    struct next open; /* SORT_OPEN: what is missing */
};

/* ---- the chord --------------------------------------------------------------------------------- */

static const struct harmony *chord_at(struct claim_context *ctx, const struct passage *p, struct ratio at)
{
    const struct harmony_event *e = passage_harmony_at(p, at);
    if (!e || e->harmony.kind == HARMONY_NONE || e->harmony.n_layers == 0 || !take_harmony(ctx, p, e))
        return NULL;
    return &e->harmony;
}

static bool chord_has(const struct harmony *h, struct tone t, bool by_sound)
{
    for (uint32_t i = 0; i < h->n_layers; i++) {
        const struct chord *c = &h->layers[i];
        for (uint32_t k = 0; k <= c->n_tones; k++) {
            struct tone own = k < c->n_tones ? c->tones[k] : c->bass;
            if (by_sound ? tone_pc(own) == tone_pc(t) : tone_eq(own, t))
                return true;
        }
    }
    return false;
}

static bool in_chord(struct claim_context *ctx, const struct passage *p, const struct note *n,
                     struct ratio at)
{
    const struct harmony *h = chord_at(ctx, p, at);
    return h && chord_has(h, n->pitch.tone, false);
}

/* ---- approach and departure -------------------------------------------------------------------- */

static struct interval by_of(const struct reading_of *r, uint32_t from, uint32_t to)
{
    return interval_between(r->strand->notes[from]->pitch, r->strand->notes[to]->pitch);
}

static enum manner_of manner_of_move(const struct claim_context *ctx, const struct reading_of *r,
                                     uint32_t from, uint32_t to)
{
    struct move move = {r->strand->notes[from], r->strand->notes[to], by_of(r, from, to)};
    if (move.by.half == 0)
        return BY_SAME;
    return move_fits(ctx, &move, MANNER_STEP, 0) ? BY_STEP : BY_LEAP;
}

/* A note held from before the place, or struck again there, comes from itself. */
static void read_approach(struct claim_context *ctx, struct reading_of *r)
{
    const struct strand *s = r->strand;
    if (ratio_lt(s->notes[r->note]->onset, r->at)) {
        r->in = BY_SAME;
        r->before = (struct next){.kind = NEXT_NOTE, .index = r->note};
        return;
    }
    r->before = strand_before(ctx, r->weave, s, r->note);
    if (r->before.kind != NEXT_NOTE)
        return;
    r->in = manner_of_move(ctx, r, r->before.index, r->note);
    r->in_by = by_of(r, r->before.index, r->note);
}

static void read_departure(struct claim_context *ctx, struct reading_of *r)
{
    r->after = strand_after(ctx, r->weave, r->strand, r->note);
    if (r->after.kind != NEXT_NOTE)
        return;
    r->out = manner_of_move(ctx, r, r->note, r->after.index);
    r->out_by = by_of(r, r->note, r->after.index);
}

static int direction(struct interval by)
{
    return (by.half > 0) - (by.half < 0);
}

/* Kept from a chord where it belonged: suspension if it falls, retardation if it rises. */
static enum sort sort_of_kept(struct claim_context *ctx, struct reading_of *r)
{
    const struct strand *s = r->strand;
    const struct passage *p = r->weave->passage;
    struct next next = strand_moves(ctx, r->weave, s, r->note);
    if (next.kind != NEXT_NOTE) {
        r->open = next;
        return SORT_OPEN;
    }
    r->after = next;
    r->out = manner_of_move(ctx, r, r->note, next.index);
    r->out_by = by_of(r, r->note, next.index);
    bool weak = accent_level(p, r->at) < accent_level(p, s->notes[next.index]->onset);
    if (r->out != BY_STEP || weak || !in_chord(ctx, p, s->notes[next.index], s->notes[next.index]->onset))
        return SORT_OTHER;
    return direction(r->out_by) < 0 ? SORT_SUSPENSION : SORT_RETARDATION;
}

/* Struck before the chord it belongs to: struck again in it, or held into it. */
static bool is_anticipation(struct claim_context *ctx, const struct reading_of *r)
{
    const struct strand *s = r->strand;
    const struct note *n = s->notes[r->note];
    const struct passage *p = r->weave->passage;
    const struct harmony_event *here = passage_harmony_at(p, r->at);
    struct ratio change = here ? ratio_plus(here->onset, here->length) : r->at;
    if (ratio_lt(change, note_end(n)) && in_chord(ctx, p, n, change))
        return true;
    struct next next = strand_after(ctx, r->weave, s, r->note);
    while (next.kind == NEXT_NOTE && pitch_eq(s->notes[next.index]->pitch, n->pitch)) {
        if (in_chord(ctx, p, n, s->notes[next.index]->onset))
            return true;
        next = strand_after(ctx, r->weave, s, next.index);
    }
    return false;
}

/* A note that was no chord tone before either is one ornament with what it was struck again from. */
static void pass_repeats(struct claim_context *ctx, struct reading_of *r)
{
    const struct strand *s = r->strand;
    while (r->before.kind == NEXT_NOTE && r->in == BY_SAME) {
        uint32_t from = r->before.index;
        r->before = strand_before(ctx, r->weave, s, from);
        r->in = BY_NOTHING;
        if (r->before.kind == NEXT_NOTE) {
            r->in = manner_of_move(ctx, r, r->before.index, from);
            r->in_by = by_of(r, r->before.index, from);
        }
    }
    if (r->out != BY_SAME)
        return;
    r->after = strand_moves(ctx, r->weave, s, r->note);
    r->out = BY_NOTHING;
    if (r->after.kind == NEXT_NOTE) {
        r->out = manner_of_move(ctx, r, r->note, r->after.index);
        r->out_by = by_of(r, r->note, r->after.index);
    }
}

/* Both neighbours of a note before it comes back: a step to one side, a third across, a step back. `first` is
 * the note that it leaves. */
static bool is_double_neighbour(struct claim_context *ctx, const struct reading_of *r, uint32_t first)
{
    const struct strand *s = r->strand;
    uint32_t at[4] = {first};
    for (int i = 1; i < 4; i++) {
        struct next next = strand_after(ctx, r->weave, s, at[i - 1]);
        if (next.kind != NEXT_NOTE)
            return false;
        at[i] = next.index;
    }
    struct interval out = by_of(r, at[0], at[1]), across = by_of(r, at[1], at[2]),
                    home = by_of(r, at[2], at[3]);
    return pitch_eq(s->notes[at[0]]->pitch, s->notes[at[3]]->pitch) && abs(out.steps) == 1 &&
           abs(home.steps) == 1 && abs(across.steps) == 2 && direction(out) == direction(home) &&
           direction(across) == -direction(out);
}

static bool in_double_neighbour(struct claim_context *ctx, const struct reading_of *r)
{
    if (r->before.kind != NEXT_NOTE)
        return false;
    if (is_double_neighbour(ctx, r, r->before.index))
        return true;
    struct next first = strand_before(ctx, r->weave, r->strand, r->before.index);
    return first.kind == NEXT_NOTE && is_double_neighbour(ctx, r, first.index);
}

static enum sort sort_of_move(struct claim_context *ctx, const struct reading_of *r)
{
    bool turns = direction(r->in_by) == -direction(r->out_by);
    bool back = r->before.kind == NEXT_NOTE && r->after.kind == NEXT_NOTE &&
                pitch_eq(r->strand->notes[r->before.index]->pitch, r->strand->notes[r->after.index]->pitch);
    if (r->in == BY_STEP && r->out == BY_STEP)
        return !turns ? SORT_PASSING : back ? SORT_NEIGHBOUR : SORT_OTHER;
    if (in_double_neighbour(ctx, r))
        return SORT_DOUBLE;
    if (r->in == BY_STEP && r->out == BY_LEAP)
        return turns ? SORT_ESCAPE : SORT_OTHER;
    if (r->in == BY_LEAP && r->out == BY_STEP)
        return SORT_APPOGGIATURA;
    return SORT_OTHER;
}

static enum sort sort_of(struct claim_context *ctx, struct reading_of *r)
{
    struct tone tone = r->strand->notes[r->note]->pitch.tone;
    r->by_sound = !chord_has(r->chord, tone, false) && chord_has(r->chord, tone, true);
    if (chord_has(r->chord, tone, false))
        return SORT_CHORD;
    const struct note *from = r->before.kind == NEXT_NOTE ? r->strand->notes[r->before.index] : NULL;
    bool kept = r->in == BY_SAME && in_chord(ctx, r->weave->passage, from, from->onset);
    if (!kept && is_anticipation(ctx, r))
        return SORT_ANTICIPATION;
    if (kept)
        return sort_of_kept(ctx, r);
    pass_repeats(ctx, r);
    bool known = r->before.kind != NEXT_UNKNOWN && r->after.kind != NEXT_UNKNOWN;
    if (!known || r->after.kind == NEXT_END || r->before.kind == NEXT_END) {
        r->open = r->after.kind == NEXT_UNKNOWN || r->after.kind == NEXT_END ? r->after : r->before;
        return SORT_OPEN;
    }
    return sort_of_move(ctx, r);
}

/* A note held on within one chord is looked at where it begins. */
static struct reading_of read_note(struct claim_context *ctx, const struct weave *w, const struct strand *s,
                                   uint32_t i, struct ratio at, const struct harmony *chord)
{
    struct reading_of r = {.weave = w, .strand = s, .note = i, .at = at, .chord = chord};
    const struct note *n = s->notes[i];
    if (ratio_lt(n->onset, at) && chord_at(ctx, w->passage, n->onset) == chord)
        r.at = n->onset;
    read_approach(ctx, &r);
    read_departure(ctx, &r);
    r.sort = sort_of(ctx, &r);
    return r;
}

/* ---- qualifiers -------------------------------------------------------------------------------- */

/* On a stronger part of the bar than the note that follows: Open Music Theory, Embellishing tones ("strong
 * beat or strong part of the beat"). */
static bool is_accented(const struct reading_of *r)
{
    const struct passage *p = r->weave->passage;
    if (r->after.kind != NEXT_NOTE)
        return accent_level(p, r->at) > accent_level(p, note_end(r->strand->notes[r->note]));
    return accent_level(p, r->at) > accent_level(p, r->strand->notes[r->after.index]->onset);
}

static bool is_chromatic(const struct claim_context *ctx, const struct reading_of *r, struct key key)
{
    enum minor_form form = (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
    return !key_has_tone(key, form, r->strand->notes[r->note]->pitch.tone);
}

static bool qualifier_fits(const struct claim_context *ctx, const struct reading_of *r, enum qualifier q,
                           struct key key)
{
    switch (q) {
    case QUALIFIER_NONE:
        return true;
    case ACCENTED:
        return is_accented(r);
    case UNACCENTED:
        return !is_accented(r);
    case UPPER:
        return direction(r->in_by) > 0;
    case LOWER:
        return direction(r->in_by) < 0;
    case CHROMATIC:
        return is_chromatic(ctx, r, key);
    }
    return true;
}

static const char *qualifier_name(enum qualifier q)
{
    static const char *const names[] = {"accented", "unaccented", "upper", "lower", "chromatic"};
    return q == QUALIFIER_NONE ? "" : names[q];
}

/* ---- words ------------------------------------------------------------------------------------- */

static struct str say_note(struct claim_context *ctx, const struct reading_of *r)
{
    const struct note *n = r->strand->notes[r->note];
    return say_text(ctx, "%.*s at %.*s (%.*s)", STR_ARG(say_pitch(ctx, n->pitch)),
                    STR_ARG(say_place(ctx, r->weave->passage, r->at)), STR_ARG(r->strand->name));
}

static struct str say_manner(struct claim_context *ctx, const struct reading_of *r, bool in)
{
    const struct next *next = in ? &r->before : &r->after;
    enum manner_of manner = in ? r->in : r->out;
    struct interval by = in ? r->in_by : r->out_by;
    if (next->kind != NEXT_NOTE)
        return in ? STR("begins after silence") : STR("ends in silence");
    struct str pitch = say_pitch(ctx, r->strand->notes[next->index]->pitch);
    const char *from = in ? "comes from" : "goes to";
    const char *way = by.half < 0 ? " down" : " up";
    if (manner == BY_SAME && in && next->index == r->note)
        return STR("is held from before");
    if (manner == BY_SAME)
        return in ? STR("is struck again") : STR("is struck again after");
    return say_text(ctx, "%s %.*s by %s%s", from, STR_ARG(pitch), manner == BY_STEP ? "step" : "leap", way);
}

static struct str say_reading(struct claim_context *ctx, const struct reading_of *r)
{
    struct str chord = r->chord->text;
    struct str note = say_note(ctx, r);
    if (r->sort == SORT_CHORD)
        return say_text(ctx, "%.*s belongs to %.*s", STR_ARG(note), STR_ARG(chord));
    struct str in = say_manner(ctx, r, true), out = say_manner(ctx, r, false);
    const char *spelled = r->by_sound ? " as spelled (by sound it belongs to it)" : "";
    const char *accent = is_accented(r) ? "on a stronger place than" : "not on a stronger place than";
    return say_text(ctx, "%.*s, foreign to %.*s%s, %.*s and %.*s, %s what follows", STR_ARG(note),
                    STR_ARG(chord), spelled, STR_ARG(in), STR_ARG(out), accent);
}

static const char *article(const char *word)
{
    return strchr("aeiou", word[0]) ? "an" : "a";
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static bool sort_fits(enum sort asked, enum sort got)
{
    return asked == got || (asked == SORT_FOREIGN && got != SORT_CHORD && got != SORT_OPEN);
}

static void decide_open(struct claim_context *ctx, const struct reading_of *r)
{
    struct str why = r->open.kind == NEXT_END ? STR("the line begins or ends there")
                                              : next_words(ctx, r->weave, r->strand, r->note, &r->open);
    claim_undecided(ctx, "%.*s is foreign to %.*s; what it is, its neighbours tell: %.*s",
                    STR_ARG(say_note(ctx, r)), STR_ARG(r->chord->text), STR_ARG(why));
}

/* A half step that keeps its letter is a step by convention only. */
static bool steps_on_letter(struct interval by)
{
    return by.steps == 0 && abs(by.half) == 1;
}

static void decide(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                   const struct reading_of *r)
{
    const struct key_change *k = passage_key_at(r->weave->passage, r->at);
    if (w->qualifier == CHROMATIC && !k) {
        claim_undecided(ctx, "whether it is chromatic depends on the key: state `key` in the passage");
        return;
    }
    if (steps_on_letter(r->in_by) || steps_on_letter(r->out_by))
        claim_convention(ctx, CONVENTION_HALF_STEP);
    if (w->qualifier == CHROMATIC && k->key.minor)
        claim_convention(ctx, CONVENTION_MINOR);
    if (r->sort == SORT_OPEN && w->sort != SORT_CHORD && w->sort != SORT_FOREIGN) {
        decide_open(ctx, r);
        return;
    }
    struct key key = k ? k->key : (struct key){0};
    bool sort = sort_fits(w->sort, r->sort) || (w->sort == SORT_FOREIGN && r->sort == SORT_OPEN);
    bool qualified = qualifier_fits(ctx, r, w->qualifier, key);
    struct str reading = say_reading(ctx, r);
    const char *name = sort_names[r->sort == SORT_OPEN ? SORT_OTHER : r->sort];
    if (sort && qualified) {
        const char *how = qualifier_name(w->qualifier);
        claim_holds(ctx, "%.*s: %s %s%s%s", STR_ARG(reading), article(how[0] ? how : name), how,
                    how[0] ? " " : "", name);
        return;
    }
    struct str not = sort ? say_text(ctx, "but not %s %s one", article(qualifier_name(w->qualifier)),
                                     qualifier_name(w->qualifier))
                          : say_text(ctx, "not %s %s", article(sort_names[w->sort]), sort_names[w->sort]);
    claim_fails(ctx, "%.*s: %s %s, %.*s", STR_ARG(reading), article(name), name, STR_ARG(not ));
    claim_place(ctx, r->strand->notes[r->note]->where, "%s", name);
    struct str of = m->n_streams ? say_text(ctx, " of %.*s", STR_ARG(m->stream[0].words)) : STR("");
    claim_instead(ctx, "%.*s at %.*s%.*s is %s %s", STR_ARG(say_pitch(ctx, m->pitch[0])),
                  STR_ARG(say_place(ctx, r->weave->passage, r->at)), STR_ARG(of), article(name), name);
}

/* ---- which note -------------------------------------------------------------------------------- */

static void no_such_note(struct claim_context *ctx, const struct weave *w, struct pitch pitch,
                         struct ratio at)
{
    struct str place = say_place(ctx, w->passage, at), name = say_pitch(ctx, pitch);
    const struct note *other = NULL;
    struct gap gap;
    for (uint32_t i = 0; i < w->n && !other; i++) {
        uint32_t k = strand_at(&w->items[i], at);
        other = k < w->items[i].n ? w->items[i].notes[k] : NULL;
    }
    struct stretch here = {.onset = at, .end = ratio_plus(at, (struct ratio){1, 64})};
    if (passage_gap(w->passage, NULL, here, &gap)) {
        claim_undecided(ctx, "%.*s: whether %.*s sounds at %.*s is not known", STR_ARG(gap_words(ctx, &gap)),
                        STR_ARG(name), STR_ARG(place));
    } else if (w->unclear) {
        voices_unclear(ctx, w->unclear);
    } else if (!other) {
        claim_undecided(ctx, "nothing sounds there: no %.*s at %.*s", STR_ARG(name), STR_ARG(place));
    } else {
        claim_fails(ctx, "no %.*s sounds at %.*s; there is %.*s", STR_ARG(name), STR_ARG(place),
                    STR_ARG(say_pitch(ctx, other->pitch)));
        claim_place(ctx, other->where, "%.*s", STR_ARG(say_pitch(ctx, other->pitch)));
    }
}

/* Several voices may have the note: all must be the same ornament, or the sentence must name one. */
static void decide_notes(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                         const struct weave *weave, struct ratio at, const struct harmony *chord)
{
    struct reading_of first = {0};
    uint32_t n = 0;
    for (uint32_t i = 0; i < weave->n; i++) {
        const struct strand *s = &weave->items[i];
        uint32_t k = strand_at(s, at);
        if (k == s->n || !pitch_eq(s->notes[k]->pitch, m->pitch[0]) || !strand_take(ctx, weave, s->notes[k]))
            continue;
        struct reading_of r = read_note(ctx, weave, s, k, at, chord);
        if (n++ == 0) {
            first = r;
        } else if (r.sort != first.sort) {
            claim_undecided(ctx, "%.*s and %.*s both have it, as %s and as %s: name one, as in `%.*s`",
                            STR_ARG(first.strand->name), STR_ARG(s->name), sort_names[first.sort],
                            sort_names[r.sort], STR_ARG(s->claim));
            return;
        }
    }
    if (n == 0)
        no_such_note(ctx, weave, m->pitch[0], at);
    else
        decide(ctx, m, w, &first);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct stream all = {
        .kind = STREAM_ALL, .words = STR("the passage"), .passage = weave_only_passage(ctx->model)};
    const struct stream *s = m->n_streams ? &m->stream[0] : &all;
    bool tone = pattern == TONE_AT || pattern == TONE_OF;
    struct wanted w = {(tone ? tone_choices : noun_choices)[m->choice[1]], (enum qualifier)m->choice[0]};
    struct weave weave;
    struct ratio at;
    if (!s->passage) {
        claim_undecided(ctx, "several passages could be meant: say which, as in `%.*s at bar 1 of lamp`",
                        STR_ARG(say_pitch(ctx, m->pitch[0])));
        return;
    }
    take_passage(ctx, s->passage);
    if (!place_position(ctx, s->passage, m->place[0], &at))
        return;
    const struct harmony *chord = chord_at(ctx, s->passage, at);
    if (!chord) {
        claim_undecided(ctx,
                        "no chord is stated at %.*s: a note is foreign to a chord that you name; write it in "
                        "`harmony { … }`",
                        STR_ARG(say_place(ctx, s->passage, at)));
        return;
    }
    if (weave_read(ctx, s, passage_stretch(s->passage), false, &weave))
        decide_notes(ctx, m, &w, &weave, at, chord);
}

const struct claim_kind claim_kind_ornament = {
    .name = "ornament",
    .patterns = patterns,
    .meaning = "A note belongs to the chord stated under it, or is foreign to it and told by how it is "
               "reached and left: "
               "passing, neighbour, escape, anticipation, appoggiatura, suspension, retardation.",
    .page = claim_page_ornament,
    .check = check,
    .fails = DIAG_FAILS_ornament,
};
