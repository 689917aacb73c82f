/* Parts: notes and stacks, written and sounding, and figures cut from them. */
#include "sema/rows.h"

#include "base/array.h"
#include "base/assert.h"
#include "diag/suggest.h"
#include "parse.h"

enum { STACK_MAX = 64 };

/* ---- instruments ------------------------------------------------------------------------------------ */

/* "English horns" is asked for as `english-horns`: case folded, spaces and hyphens alike. */
static bool same_instrument_name(struct str name, struct str id)
{
    if (name.n != id.n)
        return false;
    for (uint32_t i = 0; i < id.n; i++) {
        char c = name.p[i];
        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if (c == ' ')
            c = '-';
        if (c != id.p[i])
            return false;
    }
    return true;
}

static const struct instrument *instrument_find(const struct sema *s, struct str name)
{
    struct symbol *own = thing_find(s, THING_INSTRUMENT, name);
    if (own)
        return (const struct instrument *)(const void *)own;
    const struct theory_library *lib = s->model->library;
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        if (str_eq(lib->instruments[i].symbol.name, name))
            return &lib->instruments[i];
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        for (uint32_t k = 0; k < lib->instruments[i].n_names; k++)
            if (same_instrument_name(lib->instruments[i].names[k], name))
                return &lib->instruments[i];
    return NULL;
}

/* Three trombones are called `trombones`, not by the title of their entry. */
static struct str instrument_called(const struct instrument *i, struct str name)
{
    for (uint32_t k = 0; k < i->n_names; k++)
        if (same_instrument_name(i->names[k], name))
            return i->names[k];
    return instrument_title(i);
}

static void instrument_unknown(struct sema *s, const struct node *n)
{
    if (name_lost(s, THING_INSTRUMENT, n->text))
        return;
    struct diag *d =
        diag_add(s->diags, DIAG_UNKNOWN_NAME, n->where, "no instrument is called `%.*s`", STR_ARG(n->text));
    struct suggest near;
    suggest_start(&near, n->text);
    const struct theory_library *lib = s->model->library;
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        suggest_offer(&near, lib->instruments[i].symbol.name);
    if (near.n) {
        diag_help(s->diags, d, "an instrument with a similar name: %.*s",
                  STR_ARG(suggest_text(&near, s->arena)));
        if (near.n == 1)
            diag_fix(s->diags, d, n->where, near.best[0], false);
    } else {
        diag_help(s->diags, d,
                  "`descant explain instruments` lists them; `instrument %.*s { … }` defines one",
                  STR_ARG(n->text));
    }
}

static void instruments_read(struct sema *s, struct part *part, const struct node *list)
{
    const struct instrument **items = NULL;
    struct str *called = NULL;
    uint32_t n_called = 0;
    for (const struct node *n = list->first; n; n = n->next) {
        const struct instrument *i = instrument_find(s, n->text);
        if (i) {
            ARRAY_PUSH(s->arena, items, part->n_instruments, i);
            ARRAY_PUSH(s->arena, called, n_called, instrument_called(i, n->text));
        } else {
            instrument_unknown(s, n);
            spoil(s, part->passage->symbol.name); /* what it plays written cannot be known to sound */
            part->passage->notes_unread = true;
        }
    }
    part->instruments = items;
    part->called = called;
}

static void flags_read(struct sema *s, struct part *part, const struct node *statement,
                       const struct node *flags)
{
    bool sounding = false;
    for (const struct node *f = flags->first; f; f = f->next) {
        part->muted = part->muted || f->word == TOK_MUTED;
        part->solo = part->solo || f->word == TOK_SOLO;
        part->written = part->written || f->word == TOK_WRITTEN;
        sounding = sounding || f->word == TOK_SOUNDING;
    }
    const struct instrument *transposing = NULL, *other = NULL;
    for (uint32_t i = 0; i < part->n_instruments; i++) {
        if (part->instruments[i]->sounds.half)
            transposing = part->instruments[i];
        if (!interval_eq(part->instruments[i]->sounds, part->instruments[0]->sounds))
            other = part->instruments[i];
    }
    struct span where = statement->first->where;
    if (part->written && sounding) {
        struct diag *d =
            diag_add(s->diags, DIAG_SYNTAX, flags->last->where,
                     "the part `%.*s` cannot be both written and sounding", STR_ARG(part->symbol.name));
        diag_note(s->diags, d, "its notes are taken as sounding");
        part->written = false;
    } else if (part->written && other) {
        struct diag *d = diag_add(s->diags, DIAG_TRANSPOSITIONS, where,
                                  "the part `%.*s` is written for instruments that transpose differently",
                                  STR_ARG(part->symbol.name));
        diag_note(s->diags, d, "%.*s and %.*s", STR_ARG(instrument_title(part->instruments[0])),
                  STR_ARG(instrument_title(other)));
        diag_help(s->diags, d, "give each a part of its own, or write what sounds and say `sounding`");
        part->written = false;
    } else if (transposing && !part->written && !sounding) {
        char words[INTERVAL_TEXT_MAX];
        struct interval v = transposing->sounds;
        bool down = v.half < 0;
        struct diag *d = diag_add(s->diags, DIAG_PITCH_LEVEL, where,
                                  "the part `%.*s` does not say whether it is written or sounding",
                                  STR_ARG(part->symbol.name));
        diag_note(s->diags, d, "%.*s sounds %s %s what is written; the notes are taken as sounding",
                  STR_ARG(instrument_title(transposing)),
                  interval_phrase(down ? interval_negate(v) : v, true, words), down ? "below" : "above");
        diag_help(s->diags, d, "say `written` or `sounding` before the brace");
    }
}

/* ---- notes --------------------------------------------------------------------------------------------- */

static void voices_read(struct sema *s, struct part *part, const struct node *list)
{
    uint32_t n = node_count(list);
    struct str *names = ARENA_NEW_ARRAY(s->arena, struct str, n);
    uint32_t i = n; /* listed from the top, as scores and the trade do (s a t b); kept from the bottom */
    for (const struct node *c = list->first; c; c = c->next) {
        names[--i] = c->text;
        for (const struct node *before = list->first; before != c; before = before->next)
            if (str_eq(before->text, c->text)) {
                struct diag *d = diag_add(s->diags, DIAG_VOICE_UNKNOWN, c->where,
                                          "two voices of the part `%.*s` are called `%.*s`",
                                          STR_ARG(part->symbol.name), STR_ARG(c->text));
                diag_place(s->diags, d, before->where, "the other one");
                spoil(s, part->passage->symbol.name);
                break;
            }
    }
    part->voice_names = names;
    part->n_voices = n;
}

static bool note_pitch(struct row_reader *r, const struct node *note, struct note *out)
{
    const struct node *music = note->first;
    struct pitch p;
    if (!pitch_parse(music->text, &p)) {
        struct tone t;
        struct diag *d = diag_add(r->s->diags, DIAG_BAD_PITCH, music->where, "`%.*s` is not a pitch",
                                  STR_ARG(music->text));
        if (tone_parse(music->text, &t))
            diag_help(r->s->diags, d, "a pitch has an octave: `%.*s4` (C4 is middle C)",
                      STR_ARG(music->text));
        else if (music->text.p[0] == 'H')
            diag_help(r->s->diags, d, "the H of German is `B%.*s`, and its B is `Bb`",
                      STR_ARG(str_slice(music->text, 1, music->text.n)));
        else
            diag_help(r->s->diags, d,
                      "pitches are written Bb3, C#-1, F##5; chord symbols belong in `harmony`");
        r->spoiled = true;
        return false;
    }
    out->written = p;
    out->pitch = r->part && r->part->written && r->part->n_instruments
                     ? pitch_move(p, r->part->instruments[0]->sounds)
                     : p;
    out->where = music->where;
    return true;
}

/* From the top down, as they were written. */
static struct str voices_text(const struct row_reader *r)
{
    struct buf b = {0};
    for (uint32_t i = r->part->n_voices; i-- > 0;)
        buf_printf(&b, "`%.*s`%s", STR_ARG(r->part->voice_names[i]), i ? ", " : "");
    return buf_take(&b, r->s->arena);
}

/* The voice that a note names; -1: it names none, -2: unknown (reported). */
static int named_voice(struct row_reader *r, const struct node *note)
{
    const struct node *name = note->first->next;
    if (!name)
        return -1;
    for (uint32_t i = 0; i < r->part->n_voices && r->part->voice_names; i++)
        if (str_eq(r->part->voice_names[i], name->text))
            return (int)i;
    struct diag *d =
        diag_add(r->s->diags, DIAG_VOICE_UNKNOWN, name->where, "the part `%.*s` has no voice `%.*s`",
                 STR_ARG(r->part->symbol.name), STR_ARG(name->text));
    if (r->part->voice_names)
        diag_help(r->s->diags, d, "its voices: %.*s", STR_ARG(voices_text(r)));
    else
        diag_help(r->s->diags, d, "name its voices in the part, from the top down: `voices s a t b`");
    r->spoiled = true;
    return -2;
}

static void push_note(struct row_reader *r, struct note n)
{
    ARRAY_PUSH(r->s->arena, r->part->notes, r->part->n_notes, n);
}

static void sort_by_voice(struct note *notes, uint32_t n)
{
    for (uint32_t i = 1; i < n; i++)
        for (uint32_t k = i; k > 0 && notes[k].voice < notes[k - 1].voice; k--) {
            struct note t = notes[k];
            notes[k] = notes[k - 1];
            notes[k - 1] = t;
        }
}

/* Stacks are written from the lowest note up. */
static void check_stack_order(struct row_reader *r, const struct note *notes, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        if (pitch_midi(notes[i].pitch) >= pitch_midi(notes[i - 1].pitch))
            continue;
        char low[PITCH_TEXT_MAX], high[PITCH_TEXT_MAX];
        struct diag *d = diag_add(r->s->diags, DIAG_STACK_ORDER, notes[i].where,
                                  "%s is lower than %s before it: a stack is written from its lowest note up",
                                  pitch_text(notes[i].written, SIGN_ASCII, low),
                                  pitch_text(notes[i - 1].written, SIGN_ASCII, high));
        diag_help(r->s->diags, d, "if an octave is off, mend it; if voices cross, name them: `s:F5`");
        return;
    }
}

static void check_stack_voices(struct row_reader *r, const struct note *notes, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        if (notes[i].voice != notes[i - 1].voice)
            continue;
        struct diag *d = diag_add(r->s->diags, DIAG_VOICE_UNKNOWN, notes[i].where,
                                  "two notes of this stack are in the voice `%.*s`",
                                  STR_ARG(r->part->voice_names[notes[i].voice]));
        diag_place(r->s->diags, d, notes[i - 1].where, "the other one");
        r->spoiled = true;
        return;
    }
}

static void check_stack(struct row_reader *r, const struct note *notes, uint32_t count, uint32_t named)
{
    if (named == 0)
        check_stack_order(r, notes, count);
    else if (named == count)
        check_stack_voices(r, notes, count);
}

static bool part_event(struct row_reader *r, const struct node *n)
{
    struct part *part = r->part;
    if (!row_advance(r, n))
        return false;
    struct stack st = {.onset = r->event_at, .length = r->value, .first = part->n_notes, .where = n->where};
    uint32_t named = 0;
    const struct node *c = n->kind == NODE_STACK ? n->first : n;
    for (; c; c = n->kind == NODE_STACK ? c->next : NULL) {
        if (c->kind == NODE_EVENT) { /* uncertain, inside the stack */
            if (part->n_notes > st.first)
                part->notes[part->n_notes - 1].uncertain = true;
            continue;
        }
        struct note note = {.onset = st.onset, .length = st.length, .voice = part->n_notes - st.first};
        int voice = named_voice(r, c);
        if (voice >= 0) {
            note.voice = (uint32_t)voice;
            named++;
        }
        if (part->n_notes - st.first == STACK_MAX) {
            diag_add(r->s->diags, DIAG_BAD_NUMBER, c->where, "a stack holds at most %d notes", STACK_MAX);
            break;
        }
        if (note_pitch(r, c, &note))
            push_note(r, note);
    }
    st.n = part->n_notes - st.first;
    if (!st.n)
        return false;
    if (named)
        sort_by_voice(&part->notes[st.first], st.n);
    check_stack(r, &part->notes[st.first], st.n, named);
    if ((named && named != st.n) || (!named && part->voice_names && st.n != part->n_voices))
        part->voices_known = false;
    if (!part->voice_names && part->n_stacks && part->stacks[0].n != st.n)
        part->voices_known = false;
    if (!part->voice_names && st.n > part->n_voices)
        part->n_voices = st.n;
    ARRAY_PUSH(r->s->arena, part->stacks, part->n_stacks, st);
    return true;
}

static void part_hold(struct row_reader *r)
{
    struct stack *st = &r->part->stacks[r->part->n_stacks - 1];
    st->length = ratio_plus(st->length, r->value);
    for (uint32_t i = 0; i < st->n; i++)
        r->part->notes[st->first + i].length = st->length;
}

static void part_uncertain(struct row_reader *r)
{
    const struct stack *st = &r->part->stacks[r->part->n_stacks - 1];
    for (uint32_t i = 0; i < st->n; i++)
        r->part->notes[st->first + i].uncertain = true;
}

static void push_extent(struct row_reader *r, enum extent_kind kind, struct ratio length, struct span where)
{
    ARRAY_PUSH(r->s->arena, r->part->extents, r->part->n_extents,
               (struct extent){kind, r->at, length, where});
}

static void part_rest(struct row_reader *r, const struct node *n)
{
    push_extent(r, EXTENT_REST, r->value, n->where);
}

static void part_open(struct row_reader *r, struct ratio length, struct span where)
{
    push_extent(r, EXTENT_OPEN, length, where);
}

/* A bar that is too short is not heard to its end; what runs over its bar line is cut there. */
static void part_fault(struct row_reader *r, struct ratio end)
{
    struct part *part = r->part;
    if (ratio_lt(r->at, end)) {
        push_extent(r, EXTENT_OPEN, ratio_minus(end, r->at), (struct span){0, 0, 0});
        return;
    }
    while (part->n_stacks && ratio_le(end, part->stacks[part->n_stacks - 1].onset)) {
        part->n_notes = part->stacks[part->n_stacks - 1].first;
        part->n_stacks--;
    }
    if (!part->n_stacks)
        return;
    struct stack *st = &part->stacks[part->n_stacks - 1];
    if (ratio_lt(end, ratio_plus(st->onset, st->length))) {
        st->length = ratio_minus(end, st->onset);
        for (uint32_t i = 0; i < st->n; i++)
            part->notes[st->first + i].length = st->length;
    }
}

static struct row_reader part_reader(struct sema *s, struct bar_map *map, struct passage *p,
                                     struct part *part)
{
    return (struct row_reader){.s = s,
                               .map = map,
                               .passage = p,
                               .part = part,
                               .at = RATIO_ZERO,
                               .value = RATIO_ZERO,
                               .event = part_event,
                               .hold = part_hold,
                               .uncertain = part_uncertain,
                               .rest = part_rest,
                               .open = part_open,
                               .fault = part_fault};
}

void part_build(struct sema *s, struct bar_map *map, struct passage *p, const struct node *statement)
{
    const struct node *name = statement->first, *instruments = name->next, *flags = instruments->next,
                      *list = flags->next;
    struct part *part = ARENA_NEW(s->arena, struct part);
    part->symbol = symbol_of(s, name);
    part->passage = p;
    part->voices_known = true;
    instruments_read(s, part, instruments);
    flags_read(s, part, statement, flags);
    for (uint32_t i = 0; i < p->n_parts; i++)
        if (str_eq(p->parts[i]->symbol.name, part->symbol.name)) {
            struct diag *d =
                diag_add(s->diags, DIAG_DUPLICATE_NAME, name->where, "`%.*s` has two parts called `%.*s`",
                         STR_ARG(p->symbol.name), STR_ARG(name->text));
            diag_place(s->diags, d, p->parts[i]->symbol.where, "defined first here");
            return;
        }
    const struct node *voices = node_field(list, TOK_VOICES);
    if (voices)
        voices_read(s, part, voices->first);
    struct row_reader r = part_reader(s, map, p, part);
    rows_read(&r, list);
    ARRAY_PUSH(s->arena, p->parts, p->n_parts, part);
}

/* ---- figures
 * ------------------------------------------------------------------------------------------------ */

static struct part *part_find(const struct passage *p, struct str name)
{
    for (uint32_t i = 0; i < p->n_parts; i++)
        if (str_eq(p->parts[i]->symbol.name, name))
            return p->parts[i];
    return NULL;
}

static void part_unknown(struct sema *s, const struct passage *p, const struct node *name)
{
    if (name_lost(s, THING_PASSAGE, name->text) || is_spoiled(s, p->symbol.name))
        return;
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_NAME, name->where, "`%.*s` has no part `%.*s`",
                              STR_ARG(p->symbol.name), STR_ARG(name->text));
    struct suggest near;
    suggest_start(&near, name->text);
    for (uint32_t i = 0; i < p->n_parts; i++)
        suggest_offer(&near, p->parts[i]->symbol.name);
    if (near.n) {
        diag_help(s->diags, d, "a part with a similar name: %.*s", STR_ARG(suggest_text(&near, s->arena)));
        if (near.n == 1)
            diag_fix(s->diags, d, name->where, near.best[0], false);
    }
}

/* The first stack of a part that begins at a position or behind it. */
static uint32_t stack_from(const struct part *part, struct ratio at)
{
    uint32_t lo = 0, hi = part->n_stacks;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (ratio_lt(part->stacks[middle].onset, at))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

/* Notes of a part that begin within a stretch, as one line. They stay where they are, one behind the other:
 * a part may be cut into as many figures as the author likes. */
static void figure_cut(struct sema *s, struct figure *f, const struct part *part, struct stretch cut)
{
    for (uint32_t i = stack_from(part, cut.onset); i < part->n_stacks; i++) {
        const struct stack *st = &part->stacks[i];
        if (!ratio_lt(st->onset, cut.end))
            break;
        if (st->n > 1) {
            struct diag *d =
                diag_add(s->diags, DIAG_FIGURE_EMPTY, f->symbol.where,
                         "the figure `%.*s` would hold several notes at once: a figure is one line",
                         STR_ARG(f->symbol.name));
            diag_place(s->diags, d, st->where, "%u notes at once", st->n);
            diag_help(s->diags, d, "give the line a part of its own, and cut the figure from that");
            f->n_notes = 0;
            spoil(s, f->symbol.name);
            return;
        }
        if (!f->n_notes)
            f->notes = &part->notes[st->first];
        ASSERT(&f->notes[f->n_notes] == &part->notes[st->first]);
        f->n_notes++;
    }
    if (!f->n_notes) {
        if (!is_spoiled(s, f->passage->symbol.name)) {
            struct diag *d = diag_add(s->diags, DIAG_FIGURE_EMPTY, f->symbol.where,
                                      "the figure `%.*s` holds no notes: no note of `%.*s` begins there",
                                      STR_ARG(f->symbol.name), STR_ARG(part->symbol.name));
            diag_place(s->diags, d, cut.where, "there");
        }
        spoil(s, f->symbol.name);
    }
}

void events_read(struct row_reader *r, const struct node *list)
{
    for (const struct node *n = list->first; n; n = n->next) {
        struct ratio v;
        if (n->kind == NODE_VALUE) {
            r->value_given = value_note(r->s, n, &v);
            r->value_lost = !r->value_given;
            if (r->value_given)
                r->value = v;
        } else if (n->kind == NODE_NOTE || n->kind == NODE_STACK) {
            r->event_open = r->event(r, n);
        } else if (n->kind == NODE_EVENT && (n->word == TOK_HOLD || n->word == TOK_UNCERTAIN) &&
                   !r->event_open) {
            row_nothing_before(r, n);
        } else if (n->kind == NODE_EVENT && n->word == TOK_UNCERTAIN) {
            r->uncertain(r);
        } else if (n->kind == NODE_EVENT && n->word == TOK_HOLD && row_advance(r, n)) {
            r->hold(r);
        } else if (n->kind == NODE_EVENT && n->word == TOK_REST && row_advance(r, n)) {
            r->event_open = false;
        }
    }
}

static void figure_written_out(struct sema *s, struct figure *f, const struct node *list)
{
    struct part part = {.symbol = f->symbol, .voices_known = true};
    struct row_reader r = part_reader(s, NULL, NULL, &part);
    events_read(&r, list);
    for (uint32_t i = 0; i < part.n_stacks; i++)
        if (part.stacks[i].n > 1) {
            diag_add(s->diags, DIAG_FIGURE_EMPTY, part.stacks[i].where,
                     "the figure `%.*s` holds %u notes at once here: a figure is one line",
                     STR_ARG(f->symbol.name), part.stacks[i].n);
            part.n_notes = 0;
            break;
        }
    f->notes = part.notes;
    f->n_notes = part.n_notes;
    f->onset = RATIO_ZERO;
    f->length = r.at;
    if (!part.n_stacks && !r.spoiled && !node_child(list, NODE_ERROR))
        diag_add(s->diags, DIAG_FIGURE_EMPTY, f->symbol.where, "the figure `%.*s` holds no notes",
                 STR_ARG(f->symbol.name));
    if (!f->n_notes)
        spoil(s, f->symbol.name);
}

/* The passage that a figure at the top level means: named, or the only one with such a part. */
static struct passage *figure_passage(struct sema *s, const struct node *part_name,
                                      const struct node *passage_name)
{
    if (passage_name)
        return (struct passage *)(void *)name_resolve(s, THING_PASSAGE, passage_name);
    struct passage *found = NULL;
    for (uint32_t i = 0; i < s->model->n_passages; i++)
        if (part_find(s->model->passages[i], part_name->text)) {
            if (found) {
                struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_NAME, part_name->where,
                                          "several passages have a part `%.*s`", STR_ARG(part_name->text));
                diag_help(s->diags, d, "say which: `%.*s of %.*s` or `%.*s of %.*s`",
                          STR_ARG(part_name->text), STR_ARG(found->symbol.name), STR_ARG(part_name->text),
                          STR_ARG(s->model->passages[i]->symbol.name));
                return NULL;
            }
            found = s->model->passages[i];
        }
    if (!found && !name_lost(s, THING_PASSAGE, part_name->text))
        diag_add(s->diags, DIAG_UNKNOWN_NAME, part_name->where, "no passage has a part `%.*s`",
                 STR_ARG(part_name->text));
    return found;
}

void figure_build(struct sema *s, const struct node *statement, struct passage *p)
{
    const struct node *name = statement->first, *body = name->next;
    struct figure *f = ARENA_NEW(s->arena, struct figure);
    f->symbol = symbol_of(s, name);
    if (!name_define(s, THING_FIGURE, &f->symbol))
        return;
    ARRAY_PUSH(s->arena, s->model->figures, s->model->n_figures, f);
    f->onset = f->length = RATIO_ZERO;
    if (body->kind == NODE_LIST) {
        figure_written_out(s, f, body);
        return;
    }
    const struct node *places = body->next;
    if (!p)
        p = figure_passage(s, body, places->next);
    struct part *part = p ? part_find(p, body->text) : NULL;
    if (p && !part)
        part_unknown(s, p, body);
    struct stretch cut;
    if (!part || !stretch_read(s, p, places, &cut)) {
        spoil(s, f->symbol.name);
        return;
    }
    f->passage = p;
    f->part = part;
    f->onset = cut.onset;
    f->length = ratio_minus(cut.end, cut.onset);
    figure_cut(s, f, part, cut);
    ARRAY_PUSH(s->arena, p->figures, p->n_figures, f);
}
