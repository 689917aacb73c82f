/* parser.h - the grammar's workbench: what the actions of grammar/parse.y call.
 *
 * Purpose: one small function an action; builds nodes, reports what does not fit.
 * Owner:   nodes live in the parser's arena.
 */
#ifndef DESCANT_PARSER_H
#define DESCANT_PARSER_H

#include "syntax/scan.h"
#include "syntax/tree.h"

/* Names and definitions inside statements that could not be read: later phases stay silent about them. */
struct lost {
    struct str *names;
    uint32_t n, cap;
    int *keywords; /* of the statements lost: TOK_PASSAGE … */
    uint32_t n_keywords, cap_keywords;
};

struct parser {
    struct arena *arena;
    struct scanner scanner;
    struct str text;
    uint32_t file;
    struct node *root;
    struct token last;    /* the token before the one that does not fit */
    bool recovering;
    int statement;        /* keyword of the statement being read */
    struct token statement_at;
    struct lost lost;
};

/* Reads a whole text into p->root. The text must be NUL-terminated at its end. */
void parse_text(struct parser *p, struct arena *arena, uint32_t file, struct str text, struct diag_list *diags);
bool lost_has(const struct lost *l, struct str name);
bool lost_statement(const struct lost *l, int keyword);

/* ---- called by the grammar ---- */
struct node *node_leaf(struct parser *p, enum node_kind kind, struct token t);
/* A node with the children given (NULLs are left out); its span runs from the keyword to the last child. */
struct node *node_make(struct parser *p, enum node_kind kind, struct token word, struct node *a, struct node *b,
                       struct node *c, struct node *d);
struct node *node_wrap(struct parser *p, enum node_kind kind, struct node *a, struct node *b);
struct node *node_add(struct node *parent, struct node *child); /* returns parent; child may be NULL */
struct node *node_list(struct parser *p, struct node *first);   /* first may be NULL */
/* Appends the children of a list to a node and returns the node; both may be NULL lists. */
struct node *node_adopt(struct node *parent, struct node *list);
struct node *node_error(struct parser *p);
void parser_top(struct parser *p, struct node *statement);
/* Reports the token that does not fit; `expected` are token codes, n of them. */
void parser_unexpected(struct parser *p, struct token found, const int *expected, int n);

#endif
