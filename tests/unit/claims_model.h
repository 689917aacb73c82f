/* claims_model.h - a model built by hand, for tests of claims.
 *
 * Purpose: the lamp of the examples, with a small library, and sentences as the scanner gives them; no parser
 *          is involved.
 * Units:   as in sema/model.h; spans are made up, every note has its own.
 * Owner:   all lives in the builder's arena.
 */
#ifndef DESCANT_TEST_CLAIMS_MODEL_H
#define DESCANT_TEST_CLAIMS_MODEL_H

#include "base/buf.h"
#include "claims/lexicon.h"
#include "claims/match.h"
#include "unit/test.h"

/* ---- a small library ----------------------------------------------------------------------------- */

static const struct str major_names[] = {STR("major triad"), STR("major chord")};
static const struct str minor_names[] = {STR("minor triad")};
static const struct str dominant_names[] = {STR("dominant seventh"), STR("major-minor seventh")};
static const struct str half_names[] = {STR("half-diminished seventh")};
static const struct str major_symbols[] = {STR(""), STR("maj")};
static const struct str minor_symbols[] = {STR("m")};
static const struct str dominant_symbols[] = {STR("7")};
static const struct str half_symbols[] = {STR("m7b5")};

static const struct chord_quality qualities[] = {
    {STR("major-triad"),
     STR("major triad"),
     major_names,
     2,
     major_symbols,
     2,
     {{0, 0}, {2, 4}, {4, 7}},
     3,
     0x91},
    {STR("minor-triad"),
     STR("minor triad"),
     minor_names,
     1,
     minor_symbols,
     1,
     {{0, 0}, {2, 3}, {4, 7}},
     3,
     0x89},
    {STR("dominant-seventh"),
     STR("dominant seventh"),
     dominant_names,
     2,
     dominant_symbols,
     1,
     {{0, 0}, {2, 4}, {4, 7}, {6, 10}},
     4,
     0x491},
    {STR("half-diminished-seventh"),
     STR("half-diminished seventh"),
     half_names,
     1,
     half_symbols,
     1,
     {{0, 0}, {2, 3}, {4, 6}, {6, 10}},
     4,
     0x449},
};

static const struct str dorian_names[] = {STR("dorian"), STR("Dorian mode")};
static const struct str whole_names[] = {STR("whole-tone"), STR("whole-tone collection")};
static const struct str octatonic_names[] = {STR("octatonic"), STR("half-whole octatonic")};
static const struct scale scales[] = {
    {STR("dorian"), STR("dorian"), dorian_names, 2,
     {{0, 0}, {1, 2}, {2, 3}, {3, 5}, {4, 7}, {5, 9}, {6, 10}}, 7, 0x6AD},
    {STR("whole-tone"), STR("whole-tone"), whole_names, 2,
     {{0, 0}, {1, 2}, {2, 4}, {3, 6}, {4, 8}, {5, 10}}, 6, 0x555},
    {STR("octatonic"), STR("octatonic"), octatonic_names, 2,
     {{0, 0}, {1, 1}, {2, 3}, {2, 4}, {3, 6}, {4, 7}, {5, 9}, {6, 10}}, 8, 0x6DB},
};

static const struct str horn_names[] = {STR("English horn"), STR("cor anglais")};
static const struct str flute_names[] = {STR("flute"), STR("flutes")};
static const struct str woodwind[] = {STR("woodwind")};
static const struct str violin_names[] = {STR("violins"), STR("violin")};
static const struct str bowed[] = {STR("strings"), STR("bowed-strings")};
static const struct instrument instruments[] = {
    {.symbol = {.name = STR("english-horn")},
     .names = horn_names,
     .n_names = 2,
     .families = woodwind,
     .n_families = 1,
     .reed = STR("double")},
    {.symbol = {.name = STR("flute")},
     .names = flute_names,
     .n_names = 2,
     .families = woodwind,
     .n_families = 1},
    {.symbol = {.name = STR("violins")},
     .names = violin_names,
     .n_names = 2,
     .families = bowed,
     .n_families = 2},
};
static const struct instrument *const plays_violins[] = {&instruments[2]};
static const struct instrument *const plays_horn[] = {&instruments[0]};

/* ---- building a passage -------------------------------------------------------------------------- */

struct builder {
    struct arena arena;
    struct source_list sources;
    struct diag_list diags;
    struct theory_library library;
    struct convention_values conventions;
    struct model model;
    uint32_t at; /* spans are made up: every note has its own */
};

static struct span next_span(struct builder *b)
{
    b->at += 10;
    return (struct span){0, b->at, b->at + 3};
}

static struct pitch pitch_of(const char *text)
{
    struct pitch p = {{0, 0}, 4};
    if (!pitch_parse(str_of(text), &p))
        abort();
    return p;
}

static struct passage *passage_new(struct builder *b, const char *name, int bars)
{
    struct passage *p = ARENA_NEW(&b->arena, struct passage);
    p->symbol.name = str_of(name);
    p->bars = ARENA_NEW_ARRAY(&b->arena, struct bar, (size_t)bars);
    p->n_bars = (uint32_t)bars;
    for (int i = 0; i < bars; i++)
        p->bars[i] = (struct bar){i + 1, ratio_int(i), RATIO_ONE, {{4}, 1, 4}, true};
    p->pickup = RATIO_ZERO;
    p->length = ratio_int(bars);
    p->parts = ARENA_NEW_ARRAY(&b->arena, struct part *, 8);
    p->harmony = ARENA_NEW_ARRAY(&b->arena, struct harmony_event, 16);
    p->figures = ARENA_NEW_ARRAY(&b->arena, struct figure *, 8);
    b->model.passages[b->model.n_passages++] = p;
    return p;
}

static struct part *part_new(struct builder *b, struct passage *p, const char *name)
{
    struct part *part = ARENA_NEW(&b->arena, struct part);
    part->symbol.name = str_of(name);
    part->passage = p;
    part->notes = ARENA_NEW_ARRAY(&b->arena, struct note, 64);
    part->stacks = ARENA_NEW_ARRAY(&b->arena, struct stack, 32);
    part->voices_known = true;
    p->parts[p->n_parts++] = part;
    return part;
}

/* Pitches with spaces between them, lowest first; a `?` after one marks it uncertain. */
static void stack_new(struct builder *b, struct part *part, struct ratio onset, struct ratio length,
                      const char *pitches)
{
    struct stack *s = &part->stacks[part->n_stacks++];
    *s = (struct stack){onset, length, part->n_notes, 0, next_span(b)};
    char copy[128];
    strncpy(copy, pitches, sizeof copy - 1);
    copy[sizeof copy - 1] = '\0';
    for (char *at = strtok(copy, " "); at; at = strtok(NULL, " ")) {
        size_t n = strlen(at);
        bool uncertain = at[n - 1] == '?';
        if (uncertain)
            at[n - 1] = '\0';
        struct pitch p = pitch_of(at);
        part->notes[part->n_notes++] = (struct note){p, p, onset, length, s->n++, uncertain, next_span(b)};
    }
    if (part->n_stacks > 1 && s->n != part->n_voices)
        part->voices_known = false;
    part->n_voices = s->n > part->n_voices ? s->n : part->n_voices;
}

static struct figure *figure_new(struct builder *b, struct passage *p, struct part *part, const char *name,
                                 int bar)
{
    struct figure *f = ARENA_NEW(&b->arena, struct figure);
    *f = (struct figure){.symbol = {.name = str_of(name)},
                         .passage = p,
                         .part = part,
                         .onset = ratio_int(bar - 1),
                         .length = RATIO_ONE};
    f->notes = ARENA_NEW_ARRAY(&b->arena, struct note, 16);
    for (uint32_t i = 0; i < part->n_notes; i++)
        if (ratio_floor(part->notes[i].onset) == bar - 1)
            f->notes[f->n_notes++] = part->notes[i];
    p->figures[p->n_figures++] = f;
    b->model.figures[b->model.n_figures++] = f;
    return f;
}

static void harmony_new(struct builder *b, struct passage *p, struct ratio onset, struct ratio length,
                        const char *upper, const char *lower)
{
    struct harmony_event *e = &p->harmony[p->n_harmony++];
    *e = (struct harmony_event){.onset = onset, .length = length, .where = next_span(b)};
    e->harmony.where = e->where;
    uint32_t bad;
    if (!chord_parse(&b->library.chords, str_of(upper), &e->harmony.layers[e->harmony.n_layers++], &bad))
        abort();
    if (lower &&
        !chord_parse(&b->library.chords, str_of(lower), &e->harmony.layers[e->harmony.n_layers++], &bad))
        abort();
    e->harmony.text = lower ? str_printf(&b->arena, "%s over %s", upper, lower) : str_of(upper);
}

/* The lamp: six bars; strings turn two polychords, an English horn calls, a low G lies under it from bar 3
 * on. */
static void build_lamp(struct builder *b)
{
    static const char *const first = "Eb3 G3 Bb3 D4 F#4 A4", *const second = "Cb3 Eb3 Gb3 Bb3 D4 F4";
    struct passage *lamp = passage_new(b, "lamp", 6);
    struct part *strings = part_new(b, lamp, "strings"), *reed = part_new(b, lamp, "reed");
    struct part *pipe = part_new(b, lamp, "pipe"), *deep = part_new(b, lamp, "deep");
    struct ratio half = {1, 2}, quarter = {1, 4}, eighth = {1, 8};
    strings->instruments = ARENA_NEW_ARRAY(&b->arena, const struct instrument *, 1);
    strings->instruments[strings->n_instruments++] = plays_violins[0];
    reed->instruments = ARENA_NEW_ARRAY(&b->arena, const struct instrument *, 1);
    reed->instruments[reed->n_instruments++] = plays_horn[0];
    for (int i = 0; i < 4; i++)
        stack_new(b, strings, (struct ratio){i, i % 2 ? 2 : 1}, half, i % 2 ? second : first);
    strings->stacks[0].onset = RATIO_ZERO;
    for (uint32_t i = 0; i < strings->n_stacks; i++) {
        struct ratio onset;
        ratio_make(i, 2, &onset);
        strings->stacks[i].onset = onset;
        for (uint32_t k = 0; k < strings->stacks[i].n; k++)
            strings->notes[strings->stacks[i].first + k].onset = onset;
    }
    stack_new(b, strings, ratio_int(2), ratio_int(2), first);
    stack_new(b, strings, ratio_int(4), ratio_int(2), second);
    stack_new(b, reed, ratio_int(2), eighth, "E4");
    stack_new(b, reed, (struct ratio){17, 8}, eighth, "F4");
    stack_new(b, reed, (struct ratio){9, 4}, quarter, "G4");
    stack_new(b, reed, (struct ratio){5, 2}, half, "D#4");
    stack_new(b, pipe, ratio_int(3), eighth, "G#5");
    stack_new(b, pipe, (struct ratio){25, 8}, eighth, "A5");
    stack_new(b, pipe, (struct ratio){13, 4}, quarter, "B5");
    stack_new(b, pipe, (struct ratio){7, 2}, half, "F##5");
    for (int i = 2; i < 6; i++)
        stack_new(b, deep, ratio_int(i), RATIO_ONE, "G1");
    harmony_new(b, lamp, RATIO_ZERO, half, "D", "Eb");
    harmony_new(b, lamp, half, half, "Bb", "Cb");
    harmony_new(b, lamp, RATIO_ONE, half, "D", "Eb");
    harmony_new(b, lamp, (struct ratio){3, 2}, half, "Bb", "Cb");
    harmony_new(b, lamp, ratio_int(2), ratio_int(2), "D", "Eb");
    harmony_new(b, lamp, ratio_int(4), ratio_int(2), "Bb", "Cb");
    figure_new(b, lamp, reed, "call", 3);
    figure_new(b, lamp, pipe, "answer", 4);
}

static void builder_start(struct builder *b)
{
    uint32_t symbols = 0;
    *b = (struct builder){.at = 1000};
    for (size_t i = 0; i < sizeof qualities / sizeof qualities[0]; i++)
        symbols += qualities[i].n_symbols;
    b->sources.arena = &b->arena;
    source_add(&b->sources, STR("test.descant"), STR(""), false);
    b->diags.arena = &b->arena;
    uint32_t n_slots = chord_dict_slots(symbols);
    struct chord_dict_slot *slots = ARENA_NEW_ARRAY(&b->arena, struct chord_dict_slot, n_slots);
    if (chord_dict_build(&b->library.chords, qualities, 4, slots, n_slots) >= 0)
        abort();
    b->library.qualities = qualities;
    b->library.n_qualities = 4;
    b->library.scales = scales;
    b->library.n_scales = 3;
    b->library.instruments = instruments;
    b->library.n_instruments = 3;
    convention_defaults(&b->conventions);
    b->model = (struct model){.arena = &b->arena,
                              .sources = &b->sources,
                              .diags = &b->diags,
                              .library = &b->library,
                              .conventions = &b->conventions,
                              .lexicon = lexicon_build(&b->arena, pattern_table_build(&b->arena), &b->library),
                              .length = RATIO_ZERO};
    b->model.passages = ARENA_NEW_ARRAY(&b->arena, struct passage *, 8);
    b->model.figures = ARENA_NEW_ARRAY(&b->arena, struct figure *, 8);
}

/* ---- sentences as the scanner gives them --------------------------------------------------------- */

static enum word_kind kind_of(struct str w)
{
    if (strchr(",().", w.p[0]))
        return WORD_MARK;
    if (w.p[0] >= 'A' && w.p[0] <= 'Z')
        return WORD_MUSIC;
    if (w.p[0] < '0' || w.p[0] > '9')
        return WORD_NAME;
    return memchr(w.p, '/', w.n) ? WORD_FRACTION : memchr(w.p, ':', w.n) ? WORD_TIME : WORD_NUMBER;
}

static struct sentence sentence_of(struct builder *b, const char *text)
{
    struct word *words = ARENA_NEW_ARRAY(&b->arena, struct word, strlen(text) + 1);
    struct sentence s = {.words = words, .where = {0, 0, (uint32_t)strlen(text)}};
    uint32_t n = s.where.hi;
    for (uint32_t i = 0; i < n;) {
        uint32_t from = i;
        bool mark = strchr(",()", text[i]) != NULL;
        if (mark)
            i++;
        while (!mark && i < n && !strchr(" ,()", text[i]))
            i++;
        if (i > from) {
            struct str w = {text + from, i - from};
            words[s.n++] = (struct word){kind_of(w), w, {0, from, i}};
        }
        while (i < n && text[i] == ' ')
            i++;
    }
    return s;
}

static struct claim claim_of(struct builder *b, const char *text)
{
    struct claim claim = {.symbol = {.name = STR("it")}};
    claim_run(&b->model, &claim, sentence_of(b, text));
    return claim;
}

static const struct diag *last_diag(const struct builder *b)
{
    return b->diags.n ? &b->diags.items[b->diags.n - 1] : NULL;
}

static bool has_text(struct str text, const char *part)
{
    uint32_t n = (uint32_t)strlen(part);
    for (uint32_t i = 0; i + n <= text.n; i++)
        if (memcmp(text.p + i, part, n) == 0)
            return true;
    return false;
}

#endif
