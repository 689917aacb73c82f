/* row.c - twelve-tone rows and their forms. */
#include "claims/melody.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum {
    IS_ROW,
    IS_SERIES,
    USES_ALL,
    USES_SCALE,
    EACH_ONCE,
    IS_FORM,
    IS_FORM_AT,
    IS_FORM_FROM,
    IS_FORM_TO,
    NAMED,
    NAMED_AT,
    NAMED_FROM,
    NAMED_TO,
    IS_ANY_FORM,
    ONE_ROW
};

#define LETTERS "<P|I|R|RI> [form] of [row] FIGURE"
/* `the inversion of theme` is a claim on figures; of rows it says so. */
#define NAMES                                                                                                \
    "<prime form|prime|inversion|retrograde inversion|inverted retrograde|retrograde|transposition> of row " \
    "FIGURE"
#define FROM "beginning|starting [on|from|at|with] TONE"
#define TO "ending [on|at|with] TONE"
#define TWELVE "<twelve|12>"
#define TONES_NOUN "tones|notes|pitches|pitch-classes"

static const char *const patterns[] = {
    [IS_ROW] = "STREAM is|forms|makes <twelve-tone|twelve-note|dodecaphonic|12 - tone> row|series",
    [IS_SERIES] = "STREAM is|forms row|series",
    [USES_ALL] = "STREAM uses|contains|has|sounds all [of] " TWELVE " [different|chromatic] " TONES_NOUN
                 " [of chromatic scale]",
    [USES_SCALE] = "STREAM uses|contains|sounds full|whole|entire chromatic scale",
    [EACH_ONCE] = "STREAM uses|contains|has|sounds each|every [one] of " TWELVE " " TONES_NOUN " once",
    [IS_FORM] = "STREAM is " LETTERS,
    [IS_FORM_AT] = "STREAM is " LETTERS " at TONE",
    [IS_FORM_FROM] = "STREAM is " LETTERS " " FROM,
    [IS_FORM_TO] = "STREAM is " LETTERS " " TO,
    [NAMED] = "STREAM is " NAMES,
    [NAMED_AT] = "STREAM is " NAMES " at TONE",
    [NAMED_FROM] = "STREAM is " NAMES " " FROM,
    [NAMED_TO] = "STREAM is " NAMES " " TO,
    [IS_ANY_FORM] = "STREAM is <row form|row-form|form of row> [of] FIGURE",
    [ONE_ROW] = "STREAM and FIGURE is forms of one|same row",
    NULL,
};

enum form { FORM_P, FORM_I, FORM_R, FORM_RI, FORMS };
static const char *const form_letters[FORMS] = {"P", "I", "R", "RI"};
static const enum form form_of_name[] = {FORM_P, FORM_P, FORM_I, FORM_RI, FORM_RI, FORM_R, FORM_P};

enum { ROW = 12 };

/* A series of pitch classes; a tone struck again at once is one member. */
struct series {
    int pc[ROW + 1]; /* the first thirteen */
    struct tone tone[ROW + 1];
    uint32_t note[ROW + 1]; /* index in the line */
    uint32_t n;             /* how many there are in all */
    uint32_t repeats;       /* struck again at once */
    const struct line *line;
    struct str words;
};

static void read_series(const struct line *line, struct str words, struct series *out)
{
    *out = (struct series){.line = line, .words = words};
    for (uint32_t i = 0; i < line->n; i++) {
        struct tone t = line->notes[i]->pitch.tone;
        if (i > 0 && tone_pc(t) == tone_pc(line->notes[i - 1]->pitch.tone)) {
            out->repeats++;
            continue;
        }
        if (out->n <= ROW) {
            out->pc[out->n] = tone_pc(t);
            out->tone[out->n] = t;
            out->note[out->n] = i;
        }
        out->n++;
    }
}

/* Index of the first member that stood before; n: none. *before gets where. */
static uint32_t first_return(const struct series *s, uint32_t *before)
{
    uint32_t n = s->n < ROW + 1 ? s->n : ROW + 1;
    *before = 0;
    for (uint32_t i = 1; i < n; i++) {
        for (uint32_t k = 0; k < i; k++) {
            if (s->pc[i] != s->pc[k])
                continue;
            *before = k;
            return i;
        }
    }
    return n;
}

static bool is_row(const struct series *s)
{
    uint32_t before;
    return s->n == ROW && first_return(s, &before) == ROW;
}

/* ---- words --------------------------------------------------------------------------------------- */

static struct str say_series(struct claim_context *ctx, const struct series *s)
{
    struct str words[ROW + 2];
    uint32_t n = 0;
    if (ctx->mute)
        return STR("");
    for (uint32_t i = 0; i < s->n && i < ROW; i++)
        words[n++] = say_tone(ctx, s->tone[i]);
    struct str list = n ? words[0] : STR("");
    for (uint32_t i = 1; i < n; i++)
        list = say_text(ctx, "%.*s %.*s", STR_ARG(list), STR_ARG(words[i]));
    return s->n > ROW ? say_text(ctx, "%.*s ...", STR_ARG(list)) : list;
}

static struct str say_repeats(struct claim_context *ctx, const struct series *s)
{
    return s->repeats ? say_text(ctx, " (%.*s at once not counted)",
                                 STR_ARG(say_count(ctx, s->repeats, "repetition", "repetitions")))
                      : STR("");
}

/* Why a series is no row: the first tone that returns, or what is missing. */
static struct str say_no_row(struct claim_context *ctx, const struct series *s)
{
    uint32_t before, at = first_return(s, &before), n = s->n < ROW + 1 ? s->n : ROW + 1;
    pcset missing = 0xFFF;
    if (ctx->mute)
        return STR("");
    if (at < n)
        return say_text(ctx, "%.*s returns as tone %u%.*s, having been tone %u",
                        STR_ARG(say_tone(ctx, s->tone[at])), at + 1,
                        STR_ARG(note_at(ctx, s->line, s->note[at])), before + 1);
    for (uint32_t i = 0; i < n; i++)
        missing &= (pcset)~pcset_of(s->pc[i]);
    return say_text(ctx, "%.*s %s missing", STR_ARG(say_set(ctx, missing)),
                    pcset_count(missing) > 1 ? "are" : "is");
}

/* ---- rows and aggregates ------------------------------------------------------------------------- */

static void check_row(struct claim_context *ctx, const struct match *m)
{
    struct line line;
    struct series s;
    if (!melody_line(ctx, m, 0, 1, &line))
        return;
    read_series(&line, m->stream[0].words, &s);
    if (is_row(&s)) {
        claim_holds(ctx, "%.*s%.*s: each of the twelve tones once", STR_ARG(say_series(ctx, &s)),
                    STR_ARG(say_repeats(ctx, &s)));
        return;
    }
    uint32_t before, at = first_return(&s, &before);
    claim_fails(ctx, "%.*s is %.*s: %.*s", STR_ARG(s.words), STR_ARG(say_series(ctx, &s)),
                STR_ARG(say_no_row(ctx, &s)));
    if (at < s.n && at <= ROW)
        claim_place(ctx, line.notes[s.note[at]]->where, "%.*s again", STR_ARG(say_tone(ctx, s.tone[at])));
    pcset all = 0;
    for (uint32_t i = 0; i < line.n; i++)
        all |= pcset_of(tone_pc(line.notes[i]->pitch.tone));
    if (all == 0xFFF)
        claim_instead(ctx, "%.*s %.*s all twelve tones%.*s", STR_ARG(s.words),
                      STR_ARG(tell_verb(ctx, &m->stream[0], "use")), STR_ARG(tell_span(ctx, m)));
}

static void check_aggregate(struct claim_context *ctx, const struct match *m)
{
    struct tone_source s;
    if (!source_of_stream(ctx, m, &m->stream[0], &s))
        return;
    pcset missing = (pcset)(0xFFF & ~s.set);
    if (!missing)
        claim_holds(ctx, "%.*s has all twelve tones%.*s", STR_ARG(s.words), STR_ARG(source_basis(ctx, &s)));
    else
        claim_fails(ctx, "%.*s has %.*s%.*s: %.*s %s missing", STR_ARG(s.words),
                    STR_ARG(say_count(ctx, pcset_count(s.set), "tone", "of the twelve tones")),
                    STR_ARG(source_basis(ctx, &s)), STR_ARG(say_set(ctx, missing)),
                    pcset_count(missing) > 1 ? "are" : "is");
}

/* ---- row forms ----------------------------------------------------------------------------------- */

/* A form of a model: tone i of it. P and I are named by their first tone, R and RI by the last one, which is
 * the first of the P or I that they reverse (Hutchinson, Serialism, Transposition Numbers). */
static int form_pc(const struct series *model, enum form form, int level, uint32_t i)
{
    uint32_t k = form == FORM_R || form == FORM_RI ? ROW - 1 - i : i;
    int by = model->pc[k] - model->pc[0];
    int pc = level + (form == FORM_I || form == FORM_RI ? -by : by);
    return (pc % 12 + 12) % 12;
}

/* How many tones agree from the beginning; twelve: it is this form. */
static uint32_t form_agrees(const struct series *s, const struct series *model, enum form form, int level)
{
    uint32_t i = 0;
    while (i < ROW && i < s->n && s->pc[i] == form_pc(model, form, level, i))
        i++;
    return i;
}

/* The level at which a form begins with the series' first tone. */
static int level_of(const struct series *s, const struct series *model, enum form form)
{
    int first = form_pc(model, form, 0, 0);
    return ((s->pc[0] - first) % 12 + 12) % 12;
}

/* The form that the series is; FORMS: none. */
static enum form find_form(const struct series *s, const struct series *model, int *level)
{
    for (int f = 0; f < FORMS; f++) {
        *level = level_of(s, model, (enum form)f);
        if (form_agrees(s, model, (enum form)f, *level) == ROW)
            return (enum form)f;
    }
    return FORMS;
}

/* The tone of the series on a pitch class, else the plainest. */
static struct str say_level(struct claim_context *ctx, const struct series *s, int level)
{
    for (uint32_t i = 0; i < s->n && i < ROW; i++)
        if (s->pc[i] == level)
            return say_tone(ctx, s->tone[i]);
    return say_set(ctx, pcset_of(level));
}

/* "R of theme at E, which ends on E" */
static struct str say_form(struct claim_context *ctx, const struct series *s, const struct series *model,
                           enum form form, int level)
{
    bool reversed = form == FORM_R || form == FORM_RI;
    return say_text(ctx, "%s of %.*s at %.*s, from %.*s to %.*s%s", form_letters[form], STR_ARG(model->words),
                    STR_ARG(say_level(ctx, s, level)), STR_ARG(say_tone(ctx, s->tone[0])),
                    STR_ARG(say_tone(ctx, s->tone[ROW - 1])), reversed ? " (named by its last tone)" : "");
}

/* Both must be rows: a form of anything else is no row form. */
static bool both_rows(struct claim_context *ctx, const struct series *s, const struct series *model)
{
    const struct series *both[] = {s, model};
    for (int i = 0; i < 2; i++) {
        if (is_row(both[i]))
            continue;
        claim_fails(ctx, "%.*s (%.*s) is no twelve-tone row: %.*s", STR_ARG(both[i]->words),
                    STR_ARG(say_series(ctx, both[i])), STR_ARG(say_no_row(ctx, both[i])));
        return false;
    }
    return true;
}

struct question {
    enum form form;  /* FORMS: any */
    int level;       /* -1: any */
    int first, last; /* -1: not asked */
};

static struct question question_of(const struct match *m, int pattern)
{
    struct question q = {FORMS, -1, -1, -1};
    int pc = m->n_tones ? tone_pc(m->tone[0]) : -1;
    if (pattern < NAMED)
        q.form = (enum form)m->choice[0];
    else if (pattern < IS_ANY_FORM)
        q.form = form_of_name[m->choice[0]];
    if (pattern == IS_FORM_AT || pattern == NAMED_AT)
        q.level = pc;
    else if (pattern == IS_FORM_FROM || pattern == NAMED_FROM)
        q.first = pc;
    else if (pattern == IS_FORM_TO || pattern == NAMED_TO)
        q.last = pc;
    return q;
}

static bool answers(const struct question *q, const struct series *s, enum form form, int level)
{
    return (q->form == FORMS || q->form == form) && (q->level < 0 || q->level == level) &&
           (q->first < 0 || q->first == s->pc[0]) && (q->last < 0 || q->last == s->pc[ROW - 1]);
}

/* No form at all: how far the one asked for goes. */
static void report_no_form(struct claim_context *ctx, const struct question *q, const struct series *s,
                           const struct series *model)
{
    enum form best = q->form == FORMS ? FORM_P : q->form;
    uint32_t most = 0;
    for (int f = 0; f < FORMS; f++) {
        uint32_t n = form_agrees(s, model, (enum form)f, level_of(s, model, (enum form)f));
        if ((q->form == FORMS || q->form == (enum form)f) && n > most) {
            most = n;
            best = (enum form)f;
        }
    }
    int level = level_of(s, model, best);
    int want = form_pc(model, best, level, most);
    claim_fails(
        ctx,
        "%.*s (%.*s) is none of the 48 forms of %.*s: as %s from %.*s on, tone %u would be %.*s, not %.*s",
        STR_ARG(s->words), STR_ARG(say_series(ctx, s)), STR_ARG(model->words), form_letters[best],
        STR_ARG(say_tone(ctx, s->tone[0])), most + 1, STR_ARG(say_set(ctx, pcset_of(want))),
        STR_ARG(say_tone(ctx, s->tone[most])));
    claim_place(ctx, s->line->notes[s->note[most]]->where, "tone %u, %.*s", most + 1,
                STR_ARG(say_tone(ctx, s->tone[most])));
}

static void check_form(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct line lines[2];
    struct series s, model;
    struct question q = question_of(m, pattern);
    int level;
    if (streams_same(&m->stream[0], &m->stream[1])) {
        claim_undecided(ctx, "%.*s is compared with itself, which proves nothing",
                        STR_ARG(m->stream[0].words));
        return;
    }
    if (!melody_line(ctx, m, 0, 1, &lines[0]) || !melody_line(ctx, m, 1, 1, &lines[1]))
        return;
    read_series(&lines[0], m->stream[0].words, &s);
    read_series(&lines[1], m->stream[1].words, &model);
    if (!both_rows(ctx, &s, &model))
        return;
    /* Some rows are forms of themselves, so the form asked for is tried before the others. */
    enum form form = FORMS;
    for (int f = 0; f < FORMS && form == FORMS; f++) {
        level = level_of(&s, &model, (enum form)f);
        if (answers(&q, &s, (enum form)f, level) && form_agrees(&s, &model, (enum form)f, level) == ROW)
            form = (enum form)f;
    }
    if (form != FORMS) {
        claim_holds(ctx, "%.*s is %.*s", STR_ARG(say_series(ctx, &s)),
                    STR_ARG(say_form(ctx, &s, &model, form, level)));
        return;
    }
    form = find_form(&s, &model, &level);
    if (form == FORMS) {
        report_no_form(ctx, &q, &s, &model);
        return;
    }
    claim_fails(ctx, "%.*s (%.*s) is %.*s", STR_ARG(s.words), STR_ARG(say_series(ctx, &s)),
                STR_ARG(say_form(ctx, &s, &model, form, level)));
    claim_instead(ctx, "%.*s is %s of %.*s at %.*s%.*s", STR_ARG(s.words), form_letters[form],
                  STR_ARG(model.words), STR_ARG(say_level(ctx, &s, level)), STR_ARG(tell_span(ctx, m)));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch (pattern) {
    case IS_ROW:
    case IS_SERIES:
    case EACH_ONCE:
        check_row(ctx, m);
        return;
    case USES_ALL:
    case USES_SCALE:
        check_aggregate(ctx, m);
        return;
    default:
        check_form(ctx, m, pattern);
        return;
    }
}

const struct claim_kind claim_kind_row = {
    .name = "row",
    .patterns = patterns,
    .meaning =
        "Whether a line is a twelve-tone row, or one of the 48 forms of another one, by sound and in order.",
    .page = claim_page_row,
    .check = check,
    .fails = DIAG_FAILS_row,
};
