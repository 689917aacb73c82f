/* fragment.c - a figure that is a part of another: its head, its tail, or a piece out of it. */
#include "claims/figures.h"
#include "claims/melody.h"
#include "claims/pages.h"

#include <inttypes.h>

#define PIECES "<head|beginning|opening|start|tail|end|ending|close|fragment|piece|excerpt>"
#define LEVEL "[<at same pitch|tonally>] [in KEY] [DIRECTION INTERVAL] [<in same rhythm|in pitch only>]"

enum pattern { PIECE, PIECE_FROM, NOTES };

static const char *const patterns[] = {
    [PIECE] = "FIGURE is|forms|takes|uses " PIECES " of|from FIGURE [of COUNT notes|note] " LEVEL,
    [PIECE_FROM] = "FIGURE is|forms " PIECES " of COUNT notes|note of|from FIGURE " LEVEL,
    [NOTES] = "FIGURE is|takes|uses|repeats <first|last> COUNT notes|note of FIGURE " LEVEL,
    NULL,
};

enum piece { PIECE_HEAD, PIECE_TAIL, PIECE_ANY };
static const enum piece piece_choices[] = {PIECE_HEAD, PIECE_HEAD, PIECE_HEAD, PIECE_HEAD,
                                           PIECE_TAIL, PIECE_TAIL, PIECE_TAIL, PIECE_TAIL,
                                           PIECE_ANY,  PIECE_ANY,  PIECE_ANY};

static enum piece piece_of(const struct match *m, enum pattern pattern)
{
    return pattern == NOTES ? (m->choice[0] == 0 ? PIECE_HEAD : PIECE_TAIL) : piece_choices[m->choice[0]];
}

static const char *verb_of(enum piece piece)
{
    switch (piece) {
    case PIECE_HEAD:
        return "is the head of";
    case PIECE_TAIL:
        return "is the tail of";
    case PIECE_ANY:
        break;
    }
    return "is a fragment of";
}

/* ---- where in the model ------------------------------------------------------------------------ */

/* How many notes of the piece lie at one level against this place of the model: the best of the levels of a
 * few notes, so that long lines do not cost their square. */
static uint32_t agreement(const struct figure_pair *p, uint32_t from, const struct figure_question *q)
{
    enum { TRIED = 5 };
    uint32_t best = 0;
    for (uint32_t t = 0; t < TRIED; t++) {
        uint32_t i = (uint32_t)((uint64_t)t * (p->a.n - 1) / (TRIED - 1)), n = 0;
        struct interval by = interval_between(p->b.notes[from + i]->pitch, p->a.notes[i]->pitch);
        for (uint32_t k = 0; k < p->a.n; k++) {
            struct interval other = interval_between(p->b.notes[from + k]->pitch, p->a.notes[k]->pitch);
            n += q->tonal ? other.steps == by.steps : interval_eq(other, by);
        }
        bool asked =
            !q->level.given || (q->level.by_sound ? q->level.v.half == by.half : interval_eq(q->level.v, by));
        if (asked && n > best)
            best = n;
    }
    return best;
}

static bool same_rhythm(const struct figure_pair *p, uint32_t from)
{
    struct line part = line_part(&p->b, from, p->a.n);
    bool attack;
    return lines_rhythm_differ(&p->a, &part, &attack) == p->a.n;
}

/* The place of the model that fits best: by pitch, then by rhythm, then the earliest. */
static uint32_t best_place(const struct figure_pair *p, const struct figure_question *q)
{
    uint32_t best = 0, best_n = 0;
    bool best_rhythm = false;
    for (uint32_t from = 0; from + p->a.n <= p->b.n; from++) {
        uint32_t n = agreement(p, from, q);
        bool rhythm = same_rhythm(p, from);
        if (n > best_n || (n == best_n && rhythm && !best_rhythm)) {
            best = from;
            best_n = n;
            best_rhythm = rhythm;
        }
    }
    return best;
}

/* A place where all of it fits; p->b.n: none. */
static uint32_t whole_place(const struct figure_pair *p, const struct figure_question *q)
{
    uint32_t from = best_place(p, q);
    bool fits = agreement(p, from, q) == p->a.n && (q->rhythm == FIGURE_RHYTHM_FREE || same_rhythm(p, from));
    return fits && !q->tonal ? from : p->b.n;
}

/* "the head of call", "the piece of call from its note 2". */
static struct str place_words(struct claim_context *ctx, const struct figure_pair *p, uint32_t from)
{
    if (from == 0)
        return say_text(ctx, "the head of %.*s", STR_ARG(p->b_name));
    if (from + p->a.n == p->b.n)
        return say_text(ctx, "the tail of %.*s", STR_ARG(p->b_name));
    return say_text(ctx, "the piece of %.*s from its note %u", STR_ARG(p->b_name), from + 1);
}

/* ---- verdicts ---------------------------------------------------------------------------------- */

static bool count_fits(struct claim_context *ctx, const struct match *m, const struct figure_pair *p,
                       enum piece piece)
{
    struct str a = say_count(ctx, p->a.n, "note", "notes"), b = say_count(ctx, p->b.n, "note", "notes");
    if (p->a.n >= p->b.n) {
        claim_fails(ctx, "%.*s has %.*s, %.*s %.*s: not a part of it", STR_ARG(p->a_name), STR_ARG(a),
                    STR_ARG(p->b_name), STR_ARG(b));
        return false;
    }
    if (m->n_counts == 0 || m->count[0] == (int64_t)p->a.n)
        return true;
    struct figure_question q = {.rhythm = FIGURE_RHYTHM_SAME};
    claim_fails(ctx, "%.*s has %.*s, not %" PRId64, STR_ARG(p->a_name), STR_ARG(a), m->count[0]);
    uint32_t from = whole_place(p, &q);
    bool right = piece == PIECE_ANY    ? from < p->b.n
                 : piece == PIECE_HEAD ? from == 0
                                       : from + p->a.n == p->b.n;
    if (right)
        claim_instead(ctx, "%.*s %s %.*s of %.*s", STR_ARG(p->a_name), verb_of(piece), STR_ARG(p->b_name),
                      STR_ARG(a));
    return false;
}

/* It is there, but elsewhere in the model. */
static void suggest_place(struct claim_context *ctx, const struct figure_pair *p,
                          const struct figure_question *q, uint32_t looked)
{
    uint32_t from = whole_place(p, q);
    if (from == p->b.n || from == looked || ctx->claim->verdict != VERDICT_FAILS)
        return;
    const char *verb = verb_of(from == 0 ? PIECE_HEAD : from + p->a.n == p->b.n ? PIECE_TAIL : PIECE_ANY);
    claim_instead(ctx, "%.*s %s %.*s%s", STR_ARG(p->a_name), verb, STR_ARG(p->b_name),
                  q->rhythm == FIGURE_RHYTHM_FREE ? " in pitch only" : "");
}

/* False after a verdict. */
static bool ask(struct claim_context *ctx, const struct match *m, struct figure_question *q)
{
    q->rhythm = m->choice[2] == 1 ? FIGURE_RHYTHM_FREE : FIGURE_RHYTHM_SAME;
    q->tonal = m->choice[1] == 1;
    q->level.given = m->choice[1] == 0;
    q->has_key = m->n_keys > 0;
    if (q->has_key)
        q->key = m->key[0];
    return m->n_intervals == 0 || figure_level_named(ctx, &m->interval[0], m->direction[0], &q->level);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct figure_question q = {.rhythm = FIGURE_RHYTHM_SAME};
    struct figure_pair pair;
    enum piece piece = piece_of(m, (enum pattern)pattern);
    if (!ask(ctx, m, &q) || !figures_read(ctx, m, &pair) || !count_fits(ctx, m, &pair, piece))
        return;
    uint32_t from = piece == PIECE_HEAD   ? 0
                    : piece == PIECE_TAIL ? pair.b.n - pair.a.n
                                          : best_place(&pair, &q);
    struct figure_pair part = pair;
    struct str where = place_words(ctx, &pair, from);
    part.b_name = where;
    part.lead = where;
    part.verb = verb_of(piece);
    part.b = line_part(&pair.b, from, pair.a.n);
    figures_compare(ctx, &part, &q);
    suggest_place(ctx, &pair, &q, from);
}

const struct claim_kind claim_kind_fragment = {
    .name = "fragment",
    .patterns = patterns,
    .meaning = "one figure is the beginning of another (head), its end (tail), or notes in a row out of it, "
               "at any level",
    .page = claim_page_fragment,
    .check = check,
    .fails = DIAG_FAILS_fragment,
};
