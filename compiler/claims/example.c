/* example.c - a sentence that a pattern reads, for a sentence that none does. */
#include "base/buf.h"
#include "claims/match.h"

struct writer {
    const struct reader *r;
    const char *at;
    uint32_t
        used[SLOTS]; /* how many of each slot the sentence has by now: a second one differs from the first */
    struct str word; /* written last; empty after a slot */
    enum slot slot;  /* likewise; SLOTS after a word */
    bool of_chords;  /* `roots of`, `every chord of`: what follows is a harmony */
    bool joined;     /* `and` was written: the subject has two members */
    bool plural;     /* of the subject so far */
};

/* ---- slots -----------------------------------------------------------------------------------------------
 */

static const struct passage *passage_shown(const struct reader *r)
{
    const struct model *m = r->model;
    return r->named                 ? r->named
           : r->index->only_passage ? r->index->only_passage
           : m->n_passages          ? m->passages[0]
                                    : NULL;
}

/* The file's own names read better than invented ones. */
static struct str stream_example(const struct writer *w, uint32_t number)
{
    const struct passage *p = passage_shown(w->r);
    if (!p)
        return number ? STR("the bass") : STR("the harmony");
    if (p->n_parts == 0 || w->of_chords)
        return str_printf(w->r->arena, "the harmony of %.*s", STR_ARG(p->symbol.name));
    if (number >= p->n_parts)
        return str_printf(w->r->arena, "the bass of %.*s", STR_ARG(p->symbol.name));
    return str_printf(w->r->arena, "%.*s of %.*s", STR_ARG(p->parts[number]->symbol.name),
                      STR_ARG(p->symbol.name));
}

static struct str named_example(const struct writer *w, enum slot slot, uint32_t number)
{
    const struct model *m = w->r->model;
    const struct passage *p = passage_shown(w->r);
    if (slot == SLOT_FIGURE)
        return number < m->n_figures ? m->figures[number]->symbol.name : number ? STR("answer") : STR("call");
    if (slot == SLOT_PASSAGE)
        return p ? p->symbol.name : STR("lamp");
    return m->n_recordings ? m->recordings[0]->symbol.name : STR("album");
}

static struct str slot_example(const struct writer *w, enum slot slot, uint32_t number)
{
    static const char *const texts[SLOTS][2] = {
        [SLOT_PITCH] = {"Bb3", "D4"},
        [SLOT_TONE] = {"D", "A"},
        [SLOT_TONES] = {"D, F and A", "D and F"},
        [SLOT_PLACE] = {"bar 1", "bar 2"},
        [SLOT_CHORD] = {"the chord at bar 1", "the chord at bar 2"},
        [SLOT_SYMBOL] = {"Dm", "Eb"},
        [SLOT_INTERVAL] = {"a major third", "a perfect fifth"},
        [SLOT_DIRECTION] = {"up", "down"},
        [SLOT_KEY] = {"D minor", "F major"},
        [SLOT_SCALE] = {"D dorian", "octatonic on D"},
        [SLOT_INSTRUMENT] = {"the oboe", "the horn"},
        [SLOT_QUALITY] = {"a dominant seventh", "a minor triad"},
        [SLOT_FAMILY] = {"strings", "brass"},
        [SLOT_COUNT] = {"two", "three"},
        [SLOT_VALUE] = {"1/4", "1/8"},
        [SLOT_LENGTH] = {"2 bars", "1 bar"},
        [SLOT_TIME] = {"0:33", "0:40"},
        [SLOT_NUMERAL] = {"V7", "I"},
        [SLOT_NUMERALS] = {"ii6 V7 I", "I V I"},
        [SLOT_NUMBERS] = {"[0 1 4]", "[0 3 7]"},
        [SLOT_EXCHANGE] = {"PL", "R"},
    };
    const char *text = texts[slot][number > 0];
    if (slot == SLOT_DIRECTION && w->slot == SLOT_INTERVAL)
        return number ? STR("below") : STR("above");
    if (slot == SLOT_SYMBOL && str_is(w->word, "polychord"))
        return *w->at ? STR("of Dm") : STR("of D over Eb");
    if (text)
        return str_of(text);
    return slot == SLOT_STREAM || slot == SLOT_PART ? stream_example(w, number)
                                                    : named_example(w, slot, number);
}

/* ---- patterns --------------------------------------------------------------------------------------------
 */

static void put_word(struct buf *b, struct str word)
{
    if (b->n && word.n)
        buf_byte(b, ' ');
    buf_str_put(b, word);
}

static bool in_sentence(const struct reader *r, struct str word)
{
    uint32_t stem = stem_hash(word);
    for (uint32_t i = 0; i < r->n; i++)
        if (r->stems[i] == stem)
            return true;
    return false;
}

static bool is_one_of(struct str word, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (str_is(word, list[i]))
            return true;
    return false;
}

#define IS_ONE_OF(word, list) is_one_of(word, list, sizeof(list) / sizeof *(list))

/* Patterns are written without articles, sentences are not. */
static const char *article(const struct writer *w, struct str word)
{
    static const char *const verbs[] = {"is", "are", "has", "have", "forms", "form", "makes", "on"};
    static const char *const nouns[] = {"polychord", "interleaved", "bass",     "inner",
                                        "inverted",  "tonic",       "dominant", "double"};
    static const char *const before_noun[] = {"diatonic", "chromatic", "doubly"};
    static const char *const steps[] = {"step",  "second", "third",   "fourth",
                                        "fifth", "sixth",  "seventh", "octave"};
    static const char *const superlatives[] = {"highest", "lowest", "first", "last"};
    static const char *const within[] = {"within", "in", "inside", "above", "below"};
    if (str_is(word, "range") && IS_ONE_OF(w->word, within))
        return "the ";
    if (str_is(w->word, "share") && !str_is(word, "their") && !str_is(word, "only"))
        return "their ";
    if (str_is(word, "only") && (str_is(w->word, "is") || str_is(w->word, "are")))
        return "the ";
    if (str_is(w->word, "without"))
        return strchr("aeio", word.p[0]) ? "an " : "a ";
    bool after_verb = IS_ONE_OF(w->word, verbs);
    if (after_verb && IS_ONE_OF(word, superlatives))
        return "the ";
    bool mediant = IS_ONE_OF(word, before_noun) && (strstr(w->at, "mediant") || strstr(w->at, "lament"));
    bool noun = after_verb && (IS_ONE_OF(word, nouns) || mediant);
    if (!noun && !(w->slot == SLOT_DIRECTION && IS_ONE_OF(word, steps)))
        return "";
    return strchr("aeio", word.p[0]) ? "an " : "a ";
}

static bool at_mark(char c)
{
    return c == 0 || strchr(" []<>|", c) != NULL;
}

static struct str next_word(struct writer *w)
{
    const char *from = w->at;
    while (!at_mark(*w->at))
        w->at++;
    return (struct str){from, (uint32_t)(w->at - from)};
}

static bool ends_in_s(struct str word)
{
    return word.n && word.p[word.n - 1] == 's';
}

/* The variant of a word that the sentence has; else the first, after a number the first plural. */
static struct str choose_word(struct writer *w, bool in_choice, bool *met)
{
    struct str word = next_word(w);
    bool has = in_sentence(w->r, word), plural = w->slot == SLOT_COUNT;
    while (!in_choice && *w->at == '|') {
        w->at++;
        struct str other = next_word(w);
        bool preposition = word.n <= 2; /* `up` for `in` would be of no help */
        if (plural ? !ends_in_s(word) : !has && !preposition && in_sentence(w->r, other))
            word = other;
        has = has || in_sentence(w->r, other);
    }
    *met = *met || has;
    return word;
}

/* Patterns have their verbs in the third person singular: "strings of lamp move". */
static struct str agree(const struct writer *w, struct str word)
{
    bool subject = w->slot != SLOTS && w->slot != SLOT_COUNT && w->slot != SLOT_INTERVAL;
    if (!subject || !w->plural || !ends_in_s(word))
        return word;
    if (str_is(word, "is"))
        return STR("are");
    if (str_is(word, "has"))
        return STR("have");
    return str_slice(word, 0, word.n - (str_is(word, "goes") ? 2 : 1));
}

static void subject_add(struct writer *w, struct str text)
{
    uint32_t n = 0; /* "strings of lamp" is plural, "the bass of lamp" is not */
    while (n < text.n && text.p[n] != ' ')
        n++;
    w->plural = w->plural || w->joined || (n > 2 && ends_in_s(str_slice(text, 0, n)) && text.p[n - 2] != 's');
}

static void write_word(struct writer *w, struct buf *b, bool in_choice, bool *met)
{
    static const char *const chords[] = {"roots", "chord", "chords", "triad"};
    static const char *const several[] = {"roots", "chords", "layers"};
    const char *from = w->at;
    enum slot slot = slot_by_name(next_word(w));
    if (slot != SLOTS) {
        struct str text = slot_example(w, slot, w->used[slot]++);
        put_word(b, text);
        subject_add(w, text);
        w->of_chords = false;
        w->word = STR("");
        w->slot = slot;
        return;
    }
    w->at = from;
    struct str word = choose_word(w, in_choice, met), form = agree(w, word);
    put_word(
        b, str_printf(w->r->arena, "%s%.*s%s", article(w, word), STR_ARG(form),
                      str_is(w->word, "parallel") && !str_is(word, "motion") && !ends_in_s(word) ? "s" : ""));
    w->joined = str_is(word, "and");
    w->plural = w->plural || IS_ONE_OF(word, several);
    w->of_chords = IS_ONE_OF(word, chords) || (w->of_chords && str_is(word, "of"));
    w->word = word;
    w->slot = SLOTS;
}

static void write_row(struct writer *w, struct buf *b, bool in_choice, bool *met);

/* The alternative that shares a word with the sentence, else the first. */
static void write_choice(struct writer *w, struct buf *b, bool *met)
{
    struct str best = STR("");
    struct writer before = *w, taken = *w;
    bool found = false;
    do {
        struct buf one = {0};
        bool has = false;
        before.at = w->at + 1;
        *w = before;
        write_row(w, &one, true, &has);
        struct str text = buf_take(&one, w->r->arena);
        if (best.n == 0 || (has && !found)) {
            best = text;
            taken = *w;
        }
        found = found || has;
    } while (*w->at == '|');
    *met = *met || found;
    taken.at = w->at;
    *w = taken;
    put_word(b, best);
}

static void write_row(struct writer *w, struct buf *b, bool in_choice, bool *met)
{
    for (;;) {
        char mark = *w->at;
        if (mark == 0 || mark == ']' || mark == '>' || (mark == '|' && in_choice))
            return;
        if (mark == ' ') {
            w->at++;
        } else if (mark == '[' && b->n == 0 &&
                   (strncmp(w->at, "[all|", 5) == 0 || strncmp(w->at, "[every", 6) == 0)) {
            w->at++;
            put_word(b, STR("every"));
            while (*w->at++ != ']') {
            }
        } else if (strncmp(w->at, "[DIRECTION", 10) == 0 && w->slot != SLOT_INTERVAL) {
            w->at++; /* "moves up a major third" tells more than "moves" */
            write_row(w, b, false, met);
            w->at++;
        } else if (mark == '[') { /* what may be left out is left out */
            struct writer aside = *w;
            struct buf none = {0};
            bool ignored = false;
            aside.at++;
            write_row(&aside, &none, false, &ignored);
            buf_take(&none, w->r->arena);
            w->at = aside.at + 1;
        } else if (mark == '<') {
            write_choice(w, b, met);
            w->at++;
        } else {
            write_word(w, b, in_choice, met);
        }
    }
}

struct str pattern_example(const struct reader *r, const struct pattern *p)
{
    struct writer w = {.r = r, .at = p->kind->patterns[p->number], .slot = SLOTS};
    struct buf b = {0};
    bool met = false;
    write_row(&w, &b, false, &met);
    return buf_take(&b, r->arena);
}
