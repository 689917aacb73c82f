/* inversion.c - which tone of a chord is in the bass. */
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum { IS_IN, IS_ADJECTIVE, IS_INVERTED, IS_FIGURED, HAS_IN_BASS, IN_BASS_OF, LOWEST_IS, EVERY_IN };

#define POSITIONS "<root position|root-position|first inversion|second inversion|third inversion>"
#define MEMBERS "<root|third|fifth|seventh>"
#define FIGURED "<five-three|six-three|six-four|six-five|four-three|four-two|sixth> [chord]"

static const char *const patterns[] = {
    [IS_IN] = "CHORD is|stands|lies|appears in " POSITIONS,
    [IS_ADJECTIVE] =
        "CHORD is <root-position|first-inversion|second-inversion|third-inversion> [triad|chord|seventh]",
    [IS_INVERTED] = "CHORD is inverted",
    [IS_FIGURED] = "CHORD is " FIGURED,
    [HAS_IN_BASS] = "CHORD has its " MEMBERS " in bass",
    [IN_BASS_OF] = MEMBERS " of CHORD is|lies in bass",
    [LOWEST_IS] = "lowest|bottom note|tone of CHORD is its " MEMBERS,
    [EVERY_IN] = "every chord of|in STREAM is|stands|lies in " POSITIONS,
    NULL,
};

/* Members of a chord by their steps above the root. */
enum member { ROOT, THIRD, FIFTH, SEVENTH, MEMBERS_N };
static const int member_steps[MEMBERS_N] = {0, 2, 4, 6};
static const char *const member_words[MEMBERS_N] = {"root", "third", "fifth", "seventh"};
static const char *const position_words[MEMBERS_N] = {"root position", "first inversion", "second inversion",
                                                      "third inversion"};

/* What a sentence asks for: which member is lowest, and of what kind of chord. */
struct question {
    bool inverted; /* any but the root */
    enum member member;
    int seventh; /* figures tell a triad (-1) from a seventh chord (1); 0: either */
};

static struct question question_of(const struct match *m, int pattern)
{
    static const enum member positions[] = {ROOT, ROOT, THIRD, FIFTH, SEVENTH};
    static const struct question figured[] = {
        {false, ROOT, -1}, {false, THIRD, -1},  {false, FIFTH, -1}, {false, THIRD, 1},
        {false, FIFTH, 1}, {false, SEVENTH, 1}, {false, THIRD, -1},
    };
    switch (pattern) {
    case IS_INVERTED:
        return (struct question){.inverted = true};
    case IS_FIGURED:
        return figured[m->choice[0]];
    case IS_ADJECTIVE:
        return (struct question){.member = (enum member)m->choice[0]};
    case IS_IN:
    case EVERY_IN:
        return (struct question){.member = positions[m->choice[0]]};
    default:
        return (struct question){.member = (enum member)m->choice[0]};
    }
}

/* ---- reading a chord ----------------------------------------------------------------------------- */

/* A chord read from one root. */
struct root_reading {
    struct tone root, bass;
    int steps; /* from root up to bass, 0 … 6 */
    bool has_seventh;
    bool alone;    /* every other reading of the chord has the bass in the same position */
    bool of_chord; /* the bass is one of the chord's own tones, root third fifth seventh */
};

/* Is the bass one of the chord's own tones, and which? `own` are the tones the chord has on this root. */
static struct root_reading reading_on(struct tone root, const struct tone_bag *own, struct tone bass)
{
    struct root_reading r = {.root = root, .bass = bass};
    r.steps = interval_between_tones(root, bass).steps;
    for (uint32_t i = 0; i < own->n; i++)
        r.has_seventh =
            r.has_seventh || interval_between_tones(root, own->t[i]).steps == member_steps[SEVENTH];
    for (int k = 0; k < MEMBERS_N; k++)
        r.of_chord = r.of_chord || (bag_has(own, bass) && r.steps == member_steps[k]);
    return r;
}

/* A major or minor triad is heard as one, whatever else its tones might be called by sound. */
static bool is_plain_triad(const struct chord_quality *q)
{
    return q->n_degrees == 3 && chord_is_tertian(q) && q->degrees[2].half == 7;
}

/* The readings of what sounds: by its symbol, else by the chords its tones make. Returns how many, 0 after a
 * verdict. */
static uint32_t read_chord(struct claim_context *ctx, struct str words, const struct moment *m,
                           struct root_reading *out)
{
    struct tone_bag have = bag_of_moment(ctx->arena, m);
    struct tone bass = m->pitches[0].tone;
    if (m->symbol && m->symbol->n_layers > 1) {
        claim_undecided(ctx, "%.*s has %.*s: it has no one root", STR_ARG(words),
                        STR_ARG(say_count(ctx, m->symbol->n_layers, "layer", "layers")));
        return 0;
    }
    if (m->symbol && m->symbol->n_layers == 1) {
        struct chord plain = m->symbol->layers[0];
        plain.slash = false;
        struct tone_bag own = bag_of_chord(ctx->arena, &plain);
        out[0] = reading_on(plain.root, &own, bass);
        return 1;
    }
    struct chord_match all[READINGS_MAX];
    uint32_t n = chord_readings(ctx, &have, all);
    if (n && is_plain_triad(all[0].quality))
        n = 1;
    for (uint32_t i = 0; i < n; i++) {
        struct tone_bag own = bag_of_quality(ctx->arena, all[i].root, all[i].quality);
        out[i] = reading_on(all[i].root, &own, bass);
    }
    if (n == 0)
        claim_undecided(
            ctx,
            "%.*s (%.*s) makes no chord of the library, so its root is not known: write its symbol in the "
            "harmony row",
            STR_ARG(words), STR_ARG(say_moment(ctx, m)));
    return n;
}

static bool answers(const struct question *q, const struct root_reading *r)
{
    if (q->seventh && (q->seventh > 0) != r->has_seventh)
        return false;
    if (q->inverted)
        return r->of_chord && r->steps != 0;
    return r->of_chord && r->steps == member_steps[q->member];
}

/* ---- words --------------------------------------------------------------------------------------- */

static const char *position_of(const struct root_reading *r)
{
    for (int k = 0; k < MEMBERS_N; k++)
        if (r->of_chord && r->steps == member_steps[k])
            return position_words[k];
    return NULL;
}

static const char *member_of(const struct root_reading *r)
{
    for (int k = 0; k < MEMBERS_N; k++)
        if (r->of_chord && r->steps == member_steps[k])
            return member_words[k];
    return NULL;
}

/* "the bass E is the third above the root C: first inversion" */
static struct str say_reading(struct claim_context *ctx, const struct root_reading *r)
{
    struct str bass = say_tone(ctx, r->bass), root = say_tone(ctx, r->root);
    const char *member = member_of(r);
    if (!member)
        return say_text(ctx, "the bass %.*s is not root, third, fifth or seventh of the chord on %.*s",
                        STR_ARG(bass), STR_ARG(root));
    if (r->steps == 0)
        return say_text(ctx, "the bass %.*s is its root: root position", STR_ARG(bass));
    return say_text(ctx, "the bass %.*s is the %s above the root %.*s: %s%s", STR_ARG(bass), member,
                    STR_ARG(root), position_of(r), r->has_seventh ? " of a seventh chord" : "");
}

static void report_failure(struct claim_context *ctx, struct str words, const struct moment *m,
                           const struct root_reading *r)
{
    claim_fails(ctx, "%.*s is %.*s: %.*s", STR_ARG(words), STR_ARG(say_moment(ctx, m)),
                STR_ARG(say_reading(ctx, r)));
    if (m->notes)
        claim_place(ctx, m->notes[0]->where, "%.*s is the lowest note",
                    STR_ARG(say_pitch(ctx, m->pitches[0])));
}

/* Decides for one chord; *r gets the reading that decides. */
enum outcome { OUTCOME_YES, OUTCOME_NO, OUTCOME_OPEN };

static enum outcome judge(struct claim_context *ctx, struct str words, const struct moment *m,
                          const struct question *q, struct root_reading *r)
{
    struct root_reading all[READINGS_MAX];
    uint32_t n = read_chord(ctx, words, m, all), yes = 0;
    if (n == 0)
        return OUTCOME_OPEN;
    for (uint32_t i = 0; i < n; i++)
        yes += answers(q, &all[i]);
    *r = all[0];
    r->alone = true;
    for (uint32_t i = 1; i < n; i++)
        r->alone = r->alone && all[i].steps == r->steps && all[i].of_chord == r->of_chord;
    if (yes == n || yes == 0)
        return yes ? OUTCOME_YES : OUTCOME_NO;
    claim_undecided(ctx, "%.*s (%.*s) can be read on %.*s or on %.*s: write its symbol in the harmony row",
                    STR_ARG(words), STR_ARG(say_moment(ctx, m)), STR_ARG(say_tone(ctx, all[0].root)),
                    STR_ARG(say_tone(ctx, all[1].root)));
    return OUTCOME_OPEN;
}

static void check_one(struct claim_context *ctx, const struct match *m, const struct question *q)
{
    struct moment moment;
    struct root_reading r;
    struct str words = m->chord[0].words;
    if (!chord_moment(ctx, &m->chord[0], true, &moment))
        return;
    switch (judge(ctx, words, &moment, q, &r)) {
    case OUTCOME_OPEN:
        return;
    case OUTCOME_YES:
        claim_holds(ctx, "in %.*s %.*s", STR_ARG(say_moment(ctx, &moment)), STR_ARG(say_reading(ctx, &r)));
        return;
    case OUTCOME_NO:
        report_failure(ctx, words, &moment, &r);
        if (position_of(&r) && r.alone)
            claim_instead(ctx, "%.*s is in %s", STR_ARG(words), position_of(&r));
        return;
    }
}

/* A chord known by its symbol alone leaves the claim open, unless another one breaks it. */
static void check_every(struct claim_context *ctx, const struct match *m, const struct question *q)
{
    struct stretch where;
    struct moments moments;
    const struct moment *unvoiced = NULL;
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 1, &moments))
        return;
    for (uint32_t i = 0; i < moments.n; i++) {
        const struct moment *moment = &moments.items[i];
        struct root_reading r;
        struct str words =
            say_text(ctx, "the chord at %.*s", STR_ARG(say_place(ctx, moments.passage, moment->onset)));
        if (moment->source == MOMENT_SYMBOL) {
            unvoiced = unvoiced ? unvoiced : moment;
            continue;
        }
        enum outcome outcome = judge(ctx, words, moment, q, &r);
        if (outcome == OUTCOME_NO)
            report_failure(ctx, words, moment, &r);
        if (outcome != OUTCOME_YES)
            return;
    }
    if (unvoiced)
        claim_undecided(
            ctx, "`%.*s` at %.*s needs a voicing: write the notes in a part, or `as (…)` after the symbol",
            STR_ARG(say_harmony(ctx, unvoiced->symbol)),
            STR_ARG(say_place(ctx, moments.passage, unvoiced->onset)));
    else
        claim_holds(ctx, "%.*s, each in %s", STR_ARG(say_count(ctx, (int64_t)moments.n, "chord", "chords")),
                    position_words[q->member]);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct question q = question_of(m, pattern);
    if (pattern == EVERY_IN)
        check_every(ctx, m, &q);
    else
        check_one(ctx, m, &q);
}

const struct claim_kind claim_kind_inversion = {
    .name = "inversion",
    .patterns = patterns,
    .meaning = "Which tone of a chord, counted from its root, is the lowest that sounds.",
    .page = claim_page_inversion,
    .check = check,
    .fails = DIAG_FAILS_inversion,
};
