/* outputs.h - writes what the back ends make.
 *
 * Purpose: file names, folders, clashes between two episodes of one run, and the dependency file.
 * Owner:   paths live in the set's arena until the run ends.
 * Errors:  reported; the run ends with EXIT_WORLD.
 */
#ifndef DESCANT_OUTPUTS_H
#define DESCANT_OUTPUTS_H

#include "cli/report.h"

/* What one run has written so far. */
struct outputs {
    struct arena arena;
    struct str *paths;
    uint32_t n, cap;
    struct buf rules; /* of --deps */
};

/* Writes the outputs of one episode; *first gets the index of its first path in out->paths. `path` is the episode's, as
 * given. False: a fault was reported. */
bool outputs_write(struct outputs *out, struct report *r, const struct model *m, const char *path, uint32_t *first);
/* Writes the file of --deps, if one was asked for. */
void outputs_write_rules(const struct outputs *out, struct report *r);
void outputs_free(struct outputs *out);

#endif
