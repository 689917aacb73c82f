/* The whole pipeline: one function, one line a phase. */
#include "driver/uses.h"

#include "checks/checks.h"
#include "claims/lexicon.h"
#include "driver/dump.h"
#include "driver/verdicts.h"

/* What a byte of an episode takes in the arena, from tokens to verdicts: measured on the examples. */
enum { ARENA_BYTES_A_BYTE = 32 };

static void count_verdicts(struct compilation *c)
{
    for (uint32_t i = 0; i < c->model->n_claims; i++) {
        const struct claim *claim = c->model->claims[i];
        if (claim->symbol.library)
            continue;
        c->holds += claim->verdict == VERDICT_HOLDS;
        c->fails += claim->verdict == VERDICT_FAILS;
        c->unchecked += claim->unchecked;
        c->undecided += claim->verdict == VERDICT_UNDECIDED && !claim->unchecked;
    }
}

void compile(struct context *context, struct str name, struct str text, const struct compile_options *options,
             struct compilation *out)
{
    *out = (struct compilation){0};
    if (options && options->room) {
        out->arena = *options->room;
        *options->room = (struct arena){0};
    }
    arena_reserve(&out->arena, (size_t)text.n * ARENA_BYTES_A_BYTE);
    out->sources.arena = &out->arena;
    out->diags.arena = &out->arena;
    struct unit_list units;
    struct parser *parser = NULL;
    if (units_read(out, name, text, options ? options->loader : NULL, &units, &parser)) {
        struct model *m = ARENA_NEW(&out->arena, struct model);
        *m = (struct model){.arena = &out->arena, .sources = &out->sources, .diags = &out->diags, .file = name,
                            .verdicts_only = options && options->verdicts_only, .dependencies = units.files, .n_dependencies = units.n_files};
        struct sema *s = ARENA_NEW(&out->arena, struct sema);
        *s = (struct sema){.arena = &out->arena, .model = m, .diags = &out->diags, .sources = &out->sources,
                           .units = units.items, .n_units = units.n, .library = *context->library};
        sema_build(s);
        bool own = s->library.instruments != context->library->instruments;
        verdicts_run(s, own ? lexicon_renew(&out->arena, context->lexicon, &s->library) : context->lexicon);
        checks_run(m);
        out->model = m;
        count_verdicts(out);
    }
    diag_sort(&out->diags);
    if (options && options->dump != DUMP_NONE)
        dump_stage(out, parser, options->dump, options->dump_to);
}

void compilation_clear(struct compilation *c, struct arena *room)
{
    arena_clear(&c->arena);
    *room = c->arena;
    *c = (struct compilation){0};
}

void compilation_free(struct compilation *c)
{
    arena_free(&c->arena);
    *c = (struct compilation){0};
}
