/* report.h - what a run says, in the form asked for.
 *
 * Purpose: text goes to standard error as it comes; JSON Lines and SARIF go to standard output.
 * Owner:   a report owns what it has not written yet; report_close frees it.
 * Errors:  a stream that cannot be written makes the run end with EXIT_WORLD.
 */
#ifndef DESCANT_REPORT_H
#define DESCANT_REPORT_H

#include "cli/options.h"
#include "diag/render.h"

struct report {
    const struct options *o;
    struct text_options text;
    struct sarif_log *sarif;
    int status;               /* enum exit_status so far */
    uint32_t errors, warnings, notes;
    uint32_t holds, fails, undecided;
    uint32_t shown_errors, shown_others;
    uint32_t kept_errors, kept_others; /* not shown: over --max-errors */
};

void report_open(struct report *r, const struct options *o);
/* Counts and says what the compilation found. */
void report_compilation(struct report *r, const struct compilation *c);
/* What a build did: the files written, or how many errors kept it from writing. */
void report_written(struct report *r, const struct compilation *c, struct str file, const struct str *paths,
                    uint32_t n_paths);
/* The run ends with EXIT_WRONG, if with nothing worse. */
void report_wrong(struct report *r);
/* A failure of the world: "descant: WHAT: why". */
void report_fault(struct report *r, const char *what, const char *why);
/* Bytes for standard output, in any form. */
void report_print(struct report *r, struct str bytes);
/* The summary; returns the exit status. */
int report_close(struct report *r);

#endif
