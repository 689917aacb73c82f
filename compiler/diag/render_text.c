#include "diag/render.h"
#include "diag/shown.h"

/* Cells before a source line: "   58 | ". */
enum { GUTTER = 8, INDENT = 3, CUT = 3 /* "..." */ };

/* A line is measured whole up to this many bytes; a longer one is cut in any case. */
enum { LINE_MEASURED = 4096 };

enum { MARKS_MAX = 32 };

/* A stretch to be marked on one line. */
struct mark {
    uint32_t file, line;
    uint32_t lo, hi; /* bytes into the line */
    uint32_t column; /* code points, from 1 */
    struct str label;
    bool primary;
};

/* The stretch of a line that is shown. */
struct excerpt {
    struct str line;
    uint32_t lo, hi; /* bytes into the line */
    bool cut_left, cut_right;
};

struct painter {
    struct buf *b;
    struct source_list *sources;
    const struct text_options *o;
    enum diag_level level;
};

/* ---- styles ------------------------------------------------------------------------------------ */

static const char *ansi_of(const char *style)
{
    static const char *const rows[][2] = {
        {"error", "\033[1;31m"}, {"warning", "\033[1;33m"}, {"undecided", "\033[1;35m"},
        {"note", "\033[1;34m"},  {"place", "\033[36m"},     {"help", "\033[32m"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(rows[i][0], style) == 0)
            return rows[i][1];
    return "";
}

static void style_open(const struct painter *p, const char *style)
{
    switch (p->o->style) {
    case STYLE_PLAIN: break;
    case STYLE_ANSI: buf_put(p->b, ansi_of(style)); break;
    case STYLE_TAGS: buf_printf(p->b, "<%s>", style); break;
    }
}

static void style_close(const struct painter *p, const char *style)
{
    switch (p->o->style) {
    case STYLE_PLAIN: break;
    case STYLE_ANSI: buf_put(p->b, "\033[0m"); break;
    case STYLE_TAGS: buf_printf(p->b, "</%s>", style); break;
    }
}

/* ---- text ---------------------------------------------------------------------------------------- */

void put_shown(struct buf *b, struct str text)
{
    for (uint32_t i = 0, cell = 0; i < text.n;) {
        struct glyph g = glyph_at(text, i, cell);
        buf_put(b, g.text);
        cell += g.cells;
        i += g.bytes;
    }
}

static uint32_t shown_cells(struct str text, uint32_t lo, uint32_t hi, uint32_t cell)
{
    uint32_t start = cell;
    while (lo < hi) {
        struct glyph g = glyph_at(text, lo, cell);
        cell += g.cells;
        lo += g.bytes;
    }
    return cell - start;
}

static void put_spaces(struct buf *b, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        buf_byte(b, ' ');
}

/* Words of a text, broken at spaces; the first line has `used` cells already, the others begin with `lead` and are indented. */
static void put_wrapped(const struct painter *p, struct str text, uint32_t used, const char *lead, uint32_t indent)
{
    uint32_t width = p->o->width, cell = used;
    bool first = true;
    for (uint32_t i = 0; i < text.n;) {
        uint32_t end = i;
        while (end < text.n && text.p[end] != ' ')
            end++;
        uint32_t cells = shown_cells(text, i, end, 0);
        if (!first && width && cell + 1 + cells > width) {
            buf_byte(p->b, '\n');
            buf_put(p->b, lead);
            put_spaces(p->b, indent);
            cell = (uint32_t)strlen(lead) + indent;
        } else if (!first) {
            buf_byte(p->b, ' ');
            cell++;
        }
        put_shown(p->b, str_slice(text, i, end));
        cell += cells;
        first = false;
        i = end < text.n ? end + 1 : end;
    }
    buf_byte(p->b, '\n');
}

/* ---- source lines --------------------------------------------------------------------------------- */

static struct excerpt excerpt_whole(struct str line)
{
    return (struct excerpt){.line = line, .hi = line.n};
}

/* Cells left for source text. */
static uint32_t line_room(const struct painter *p)
{
    enum { LEAST = 20 };
    return p->o->width > GUTTER + LEAST ? p->o->width - GUTTER : LEAST;
}

static bool line_fits(const struct painter *p, struct str line)
{
    if (p->o->width == 0)
        return true;
    return line.n <= LINE_MEASURED && shown_cells(line, 0, line.n, 0) <= line_room(p);
}

static uint32_t glyph_before(struct str line, uint32_t at)
{
    uint32_t i = at - 1;
    while (i > 0 && at - i < 4 && ((unsigned char)line.p[i] & 0xC0) == 0x80)
        i--;
    return i;
}

/* Cuts a long line around a mark: a third of what is left over goes before it. */
static struct excerpt excerpt_around(const struct painter *p, struct str line, const struct mark *m)
{
    uint32_t room = line_room(p) - 2 * CUT;
    struct excerpt e = {.line = line, .lo = m->lo, .hi = m->lo};
    uint32_t marked = 0;
    while (e.hi < m->hi && marked < room) {
        struct glyph g = glyph_at(line, e.hi, marked);
        marked += g.cells;
        e.hi += g.bytes;
    }
    uint32_t before = marked < room ? (room - marked) / 3 : 0, cells = 0;
    while (e.lo > 0) {
        uint32_t next = glyph_before(line, e.lo);
        cells += glyph_at(line, next, 0).cells;
        if (cells > before)
            break;
        e.lo = next;
    }
    e.cut_left = e.lo > 0;
    uint32_t cell = e.cut_left ? CUT : 0, end = line_room(p) - CUT;
    for (e.hi = e.lo; e.hi < line.n;) {
        struct glyph g = glyph_at(line, e.hi, cell);
        if (cell + g.cells > end)
            break;
        cell += g.cells;
        e.hi += g.bytes;
    }
    e.cut_right = e.hi < line.n;
    return e;
}

static void put_excerpt(const struct painter *p, const struct excerpt *e, uint32_t line)
{
    buf_printf(p->b, "%5u | ", line);
    uint32_t cell = 0;
    if (e->cut_left) {
        buf_put(p->b, "...");
        cell = CUT;
    }
    for (uint32_t i = e->lo; i < e->hi;) {
        struct glyph g = glyph_at(e->line, i, cell);
        buf_put(p->b, g.text);
        cell += g.cells;
        i += g.bytes;
    }
    if (e->cut_right)
        buf_put(p->b, "...");
    while (p->b->n && p->b->p[p->b->n - 1] == ' ')
        p->b->n--;
    buf_byte(p->b, '\n');
}

static void put_label(const struct painter *p, const struct mark *m, uint32_t cell)
{
    uint32_t cells = shown_cells(m->label, 0, m->label.n, 0);
    if (p->o->width == 0 || GUTTER + cell + 1 + cells <= p->o->width) {
        buf_byte(p->b, ' ');
        put_shown(p->b, m->label);
        buf_byte(p->b, '\n');
        return;
    }
    buf_put(p->b, "\n      |     ");
    put_wrapped(p, m->label, GUTTER + 4, "      | ", 4);
}

/* One row of carets: marks from left to right, up to one with a label or one that would overlap. Returns how many it took. */
static uint32_t put_carets(const struct painter *p, const struct excerpt *e, const struct mark *marks, uint32_t n)
{
    buf_put(p->b, "      | ");
    uint32_t start = e->cut_left ? CUT : 0, cell = 0, taken = 0;
    const struct mark *labelled = NULL;
    while (taken < n && !labelled) {
        const struct mark *m = &marks[taken];
        uint32_t lo = m->lo < e->hi ? m->lo : e->hi, hi = m->hi < e->hi ? m->hi : e->hi;
        uint32_t at = start + shown_cells(e->line, e->lo, lo, start);
        if (taken && at < cell)
            break;
        uint32_t cells = shown_cells(e->line, lo, hi, at);
        const char *style = m->primary ? diag_level_word(p->level) : "place";
        put_spaces(p->b, at - cell);
        style_open(p, style);
        for (uint32_t i = 0; i == 0 || i < cells; i++)
            buf_byte(p->b, m->primary ? '^' : '-');
        style_close(p, style);
        cell = at + (cells ? cells : 1);
        taken++;
        if (m->label.n)
            labelled = m;
    }
    if (labelled)
        put_label(p, labelled, cell);
    else
        buf_byte(p->b, '\n');
    return taken;
}

/* Marks of one line, sorted by place. */
static void put_line(const struct painter *p, const struct mark *marks, uint32_t n)
{
    struct str line = source_line(p->sources, marks->file, marks->line);
    if (line_fits(p, line)) {
        struct excerpt e = excerpt_whole(line);
        put_excerpt(p, &e, marks->line);
        for (uint32_t done = 0; done < n;)
            done += put_carets(p, &e, marks + done, n - done);
        return;
    }
    for (uint32_t i = 0; i < n; i++) {
        struct excerpt e = excerpt_around(p, line, &marks[i]);
        put_excerpt(p, &e, marks->line);
        put_carets(p, &e, &marks[i], 1);
    }
}

/* ---- places ------------------------------------------------------------------------------------------ */

static struct mark mark_of(struct source_list *sources, struct span where, struct str label, bool primary)
{
    struct position at = source_position(sources, where.file, where.lo);
    uint32_t start = source_line_offset(sources, where.file, at.line);
    uint32_t n = source_line(sources, where.file, at.line).n;
    struct mark m = {.file = where.file, .line = at.line, .column = at.column, .label = label, .primary = primary};
    m.lo = where.lo > start ? where.lo - start : 0;
    m.hi = where.hi > start ? where.hi - start : 0;
    if (m.lo > n)
        m.lo = n;
    if (m.hi > n)
        m.hi = n;
    return m;
}

static bool same_line(const struct mark *a, const struct mark *b)
{
    return a->file == b->file && a->line == b->line;
}

/* Lines come in the order in which they are first spoken of, the marks of a line from left to right. */
static void sort_marks(struct mark *marks, uint32_t n)
{
    for (uint32_t i = 1; i < n; i++) {
        struct mark m = marks[i];
        uint32_t group = 0;
        while (group < i && !same_line(&marks[group], &m))
            group++;
        uint32_t at = i;
        if (group < i)
            for (at = group; at < i && same_line(&marks[at], &m) && marks[at].lo <= m.lo;)
                at++;
        memmove(&marks[at + 1], &marks[at], (i - at) * sizeof *marks);
        marks[at] = m;
    }
}

static void put_places(const struct painter *p, const struct diag *d)
{
    struct mark marks[MARKS_MAX];
    uint32_t n = 0;
    marks[n++] = mark_of(p->sources, d->where, d->label, true);
    for (const struct diag_part *part = d->parts; part && n < MARKS_MAX; part = part->next)
        if (part->kind == PART_LABEL)
            marks[n++] = mark_of(p->sources, part->where, part->text, false);
    sort_marks(marks, n);
    uint32_t file = d->where.file;
    for (uint32_t i = 0, next; i < n; i = next) {
        for (next = i + 1; next < n && same_line(&marks[i], &marks[next]);)
            next++;
        if (marks[i].file != file) {
            buf_put(p->b, "   in ");
            put_shown(p->b, p->sources->items[marks[i].file].name);
            buf_printf(p->b, ":%u:%u\n", marks[i].line, marks[i].column);
        }
        file = marks[i].file;
        put_line(p, marks + i, next - i);
    }
}

/* ---- notes, help, fixes -------------------------------------------------------------------------------- */

static void put_note(const struct painter *p, struct str text)
{
    put_spaces(p->b, INDENT);
    put_wrapped(p, text, INDENT, "", INDENT);
}

static void put_advice(const struct painter *p, const char *word, struct str text)
{
    uint32_t indent = INDENT + (uint32_t)strlen(word) + 2;
    put_spaces(p->b, INDENT);
    style_open(p, "help");
    buf_put(p->b, word);
    style_close(p, "help");
    buf_put(p->b, ": ");
    put_wrapped(p, text, indent, "", indent);
}

static void put_fix(const struct painter *p, const struct diag_part *fix)
{
    struct buf words = {0};
    struct str old = source_text(p->sources, fix->where);
    enum { QUOTED = 60 }; /* bytes of old text that are quoted */
    if (old.n == 0)
        buf_printf(&words, "insert `%.*s`", STR_ARG(fix->text));
    else if (old.n > QUOTED)
        buf_printf(&words, "write `%.*s` here", STR_ARG(fix->text));
    else if (fix->text.n == 0)
        buf_printf(&words, "take out `%.*s`", STR_ARG(old));
    else
        buf_printf(&words, "write `%.*s` instead of `%.*s`", STR_ARG(fix->text), STR_ARG(old));
    put_advice(p, fix->safe ? "fix" : "possible fix", buf_str(&words));
    buf_free(&words);
}

static bool text_holds(struct str text, struct str part)
{
    for (uint32_t i = 0; part.n > 0 && i + part.n <= text.n; i++)
        if (memcmp(text.p + i, part.p, part.n) == 0)
            return true;
    return false;
}

/* A help that has the replacement in its words says all that the fix would. */
static bool is_told(const struct diag *d, const struct diag_part *fix)
{
    for (const struct diag_part *part = d->parts; part; part = part->next)
        if ((part->kind == PART_HELP || part->kind == PART_NOTE) && text_holds(part->text, fix->text))
            return true;
    return false;
}

void render_text(struct buf *b, struct source_list *sources, const struct diag *d, const struct text_options *o)
{
    const struct painter p = {b, sources, o, d->level};
    struct position at = source_position(sources, d->where.file, d->where.lo);
    const char *level = diag_level_word(d->level);
    put_shown(b, sources->items[d->where.file].name);
    buf_printf(b, ":%u:%u: ", at.line, at.column);
    style_open(&p, level);
    buf_printf(b, "%s[%s]", level, diag_info(d->code)->name);
    style_close(&p, level);
    buf_put(b, ": ");
    put_shown(b, d->message);
    buf_byte(b, '\n');
    put_places(&p, d);
    for (const struct diag_part *part = d->parts; part; part = part->next) {
        switch (part->kind) {
        case PART_LABEL: break;
        case PART_NOTE: put_note(&p, part->text); break;
        case PART_HELP: put_advice(&p, "help", part->text); break;
        case PART_FIX:
            if (!is_told(d, part))
                put_fix(&p, part);
            break;
        }
    }
}
