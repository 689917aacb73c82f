/* format.h - `descant format`.
 *
 * Purpose: files rewritten in the one style, or a list of those that are not in it; standard input to standard output.
 * Errors:  a file that cannot be read as statements is left alone and reported; faults of the world end with EXIT_WORLD.
 */
#ifndef DESCANT_CLI_FORMAT_H
#define DESCANT_CLI_FORMAT_H

#include "cli/options.h"

/* Returns the exit status. */
int format_files(const struct options *o);

#endif
