/* context.h - the inside of struct context, for this folder. */
#ifndef DESCANT_CONTEXT_H
#define DESCANT_CONTEXT_H

#include "driver/driver.h"
#include "sema/sema.h"

struct context {
    const struct theory_library *library;
    const struct claim_lexicon *lexicon;
};

#endif
