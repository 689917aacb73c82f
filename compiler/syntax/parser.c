#include "syntax/parser.h"

#include "diag/suggest.h"
#include "parse.h"

#include <stdlib.h>

/* The generated parser's interface (lemon). */
void *parseAlloc(void *(*allocate)(size_t), struct parser *p);
void parseFree(void *parser, void (*release)(void *));
void parse(void *parser, int kind, struct token token);

/* ---- nodes --------------------------------------------------------------------------------------- */

static struct node *node_new(struct parser *p, enum node_kind kind, uint32_t lo, uint32_t hi)
{
    struct node *n = ARENA_NEW(p->arena, struct node);
    n->kind = kind;
    n->where = (struct span){p->file, lo, hi};
    return n;
}

struct node *node_leaf(struct parser *p, enum node_kind kind, struct token t)
{
    struct node *n = node_new(p, kind, t.lo, t.hi);
    n->word = t.kind;
    uint32_t lo = t.lo, hi = t.hi;
    if (t.kind == TOK_STRING) { /* without its quotation marks; curly ones have three bytes */
        lo += p->text.p[lo] == '"' ? 1 : 3;
        if (hi > lo && p->text.p[hi - 1] == '"')
            hi--;
        else if (lo == t.lo + 3)
            hi -= 3;
    }
    n->text = str_slice(p->text, lo, hi);
    return n;
}

struct node *node_add(struct node *parent, struct node *child)
{
    if (!child)
        return parent;
    if (parent->last)
        parent->last->next = child;
    else
        parent->first = child;
    parent->last = child;
    if (child->where.hi > parent->where.hi)
        parent->where.hi = child->where.hi;
    return parent;
}

struct node *node_list(struct parser *p, struct node *first)
{
    struct node *n =
        node_new(p, NODE_LIST, first ? first->where.lo : p->last.hi, first ? first->where.hi : p->last.hi);
    return node_add(n, first);
}

struct node *node_make(struct parser *p, enum node_kind kind, struct token word, struct node *a,
                       struct node *b, struct node *c, struct node *d)
{
    struct node *n = node_new(p, kind, word.lo, word.hi);
    n->word = word.kind;
    return node_add(node_add(node_add(node_add(n, a), b), c), d);
}

struct node *node_wrap(struct parser *p, enum node_kind kind, struct node *a, struct node *b)
{
    struct node *n = node_new(p, kind, a->where.lo, a->where.hi);
    node_add(node_add(n, a), b);
    if (b && b->where.lo < n->where.lo)
        n->where.lo = b->where.lo;
    return n;
}

struct node *node_adopt(struct node *parent, struct node *list)
{
    if (!list || !list->first)
        return parent;
    if (parent->last)
        parent->last->next = list->first;
    else
        parent->first = list->first;
    parent->last = list->last;
    if (list->where.hi > parent->where.hi)
        parent->where.hi = list->where.hi;
    return parent;
}

struct node *node_error(struct parser *p)
{
    p->recovering = false;
    p->scanner.lenient = false;
    uint32_t hi = p->last.hi, lo = p->statement_at.lo < hi ? p->statement_at.lo
                                                           : hi; /* of a statement inside a block: unknown */
    struct node *n = node_new(p, NODE_ERROR, lo, hi);
    n->word = p->statement;
    return n;
}

void parser_top(struct parser *p, struct node *statement)
{
    node_add(p->root, statement);
}

/* ---- what a statement that cannot be read takes with it ------------------------------------------- */

static void lost_name(struct parser *p, struct token t)
{
    struct lost *l = &p->lost;
    if (l->n == l->cap) {
        uint32_t cap = l->cap ? l->cap * 2 : 64;
        struct str *grown = ARENA_NEW_ARRAY(p->arena, struct str, cap);
        if (l->n)
            memcpy(grown, l->names, l->n * sizeof *grown);
        l->names = grown;
        l->cap = cap;
    }
    l->names[l->n++] = str_slice(p->text, t.lo, t.hi);
}

static void lost_keyword(struct parser *p, int keyword)
{
    struct lost *l = &p->lost;
    if (lost_statement(l, keyword))
        return;
    if (l->n_keywords == l->cap_keywords) {
        uint32_t cap = l->cap_keywords ? l->cap_keywords * 2 : 16;
        int *grown = ARENA_NEW_ARRAY(p->arena, int, cap);
        if (l->n_keywords)
            memcpy(grown, l->keywords, l->n_keywords * sizeof *grown);
        l->keywords = grown;
        l->cap_keywords = cap;
    }
    l->keywords[l->n_keywords++] = keyword;
}

bool lost_has(const struct lost *l, struct str name)
{
    for (uint32_t i = 0; i < l->n; i++)
        if (str_eq(l->names[i], name))
            return true;
    return false;
}

bool lost_statement(const struct lost *l, int keyword)
{
    for (uint32_t i = 0; i < l->n_keywords; i++)
        if (l->keywords[i] == keyword)
            return true;
    return false;
}

/* ---- messages ----------------------------------------------------------------------------------------- */

struct token_phrase {
    int token;
    const char *phrase;
    bool keyword;
};

static const struct token_phrase phrases[] = {
#define TOKEN(token, phrase) {TOK_##token, phrase, false},
#define KEYWORD(token, word) {TOK_##token, word, true},
#include "tokens.def"
};

static const struct token_phrase *phrase_of(int token)
{
    for (size_t i = 0; i < sizeof phrases / sizeof *phrases; i++)
        if (phrases[i].token == token)
            return &phrases[i];
    return &phrases[0];
}

enum { EXPECTED_SHOWN = 7 };

/* "a name, `of` or `{`"; empty if there is too much to list. */
static struct str expected_text(struct arena *a, const int *expected, int n)
{
    struct buf b = {0};
    if (n > EXPECTED_SHOWN)
        n = 0;
    for (int i = 0; i < n; i++) {
        const struct token_phrase *t = phrase_of(expected[i]);
        buf_put(&b, i == 0 ? "" : i == n - 1 ? " or " : ", ");
        buf_printf(&b, t->keyword ? "`%s`" : "%s", t->phrase);
    }
    return buf_take(&b, a);
}

static struct str found_text(struct parser *p, struct token found)
{
    if (found.kind == TOK_END || found.kind == 0)
        return STR("the end of the statement");
    if (found.kind == TOK_PROSE)
        return STR("narration");
    return str_printf(p->arena, "`%.*s`", (int)(found.hi - found.lo > 40 ? 40 : found.hi - found.lo),
                      p->text.p + found.lo);
}

static void offer_keywords(struct suggest *near, const int *expected, int n)
{
    for (int i = 0; i < n; i++) {
        const struct token_phrase *t = phrase_of(expected[i]);
        if (t->keyword)
            suggest_offer(near, str_of(t->phrase));
    }
}

/* ---- slips that many make, and the way out ------------------------------------------------------------- */

static bool is_among(const int *tokens, int n, int token)
{
    for (int i = 0; i < n; i++)
        if (tokens[i] == token)
            return true;
    return false;
}

/* A pitch in small letters, `c5` or `bb3`: it is scanned as a name. */
static bool is_small_pitch(struct str s)
{
    uint32_t i = 1;
    if (s.n < 2 || s.p[0] < 'a' || s.p[0] > 'g')
        return false;
    while (i < s.n && s.p[i] == 'b')
        i++;
    return i + 1 == s.n && s.p[i] >= '0' && s.p[i] <= '9';
}

static bool is_dash(struct str s)
{
    return str_is(s, "-") || str_is(s, "\u2013") || str_is(s, "\u2014");
}

/* Does a decimal follow the statement's first word? `at 0.33` is read as another kind of `at`. */
static bool has_decimal(const struct parser *p)
{
    uint32_t i = p->statement_at.hi;
    while (i < p->text.n && p->text.p[i] == ' ')
        i++;
    uint32_t from = i;
    while (i < p->text.n && p->text.p[i] >= '0' && p->text.p[i] <= '9')
        i++;
    return i > from && i < p->text.n && p->text.p[i] == '.';
}

/* In a row of a part or of the harmony. */
static const char *slip_in_row(struct str text, int kind)
{
    if (kind == TOK_COMMA)
        return "notes and chords stand one behind the other without commas: `C4 D4`";
    if (kind == TOK_INT || kind == TOK_DECIMAL)
        return "note values are fractions of a whole note: a quarter note is `1/4`";
    if (str_is(text, "."))
        return "a dotted value is a fraction as well: a dotted quarter note is `3/8`";
    if (kind == TOK_NAME && is_small_pitch(text))
        return "pitches begin with a capital letter: `C5`, `Bb3`";
    return NULL;
}

static const char *slip_help(const struct parser *p, struct token found, const int *expected, int n)
{
    struct str text = str_slice(p->text, found.lo, found.hi);
    if (str_is(text, "'") || str_is(text, "\u2019"))
        return "a text stands in straight double quotation marks: \"\u2026\"";
    if (is_dash(text) && p->statement == TOK_BAR)
        return "a colon stands behind the number of the bar: `bar 1:`";
    if (is_dash(text))
        return "a stretch is written with `to`, as in `bar 1 to bar 4`";
    if (p->statement == TOK_AT && has_decimal(p))
        return "a time is written with a colon: `0:33`";
    if (p->statement == TOK_TEMPO)
        return "a tempo is written `1/4 = 80`: note values are fractions of a whole note";
    if (p->statement == TOK_CLAIM && found.kind == TOK_NAME && n == 1 && expected[0] == TOK_COLON)
        return "a claim is written `claim its-name: the sentence`: its name is one word, a colon behind it";
    if (found.kind == TOK_MUSIC && is_among(expected, n, TOK_NAME))
        return "names are written in small letters, one word each: `english-horn`";
    return p->statement == TOK_BAR ? slip_in_row(text, found.kind) : NULL;
}

static void report_unexpected(struct parser *p, struct token found, const int *expected, int n)
{
    struct diag_list *diags = p->scanner.diags;
    struct span where = {p->file, found.lo, found.hi};
    bool end = found.kind == TOK_END || found.kind == 0;
    if (end) /* point behind what is there */
        where = (struct span){p->file, p->last.hi, p->last.hi};
    struct str what = expected_text(p->arena, expected, n);
    bool first = found.lo == p->statement_at.lo && found.kind != TOK_END;
    struct diag *d;
    if (first && found.kind == TOK_NAME)
        d = diag_add(diags, DIAG_UNKNOWN_STATEMENT, where, "no statement here begins with %.*s",
                     STR_ARG(found_text(p, found)));
    else if (what.n)
        d = diag_add(diags, DIAG_SYNTAX, where, "expected %.*s, found %.*s", STR_ARG(what),
                     STR_ARG(found_text(p, found)));
    else if (end)
        d = diag_add(diags, DIAG_SYNTAX, where, "something is missing behind %.*s",
                     STR_ARG(found_text(p, p->last)));
    else
        d = diag_add(diags, DIAG_SYNTAX, where, "%.*s does not fit here", STR_ARG(found_text(p, found)));
    if (found.kind == TOK_NAME) {
        struct suggest near;
        suggest_start(&near, str_slice(p->text, found.lo, found.hi));
        offer_keywords(&near, expected, n);
        if (near.n) {
            diag_help(diags, d, "a word with a similar spelling: `%.*s`", STR_ARG(near.best[0]));
            diag_fix(diags, d, where, near.best[0], false);
        }
    }
    const char *help = slip_help(p, found, expected, n);
    if (help)
        diag_help(diags, d, "%s", help);
}

void parser_unexpected(struct parser *p, struct token found, const int *expected, int n)
{
    if (p->scanner.odd <=
        p->statement_at.lo) /* else a character of the statement is reported already: the same slip */
        report_unexpected(p, found, expected, n);
    p->recovering = true;
    p->scanner.lenient = true;
    lost_keyword(p, p->statement);
    if (p->scanner.depth && p->statement != TOK_BAR) /* a row defines no name */
        lost_keyword(p, p->scanner.blocks[0].keyword);
}

/* ---- the loop
 * -------------------------------------------------------------------------------------------- */

/* The name of a file in quotation marks: what it defines is lost with its `use`. */
static bool names_library(struct parser *p, struct token t)
{
    struct str text = str_slice(p->text, t.lo, t.hi), end = STR(".descant\"");
    return t.kind == TOK_STRING && text.n > end.n && str_eq(str_slice(text, text.n - end.n, text.n), end);
}

/* Words that stand in every second sentence are no names that were lost. */
static bool is_small_word(int kind)
{
    static const int words[] = {TOK_OF,  TOK_TO,   TOK_IN, TOK_IS, TOK_AND, TOK_AS,   TOK_FROM,
                                TOK_FOR, TOK_OVER, TOK_BY, TOK_AT, TOK_BAR, TOK_BARS, TOK_BEAT};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i] == kind)
            return true;
    return false;
}

static bool is_action(int kind)
{
    return kind == TOK_CHAPTER || kind == TOK_SAY || kind == TOK_PLAY || kind == TOK_DEMO ||
           kind == TOK_SHOW || kind == TOK_SILENCE;
}

static void note_lost(struct parser *p, struct token t)
{
    if (t.kind == TOK_USE || names_library(p, t))
        lost_keyword(p, TOK_USE);
    if (is_action(t.kind))
        lost_keyword(p, TOK_THEN);
    if (t.kind == TOK_PART || t.kind == TOK_METER) /* they stand in passages only */
        lost_keyword(p, TOK_PASSAGE);
    if (is_small_word(t.kind))
        return;
    if (t.kind != TOK_END && t.hi > t.lo && p->text.p[t.lo] >= 'a' && p->text.p[t.lo] <= 'z')
        lost_name(p, t);
}

/* Passes over a block that belongs to a statement that could not be read. */
static void skip_block(struct parser *p)
{
    for (uint32_t depth = 1; depth;) {
        struct token t = scan_next(&p->scanner);
        if (t.kind == 0)
            return;
        if (t.kind == TOK_LBRACE)
            depth++;
        if (t.kind == TOK_RBRACE)
            depth--;
        note_lost(p, t);
        p->last = t;
    }
}

void parse_text(struct parser *p, struct arena *arena, uint32_t file, struct str text,
                struct diag_list *diags)
{
    *p = (struct parser){.arena = arena, .text = text, .file = file};
    p->root = node_new(p, NODE_FILE, 0, text.n);
    scan_start(&p->scanner, file, text, diags);
    void *machine = parseAlloc(malloc, p);
    if (!machine)
        abort();
    parse(machine, TOK_END,
          (struct token){TOK_END, 0, 0}); /* so that there is a list when the first statement fails */
    bool begins = true;
    for (;;) {
        struct token t = scan_next(&p->scanner);
        if (begins) {
            p->statement = t.kind;
            p->statement_at = t;
        }
        begins = t.kind == TOK_END || t.kind == TOK_LBRACE || t.kind == TOK_RBRACE;
        bool was_recovering = p->recovering;
        if (was_recovering) {
            note_lost(p, t);
            if (t.kind == TOK_LBRACE) {
                skip_block(p);
                continue;
            }
        }
        parse(machine, t.kind, t);
        if (t.kind ==
            TOK_END) /* reduces the statement now: an error in the next one must not take it along */
            parse(machine, t.kind, t);
        if (p->recovering && !was_recovering) {
            note_lost(p, t);
            if (t.kind == TOK_LBRACE)
                skip_block(p);
        }
        p->last = t;
        if (t.kind == 0)
            break;
    }
    parseFree(machine, free);
}
