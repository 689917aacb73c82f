#include "base/buf.h"
#include "claims/check.h"
#include "claims/match.h"
#include "diag/suggest.h"

/* ---- names that nothing has ---------------------------------------------------------------------- */

struct class_row {
    int class;
    const char *word, *article;
};

static const struct class_row classes[] = {
    {NAME_PASSAGE, "passage", "a"},    {NAME_PART, "part", "a"},
    {NAME_FIGURE, "figure", "a"},      {NAME_RECORDING, "recording", "a"},
    {NAME_INSTRUMENT, "instrument", "an"}, {NAME_QUALITY, "chord quality", "a"},
    {NAME_FAMILY, "family of instruments", "a"}, {NAME_SCALE, "scale", "a"},
    {NAME_VOICE, "voice", "a"},
};

enum { CLASSES = sizeof classes / sizeof classes[0] };

/* The nearest of the names that one thing has. */
static void offer_nearest(struct suggest *s, const struct str *names, uint32_t n)
{
    uint32_t cap = s->wanted.n, best = 0, distance = cap + 1;
    for (uint32_t i = 0; i < n; i++) {
        uint32_t d = name_distance(s->wanted, names[i], cap);
        if (d < distance) {
            best = i;
            distance = d;
        }
    }
    if (n)
        suggest_offer(s, names[best]);
}

static void offer_families(struct suggest *s, const struct theory_library *lib)
{
    suggest_offer(s, STR("double reed"));
    suggest_offer(s, STR("single reed"));
    suggest_offer(s, STR("free reed"));
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        for (uint32_t k = 0; k < lib->instruments[i].n_families; k++)
            suggest_offer(s, lib->instruments[i].families[k]);
}

static void offer_class(struct suggest *s, const struct model *m, int class, const struct bad_name *b)
{
    const struct theory_library *lib = m->library;
    if (class == NAME_PASSAGE)
        for (uint32_t i = 0; i < m->n_passages; i++)
            suggest_offer(s, m->passages[i]->symbol.name);
    if (class == NAME_PART)
        for (uint32_t i = 0; i < m->n_passages; i++)
            for (uint32_t k = 0; k < m->passages[i]->n_parts; k++)
                suggest_offer(s, m->passages[i]->parts[k]->symbol.name);
    if (class == NAME_FIGURE)
        for (uint32_t i = 0; i < m->n_figures; i++)
            suggest_offer(s, m->figures[i]->symbol.name);
    if (class == NAME_RECORDING)
        for (uint32_t i = 0; i < m->n_recordings; i++)
            suggest_offer(s, m->recordings[i]->symbol.name);
    if (class == NAME_INSTRUMENT)
        for (uint32_t i = 0; i < lib->n_instruments; i++)
            offer_nearest(s, lib->instruments[i].names, lib->instruments[i].n_names);
    if (class == NAME_FAMILY)
        offer_families(s, lib);
    if (class == NAME_QUALITY)
        for (uint32_t i = 0; i < lib->n_qualities; i++)
            offer_nearest(s, lib->qualities[i].names, lib->qualities[i].n_names);
    if (class == NAME_SCALE)
        for (uint32_t i = 0; i < lib->n_scales; i++)
            offer_nearest(s, lib->scales[i].names, lib->scales[i].n_names);
    if (class == NAME_VOICE && b->part && b->part->voice_names)
        for (uint32_t i = 0; i < b->part->n_voices; i++)
            suggest_offer(s, b->part->voice_names[i]);
}

/* "passage, part or figure" */
static struct str classes_words(struct arena *a, int wanted)
{
    struct buf b = {0};
    int left = 0;
    for (int i = 0; i < CLASSES; i++)
        left += (wanted & classes[i].class) != 0;
    for (int i = 0; i < CLASSES; i++) {
        if (!(wanted & classes[i].class))
            continue;
        buf_printf(&b, "%s%s", b.n == 0 ? "" : left == 1 ? " or " : ", ", classes[i].word);
        left--;
    }
    return buf_take(&b, a);
}

/* What else the name is. */
static const char *other_class(const struct claim_index *index, struct str name)
{
    const struct named *n = name_find(index, name);
    if (!n)
        return NULL;
    return n->passage ? "a passage" : n->n_figures ? "a figure" : n->n_parts ? "a part" : "a recording";
}

static void report_name(struct model *m, const struct claim *claim, const struct bad_name *b)
{
    struct diag_list *diags = m->diags;
    if (!b->classes) {
        struct diag *d = diag_add(diags, DIAG_CLAIM_NAME, b->where, "claim `%.*s`: %.*s",
                                  STR_ARG(claim->symbol.name), STR_ARG(b->trouble));
        if (b->instead.n)
            diag_help(diags, d, "say which, for example %.*s", STR_ARG(b->instead));
        return;
    }
    struct str what = classes_words(m->arena, b->classes);
    struct diag *d = diag_add(diags, DIAG_CLAIM_NAME, b->where, "claim `%.*s`: no %.*s is named `%.*s`",
                              STR_ARG(claim->symbol.name), STR_ARG(what), STR_ARG(b->text));
    const char *other = other_class(m->claim_index, b->text);
    if (other)
        diag_note(diags, d, "`%.*s` is %s", STR_ARG(b->text), other);
    struct str only = STR("");
    uint32_t found = 0;
    for (int i = 0; i < CLASSES; i++) {
        struct suggest s;
        if (!(b->classes & classes[i].class))
            continue;
        suggest_start(&s, b->text);
        offer_class(&s, m, classes[i].class, b);
        for (uint32_t k = 0; k < s.n; k++) {
            diag_note(diags, d, "%s %s with a similar name: `%.*s`", classes[i].article, classes[i].word,
                      STR_ARG(s.best[k]));
            only = s.best[k];
        }
        found += s.n;
    }
    if (found == 1)
        diag_fix(diags, d, b->where, only, false);
}

/* Names of the file are single words that stand where a name must; those of the library are any words. An
 * unknown one is taken for a slip if a name is near, or if the sentence around it could hardly mean anything
 * else. */
static bool is_slip(const struct model *m, const struct bad_name *b, uint32_t telling)
{
    int library = NAME_INSTRUMENT | NAME_QUALITY | NAME_FAMILY | NAME_SCALE;
    if (!(b->classes & library) || telling > 0)
        return true;
    for (int i = 0; i < CLASSES; i++) {
        struct suggest s;
        if (!(b->classes & classes[i].class))
            continue;
        suggest_start(&s, b->text);
        offer_class(&s, m, classes[i].class, b);
        if (s.n)
            return true;
    }
    return false;
}

/* The reading with the fewest unknown names, and of those the one with most of its own words. */
static bool read_leniently(struct reader *r, struct bad_name *bad, uint32_t *n_bad)
{
    uint32_t literal = 0;
    struct match found;
    *n_bad = 0;
    r->lenient = true;
    for (uint32_t i = 0; i < r->model->lexicon->table->n_patterns; i++) {
        const struct pattern *p = &r->model->lexicon->table->patterns[i];
        if (!pattern_possible(r, p) || !pattern_read(r, p, &found))
            continue;
        /* Two unknown names need more of a sentence around them to be taken for names at all. */
        bool clear = r->n_bad > 0 && r->literal >= r->n_bad;
        bool better = *n_bad == 0 || r->n_bad < *n_bad || (r->n_bad == *n_bad && r->literal > literal);
        for (uint32_t k = 0; clear && better && k < r->n_bad; k++)
            clear = is_slip(r->model, &r->bad[k], r->telling);
        if (!clear || !better)
            continue;
        *n_bad = r->n_bad;
        literal = r->literal;
        memcpy(bad, r->bad, sizeof r->bad);
    }
    r->lenient = false;
    return *n_bad > 0;
}

/* Reports the names of words[0 .. n), or of the part before an `and`. */
static bool report_names(struct model *m, const struct claim *claim, const struct word *words, uint32_t n)
{
    struct reader r;
    struct bad_name bad[BAD_NAMES_MAX];
    uint32_t n_bad;
    if (!reader_start(&r, m, words, n) || !read_leniently(&r, bad, &n_bad))
        return false;
    for (uint32_t i = 0; i < n_bad; i++)
        report_name(m, claim, &bad[i]);
    return true;
}

static bool report_names_joined(struct model *m, const struct claim *claim, struct sentence s)
{
    if (report_names(m, claim, s.words, s.n))
        return true;
    for (uint32_t i = 1; i < s.n && i < SENTENCE_WORDS_MAX; i++)
        if (str_is(s.words[i].text, "and"))
            return report_names(m, claim, s.words, i);
    return false;
}

/* ---- sentences of no pattern --------------------------------------------------------------------- */

enum { NEAREST = 3 };

struct near {
    const struct pattern *pattern;
    uint32_t score;
};

static uint32_t shared_words(const struct reader *r, const struct pattern *p)
{
    uint32_t score = 0;
    for (uint32_t i = 0; i < r->n; i++) {
        for (uint32_t k = 0; k < p->n_words; k++) {
            if (p->words[k].stem == r->stems[i]) {
                score += p->words[k].common ? 1 : 4;
                break;
            }
        }
    }
    return score;
}

/* The best three, one of a kind each, in falling order. */
static void keep_nearest(struct near *best, const struct pattern *p, uint32_t score)
{
    uint32_t slot = 0;
    if (score == 0)
        return;
    while (slot < NEAREST && best[slot].score >= score)
        slot++;
    for (uint32_t i = 0; i < slot; i++)
        if (best[i].pattern->kind == p->kind)
            return;
    if (slot == NEAREST)
        return;
    uint32_t last = slot;
    while (last < NEAREST - 1 && !(best[last].pattern && best[last].pattern->kind == p->kind))
        last++;
    for (uint32_t i = last; i > slot; i--)
        best[i] = best[i - 1];
    best[slot] = (struct near){p, score};
}

/* Is the word found there a slip for the one that would fit: `alternats` for `alternates`? */
static bool is_near_word(const struct reader *r, const struct expected *e)
{
    if (e->slot != SLOTS || r->furthest >= r->n)
        return false;
    struct str found = r->words[r->furthest].text;
    return name_distance(found, e->word, found.n / 3) <= found.n / 3;
}

/* Keeps the first few; one that the author must have meant goes before all others. */
static void keep_expected(const struct reader *r, const struct expected *e, struct expected *list, uint32_t *n)
{
    for (uint32_t i = 0; i < *n; i++)
        if (list[i].slot == e->slot && str_eq(list[i].word, e->word))
            return;
    bool slip = is_near_word(r, e);
    if (*n == EXPECTED_MAX && !slip)
        return;
    *n += *n < EXPECTED_MAX;
    if (slip)
        memmove(list + 1, list, (*n - 1) * sizeof *list);
    list[slip ? 0 : *n - 1] = *e;
}

static void find_nearest(struct reader *r, struct near *best)
{
    struct match m;
    uint32_t furthest = 0, n_expected = 0;
    struct expected expected[EXPECTED_MAX];
    for (uint32_t i = 0; i < r->model->lexicon->table->n_patterns; i++) {
        const struct pattern *p = &r->model->lexicon->table->patterns[i];
        r->furthest = r->n_expected = 0;
        pattern_read(r, p, &m);
        uint32_t score = shared_words(r, p);
        keep_nearest(best, p, score ? score + r->furthest : 0);
        if (r->furthest < furthest)
            continue;
        if (r->furthest > furthest)
            n_expected = 0;
        furthest = r->furthest;
        for (uint32_t k = 0; k < r->n_expected; k++)
            keep_expected(r, &r->expected[k], expected, &n_expected);
    }
    r->furthest = furthest;
    r->n_expected = n_expected;
    memcpy(r->expected, expected, sizeof expected);
}

static struct str expected_words(const struct reader *r)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < r->n_expected; i++) {
        const struct expected *e = &r->expected[i];
        const char *between = i == 0 ? "" : i + 1 == r->n_expected ? " or " : ", ";
        if (e->slot == SLOTS)
            buf_printf(&b, "%s`%.*s`", between, STR_ARG(e->word));
        else
            buf_printf(&b, "%s%s", between, slot_meaning(e->slot));
    }
    return buf_take(&b, r->arena);
}

static void report_unknown(struct model *m, const struct claim *claim, struct reader *r)
{
    struct near best[NEAREST] = {{0}};
    struct diag_list *diags = m->diags;
    find_nearest(r, best);
    struct str name = claim->symbol.name, understood = words_text(r, 0, r->furthest);
    struct diag *d;
    if (r->furthest == 0)
        d = diag_add(diags, DIAG_CLAIM_UNKNOWN, claim->sentence, "claim `%.*s`: no claim begins like this",
                     STR_ARG(name));
    else
        d = diag_add(diags, DIAG_CLAIM_UNKNOWN, claim->sentence, "claim `%.*s`: understood up to `%.*s`",
                     STR_ARG(name), STR_ARG(understood));
    struct str expected = expected_words(r);
    if (r->furthest > 0 && r->furthest < r->n && expected.n)
        diag_place(diags, d, words_span(r, r->furthest, r->furthest + 1), "here %.*s would fit, for example",
                   STR_ARG(expected));
    else if (r->furthest == r->n && expected.n)
        diag_note(diags, d, "after it %.*s is missing", STR_ARG(expected));
    for (int i = 0; i < NEAREST; i++) {
        if (!best[i].pattern || best[i].score == 0)
            continue;
        struct str text = pattern_example(r, best[i].pattern);
        diag_note(diags, d, "a sentence like it: %.*s", STR_ARG(text));
    }
    diag_help(diags, d, "`descant explain claims` shows every sentence");
}

void report_unread(struct model *m, struct claim *claim, struct sentence sentence)
{
    struct reader r;
    sentence = sentence_without_capital(m, sentence);
    if (!reader_start(&r, m, sentence.words, sentence.n)) {
        bool empty = sentence.n <= SENTENCE_WORDS_MAX;
        diag_add(m->diags, DIAG_CLAIM_UNKNOWN, claim->sentence, "claim `%.*s` %s",
                 STR_ARG(claim->symbol.name), empty ? "says nothing" : "is longer than any sentence");
        return;
    }
    if (!report_names_joined(m, claim, sentence))
        report_unknown(m, claim, &r);
}
