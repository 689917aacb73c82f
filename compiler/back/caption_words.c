/* caption_words.c - words, and what it costs to cut before each.
 *
 * Rules: BBC Subtitle Guidelines 3.4 to 3.10 (keep article and noun, preposition and phrase, conjunction and
 * clause, pronoun and verb, the parts of a verb together; prefer punctuation); Described and Captioned Media
 * Program (not a title from its name). The units of this trade (note and accidental, bar and number, work and
 * number) are our own judgement. The word lists are English. */
#include "back/caption_parts.h"

/* ---- from prose to words ------------------------------------------------------------------------ */

void marked_put_prose(struct marked_text *t, const struct prose *p, enum accidental_style style)
{
    for (uint32_t i = 0; i < p->n_runs; i++) {
        const struct run *run = &p->runs[i];
        switch (run->kind) {
        case RUN_TEXT:
            marked_put_names(t, run->text, run->code, style, run->emphasis || run->strong ? MARK_ITALIC : 0);
            break;
        case RUN_BREAK:
            marked_put(t, run->hard ? STR("\n") : STR(" "), 0);
            break;
        case RUN_PARAGRAPH:
            marked_put(t, STR("\f"), 0);
            break;
        case RUN_PICTURE:
            break;
        }
    }
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\f' || c == '\r';
}

static uint32_t count_chars(struct str s)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < s.n; i++)
        n += ((unsigned char)s.p[i] & 0xC0) != 0x80;
    return n;
}

/* Cuts a word where its italics change. */
static void fill_runs(struct caption_word *word, const char *marks, struct arena *a)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < word->text.n; i++)
        n += i == 0 || ((marks[i] ^ marks[i - 1]) & MARK_ITALIC);
    word->runs = ARENA_NEW_ARRAY(a, struct caption_run, n);
    uint32_t begin = 0;
    for (uint32_t i = 1; i <= word->text.n; i++) {
        if (i < word->text.n && !((marks[i] ^ marks[i - 1]) & MARK_ITALIC))
            continue;
        word->runs[word->n_runs++] =
            (struct caption_run){str_slice(word->text, begin, i), (marks[begin] & MARK_ITALIC) != 0};
        begin = i;
    }
}

struct caption_words marked_words(struct marked_text *t, struct arena *a)
{
    struct str text = buf_take(&t->text, a);
    struct str marks = buf_take(&t->marks, a);
    uint32_t n = 0;
    for (uint32_t i = 0; i < text.n; i++)
        n += !is_space(text.p[i]) && (i == 0 || is_space(text.p[i - 1]));
    struct caption_words words = {ARENA_NEW_ARRAY(a, struct caption_word, n), 0};
    uint32_t at = 0;
    while (at < text.n) {
        enum seam_force force = SEAM_FREE;
        bool glue = false;
        for (; at < text.n && is_space(text.p[at]); at++) {
            glue = (marks.p[at] & MARK_GLUE) != 0;
            if (text.p[at] == '\f')
                force = SEAM_PARAGRAPH;
            else if (text.p[at] == '\n' && force == SEAM_FREE)
                force = SEAM_LINE;
        }
        uint32_t begin = at;
        while (at < text.n && !is_space(text.p[at]))
            at++;
        if (at == begin)
            break;
        struct caption_word *word = &words.items[words.n++];
        word->text = str_slice(text, begin, at);
        word->chars = count_chars(word->text);
        word->force = words.n > 1 ? force : SEAM_FREE;
        word->seam = glue ? SEAM_PROTECTED : 0;
        fill_runs(word, marks.p + begin, a);
    }
    words_weigh(words);
    return words;
}

/* ---- word classes -------------------------------------------------------------------------------- */

enum {
    CLASS_ARTICLE = 1,
    CLASS_PREPOSITION = 2,
    CLASS_CONJUNCTION = 4,
    CLASS_PRONOUN = 8,
    CLASS_AUXILIARY = 16,
    CLASS_TITLE = 32,   /* Mr, Dr */
    CLASS_COUNTED = 64, /* bar 42, No. 5 */
    CLASS_UNIT = 128,   /* 6 seconds */
    CLASS_ACCIDENTAL = 256,
    CLASS_MODE = 512, /* after a note name: minor, seven */
    CLASS_WORK = 1024 /* Symphony No. 5 */
};

struct class_list {
    int word_class;
    const char *words; /* lower case, a space between */
};

static const struct class_list class_lists[] = {
    {CLASS_ARTICLE,
     "a an the this that these those my your his her its our their every each no some any both one two three "
     "four five six seven eight nine ten"},
    {CLASS_PREPOSITION,
     "of in on at by for with from to into onto over under between through against above below after before "
     "during without within upon across along around behind beneath beside beyond near off past "
     "toward towards until about like than as"},
    {CLASS_CONJUNCTION,
     "and or but nor so yet because although though while when where if unless since whether that which "
     "who whom whose what how why as than until"},
    {CLASS_PRONOUN, "i you he she it we they there who"},
    {CLASS_AUXILIARY,
     "is are was were be been being am has have had do does did will would shall should can could may might "
     "must not never to isn't aren't wasn't weren't don't doesn't didn't won't can't couldn't"},
    {CLASS_TITLE, "mr mrs ms dr prof st sir dame"},
    {CLASS_COUNTED, "bar bars beat beats measure measures no nos number numbers op opus act scene page pages "
                    "track part chapter "
                    "figure episode take reel cue voice k bwv"},
    {CLASS_UNIT, "second seconds minute minutes hour hours bar bars beat beats frame frames semitone "
                 "semitones cent cents hertz "
                 "hz khz percent % octaves notes voices times degrees milliseconds ms s bpm"},
    {CLASS_ACCIDENTAL, "sharp flat natural double"},
    {CLASS_MODE,
     "major minor diminished augmented half-diminished dominant seventh dorian phrygian lydian mixolydian "
     "aeolian locrian five six seven nine eleven thirteen"},
    {CLASS_WORK,
     "symphony sonata concerto quartet quintet trio suite prelude étude etude waltz nocturne mass overture "
     "rhapsody chorale"}};

enum { KEY_MAX = 24 };

/* A word in lower case without the marks around it; an empty key if it is longer than any listed word. */
struct word_key {
    char text[KEY_MAX];
    uint32_t n;
    char last; /* the mark that ends the word, 0 for none; closing quotes and brackets left out */
};

static bool is_closing(struct str s, uint32_t *bytes)
{
    static const char *const closers[] = {"\"", "'", ")", "]", "”", "’", "»"};
    for (size_t i = 0; i < sizeof closers / sizeof *closers; i++) {
        uint32_t n = (uint32_t)strlen(closers[i]);
        if (s.n >= n && memcmp(s.p + s.n - n, closers[i], n) == 0) {
            *bytes = n;
            return true;
        }
    }
    return false;
}

static bool is_opening(struct str s, uint32_t *bytes)
{
    static const char *const openers[] = {"\"", "'", "(", "[", "“", "‘", "«"};
    for (size_t i = 0; i < sizeof openers / sizeof *openers; i++) {
        if (str_starts(s, str_of(openers[i]))) {
            *bytes = (uint32_t)strlen(openers[i]);
            return true;
        }
    }
    return false;
}

static struct word_key key_of(struct str s)
{
    struct word_key key = {.n = 0};
    uint32_t bytes;
    while (is_opening(s, &bytes))
        s = str_slice(s, bytes, s.n);
    while (s.n) {
        char c = s.p[s.n - 1];
        if (is_closing(s, &bytes)) {
            s.n -= bytes;
        } else if (strchr(".,;:!?", c)) {
            if (!key.last)
                key.last = c;
            s.n--;
        } else {
            break;
        }
    }
    if (s.n >= KEY_MAX)
        return key;
    for (uint32_t i = 0; i < s.n; i++)
        key.text[i] = s.p[i] >= 'A' && s.p[i] <= 'Z' ? (char)(s.p[i] - 'A' + 'a') : s.p[i];
    key.n = s.n;
    return key;
}

static bool list_has(const char *list, const struct word_key *key)
{
    for (const char *word = list; *word; word++) { /* most differ in their first letter */
        if (*word == key->text[0] && strncmp(word, key->text, key->n) == 0 &&
            (word[key->n] == ' ' || word[key->n] == '\0'))
            return true;
        while (*word != ' ')
            if (*++word == '\0')
                return false;
    }
    return false;
}

static int class_of(const struct word_key *key)
{
    int found = 0;
    for (size_t i = 0; key->n && i < sizeof class_lists / sizeof *class_lists; i++)
        if (list_has(class_lists[i].words, key))
            found |= class_lists[i].word_class;
    return found;
}

/* ---- units that are never cut ------------------------------------------------------------------------- */

/* What is known of a word while its neighbours are looked at. */
struct looked {
    struct word_key key;
    int word_class;
    bool number; /* begins with a digit, or a Roman numeral */
    bool letter; /* a capital A to G alone */
    bool capital;
    bool initial; /* a capital with a point: "J." */
    bool dash;    /* ends with a dash */
    bool owner;   /* ends with 's */
};

static bool roman_text(struct str s)
{
    if (s.n == 0)
        return false;
    for (uint32_t i = 0; i < s.n; i++)
        if (!strchr("IVXivx", s.p[i]))
            return false;
    return true;
}

static bool ends_with(struct str s, const char *z)
{
    uint32_t n = (uint32_t)strlen(z);
    return s.n >= n && memcmp(s.p + s.n - n, z, n) == 0;
}

static struct looked look_at(struct str s)
{
    struct looked w = {.key = key_of(s)};
    w.word_class = class_of(&w.key);
    uint32_t bytes;
    struct str bare = s;
    while (is_opening(bare, &bytes))
        bare = str_slice(bare, bytes, bare.n);
    char first = bare.n ? bare.p[0] : 0;
    w.capital = first >= 'A' && first <= 'Z';
    struct str inner = str_slice(bare, 0, w.key.n);
    w.number = (first >= '0' && first <= '9') || roman_text(inner);
    w.letter = w.key.n == 1 && first >= 'A' && first <= 'G';
    w.initial = w.key.n == 1 && w.capital && w.key.last == '.';
    w.dash = ends_with(s, "—") || ends_with(s, "–") || ends_with(s, "-") || ends_with(s, "…");
    w.owner = ends_with(s, "'s") || ends_with(s, "’s");
    return w;
}

static bool no_stop(const struct looked *w)
{
    return w->key.last == 0;
}

/* Is the seam between two words inside a unit? `before` is the word before them (NULL at the beginning). */
static bool is_protected(const struct looked *before, const struct looked *a, const struct looked *b)
{
    bool accidental = (a->word_class & CLASS_ACCIDENTAL) != 0;
    if (no_stop(a)) {
        if (a->letter && (b->word_class & (CLASS_ACCIDENTAL | CLASS_MODE)))
            return true;
        if (accidental && before && before->letter && (b->word_class & (CLASS_ACCIDENTAL | CLASS_MODE)))
            return true;
        if (accidental && (b->word_class & CLASS_MODE) &&
            str_is((struct str){a->key.text, a->key.n}, "double"))
            return true;
        if (a->number && (b->word_class & CLASS_UNIT))
            return true;
        if ((a->word_class & CLASS_WORK) && (b->number || (b->word_class & CLASS_COUNTED)))
            return true;
        /* "quarter = 96" */
        if (str_is((struct str){b->key.text, b->key.n}, "=") ||
            str_is((struct str){a->key.text, a->key.n}, "="))
            return true;
        /* "bars 3 to 6" */
        struct str a_text = {a->key.text, a->key.n}, b_text = {b->key.text, b->key.n};
        if (a->number && str_is(b_text, "to"))
            return before != NULL && (before->word_class & CLASS_COUNTED);
        if (str_is(a_text, "to") && b->number)
            return before != NULL && before->number;
    }
    /* The point of "No." and "Dr." does not end a sentence. */
    if ((a->word_class & CLASS_COUNTED) && b->number && (no_stop(a) || a->key.last == '.'))
        return true;
    /* "J. S. Bach"; but "over D. Bach" ends a sentence with a note, and "Henry I." one with a number. */
    if (a->initial && b->capital && (b->initial || (!a->letter && !a->number)))
        return true;
    return (a->word_class & CLASS_TITLE) && a->capital && b->capital;
}

enum { TITLE_CHARS = 20 };

static bool opens_quote(struct str s)
{
    uint32_t bytes;
    while (str_starts(s, STR("(")) || str_starts(s, STR("[")))
        s = str_slice(s, 1, s.n);
    return (str_starts(s, STR("\"")) || str_starts(s, STR("“"))) && is_opening(s, &bytes) && s.n > bytes;
}

static bool closes_quote(struct str s)
{
    while (s.n && strchr(".,;:!?)]", s.p[s.n - 1]))
        s.n--;
    return s.n > 1 && (s.p[s.n - 1] == '"' || ends_with(s, "”"));
}

/* A short title in quotation marks stays whole. */
static void protect_titles(struct caption_words words)
{
    for (uint32_t i = 0; i < words.n; i++) {
        if (!opens_quote(words.items[i].text))
            continue;
        uint32_t chars = words.items[i].chars, last = i;
        while (last + 1 < words.n && !closes_quote(words.items[last].text) && chars <= TITLE_CHARS + 2) {
            last++;
            chars += 1 + words.items[last].chars;
        }
        if (chars > TITLE_CHARS + 2 || !closes_quote(words.items[last].text))
            continue;
        for (uint32_t k = i + 1; k <= last; k++)
            words.items[k].seam = SEAM_PROTECTED;
        i = last;
    }
}

/* ---- seams ----------------------------------------------------------------------------------------- */

/* Costs of a cut, from the ends of sentences to the inside of a phrase; only their order is from the
 * guidelines. */
enum {
    COST_CLAUSE = 6, /* after ; : or a dash */
    COST_COMMA = 12,
    COST_CONJUNCTION = 24, /* before one */
    COST_PREPOSITION = 34, /* before one */
    COST_PLAIN = 64,
    COST_AUXILIARY = 120, /* after each of these */
    COST_PRONOUN = 140,
    COST_AFTER_CONJUNCTION = 150,
    COST_NAME = 160, /* between two capitalised words */
    COST_AFTER_PREPOSITION = 190,
    COST_ARTICLE = 240
};

static int32_t seam_cost(const struct looked *a, const struct looked *b)
{
    if (a->key.last == '.' || a->key.last == '!' || a->key.last == '?')
        return (a->word_class & (CLASS_TITLE | CLASS_COUNTED)) ? COST_NAME : 0;
    if (a->key.last == ';' || a->key.last == ':' || a->dash)
        return COST_CLAUSE;
    if (a->key.last == ',')
        return COST_COMMA;
    if ((a->word_class & CLASS_ARTICLE) && (b->word_class & CLASS_CONJUNCTION))
        return COST_CONJUNCTION; /* "one and two" */
    if ((a->word_class & CLASS_ARTICLE) || a->owner)
        return COST_ARTICLE;
    if (a->word_class & CLASS_PREPOSITION)
        return COST_AFTER_PREPOSITION;
    if (a->word_class & CLASS_CONJUNCTION)
        return COST_AFTER_CONJUNCTION;
    if (a->word_class & CLASS_PRONOUN)
        return COST_PRONOUN;
    if (a->word_class & CLASS_AUXILIARY)
        return COST_AUXILIARY;
    if (b->word_class & CLASS_CONJUNCTION)
        return COST_CONJUNCTION;
    if (b->word_class & CLASS_PREPOSITION)
        return COST_PREPOSITION;
    if (a->capital && b->capital)
        return COST_NAME;
    return COST_PLAIN;
}

void words_weigh(struct caption_words words)
{
    struct looked before = {.word_class = 0}, a = {.word_class = 0};
    for (uint32_t i = 0; i < words.n; i++) {
        struct caption_word *word = &words.items[i];
        struct looked b = look_at(word->text);
        word->sentence_end = b.key.last == '.' || b.key.last == '!' || b.key.last == '?';
        if (i > 0 && word->seam != SEAM_PROTECTED)
            word->seam = is_protected(i > 1 ? &before : NULL, &a, &b) ? SEAM_PROTECTED : seam_cost(&a, &b);
        if (i > 0 && word->seam == SEAM_PROTECTED)
            words.items[i - 1].sentence_end = false; /* the point of an abbreviation */
        before = a;
        a = b;
    }
    protect_titles(words);
}
