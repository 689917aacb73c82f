/* The spelling list against the narration: forms that are forbidden, and words that are nearly a name.
 *
 * Every word of the narration is looked up once, by a hash of its folded first word; so a long list costs no more than a
 * short one.
 */
#include "checks/checks.h"

#include "base/array.h"
#include "base/buf.h"
#include "diag/suggest.h"

#include <stdlib.h>
#include <utf8proc.h>

/* A word of narration: folded text, and where it stands in its run. */
struct word {
    struct str folded;
    struct str raw;
    struct span where;
    bool joined; /* only white space between it and the word before */
};

struct form {
    const struct spelling *spelling;
    struct str *words; /* folded */
    uint32_t n;
    struct form *next; /* with the same first word */
};

/* The right form of a spelling, if it is one word, or a word of it that begins with a capital. */
struct name {
    struct str right;     /* as spelled */
    struct str folded;
    struct str bare;      /* without accents */
    uint32_t letters;     /* a bit a letter that occurs */
    const struct spelling *of;
};

struct form_slot {
    struct str first;
    struct form *forms;
};

struct speller {
    const struct model *m;
    struct arena *arena;
    struct form_slot *slots;
    uint32_t n_slots;
    struct name *names; /* for near misses */
    uint32_t n_names;
    struct word *words;
    uint32_t n_words;
};

/* ---- words -------------------------------------------------------------------------------------------- */

static bool is_alphanumeric(unsigned char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/* Bytes of the letter, digit or accent that begins at i; 0 if none does. */
static uint32_t letter_at(struct str t, uint32_t i)
{
    if (i >= t.n || (unsigned char)t.p[i] < 0x80)
        return i < t.n && is_alphanumeric((unsigned char)t.p[i]);
    utf8proc_int32_t c;
    utf8proc_ssize_t n = utf8proc_iterate((const utf8proc_uint8_t *)t.p + i, (utf8proc_ssize_t)(t.n - i), &c);
    if (n <= 0)
        return 0;
    utf8proc_category_t category = utf8proc_category(c);
    bool letter = (category >= UTF8PROC_CATEGORY_LU && category <= UTF8PROC_CATEGORY_NO);
    return letter ? (uint32_t)n : 0;
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

/* The word at or behind *lo; false if there is none. The possessive `'s` is no part of it. */
static bool next_word(struct str t, uint32_t *lo, uint32_t *hi)
{
    uint32_t i = *lo, n;
    while (i < t.n && !letter_at(t, i))
        i++;
    *lo = *hi = i;
    while ((n = letter_at(t, i)) || (n = joint_at(t, i))) {
        bool joint = !letter_at(t, i);
        if (joint && t.p[i] != '-' && i + n < t.n && t.p[i + n] == 's' && !letter_at(t, i + n + 1) && !joint_at(t, i + n + 1))
            break;
        i += n;
        *hi = i;
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

/* Which of a to z occur. Two words that one letter's change apart differ in two bits at most. */
static uint32_t letters_of(struct str folded)
{
    uint32_t set = 0;
    for (uint32_t i = 0; i < folded.n; i++)
        if (folded.p[i] >= 'a' && folded.p[i] <= 'z')
            set |= 1u << (folded.p[i] - 'a');
    return set;
}

/* Accents taken off: "dvorak" for "dvořák". The text is folded. */
static struct str bare(struct arena *a, struct str s)
{
    if (is_ascii(s))
        return s;
    utf8proc_uint8_t *mapped = NULL;
    utf8proc_ssize_t n = utf8proc_map((const utf8proc_uint8_t *)s.p, (utf8proc_ssize_t)s.n, &mapped,
                                      UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_STRIPMARK | UTF8PROC_CASEFOLD);
    if (n < 0)
        return s;
    struct str copy = {arena_copy(a, (const char *)mapped, (size_t)n), (uint32_t)n};
    free(mapped);
    return copy;
}

/* ---- the list -------------------------------------------------------------------------------------------- */

static struct form_slot *slot_of(const struct speller *s, struct str first)
{
    uint32_t i = str_hash(first) & (s->n_slots - 1);
    while (s->slots[i].forms && !str_eq(s->slots[i].first, first))
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

static void add_form(struct speller *s, const struct spelling *sp, struct str wrong)
{
    struct form *f = ARENA_NEW(s->arena, struct form);
    f->spelling = sp;
    f->n = words_of(s->arena, wrong, &f->words);
    if (!f->n)
        return;
    struct form_slot *slot = slot_of(s, f->words[0]);
    slot->first = f->words[0];
    f->next = slot->forms;
    slot->forms = f;
}

static bool is_capital(struct str s)
{
    return s.n && s.p[0] >= 'A' && s.p[0] <= 'Z';
}

/* A right form of several words is made of names and of ordinary words: `Lamps of the Harbour`. */
static void add_names(struct speller *s, const struct spelling *sp)
{
    uint32_t lo = 0, hi;
    for (; next_word(sp->right, &lo, &hi); lo = hi) {
        bool whole = lo == 0 && hi == sp->right.n;
        struct str word = str_slice(sp->right, lo, hi), folded = fold(s->arena, word);
        if (whole || is_capital(word))
            ARRAY_PUSH(s->arena, s->names, s->n_names,
                       (struct name){word, folded, bare(s->arena, folded), letters_of(folded), sp});
    }
}

static void list_read(struct speller *s)
{
    uint32_t forms = 0;
    for (uint32_t i = 0; i < s->m->n_spellings; i++)
        forms += s->m->spellings[i]->n_wrong;
    s->n_slots = 16;
    while (s->n_slots < forms * 2)
        s->n_slots *= 2;
    s->slots = ARENA_NEW_ARRAY(s->arena, struct form_slot, s->n_slots);
    for (uint32_t i = 0; i < s->m->n_spellings; i++) {
        const struct spelling *sp = s->m->spellings[i];
        for (uint32_t k = 0; k < sp->n_wrong; k++)
            add_form(s, sp, sp->wrong[k]);
        add_names(s, sp);
    }
}

/* ---- the narration ---------------------------------------------------------------------------------------- */

static bool is_blank(struct str s)
{
    for (uint32_t i = 0; i < s.n; i++)
        if (s.p[i] != ' ' && s.p[i] != '\t')
            return false;
    return true;
}

static void run_words(struct speller *s, const struct run *run, bool *joined)
{
    struct str t = run->text;
    uint32_t lo = 0, hi, before = 0;
    for (; next_word(t, &lo, &hi); lo = before = hi) {
        struct str raw = str_slice(t, lo, hi);
        bool near = *joined && is_blank(str_slice(t, before, lo));
        ARRAY_PUSH(s->arena, s->words, s->n_words, (struct word){fold(s->arena, raw), raw, run_span(run, lo, hi), near});
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

static bool form_matches(const struct speller *s, const struct form *f, uint32_t at)
{
    if (at + f->n > s->n_words)
        return false;
    for (uint32_t k = 0; k < f->n; k++)
        if (!str_eq(s->words[at + k].folded, f->words[k]) || (k && !s->words[at + k].joined))
            return false;
    return true;
}

/* The right form itself may hold a forbidden one ("break water" in a title); then it is right. Capitals that only begin a
 * sentence are no slip. */
static void report_wrong(const struct speller *s, const struct form *f, uint32_t at)
{
    const struct spelling *sp = f->spelling;
    struct span where = span_join(s->words[at].where, s->words[at + f->n - 1].where);
    struct str written = source_text(s->m->sources, where);
    bool one_line = str_find(written, STR("\n")) == written.n;
    struct buf words = {0};
    for (uint32_t i = 0; i < f->n; i++)
        buf_printf(&words, "%s%.*s", i ? " " : "", STR_ARG(s->words[at + i].raw));
    struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_WRONG, where, "`%.*s` is spelled `%.*s`", STR_ARG(buf_str(&words)),
                              STR_ARG(sp->right));
    buf_free(&words);
    diag_place(s->m->diags, d, sp->where, "the spelling list says so");
    struct str right = sp->right;
    char first = s->words[at].raw.p[0];
    if (first >= 'A' && first <= 'Z' && right.n && right.p[0] >= 'a' && right.p[0] <= 'z') {
        char *capital = arena_copy(s->m->arena, right.p, right.n);
        capital[0] = (char)(capital[0] - 'a' + 'A');
        right.p = capital;
    }
    diag_fix(s->m->diags, d, where, right, one_line);
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

/* An ordinary word beside a name is no slip (`martin` the bird beside `Marten`); and slips keep the first letter, which the
 * writer knows. */
static bool is_another_word(const struct word *w, const struct name *name)
{
    bool small = w->raw.p[0] >= 'a' && w->raw.p[0] <= 'z';
    return (small && is_capital(name->right)) || w->folded.p[0] != name->folded.p[0] || is_inflected(w->folded, name->folded) ||
           is_inflected(name->folded, w->folded);
}

enum { NEAR_LEAST = 6 }; /* shorter names have too many neighbours */

/* So many bytes can a word's accents add, in UTF-8. */
enum { ACCENTS_BYTES = 4 };

static bool is_near(const struct speller *s, const struct word *w, uint32_t letters, const struct name *name, bool *accents)
{
    struct str f = name->folded;
    *accents = false;
    if (f.n < NEAR_LEAST || w->folded.n + ACCENTS_BYTES < f.n || w->folded.n > f.n + ACCENTS_BYTES || str_eq(w->folded, f))
        return false;
    if (is_ascii(w->folded) && is_ascii(f))
        return __builtin_popcount(letters ^ name->letters) <= 2 && name_distance(w->folded, f, 1) <= 1 &&
               !is_another_word(w, name);
    *accents = str_eq(bare(s->arena, w->folded), name->bare);
    return *accents || (name_distance(w->folded, f, 1) <= 1 && !is_another_word(w, name));
}

static void check_near(const struct speller *s, const struct word *w)
{
    if (w->folded.n + 2 < NEAR_LEAST)
        return;
    uint32_t letters = letters_of(w->folded);
    for (uint32_t i = 0; i < s->n_names; i++) {
        bool accents;
        if (!is_near(s, w, letters, &s->names[i], &accents))
            continue;
        if (is_listed(s, w->folded))
            return;
        struct str right = s->names[i].right;
        struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_NEAR, w->where, "`%.*s` is nearly `%.*s`", STR_ARG(w->raw), STR_ARG(right));
        if (accents)
            diag_label(s->m->diags, d, "the accents differ");
        diag_place(s->m->diags, d, s->names[i].of->where, "the spelling list has this");
        diag_help(s->m->diags, d, "if another word is meant, list it too: `spell \"%.*s\"`", STR_ARG(w->raw));
        diag_fix(s->m->diags, d, w->where, right, false);
        return;
    }
}

/* Does the right form of the spelling stand here? Then its words are not looked at one by one. */
static uint32_t right_length(const struct speller *s, const struct form *f, uint32_t at)
{
    struct str *words = NULL;
    uint32_t n = words_of(s->arena, f->spelling->right, &words);
    if (n == 0 || at + n > s->n_words)
        return 0;
    for (uint32_t k = 0; k < n; k++)
        if (!str_eq(s->words[at + k].folded, words[k]))
            return 0;
    return n;
}

static void check_prose(const struct speller *s)
{
    for (uint32_t i = 0; i < s->n_words; i++) {
        const struct form *f = slot_of(s, s->words[i].folded)->forms;
        bool wrong = false;
        for (; f && !wrong; f = f->next)
            if (form_matches(s, f, i) && right_length(s, f, i) < f->n) {
                report_wrong(s, f, i);
                i += f->n - 1;
                wrong = true;
            }
        if (!wrong)
            check_near(s, &s->words[i]);
    }
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
            struct arena_mark mark = arena_mark(&scratch);
            s.words = NULL;
            prose_words(&s, &m->items[i]->prose);
            check_prose(&s);
            arena_reset(&scratch, mark);
        }
    arena_free(&scratch);
}
