#include "syntax/text.h"

#include "source/source.h"
#include "base/utf8.h"

/* More odd runs than this, or a NUL among the first of them, and the file is taken for something else than text. */
enum { ODD_RUNS_MAX = 50, SNIFF_BYTES = 8192 };

uint32_t utf8_length(const unsigned char *p, uint32_t n)
{
    if (n == 0)
        return 0;
    if (p[0] < 0x80)
        return 1;
    uint32_t len = p[0] >= 0xF0 ? 4 : p[0] >= 0xE0 ? 3 : 2;
    if (p[0] < 0xC2 || p[0] > 0xF4 || len > n)
        return 0;
    unsigned char low = p[0] == 0xE0 ? 0xA0 : p[0] == 0xF0 ? 0x90 : 0x80;
    unsigned char high = p[0] == 0xED ? 0x9F : p[0] == 0xF4 ? 0x8F : 0xBF;
    if (p[1] < low || p[1] > high)
        return 0;
    for (uint32_t i = 2; i < len; i++)
        if ((p[i] & 0xC0) != 0x80)
            return 0;
    return len;
}

static bool is_control(const unsigned char *p, uint32_t len)
{
    if (len == 2)
        return p[0] == 0xC2 && p[1] < 0xA0; /* C1 */
    return len == 1 && ((p[0] < 0x20 && p[0] != '\t' && p[0] != '\n' && p[0] != '\r') || p[0] == 0x7F);
}

/* Bytes from i on that are plain: printable ASCII, tab, line ends. Eight at a time where they are all from 0x20 to 0x7E. */
static uint32_t plain_until(const unsigned char *p, uint32_t i, uint32_t n)
{
    const uint64_t ones = 0x0101010101010101u, tops = 0x8080808080808080u;
    for (;;) {
        while (i + 8 <= n) {
            uint64_t w;
            memcpy(&w, p + i, 8);
            uint64_t odd = (w | (w - 0x20 * ones) | ((w ^ 0x7F * ones) - ones)) & tops;
            if (odd)
                break;
            i += 8;
        }
        uint32_t stop = i + 8 < n ? i + 8 : n;
        while (i < stop && p[i] < 0x7F && !is_control(p + i, 1))
            i++;
        if (i < stop || i == n)
            return i;
    }
}

static bool looks_binary(struct str text)
{
    uint32_t n = text.n < SNIFF_BYTES ? text.n : SNIFF_BYTES, odd = 0;
    for (uint32_t i = 0; i < n; i++) {
        unsigned char c = (unsigned char)text.p[i];
        odd += c == 0 || (c < 0x20 && c != '\t' && c != '\n' && c != '\r');
    }
    return odd > 4 && odd > n / 64;
}

static void report(struct diag_list *diags, struct span where, struct str text, bool control)
{
    if (control) {
        struct diag *d = diag_add(diags, DIAG_CONTROL_CHARACTER, where, "control character U+%04X",
                                  (unsigned char)text.p[where.lo] == 0xC2 ? (unsigned char)text.p[where.lo + 1]
                                                                          : (unsigned char)text.p[where.lo]);
        diag_help(diags, d, "only tab and line ends may stand in a text; delete it");
        return;
    }
    struct diag *d = diag_add(diags, DIAG_BAD_UTF8, where, "%u byte%s not UTF-8, beginning with 0x%02X", where.hi - where.lo,
                              where.hi - where.lo == 1 ? " is" : "s are", (unsigned char)text.p[where.lo]);
    diag_help(diags, d, "save the file as UTF-8");
}

bool text_clean(struct arena *a, struct diag_list *diags, uint32_t file, struct str text, struct str *out)
{
    const unsigned char *p = (const unsigned char *)text.p;
    struct span start = {file, 0, 0};
    *out = text;
    if (text.n > SOURCE_MAX) {
        diag_add(diags, DIAG_TOO_LARGE, start, "the file holds %u bytes; at most %d are read", text.n, SOURCE_MAX);
        return false;
    }
    char *copy = NULL;
    int runs = 0;
    uint32_t i = plain_until(p, 0, text.n);
    while (i < text.n) {
        uint32_t len = utf8_length(p + i, text.n - i);
        bool control = len && is_control(p + i, len);
        if ((!len || control) && runs == 0 && looks_binary(text)) {
            struct diag *d = diag_add(diags, DIAG_NOT_TEXT, start, "this is not a text file");
            diag_help(diags, d, "if it comes from a word processor, save it there as plain text in UTF-8");
            return false;
        }
        if (!len || control) {
            uint32_t lo = i;
            i += len ? len : 1;
            while (!control && i < text.n && !utf8_length(p + i, text.n - i))
                i++;
            if (!copy)
                copy = arena_copy(a, text.p, text.n);
            memset(copy + lo, ' ', i - lo);
            if (++runs > ODD_RUNS_MAX) {
                struct diag *d = diag_add(diags, DIAG_NOT_TEXT, start, "this is not a text file in UTF-8");
                diag_help(diags, d, "save it as plain text in UTF-8");
                return false;
            }
            report(diags, (struct span){file, lo, i}, text, control);
        } else {
            i += len;
        }
        i = plain_until(p, i, text.n);
    }
    if (copy)
        out->p = copy;
    return true;
}
