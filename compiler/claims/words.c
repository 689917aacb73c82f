#include "base/buf.h"
#include "claims/match.h"

/* ---- stems ------------------------------------------------------------------------------------- */

static char fold(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool ends(struct str s, const char *tail)
{
    struct str t = str_of(tail);
    return s.n > t.n && memcmp(s.p + s.n - t.n, t.p, t.n) == 0;
}

/* Verbs whose persons differ by more than an -s. */
static const char *const irregular[][2] = {
    {"are", "is"}, {"have", "has"}, {"do", "does"}, {"goes", "go"},
};

/* Bytes of the word that count; *tail gets a letter to put after them, or 0. */
static uint32_t stem_length(struct str word, char *tail)
{
    *tail = 0;
    if (word.n > 4 && ends(word, "ies")) {
        *tail = 'y';
        return word.n - 3;
    }
    if (ends(word, "sses") || ends(word, "shes") || ends(word, "ches") || ends(word, "xes"))
        return word.n - 2;
    if (word.n > 3 && ends(word, "s") && !ends(word, "ss"))
        return word.n - 1;
    return word.n;
}

uint32_t stem_hash(struct str word)
{
    for (size_t i = 0; i < sizeof irregular / sizeof irregular[0]; i++)
        if (str_is(word, irregular[i][0]))
            word = str_of(irregular[i][1]);
    char tail;
    uint32_t n = stem_length(word, &tail);
    uint32_t h = 2166136261u; /* FNV-1a, as str_hash, over the folded stem */
    for (uint32_t i = 0; i < n; i++)
        h = (h ^ (unsigned char)fold(word.p[i])) * 16777619u;
    return tail ? (h ^ (unsigned char)tail) * 16777619u : h;
}

bool word_is_whole(struct str text, const char *word)
{
    uint32_t n = (uint32_t)strlen(word);
    if (text.n == n + 1 && text.p[n] == 's')
        text.n--;
    if (text.n != n)
        return false;
    for (uint32_t i = 0; i < n; i++)
        if (fold(text.p[i]) != word[i])
            return false;
    return true;
}

bool is_comma(const struct reader *r, uint32_t at)
{
    return at < r->n && r->words[at].kind == WORD_MARK && str_is(r->words[at].text, ",");
}

/* ---- numbers ------------------------------------------------------------------------------------- */

struct number_word {
    const char *word;
    int value;
};

static const struct number_word number_words[] = {
    {"no", 0},       {"zero", 0},      {"once", 1},     {"one", 1},       {"single", 1},    {"twice", 2},
    {"two", 2},      {"thrice", 3},    {"three", 3},    {"four", 4},      {"five", 5},      {"six", 6},
    {"seven", 7},    {"eight", 8},     {"nine", 9},     {"ten", 10},      {"eleven", 11},   {"twelve", 12},
    {"thirteen", 13}, {"fourteen", 14}, {"fifteen", 15}, {"sixteen", 16}, {"twenty", 20},
};

bool word_count(const struct word *w, int64_t *out)
{
    if (w->kind == WORD_NUMBER) {
        struct ratio v;
        if (!ratio_parse(w->text.p, w->text.n, &v) || v.den != 1)
            return false;
        *out = v.num;
        return true;
    }
    if (w->kind != WORD_NAME)
        return false;
    for (size_t i = 0; i < sizeof number_words / sizeof number_words[0]; i++) {
        if (str_is(w->text, number_words[i].word)) {
            *out = number_words[i].value;
            return true;
        }
    }
    return false;
}

/* ---- names of several words ---------------------------------------------------------------------- */

static bool is_gap(char c)
{
    return c == ' ' || c == '-';
}

/* What is left of a word, or of a name, where the other has ended: nothing, or a plural's ending. */
static bool is_plural_end(struct str rest)
{
    return rest.n == 0 || str_is(rest, "s") || str_is(rest, "es");
}

static bool is_apostrophe(const struct reader *r, uint32_t at)
{
    return at < r->n && r->words[at].kind == WORD_MARK &&
           (str_is(r->words[at].text, "'") || str_is(r->words[at].text, "\u2019"));
}

uint32_t words_are(const struct reader *r, uint32_t at, uint32_t limit, struct str name)
{
    uint32_t in_word = 0, i = 0;
    while (i < name.n) {
        if (at >= limit || r->words[at].kind == WORD_STRING)
            return 0;
        struct str word = r->words[at].text;
        if (name.p[i] == '\'' && in_word == word.n && is_apostrophe(r, at + 1)) {
            at += 2; /* "d'amore" is three words of the scanner */
            in_word = 0;
            i++;
        } else if (is_gap(name.p[i])) {
            /* A plural inside ("dominant sevenths chord") is no name. */
            if (in_word == word.n) {
                at++;
                in_word = 0;
            } else if (word.p[in_word] == '-') {
                in_word++;
            } else {
                return 0;
            }
            i++;
        } else if (in_word < word.n && fold(word.p[in_word]) == fold(name.p[i])) {
            in_word++;
            i++;
        } else if (in_word == word.n && is_plural_end(str_slice(name, i, name.n))) {
            return at + 1; /* "string" for "strings" */
        } else {
            return 0;
        }
    }
    if (at >= limit || name.n == 0)
        return 0;
    return is_plural_end(str_slice(r->words[at].text, in_word, r->words[at].text.n)) ? at + 1 : 0;
}

/* ---- names of the file --------------------------------------------------------------------------- */

static struct named *slot_of(const struct claim_index *index, struct str name)
{
    uint32_t mask = index->n_names - 1, at = str_hash(name) & mask;
    while (index->names[at].name.n && !str_eq(index->names[at].name, name))
        at = (at + 1) & mask;
    return &index->names[at];
}

static struct named *named_add(struct claim_index *index, struct str name)
{
    struct named *n = slot_of(index, name);
    n->name = name;
    return n;
}

static void add_passage(struct claim_index *index, const struct passage *p)
{
    struct named *n = named_add(index, p->symbol.name);
    if (!n->passage)
        n->passage = p;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        n = named_add(index, p->parts[i]->symbol.name);
        if (n->n_parts++ == 0)
            n->part = p->parts[i];
    }
}

void names_build(struct claim_index *index, struct arena *a, const struct model *m)
{
    uint32_t total = m->n_passages + m->n_figures + m->n_recordings;
    for (uint32_t i = 0; i < m->n_passages; i++)
        total += m->passages[i]->n_parts;
    index->n_names = 16;
    while (index->n_names < total * 2)
        index->n_names *= 2;
    index->names = ARENA_NEW_ARRAY(a, struct named, index->n_names);
    for (uint32_t i = 0; i < m->n_passages; i++) {
        add_passage(index, m->passages[i]);
        if (m->passages[i]->symbol.library)
            continue;
        index->own_passages++;
        index->only_passage = m->passages[i];
    }
    if (index->own_passages == 0 && m->n_passages == 1)
        index->only_passage = m->passages[0];
    else if (index->own_passages > 1)
        index->only_passage = NULL;
    for (uint32_t i = 0; i < m->n_figures; i++) {
        struct named *n = named_add(index, m->figures[i]->symbol.name);
        if (n->n_figures++ == 0)
            n->figure = m->figures[i];
    }
    for (uint32_t i = 0; i < m->n_recordings; i++)
        named_add(index, m->recordings[i]->symbol.name)->recording = m->recordings[i];
}

const struct named *name_find(const struct claim_index *index, struct str name)
{
    if (name.n == 0)
        return NULL;
    const struct named *n = slot_of(index, name);
    return n->name.n ? n : NULL;
}

/* ---- the sentence's own text --------------------------------------------------------------------- */

/* Does nothing stand between two words, written one after the other? */
static bool is_tight(struct str before, struct str after)
{
    return str_is(after, ",") || str_is(after, ")") || str_is(before, "(");
}

/* The words as a slice of the source, if they stand there just as join would write them; else empty. */
static struct str source_slice(const struct reader *r, uint32_t from, uint32_t to)
{
    const char *end = r->written[from].text.p + r->written[from].text.n;
    for (uint32_t i = from + 1; i < to; i++) {
        struct str text = r->written[i].text;
        bool tight = is_tight(r->written[i - 1].text, text);
        /* `end` lies in a source, which a NUL follows. */
        if (text.p != end + !tight || (!tight && *end != ' '))
            return STR("");
        end = text.p + text.n;
    }
    return (struct str){r->written[from].text.p, (uint32_t)(end - r->written[from].text.p)};
}

static struct str join(const struct reader *r, uint32_t from, uint32_t to)
{
    struct str slice = source_slice(r, from, to);
    if (slice.n)
        return slice;
    struct buf b = {0};
    for (uint32_t i = from; i < to; i++) {
        if (i > from && !is_tight(r->written[i - 1].text, r->written[i].text))
            buf_byte(&b, ' ');
        buf_str_put(&b, r->written[i].text);
    }
    return buf_take(&b, r->arena);
}

struct str words_plain(const struct reader *r, uint32_t lo, uint32_t hi)
{
    return lo < hi ? join(r, r->origin[lo], r->origin[hi - 1] + 1) : STR("");
}

struct str words_text(const struct reader *r, uint32_t lo, uint32_t hi)
{
    if (lo >= hi)
        return STR("");
    uint32_t from = r->origin[lo];
    /* The article before the first word belongs to it. */
    bool dropped = from > 0 && (lo == 0 || r->origin[lo - 1] + 1 < from);
    struct str before = dropped ? r->written[from - 1].text : STR("");
    if (str_is(before, "a") || str_is(before, "an") || str_is(before, "the"))
        from--;
    return join(r, from, r->origin[hi - 1] + 1);
}

struct span words_span(const struct reader *r, uint32_t lo, uint32_t hi)
{
    if (r->n == 0)
        return (struct span){0, 0, 0};
    if (lo >= r->n)
        lo = r->n - 1;
    if (hi <= lo)
        hi = lo + 1;
    return span_join(r->words[lo].where, r->words[hi - 1].where);
}
