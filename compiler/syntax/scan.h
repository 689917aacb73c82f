/* scan.h - from text to tokens and statements.
 *
 * Purpose: runs the rules of grammar/lex.re, ends statements by line and indentation, keeps narration whole, and sees to it
 *          that braces balance, so that the parser meets well-formed blocks only.
 * Units:   offsets into one source.
 * Owner:   borrows the text; open blocks are kept in the arena.
 * Errors:  unclosed strings, blocks and narration, stray braces and odd characters are reported and mended: the token stream
 *          always has balanced braces and an END after every statement.
 */
#ifndef DESCANT_SCAN_H
#define DESCANT_SCAN_H

#include "diag/diag.h"
#include "source/source.h"

/* Tokens of grammar/parse.y are TOK_… of the generated parse.h; these never reach the parser. */
enum { TOK_BAD = 1000, TOK_UNCLOSED, TOK_CURLED };

struct token {
    int kind; /* TOK_…; 0 at the end */
    uint32_t lo, hi;
};

/* State of the rules. */
struct lexer {
    const char *text, *limit; /* *limit is NUL */
    const char *cursor, *start;
    const char *line_start;
    bool fresh_line; /* a line end was passed since the last token */
};

/* The next token of the rules, 0 at the end; its bytes are [start, cursor). Generated from grammar/lex.re. */
int lex(struct lexer *lx);

/* A block that is open. */
struct scan_block {
    uint32_t open;    /* offset of its brace */
    int keyword;      /* first token of the statement it belongs to */
    uint32_t indent;  /* column of that statement */
};

/* Deeper nesting is refused. The language itself nests three deep. */
enum { SCAN_DEPTH_MAX = 64 };

struct scanner {
    struct lexer lexer;
    uint32_t file;
    struct diag_list *diags;
    struct scan_block blocks[SCAN_DEPTH_MAX];
    uint32_t depth;
    bool too_deep;         /* told once a file */
    uint32_t odd;          /* end of the last character or text that was reported; 0: none */
    uint32_t passed_over;  /* braces that opened too deep: theirs close nothing either */
    bool stray;            /* the token before was a stray brace: a run of them is told once */
    bool in_statement;     /* a token was given since the last END */
    int keyword;           /* first token of the statement */
    uint32_t indent;       /* its column, from 0 */
    bool say;              /* `say` was met in this statement: a brace opens narration */
    bool lenient;          /* the parser is recovering: a stray brace is a consequence, not a mistake */
    struct token queue[4]; /* tokens made up, to be given first */
    uint32_t queued, given;
    bool has_ahead;
    struct token ahead;
    uint32_t ahead_column;
    bool ahead_fresh;
};

void scan_start(struct scanner *s, uint32_t file, struct str text, struct diag_list *diags);
/* The next token for the parser; kind 0 at the end, after which it must not be called again. */
struct token scan_next(struct scanner *s);

#endif
