#include "sema/sema.h"

#include "base/array.h"
#include "base/assert.h"
#include "diag/suggest.h"
#include "parse.h"

static const struct {
    const char *word;
    int keyword; /* of the statement that defines it */
} things[THING_COUNT] = {
    [THING_WORK] = {"work", TOK_WORK},
    [THING_RECORDING] = {"recording", TOK_RECORDING},
    [THING_SCORE] = {"score", TOK_SCORE},
    [THING_CITATION] = {"citation", TOK_CITE},
    [THING_FACT] = {"fact", TOK_FACT},
    [THING_READING] = {"reading", TOK_READING},
    [THING_PASSAGE] = {"passage", TOK_PASSAGE},
    [THING_FIGURE] = {"figure", TOK_FIGURE},
    [THING_CLAIM] = {"claim", TOK_CLAIM},
    [THING_INSTRUMENT] = {"instrument", TOK_INSTRUMENT},
    [THING_CHORD] = {"chord", TOK_CHORD},
    [THING_SCALE] = {"scale", TOK_SCALE},
    [THING_PROFILE] = {"caption profile", TOK_PROFILE},
};

const char *thing_word(enum thing t)
{
    return things[t].word;
}

struct symbol symbol_of(struct sema *s, const struct node *name)
{
    return (struct symbol){name->text, name->where, s->unit->library};
}

static struct name_slot *slot_of(const struct sema *s, enum thing t, struct str name)
{
    uint32_t mask = s->n_slots - 1;
    uint32_t i = (str_hash(name) + (uint32_t)t * 0x9e3779b9u) & mask;
    while (s->slots[i].symbol && !(s->slots[i].thing == t && str_eq(s->slots[i].symbol->name, name)))
        i = (i + 1) & mask;
    return &s->slots[i];
}

static void slots_grow(struct sema *s)
{
    struct name_slot *old = s->slots;
    uint32_t n = s->n_slots;
    s->n_slots = n ? n * 2 : 256;
    s->slots = ARENA_NEW_ARRAY(s->arena, struct name_slot, s->n_slots);
    for (uint32_t i = 0; i < n; i++)
        if (old[i].symbol)
            *slot_of(s, old[i].thing, old[i].symbol->name) = old[i];
}

bool name_define(struct sema *s, enum thing t, struct symbol *symbol)
{
    if (s->n_names * 2 >= s->n_slots)
        slots_grow(s);
    struct name_slot *slot = slot_of(s, t, symbol->name);
    if (slot->symbol) {
        struct diag *d = diag_add(s->diags, DIAG_DUPLICATE_NAME, symbol->where, "the %s `%.*s` is defined twice",
                                  thing_word(t), STR_ARG(symbol->name));
        diag_place(s->diags, d, slot->symbol->where, "defined first here");
        diag_help(s->diags, d, "give one of them another name");
        return false;
    }
    *slot = (struct name_slot){symbol, t};
    s->n_names++;
    return true;
}

struct symbol *thing_find(const struct sema *s, enum thing t, struct str name)
{
    return s->n_slots ? slot_of(s, t, name)->symbol : NULL;
}

bool name_lost(const struct sema *s, enum thing t, struct str name)
{
    for (uint32_t i = 0; i < s->n_units; i++) {
        const struct lost *l = s->units[i].lost;
        if (lost_statement(l, things[t].keyword) || lost_statement(l, TOK_USE) || lost_has(l, name))
            return true;
    }
    return false;
}

static void offer_names(const struct sema *s, enum thing t, struct suggest *near)
{
    for (uint32_t i = 0; i < s->n_slots; i++)
        if (s->slots[i].symbol && s->slots[i].thing == t)
            suggest_offer(near, s->slots[i].symbol->name);
}

/* Is the name that of another kind of thing? Then that is the slip to point out. */
static const struct name_slot *same_name(const struct sema *s, struct str name)
{
    for (enum thing t = 0; t < THING_COUNT; t++) {
        const struct name_slot *slot = slot_of(s, t, name);
        if (slot->symbol)
            return slot;
    }
    return NULL;
}

struct symbol *name_resolve(struct sema *s, enum thing t, const struct node *name)
{
    ASSERT(s->n_slots);
    struct symbol *found = thing_find(s, t, name->text);
    if (found || name_lost(s, t, name->text))
        return found;
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_NAME, name->where, "no %s is called `%.*s`", thing_word(t),
                              STR_ARG(name->text));
    const struct name_slot *other = same_name(s, name->text);
    if (other) {
        diag_place(s->diags, d, other->symbol->where, "a %s has this name", thing_word(other->thing));
        return NULL;
    }
    struct suggest near;
    suggest_start(&near, name->text);
    offer_names(s, t, &near);
    if (near.n) {
        diag_help(s->diags, d, "a %s with a similar name: %.*s", thing_word(t), STR_ARG(suggest_text(&near, s->arena)));
        if (near.n == 1)
            diag_fix(s->diags, d, name->where, near.best[0], false);
    } else {
        diag_help(s->diags, d, "define it with a statement `%s %.*s …`", t == THING_CITATION ? "cite" : thing_word(t),
                  STR_ARG(name->text));
    }
    return NULL;
}

void spoil(struct sema *s, struct str name)
{
    if (!is_spoiled(s, name))
        ARRAY_PUSH(s->arena, s->spoiled, s->n_spoiled, (struct spoiled){name});
}

bool is_spoiled(const struct sema *s, struct str name)
{
    for (uint32_t i = 0; i < s->n_spoiled; i++)
        if (str_eq(s->spoiled[i].name, name))
            return true;
    return false;
}
