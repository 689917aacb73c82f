#include "driver/standard.h"

#include "base/embed.h"
#include "sema/sema.h"
#include "syntax/parser.h"

/* The files are units of one compilation whose only result is the library. */
void standard_read(struct arena *a, struct source_list *sources, struct diag_list *diags, struct theory_library *out)
{
    struct model *m = ARENA_NEW(a, struct model);
    m->arena = a;
    struct sema s = {.arena = a, .model = m, .diags = diags, .sources = sources};
    uint32_t n = 0;
    while (stdlib_files[n].name)
        n++;
    s.units = ARENA_NEW_ARRAY(a, struct unit, n);
    for (uint32_t i = 0; i < n; i++) {
        struct str text = {stdlib_files[i].text, stdlib_files[i].n};
        uint32_t file = source_add(sources, str_of(stdlib_files[i].name), text, true);
        struct parser *p = ARENA_NEW(a, struct parser);
        parse_text(p, a, file, text, diags);
        s.units[s.n_units++] = (struct unit){file, p->root, &p->lost, true};
    }
    library_collect(&s, out, NULL);
}
