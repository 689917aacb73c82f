#include "claims/attacks.h"

#include "base/buf.h"
#include "claims/sound.h"
#include "claims/tell.h"

static void attack_add(struct attacks *a, struct stretch where, struct ratio at, struct span span)
{
    if (ratio_lt(at, where.onset) || (a->n && ratio_eq(a->items[a->n - 1].at, at)))
        return;
    a->items[a->n++] = (struct attack){at, span};
}

static struct str stream_name(struct claim_context *ctx, const struct stream *s)
{
    if (s->kind == STREAM_PART)
        return str_printf(ctx->arena, "`%.*s`", STR_ARG(s->part->symbol.name));
    return tell_short(s);
}

static bool same_symbol(const struct moment *a, const struct moment *b)
{
    return a->symbol && b->symbol && str_eq(a->symbol->text, b->symbol->text);
}

static bool attacks_of_harmony(struct claim_context *ctx, const struct stream *s, struct stretch where,
                               struct attacks *out)
{
    struct moments chords;
    if (!stream_moments(ctx, s, where, 1, &chords))
        return false;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct attack, chords.n);
    for (uint32_t i = 0; i < chords.n; i++)
        if (i == 0 || !same_symbol(&chords.items[i - 1], &chords.items[i]))
            attack_add(out, where, chords.items[i].onset, chords.items[i].where);
    return true;
}

bool attacks_read(struct claim_context *ctx, const struct stream *s, struct stretch where,
                  struct attacks *out)
{
    struct line notes;
    *out = (struct attacks){.passage = s->passage, .name = stream_name(ctx, s)};
    if (s->kind == STREAM_HARMONY)
        return attacks_of_harmony(ctx, s, where, out);
    if (!stream_notes(ctx, s, where, &notes))
        return false;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct attack, notes.n);
    for (uint32_t i = 0; i < notes.n; i++)
        attack_add(out, where, notes.notes[i]->onset, notes.notes[i]->where);
    if (out->n == 0)
        claim_undecided(ctx, "%.*s begins no note there: it only holds one from before", STR_ARG(out->name));
    return out->n > 0;
}

void attacks_of_part(struct claim_context *ctx, const struct part *part, struct stretch where,
                     struct attacks *out)
{
    uint32_t first, end;
    *out = (struct attacks){.passage = part->passage,
                            .name = str_printf(ctx->arena, "`%.*s`", STR_ARG(part->symbol.name))};
    part_stacks(part, where, &first, &end);
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct attack, end - first + 1);
    for (uint32_t i = first; i < end; i++) {
        const struct stack *s = &part->stacks[i];
        bool taken = false;
        for (uint32_t k = 0; k < s->n; k++)
            taken = take_note(ctx, part->passage, &part->notes[s->first + k]) || taken;
        if (taken)
            attack_add(out, where, s->onset, s->where);
    }
}

uint32_t attacks_from(const struct attacks *a, struct ratio at)
{
    uint32_t lo = 0, hi = a->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(a->items[middle].at, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

bool attacks_at(const struct attacks *a, struct ratio at)
{
    uint32_t i = attacks_from(a, at);
    return i < a->n && ratio_eq(a->items[i].at, at);
}

/* Is it one of the words of the sentence? */
static bool is_word_of(struct str text, struct str name)
{
    uint32_t from = 0;
    for (uint32_t i = 0; i <= text.n; i++) {
        bool inside = i < text.n && text.p[i] != ' ' && text.p[i] != ',' && text.p[i] != '.';
        if (inside)
            continue;
        if (str_eq(str_slice(text, from, i), name))
            return true;
        from = i + 1;
    }
    return false;
}

const struct passage *passage_of_sentence(struct claim_context *ctx)
{
    const struct model *m = ctx->model;
    const struct passage *found = NULL, *own = NULL;
    uint32_t n = 0, n_own = 0;
    for (uint32_t i = 0; i < m->n_passages; i++) {
        if (!m->passages[i]->symbol.library) {
            own = m->passages[i];
            n_own++;
        }
        if (is_word_of(ctx->claim->text, m->passages[i]->symbol.name)) {
            found = m->passages[i];
            n++;
        }
    }
    if (n == 1)
        return found;
    if (n == 0 && n_own == 1)
        return own;
    if (n == 0 && m->n_passages == 1)
        return m->passages[0];
    claim_undecided(ctx, "%s: end the sentence with `of` and the passage's name",
                    m->n_passages ? "more than one passage could be meant" : "there is no passage");
    return NULL;
}
