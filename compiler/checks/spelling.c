/* The spelling list against the narration: forms that are forbidden, and words that are nearly a name.
 *
 * Most words of the narration begin with a letter that no form of the list and no name begins with; they are passed over at
 * once. The others get a hash and the set of their letters, and only a word whose hash begins a form, or whose letters are
 * nearly those of a name, is looked at as text. So a long list costs little more than a short one.
 */
#include "checks/checks.h"

#include "base/array.h"
#include "base/buf.h"
#include "diag/suggest.h"

#include <stdlib.h>
#include <utf8proc.h>

/* What is told of a word without a look at its text. */
struct shape {
    uint32_t hash;    /* of the folded text */
    uint32_t
        letters; /* which of a to z occur: words that one letter's change apart differ in two bits at most */
    bool ascii;
};

/* A word of narration, and where it stands. */
struct word {
    struct str raw; /* within the text of the run */
    const struct run *run;
    bool joined; /* only white space between it and the word before */
};

struct form {
    const struct spelling *spelling;
    struct str *words; /* folded */
    uint32_t n;
    bool right; /* the spelling's own form, of several words: what another one forbids is right in it */
    struct form *next; /* whose first word has the same hash */
};

/* The right form of a spelling, if it is one word, or a word of it that begins with a capital. */
struct name {
    struct str right;     /* as spelled */
    struct str folded;
    struct str bare;      /* without accents */
    struct shape shape;
    const struct spelling *of;
};

struct form_slot {
    uint32_t hash;
    struct form *forms; /* NULL: empty place of the table */
};

struct speller {
    const struct model *m;
    struct arena *arena;
    struct form_slot *slots;
    uint32_t n_slots;
    struct name *names; /* for near misses */
    uint32_t n_names;
    uint32_t firsts; /* a bit a letter that a form, or a name with near misses, begins with; all where that cannot be told */
    struct word *words;
    uint32_t n_words, cap_words;
};

/* ---- words -------------------------------------------------------------------------------------------- */

/* The letter from 0 to 25, either case; 26 or more for other bytes. */
static inline uint32_t ascii_letter(unsigned char c)
{
    return (uint32_t)(c | 0x20) - 'a';
}

static inline bool is_alphanumeric(unsigned char c)
{
    return ascii_letter(c) < 26 || (c >= '0' && c <= '9');
}

/* Bytes of the letter, digit or accent beyond ASCII that begins at i; 0 if none does. */
static uint32_t foreign_letter_at(struct str t, uint32_t i)
{
    utf8proc_int32_t c;
    utf8proc_ssize_t n = utf8proc_iterate((const utf8proc_uint8_t *)t.p + i, (utf8proc_ssize_t)(t.n - i), &c);
    if (n <= 0)
        return 0;
    utf8proc_category_t category = utf8proc_category(c);
    bool letter = (category >= UTF8PROC_CATEGORY_LU && category <= UTF8PROC_CATEGORY_NO);
    return letter ? (uint32_t)n : 0;
}

/* Bytes of any letter, digit or accent that begins at i; 0 if none does. */
static inline uint32_t letter_at(struct str t, uint32_t i)
{
    if (i >= t.n)
        return 0;
    unsigned char c = (unsigned char)t.p[i];
    return c < 0x80 ? is_alphanumeric(c) : foreign_letter_at(t, i);
}

/* Bytes of the apostrophe (both forms) or hyphen at i that joins letters on its two sides; else 0. */
static uint32_t joint_at(struct str t, uint32_t i)
{
    uint32_t n = 0;
    if (i < t.n && (t.p[i] == '\'' || t.p[i] == '-'))
        n = 1;
    else if (str_starts(str_slice(t, i, t.n), STR("\u2019")))
        n = 3;
    return n && letter_at(t, i + n) ? n : 0;
}

/* Bytes at i with which a word goes on after ASCII letters: a foreign letter, or a joint. The possessive `'s` is no part of it. */
static uint32_t continued_at(struct str t, uint32_t i)
{
    uint32_t n = letter_at(t, i);
    if (n)
        return n;
    n = joint_at(t, i);
    bool possessive = n && t.p[i] != '-' && t.p[i + n] == 's' && !letter_at(t, i + n + 1) && !joint_at(t, i + n + 1);
    return possessive ? 0 : n;
}

/* The word at or behind *lo; false if there is none. */
static bool next_word(struct str t, uint32_t *lo, uint32_t *hi)
{
    uint32_t i = *lo;
    while (i < t.n && !letter_at(t, i))
        i++;
    *lo = i;
    for (;;) {
        while (i < t.n && is_alphanumeric((unsigned char)t.p[i]))
            i++;
        *hi = i;
        if (i == t.n || t.p[i] == ' ') /* as most words end */
            break;
        uint32_t more = continued_at(t, i);
        if (!more)
            break;
        i += more;
    }
    return *hi > *lo;
}

/* Case folded; accents stay. Text that is small letters already is returned as it is. */
static struct str fold(struct arena *a, struct str s)
{
    bool ascii = true, plain = true;
    for (uint32_t i = 0; i < s.n; i++) {
        ascii = ascii && (unsigned char)s.p[i] < 0x80;
        plain = plain && !(s.p[i] >= 'A' && s.p[i] <= 'Z');
    }
    if (ascii && plain)
        return s;
    char *out = arena_copy(a, s.p, s.n);
    for (uint32_t i = 0; i < s.n; i++)
        if (out[i] >= 'A' && out[i] <= 'Z')
            out[i] = (char)(out[i] - 'A' + 'a');
    if (ascii)
        return (struct str){out, s.n};
    utf8proc_uint8_t *folded = NULL;
    utf8proc_ssize_t n = utf8proc_map((const utf8proc_uint8_t *)s.p, (utf8proc_ssize_t)s.n, &folded,
                                      UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_CASEFOLD);
    if (n < 0)
        return (struct str){out, s.n};
    struct str copy = {arena_copy(a, (const char *)folded, (size_t)n), (uint32_t)n};
    free(folded);
    return copy;
}

static bool is_ascii(struct str s)
{
    for (uint32_t i = 0; i < s.n; i++)
        if ((unsigned char)s.p[i] >= 0x80)
            return false;
    return true;
}

/* The shape of a word, all of whose text is given. */
static struct shape shape_of(struct arena *a, struct str raw)
{
    uint32_t hash = STR_HASH_EMPTY, letters = 0;
    for (uint32_t i = 0; i < raw.n; i++) {
        unsigned char c = (unsigned char)raw.p[i];
        if (c >= 0x80)
            return (struct shape){.hash = str_hash(fold(a, raw))};
        uint32_t letter = ascii_letter(c);
        if (letter < 26) {
            letters |= 1u << letter;
            c |= 0x20;
        }
        hash = str_hash_add(hash, c);
    }
    return (struct shape){hash, letters, true};
}

/* Accents taken off: "dvorak" for "dvořák". The text is folded. */
static struct str bare(struct arena *a, struct str s)
{
    if (is_ascii(s))
        return s;
    utf8proc_uint8_t *mapped = NULL;
    utf8proc_ssize_t n =
        utf8proc_map((const utf8proc_uint8_t *)s.p, (utf8proc_ssize_t)s.n, &mapped,
                     UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_STRIPMARK | UTF8PROC_CASEFOLD);
    if (n < 0)
        return s;
    struct str copy = {arena_copy(a, (const char *)mapped, (size_t)n), (uint32_t)n};
    free(mapped);
    return copy;
}

/* ---- the list
 * -------------------------------------------------------------------------------------------- */

static struct form_slot *slot_of(const struct speller *s, uint32_t hash)
{
    uint32_t i = hash & (s->n_slots - 1);
    while (s->slots[i].forms && s->slots[i].hash != hash)
        i = (i + 1) & (s->n_slots - 1);
    return &s->slots[i];
}

static uint32_t words_of(struct arena *a, struct str text, struct str **out)
{
    uint32_t n = 0, lo = 0, hi;
    for (; next_word(text, &lo, &hi); lo = hi)
        ARRAY_PUSH(a, *out, n, fold(a, str_slice(text, lo, hi)));
    return n;
}

/* A word that begins with no ASCII letter is never passed over. */
static void add_first(struct speller *s, struct str folded)
{
    uint32_t first = ascii_letter((unsigned char)folded.p[0]);
    if (first < 26)
        s->firsts |= 1u << first;
}

static bool is_passed_over(const struct speller *s, struct str raw)
{
    uint32_t first = ascii_letter((unsigned char)raw.p[0]);
    return first < 26 && !(s->firsts >> first & 1);
}

static void add_form(struct speller *s, const struct spelling *sp, struct str text, bool right)
{
    struct form *f = ARENA_NEW(s->arena, struct form);
    f->spelling = sp;
    f->right = right;
    f->n = words_of(s->arena, text, &f->words);
    if (f->n < (right ? 2 : 1))
        return;
    add_first(s, f->words[0]);
    uint32_t hash = str_hash(f->words[0]);
    struct form_slot *slot = slot_of(s, hash);
    slot->hash = hash;
    f->next = slot->forms;
    slot->forms = f;
}

static bool is_capital(struct str s)
{
    return s.n && s.p[0] >= 'A' && s.p[0] <= 'Z';
}

enum { NEAR_LEAST = 6 }; /* shorter names have too many neighbours, but for accents left out */

/* A right form of several words is made of names and of ordinary words: `Lamps of the Harbour`. */
static void add_names(struct speller *s, const struct spelling *sp)
{
    uint32_t lo = 0, hi;
    for (; next_word(sp->right, &lo, &hi); lo = hi) {
        bool whole = lo == 0 && hi == sp->right.n;
        struct str word = str_slice(sp->right, lo, hi), folded = fold(s->arena, word);
        if (!whole && !is_capital(word))
            continue;
        struct shape shape = shape_of(s->arena, folded);
        ARRAY_PUSH(s->arena, s->names, s->n_names, (struct name){word, folded, bare(s->arena, folded), shape, sp});
        if (!shape.ascii)
            s->firsts = UINT32_MAX;
        else if (folded.n >= NEAR_LEAST)
            add_first(s, folded);
    }
}

static void list_read(struct speller *s)
{
    uint32_t forms = 0;
    for (uint32_t i = 0; i < s->m->n_spellings; i++)
        forms += s->m->spellings[i]->n_wrong + 1;
    s->n_slots = 16;
    while (s->n_slots < forms * 4)
        s->n_slots *= 2;
    s->slots = ARENA_NEW_ARRAY(s->arena, struct form_slot, s->n_slots);
    for (uint32_t i = 0; i < s->m->n_spellings; i++) {
        const struct spelling *sp = s->m->spellings[i];
        for (uint32_t k = 0; k < sp->n_wrong; k++)
            add_form(s, sp, sp->wrong[k], false);
        add_form(s, sp, sp->right, true);
        add_names(s, sp);
    }
}

/* ---- the narration
 * ---------------------------------------------------------------------------------------- */

static bool is_blank(struct str s)
{
    for (uint32_t i = 0; i < s.n; i++)
        if (s.p[i] != ' ' && s.p[i] != '\t')
            return false;
    return true;
}

static void word_add(struct speller *s, struct word w)
{
    if (s->n_words == s->cap_words) {
        s->cap_words = s->cap_words ? s->cap_words * 2 : 512;
        struct word *grown = arena_take(s->arena, s->cap_words * sizeof *grown);
        if (s->n_words)
            memcpy(grown, s->words, s->n_words * sizeof *grown);
        s->words = grown;
    }
    s->words[s->n_words++] = w;
}

static void run_words(struct speller *s, const struct run *run, bool *joined)
{
    struct str t = run->text;
    uint32_t lo = 0, hi, before = 0;
    for (; next_word(t, &lo, &hi); lo = before = hi) {
        struct str raw = {t.p + lo, hi - lo};
        bool near = *joined && is_blank(str_slice(t, before, lo));
        word_add(s, (struct word){raw, run, near});
        *joined = true;
    }
    *joined = *joined && is_blank(str_slice(t, before, t.n));
}

static void prose_words(struct speller *s, const struct prose *p)
{
    s->n_words = 0;
    bool joined = false;
    for (uint32_t i = 0; i < p->n_runs; i++) {
        if (run_is_address(&p->runs[i]))
            joined = false;
        else if (p->runs[i].kind == RUN_TEXT)
            run_words(s, &p->runs[i], &joined);
        else if (p->runs[i].kind != RUN_BREAK)
            joined = false;
    }
}

static struct span word_span(const struct word *w)
{
    uint32_t lo = (uint32_t)(w->raw.p - w->run->text.p);
    return run_span(w->run, lo, lo + w->raw.n);
}

static struct str folded_at(const struct speller *s, uint32_t at)
{
    return fold(s->arena, s->words[at].raw);
}

static bool form_matches(const struct speller *s, const struct form *f, uint32_t at)
{
    if (at + f->n > s->n_words)
        return false;
    for (uint32_t k = 0; k < f->n; k++)
        if ((k && !s->words[at + k].joined) || !str_eq(folded_at(s, at + k), f->words[k]))
            return false;
    return true;
}

/* A capital that begins a sentence stays. */
static void report_wrong(const struct speller *s, const struct form *f, uint32_t at)
{
    const struct spelling *sp = f->spelling;
    struct span where = span_join(word_span(&s->words[at]), word_span(&s->words[at + f->n - 1]));
    struct str written = source_text(s->m->sources, where);
    bool one_line = str_find(written, STR("\n")) == written.n;
    struct buf words = {0};
    for (uint32_t i = 0; i < f->n; i++)
        buf_printf(&words, "%s%.*s", i ? " " : "", STR_ARG(s->words[at + i].raw));
    struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_WRONG, where, "`%.*s` is spelled `%.*s`",
                              STR_ARG(buf_str(&words)), STR_ARG(sp->right));
    buf_free(&words);
    diag_place(s->m->diags, d, sp->where, "the spelling list says so");
    struct str right = sp->right;
    char first = s->words[at].raw.p[0];
    if (first >= 'A' && first <= 'Z' && right.n && right.p[0] >= 'a' && right.p[0] <= 'z') {
        char *capital = arena_copy(s->m->arena, right.p, right.n);
        capital[0] = (char)(capital[0] - 'a' + 'A');
        right.p = capital;
    }
    if (one_line) /* else the fix would take a line end, and what quotes or lists begin the next line with */
        diag_fix(s->m->diags, d, where, right, true);
}

static bool is_listed(const struct speller *s, struct str folded)
{
    for (uint32_t i = 0; i < s->n_names; i++)
        if (str_eq(s->names[i].folded, folded))
            return true;
    return false;
}

/* An ending that grammar adds or takes is no slip: breakwaters, lit from Lights. */
static bool is_inflected(struct str longer, struct str shorter)
{
    static const char *const endings[] = {"s", "es", "d", "ed", "n", "ly", "ing"};
    if (!str_starts(longer, shorter))
        return false;
    struct str rest = str_slice(longer, shorter.n, longer.n);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (str_is(rest, endings[i]))
            return true;
    return rest.n && rest.p[0] == '-';
}

/* An ordinary word beside a name is no slip (`martin` the bird beside `Marten`); and slips keep the first
 * letter, which the writer knows. */
static bool is_another_word(const struct word *w, struct str folded, const struct name *name)
{
    bool small = w->raw.p[0] >= 'a' && w->raw.p[0] <= 'z';
    return (small && is_capital(name->right)) || folded.p[0] != name->folded.p[0] ||
           is_inflected(folded, name->folded) || is_inflected(name->folded, folded);
}

/* So many bytes can a word's accents add, in UTF-8. */
enum { ACCENTS_BYTES = 4 };

static inline bool more_than_two(uint32_t bits)
{
    bits &= bits - 1;
    return (bits & (bits - 1)) != 0;
}

/* Can the word be a near miss? Most are ruled out by their length and letters alone. */
static inline bool may_be_near(const struct word *w, struct shape shape, const struct name *name)
{
    if (!(shape.ascii && name->shape.ascii))
        return true;
    return name->folded.n >= NEAR_LEAST && !more_than_two(shape.letters ^ name->shape.letters) &&
           w->raw.n + 1 >= name->folded.n && w->raw.n <= name->folded.n + 1;
}

static bool is_near(const struct speller *s, const struct word *w, struct shape shape, struct str folded, const struct name *name,
                    bool *accents)
{
    struct str f = name->folded;
    *accents = false;
    if (folded.n + ACCENTS_BYTES < f.n || folded.n > f.n + ACCENTS_BYTES || str_eq(folded, f))
        return false;
    *accents = !(shape.ascii && name->shape.ascii) && str_eq(bare(s->arena, folded), name->bare);
    return *accents || (f.n >= NEAR_LEAST && name_distance(folded, f, 1) <= 1 && !is_another_word(w, folded, name));
}

static void check_near(const struct speller *s, uint32_t at, struct shape shape)
{
    const struct word *w = &s->words[at];
    for (uint32_t i = 0; i < s->n_names; i++) {
        const struct name *name = &s->names[i];
        bool accents;
        if (!may_be_near(w, shape, name) || !is_near(s, w, shape, folded_at(s, at), name, &accents))
            continue;
        if (is_listed(s, folded_at(s, at)))
            return;
        struct span where = word_span(w);
        struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_NEAR, where, "`%.*s` is nearly `%.*s`",
                                  STR_ARG(w->raw), STR_ARG(name->right));
        if (accents)
            diag_label(s->m->diags, d, "the accents differ");
        diag_place(s->m->diags, d, name->of->where, "the spelling list has this");
        diag_help(s->m->diags, d, "if another word is meant, list it too: `spell \"%.*s\"`", STR_ARG(w->raw));
        diag_fix(s->m->diags, d, where, name->right, false);
        return;
    }
}

/* `BREAKWATER` forbidden beside `breakwater`: capitals do not count. */
static bool is_own_right(struct arena *a, const struct form *f)
{
    struct str *words = NULL;
    uint32_t n = words_of(a, f->spelling->right, &words);
    for (uint32_t k = 0; k < n && k < f->n; k++)
        if (!str_eq(words[k], f->words[k]))
            return false;
    return n == f->n;
}

/* The longest form that stands here; of two as long, the right one. */
static const struct form *form_at(const struct speller *s, uint32_t at, uint32_t hash)
{
    const struct form *best = NULL;
    for (const struct form *f = slot_of(s, hash)->forms; f; f = f->next)
        if (form_matches(s, f, at) && (!best || f->n > best->n || (f->n == best->n && f->right)))
            best = f;
    return best;
}

static void check_prose(const struct speller *s)
{
    for (uint32_t i = 0; i < s->n_words; i++) {
        if (is_passed_over(s, s->words[i].raw))
            continue;
        struct shape shape = shape_of(s->arena, s->words[i].raw);
        const struct form *f = form_at(s, i, shape.hash);
        if (!f || (!f->right && is_own_right(s->arena, f))) {
            check_near(s, i, shape);
            continue;
        }
        if (!f->right)
            report_wrong(s, f, i);
        i += f->n - 1;
    }
}

/* A text in double quotes. Its words have places where no escape moved them; else all stand where it begins.
 */
static void check_text(struct speller *s, struct str text, struct span quoted)
{
    struct span inside = {quoted.file, quoted.lo + 1, quoted.hi - 1};
    struct span begin = {quoted.file, quoted.lo, quoted.lo};
    bool plain = text.n && quoted.hi - quoted.lo == text.n + 2 &&
                 str_eq(source_text(s->m->sources, inside), text);
    struct run run = {.kind = RUN_TEXT, .text = text, .where = plain ? inside : begin};
    bool joined = false;
    s->n_words = 0;
    run_words(s, &run, &joined);
    check_prose(s);
}

/* What is printed beside the narration: chapters, facts and readings of the episode itself. */
static void check_texts(struct speller *s)
{
    const struct model *m = s->m;
    for (uint32_t i = 0; i < m->n_items; i++)
        if (m->items[i]->kind == ITEM_CHAPTER)
            check_text(s, m->items[i]->title, m->items[i]->title_where);
    for (uint32_t i = 0; i < m->n_facts; i++)
        if (!m->facts[i]->symbol.library)
            check_text(s, m->facts[i]->text, m->facts[i]->text_where);
    for (uint32_t i = 0; i < m->n_readings; i++)
        if (!m->readings[i]->symbol.library)
            check_text(s, m->readings[i]->text, m->readings[i]->text_where);
}

void check_spelling(const struct model *m)
{
    if (!m->n_spellings)
        return;
    struct arena scratch = {0};
    struct speller s = {.m = m, .arena = &scratch};
    list_read(&s);
    for (uint32_t i = 0; i < m->n_items; i++)
        if (m->items[i]->kind == ITEM_SAY) {
            prose_words(&s, &m->items[i]->prose);
            check_prose(&s);
        }
    check_texts(&s);
    arena_free(&scratch);
}
