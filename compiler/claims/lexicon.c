#include "claims/lexicon.h"

#include "base/array.h"
#include "base/assert.h"
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
    if (name.n)
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

/* ---- patterns by the words they need ------------------------------------------------------------- */

static struct stem_slot *slot_of(const struct claim_lexicon *l, uint32_t stem)
{
    uint32_t i = stem % STEM_SLOTS;
    while (l->stems[i].uses && l->stems[i].stem != stem)
        i = (i + 1) % STEM_SLOTS;
    return &l->stems[i];
}

static void set_add(struct pattern_set *s, uint32_t pattern)
{
    s->bits[pattern / 64] |= (uint64_t)1 << pattern % 64;
}

static void count_stems(struct claim_lexicon *l)
{
    uint32_t different = 0;
    for (uint32_t i = 0; i < l->n_patterns; i++)
        for (uint32_t g = 0; g < l->patterns[i].n_groups; g++)
            for (uint32_t k = 0; k < l->patterns[i].groups[g].n; k++) {
                uint32_t stem = l->patterns[i].stems[l->patterns[i].groups[g].first + k];
                struct stem_slot *slot = slot_of(l, stem);
                slot->stem = stem;
                different += slot->uses++ == 0;
                ASSERT(different < STEM_SLOTS / 2);
            }
}

/* Of the groups that every sentence of a pattern draws a word from, the one whose words the fewest patterns need. */
static const struct word_group *rarest(const struct claim_lexicon *l, const struct pattern *p)
{
    const struct word_group *best = NULL;
    uint32_t least = UINT32_MAX;
    for (uint32_t g = 0; g < p->n_groups; g++) {
        uint32_t uses = 0;
        for (uint32_t k = 0; k < p->groups[g].n; k++)
            uses += slot_of(l, p->stems[p->groups[g].first + k])->uses;
        if (uses < least) {
            least = uses;
            best = &p->groups[g];
        }
    }
    return best;
}

static void index_patterns(struct claim_lexicon *l, struct arena *a)
{
    ASSERT(l->n_patterns <= PATTERNS_MAX);
    l->stems = ARENA_NEW_ARRAY(a, struct stem_slot, STEM_SLOTS);
    count_stems(l);
    for (uint32_t i = 0; i < l->n_patterns; i++) {
        const struct word_group *g = rarest(l, &l->patterns[i]);
        if (!g)
            set_add(&l->others, i);
        for (uint32_t k = 0; g && k < g->n; k++) {
            struct stem_slot *slot = slot_of(l, l->patterns[i].stems[g->first + k]);
            if (!slot->told)
                slot->told = ARENA_NEW(a, struct pattern_set);
            set_add(slot->told, i);
        }
    }
}

struct pattern_set lexicon_candidates(const struct reader *r)
{
    const struct claim_lexicon *l = r->model->lexicon;
    struct pattern_set found = l->others;
    for (uint32_t i = 0; i < r->n; i++) {
        const struct stem_slot *slot = slot_of(l, r->stems[i]);
        for (uint32_t k = 0; slot->told && k * 64 < l->n_patterns; k++)
            found.bits[k] |= slot->told->bits[k];
    }
    return found;
}

struct claim_lexicon *lexicon_build(struct arena *a, const struct theory_library *library)
{
    struct claim_lexicon *l = ARENA_NEW(a, struct claim_lexicon);
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++)
        for (const char *const *p = (*k)->patterns; *p; p++)
            l->n_patterns++;
    l->patterns = ARENA_NEW_ARRAY(a, struct pattern, l->n_patterns);
    uint32_t n = 0;
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++)
        for (int i = 0; (*k)->patterns[i]; i++)
            pattern_compile(a, *k, i, &l->patterns[n++]);
    index_patterns(l, a);
    add_names(l, a, library);
    return l;
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
