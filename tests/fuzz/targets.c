#include "fuzz/targets.h"

#include "back/back.h"
#include "diag/render.h"

#include <cJSON.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>

_Noreturn void fuzz_broken(const char *file, int line, const char *fact)
{
    fprintf(stderr, "%s:%d: a law is broken: %s\n", file, line, fact);
    abort();
}

struct context *fuzz_context(void)
{
    static struct context *context; /* of the process: reading the library takes longer than a case */
    if (!context)
        context = context_open();
    return context;
}

char *fuzz_copy(struct str bytes)
{
    char *copy = malloc((size_t)bytes.n + 1);
    if (!copy)
        abort();
    if (bytes.n)
        memcpy(copy, bytes.p, bytes.n);
    copy[bytes.n] = '\0';
    return copy;
}

/* ---- files of a case ------------------------------------------------------------------------------ */

/* What stands behind a line "//// NAME" is the library NAME; the text before the first such line is the file
 * itself. */
#define FILE_MARK "\n//// "

static struct str first_file(struct str bytes)
{
    return str_slice(bytes, 0, str_find(bytes, STR(FILE_MARK)));
}

static int load(void *user, const char *path, struct buf *out)
{
    struct str rest = *(struct str *)user, name = str_of(path);
    for (uint32_t at = str_find(rest, STR(FILE_MARK)); at < rest.n; at = str_find(rest, STR(FILE_MARK))) {
        rest = str_slice(rest, at + (uint32_t)strlen(FILE_MARK), rest.n);
        uint32_t line = str_find(rest, STR("\n"));
        if (!str_eq(str_slice(rest, 0, line), name))
            continue;
        struct str text = first_file(str_slice(rest, line, rest.n));
        buf_str_put(out, text);
        buf_byte(out, '\0');
        out->n--;
        return 0;
    }
    return ENOENT;
}

/* ---- laws of a compilation ------------------------------------------------------------------------ */

static void check_span(const struct compilation *c, struct span where)
{
    LAW(where.file < c->sources.n);
    LAW(where.lo <= where.hi);
    LAW(where.hi <= c->sources.items[where.file].text.n);
}

/* Messages reach a terminal: UTF-8, and nothing that it acts on. */
static void check_printable(struct str text)
{
    for (uint32_t i = 0; i < text.n; i++) {
        unsigned char byte = (unsigned char)text.p[i];
        LAW(byte >= 0x20 || byte == '\n');
        LAW(byte != 0x7F);
    }
}

static void check_json_line(struct buf *b)
{
    cJSON *json = cJSON_ParseWithLength(b->p, b->n);
    LAW(json != NULL);
    cJSON_Delete(json);
    b->n = 0;
}

static void check_sarif(struct compilation *c)
{
    struct buf b = {0};
    struct sarif_log *sarif = sarif_open("0");
    sarif_add(sarif, &c->sources, &c->diags);
    sarif_close(sarif, 0, &b);
    check_json_line(&b);
    buf_free(&b);
}

static void check_diags(struct compilation *c)
{
    static const struct text_options options[] = {{STYLE_PLAIN, 80}, {STYLE_TAGS, 0}, {STYLE_PLAIN, 40}};
    struct buf b = {0};
    for (uint32_t i = 0; i < c->diags.n; i++) {
        const struct diag *d = &c->diags.items[i];
        check_span(c, d->where);
        LAW(d->message.n > 0);
        for (const struct diag_part *part = d->parts; part; part = part->next)
            if (part->kind == PART_LABEL || part->kind == PART_FIX)
                check_span(c, part->where);
        for (size_t k = 0; k < sizeof options / sizeof *options; k++) {
            b.n = 0;
            render_text(&b, &c->sources, d, &options[k]);
            check_printable(buf_str(&b));
        }
        b.n = 0;
        render_json(&b, &c->sources, d);
        check_json_line(&b);
    }
    buf_free(&b);
}

static void check_claims(const struct compilation *c)
{
    uint32_t own = 0;
    for (uint32_t i = 0; i < c->model->n_claims; i++) {
        const struct claim *claim = c->model->claims[i];
        own += !claim->symbol.library;
        check_span(c, claim->sentence);
        if (claim->verdict != VERDICT_HOLDS)
            LAW(claim->reason.n > 0 || claim->evidence.n > 0);
        for (const struct claim_place *place = claim->places; place; place = place->next)
            check_span(c, place->where);
    }
    LAW(c->holds + c->fails + c->undecided + c->unchecked == own);
}

/* Evidence that nobody reads changes no verdict, and no message. */
static void check_same_verdicts(const struct compilation *a, const struct compilation *b)
{
    LAW(!a->model == !b->model);
    LAW(a->diags.n == b->diags.n);
    for (uint32_t i = 0; i < a->diags.n; i++) {
        LAW(a->diags.items[i].code == b->diags.items[i].code);
        LAW(str_eq(a->diags.items[i].message, b->diags.items[i].message));
    }
    for (uint32_t i = 0; a->model && i < a->model->n_claims; i++)
        LAW(a->model->claims[i]->verdict == b->model->claims[i]->verdict);
}

static void run_compile(struct context *context, struct str bytes, struct compilation *out, char **text)
{
    struct str file = first_file(bytes);
    struct buf dump = {0};
    const struct text_loader loader = {load, &bytes};
    struct compile_options options = {.dump = (enum dump_stage)(str_hash(bytes) % (DUMP_TIMELINE + 1)),
                                      .dump_to = &dump,
                                      .loader = &loader};
    *text = fuzz_copy(file);
    file.p = *text;
    compile(context, STR("fuzz.descant"), file, &options, out);
    buf_free(&dump);
    check_diags(out);
    if (str_hash(bytes) % 16 == 0) /* its list of rules costs more than most cases */
        check_sarif(out);
    if (out->model)
        check_claims(out);
}

static void fuzz_compile(struct context *context, struct str bytes)
{
    struct compilation c, again;
    char *text;
    run_compile(context, bytes, &c, &text);
    const struct text_loader loader = {load, &bytes};
    const struct compile_options options = {.verdicts_only = true, .loader = &loader};
    compile(context, STR("fuzz.descant"), (struct str){text, first_file(bytes).n}, &options, &again);
    check_same_verdicts(&c, &again);
    compilation_free(&again);
    compilation_free(&c);
    free(text);
}

/* ---- outputs --------------------------------------------------------------------------------------- */

static bool ends_with(struct str s, struct str end)
{
    return s.n >= end.n && str_eq(str_slice(s, s.n - end.n, s.n), end);
}

static void check_output(const struct output *o)
{
    LAW(o->name.n > 0);
    LAW(memchr(o->name.p, '/', o->name.n) == NULL);
    if (ends_with(o->name, STR(".vtt")))
        LAW(str_starts(o->bytes, STR("WEBVTT")));
    if (ends_with(o->name, STR(".mid")))
        LAW(str_starts(o->bytes, STR("MThd")));
    if (ends_with(o->name, STR(".json"))) {
        cJSON *json = cJSON_ParseWithLength(o->bytes.p, o->bytes.n);
        LAW(json != NULL);
        cJSON_Delete(json);
    }
}

static void write_all(const struct model *m, struct arena *a, struct output_list *list)
{
    *list = (struct output_list){.arena = a, .stem = STR("fuzz")};
    for (const struct back *back = backs(); back->kind; back++)
        if (!back->needs_episode || !m->is_library)
            back->write(m, list);
}

/* What can be written is written the same twice, and names no file twice. */
static void check_outputs(const struct compilation *c)
{
    if (!c->model || c->diags.errors || c->fails)
        return; /* the command writes nothing then */
    struct arena a = {0};
    struct output_list first, second;
    write_all(c->model, &a, &first);
    write_all(c->model, &a, &second);
    LAW(first.n == second.n);
    for (uint32_t i = 0; i < first.n; i++) {
        check_output(&first.items[i]);
        LAW(str_eq(first.items[i].name, second.items[i].name));
        LAW(str_eq(first.items[i].bytes, second.items[i].bytes));
        for (uint32_t k = 0; k < i; k++)
            LAW(!str_eq(first.items[i].name, first.items[k].name));
    }
    arena_free(&a);
}

static void fuzz_outputs(struct context *context, struct str bytes)
{
    struct compilation c;
    char *text;
    run_compile(context, bytes, &c, &text);
    check_outputs(&c);
    compilation_free(&c);
    free(text);
}

/* ---- inside a fixed episode ------------------------------------------------------------------------- */

#define EPISODE \
    "episode \"A Study\" { language en   date \"2024-05-01\"   frames 25 }\n" \
    "work w { title \"A Study\"   year 1901 }\n" \
    "recording film { of w   kind picture   frames 24   starts 01:00:00:00 }\n" \
    "recording disc { of w   kind audio   length 2:41 }\n" \
    "passage lamp of w {\n" \
    "  heard in film 01:00:10:00 to 01:00:28:00\n" \
    "  heard in disc 0:21 to 0:39\n" \
    "  basis ear\n" \
    "  meter 4/4\n" \
    "  key Eb major\n" \
    "  tempo 1/4 = 80\n" \
    "  part strings for violins, violas, cellos muted {\n" \
    "    voices one two three four five six\n" \
    "    bar 1: 1/2 (Eb3 G3 Bb3 D4 F#4 A4) (Cb3 Eb3 Gb3 Bb3 D4 F4)\n" \
    "    bar 2: 1/2 (Eb3 G3 Bb3 D4 F#4 A4) (Cb3 Eb3 Gb3 Bb3 D4 F4)\n" \
    "    bar 3: 1/1 (Eb3 G3 Bb3 D4 F#4 A4)\n" \
    "    bar 4: hold\n" \
    "    bar 5: 1/1 (Cb3 Eb3 Gb3 Bb3 D4 F4)\n" \
    "    bar 6: hold\n" \
    "  }\n" \
    "  part reed for english-horn written { bar 3: 1/8 B4 C5 1/4 D5 1/2 A#4 uncertain }\n" \
    "  part pipe for flute { bar 4: 1/8 G#5 A5 1/4 B5 1/2 F##5 }\n" \
    "  part deep for contrabassoon, tuba sounding { bar 3: 1/1 G1 | hold | hold | hold }\n" \
    "  harmony {\n" \
    "    bar 1: 1/2 D over Eb Bb over Cb\n" \
    "    bar 2: 1/2 D over Eb Bb over Cb\n" \
    "    bar 3: 2/1 D over Eb\n" \
    "    bar 5: 2/1 Bb over Cb\n" \
    "  }\n" \
    "  figure call is reed bar 3\n" \
    "  figure answer is pipe bar 4\n" \
    "}\n" \
    "passage plain of w {\n" \
    "  meter 3/4\n" \
    "  pickup 1/4\n" \
    "  key A minor\n" \
    "  harmony {\n" \
    "    bar 0: 1/4 V7\n" \
    "    bar 1: 1/2 i 1/4 Bm over Bbm as (B4 D5 F#5) over (Bb3 Db4 F4)\n" \
    "    bar 2: 3/4 E7/G#\n" \
    "  }\n" \
    "}\n" \
    "cite book { author \"A. Writer\" title \"On Lanterns\" year 1998 }\n" \
    "fact takes \"two takes\" from book\n" \
    "reading idea \"it searches\"\n" \
    "spell \"Lantern\" never \"Lanturn\" said \"lan-tern\"\n"

/* Line ends would end the sentence. */
static void put_one_line(struct buf *b, struct str bytes)
{
    for (uint32_t i = 0; i < bytes.n; i++)
        buf_byte(b, bytes.p[i] == '\n' || bytes.p[i] == '\r' ? ' ' : bytes.p[i]);
}

static void fuzz_claim(struct context *context, struct str bytes)
{
    struct buf b = {0};
    buf_put(&b, EPISODE "claim it: ");
    put_one_line(&b, bytes);
    buf_put(&b, "\nat 0:00 say { [It](claim:it) is so. }\n");
    fuzz_compile(context, buf_str(&b));
    buf_free(&b);
}

static void fuzz_narration(struct context *context, struct str bytes)
{
    struct buf b = {0};
    buf_put(&b, EPISODE "claim it: english horn is a double reed\nat 0:00 chapter \"One\"\nat 0:01 say {\n");
    buf_str_put(&b, bytes);
    buf_put(&b, "\n}\nthen demo lamp bars 1 to 2\nthen say { The [end](claim:it). }\n");
    fuzz_outputs(context, buf_str(&b));
    buf_free(&b);
}

/* ---- the table ---------------------------------------------------------------------------------------- */

static const struct fuzz_target targets[] = {
    {"compile", fuzz_compile},
    {"claim", fuzz_claim},
    {"narration", fuzz_narration},
    {"format", fuzz_format},
    {"outputs", fuzz_outputs},
    {"words", fuzz_words},
    {NULL, NULL},
};

const struct fuzz_target *fuzz_targets(void)
{
    return targets;
}

const struct fuzz_target *fuzz_target_by_name(const char *name)
{
    for (const struct fuzz_target *t = targets; t->name; t++)
        if (strcmp(t->name, name) == 0)
            return t;
    return NULL;
}
