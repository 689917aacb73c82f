#define _DEFAULT_SOURCE /* TIOCGWINSZ */

#include "cli/report.h"

#include "base/io.h"
#include "claims/claims.h"

#include <cJSON.h>
#include <stdlib.h>
#include <sys/ioctl.h>
#include <unistd.h>

static bool wants_color(enum color color)
{
    const char *no_color = getenv("NO_COLOR"), *term = getenv("TERM");
    if (color != COLOR_AUTO)
        return color == COLOR_ALWAYS;
    return isatty(STDERR_FILENO) && !(no_color && *no_color) && !(term && strcmp(term, "dumb") == 0);
}

static uint32_t terminal_width(void)
{
    enum { USUAL = 80 };
    struct winsize size;
    if (isatty(STDERR_FILENO) && ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col)
        return size.ws_col;
    return USUAL;
}

/* The worse of two: the world's failures, then mistakes, then open claims. */
static int status_worse(int a, int b)
{
    static const int order[] = {[EXIT_FINE] = 0, [EXIT_OPEN] = 1, [EXIT_WRONG] = 2, [EXIT_WORLD] = 3};
    return order[a] >= order[b] ? a : b;
}

static void say(struct report *r, struct str bytes)
{
    if (fd_write(STDERR_FILENO, bytes) != 0)
        r->status = EXIT_WORLD;
}

void report_print(struct report *r, struct str bytes)
{
    int fault = fd_write(STDOUT_FILENO, bytes);
    if (fault)
        report_fault(r, "standard output", strerror(fault));
}

void report_wrong(struct report *r)
{
    r->status = status_worse(r->status, EXIT_WRONG);
}

void report_fault(struct report *r, const char *what, const char *why)
{
    struct buf b = {0};
    buf_put(&b, "descant: ");
    put_shown(&b, str_of(what));
    buf_printf(&b, ": %s\n", why);
    r->status = EXIT_WORLD;
    say(r, buf_str(&b));
    buf_free(&b);
}

void report_open(struct report *r, const struct options *o)
{
    *r = (struct report){.o = o};
    r->text.style = o->color == COLOR_TAGS ? STYLE_TAGS : wants_color(o->color) ? STYLE_ANSI : STYLE_PLAIN;
    r->text.width = o->has_width ? o->width : terminal_width();
    if (o->form == FORM_SARIF)
        r->sarif = sarif_open(DESCANT_VERSION);
    if (o->form == FORM_JSON)
        report_print(r, STR("{\"version\":1}\n"));
}

/* ---- claims as JSON ------------------------------------------------------------------------------- */

static const char *verdict_word(enum verdict v)
{
    switch (v) {
    case VERDICT_HOLDS: return "holds";
    case VERDICT_FAILS: return "fails";
    case VERDICT_UNDECIDED: return "undecided";
    }
    return "";
}

static const char *basis_word(const struct passage *p)
{
    if (!p || !p->has_basis)
        return NULL;
    switch (p->basis) {
    case BASIS_EAR: return "ear";
    case BASIS_REDUCTION: return "reduction";
    case BASIS_GUESS: return "guess";
    case BASIS_SCORE: return "score";
    }
    return NULL;
}

static void add_words(cJSON *object, const char *key, const char *words)
{
    if (words)
        cJSON_AddStringToObject(object, key, words);
    else
        cJSON_AddNullToObject(object, key);
}

static void put_claim(struct buf *b, struct source_list *sources, const struct claim *claim)
{
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "kind", "claim");
    cJSON_AddItemToObject(object, "name", json_text(claim->symbol.name));
    cJSON_AddStringToObject(object, "verdict", verdict_word(claim->verdict));
    json_place(object, sources, claim->sentence);
    add_words(object, "claimKind", claim->kind ? claim->kind->name : NULL);
    cJSON_AddItemToObject(object, "sentence", json_text(claim->text));
    cJSON_AddItemToObject(object, "evidence", json_text(claim->evidence));
    cJSON_AddItemToObject(object, "reason", json_text(claim->reason));
    cJSON_AddItemToObject(object, "instead", json_text(claim->instead));
    cJSON_AddItemToObject(object, "convention", json_text(claim->convention));
    add_words(object, "basis", basis_word(claim->passage));
    cJSON_AddBoolToObject(object, "uncertain", claim->on_uncertain);
    cJSON_AddBoolToObject(object, "library", claim->symbol.library);
    cJSON *places = cJSON_AddArrayToObject(object, "places");
    for (const struct claim_place *p = claim->places; p; p = p->next) {
        cJSON *place = cJSON_CreateObject();
        json_place(place, sources, p->where);
        cJSON_AddItemToObject(place, "text", json_text(p->words));
        cJSON_AddItemToArray(places, place);
    }
    json_line(b, object);
}

/* ---- a compilation ----------------------------------------------------------------------------------- */

static void say_diags(struct report *r, struct source_list *sources, const struct diag_list *diags)
{
    struct buf b = {0};
    uint32_t most = r->o->max_errors;
    for (uint32_t i = 0; i < diags->n; i++) {
        const struct diag *d = &diags->items[i];
        bool error = d->level == LEVEL_ERROR;
        uint32_t *shown = error ? &r->shown_errors : &r->shown_others;
        if (most && *shown == most) {
            ++*(error ? &r->kept_errors : &r->kept_others);
            continue;
        }
        ++*shown;
        render_text(&b, sources, d, &r->text);
    }
    say(r, buf_str(&b));
    buf_free(&b);
}

static void print_json(struct report *r, const struct compilation *c, struct source_list *sources)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < c->diags.n; i++)
        render_json(&b, sources, &c->diags.items[i]);
    for (uint32_t i = 0; c->model && i < c->model->n_claims; i++)
        put_claim(&b, sources, c->model->claims[i]);
    report_print(r, buf_str(&b));
    buf_free(&b);
}

void report_compilation(struct report *r, const struct compilation *c)
{
    struct source_list sources = c->sources; /* line indexes are filled in as they are asked for */
    for (uint32_t i = 0; i < c->diags.n; i++)
        r->notes += c->diags.items[i].level == LEVEL_NOTE;
    r->errors += c->diags.errors;
    r->warnings += c->diags.warnings;
    r->holds += c->holds;
    r->fails += c->fails;
    r->undecided += c->undecided;
    if (c->diags.errors || c->fails)
        r->status = status_worse(r->status, EXIT_WRONG);
    else if (c->undecided && r->o->strict)
        r->status = status_worse(r->status, EXIT_OPEN);
    switch (r->o->form) {
    case FORM_TEXT: say_diags(r, &sources, &c->diags); break;
    case FORM_JSON: print_json(r, c, &sources); break;
    case FORM_SARIF: sarif_add(r->sarif, &sources, &c->diags); break;
    }
}

/* ---- summaries ------------------------------------------------------------------------------------------ */

static void put_count(struct buf *b, uint32_t n, const char *one, const char *many)
{
    if (n == 0)
        return;
    if (b->n)
        buf_put(b, ", ");
    buf_printf(b, "%u %s", n, n == 1 ? one : many);
}

static void put_verdicts(struct buf *b, uint32_t holds, uint32_t fails, uint32_t undecided)
{
    struct buf counts = {0};
    put_count(&counts, holds, "holds", "hold");
    put_count(&counts, fails, "fails", "fail");
    put_count(&counts, undecided, "undecided", "undecided");
    if (counts.n)
        buf_printf(b, "claims: %.*s", (int)counts.n, counts.p);
    else
        buf_put(b, "no claims");
    buf_free(&counts);
}

static void put_holes(struct buf *b, const struct compilation *c)
{
    struct source_list sources = c->sources;
    for (uint32_t i = 0; c->model && i < c->model->n_holes; i++) {
        const struct hole *hole = c->model->holes[i];
        buf_put(b, "  open: ");
        put_shown(b, hole->text);
        buf_put(b, " (");
        put_shown(b, sources.items[hole->where.file].name);
        buf_printf(b, ":%u)\n", source_position(&sources, hole->where.file, hole->where.lo).line);
    }
}

static void print_outputs_json(struct report *r, const struct str *paths, uint32_t n)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < n; i++) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddStringToObject(object, "kind", "output");
        cJSON_AddItemToObject(object, "file", json_text(paths[i]));
        json_line(&b, object);
    }
    report_print(r, buf_str(&b));
    buf_free(&b);
}

void report_written(struct report *r, const struct compilation *c, struct str file, const struct str *paths,
                    uint32_t n_paths)
{
    if (r->o->form == FORM_JSON)
        print_outputs_json(r, paths, n_paths);
    if (r->o->form != FORM_TEXT || r->o->quiet)
        return;
    struct buf b = {0};
    put_shown(&b, file);
    buf_put(&b, ": ");
    put_verdicts(&b, c->holds, c->fails, c->undecided);
    if (c->diags.errors || c->fails)
        buf_put(&b, "; nothing written, the file has errors");
    buf_byte(&b, '\n');
    put_holes(&b, c);
    for (uint32_t i = 0; i < n_paths; i++) {
        buf_put(&b, "  ");
        put_shown(&b, paths[i]);
        buf_byte(&b, '\n');
    }
    report_print(r, buf_str(&b));
    buf_free(&b);
}

static void say_summary(struct report *r)
{
    struct buf counts = {0}, b = {0};
    if (r->kept_errors || r->kept_others) {
        put_count(&counts, r->kept_errors, "more error", "more errors");
        put_count(&counts, r->kept_others, "other message", "other messages");
        buf_printf(&b, "%.*s not shown; --max-errors sets how many are\n", (int)counts.n, counts.p);
        counts.n = 0;
    }
    put_count(&counts, r->errors, "error", "errors");
    put_count(&counts, r->warnings, "warning", "warnings");
    put_count(&counts, r->notes, "note", "notes");
    if (counts.n || r->fails || r->undecided) {
        bool claims = r->o->command != COMMAND_FORMAT; /* which checks none */
        buf_printf(&b, "%.*s%s", (int)counts.n, counts.n ? counts.p : "", counts.n && claims ? "; " : "");
        if (claims)
            put_verdicts(&b, r->holds, r->fails, r->undecided);
        buf_byte(&b, '\n');
    }
    if (!r->o->quiet)
        say(r, buf_str(&b));
    buf_free(&counts);
    buf_free(&b);
}

static void print_summary_json(struct report *r)
{
    struct buf b = {0};
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "kind", "summary");
    cJSON_AddNumberToObject(object, "holds", r->holds);
    cJSON_AddNumberToObject(object, "fails", r->fails);
    cJSON_AddNumberToObject(object, "undecided", r->undecided);
    cJSON_AddNumberToObject(object, "errors", r->errors);
    cJSON_AddNumberToObject(object, "warnings", r->warnings);
    cJSON_AddNumberToObject(object, "notes", r->notes);
    json_line(&b, object);
    report_print(r, buf_str(&b));
    buf_free(&b);
}

int report_close(struct report *r)
{
    switch (r->o->form) {
    case FORM_TEXT: say_summary(r); break;
    case FORM_JSON: print_summary_json(r); break;
    case FORM_SARIF: {
        struct buf b = {0};
        sarif_close(r->sarif, r->status, &b);
        report_print(r, buf_str(&b));
        buf_free(&b);
        break;
    }
    }
    return r->status;
}
