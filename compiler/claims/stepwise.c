#include "base/buf.h"
#include "claims/claims.h"
#include "claims/lines.h"
#include "claims/pages.h"
#include "claims/tell.h"

#include <stdlib.h>

#define MOVES "moves|goes|proceeds"
#define ALWAYS "[only|always|throughout]"
#define VERBS "<rises|climbs|ascends|falls|drops|sinks|descends>"
#define MANNERS "<by step|stepwise|by half step|by semitone|chromatically|by whole step|by leap|by skip>"

enum { FIRST_DOWN = 3 }; /* in VERBS */

static const char *const patterns[] = {
    "STREAM " MOVES " " ALWAYS " " MANNERS " [only|throughout]",
    "STREAM " MOVES " " ALWAYS " DIRECTION " MANNERS " [only|throughout]",
    "STREAM " ALWAYS " " VERBS " " MANNERS " [throughout]",
    "STREAM " ALWAYS " " VERBS " [throughout]",
    "STREAM is <conjunct|stepwise|disjunct>",
    "STREAM " MOVES " in <step|half step|semitone|whole step|leap|skip> [only|throughout]",
    "STREAM never leaps|skips|jumps",
    NULL,
};

static const enum manner manners[] = {MANNER_STEP,      MANNER_STEP,       MANNER_HALF_STEP, MANNER_HALF_STEP,
                                      MANNER_HALF_STEP, MANNER_WHOLE_STEP, MANNER_LEAP,      MANNER_LEAP};
static const enum manner adjectives[] = {MANNER_STEP, MANNER_STEP, MANNER_LEAP};
static const enum manner nouns[] = {MANNER_STEP,       MANNER_HALF_STEP, MANNER_HALF_STEP,
                                    MANNER_WHOLE_STEP, MANNER_LEAP,      MANNER_LEAP};

struct wanted {
    enum manner manner;
    int direction;
};

static struct wanted read_wanted(const struct match *m, int pattern)
{
    enum { PLAIN, DIRECTED, VERB_MANNER, VERB, ADJECTIVE, NOUN, NEVER_LEAPS };
    switch (pattern) {
    case PLAIN:
        return (struct wanted){manners[m->choice[0]], 0};
    case DIRECTED:
        return (struct wanted){manners[m->choice[0]], m->direction[0]};
    case VERB_MANNER:
        return (struct wanted){manners[m->choice[1]], m->choice[0] >= FIRST_DOWN ? -1 : 1};
    case VERB:
        return (struct wanted){MANNER_ANY, m->choice[0] >= FIRST_DOWN ? -1 : 1};
    case ADJECTIVE:
        return (struct wanted){adjectives[m->choice[0]], 0};
    case NEVER_LEAPS:
        return (struct wanted){MANNER_STEP, 0};
    }
    return (struct wanted){nouns[m->choice[0]], 0};
}

static const char *direction_verb(int direction)
{
    return direction > 0 ? "rise" : direction < 0 ? "fall" : "move";
}

/* ---- what is true instead ------------------------------------------------------------------------ */

/* The narrowest sentence of the kind that all moves fit: manner first, then direction. */
static void offer_instead(struct claim_context *ctx, const struct match *m, const struct moves *moves)
{
    static const enum manner order[] = {MANNER_HALF_STEP, MANNER_WHOLE_STEP, MANNER_STEP, MANNER_LEAP,
                                        MANNER_ANY};
    static const int directions[] = {1, -1, 0};
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        for (size_t k = 0; k < sizeof directions / sizeof directions[0]; k++) {
            bool says_something = order[i] != MANNER_ANY || directions[k] != 0;
            if (!says_something || moves_first_misfit(ctx, moves, order[i], directions[k]) < moves->n)
                continue;
            const char *manner = order[i] == MANNER_ANY ? "throughout" : manner_words(order[i]);
            struct str verb = tell_verb(ctx, &m->stream[0], direction_verb(directions[k]));
            claim_instead(ctx, "%.*s %.*s %s%.*s", STR_ARG(m->stream[0].words), STR_ARG(verb), manner,
                          STR_ARG(tell_span(ctx, m)));
            return;
        }
    }
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

static uint32_t count_fitting(const struct claim_context *ctx, const struct moves *moves,
                              const struct wanted *w)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < moves->n; i++)
        n += move_fits(ctx, &moves->items[i], w->manner, w->direction);
    return n;
}

/* "is a perfect fourth, a leap"; where only the spelling is against the claim, what it sounds like. */
static struct str say_misfit(struct claim_context *ctx, const struct wanted *w, const struct move *m)
{
    int half = abs(m->by.half), steps = abs(m->by.steps);
    struct str name = say_interval(ctx, m->by);
    bool by_sound = w->manner == MANNER_HALF_STEP || w->manner == MANNER_WHOLE_STEP;
    if (w->manner == MANNER_STEP && steps > 1 && half <= 2)
        return say_text(ctx, "sounds the same as a %s step; spelled it is %.*s, a leap",
                        half == 1 ? "half" : "whole", STR_ARG(name));
    if (w->manner == MANNER_LEAP && steps == 1 && half > 2)
        return say_text(ctx, "is %.*s: wide, but to the next letter, so a step", STR_ARG(name));
    if (by_sound && steps > 1)
        return say_text(ctx, "is %.*s, %.*s", STR_ARG(name),
                        STR_ARG(say_count(ctx, half, "half step", "half steps")));
    return say_text(ctx, "is %.*s", STR_ARG(say_move_kind(ctx, m)));
}

/* "; of five moves four are steps"; nothing for one move. */
static struct str say_rest(struct claim_context *ctx, const struct wanted *w, const struct moves *moves)
{
    uint32_t n = count_fitting(ctx, moves, w);
    if (moves->n == 1)
        return STR("");
    struct str of = say_text(ctx, "; of %.*s", STR_ARG(say_count(ctx, moves->n, "move", "moves")));
    if (w->manner == MANNER_ANY)
        return say_text(ctx, "%.*s %.*s", STR_ARG(of),
                        STR_ARG(tell_how_many(ctx, n, w->direction > 0 ? "rises" : "falls",
                                              w->direction > 0 ? "rise" : "fall")));
    const char *way = w->direction > 0 ? "rising " : w->direction < 0 ? "falling " : "";
    if (n > 1)
        return say_text(ctx, "%.*s %.*s %s%s", STR_ARG(of), STR_ARG(say_count(ctx, n, "is", "are")),
                        way, manner_noun(w->manner, true));
    return say_text(ctx, "%.*s %s is a %s%s", STR_ARG(of), n ? "one" : "none", way,
                    manner_noun(w->manner, false));
}

static void fail(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                 const struct moves *moves, const struct move *misfit)
{
    bool wrong_way = w->direction && w->direction != (misfit->by.half < 0 ? -1 : 1);
    struct str place = say_move_place(ctx, moves, misfit);
    if (wrong_way)
        claim_fails(ctx, "the line %s %.*s, %.*s%.*s", misfit->by.half < 0 ? "falls" : "rises",
                    STR_ARG(place), STR_ARG(say_interval(ctx, misfit->by)), STR_ARG(say_rest(ctx, w, moves)));
    else
        claim_fails(ctx, "%.*s %.*s%.*s", STR_ARG(place), STR_ARG(say_misfit(ctx, w, misfit)),
                    STR_ARG(say_rest(ctx, w, moves)));
    claim_place(ctx, misfit->to->where, "%.*s", STR_ARG(tell_move(ctx, misfit->by, false)));
    offer_instead(ctx, m, moves);
}

/* A step of three half steps is worth a word where steps are claimed. */
static struct str say_wide_step(struct claim_context *ctx, const struct wanted *w, const struct moves *moves)
{
    if (w->manner != MANNER_STEP)
        return STR("");
    for (uint32_t i = 0; i < moves->n; i++) {
        const struct move *m = &moves->items[i];
        if (m->by.half > 2 || m->by.half < -2)
            return say_text(ctx,
                            "; %.*s is an augmented second: one step by its letters, three half steps wide",
                            STR_ARG(tell_pitches(ctx, m->from->pitch, m->to->pitch)));
    }
    return STR("");
}

static void hold(struct claim_context *ctx, const struct wanted *w, const struct moves *moves)
{
    const char *way = w->direction > 0 ? " up" : w->direction < 0 ? " down" : "";
    struct str count = say_count(ctx, moves->n, manner_noun(w->manner, false), manner_noun(w->manner, true));
    struct str repeats = STR("");
    if (moves->repeats)
        repeats = say_text(ctx, "; %.*s",
                           STR_ARG(say_count(ctx, moves->repeats, "repeated note does not count",
                                             "repeated notes do not count")));
    claim_holds(ctx, "%.*s: %.*s%s%.*s%.*s", STR_ARG(say_line(ctx, moves)), STR_ARG(count), way,
                STR_ARG(say_wide_step(ctx, w, moves)), STR_ARG(repeats));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, pattern);
    struct stretch where;
    struct line line;
    struct moves moves;
    if (!match_stretch(ctx, m, &m->stream[0], &where) || !stream_line(ctx, &m->stream[0], where, 2, &line) ||
        !line_moves(ctx, &line, &moves))
        return;
    moves_conventions(ctx, &moves, w.manner);
    uint32_t misfit = moves_first_misfit(ctx, &moves, w.manner, w.direction);
    if (misfit < moves.n)
        fail(ctx, m, &w, &moves, &moves.items[misfit]);
    else
        hold(ctx, &w, &moves);
}

const struct claim_kind claim_kind_stepwise = {
    .name = "stepwise",
    .patterns = patterns,
    .meaning =
        "Every move of a line, repeated notes apart, is a step, a half step or a leap, or goes one way.",
    .page = claim_page_stepwise,
    .check = check,
    .fails = DIAG_FAILS_stepwise,
};
