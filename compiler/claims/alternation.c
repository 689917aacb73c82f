#include "base/buf.h"
#include "claims/claims.h"
#include "claims/pages.h"
#include "claims/tell.h"

#define VERBS "alternates|oscillates|rocks|swings|switches"

static const char *const patterns[] = {
    "STREAM " VERBS " [back and forth] [between] COUNT chords",
    "STREAM " VERBS " [back and forth] [between] CHORD and|with CHORD",
    "STREAM " VERBS " [back and forth] [between] FIGURE and|with FIGURE",
    NULL,
};

enum { PATTERN_COUNT, PATTERN_CHORDS, PATTERN_FIGURES };

enum { ROUNDS = 2 }; /* X Y X Y: what comes back once may be chance */

/* A chord as far as alternation is concerned: repeated, it is one event. */
struct event {
    const struct moment *moment;
    pcset set;
    int bass; /* pitch class of the lowest note, of a symbol its root or slash bass */
    struct str words;
};

struct events {
    struct event *items;
    uint32_t n;
    const struct passage *passage;
    uint32_t silent; /* N.C., left out */
};

/* ---- chords -------------------------------------------------------------------------------------- */

static pcset harmony_set(const struct harmony *h)
{
    pcset set = 0;
    for (uint32_t i = 0; i < h->n_layers; i++)
        set |= chord_set(&h->layers[i]);
    return set;
}

/* The lowest layer's bass; root position unless a slash says otherwise. */
static int harmony_bass(const struct harmony *h)
{
    return tone_pc(h->layers[h->n_layers - 1].bass);
}

static bool is_silent(const struct moment *m)
{
    return m->n == 0 || (m->symbol && m->symbol->kind == HARMONY_NONE);
}

static struct event read_event(struct claim_context *ctx, const struct stream *s, const struct moment *m)
{
    struct event e = {.moment = m};
    /* The harmony row is read as it stands; in a part only the notes count. */
    if (s->kind == STREAM_HARMONY && m->symbol) {
        e.set = harmony_set(m->symbol);
        e.bass = harmony_bass(m->symbol);
        e.words = m->symbol->text;
        return e;
    }
    for (uint32_t i = 0; i < m->n; i++)
        e.set |= pcset_of(tone_pc(m->tones[i]));
    e.bass = tone_pc(m->tones[0]);
    e.words = m->pitches ? say_text(ctx, "(%.*s)", STR_ARG(say_pitches(ctx, m->pitches, m->n)))
                         : say_tones(ctx, m->tones, m->n);
    return e;
}

static bool same_chord(const struct event *a, const struct event *b)
{
    return a->set == b->set && a->bass == b->bass;
}

static struct events gather(struct claim_context *ctx, const struct stream *s, const struct moments *moments)
{
    struct events out = {.passage = moments->passage,
                         .items = ARENA_NEW_ARRAY(ctx->arena, struct event, moments->n)};
    for (uint32_t i = 0; i < moments->n; i++) {
        if (is_silent(&moments->items[i])) {
            out.silent++;
            continue;
        }
        struct event e = read_event(ctx, s, &moments->items[i]);
        if (out.n == 0 || !same_chord(&out.items[out.n - 1], &e))
            out.items[out.n++] = e;
    }
    return out;
}

/* ---- words --------------------------------------------------------------------------------------- */

/* "C, F, C, F", the first ones where there are many. */
static struct str say_events(struct claim_context *ctx, const struct events *e, uint32_t n)
{
    enum { SHOWN = 8 };
    struct buf b = {0};
    for (uint32_t i = 0; i < n && i < SHOWN; i++)
        buf_printf(&b, "%s%.*s", i ? ", " : "", STR_ARG(e->items[i].words));
    if (n > SHOWN)
        buf_put(&b, " …");
    return buf_take(&b, ctx->arena);
}

static struct str say_event_place(struct claim_context *ctx, const struct events *e, uint32_t i)
{
    return say_text(ctx, "%.*s (%.*s)", STR_ARG(e->items[i].words),
                    STR_ARG(say_place(ctx, e->passage, e->items[i].moment->onset)));
}

static struct str say_chords(struct claim_context *ctx, int64_t n)
{
    return say_count(ctx, n, "chord", "chords");
}

/* ---- judging ------------------------------------------------------------------------------------- */

/* First event from `from` on that does not repeat the one a period before; e->n if all do. Within
 * the first period no chord may come back. */
static uint32_t first_break(const struct events *e, uint32_t from, uint32_t period)
{
    for (uint32_t i = from + 1; i < e->n; i++) {
        if (i - from >= period) {
            if (!same_chord(&e->items[i], &e->items[i - period]))
                return i;
            continue;
        }
        for (uint32_t k = from; k < i; k++)
            if (same_chord(&e->items[i], &e->items[k]))
                return i;
    }
    return e->n;
}

/* The longest stretch of events in which so many chords alternate, as a true sentence. */
static void offer_instead(struct claim_context *ctx, const struct match *m, const struct events *e,
                          uint32_t period)
{
    uint32_t best = 0, best_from = 0;
    for (uint32_t from = 0; from + ROUNDS * period <= e->n; from++) {
        uint32_t n = first_break(e, from, period) - from;
        if (n >= ROUNDS * period && n > best) {
            best = n;
            best_from = from;
        }
    }
    if (!best)
        return;
    struct str from = say_place(ctx, e->passage, e->items[best_from].moment->onset);
    struct str to = say_place(ctx, e->passage, e->items[best_from + best - 1].moment->onset);
    struct str verb = tell_verb(ctx, &m->stream[0], "alternate");
    claim_instead(ctx, "%.*s %.*s %.*s, %.*s to %.*s", STR_ARG(m->stream[0].words), STR_ARG(verb),
                  STR_ARG(say_chords(ctx, period)), STR_ARG(from), STR_ARG(to));
}

/* Is an event the chord that was named? The symbol's bass counts where it has a slash. */
static bool is_named(struct claim_context *ctx, const struct chord_ref *c, const struct event *e, bool *known)
{
    struct moment m;
    pcset set = 0;
    if (c->symbol && c->symbol->kind != HARMONY_NONE)
        return harmony_set(c->symbol) == e->set &&
               (!c->symbol->layers[c->symbol->n_layers - 1].slash || harmony_bass(c->symbol) == e->bass);
    *known = chord_moment(ctx, c, false, &m);
    if (!*known)
        return false;
    for (uint32_t i = 0; i < m.n; i++)
        set |= pcset_of(tone_pc(m.tones[i]));
    return set == e->set && tone_pc(m.tones[0]) == e->bass;
}

/* Are the two chords that alternate the two that were named? False after a verdict. */
static bool check_named(struct claim_context *ctx, const struct match *m, const struct events *e)
{
    for (int i = 0; i < 2; i++) {
        bool known = true;
        bool first = is_named(ctx, &m->chord[i], &e->items[0], &known);
        bool second = known && is_named(ctx, &m->chord[i], &e->items[1], &known);
        if (!known)
            return false;
        if (first || second)
            continue;
        claim_fails(ctx, "the chords that alternate are %.*s and %.*s, not %.*s", STR_ARG(e->items[0].words),
                    STR_ARG(e->items[1].words), STR_ARG(m->chord[i].words));
        claim_place(ctx, e->items[0].moment->where, "%.*s", STR_ARG(e->items[0].words));
        return false;
    }
    return true;
}

static void fail_break(struct claim_context *ctx, const struct match *m, const struct events *e,
                       uint32_t period, uint32_t at)
{
    if (at < period)
        claim_fails(ctx, "%.*s: %.*s comes back before %.*s have been heard",
                    STR_ARG(say_events(ctx, e, at + 1)), STR_ARG(say_event_place(ctx, e, at)),
                    STR_ARG(say_chords(ctx, period)));
    else
        claim_fails(ctx, "%.*s, then %.*s where %.*s is due", STR_ARG(say_events(ctx, e, at)),
                    STR_ARG(say_event_place(ctx, e, at)), STR_ARG(e->items[at - period].words));
    claim_place(ctx, e->items[at].moment->where, "%.*s", STR_ARG(e->items[at].words));
    offer_instead(ctx, m, e, period);
}

static void decide_chords(struct claim_context *ctx, const struct match *m, const struct events *e,
                          uint32_t period)
{
    const char *silent = e->silent ? "; N.C. is left out" : "";
    uint32_t at = first_break(e, 0, period);
    if (at < e->n) {
        fail_break(ctx, m, e, period, at);
        return;
    }
    if (e->n < ROUNDS * period) {
        claim_fails(ctx, "%.*s: to alternate, each of %.*s must come at least twice%s",
                    STR_ARG(say_events(ctx, e, e->n)), STR_ARG(say_chords(ctx, period)), silent);
        claim_place(ctx, e->items[e->n - 1].moment->where, "the last chord");
        return;
    }
    if (m->n_chords && !check_named(ctx, m, e))
        return;
    claim_holds(ctx, "%.*s: %.*s in turn, %.*s%s", STR_ARG(say_events(ctx, e, e->n)),
                STR_ARG(say_chords(ctx, period)), STR_ARG(say_count(ctx, e->n, "in a row", "in a row")),
                silent);
}

/* One note alone is no chord; the harmony row may name what the notes leave out. */
static bool are_chords(struct claim_context *ctx, const struct stream *s, const struct moments *moments)
{
    for (uint32_t i = 0; i < moments->n && s->kind != STREAM_HARMONY; i++) {
        const struct moment *m = &moments->items[i];
        if (m->n != 1)
            continue;
        claim_undecided(ctx, "%.*s sounds a single note at %.*s: a chord has two or more", STR_ARG(s->words),
                        STR_ARG(say_place(ctx, moments->passage, m->onset)));
        claim_place(ctx, m->where, "a single note");
        return false;
    }
    return true;
}

static void check_chords(struct claim_context *ctx, const struct match *m, int64_t period)
{
    struct stretch where;
    struct moments moments;
    if (period < 2 || period > MATCH_TONES) {
        claim_undecided(ctx, "%.*s cannot alternate: name two or more, up to %d",
                        STR_ARG(say_chords(ctx, period)), MATCH_TONES);
        return;
    }
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 1, &moments))
        return;
    if (!are_chords(ctx, &m->stream[0], &moments))
        return;
    struct events e = gather(ctx, &m->stream[0], &moments);
    if (e.n < 2) {
        struct str heard = e.n ? e.items[0].words : STR("N.C.");
        claim_undecided(ctx, "nothing changes there: only %.*s stands in the stretch; widen it",
                        STR_ARG(heard));
        return;
    }
    decide_chords(ctx, m, &e, (uint32_t)period);
}

/* ---- figures ------------------------------------------------------------------------------------- */

/* Notes of the line from `at` that agree with the figure from its start: pitch, and place and length
 * within the figure. */
static uint32_t agree(const struct line *line, uint32_t at, const struct line *figure)
{
    uint32_t n = 0;
    while (n < figure->n && at + n < line->n) {
        const struct note *a = line->notes[at + n], *b = figure->notes[n];
        struct ratio from_a = ratio_minus(a->onset, line->notes[at]->onset);
        struct ratio from_b = ratio_minus(b->onset, figure->notes[0]->onset);
        if (pitch_midi(a->pitch) != pitch_midi(b->pitch) || !ratio_eq(from_a, from_b) ||
            !ratio_eq(a->length, b->length))
            break;
        n++;
    }
    return n;
}

static struct stretch figure_stretch(const struct figure *f)
{
    return (struct stretch){
        .onset = f->onset, .end = ratio_plus(f->onset, f->length), .where = f->symbol.where};
}

static void fail_figure(struct claim_context *ctx, const struct line *line, uint32_t at,
                        const struct line *figure, struct str name, uint32_t statements)
{
    uint32_t agreed = agree(line, at, figure);
    const struct note *due = figure->notes[agreed < figure->n ? agreed : 0];
    const struct note *found = at + agreed < line->n ? line->notes[at + agreed] : NULL;
    struct str done = statements ? say_text(ctx, "after %.*s ",
                                            STR_ARG(say_count(ctx, statements, "statement", "statements")))
                                 : STR("");
    if (!found) {
        claim_fails(ctx, "%.*sthe line ends after %.*s of %.*s", STR_ARG(done),
                    STR_ARG(say_count(ctx, agreed, "note", "notes")), STR_ARG(name));
        return;
    }
    bool rhythm = pitch_midi(found->pitch) == pitch_midi(due->pitch);
    claim_fails(ctx, "%.*s%.*s is due; its note %u is %.*s, and the line has %.*s (%.*s)%s", STR_ARG(done),
                STR_ARG(name), agreed + 1, STR_ARG(say_pitch(ctx, due->pitch)),
                STR_ARG(say_pitch(ctx, found->pitch)), STR_ARG(say_place(ctx, line->passage, found->onset)),
                rhythm ? " in another rhythm" : "");
    claim_place(ctx, found->where, "%.*s was due", STR_ARG(say_pitch(ctx, due->pitch)));
}

static void check_figures(struct claim_context *ctx, const struct match *m)
{
    struct stretch where;
    struct line line, figures[2];
    struct str names[2] = {m->stream[1].words, m->stream[2].words};
    if (!match_stretch(ctx, m, &m->stream[0], &where) || !stream_line(ctx, &m->stream[0], where, 1, &line))
        return;
    for (int i = 0; i < 2; i++)
        if (!stream_line(ctx, &m->stream[i + 1], figure_stretch(m->stream[i + 1].figure), 1, &figures[i]))
            return;
    uint32_t at = 0, statements = 0;
    /* Either figure may begin. */
    int due = agree(&line, 0, &figures[0]) >= agree(&line, 0, &figures[1]) ? 0 : 1;
    struct buf b = {0};
    while (at < line.n && agree(&line, at, &figures[due]) == figures[due].n) {
        buf_printf(&b, "%s%.*s (%.*s)", statements ? ", " : "", STR_ARG(names[due]),
                   STR_ARG(say_place(ctx, line.passage, line.notes[at]->onset)));
        at += figures[due].n;
        statements++;
        due = 1 - due;
    }
    struct str told = buf_take(&b, ctx->arena);
    if (at < line.n)
        fail_figure(ctx, &line, at, &figures[due], names[due], statements);
    else if (statements < 2 * ROUNDS)
        claim_fails(ctx, "%.*s: to alternate, each figure must come at least twice", STR_ARG(told));
    else
        claim_holds(ctx, "%.*s: the two figures in turn, note for note", STR_ARG(told));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch (pattern) {
    case PATTERN_COUNT:
        check_chords(ctx, m, m->count[0]);
        break;
    case PATTERN_CHORDS:
        check_chords(ctx, m, 2);
        break;
    case PATTERN_FIGURES:
        check_figures(ctx, m);
        break;
    }
}

const struct claim_kind claim_kind_alternation = {
    .name = "alternation",
    .patterns = patterns,
    .meaning = "Two chords, or two figures, take turns and nothing else comes between: at least X Y X Y.",
    .page = claim_page_alternation,
    .check = check,
    .fails = DIAG_FAILS_alternation,
};
