#include "cli/options.h"

#include "diag/suggest.h"

#include <stdio.h>
#include <stdlib.h>

enum option_id {
    OPTION_TO,
    OPTION_OUT,
    OPTION_DEPS,
    OPTION_CHECK,
    OPTION_FORMAT,
    OPTION_COLOR,
    OPTION_WIDTH,
    OPTION_STRICT,
    OPTION_LEVEL,
    OPTION_MAX_ERRORS,
    OPTION_QUIET,
    OPTION_DUMP,
    OPTION_HELP,
    OPTION_VERSION
};

/* An option is meant for some commands only. */
enum {
    FOR_CHECK = 1,
    FOR_BUILD = 2,
    FOR_EXPLAIN = 4,
    FOR_FORMAT = 8,
    FOR_FILES = FOR_CHECK | FOR_BUILD,
    FOR_TEXT = FOR_FILES | FOR_FORMAT,
    FOR_ALL = FOR_TEXT | FOR_EXPLAIN
};

struct option_row {
    const char *name; /* "--to" */
    char letter;      /* 'W' for -W; 0: none */
    const char *value; /* "KIND,..."; NULL: takes none */
    enum option_id id;
    int commands;
    const char *help;
};

static const struct option_row rows[] = {
    {"--to", 0, "KIND,...", OPTION_TO, FOR_BUILD, "outputs to write, by their file endings; all unless given"},
    {"--out", 0, "DIR", OPTION_OUT, FOR_BUILD, "folder for the outputs, made if missing (out)"},
    {"--deps", 0, "FILE", OPTION_DEPS, FOR_BUILD, "also write what the outputs depend on, as make rules"},
    {"--check", 0, NULL, OPTION_CHECK, FOR_FORMAT, "list the files that are not in the one style, and change none"},
    {"--format", 0, "FORM", OPTION_FORMAT, FOR_FILES, "text (on standard error), json or sarif (on standard output)"},
    {"--color", 0, "WHEN", OPTION_COLOR, FOR_TEXT, "auto, always, never, or tags; auto heeds NO_COLOR"},
    {"--width", 0, "CELLS", OPTION_WIDTH, FOR_TEXT, "width of messages; 0 cuts and wraps nothing"},
    {"--strict", 0, NULL, OPTION_STRICT, FOR_FILES, "undecided claims end in status 3"},
    {NULL, 'W', "CODE", OPTION_LEVEL, FOR_FILES, "CODE makes a note a warning, no-CODE hides it, error=CODE makes it an error"},
    {"--max-errors", 0, "N", OPTION_MAX_ERRORS, FOR_TEXT, "show at most N errors, and N other messages (50); 0 shows all"},
    {"--quiet", 'q', NULL, OPTION_QUIET, FOR_TEXT, "no summary"},
    {"--dump", 0, "STAGE", OPTION_DUMP, FOR_FILES, "print tokens, tree, model, claims or timeline"},
    {"--help", 'h', NULL, OPTION_HELP, FOR_ALL, "this text"},
    {"--version", 0, NULL, OPTION_VERSION, FOR_ALL, "the version"},
};
enum { N_ROWS = sizeof rows / sizeof *rows };

struct word_value {
    const char *word;
    int value;
};

static const struct word_value command_words[] = {
    {"check", COMMAND_CHECK}, {"build", COMMAND_BUILD}, {"format", COMMAND_FORMAT}, {"explain", COMMAND_EXPLAIN},
    {NULL, 0}};
static const struct word_value form_words[] = {
    {"text", FORM_TEXT}, {"json", FORM_JSON}, {"sarif", FORM_SARIF}, {NULL, 0}};
static const struct word_value color_words[] = {
    {"auto", COLOR_AUTO}, {"always", COLOR_ALWAYS}, {"never", COLOR_NEVER}, {"tags", COLOR_TAGS}, {NULL, 0}};
static const struct word_value dump_words[] = {
    {"tokens", DUMP_TOKENS}, {"tree", DUMP_TREE}, {"model", DUMP_MODEL}, {"claims", DUMP_CLAIMS},
    {"timeline", DUMP_TIMELINE}, {NULL, 0}};

void options_help(struct buf *b)
{
    buf_put(b, "descant checks and builds episodes of spoken music analysis.\n"
               "\n"
               "  descant check FILE...      check every claim and everything else\n"
               "  descant build FILE...      check, then write the outputs\n"
               "  descant format FILE...     rewrite files in the one style\n"
               "  descant explain [CODE]     what a message means; a kind of claim; an instrument, chord, scale,\n"
               "                             caption profile or convention\n"
               "\n"
               "FILE `-` is standard input.\n"
               "\n"
               "options:\n");
    for (size_t i = 0; i < N_ROWS; i++) {
        const struct option_row *row = &rows[i];
        struct buf left = {0};
        if (row->letter)
            buf_printf(&left, "-%c%s", row->letter, row->name ? ", " : "");
        if (row->name)
            buf_put(&left, row->name);
        if (row->value)
            buf_printf(&left, " %s", row->value);
        buf_printf(b, "  %-22.*s %s\n", (int)left.n, left.p, row->help);
        buf_free(&left);
    }
    buf_put(b, "\nkinds of output:\n");
    for (const struct back *back = backs(); back->kind; back++)
        buf_printf(b, "  %-22s %s\n", back->kind, back->what);
    buf_put(b, "\nstatus: 0 nothing wrong; 1 a claim fails or a file has errors (then nothing is written for it),\n"
               "        or --check lists a file; 2 wrong use, or a file cannot be read or written;\n"
               "        3 undecided claims under --strict\n");
}

/* ---- messages ------------------------------------------------------------------------------------ */

static void __attribute__((format(printf, 1, 2))) complain(const char *format, ...)
{
    struct buf b = {0};
    va_list ap;
    va_start(ap, format);
    buf_put(&b, "descant: ");
    buf_vprintf(&b, format, ap);
    buf_byte(&b, '\n');
    va_end(ap);
    fwrite(b.p, 1, b.n, stderr);
    buf_free(&b);
}

static void complain_unknown(const char *what, struct str word, const struct suggest *s)
{
    struct buf near = {0};
    for (uint32_t i = 0; i < s->n; i++)
        buf_printf(&near, "%s`%.*s`", i ? ", " : "; similar: ", STR_ARG(s->best[i]));
    struct str text = buf_str(&near);
    complain("unknown %s `%.*s`%.*s", what, STR_ARG(word), STR_ARG(text));
    buf_free(&near);
}

static bool word_read(const char *what, const struct word_value *words, struct str text, int *out)
{
    struct suggest near;
    suggest_start(&near, text);
    for (const struct word_value *w = words; w->word; w++) {
        if (str_is(text, w->word)) {
            *out = w->value;
            return true;
        }
        suggest_offer(&near, str_of(w->word));
    }
    complain_unknown(what, text, &near);
    return false;
}

/* ---- values -------------------------------------------------------------------------------------- */

static bool number_read(const char *option, struct str text, uint32_t *out)
{
    enum { MOST = 1000000 };
    uint32_t n = 0;
    bool fine = text.n > 0;
    for (uint32_t i = 0; i < text.n && fine; i++) {
        fine = text.p[i] >= '0' && text.p[i] <= '9' && n <= MOST;
        n = fine ? n * 10 + (uint32_t)(text.p[i] - '0') : n;
    }
    if (!fine || n > MOST) {
        complain("%s takes a number from 0 to %d, not `%.*s`", option, MOST, STR_ARG(text));
        return false;
    }
    *out = n;
    return true;
}

static bool kind_read(struct options *o, struct str text)
{
    struct suggest near;
    suggest_start(&near, text);
    const struct back *back = back_by_kind(text);
    if (!back) {
        for (back = backs(); back->kind; back++)
            suggest_offer(&near, str_of(back->kind));
        complain_unknown("kind of output", text, &near);
        return false;
    }
    for (uint32_t i = 0; i < o->n_kinds; i++)
        if (o->kinds[i] == back)
            return true;
    if (o->n_kinds < KINDS_MAX)
        o->kinds[o->n_kinds++] = back;
    return true;
}

static bool kinds_read(struct options *o, struct str text)
{
    for (uint32_t i = 0; i <= text.n;) {
        uint32_t end = i;
        while (end < text.n && text.p[end] != ',')
            end++;
        if (!kind_read(o, str_slice(text, i, end)))
            return false;
        i = end + 1;
    }
    return true;
}

static bool level_read(struct options *o, struct str text)
{
    struct str name;
    struct suggest near;
    switch (levels_read(&o->levels, text, &name)) {
    case LEVEL_OK: return true;
    case LEVEL_FIXED:
        complain("`%.*s` is an error and stays one", STR_ARG(name));
        return false;
    case LEVEL_UNKNOWN: break;
    }
    suggest_start(&near, name);
    for (int i = 0; i < (int)DIAG_COUNT; i++)
        suggest_offer(&near, str_of(diag_info((enum diag_code)i)->name));
    complain_unknown("code", name, &near);
    return false;
}

static bool option_apply(struct options *o, const struct option_row *row, const char *value)
{
    struct str text = str_of(value);
    int word = 0;
    switch (row->id) {
    case OPTION_TO: return kinds_read(o, text);
    case OPTION_OUT: o->out = value; return true;
    case OPTION_DEPS: o->deps = value; return true;
    case OPTION_CHECK: o->only_check = true; return true;
    case OPTION_FORMAT:
        if (!word_read("form", form_words, text, &word))
            return false;
        o->form = (enum form)word;
        return true;
    case OPTION_COLOR:
        if (!word_read("colour setting", color_words, text, &word))
            return false;
        o->color = (enum color)word;
        return true;
    case OPTION_WIDTH: o->has_width = true; return number_read("--width", text, &o->width);
    case OPTION_STRICT: o->strict = true; return true;
    case OPTION_LEVEL: return level_read(o, text);
    case OPTION_MAX_ERRORS: return number_read("--max-errors", text, &o->max_errors);
    case OPTION_QUIET: o->quiet = true; return true;
    case OPTION_DUMP:
        if (!word_read("stage", dump_words, text, &word))
            return false;
        o->dump = (enum dump_stage)word;
        return true;
    case OPTION_HELP: o->command = COMMAND_HELP; return true;
    case OPTION_VERSION: o->command = COMMAND_VERSION; return true;
    }
    return false;
}

/* ---- the command line ---------------------------------------------------------------------------- */

struct reader {
    char **argv;
    int argc, i;
    int used; /* commands for which every option met is meant */
    const char *narrowest; /* the option that last took one away */
};

static const struct option_row *option_find(struct str name, char letter)
{
    for (size_t i = 0; i < N_ROWS; i++)
        if (letter ? rows[i].letter == letter : rows[i].name && str_is(name, rows[i].name))
            return &rows[i];
    return NULL;
}

static bool option_unknown(struct str name)
{
    struct suggest near;
    suggest_start(&near, name);
    for (size_t i = 0; i < N_ROWS; i++)
        if (rows[i].name)
            suggest_offer(&near, str_of(rows[i].name));
    complain_unknown("option", name, &near);
    return false;
}

/* `--name=value`, `--name value`, `-Wvalue`, `-W value`, `-q`. */
static bool option_read(struct options *o, struct reader *r)
{
    const char *text = r->argv[r->i];
    bool is_long = text[1] == '-';
    const char *equals = is_long ? strchr(text, '=') : NULL;
    struct str name = str_of(text);
    if (equals)
        name.n = (uint32_t)(equals - text);
    const struct option_row *row = option_find(name, is_long ? 0 : text[1]);
    if (!row)
        return option_unknown(name);
    const char *value = equals ? equals + 1 : !is_long && text[2] ? text + 2 : NULL;
    if (!row->value && value) {
        complain("`%.*s` takes no value", STR_ARG(name));
        return false;
    }
    if (row->value && !value) {
        if (r->i + 1 >= r->argc) {
            complain("`%.*s` needs a value: %s", STR_ARG(name), row->value);
            return false;
        }
        value = r->argv[++r->i];
    }
    if ((r->used & row->commands) != r->used)
        r->narrowest = row->name ? row->name : "-W";
    r->used &= row->commands;
    return option_apply(o, row, value);
}

static int command_bit(enum command command)
{
    switch (command) {
    case COMMAND_CHECK: return FOR_CHECK;
    case COMMAND_BUILD: return FOR_BUILD;
    case COMMAND_FORMAT: return FOR_FORMAT;
    case COMMAND_EXPLAIN: return FOR_EXPLAIN;
    case COMMAND_HELP: return FOR_ALL;
    case COMMAND_VERSION: return FOR_ALL;
    }
    return 0;
}

static bool options_fit(struct options *o, const struct reader *r, const char *command)
{
    int word = 0;
    if (o->command == COMMAND_HELP || o->command == COMMAND_VERSION)
        return true;
    if (!command) {
        complain("no command; `descant --help` lists them");
        return false;
    }
    if (strchr(command, '.') || strchr(command, '/')) {
        complain("`%s` is no command; to check a file write `descant check %s`", command, command);
        return false;
    }
    if (!word_read("command", command_words, str_of(command), &word))
        return false;
    o->command = (enum command)word;
    if (!(r->used & command_bit(o->command))) {
        complain("`%s` is not for `descant %s`", r->narrowest, command);
        return false;
    }
    if (o->n_files == 0 && o->command != COMMAND_EXPLAIN) {
        complain("`descant %s` needs a file; `-` is standard input", command);
        return false;
    }
    return true;
}

bool options_read(struct options *o, int argc, char **argv)
{
    *o = (struct options){.command = COMMAND_CHECK, .out = "out", .max_errors = 50};
    struct reader r = {.argv = argv, .argc = argc, .used = FOR_ALL};
    o->files = calloc((size_t)argc + 1, sizeof *o->files);
    if (!o->files)
        abort();
    const char *command = NULL;
    bool only_files = false;
    for (r.i = 1; r.i < argc; r.i++) {
        const char *text = argv[r.i];
        if (!only_files && strcmp(text, "--") == 0)
            only_files = true;
        else if (!only_files && text[0] == '-' && text[1] != '\0') {
            if (!option_read(o, &r))
                return false;
        } else if (!command)
            command = text;
        else
            o->files[o->n_files++] = text;
    }
    return options_fit(o, &r, command);
}

void options_free(struct options *o)
{
    free(o->files);
    o->files = NULL;
}
