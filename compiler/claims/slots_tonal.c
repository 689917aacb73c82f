/* slots_tonal.c - numerals, lists of numbers, exchanges of triads: what the kinds on function, on sets and on
 * triad moves capture. */
#include "claims/match.h"
#include "theory/roman.h"

#include "base/buf.h"

/* ---- Roman numerals ------------------------------------------------------------------------------ */

/* Whether a word is a numeral does not depend on the key, so any key will do to try it. */
static bool is_numeral(const struct word *w)
{
    static const struct key any = {{0, 0}, false};
    struct chord chord;
    uint32_t bad;
    return (w->kind == WORD_MUSIC || w->kind == WORD_NAME) && roman_parse(w->text, any, &chord, &bad);
}

/* What may stand between two members of a list: a comma, a dash, an arrow, `to`, `then`. */
static uint32_t skip_between(const struct reader *r, uint32_t at, uint32_t limit)
{
    static const char *const marks[] = {",", "-", ">", "\u2013", "\u2014"};
    static const char *const words[] = {"then", "to", "and", "followed", "by"};
    for (; at < limit; at++) {
        bool between = false;
        for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
            between = between || (r->words[at].kind == WORD_MARK && str_is(r->words[at].text, marks[i]));
        for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
            between = between || (r->words[at].kind == WORD_NAME && str_is(r->words[at].text, words[i]));
        if (!between)
            return at;
    }
    return at;
}

uint32_t slot_numeral(struct reader *r, uint32_t at, uint32_t limit)
{
    if (at >= limit || !is_numeral(&r->words[at]))
        return 0;
    struct numeral *one = ARENA_NEW(r->arena, struct numeral);
    *one = (struct numeral){r->words[at].text, r->words[at].where};
    r->match->numerals = one;
    r->match->n_numerals = 1;
    return at + 1;
}

uint32_t slot_numerals(struct reader *r, uint32_t at, uint32_t limit)
{
    uint32_t end = 0, n = 0;
    for (uint32_t i = at; i < limit && is_numeral(&r->words[i]); i = skip_between(r, end, limit)) {
        n++;
        end = i + 1;
    }
    if (n == 0)
        return 0;
    struct numeral *list = ARENA_NEW_ARRAY(r->arena, struct numeral, n);
    n = 0;
    for (uint32_t i = at; i < end; i = skip_between(r, i + 1, end))
        list[n++] = (struct numeral){r->words[i].text, r->words[i].where};
    r->match->numerals = list;
    r->match->n_numerals = n;
    return end;
}

/* ---- lists of numbers ---------------------------------------------------------------------------- */

static bool is_mark(const struct reader *r, uint32_t at, uint32_t limit, const char *mark)
{
    return at < limit && r->words[at].kind == WORD_MARK && str_is(r->words[at].text, mark);
}

/* Ten and eleven in sets: `T E`, `t e`, `A B`; -1: neither. */
static int letter_number(struct str s)
{
    if (s.n != 1)
        return -1;
    switch (s.p[0]) {
    case 'T':
    case 't':
    case 'A':
        return 10;
    case 'E':
    case 'e':
    case 'B':
        return 11;
    }
    return -1;
}

static bool add_number(struct match *m, int n)
{
    if (m->n_numbers == MATCH_NUMBERS)
        return false;
    m->number[m->n_numbers++] = n;
    return true;
}

/* `014`, `0134578T`: a digit a number. A list that begins so has no number of two digits. */
static bool is_packed(struct str s)
{
    return s.n >= 3 || (s.n == 2 && s.p[0] == '0');
}

static bool add_word(struct match *m, const struct word *w, bool packed)
{
    bool digits = w->text.n > 0;
    int value = 0;
    for (uint32_t i = 0; i < w->text.n; i++) {
        struct str one = str_slice(w->text, i, i + 1);
        int digit = one.p[0] >= '0' && one.p[0] <= '9' ? one.p[0] - '0' : -1;
        digits = digits && digit >= 0;
        if (packed && !add_number(m, digit >= 0 ? digit : letter_number(one)))
            return false;
        value = digits && value < 100 ? value * 10 + digit : value;
    }
    if (packed)
        return true;
    int letter = letter_number(w->text);
    return (digits || letter >= 0) && add_number(m, digits ? value : letter);
}

/* `[0 1 4]`, `(0,1,4)`, `(014)`, `<1 0 1 1 0 0>`, `<101100>`; the brackets may be left out only if the list
 * is one word: `014`. */
uint32_t slot_numbers(struct reader *r, uint32_t at, uint32_t limit)
{
    static const char *const brackets[][2] = {{"[", "]"}, {"(", ")"}, {"<", ">"}};
    struct match *m = r->match;
    const char *close = NULL;
    int before = m->n_numbers;
    for (size_t i = 0; i < sizeof brackets / sizeof brackets[0]; i++)
        if (is_mark(r, at, limit, brackets[i][0]))
            close = brackets[i][1];
    if (m->n_numbers)
        return 0;
    at += close != NULL;
    bool packed = at < limit && r->words[at].kind == WORD_NUMBER && is_packed(r->words[at].text);
    if (!close && !packed)
        return 0;
    while (at < limit && !(close && is_mark(r, at, limit, close))) {
        if (is_comma(r, at)) {
            at++;
            continue;
        }
        if (!add_word(m, &r->words[at], packed)) {
            m->n_numbers = before;
            return 0;
        }
        at++;
        if (!close)
            return at;
    }
    if (at == limit || m->n_numbers == before) {
        m->n_numbers = before;
        return 0;
    }
    for (int i = before; i < m->n_numbers; i++)
        if (m->number[i] < 0) {
            m->n_numbers = before;
            return 0;
        }
    return at + 1;
}

/* ---- exchanges of triads ------------------------------------------------------------------------- */

/* `PL`, `LPR`: a letter a move. */
static bool is_letters(const struct word *w)
{
    if (w->kind != WORD_MUSIC || w->text.n == 0)
        return false;
    for (uint32_t i = 0; i < w->text.n; i++)
        if (!strchr("PLRSNH", w->text.p[i]))
            return false;
    return true;
}

struct exchange_words {
    const char *first, *second; /* second NULL: one word */
    char letter;
};

static const struct exchange_words exchanges[] = {
    {"parallel", NULL, 'P'},      {"relative", NULL, 'R'},       {"leading-tone", NULL, 'L'},
    {"leading", "tone", 'L'},     {"leittonwechsel", NULL, 'L'}, {"slide", NULL, 'S'},
    {"nebenverwandt", NULL, 'N'}, {"hexatonic", "pole", 'H'},    {"hexatonic-pole", NULL, 'H'},
};

/* One move by its name, with a noun after it: `leading-tone exchange`. */
static uint32_t read_exchange(const struct reader *r, uint32_t at, uint32_t limit, char *letter)
{
    static const char *const nouns[] = {"exchange",    "move",   "transformation", "relation",
                                        "progression", "change", "triad"};
    for (size_t i = 0; i < sizeof exchanges / sizeof exchanges[0]; i++) {
        const struct exchange_words *e = &exchanges[i];
        uint32_t end = at + (e->second ? 2 : 1);
        if (end > limit || !word_is(r, at, e->first) || (e->second && !word_is(r, at + 1, e->second)))
            continue;
        *letter = e->letter;
        for (size_t k = 0; end < limit && k < sizeof nouns / sizeof nouns[0]; k++)
            if (word_is(r, end, nouns[k]))
                return end + 1;
        return end;
    }
    return 0;
}

uint32_t slot_exchange(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    struct buf letters = {0};
    uint32_t end = 0;
    for (uint32_t i = at; i < limit; i = skip_between(r, end, limit)) {
        char letter;
        uint32_t next = read_exchange(r, i, limit, &letter);
        if (next)
            buf_byte(&letters, letter);
        else if (is_letters(&r->words[i]))
            buf_str_put(&letters, r->words[i].text);
        else
            break;
        end = next ? next : i + 1;
    }
    m->exchange = buf_take(&letters, r->arena);
    return end;
}
