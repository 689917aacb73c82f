/* The command: reads options, runs the files through the driver one after the other, writes what is asked for. */
#include "base/io.h"
#include "cli/explain.h"
#include "cli/format.h"
#include "cli/options.h"
#include "cli/outputs.h"
#include "cli/report.h"

#include <errno.h>
#include <signal.h>

struct session {
    const struct options *o;
    struct context *context;
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

static void run_file(struct session *s, const char *path)
{
    struct buf text = {0}, dump = {0};
    int fault = file_read(path, SOURCE_MAX, &text);
    if (fault && fault != EFBIG) { /* too large: the compiler refuses it with a diagnostic */
        report_fault(&s->report, path, fault == EISDIR ? "this is a folder; name the files in it" : strerror(fault));
        buf_free(&text);
        return;
    }
    struct str name = strcmp(path, "-") == 0 ? STR("<stdin>") : str_of(path);
    const struct compile_options options = {
        .verdicts_only = s->o->command == COMMAND_CHECK && s->o->form == FORM_TEXT && s->o->dump == DUMP_NONE,
        .dump = s->o->dump,
        .dump_to = &dump,
    };
    struct compilation c = {0};
    compile(s->context, name, buf_str(&text), &options, &c);
    levels_apply(&s->o->levels, &c.diags);
    report_print(&s->report, buf_str(&dump));
    report_compilation(&s->report, &c);
    if (s->o->command == COMMAND_BUILD)
        finish_build(s, &c, path);
    compilation_free(&c);
    buf_free(&dump);
    buf_free(&text);
}

static int run_files(const struct options *o)
{
    struct session s = {.o = o, .context = context_open()};
    report_open(&s.report, o);
    for (uint32_t i = 0; i < o->n_files; i++)
        run_file(&s, o->files[i]);
    if (o->command == COMMAND_BUILD && s.report.status != EXIT_WORLD)
        outputs_write_rules(&s.outputs, &s.report);
    int status = report_close(&s.report);
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
