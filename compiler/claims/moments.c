#include "base/buf.h"
#include "claims/claims.h"
#include "claims/sound.h"

#include <stdlib.h>

static struct moment *moment_add(struct moments *list)
{
    return &list->items[list->n++];
}

static void moments_room(struct claim_context *ctx, struct moments *list, uint32_t n)
{
    list->items = ARENA_NEW_ARRAY(ctx->arena, struct moment, n);
}

/* ---- a part's stacks ----------------------------------------------------------------------------- */

static void stack_moment(struct claim_context *ctx, const struct part *part, const struct stack *s,
                         struct moments *list)
{
    struct moment m = {.onset = s->onset, .length = s->length, .source = MOMENT_SOUNDING, .where = s->where};
    m.pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, s->n);
    m.notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, s->n);
    m.parts = ARENA_NEW_ARRAY(ctx->arena, const struct part *, s->n);
    m.tones = ARENA_NEW_ARRAY(ctx->arena, struct tone, s->n);
    for (uint32_t i = 0; i < s->n; i++) {
        const struct note *note = &part->notes[s->first + i];
        if (!take_note(ctx, part->passage, note))
            continue;
        m.pitches[m.n] = note->pitch;
        m.tones[m.n] = note->pitch.tone;
        m.notes[m.n] = note;
        m.parts[m.n++] = part;
    }
    const struct harmony_event *event = passage_harmony_at(part->passage, s->onset);
    m.symbol = event && event->harmony.kind != HARMONY_NONE ? &event->harmony : NULL;
    if (m.n)
        *moment_add(list) = m;
}

static bool part_moments(struct claim_context *ctx, const struct part *part, struct moments *list)
{
    uint32_t first, end;
    if (!stretch_known(ctx, part->passage, part, list->stretch))
        return false;
    part_stacks(part, list->stretch, &first, &end);
    moments_room(ctx, list, end - first);
    for (uint32_t i = first; i < end; i++)
        stack_moment(ctx, part, &part->stacks[i], list);
    return true;
}

/* ---- a line, note by note ------------------------------------------------------------------------ */

static bool line_moments(struct claim_context *ctx, const struct stream *s, struct moments *list)
{
    struct line l;
    if (!stream_line(ctx, s, list->stretch, 1, &l))
        return false;
    moments_room(ctx, list, l.n);
    for (uint32_t i = 0; i < l.n; i++) {
        const struct note *note = l.notes[i];
        struct moment *m = moment_add(list);
        *m = (struct moment){.onset = note->onset, .length = note->length, .source = MOMENT_SOUNDING, .n = 1,
                             .where = note->where};
        m->pitches = ARENA_NEW(ctx->arena, struct pitch);
        m->notes = ARENA_NEW(ctx->arena, const struct note *);
        m->parts = ARENA_NEW(ctx->arena, const struct part *);
        m->tones = ARENA_NEW(ctx->arena, struct tone);
        m->pitches[0] = note->pitch;
        m->notes[0] = note;
        m->parts[0] = s->kind == STREAM_VOICE ? s->part : s->kind == STREAM_FIGURE ? s->figure->part : NULL;
        m->tones[0] = note->pitch.tone;
    }
    return true;
}

/* ---- the harmony's events ------------------------------------------------------------------------ */

static void harmony_moments(struct claim_context *ctx, const struct passage *p, struct moments *list)
{
    moments_room(ctx, list, p->n_harmony);
    for (uint32_t i = 0; i < p->n_harmony; i++) {
        const struct harmony_event *e = &p->harmony[i];
        struct moment m;
        if (!within(e->onset, e->length, list->stretch) || e->harmony.kind == HARMONY_NONE)
            continue;
        if (!take_harmony(ctx, p, e) || !moment_harmony(ctx, p, &e->harmony, e->onset, &m))
            continue;
        m.length = e->length;
        m.where = e->where;
        *moment_add(list) = m;
    }
}

/* ---- every change of what sounds ----------------------------------------------------------------- */

/* Only the lowest and the highest note of a moment; one note alone is both. */
static void keep_outer(struct moment *m)
{
    if (m->n < 3)
        return;
    uint32_t last = m->n - 1;
    m->pitches[1] = m->pitches[last];
    m->tones[1] = m->tones[last];
    m->notes[1] = m->notes[last];
    m->parts[1] = m->parts[last];
    m->n = 2;
    m->where = span_join(m->notes[0]->where, m->notes[1]->where);
}

static bool same_notes(const struct moment *a, const struct moment *b)
{
    return a->n == b->n && memcmp(a->notes, b->notes, a->n * sizeof *a->notes) == 0;
}

static void sounding_moments(struct claim_context *ctx, const struct passage *p, bool outer,
                             struct moments *list)
{
    uint32_t n;
    struct ratio *at = passage_changes(ctx, p, list->stretch, &n);
    bool silent = true;
    moments_room(ctx, list, n);
    for (uint32_t i = 0; i < n; i++) {
        struct moment m, *last = list->n ? &list->items[list->n - 1] : NULL;
        struct ratio end = i + 1 < n ? at[i + 1] : list->stretch.end;
        if (!moment_sounding(ctx, p, at[i], &m)) {
            silent = true;
            continue;
        }
        if (outer)
            keep_outer(&m);
        if (last && !silent && same_notes(last, &m)) {
            last->length = ratio_minus(end, last->onset);
        } else {
            m.length = ratio_minus(end, at[i]);
            *moment_add(list) = m;
        }
        silent = false;
    }
}

static bool read_moments(struct claim_context *ctx, const struct stream *s, struct moments *list)
{
    switch (s->kind) {
    case STREAM_PART:
        return part_moments(ctx, s->part, list);
    case STREAM_VOICE:
    case STREAM_FIGURE:
    case STREAM_BASS:
    case STREAM_TOP:
        return line_moments(ctx, s, list);
    case STREAM_HARMONY:
        harmony_moments(ctx, s->passage, list);
        return true;
    case STREAM_ALL:
    case STREAM_OUTER:
        if (!stretch_known(ctx, s->passage, NULL, list->stretch))
            return false;
        sounding_moments(ctx, s->passage, s->kind == STREAM_OUTER, list);
        return true;
    }
    return false;
}

bool stream_moments(struct claim_context *ctx, const struct stream *s, struct stretch where, uint32_t least,
                    struct moments *out)
{
    struct moments list = {.passage = s->passage, .stretch = where};
    take_passage(ctx, s->passage);
    if (!read_moments(ctx, s, &list))
        return false;
    if (list.n == 0 && s->kind == STREAM_HARMONY && s->passage->n_harmony == 0) {
        claim_undecided(ctx, "`%.*s` has no harmony row: write the chords in `harmony { … }`",
                        STR_ARG(s->passage->symbol.name));
        return false;
    }
    if (list.n == 0) {
        nothing_sounds(ctx, s, s->passage, where);
        return false;
    }
    if (list.n < least) {
        struct str has = say_count(ctx, list.n, "chord", "chords"),
                   needs = say_count(ctx, least, "chord", "chords");
        claim_undecided(ctx, "%.*s has %.*s there; the claim needs %.*s", STR_ARG(s->words), STR_ARG(has),
                        STR_ARG(needs));
        return false;
    }
    *out = list;
    return true;
}

/* ---- one chord ----------------------------------------------------------------------------------- */

static void no_chord(struct claim_context *ctx, const struct chord_ref *c, struct ratio at)
{
    const struct passage *p = c->passage;
    const struct bar *bar = passage_bar_at(p, at);
    struct str place = say_place(ctx, p, at);
    if (bar && !bar->transcribed)
        claim_undecided(ctx, "bar %d of `%.*s` is not transcribed and has no chord symbol", bar->number,
                        STR_ARG(p->symbol.name));
    else
        claim_undecided(ctx, "nothing sounds at %.*s of `%.*s`", STR_ARG(place), STR_ARG(p->symbol.name));
}

/* What stands at a place; false after an undecided verdict. */
static bool placed_moment(struct claim_context *ctx, const struct chord_ref *c, struct moment *out)
{
    struct ratio at;
    take_passage(ctx, c->passage);
    if (!place_position(ctx, c->passage, c->place, &at))
        return false;
    const struct harmony_event *event = passage_harmony_at(c->passage, at);
    const struct harmony *symbol = NULL;
    if (event && event->harmony.kind != HARMONY_NONE && take_harmony(ctx, c->passage, event))
        symbol = &event->harmony;
    if (!moment_harmony(ctx, c->passage, symbol, at, out)) {
        no_chord(ctx, c, at);
        return false;
    }
    if (symbol && out->source != MOMENT_SOUNDING)
        out->length = ratio_minus(ratio_plus(event->onset, event->length), at);
    return true;
}

bool chord_moment(struct claim_context *ctx, const struct chord_ref *c, bool need_voicing, struct moment *out)
{
    struct moment m = {.onset = RATIO_ZERO, .length = RATIO_ZERO};
    if (c->at_place) {
        if (!placed_moment(ctx, c, &m))
            return false;
    } else if (!moment_harmony(ctx, NULL, c->symbol, RATIO_ZERO, &m)) {
        claim_undecided(ctx, "`%.*s` names no tones", STR_ARG(c->words));
        return false;
    }
    if (need_voicing && m.source == MOMENT_SYMBOL) {
        claim_undecided(ctx,
                        "`%.*s` needs a voicing: write the notes in a part, or `as (…)` after the symbol",
                        STR_ARG(m.symbol->text));
        return false;
    }
    *out = m;
    return true;
}

/* ---- intervals by name --------------------------------------------------------------------------- */

static bool fits_direction(int direction, int size)
{
    return direction == 0 || size == 0 || (direction > 0) == (size > 0);
}

bool interval_ref_fits(const struct interval_ref *want, int direction, struct interval v, bool *same_sound)
{
    int half = abs(v.half);
    *same_sound = false;
    if (want->cents) {
        struct ratio cents = ratio_int((int64_t)half * 100);
        return ratio_eq(cents, want->amount) && fits_direction(direction, v.half);
    }
    if (want->by_sound)
        return half == want->v.half && fits_direction(direction, v.half);
    bool up = interval_eq(v, want->v), down = interval_eq(interval_negate(v), want->v);
    if (direction > 0 ? up : direction < 0 ? down : up || down)
        return true;
    *same_sound = half == want->v.half && fits_direction(direction, v.half);
    return false;
}
