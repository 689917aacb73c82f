#include "syntax/format.h"

#include "base/array.h"
#include "parse.h"
#include "syntax/parser.h"

enum { INDENT = 2 };

/* A line that begins with a token, and how far in it goes. */
struct line_indent {
    uint32_t start;  /* offset of that token */
    uint32_t blanks;
};

/* Narration: its lines are kept. */
struct kept {
    uint32_t lo, hi;
};

struct layout {
    struct line_indent *lines;
    uint32_t n_lines;
    struct kept *kept;
    uint32_t n_kept;
};

/* Where the line of an offset begins; a byte-order mark goes. */
static uint32_t line_start(struct str text, uint32_t at)
{
    while (at > 0 && text.p[at - 1] != '\n' && text.p[at - 1] != '\r')
        at--;
    return at == 0 && str_starts(text, STR("\xEF\xBB\xBF")) ? 3 : at;
}

static bool begins_line(struct str text, uint32_t at)
{
    uint32_t i = line_start(text, at);
    while (i < at && (text.p[i] == ' ' || text.p[i] == '\t'))
        i++;
    return i == at;
}

/* Old and new columns of the line and the statement that are being laid out. */
struct columns {
    uint32_t line_old, line_new;
    uint32_t statement_old, statement_new;
};

/* The new column of a line's first token. A line that goes on stands as far behind its statement as the author put it, and
 * at least INDENT: nearer it would begin a statement of its own. */
static uint32_t line_column(const struct columns *c, uint32_t depth, bool goes_on, uint32_t old)
{
    if (!goes_on)
        return depth * INDENT;
    uint32_t behind = old > c->statement_old + INDENT ? old - c->statement_old : INDENT;
    return c->statement_new + behind;
}

static void layout_read(struct arena *a, uint32_t file, struct str text, struct layout *out)
{
    struct diag_list silent = {.arena = a}; /* the parser has reported what there is to report */
    struct scanner s;
    scan_start(&s, file, text, &silent);
    uint32_t depth = 0;
    bool begins = true;
    struct columns c = {0};
    for (struct token t = scan_next(&s); t.kind; t = scan_next(&s)) {
        if (t.kind == TOK_PROSE)
            ARRAY_PUSH(a, out->kept, out->n_kept, (struct kept){t.lo, t.hi});
        depth -= t.kind == TOK_RBRACE && depth > 0;
        uint32_t old = t.lo - line_start(text, t.lo);
        if (t.kind != TOK_PROSE && t.hi > t.lo && begins_line(text, t.lo)) {
            bool goes_on = !begins && t.kind != TOK_RBRACE && t.kind != TOK_LBRACE;
            c.line_new = line_column(&c, depth, goes_on, old);
            c.line_old = old;
            ARRAY_PUSH(a, out->lines, out->n_lines, (struct line_indent){t.lo, c.line_new});
        }
        if (begins && t.hi > t.lo) {
            c.statement_old = old;
            c.statement_new = c.line_new + (old - c.line_old);
        }
        depth += t.kind == TOK_LBRACE;
        begins = t.kind == TOK_END || t.kind == TOK_LBRACE;
    }
}

static uint32_t line_end(struct str text, uint32_t at)
{
    while (at < text.n && text.p[at] != '\n' && text.p[at] != '\r')
        at++;
    return at;
}

static uint32_t next_line(struct str text, uint32_t end)
{
    if (end + 1 < text.n && text.p[end] == '\r' && text.p[end + 1] == '\n')
        return end + 2;
    return end < text.n ? end + 1 : end;
}

/* Narration as it stands, line ends as LF. */
static void put_kept(struct str text, struct kept k, struct buf *out)
{
    for (uint32_t at = k.lo; at < k.hi;) {
        uint32_t end = line_end(text, at);
        if (end >= k.hi) {
            buf_bytes(out, text.p + at, k.hi - at);
            return;
        }
        buf_bytes(out, text.p + at, end - at);
        buf_byte(out, '\n');
        at = next_line(text, end);
    }
}

/* `tail`: narration begins on this line, and two blanks at its end are a line break there. */
static void put_line(struct str text, uint32_t from, uint32_t end, uint32_t blanks, bool tail, struct buf *out)
{
    while (!tail && end > from && (text.p[end - 1] == ' ' || text.p[end - 1] == '\t'))
        end--;
    if (end > from)
        buf_printf(out, "%*s%.*s", (int)blanks, "", (int)(end - from), text.p + from);
    buf_byte(out, '\n');
}

static void layout_write(struct str text, const struct layout *l, struct buf *out)
{
    uint32_t at = str_starts(text, STR("\xEF\xBB\xBF")) ? 3 : 0, line = 0, kept = 0, empty = 0;
    while (at < text.n) {
        uint32_t end = line_end(text, at), from = at;
        while (from < end && (text.p[from] == ' ' || text.p[from] == '\t'))
            from++;
        while (line < l->n_lines && l->lines[line].start < from)
            line++;
        /* a line with a comment only stands with what follows it */
        uint32_t blanks = line < l->n_lines ? l->lines[line].blanks : 0;
        if (line < l->n_lines && text.p[from] == '/' && text.p[l->lines[line].start] == '}')
            blanks += INDENT;
        empty = from == end ? empty + 1 : 0;
        while (kept < l->n_kept && l->kept[kept].hi < at)
            kept++;
        bool opens = kept < l->n_kept && l->kept[kept].lo > at && l->kept[kept].lo <= next_line(text, end) && l->kept[kept].hi > end;
        if (empty < 2 && (from < end || out->n))
            put_line(text, from, end, blanks, opens && l->kept[kept].lo <= end, out);
        at = next_line(text, end);
        if (opens) {
            put_kept(text, (struct kept){at, l->kept[kept].hi}, out);
            at = l->kept[kept].hi;
            empty = 0;
            kept++;
        }
    }
    while (out->n > 1 && out->p[out->n - 1] == '\n' && out->p[out->n - 2] == '\n')
        out->n--;
}

bool format_text(struct arena *a, uint32_t file, struct str text, struct diag_list *diags, struct buf *out)
{
    struct parser p;
    uint32_t errors = diags->errors;
    parse_text(&p, a, file, text, diags);
    if (diags->errors > errors)
        return false;
    struct layout l = {0};
    layout_read(a, file, text, &l);
    layout_write(text, &l, out);
    return true;
}
