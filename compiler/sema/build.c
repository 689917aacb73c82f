/* The phase as a whole: trees to model. */
#include "sema/sema.h"

#include "diag/suggest.h"

static const struct caption_profile *default_profile(const struct theory_library *lib)
{
    static const struct caption_profile plain = {.symbol = {{"plain", 5}, {0, 0, 0}, false},
                                                 .title = {"plain", 5},
                                                 .line = 42,
                                                 .lines = 2,
                                                 .rate_note = {17, 1},
                                                 .rate_error = {20, 1},
                                                 .speech = {150, 1},
                                                 .shortest = {1, 1},
                                                 .longest = {7, 1},
                                                 .gap = {2, 1},
                                                 .gap_frames = true,
                                                 .close = {1, 1}};
    return lib->n_profiles ? &lib->profiles[0] : &plain;
}

static void errata_check(struct sema *s)
{
    for (uint32_t i = 0; i < s->model->n_errata; i++) {
        const struct erratum *e = s->model->errata[i];
        if (!thing_find(s, THING_CLAIM, e->claim) && !name_lost(s, THING_CLAIM, e->claim)) {
            struct diag *d = diag_add(s->diags, DIAG_ERRATUM_UNKNOWN, e->where, "no claim is called `%.*s`",
                                      STR_ARG(e->claim));
            struct suggest near;
            suggest_start(&near, e->claim);
            for (uint32_t k = 0; k < s->model->n_claims; k++)
                suggest_offer(&near, s->model->claims[k]->symbol.name);
            if (near.n)
                diag_help(s->diags, d, "a claim with a similar name: %.*s",
                          STR_ARG(suggest_text(&near, s->arena)));
            else
                diag_help(s->diags, d,
                          "a correction belongs to a claim: keep the claim it corrects, in its true form");
            if (near.n == 1)
                diag_fix(s->diags, d, e->where, near.best[0], false);
        }
    }
}

void sema_build(struct sema *s)
{
    struct model *m = s->model;
    convention_defaults(&s->conventions);
    m->conventions = &s->conventions;
    m->language = STR("en");
    frame_rate_of(ratio_int(25), &m->rate);
    struct theory_library own;
    library_collect(s, &own, &s->library);
    s->library = own;
    m->library = &s->library;
    for (uint32_t i = 0; i < own.n_profiles; i++) /* the standard ones can be named too */
        if (!thing_find(s, THING_PROFILE, own.profiles[i].symbol.name)) {
            struct caption_profile *copy = ARENA_NEW(s->arena, struct caption_profile);
            *copy = own.profiles[i];
            copy->symbol.where = (struct span){0, 0, 0}; /* its place is in no source of this compilation */
            name_define(s, THING_PROFILE, &copy->symbol);
        }
    m->profile = default_profile(&own);
    declare_all(s);
    for (uint32_t i = 0; i < m->n_passages; i++)
        m->passages[i]->unread = is_spoiled(s, m->passages[i]->symbol.name);
    timeline_build(s);
    errata_check(s);
}
