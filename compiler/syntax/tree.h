/* tree.h - the syntax tree.
 *
 * Purpose: what was written, as the grammar reads it; no name is looked up, no value computed.
 * Units:   spans in bytes of the one file that the tree is of.
 * Owner:   nodes live in the compilation arena; texts point into the source.
 * Errors:  a statement that could not be read is a NODE_ERROR; later phases pass over it in silence.
 */
#ifndef DESCANT_TREE_H
#define DESCANT_TREE_H

#include "base/arena.h"
#include "base/buf.h"
#include "source/span.h"

enum node_kind {
#define NODE(id, name) NODE_##id,
#include "syntax/nodes.def"
#undef NODE
    NODE_COUNT
};

struct node {
    enum node_kind kind;
    int word;           /* TOK_… of the keyword that made a statement, field or action; else the leaf's token */
    struct span where;
    struct str text;    /* leaves: as written; strings without their quotes, escapes unresolved */
    struct node *first, *last; /* children */
    struct node *next;  /* sibling */
};

const char *node_name(enum node_kind kind);
/* The first child of a kind, or NULL; the first child field made by a keyword, or NULL. */
const struct node *node_child(const struct node *n, enum node_kind kind);
const struct node *node_field(const struct node *n, int word);
uint32_t node_count(const struct node *n);
/* One node a line, indented, with spans: for --dump=tree. */
void tree_dump(const struct node *root, struct buf *out);
/* A string node's text with \" and \\ resolved. */
struct str node_string(struct arena *a, const struct node *n);

#endif
