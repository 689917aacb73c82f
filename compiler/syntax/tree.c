#include "syntax/tree.h"

#include "base/normal.h"

static const char *const names[NODE_COUNT] = {
#define NODE(id, name) name,
#include "syntax/nodes.def"
#undef NODE
};

const char *node_name(enum node_kind kind)
{
    return names[kind];
}

const struct node *node_child(const struct node *n, enum node_kind kind)
{
    for (const struct node *c = n->first; c; c = c->next)
        if (c->kind == kind)
            return c;
    return NULL;
}

const struct node *node_field(const struct node *n, int word)
{
    for (const struct node *c = n->first; c; c = c->next)
        if (c->kind == NODE_FIELD && c->word == word)
            return c;
    return NULL;
}

uint32_t node_count(const struct node *n)
{
    uint32_t count = 0;
    for (const struct node *c = n->first; c; c = c->next)
        count++;
    return count;
}

/* The grammar nests no deeper than its own rules do, so this recursion is bounded. */
static void dump(const struct node *n, int depth, struct buf *out)
{
    buf_printf(out, "%*s%s %u..%u", depth * 2, "", node_name(n->kind), n->where.lo, n->where.hi);
    if (n->text.n)
        buf_printf(out, " `%.*s`", STR_ARG(n->text));
    buf_byte(out, '\n');
    for (const struct node *c = n->first; c; c = c->next)
        dump(c, depth + 1, out);
}

void tree_dump(const struct node *root, struct buf *out)
{
    dump(root, 0, out);
}

struct str node_string(struct arena *a, const struct node *n)
{
    if (!memchr(n->text.p, '\\', n->text.n))
        return text_normal(a, n->text);
    char *copy = arena_alloc(a, n->text.n);
    uint32_t m = 0;
    for (uint32_t i = 0; i < n->text.n; i++) {
        if (n->text.p[i] == '\\' && i + 1 < n->text.n)
            i++;
        copy[m++] = n->text.p[i];
    }
    return text_normal(a, (struct str){copy, m});
}
