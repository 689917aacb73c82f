/* Instruments, chord qualities, scales and caption profiles: from the standard library or a file of the
 * author's. */
#include "sema/sema.h"

#include "base/array.h"
#include "parse.h"
#include "sema/fields.h"

static struct str *texts_of(struct sema *s, const struct node *field, uint32_t *n)
{
    struct str *items = NULL;
    *n = 0;
    for (const struct node *v = field->first; v; v = v->next)
        ARRAY_PUSH(s->arena, items, *n, value_text(s, v));
    return items;
}

static bool range_of(struct sema *s, const struct node *field, struct pitch *low, struct pitch *high)
{
    const struct node *a = field->first, *b = a ? a->next : NULL;
    if (!b || b->next || !pitch_parse(a->text, low) || !pitch_parse(b->text, high)) {
        diag_add(s->diags, DIAG_BAD_FIELD, field->where, "a range is two pitches: `E3 to C6`");
        return false;
    }
    if (pitch_midi(*low) > pitch_midi(*high)) {
        diag_add(s->diags, DIAG_BAD_FIELD, field->where, "the range runs downwards");
        return false;
    }
    return true;
}

static void transposition_of(struct sema *s, const struct node *field, struct interval *out)
{
    const struct node *a = field->first, *b = a->next;
    struct interval v;
    if (b && interval_parse_short(a->text, &v) && (str_is(b->text, "up") || str_is(b->text, "down")))
        *out = str_is(b->text, "up") ? v : interval_negate(v);
    else
        diag_add(s->diags, DIAG_BAD_FIELD, field->where,
                 "a transposition is an interval and a direction: `P5 down`");
}

static void instrument_field(struct sema *s, struct instrument *i, const struct node *f)
{
    int64_t program;
    switch (f->word) {
    case TOK_KNAME: i->names = texts_of(s, f, &i->n_names); break;
    case TOK_FAMILY: i->families = texts_of(s, f, &i->n_families); break;
    case TOK_REED: i->reed = value_text(s, f->first); break;
    case TOK_SOUNDS: transposition_of(s, f, &i->sounds); break;
    case TOK_RANGE: i->has_range = range_of(s, f, &i->low, &i->high); break;
    case TOK_COMMON: i->has_common = range_of(s, f, &i->common_low, &i->common_high); break;
    case TOK_CLEF: i->clef = value_text(s, f->first); break;
    case TOK_SOURCE: i->source = value_text(s, f->first); break;
    case TOK_PROGRAM:
        if (value_int(s, f->first, 1, 128, &program))
            i->program = (int)program;
        break;
    }
}

static const struct field_set instrument_fields = {
    "an instrument",
    {TOK_KNAME, TOK_FAMILY, TOK_REED, TOK_SOUNDS, TOK_RANGE, TOK_COMMON, TOK_CLEF, TOK_PROGRAM, TOK_SOURCE}};

static void instrument_read(struct sema *s, const struct node *statement, struct instrument *i)
{
    const struct node *name = statement->first;
    i->symbol = symbol_of(s, name);
    for (const struct node *f = name->next->first; f; f = f->next)
        if (field_allowed(s, &instrument_fields, name->next, f))
            instrument_field(s, i, f);
    if (!i->n_names) {
        i->names = &i->symbol.name;
        i->n_names = 1;
    }
    if (!i->n_families)
        diag_add(s->diags, DIAG_BAD_FIELD, name->where, "the instrument `%.*s` lacks its `family`",
                 STR_ARG(name->text));
    if (i->has_range && i->has_common &&
        (pitch_midi(i->common_low) < pitch_midi(i->low) || pitch_midi(i->common_high) > pitch_midi(i->high)))
        diag_add(s->diags, DIAG_BAD_FIELD, name->where,
                 "the common range of `%.*s` reaches outside its range", STR_ARG(name->text));
}

/* Fills degrees and the shape by sound; reports a degree that is not one. */
static uint32_t degrees_of(struct sema *s, const struct node *field, struct interval *out, uint32_t max,
                           pcset *shape)
{
    uint32_t n = 0;
    *shape = 0;
    for (const struct node *v = field->first; v; v = v->next) {
        if (n == max || !degree_parse(v->text, &out[n])) {
            diag_add(s->diags, DIAG_BAD_FIELD, v->where, n == max ? "too many tones" :
                     "`%.*s` is not a degree: write 1, b3, #5, bb7", STR_ARG(v->text));
            continue;
        }
        *shape |= pcset_of(out[n].half);
        n++;
    }
    return n;
}

static const struct field_set chord_fields = {"a chord", {TOK_KNAME, TOK_SYMBOLS, TOK_TONES, TOK_SOURCE}};

static void chord_read(struct sema *s, const struct node *statement, struct chord_quality *q)
{
    const struct node *name = statement->first;
    q->id = name->text;
    for (const struct node *f = name->next->first; f; f = f->next) {
        if (!field_allowed(s, &chord_fields, name->next, f))
            continue;
        if (f->word == TOK_KNAME)
            q->names = texts_of(s, f, &q->n_names);
        else if (f->word == TOK_SYMBOLS)
            q->symbols = texts_of(s, f, &q->n_symbols);
        else if (f->word == TOK_TONES)
            q->n_degrees = degrees_of(s, f, q->degrees, CHORD_TONES_MAX, &q->shape);
    }
    q->name = q->n_names ? q->names[0] : q->id;
    if (q->n_degrees < 2)
        diag_add(s->diags, DIAG_BAD_FIELD, name->where, "the chord `%.*s` needs `tones`, at least two",
                 STR_ARG(name->text));
}

static const struct field_set scale_fields = {"a scale", {TOK_KNAME, TOK_TONES, TOK_SOURCE}};

static void scale_read(struct sema *s, const struct node *statement, struct scale *c)
{
    const struct node *name = statement->first;
    c->id = name->text;
    for (const struct node *f = name->next->first; f; f = f->next) {
        if (!field_allowed(s, &scale_fields, name->next, f))
            continue;
        if (f->word == TOK_KNAME)
            c->names = texts_of(s, f, &c->n_names);
        else if (f->word == TOK_TONES)
            c->n_degrees = degrees_of(s, f, c->degrees, SCALE_TONES_MAX, &c->shape);
    }
    c->name = c->n_names ? c->names[0] : c->id;
    if (c->n_degrees < 2)
        diag_add(s->diags, DIAG_BAD_FIELD, name->where, "the scale `%.*s` needs `tones`, at least two",
                 STR_ARG(name->text));
}

static const struct field_set profile_fields = {"a caption profile",
                                                {TOK_KNAME, TOK_LINE, TOK_LINES, TOK_RATE, TOK_SPEECH,
                                                 TOK_SHORTEST, TOK_LONGEST, TOK_GAP, TOK_CLOSE,
                                                 TOK_ACCIDENTALS, TOK_SOURCE}};

static void accidentals_of(struct sema *s, const struct node *v, enum accidental_style *out)
{
    static const char *const words[] = {"words", "signs", "plain"};
    for (int i = 0; i < 3; i++)
        if (str_is(v->text, words[i])) {
            *out = (enum accidental_style)i;
            return;
        }
    diag_add(s->diags, DIAG_BAD_FIELD, v->where,
             "`%.*s` is no way to write accidentals: `words`, `signs` or `plain`", STR_ARG(v->text));
}

static void gap_of(struct sema *s, const struct node *v, struct caption_profile *p)
{
    p->gap_frames =
        v->kind == NODE_SECONDS && (str_is(v->last->text, "frames") || str_is(v->last->text, "frame"));
    if (p->gap_frames)
        ratio_parse(v->first->text.p, v->first->text.n, &p->gap);
    else
        value_time(s, v, NULL, &p->gap);
}

static void profile_field(struct sema *s, struct caption_profile *p, const struct node *f)
{
    int64_t n;
    switch (f->word) {
    case TOK_KNAME: p->title = value_text(s, f->first); break;
    case TOK_LINE: if (value_int(s, f->first, 10, 200, &n)) p->line = (int)n; break;
    case TOK_LINES: if (value_int(s, f->first, 1, 3, &n)) p->lines = (int)n; break;
    case TOK_RATE:
        value_ratio(s, f->first, &p->rate_note);
        p->rate_error = p->rate_note;
        if (f->first->next)
            value_ratio(s, f->first->next, &p->rate_error);
        break;
    case TOK_SPEECH: value_ratio(s, f->first, &p->speech); break;
    case TOK_SHORTEST: value_time(s, f->first, NULL, &p->shortest); break;
    case TOK_LONGEST: value_time(s, f->first, NULL, &p->longest); break;
    case TOK_GAP: gap_of(s, f->first, p); break;
    case TOK_CLOSE: value_time(s, f->first, NULL, &p->close); break;
    case TOK_ACCIDENTALS: accidentals_of(s, f->first, &p->accidentals); break;
    }
}

static void profile_read(struct sema *s, const struct node *statement, struct caption_profile *p)
{
    const struct node *name = statement->first;
    *p = (struct caption_profile){.symbol = symbol_of(s, name),
                                  .title = name->text,
                                  .line = 42,
                                  .lines = 2,
                                  .rate_note = ratio_int(17),
                                  .rate_error = ratio_int(20),
                                  .speech = ratio_int(150),
                                  .shortest = RATIO_ONE,
                                  .longest = ratio_int(7),
                                  .gap = ratio_int(2),
                                  .gap_frames = true,
                                  .close = RATIO_ONE};
    for (const struct node *f = name->next->first; f; f = f->next)
        if (field_allowed(s, &profile_fields, name->next, f))
            profile_field(s, p, f);
}

/* How many statements of a keyword all units hold. */
static uint32_t count_of(const struct sema *s, int keyword)
{
    uint32_t n = 0;
    for (uint32_t u = 0; u < s->n_units; u++)
        for (const struct node *c = s->units[u].root->first; c; c = c->next)
            n += c->kind == NODE_STATEMENT && c->word == keyword;
    return n;
}

static void chords_build(struct sema *s, struct theory_library *into, const struct chord_quality *qualities,
                         uint32_t n)
{
    uint32_t symbols = 0;
    for (uint32_t i = 0; i < n; i++)
        symbols += qualities[i].n_symbols;
    uint32_t n_slots = chord_dict_slots(symbols);
    struct chord_dict_slot *slots = ARENA_NEW_ARRAY(s->arena, struct chord_dict_slot, n_slots);
    int twice = chord_dict_build(&into->chords, qualities, n, slots, n_slots);
    if (twice >= 0) {
        const struct symbol *at = thing_find(s, THING_CHORD, qualities[twice].id);
        struct span where = at ? at->where : (struct span){0, 0, 0};
        diag_add(s->diags, DIAG_BAD_FIELD, where,
                 "a symbol of the chord `%.*s` belongs to another chord already",
                 STR_ARG(qualities[twice].id));
    }
}

/* The two lists with room for more behind what `base` has. */
#define COPY_BASE(field, type, extra)                                                        \
    type *field = ARENA_NEW_ARRAY(s->arena, type, (base ? base->n_##field : 0) + (extra));    \
    uint32_t n_##field = base ? base->n_##field : 0;                                          \
    if (n_##field)                                                                            \
        memcpy(field, base->field, n_##field * sizeof *field)

static void define_copy(struct sema *s, enum thing t, struct symbol symbol)
{
    struct symbol *copy = ARENA_NEW(s->arena, struct symbol);
    *copy = symbol;
    name_define(s, t, copy);
}

void library_collect(struct sema *s, struct theory_library *into, const struct theory_library *base)
{
    uint32_t more_chords = count_of(s, TOK_CHORD);
    uint32_t more =
        more_chords + count_of(s, TOK_INSTRUMENT) + count_of(s, TOK_SCALE) + count_of(s, TOK_PROFILE);
    if (base && !more) {
        *into = *base;
        return;
    }
    COPY_BASE(instruments, struct instrument, count_of(s, TOK_INSTRUMENT));
    COPY_BASE(qualities, struct chord_quality, more_chords);
    COPY_BASE(scales, struct scale, count_of(s, TOK_SCALE));
    COPY_BASE(profiles, struct caption_profile, count_of(s, TOK_PROFILE));
    for (uint32_t u = 0; u < s->n_units; u++) {
        s->unit = &s->units[u];
        for (const struct node *c = s->unit->root->first; c; c = c->next) {
            if (c->kind != NODE_STATEMENT)
                continue;
            if (c->word == TOK_INSTRUMENT) {
                instrument_read(s, c, &instruments[n_instruments]);
                name_define(s, THING_INSTRUMENT, &instruments[n_instruments++].symbol);
            } else if (c->word == TOK_CHORD) {
                chord_read(s, c, &qualities[n_qualities++]);
                define_copy(s, THING_CHORD, symbol_of(s, c->first));
            } else if (c->word == TOK_SCALE) {
                scale_read(s, c, &scales[n_scales++]);
                define_copy(s, THING_SCALE, symbol_of(s, c->first));
            } else if (c->word == TOK_PROFILE) {
                profile_read(s, c, &profiles[n_profiles]);
                name_define(s, THING_PROFILE, &profiles[n_profiles++].symbol);
            }
        }
    }
    *into = (struct theory_library){.qualities = qualities,
                                    .n_qualities = n_qualities,
                                    .scales = scales,
                                    .n_scales = n_scales,
                                    .instruments = instruments,
                                    .n_instruments = n_instruments,
                                    .profiles = profiles,
                                    .n_profiles = n_profiles};
    chords_build(s, into, qualities, n_qualities);
}
