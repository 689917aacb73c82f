#include "base/buf.h"
#include "claims/claims.h"
#include "claims/sound.h"

#include <stdlib.h>

/* ---- places and stretches ------------------------------------------------------------------------ */

bool place_in_bar(const struct bar *bar, struct place_ref place, struct ratio *out)
{
    struct ratio beats, into;
    if (!ratio_sub(place.beat, RATIO_ONE, &beats) || beats.num < 0)
        return false;
    if (!ratio_mul(beats, (struct ratio){1, bar->meter.unit}, &into) || !ratio_lt(into, bar->length))
        return false;
    return ratio_add(bar->onset, into, out);
}

static const struct bar *bar_found(struct claim_context *ctx, const struct passage *p, struct place_ref place)
{
    const struct bar *bar = passage_bar(p, place.bar);
    struct str name = p->symbol.name;
    if (bar)
        return bar;
    if (p->n_bars == 0)
        claim_undecided(ctx, "`%.*s` has no bars", STR_ARG(name));
    else
        claim_undecided(ctx, "bar %d does not exist in `%.*s`, which has bars %d to %d", place.bar,
                        STR_ARG(name), p->bars[0].number, p->bars[p->n_bars - 1].number);
    return NULL;
}

bool place_position(struct claim_context *ctx, const struct passage *p, struct place_ref place,
                    struct ratio *out)
{
    const struct bar *bar = bar_found(ctx, p, place);
    if (!bar)
        return false;
    if (place_in_bar(bar, place, out))
        return true;
    char beat[RATIO_TEXT_MAX], beats[RATIO_TEXT_MAX];
    struct ratio n;
    if (!ratio_mul(bar->length, ratio_int(bar->meter.unit), &n))
        n = ratio_int(meter_beats(bar->meter));
    claim_undecided(ctx, "bar %d of `%.*s` has %s %s, so there is no beat %s", bar->number,
                    STR_ARG(p->symbol.name), ratio_text(n, false, beats),
                    ratio_eq(n, RATIO_ONE) ? "beat" : "beats", ratio_text(place.beat, false, beat));
    return false;
}

static void earlier(struct ratio *end, struct ratio at, struct ratio candidate)
{
    if (ratio_lt(at, candidate) && ratio_lt(candidate, *end))
        *end = candidate;
}

/* A beat at the end of a span takes in what sounds on it, not what follows within the beat: the stretch runs
 * on until something new begins, to the next beat at most. */
static struct ratio beat_end(const struct passage *p, const struct bar *bar, struct ratio at)
{
    struct ratio end = ratio_plus(bar->onset, bar->length), beat;
    if (ratio_mul(ratio_minus(at, bar->onset), ratio_int(bar->meter.unit), &beat)) {
        struct ratio next = {ratio_floor(beat) + 1, bar->meter.unit};
        if (ratio_make(next.num, next.den, &next))
            earlier(&end, at, ratio_plus(bar->onset, next));
    }
    struct stretch after = {.onset = at, .end = end};
    for (uint32_t i = 0; i < p->n_parts; i++) {
        uint32_t first, last;
        part_stacks(p->parts[i], after, &first, &last);
        for (uint32_t k = first; k < last; k++)
            earlier(&end, at, p->parts[i]->stacks[k].onset);
    }
    for (uint32_t i = 0; i < p->n_harmony && ratio_lt(p->harmony[i].onset, end); i++)
        earlier(&end, at, p->harmony[i].onset);
    return end;
}

bool match_stretch(struct claim_context *ctx, const struct match *m, const struct stream *s,
                   struct stretch *out)
{
    const struct figure *figure = s->kind == STREAM_FIGURE ? s->figure : NULL;
    const struct passage *p = s->passage;
    if (!m->span.given) {
        *out = (struct stretch){.onset = RATIO_ZERO, .end = p ? p->length : RATIO_ZERO, .where = s->where};
        if (figure)
            *out = (struct stretch){.onset = figure->onset, .end = ratio_plus(figure->onset, figure->length),
                                    .where = s->where};
        return true;
    }
    if (!p) {
        claim_undecided(ctx, "%.*s belongs to no passage, so it has no bars", STR_ARG(s->words));
        return false;
    }
    take_passage(ctx, p);
    struct ratio from, to;
    if (!place_position(ctx, p, m->span.from, &from) || !place_position(ctx, p, m->span.to, &to))
        return false;
    const struct bar *last = passage_bar(p, m->span.to.bar);
    struct ratio end = m->span.to.has_beat ? beat_end(p, last, to) : ratio_plus(last->onset, last->length);
    if (!ratio_lt(from, end)) {
        struct str a = say_place(ctx, p, from), b = say_place(ctx, p, to);
        claim_undecided(ctx, "%.*s does not come before %.*s", STR_ARG(a), STR_ARG(b));
        return false;
    }
    *out = (struct stretch){.onset = from, .end = end, .given = true, .where = m->span.where};
    if (p == ctx->passage && !ctx->mute)
        stretch_widen(&ctx->claim->read, *out); /* silence is read as well as notes */
    return true;
}

/* ---- notes --------------------------------------------------------------------------------------- */

static void line_room(struct claim_context *ctx, struct line *l, uint32_t n)
{
    l->notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, n);
}

static void line_add(struct claim_context *ctx, struct line *l, const struct note *n)
{
    if (within(n->onset, n->length, l->stretch) && take_note(ctx, l->passage, n))
        l->notes[l->n++] = n;
}

/* voice < 0: all voices. */
static void part_notes(struct claim_context *ctx, const struct part *part, int64_t voice, struct line *l)
{
    uint32_t first, end;
    part_stacks(part, l->stretch, &first, &end);
    for (uint32_t i = first; i < end; i++)
        for (uint32_t k = 0; k < part->stacks[i].n; k++) {
            const struct note *n = &part->notes[part->stacks[i].first + k];
            if (voice < 0 || n->voice == (uint32_t)voice)
                line_add(ctx, l, n);
        }
}

static uint32_t notes_at_most(const struct part *part, struct stretch where)
{
    uint32_t first, end, n = 0;
    part_stacks(part, where, &first, &end);
    for (uint32_t i = first; i < end; i++)
        n += part->stacks[i].n;
    return n;
}

static void figure_notes(struct claim_context *ctx, const struct figure *f, struct line *l)
{
    line_room(ctx, l, f->n_notes);
    for (uint32_t i = 0; i < f->n_notes; i++)
        line_add(ctx, l, &f->notes[i]);
}

static bool voice_known(struct claim_context *ctx, const struct stream *s)
{
    const struct part *part = s->part;
    struct str name = part->symbol.name;
    if (s->voice >= part->n_voices) {
        claim_undecided(ctx, "`%.*s` has %u voices, so there is no voice %u", STR_ARG(name), part->n_voices,
                        s->voice + 1);
        return false;
    }
    if (part->voices_known)
        return true;
    claim_undecided(ctx,
                    "`%.*s` has stacks of unequal size, so its voices cannot be told apart: name them after "
                    "`voices` and write a name before each note",
                    STR_ARG(name));
    return false;
}

/* ---- lines --------------------------------------------------------------------------------------- */

static bool enough(struct claim_context *ctx, const struct stream *s, struct stretch where, uint32_t n,
                   uint32_t least, const char *one, const char *many)
{
    if (n > 0 && n >= least)
        return true;
    if (n == 0) {
        nothing_sounds(ctx, s, s->passage, where);
        return false;
    }
    struct str has = say_count(ctx, n, one, many), needs = say_count(ctx, least, one, many);
    claim_undecided(ctx, "%.*s has %.*s there; the claim needs %.*s", STR_ARG(s->words), STR_ARG(has),
                    STR_ARG(needs));
    return false;
}

/* The lowest or highest of what sounds, from change to change; what sounds on is one note. */
static void edge_of_parts(struct claim_context *ctx, const struct passage *p, bool top, struct line *l)
{
    uint32_t n;
    struct ratio *at = passage_changes(ctx, p, l->stretch, &n);
    line_room(ctx, l, n);
    const struct note *before = NULL;
    struct note *last = NULL;
    for (uint32_t i = 0; i < n; i++) {
        struct ratio end = i + 1 < n ? at[i + 1] : l->stretch.end;
        struct moment m;
        const struct note *edge = NULL;
        if (moment_sounding(ctx, p, at[i], &m))
            edge = m.notes[top ? m.n - 1 : 0];
        if (edge && edge == before) {
            last->length = ratio_minus(end, last->onset);
        } else if (edge) {
            last = ARENA_NEW(ctx->arena, struct note);
            *last = *edge;
            last->onset = at[i];
            last->length = ratio_minus(end, at[i]);
            l->notes[l->n++] = last;
        }
        before = edge;
    }
}

/* In a passage without parts the voicings of its symbols are all there is. */
static bool edge_of_voicings(struct claim_context *ctx, const struct passage *p, bool top, struct line *l)
{
    line_room(ctx, l, p->n_harmony);
    for (uint32_t i = 0; i < p->n_harmony; i++) {
        const struct harmony_event *e = &p->harmony[i];
        struct moment m;
        if (!within(e->onset, e->length, l->stretch) || e->harmony.kind == HARMONY_NONE ||
            !take_harmony(ctx, p, e))
            continue;
        if (!moment_harmony(ctx, p, &e->harmony, e->onset, &m))
            continue;
        if (!m.pitches) {
            claim_undecided(ctx,
                            "`%.*s` needs a voicing: write the notes in a part, or `as (…)` after the symbol",
                            STR_ARG(e->harmony.text));
            return false;
        }
        struct note *note = ARENA_NEW(ctx->arena, struct note);
        struct pitch pitch = m.pitches[top ? m.n - 1 : 0];
        *note = (struct note){.pitch = pitch, .written = pitch, .onset = e->onset, .length = e->length,
                              .uncertain = e->uncertain, .where = e->where};
        l->notes[l->n++] = note;
    }
    return true;
}

static bool passage_edge(struct claim_context *ctx, const struct passage *p, struct stretch where, bool top,
                         struct line *out)
{
    struct line l = {.passage = p, .stretch = where};
    take_passage(ctx, p);
    if (p->n_parts == 0) {
        if (!edge_of_voicings(ctx, p, top, &l))
            return false;
    } else {
        if (!stretch_known(ctx, p, NULL, where))
            return false;
        edge_of_parts(ctx, p, top, &l);
    }
    *out = l;
    return true;
}

bool passage_bass(struct claim_context *ctx, const struct passage *p, struct stretch where, struct line *out)
{
    struct stream bass = {.kind = STREAM_BASS, .words = STR("the bass"), .passage = p};
    return passage_edge(ctx, p, where, false, out) && enough(ctx, &bass, where, out->n, 1, "note", "notes");
}

/* A part as a line: one note at a time. */
static bool part_line(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    const struct part *part = s->part;
    uint32_t first, end;
    if (!stretch_known(ctx, s->passage, part, l->stretch))
        return false;
    part_stacks(part, l->stretch, &first, &end);
    for (uint32_t i = first; i < end; i++) {
        if (part->stacks[i].n == 1)
            continue;
        struct str name = part->symbol.name;
        if (part->voice_names)
            claim_undecided(ctx, "`%.*s` sounds several notes at once; name a voice: `%.*s of %.*s`",
                            STR_ARG(name), STR_ARG(part->voice_names[0]), STR_ARG(name));
        else
            claim_undecided(ctx, "`%.*s` sounds several notes at once; name a voice: `voice 1 of %.*s`",
                            STR_ARG(name), STR_ARG(name));
        return false;
    }
    line_room(ctx, l, notes_at_most(part, l->stretch));
    part_notes(ctx, part, -1, l);
    return true;
}

static bool voice_line(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    if (!stretch_known(ctx, s->passage, s->part, l->stretch) || !voice_known(ctx, s))
        return false;
    line_room(ctx, l, notes_at_most(s->part, l->stretch));
    part_notes(ctx, s->part, s->voice, l);
    return true;
}

/* The whole of a passage is a line if one part is all there is. */
static bool all_line(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    const struct passage *p = s->passage;
    if (p->n_parts == 1) {
        struct stream only = {.kind = STREAM_PART, .words = s->words, .passage = p, .part = p->parts[0]};
        return part_line(ctx, &only, l);
    }
    claim_undecided(ctx, "%.*s is several lines at once; name a part, or `the bass of %.*s`",
                    STR_ARG(s->words), STR_ARG(p->symbol.name));
    return false;
}

static bool read_line(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    switch (s->kind) {
    case STREAM_PART:
        return part_line(ctx, s, l);
    case STREAM_VOICE:
        return voice_line(ctx, s, l);
    case STREAM_FIGURE:
        figure_notes(ctx, s->figure, l);
        return true;
    case STREAM_BASS:
    case STREAM_TOP:
        return passage_edge(ctx, s->passage, l->stretch, s->kind == STREAM_TOP, l);
    case STREAM_ALL:
        return all_line(ctx, s, l);
    case STREAM_HARMONY:
        claim_undecided(ctx, "%.*s is chords, not a line; name a voice, or `the bass of %.*s`",
                        STR_ARG(s->words), STR_ARG(s->passage->symbol.name));
        return false;
    case STREAM_OUTER:
        claim_undecided(ctx, "%.*s are two lines; name one: `the bass of %.*s`, `the top voice of %.*s`",
                        STR_ARG(s->words), STR_ARG(s->passage->symbol.name),
                        STR_ARG(s->passage->symbol.name));
        return false;
    }
    return false;
}

bool stream_line(struct claim_context *ctx, const struct stream *s, struct stretch where, uint32_t least,
                 struct line *out)
{
    struct line l = {.passage = s->passage, .stretch = where};
    take_passage(ctx, s->passage);
    if (!read_line(ctx, s, &l) || !enough(ctx, s, where, l.n, least, "note", "notes"))
        return false;
    *out = l;
    return true;
}

/* ---- all notes ----------------------------------------------------------------------------------- */

static int compare_notes(const void *left, const void *right)
{
    const struct note *a = *(const struct note *const *)left, *b = *(const struct note *const *)right;
    int c = ratio_cmp(a->onset, b->onset);
    if (!c)
        c = (pitch_midi(a->pitch) > pitch_midi(b->pitch)) - (pitch_midi(a->pitch) < pitch_midi(b->pitch));
    /* Notes of one sound that begin together keep the order of the file. */
    return c ? c : (a->where.lo > b->where.lo) - (a->where.lo < b->where.lo);
}

static void all_notes(struct claim_context *ctx, const struct passage *p, struct line *l)
{
    uint32_t total = 0;
    for (uint32_t i = 0; i < p->n_parts; i++)
        total += notes_at_most(p->parts[i], l->stretch);
    line_room(ctx, l, total);
    for (uint32_t i = 0; i < p->n_parts; i++)
        part_notes(ctx, p->parts[i], -1, l);
    if (l->n)
        qsort(l->notes, l->n, sizeof *l->notes, compare_notes);
}

/* The notes of chords: a voicing's have no part, so they are made here. */
static bool harmony_notes(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    struct moments moments;
    uint32_t total = 0;
    if (!stream_moments(ctx, s, l->stretch, 1, &moments))
        return false;
    for (uint32_t i = 0; i < moments.n; i++)
        total += moments.items[i].n;
    line_room(ctx, l, total);
    for (uint32_t i = 0; i < moments.n; i++) {
        const struct moment *m = &moments.items[i];
        if (!m->pitches) {
            claim_undecided(ctx,
                            "`%.*s` needs a voicing: write the notes in a part, or `as (…)` after the symbol",
                            STR_ARG(m->symbol->text));
            return false;
        }
        for (uint32_t k = 0; k < m->n; k++) {
            struct note *note = ARENA_NEW(ctx->arena, struct note);
            *note = (struct note){.pitch = m->pitches[k], .written = m->pitches[k], .onset = m->onset,
                                  .length = m->length, .where = m->where};
            l->notes[l->n++] = m->notes ? m->notes[k] : note;
        }
    }
    return true;
}

static bool outer_notes(struct claim_context *ctx, const struct passage *p, struct line *l)
{
    struct line low, high;
    if (!passage_edge(ctx, p, l->stretch, false, &low) || !passage_edge(ctx, p, l->stretch, true, &high))
        return false;
    line_room(ctx, l, low.n + high.n);
    for (uint32_t i = 0; i < low.n; i++)
        l->notes[l->n++] = low.notes[i];
    for (uint32_t i = 0; i < high.n; i++)
        l->notes[l->n++] = high.notes[i];
    if (l->n)
        qsort(l->notes, l->n, sizeof *l->notes, compare_notes);
    return true;
}

static bool read_notes(struct claim_context *ctx, const struct stream *s, struct line *l)
{
    switch (s->kind) {
    case STREAM_PART:
        if (!stretch_known(ctx, s->passage, s->part, l->stretch))
            return false;
        line_room(ctx, l, notes_at_most(s->part, l->stretch));
        part_notes(ctx, s->part, -1, l);
        return true;
    case STREAM_VOICE:
        return voice_line(ctx, s, l);
    case STREAM_FIGURE:
        figure_notes(ctx, s->figure, l);
        return true;
    case STREAM_BASS:
    case STREAM_TOP:
        return passage_edge(ctx, s->passage, l->stretch, s->kind == STREAM_TOP, l);
    case STREAM_ALL:
        if (!stretch_known(ctx, s->passage, NULL, l->stretch))
            return false;
        all_notes(ctx, s->passage, l);
        return true;
    case STREAM_HARMONY:
        return harmony_notes(ctx, s, l);
    case STREAM_OUTER:
        return outer_notes(ctx, s->passage, l);
    }
    return false;
}

bool stream_notes(struct claim_context *ctx, const struct stream *s, struct stretch where, struct line *out)
{
    struct line l = {.passage = s->passage, .stretch = where};
    take_passage(ctx, s->passage);
    if (!read_notes(ctx, s, &l) || !enough(ctx, s, where, l.n, 1, "note", "notes"))
        return false;
    *out = l;
    return true;
}
