/* Row D3: lines and columns of every offset of random texts, with signs, accents in both forms, wide
 * characters, emoji, tabs, each line end, bytes that are no UTF-8 and lines of many kilobytes, against
 * counting from the beginning. */
#include "source/source.h"
#include "base/buf.h"
#include "unit/test.h"

static const char *const pieces[] = {
    "a",
    "Bb3 ",
    "\t",
    "\n",
    "\r\n",
    "\r",
    "\xE2\x99\xAF",
    "\xF0\x9D\x84\xAA",
    "\xC3\xA9",
    "e\xCC\x81",
    "\xE6\xBC\xA2",
    "\xF0\x9F\x8E\xB5",
    "\xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x8E\xA4",
    "\xFF",
    "\xC3",
    "\xE2\x99",
    "\x80",
    " ",
};

/* A character: a sequence of UTF-8 that is whole, or one byte. Written out here once more, by the table of
 * the Unicode standard (chapter 3, well-formed byte sequences). */
static uint32_t character(const unsigned char *p, uint32_t n)
{
    static const struct {
        unsigned char lo, hi, second_lo, second_hi;
        uint32_t bytes;
    } forms[] = {{0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3}, {0xE1, 0xEC, 0x80, 0xBF, 3},
                 {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3}, {0xF0, 0xF0, 0x90, 0xBF, 4},
                 {0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4}};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (p[0] < forms[i].lo || p[0] > forms[i].hi || n < forms[i].bytes || p[1] < forms[i].second_lo ||
            p[1] > forms[i].second_hi)
            continue;
        bool whole = true;
        for (uint32_t k = 2; k < forms[i].bytes; k++)
            whole = whole && p[k] >= 0x80 && p[k] <= 0xBF;
        return whole ? forms[i].bytes : 1;
    }
    return 1;
}

/* Every beginning of a character is where counting says. */
static bool positions_agree(struct str text)
{
    struct arena a = {0};
    struct source_list sources = {.arena = &a};
    uint32_t file = source_add(&sources, STR("x"), text, false), line = 1, column = 1;
    const unsigned char *p = (const unsigned char *)text.p;
    bool agree = true;
    for (uint32_t at = 0; at <= text.n && agree;) {
        struct position got = source_position(&sources, file, at);
        agree = got.line == line && got.column == column;
        if (at == text.n)
            break;
        uint32_t n = character(p + at, text.n - at);
        bool pair = p[at] == '\r' && at + 1 < text.n && p[at + 1] == '\n';
        if (pair) { /* the line feed ends the line that the return stands on */
            got = source_position(&sources, file, at + 1);
            agree = agree && got.line == line && got.column == column + 1;
        }
        if (p[at] == '\n' || p[at] == '\r') {
            line++;
            column = 1;
        } else {
            column++;
        }
        at += pair ? 2 : n;
    }
    arena_free(&a);
    return agree;
}

static void put_random(struct rng *r, struct buf *b, int least, int most, bool one_line)
{
    int n = rng_between(r, least, most);
    for (int i = 0; i < n; i++) {
        const char *piece = pieces[rng_next(r) % (sizeof pieces / sizeof *pieces)];
        if (!one_line || !strpbrk(piece, "\r\n"))
            buf_put(b, piece);
    }
}

static bool law(struct rng *r, int least, int most, bool one_line)
{
    struct buf b = {0};
    put_random(r, &b, least, most, one_line);
    bool fine = positions_agree(buf_str(&b));
    buf_free(&b);
    return fine;
}

static bool short_texts(struct rng *r)
{
    return law(r, 0, 40, false);
}

/* Offsets asked for in any order give what they give in order. */
static bool any_order(struct rng *r)
{
    struct arena a = {0};
    struct buf b = {0};
    put_random(r, &b, 0, 60, false);
    struct source_list once = {.arena = &a}, often = {.arena = &a};
    source_add(&often, STR("x"), buf_str(&b), false);
    bool same = true;
    for (int i = 0; i < 8 && same; i++) {
        uint32_t at = (uint32_t)rng_between(r, 0, (int)b.n + 3);
        uint32_t file = source_add(&once, STR("x"), buf_str(&b), false);
        struct position p = source_position(&often, 0, at), q = source_position(&once, file, at);
        same = p.line == q.line && p.column == q.column;
    }
    buf_free(&b);
    arena_free(&a);
    return same;
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {{"short texts", short_texts}, {"any order", any_order}};
    struct test t = {.name = "columns"};
    uint64_t seed = test_seed(&t, argc, argv);
    test_laws(&t, laws, 2, seed);
    struct rng r = {seed};
    for (int i = 0; i < 40; i++)
        CHECK(&t, law(&r, 500, 4000, i % 2));
    /* Lines that end just where the count is kept, and just beside. */
    for (uint32_t n = 1020; n <= 1030; n++) {
        struct buf b = {0};
        for (uint32_t i = 0; i < n; i++)
            buf_byte(&b, 'x');
        buf_put(&b, "\xF0\x9D\x84\xAA\xC3\xA9 ");
        for (uint32_t i = 0; i < 2 * n; i++)
            buf_put(&b, "\xE2\x99\xAF");
        CHECK(&t, positions_agree(buf_str(&b)));
        buf_free(&b);
    }
    return test_end(&t);
}
