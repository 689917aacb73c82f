#include "syntax/scan.h"

#include "parse.h"

/* ---- tokens of the rules, mended ------------------------------------------------------------- */

static uint32_t offset(const struct scanner *s, const char *p)
{
    return (uint32_t)(p - s->lexer.text);
}

static struct span span_of(const struct scanner *s, uint32_t lo, uint32_t hi)
{
    return (struct span){s->file, lo, hi};
}

/* Tabs count as one column: only equality and order of indents of one file matter. */
static uint32_t column_of(const struct lexer *lx)
{
    return (uint32_t)(lx->start - lx->line_start);
}

/* Of a statement that cannot be read, the first slip is told. */
static bool is_told(struct scanner *s, uint32_t hi)
{
    s->odd = hi;
    return s->lenient;
}

static void report_odd(struct scanner *s, uint32_t lo, uint32_t hi)
{
    if (is_told(s, hi))
        return;
    struct diag *d =
        diag_add(s->diags, DIAG_ODD_CHARACTER, span_of(s, lo, hi),
                 "`%.*s` has no meaning outside texts and narration", (int)(hi - lo), s->lexer.text + lo);
    diag_help(s->diags, d, "write it in words, or put it in a text in double quotes");
}

static void report_curled(struct scanner *s, uint32_t lo, uint32_t hi)
{
    if (is_told(s, hi))
        return;
    struct diag *d = diag_add(s->diags, DIAG_ODD_CHARACTER, span_of(s, lo, hi),
                              "this text stands in curly quotation marks");
    diag_help(s->diags, d, "write straight ones, \"…\": a word processor has bent them");
}

static void report_unclosed_string(struct scanner *s, uint32_t lo, uint32_t hi)
{
    if (is_told(s, hi))
        return;
    struct diag *d = diag_add(s->diags, DIAG_UNCLOSED_STRING, span_of(s, lo, hi),
                              "the text in double quotes does not end on its line");
    diag_help(s->diags, d, "end it with `\"`; a quotation mark inside a text is written `\\\"`");
    diag_fix(s->diags, d, span_of(s, hi, hi), STR("\""), false);
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

/* An open text reaches to the end of its line. The braces there close the blocks that were opened on this
 * line, and are given back. */
static uint32_t before_braces(struct scanner *s, uint32_t lo, uint32_t hi)
{
    uint32_t line = offset(s, s->lexer.line_start), end = hi;
    for (uint32_t depth = s->depth; depth > 0 && s->blocks[depth - 1].open >= line; depth--) {
        uint32_t at = end;
        while (at > lo + 1 && is_blank(s->lexer.text[at - 1]))
            at--;
        if (s->lexer.text[at - 1] != '}')
            break;
        end = at - 1;
    }
    if (end == hi)
        return hi;
    s->lexer.cursor = s->lexer.text + end;
    while (end > lo + 1 && is_blank(s->lexer.text[end - 1]))
        end--;
    return end;
}

/* Fills s->ahead with the next token that means something. */
static void look_ahead(struct scanner *s)
{
    if (s->has_ahead)
        return;
    struct lexer *lx = &s->lexer;
    uint32_t bad_lo = 0, bad_hi = 0;
    for (;;) {
        int kind = lex(lx);
        uint32_t lo = offset(s, lx->start), hi = offset(s, lx->cursor);
        if (kind == TOK_BAD) {
            if (bad_hi != lo || bad_hi == 0) {
                if (bad_hi)
                    report_odd(s, bad_lo, bad_hi);
                bad_lo = lo;
            }
            bad_hi = hi;
            continue;
        }
        if (bad_hi)
            report_odd(s, bad_lo, bad_hi);
        if (kind == TOK_CURLED) {
            report_curled(s, lo, hi);
            kind = TOK_STRING;
        }
        if (kind == TOK_UNCLOSED) {
            hi = before_braces(s, lo, hi);
            report_unclosed_string(s, lo, hi);
            kind = TOK_STRING;
        }
        s->ahead = (struct token){kind, lo, hi};
        s->ahead_fresh = lx->fresh_line;
        s->ahead_column = column_of(lx);
        lx->fresh_line = false;
        s->has_ahead = true;
        return;
    }
}

static struct token take(struct scanner *s)
{
    s->has_ahead = false;
    return s->ahead;
}

static void enqueue(struct scanner *s, int kind, uint32_t lo, uint32_t hi)
{
    s->queue[s->queued++] = (struct token){kind, lo, hi};
}

static struct token end_statement(struct scanner *s)
{
    s->in_statement = false;
    s->say = false;
    return (struct token){TOK_END, s->ahead.lo, s->ahead.lo};
}

/* ---- blocks ------------------------------------------------------------------------------------ */

/* Statements that stand at the top level only. */
static bool is_top_keyword(int keyword, int block)
{
    switch (keyword) {
    case TOK_EPISODE: case TOK_LIBRARY: case TOK_CONVENTIONS: case TOK_WORK: case TOK_RECORDING:
    case TOK_PASSAGE: case TOK_CLAIM: case TOK_CITE: case TOK_FACT: case TOK_READING: case TOK_SPELL:
    case TOK_ERRATA: case TOK_RECUT: case TOK_AT: case TOK_THEN: case TOK_INSTRUMENT:
        return true;
    case TOK_PROFILE:
        return block != TOK_CONVENTIONS;
    }
    return false;
}

static bool is_passage_keyword(int keyword)
{
    return keyword == TOK_PART || keyword == TOK_HARMONY || keyword == TOK_HEARD ||
           keyword == TOK_BASIS || keyword == TOK_FIGURE;
}

/* Does the statement that begins now show that the innermost block was meant to be closed? */
static bool shows_missing_brace(const struct scanner *s)
{
    if (s->depth == 0 || !s->ahead_fresh)
        return false;
    const struct scan_block *b = &s->blocks[s->depth - 1];
    if (s->ahead_column > b->indent)
        return false;
    return is_top_keyword(s->ahead.kind, b->keyword) || (s->depth > 1 && is_passage_keyword(s->ahead.kind));
}

static const char *keyword_text(int token)
{
    static const struct {
        int token;
        const char *word;
    } words[] = {
#define KEYWORD(id, word) {TOK_##id, word},
#include "tokens.def"
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i].token == token)
            return words[i].word;
    return NULL;
}

static struct token close_missing(struct scanner *s)
{
    const struct scan_block *b = &s->blocks[--s->depth];
    const char *word = keyword_text(b->keyword);
    struct diag *d =
        diag_add(s->diags, DIAG_UNCLOSED_BLOCK, span_of(s, b->open, b->open + 1),
                 word ? "the block of this `%s` is not closed" : "this block is not closed", word);
    diag_label(s->diags, d, "opened here");
    if (s->ahead.kind)
        diag_place(s->diags, d, span_of(s, s->ahead.lo, s->ahead.hi), "taken as closed before this");
    diag_help(s->diags, d, "write `}` where it ends");
    enqueue(s, TOK_END, s->ahead.lo, s->ahead.lo);
    return (struct token){TOK_RBRACE, s->ahead.lo, s->ahead.lo};
}

/* No token has this kind. */
enum { SKIPPED = -1 };

static struct token open_block(struct scanner *s)
{
    struct token t = take(s);
    if (s->depth == SCAN_DEPTH_MAX) {
        if (!s->too_deep)
            diag_add(s->diags, DIAG_TOO_DEEP, span_of(s, t.lo, t.hi), "blocks nest more than %d deep",
                     SCAN_DEPTH_MAX);
        s->too_deep = true;
        s->passed_over++;
        return (struct token){.kind = SKIPPED};
    }
    s->blocks[s->depth++] = (struct scan_block){t.lo, s->keyword, s->indent};
    enqueue(s, TOK_END, t.hi,
            t.hi); /* the parser reduces on what follows: this makes it begin the block's list at once */
    s->in_statement = false;
    s->say = false;
    return t;
}

static struct token close_block(struct scanner *s)
{
    struct token t = take(s);
    if (s->passed_over) {
        s->passed_over--;
        return (struct token){.kind = SKIPPED};
    }
    if (s->depth) {
        const struct scan_block *b = &s->blocks[--s->depth];
        if (s->lenient) { /* the statement that cannot be read goes on behind its block, as far as it is
                             indented */
            s->in_statement = true;
            s->keyword = b->keyword;
            s->indent = b->indent;
        } else {
            enqueue(s, TOK_END, t.hi, t.hi);
        }
        return t;
    }
    if (!s->lenient && !s->stray)
        diag_add(s->diags, DIAG_STRAY_BRACE, span_of(s, t.lo, t.hi), "this `}` closes no block");
    s->stray = true;
    return (struct token){.kind = SKIPPED};
}

/* While the parser recovers: does this brace close the very statement that cannot be read, whose own `{`
 * is missing or was not understood? It stands on a line of its own under the statement, or on its line. */
static bool closes_broken(const struct scanner *s)
{
    if (!s->lenient || s->ahead.kind != TOK_RBRACE)
        return false;
    if (s->ahead_fresh)
        return s->ahead_column == s->indent;
    uint32_t line = offset(s, s->lexer.line_start);
    return s->depth == 0 || s->blocks[s->depth - 1].open < line;
}

/* ---- narration ---------------------------------------------------------------------------------- */

static const char *line_end(const char *p, const char *limit)
{
    const char *feed = memchr(p, '\n', (size_t)(limit - p));
    const char *end = feed ? feed : limit, *carriage = memchr(p, '\r', (size_t)(end - p));
    return carriage ? carriage : end;
}

/* The beginning of the line after the one that ends here: LF, CRLF or CR. */
static const char *next_line(const char *end, const char *limit)
{
    if (end < limit && *end == '\r')
        end++;
    return end < limit && *end == '\n' ? end + 1 : end;
}

/* Is the line a lone closing brace? */
static bool is_closing_line(const char *p, const char *end)
{
    while (p < end && is_blank(*p))
        p++;
    if (p == end || *p != '}')
        return false;
    for (p++; p < end; p++)
        if (!is_blank(*p))
            return false;
    return true;
}

static const char *after_word(const char *p, const char *end, const char *word)
{
    size_t n = strlen(word);
    if ((size_t)(end - p) < n || memcmp(p, word, n) != 0)
        return NULL;
    for (p += n; p < end && is_blank(*p);)
        p++;
    return p;
}

/* `passage NAME of NAME {` and nothing more: narration that was not closed ends before it. */
static bool is_passage_line(const char *p, const char *end)
{
    const char *q = after_word(p, end, "passage ");
    for (int names = 0; q && names < 2; names++) {
        const char *name = q;
        while (q < end && ((*q >= 'a' && *q <= 'z') || (*q >= '0' && *q <= '9') || *q == '-'))
            q++;
        if (q == name || q == end || !is_blank(*q))
            return false;
        while (q < end && is_blank(*q))
            q++;
        if (names == 0)
            q = after_word(q, end, "of ");
    }
    if (!q || q == end || *q != '{')
        return false;
    for (q++; q < end && is_blank(*q); q++)
        ;
    return q == end;
}

/* A line that can only be the next statement of the timeline: `at 0:21 play …`, `then say {`, `then
 * chapter "…`. Prose that is wrapped so that a line begins with "then play" is not taken for one. */
static bool is_timeline_line(const char *p, const char *end)
{
    const char *q = after_word(p, end, "at ");
    if (q) {
        const char *digits = q;
        while (q < end && ((*q >= '0' && *q <= '9') || *q == ':' || *q == '.' || *q == ';'))
            q++;
        if (q == digits || q == end || !is_blank(*q))
            return false;
        while (q < end && is_blank(*q))
            q++;
        static const char *const actions[] = {"chapter \"", "say {", "say from ", "play ",
                                              "demo ",      "show ", "silence"};
        for (size_t i = 0; i < sizeof actions / sizeof *actions; i++)
            if (after_word(q, end, actions[i]))
                return true;
        return false;
    }
    q = after_word(p, end, "then ");
    return q && (after_word(q, end, "say {") || after_word(q, end, "chapter \""));
}

static struct token report_unclosed_prose(struct scanner *s, uint32_t open, const char *at)
{
    struct diag *d = diag_add(s->diags, DIAG_UNCLOSED_NARRATION, span_of(s, open, open + 1),
                              "this narration is not closed");
    diag_label(s->diags, d, "begins here");
    if (*at)
        diag_place(s->diags, d, span_of(s, offset(s, at), offset(s, line_end(at, s->lexer.limit))),
                   "taken as closed before this statement");
    diag_help(s->diags, d, "end it with a line that holds only `}`");
    return (struct token){TOK_LBRACE, open, open + 1};
}

static struct token prose_from(struct scanner *s, struct token open);

/* `say` without its brace: the lines that follow are narration all the same. */
static struct token prose_without_brace(struct scanner *s)
{
    uint32_t line = offset(s, s->lexer.line_start);
    uint32_t at = line;
    while (at > 0 && (is_blank(s->lexer.text[at - 1]) || s->lexer.text[at - 1] == '\n'))
        at--;
    struct diag *d = diag_add(s->diags, DIAG_SYNTAX, span_of(s, at, at), "expected `{` after `say`");
    diag_fix(s->diags, d, span_of(s, at, at), STR(" {"), false);
    s->has_ahead = false;
    struct token open = {TOK_LBRACE, at, at};
    s->lexer.cursor = s->lexer.text + at;
    return prose_from(s, open);
}

static struct token prose_block(struct scanner *s)
{
    return prose_from(s, take(s));
}

/* Gives `{`, and queues the narration, `}` and the end of the statement. */
static struct token prose_from(struct scanner *s, struct token open)
{
    struct lexer *lx = &s->lexer;
    const char *p = lx->text + open.hi;
    const char *end = line_end(p, lx->limit);
    const char *last = end;
    while (last > p && is_blank(last[-1]))
        last--;
    s->in_statement = false;
    s->say = false;
    if (last > p && last[-1] == '}') { /* all on one line */
        enqueue(s, TOK_PROSE, open.hi, offset(s, last - 1));
        enqueue(s, TOK_RBRACE, offset(s, last - 1), offset(s, last));
        enqueue(s, TOK_END, offset(s, last), offset(s, last));
        lx->cursor = last;
        return open;
    }
    const char *from = last == p ? next_line(end, lx->limit) : p;
    const char *line = next_line(end, lx->limit);
    while (line < lx->limit) {
        end = line_end(line, lx->limit);
        if (is_closing_line(line, end)) {
            enqueue(s, TOK_PROSE, offset(s, from), offset(s, line));
            enqueue(s, TOK_RBRACE, offset(s, line), offset(s, end));
            enqueue(s, TOK_END, offset(s, end), offset(s, end));
            lx->cursor = end;
            return open;
        }
        if (is_timeline_line(line, end) || is_passage_line(line, end))
            break;
        line = next_line(end, lx->limit);
    }
    report_unclosed_prose(s, open.lo, line);
    enqueue(s, TOK_PROSE, offset(s, from), offset(s, line));
    enqueue(s, TOK_RBRACE, offset(s, line), offset(s, line));
    enqueue(s, TOK_END, offset(s, line), offset(s, line));
    lx->cursor = line;
    lx->line_start = line;
    lx->fresh_line = true;
    return open;
}

/* ---- the stream ----------------------------------------------------------------------------------- */

void scan_start(struct scanner *s, uint32_t file, struct str text, struct diag_list *diags)
{
    *s = (struct scanner){.file = file, .diags = diags};
    s->lexer = (struct lexer){.text = text.p, .limit = text.p + text.n, .cursor = text.p,
                              .start = text.p, .line_start = text.p, .fresh_line = true};
}

static struct token begin_statement(struct scanner *s)
{
    if (shows_missing_brace(s))
        return close_missing(s);
    if (s->ahead.kind == TOK_RBRACE)
        return close_block(s);
    s->in_statement = true;
    s->keyword = s->ahead.kind;
    s->indent = s->ahead_column;
    return s->ahead.kind == TOK_LBRACE ? open_block(s) : take(s);
}

/* One step: a token, or SKIPPED where a brace was passed over. */
static struct token scan_step(struct scanner *s)
{
    if (s->given < s->queued)
        return s->queue[s->given++];
    s->given = s->queued = 0;
    look_ahead(s);
    int kind = s->ahead.kind;
    if (kind == 0) {
        if (s->in_statement)
            return end_statement(s);
        return s->depth ? close_missing(s) : s->ahead;
    }
    if (!s->in_statement)
        return begin_statement(s);
    bool timeline = s->keyword == TOK_AT ||
                    s->keyword == TOK_THEN; /* the only block there is narration, even without its `say` */
    if (kind == TOK_LBRACE) /* also on a line of its own */
        return s->say || timeline ? prose_block(s) : open_block(s);
    if (closes_broken(s)) {
        take(s);
        s->in_statement = false;
        s->say = false;
        return (struct token){TOK_END, s->ahead.hi, s->ahead.hi};
    }
    if (kind == TOK_RBRACE || (s->ahead_fresh && s->ahead_column <= s->indent))
        return s->say && s->ahead_fresh && !s->lenient ? prose_without_brace(s) : end_statement(s);
    if (kind == TOK_SAY && (s->keyword == TOK_AT || s->keyword == TOK_THEN))
        s->say = true;
    return take(s);
}

struct token scan_next(struct scanner *s)
{
    struct token t;
    do
        t = scan_step(s); /* a loop: a file may hold a million stray braces */
    while (t.kind == SKIPPED);
    s->stray = false;
    return t;
}
