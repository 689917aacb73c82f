#include "fuzz/mutate.h"

/* The words of the language, and what tends to lie at the edge of what is meant. */
static const char *const words[] = {
#define KEYWORD(token, word) word,
#include "tokens.def"
    "{",
    "}",
    "(",
    ")",
    "|",
    ":",
    ",",
    "=",
    "\"",
    "\\",
    "//",
    "...",
    "[",
    "](claim:it)",
    "](cite:book)",
    "![x](show:lamp)",
    "*",
    "**",
    "`",
    "-->",
    "&",
    "<",
    "\n",
    "\r\n",
    "\r",
    "\t",
    "  \n",
    "\n\n",
    "}\n",
    "\n//// terms.descant\n",
    "0",
    "1",
    "2",
    "12",
    "99",
    "100",
    "20000",
    "2147483647",
    "4294967296",
    "9223372036854775807",
    "99999999999999999999",
    "1/4",
    "1/1",
    "1/12",
    "3/8",
    "0/1",
    "1/0",
    "1/999983",
    "7/2",
    "3+2/8",
    "0:00",
    "0:33",
    "9:59:59.999",
    "23:59:59:23",
    "00:01:00;00",
    "0.5",
    "29.97",
    "30000/1001",
    "-",
    "+",
    "C4",
    "Bb3",
    "F##5",
    "Cb-1",
    "G99",
    "C",
    "C#",
    "Ebb",
    "Cm7",
    "F#m7b5",
    "Bb/D",
    "C6/9",
    "Ebm over Dm",
    "N.C.",
    "V7/V",
    "ii65",
    "N6",
    "Ger+6",
    "cad64",
    "bVI",
    "C\xE2\x99\xAF",
    "B\xE2\x99\xAD",
    "F\xF0\x9D\x84\xAA",
    "B\xF0\x9D\x84\xAB",
    "E\xE2\x99\xAE",
    "\xC3\xA9",
    "e\xCC\x81",
    "\xE6\xBC\xA2",
    "\xF0\x9F\x8E\xB5",
    "\xE2\x80\xAE",
    "\xEF\xBB\xBF",
    "\xE2\x80\x9C",
    "\xE2\x80\x9D",
    "a",
    "the",
    "not",
    "no",
    "up",
    "down",
    "every",
    "major",
    "minor",
    "third",
    "octave",
    "octaves",
    "half step",
    "tritone",
    "semitones",
    "real",
    "tonal",
    "parallel motion",
    "pedal",
    "double",
    "bass",
    "harmony of lamp",
    "top voice of lamp",
    "voice 3 of strings of lamp",
    "call",
    "answer",
    "lamp",
    "plain",
    "strings",
    "reed",
    "s:",
    "note",
    "lines",
    "english-horn",
    "violins",
    "oboe",
    "flute",
};

static bool is_word_byte(unsigned char c)
{
    return c >= 0x80 || c == '#' || c == '-' || c == '/' || c == '.' || (c >= '0' && c <= '9') ||
           (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

struct piece {
    uint32_t lo, hi;
};

static uint32_t offset_in(struct rng *r, uint32_t n)
{
    return n ? (uint32_t)(rng_next(r) % n) : 0;
}

/* The word, or the one other byte, at a random offset. */
static struct piece word_in(struct rng *r, struct str s)
{
    uint32_t at = offset_in(r, s.n);
    struct piece p = {at, at < s.n ? at + 1 : at};
    if (p.lo == p.hi || !is_word_byte((unsigned char)s.p[at]))
        return p;
    while (p.lo > 0 && is_word_byte((unsigned char)s.p[p.lo - 1]))
        p.lo--;
    while (p.hi < s.n && is_word_byte((unsigned char)s.p[p.hi]))
        p.hi++;
    return p;
}

static struct piece line_in(struct rng *r, struct str s)
{
    struct piece p = {offset_in(r, s.n), 0};
    p.hi = p.lo;
    while (p.lo > 0 && s.p[p.lo - 1] != '\n')
        p.lo--;
    while (p.hi < s.n && s.p[p.hi] != '\n')
        p.hi++;
    p.hi += p.hi < s.n;
    return p;
}

static struct str piece_text(struct str s, struct piece p)
{
    return str_slice(s, p.lo, p.hi);
}

static struct str word_of_language(struct rng *r)
{
    return str_of(words[rng_next(r) % (sizeof words / sizeof *words)]);
}

/* `what` in place of the piece. */
static void put_changed(struct buf *b, struct str s, struct piece p, struct str what, uint32_t times)
{
    buf_str_put(b, str_slice(s, 0, p.lo));
    for (uint32_t i = 0; i < times; i++)
        buf_str_put(b, what);
    buf_str_put(b, str_slice(s, p.hi, s.n));
}

/* Where the word begins, with the blank before it. */
static uint32_t back(struct str s, struct piece word)
{
    return word.lo > 0 && s.p[word.lo - 1] == ' ' ? word.lo - 1 : word.lo;
}

enum change {
    DELETE_WORD,
    DOUBLE_WORD,
    OTHER_WORD,
    LANGUAGE_WORD,
    INSERT_WORD,
    SWAP_WORDS,
    DELETE_LINE,
    DOUBLE_LINE,
    OTHER_LINE,
    MOVE_LINE,
    REPEAT,
    HIT_BYTE,
    CUT_OFF,
    NUMBER,
    CHANGES
};

static void put_swapped(struct buf *b, struct str s, struct piece p, struct piece q)
{
    if (p.lo > q.lo) {
        struct piece t = p;
        p = q;
        q = t;
    }
    if (p.hi > q.lo) {
        buf_str_put(b, s);
        return;
    }
    buf_str_put(b, str_slice(s, 0, p.lo));
    buf_str_put(b, piece_text(s, q));
    buf_str_put(b, str_slice(s, p.hi, q.lo));
    buf_str_put(b, piece_text(s, p));
    buf_str_put(b, str_slice(s, q.hi, s.n));
}

/* A digit near a random place becomes another. */
static void put_number(struct rng *r, struct buf *b, struct str s)
{
    uint32_t at = offset_in(r, s.n);
    while (at < s.n && (s.p[at] < '0' || s.p[at] > '9'))
        at++;
    buf_str_put(b, s);
    if (at < s.n)
        b->p[at] = (char)('0' + rng_between(r, 0, 9));
}

static void put_hit(struct rng *r, struct buf *b, struct str s)
{
    buf_str_put(b, s);
    if (b->n)
        b->p[offset_in(r, s.n)] = (char)rng_next(r);
}

static void change_once(struct rng *r, struct str s, struct str other, struct buf *b)
{
    struct piece word = word_in(r, s), line = line_in(r, s);
    enum change c = (enum change)(rng_next(r) % CHANGES);
    switch (c) {
    case DELETE_WORD: put_changed(b, s, word, STR(""), 0); break;
    case DOUBLE_WORD:
        put_changed(b, s, (struct piece){word.hi, word.hi}, str_slice(s, back(s, word), word.hi), 1);
        break;
    case OTHER_WORD: put_changed(b, s, word, piece_text(other, word_in(r, other)), 1); break;
    case LANGUAGE_WORD: put_changed(b, s, word, word_of_language(r), 1); break;
    case INSERT_WORD: put_changed(b, s, (struct piece){word.hi, word.hi}, word_of_language(r), 1); break;
    case SWAP_WORDS: put_swapped(b, s, word, word_in(r, s)); break;
    case DELETE_LINE: put_changed(b, s, line, STR(""), 0); break;
    case DOUBLE_LINE: put_changed(b, s, line, piece_text(s, line), 2); break;
    case OTHER_LINE:
        put_changed(b, s, (struct piece){line.lo, line.lo}, piece_text(other, line_in(r, other)), 1);
        break;
    case MOVE_LINE: put_swapped(b, s, line, line_in(r, s)); break;
    case REPEAT: put_changed(b, s, word, piece_text(s, word), (uint32_t)rng_between(r, 3, 300)); break;
    case HIT_BYTE: put_hit(r, b, s); break;
    case CUT_OFF: buf_str_put(b, str_slice(s, 0, offset_in(r, s.n))); break;
    case NUMBER: put_number(r, b, s); break;
    case CHANGES: break;
    }
}

void mutate(struct rng *r, struct str text, struct str other, uint32_t max, struct buf *out)
{
    struct buf now = {0}, next = {0};
    buf_str_put(&now, str_slice(text, 0, max));
    for (int n = rng_between(r, 1, 6); n > 0; n--) {
        next.n = 0;
        change_once(r, buf_str(&now), other, &next);
        struct buf t = now;
        now = next;
        next = t;
        if (now.n > max)
            now.n = max;
    }
    buf_str_put(out, buf_str(&now));
    buf_free(&now);
    buf_free(&next);
}
