/* set_class.c - prime forms, normal forms and interval vectors. */
#include "base/buf.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum what { PRIME, NORMAL, VECTOR };

/* pattern, what is asked, of a stream (true) or a chord */
#define FORMS(X)                                                                                             \
    X("CHORD has|is prime form NUMBERS", PRIME, false)                                                       \
    X("prime form of CHORD is NUMBERS", PRIME, false)                                                        \
    X("CHORD is|belongs|forms [member] [of|to] set|set-class [class] NUMBERS", PRIME, false)                 \
    X("CHORD is NUMBERS trichord|tetrachord|pentachord|hexachord|chord|set", PRIME, false)                   \
    X("STREAM has|is prime form NUMBERS", PRIME, true)                                                       \
    X("prime form of STREAM is NUMBERS", PRIME, true)                                                        \
    X("STREAM is|belongs|forms [member] [of|to] set|set-class [class] NUMBERS", PRIME, true)                 \
    X("CHORD has|is normal form|order NUMBERS", NORMAL, false)                                               \
    X("normal form|order of CHORD is NUMBERS", NORMAL, false)                                                \
    X("STREAM has|is normal form|order NUMBERS", NORMAL, true)                                               \
    X("normal form|order of STREAM is NUMBERS", NORMAL, true)                                                \
    X("CHORD has interval|interval-class [class] vector|content NUMBERS", VECTOR, false)                     \
    X("interval|interval-class [class] vector|content of CHORD is NUMBERS", VECTOR, false)                   \
    X("STREAM has interval|interval-class [class] vector|content NUMBERS", VECTOR, true)                     \
    X("interval|interval-class [class] vector|content of STREAM is NUMBERS", VECTOR, true)

#define SHARED "<belongs to|is of|is in|shares|has> one|same set|set-class [class]"
#define ALIKE "shares|has [one|same|their] interval|interval-class [class] vector|content"

/* Two things against each other: chords, streams, or one of each; then the same of vectors, then Z-related.
 */
#define PAIRS(X)                                                                                             \
    X("CHORD and CHORD " SHARED, PRIME)                                                                      \
    X("STREAM and STREAM " SHARED, PRIME)                                                                    \
    X("CHORD and STREAM " SHARED, PRIME)                                                                     \
    X("STREAM and CHORD " SHARED, PRIME)                                                                     \
    X("CHORD and CHORD " ALIKE, VECTOR)                                                                      \
    X("STREAM and STREAM " ALIKE, VECTOR)                                                                    \
    X("CHORD and CHORD is Z-related", NORMAL)                                                                \
    X("STREAM and STREAM is Z-related", NORMAL)

#define FORM_PATTERN(pattern, ...) pattern,
static const char *const patterns[] = {FORMS(FORM_PATTERN) PAIRS(FORM_PATTERN) NULL};
#undef FORM_PATTERN

struct form {
    enum what what;
    bool stream;
};
#define FORM_ROW(pattern, what, stream) {what, stream},
static const struct form forms[] = {FORMS(FORM_ROW)};
#undef FORM_ROW
enum { N_FORMS = sizeof forms / sizeof forms[0] };

/* In the table of pairs NORMAL stands for the Z-relation: one vector, two classes. */
#define PAIR_ROW(pattern, what) what,
static const enum what pairs[] = {PAIRS(PAIR_ROW)};
#undef PAIR_ROW

/* ---- sets in words ------------------------------------------------------------------------------- */

static enum prime_rule rule_in_force(const struct claim_context *ctx)
{
    return ctx->conventions->choice[CONVENTION_PRIME_FORM] == 1 ? PRIME_FORTE : PRIME_RAHN;
}

/* "[0 1 4]" */
static struct str say_numbers(struct claim_context *ctx, const int *numbers, int n, char open, char close)
{
    struct buf b = {0};
    if (ctx->mute)
        return STR("");
    buf_byte(&b, open);
    for (int i = 0; i < n; i++)
        buf_printf(&b, "%s%d", i ? " " : "", numbers[i]);
    buf_byte(&b, close);
    return buf_take(&b, ctx->arena);
}

static struct str say_prime(struct claim_context *ctx, pcset set, enum prime_rule rule)
{
    int numbers[12], n = 0;
    pcset prime = pcset_prime(set, rule);
    for (int pc = 0; pc < 12; pc++)
        if (prime & pcset_of(pc))
            numbers[n++] = pc;
    return say_numbers(ctx, numbers, n, '[', ']');
}

static struct str say_normal(struct claim_context *ctx, pcset set, enum prime_rule rule)
{
    int numbers[12];
    return say_numbers(ctx, numbers, pcset_normal(set, rule, numbers), '[', ']');
}

static struct str say_vector(struct claim_context *ctx, pcset set)
{
    int numbers[6];
    pcset_vector(set, numbers);
    return say_numbers(ctx, numbers, 6, '<', '>');
}

static struct str say_form(struct claim_context *ctx, enum what what, pcset set)
{
    switch (what) {
    case PRIME:
        return say_prime(ctx, set, rule_in_force(ctx));
    case NORMAL:
        return say_normal(ctx, set, rule_in_force(ctx));
    case VECTOR:
        return say_vector(ctx, set);
    }
    return STR("");
}

static const char *what_words(enum what what)
{
    static const char *const words[] = {"prime form", "normal form", "interval vector"};
    return words[what];
}

/* ---- one set against numbers --------------------------------------------------------------------- */

static bool numbers_are(const struct match *m, const int *numbers, int n)
{
    bool same = m->n_numbers == n;
    for (int i = 0; same && i < n; i++)
        same = m->number[i] == numbers[i];
    return same;
}

static bool form_is(const struct match *m, enum what what, pcset set, enum prime_rule rule)
{
    int numbers[12], n = 0;
    switch (what) {
    case PRIME: {
        pcset prime = pcset_prime(set, rule);
        for (int pc = 0; pc < 12; pc++)
            if (prime & pcset_of(pc))
                numbers[n++] = pc;
        return numbers_are(m, numbers, n);
    }
    case NORMAL:
        return numbers_are(m, numbers, pcset_normal(set, rule, numbers));
    case VECTOR:
        pcset_vector(set, numbers);
        return numbers_are(m, numbers, 6);
    }
    return false;
}

/* The numbers of the sentence as a set; false where some are no pitch classes. */
static bool named_set(const struct match *m, pcset *out)
{
    *out = 0;
    for (int i = 0; i < m->n_numbers; i++) {
        if (m->number[i] < 0 || m->number[i] > 11)
            return false;
        *out |= pcset_of(m->number[i]);
    }
    return m->n_numbers > 0;
}

/* "; [0 3 4] is no prime form, its own is [0 1 4]" */
static struct str say_not_prime(struct claim_context *ctx, const struct match *m, enum what what)
{
    pcset named;
    if (what != PRIME || !named_set(m, &named) || form_is(m, PRIME, named, rule_in_force(ctx)))
        return STR("");
    return say_text(ctx, "; %.*s is no prime form, that of its set is %.*s",
                    STR_ARG(say_numbers(ctx, m->number, m->n_numbers, '[', ']')),
                    STR_ARG(say_prime(ctx, named, rule_in_force(ctx))));
}

static void check_form(struct claim_context *ctx, const struct match *m, const struct form *form)
{
    struct tone_source s;
    bool read =
        form->stream ? source_of_stream(ctx, m, &m->stream[0], &s) : source_of_chords(ctx, m->chord, 1, &s);
    if (!read)
        return;
    if (form->what != VECTOR && pcset_prime(s.set, PRIME_RAHN) != pcset_prime(s.set, PRIME_FORTE))
        claim_convention(ctx, CONVENTION_PRIME_FORM);
    struct str tones = say_set(ctx, s.set), normal = say_normal(ctx, s.set, rule_in_force(ctx));
    struct str is = say_form(ctx, form->what, s.set), basis = source_basis(ctx, &s);
    struct str from = form->what == NORMAL ? STR("") : say_text(ctx, " %.*s,", STR_ARG(normal));
    const char *what = what_words(form->what);
    if (form_is(m, form->what, s.set, rule_in_force(ctx))) {
        claim_holds(ctx, "%.*s is %.*s%.*s:%.*s %s %.*s", STR_ARG(s.words), STR_ARG(tones), STR_ARG(basis),
                    STR_ARG(from), what, STR_ARG(is));
        return;
    }
    claim_fails(ctx, "%.*s is %.*s%.*s:%.*s %s %.*s%.*s", STR_ARG(s.words), STR_ARG(tones), STR_ARG(basis),
                STR_ARG(from), what, STR_ARG(is), STR_ARG(say_not_prime(ctx, m, form->what)));
    claim_instead(ctx, "the %s of %.*s is %.*s%.*s", what, STR_ARG(s.words), STR_ARG(is), STR_ARG(s.span));
}

/* ---- two sets ------------------------------------------------------------------------------------ */

/* The two of the sentence; its bars cut streams, both of them. */
static bool read_pair(struct claim_context *ctx, const struct match *m, struct tone_source out[2])
{
    /* With one of each, the chord goes first: which stood first does not matter. */
    for (int i = 0; i < 2; i++) {
        bool chord = i < m->n_chords;
        if (chord ? !source_of_chords(ctx, &m->chord[i], 1, &out[i])
                  : !source_of_stream(ctx, m, &m->stream[i - m->n_chords], &out[i]))
            return false;
    }
    return true;
}

/* How one set becomes the other: "T5", "T7I"; empty where neither does. */
static struct str say_operation(struct claim_context *ctx, pcset a, pcset b)
{
    for (int n = 0; n < 12; n++)
        if (pcset_transpose(a, n) == b)
            return n ? say_text(ctx, "the second is the first %d half steps higher", n)
                     : STR("they are one set");
    for (int n = 0; n < 12; n++)
        if (pcset_transpose(pcset_invert(a), n) == b)
            return say_text(ctx, "the second is the first inverted (T%dI)", n);
    return STR("");
}

static bool same_vector(pcset a, pcset b)
{
    int x[6], y[6];
    pcset_vector(a, x);
    pcset_vector(b, y);
    return memcmp(x, y, sizeof x) == 0;
}

static bool same_class(pcset a, pcset b)
{
    return pcset_prime(a, PRIME_RAHN) == pcset_prime(b, PRIME_RAHN);
}

static void check_pair(struct claim_context *ctx, const struct match *m, enum what asked)
{
    struct tone_source s[2];
    if (!read_pair(ctx, m, s))
        return;
    bool one_class = same_class(s[0].set, s[1].set), one_vector = same_vector(s[0].set, s[1].set);
    bool holds = asked == PRIME ? one_class : asked == VECTOR ? one_vector : one_vector && !one_class;
    struct str words[2];
    for (int i = 0; i < 2; i++)
        words[i] =
            say_text(ctx, "%.*s is %.*s%.*s, %s %.*s", STR_ARG(s[i].words), STR_ARG(say_set(ctx, s[i].set)),
                     STR_ARG(source_basis(ctx, &s[i])), asked == VECTOR ? "interval vector" : "prime form",
                     STR_ARG(say_form(ctx, asked == VECTOR ? VECTOR : PRIME, s[i].set)));
    struct str how = one_class    ? say_operation(ctx, s[0].set, s[1].set)
                     : one_vector ? say_text(ctx,
                                             "both have the interval vector %.*s, but they are "
                                             "neither transpositions nor inversions of each other",
                                             STR_ARG(say_vector(ctx, s[0].set)))
                                  : STR("");
    struct str more = how.n ? say_text(ctx, ": %.*s", STR_ARG(how)) : STR("");
    if (holds) {
        claim_holds(ctx, "%.*s; %.*s%.*s", STR_ARG(words[0]), STR_ARG(words[1]), STR_ARG(more));
        return;
    }
    claim_fails(ctx, "%.*s; %.*s%.*s", STR_ARG(words[0]), STR_ARG(words[1]), STR_ARG(more));
    const char *instead = one_class ? "belong to one set class" : one_vector ? "are Z-related" : NULL;
    if (instead && m->n_streams != 1)
        claim_instead(ctx, "%.*s and %.*s %s%.*s", STR_ARG(s[0].words), STR_ARG(s[1].words), instead,
                      STR_ARG(m->n_streams ? s[0].span : STR("")));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    if (pattern < (int)N_FORMS)
        check_form(ctx, m, &forms[pattern]);
    else
        check_pair(ctx, m, pairs[pattern - (int)N_FORMS]);
}

const struct claim_kind claim_kind_set_class = {
    .name = "set-class",
    .patterns = patterns,
    .meaning = "The set class of the tones that sound: prime form, normal form, interval vector, by sound.",
    .page = claim_page_set_class,
    .check = check,
    .fails = DIAG_FAILS_set_class,
};
