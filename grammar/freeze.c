/* freeze.c - writes the standard library and the claims' patterns as C tables, when the program is built.
 *
 * Reads stdlib/ as the compiler reads any library, compiles the kinds' patterns, and prints the structures that come of it as
 * initializers (driver/standard.h). A mistake in stdlib/ is printed and ends the build.
 */
#include "claims/lexicon.h"
#include "claims/match.h"
#include "diag/render.h"
#include "driver/standard.h"

#include <inttypes.h>
#include <stdio.h>

/* A new member of one of these must be written here too. */
#define WHOLE(type, bytes) _Static_assert(sizeof(void *) != 8 || sizeof(type) == (bytes), #type " has changed")
WHOLE(struct chord_quality, 168);
WHOLE(struct chord_dict_slot, 32);
WHOLE(struct scale, 152);
WHOLE(struct instrument, 160);
WHOLE(struct caption_profile, 184);
WHOLE(struct theory_library, 96);
WHOLE(struct step, 20);
WHOLE(struct pattern_word, 12);
WHOLE(struct word_group, 16);
WHOLE(struct pattern, 192);
WHOLE(struct stem_slot, 16);
WHOLE(struct lexicon_entry, 32);
WHOLE(struct claim_lexicon, 16392);

/* ---- values ------------------------------------------------------------------------------------- */

/* As {text, length}; every byte that could mean something else in C is written in octal. */
static void put_str(struct str s)
{
    printf("{\"");
    for (uint32_t i = 0; i < s.n; i++) {
        unsigned char c = (unsigned char)s.p[i];
        if (c < 0x20 || c > 0x7E || c == '"' || c == '\\' || c == '?')
            printf("\\%03o", c);
        else
            putchar(c);
    }
    printf("\", %" PRIu32 "}", s.n);
}

static void put_field_str(const char *field, struct str s)
{
    printf(".%s = ", field);
    put_str(s);
    printf(", ");
}

/* A list of texts as a compound literal; .field and .n_field. */
static void put_texts(const char *field, const struct str *items, uint32_t n)
{
    if (n == 0)
        return;
    printf(".%s = (const struct str[]){", field);
    for (uint32_t i = 0; i < n; i++) {
        put_str(items[i]);
        printf(", ");
    }
    printf("}, .n_%s = %" PRIu32 ", ", field, n);
}

static void put_symbol(struct symbol s)
{
    printf(".symbol = {");
    put_field_str("name", s.name);
    printf(".where = {%" PRIu32 ", %" PRIu32 ", %" PRIu32 "}, .library = %d}, ", s.where.file, s.where.lo, s.where.hi, s.library);
}

static void put_interval(const char *field, struct interval v)
{
    printf(".%s = {%d, %d}, ", field, v.steps, v.half);
}

static void put_degrees(const struct interval *degrees, uint32_t n, pcset shape)
{
    printf(".degrees = {");
    for (uint32_t i = 0; i < n; i++)
        printf("{%d, %d}, ", degrees[i].steps, degrees[i].half);
    printf("}, .n_degrees = %" PRIu32 ", .shape = %u, ", n, (unsigned)shape);
}

static void put_pitch(const char *field, struct pitch p)
{
    printf(".%s = {{%d, %d}, %d}, ", field, p.tone.letter, p.tone.alter, p.octave);
}

static void put_ratio(const char *field, struct ratio r)
{
    printf(".%s = {%" PRId64 ", %" PRId64 "}, ", field, r.num, r.den);
}

/* ---- the library ---------------------------------------------------------------------------------- */

static void put_qualities(const struct theory_library *l)
{
    printf("static const struct chord_quality qualities[] = {\n");
    for (uint32_t i = 0; i < l->n_qualities; i++) {
        const struct chord_quality *q = &l->qualities[i];
        printf("    {");
        put_field_str("id", q->id);
        put_field_str("name", q->name);
        put_texts("names", q->names, q->n_names);
        put_texts("symbols", q->symbols, q->n_symbols);
        put_degrees(q->degrees, q->n_degrees, q->shape);
        printf("},\n");
    }
    printf("};\n\nstatic const struct chord_dict_slot chord_slots[%" PRIu32 "] = {\n", l->chords.n_slots);
    for (uint32_t i = 0; i < l->chords.n_slots; i++) {
        const struct chord_dict_slot *slot = &l->chords.slots[i];
        if (!slot->quality)
            continue;
        printf("    [%" PRIu32 "] = {", i);
        put_str(slot->symbol);
        printf(", %" PRIu32 "u, &qualities[%td]},\n", slot->hash, slot->quality - l->qualities);
    }
    printf("};\n\n");
}

static void put_scales(const struct theory_library *l)
{
    printf("static const struct scale scales[] = {\n");
    for (uint32_t i = 0; i < l->n_scales; i++) {
        const struct scale *s = &l->scales[i];
        printf("    {");
        put_field_str("id", s->id);
        put_field_str("name", s->name);
        put_texts("names", s->names, s->n_names);
        put_degrees(s->degrees, s->n_degrees, s->shape);
        printf("},\n");
    }
    printf("};\n\n");
}

static void put_instruments(const struct theory_library *l)
{
    printf("static const struct instrument instruments[] = {\n");
    for (uint32_t i = 0; i < l->n_instruments; i++) {
        const struct instrument *in = &l->instruments[i];
        printf("    {");
        put_symbol(in->symbol);
        put_texts("names", in->names, in->n_names);
        put_texts("families", in->families, in->n_families);
        put_field_str("reed", in->reed);
        put_interval("sounds", in->sounds);
        put_pitch("low", in->low);
        put_pitch("high", in->high);
        put_pitch("common_low", in->common_low);
        put_pitch("common_high", in->common_high);
        printf(".has_range = %d, .has_common = %d, ", in->has_range, in->has_common);
        put_field_str("clef", in->clef);
        printf(".program = %d, ", in->program);
        put_field_str("source", in->source);
        printf("},\n");
    }
    printf("};\n\n");
}

static void put_profiles(const struct theory_library *l)
{
    printf("static const struct caption_profile profiles[] = {\n");
    for (uint32_t i = 0; i < l->n_profiles; i++) {
        const struct caption_profile *p = &l->profiles[i];
        printf("    {");
        put_symbol(p->symbol);
        put_field_str("title", p->title);
        printf(".line = %d, .lines = %d, ", p->line, p->lines);
        put_ratio("rate_note", p->rate_note);
        put_ratio("rate_error", p->rate_error);
        put_ratio("speech", p->speech);
        put_ratio("shortest", p->shortest);
        put_ratio("longest", p->longest);
        put_ratio("gap", p->gap);
        printf(".gap_frames = %d, ", p->gap_frames);
        put_ratio("close", p->close);
        printf(".accidentals = %d},\n", (int)p->accidentals);
    }
    printf("};\n\n");
}

static void put_library(const struct theory_library *l)
{
    put_qualities(l);
    put_scales(l);
    put_instruments(l);
    put_profiles(l);
    printf("const struct theory_library standard_library = {\n"
           "    .chords = {qualities, %" PRIu32 ", chord_slots, %" PRIu32 "},\n"
           "    .qualities = qualities, .n_qualities = %" PRIu32 ",\n"
           "    .scales = scales, .n_scales = %" PRIu32 ",\n"
           "    .instruments = instruments, .n_instruments = %" PRIu32 ",\n"
           "    .profiles = profiles, .n_profiles = %" PRIu32 ",\n};\n\n",
           l->chords.n, l->chords.n_slots, l->n_qualities, l->n_scales, l->n_instruments, l->n_profiles);
}

/* ---- patterns -------------------------------------------------------------------------------------- */

static const char *kind_id(const struct claim_kind *kind)
{
    static const struct {
        const struct claim_kind *kind;
        const char *id;
    } ids[] = {
#define KIND(id, fail_name, fail_summary) {&claim_kind_##id, #id},
#include "claims/kinds.def"
#undef KIND
    };
    size_t i = 0;
    while (ids[i].kind != kind)
        i++;
    return ids[i].id;
}

static void put_steps(const struct pattern *p)
{
    printf("        .steps = (const struct step[]){");
    for (uint32_t i = 0; i < p->n_steps; i++) {
        const struct step *s = &p->steps[i];
        printf("{%d, %d, %" PRIu32 "u, %" PRIu32 "u, %" PRIu32 "u}, ", (int)s->kind, (int)s->slot, s->first, s->n, s->target);
    }
    printf("}, .n_steps = %" PRIu32 ",\n", p->n_steps);
}

static void put_words(const struct pattern *p)
{
    if (p->n_words == 0)
        return;
    printf("        .words = (const struct pattern_word[]){");
    for (uint32_t i = 0; i < p->n_words; i++) {
        const struct pattern_word *w = &p->words[i];
        printf("{%" PRIu32 "u, %u, %u, %d, %d}, ", w->stem, w->at, w->n, w->common, w->times);
    }
    printf("}, .n_words = %" PRIu32 ",\n", p->n_words);
}

static void put_groups(const struct pattern *p)
{
    uint32_t stems = 0;
    printf("        .groups = {");
    for (uint32_t i = 0; i < p->n_groups; i++) {
        const struct word_group *g = &p->groups[i];
        printf("{%" PRIu64 "u, %" PRIu32 ", %" PRIu32 "}, ", g->bits, g->first, g->n);
        stems = g->first + g->n > stems ? g->first + g->n : stems;
    }
    printf("}, .n_groups = %" PRIu32 ",\n", p->n_groups);
    if (stems == 0)
        return;
    printf("        .stems = (const uint32_t[]){");
    for (uint32_t i = 0; i < stems; i++)
        printf("%" PRIu32 "u, ", p->stems[i]);
    printf("},\n");
}

static void put_set(const struct pattern_set *set)
{
    printf("{{");
    for (uint32_t i = 0; i < PATTERNS_MAX / 64; i++)
        printf("%" PRIu64 "u, ", set->bits[i]);
    printf("}}");
}

static void put_patterns(const struct pattern_table *t)
{
    printf("static const struct pattern patterns[] = {\n");
    for (uint32_t i = 0; i < t->n_patterns; i++) {
        const struct pattern *p = &t->patterns[i];
        printf("    {.kind = &claim_kind_%s, .number = %d, .n_choices = %d,\n", kind_id(p->kind), p->number, p->n_choices);
        put_steps(p);
        put_words(p);
        put_groups(p);
        printf("    },\n");
    }
    printf("};\n\nstatic const struct stem_slot stems[STEM_SLOTS] = {\n");
    for (uint32_t i = 0; i < STEM_SLOTS; i++) {
        const struct stem_slot *s = &t->stems[i];
        if (!s->uses)
            continue;
        printf("    [%" PRIu32 "] = {%" PRIu32 "u, %" PRIu32 ", ", i, s->stem, s->uses);
        if (s->told) {
            printf("&(const struct pattern_set)");
            put_set(s->told);
        } else {
            printf("NULL");
        }
        printf("},\n");
    }
    printf("};\n\nstatic const struct pattern_table table = {\n    .patterns = patterns, .n_patterns = %" PRIu32
           ", .stems = stems, .others = ",
           t->n_patterns);
    put_set(&t->others);
    printf(",\n};\n\n");
}

/* ---- names ------------------------------------------------------------------------------------------- */

static void put_thing(const struct lexicon_entry *e, const struct theory_library *l)
{
    switch (e->class) {
    case LEXICON_QUALITY: printf("&qualities[%td]", (const struct chord_quality *)e->thing - l->qualities); break;
    case LEXICON_SCALE: printf("&scales[%td]", (const struct scale *)e->thing - l->scales); break;
    case LEXICON_INSTRUMENT: printf("&instruments[%td]", (const struct instrument *)e->thing - l->instruments); break;
    case LEXICON_FAMILY: printf("NULL"); break;
    }
}

static void put_lexicon(const struct claim_lexicon *lexicon, const struct theory_library *l)
{
    printf("const struct claim_lexicon standard_lexicon = {\n    .table = &table,\n    .buckets = {\n");
    for (uint32_t i = 0; i < LEXICON_BUCKETS; i++) {
        const struct lexicon_bucket *b = &lexicon->buckets[i];
        if (!b->n)
            continue;
        /* Built lexicons fill their lists, so the pointer is not to const; nothing writes to this one. */
        printf("        [%" PRIu32 "] = {(struct lexicon_entry *)(const struct lexicon_entry[]){", i);
        for (uint32_t k = 0; k < b->n; k++) {
            printf("{%d, ", (int)b->entries[k].class);
            put_str(b->entries[k].name);
            printf(", ");
            put_thing(&b->entries[k], l);
            printf("}, ");
        }
        printf("}, %" PRIu32 "},\n", b->n);
    }
    printf("    },\n};\n");
}

int main(void)
{
    struct arena arena = {0};
    struct source_list sources = {.arena = &arena};
    struct diag_list diags = {.arena = &arena};
    struct theory_library library;
    standard_read(&arena, &sources, &diags, &library);
    struct buf said = {0};
    const struct text_options plain = {.style = STYLE_PLAIN, .width = 100};
    for (uint32_t i = 0; i < diags.n; i++)
        render_text(&said, &sources, &diags.items[i], &plain);
    fprintf(stderr, "%.*s", (int)said.n, said.n ? said.p : "");
    buf_free(&said);
    bool fine = diags.errors == 0;
    if (fine) {
        const struct pattern_table *table = pattern_table_build(&arena);
        printf("#include \"claims/match.h\"\n#include \"driver/standard.h\"\n\n");
        put_library(&library);
        put_patterns(table);
        put_lexicon(lexicon_build(&arena, table, &library), &library);
    }
    arena_free(&arena);
    return fine && fflush(stdout) == 0 ? 0 : 1;
}
