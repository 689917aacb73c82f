#include "base/buf.h"
#include "claims/pedal.h"
#include "claims/sound.h"

/* ---- the note ------------------------------------------------------------------------------------ */

struct tracker {
    enum pedal_role role;
    struct tone tone;
    int pc;
    struct ratio allowed; /* longest silence */
    struct pedal_finding out;
    const struct note *last; /* the pedal's last note */
    const struct part *last_part;
    const struct note *early; /* before it: the note furthest out */
    const struct part *early_part;
    struct ratio early_at;
    bool silent;
    struct ratio silent_from;
};

/* At the outside of the texture the tone itself is what is heard on, in any octave and any part; an inner
 * pedal is one voice: its pitch stays, or its part does. */
static bool continues(const struct tracker *t, const struct note *n, const struct part *part)
{
    return t->role != PEDAL_INNER || !t->last || pitch_midi(n->pitch) == pitch_midi(t->last->pitch) ||
           part == t->last_part;
}

/* Index of the note that is the pedal at this moment; m->n: none. */
static uint32_t find_pedal(const struct tracker *t, const struct moment *m)
{
    for (uint32_t i = 0; i < m->n; i++) {
        int midi = pitch_midi(m->pitches[i]);
        bool lowest = midi == pitch_midi(m->pitches[0]), highest = midi == pitch_midi(m->pitches[m->n - 1]);
        bool placed = (t->role == PEDAL_BASS && lowest) || (t->role == PEDAL_INVERTED && highest) ||
                      (t->role == PEDAL_INNER && !lowest && !highest);
        if (placed && tone_pc(m->pitches[i].tone) == t->pc && continues(t, m->notes[i], m->parts[i]))
            return i;
    }
    return m->n;
}

static bool is_beyond(const struct tracker *t, struct pitch p, struct pitch pedal)
{
    int midi = pitch_midi(p), own = pitch_midi(pedal);
    return t->role == PEDAL_BASS ? midi < own : t->role == PEDAL_INVERTED ? midi > own : false;
}

/* The outermost note on the pedal's side of a moment that sounds; of equal ones the first. */
static uint32_t outermost(const struct tracker *t, const struct moment *m)
{
    return t->role == PEDAL_INVERTED ? m->n - 1 : 0;
}

static void set_cover(struct tracker *t, const struct note *other, const struct part *part, struct ratio at)
{
    t->out.fault = PEDAL_COVERED;
    t->out.at = at;
    t->out.other = other;
    t->out.other_part = part;
}

/* While the pedal is silent: what goes furthest beyond the others, since the pedal may yet come in
 * above it. */
static void remember(struct tracker *t, const struct moment *m, struct ratio at)
{
    if (m->n == 0 || t->role == PEDAL_INNER)
        return;
    uint32_t i = outermost(t, m);
    if (t->early && !is_beyond(t, m->pitches[i], t->early->pitch))
        return;
    t->early = m->notes[i];
    t->early_part = m->parts[i];
    t->early_at = at;
}

/* False where a note that sounded before the pedal came in lies beyond it. */
static bool take(struct tracker *t, const struct moment *m, uint32_t i, struct ratio at)
{
    if (!t->last && t->early && is_beyond(t, t->early->pitch, m->pitches[i])) {
        set_cover(t, t->early, t->early_part, t->early_at);
        return false;
    }
    if (t->silent) {
        struct ratio gap = ratio_minus(at, t->silent_from);
        if (ratio_lt(t->out.longest_gap, gap))
            t->out.longest_gap = gap;
        t->silent = false;
    }
    if (t->last != m->notes[i])
        t->out.strikes++;
    t->out.spelled = t->out.spelled || tone_eq(m->pitches[i].tone, t->tone);
    if (!t->last)
        t->out.begins = at;
    if (!t->out.first || is_beyond(t, m->pitches[i], t->out.first->pitch)) {
        t->out.first = m->notes[i];
        t->out.part = m->parts[i];
    }
    t->last = m->notes[i];
    t->last_part = m->parts[i];
    return true;
}

/* Nothing of the pedal from `at` to `end`; false where that is too long. */
static bool pass_silence(struct tracker *t, struct ratio at, struct ratio end)
{
    if (!t->silent) {
        t->silent = true;
        t->silent_from = at;
    }
    if (ratio_le(ratio_minus(end, t->silent_from), t->allowed))
        return true;
    t->out.fault = PEDAL_STOPS;
    t->out.at = t->silent_from;
    t->out.until = end;
    return false;
}

/* Does the pedal's tone sound here at all? */
static bool has_tone(const struct tracker *t, const struct moment *m)
{
    for (uint32_t i = 0; i < m->n; i++)
        if (tone_pc(m->pitches[i].tone) == t->pc)
            return true;
    return false;
}

/* One slice, in which nothing changes; false where the pedal breaks. */
static bool track(struct tracker *t, const struct moment *m, struct ratio at, struct ratio end)
{
    uint32_t i = find_pedal(t, m);
    if (i < m->n)
        return take(t, m, i, at);
    if (t->last && m->n && is_beyond(t, m->pitches[outermost(t, m)], t->out.first->pitch)) {
        set_cover(t, m->notes[outermost(t, m)], m->parts[outermost(t, m)], at);
        return false;
    }
    if (!t->last)
        remember(t, m, at);
    if (pass_silence(t, at, end))
        return true;
    /* The tone is there, but not where the claim has it. */
    if (!t->last && t->role != PEDAL_INNER && has_tone(t, m))
        set_cover(t, m->notes[outermost(t, m)], m->parts[outermost(t, m)], at);
    return false;
}

/* A pedal that is silent for too long at the start: where it comes in after all. */
static void find_entry(struct claim_context *ctx, const struct passage *p, struct tracker *t,
                       const struct ratio *changes, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        struct moment m;
        if (!moment_sounding(ctx, p, changes[i], &m))
            continue;
        uint32_t k = find_pedal(t, &m);
        if (k == m.n)
            continue;
        t->out.first = m.notes[k];
        t->out.part = m.parts[k];
        t->out.begins = t->out.until = changes[i];
        return;
    }
}

struct pedal_finding pedal_examine(struct claim_context *ctx, const struct passage *p, struct tone tone,
                                   enum pedal_role role, struct stretch where)
{
    struct tracker t = {.role = role,
                        .tone = tone,
                        .pc = tone_pc(tone),
                        .allowed = ctx->conventions->amount[CONVENTION_PEDAL_GAP]};
    t.out.longest_gap = RATIO_ZERO;
    t.out.at = t.out.until = t.out.begins = where.onset;
    uint32_t n;
    struct ratio *changes = passage_changes(ctx, p, where, &n);
    for (uint32_t i = 0; i < n; i++) {
        struct ratio end = i + 1 < n ? changes[i + 1] : where.end;
        struct moment m;
        if (!ratio_lt(changes[i], end))
            continue;
        if (!moment_sounding(ctx, p, changes[i], &m))
            m = (struct moment){.n = 0};
        if (!track(&t, &m, changes[i], end))
            break;
    }
    if (!t.out.first && t.out.fault == PEDAL_STOPS)
        find_entry(ctx, p, &t, changes, n);
    if (!t.out.first && t.out.fault != PEDAL_COVERED)
        t.out.fault = PEDAL_ABSENT;
    return t.out;
}

/* ---- the chords ---------------------------------------------------------------------------------- */

static void add_chord(struct pedal_chords *out, struct pedal_chord c)
{
    if (out->n && out->items[out->n - 1].set == c.set)
        return;
    out->items[out->n++] = c;
    out->foreign += c.foreign;
}

static bool read_row(struct claim_context *ctx, const struct passage *p, int pc, struct stretch where,
                     struct pedal_chords *out)
{
    bool any = false;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct pedal_chord, p->n_harmony);
    for (uint32_t i = 0; i < p->n_harmony; i++) {
        const struct harmony_event *e = &p->harmony[i];
        if (!within(e->onset, e->length, where) || e->harmony.kind == HARMONY_NONE ||
            !take_harmony(ctx, p, e))
            continue;
        struct pedal_chord c = {.words = e->harmony.text, .onset = e->onset, .where = e->where};
        for (uint32_t k = 0; k < e->harmony.n_layers; k++)
            for (uint32_t j = 0; j < e->harmony.layers[k].n_tones; j++)
                c.set |= pcset_of(tone_pc(e->harmony.layers[k].tones[j]));
        c.foreign = !(c.set & pcset_of(pc));
        add_chord(out, c);
        any = true;
    }
    out->read = any;
    return any;
}

/* A stack of a part without the pedal's own pitch. */
static struct pedal_chord stack_chord(struct claim_context *ctx, const struct passage *p,
                                      const struct part *part, const struct stack *s, struct pitch pedal)
{
    struct pedal_chord c = {.onset = s->onset, .where = s->where};
    struct pitch *pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, s->n);
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->n; i++) {
        const struct note *note = &part->notes[s->first + i];
        if (pitch_midi(note->pitch) == pitch_midi(pedal) || !take_note(ctx, p, note))
            continue;
        pitches[n++] = note->pitch;
        c.set |= pcset_of(tone_pc(note->pitch.tone));
    }
    c.words = say_pitches(ctx, pitches, n);
    return c;
}

static bool nested(pcset a, pcset b)
{
    return (a & b) == a || (a & b) == b;
}

static void read_stacks(struct claim_context *ctx, const struct passage *p, int pc, struct pitch pedal,
                        struct stretch where, struct pedal_chords *out)
{
    uint32_t room = 0;
    for (uint32_t i = 0; i < p->n_parts; i++)
        room += p->parts[i]->n_stacks;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct pedal_chord, room);
    for (uint32_t i = 0; i < p->n_parts; i++) {
        uint32_t first, end;
        part_stacks(p->parts[i], where, &first, &end);
        for (uint32_t k = first; k < end; k++) {
            struct pedal_chord c = stack_chord(ctx, p, p->parts[i], &p->parts[i]->stacks[k], pedal);
            bool again = false;
            for (uint32_t j = 0; j < out->n; j++)
                again = again || (nested(out->items[j].set, c.set) && j + 1 == out->n);
            c.foreign = !(c.set & pcset_of(pc));
            if (pcset_count(c.set) >= 3 && !again)
                add_chord(out, c);
        }
        if (out->n > 1)
            return; /* one part that plays chords tells them; a second would tell them again */
        out->n = 0;
        out->foreign = 0;
    }
}

struct pedal_chords pedal_harmonies(struct claim_context *ctx, const struct passage *p, struct tone tone,
                                    struct pitch pedal, struct stretch where)
{
    struct pedal_chords out = {0};
    if (!read_row(ctx, p, tone_pc(tone), where, &out))
        read_stacks(ctx, p, tone_pc(tone), pedal, where, &out);
    return out;
}
