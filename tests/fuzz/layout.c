#include "fuzz/targets.h"

#include "parse.h"
#include "syntax/scan.h"

#include <stdlib.h>

/* What a text says, blanks left out: tokens, and what stands between them (comments), each piece on a line of
 * its own. */
static void put_pieces(struct buf *b, struct arena *a, struct str text)
{
    struct diag_list silent = {.arena = a};
    struct scanner s;
    scan_start(&s, 0, text, &silent);
    uint32_t at = str_starts(text, STR("\xEF\xBB\xBF")) ? 3 : 0;
    for (struct token t = scan_next(&s);; t = scan_next(&s)) {
        uint32_t until = t.kind ? t.lo : text.n;
        for (; at < until; at++)
            if (!strchr(" \t\r\n", text.p[at]))
                buf_byte(b, text.p[at]);
        if (!t.kind)
            return;
        buf_printf(b, "\n%d ", t.kind);
        for (; at < t.hi; at++) /* in narration line ends become LF */
            if (text.p[at] != '\r')
                buf_byte(b, text.p[at]);
            else if (at + 1 == text.n || text.p[at + 1] != '\n')
                buf_byte(b, '\n');
        buf_byte(b, '\n');
    }
}

void fuzz_format(struct context *context, struct str bytes)
{
    (void)context;
    char *copy = fuzz_copy(bytes);
    struct compilation first, second;
    struct buf once = {0}, twice = {0}, said = {0}, said_again = {0};
    struct arena a = {0};
    if (reformat(STR("fuzz.descant"), (struct str){copy, bytes.n}, &first, &once)) {
        char *formatted = fuzz_copy(buf_str(&once));
        struct str text = {formatted, (uint32_t)once.n};
        LAW(reformat(STR("fuzz.descant"), text, &second, &twice));
        LAW(str_eq(buf_str(&once), buf_str(&twice)));
        compilation_free(&second);
        put_pieces(&said, &a, (struct str){copy, bytes.n});
        put_pieces(&said_again, &a, text);
        LAW(str_eq(buf_str(&said), buf_str(&said_again)));
        free(formatted);
    } else {
        LAW(once.n == 0);
        LAW(first.diags.errors > 0);
    }
    compilation_free(&first);
    arena_free(&a);
    buf_free(&once);
    buf_free(&twice);
    buf_free(&said);
    buf_free(&said_again);
    free(copy);
}
