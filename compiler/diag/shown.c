#include "diag/shown.h"

#include <stdio.h>
#include <utf8proc.h>

/* What a terminal would act on or not show at all: controls, direction marks (Unicode Standard Annex 9), separators, the
 * zero-width space and the byte-order mark. Joiners stay: they belong to words in some scripts. */
static bool is_hidden(utf8proc_int32_t c)
{
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || c == 0x061C || c == 0x200B || c == 0x200E || c == 0x200F ||
           (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0xFEFF;
}

struct glyph glyph_at(struct str text, uint32_t at, uint32_t cell)
{
    const unsigned char *p = (const unsigned char *)text.p + at;
    struct glyph g = {.bytes = 1, .cells = 1};
    if (*p == '\t') {
        g.cells = 8 - cell % 8;
        memset(g.text, ' ', g.cells);
        return g;
    }
    utf8proc_int32_t c = *p;
    utf8proc_ssize_t used = 1;
    if (*p >= 0x80)
        used = utf8proc_iterate(p, text.n - at, &c);
    if (used <= 0) {
        g.cells = (uint32_t)snprintf(g.text, sizeof g.text, "<%02X>", *p);
        return g;
    }
    g.bytes = (uint32_t)used;
    if (is_hidden(c)) {
        g.cells = (uint32_t)snprintf(g.text, sizeof g.text, "<U+%04X>", (unsigned)c);
        return g;
    }
    g.cells = (uint32_t)utf8proc_charwidth(c);
    memcpy(g.text, p, g.bytes);
    return g;
}
