#include "claims/match.h"

/* Names of the library have at most so many words; a name that nothing has is looked for up to here. */
enum { NAME_WORDS_MAX = 5 };

/* A lenient reading takes the words up to the limit for a name that is misspelled. */
static uint32_t unknown_words(struct reader *r, uint32_t at, uint32_t limit, int class)
{
    if (!r->lenient)
        return 0;
    uint32_t end = limit < at + NAME_WORDS_MAX ? limit : at + NAME_WORDS_MAX;
    return end > at && bad_name(r, at, end, class) ? end : 0;
}

static uint32_t skip_noun(const struct reader *r, uint32_t at, uint32_t limit, const char *const *nouns)
{
    for (; at < limit && *nouns; nouns++)
        if (word_is(r, at, *nouns))
            return at + 1;
    return at;
}

/* ---- chord qualities and instruments ------------------------------------------------------------- */

uint32_t read_quality(const struct reader *r, uint32_t at, uint32_t limit, const struct chord_quality **out)
{
    static const char *const nouns[] = {"chord", "triad", NULL};
    const struct lexicon_entry *entry;
    uint32_t best = lexicon_longest(r, LEXICON_QUALITY, at, limit, &entry);
    if (best)
        *out = entry->thing;
    return best ? skip_noun(r, best, limit, nouns) : 0;
}

uint32_t slot_quality(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_qualities == MATCH_SLOTS)
        return 0;
    uint32_t end = read_quality(r, at, limit, &m->quality[m->n_qualities]);
    if (!end)
        end = unknown_words(r, at, limit, NAME_QUALITY);
    m->n_qualities += end > 0;
    return end;
}

uint32_t read_instrument(const struct reader *r, uint32_t at, uint32_t limit, const struct instrument **out)
{
    const struct lexicon_entry *entry;
    uint32_t best = lexicon_longest(r, LEXICON_INSTRUMENT, at, limit, &entry);
    if (best)
        *out = entry->thing;
    return best;
}

uint32_t slot_instrument(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_instruments == MATCH_SLOTS)
        return 0;
    uint32_t end = read_instrument(r, at, limit, &m->instrument[m->n_instruments]);
    if (!end)
        end = unknown_words(r, at, limit, NAME_INSTRUMENT);
    m->n_instruments += end > 0;
    return end;
}

/* ---- families ------------------------------------------------------------------------------------ */

/* `double reed`: the library keeps the kind of reed apart from the families. */
static uint32_t read_reed(const struct reader *r, uint32_t at, uint32_t limit, struct str *out)
{
    static const char *const kinds[] = {"double reed", "single reed", "free reed"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        uint32_t end = words_are(r, at, limit, str_of(kinds[i]));
        if (end) {
            *out = str_of(kinds[i]);
            return end;
        }
    }
    return 0;
}

static uint32_t read_family(const struct reader *r, uint32_t at, uint32_t limit, struct str *out)
{
    uint32_t best = read_reed(r, at, limit, out);
    const struct lexicon_entry *entry;
    uint32_t end = lexicon_longest(r, LEXICON_FAMILY, at, limit, &entry);
    if (end <= best)
        return best;
    *out = entry->name;
    return end;
}

uint32_t slot_family(struct reader *r, uint32_t at, uint32_t limit)
{
    static const char *const nouns[] = {"instrument", NULL};
    struct match *m = r->match;
    if (m->n_families == MATCH_SLOTS)
        return 0;
    uint32_t end = read_family(r, at, limit, &m->family[m->n_families]);
    end = end ? skip_noun(r, end, limit, nouns) : unknown_words(r, at, limit, NAME_FAMILY);
    m->n_families += end > 0;
    return end;
}

/* ---- scales -------------------------------------------------------------------------------------- */

static uint32_t read_scale(const struct reader *r, uint32_t at, uint32_t limit, const struct scale **out)
{
    static const char *const nouns[] = {"scale", "collection", "mode", NULL};
    const struct lexicon_entry *entry;
    uint32_t best = lexicon_longest(r, LEXICON_SCALE, at, limit, &entry);
    if (best)
        *out = entry->thing;
    return best ? skip_noun(r, best, limit, nouns) : 0;
}

/* The tonic before or after: `D dorian`, `octatonic scale on C`. */
uint32_t slot_scale(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_scales == MATCH_SLOTS || at >= limit)
        return 0;
    struct tone *tonic = &m->scale_tonic[m->n_scales];
    bool before = r->words[at].kind == WORD_MUSIC && tone_parse(r->words[at].text, tonic);
    uint32_t name = before ? at + 1 : at;
    const struct scale *scale = NULL;
    uint32_t end = read_scale(r, name, limit, &scale);
    if (!end)
        end = unknown_words(r, name, limit, NAME_SCALE);
    if (!end)
        return 0;
    bool after = !before && end + 1 < limit &&
                 (word_is(r, end, "on") || word_is(r, end, "of") || word_is(r, end, "from")) &&
                 r->words[end + 1].kind == WORD_MUSIC && tone_parse(r->words[end + 1].text, tonic);
    m->scale[m->n_scales] = scale;
    m->scale_has_tonic[m->n_scales++] = before || after;
    return after ? end + 2 : end;
}
