/* lex.re - how bytes become tokens. Rules only; compiler/syntax/scan.c drives them.
 *
 * The text is valid UTF-8 without control characters (checked before) and ends in a NUL at its limit. A rule for each
 * word of the language is made from tokens.def at build time and stands before the rule for names, so it wins a tie.
 */
#include "parse.h"
#include "syntax/scan.h"

int lex(struct lexer *lx)
{
    const unsigned char *YYCURSOR = (const unsigned char *)lx->cursor;
    const unsigned char *const YYLIMIT = (const unsigned char *)lx->limit;
    const unsigned char *YYMARKER;
    int token;
    for (;;) {
        lx->start = (const char *)YYCURSOR;
        /*!re2c
        re2c:flags:8 = 1;
        re2c:eof = 0;
        re2c:yyfill:enable = 0;
        re2c:define:YYCTYPE = "unsigned char";

        newline = "\r\n" | "\n" | "\r";
        sign    = [#b\u266D\u266E\u266F] | [\U0001D12A\U0001D12B];
        // what a pitch, chord symbol or numeral may go on with; a slash only before a bass, a figure or a numeral
        go_on   = [A-Za-z0-9#+] | "-" [A-Za-z0-9] | [\xB0\xBA\xF8\xD8\u0394\u25B3\u2206] | [\u266D\u266E\u266F]
                | [\U0001D12A\U0001D12B] | "/" [A-Za-z0-9#];
        group   = "(" [^() \t\r\n"{}|:]* ")";
        name    = [a-z] [a-z0-9-]*;
        digits  = [0-9]+;
        two     = [0-9] [0-9];

        ([ \t] | "\u00A0" | "\u202F")+   { continue; } // word processors put the no-break spaces
        newline                    { lx->fresh_line = true; lx->line_start = (const char *)YYCURSOR; continue; }
        "//" [^\r\n]*              { continue; }
        "\uFEFF"                   { if (lx->start == lx->text) { lx->line_start = (const char *)YYCURSOR; continue; } token = TOK_BAD; break; }

        !include "keywords.re";
        name                       { token = TOK_NAME; break; }
        "N.C."                     { token = TOK_MUSIC; break; }
        [A-Z] go_on* (group go_on*)*           { token = TOK_MUSIC; break; }
        sign* [iv]+ go_on*                     { token = TOK_MUSIC; break; }
        sign+ [IViv] go_on*                    { token = TOK_MUSIC; break; }
        [#\u266F\u266D]+ digits                { token = TOK_DEGREE; break; }

        digits                     { token = TOK_INT; break; }
        digits "." digits          { token = TOK_DECIMAL; break; }
        digits "/" digits          { token = TOK_FRACTION; break; }
        digits ("+" digits)+ "/" digits        { token = TOK_GROUPS; break; }
        digits (":" two){1,3} ("." digits)?  { token = TOK_TIME; break; }
        digits ":" two ":" two ";" two          { token = TOK_TIME; break; }

        ["] ([^"\\\r\n] | "\\" [^\r\n])* ["]   { token = TOK_STRING; break; }
        ["] ([^"\\\r\n] | "\\" [^\r\n])* "\\"? { token = TOK_UNCLOSED; break; }

        // what word processors make of them; read as a text, and reported once
        curl = "\u201C" | "\u201D" | "\u201E";
        curl [^"\u201C\u201D\u201E\r\n]* (curl | ["])  { token = TOK_CURLED; break; }

        ":"  { token = TOK_COLON; break; }
        ","  { token = TOK_COMMA; break; }
        "|"  { token = TOK_PIPE; break; }
        "="  { token = TOK_EQUALS; break; }
        "("  { token = TOK_LPAREN; break; }
        ")"  { token = TOK_RPAREN; break; }
        "{"  { token = TOK_LBRACE; break; }
        "}"  { token = TOK_RBRACE; break; }
        [[\]<>+\-/;.!?'&%*] | "\u2019" | "\u2013" | "\u2014" { token = TOK_MARK; break; }
        $    { token = 0; break; }
        *    { token = TOK_BAD; break; }
        */
    }
    lx->cursor = (const char *)YYCURSOR;
    return token;
}
