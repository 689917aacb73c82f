/* Words and what they rest on. */
#include "checks/checks.h"

static const struct prose *prose_of(const struct item *i)
{
    return i->kind == ITEM_SAY ? &i->prose : NULL;
}

static void check_words(const struct model *m, const struct link *l)
{
    const struct claim *c = l->thing;
    if (c->verdict == VERDICT_HOLDS || !c->kind)
        return;
    bool fails = c->verdict == VERDICT_FAILS;
    struct diag *d = diag_add(m->diags, fails ? DIAG_WORDS_FAIL : DIAG_WORDS_OPEN, l->where,
                              fails ? "these words make the claim `%.*s`, which fails"
                                    : "these words make the claim `%.*s`, which is undecided",
                              STR_ARG(c->symbol.name));
    diag_place(m->diags, d, c->sentence, "%.*s", STR_ARG(c->reason));
    diag_help(m->diags, d,
              fails ? "change the words and the claim to what is true"
                    : "add what is missing, or say it as a `reading`");
}

/* `[words] (claim:c)` and `[words](claim: c)` are no links but for a blank: they would be read aloud. */
static void check_broken_link(const struct model *m, const struct run *run)
{
    static const char *const schemes[] = {
        "(claim:", "(cite:", "(fact:", "(passage:", "(figure:", "(reading:", "(show:"};
    struct str t = run->text;
    for (uint32_t i = 0; i < t.n; i++) {
        const char *bracket = memchr(t.p + i, '(', t.n - i);
        if (!bracket)
            return;
        i = (uint32_t)(bracket - t.p);
        for (size_t k = 0; k < sizeof schemes / sizeof *schemes; k++) {
            if (!str_starts(str_slice(t, i, t.n), str_of(schemes[k])))
                continue;
            struct span where = run_span(run, i, i + (uint32_t)strlen(schemes[k]));
            struct diag *d =
                diag_add(m->diags, DIAG_LINK_UNKNOWN, where, "this is no link yet, so it would be spoken");
            diag_help(m->diags, d,
                      "leave no blank between the brackets nor inside the second pair: `[words]%sname)`",
                      schemes[k]);
            break;
        }
    }
}

void check_links(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct prose *p = prose_of(m->items[i]);
        for (uint32_t k = 0; p && k < p->n_runs; k++)
            if (p->runs[k].kind == RUN_TEXT && !p->runs[k].link)
                check_broken_link(m, &p->runs[k]);
    }
    for (uint32_t i = 0; i < m->n_items; i++) {
        const struct prose *p = prose_of(m->items[i]);
        const struct link *told = NULL;
        for (uint32_t k = 0; p && k < p->n_runs; k++) {
            const struct link *l = p->runs[k].link;
            if (l && l != told && l->kind == LINK_CLAIM && l->thing)
                check_words(m, l);
            told = l;
        }
    }
    for (uint32_t i = 0; i < m->n_claims && !m->is_library && m->n_items; i++)
        if (!m->claims[i]->uses && !m->claims[i]->symbol.library && m->claims[i]->verdict == VERDICT_HOLDS)
            diag_add(m->diags, DIAG_CLAIM_UNSPOKEN, m->claims[i]->symbol.where,
                     "no words make the claim `%.*s`", STR_ARG(m->claims[i]->symbol.name));
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* 1000 to 2099 as four digits on their own; a bar number or timecode is not one. Returns its offset, or
 * the text's length. */
static uint32_t year_in(struct str s)
{
    for (uint32_t i = 0; i + 4 <= s.n;) {
        /* Seen from its end: a byte that is no digit rules out all four that would hold it. */
        uint32_t digits = 4;
        while (digits && is_digit(s.p[i + digits - 1]))
            digits--;
        if (digits) {
            i += digits;
            continue;
        }
        char before = i ? s.p[i - 1] : ' ', after = i + 4 < s.n ? s.p[i + 4] : ' ';
        bool alone = !is_digit(before) && before != ':' && before != '.' && !is_digit(after) && after != ':';
        bool year = s.p[i] == '1' || (s.p[i] == '2' && s.p[i + 1] == '0');
        if (alone && year)
            return i;
        i += 4;
    }
    return s.n;
}

/* A paragraph that speaks of a year and links no source. */
static void check_years(const struct model *m, const struct prose *p)
{
    uint32_t from = 0;
    for (uint32_t i = 0; i <= p->n_runs; i++) {
        if (i < p->n_runs && p->runs[i].kind != RUN_PARAGRAPH)
            continue;
        bool cited = false;
        for (uint32_t k = from; k < i; k++)
            cited = cited || (p->runs[k].link &&
                              (p->runs[k].link->kind == LINK_CITE || p->runs[k].link->kind == LINK_FACT));
        for (uint32_t k = from; k < i && !cited; k++) {
            bool spoken = p->runs[k].kind == RUN_TEXT && !run_is_address(&p->runs[k]);
            uint32_t at = spoken ? year_in(p->runs[k].text) : p->runs[k].text.n;
            if (at >= p->runs[k].text.n)
                continue;
            struct diag *d = diag_add(m->diags, DIAG_YEAR_UNCITED, run_span(&p->runs[k], at, at + 4),
                                      "the year %.4s has no source near it", p->runs[k].text.p + at);
            diag_help(m->diags, d,
                      "link words of the paragraph to a source: `[…](cite:name)` or `[…](fact:name)`");
            break;
        }
        from = i + 1;
    }
}

void check_sources(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_items; i++)
        if (prose_of(m->items[i]))
            check_years(m, prose_of(m->items[i]));
    for (uint32_t i = 0; i < m->n_facts; i++)
        if (!m->facts[i]->source && !m->facts[i]->open) {
            struct diag *d = diag_add(m->diags, DIAG_FACT_NO_SOURCE, m->facts[i]->symbol.where,
                                      "the fact `%.*s` has no source", STR_ARG(m->facts[i]->symbol.name));
            diag_help(m->diags, d,
                      "add `from NAME` with the name of a `cite`; what cannot be sourced is a `reading`");
        }
    for (uint32_t i = 0; i < m->n_citations && !m->is_library; i++)
        if (!m->citations[i]->uses && !m->citations[i]->symbol.library)
            diag_add(m->diags, DIAG_SOURCE_UNUSED, m->citations[i]->symbol.where,
                     "the source `%.*s` is never cited", STR_ARG(m->citations[i]->symbol.name));
}

void check_holes(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_holes; i++)
        diag_add(m->diags, DIAG_HOLE, m->holes[i]->where, "left open: %.*s", STR_ARG(m->holes[i]->text));
}
