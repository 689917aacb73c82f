/* caption_names.c - note names and chord symbols as they are said.
 *
 * The recommended character sets of the W3C's caption profile (IMSC 1, text profile) hold no sharp, flat or
 * natural sign, so captions say "F sharp" unless the profile asks for signs. Lead-sheet words are common
 * practice. */
#include "back/caption_parts.h"

#include "theory/pitch.h"

enum { SHARP = 0x266F, FLAT = 0x266D, NATURAL = 0x266E, DOUBLE_SHARP = 0x1D12A, DOUBLE_FLAT = 0x1D12B };

/* Decodes the code point at byte `at`; the text is valid UTF-8. */
static uint32_t code_point(struct str s, uint32_t at, uint32_t *bytes)
{
    unsigned char c = (unsigned char)s.p[at];
    uint32_t n = c < 0x80 ? 1 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
    if (n > s.n - at)
        n = s.n - at;
    static const unsigned char first[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    uint32_t value = c & first[n];
    for (uint32_t i = 1; i < n; i++)
        value = value << 6 | ((unsigned char)s.p[at + i] & 0x3Fu);
    *bytes = n;
    return value;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_alnum(uint32_t c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* Letters of any script, roughly: what a note name may not touch on its left. */
static bool is_wordish(uint32_t c)
{
    return is_alnum(c) || (c >= 0xC0 && !(c >= 0x2000 && c < 0x2070) && !(c >= FLAT && c <= SHARP));
}

/* Signs that stand for themselves; NULL for any other character. */
static const char *sign_word(uint32_t c)
{
    switch (c) {
    case SHARP:
        return "sharp";
    case FLAT:
        return "flat";
    case NATURAL:
        return "natural";
    case DOUBLE_SHARP:
        return "double sharp";
    case DOUBLE_FLAT:
        return "double flat";
    }
    return NULL;
}

static const char *sign_ascii(uint32_t c)
{
    switch (c) {
    case SHARP:
        return "#";
    case FLAT:
        return "b";
    case NATURAL:
        return "n";
    case DOUBLE_SHARP:
        return "##";
    case DOUBLE_FLAT:
        return "bb";
    }
    return NULL;
}

/* ---- marked text ------------------------------------------------------------------------------ */

void marked_put(struct marked_text *t, struct str s, int marks)
{
    buf_str_put(&t->text, s);
    for (uint32_t i = 0; i < s.n; i++)
        buf_byte(&t->marks, marks);
}

void marked_free(struct marked_text *t)
{
    buf_free(&t->text);
    buf_free(&t->marks);
}

uint32_t marked_last(const struct marked_text *t)
{
    struct str s = buf_str(&t->text);
    if (s.n == 0)
        return 0;
    uint32_t at = s.n - 1, bytes;
    while (at > 0 && ((unsigned char)s.p[at] & 0xC0) == 0x80)
        at--;
    return code_point(s, at, &bytes);
}

/* Words of one unit: their spaces may not be cut. */
static void put_glued(struct marked_text *t, const char *words, int marks)
{
    for (; *words; words++)
        marked_put(t, (struct str){words, 1}, *words == ' ' ? marks | MARK_GLUE : marks);
}

static void put_space(struct marked_text *t, int marks)
{
    marked_put(t, STR(" "), marks | MARK_GLUE);
}

static enum sign_style sign_style_of(enum accidental_style style)
{
    switch (style) {
    case ACCIDENTALS_WORDS:
        return SIGN_WORDS;
    case ACCIDENTALS_SIGNS:
        return SIGN_UNICODE;
    case ACCIDENTALS_PLAIN:
        return SIGN_ASCII;
    }
    return SIGN_ASCII;
}

static void put_tone(struct marked_text *t, struct tone tone, bool natural, enum accidental_style style,
                     int marks)
{
    char text[PITCH_TEXT_MAX];
    put_glued(t, tone_text(tone, sign_style_of(style), text), marks);
    if (natural)
        put_glued(t, style == ACCIDENTALS_WORDS ? " natural" : style == ACCIDENTALS_SIGNS ? "♮" : "n", marks);
}

/* ---- chord suffixes ----------------------------------------------------------------------------- */

struct suffix_word {
    const char *token;
    const char *said;
};

/* Longest beginnings first, so that "maj" is not read as "m". */
static const struct suffix_word suffix_words[] = {{"maj", "major"},
                                                  {"Maj", "major"},
                                                  {"min", "minor"},
                                                  {"dim", "diminished"},
                                                  {"aug", "augmented"},
                                                  {"sus", "sus"},
                                                  {"add", "add"},
                                                  {"omit", "omit"},
                                                  {"alt", "altered"},
                                                  {"no", "no"},
                                                  {"ma", "major"},
                                                  {"mi", "minor"},
                                                  {"M", "major"},
                                                  {"m", "minor"},
                                                  {"-", "minor"},
                                                  {"°", "diminished"},
                                                  {"o", "diminished"},
                                                  {"ø", "half-diminished"},
                                                  {"Ø", "half-diminished"},
                                                  {"+", "augmented"},
                                                  {"Δ7", "major seven"},
                                                  {"Δ9", "major nine"},
                                                  {"Δ", "major seven"},
                                                  {"6/9", "six nine"},
                                                  {"69", "six nine"},
                                                  {"13", "thirteen"},
                                                  {"11", "eleven"},
                                                  {"9", "nine"},
                                                  {"7", "seven"},
                                                  {"6", "six"},
                                                  {"5", "five"},
                                                  {"4", "four"},
                                                  {"3", "three"},
                                                  {"2", "two"},
                                                  {"(", ""},
                                                  {")", ""},
                                                  {",", ""},
                                                  {"##", "double sharp"},
                                                  {"#", "sharp"},
                                                  {"♯", "sharp"},
                                                  {"bb", "double flat"},
                                                  {"b", "flat"},
                                                  {"♭", "flat"}};

static bool is_sign(struct str token)
{
    return str_is(token, "#") || str_is(token, "b") || str_is(token, "♯") || str_is(token, "♭") ||
           str_is(token, "##") || str_is(token, "bb");
}

/* The table's row that the text begins with; NULL if none. */
static const struct suffix_word *suffix_at(struct str s)
{
    for (size_t i = 0; i < sizeof suffix_words / sizeof *suffix_words; i++)
        if (str_starts(s, str_of(suffix_words[i].token)))
            return &suffix_words[i];
    return NULL;
}

/* What follows the root of a chord symbol, up to a slash bass. */
struct suffix {
    struct str quality;
    bool slash;
    struct tone bass;
};

/* The whole of s is a suffix: known words, signs only before a degree, and perhaps a bass. */
static bool suffix_parse(struct str s, struct suffix *out)
{
    *out = (struct suffix){.quality = s};
    uint32_t at = 0;
    while (at < s.n) {
        struct str rest = str_slice(s, at, s.n);
        if (rest.p[0] == '/') {
            out->quality.n = at;
            out->slash = true;
            return tone_parse(str_slice(rest, 1, rest.n), &out->bass);
        }
        const struct suffix_word *word = suffix_at(rest);
        if (!word)
            return false;
        at += (uint32_t)strlen(word->token);
        if (is_sign(str_of(word->token)) && (at == s.n || !is_digit(s.p[at])))
            return false;
    }
    return true;
}

static void put_suffix_words(struct marked_text *t, struct str quality, int marks)
{
    uint32_t at = 0;
    while (at < quality.n) {
        const struct suffix_word *word = suffix_at(str_slice(quality, at, quality.n));
        if (word->said[0]) {
            put_space(t, marks);
            put_glued(t, word->said, marks);
        }
        at += (uint32_t)strlen(word->token);
    }
}

/* The suffix with its signs drawn or typed. */
static void put_suffix_signs(struct marked_text *t, struct str quality, enum accidental_style style,
                             int marks)
{
    uint32_t at = 0;
    while (at < quality.n) {
        const struct suffix_word *word = suffix_at(str_slice(quality, at, quality.n));
        struct str token = str_slice(quality, at, at + (uint32_t)strlen(word->token));
        bool flat = str_is(token, "b") || str_is(token, "♭"),
             sharp = str_is(token, "#") || str_is(token, "♯");
        if (flat)
            marked_put(t, style == ACCIDENTALS_SIGNS ? STR("♭") : STR("b"), marks);
        else if (sharp)
            marked_put(t, style == ACCIDENTALS_SIGNS ? STR("♯") : STR("#"), marks);
        else
            marked_put(t, token, marks);
        at += token.n;
    }
}

static void put_suffix(struct marked_text *t, const struct suffix *s, enum accidental_style style, int marks)
{
    if (style == ACCIDENTALS_WORDS)
        put_suffix_words(t, s->quality, marks);
    else
        put_suffix_signs(t, s->quality, style, marks);
    if (!s->slash)
        return;
    put_glued(t, style == ACCIDENTALS_WORDS ? " slash " : "/", marks);
    put_tone(t, s->bass, false, style, marks);
}

/* ---- symbols in text ------------------------------------------------------------------------------- */

/* Length of the run of characters that a symbol may hold, without brackets that it does not open itself. */
static uint32_t symbol_length(struct str s, bool symbols)
{
    uint32_t at = 0, open = 0, bytes;
    while (at < s.n) {
        uint32_t c = code_point(s, at, &bytes);
        if (c == ')' && open == 0)
            break;
        bool fits = is_alnum(c) || sign_word(c) || c == '#' || c == '+' || c == '/' || c == '(' || c == ')' ||
                    c == 0xB0 || c == 0xF8 || c == 0xD8 || c == 0x394 ||
                    (c == '-' && (symbols || (at + 1 < s.n && is_digit(s.p[at + 1])))) || (open && c == ',');
        if (!fits)
            break;
        open += c == '(';
        open -= c == ')';
        at += bytes;
    }
    while (at > 0 && (s.p[at - 1] == '(' || s.p[at - 1] == '/' || s.p[at - 1] == ',' || s.p[at - 1] == '-'))
        at--;
    return at;
}

static bool octave_text(struct str s)
{
    if (s.n && s.p[0] == '-')
        s = str_slice(s, 1, s.n);
    if (s.n < 1 || s.n > 2)
        return false;
    /* 6, 7, 9, 11 and 13 after a name are more often chords, and sound alike when read. */
    if (s.n == 1 && (s.p[0] == '6' || s.p[0] == '7' || s.p[0] == '9'))
        return false;
    return is_digit(s.p[0]) && (s.n == 1 || (is_digit(s.p[1]) && s.p[0] != '1'));
}

/* Root of a symbol as typed: its tone, and whether signs drawn or typed follow the letter. */
struct root {
    struct tone tone;
    uint32_t bytes;
    bool natural, signed_, drawn;
};

static bool root_read(struct str s, bool symbols, struct root *out)
{
    *out = (struct root){.bytes = 0};
    if (!tone_read(s, &out->tone, &out->bytes))
        return false;
    uint32_t bytes;
    uint32_t next = s.n > 1 ? code_point(s, 1, &bytes) : 0;
    if (next == 'x' && !symbols)
        return false;
    out->natural = next == NATURAL;
    out->drawn = sign_word(next) != NULL;
    out->signed_ = out->bytes > 1;
    return true;
}

/* Writes the symbol that s begins with; returns the bytes taken, 0 where it is ordinary text. */
static uint32_t put_symbol(struct marked_text *t, struct str s, bool symbols, enum accidental_style style,
                           int marks)
{
    struct root root;
    uint32_t n = symbol_length(s, symbols);
    struct str whole = str_slice(s, 0, n);
    if (n == 0 || !root_read(whole, symbols, &root) || (!root.signed_ && !symbols))
        return 0;
    struct str tail = str_slice(whole, root.bytes, n);
    struct suffix suffix;
    if (octave_text(tail)) {
        put_tone(t, root.tone, root.natural, style, marks);
        if (style == ACCIDENTALS_WORDS)
            put_space(t, marks);
        marked_put(t, tail, marks);
        return n;
    }
    if (suffix_parse(tail, &suffix)) {
        put_tone(t, root.tone, root.natural, style, marks);
        put_suffix(t, &suffix, style, marks);
        return n;
    }
    bool typed_flat = !root.drawn && whole.n > 1 && whole.p[1] == 'b';
    if (str_is(tail, "s") && root.signed_ && !typed_flat) { /* "two F♯s"; "Abs" is another word */
        put_tone(t, root.tone, root.natural, style, marks);
        marked_put(t, tail, marks);
        return n;
    }
    if (!root.drawn)
        return 0;
    put_tone(t, root.tone, root.natural, style, marks);
    if (style == ACCIDENTALS_WORDS && is_alnum((unsigned char)tail.p[0]))
        put_space(t, marks);
    return root.bytes;
}

/* A sign that belongs to no capital letter: "♭9", "♭VI", "c♯ minor". */
static void put_lone_sign(struct marked_text *t, uint32_t sign, struct str drawn, struct str after,
                          enum accidental_style style, int marks)
{
    if (style == ACCIDENTALS_SIGNS) {
        marked_put(t, drawn, marks);
        return;
    }
    if (style == ACCIDENTALS_PLAIN) {
        marked_put(t, str_of(sign_ascii(sign)), marks);
        return;
    }
    if (is_wordish(marked_last(t)))
        put_space(t, marks);
    put_glued(t, sign_word(sign), marks);
    if (after.n && is_alnum((unsigned char)after.p[0]))
        put_space(t, marks);
}

void marked_put_names(struct marked_text *t, struct str s, bool symbols, enum accidental_style style,
                      int marks)
{
    uint32_t at = 0;
    while (at < s.n) {
        uint32_t bytes, c = code_point(s, at, &bytes);
        struct str rest = str_slice(s, at, s.n);
        if (c >= 'A' && c <= 'G' && !is_wordish(marked_last(t))) {
            uint32_t taken = put_symbol(t, rest, symbols, style, marks);
            if (taken) {
                at += taken;
                continue;
            }
        }
        if (sign_word(c))
            put_lone_sign(t, c, str_slice(rest, 0, bytes), str_slice(rest, bytes, rest.n), style, marks);
        else
            marked_put(t, str_slice(rest, 0, bytes), marks);
        at += bytes;
    }
}
