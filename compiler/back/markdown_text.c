#include "back/markdown_text.h"

#include <stdlib.h>

/* ---- numbers ------------------------------------------------------------------------------------ */

static int by_thing(const void *a, const void *b)
{
    uintptr_t x = (uintptr_t)((const struct numbered *)a)->thing,
              y = (uintptr_t)((const struct numbered *)b)->thing;
    return (x > y) - (x < y);
}

static void number(struct md *w, const void *thing, char letter, uint32_t *last, bool listed)
{
    if (listed)
        w->numbers[w->n_numbers++] = (struct numbered){thing, letter, ++*last};
}

/* What the narration links to, sorted. */
struct linked {
    const void **things;
    uint32_t n;
};

static int by_address(const void *a, const void *b)
{
    uintptr_t x = (uintptr_t) * (const void *const *)a, y = (uintptr_t) * (const void *const *)b;
    return (x > y) - (x < y);
}

static struct linked linked_make(const struct model *m, struct arena *a)
{
    uint32_t most = 0;
    for (uint32_t i = 0; i < m->n_items; i++)
        most += m->items[i]->kind == ITEM_SAY ? m->items[i]->prose.n_runs : 0;
    struct linked list = {ARENA_NEW_ARRAY(a, const void *, most), 0};
    for (uint32_t i = 0; i < m->n_items; i++)
        for (uint32_t k = 0; m->items[i]->kind == ITEM_SAY && k < m->items[i]->prose.n_runs; k++)
            if (m->items[i]->prose.runs[k].link)
                list.things[list.n++] = m->items[i]->prose.runs[k].link->thing;
    if (list.n)
        qsort(list.things, list.n, sizeof *list.things, by_address);
    return list;
}

/* The episode's own things are listed, and what the narration uses of its libraries. */
static bool is_listed(const struct linked *list, const struct symbol *symbol)
{
    const void *key = symbol;
    return !symbol->library ||
           (list->n && bsearch(&key, list->things, list->n, sizeof *list->things, by_address));
}

void md_number(struct md *w)
{
    const struct model *m = w->m;
    struct linked list = linked_make(m, w->arena);
    size_t most = (size_t)m->n_claims + m->n_facts + m->n_readings + m->n_citations;
    w->numbers = ARENA_NEW_ARRAY(w->arena, struct numbered, most);
    uint32_t claims = 0, facts = 0, readings = 0, sources = 0;
    for (uint32_t i = 0; i < m->n_claims; i++)
        number(w, m->claims[i], 'C', &claims, is_listed(&list, &m->claims[i]->symbol));
    for (uint32_t i = 0; i < m->n_facts; i++)
        number(w, m->facts[i], 'F', &facts, is_listed(&list, &m->facts[i]->symbol));
    for (uint32_t i = 0; i < m->n_readings; i++)
        number(w, m->readings[i], 'R', &readings, is_listed(&list, &m->readings[i]->symbol));
    for (uint32_t i = 0; i < m->n_citations; i++)
        number(w, m->citations[i], 'S', &sources,
               !m->citations[i]->symbol.library || m->citations[i]->uses > 0);
    if (w->n_numbers)
        qsort(w->numbers, w->n_numbers, sizeof *w->numbers, by_thing);
}

const struct numbered *md_number_of(const struct md *w, const void *thing)
{
    struct numbered key = {.thing = thing};
    if (w->n_numbers == 0 || !thing)
        return NULL;
    return bsearch(&key, w->numbers, w->n_numbers, sizeof *w->numbers, by_thing);
}

/* ---- text ----------------------------------------------------------------------------------------- */

void md_raw(struct md *w, const char *z)
{
    buf_put(w->out, z);
    if (*z)
        w->line_start = z[strlen(z) - 1] == '\n';
}

void md_printf(struct md *w, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    buf_vprintf(w->out, format, ap);
    va_end(ap);
    w->line_start = false;
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

/* "12." or "12)" at the start of a line would begin a list: the offset of its mark, or 0. */
static uint32_t list_mark(struct str s)
{
    uint32_t i = 0;
    while (i < s.n && s.p[i] >= '0' && s.p[i] <= '9')
        i++;
    return i > 0 && i < s.n && (s.p[i] == '.' || s.p[i] == ')') ? i : 0;
}

void md_text(struct md *w, struct str s)
{
    uint32_t mark = w->line_start ? list_mark(s) : 0;
    for (uint32_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        if (is_space(c)) {
            bool again = i > 0 && is_space(s.p[i - 1]);
            if (!again && !w->line_start)
                buf_byte(w->out, ' ');
            continue;
        }
        bool special = strchr("\\`*_[]<>&", c) != NULL || (w->line_start && strchr("#+-=~", c) != NULL);
        if (special || (mark && i == mark))
            buf_byte(w->out, '\\');
        buf_byte(w->out, c);
        w->line_start = false;
    }
}

void md_end_line(struct md *w)
{
    if (!w->line_start)
        md_raw(w, "\n");
}

void md_gap(struct md *w)
{
    md_end_line(w);
    if (w->out->n >= 2 && w->out->p[w->out->n - 2] != '\n')
        buf_byte(w->out, '\n');
}

void md_message(struct md *w, struct str s)
{
    while (s.n) {
        uint32_t open = str_find(s, STR("`"));
        md_text(w, str_slice(s, 0, open));
        s = str_slice(s, open + 1, s.n);
        uint32_t close = str_find(s, STR("`"));
        if (close == s.n)
            continue;
        md_code(w, str_slice(s, 0, close));
        s = str_slice(s, close + 1, s.n);
    }
}

void md_heading(struct md *w, int level, struct str text)
{
    md_gap(w);
    for (int i = 0; i < level; i++)
        md_raw(w, "#");
    md_raw(w, " ");
    /* A row of # at the end of a heading would be dropped. */
    struct buf b = {0};
    struct buf *out = w->out;
    w->out = &b;
    md_text(w, text);
    w->out = out;
    struct str escaped = buf_str(&b);
    if (escaped.n && escaped.p[escaped.n - 1] == '#') {
        buf_str_put(w->out, str_slice(escaped, 0, escaped.n - 1));
        buf_put(w->out, "\\#");
    } else {
        buf_str_put(w->out, escaped);
    }
    buf_free(&b);
    md_gap(w);
}

void md_bullet(struct md *w, int depth)
{
    md_end_line(w);
    for (int i = 0; i < depth; i++)
        md_raw(w, "  ");
    md_raw(w, "- ");
}

/* The fence is longer than any row of backticks inside. */
void md_code(struct md *w, struct str s)
{
    uint32_t longest = 0, row = 0;
    for (uint32_t i = 0; i < s.n; i++) {
        row = s.p[i] == '`' ? row + 1 : 0;
        longest = row > longest ? row : longest;
    }
    bool pad = s.n && (s.p[0] == '`' || s.p[s.n - 1] == '`' || (s.p[0] == ' ' && s.p[s.n - 1] == ' '));
    for (uint32_t i = 0; i <= longest; i++)
        buf_byte(w->out, '`');
    buf_put(w->out, pad ? " " : "");
    buf_str_put(w->out, s);
    buf_put(w->out, pad ? " " : "");
    for (uint32_t i = 0; i <= longest; i++)
        buf_byte(w->out, '`');
    w->line_start = false;
}

/* ---- narration -------------------------------------------------------------------------------------- */

enum { EMPHASIS = 1, STRONG = 2 };

/* A paragraph being written. */
struct inline_writer {
    struct md *w;
    int open[2]; /* marks in force, outermost first */
    int n_open;
    bool space; /* a space is due before the next text */
    const struct link *link;
};

static void put_space(struct inline_writer *p)
{
    if (p->space && !p->w->line_start)
        buf_byte(p->w->out, ' ');
    p->space = false;
}

static const char *mark_text(int mark)
{
    return mark == STRONG ? "**" : "*";
}

static void close_to(struct inline_writer *p, int depth)
{
    while (p->n_open > depth)
        md_raw(p->w, mark_text(p->open[--p->n_open]));
}

/* Changes the marks in force to `wanted`. */
static void set_marks(struct inline_writer *p, int wanted)
{
    int keep = 0;
    while (keep < p->n_open && (p->open[keep] & wanted))
        keep++;
    bool closed = p->n_open > keep;
    close_to(p, keep);
    int missing = wanted;
    for (int i = 0; i < keep; i++)
        missing &= ~p->open[i];
    /* Stars that close must not run together with stars that open. */
    if (closed && missing && !p->space)
        md_raw(p->w, "<!-- -->");
    put_space(p);
    for (int mark = STRONG; mark >= EMPHASIS; mark--) {
        if (missing & mark) {
            md_raw(p->w, mark_text(mark));
            p->open[p->n_open++] = mark;
        }
    }
}

static const char *verdict_remark(const struct claim *c)
{
    switch (c->verdict) {
    case VERDICT_HOLDS:
        return c->on_uncertain ? ": on an uncertain note" : "";
    case VERDICT_FAILS:
        return ": fails";
    case VERDICT_UNDECIDED:
        return ": undecided";
    }
    return "";
}

static void put_link_mark(struct inline_writer *p, const struct link *link)
{
    const struct numbered *number = md_number_of(p->w, link->thing);
    const char *remark = "";
    switch (link->kind) {
    case LINK_CLAIM:
        remark = link->thing ? verdict_remark(link->thing) : "";
        break;
    case LINK_FACT:
        remark = link->thing && !((const struct fact *)link->thing)->source ? ": no source given" : "";
        break;
    case LINK_CITE:
    case LINK_READING:
        break;
    case LINK_NONE:
    case LINK_PASSAGE:
    case LINK_FIGURE:
    case LINK_WEB:
        return;
    }
    if (number)
        md_printf(p->w, " \\[%c%u%s\\]", number->letter, number->number, remark);
}

static void put_url(struct md *w, struct str url)
{
    buf_byte(w->out, '<');
    for (uint32_t i = 0; i < url.n; i++) {
        if (strchr("<>\\", url.p[i]))
            buf_byte(w->out, '\\');
        buf_byte(w->out, url.p[i] == '\n' || url.p[i] == '\r' ? ' ' : url.p[i]);
    }
    buf_byte(w->out, '>');
}

static void end_link(struct inline_writer *p)
{
    if (!p->link)
        return;
    close_to(p, 0);
    if (p->link->kind == LINK_WEB) {
        md_raw(p->w, "](");
        put_url(p->w, p->link->target);
        md_raw(p->w, ")");
    } else {
        put_link_mark(p, p->link);
    }
    p->link = NULL;
}

static void end_paragraph(struct inline_writer *p)
{
    end_link(p);
    close_to(p, 0);
    p->space = false;
    md_gap(p->w);
}

static void put_text_run(struct inline_writer *p, const struct run *run)
{
    struct str text = run->text;
    if (run->link != p->link) {
        end_link(p);
        if (run->link && run->link->kind == LINK_WEB) {
            close_to(p, 0);
            put_space(p);
            md_raw(p->w, "[");
        }
        p->link = run->link;
    }
    if (!run->code) {
        /* Marks may not stand beside the white space inside them. */
        while (text.n && is_space(text.p[0])) {
            p->space = true;
            text = str_slice(text, 1, text.n);
        }
    }
    if (text.n == 0)
        return;
    bool trailing = false;
    while (!run->code && is_space(text.p[text.n - 1])) {
        trailing = true;
        text.n--;
    }
    set_marks(p, (run->emphasis ? EMPHASIS : 0) | (run->strong ? STRONG : 0));
    if (run->code)
        md_code(p->w, text);
    else
        md_text(p->w, text);
    p->space = trailing;
}

void md_prose(struct md *w, const struct prose *prose)
{
    struct inline_writer p = {.w = w};
    for (uint32_t i = 0; i < prose->n_runs; i++) {
        const struct run *run = &prose->runs[i];
        switch (run->kind) {
        case RUN_TEXT:
            put_text_run(&p, run);
            break;
        case RUN_BREAK:
            p.space = true;
            if (run->hard && !w->line_start) {
                close_to(&p, 0);
                md_raw(w, "\\\n");
                p.space = false;
            }
            break;
        case RUN_PARAGRAPH:
            end_paragraph(&p);
            break;
        case RUN_PICTURE:
            end_link(&p);
            close_to(&p, 0);
            put_space(&p);
            md_raw(w, "\\[picture: ");
            md_text(w, run->text.n || !run->link ? run->text : run->link->target);
            md_raw(w, "\\]");
            break;
        }
    }
    end_paragraph(&p);
}
