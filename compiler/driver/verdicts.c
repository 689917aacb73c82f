/* Claims: from trees to sentences, and through the kinds to verdicts. */
#include "driver/verdicts.h"

#include "claims/check.h"
#include "claims/claims.h"
#include "parse.h"

#include <stdlib.h>

static struct str ascii_signs(struct arena *a, struct str s)
{
    static const struct {
        const char *sign, *ascii;
    } signs[] = {
        {"\u266F", "#"}, {"\u266D", "b"}, {"\u266E", ""}, {"\U0001D12A", "##"}, {"\U0001D12B", "bb"}};
    uint32_t i = 0;
    while (i < s.n && (unsigned char)s.p[i] < 0x80)
        i++;
    if (i == s.n)
        return s;
    struct buf b = {0};
    for (i = 0; i < s.n;) {
        bool found = false;
        for (size_t k = 0; k < sizeof signs / sizeof *signs && !found; k++)
            if (str_starts(str_slice(s, i, s.n), str_of(signs[k].sign))) {
                buf_put(&b, signs[k].ascii);
                i += (uint32_t)strlen(signs[k].sign);
                found = true;
            }
        if (!found)
            buf_byte(&b, s.p[i++]);
    }
    return buf_take(&b, a);
}

static enum word_kind word_kind(int token)
{
    switch (token) {
    case TOK_NAME: return WORD_NAME;
    case TOK_MUSIC: return WORD_MUSIC;
    case TOK_INT:
    case TOK_DECIMAL: return WORD_NUMBER;
    case TOK_FRACTION: return WORD_FRACTION;
    case TOK_TIME: return WORD_TIME;
    case TOK_STRING: return WORD_STRING;
    }
    return WORD_MARK;
}

static struct sentence sentence_of(struct sema *s, const struct node *n)
{
    struct word *words = ARENA_NEW_ARRAY(s->arena, struct word, node_count(n));
    uint32_t count = 0;
    for (const struct node *w = n->first; w; w = w->next) {
        /* %fallback changes a keyword's code in the parser, not in the token: any word in small letters is
         * a name */
        bool name = w->text.n && w->text.p[0] >= 'a' && w->text.p[0] <= 'z' && w->word != TOK_MUSIC &&
                    w->word != TOK_STRING;
        words[count] = (struct word){name ? WORD_NAME : word_kind(w->word), w->text, w->where};
        if (words[count].kind == WORD_MUSIC)
            words[count].text = ascii_signs(s->arena, w->text);
        count++;
    }
    return (struct sentence){words, count, n->where};
}

/* The sentence as written, runs of white space folded to one blank. */
static struct str folded(struct sema *s, struct str text)
{
    char *out = arena_alloc(s->arena, text.n + 1);
    uint32_t n = 0;
    for (uint32_t i = 0; i < text.n; i++) {
        bool blank = text.p[i] == ' ' || text.p[i] == '\t' || text.p[i] == '\n' || text.p[i] == '\r';
        if (!blank)
            out[n++] = text.p[i];
        else if (n && out[n - 1] != ' ')
            out[n++] = ' ';
    }
    return (struct str){out, n};
}

/* Does the sentence speak of pitches and symbols alone, as in `C5 to F#5 is an augmented fourth`? */
static bool speaks_of_no_music(const struct sema *s, struct sentence sentence)
{
    struct clause clauses[CLAUSES_MAX];
    uint32_t n = clauses_read(s->model, sentence, clauses);
    for (uint32_t i = 0; i < n; i++) {
        const struct match *m = &clauses[i].match;
        if (m->n_streams)
            return false;
        for (int k = 0; k < m->n_chords; k++)
            if (m->chord[k].at_place)
                return false;
    }
    return n > 0;
}

/* Characters and texts that were reported: what is left of a sentence without them is not what the author
 * wrote. */
struct broken {
    struct span *at; /* in order of place */
    uint32_t n;
};

static int compare_places(const void *left, const void *right)
{
    const struct span *a = left, *b = right;
    if (a->file != b->file)
        return a->file < b->file ? -1 : 1;
    return (a->lo > b->lo) - (a->lo < b->lo);
}

static struct broken broken_of(const struct sema *s)
{
    struct broken b = {ARENA_NEW_ARRAY(s->arena, struct span, s->diags->n), 0};
    for (uint32_t i = 0; i < s->diags->n; i++) {
        const struct diag *d = &s->diags->items[i];
        if (d->code == DIAG_ODD_CHARACTER || d->code == DIAG_UNCLOSED_STRING || d->code == DIAG_BAD_UTF8 ||
            d->code == DIAG_CONTROL_CHARACTER)
            b.at[b.n++] = d->where;
    }
    if (b.n)
        qsort(b.at, b.n, sizeof *b.at, compare_places);
    return b;
}

static bool is_broken(const struct broken *b, struct span sentence)
{
    uint32_t lo = 0, hi = b->n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        if (compare_places(&b->at[middle], &sentence) < 0)
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo < b->n && b->at[lo].file == sentence.file && b->at[lo].lo <= sentence.hi;
}

/* Does the sentence speak of music that could not be read whole? Then its verdict would be about the slip,
 * not about the music. A sentence that names nothing defined may mean any passage. */
static bool speaks_of_spoiled(const struct sema *s, struct sentence sentence)
{
    if (!s->n_spoiled)
        return false;
    bool names_sound = false;
    for (uint32_t i = 0; i < sentence.n; i++) {
        struct str w = sentence.words[i].text;
        if (sentence.words[i].kind != WORD_NAME)
            continue;
        if (is_spoiled(s, w))
            return true;
        struct symbol *figure = thing_find(s, THING_FIGURE, w);
        if (figure) {
            const struct figure *f = (const struct figure *)(const void *)figure;
            if (f->passage && is_spoiled(s, f->passage->symbol.name))
                return true;
            names_sound = true;
        }
        names_sound = names_sound || thing_find(s, THING_PASSAGE, w);
    }
    return !names_sound && !speaks_of_no_music(s, sentence);
}

/* Does the sentence name music of the file, and nothing that is not known? Then what was lost elsewhere
 * does not matter. */
static bool is_known_whole(const struct sema *s, struct sentence sentence)
{
    for (uint32_t i = 0; i < sentence.n; i++) {
        struct str w = sentence.words[i].text;
        if (sentence.words[i].kind == WORD_NAME &&
            (thing_find(s, THING_PASSAGE, w) || thing_find(s, THING_FIGURE, w))) {
            struct clause clauses[CLAUSES_MAX];
            return clauses_read(s->model, sentence, clauses) > 0;
        }
    }
    return false;
}

static bool speaks_of_lost(const struct sema *s, struct sentence sentence)
{
    for (uint32_t u = 0; u < s->n_units; u++) {
        const struct lost *l = s->units[u].lost;
        if (!l->n_keywords)
            continue;
        if (lost_statement(l, TOK_USE) || lost_statement(l, TOK_PASSAGE) || lost_statement(l, TOK_FIGURE))
            return !is_known_whole(s, sentence);
        for (uint32_t i = 0; i < sentence.n; i++)
            if (sentence.words[i].kind == WORD_NAME && lost_has(l, sentence.words[i].text) &&
                !thing_find(s, THING_PASSAGE, sentence.words[i].text) &&
                !thing_find(s, THING_FIGURE, sentence.words[i].text))
                return true;
    }
    return false;
}

void verdicts_run(struct sema *s, const struct claim_lexicon *lexicon)
{
    s->model->lexicon = lexicon;
    struct broken broken = broken_of(s);
    for (uint32_t i = 0; i < s->n_claim_sources; i++) {
        struct claim *c = s->model->claims[i];
        const struct node *n = s->claim_sources[i].sentence;
        struct sentence sentence = sentence_of(s, n);
        c->sentence = n->where;
        c->text = folded(s, source_text(s->sources, n->where));
        c->verdict = VERDICT_UNDECIDED;
        if (is_broken(&broken, n->where)) {
            c->unchecked = true;
            c->evidence = c->reason = STR("not checked: its sentence could not be read");
            continue;
        }
        if (speaks_of_spoiled(s, sentence) || speaks_of_lost(s, sentence)) {
            c->unchecked = true;
            c->evidence = c->reason = STR("not checked: what it speaks of could not be read");
            continue;
        }
        claim_run(s->model, c, sentence);
    }
}
