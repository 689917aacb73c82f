#include "sema/fields.h"

#include "parse.h"

/* The fields a set knows, for the message: "title, from, year". */
static struct str set_text(struct sema *s, const struct field_set *set)
{
    static const struct {
        int token;
        const char *word;
    } words[] = {
#define KEYWORD(token, word) {TOK_##token, word},
#include "tokens.def"
    };
    struct buf b = {0};
    for (int i = 0; set->words[i]; i++)
        for (size_t k = 0; k < sizeof words / sizeof *words; k++)
            if (words[k].token == set->words[i])
                buf_printf(&b, "%s`%s`", i ? ", " : "", words[k].word);
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

bool field_allowed(struct sema *s, const struct field_set *set, const struct node *block, const struct node *f)
{
    if (f->kind != NODE_FIELD)
        return false;
    int i = 0;
    while (set->words[i] && set->words[i] != f->word)
        i++;
    struct str word = field_word(s, f);
    struct span where = {f->where.file, f->where.lo, f->where.lo + word.n};
    if (!set->words[i]) {
        struct diag *d = diag_add(s->diags, DIAG_BAD_FIELD, where, "`%.*s` does not belong to a %s", STR_ARG(word), set->of);
        diag_help(s->diags, d, "a %s has %.*s", set->of, STR_ARG(set_text(s, set)));
        return false;
    }
    if (f->word == TOK_ANCHOR || f->word == TOK_USE)
        return true;
    const struct node *first = node_field(block, f->word);
    if (first != f) {
        struct diag *d = diag_add(s->diags, DIAG_BAD_FIELD, where, "`%.*s` is given twice", STR_ARG(word));
        diag_place(s->diags, d, first->where, "given first here");
        return false;
    }
    return true;
}
