/* All patterns, compiled, and by which words of a sentence they are found. */
#include "base/assert.h"
#include "claims/lexicon.h"
#include "claims/match.h"

/* A table that is being built. */
struct builder {
    struct pattern *patterns;
    uint32_t n_patterns;
    struct stem_slot *stems;
    struct pattern_set *told; /* one a place of stems */
};

static uint32_t place_of(const struct stem_slot *stems, uint32_t stem)
{
    uint32_t i = stem % STEM_SLOTS;
    while (stems[i].uses && stems[i].stem != stem)
        i = (i + 1) % STEM_SLOTS;
    return i;
}

static void set_add(struct pattern_set *s, uint32_t pattern)
{
    s->bits[pattern / 64] |= (uint64_t)1 << pattern % 64;
}

static void compile_all(struct builder *b, struct arena *a)
{
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++)
        for (const char *const *p = (*k)->patterns; *p; p++)
            b->n_patterns++;
    ASSERT(b->n_patterns <= PATTERNS_MAX);
    b->patterns = ARENA_NEW_ARRAY(a, struct pattern, b->n_patterns);
    uint32_t n = 0;
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++)
        for (int i = 0; (*k)->patterns[i]; i++)
            pattern_compile(a, *k, i, &b->patterns[n++]);
}

static void count_stems(struct builder *b)
{
    uint32_t different = 0;
    for (uint32_t i = 0; i < b->n_patterns; i++) {
        const struct pattern *p = &b->patterns[i];
        for (uint32_t g = 0; g < p->n_groups; g++)
            for (uint32_t k = 0; k < p->groups[g].n; k++) {
                uint32_t stem = p->stems[p->groups[g].first + k];
                struct stem_slot *slot = &b->stems[place_of(b->stems, stem)];
                slot->stem = stem;
                different += slot->uses++ == 0;
                ASSERT(different < STEM_SLOTS / 2);
            }
    }
}

/* Of the groups that every sentence of a pattern has a word of, the one whose words the fewest patterns need. */
static const struct word_group *rarest(const struct builder *b, const struct pattern *p)
{
    const struct word_group *best = NULL;
    uint32_t least = UINT32_MAX;
    for (uint32_t g = 0; g < p->n_groups; g++) {
        uint32_t uses = 0;
        for (uint32_t k = 0; k < p->groups[g].n; k++)
            uses += b->stems[place_of(b->stems, p->stems[p->groups[g].first + k])].uses;
        if (uses < least) {
            least = uses;
            best = &p->groups[g];
        }
    }
    return best;
}

struct pattern_table *pattern_table_build(struct arena *a)
{
    struct builder b = {.stems = ARENA_NEW_ARRAY(a, struct stem_slot, STEM_SLOTS),
                        .told = ARENA_NEW_ARRAY(a, struct pattern_set, STEM_SLOTS)};
    struct pattern_table *table = ARENA_NEW(a, struct pattern_table);
    compile_all(&b, a);
    count_stems(&b);
    for (uint32_t i = 0; i < b.n_patterns; i++) {
        const struct pattern *p = &b.patterns[i];
        const struct word_group *g = rarest(&b, p);
        if (!g)
            set_add(&table->others, i);
        for (uint32_t k = 0; g && k < g->n; k++) {
            uint32_t place = place_of(b.stems, p->stems[g->first + k]);
            set_add(&b.told[place], i);
            b.stems[place].told = &b.told[place];
        }
    }
    table->patterns = b.patterns;
    table->n_patterns = b.n_patterns;
    table->stems = b.stems;
    return table;
}

struct pattern_set pattern_candidates(const struct pattern_table *table, const uint32_t *stems, uint32_t n)
{
    struct pattern_set found = table->others;
    for (uint32_t i = 0; i < n; i++) {
        const struct pattern_set *told = table->stems[place_of(table->stems, stems[i])].told;
        for (uint32_t k = 0; told && k * 64 < table->n_patterns; k++)
            found.bits[k] |= told->bits[k];
    }
    return found;
}
