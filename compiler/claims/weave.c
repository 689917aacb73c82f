#include "claims/weave.h"

#include "claims/sound.h"

#include <stdlib.h>

/* ---- gathering --------------------------------------------------------------------------------- */

static struct strand *strand_add(struct claim_context *ctx, struct weave *w, uint32_t room, int side)
{
    if (w->n == w->cap) {
        uint32_t cap = w->cap ? 2 * w->cap : 8;
        struct strand *items = ARENA_NEW_ARRAY(ctx->arena, struct strand, cap);
        if (w->n)
            memcpy(items, w->items, w->n * sizeof *items);
        w->items = items;
        w->cap = cap;
    }
    struct strand *s = &w->items[w->n++];
    *s = (struct strand){.side = side, .notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, room)};
    return s;
}

static void name_voice(struct claim_context *ctx, struct strand *s, const struct part *part, uint32_t voice,
                       bool alone)
{
    s->part = part;
    s->voice = voice;
    if (part->n_voices <= 1) {
        s->name = part->symbol.name;
        s->claim = part_words(ctx, part);
        return;
    }
    struct str name = part->voice_names ? part->voice_names[voice] : say_text(ctx, "voice %u", voice + 1);
    s->claim = say_text(ctx, "%.*s of %.*s", STR_ARG(name), STR_ARG(part_words(ctx, part)));
    s->name = alone ? name : say_text(ctx, "%.*s of %.*s", STR_ARG(name), STR_ARG(part->symbol.name));
}

/* A part's voices, all of them or one. */
static void add_part(struct claim_context *ctx, struct weave *w, const struct part *part, int64_t only,
                     bool alone, bool eager, int side)
{
    uint32_t first, end, base = w->n;
    if (part->n_voices > 1 && !part->voices_known) {
        w->unclear = part;
        return;
    }
    part_stacks(part, w->stretch, &first, &end);
    for (uint32_t v = 0; v < part->n_voices; v++) {
        struct strand *s = strand_add(ctx, w, end - first, side);
        name_voice(ctx, s, part, v, alone);
    }
    for (uint32_t i = first; i < end; i++) {
        for (uint32_t k = 0; k < part->stacks[i].n; k++) {
            const struct note *n = &part->notes[part->stacks[i].first + k];
            struct strand *s = &w->items[base + n->voice];
            if (!eager || only < 0 || n->voice == (uint32_t)only)
                if (!eager || take_note(ctx, part->passage, n))
                    s->notes[s->n++] = n;
        }
    }
    if (only >= 0) {
        w->items[base] = w->items[base + (uint32_t)only];
        w->n = base + 1;
    }
}

static void note_gap(struct weave *w, const struct part *part)
{
    struct gap gap;
    if (!w->has_gap && passage_gap(w->passage, part, w->stretch, &gap)) {
        w->has_gap = true;
        w->gap = gap;
    }
}

/* Voices of one part that have names lie in a known order, so that crossing is a fact. */
static bool named_voices(const struct part *part)
{
    return part->voices_known && part->voice_names && part->n_voices > 1;
}

static void add_all(struct claim_context *ctx, struct weave *w, const struct passage *p, bool eager, int side)
{
    bool alone = p->n_parts == 1;
    note_gap(w, NULL);
    for (uint32_t i = 0; i < p->n_parts; i++)
        add_part(ctx, w, p->parts[i], -1, alone, eager, side);
    w->ranked = w->n > 0 && alone && named_voices(p->parts[0]);
}

/* ---- chords ------------------------------------------------------------------------------------ */

static struct strand *strand_of(struct weave *w, const struct part *part, uint32_t voice)
{
    for (uint32_t i = 0; i < w->n; i++)
        if (w->items[i].part == part && w->items[i].voice == voice)
            return &w->items[i];
    return NULL;
}

static struct strand *strand_for(struct claim_context *ctx, struct weave *w, const struct moment *m,
                                 uint32_t i, uint32_t room, int side)
{
    if (m->source != MOMENT_SOUNDING) {
        if (i < w->n)
            return &w->items[i];
        struct strand *s = strand_add(ctx, w, room, side);
        s->name = say_text(ctx, "voice %u", i + 1);
        return s;
    }
    const struct part *part = m->parts[i];
    struct strand *s = strand_of(w, part, m->notes[i]->voice);
    if (s || (part->n_voices > 1 && !part->voices_known)) {
        w->unclear = s ? w->unclear : part;
        return s;
    }
    s = strand_add(ctx, w, room, side);
    name_voice(ctx, s, part, m->notes[i]->voice, false);
    return s;
}

static bool chords_alike(struct claim_context *ctx, const struct moments *chords)
{
    for (uint32_t i = 0; i < chords->n; i++) {
        const struct moment *m = &chords->items[i], *first = &chords->items[0];
        struct str place = say_place(ctx, chords->passage, m->onset);
        if (m->source == MOMENT_SYMBOL) {
            claim_undecided(
                ctx,
                "%.*s at %.*s needs a voicing: a symbol does not tell how the voices move; transcribe the "
                "parts, or write the notes after the symbol (`C as (C3 G3 E4)`)",
                STR_ARG(m->symbol->text), STR_ARG(place));
            return false;
        }
        if (m->source == first->source && (m->source == MOMENT_SOUNDING || m->n == first->n))
            continue;
        claim_undecided(
            ctx,
            "the chord at %.*s has %.*s, the first has %u: which note leads to which is not said; "
            "name the part whose voices can be followed",
            STR_ARG(place), STR_ARG(say_count(ctx, m->n, "note", "notes")), first->n);
        return false;
    }
    return true;
}

/* From chord to chord of the harmony: a chord lasts until the next. */
static bool add_harmony(struct claim_context *ctx, const struct stream *s, struct weave *w, int side)
{
    struct moments chords;
    if (!stream_moments(ctx, s, w->stretch, 1, &chords) || !chords_alike(ctx, &chords))
        return false;
    w->by_rank = chords.items[0].source != MOMENT_SOUNDING;
    for (uint32_t i = 0; i < chords.n; i++) {
        const struct moment *m = &chords.items[i];
        struct ratio end = i + 1 < chords.n ? chords.items[i + 1].onset : ratio_plus(m->onset, m->length);
        for (uint32_t k = 0; k < m->n; k++) {
            struct strand *strand = strand_for(ctx, w, m, k, chords.n, side);
            if (!strand)
                continue;
            struct note *n = ARENA_NEW(ctx->arena, struct note);
            *n = (struct note){.pitch = m->pitches[k], .written = m->pitches[k], .where = m->where};
            if (m->notes)
                *n = *m->notes[k];
            n->onset = m->onset;
            n->length = ratio_minus(end, m->onset);
            strand->notes[strand->n++] = n;
        }
    }
    return true;
}

static bool add_line(struct claim_context *ctx, const struct stream *s, enum stream_kind kind,
                     struct str name, struct weave *w, int side)
{
    struct stream one = *s;
    struct line l;
    one.kind = kind;
    if (!stream_line(ctx, &one, w->stretch, 1, &l))
        return false;
    struct strand *strand = strand_add(ctx, w, 0, side);
    strand->notes = l.notes;
    strand->n = l.n;
    strand->name = name;
    strand->part = kind == STREAM_FIGURE ? s->figure->part : NULL;
    strand->claim = kind == STREAM_FIGURE
                        ? s->words
                        : say_text(ctx, "%.*s of %.*s", STR_ARG(name), STR_ARG(s->passage->symbol.name));
    return true;
}

bool weave_add(struct claim_context *ctx, const struct stream *s, struct stretch where, bool eager, int side,
               struct weave *out)
{
    out->passage = s->passage;
    out->stretch = where;
    take_passage(ctx, s->passage);
    switch (s->kind) {
    case STREAM_PART:
    case STREAM_VOICE:
        note_gap(out, s->part);
        add_part(ctx, out, s->part, s->kind == STREAM_VOICE ? (int64_t)s->voice : -1,
                 side == 0 && out->n == 0, eager, side);
        out->ranked = s->kind == STREAM_PART && out->n > 0 && named_voices(s->part) && side == 0;
        return true;
    case STREAM_ALL:
        add_all(ctx, out, s->passage, eager, side);
        return true;
    case STREAM_HARMONY:
        return add_harmony(ctx, s, out, side);
    case STREAM_OUTER:
        out->by_rank = true;
        return add_line(ctx, s, STREAM_BASS, STR("the bass"), out, side) &&
               add_line(ctx, s, STREAM_TOP, STR("the top voice"), out, side);
    case STREAM_BASS:
        return add_line(ctx, s, s->kind, STR("the bass"), out, side);
    case STREAM_TOP:
        return add_line(ctx, s, s->kind, STR("the top voice"), out, side);
    case STREAM_FIGURE:
        return add_line(ctx, s, s->kind, s->words, out, side);
    }
    return false;
}

bool weave_read(struct claim_context *ctx, const struct stream *s, struct stretch where, bool eager,
                struct weave *out)
{
    *out = (struct weave){0};
    return weave_add(ctx, s, where, eager, 0, out);
}

bool weave_passage(struct claim_context *ctx, const struct passage *p, struct stretch where,
                   struct weave *out)
{
    struct stream all = {.kind = STREAM_ALL, .words = p->symbol.name, .passage = p};
    return weave_read(ctx, &all, where, false, out);
}

void voices_unclear(struct claim_context *ctx, const struct part *part)
{
    claim_undecided(ctx,
                    "`%.*s` has stacks of unequal size, so its voices cannot be told apart: name them after "
                    "`voices` and write a name before each note (`high:F5`)",
                    STR_ARG(part->symbol.name));
}

bool weave_unknown(struct claim_context *ctx, const struct weave *w)
{
    if (w->has_gap)
        claim_undecided(ctx, "%.*s: transcribe it, or name a stretch without it",
                        STR_ARG(gap_words(ctx, &w->gap)));
    else if (w->unclear)
        voices_unclear(ctx, w->unclear);
    return w->has_gap || w->unclear;
}

const struct passage *weave_only_passage(const struct model *m)
{
    const struct passage *own = NULL;
    for (uint32_t i = 0; i < m->n_passages; i++) {
        if (m->passages[i]->symbol.library)
            continue;
        if (own)
            return NULL;
        own = m->passages[i];
    }
    return own ? own : m->n_passages == 1 ? m->passages[0] : NULL;
}

/* ---- one voice --------------------------------------------------------------------------------- */

bool strand_take(struct claim_context *ctx, const struct weave *w, const struct note *n)
{
    return take_note(ctx, w->passage, n);
}

/* How many notes begin before a position, or at it. */
static uint32_t begun(const struct strand *s, struct ratio at, bool before)
{
    uint32_t lo = 0, hi = s->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        int c = ratio_cmp(s->notes[middle]->onset, at);
        if (before ? c < 0 : c <= 0)
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

uint32_t strand_at(const struct strand *s, struct ratio at)
{
    uint32_t n = begun(s, at, false);
    return n > 0 && ratio_lt(at, note_end(s->notes[n - 1])) ? n - 1 : s->n;
}

uint32_t strand_until(const struct strand *s, struct ratio at)
{
    uint32_t n = begun(s, at, true);
    return n > 0 && ratio_le(at, note_end(s->notes[n - 1])) ? n - 1 : s->n;
}

/* From the note `from` on to the note `to`, or to an end of the stretch. */
static struct next between(const struct weave *w, const struct strand *s, struct ratio lo, struct ratio hi,
                           uint32_t to)
{
    struct next next = {.kind = to < s->n ? NEXT_NOTE : NEXT_END, .index = to};
    if (ratio_eq(lo, hi) || !ratio_lt(lo, hi))
        return next;
    struct stretch silent = {.onset = lo, .end = hi};
    if (w->passage && passage_gap(w->passage, s->part, silent, &next.gap))
        next.kind = NEXT_UNKNOWN;
    else if (to < s->n)
        next.kind = NEXT_REST;
    return next;
}

struct next strand_after(struct claim_context *ctx, const struct weave *w, const struct strand *s, uint32_t i)
{
    uint32_t to = i + 1;
    while (to < s->n && !strand_take(ctx, w, s->notes[to]))
        to++;
    return between(w, s, note_end(s->notes[i]), to < s->n ? s->notes[to]->onset : w->stretch.end, to);
}

struct next strand_before(struct claim_context *ctx, const struct weave *w, const struct strand *s,
                          uint32_t i)
{
    uint32_t to = i;
    while (to > 0 && !strand_take(ctx, w, s->notes[to - 1]))
        to--;
    if (to == 0)
        return between(w, s, w->stretch.onset, s->notes[i]->onset, s->n);
    return between(w, s, note_end(s->notes[to - 1]), s->notes[i]->onset, to - 1);
}

struct next strand_moves(struct claim_context *ctx, const struct weave *w, const struct strand *s, uint32_t i)
{
    struct next next = {.kind = NEXT_NOTE, .index = i};
    do
        next = strand_after(ctx, w, s, next.index);
    while (next.kind == NEXT_NOTE &&
           pitch_midi(s->notes[next.index]->pitch) == pitch_midi(s->notes[i]->pitch));
    return next;
}

struct str next_words(struct claim_context *ctx, const struct weave *w, const struct strand *s, uint32_t i,
                      const struct next *next)
{
    switch (next->kind) {
    case NEXT_NOTE:
        return STR("");
    case NEXT_REST: {
        struct str pitch = say_pitch(ctx, s->notes[next->index]->pitch);
        struct str at = say_place(ctx, w->passage, s->notes[next->index]->onset);
        return say_text(ctx, "%.*s rests before its next note, %.*s at %.*s", STR_ARG(s->name),
                        STR_ARG(pitch), STR_ARG(at));
    }
    case NEXT_END: {
        struct str pitch = say_pitch(ctx, s->notes[i]->pitch);
        const char *what = w->stretch.given ? "stretch" : "passage";
        return say_text(ctx, "nothing follows %.*s of %.*s in the %s", STR_ARG(pitch), STR_ARG(s->name),
                        what);
    }
    case NEXT_UNKNOWN:
        return say_text(ctx, "%.*s: what follows is not known", STR_ARG(gap_words(ctx, &next->gap)));
    }
    return STR("");
}

/* ---- two voices -------------------------------------------------------------------------------- */

/* The note before i, where it sounds right up to `at`. */
static const struct note *led_from(const struct strand *s, uint32_t i, struct ratio at)
{
    if (i == 0)
        return NULL;
    const struct note *n = s->notes[i - 1];
    return ratio_lt(note_end(n), at) ? NULL : n;
}

static const struct note *sounds_on(const struct strand *s, uint32_t i, struct ratio at)
{
    if (i == 0)
        return NULL;
    const struct note *n = s->notes[i - 1];
    return ratio_lt(at, note_end(n)) ? n : NULL;
}

bool turn_next(struct turns_of *walk, struct turn *out)
{
    const struct strand *a = walk->a, *b = walk->b;
    while (walk->i < a->n || walk->k < b->n) {
        bool left = walk->k == b->n ||
                    (walk->i < a->n && ratio_le(a->notes[walk->i]->onset, b->notes[walk->k]->onset));
        struct turn t = {.at = left ? a->notes[walk->i]->onset : b->notes[walk->k]->onset};
        t.a1 = led_from(a, walk->i, t.at);
        t.b1 = led_from(b, walk->k, t.at);
        while (walk->i < a->n && ratio_eq(a->notes[walk->i]->onset, t.at))
            walk->i++;
        while (walk->k < b->n && ratio_eq(b->notes[walk->k]->onset, t.at))
            walk->k++;
        t.a2 = sounds_on(a, walk->i, t.at);
        t.b2 = sounds_on(b, walk->k, t.at);
        if (!t.a2 || !t.b2)
            continue;
        *out = t;
        return true;
    }
    return false;
}

struct interval interval_upward(struct pitch a, struct pitch b)
{
    struct interval v = interval_between(a, b);
    return v.steps < 0 || (v.steps == 0 && v.half < 0) ? interval_negate(v) : v;
}

bool interval_consonant(struct interval v)
{
    int octaves = v.steps / 7, half = v.half - 12 * octaves;
    switch (v.steps % 7) {
    case 0:
        return half == 0;
    case 2:
        return half == 3 || half == 4;
    case 4:
        return half == 7;
    case 5:
        return half == 8 || half == 9;
    }
    return false;
}
