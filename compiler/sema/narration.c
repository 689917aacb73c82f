/* Narration: CommonMark, read by libcmark, as runs of text that map back to the file. */
#include "sema/sema.h"

#include "base/array.h"
#include "base/normal.h"

#include <cmark.h>
#include <stdlib.h>
#include <utf8proc.h>

/* Block quotes and lists nested deeper than this are refused. */
enum { NARRATION_DEPTH_MAX = 50 };

struct prose_reader {
    struct sema *s;
    struct prose *out;
    struct str source;       /* what cmark was given */
    uint32_t base;           /* offset of it in the file */
    uint32_t file;
    uint32_t *lines;         /* offsets of its lines */
    uint32_t n_lines;
    uint32_t at;             /* where the next text is looked for */
    int emphasis, strong;
    struct link *link;
};

static void lines_index(struct prose_reader *r)
{
    ARRAY_PUSH(r->s->arena, r->lines, r->n_lines, 0);
    for (uint32_t i = 0; i < r->source.n; i++)
        if (r->source.p[i] == '\n' || (r->source.p[i] == '\r' && (i + 1 == r->source.n || r->source.p[i + 1] != '\n')))
            ARRAY_PUSH(r->s->arena, r->lines, r->n_lines, i + 1);
}

/* A copy: cmark's texts go with its nodes. */
static struct str normal(struct sema *s, const char *z)
{
    size_t n = strlen(z);
    return text_normal(s->arena, (struct str){arena_copy(s->arena, z, n), (uint32_t)n});
}

/* How far ahead a literal is looked for: an escape or entity before it is short, and a miss must stay cheap. */
enum { LOCATE_WINDOW = 2048 };

/* Where a literal stands: the first place at or after `at` with the same bytes; escapes and entities end the match early, so only
 * its beginning is looked for. */
static struct span locate(struct prose_reader *r, const char *literal)
{
    uint32_t n = (uint32_t)strlen(literal);
    uint32_t probe = n < 24 ? n : 24;
    struct str ahead = str_slice(r->source, r->at, r->at + LOCATE_WINDOW);
    uint32_t hit = str_find(ahead, (struct str){literal, probe});
    bool found = probe && hit < ahead.n;
    uint32_t lo = found ? r->at + hit : r->at;
    uint32_t hi = found ? lo + n : r->at;
    if (hi > r->source.n)
        hi = r->source.n;
    if (found)
        r->at = hi;
    return (struct span){r->file, r->base + lo, r->base + hi};
}

static void push_run(struct prose_reader *r, struct run run)
{
    run.emphasis = r->emphasis > 0;
    run.strong = r->strong > 0;
    run.link = r->link;
    if (r->link && run.kind == RUN_TEXT) {
        if (r->link->where.hi == 0)
            r->link->where = run.where;
        else
            r->link->where = span_join(r->link->where, run.where);
    }
    ARRAY_PUSH(r->s->arena, r->out->runs, r->out->n_runs, run);
}

static void paragraph(struct prose_reader *r)
{
    if (r->out->n_runs && r->out->runs[r->out->n_runs - 1].kind != RUN_PARAGRAPH)
        ARRAY_PUSH(r->s->arena, r->out->runs, r->out->n_runs, (struct run){.kind = RUN_PARAGRAPH});
}

/* ---- links -------------------------------------------------------------------------------------------- */

static const struct {
    const char *scheme;
    enum link_kind kind;
    enum thing thing;
} schemes[] = {
    {"claim:", LINK_CLAIM, THING_CLAIM},       {"cite:", LINK_CITE, THING_CITATION},
    {"fact:", LINK_FACT, THING_FACT},          {"passage:", LINK_PASSAGE, THING_PASSAGE},
    {"figure:", LINK_FIGURE, THING_FIGURE},    {"reading:", LINK_READING, THING_READING},
};

static void link_target(struct prose_reader *r, struct link *l, const char *url)
{
    l->kind = LINK_WEB;
    l->target = normal(r->s, url);
    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++) {
        if (!str_starts(l->target, str_of(schemes[i].scheme)))
            continue;
        l->kind = schemes[i].kind;
        l->target = str_slice(l->target, (uint32_t)strlen(schemes[i].scheme), l->target.n);
    }
}

/* The name in the source, behind the words: for messages about it. */
static struct span target_span(struct prose_reader *r, const char *url)
{
    struct span at = locate(r, url);
    if (at.hi == at.lo)
        return at;
    const char *colon = strchr(url, ':');
    if (colon)
        at.lo += (uint32_t)(colon + 1 - url);
    return at;
}

static void link_resolve(struct prose_reader *r, struct link *l, const char *url)
{
    struct span where = target_span(r, url);
    if (l->kind == LINK_WEB) {
        static const char *const web[] = {"http://", "https://", "mailto:"};
        for (size_t i = 0; i < 3; i++)
            if (str_starts(l->target, str_of(web[i])))
                return;
        struct diag *d = diag_add(r->s->diags, DIAG_LINK_UNKNOWN, where, "the link `%.*s` goes nowhere", STR_ARG(l->target));
        diag_help(r->s->diags, d, "links begin with claim: cite: fact: passage: figure: reading: or https:");
        return;
    }
    enum thing thing = THING_CLAIM;
    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++)
        if (schemes[i].kind == l->kind)
            thing = schemes[i].thing;
    struct node name = {.kind = NODE_NAME, .where = where, .text = l->target};
    struct symbol *found = name_resolve(r->s, thing, &name);
    l->thing = found;
    if (!found)
        return;
    if (thing == THING_CLAIM)
        ((struct claim *)(void *)found)->uses++;
    else if (thing == THING_CITATION)
        ((struct citation *)(void *)found)->uses++;
    else if (thing == THING_FACT && ((struct fact *)(void *)found)->source)
        ((struct citation *)(uintptr_t)((struct fact *)(void *)found)->source)->uses++;
}

static void picture(struct prose_reader *r, cmark_node *node)
{
    const char *url = cmark_node_get_url(node);
    struct link *l = ARENA_NEW(r->s->arena, struct link);
    link_target(r, l, url);
    struct run run = {.kind = RUN_PICTURE};
    run.where = locate(r, url);
    if (!str_starts(l->target, STR("show:"))) {
        struct diag *d = diag_add(r->s->diags, DIAG_LINK_UNKNOWN, run.where, "the picture `%.*s` is not made by this file",
                                  STR_ARG(l->target));
        diag_help(r->s->diags, d, "pictures begin with `show:` and name a passage or figure");
        return;
    }
    l->target = str_slice(l->target, 5, l->target.n);
    l->where = run.where;
    struct node name = {.kind = NODE_NAME, .where = run.where, .text = l->target};
    if (run.where.hi - run.where.lo == l->target.n + 5)
        name.where.lo += 5;
    struct symbol *found = thing_find(r->s, THING_FIGURE, l->target);
    l->kind = found ? LINK_FIGURE : LINK_PASSAGE;
    l->thing = found ? found : name_resolve(r->s, THING_PASSAGE, &name);
    struct link *outer = r->link;
    r->link = NULL;
    push_run(r, run);
    r->out->runs[r->out->n_runs - 1].link = l;
    r->link = outer;
}

/* ---- the walk ----------------------------------------------------------------------------------------------- */

static void text_run(struct prose_reader *r, cmark_node *node, bool code)
{
    const char *literal = cmark_node_get_literal(node);
    if (!literal || !*literal)
        return;
    struct run run = {.kind = RUN_TEXT, .text = normal(r->s, literal), .code = code};
    run.where = locate(r, literal);
    push_run(r, run);
}

static void break_run(struct prose_reader *r, bool hard)
{
    struct span here = {r->file, r->base + r->at, r->base + r->at};
    push_run(r, (struct run){.kind = RUN_BREAK, .text = STR(" "), .hard = hard, .where = here});
}

static void enter_block(struct prose_reader *r, cmark_node *node)
{
    int line = cmark_node_get_start_line(node);
    if (line > 0 && (uint32_t)line <= r->n_lines && r->lines[line - 1] > r->at)
        r->at = r->lines[line - 1];
}

static void visit(struct prose_reader *r, cmark_node *node, bool entering)
{
    switch (cmark_node_get_type(node)) {
    case CMARK_NODE_TEXT: text_run(r, node, false); break;
    case CMARK_NODE_CODE: text_run(r, node, true); break;
    case CMARK_NODE_SOFTBREAK: break_run(r, false); break;
    case CMARK_NODE_LINEBREAK: break_run(r, true); break;
    case CMARK_NODE_EMPH: r->emphasis += entering ? 1 : -1; break;
    case CMARK_NODE_STRONG: r->strong += entering ? 1 : -1; break;
    case CMARK_NODE_IMAGE:
        if (entering)
            picture(r, node);
        break;
    case CMARK_NODE_LINK:
        if (entering) {
            r->link = ARENA_NEW(r->s->arena, struct link);
            link_target(r, r->link, cmark_node_get_url(node));
        } else {
            link_resolve(r, r->link, cmark_node_get_url(node));
            r->link = NULL;
        }
        break;
    case CMARK_NODE_PARAGRAPH:
    case CMARK_NODE_HEADING:
        if (entering)
            enter_block(r, node);
        else
            paragraph(r);
        break;
    case CMARK_NODE_CODE_BLOCK: /* shown, not spoken: music written out, a quoted line */
    case CMARK_NODE_HTML_BLOCK:
    case CMARK_NODE_HTML_INLINE:
    case CMARK_NODE_NONE:
    case CMARK_NODE_DOCUMENT:
    case CMARK_NODE_BLOCK_QUOTE:
    case CMARK_NODE_LIST:
    case CMARK_NODE_ITEM:
    case CMARK_NODE_CUSTOM_BLOCK:
    case CMARK_NODE_THEMATIC_BREAK:
    case CMARK_NODE_CUSTOM_INLINE: break;
    }
}

static void count_words(struct prose *p)
{
    bool in_word = false;
    for (uint32_t i = 0; i < p->n_runs; i++) {
        const struct run *run = &p->runs[i];
        if (run->kind != RUN_TEXT) {
            in_word = false;
            continue;
        }
        for (uint32_t k = 0; k < run->text.n; k++) {
            unsigned char c = (unsigned char)run->text.p[k];
            bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c >= 0x80;
            if (letter && !in_word)
                p->n_words++;
            in_word = letter || (in_word && (c == '\'' || c == '-'));
        }
    }
}

void narration_read(struct sema *s, const struct node *prose, struct prose *out)
{
    *out = (struct prose){.where = prose->where, .source = prose->text};
    struct prose_reader r = {.s = s, .out = out, .source = prose->text, .base = prose->where.lo, .file = prose->where.file};
    lines_index(&r);
    cmark_node *document = cmark_parse_document(prose->text.p, prose->text.n, CMARK_OPT_DEFAULT);
    cmark_iter *iter = cmark_iter_new(document);
    cmark_event_type event;
    int depth = 0;
    while ((event = cmark_iter_next(iter)) != CMARK_EVENT_DONE) {
        cmark_node *node = cmark_iter_get_node(iter);
        depth += event == CMARK_EVENT_ENTER ? (cmark_node_first_child(node) != NULL) : -(cmark_node_first_child(node) != NULL);
        if (depth > NARRATION_DEPTH_MAX) {
            diag_add(s->diags, DIAG_NARRATION_DEEP, prose->where, "the narration nests more than %d deep", NARRATION_DEPTH_MAX);
            break;
        }
        if (cmark_node_get_type(node) == CMARK_NODE_IMAGE && event == CMARK_EVENT_ENTER) {
            visit(&r, node, true);
            cmark_iter_reset(iter, node, CMARK_EVENT_EXIT); /* its alternative text is not spoken */
            depth -= cmark_node_first_child(node) != NULL;
            continue;
        }
        visit(&r, node, event == CMARK_EVENT_ENTER);
    }
    cmark_iter_free(iter);
    cmark_node_free(document);
    while (out->n_runs && out->runs[out->n_runs - 1].kind != RUN_TEXT && out->runs[out->n_runs - 1].kind != RUN_PICTURE)
        out->n_runs--;
    count_words(out);
}
