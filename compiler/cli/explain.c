#include "cli/explain.h"

#include "base/embed.h"
#include "claims/claims.h"
#include "diag/suggest.h"
#include "driver/driver.h"

struct query {
    struct buf *b;
    struct str text; /* what is asked for, words joined by one space */
    const struct theory_library *library;
    struct arena *arena;
    struct suggest near;
};

/* ---- names ----------------------------------------------------------------------------------------- */

static char folded(char c)
{
    if (c >= 'A' && c <= 'Z')
        return (char)(c - 'A' + 'a');
    return c == '-' || c == '_' ? ' ' : c;
}

/* "English horn" and english-horn are one name here. */
static bool name_fits(struct query *q, struct str name)
{
    bool same = name.n == q->text.n;
    for (uint32_t i = 0; i < name.n && same; i++)
        same = folded(name.p[i]) == folded(q->text.p[i]);
    if (!same)
        suggest_offer(&q->near, name);
    return same;
}

static bool any_name_fits(struct query *q, struct str id, const struct str *names, uint32_t n)
{
    bool fits = name_fits(q, id);
    for (uint32_t i = 0; i < n && !fits; i++)
        fits = name_fits(q, names[i]);
    return fits;
}

/* ---- the standard library ------------------------------------------------------------------------------ */

/* The entry as the library writes it: from "KEYWORD ID {" to the line that closes it. */
static bool put_entry(struct buf *b, const char *keyword, struct str id)
{
    struct buf head = {0};
    buf_printf(&head, "\n%s %.*s {\n", keyword, STR_ARG(id));
    buf_byte(&head, '\0');
    bool found = false;
    for (const struct embedded_file *f = stdlib_files; f->name && !found; f++) {
        const char *at = strstr(f->text, head.p);
        const char *end = at ? strstr(at, "\n}\n") : NULL;
        found = end != NULL;
        if (found) {
            buf_printf(b, "// standard library, %s\n", f->name);
            buf_bytes(b, at + 1, (size_t)(end + 3 - (at + 1)));
        }
    }
    buf_free(&head);
    return found;
}

static bool put_instrument(struct query *q)
{
    for (uint32_t i = 0; i < q->library->n_instruments; i++) {
        const struct instrument *one = &q->library->instruments[i];
        if (any_name_fits(q, one->symbol.name, one->names, one->n_names))
            return put_entry(q->b, "instrument", one->symbol.name);
    }
    return false;
}

/* By name, by suffix ("m7b5"), or by a whole symbol ("Cm7b5"). */
static bool put_chord(struct query *q)
{
    struct chord chord;
    uint32_t bad;
    for (uint32_t i = 0; i < q->library->n_qualities; i++) {
        const struct chord_quality *one = &q->library->qualities[i];
        bool fits = any_name_fits(q, one->id, one->names, one->n_names);
        for (uint32_t k = 0; k < one->n_symbols && !fits; k++)
            fits = q->text.n > 0 && str_eq(one->symbols[k], q->text);
        if (fits)
            return put_entry(q->b, "chord", one->id);
    }
    if (chord_parse(&q->library->chords, q->text, &chord, &bad) && chord.quality)
        return put_entry(q->b, "chord", chord.quality->id);
    return false;
}

static bool put_scale(struct query *q)
{
    for (uint32_t i = 0; i < q->library->n_scales; i++) {
        const struct scale *one = &q->library->scales[i];
        if (any_name_fits(q, one->id, one->names, one->n_names))
            return put_entry(q->b, "scale", one->id);
    }
    return false;
}

static bool put_profile(struct query *q)
{
    for (uint32_t i = 0; i < q->library->n_profiles; i++) {
        const struct caption_profile *one = &q->library->profiles[i];
        if (any_name_fits(q, one->symbol.name, &one->title, 1))
            return put_entry(q->b, "caption-profile", one->symbol.name);
    }
    return false;
}

/* ---- lists of the library
 * ---------------------------------------------------------------------------------- */

/* "  english-horn    English horn, cor anglais" */
static void put_row(struct buf *b, struct str id, const struct str *names, uint32_t n)
{
    buf_printf(b, "  %-28.*s ", STR_ARG(id));
    for (uint32_t i = 0; i < n; i++)
        buf_printf(b, "%s%.*s", i ? ", " : "", STR_ARG(names[i]));
    buf_put(b, "\n");
}

static bool put_instruments(struct query *q)
{
    if (!name_fits(q, STR("instruments")))
        return false;
    for (uint32_t i = 0; i < q->library->n_instruments; i++) {
        const struct instrument *one = &q->library->instruments[i];
        put_row(q->b, one->symbol.name, one->names, one->n_names);
    }
    return true;
}

/* With C as their root, as they are written. */
static bool put_chords(struct query *q)
{
    if (!name_fits(q, STR("chords")))
        return false;
    for (uint32_t i = 0; i < q->library->n_qualities; i++) {
        const struct chord_quality *one = &q->library->qualities[i];
        struct str *symbols = ARENA_NEW_ARRAY(q->arena, struct str, one->n_symbols);
        for (uint32_t k = 0; k < one->n_symbols; k++)
            symbols[k] = str_printf(q->arena, "C%.*s", STR_ARG(one->symbols[k]));
        put_row(q->b, one->name, symbols, one->n_symbols);
    }
    return true;
}

static bool put_scales(struct query *q)
{
    if (!name_fits(q, STR("scales")))
        return false;
    for (uint32_t i = 0; i < q->library->n_scales; i++) {
        const struct scale *one = &q->library->scales[i];
        put_row(q->b, one->id, one->names, one->n_names);
    }
    return true;
}

/* ---- conventions, claims, codes
 * ---------------------------------------------------------------------------- */

static bool put_convention(struct query *q)
{
    struct convention_values defaults;
    convention_defaults(&defaults);
    for (int i = 0; i < CONVENTION_COUNT; i++) {
        const struct convention_info *info = convention_info((enum convention)i);
        if (!name_fits(q, str_of(info->name)))
            continue;
        buf_printf(q->b, "convention %s\n\n%s\n\n", info->name, info->meaning);
        for (int k = 0; k < 5 && info->words[k]; k++)
            buf_printf(q->b, "    conventions { %s %s }%s\n", info->name, info->words[k],
                       k == defaults.choice[i] ? "   // unless stated" : "");
        if (!info->words[0]) {
            char value[RATIO_TEXT_MAX];
            buf_printf(q->b, "    conventions { %s %s }   // unless stated\n", info->name,
                       defaults.amount[i].num ? ratio_text(defaults.amount[i], false, value) : "VALUE");
        }
        buf_printf(q->b, "\nSource: %s\n", info->source);
        return true;
    }
    return false;
}

static bool put_kind(struct query *q)
{
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++) {
        if (!name_fits(q, str_of((*k)->name)))
            continue;
        buf_put(q->b, (*k)->page);
        return true;
    }
    return false;
}

static bool put_code(struct query *q)
{
    for (int i = 0; i < (int)DIAG_COUNT; i++)
        name_fits(q, str_of(diag_info((enum diag_code)i)->name));
    enum diag_code code = diag_by_name(q->text);
    if (code == DIAG_COUNT)
        return false;
    for (const struct embedded_file *f = explain_pages; f->name; f++)
        if (str_is(q->text, f->name)) {
            buf_bytes(q->b, f->text, f->n);
            return true;
        }
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++)
        if ((*k)->fails == code) {
            buf_put(q->b, (*k)->page);
            return true;
        }
    buf_printf(q->b, "%s: %s\n", diag_info(code)->name, diag_info(code)->summary);
    return true;
}

static bool put_claims(struct query *q)
{
    struct str text = claims_overview(q->arena);
    if (!name_fits(q, STR("claims")))
        return false;
    buf_str_put(q->b, text);
    return true;
}

/* ---- the whole
 * -------------------------------------------------------------------------------------------------- */

/* What can be asked for, in the order in which a bare name is looked up. */
static const struct subject {
    const char *word; /* "instrument"; NULL: only a bare name */
    bool (*put)(struct query *q);
} subjects[] = {
    {"code", put_code},       {NULL, put_claims},
    {"claim", put_kind},      {"convention", put_convention},
    {"instrument", put_instrument}, {"scale", put_scale},
    {"chord", put_chord},     {"caption-profile", put_profile},
    {NULL, put_instruments},  {NULL, put_chords},
    {NULL, put_scales},
};
enum { N_SUBJECTS = sizeof subjects / sizeof *subjects };

static void put_codes(struct buf *b)
{
    const char *family = "";
    for (int i = 0; i < (int)DIAG_COUNT; i++) {
        const struct diag_info *info = diag_info((enum diag_code)i);
        if (strcmp(family, info->family) != 0)
            buf_printf(b, "\n%s\n", info->family);
        family = info->family;
        buf_printf(b, "  %-28s %s\n", info->name, info->summary);
    }
}

static void put_list(struct query *q)
{
    buf_put(q->b, "descant explain CODE             one of the codes below\n"
                  "descant explain claims           every kind of claim with its sentences\n"
                  "descant explain claim KIND       one kind of claim\n");
    buf_printf(q->b, "descant explain instrument NAME  %u instruments and voices; `instruments` lists them\n",
               q->library->n_instruments);
    buf_printf(
        q->b, "descant explain chord NAME       %u chord qualities, by name or symbol; `chords` lists them\n",
        q->library->n_qualities);
    buf_printf(q->b, "descant explain scale NAME       %u scales and collections; `scales` lists them\n",
               q->library->n_scales);
    buf_put(q->b, "descant explain caption-profile NAME\n");
    for (uint32_t i = 0; i < q->library->n_profiles; i++)
        buf_printf(q->b, "    %.*s\n", STR_ARG(q->library->profiles[i].symbol.name));
    buf_put(q->b, "descant explain convention NAME\n");
    for (int i = 0; i < CONVENTION_COUNT; i++)
        buf_printf(q->b, "    %s\n", convention_info((enum convention)i)->name);
    put_codes(q->b);
}

static void put_unknown(struct query *q)
{
    q->b->n = 0;
    buf_printf(q->b, "descant: nothing is called `%.*s`", STR_ARG(q->text));
    for (uint32_t i = 0; i < q->near.n; i++)
        buf_printf(q->b, "%s`%.*s`", i ? ", " : "; similar: ", STR_ARG(q->near.best[i]));
    buf_put(q->b, "; `descant explain` lists all\n");
}

static const struct subject *subject_of(const char *word)
{
    for (int i = 0; i < N_SUBJECTS; i++)
        if (subjects[i].word && strcmp(subjects[i].word, word) == 0)
            return &subjects[i];
    return NULL;
}

static bool answer(struct query *q, const char **words, uint32_t n)
{
    if (n == 0) {
        put_list(q);
        return true;
    }
    const struct subject *only = n > 1 ? subject_of(words[0]) : NULL;
    struct buf joined = {0};
    for (uint32_t i = only ? 1 : 0; i < n; i++)
        buf_printf(&joined, "%s%s", joined.n ? " " : "", words[i]);
    q->text = buf_take(&joined, q->arena);
    suggest_start(&q->near, q->text);
    bool found = only && only->put(q);
    for (int i = 0; i < N_SUBJECTS && !only && !found; i++)
        found = subjects[i].put(q);
    if (!found)
        put_unknown(q);
    return found;
}

bool explain(const char **words, uint32_t n, struct buf *b)
{
    /* An empty library sees what every file sees. */
    struct context *context = context_open();
    const struct compile_options options = {0};
    struct compilation c = {0};
    compile(context, STR("<explain>"), STR("library \"explain\"\n"), &options, &c);
    struct query q = {.b = b, .library = c.model->library, .arena = &c.arena};
    bool found = answer(&q, words, n);
    compilation_free(&c);
    context_close(context);
    return found;
}
