/* options.h - what the command line asks for.
 *
 * Purpose: one table of options; reading, `--help` and the tests of the manual go by it.
 * Owner:   texts are those of argv; `files` is allocated once and freed by options_free.
 * Errors:  options_read says on standard error what is wrong, and how it is meant.
 */
#ifndef DESCANT_OPTIONS_H
#define DESCANT_OPTIONS_H

#include "back/back.h"
#include "diag/levels.h"
#include "driver/driver.h"

#define DESCANT_VERSION "0.1.0"

/* Exit statuses of the command. */
enum exit_status { EXIT_FINE = 0, EXIT_WRONG = 1, EXIT_WORLD = 2, EXIT_OPEN = 3 };

enum command { COMMAND_CHECK, COMMAND_BUILD, COMMAND_FORMAT, COMMAND_EXPLAIN, COMMAND_HELP, COMMAND_VERSION };
enum form { FORM_TEXT, FORM_JSON, FORM_SARIF };
enum color { COLOR_AUTO, COLOR_ALWAYS, COLOR_NEVER, COLOR_TAGS };

enum { KINDS_MAX = 32 };

struct options {
    enum command command;
    const char **files; /* or the words to explain */
    uint32_t n_files;
    const struct back *kinds[KINDS_MAX]; /* of --to; none: all */
    uint32_t n_kinds;
    const char *out;    /* folder */
    const char *deps;   /* NULL: no dependency file */
    enum form form;
    enum color color;
    bool strict, quiet;
    bool only_check;    /* format: change nothing, list what would change */
    uint32_t max_errors; /* 0: no limit */
    bool has_width;
    uint32_t width;      /* 0: no limit */
    enum dump_stage dump;
    struct diag_levels levels;
};

/* False after a message: the command ends with EXIT_WORLD. */
bool options_read(struct options *o, int argc, char **argv);
void options_free(struct options *o);
/* The text of `descant --help`. */
void options_help(struct buf *b);

#endif
