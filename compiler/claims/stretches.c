/* stretches.c - a figure in longer or shorter values: augmentation and diminution. */
#include "claims/figures.h"
#include "claims/melody.h"
#include "claims/pages.h"

#include <inttypes.h>

#define VERBS "<stretches|augments|broadens|shortens|diminishes|compresses>"
#define NOUNS "<augmentation|diminution>"
#define LEVEL "[<at same pitch|tonally>] [in KEY] [DIRECTION INTERVAL]"
#define FOLDS "<twofold|threefold|fourfold|eightfold>"

enum pattern { WORD, NUMBER, FRACTION, PLAIN, NOUN, NOUN_BY, IN_NOUN, IN_NOUN_BY, VALUES };

static const char *const patterns[] = {
    [WORD] = "FIGURE " VERBS " FIGURE " FOLDS " " LEVEL,
    [NUMBER] = "FIGURE " VERBS " FIGURE COUNT -|– fold " LEVEL,
    [FRACTION] = "FIGURE " VERBS " FIGURE VALUE -|– fold " LEVEL,
    [PLAIN] = "FIGURE " VERBS " FIGURE " LEVEL,
    [NOUN] = "FIGURE is [exact] " NOUNS " of FIGURE " LEVEL,
    [NOUN_BY] = "FIGURE is [exact] " NOUNS " of FIGURE by [factor of] COUNT " LEVEL,
    [IN_NOUN] = "FIGURE is FIGURE in [exact] " NOUNS " " LEVEL,
    [IN_NOUN_BY] = "FIGURE is FIGURE in [exact] " NOUNS " by [factor of] COUNT " LEVEL,
    [VALUES] = "FIGURE <doubles|triples|quadruples|halves> [note] values|lengths|durations of FIGURE " LEVEL,
    NULL,
};

enum { FIRST_SHORTER_VERB = 3, HALVES = 3 };
static const int folds[] = {2, 3, 4, 8};
static const struct ratio values[] = {{2, 1}, {3, 1}, {4, 1}, {1, 2}};

struct wanted {
    bool shorter;
    bool given;         /* a factor is named */
    struct ratio scale; /* of every value: 2 for twofold, 1/2 for shortened twofold */
    int level;          /* the choice in LEVEL: 0 same pitch, 1 tonally, -1 neither */
};

/* False after a verdict. */
static bool read_wanted(struct claim_context *ctx, const struct match *m, enum pattern pattern,
                        struct wanted *w)
{
    *w = (struct wanted){.scale = RATIO_ONE, .level = m->choice[pattern == WORD ? 2 : 1]};
    bool noun = pattern >= NOUN && pattern <= IN_NOUN_BY;
    w->shorter = noun ? m->choice[0] == 1 : m->choice[0] >= FIRST_SHORTER_VERB;
    if (pattern == VALUES) {
        w->given = true;
        w->scale = values[m->choice[0]];
        w->shorter = m->choice[0] == HALVES;
        return true;
    }
    w->given = pattern == WORD || pattern == FRACTION || m->n_counts > 0;
    if (pattern == WORD)
        w->scale = ratio_int(folds[m->choice[1]]);
    else if (pattern == FRACTION)
        w->scale = m->value[0];
    else if (m->n_counts > 0)
        w->scale = ratio_int(m->count[0]);
    if (w->given && !ratio_lt(RATIO_ONE, w->scale)) {
        claim_undecided(ctx,
                        "a figure is stretched or shortened by more than one: name a factor such as twofold");
        return false;
    }
    return !w->shorter || ratio_div(RATIO_ONE, w->scale, &w->scale);
}

/* ---- the factor -------------------------------------------------------------------------------- */

/* Length of note i against the model's; false on overflow. */
static bool factor_at(const struct figure_pair *p, uint32_t i, struct ratio *out)
{
    return ratio_div(p->a.notes[i]->length, p->b.notes[i]->length, out);
}

/* Attacks too must keep the factor: a rest within the figure is stretched with it. */
static bool attack_fits(const struct figure_pair *p, uint32_t i, struct ratio scale)
{
    struct ratio a = ratio_minus(p->a.notes[i]->onset, p->a.notes[0]->onset), b;
    return ratio_mul(ratio_minus(p->b.notes[i]->onset, p->b.notes[0]->onset), scale, &b) && ratio_eq(a, b);
}

/* The first note that does not keep the first one's factor; n: all do. */
static uint32_t first_uneven(const struct figure_pair *p, uint32_t n, struct ratio scale)
{
    struct ratio here;
    for (uint32_t i = 0; i < n; i++)
        if (!factor_at(p, i, &here) || !ratio_eq(here, scale) || !attack_fits(p, i, scale))
            return i;
    return n;
}

static struct str fold_words(struct claim_context *ctx, struct ratio scale)
{
    char text[RATIO_TEXT_MAX];
    struct ratio by = scale;
    if (ratio_lt(scale, RATIO_ONE) && !ratio_div(RATIO_ONE, scale, &by))
        by = scale;
    static const char *const names[] = {"", "", "twofold", "threefold", "fourfold"};
    if (by.den == 1 && by.num >= 2 && by.num <= 4)
        return str_of(names[by.num]);
    return say_text(ctx, "%s-fold", ratio_text(by, false, text));
}

/* "twice as long", "half as long", "3/2 times as long". */
static struct str scale_words(struct claim_context *ctx, struct ratio scale)
{
    char text[RATIO_TEXT_MAX];
    if (ratio_eq(scale, RATIO_ONE))
        return STR("as long");
    if (ratio_eq(scale, ratio_int(2)))
        return STR("twice as long");
    if (ratio_eq(scale, (struct ratio){1, 2}))
        return STR("half as long");
    return say_text(ctx, "%s times as long", ratio_text(scale, false, text));
}

/* Every note one spelled interval away? Then a sentence with another factor would hold. */
static bool pitches_agree(const struct figure_pair *p, const struct figure_question *q)
{
    struct interval by = interval_between(p->b.notes[0]->pitch, p->a.notes[0]->pitch);
    for (uint32_t i = 1; i < p->a.n; i++)
        if (!interval_eq(interval_between(p->b.notes[i]->pitch, p->a.notes[i]->pitch), by))
            return false;
    return !q->level.given || interval_eq(q->level.v, by);
}

static const char *verb_of(struct ratio scale)
{
    return ratio_lt(scale, RATIO_ONE) ? "shortens" : "stretches";
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static void fail_uneven(struct claim_context *ctx, const struct figure_pair *p, struct ratio scale,
                        uint32_t i)
{
    char a[RATIO_TEXT_MAX], b[RATIO_TEXT_MAX];
    struct ratio here = RATIO_ZERO;
    struct str pitch = say_pitch(ctx, p->a.notes[i]->pitch), at = note_at(ctx, &p->a, i);
    claim_place(ctx, p->a.notes[i]->where, "another proportion");
    if (!factor_at(p, i, &here) || ratio_eq(here, scale)) {
        claim_fails(ctx,
                    "note %u, %.*s%.*s, does not come where it should: a rest is not stretched with the rest",
                    i + 1, STR_ARG(pitch), STR_ARG(at));
        return;
    }
    claim_fails(ctx, "note %u, %.*s%.*s, lasts %s, in %.*s %s: %.*s, the notes before it %.*s", i + 1,
                STR_ARG(pitch), STR_ARG(at), ratio_text(p->a.notes[i]->length, true, a), STR_ARG(p->b_name),
                ratio_text(p->b.notes[i]->length, true, b), STR_ARG(scale_words(ctx, here)),
                STR_ARG(scale_words(ctx, scale)));
}

static void fail_factor(struct claim_context *ctx, const struct figure_pair *p, const struct wanted *w,
                        struct ratio scale, const struct figure_question *q)
{
    struct str is = scale_words(ctx, scale);
    if (w->given)
        claim_fails(ctx, "every value is %.*s, not %.*s", STR_ARG(is), STR_ARG(scale_words(ctx, w->scale)));
    else
        claim_fails(ctx, "every value is %.*s, not %s", STR_ARG(is), w->shorter ? "shorter" : "longer");
    if (!ratio_eq(scale, RATIO_ONE) && pitches_agree(p, q))
        claim_instead(ctx, "%.*s %s %.*s %.*s", STR_ARG(p->a_name), verb_of(scale), STR_ARG(p->b_name),
                      STR_ARG(fold_words(ctx, scale)));
}

static bool factor_fits(const struct wanted *w, struct ratio scale)
{
    if (w->given)
        return ratio_eq(w->scale, scale);
    return w->shorter ? ratio_lt(scale, RATIO_ONE) : ratio_lt(RATIO_ONE, scale);
}

/* The rhythm decides first; with the right factor the pitches are compared with the model in new values. */
static void decide(struct claim_context *ctx, struct figure_pair *p, const struct wanted *w,
                   const struct figure_question *q)
{
    struct ratio scale;
    if (p->a.n == p->b.n) {
        if (!factor_at(p, 0, &scale)) {
            claim_undecided(ctx, "the note values are too far apart to be compared");
            return;
        }
        uint32_t i = first_uneven(p, p->a.n, scale);
        if (i < p->a.n) {
            fail_uneven(ctx, p, scale, i);
            return;
        }
        if (!factor_fits(w, scale)) {
            fail_factor(ctx, p, w, scale, q);
            return;
        }
        struct line scaled;
        if (!line_scaled(ctx, &p->b, scale, &scaled)) {
            claim_undecided(ctx, "the note values are too far apart to be compared");
            return;
        }
        p->lead =
            say_text(ctx, "%.*s with every value %.*s", STR_ARG(p->b_name), STR_ARG(scale_words(ctx, scale)));
        p->verb = verb_of(scale);
        p->b_claim = say_text(ctx, "%.*s %.*s", STR_ARG(p->b_name), STR_ARG(fold_words(ctx, scale)));
        p->b = scaled;
    }
    figures_compare(ctx, p, q);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct figure_question q = {.rhythm = FIGURE_RHYTHM_SAME};
    struct figure_pair pair;
    struct wanted w;
    if (!read_wanted(ctx, m, (enum pattern)pattern, &w))
        return;
    q.tonal = w.level == 1;
    q.level.given = w.level == 0;
    q.has_key = m->n_keys > 0;
    if (q.has_key)
        q.key = m->key[0];
    if (m->n_intervals && !figure_level_named(ctx, &m->interval[0], m->direction[0], &q.level))
        return;
    if (!figures_read(ctx, m, &pair))
        return;
    pair.verb = w.shorter ? "shortens" : "stretches";
    decide(ctx, &pair, &w, &q);
}

const struct claim_kind claim_kind_stretches = {
    .name = "stretches",
    .patterns = patterns,
    .meaning = "one figure is another with every note value multiplied (augmentation) or divided "
               "(diminution) by one number",
    .page = claim_page_stretches,
    .check = check,
    .fails = DIAG_FAILS_stretches,
};
