#include "claims/lines.h"

#include "base/buf.h"
#include "claims/tell.h"

#include <stdlib.h>

bool line_moves(struct claim_context *ctx, const struct line *line, struct moves *out)
{
    *out = (struct moves){.line = line, .items = ARENA_NEW_ARRAY(ctx->arena, struct move, line->n)};
    for (uint32_t i = 1; i < line->n; i++) {
        struct move m = {line->notes[i - 1], line->notes[i], {0, 0}};
        m.by = interval_between(m.from->pitch, m.to->pitch);
        if (m.by.half == 0)
            out->repeats++;
        else
            out->items[out->n++] = m;
    }
    if (out->n)
        return true;
    claim_undecided(ctx, "nothing moves: the line stays on %.*s; widen the stretch",
                    STR_ARG(say_pitch(ctx, line->notes[0]->pitch)));
    return false;
}

/* Letters and sound go the same way, or the letter stays. */
static bool is_straight(struct interval by)
{
    return (by.steps >= 0) == (by.half > 0) || by.steps == 0;
}

/* A chromatic half step keeps its letter: F to F#. */
static bool is_chromatic(struct interval by)
{
    return by.steps == 0 && abs(by.half) == 1;
}

static bool is_step(struct interval by)
{
    return is_chromatic(by) || (abs(by.steps) == 1 && abs(by.half) <= 3 && is_straight(by));
}

static bool diatonic_only(const struct claim_context *ctx)
{
    return ctx->conventions->choice[CONVENTION_HALF_STEP] == 1;
}

bool move_fits(const struct claim_context *ctx, const struct move *m, enum manner manner, int direction)
{
    if (direction && direction != (m->by.half < 0 ? -1 : 1))
        return false;
    bool barred = diatonic_only(ctx) && is_chromatic(m->by);
    switch (manner) {
    case MANNER_ANY:
        return true;
    case MANNER_STEP:
        return is_step(m->by) && !barred;
    case MANNER_HALF_STEP:
        return abs(m->by.half) == 1 && !barred;
    case MANNER_WHOLE_STEP:
        return abs(m->by.half) == 2;
    case MANNER_LEAP:
        return abs(m->by.steps) > 1;
    }
    return false;
}

uint32_t moves_first_misfit(const struct claim_context *ctx, const struct moves *moves, enum manner manner,
                            int direction)
{
    uint32_t i = 0;
    while (i < moves->n && move_fits(ctx, &moves->items[i], manner, direction))
        i++;
    return i;
}

void moves_conventions(struct claim_context *ctx, const struct moves *moves, enum manner manner)
{
    if (manner != MANNER_STEP && manner != MANNER_HALF_STEP)
        return;
    for (uint32_t i = 0; i < moves->n; i++) {
        if (is_chromatic(moves->items[i].by)) {
            claim_convention(ctx, CONVENTION_HALF_STEP);
            return;
        }
    }
}

const char *manner_words(enum manner manner)
{
    switch (manner) {
    case MANNER_ANY:
        return "";
    case MANNER_STEP:
        return "by step";
    case MANNER_HALF_STEP:
        return "by half step";
    case MANNER_WHOLE_STEP:
        return "by whole step";
    case MANNER_LEAP:
        return "by leap";
    }
    return "";
}

const char *manner_noun(enum manner manner, bool many)
{
    switch (manner) {
    case MANNER_ANY:
        return many ? "moves" : "move";
    case MANNER_STEP:
        return many ? "steps" : "step";
    case MANNER_HALF_STEP:
        return many ? "half steps" : "half step";
    case MANNER_WHOLE_STEP:
        return many ? "whole steps" : "whole step";
    case MANNER_LEAP:
        return many ? "leaps" : "leap";
    }
    return "";
}

struct str say_move_kind(struct claim_context *ctx, const struct move *m)
{
    struct str name = say_interval(ctx, m->by);
    if (abs(m->by.steps) > 1)
        return say_text(ctx, "%.*s, a leap", STR_ARG(name));
    if (abs(m->by.half) > 2)
        return say_text(ctx, "%.*s, %.*s", STR_ARG(name),
                        STR_ARG(say_count(ctx, abs(m->by.half), "half step", "half steps")));
    const char *size = abs(m->by.half) == 1 ? "a half step" : "a whole step";
    return say_text(ctx, "%.*s, %s%s", STR_ARG(name), size,
                    is_chromatic(m->by) ? " on the same letter" : "");
}

struct str say_move_place(struct claim_context *ctx, const struct moves *moves, const struct move *m)
{
    struct str pitches = tell_pitches(ctx, m->from->pitch, m->to->pitch);
    if (!moves->line->passage)
        return pitches;
    return say_text(ctx, "%.*s (%.*s)", STR_ARG(pitches),
                    STR_ARG(say_place(ctx, moves->line->passage, m->to->onset)));
}

struct str say_line(struct claim_context *ctx, const struct moves *moves)
{
    enum { SHOWN = 12, TAIL = 2 };
    struct buf b = {0};
    buf_str_put(&b, say_pitch(ctx, moves->items[0].from->pitch));
    for (uint32_t i = 0; i < moves->n; i++) {
        if (moves->n >= SHOWN && i == SHOWN - TAIL - 1) {
            buf_put(&b, " …");
            i = moves->n - TAIL;
        }
        buf_printf(&b, " %.*s", STR_ARG(say_pitch(ctx, moves->items[i].to->pitch)));
    }
    return buf_take(&b, ctx->arena);
}
