/* embed.h - files that are part of the program.
 *
 * Purpose: the standard library and the pages of `descant explain` are embedded when the program is built
 *          (grammar/embed.sh), so that the command needs no file beside it.
 * Owner:   static data.
 * Errors:  none.
 */
#ifndef DESCANT_EMBED_H
#define DESCANT_EMBED_H

#include <stdint.h>

struct embedded_file {
    const char *name; /* "chords.descant"; of a page the code: "bar-too-long" */
    const char *text; /* NUL-terminated as well */
    uint32_t n;
};

/* stdlib/ *.descant in byte order of their names; a NULL name ends. */
extern const struct embedded_file stdlib_files[];
/* compiler/diag/explain/ *.md, likewise, without the ending. */
extern const struct embedded_file explain_pages[];

#endif
