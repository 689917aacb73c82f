/* numeral.c - whether chords are what Roman numerals say in a key. */
#include "base/buf.h"
#include "claims/numerals.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"

enum {
    IS,
    IS_IN,
    ACTS,
    ACTS_IN,
    NAMED,
    NAMED_IN,
    SIXTH,
    SIXTH_IN,
    FUNCTION,
    READS,
    READS_IN,
    ARE,
    EDGE,
    EDGE_IN
};

#define ACTS_AS "<functions as|acts as|serves as|works as>"
#define NAMES "<cadential six-four|cadential six four|Neapolitan sixth|Neapolitan|cadential 6/4> [chord]"
#define SIXTHS "<Italian|French|German> [augmented] sixth|augmented-sixth [chord]"
#define FUNCTIONS "<tonic|supertonic|subdominant|dominant seventh|dominant|submediant> [chord|triad|harmony]"
#define GOES "reads|runs|goes|follows|progresses"
#define EDGES "<begins with|starts with|opens with|ends with|closes with|ends on>"

static const char *const patterns[] = {
    [IS] = "CHORD is NUMERAL [chord]",
    [IS_IN] = "CHORD is NUMERAL [chord] in|of KEY",
    [ACTS] = "CHORD " ACTS_AS " NUMERAL [chord]",
    [ACTS_IN] = "CHORD " ACTS_AS " NUMERAL [chord] in|of KEY",
    [NAMED] = "CHORD is " NAMES,
    [NAMED_IN] = "CHORD is " NAMES " in|of KEY",
    [SIXTH] = "CHORD is " SIXTHS,
    [SIXTH_IN] = "CHORD is " SIXTHS " in|of KEY",
    [FUNCTION] = "CHORD is " FUNCTIONS " in|of KEY",
    [READS] = "STREAM " GOES " [from|progression] NUMERALS",
    [READS_IN] = "STREAM " GOES " [from|progression] NUMERALS in|of KEY",
    [ARE] = "STREAM is NUMERALS in|of KEY",
    [EDGE] = "STREAM " EDGES " NUMERALS",
    [EDGE_IN] = "STREAM " EDGES " NUMERALS in|of KEY",
    NULL,
};

/* What a sentence's own words for a numeral stand for. A Neapolitan without `sixth` may lie as it likes. */
static const char *const numerals_of_names[] = {"cad64", "cad64", "N6", "N", "cad64"};
static const char *const numerals_of_sixths[] = {"It+6", "Fr+6", "Ger+6"};
/* In major and in minor, in whatever position. */
static const char *const numerals_of_functions[][2] = {{"I", "i"},   {"ii", "iio"}, {"IV", "iv"},
                                                       {"V7", "V7"}, {"V", "V"},    {"vi", "VI"}};
enum { NAME_NEAPOLITAN = 3 };

/* One chord against one numeral. */
struct question {
    struct str numeral;
    struct chord want;
    struct key key;
    bool any_bass; /* whatever tone is lowest */
};

static bool question_of(struct claim_context *ctx, struct str numeral, struct key key, struct question *out)
{
    uint32_t bad;
    *out = (struct question){.numeral = numeral, .key = key};
    if (roman_parse(numeral, key, &out->want, &bad))
        return true;
    claim_undecided(ctx, "the numeral `%.*s` is not understood in %.*s", STR_ARG(numeral),
                    STR_ARG(say_key(ctx, key)));
    return false;
}

/* ---- the six-four before the dominant ------------------------------------------------------------ */

static bool is_cadential(struct str numeral)
{
    return str_starts(numeral, STR("cad")) || str_starts(numeral, STR("Cad"));
}

/* The tonic triad over its fifth, called so or not. */
static bool is_tonic_six_four(const struct question *q)
{
    return q->want.n_tones == 3 && tone_eq(q->want.root, q->key.tonic) &&
           tone_eq(q->want.bass, q->want.tones[2]);
}

static bool is_dominant(struct claim_context *ctx, const struct moment *m, struct key key)
{
    return moment_is_numeral(ctx, m, false, key, "V") || moment_is_numeral(ctx, m, false, key, "V7");
}

enum follows { FOLLOWS_NOT, FOLLOWS_DOMINANT, FOLLOWS_UNKNOWN };

/* The next symbol of the harmony row that is another chord. */
static enum follows follows_in_harmony(struct claim_context *ctx, const struct passage *p, struct ratio at,
                                       const struct question *q)
{
    for (uint32_t i = 0; i < p->n_harmony; i++) {
        const struct harmony_event *e = &p->harmony[i];
        struct moment m;
        if (ratio_le(e->onset, at) || e->harmony.kind == HARMONY_NONE)
            continue;
        if (!take_harmony(ctx, p, e) || !moment_harmony(ctx, p, &e->harmony, e->onset, &m))
            return FOLLOWS_UNKNOWN;
        if (numeral_compare(ctx, &m, false, &q->want).fit <= NUMERAL_UNVOICED)
            continue;
        return is_dominant(ctx, &m, q->key) ? FOLLOWS_DOMINANT : FOLLOWS_NOT;
    }
    return FOLLOWS_UNKNOWN;
}

/* Without symbols: while the bass stays on the fifth degree, does the dominant come? */
static enum follows follows_in_notes(struct claim_context *ctx, const struct passage *p, struct ratio at,
                                     const struct question *q)
{
    uint32_t n;
    struct stretch rest = {.onset = at, .end = p->length};
    struct ratio *changes = passage_changes(ctx, p, rest, &n);
    for (uint32_t i = 1; i < n; i++) {
        const struct bar *bar = passage_bar_at(p, changes[i]);
        struct moment m;
        if (!bar || !bar->transcribed || !moment_sounding(ctx, p, changes[i], &m))
            return FOLLOWS_UNKNOWN;
        if (!tone_eq(m.pitches[0].tone, q->want.bass))
            return FOLLOWS_NOT;
        if (is_dominant(ctx, &m, q->key))
            return FOLLOWS_DOMINANT;
    }
    return FOLLOWS_UNKNOWN;
}

static enum follows what_follows(struct claim_context *ctx, const struct chord_ref *c,
                                 const struct question *q, struct ratio at)
{
    if (!c->at_place)
        return FOLLOWS_UNKNOWN;
    return c->passage->n_harmony ? follows_in_harmony(ctx, c->passage, at, q)
                                 : follows_in_notes(ctx, c->passage, at, q);
}

static bool six_four_is_tonic(const struct claim_context *ctx)
{
    return ctx->conventions->choice[CONVENTION_SIX_FOUR] == 1;
}

/* "I64", "i64" */
static const char *plain_six_four(const struct question *q)
{
    return q->key.minor ? "i64" : "I64";
}

/* A six-four that is called cadential. */
static void judge_cadential(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                            const struct moment *m, enum follows follows)
{
    struct str what = say_chord(ctx, c, m), key = say_key(ctx, q->key), bass = say_tone(ctx, q->want.bass);
    switch (follows) {
    case FOLLOWS_DOMINANT:
        claim_holds(
            ctx,
            "%.*s is the tonic triad of %.*s over its fifth %.*s, and the dominant follows over %.*s: %.*s",
            STR_ARG(what), STR_ARG(key), STR_ARG(bass), STR_ARG(bass), STR_ARG(q->numeral));
        return;
    case FOLLOWS_NOT:
        claim_fails(
            ctx,
            "%.*s is the tonic triad of %.*s over its fifth %.*s, but no dominant follows over %.*s: it "
            "is no cadential six-four",
            STR_ARG(what), STR_ARG(key), STR_ARG(bass), STR_ARG(bass));
        claim_instead(ctx, "%.*s is %s in %.*s", STR_ARG(c->words), plain_six_four(q), STR_ARG(key));
        return;
    case FOLLOWS_UNKNOWN:
        claim_undecided(
            ctx,
            "%.*s is the tonic triad of %.*s over its fifth; whether the dominant follows is not known: "
            "%s",
            STR_ARG(what), STR_ARG(key),
            c->at_place ? "transcribe what comes next"
                        : "name the place where it sounds, `the chord at bar 3`");
        return;
    }
}

/* ---- one chord ----------------------------------------------------------------------------------- */

static const char *by_symbol(const struct chord_ref *c, const struct moment *m)
{
    return c->at_place && m->source == MOMENT_SYMBOL ? ", by its symbol alone" : "";
}

static void report_agreement(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                             const struct moment *m, const struct numeral_report *r)
{
    struct str tones = say_tones(ctx, q->want.tones, q->want.n_tones), left_out = STR(""), bass = STR("");
    if (r->tones.fit == TONES_SHORT)
        left_out = say_text(ctx, ", its %.*s left out",
                            STR_ARG(say_tones(ctx, r->tones.missing.t, r->tones.missing.n)));
    if (!tone_eq(q->want.bass, q->want.root) && !q->any_bass)
        bass = say_text(ctx, " over %.*s", STR_ARG(say_tone(ctx, q->want.bass)));
    claim_holds(ctx, "%.*s is %.*s in %.*s (%.*s%.*s)%.*s%s", STR_ARG(say_chord(ctx, c, m)),
                STR_ARG(q->numeral), STR_ARG(say_key(ctx, q->key)), STR_ARG(tones), STR_ARG(bass),
                STR_ARG(left_out), by_symbol(c, m));
}

static void offer_true(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                       const struct moment *m)
{
    struct str name;
    if (numeral_name(ctx, m, !c->at_place, q->key, true, &name))
        claim_instead(ctx, "%.*s is %.*s in %.*s", STR_ARG(c->words), STR_ARG(name),
                      STR_ARG(say_key(ctx, q->key)));
}

/* "; it is V/V", or nothing. */
static struct str say_truth(struct claim_context *ctx, const struct moment *m, bool by_name, struct key key)
{
    struct str name;
    if (ctx->mute || !numeral_name(ctx, m, by_name, key, false, &name))
        return STR("");
    return say_text(ctx, "; it is %.*s", STR_ARG(name));
}

static void point_at_foreign(struct claim_context *ctx, const struct moment *m,
                             const struct numeral_report *r, const struct question *q)
{
    for (uint32_t i = 0; m->notes && i < m->n; i++)
        if (bag_has(&r->tones.foreign, m->tones[i]))
            claim_place(ctx, m->notes[i]->where, "%.*s is foreign to %.*s",
                        STR_ARG(say_pitch(ctx, m->pitches[i])), STR_ARG(q->numeral));
}

static void report_difference(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                              const struct moment *m, const struct numeral_report *r)
{
    struct str what = say_chord(ctx, c, m), key = say_key(ctx, q->key);
    struct str want = say_tones(ctx, q->want.tones, q->want.n_tones);
    struct str truth = say_truth(ctx, m, !c->at_place, q->key);
    if (r->fit == NUMERAL_RESPELLED)
        claim_fails(ctx,
                    "%.*s (%.*s) sounds the same as %.*s in %.*s (%.*s); spelled it is another chord%.*s",
                    STR_ARG(c->words), STR_ARG(what), STR_ARG(q->numeral), STR_ARG(key), STR_ARG(want),
                    STR_ARG(truth));
    else
        claim_fails(ctx, "%.*s is %.*s; %.*s in %.*s is %.*s: %.*s%.*s", STR_ARG(c->words), STR_ARG(what),
                    STR_ARG(q->numeral), STR_ARG(key), STR_ARG(want),
                    STR_ARG(say_tone_report(ctx, &r->tones)), STR_ARG(truth));
    point_at_foreign(ctx, m, r, q);
    offer_true(ctx, c, q, m);
}

static void report_inverted(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                            const struct moment *m)
{
    struct str bass = say_bass(ctx, m);
    if (!bass.n)
        bass = say_tone(ctx, m->symbol->layers[0].root);
    claim_fails(ctx, "%.*s has the tones of %.*s in %.*s, but its lowest note is %.*s, not %.*s%.*s",
                STR_ARG(c->words), STR_ARG(q->numeral), STR_ARG(say_key(ctx, q->key)), STR_ARG(bass),
                STR_ARG(say_tone(ctx, q->want.bass)), STR_ARG(say_truth(ctx, m, !c->at_place, q->key)));
    if (m->notes)
        claim_place(ctx, m->notes[0]->where, "%.*s is the lowest note", STR_ARG(bass));
    offer_true(ctx, c, q, m);
}

static void judge_fit(struct claim_context *ctx, const struct chord_ref *c, const struct question *q,
                      const struct moment *m, const struct numeral_report *r)
{
    bool six_four = is_tonic_six_four(q) && !q->any_bass;
    enum follows follows = six_four ? what_follows(ctx, c, q, m->onset) : FOLLOWS_NOT;
    if (is_cadential(q->numeral)) {
        judge_cadential(ctx, c, q, m, follows);
        return;
    }
    if (six_four && follows == FOLLOWS_DOMINANT) {
        claim_convention(ctx, CONVENTION_SIX_FOUR);
        if (!six_four_is_tonic(ctx)) {
            claim_fails(
                ctx,
                "%.*s (%.*s) is the tonic triad over its fifth, and the dominant follows over the same bass: "
                "a cadential six-four, which counts to the dominant",
                STR_ARG(c->words), STR_ARG(say_chord(ctx, c, m)));
            claim_instead(ctx, "%.*s is cad64 in %.*s", STR_ARG(c->words), STR_ARG(say_key(ctx, q->key)));
            return;
        }
    }
    report_agreement(ctx, c, q, m, r);
}

static void judge_chord(struct claim_context *ctx, const struct chord_ref *c, const struct question *q)
{
    struct moment m;
    if (!chord_moment(ctx, c, false, &m))
        return;
    if (m.source == MOMENT_SYMBOL && m.symbol->n_layers > 1) {
        claim_undecided(ctx, "%.*s has %.*s: a numeral names one chord", STR_ARG(c->words),
                        STR_ARG(say_count(ctx, m.symbol->n_layers, "layer", "layers")));
        return;
    }
    struct numeral_report r = numeral_compare(ctx, &m, !c->at_place, &q->want);
    switch (r.fit) {
    case NUMERAL_FITS:
        judge_fit(ctx, c, q, &m, &r);
        return;
    case NUMERAL_INVERTED:
        if (q->any_bass)
            report_agreement(ctx, c, q, &m, &r);
        else
            report_inverted(ctx, c, q, &m);
        return;
    case NUMERAL_UNVOICED:
        if (q->any_bass)
            report_agreement(ctx, c, q, &m, &r);
        else
            claim_undecided(
                ctx,
                "%.*s has the tones of %.*s in %.*s, by its symbol; which is lowest needs a voicing: add a "
                "part, or `as (…)` after the symbol",
                STR_ARG(c->words), STR_ARG(q->numeral), STR_ARG(say_key(ctx, q->key)));
        return;
    case NUMERAL_RESPELLED:
    case NUMERAL_DIFFERS:
        report_difference(ctx, c, q, &m, &r);
        return;
    }
}

static void check_chord(struct claim_context *ctx, const struct match *m, int pattern)
{
    const struct chord_ref *c = &m->chord[0];
    struct str numeral = STR("");
    struct key key;
    struct question q;
    if (m->n_numerals)
        numeral = m->numerals[0].text;
    else if (pattern == FUNCTION)
        numeral = str_of(numerals_of_functions[m->choice[0]][m->key[0].minor]);
    else if (pattern == NAMED || pattern == NAMED_IN)
        numeral = str_of(numerals_of_names[m->choice[0]]);
    else
        numeral = str_of(numerals_of_sixths[m->choice[0]]);
    if (!key_of_claim(ctx, m, c->at_place ? c->passage : NULL, c->at, &key) ||
        !question_of(ctx, numeral, key, &q))
        return;
    q.any_bass =
        pattern == FUNCTION || ((pattern == NAMED || pattern == NAMED_IN) && m->choice[0] == NAME_NEAPOLITAN);
    judge_chord(ctx, c, &q);
}

/* ---- several chords ------------------------------------------------------------------------------ */

/* The chords of a stretch against a list of numerals. */
struct progression {
    const struct match *m;
    struct moments chords; /* those that the numerals are for */
    uint32_t first;        /* index of the first of them in the stretch */
    struct key key;
    struct str words; /* "the harmony of lamp" */
    const char *verb; /* "read", "begin", "end" */
    bool edge;        /* they begin or end with the numerals */
};

/* The numeral of chord i, cadential where a dominant follows. */
static struct str name_of(struct claim_context *ctx, const struct progression *r, uint32_t i)
{
    struct str name;
    const struct moment *m = &r->chords.items[i];
    if (!numeral_name(ctx, m, false, r->key, true, &name))
        return STR("");
    bool before_v = i + 1 < r->chords.n && is_dominant(ctx, &r->chords.items[i + 1], r->key);
    bool six_four = str_is(name, "I64") || str_is(name, "i64");
    return six_four && before_v && !six_four_is_tonic(ctx) ? STR("cad64") : name;
}

/* More numerals than a sentence should have are not listed. */
enum { NAMED_MAX = 64 };

/* "I ii6 V I"; empty if some chord has no numeral. */
static struct str name_all(struct claim_context *ctx, const struct progression *r)
{
    struct buf b = {0};
    bool all = r->chords.n <= NAMED_MAX;
    for (uint32_t i = 0; i < r->chords.n && all; i++) {
        struct str name = name_of(ctx, r, i);
        all = name.n > 0;
        buf_printf(&b, "%s%.*s", i ? " " : "", STR_ARG(name));
    }
    struct str list = buf_take(&b, ctx->arena);
    return all ? list : STR("");
}

static void offer_reading(struct claim_context *ctx, const struct progression *r)
{
    struct str list = ctx->mute ? STR("") : name_all(ctx, r);
    if (list.n)
        claim_instead(ctx, "%.*s %.*s%s %.*s in %.*s%.*s", STR_ARG(r->words),
                      STR_ARG(tell_verb(ctx, &r->m->stream[0], r->verb)), r->edge ? " with" : "",
                      STR_ARG(list), STR_ARG(say_key(ctx, r->key)), STR_ARG(tell_span(ctx, r->m)));
}

/* What a reading makes of one chord. */
enum agreement { AGREES, AGREES_UNVOICED, AGREES_NOT };

static enum agreement agreement_of(struct claim_context *ctx, const struct progression *r, uint32_t i,
                                   const struct question *q, struct numeral_report *report)
{
    const struct moment *m = &r->chords.items[i];
    *report = numeral_compare(ctx, m, false, &q->want);
    if (report->fit == NUMERAL_UNVOICED)
        return AGREES_UNVOICED;
    if (report->fit != NUMERAL_FITS)
        return AGREES_NOT;
    if (!is_tonic_six_four(q))
        return AGREES;
    bool before_v = i + 1 < r->chords.n && is_dominant(ctx, &r->chords.items[i + 1], r->key);
    if (is_cadential(q->numeral))
        return before_v ? AGREES : AGREES_NOT;
    if (before_v)
        claim_convention(ctx, CONVENTION_SIX_FOUR);
    return before_v && !six_four_is_tonic(ctx) ? AGREES_NOT : AGREES;
}

static const char *ordinal(uint32_t i)
{
    static const char *const words[] = {"first",   "second", "third", "fourth", "fifth",    "sixth",
                                        "seventh", "eighth", "ninth", "tenth",  "eleventh", "twelfth"};
    return i < sizeof words / sizeof words[0] ? words[i] : "next";
}

static void report_chord(struct claim_context *ctx, const struct progression *r, uint32_t i,
                         const struct question *q, const struct numeral_report *report)
{
    const struct moment *m = &r->chords.items[i];
    struct str place = say_place(ctx, r->chords.passage, m->onset), what = say_moment(ctx, m);
    struct str truth = name_of(ctx, r, i), why = STR("");
    if (report->fit == NUMERAL_DIFFERS)
        why = say_text(ctx, ": %.*s", STR_ARG(say_tone_report(ctx, &report->tones)));
    else if (report->fit == NUMERAL_RESPELLED)
        why = STR(" by spelling, though it sounds so");
    else if (report->fit == NUMERAL_INVERTED)
        why = say_text(ctx, ": its lowest note is %.*s", STR_ARG(say_bass(ctx, m)));
    claim_fails(ctx, "the %s chord, %.*s at %.*s, is not %.*s%.*s%s%.*s", ordinal(r->first + i),
                STR_ARG(what), STR_ARG(place), STR_ARG(q->numeral), STR_ARG(why), truth.n ? "; it is " : "",
                STR_ARG(truth));
    claim_place(ctx, m->where, "not %.*s", STR_ARG(q->numeral));
    offer_reading(ctx, r);
}

static void judge_reading(struct claim_context *ctx, const struct progression *r)
{
    const struct match *m = r->m;
    uint32_t unvoiced = r->chords.n, symbols = 0;
    for (uint32_t i = 0; i < r->chords.n; i++) {
        struct question q;
        struct numeral_report report;
        if (!question_of(ctx, m->numerals[i].text, r->key, &q))
            return;
        enum agreement agreement = agreement_of(ctx, r, i, &q, &report);
        if (agreement == AGREES_NOT) {
            report_chord(ctx, r, i, &q, &report);
            return;
        }
        if (agreement == AGREES_UNVOICED && unvoiced == r->chords.n)
            unvoiced = i;
        symbols += r->chords.items[i].source == MOMENT_SYMBOL;
    }
    if (unvoiced < r->chords.n) {
        const struct moment *chord = &r->chords.items[unvoiced];
        claim_undecided(
            ctx,
            "the %s chord has the tones of %.*s by its symbol %.*s; which is lowest needs a voicing: add a "
            "part, or `as (…)` after the symbol",
            ordinal(r->first + unvoiced), STR_ARG(m->numerals[unvoiced].text),
            STR_ARG(say_harmony(ctx, chord->symbol)));
        claim_place(ctx, chord->where, "only a symbol");
        return;
    }
    struct buf b = {0};
    for (uint32_t i = 0; !ctx->mute && i < r->chords.n; i++) {
        const struct moment *chord = &r->chords.items[i];
        bool symbol = chord->source == MOMENT_SYMBOL;
        struct str what = symbol ? say_harmony(ctx, chord->symbol) : say_moment(ctx, chord);
        buf_printf(&b, "%s%.*s is %.*s", i ? ", " : "", STR_ARG(what), STR_ARG(m->numerals[i].text));
    }
    struct str list = buf_take(&b, ctx->arena);
    claim_holds(ctx, "in %.*s %.*s%s", STR_ARG(say_key(ctx, r->key)), STR_ARG(list),
                symbols == r->chords.n ? " (by the symbols alone)" : "");
}

/* The chords at the beginning or the end that the numerals are for. */
static void cut_edge(struct progression *r, bool end)
{
    uint32_t n = r->m->n_numerals;
    if (r->chords.n <= n)
        return;
    if (end)
        r->first = r->chords.n - n;
    r->chords.items += r->first;
    r->chords.n = n;
}

static void check_reading(struct claim_context *ctx, const struct match *m, bool edge)
{
    enum { FIRST_AT_END = 3 };
    struct stream s = stream_harmony(&m->stream[0]);
    struct progression r = {.m = m, .words = m->stream[0].words, .verb = "read"};
    if (!stream_chords(ctx, m, &s, 1, &r.chords) ||
        !key_of_claim(ctx, m, r.chords.passage, r.chords.items[0].onset, &r.key))
        return;
    if (edge) {
        bool end = m->choice[0] >= FIRST_AT_END;
        r.verb = end ? "end" : "begin";
        r.edge = true;
        cut_edge(&r, end);
    }
    if (r.chords.n != m->n_numerals) {
        struct str list = ctx->mute ? STR("") : name_all(ctx, &r);
        claim_fails(ctx, "%.*s has %.*s there, the sentence %.*s%s%.*s", STR_ARG(r.words),
                    STR_ARG(say_count(ctx, r.chords.n, "chord", "chords")),
                    STR_ARG(say_count(ctx, m->n_numerals, "numeral", "numerals")),
                    list.n ? "; it reads " : "", STR_ARG(list));
        offer_reading(ctx, &r);
        return;
    }
    judge_reading(ctx, &r);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    if (pattern < READS)
        check_chord(ctx, m, pattern);
    else
        check_reading(ctx, m, pattern >= EDGE);
}

const struct claim_kind claim_kind_numeral = {
    .name = "numeral",
    .patterns = patterns,
    .meaning =
        "Whether the tones of a chord, as spelled, and the lowest of them are what a Roman numeral with its "
        "figures says in a key.",
    .page = claim_page_numeral,
    .check = check,
    .fails = DIAG_FAILS_numeral,
};
