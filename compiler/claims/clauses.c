#include "base/buf.h"
#include "claims/check.h"

/* Places at which a sentence is tried to be split; more are no sentence. */
enum { ANDS_MAX = 8 };

static bool ends_with(struct str s, const char *tail)
{
    uint32_t n = (uint32_t)strlen(tail);
    return s.n >= n && memcmp(s.p + s.n - n, tail, n) == 0;
}

/* The sentence without `not`: `does not move` is `moves`. */
static struct str affirmed(struct arena *a, const struct word *words, uint32_t n)
{
    struct buf b = {0};
    bool done = false, person = false;
    for (uint32_t i = 0; i < n; i++) {
        struct word word;
        uint32_t denied = done ? 0 : negation_at(words, i, n, &word);
        if (denied) {
            done = true;
            person = str_starts(words[i].text, STR("does"));
            i += denied - 1;
        } else {
            word = words[i];
        }
        if (word.text.n == 0)
            continue;
        bool tight = b.n == 0 || str_is(word.text, ",") || str_is(word.text, ".");
        buf_printf(&b, "%s%.*s", tight ? "" : " ", STR_ARG(word.text));
        if (person && !denied) {
            bool hissing =
                ends_with(word.text, "s") || ends_with(word.text, "sh") || ends_with(word.text, "ch");
            buf_put(&b, hissing ? "es" : "s");
            person = false;
        }
    }
    return buf_take(&b, a);
}

struct splitter {
    struct model *model;
    struct clause *out;
    uint32_t n;
};

/* Reads the words as one clause. *subject gets how many words, as written, its first slot takes in. */
static bool read_clause(struct splitter *s, const struct word *words, uint32_t n, uint32_t *subject)
{
    struct reader r;
    struct clause *c = &s->out[s->n];
    if (s->n == CLAUSES_MAX || !reader_start(&r, s->model, words, n))
        return false;
    c->pattern = sentence_read(&r, &c->match);
    if (!c->pattern)
        return false;
    c->affirmed = r.negated ? affirmed(s->model->arena, words, n) : STR("");
    *subject = r.subject_end ? r.origin[r.subject_end - 1] + 1 : 0;
    s->n++;
    return true;
}

static bool is_and(const struct word *w)
{
    return w->kind == WORD_NAME && str_is(w->text, "and");
}

static bool read_words(struct splitter *s, const struct word *words, uint32_t n);

/* What follows `and`: a sentence of its own, or a predicate of the subject before. */
static bool read_rest(struct splitter *s, const struct word *words, uint32_t n, uint32_t at, uint32_t subject)
{
    if (read_words(s, words + at, n - at))
        return true;
    if (subject == 0)
        return false;
    struct word *copy = ARENA_NEW_ARRAY(s->model->arena, struct word, n);
    memcpy(copy, words, subject * sizeof *copy);
    memcpy(copy + subject, words + at, (n - at) * sizeof *copy);
    return read_words(s, copy, subject + n - at);
}

/* `In bars 1 to 2, the harmony …`: a stretch at the beginning is read as if it stood at the end. */
static bool read_turned(struct splitter *s, const struct word *words, uint32_t n)
{
    struct reader r;
    struct span_ref span;
    if (!reader_start(&r, s->model, words, n))
        return false;
    uint32_t end = read_span(&r, 0, r.n, &span);
    if (end == 0 || end + 1 >= r.n || !is_comma(&r, end))
        return false;
    uint32_t first = r.origin[end] + 1, n_span = r.origin[end];
    struct word *copy = ARENA_NEW_ARRAY(s->model->arena, struct word, n);
    memcpy(copy, words + first, (n - first) * sizeof *copy);
    memcpy(copy + (n - first), words, n_span * sizeof *copy);
    return read_words(s, copy, n - 1);
}

static bool read_words(struct splitter *s, const struct word *words, uint32_t n)
{
    uint32_t before = s->n, subject, tried = 0;
    if (read_clause(s, words, n, &subject))
        return true;
    for (uint32_t i = 1; i + 1 < n && tried < ANDS_MAX && s->n + 1 < CLAUSES_MAX; i++) {
        if (!is_and(&words[i]))
            continue;
        tried++;
        if (read_clause(s, words, i, &subject) && read_rest(s, words, n, i + 1, subject)) {
            /* A stretch at the end of the sentence is meant for all of it. */
            if (!s->out[before].match.span.given)
                s->out[before].match.span = s->out[before + 1].match.span;
            return true;
        }
        s->n = before;
    }
    return before == 0 && read_turned(s, words, n);
}

/* All small letters but the first, and no chord symbol such as `Dm` or `Caug`. */
static bool is_capitalized(const struct model *m, const struct word *w)
{
    struct chord chord;
    uint32_t bad;
    if (w->kind != WORD_MUSIC || w->text.n < 2)
        return false;
    for (uint32_t i = 1; i < w->text.n; i++)
        if (!(w->text.p[i] >= 'a' && w->text.p[i] <= 'z') && w->text.p[i] != '-')
            return false;
    return !chord_parse(&m->library->chords, w->text, &chord, &bad);
}

struct sentence sentence_without_capital(const struct model *m, struct sentence sentence)
{
    if (sentence.n < 2 || !is_capitalized(m, &sentence.words[0]))
        return sentence;
    struct word *copy = ARENA_NEW_ARRAY(m->arena, struct word, sentence.n);
    memcpy(copy, sentence.words, sentence.n * sizeof *copy);
    char *text = arena_copy(m->arena, copy->text.p, copy->text.n);
    text[0] = (char)(text[0] - 'A' + 'a');
    copy->text.p = text;
    copy->kind = WORD_NAME;
    sentence.words = copy;
    return sentence;
}

uint32_t clauses_read(struct model *m, struct sentence sentence, struct clause out[CLAUSES_MAX])
{
    struct splitter s = {.model = m, .out = out};
    sentence = sentence_without_capital(m, sentence);
    return read_words(&s, sentence.words, sentence.n) ? s.n : 0;
}
