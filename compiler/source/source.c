#include "source/source.h"

#include <utf8proc.h>

uint32_t source_add(struct source_list *list, struct str name, struct str text, bool builtin)
{
    if (list->n == list->cap) {
        uint32_t cap = list->cap ? list->cap * 2 : 8;
        struct source *items = ARENA_NEW_ARRAY(list->arena, struct source, cap);
        if (list->n)
            memcpy(items, list->items, list->n * sizeof *items);
        list->items = items;
        list->cap = cap;
    }
    list->items[list->n] = (struct source){.name = name, .text = text, .builtin = builtin};
    return list->n++;
}

/* The byte after the line end that begins at i: LF, CRLF or CR. */
static uint32_t line_end_skip(struct str text, uint32_t i)
{
    return text.p[i] == '\r' && i + 1 < text.n && text.p[i + 1] == '\n' ? i + 2 : i + 1;
}

static bool is_line_end(char c)
{
    return c == '\n' || c == '\r';
}

/* A byte-order mark is not part of line 1: columns are those of the same file without it. */
static uint32_t text_start(struct str text)
{
    return str_starts(text, STR("\xEF\xBB\xBF")) ? 3 : 0;
}

/* Offset behind the next line end at or after `at`; 0 at the end of the text. `mixed`: CR occurs. */
static uint32_t next_line(struct str text, uint32_t at, bool mixed)
{
    if (!mixed) {
        const char *p = at < text.n ? memchr(text.p + at, '\n', text.n - at) : NULL;
        return p ? (uint32_t)(p - text.p) + 1 : 0;
    }
    while (at < text.n && !is_line_end(text.p[at]))
        at++;
    return at < text.n ? line_end_skip(text, at) : 0;
}

static void index_lines(struct source_list *list, struct source *s)
{
    if (s->lines)
        return;
    bool mixed = s->text.n && memchr(s->text.p, '\r', s->text.n);
    uint32_t n = 1;
    for (uint32_t at = next_line(s->text, 0, mixed); at; at = next_line(s->text, at, mixed))
        n++;
    s->lines = ARENA_NEW_ARRAY(list->arena, uint32_t, n);
    s->lines[0] = text_start(s->text);
    for (uint32_t at = next_line(s->text, 0, mixed); at; at = next_line(s->text, at, mixed))
        s->lines[++s->n_lines] = at;
    s->n_lines++;
}

/* Index of the line that holds an offset. */
static uint32_t line_of(const struct source *s, uint32_t offset)
{
    uint32_t lo = 0, hi = s->n_lines; /* lines[lo] <= offset < lines[hi] */
    while (hi - lo > 1) {
        uint32_t mid = lo + (hi - lo) / 2;
        if (s->lines[mid] <= offset)
            lo = mid;
        else
            hi = mid;
    }
    return lo;
}

/* How long the first character is; a byte that is not UTF-8 counts as one. */
static uint32_t character_bytes(const char *p, uint32_t n)
{
    utf8proc_int32_t c;
    if ((unsigned char)p[0] < 0x80)
        return 1;
    utf8proc_ssize_t used = utf8proc_iterate((const utf8proc_uint8_t *)p, n, &c);
    return used > 0 ? (uint32_t)used : 1;
}

static uint32_t code_points(const char *p, uint32_t n)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < n; count++)
        i += character_bytes(p + i, n - i);
    return count;
}

/* Marks stand so far apart: one at the first character that begins in each stretch. */
enum { MARK_BYTES = 1024 };

static void mark_characters(struct source_list *list, struct source *s)
{
    s->marks = ARENA_NEW_ARRAY(list->arena, struct source_mark, s->text.n / MARK_BYTES + 1);
    uint32_t n = 0, count = 0;
    for (uint32_t at = 0; at < s->text.n;) {
        if (at >= n * MARK_BYTES)
            s->marks[n++] = (struct source_mark){at, count};
        at += character_bytes(s->text.p + at, s->text.n - at);
        count++;
    }
}

/* Characters before an offset. */
static uint32_t characters_before(const struct source *s, uint32_t offset)
{
    const struct source_mark *mark = &s->marks[offset / MARK_BYTES];
    /* Before the first character of its stretch, or in a last stretch where none begins. */
    if (mark > s->marks && (mark->offset > offset || mark->offset == 0))
        mark--;
    return mark->count + code_points(s->text.p + mark->offset, offset - mark->offset);
}

/* A line of a million notes may have as many mistakes: its characters are counted once. */
static uint32_t characters_between(struct source_list *list, struct source *s, uint32_t from, uint32_t to)
{
    if (to - from <= MARK_BYTES)
        return code_points(s->text.p + from, to - from);
    if (!s->marks)
        mark_characters(list, s);
    return characters_before(s, to) - characters_before(s, from);
}

struct position source_position(struct source_list *list, uint32_t file, uint32_t offset)
{
    struct source *s = &list->items[file];
    index_lines(list, s);
    if (offset > s->text.n)
        offset = s->text.n;
    uint32_t line = line_of(s, offset);
    uint32_t start = s->lines[line];
    uint32_t column = offset > start ? characters_between(list, s, start, offset) : 0;
    return (struct position){line + 1, column + 1};
}

uint32_t source_line_offset(struct source_list *list, uint32_t file, uint32_t line)
{
    struct source *s = &list->items[file];
    index_lines(list, s);
    if (line == 0)
        line = 1;
    return line <= s->n_lines ? s->lines[line - 1] : s->text.n;
}

struct str source_line(struct source_list *list, uint32_t file, uint32_t line)
{
    struct str text = list->items[file].text;
    uint32_t lo = source_line_offset(list, file, line), hi = lo;
    while (hi < text.n && !is_line_end(text.p[hi]))
        hi++;
    return str_slice(text, lo, hi);
}

struct str source_text(const struct source_list *list, struct span where)
{
    return str_slice(list->items[where.file].text, where.lo, where.hi);
}
