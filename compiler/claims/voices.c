#include "claims/voices.h"

#include "base/buf.h"
#include "claims/tell.h"

/* ---- who is who ---------------------------------------------------------------------------------- */

/* Does the part tell its voices apart by name, so that stacks of unequal size can be compared? */
static bool part_names_voices(const struct part *part)
{
    return part->voices_known && part->voice_names;
}

static uint32_t find_voice(const struct moment *m, const struct part *part, uint32_t voice)
{
    for (uint32_t i = 0; i < m->n; i++)
        if (m->parts[i] == part && m->notes[i]->voice == voice)
            return i;
    return m->n;
}

static uint32_t count_part(const struct moment *m, const struct part *part)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < m->n; i++)
        n += m->parts[i] == part;
    return n;
}

static bool one_part(const struct moment *m)
{
    for (uint32_t i = 1; i < m->n; i++)
        if (m->parts[i] != m->parts[0])
            return false;
    return true;
}

static struct str voice_name(struct claim_context *ctx, const struct moment *m, uint32_t i)
{
    const struct part *part = m->parts[i];
    if (!part)
        return STR("the line");
    if (part->n_voices <= 1)
        return part->symbol.name;
    struct str voice = part->voice_names ? part->voice_names[m->notes[i]->voice]
                                         : say_text(ctx, "voice %u", m->notes[i]->voice + 1);
    return one_part(m) ? voice
                       : say_text(ctx, "%.*s of %.*s", STR_ARG(voice), STR_ARG(part->symbol.name));
}

/* ---- two moments --------------------------------------------------------------------------------- */

static struct change change_begin(struct claim_context *ctx, const struct moment *a, const struct moment *b)
{
    uint32_t room = a->n < b->n ? a->n : b->n;
    return (struct change){
        .at_from = a->onset,
        .at_to = b->onset,
        .from = ARENA_NEW_ARRAY(ctx->arena, struct pitch, room),
        .to = ARENA_NEW_ARRAY(ctx->arena, struct pitch, room),
        .arrivals = ARENA_NEW_ARRAY(ctx->arena, const struct note *, room),
        .names = ARENA_NEW_ARRAY(ctx->arena, struct str, room),
        .where = b->where,
    };
}

static void change_add(struct change *c, const struct moment *a, uint32_t i, const struct moment *b,
                       uint32_t k, struct str name)
{
    c->from[c->n] = a->pitches[i];
    c->to[c->n] = b->pitches[k];
    c->arrivals[c->n] = b->source == MOMENT_SOUNDING ? b->notes[k] : NULL;
    c->names[c->n] = name;
    c->n++;
}

static void pair_by_rank(struct claim_context *ctx, const struct moment *a, const struct moment *b,
                         struct change *out)
{
    *out = change_begin(ctx, a, b);
    out->by_rank = true;
    for (uint32_t i = 0; i < a->n; i++)
        change_add(out, a, i, b, i, say_text(ctx, "voice %u", i + 1));
}

/* Voices that sound in both moments, each with itself. */
static void pair_by_voice(struct claim_context *ctx, const struct moment *a, const struct moment *b,
                          struct change *out)
{
    *out = change_begin(ctx, a, b);
    for (uint32_t i = 0; i < a->n; i++) {
        uint32_t k = find_voice(b, a->parts[i], a->notes[i]->voice);
        if (k < b->n)
            change_add(out, a, i, b, k, voice_name(ctx, a, i));
    }
    out->missing = a->n + b->n - 2 * out->n;
}

/* A part whose two stacks differ in size although its voices have no names; NULL: none. */
static const struct part *unequal_part(const struct moment *a, const struct moment *b)
{
    for (uint32_t i = 0; i < a->n; i++) {
        uint32_t there = count_part(b, a->parts[i]);
        if (there && there != count_part(a, a->parts[i]) && !part_names_voices(a->parts[i]))
            return a->parts[i];
    }
    return NULL;
}

/* Are the notes that have no partner in the other moment all of parts that name their voices? */
static bool others_named(const struct moment *a, const struct moment *b)
{
    for (uint32_t i = 0; i < a->n; i++)
        if (find_voice(b, a->parts[i], a->notes[i]->voice) == b->n && !part_names_voices(a->parts[i]))
            return false;
    return true;
}

/* The part that has the most voices in both moments, as many in one as in the other; NULL: none has two. */
static const struct part *followed_part(const struct moment *a, const struct moment *b)
{
    const struct part *best = NULL;
    uint32_t most = 1;
    for (uint32_t i = 0; i < a->n; i++) {
        uint32_t here = count_part(a, a->parts[i]);
        if (here > most && here == count_part(b, a->parts[i])) {
            best = a->parts[i];
            most = here;
        }
    }
    return best;
}

/* How to put it right: one part whose voices can be followed, or names for the voices. */
static struct str say_way_out(struct claim_context *ctx, const struct moment *a, const struct moment *b)
{
    bool notes = a->source == MOMENT_SOUNDING && b->source == MOMENT_SOUNDING;
    const struct part *part = notes ? followed_part(a, b) : NULL;
    if (part && part->passage)
        return say_text(ctx, "name a part whose voices can be followed, as `%.*s of %.*s`",
                        STR_ARG(part->symbol.name), STR_ARG(part->passage->symbol.name));
    return STR("name the voices in the part (`voices low middle high`) and write the name before each note "
               "(`high:F5`)");
}

static void say_unequal(struct claim_context *ctx, const struct passage *p, const struct moment *a,
                        uint32_t n_a, const struct moment *b, uint32_t n_b, struct str whose)
{
    claim_undecided(ctx, "%.*s%s%.*s at %.*s and %.*s at %.*s: which note leads to which is not said; %.*s",
                    STR_ARG(whose), whose.n ? " has " : "", STR_ARG(say_count(ctx, n_a, "note", "notes")),
                    STR_ARG(say_place(ctx, p, a->onset)), STR_ARG(say_count(ctx, n_b, "note", "notes")),
                    STR_ARG(say_place(ctx, p, b->onset)), STR_ARG(say_way_out(ctx, a, b)));
    claim_place(ctx, b->where, "%.*s here", STR_ARG(say_count(ctx, n_b, "note", "notes")));
}

static bool pair_sounding(struct claim_context *ctx, const struct passage *p, const struct moment *a,
                          const struct moment *b, struct change *out)
{
    const struct part *part = unequal_part(a, b);
    if (part) {
        say_unequal(ctx, p, a, count_part(a, part), b, count_part(b, part), part->symbol.name);
        return false;
    }
    pair_by_voice(ctx, a, b, out);
    if (out->missing == 0 || (out->n && others_named(a, b) && others_named(b, a)))
        return true;
    if (a->n != b->n) {
        say_unequal(ctx, p, a, a->n, b, b->n, STR(""));
        return false;
    }
    pair_by_rank(ctx, a, b, out);
    return true;
}

static bool is_bare_symbol(struct claim_context *ctx, const struct passage *p, const struct moment *m)
{
    if (m->source != MOMENT_SYMBOL)
        return false;
    struct str text = m->symbol ? m->symbol->text : STR("the chord");
    claim_undecided(
        ctx,
        "%.*s at %.*s needs a voicing: a symbol does not tell how the voices move; transcribe the parts, "
        "or write the notes after the symbol (`C as (C3 G3 E4)`)",
        STR_ARG(text), STR_ARG(say_place(ctx, p, m->onset)));
    claim_place(ctx, m->where, "only a symbol");
    return true;
}

static bool moments_pair(struct claim_context *ctx, const struct passage *p, const struct moment *a,
                         const struct moment *b, struct change *out)
{
    if (is_bare_symbol(ctx, p, a) || is_bare_symbol(ctx, p, b))
        return false;
    if (a->source == MOMENT_SOUNDING && b->source == MOMENT_SOUNDING)
        return pair_sounding(ctx, p, a, b, out);
    if (a->n != b->n) {
        say_unequal(ctx, p, a, a->n, b, b->n, STR(""));
        return false;
    }
    pair_by_rank(ctx, a, b, out);
    return true;
}

/* ---- all of them --------------------------------------------------------------------------------- */

struct interval change_interval(const struct change *c, uint32_t voice)
{
    return interval_between(c->from[voice], c->to[voice]);
}

static bool change_moves(const struct change *c)
{
    for (uint32_t i = 0; i < c->n; i++)
        if (change_interval(c, i).half != 0)
            return true;
    return false;
}

bool moments_changes(struct claim_context *ctx, const struct moments *moments, struct changes *out)
{
    *out = (struct changes){.passage = moments->passage};
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct change, moments->n);
    for (uint32_t i = 1; i < moments->n; i++) {
        struct change *c = &out->items[out->n];
        if (!moments_pair(ctx, moments->passage, &moments->items[i - 1], &moments->items[i], c))
            return false;
        if (change_moves(c))
            out->n++;
        else
            out->repeats++;
    }
    if (out->n == 0) {
        struct ratio last = moments->items[moments->n - 1].onset;
        claim_undecided(ctx, "nothing moves %.*s: every voice keeps its note; widen the stretch",
                        STR_ARG(tell_between(ctx, moments->passage, moments->items[0].onset, last)));
        return false;
    }
    return true;
}

struct str say_voice_move(struct claim_context *ctx, const struct change *c, uint32_t voice)
{
    struct interval by = change_interval(c, voice);
    if (by.half == 0)
        return say_text(ctx, "%.*s stays on %.*s", STR_ARG(c->names[voice]),
                        STR_ARG(say_pitch(ctx, c->to[voice])));
    return str_printf(
        ctx->arena, "%.*s %s %.*s, %.*s", STR_ARG(c->names[voice]), by.half < 0 ? "falls" : "rises",
        STR_ARG(tell_pitches(ctx, c->from[voice], c->to[voice])), STR_ARG(say_interval(ctx, by)));
}

void change_place(struct claim_context *ctx, const struct change *c, uint32_t voice)
{
    struct span where = c->arrivals[voice] ? c->arrivals[voice]->where : c->where;
    claim_place(ctx, where, "%.*s", STR_ARG(say_voice_move(ctx, c, voice)));
}
