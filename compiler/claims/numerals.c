#include "claims/numerals.h"

#include <stdio.h>

/* ---- comparing ----------------------------------------------------------------------------------- */

/* Root and third without the fifth are an incomplete triad, unless the harmony row gives another root. */
static bool lacks_fifth_only(const struct moment *m, const struct chord *want, const struct tones_report *r)
{
    if (want->n_tones != 3 || r->foreign.n || r->missing.n != 1)
        return false;
    struct interval above = interval_between_tones(want->root, r->missing.t[0]);
    if (above.steps != 4 || above.half != 7)
        return false;
    return !m->symbol || m->symbol->n_layers != 1 || tone_eq(m->symbol->layers[0].root, want->root);
}

static enum numeral_fit bass_fit(const struct moment *m, bool by_name, const struct chord *want)
{
    if (m->source != MOMENT_SYMBOL)
        return tone_eq(m->pitches[0].tone, want->bass) ? NUMERAL_FITS : NUMERAL_INVERTED;
    const struct chord *symbol = &m->symbol->layers[0];
    bool names_bass = !tone_eq(symbol->bass, symbol->root);
    if (by_name || names_bass) {
        if (!tone_eq(symbol->bass, want->bass))
            return NUMERAL_INVERTED;
        return by_name ? NUMERAL_FITS : NUMERAL_UNVOICED;
    }
    return tone_eq(want->bass, want->root) ? NUMERAL_FITS : NUMERAL_UNVOICED;
}

struct numeral_report numeral_compare(struct claim_context *ctx, const struct moment *m, bool by_name,
                                      const struct chord *want)
{
    struct tone_bag have = bag_of_moment(ctx->arena, m), asked = bag_of_chord(ctx->arena, want);
    struct numeral_report r = {NUMERAL_DIFFERS, tones_compare(ctx->arena, &have, &asked, want->root)};
    if (m->source == MOMENT_SYMBOL && m->symbol->n_layers > 1)
        return r;
    if (r.tones.fit == TONES_DIFFER && lacks_fifth_only(m, want, &r.tones))
        r.tones.fit = TONES_SHORT;
    switch (r.tones.fit) {
    case TONES_DIFFER:
        break;
    case TONES_RESPELLED:
        r.fit = NUMERAL_RESPELLED;
        break;
    case TONES_COMPLETE:
    case TONES_SHORT:
        r.fit = bass_fit(m, by_name, want);
        break;
    }
    return r;
}

static enum numeral_fit fit_of(struct claim_context *ctx, const struct moment *m, bool by_name,
                               struct key key, struct str numeral)
{
    struct chord want;
    uint32_t bad;
    if (!roman_parse(numeral, key, &want, &bad))
        return NUMERAL_DIFFERS;
    return numeral_compare(ctx, m, by_name, &want).fit;
}

bool moment_is_numeral(struct claim_context *ctx, const struct moment *m, bool by_name, struct key key,
                       const char *numeral)
{
    return fit_of(ctx, m, by_name, key, str_of(numeral)) == NUMERAL_FITS;
}

bool moment_is_inverted(struct claim_context *ctx, const struct moment *m, struct key key,
                        const char *numeral)
{
    enum numeral_fit fit = fit_of(ctx, m, false, key, str_of(numeral));
    return fit == NUMERAL_FITS || fit == NUMERAL_UNVOICED || fit == NUMERAL_INVERTED;
}

/* The forms of minor that count, by the convention. */
static enum minor_form form_in_force(const struct claim_context *ctx)
{
    return (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
}

bool moment_is_diatonic(struct claim_context *ctx, const struct moment *m, struct key key)
{
    for (uint32_t i = 0; i < m->n; i++)
        if (!key_has_tone(key, form_in_force(ctx), m->tones[i]))
            return false;
    return true;
}

/* ---- naming -------------------------------------------------------------------------------------- */

static const char *const figures[] = {"",   "6",    "64",    "7",     "65",    "43",
                                      "42", "maj7", "maj65", "maj43", "maj42", "9"};
enum { FIGURES = sizeof figures / sizeof figures[0] };

/* A search through numerals from the plainest on. */
struct naming {
    struct claim_context *ctx;
    const struct moment *m;
    bool by_name, proven;
    struct key key;
    pcset set; /* the chord's tones by sound: most numerals are ruled out by these alone */
    struct str found;
};

static bool try_numeral(struct naming *n, struct str numeral)
{
    struct chord want;
    uint32_t bad;
    if (!roman_parse(numeral, n->key, &want, &bad) || (n->set & ~chord_set(&want)))
        return false;
    enum numeral_fit fit = numeral_compare(n->ctx, n->m, n->by_name, &want).fit;
    if (fit != NUMERAL_FITS && (n->proven || fit != NUMERAL_UNVOICED))
        return false;
    n->found = numeral;
    return true;
}

/* All figures on one head ("vii" with its sign, "V"), before what it is applied to. */
static bool try_head(struct naming *n, const char *accidental, const char *head, const char *applied)
{
    /* The slashed o is a seventh chord also without figures; with them it is plainer. */
    for (size_t f = strstr(head, "\u00F8") ? 1 : 0; f < FIGURES; f++) {
        struct str numeral = str_printf(n->ctx->arena, "%s%s%s%s%s", accidental, head, figures[f],
                                        *applied ? "/" : "", applied);
        if (try_numeral(n, numeral))
            return true;
    }
    return false;
}

/* Heads of every degree, major and minor triads first. */
static bool try_degrees(struct naming *n, const char *accidental)
{
    static const char *const upper[] = {"I", "II", "III", "IV", "V", "VI", "VII"};
    static const char *const lower[] = {"i", "ii", "iii", "iv", "v", "vi", "vii"};
    static const char *const signs[] = {"o", "\u00F8"};
    for (size_t d = 0; d < 7; d++)
        if (try_head(n, accidental, upper[d], "") || try_head(n, accidental, lower[d], ""))
            return true;
    for (size_t d = 0; d < 7; d++) {
        char head[16];
        for (size_t s = 0; s < 2; s++) {
            snprintf(head, sizeof head, "%s%s", lower[d], signs[s]);
            if (try_head(n, accidental, head, ""))
                return true;
        }
        snprintf(head, sizeof head, "%s+", upper[d]);
        if (try_head(n, accidental, head, ""))
            return true;
    }
    return false;
}

static bool try_chromatic(struct naming *n)
{
    static const char *const names[] = {"N6", "N", "N64", "It+6", "Fr+6", "Ger+6"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (try_numeral(n, str_of(names[i])))
            return true;
    return false;
}

static bool try_applied(struct naming *n)
{
    static const char *const heads[] = {"V", "viio", "vii\u00F8"};
    static const char *const in_major[] = {"V", "IV", "vi", "ii", "iii"};
    static const char *const in_minor[] = {"V", "iv", "III", "VI", "VII"};
    for (size_t t = 0; t < 5; t++)
        for (size_t h = 0; h < 3; h++)
            if (try_head(n, "", heads[h], (n->key.minor ? in_minor : in_major)[t]))
                return true;
    return false;
}

bool numeral_name(struct claim_context *ctx, const struct moment *m, bool by_name, struct key key,
                  bool proven, struct str *out)
{
    struct naming n = {ctx, m, by_name, proven, key, 0, STR("")};
    bool plain = true;
    if (m->source == MOMENT_SYMBOL && m->symbol->n_layers > 1)
        return false;
    for (uint32_t i = 0; i < m->n; i++) {
        n.set |= pcset_of(tone_pc(m->tones[i]));
        plain = plain && key_has_tone(key, MINOR_ALL, m->tones[i]);
    }
    bool found = plain && try_degrees(&n, "");
    found = found || try_chromatic(&n) || try_applied(&n) || (!plain && try_degrees(&n, ""));
    found = found || try_degrees(&n, "b") || try_degrees(&n, "#");
    if (found)
        *out = n.found;
    return found;
}

/* ---- chords in order ----------------------------------------------------------------------------- */

static bool same_chord(struct claim_context *ctx, const struct moment *a, const struct moment *b)
{
    struct tone_bag x = bag_of_moment(ctx->arena, a), y = bag_of_moment(ctx->arena, b);
    if (x.n != y.n || a->source != b->source)
        return false;
    for (uint32_t i = 0; i < x.n; i++)
        if (!bag_has(&y, x.t[i]))
            return false;
    return a->source == MOMENT_SYMBOL ? tone_eq(a->symbol->layers[0].bass, b->symbol->layers[0].bass)
                                      : tone_eq(a->pitches[0].tone, b->pitches[0].tone);
}

bool stream_chords(struct claim_context *ctx, const struct match *m, const struct stream *s, uint32_t least,
                   struct moments *out)
{
    struct stretch where;
    struct moments all;
    if (!match_stretch(ctx, m, s, &where) || !stream_moments(ctx, s, where, least, &all))
        return false;
    uint32_t kept = 0;
    for (uint32_t i = 0; i < all.n; i++) {
        if (kept && same_chord(ctx, &all.items[kept - 1], &all.items[i])) {
            struct moment *last = &all.items[kept - 1];
            last->length = ratio_minus(ratio_plus(all.items[i].onset, all.items[i].length), last->onset);
            continue;
        }
        all.items[kept++] = all.items[i];
    }
    all.n = kept;
    *out = all;
    return true;
}

struct stream stream_harmony(const struct stream *s)
{
    struct stream h = *s;
    if (s->kind == STREAM_ALL && s->passage && s->passage->n_harmony)
        h.kind = STREAM_HARMONY;
    return h;
}

bool key_of_claim(struct claim_context *ctx, const struct match *m, const struct passage *p, struct ratio at,
                  struct key *out)
{
    const struct key_change *stated = p ? passage_key_at(p, at) : NULL;
    if (m->n_keys) {
        *out = m->key[0];
        return true;
    }
    if (stated) {
        *out = stated->key;
        return true;
    }
    if (p)
        claim_undecided(ctx,
                        "no key is stated: write `in C major` in the sentence, or `key C major` in `%.*s`",
                        STR_ARG(p->symbol.name));
    else
        claim_undecided(ctx, "no key is named: write `in C major` at the end of the sentence");
    return false;
}

/* ---- words --------------------------------------------------------------------------------------- */

struct str say_key(struct claim_context *ctx, struct key k)
{
    char text[PITCH_TEXT_MAX];
    if (ctx->mute)
        return STR("");
    return str_printf(ctx->arena, "%s", key_text(k, SIGN_ASCII, text));
}

struct str say_tone_report(struct claim_context *ctx, const struct tones_report *r)
{
    if (ctx->mute)
        return STR("");
    struct str missing = say_tones(ctx, r->missing.t, r->missing.n),
               foreign = say_tones(ctx, r->foreign.t, r->foreign.n);
    const char *lack = r->missing.n > 1 ? "are missing" : "is missing",
               *extra = r->foreign.n > 1 ? "are" : "is";
    if (!r->missing.n)
        return str_printf(ctx->arena, "%.*s %s foreign to it", STR_ARG(foreign), extra);
    if (!r->foreign.n)
        return str_printf(ctx->arena, "%.*s %s", STR_ARG(missing), lack);
    return str_printf(ctx->arena, "%.*s %s, %.*s %s foreign to it", STR_ARG(missing), lack, STR_ARG(foreign),
                      extra);
}

struct str say_bass(struct claim_context *ctx, const struct moment *m)
{
    if (m->source != MOMENT_SYMBOL)
        return say_tone(ctx, m->pitches[0].tone);
    const struct chord *symbol = &m->symbol->layers[0];
    return tone_eq(symbol->bass, symbol->root) ? STR("") : say_tone(ctx, symbol->bass);
}
