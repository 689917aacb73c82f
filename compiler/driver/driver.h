/* driver.h - the whole pipeline as one call.
 *
 * Purpose: context (standard library, read once) and compile(): text in, checked model and diagnostics out.
 * Owner:   a context owns the standard library; a compilation owns its arena, sources, diagnostics and model.
 * Errors:  the author's mistakes are diagnostics; a file that cannot be read is one too (at the `use` that names it), or
 *          a status for the episode itself.
 */
#ifndef DESCANT_DRIVER_H
#define DESCANT_DRIVER_H

#include "base/arena.h"
#include "base/buf.h"
#include "diag/diag.h"
#include "sema/model.h"
#include "source/source.h"

struct context; /* opaque; two of them run in two threads */

/* What every compilation begins with: the standard library. NULL never. */
struct context *context_open(void);
void context_close(struct context *c);
/* The standard library, for `descant explain`; valid as long as the context. */
const struct theory_library *context_library(const struct context *c);

enum dump_stage { DUMP_NONE, DUMP_TOKENS, DUMP_TREE, DUMP_MODEL, DUMP_CLAIMS, DUMP_TIMELINE };

/* Where the files come from that a text uses: an editor's unsaved ones, or none but those of a test. */
struct text_loader {
    /* Appends the file of that path, with a NUL behind it; returns 0 or an errno. */
    int (*load)(void *user, const char *path, struct buf *out);
    void *user;
};

struct compile_options {
    bool verdicts_only;    /* leave the evidence of claims that hold unwritten: nobody will read it */
    enum dump_stage dump; /* written to `dump_to` while compiling */
    struct buf *dump_to;
    const struct text_loader *loader; /* NULL: the file system */
    struct arena *room;    /* memory of a compilation that is over, to work in: it is taken out; NULL: none */
};

struct compilation {
    struct arena arena;
    struct source_list sources; /* [0] is the file itself */
    struct diag_list diags;     /* sorted */
    struct model *model;        /* NULL only if the text was refused whole (too large, not UTF-8 at all) */
    uint32_t holds, fails, undecided;
    uint32_t unchecked; /* claims about what could not be read; not among the undecided */
};

/* Compiles one text under the file name `name` (used for messages and to find `use` files). A NUL follows the text. */
void compile(struct context *c, struct str name, struct str text, const struct compile_options *options,
             struct compilation *out);
void compilation_free(struct compilation *c);
/* The same, but some of its memory is kept in *room, for compile_options of the next one. */
void compilation_clear(struct compilation *c, struct arena *room);

/* Appends the text in the one style (syntax/format.h). False: it cannot be read; `out` holds what is wrong, nothing was
 * appended. `out` is to be freed in either case. A NUL follows the text. */
bool reformat(struct str name, struct str text, struct compilation *out, struct buf *formatted);

#endif
