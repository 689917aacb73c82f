#include "sema/locate.h"

#include "base/normal.h"

#include <cmark.h>
#include <utf8proc.h>

/* How far ahead a text is looked for: what lies between is markup, and a miss must stay cheap. */
enum { WINDOW = 2048, ENTITY_MAX = 40 };

static char source_at(const struct locator *l, uint32_t at)
{
    return at < l->source.n ? l->source.p[at] : '\0';
}

static bool is_punctuation(char c)
{
    return (c >= '!' && c <= '/') || (c >= ':' && c <= '@') || (c >= '[' && c <= '`') ||
           (c >= '{' && c <= '~');
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* ---- one text at one place ----------------------------------------------------------------------------- */

/* What `&eacute;` stands for, asked of cmark itself; empty if it is no entity. Its length in the source
 * into *n. */
static struct str entity_read(struct locator *l, uint32_t at, uint32_t *n)
{
    uint32_t end = at + 1;
    while (end < at + ENTITY_MAX &&
           (source_at(l, end) == '#' || (source_at(l, end) >= '0' && source_at(l, end) <= '9') ||
            (source_at(l, end) >= 'A' && source_at(l, end) <= 'Z') ||
            (source_at(l, end) >= 'a' && source_at(l, end) <= 'z')))
        end++;
    *n = end + 1 - at;
    if (source_at(l, end) != ';')
        return STR("");
    struct str written = str_slice(l->source, at, end + 1), meant = STR("");
    cmark_node *document = cmark_parse_document(written.p, written.n, CMARK_OPT_DEFAULT);
    cmark_node *paragraph = cmark_node_first_child(document);
    cmark_node *text = paragraph ? cmark_node_first_child(paragraph) : NULL;
    const char *literal = text ? cmark_node_get_literal(text) : NULL;
    if (literal && !str_is(written, literal)) {
        size_t length = strlen(literal);
        meant = (struct str){arena_copy(l->arena, literal, length), (uint32_t)length};
    }
    cmark_node_free(document);
    return meant;
}

/* In a code span a line end is a blank; the next line may begin with the marks of its quotation or list. */
static uint32_t next_line(const struct locator *l, uint32_t at)
{
    at += source_at(l, at) == '\r' && source_at(l, at + 1) == '\n' ? 2 : 1;
    while (source_at(l, at) == ' ' || source_at(l, at) == '\t' || source_at(l, at) == '>')
        at++;
    return at;
}

struct matcher {
    struct locator *l;
    struct str text;
    bool code;
    uint32_t *map; /* NULL: not wanted */
    uint32_t at;   /* in the source */
    uint32_t i;    /* in the text */
    bool literal;  /* byte for byte so far */
};

static void match_step(struct matcher *m, uint32_t bytes, uint32_t source_bytes)
{
    for (uint32_t k = 0; m->map && k < bytes; k++)
        m->map[m->i + k] = m->at;
    m->i += bytes;
    m->at += source_bytes;
    m->literal = m->literal && bytes == source_bytes;
}

static bool match_entity(struct matcher *m, struct str meant, uint32_t n)
{
    if (!str_starts(str_slice(m->text, m->i, m->text.n), meant))
        return false;
    match_step(m, meant.n, n);
    m->literal = false;
    return true;
}

/* Does the text stand at m->at? */
static bool match_run(struct matcher *m)
{
    m->i = 0;
    m->literal = true;
    while (m->i < m->text.n) {
        char c = m->text.p[m->i], s = source_at(m->l, m->at);
        if (!m->code && s == '\\' && is_punctuation(source_at(m->l, m->at + 1))) {
            if (source_at(m->l, m->at + 1) != c)
                return false;
            match_step(m, 1, 2);
            continue;
        }
        if (!m->code && s == '&') {
            uint32_t n;
            struct str meant = entity_read(m->l, m->at, &n);
            if (meant.n) {
                if (!match_entity(m, meant, n))
                    return false;
                continue;
            }
        }
        if (m->code && c == ' ' && (s == '\n' || s == '\r'))
            match_step(m, 1, next_line(m->l, m->at) - m->at);
        else if (s == c && m->at < m->l->source.n)
            match_step(m, 1, 1);
        else
            return false;
    }
    return true;
}

/* Can a text with this first byte begin here? */
static bool may_begin(const struct matcher *m, uint32_t at)
{
    char c = m->text.p[0], s = source_at(m->l, at);
    if (m->code)
        return s == c || (c == ' ' && (s == '\n' || s == '\r'));
    return s == c || s == '&' || (s == '\\' && source_at(m->l, at + 1) == c);
}

/* Most texts stand in the source byte for byte, and hold nothing that markup would write otherwise. */
static bool stands_literally(const struct locator *l, struct str text, uint32_t lo)
{
    return str_starts((struct str){l->source.p + lo, l->source.n - lo}, text) && !memchr(text.p, '\\', text.n) &&
           !memchr(text.p, '&', text.n);
}

static struct located match_at(struct locator *l, struct str text, bool code, uint32_t lo)
{
    if (lo < l->source.n && stands_literally(l, text, lo))
        return (struct located){true, lo, lo + text.n, NULL};
    struct matcher m = {.l = l, .text = text, .code = code, .at = lo};
    if (!may_begin(&m, lo) || !match_run(&m))
        return (struct located){false, lo, lo, NULL};
    struct located found = {true, lo, m.at, NULL};
    if (!m.literal) {
        m.map = ARENA_NEW_ARRAY(l->arena, uint32_t, text.n + 1);
        m.at = lo;
        match_run(&m);
        m.map[text.n] = m.at;
        found.map = m.map;
    }
    return found;
}

struct located locate_text(struct locator *l, struct str text, bool code)
{
    for (uint32_t lo = l->at; text.n && lo < l->source.n && lo < l->at + WINDOW; lo++) {
        struct located found = match_at(l, text, code, lo);
        if (!found.found)
            continue;
        l->at = found.hi;
        return found;
    }
    return (struct located){false, l->at, l->at, NULL};
}

/* ---- targets
 * --------------------------------------------------------------------------------------------- */

/* Behind a target: its title and the closing `)`. */
static uint32_t link_end(const struct locator *l, uint32_t at)
{
    at += source_at(l, at) == '>';
    while (is_space(source_at(l, at)))
        at++;
    char open = source_at(l, at);
    if (open == '"' || open == '\'' || open == '(') {
        char close = open == '(' ? ')' : open;
        for (at++; at < l->source.n && source_at(l, at) != close; at++)
            at += source_at(l, at) == '\\';
        at++;
    }
    while (is_space(source_at(l, at)))
        at++;
    return at < l->source.n ? at + (source_at(l, at) == ')') : l->source.n;
}

/* The target in `](target "title")`, whose `]` stands at `at`. */
static struct located target_at(struct locator *l, struct str target, uint32_t at)
{
    if (source_at(l, at) != ']' || source_at(l, at + 1) != '(')
        return (struct located){false, at, at, NULL};
    at += 2;
    while (is_space(source_at(l, at)))
        at++;
    at += source_at(l, at) == '<';
    if (!target.n)
        return (struct located){true, at, at, NULL};
    return match_at(l, target, false, at);
}

struct located locate_target(struct locator *l, struct str target)
{
    uint32_t at = l->at;
    while (at < l->source.n && (is_space(source_at(l, at)) ||
                                memchr("*_`[", source_at(l, at), 4))) /* ends of emphasis and code */
        at++;
    struct located found = target_at(l, target, at);
    if (found.found) {
        l->at = link_end(l, found.hi);
        return found;
    }
    if (source_at(l, at) == '>')
        l->at = at + 1;
    if (source_at(l, at) == ']') {
        l->at = at + 1;
        if (source_at(l, at + 1) == '[')
            for (l->at++; l->at < l->source.n && source_at(l, l->at - 1) != ']'; l->at++)
                ;
    }
    return (struct located){false, l->at, l->at, NULL};
}

struct located locate_picture(struct locator *l, struct str target)
{
    for (uint32_t at = l->at; at < l->source.n && at < l->at + WINDOW; at++) {
        struct located found = target_at(l, target, at);
        if (!found.found)
            continue;
        l->at = link_end(l, found.hi);
        return found;
    }
    return (struct located){false, l->at, l->at, NULL};
}

/* ---- normal forms
 * ------------------------------------------------------------------------------------------ */

static uint32_t place_of(const struct located *at, uint32_t i)
{
    return at->map ? at->map[i] : at->lo + i;
}

/* A letter with its accents (a grapheme cluster, Unicode Standard Annex 29): its normal form stands for
 * itself. */
static uint32_t cluster_end(struct str text, uint32_t lo)
{
    utf8proc_int32_t before = 0, next;
    for (uint32_t hi = lo; hi < text.n;) {
        utf8proc_ssize_t n =
            utf8proc_iterate((const utf8proc_uint8_t *)text.p + hi, (utf8proc_ssize_t)(text.n - hi), &next);
        if (n <= 0)
            return hi + 1;
        if (hi > lo && utf8proc_grapheme_break(before, next))
            return hi;
        before = next;
        hi += (uint32_t)n;
    }
    return text.n;
}

const uint32_t *locate_normal(struct locator *l, const struct located *at, struct str text, struct str normal)
{
    if (!at->found || (!at->map && str_eq(text, normal)))
        return NULL;
    uint32_t *map = ARENA_NEW_ARRAY(l->arena, uint32_t, normal.n + 1), n = 0;
    for (uint32_t lo = 0; lo < text.n;) {
        uint32_t hi = cluster_end(text, lo);
        struct str part = text_normal(l->arena, str_slice(text, lo, hi));
        for (uint32_t k = 0; k < part.n && n < normal.n;
             k++) /* where both have as many bytes, byte for byte */
            map[n++] = place_of(at, part.n == hi - lo ? lo + k : lo);
        lo = hi;
    }
    while (n <= normal.n)
        map[n++] = at->hi;
    return map;
}
