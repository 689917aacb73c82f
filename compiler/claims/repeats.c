#include "claims/figures.h"
#include "claims/pages.h"

/* An interval without a quality, in steps of the key: octaves before it, then a number. */
#define STEPS                                                                                                \
    "[<octave and|two octaves and>] <step|second|third|fourth|fifth|sixth|seventh|octave|tenth|two octaves>"
static const int steps_of_choice[] = {1, 1, 2, 3, 4, 5, 6, 7, 9, 14};
enum { STEPS_CHOICES = 2 };

#define RHYTHM "[<in same rhythm|in pitch only|in another rhythm>]"
#define VERB "repeats|transposes|answers|restates"

enum pattern {
    PLAIN,
    SAME_PITCH,
    BY,
    BY_HIGHER,
    CHANGED,
    CHANGED_BY,
    TONAL,
    TONAL_BY,
    TONAL_STEPS,
    NOUN,
    NOUN_TONAL,
    NOUN_BY,
    IS_BY
};

static const char *const patterns[] = {
    [PLAIN] = "FIGURE " VERB " FIGURE " RHYTHM,
    [SAME_PITCH] = "FIGURE " VERB " FIGURE <at same pitch|at pitch|exactly|note for note> " RHYTHM,
    [BY] = "FIGURE " VERB " FIGURE [exactly] DIRECTION INTERVAL " RHYTHM,
    [BY_HIGHER] = "FIGURE " VERB " FIGURE [exactly] INTERVAL DIRECTION " RHYTHM,
    [CHANGED] = "FIGURE " VERB " FIGURE with COUNT note|notes changed",
    [CHANGED_BY] = "FIGURE " VERB " FIGURE DIRECTION INTERVAL with COUNT note|notes changed",
    [TONAL] = "FIGURE " VERB " FIGURE tonally [in KEY] " RHYTHM,
    [TONAL_BY] = "FIGURE " VERB " FIGURE tonally DIRECTION " STEPS " [in KEY] " RHYTHM,
    [TONAL_STEPS] = "FIGURE " VERB " FIGURE tonally DIRECTION COUNT step|steps [in KEY] " RHYTHM,
    [NOUN] = "FIGURE is exact|real repetition|transposition|restatement|answer of|to FIGURE",
    [NOUN_TONAL] = "FIGURE is tonal repetition|transposition|restatement|answer of|to FIGURE [in KEY]",
    [NOUN_BY] =
        "FIGURE is exact|real repetition|transposition|restatement|answer of|to FIGURE DIRECTION INTERVAL",
    [IS_BY] = "FIGURE is FIGURE [transposed] DIRECTION INTERVAL",
    NULL,
};

/* RHYTHM is always the last choice of a pattern. */
static enum figure_rhythm rhythm_asked(const struct match *m, int choice)
{
    static const enum figure_rhythm asked[] = {FIGURE_RHYTHM_SAME, FIGURE_RHYTHM_FREE, FIGURE_RHYTHM_OTHER};
    int i = choice < MATCH_SLOTS ? m->choice[choice] : -1;
    return i < 0 ? FIGURE_RHYTHM_SAME : asked[i];
}

/* Tonal sentences: the level in steps, and the key if one is named. */
static void ask_tonal(const struct match *m, int steps, bool has_steps, struct figure_question *q)
{
    q->tonal = true;
    q->has_steps = has_steps;
    q->steps = m->n_directions > 0 && m->direction[0] < 0 ? -steps : steps;
    q->has_key = m->n_keys > 0;
    if (q->has_key)
        q->key = m->key[0];
}

static bool ask_level(struct claim_context *ctx, const struct match *m, struct figure_question *q)
{
    return figure_level_named(ctx, &m->interval[0], m->direction[0], &q->level);
}

/* False after a verdict. */
static bool ask(struct claim_context *ctx, const struct match *m, enum pattern pattern,
                struct figure_question *q)
{
    switch (pattern) {
    case PLAIN:
        q->rhythm = rhythm_asked(m, 0);
        return true;
    case SAME_PITCH:
        q->level.given = true;
        q->rhythm = rhythm_asked(m, 1);
        return true;
    case BY:
    case BY_HIGHER:
        q->rhythm = rhythm_asked(m, 0);
        return ask_level(ctx, m, q);
    case CHANGED:
        q->changed = m->count[0];
        return true;
    case CHANGED_BY:
        q->changed = m->count[0];
        return ask_level(ctx, m, q);
    case TONAL:
        q->rhythm = rhythm_asked(m, 0);
        ask_tonal(m, 0, false, q);
        return true;
    case TONAL_BY:
        q->rhythm = rhythm_asked(m, STEPS_CHOICES);
        ask_tonal(m, 7 * (m->choice[0] + 1) + steps_of_choice[m->choice[1]], true, q);
        return true;
    case TONAL_STEPS:
        q->rhythm = rhythm_asked(m, 0);
        ask_tonal(m, (int)(m->count[0] < INT16_MAX ? m->count[0] : INT16_MAX), true, q);
        return true;
    case NOUN:
        return true;
    case NOUN_TONAL:
        ask_tonal(m, 0, false, q);
        return true;
    case NOUN_BY:
    case IS_BY:
        return ask_level(ctx, m, q);
    }
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct figure_question q = {.rhythm = FIGURE_RHYTHM_SAME};
    if (ask(ctx, m, (enum pattern)pattern, &q))
        figures_check(ctx, m, &q);
}

const struct claim_kind claim_kind_repeats = {
    .name = "repeats",
    .patterns = patterns,
    .meaning = "one figure is another again: every melodic interval and every note value, at the level named",
    .page = claim_page_repeats,
    .check = check,
    .fails = DIAG_FAILS_repeats,
};
