#include "claims/lexicon.h"

#include "base/array.h"
#include "claims/match.h"

static char fold(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static uint32_t bucket_of(struct str word)
{
    uint32_t a = word.n > 0 ? (unsigned char)fold(word.p[0]) : 0, b = word.n > 1 ? (unsigned char)fold(word.p[1]) : 0;
    return (a * 31 + b) % LEXICON_BUCKETS;
}

static void add(struct claim_lexicon *l, struct arena *a, enum lexicon_class class, struct str name, const void *thing)
{
    struct lexicon_bucket *b = &l->buckets[bucket_of(name)];
    if (!name.n)
        return;
    ARRAY_PUSH(a, b->entries, b->n, (struct lexicon_entry){class, name, thing});
}

static void add_family(struct claim_lexicon *l, struct arena *a, struct str name)
{
    const struct lexicon_bucket *b = &l->buckets[bucket_of(name)];
    for (uint32_t i = 0; i < b->n; i++)
        if (b->entries[i].class == LEXICON_FAMILY && str_eq(b->entries[i].name, name))
            return;
    add(l, a, LEXICON_FAMILY, name, NULL);
}

static void add_names(struct claim_lexicon *l, struct arena *a, const struct theory_library *lib)
{
    for (uint32_t i = 0; i < lib->n_qualities; i++)
        for (uint32_t k = 0; k < lib->qualities[i].n_names; k++)
            add(l, a, LEXICON_QUALITY, lib->qualities[i].names[k], &lib->qualities[i]);
    for (uint32_t i = 0; i < lib->n_scales; i++)
        for (uint32_t k = 0; k < lib->scales[i].n_names; k++)
            add(l, a, LEXICON_SCALE, lib->scales[i].names[k], &lib->scales[i]);
    for (uint32_t i = 0; i < lib->n_instruments; i++) {
        const struct instrument *in = &lib->instruments[i];
        for (uint32_t k = 0; k < in->n_names; k++)
            add(l, a, LEXICON_INSTRUMENT, in->names[k], in);
        add(l, a, LEXICON_INSTRUMENT, in->symbol.name, in);
        for (uint32_t k = 0; k < in->n_families; k++)
            add_family(l, a, in->families[k]);
    }
}

struct claim_lexicon *lexicon_build(struct arena *a, const struct pattern_table *table, const struct theory_library *library)
{
    struct claim_lexicon *l = ARENA_NEW(a, struct claim_lexicon);
    l->table = table;
    add_names(l, a, library);
    return l;
}

struct claim_lexicon *lexicon_renew(struct arena *a, const struct claim_lexicon *old, const struct theory_library *library)
{
    return lexicon_build(a, old->table, library);
}

uint32_t lexicon_longest(const struct reader *r, enum lexicon_class class, uint32_t at, uint32_t limit, const struct lexicon_entry **out)
{
    uint32_t best = 0;
    if (at >= limit || r->words[at].kind == WORD_STRING)
        return 0;
    const struct lexicon_bucket *b = &r->model->lexicon->buckets[bucket_of(r->words[at].text)];
    for (uint32_t i = 0; i < b->n; i++) {
        uint32_t end = b->entries[i].class == class ? words_are(r, at, limit, b->entries[i].name) : 0;
        if (end > best) {
            best = end;
            *out = &b->entries[i];
        }
    }
    return best;
}
