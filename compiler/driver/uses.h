/* uses.h - the files that a file uses.
 *
 * Purpose: reads the libraries named by `use`, each once, before the file that uses it; refuses cycles, files that cannot be read and
 *          paths outside the project folder (the folder of the file that is compiled).
 */
#ifndef DESCANT_USES_H
#define DESCANT_USES_H

#include "driver/context.h"

struct unit_list {
    struct unit *items;
    uint32_t n;
    struct str *files; /* dependencies, the compiled file first */
    uint32_t n_files;
};

/* Parses the text as source 0 and all it uses; the last unit is the file itself. False where the text is refused whole. The
 * loader may be NULL: the file system. */
bool units_read(struct compilation *c, struct str name, struct str text, const struct text_loader *loader,
                struct unit_list *out, struct parser **main_parser);

#endif
