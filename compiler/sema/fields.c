#include "sema/fields.h"

#include "diag/suggest.h"
#include "parse.h"

static const char *field_text(int token)
{
    static const struct {
        int token;
        const char *word;
    } words[] = {
#define KEYWORD(token, word) {TOK_##token, word},
#include "tokens.def"
    };
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if (words[k].token == token)
            return words[k].word;
    return "";
}

/* The fields a set knows, for the message: "title, from, year". */
static struct str set_text(struct sema *s, const struct field_set *set)
{
    struct buf b = {0};
    for (int i = 0; set->words[i]; i++)
        buf_printf(&b, "%s`%s`", i ? ", " : "", field_text(set->words[i]));
    return buf_take(&b, s->arena);
}

static struct str field_word(const struct sema *s, const struct node *f)
{
    struct str text = source_text(s->sources, f->where);
    uint32_t n = 0;
    while (n < text.n && ((text.p[n] >= 'a' && text.p[n] <= 'z') || text.p[n] == '-'))
        n++;
    return str_slice(text, 0, n);
}

/* Fields that several values would make no sense in, or whose second value nothing would print. */
static bool takes_one(int word)
{
    static const int words[] = {
        TOK_TITLE,  TOK_SERIES, TOK_NUMBER,        TOK_LANGUAGE,   TOK_DATE, TOK_COMPOSER, TOK_YEAR,
        TOK_KIND,   TOK_RIGHTS, TOK_RIGHTS_HOLDER, TOK_OF,         TOK_FROM, TOK_TRACK,    TOK_SPEED,
        TOK_TUNING, TOK_LABEL,  TOK_EDITION,       TOK_PUBLISHER,  TOK_FILE, TOK_AUTHOR,   TOK_URL,
        TOK_NOTE,   TOK_SAID,   TOK_TRUE,          TOK_REED,       TOK_CLEF, TOK_PROGRAM,  TOK_SOURCE,
        TOK_LINE,   TOK_LINES,  TOK_SPEECH,        TOK_ACCIDENTALS};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i] == word)
            return true;
    return false;
}

/* A word where a value should stand that begins another field: `kind frames 24`. Frames are a unit as
 * well. */
static const struct node *swallowed(const struct field_set *set, const struct node *f)
{
    const struct node *before = NULL;
    for (const struct node *v = f->first; v; before = v, v = v->next) {
        if (v->kind != NODE_NAME ||
            (before && before->kind == NODE_NUMBER && str_starts(v->text, STR("frame"))))
            continue;
        for (int i = 0; set->words[i]; i++)
            if (v->word == set->words[i]) /* a word taken for a name keeps its token */
                return v;
    }
    return NULL;
}

enum slip { SLIP_NONE, SLIP_FOREIGN, SLIP_TWICE, SLIP_EMPTY, SLIP_MANY };

static enum slip slip_of(const struct field_set *set, const struct node *block, const struct node *f)
{
    int i = 0;
    while (set->words[i] && set->words[i] != f->word)
        i++;
    if (!set->words[i])
        return SLIP_FOREIGN;
    if (f->word == TOK_ANCHOR || f->word == TOK_USE)
        return SLIP_NONE;
    if (node_field(block, f->word) != f)
        return SLIP_TWICE;
    if (swallowed(set, f))
        return SLIP_EMPTY;
    return takes_one(f->word) && f->first != f->last ? SLIP_MANY : SLIP_NONE;
}

bool fields_broken(const struct field_set *set, const struct node *block)
{
    for (const struct node *f = block->first; f; f = f->next)
        if (f->kind == NODE_ERROR || (f->kind == NODE_FIELD && slip_of(set, block, f) != SLIP_NONE))
            return true;
    return false;
}

/* A word behind a value may be meant to begin the next field: `of w   knid audio`. */
static bool report_near_field(struct sema *s, const struct field_set *set, const struct node *second)
{
    struct suggest near;
    suggest_start(&near, second->text);
    for (int i = 0; second->kind == NODE_NAME && set->words[i]; i++)
        suggest_offer(&near, str_of(field_text(set->words[i])));
    if (!near.n)
        return false;
    struct diag *d = diag_add(s->diags, DIAG_BAD_FIELD, second->where, "`%.*s` does not belong to %s",
                              STR_ARG(second->text), set->of);
    diag_help(s->diags, d, "a field with a similar name: %.*s", STR_ARG(suggest_text(&near, s->arena)));
    if (near.n == 1)
        diag_fix(s->diags, d, second->where, near.best[0], false);
    return true;
}

static void report_many(struct sema *s, const struct field_set *set, const struct node *f, struct str word)
{
    const struct node *second = f->first->next;
    if (report_near_field(s, set, second))
        return;
    struct diag *d = diag_add(s->diags, DIAG_BAD_FIELD, second->where,
                              "`%.*s` has one value, and this is another", STR_ARG(word));
    if (f->first->kind != NODE_STRING)
        return;
    if (second->where.lo == f->first->where.hi)
        diag_help(s->diags, d, "a quotation mark inside a text is written `\\\"`");
    else
        diag_help(s->diags, d, "write both as one text: `%.*s \"… and …\"`", STR_ARG(word));
}

bool field_allowed(struct sema *s, const struct field_set *set, const struct node *block,
                   const struct node *f)
{
    if (f->kind != NODE_FIELD)
        return false;
    struct str word = field_word(s, f);
    struct span where = {f->where.file, f->where.lo, f->where.lo + word.n};
    struct diag *d;
    switch (slip_of(set, block, f)) {
    case SLIP_NONE:
        return true;
    case SLIP_FOREIGN:
        d = diag_add(s->diags, DIAG_BAD_FIELD, where, "`%.*s` does not belong to %s", STR_ARG(word), set->of);
        diag_help(s->diags, d, "%s has %.*s", set->of, STR_ARG(set_text(s, set)));
        return false;
    case SLIP_TWICE:
        d = diag_add(s->diags, DIAG_BAD_FIELD, where, "`%.*s` is given twice", STR_ARG(word));
        diag_place(s->diags, d, node_field(block, f->word)->where, "given first here");
        return false;
    case SLIP_EMPTY:
        d = diag_add(s->diags, DIAG_BAD_FIELD, where, "`%.*s` has no value", STR_ARG(word));
        diag_place(s->diags, d, swallowed(set, f)->where, "this begins another field");
        return false;
    case SLIP_MANY:
        report_many(s, set, f, word);
        return true;
    }
    return true;
}
