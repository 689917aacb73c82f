#include "driver/context.h"

#include "base/assert.h"
#include "base/embed.h"
#include "claims/lexicon.h"

#include <stdlib.h>

/* Reads stdlib/ as units of one compilation whose only result is the library. */
static void library_build(struct context *c)
{
    struct model *m = ARENA_NEW(&c->arena, struct model);
    m->arena = &c->arena;
    c->sources.arena = &c->arena;
    c->diags.arena = &c->arena;
    struct sema s = {.arena = &c->arena, .model = m, .diags = &c->diags, .sources = &c->sources};
    uint32_t n = 0;
    while (stdlib_files[n].name)
        n++;
    s.units = ARENA_NEW_ARRAY(&c->arena, struct unit, n);
    for (uint32_t i = 0; i < n; i++) {
        struct str text = {stdlib_files[i].text, stdlib_files[i].n};
        uint32_t file = source_add(&c->sources, str_of(stdlib_files[i].name), text, true);
        struct parser *p = ARENA_NEW(&c->arena, struct parser);
        parse_text(p, &c->arena, file, text, &c->diags);
        s.units[s.n_units++] = (struct unit){file, p->root, &p->lost, true};
    }
    library_collect(&s, &c->library, NULL);
    c->lexicon = lexicon_build(&c->arena, &c->library);
}

struct context *context_open(void)
{
    struct context *c = calloc(1, sizeof *c);
    if (!c)
        abort();
    library_build(c);
    ASSERT(c->diags.errors == 0); /* tests/reference checks stdlib/ entry by entry */
    return c;
}

void context_close(struct context *c)
{
    if (!c)
        return;
    arena_free(&c->arena);
    free(c);
}

const struct theory_library *context_library(const struct context *c)
{
    return &c->library;
}
