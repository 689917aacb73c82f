/* Narration: CommonMark, read by libcmark, as runs of text that map back to the file. */
#include "sema/sema.h"

#include "base/array.h"
#include "base/normal.h"
#include "sema/locate.h"

#include <cmark.h>

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
    struct locator locator;
    int emphasis, strong;
    struct link *link, *outer; /* an address may stand in the words of a link: `[<https://…>](claim:name)` */
};

static void lines_index(struct prose_reader *r)
{
    struct str t = r->source;
    ARRAY_PUSH(r->s->arena, r->lines, r->n_lines, 0);
    bool mixed = t.n && memchr(t.p, '\r', t.n);
    for (uint32_t i = 0; i < t.n; i++) {
        if (!mixed) {
            const char *end = memchr(t.p + i, '\n', t.n - i);
            i = end ? (uint32_t)(end - t.p) : t.n;
        }
        if (i < t.n && (t.p[i] == '\n' || (t.p[i] == '\r' && (i + 1 == t.n || t.p[i + 1] != '\n'))))
            ARRAY_PUSH(r->s->arena, r->lines, r->n_lines, i + 1);
    }
}

/* A copy: cmark's texts go with its nodes. */
static struct str normal(struct sema *s, const char *z)
{
    size_t n = strlen(z);
    return text_normal(s->arena, (struct str){arena_copy(s->arena, z, n), (uint32_t)n});
}

static struct span span_of(const struct prose_reader *r, const struct located *at)
{
    return (struct span){r->file, r->base + at->lo, r->base + at->hi};
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

static bool is_web(struct str target)
{
    static const char *const web[] = {"http://", "https://", "mailto:"};
    for (size_t i = 0; i < sizeof web / sizeof *web; i++)
        if (str_starts(target, str_of(web[i])))
            return true;
    return false;
}

static void count_use(enum thing thing, struct symbol *found)
{
    if (thing == THING_CLAIM)
        ((struct claim *)(void *)found)->uses++;
    else if (thing == THING_CITATION)
        ((struct citation *)(void *)found)->uses++;
    else if (thing == THING_FACT && ((struct fact *)(void *)found)->source)
        ((struct citation *)(uintptr_t)((struct fact *)(void *)found)->source)->uses++;
}

/* A link without a scheme, or with one that is not known. If its name is one of the file's, the scheme
 * alone is the slip. */
static void link_unknown(struct prose_reader *r, const struct link *l, struct span where)
{
    struct sema *s = r->s;
    uint32_t colon = str_find(l->target, STR(":"));
    bool has_scheme = colon < l->target.n;
    struct str name = has_scheme ? str_slice(l->target, colon + 1, l->target.n) : l->target;
    struct diag *d =
        has_scheme ? diag_add(s->diags, DIAG_LINK_UNKNOWN, where, "links do not begin with `%.*s`",
                              STR_ARG(str_slice(l->target, 0, colon + 1)))
        : l->target.n
            ? diag_add(s->diags, DIAG_LINK_UNKNOWN, where, "the link `%.*s` goes nowhere", STR_ARG(l->target))
            : diag_add(s->diags, DIAG_LINK_UNKNOWN, where, "this link has no target");
    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++) {
        struct symbol *found = thing_find(s, schemes[i].thing, name);
        if (!found)
            continue;
        struct str whole = str_printf(s->arena, "%s%.*s", schemes[i].scheme, STR_ARG(name));
        diag_help(s->diags, d, "a %s has this name: write `%.*s`", thing_word(schemes[i].thing),
                  STR_ARG(whole));
        if (where.hi > where.lo)
            diag_fix(s->diags, d, where, whole, false);
        count_use(schemes[i].thing, found);
        return;
    }
    diag_help(s->diags, d,
              "links begin with `claim:`, `cite:`, `fact:`, `passage:`, `figure:`, `reading:` or `https:`");
}

/* The target in the source, or the words where it stands elsewhere: for messages about it. */
static struct span target_span(struct prose_reader *r, const struct link *l, const char *url)
{
    struct located at = locate_target(&r->locator, str_of(url));
    if (!at.found || at.hi == at.lo)
        return l->where.hi ? l->where : span_of(r, &at);
    const char *colon = l->kind == LINK_WEB ? NULL : strchr(url, ':');
    if (colon)
        at.lo += (uint32_t)(colon + 1 - url);
    return span_of(r, &at);
}

static void link_resolve(struct prose_reader *r, struct link *l, const char *url)
{
    struct span where = target_span(r, l, url);
    if (l->kind == LINK_WEB) {
        if (!is_web(l->target))
            link_unknown(r, l, where);
        return;
    }
    enum thing thing = THING_CLAIM;
    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++)
        if (schemes[i].kind == l->kind)
            thing = schemes[i].thing;
    struct node name = {.kind = NODE_NAME, .where = where, .text = l->target};
    struct symbol *found = name_resolve(r->s, thing, &name);
    l->thing = found;
    if (found)
        count_use(thing, found);
}

static void picture(struct prose_reader *r, cmark_node *node)
{
    const char *url = cmark_node_get_url(node);
    struct link *l = ARENA_NEW(r->s->arena, struct link);
    link_target(r, l, url);
    struct run run = {.kind = RUN_PICTURE};
    struct located at = locate_picture(&r->locator, str_of(url));
    run.where = span_of(r, &at);
    if (!str_starts(l->target, STR("show:"))) {
        struct diag *d = diag_add(r->s->diags, DIAG_LINK_UNKNOWN, run.where,
                                  "the picture `%.*s` is not made by this file", STR_ARG(l->target));
        diag_help(r->s->diags, d,
                  "pictures begin with `show:` and name a passage or figure, as in `show:lamp`");
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

/* ---- the walk
 * ----------------------------------------------------------------------------------------------- */

/* From offsets into the narration to offsets into the file. */
static const uint32_t *places_of(const struct prose_reader *r, const uint32_t *map, uint32_t n)
{
    if (!map)
        return NULL;
    uint32_t *places = ARENA_NEW_ARRAY(r->s->arena, uint32_t, n + 1);
    for (uint32_t i = 0; i <= n; i++)
        places[i] = r->base + map[i];
    return places;
}

static void text_run(struct prose_reader *r, cmark_node *node, bool code)
{
    const char *literal = cmark_node_get_literal(node);
    if (!literal || !*literal)
        return;
    struct run run = {.kind = RUN_TEXT, .text = normal(r->s, literal), .code = code};
    struct located at = locate_text(&r->locator, str_of(literal), code);
    run.where = span_of(r, &at);
    run.places = places_of(r, locate_normal(&r->locator, &at, str_of(literal), run.text), run.text.n);
    push_run(r, run);
}

/* HTML is not spoken; what stands in its marks is no text either. */
static void pass_over(struct prose_reader *r, cmark_node *node)
{
    const char *literal = cmark_node_get_literal(node);
    if (literal)
        locate_text(&r->locator, str_of(literal), true);
}

static void break_run(struct prose_reader *r, bool hard)
{
    struct span here = {r->file, r->base + r->locator.at, r->base + r->locator.at};
    push_run(r, (struct run){.kind = RUN_BREAK, .text = STR(" "), .hard = hard, .where = here});
}

static void enter_block(struct prose_reader *r, cmark_node *node)
{
    int line = cmark_node_get_start_line(node), column = cmark_node_get_start_column(node);
    if (line < 1 || (uint32_t)line > r->n_lines || column < 1)
        return;
    uint32_t at = r->lines[line - 1] + (uint32_t)column - 1;
    if (at > r->locator.at && at <= r->source.n)
        r->locator.at = at;
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
            r->outer = r->link;
            r->link = ARENA_NEW(r->s->arena, struct link);
            link_target(r, r->link, cmark_node_get_url(node));
        } else {
            link_resolve(r, r->link, cmark_node_get_url(node));
            r->link = r->outer;
            r->outer = NULL;
        }
        break;
    case CMARK_NODE_PARAGRAPH:
    case CMARK_NODE_HEADING:
        if (entering)
            enter_block(r, node);
        else
            paragraph(r);
        break;
    case CMARK_NODE_HTML_INLINE:
        pass_over(r, node);
        break;
    case CMARK_NODE_CODE_BLOCK: /* shown, not spoken: music written out, a quoted line */
    case CMARK_NODE_HTML_BLOCK:
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

static inline bool is_letter(unsigned char c)
{
    return (unsigned char)((c | 0x20) - 'a') < 26 || (unsigned char)(c - '0') < 10 || c >= 0x80;
}

/* Words that begin in the text; in_word: whether one is going on. */
static uint32_t words_in(struct str text, bool *in_word)
{
    uint32_t n = 0;
    bool in = *in_word;
    for (uint32_t i = 0; i < text.n;) {
        if (!is_letter((unsigned char)text.p[i])) {
            in = in && (text.p[i] == '\'' || text.p[i] == '-');
            i++;
            continue;
        }
        n += !in;
        in = true;
        while (++i < text.n && is_letter((unsigned char)text.p[i]))
            ;
    }
    *in_word = in;
    return n;
}

/* What can stand inside itself without end. */
static bool nests(cmark_node *node)
{
    cmark_node_type type = cmark_node_get_type(node);
    bool container = type == CMARK_NODE_BLOCK_QUOTE || type == CMARK_NODE_LIST || type == CMARK_NODE_EMPH ||
                     type == CMARK_NODE_STRONG;
    return container && cmark_node_first_child(node);
}

static void report_deep(struct prose_reader *r, cmark_node *node)
{
    enter_block(r, node);
    uint32_t at = r->locator.at < r->source.n ? r->locator.at : 0;
    struct span where = {r->file, r->base + at, r->base + at + 1};
    struct diag *d = diag_add(r->s->diags, DIAG_NARRATION_DEEP, where,
                              "the narration nests more than %d deep", NARRATION_DEPTH_MAX);
    diag_help(r->s->diags, d, "take marks out until the text is what you would read aloud");
}

static void count_words(struct prose *p)
{
    bool in_word = false;
    for (uint32_t i = 0; i < p->n_runs; i++) {
        if (p->runs[i].kind == RUN_TEXT)
            p->n_words += words_in(p->runs[i].text, &in_word);
        else
            in_word = false;
    }
}

void narration_read(struct sema *s, const struct node *prose, struct prose *out)
{
    *out = (struct prose){.where = prose->where, .source = prose->text};
    struct prose_reader r = {.s = s,
                             .out = out,
                             .source = prose->text,
                             .base = prose->where.lo,
                             .file = prose->where.file,
                             .locator = {s->arena, prose->text, 0}};
    lines_index(&r);
    cmark_node *document = cmark_parse_document(prose->text.p, prose->text.n, CMARK_OPT_DEFAULT);
    cmark_iter *iter = cmark_iter_new(document);
    cmark_event_type event;
    int depth = 0;
    while ((event = cmark_iter_next(iter)) != CMARK_EVENT_DONE) {
        cmark_node *node = cmark_iter_get_node(iter);
        depth += nests(node) ? (event == CMARK_EVENT_ENTER ? 1 : -1) : 0;
        if (depth > NARRATION_DEPTH_MAX) {
            report_deep(&r, node);
            break;
        }
        if (cmark_node_get_type(node) == CMARK_NODE_IMAGE && event == CMARK_EVENT_ENTER) {
            visit(&r, node, true);
            cmark_iter_reset(iter, node, CMARK_EVENT_EXIT); /* its alternative text is not spoken */
            continue;
        }
        visit(&r, node, event == CMARK_EVENT_ENTER);
    }
    cmark_iter_free(iter);
    cmark_node_free(document);
    while (out->n_runs && out->runs[out->n_runs - 1].kind != RUN_TEXT &&
           out->runs[out->n_runs - 1].kind != RUN_PICTURE)
        out->n_runs--;
    count_words(out);
}
