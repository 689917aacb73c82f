#include "cli/format.h"

#include "base/io.h"
#include "cli/report.h"

#include <errno.h>

/* `--check`: names the file and changes nothing. */
static void list_file(struct report *r, struct str name)
{
    struct buf line = {0};
    put_shown(&line, name);
    buf_byte(&line, '\n');
    report_print(r, buf_str(&line));
    report_wrong(r);
    buf_free(&line);
}

static void put_file(struct report *r, const char *path, struct str name, struct str old, struct str bytes)
{
    bool from_input = strcmp(path, "-") == 0, same = str_eq(old, bytes);
    if (r->o->only_check) {
        if (!same)
            list_file(r, name);
        return;
    }
    int fault = 0;
    if (from_input)
        report_print(r, bytes);
    else if (!same)
        fault = file_write(path, bytes);
    if (fault)
        report_fault(r, path, strerror(fault));
}

static void format_file(struct report *r, const char *path)
{
    struct buf text = {0}, formatted = {0};
    int fault = file_read(path, SOURCE_MAX, &text);
    if (fault && fault != EFBIG) { /* too large: refused with a diagnostic */
        report_fault(r, path, strerror(fault));
        buf_free(&text);
        return;
    }
    struct str name = strcmp(path, "-") == 0 ? STR("<stdin>") : str_of(path);
    struct compilation c;
    bool fine = reformat(name, buf_str(&text), &c, &formatted);
    report_compilation(r, &c);
    if (fine)
        put_file(r, path, name, buf_str(&text), buf_str(&formatted));
    compilation_free(&c);
    buf_free(&formatted);
    buf_free(&text);
}

int format_files(const struct options *o)
{
    struct report r;
    report_open(&r, o);
    for (uint32_t i = 0; i < o->n_files; i++)
        format_file(&r, o->files[i]);
    return report_close(&r);
}
