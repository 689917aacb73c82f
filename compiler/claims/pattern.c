#include "base/assert.h"
#include "base/buf.h"
#include "claims/match.h"


/* Patterns are ours and short: what does not fit is a mistake in a kind's table. */
enum { STEPS_MAX = 128, WORDS_MAX = 64 };

struct compiler {
    struct str text;
    uint32_t at;
    struct step steps[STEPS_MAX];
    uint32_t n_steps;
    struct pattern_word words[WORDS_MAX];
    uint32_t n_words;
    struct word_group groups[GROUPS_MAX];
    uint32_t n_groups;
    uint32_t stems[GROUP_STEMS_MAX];
    uint32_t n_stems;
    int n_choices;
    int depth; /* of brackets: words inside are not needed in every sentence */
};

static struct step *step_add(struct compiler *c, enum step_kind kind)
{
    ASSERT(c->n_steps < STEPS_MAX);
    struct step *s = &c->steps[c->n_steps++];
    *s = (struct step){.kind = kind};
    return s;
}

static void skip_spaces(struct compiler *c)
{
    while (c->at < c->text.n && c->text.p[c->at] == ' ')
        c->at++;
}

static bool at_mark(const struct compiler *c)
{
    return c->at >= c->text.n || strchr(" []<>|", c->text.p[c->at]) != NULL;
}

/* The next word without the comma that may hang on it: commas are optional everywhere. */
static struct str next_word(struct compiler *c)
{
    uint32_t from = c->at;
    while (!at_mark(c))
        c->at++;
    uint32_t to = c->at;
    while (to > from && c->text.p[to - 1] == ',')
        to--;
    return str_slice(c->text, from, to);
}

static bool is_article(struct str word)
{
    return str_is(word, "a") || str_is(word, "an") || str_is(word, "the");
}

/* Words that most sentences have. */
static bool is_common(struct str word)
{
    static const char *const common[] = {"is",   "are",   "of",   "in",       "to",   "and",
                                         "at",   "by",    "on",   "from",     "with", "has",
                                         "have", "moves", "lies", "contains", "only", "no"};
    for (size_t i = 0; i < sizeof common / sizeof common[0]; i++)
        if (str_is(word, common[i]))
            return true;
    return false;
}

static void word_add(struct compiler *c, struct str text)
{
    ASSERT(c->n_words < WORDS_MAX);
    uint16_t at = (uint16_t)(text.p - c->text.p);
    c->words[c->n_words++] = (struct pattern_word){stem_hash(text), at, (uint16_t)text.n, is_common(text), str_is(text, "times")};
}

/* Begins a group of words of which every sentence has one. A pattern with more groups is told by its first ones. */
static struct word_group *group_begin(struct compiler *c)
{
    if (c->depth > 0 || c->n_groups == GROUPS_MAX)
        return NULL;
    struct word_group *g = &c->groups[c->n_groups];
    *g = (struct word_group){.first = c->n_stems};
    return g;
}

static void group_add(struct compiler *c, struct word_group *g, uint32_t first, uint32_t n)
{
    for (uint32_t i = first; g && i < first + n; i++) {
        ASSERT(c->n_stems < GROUP_STEMS_MAX);
        c->stems[c->n_stems++] = c->words[i].stem;
        g->bits |= (uint64_t)1 << c->words[i].stem % 64;
        g->n++;
    }
}

/* One word, its variants, or a slot. Inside a choice `|` parts alternatives instead. */
static void compile_word(struct compiler *c, bool in_choice)
{
    struct str word = next_word(c);
    enum slot slot = slot_by_name(word);
    if (slot != SLOTS) {
        step_add(c, STEP_SLOT)->slot = slot;
        return;
    }
    if (word.n == 0 || is_article(word))
        return;
    uint32_t first = c->n_words;
    word_add(c, word);
    while (!in_choice && c->at < c->text.n && c->text.p[c->at] == '|') {
        c->at++;
        word_add(c, next_word(c));
    }
    struct step *s = step_add(c, STEP_WORDS);
    s->first = first;
    s->n = c->n_words - first;
    struct word_group *g = group_begin(c);
    group_add(c, g, first, s->n);
    c->n_groups += g != NULL;
}

static void compile_row(struct compiler *c, bool in_choice);

static void compile_option(struct compiler *c)
{
    uint32_t split = c->n_steps;
    step_add(c, STEP_SPLIT);
    c->at++;
    c->depth++;
    compile_row(c, false);
    c->depth--;
    ASSERT(c->at < c->text.n && c->text.p[c->at] == ']');
    c->at++;
    c->steps[split].target = c->n_steps;
}

static void compile_choice(struct compiler *c)
{
    uint32_t ends[WORDS_MAX], n_ends = 0;
    struct word_group *g = group_begin(c); /* the words that the alternatives begin with */
    uint32_t stems = c->n_stems;
    bool all_begin = true;
    uint32_t number = (uint32_t)c->n_choices++;
    c->depth++;
    do {
        c->at++;
        uint32_t split = c->n_steps;
        step_add(c, STEP_SPLIT);
        struct step *take = step_add(c, STEP_CHOICE);
        take->first = number;
        take->n = n_ends;
        compile_row(c, true);
        const struct step *begin = &c->steps[split + 2];
        bool word = c->n_steps > split + 2 && begin->kind == STEP_WORDS;
        all_begin = all_begin && word;
        group_add(c, word ? g : NULL, begin->first, begin->n);
        ASSERT(n_ends < WORDS_MAX);
        ends[n_ends++] = c->n_steps;
        step_add(c, STEP_JUMP);
        c->steps[split].target = c->n_steps;
    } while (c->at < c->text.n && c->text.p[c->at] == '|');
    ASSERT(c->at < c->text.n && c->text.p[c->at] == '>');
    c->at++;
    c->depth--;
    if (all_begin)
        c->n_groups += g != NULL;
    else
        c->n_stems = stems;
    /* The last alternative has no other to go on to: its split leads nowhere. */
    step_add(c, STEP_JUMP)->target = UINT32_MAX;
    for (uint32_t i = 0; i < n_ends; i++)
        c->steps[ends[i]].target = c->n_steps;
}

static void compile_row(struct compiler *c, bool in_choice)
{
    for (;;) {
        skip_spaces(c);
        if (c->at >= c->text.n)
            return;
        char mark = c->text.p[c->at];
        if (mark == ']' || mark == '>' || (mark == '|' && in_choice))
            return;
        if (mark == '[')
            compile_option(c);
        else if (mark == '<')
            compile_choice(c);
        else
            compile_word(c, in_choice);
    }
}

void pattern_compile(struct arena *a, const struct claim_kind *kind, int number, struct pattern *out)
{
    struct compiler c = {.text = str_of(kind->patterns[number])};
    compile_row(&c, false);
    ASSERT(c.at == c.text.n && c.n_choices <= MATCH_SLOTS);
    step_add(&c, STEP_END);
    struct step *steps = ARENA_NEW_ARRAY(a, struct step, c.n_steps);
    memcpy(steps, c.steps, c.n_steps * sizeof *steps);
    struct pattern_word *words = ARENA_NEW_ARRAY(a, struct pattern_word, c.n_words);
    if (c.n_words)
        memcpy(words, c.words, c.n_words * sizeof *words);
    uint32_t *stems = ARENA_NEW_ARRAY(a, uint32_t, c.n_stems);
    memcpy(stems, c.stems, c.n_stems * sizeof *stems);
    *out = (struct pattern){.kind = kind,
                            .number = number,
                            .n_groups = c.n_groups,
                            .stems = stems,
                            .steps = steps,
                            .n_steps = c.n_steps,
                            .words = words,
                            .n_words = c.n_words,
                            .n_choices = c.n_choices};
    memcpy(out->groups, c.groups, sizeof out->groups);
}

struct str pattern_text(struct arena *a, const char *pattern)
{
    struct buf b = {0};
    static const char direction[] = "DIRECTION";
    for (const char *p = pattern; *p; p++) {
        if (strncmp(p, direction, sizeof direction - 1) == 0) {
            buf_put(&b, "up|down");
            p += sizeof direction - 2;
        } else if (*p == '<' || *p == '>') {
            /* A choice of longer alternatives keeps its brackets, or nobody could tell where it ends. */
            const char *end = p;
            while (*end && *end != '>')
                end++;
            bool spaced = *p == '<' && memchr(p, ' ', (size_t)(end - p)) != NULL;
            if (spaced) {
                buf_byte(&b, '(');
                buf_bytes(&b, p + 1, (size_t)(end - p) - 1);
                buf_byte(&b, ')');
                p = end;
            }
        } else {
            buf_byte(&b, *p);
        }
    }
    return buf_take(&b, a);
}
