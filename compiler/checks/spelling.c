/* The spelling list against the narration: forms that are forbidden, and words that are nearly a name.
 *
 * Every word of the narration is looked up once, by a hash of its folded first word; so a long list costs no more than a
 * short one.
 */
#include "checks/checks.h"

#include "base/array.h"
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

/* The right form of a spelling, if it is one word. */
struct name {
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
    struct name *names; /* right forms of one word, for near misses */
    uint32_t n_names;
    struct word *words;
    uint32_t n_words;
};

static bool is_word_byte(unsigned char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c >= 0x80 || c == '\'' || c == '-';
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
    uint32_t n = 0;
    for (uint32_t i = 0; i < text.n;) {
        uint32_t lo = i;
        while (i < text.n && is_word_byte((unsigned char)text.p[i]))
            i++;
        if (i > lo)
            ARRAY_PUSH(a, *out, n, fold(a, str_slice(text, lo, i)));
        else
            i++;
    }
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
        struct str *words = NULL;
        if (words_of(s->arena, sp->right, &words) == 1)
            ARRAY_PUSH(s->arena, s->names, s->n_names,
                       (struct name){words[0], bare(s->arena, words[0]), letters_of(words[0]), sp});
    }
}

/* ---- the narration ---------------------------------------------------------------------------------------- */

static void run_words(struct speller *s, const struct run *run, bool *joined)
{
    struct str t = run->text;
    for (uint32_t i = 0; i < t.n;) {
        uint32_t lo = i;
        while (i < t.n && is_word_byte((unsigned char)t.p[i]))
            i++;
        if (i == lo) {
            *joined = *joined && (t.p[i] == ' ' || t.p[i] == '\t');
            i++;
            continue;
        }
        struct span where = {run->where.file, run->where.lo + lo, run->where.lo + i};
        if (where.hi > run->where.hi)
            where = run->where;
        struct str raw = str_slice(t, lo, i);
        ARRAY_PUSH(s->arena, s->words, s->n_words, (struct word){fold(s->arena, raw), raw, where, *joined});
        *joined = true;
    }
}

static void prose_words(struct speller *s, const struct prose *p)
{
    s->n_words = 0;
    bool joined = false;
    for (uint32_t i = 0; i < p->n_runs; i++) {
        if (p->runs[i].kind == RUN_TEXT)
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
    struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_WRONG, where, "`%.*s` is spelled `%.*s`",
                              STR_ARG(source_text(s->m->sources, where)), STR_ARG(sp->right));
    diag_place(s->m->diags, d, sp->where, "the spelling list says so");
    struct str right = sp->right;
    char first = s->words[at].raw.p[0];
    if (first >= 'A' && first <= 'Z' && right.n && right.p[0] >= 'a' && right.p[0] <= 'z') {
        char *capital = arena_copy(s->m->arena, right.p, right.n);
        capital[0] = (char)(capital[0] - 'a' + 'A');
        right.p = capital;
    }
    diag_fix(s->m->diags, d, where, right, true);
}

static bool is_listed(const struct speller *s, struct str folded)
{
    for (uint32_t i = 0; i < s->n_names; i++)
        if (str_eq(s->names[i].folded, folded))
            return true;
    return false;
}

/* An ending that grammar adds is no slip: breakwaters, breakwater's. */
static bool is_inflected(struct str word, struct str name)
{
    if (!str_starts(word, name))
        return false;
    struct str rest = str_slice(word, name.n, word.n);
    return str_is(rest, "s") || str_is(rest, "es") || str_is(rest, "'s") || str_is(rest, "ed") || str_is(rest, "ly") || rest.p[0] == '-';
}

enum { NEAR_LEAST = 6 }; /* shorter names have too many neighbours */

static bool is_near(const struct speller *s, const struct word *w, uint32_t letters, const struct name *name, bool *accents)
{
    struct str f = name->folded;
    if (f.n < NEAR_LEAST || w->folded.n + 2 < f.n || w->folded.n > f.n + 2 || is_inflected(w->folded, f) || str_eq(w->folded, f))
        return false;
    *accents = false;
    if (is_ascii(w->folded) && is_ascii(f))
        return __builtin_popcount(letters ^ name->letters) <= 2 && name_distance(w->folded, f, 1) <= 1;
    *accents = str_eq(bare(s->arena, w->folded), name->bare);
    return *accents || name_distance(w->folded, f, 1) <= 1;
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
        const struct spelling *right = s->names[i].of;
        struct diag *d = diag_add(s->m->diags, DIAG_SPELLED_NEAR, w->where, "`%.*s` is nearly `%.*s`", STR_ARG(w->raw), STR_ARG(right->right));
        if (accents)
            diag_label(s->m->diags, d, "the accents differ");
        diag_place(s->m->diags, d, right->where, "the spelling list has this");
        diag_fix(s->m->diags, d, w->where, right->right, false);
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
