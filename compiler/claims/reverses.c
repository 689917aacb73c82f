/* reverses.c - a figure read from its end. */
#include "claims/figures.h"
#include "claims/pages.h"

#define RHYTHM "[<in same rhythm|in pitch only|in another rhythm>]"
#define LEVEL "[<at same pitch|at pitch>] [DIRECTION INTERVAL]"
#define VERB "reverses|retrogrades"
#define BOTH "<inverts and reverses|reverses and inverts|mirrors and reverses>"

enum pattern { PLAIN, TONAL, NOUN, INVERTED, INVERTED_TONAL, INVERTED_NOUN, BACKWARDS };

static const char *const patterns[] = {
    [PLAIN] = "FIGURE " VERB " FIGURE [exactly] " LEVEL " " RHYTHM,
    [TONAL] = "FIGURE " VERB " FIGURE tonally [in KEY] " RHYTHM,
    [NOUN] = "FIGURE is [exact|real] retrograde|reversal|crab of FIGURE " LEVEL " " RHYTHM,
    [INVERTED] = "FIGURE " BOTH " FIGURE [exactly] [around|about PITCH] " LEVEL " " RHYTHM,
    [INVERTED_TONAL] = "FIGURE " BOTH " FIGURE tonally [around|about PITCH] [in KEY] " RHYTHM,
    [INVERTED_NOUN] =
        "FIGURE is [exact|real] retrograde|reversed inversion of FIGURE [around|about PITCH] " LEVEL
        " " RHYTHM,
    [BACKWARDS] = "FIGURE is FIGURE [read|played] backwards|reversed " LEVEL " " RHYTHM,
    NULL,
};

/* Where a pattern keeps LEVEL's choice and RHYTHM's; -1: it has none such. */
static const struct {
    int pitch, rhythm;
} choices[] = {[PLAIN] = {0, 1},     [TONAL] = {-1, 0},          [NOUN] = {0, 1},         [INVERTED] = {1, 2},
               [BACKWARDS] = {0, 1}, [INVERTED_TONAL] = {-1, 1}, [INVERTED_NOUN] = {0, 1}};

static enum figure_rhythm rhythm_asked(const struct match *m, enum pattern pattern)
{
    static const enum figure_rhythm asked[] = {FIGURE_RHYTHM_SAME, FIGURE_RHYTHM_FREE, FIGURE_RHYTHM_OTHER};
    int i = m->choice[choices[pattern].rhythm];
    return i < 0 ? FIGURE_RHYTHM_SAME : asked[i];
}

/* False after a verdict. */
static bool ask(struct claim_context *ctx, const struct match *m, enum pattern pattern,
                struct figure_question *q)
{
    q->rhythm = rhythm_asked(m, pattern);
    q->mirrored = pattern == INVERTED || pattern == INVERTED_TONAL || pattern == INVERTED_NOUN;
    q->tonal = pattern == TONAL || pattern == INVERTED_TONAL;
    q->has_axis = m->n_pitches > 0;
    q->has_key = m->n_keys > 0;
    if (q->has_axis)
        q->axis = m->pitch[0];
    if (q->has_key)
        q->key = m->key[0];
    if (m->n_intervals)
        return figure_level_named(ctx, &m->interval[0], m->direction[0], &q->level);
    q->level.given = choices[pattern].pitch >= 0 && m->choice[choices[pattern].pitch] >= 0;
    return true;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct figure_question q = {.mirrored = false};
    struct figure_pair pair;
    if (!ask(ctx, m, (enum pattern)pattern, &q) || !figures_read(ctx, m, &pair))
        return;
    pair.verb = q.mirrored ? "inverts and reverses" : "reverses";
    pair.b_name = say_text(ctx, "%.*s backwards", STR_ARG(pair.b_claim));
    pair.lead = say_text(ctx, "%.*s read backwards", STR_ARG(pair.b_claim));
    pair.b = line_reversed(ctx, &pair.b);
    figures_compare(ctx, &pair, &q);
}

const struct claim_kind claim_kind_reverses = {
    .name = "reverses",
    .patterns = patterns,
    .meaning =
        "one figure is another from its last note to its first, rhythm and all (retrograde), or that turned "
        "upside down (retrograde inversion)",
    .page = claim_page_reverses,
    .check = check,
    .fails = DIAG_FAILS_reverses,
};
