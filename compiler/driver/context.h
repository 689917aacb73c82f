/* context.h - the inside of struct context, for this folder. */
#ifndef DESCANT_CONTEXT_H
#define DESCANT_CONTEXT_H

#include "driver/driver.h"
#include "sema/sema.h"

struct context {
    struct arena arena;
    struct source_list sources; /* the files of stdlib/ */
    struct diag_list diags;
    struct theory_library library;
    const struct claim_lexicon *lexicon;
};

#endif
