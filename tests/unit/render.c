/* Rows D1, D2, D3: positions, and the three forms of a diagnostic, on lines with signs, accents in both forms, wide
 * characters, tabs, every line end, bad bytes and text that is far too long. */
#include "diag/levels.h"
#include "diag/render.h"
#include "diag/shown.h"
#include "unit/test.h"

#include <cJSON.h>
#include <utf8proc.h>

struct bench {
    struct arena arena;
    struct source_list sources;
    struct diag_list diags;
};

static void bench_open(struct bench *b)
{
    *b = (struct bench){0};
    b->sources.arena = &b->arena;
    b->diags.arena = &b->arena;
}

static uint32_t bench_file(struct bench *b, const char *name, const char *text)
{
    return source_add(&b->sources, str_of(name), str_of(text), false);
}

/* Where `what` stands in a file for the first time. */
static struct span span_of(const struct bench *b, uint32_t file, const char *what)
{
    const char *text = b->sources.items[file].text.p, *at = strstr(text, what);
    uint32_t lo = at ? (uint32_t)(at - text) : 0;
    return (struct span){file, lo, lo + (uint32_t)strlen(what)};
}

static void check_render(struct test *t, struct bench *b, enum text_style style, uint32_t width, const char *want)
{
    struct buf got = {0};
    const struct text_options o = {style, width};
    for (uint32_t i = 0; i < b->diags.n; i++)
        render_text(&got, &b->sources, &b->diags.items[i], &o);
    buf_byte(&got, '\0');
    CHECK_TEXT(t, got.p, want);
    buf_free(&got);
    arena_free(&b->arena);
}

/* ---- positions -------------------------------------------------------------------------------------- */

static void test_positions(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "a", "ab\ncd\r\nef\rg\xE2\x99\xAFh\n");
    struct position p = source_position(&b.sources, f, 3);
    CHECK(t, p.line == 2 && p.column == 1);
    p = source_position(&b.sources, f, span_of(&b, f, "f").lo);
    CHECK(t, p.line == 3 && p.column == 2);
    p = source_position(&b.sources, f, span_of(&b, f, "h").lo);
    CHECK(t, p.line == 4 && p.column == 3);
    p = source_position(&b.sources, f, 1000); /* past the end: behind the last line end */
    CHECK(t, p.line == 5 && p.column == 1);
    CHECK(t, str_is(source_line(&b.sources, f, 2), "cd"));
    CHECK(t, str_is(source_line(&b.sources, f, 3), "ef"));
    CHECK(t, source_line(&b.sources, f, 5).n == 0);
    CHECK(t, source_line(&b.sources, f, 99).n == 0);
    CHECK(t, str_is(source_text(&b.sources, (struct span){f, 0, 2}), "ab"));
    arena_free(&b.arena);
}

/* A byte-order mark moves no column. */
static void test_mark(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "a", "\xEF\xBB\xBFxy\nz");
    struct position p = source_position(&b.sources, f, 4);
    CHECK(t, p.line == 1 && p.column == 2);
    CHECK(t, str_is(source_line(&b.sources, f, 1), "xy"));
    p = source_position(&b.sources, f, 0);
    CHECK(t, p.line == 1 && p.column == 1);
    arena_free(&b.arena);
}

static void test_cells(struct test *t)
{
    static const struct {
        const char *text;
        uint32_t cells;
    } rows[] = {
        {"abc", 3}, {"\t", 8}, {"abc\t", 8}, {"12345678\t", 16}, {"\xE2\x99\xAD", 1}, /* flat sign */
        {"\xF0\x9D\x84\xAB", 1},      /* double flat U+1D12B */
        {"e\xCC\x81", 1},             /* e, combining acute */
        {"\xC3\xA9", 1},              /* e acute */
        {"\xE9\x9F\xB3", 2},          /* CJK: sound */
        {"\xF0\x9F\x8E\xB5", 2},      /* emoji: a note */
        {"\xFF", 4},                  /* <FF> */
        {"\xE2\x80\xAE", 8},          /* <U+202E> */
        {"\x07", 8},                  /* <U+0007> */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct str text = str_of(rows[i].text);
        uint32_t cells = 0;
        for (uint32_t at = 0; at < text.n;) {
            struct glyph g = glyph_at(text, at, cells);
            cells += g.cells;
            at += g.bytes;
        }
        if (!CHECK(t, cells == rows[i].cells))
            fprintf(stderr, "    row %zu: %u cells\n", i, cells);
    }
}

/* ---- text --------------------------------------------------------------------------------------------- */

static void test_plain(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "lamp.descant", "one\nclaim rise: A4 to F4\n  (A4 F#4)\n");
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "A4 to F4"), "the line does not rise");
    diag_place(&b.diags, d, span_of(&b, f, "F#4"), "voice 6 falls");
    diag_note(&b.diags, d, "the others rise");
    diag_help(&b.diags, d, "say that it falls");
    diag_fix(&b.diags, d, span_of(&b, f, "F#4"), STR("F4"), true);
    diag_fix(&b.diags, d, (struct span){f, 0, 0}, STR("no "), false);
    check_render(t, &b, STYLE_PLAIN, 80,
                 "lamp.descant:2:13: error[claim-fails]: the line does not rise\n"
                 "    2 | claim rise: A4 to F4\n"
                 "      |             ^^^^^^^^\n"
                 "    3 |   (A4 F#4)\n"
                 "      |       --- voice 6 falls\n"
                 "   the others rise\n"
                 "   help: say that it falls\n"
                 "   fix: write `F4` instead of `F#4`\n"
                 "   possible fix: insert `no `\n");
}

/* Marks of one line share it; each label has a row. */
static void test_one_line(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", "alpha beta gamma");
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_UNDECIDED, span_of(&b, f, "beta"), "it is open");
    diag_label(&b.diags, d, "here");
    diag_place(&b.diags, d, span_of(&b, f, "alpha"), "first");
    diag_place(&b.diags, d, span_of(&b, f, "gamma"), "third");
    check_render(t, &b, STYLE_TAGS, 80,
                 "x:1:7: <undecided>undecided[claim-undecided]</undecided>: it is open\n"
                 "    1 | alpha beta gamma\n"
                 "      | <place>-----</place> first\n"
                 "      |       <undecided>^^^^</undecided> here\n"
                 "      |            <place>-----</place> third\n");
}

/* Carets stand under what they mean, whatever stands before. */
static void test_columns(struct test *t)
{
    static const struct {
        const char *text, *want;
    } rows[] = {
        {"\xE2\x99\xAD\xF0\x9D\x84\xAB HIT", "x:1:4: error[claim-fails]: m\n    1 | \xE2\x99\xAD\xF0\x9D\x84\xAB HIT\n"
                                             "      |    ^^^\n"},
        {"e\xCC\x81\xC3\xA9 HIT", "x:1:5: error[claim-fails]: m\n    1 | e\xCC\x81\xC3\xA9 HIT\n      |    ^^^\n"},
        {"\xE9\x9F\xB3 HIT", "x:1:3: error[claim-fails]: m\n    1 | \xE9\x9F\xB3 HIT\n      |    ^^^\n"},
        {"a\tHIT\tb", "x:1:3: error[claim-fails]: m\n    1 | a       HIT     b\n      |         ^^^\n"},
        {"\xFF\xE2\x80\xAEHIT\r\n", "x:1:3: error[claim-fails]: m\n    1 | <FF><U+202E>HIT\n      |             ^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench b;
        bench_open(&b);
        uint32_t f = bench_file(&b, "x", rows[i].text);
        diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "HIT"), "m");
        check_render(t, &b, STYLE_PLAIN, 80, rows[i].want);
    }
}

/* A span that ends on a later line is marked to the end of its first; an empty one has one caret. */
static void test_edges(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", "one two\nthree\n");
    diag_add(&b.diags, DIAG_CLAIM_FAILS, (struct span){f, 4, 11}, "many lines");
    diag_add(&b.diags, DIAG_CLAIM_FAILS, (struct span){f, 14, 14}, "at the end");
    check_render(t, &b, STYLE_PLAIN, 80,
                 "x:1:5: error[claim-fails]: many lines\n    1 | one two\n      |     ^^^\n"
                 "x:3:1: error[claim-fails]: at the end\n    3 |\n      | ^\n");
}

static void test_other_file(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", "here\n"), g = bench_file(&b, "lib/y", "\nthere\n");
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "here"), "m");
    diag_place(&b.diags, d, span_of(&b, g, "there"), "first defined");
    check_render(t, &b, STYLE_PLAIN, 80,
                 "x:1:1: error[claim-fails]: m\n    1 | here\n      | ^^^^\n"
                 "   in lib/y:2:1\n    2 | there\n      | ----- first defined\n");
}

/* Long lines are cut around the span, long notes are wrapped. */
static void test_width(struct test *t)
{
    struct bench b;
    struct buf text = {0}, got = {0};
    const struct text_options o = {STYLE_PLAIN, 60};
    for (int i = 0; i < 200000; i++)
        buf_put(&text, "\xE2\x99\xAF ");
    buf_put(&text, "HIT");
    for (int i = 0; i < 200000; i++)
        buf_put(&text, " ab");
    buf_byte(&text, '\0');
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", text.p);
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "HIT"), "m");
    diag_label(&b.diags, d, "a label that does not fit beside the carets and is wrapped below");
    diag_note(&b.diags, d, "a note of so many words that it has to go on in the line below");
    render_text(&got, &b.sources, d, &o);
    buf_byte(&got, '\0');
    CHECK_TEXT(t, got.p,
               "x:1:400001: error[claim-fails]: m\n"
               "    1 | ...\xE2\x99\xAF \xE2\x99\xAF \xE2\x99\xAF \xE2\x99\xAF \xE2\x99\xAF \xE2\x99\xAF \xE2\x99\xAF HIT"
               " ab ab ab ab ab ab ab ab ab a...\n"
               "      |                  ^^^\n"
               "      |     a label that does not fit beside the carets and\n"
               "      |     is wrapped below\n"
               "   a note of so many words that it has to go on in the line\n"
               "   below\n");
    buf_free(&got);
    buf_free(&text);
    arena_free(&b.arena);
}

static void test_ansi(struct test *t)
{
    struct bench b;
    bench_open(&b);
    uint32_t f = bench_file(&b, "x\033[2J", "HIT");
    diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "HIT"), "m\033[31m");
    check_render(t, &b, STYLE_ANSI, 80,
                 "x<U+001B>[2J:1:1: \033[1;31merror[claim-fails]\033[0m: m<U+001B>[31m\n"
                 "    1 | HIT\n      | \033[1;31m^^^\033[0m\n");
}

/* ---- machines -------------------------------------------------------------------------------------------- */

static int number_at(const cJSON *object, const char *key)
{
    return cJSON_GetObjectItem(object, key)->valueint;
}

static const char *text_at(const cJSON *object, const char *key)
{
    return cJSON_GetStringValue(cJSON_GetObjectItem(object, key));
}

static void test_json(struct test *t)
{
    struct bench b;
    struct buf out = {0};
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", "\xE2\x99\xAD HIT\xFF");
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, span_of(&b, f, "HIT\xFF"), "m \xFF");
    diag_fix(&b.diags, d, span_of(&b, f, "HIT"), STR("hit"), true);
    render_json(&out, &b.sources, d);
    buf_byte(&out, '\0');
    CHECK(t, strchr(out.p, '\n') == out.p + strlen(out.p) - 1);
    cJSON *json = cJSON_Parse(out.p);
    CHECK_TEXT(t, text_at(json, "kind"), "diagnostic");
    CHECK_TEXT(t, text_at(json, "severity"), "error");
    CHECK_TEXT(t, text_at(json, "code"), "claim-fails");
    CHECK_TEXT(t, text_at(json, "message"), "m \xEF\xBF\xBD");
    CHECK(t, number_at(json, "line") == 1 && number_at(json, "column") == 3 && number_at(json, "endColumn") == 7);
    const cJSON *fix = cJSON_GetArrayItem(cJSON_GetObjectItem(json, "parts"), 0);
    CHECK_TEXT(t, text_at(fix, "replacement"), "hit");
    CHECK(t, cJSON_IsTrue(cJSON_GetObjectItem(fix, "safe")) && number_at(fix, "endColumn") == 6);
    cJSON_Delete(json);
    buf_free(&out);
    arena_free(&b.arena);
}

static void test_sarif(struct test *t)
{
    struct bench b;
    struct buf out = {0};
    bench_open(&b);
    uint32_t f = bench_file(&b, "a folder/x#.descant", "\xF0\x9D\x84\xAB HIT");
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_UNDECIDED, span_of(&b, f, "HIT"), "it is open");
    diag_place(&b.diags, d, span_of(&b, f, "HIT"), "there");
    struct sarif_log *log = sarif_open("0");
    sarif_add(log, &b.sources, &b.diags);
    sarif_close(log, 0, &out);
    buf_byte(&out, '\0');
    cJSON *json = cJSON_Parse(out.p);
    const cJSON *run = cJSON_GetArrayItem(cJSON_GetObjectItem(json, "runs"), 0);
    CHECK_TEXT(t, text_at(run, "columnKind"), "unicodeCodePoints");
    const cJSON *result = cJSON_GetArrayItem(cJSON_GetObjectItem(run, "results"), 0);
    CHECK_TEXT(t, text_at(result, "kind"), "open");
    CHECK_TEXT(t, text_at(result, "level"), "none");
    CHECK_TEXT(t, text_at(cJSON_GetObjectItem(result, "message"), "text"), "undecided: it is open");
    const cJSON *rules = cJSON_GetObjectItem(cJSON_GetObjectItem(cJSON_GetObjectItem(run, "tool"), "driver"), "rules");
    CHECK(t, cJSON_GetArraySize(rules) == (int)DIAG_COUNT);
    CHECK_TEXT(t, text_at(cJSON_GetArrayItem(rules, number_at(result, "ruleIndex")), "id"), text_at(result, "ruleId"));
    const cJSON *physical = cJSON_GetObjectItem(
        cJSON_GetArrayItem(cJSON_GetObjectItem(result, "locations"), 0), "physicalLocation");
    CHECK_TEXT(t, text_at(cJSON_GetObjectItem(physical, "artifactLocation"), "uri"), "a%20folder/x%23.descant");
    const cJSON *region = cJSON_GetObjectItem(physical, "region");
    CHECK(t, number_at(region, "startColumn") == 3 && number_at(region, "endColumn") == 6);
    CHECK(t, cJSON_GetArraySize(cJSON_GetObjectItem(result, "relatedLocations")) == 1);
    cJSON_Delete(json);
    buf_free(&out);
    arena_free(&b.arena);
}

static void test_levels(struct test *t)
{
    struct bench b;
    struct diag_levels levels = {{0}};
    struct str name;
    bench_open(&b);
    uint32_t f = bench_file(&b, "x", "HIT");
    CHECK(t, levels_read(&levels, STR("no-such"), &name) == LEVEL_UNKNOWN && str_is(name, "such"));
    CHECK(t, levels_read(&levels, STR("no-claim-fails"), &name) == LEVEL_FIXED);
    CHECK(t, levels_read(&levels, STR("error=claim-undecided"), &name) == LEVEL_OK);
    diag_add(&b.diags, DIAG_CLAIM_UNDECIDED, span_of(&b, f, "HIT"), "m");
    levels_apply(&levels, &b.diags);
    CHECK(t, b.diags.n == 1 && b.diags.errors == 1 && b.diags.items[0].level == LEVEL_ERROR);
    arena_free(&b.arena);
    bench_open(&b);
    f = bench_file(&b, "x", "HIT");
    CHECK(t, levels_read(&levels, STR("no-claim-undecided"), &name) == LEVEL_OK);
    diag_add(&b.diags, DIAG_CLAIM_UNDECIDED, span_of(&b, f, "HIT"), "m");
    levels_apply(&levels, &b.diags);
    CHECK(t, b.diags.n == 0 && b.diags.errors == 0);
    arena_free(&b.arena);
}

/* ---- laws -------------------------------------------------------------------------------------------------- */

/* Whatever stands before it, the caret stands under the marked word and the column counts its code points. */
static bool caret_stands_right(struct rng *r)
{
    static const struct {
        const char *text;
        int cells; /* 0 for a tab: to the next stop */
        int points;
    } pieces[] = {
        {"a", 1, 1}, {" ", 1, 1}, {"\xE2\x99\xAF", 1, 1}, {"\xF0\x9D\x84\xAA", 1, 1}, {"\xC3\xA9", 1, 1}, {"e\xCC\x81", 1, 2},
        {"\xE9\x9F\xB3", 2, 1}, {"\xF0\x9F\x8E\xB5", 2, 1}, {"\t", 0, 1}, {"\xFF", 4, 1}, {"\xE2\x80\xAE", 8, 1},
    };
    struct bench b;
    struct buf line = {0}, got = {0}, want = {0};
    int cells = 0, points = 0;
    bench_open(&b);
    for (int n = rng_between(r, 0, 30); n > 0; n--) {
        int i = rng_between(r, 0, (int)(sizeof pieces / sizeof *pieces) - 1);
        buf_put(&line, pieces[i].text);
        cells += pieces[i].cells ? pieces[i].cells : 8 - cells % 8;
        points += pieces[i].points;
    }
    uint32_t lo = (uint32_t)line.n;
    buf_put(&line, "HIT\n");
    uint32_t f = source_add(&b.sources, STR("x"), buf_str(&line), false);
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, (struct span){f, lo, lo + 3}, "m");
    const struct text_options o = {STYLE_PLAIN, 0};
    render_text(&got, &b.sources, d, &o);
    buf_printf(&want, "x:1:%d: ", points + 1);
    bool right = str_starts(buf_str(&got), buf_str(&want));
    want.n = 0;
    buf_printf(&want, "HIT\n      | %*s^^^\n", cells, "");
    buf_byte(&want, '\0');
    buf_byte(&got, '\0');
    right = right && strstr(got.p, want.p) != NULL;
    buf_free(&line);
    buf_free(&got);
    buf_free(&want);
    arena_free(&b.arena);
    return right;
}

/* Display cells of the first n bytes of valid text without tabs, counted apart from what the renderer does. */
static uint32_t text_cells(struct str text, uint32_t n)
{
    uint32_t cells = 0;
    for (uint32_t i = 0; i < n;) {
        utf8proc_int32_t c;
        i += (uint32_t)utf8proc_iterate((const utf8proc_uint8_t *)text.p + i, text.n - i, &c);
        cells += (uint32_t)utf8proc_charwidth(c);
    }
    return cells;
}

/* A cut line keeps to the width, whatever it holds, and its carets stand under the word. */
static bool cut_line_keeps_width(struct rng *r)
{
    struct bench b;
    struct buf line = {0}, got = {0};
    bench_open(&b);
    for (int n = rng_between(r, 0, 200); n > 0; n--)
        buf_put(&line, rng_between(r, 0, 1) ? "\xE9\x9F\xB3" : "b ");
    uint32_t lo = (uint32_t)line.n;
    buf_put(&line, "HIT");
    for (int n = rng_between(r, 0, 200); n > 0; n--)
        buf_put(&line, rng_between(r, 0, 1) ? "\xF0\x9F\x8E\xB5" : "c");
    uint32_t f = source_add(&b.sources, STR("x"), buf_str(&line), false);
    struct diag *d = diag_add(&b.diags, DIAG_CLAIM_FAILS, (struct span){f, lo, lo + 3}, "m");
    const struct text_options o = {STYLE_PLAIN, (uint32_t)rng_between(r, 30, 120)};
    render_text(&got, &b.sources, d, &o);
    buf_byte(&got, '\0');
    const char *source = strchr(got.p, '\n') + 1, *carets = strchr(source, '\n') + 1, *hit = strstr(source, "HIT");
    bool right = hit && hit < carets;
    if (right) {
        struct str shown = {source, (uint32_t)(carets - 1 - source)};
        uint32_t before = text_cells(shown, (uint32_t)(hit - source));
        right = text_cells(shown, shown.n) <= o.width && strspn(carets + 8, " ") + 8 == before &&
                strncmp(carets + before, "^^^\n", 4) == 0;
    }
    buf_free(&line);
    buf_free(&got);
    arena_free(&b.arena);
    return right;
}

int main(int argc, char **argv)
{
    struct test t = {.name = "render"};
    static const struct law laws[] = {
        {"the caret stands under the marked word, the column counts its code points", caret_stands_right},
        {"a cut line keeps to the width", cut_line_keeps_width},
    };
    test_positions(&t);
    test_mark(&t);
    test_cells(&t);
    test_plain(&t);
    test_one_line(&t);
    test_columns(&t);
    test_edges(&t);
    test_other_file(&t);
    test_width(&t);
    test_ansi(&t);
    test_json(&t);
    test_sarif(&t);
    test_levels(&t);
    test_laws(&t, laws, sizeof laws / sizeof *laws, test_seed(&t, argc, argv));
    return test_end(&t);
}
