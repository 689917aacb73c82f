/* The command: reads options, runs the files through the driver, tells what came of them in their order, writes what is asked for. */
#include "base/io.h"
#include "cli/crew.h"
#include "cli/explain.h"
#include "cli/format.h"
#include "cli/options.h"
#include "cli/outputs.h"
#include "cli/report.h"

#include <errno.h>
#include <signal.h>

/* What came of a file, until it is told. */
struct result {
    int fault; /* errno of reading it; 0: none */
    struct buf text, dump;
    struct compilation compilation;
    struct arena room; /* for the next file */
};

struct session {
    const struct options *o;
    struct context *context;
    struct result results[CREW_AHEAD];
    struct report report;
    struct outputs outputs;
};

static void finish_build(struct session *s, const struct compilation *c, const char *path)
{
    uint32_t first = s->outputs.n;
    bool wrong = !c->model || c->diags.errors || c->fails;
    if (!wrong)
        outputs_write(&s->outputs, &s->report, c->model, path, &first);
    report_written(&s->report, c, str_of(path), s->outputs.paths + first, s->outputs.n - first);
}

/* Could the file not be read? One that is too large is refused by the compiler, with a diagnostic. */
static bool is_unread(const struct result *r)
{
    return r->fault && r->fault != EFBIG;
}

/* Reads and compiles a file. In any thread: nothing is printed here, and the session is only read. */
static void work_on(void *session, uint32_t item, uint32_t place)
{
    struct session *s = session;
    struct result *r = &s->results[place];
    const char *path = s->o->files[item];
    r->fault = file_read(path, SOURCE_MAX, &r->text);
    if (is_unread(r))
        return;
    struct str name = strcmp(path, "-") == 0 ? STR("<stdin>") : str_of(path);
    const struct compile_options options = {
        .verdicts_only = s->o->command == COMMAND_CHECK && s->o->form == FORM_TEXT && s->o->dump == DUMP_NONE,
        .dump = s->o->dump,
        .dump_to = &r->dump,
        .room = &r->room,
    };
    compile(s->context, name, buf_str(&r->text), &options, &r->compilation);
    levels_apply(&s->o->levels, &r->compilation.diags);
}

static void tell_result(struct session *s, const struct result *r, const char *path)
{
    if (is_unread(r)) {
        report_fault(&s->report, path, r->fault == EISDIR ? "this is a folder; name the files in it" : strerror(r->fault));
        return;
    }
    report_print(&s->report, buf_str(&r->dump));
    report_compilation(&s->report, &r->compilation);
    if (s->o->command == COMMAND_BUILD)
        finish_build(s, &r->compilation, path);
}

static void finish_file(void *session, uint32_t item, uint32_t place)
{
    struct session *s = session;
    struct result *r = &s->results[place];
    tell_result(s, r, s->o->files[item]);
    if (!is_unread(r))
        compilation_clear(&r->compilation, &r->room);
    buf_free(&r->dump);
    buf_free(&r->text);
}

static int run_files(const struct options *o)
{
    struct session s = {.o = o, .context = context_open()};
    report_open(&s.report, o);
    crew_run(&(struct crew_job){work_on, finish_file, &s}, o->n_files);
    if (o->command == COMMAND_BUILD && s.report.status != EXIT_WORLD)
        outputs_write_rules(&s.outputs, &s.report);
    int status = report_close(&s.report);
    for (uint32_t i = 0; i < CREW_AHEAD; i++)
        arena_free(&s.results[i].room);
    outputs_free(&s.outputs);
    context_close(s.context);
    return status;
}

/* Prints a text that is the whole answer. */
static int print_all(struct buf *b)
{
    const struct options none = {0};
    struct report r;
    report_open(&r, &none);
    report_print(&r, buf_str(b));
    buf_free(b);
    return r.status;
}

static int run_explain(const struct options *o)
{
    struct buf b = {0};
    if (explain(o->files, o->n_files, &b))
        return print_all(&b);
    fd_write(2, buf_str(&b));
    buf_free(&b);
    return EXIT_WORLD;
}

int main(int argc, char **argv)
{
    struct options o;
    struct buf b = {0};
    int status = EXIT_WORLD;
    signal(SIGPIPE, SIG_IGN); /* a closed pipe is a failed write, with a message */
    if (options_read(&o, argc, argv)) {
        switch (o.command) {
        case COMMAND_CHECK:
        case COMMAND_BUILD: status = run_files(&o); break;
        case COMMAND_FORMAT: status = format_files(&o); break;
        case COMMAND_EXPLAIN: status = run_explain(&o); break;
        case COMMAND_HELP:
            options_help(&b);
            status = print_all(&b);
            break;
        case COMMAND_VERSION:
            buf_put(&b, "descant " DESCANT_VERSION "\n");
            status = print_all(&b);
            break;
        }
    }
    options_free(&o);
    return status;
}
