#include "driver/context.h"

#include "driver/standard.h"

#include <stdlib.h>

struct context *context_open(void)
{
    struct context *c = malloc(sizeof *c);
    if (!c)
        abort();
    *c = (struct context){&standard_library, &standard_lexicon};
    return c;
}

void context_close(struct context *c)
{
    free(c);
}

const struct theory_library *context_library(const struct context *c)
{
    return c->library;
}
