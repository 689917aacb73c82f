#include "base/buf.h"
#include "claims/claims.h"
#include "claims/pages.h"
#include "claims/tell.h"

#define GRADES "<diatonic|chromatic|doubly chromatic|double chromatic|doubly-chromatic|disjunct>"

static const char *const patterns[] = {
    "CHORD to CHORD is " GRADES " mediant",
    "CHORD and CHORD is|stand|lie " GRADES " mediants [apart]",
    "CHORD is " GRADES " mediant of CHORD",
    "CHORD to CHORD is " GRADES " mediant relation|relationship|move|progression",
    "CHORD and CHORD is related as|by " GRADES " mediants",
    "CHORD to CHORD is mediant [relation|relationship|move|progression]",
    "CHORD and CHORD is mediants",
    NULL,
};

enum grade { GRADE_ANY, GRADE_DIATONIC, GRADE_CHROMATIC, GRADE_DOUBLY };

enum { FIRST_ANY = 5 }; /* patterns from here name no grade */

static const enum grade grades[] = {GRADE_DIATONIC, GRADE_CHROMATIC, GRADE_DOUBLY,
                                    GRADE_DOUBLY,   GRADE_DOUBLY,    GRADE_DOUBLY};

/* A major or minor triad, alone or as the lower part of a chord with a seventh or more. */
struct triad {
    struct tone root, third, fifth;
    bool minor;
    bool part_of_more; /* the chord has further tones */
    struct str words;
};

/* ---- triads -------------------------------------------------------------------------------------- */

static bool find_tone(const struct tone *t, uint32_t n, int pc, struct tone *out)
{
    for (uint32_t i = 0; i < n; i++) {
        if (tone_pc(t[i]) == (pc % 12 + 12) % 12) {
            *out = t[i];
            return true;
        }
    }
    return false;
}

/* Is there a major or minor triad on this root among the tones? Both thirds at once are neither. */
static bool triad_on(const struct tone *t, uint32_t n, struct tone root, struct triad *out)
{
    int pc = tone_pc(root);
    struct tone major, minor;
    bool has_major = find_tone(t, n, pc + 4, &major), has_minor = find_tone(t, n, pc + 3, &minor);
    struct triad found = {.root = root, .minor = has_minor};
    if (has_major == has_minor || !find_tone(t, n, pc + 7, &found.fifth))
        return false;
    found.third = has_minor ? minor : major;
    pcset all = 0;
    for (uint32_t i = 0; i < n; i++)
        all |= pcset_of(tone_pc(t[i]));
    found.part_of_more = pcset_count(all) > 3;
    *out = found;
    return true;
}

static bool not_a_triad(struct claim_context *ctx, const struct chord_ref *c, const struct moment *m)
{
    claim_fails(
        ctx,
        "%.*s (%.*s) is no major or minor triad: mediants are told by mode and common tones of such triads",
        STR_ARG(c->words), STR_ARG(say_tones(ctx, m->tones, m->n)));
    claim_place(ctx, c->where, "%.*s", STR_ARG(say_tones(ctx, m->tones, m->n)));
    return false;
}

/* What a symbol alone says: root and tones are given. */
static bool triad_of_symbol(struct claim_context *ctx, const struct chord_ref *c, const struct moment *m,
                            struct triad *out)
{
    const struct chord *chord = &m->symbol->layers[0];
    if (triad_on(chord->tones, chord->n_tones, chord->root, out))
        return true;
    bool third = false;
    struct tone unused;
    for (int half = 3; half <= 4; half++)
        third = third || find_tone(chord->tones, chord->n_tones, tone_pc(chord->root) + half, &unused);
    if (third)
        return not_a_triad(ctx, c, m);
    claim_undecided(ctx, "%.*s has no third: whether it is major or minor is not said", STR_ARG(c->words));
    return false;
}

/* What sounds: three tones tell their root; where there are more, the symbol tells it, or the lowest
 * tone. */
static bool triad_of_notes(struct claim_context *ctx, const struct chord_ref *c, const struct moment *m,
                           struct triad *out)
{
    bool symbol = m->symbol && m->symbol->kind != HARMONY_NONE;
    if (symbol && triad_on(m->tones, m->n, m->symbol->layers[0].root, out))
        return true;
    uint32_t found = 0;
    for (uint32_t i = 0; i < m->n; i++) {
        struct triad t;
        if (triad_on(m->tones, m->n, m->tones[i], &t) &&
            (found == 0 || tone_pc(t.root) != tone_pc(out->root))) {
            if (found++ == 0)
                *out = t;
        }
    }
    if (found == 1)
        return true;
    if (found == 0)
        return not_a_triad(ctx, c, m);
    claim_undecided(ctx,
                    "%.*s (%.*s) can be read from more than one root; write its symbol in the harmony row",
                    STR_ARG(c->words), STR_ARG(say_tones(ctx, m->tones, m->n)));
    return false;
}

static bool read_triad(struct claim_context *ctx, const struct chord_ref *c, struct triad *out)
{
    struct moment m;
    if (!chord_moment(ctx, c, false, &m))
        return false;
    bool symbol = m.symbol && m.symbol->kind != HARMONY_NONE;
    if (symbol && m.symbol->n_layers > 1) {
        claim_undecided(ctx, "%.*s has %.*s: a mediant lies between two triads; name one layer of it",
                        STR_ARG(c->words), STR_ARG(say_count(ctx, m.symbol->n_layers, "layer", "layers")));
        return false;
    }
    bool ok = m.source == MOMENT_SYMBOL ? triad_of_symbol(ctx, c, &m, out) : triad_of_notes(ctx, c, &m, out);
    if (ok)
        out->words = say_text(ctx, "%.*s%s", STR_ARG(say_tone(ctx, out->root)),
                              out->minor ? " minor" : " major");
    return ok;
}

/* ---- the relation -------------------------------------------------------------------------------- */

static pcset triad_set(const struct triad *t)
{
    return pcset_of(tone_pc(t->root)) | pcset_of(tone_pc(t->third)) | pcset_of(tone_pc(t->fifth));
}

/* Half steps between the roots, the smaller way. */
static int root_class(const struct triad *a, const struct triad *b)
{
    int up = ((tone_pc(b->root) - tone_pc(a->root)) % 12 + 12) % 12;
    return up <= 6 ? up : 12 - up;
}

static bool third_apart(const struct triad *a, const struct triad *b)
{
    int size = root_class(a, b);
    return size == 3 || size == 4;
}

/* Of roots a third apart. Two common tones come with a change of mode, one without, none with one. */
static enum grade grade_of(const struct triad *a, const struct triad *b)
{
    int common = pcset_count(triad_set(a) & triad_set(b));
    if (common == 2)
        return GRADE_DIATONIC;
    return common == 1 ? GRADE_CHROMATIC : GRADE_DOUBLY;
}

static const char *grade_words(enum grade g)
{
    switch (g) {
    case GRADE_ANY:
        return "mediant";
    case GRADE_DIATONIC:
        return "diatonic mediant";
    case GRADE_CHROMATIC:
        return "chromatic mediant";
    case GRADE_DOUBLY:
        return "doubly chromatic mediant";
    }
    return "mediant";
}

/* ---- words --------------------------------------------------------------------------------------- */

/* "C up a minor third to Eb": roots are pitch classes, so the smaller way is told. */
static struct str say_roots(struct claim_context *ctx, const struct triad *a, const struct triad *b)
{
    struct interval up = interval_between_tones(a->root, b->root),
                    down = interval_between_tones(b->root, a->root);
    bool rise = up.steps <= 3;
    struct interval v = rise ? up : down;
    int half = root_class(a, b);
    bool spelled = v.steps == 2 || half == 0 || !third_apart(a, b);
    struct str note = STR("");
    if (!spelled)
        note = say_text(ctx, ", by sound a %s third", half == 3 ? "minor" : "major");
    if (half == 0)
        return say_text(ctx, "both stand on %.*s", STR_ARG(say_tone(ctx, a->root)));
    return say_text(ctx, "root %.*s %s %.*s to %.*s%.*s", STR_ARG(say_tone(ctx, a->root)),
                    rise ? "up" : "down", STR_ARG(say_interval(ctx, v)), STR_ARG(say_tone(ctx, b->root)),
                    STR_ARG(note));
}

static struct str say_common(struct claim_context *ctx, const struct triad *a, const struct triad *b)
{
    struct tone of_a[] = {a->root, a->third, a->fifth}, shared[3];
    uint32_t n = 0;
    for (uint32_t i = 0; i < 3; i++)
        if (triad_set(b) & pcset_of(tone_pc(of_a[i])))
            shared[n++] = of_a[i];
    if (n == 0)
        return STR("no common tone");
    return say_text(ctx, "%s %.*s", n == 1 ? "one common tone" : "common tones",
                    STR_ARG(say_tones(ctx, shared, n)));
}

static struct str say_modes(struct claim_context *ctx, const struct triad *a, const struct triad *b)
{
    if (a->minor == b->minor)
        return say_text(ctx, "both %s", a->minor ? "minor" : "major");
    return say_text(ctx, "%s and %s", a->minor ? "minor" : "major", b->minor ? "minor" : "major");
}

static struct str say_relation(struct claim_context *ctx, const struct triad *a, const struct triad *b)
{
    const char *more = a->part_of_more || b->part_of_more ? " (of each chord the triad counts)" : "";
    return say_text(ctx, "%.*s, %.*s, %.*s%s", STR_ARG(say_roots(ctx, a, b)),
                    STR_ARG(say_modes(ctx, a, b)), STR_ARG(say_common(ctx, a, b)), more);
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

static bool grade_fits(enum grade asked, enum grade is, bool root_only)
{
    if (asked == GRADE_ANY || asked == is)
        return true;
    return root_only && asked == GRADE_CHROMATIC && is == GRADE_DOUBLY;
}

static void decide(struct claim_context *ctx, const struct match *m, enum grade asked, const struct triad *a,
                   const struct triad *b)
{
    struct str relation = say_relation(ctx, a, b);
    if (!third_apart(a, b)) {
        const char *why = root_class(a, b) == 0 ? (a->minor != b->minor ? ": parallel triads, no mediants"
                                                                        : ": one triad twice, no mediants")
                                                : ": mediants have their roots a third apart";
        claim_fails(ctx, "%.*s to %.*s: %.*s%s", STR_ARG(a->words), STR_ARG(b->words), STR_ARG(relation),
                    why);
        return;
    }
    enum grade is = grade_of(a, b);
    bool root_only = ctx->conventions->choice[CONVENTION_MEDIANT] == 1;
    if (asked == GRADE_CHROMATIC && is == GRADE_DOUBLY)
        claim_convention(ctx, CONVENTION_MEDIANT);
    if (grade_fits(asked, is, root_only)) {
        bool by_roots = asked == GRADE_CHROMATIC && is == GRADE_DOUBLY;
        claim_holds(ctx, "%.*s to %.*s: %.*s: a %s%s", STR_ARG(a->words), STR_ARG(b->words),
                    STR_ARG(relation), grade_words(is), by_roots ? ", chromatic by the roots alone" : "");
        return;
    }
    claim_fails(ctx, "%.*s to %.*s: %.*s: a %s", STR_ARG(a->words), STR_ARG(b->words), STR_ARG(relation),
                grade_words(is));
    claim_instead(ctx, "%.*s to %.*s is a %s", STR_ARG(m->chord[0].words), STR_ARG(m->chord[1].words),
                  grade_words(is));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    enum grade asked = pattern >= FIRST_ANY ? GRADE_ANY : grades[m->choice[0]];
    struct triad a, b;
    if (read_triad(ctx, &m->chord[0], &a) && read_triad(ctx, &m->chord[1], &b))
        decide(ctx, m, asked, &a, &b);
}

const struct claim_kind claim_kind_mediant = {
    .name = "mediant",
    .patterns = patterns,
    .meaning = "Two major or minor triads with roots a third apart: diatonic with two common tones, "
               "chromatic with one (same mode), doubly chromatic with none.",
    .page = claim_page_mediant,
    .check = check,
    .fails = DIAG_FAILS_mediant,
};
