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
    [THING_CITATION] = {"source", TOK_CITE},
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

/* "a work", "an instrument" */
static const char *article(enum thing t)
{
    return t == THING_INSTRUMENT ? "an" : "a";
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
        struct diag *d = diag_add(s->diags, DIAG_DUPLICATE_NAME, symbol->where,
                                  "the %s `%.*s` is defined twice", thing_word(t), STR_ARG(symbol->name));
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

/* A file with hundreds of thousands of unknown names gets no suggestions for the last of them. */
enum { NEAR_WORK_MAX = 20000000 };

static void offer_names(const struct sema *s, enum thing t, struct suggest *near)
{
    for (uint32_t i = 0; i < s->n_slots; i++)
        if (s->slots[i].symbol && s->slots[i].thing == t)
            suggest_offer(near, s->slots[i].symbol->name);
}

/* All names of a kind, if they are few: "`lamp`, `harbour` and `quay`". In the order of their definition. */
static struct str names_text(const struct sema *s, enum thing t)
{
    enum { SHOWN = 5 };
    const struct symbol *found[SHOWN];
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->n_slots; i++) {
        const struct symbol *one = s->slots[i].symbol;
        if (!one || s->slots[i].thing != t)
            continue;
        if (n == SHOWN)
            return STR("");
        uint32_t at = n++;
        for (; at > 0 &&
               (found[at - 1]->where.file > one->where.file ||
                (found[at - 1]->where.file == one->where.file && found[at - 1]->where.lo > one->where.lo));
             at--)
            found[at] = found[at - 1];
        found[at] = one;
    }
    struct buf b = {0};
    for (uint32_t i = 0; i < n; i++)
        buf_printf(&b, "%s`%.*s`", i == 0 ? "" : i + 1 == n ? " and " : ", ", STR_ARG(found[i]->name));
    return buf_take(&b, s->arena);
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
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_NAME, name->where, "no %s is called `%.*s`",
                              thing_word(t), STR_ARG(name->text));
    const struct name_slot *other = same_name(s, name->text);
    if (other && other->symbol->where.hi == 0) {
        diag_note(s->diags, d, "%s %s of the standard library has this name", article(other->thing),
                  thing_word(other->thing));
        return NULL;
    }
    if (other) {
        diag_place(s->diags, d, other->symbol->where, "%s %s has this name", article(other->thing),
                   thing_word(other->thing));
        return NULL;
    }
    struct suggest near;
    suggest_start(&near, name->text);
    s->near_work += s->n_slots;
    if (s->near_work > NEAR_WORK_MAX)
        return NULL;
    offer_names(s, t, &near);
    struct str known = names_text(s, t);
    const char *word = t == THING_CITATION ? "cite" : t == THING_PROFILE ? "caption-profile" : thing_word(t);
    if (near.n) {
        diag_help(s->diags, d, "%s %s with a similar name: %.*s", article(t), thing_word(t),
                  STR_ARG(suggest_text(&near, s->arena)));
        if (near.n == 1)
            diag_fix(s->diags, d, name->where, near.best[0], false);
    } else if (known.n) {
        diag_help(s->diags, d, "there is %.*s; `%s %.*s …` would define another", STR_ARG(known), word,
                  STR_ARG(name->text));
    } else {
        diag_help(s->diags, d, "define it with a statement `%s %.*s …`", word, STR_ARG(name->text));
    }
    return NULL;
}

static struct spoiled *spoiled_slot(const struct sema *s, struct str name)
{
    uint32_t mask = s->cap_spoiled - 1, i = str_hash(name) & mask;
    while (s->spoiled[i].name.n && !str_eq(s->spoiled[i].name, name))
        i = (i + 1) & mask;
    return &s->spoiled[i];
}

void spoil(struct sema *s, struct str name)
{
    if (is_spoiled(s, name) || !name.n)
        return;
    if (s->n_spoiled * 2 >= s->cap_spoiled) {
        struct spoiled *old = s->spoiled;
        uint32_t n = s->cap_spoiled;
        s->cap_spoiled = n ? n * 2 : 32;
        s->spoiled = ARENA_NEW_ARRAY(s->arena, struct spoiled, s->cap_spoiled);
        for (uint32_t i = 0; i < n; i++)
            if (old[i].name.n)
                *spoiled_slot(s, old[i].name) = old[i];
    }
    *spoiled_slot(s, name) = (struct spoiled){name};
    s->n_spoiled++;
}

bool is_spoiled(const struct sema *s, struct str name)
{
    return s->n_spoiled && spoiled_slot(s, name)->name.n;
}
