#include "claims/figures.h"
#include "claims/pages.h"

#define RHYTHM "[<in same rhythm|in pitch only|in another rhythm>]"

enum pattern { PLAIN, AROUND, BY, AROUND_BY, TONAL, TONAL_AROUND, NOUN, NOUN_TONAL, UPSIDE };

static const char *const patterns[] = {
    [PLAIN] = "FIGURE inverts|mirrors FIGURE [exactly] " RHYTHM,
    [AROUND] = "FIGURE inverts|mirrors FIGURE [exactly] around|about PITCH " RHYTHM,
    [BY] = "FIGURE inverts|mirrors FIGURE [exactly] DIRECTION INTERVAL " RHYTHM,
    [AROUND_BY] =
        "FIGURE inverts|mirrors FIGURE [exactly] around|about PITCH [and] DIRECTION INTERVAL " RHYTHM,
    [TONAL] = "FIGURE inverts|mirrors FIGURE tonally [in KEY] " RHYTHM,
    [TONAL_AROUND] = "FIGURE inverts|mirrors FIGURE tonally around|about PITCH [in KEY] " RHYTHM,
    [NOUN] = "FIGURE is [exact|real] inversion|mirror of FIGURE [around|about PITCH]",
    [NOUN_TONAL] = "FIGURE is tonal inversion|mirror of FIGURE [around|about PITCH] [in KEY]",
    [UPSIDE] = "FIGURE turns FIGURE <upside down|over>",
    NULL,
};

static enum figure_rhythm rhythm_asked(const struct match *m)
{
    static const enum figure_rhythm asked[] = {FIGURE_RHYTHM_SAME, FIGURE_RHYTHM_FREE, FIGURE_RHYTHM_OTHER};
    return m->choice[0] < 0 ? FIGURE_RHYTHM_SAME : asked[m->choice[0]];
}

static void ask_axis(const struct match *m, struct figure_question *q)
{
    q->has_axis = m->n_pitches > 0;
    if (q->has_axis)
        q->axis = m->pitch[0];
}

static void ask_tonal(const struct match *m, struct figure_question *q)
{
    q->tonal = true;
    q->has_key = m->n_keys > 0;
    if (q->has_key)
        q->key = m->key[0];
}

/* False after a verdict. */
static bool ask(struct claim_context *ctx, const struct match *m, enum pattern pattern,
                struct figure_question *q)
{
    switch (pattern) {
    case PLAIN:
        q->rhythm = rhythm_asked(m);
        return true;
    case AROUND:
        q->rhythm = rhythm_asked(m);
        ask_axis(m, q);
        return true;
    case BY:
    case AROUND_BY:
        q->rhythm = rhythm_asked(m);
        ask_axis(m, q);
        return figure_level_named(ctx, &m->interval[0], m->direction[0], &q->level);
    case TONAL:
    case TONAL_AROUND:
        q->rhythm = rhythm_asked(m);
        ask_axis(m, q);
        ask_tonal(m, q);
        return true;
    case NOUN:
        ask_axis(m, q);
        return true;
    case NOUN_TONAL:
        ask_axis(m, q);
        ask_tonal(m, q);
        return true;
    case UPSIDE:
        return true;
    }
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct figure_question q = {.mirrored = true, .rhythm = FIGURE_RHYTHM_SAME};
    if (ask(ctx, m, (enum pattern)pattern, &q))
        figures_check(ctx, m, &q);
}

const struct claim_kind claim_kind_inverts = {
    .name = "inverts",
    .patterns = patterns,
    .meaning =
        "one figure is another upside down: every melodic interval keeps its size and changes direction",
    .page = claim_page_inverts,
    .check = check,
    .fails = DIAG_FAILS_inverts,
};
