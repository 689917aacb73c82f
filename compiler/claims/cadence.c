/* cadence.c - with which cadence a stretch ends. */
#include "claims/numerals.h"
#include "claims/pages.h"
#include "claims/tell.h"

enum { ENDS_WITH, ENDS_WITH_SHORT, CHORD_TO_CHORD, CADENCE_AT, THERE_IS, THERE_IS_IN };

#define TYPES                                                                                                \
    "<perfect authentic|imperfect authentic|authentic|half|semi|plagal|amen|deceptive|interrupted|"          \
    "phrygian half|phrygian>"

static const char *const patterns[] = {
    [ENDS_WITH] = "STREAM ends|closes|concludes|finishes|stops with|on|in|by " TYPES " cadence [in|of KEY]",
    [ENDS_WITH_SHORT] = "STREAM ends|closes|concludes|finishes|stops with|on|in|by <pac|iac|hc> [in|of KEY]",
    [CHORD_TO_CHORD] = "CHORD to|and CHORD is|makes|forms " TYPES " cadence [in|of KEY]",
    [CADENCE_AT] = "cadence at|in PLACE of|in PASSAGE is " TYPES " [cadence] [in|of KEY]",
    [THERE_IS] = "there is " TYPES " cadence at|in PLACE of|in PASSAGE",
    [THERE_IS_IN] = "there is " TYPES " cadence in|of KEY at|in PLACE of|in PASSAGE",
    NULL,
};

enum cadence {
    CADENCE_PERFECT,
    CADENCE_IMPERFECT,
    CADENCE_AUTHENTIC, /* perfect or imperfect: not known which, or not asked */
    CADENCE_HALF,
    CADENCE_PHRYGIAN,
    CADENCE_PLAGAL,
    CADENCE_DECEPTIVE,
    CADENCE_NONE
};

static const char *const cadence_words[] = {
    [CADENCE_PERFECT] = "a perfect authentic cadence", [CADENCE_IMPERFECT] = "an imperfect authentic cadence",
    [CADENCE_AUTHENTIC] = "an authentic cadence",      [CADENCE_HALF] = "a half cadence",
    [CADENCE_PHRYGIAN] = "a phrygian half cadence",    [CADENCE_PLAGAL] = "a plagal cadence",
    [CADENCE_DECEPTIVE] = "a deceptive cadence",       [CADENCE_NONE] = "no cadence",
};

static const enum cadence cadence_of_type[] = {
    CADENCE_PERFECT, CADENCE_IMPERFECT, CADENCE_AUTHENTIC, CADENCE_HALF,     CADENCE_HALF,     CADENCE_PLAGAL,
    CADENCE_PLAGAL,  CADENCE_DECEPTIVE, CADENCE_DECEPTIVE, CADENCE_PHRYGIAN, CADENCE_PHRYGIAN,
};
static const enum cadence cadence_of_short[] = {CADENCE_PERFECT, CADENCE_IMPERFECT, CADENCE_HALF};

/* The two chords that make a cadence, and what they are. */
struct close {
    const struct moment *before, *arrival;
    struct key key;
    struct str subject; /* "the harmony of lamp": what ends */
    struct str span;
    const struct passage *passage; /* NULL: two symbols */
    enum cadence is;
    bool open;          /* which of two it is needs a voicing: perfect or imperfect; half or phrygian */
    struct str why_not; /* what an imperfect one lacks, or why there is none */
};

/* ---- what a chord is in the key ------------------------------------------------------------------ */

/* One of the numerals, whatever tone is lowest. */
static bool is_any(struct claim_context *ctx, const struct moment *m, struct key key,
                   const char *const *numerals)
{
    for (; *numerals; numerals++)
        if (moment_is_inverted(ctx, m, key, *numerals))
            return true;
    return false;
}

static bool is_tonic(struct claim_context *ctx, const struct moment *m, struct key key)
{
    /* A minor phrase may close on the major triad (the Picardy third), not the other way round. */
    static const char *const in_major[] = {"I", NULL}, *const in_minor[] = {"i", "I", NULL};
    return is_any(ctx, m, key, key.minor ? in_minor : in_major);
}

static bool is_dominant(struct claim_context *ctx, const struct moment *m, struct key key)
{
    static const char *const numerals[] = {"V", "V7", "V9", NULL};
    return is_any(ctx, m, key, numerals);
}

static bool is_leading_tone_chord(struct claim_context *ctx, const struct moment *m, struct key key)
{
    static const char *const numerals[] = {"viio", "viio7", "vii\u00F8", NULL};
    return is_any(ctx, m, key, numerals);
}

static bool is_subdominant(struct claim_context *ctx, const struct moment *m, struct key key)
{
    static const char *const numerals[] = {"IV", "iv", "IV7", "iv7", NULL};
    return is_any(ctx, m, key, numerals);
}

/* Is the lowest note the tone so many letters above the tonic? */
static bool has_bass(const struct moment *m, struct tone t)
{
    return m->source != MOMENT_SYMBOL && tone_eq(m->pitches[0].tone, t);
}

static struct tone degree(struct key key, int steps, int half)
{
    return tone_move(key.tonic, (struct interval){steps, half});
}

/* ---- the kinds of cadence ------------------------------------------------------------------------ */

static struct str numeral_or_tones(struct claim_context *ctx, const struct close *c, const struct moment *m)
{
    struct str name;
    if (ctx->mute)
        return STR("");
    /* At a close the major triad on the tonic of minor is a tonic, and no dominant of the fourth degree. */
    if (c->key.minor && moment_is_inverted(ctx, m, c->key, "I"))
        return STR("I");
    if (numeral_name(ctx, m, !c->passage, c->key, false, &name))
        return name;
    return say_text(ctx, "no chord of %.*s", STR_ARG(say_key(ctx, c->key)));
}

/* V and I are there: perfect if both stand on their roots and the tonic is on top. */
static void judge_authentic(struct claim_context *ctx, struct close *c)
{
    struct tone tonic = c->key.tonic, fifth = degree(c->key, 4, 7);
    const struct moment *v = c->before, *i = c->arrival;
    c->is = CADENCE_IMPERFECT;
    if (is_leading_tone_chord(ctx, v, c->key)) {
        c->why_not = STR("the leading-tone chord stands for the dominant");
        return;
    }
    if (v->source == MOMENT_SYMBOL || i->source == MOMENT_SYMBOL) {
        c->is = CADENCE_AUTHENTIC;
        c->open = true;
        return;
    }
    struct pitch top = i->pitches[i->n - 1];
    if (!has_bass(v, fifth))
        c->why_not = say_text(ctx, "the dominant stands on %.*s, not on its root", STR_ARG(say_bass(ctx, v)));
    else if (!has_bass(i, tonic))
        c->why_not =
            say_text(ctx, "the tonic chord stands on %.*s, not on its root", STR_ARG(say_bass(ctx, i)));
    else if (!tone_eq(top.tone, tonic))
        c->why_not = say_text(ctx, "the top voice ends on %.*s, not on %.*s", STR_ARG(say_pitch(ctx, top)),
                              STR_ARG(say_tone(ctx, tonic)));
    else
        c->is = CADENCE_PERFECT;
}

/* The end is the dominant: in root position, or it is no half cadence. */
static void judge_half(struct claim_context *ctx, struct close *c)
{
    const struct moment *v = c->arrival;
    bool symbol = v->source == MOMENT_SYMBOL;
    bool named = symbol && !tone_eq(v->symbol->layers[0].bass, v->symbol->layers[0].root);
    if (!symbol && !has_bass(v, degree(c->key, 4, 7))) {
        c->why_not = say_text(ctx, "the dominant stands on %.*s: a half cadence has it in root position",
                              STR_ARG(say_bass(ctx, v)));
        return;
    }
    c->is = CADENCE_HALF;
    c->open = named;
    if (!c->key.minor || !moment_is_inverted(ctx, c->before, c->key, "iv"))
        return;
    if (c->before->source == MOMENT_SYMBOL)
        c->open = true;
    else if (has_bass(c->before, degree(c->key, 5, 8)))
        c->is = CADENCE_PHRYGIAN;
}

static void judge_close(struct claim_context *ctx, struct close *c)
{
    bool dominant = is_dominant(ctx, c->before, c->key);
    c->is = CADENCE_NONE;
    if (is_tonic(ctx, c->arrival, c->key)) {
        if (dominant || is_leading_tone_chord(ctx, c->before, c->key))
            judge_authentic(ctx, c);
        else if (is_subdominant(ctx, c->before, c->key))
            c->is = CADENCE_PLAGAL;
        return;
    }
    if (is_dominant(ctx, c->arrival, c->key))
        judge_half(ctx, c);
    else if (dominant)
        c->is = CADENCE_DECEPTIVE;
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

/* Does what there is satisfy what is asked? A phrygian cadence is a half cadence, a perfect one an authentic
 * one. */
static bool satisfies(enum cadence is, enum cadence asked)
{
    switch (asked) {
    case CADENCE_AUTHENTIC:
        return is == CADENCE_PERFECT || is == CADENCE_IMPERFECT || is == CADENCE_AUTHENTIC;
    case CADENCE_HALF:
        return is == CADENCE_HALF || is == CADENCE_PHRYGIAN;
    case CADENCE_PERFECT:
    case CADENCE_IMPERFECT:
    case CADENCE_PHRYGIAN:
    case CADENCE_PLAGAL:
    case CADENCE_DECEPTIVE:
        return is == asked;
    case CADENCE_NONE:
        return false;
    }
    return false;
}

/* Might it be, once the voicing is known? */
static bool hangs_on_voicing(const struct close *c, enum cadence asked)
{
    if (!c->open)
        return false;
    if (c->is == CADENCE_AUTHENTIC)
        return asked == CADENCE_PERFECT || asked == CADENCE_IMPERFECT;
    bool named = c->arrival->source == MOMENT_SYMBOL &&
                 !tone_eq(c->arrival->symbol->layers[0].bass, c->arrival->symbol->layers[0].root);
    return asked == CADENCE_PHRYGIAN || (asked == CADENCE_HALF && named);
}

/* "G2 D4 B4 to C3 E4 C5, V to I in C major" */
static struct str say_close(struct claim_context *ctx, const struct close *c)
{
    struct str a = numeral_or_tones(ctx, c, c->before), b = numeral_or_tones(ctx, c, c->arrival);
    bool symbols = c->before->source == MOMENT_SYMBOL && c->arrival->source == MOMENT_SYMBOL;
    struct str from = c->before->source == MOMENT_SYMBOL ? say_harmony(ctx, c->before->symbol)
                                                         : say_moment(ctx, c->before),
               to = c->arrival->source == MOMENT_SYMBOL ? say_harmony(ctx, c->arrival->symbol)
                                                        : say_moment(ctx, c->arrival);
    return say_text(ctx, "%.*s to %.*s, %.*s to %.*s in %.*s%s", STR_ARG(from), STR_ARG(to), STR_ARG(a),
                    STR_ARG(b), STR_ARG(say_key(ctx, c->key)),
                    symbols && c->passage ? " (by the symbols alone)" : "");
}

static void report_other(struct claim_context *ctx, const struct close *c, enum cadence asked)
{
    struct str close = say_close(ctx, c), why = c->why_not;
    claim_fails(ctx, "%.*s: %s%s%.*s, not %s", STR_ARG(close), cadence_words[c->is], why.n ? ": " : "",
                STR_ARG(why), cadence_words[asked]);
    if (c->passage)
        claim_place(ctx, c->arrival->where, "the last chord");
    if (c->is != CADENCE_NONE && !hangs_on_voicing(c, c->is))
        claim_instead(ctx, "%.*s %s in %.*s%.*s", STR_ARG(c->subject), cadence_words[c->is],
                      STR_ARG(say_key(ctx, c->key)), STR_ARG(c->span));
}

static void decide(struct claim_context *ctx, struct close *c, enum cadence asked)
{
    judge_close(ctx, c);
    if (hangs_on_voicing(c, asked)) {
        claim_undecided(
            ctx, "%.*s: %s; which kind needs a voicing: the notes in a part, or `as (…)` after the symbols",
            STR_ARG(say_close(ctx, c)), cadence_words[c->is]);
        return;
    }
    if (!satisfies(c->is, asked)) {
        report_other(ctx, c, asked);
        return;
    }
    struct str why = asked == CADENCE_IMPERFECT ? c->why_not : STR("");
    claim_holds(ctx, "%.*s: %s%s%.*s", STR_ARG(say_close(ctx, c)), cadence_words[c->is], why.n ? ", " : "",
                STR_ARG(why));
}

/* ---- finding the two chords ---------------------------------------------------------------------- */

/* Chords at the end that are one arrival: the tonic, or the dominant, in other positions. */
static bool same_arrival(struct claim_context *ctx, const struct moment *a, const struct moment *b,
                         struct key key)
{
    return (is_tonic(ctx, a, key) && is_tonic(ctx, b, key)) ||
           (is_dominant(ctx, a, key) && is_dominant(ctx, b, key));
}

static void check_stream(struct claim_context *ctx, const struct match *m, const struct stream *stream,
                         enum cadence asked, struct str subject, struct str span)
{
    struct stream s = stream_harmony(stream);
    struct moments chords;
    struct close c = {.subject = subject, .span = span};
    if (!stream_chords(ctx, m, &s, 1, &chords))
        return;
    uint32_t last = chords.n - 1;
    if (!key_of_claim(ctx, m, chords.passage, chords.items[last].onset, &c.key))
        return;
    while (last > 0 && same_arrival(ctx, &chords.items[last - 1], &chords.items[last], c.key))
        last--;
    if (last == 0) {
        claim_undecided(ctx, "%.*s has one chord there: a cadence needs two", STR_ARG(stream->words));
        return;
    }
    c.passage = chords.passage;
    c.before = &chords.items[last - 1];
    c.arrival = &chords.items[last];
    decide(ctx, &c, asked);
}

static void check_chords(struct claim_context *ctx, const struct match *m, enum cadence asked)
{
    const struct chord_ref *refs = m->chord;
    struct moment moments[2];
    bool placed = refs[0].at_place && refs[1].at_place;
    struct close c = {.passage = placed ? refs[1].passage : NULL};
    for (int i = 0; i < 2; i++) {
        if (!chord_moment(ctx, &refs[i], false, &moments[i]))
            return;
        if (moments[i].source == MOMENT_SYMBOL && moments[i].symbol->n_layers > 1) {
            claim_undecided(ctx, "%.*s has %.*s: a cadence is made of single chords", STR_ARG(refs[i].words),
                            STR_ARG(say_count(ctx, moments[i].symbol->n_layers, "layer", "layers")));
            return;
        }
    }
    if (!key_of_claim(ctx, m, c.passage, refs[1].at, &c.key))
        return;
    c.subject = say_text(ctx, "%.*s to %.*s is", STR_ARG(refs[0].words), STR_ARG(refs[1].words));
    c.span = STR("");
    c.before = &moments[0];
    c.arrival = &moments[1];
    decide(ctx, &c, asked);
}

/* The cadence whose last chord stands at a place: the passage up to there. */
static void check_place(struct claim_context *ctx, const struct match *m, enum cadence asked)
{
    const struct passage *p = m->n_streams ? m->stream[0].passage : NULL;
    if (!p || !p->n_bars) {
        claim_undecided(ctx, "%.*s has no bars", STR_ARG(m->stream[0].words));
        return;
    }
    struct match until = *m;
    struct stream s = m->stream[0];
    until.span = (struct span_ref){.from = {.bar = p->bars[0].number, .beat = RATIO_ONE},
                                   .to = m->place[0],
                                   .given = true,
                                   .where = m->place[0].where};
    struct ratio at;
    if (!place_position(ctx, p, m->place[0], &at))
        return;
    struct str subject = say_text(ctx, "the cadence at %.*s of %.*s is", STR_ARG(say_place(ctx, p, at)),
                                  STR_ARG(p->symbol.name));
    check_stream(ctx, &until, &s, asked, subject, STR(""));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    enum cadence asked =
        pattern == ENDS_WITH_SHORT ? cadence_of_short[m->choice[0]] : cadence_of_type[m->choice[0]];
    if (pattern == CHORD_TO_CHORD) {
        check_chords(ctx, m, asked);
        return;
    }
    if (pattern >= CADENCE_AT) {
        check_place(ctx, m, asked);
        return;
    }
    struct str subject = say_text(ctx, "%.*s %.*s with", STR_ARG(m->stream[0].words),
                                  STR_ARG(tell_verb(ctx, &m->stream[0], "end")));
    check_stream(ctx, m, &m->stream[0], asked, subject, tell_span(ctx, m));
}

const struct claim_kind claim_kind_cadence = {
    .name = "cadence",
    .patterns = patterns,
    .meaning = "Which cadence the last two harmonies of a stretch make in a key.",
    .page = claim_page_cadence,
    .check = check,
    .fails = DIAG_FAILS_cadence,
};
