#include "claims/statements.h"

#include "claims/places.h"

bool statement_at(const struct line *line, uint32_t first, const struct line *figure, enum sameness how,
                  struct statement *out)
{
    if (first > line->n || line->n - first < figure->n || figure->n == 0)
        return false;
    const struct note *a0 = line->notes[first], *b0 = figure->notes[0];
    int level = pitch_midi(a0->pitch) - pitch_midi(b0->pitch);
    if (how == SAME_PITCHES && level != 0)
        return false;
    for (uint32_t i = 0; i < figure->n; i++) {
        const struct note *a = line->notes[first + i], *b = figure->notes[i];
        if (!ratio_eq(a->length, b->length) ||
            !ratio_eq(ratio_minus(a->onset, a0->onset), ratio_minus(b->onset, b0->onset)))
            return false;
        if (how != SAME_RHYTHM && pitch_midi(a->pitch) - pitch_midi(b->pitch) != level)
            return false;
    }
    *out = (struct statement){first, figure->n, interval_between(b0->pitch, a0->pitch), a0->onset,
                              note_end(line->notes[first + figure->n - 1])};
    return true;
}

void statements_find(struct claim_context *ctx, const struct line *line, const struct line *figure,
                     enum sameness how, struct statements *out)
{
    *out = (struct statements){.items = ARENA_NEW_ARRAY(ctx->arena, struct statement, line->n + 1)};
    for (uint32_t i = 0; i < line->n;) {
        struct statement *s = &out->items[out->n];
        bool inside = !ratio_lt(line->notes[i]->onset, line->stretch.onset);
        if (!inside || !statement_at(line, i, figure, how, s)) {
            i++;
            continue;
        }
        i += figure->n;
        out->n++;
    }
}
