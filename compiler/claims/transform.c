/* transform.c - how one triad becomes another by exchanges that keep two tones, or by their compounds. */
#include "base/buf.h"
#include "claims/numerals.h"
#include "claims/pages.h"
#include "claims/tell.h"

enum { TO, AND, OF, GOES, TAKES, CHAIN, CHAIN_LETTERS, ALTERNATES, CYCLE };

static const char *const patterns[] = {
    [TO] = "CHORD to CHORD is EXCHANGE",
    [AND] = "[chords] CHORD and CHORD is [related by|as] EXCHANGE",
    [OF] = "CHORD is EXCHANGE of CHORD",
    [GOES] = "CHORD goes|moves|leads|turns|passes to|into CHORD by|through EXCHANGE",
    [TAKES] = "EXCHANGE takes|turns|maps|leads|sends CHORD to|into CHORD",
    [CHAIN] = "STREAM moves|goes|runs|proceeds by|through|in EXCHANGE [in turn|alternation]",
    [CHAIN_LETTERS] = "STREAM is chain of EXCHANGE",
    [ALTERNATES] = "STREAM alternates EXCHANGE",
    [CYCLE] = "STREAM runs|goes|moves|turns through|around|along <hexatonic|octatonic> cycle",
    NULL,
};

/* A major or minor triad. */
struct triad {
    struct tone root;
    bool minor;
};

/* ---- the exchanges ------------------------------------------------------------------------------- */

struct exchange {
    char letter;
    struct interval from_major; /* root of the minor triad above that of the major one */
    const char *name;
};

/* Sources: Open Music Theory, version 2, Neo-Riemannian Triadic Progressions; R. Cohn, Audacious Euphony
 * (2012), from memory. From minor to major each goes the way back. */
static const struct exchange exchanges[] = {
    {'P', {0, 0}, "the parallel exchange"},      {'L', {2, 4}, "the leading-tone exchange"},
    {'R', {-2, -3}, "the relative exchange"},    {'S', {0, 1}, "the slide"},
    {'N', {3, 5}, "the nebenverwandt exchange"}, {'H', {-2, -4}, "the hexatonic pole"},
};
enum { EXCHANGES = sizeof exchanges / sizeof exchanges[0], BASIC = 3, WORD_MAX = 12 };

static const struct exchange *exchange_of(char letter)
{
    for (int i = 0; i < EXCHANGES; i++)
        if (exchanges[i].letter == letter)
            return &exchanges[i];
    return NULL;
}

static struct triad apply(struct triad t, const struct exchange *e)
{
    struct interval by = t.minor ? interval_negate(e->from_major) : e->from_major;
    return (struct triad){tone_move(t.root, by), !t.minor};
}

static bool same_triad(struct triad a, struct triad b)
{
    return tone_pc(a.root) == tone_pc(b.root) && a.minor == b.minor;
}

static struct triad apply_word(struct triad t, struct str word)
{
    for (uint32_t i = 0; i < word.n; i++)
        t = apply(t, exchange_of(word.p[i]));
    return t;
}

/* ---- triads in what sounds ----------------------------------------------------------------------- */

static bool tone_at(const struct moment *m, int pc, struct tone *out)
{
    for (uint32_t i = 0; i < m->n; i++) {
        if (tone_pc(m->tones[i]) == (pc % 12 + 12) % 12) {
            *out = m->tones[i];
            return true;
        }
    }
    return false;
}

/* Exactly root, third and fifth, by sound. */
static bool find_triad(const struct moment *m, struct triad *out)
{
    pcset set = 0;
    for (uint32_t i = 0; i < m->n; i++)
        set |= pcset_of(tone_pc(m->tones[i]));
    for (uint32_t i = 0; i < m->n; i++) {
        int pc = tone_pc(m->tones[i]);
        pcset fifth = (pcset)(pcset_of(pc) | pcset_of(pc + 7));
        bool major = set == (fifth | pcset_of(pc + 4)), minor = set == (fifth | pcset_of(pc + 3));
        if (!major && !minor)
            continue;
        *out = (struct triad){m->tones[i], minor};
        return true;
    }
    return false;
}

/* "C7 has four tones, C, E, G and Bb": why there is no triad. An open fifth has no third to exchange. */
static void report_no_triad(struct claim_context *ctx, struct str words, const struct moment *m)
{
    struct tone_bag tones = bag_of_moment(ctx->arena, m);
    struct tone fifth;
    pcset set = bag_set(&tones);
    bool open = tones.n == 2 && tone_at(m, tone_pc(tones.t[0]) + 7, &fifth);
    if (open)
        claim_undecided(ctx, "%.*s (%.*s) has no third: whether it is major or minor is not said",
                        STR_ARG(words), STR_ARG(say_tones(ctx, tones.t, tones.n)));
    else
        claim_fails(ctx, "%.*s has %.*s, %.*s: the exchanges turn major and minor triads into each other",
                    STR_ARG(words), STR_ARG(say_count(ctx, pcset_count(set), "tone", "tones")),
                    STR_ARG(say_tones(ctx, tones.t, tones.n)));
}

static bool read_triad(struct claim_context *ctx, const struct chord_ref *c, struct triad *out)
{
    struct moment m;
    if (!chord_moment(ctx, c, false, &m))
        return false;
    if (find_triad(&m, out))
        return true;
    report_no_triad(ctx, c->words, &m);
    if (m.where.hi > m.where.lo)
        claim_place(ctx, m.where, "no major or minor triad");
    return false;
}

/* ---- words --------------------------------------------------------------------------------------- */

static struct str say_triad(struct claim_context *ctx, struct triad t)
{
    return say_text(ctx, "%.*s%s", STR_ARG(say_tone(ctx, t.root)), t.minor ? "m" : "");
}

/* "C to Cm (P), Cm to Ab (L)" */
static struct str say_path(struct claim_context *ctx, struct triad from, struct str word)
{
    struct buf b = {0};
    for (uint32_t i = 0; !ctx->mute && i < word.n; i++) {
        struct triad to = apply(from, exchange_of(word.p[i]));
        buf_printf(&b, "%s%.*s to %.*s (%c)", i ? ", " : "", STR_ARG(say_triad(ctx, from)),
                   STR_ARG(say_triad(ctx, to)), word.p[i]);
        from = to;
    }
    return buf_take(&b, ctx->arena);
}

static void triad_tones(struct triad t, struct tone out[3])
{
    out[0] = t.root;
    out[1] = tone_move(t.root, (struct interval){2, t.minor ? 3 : 4});
    out[2] = tone_move(t.root, (struct interval){4, 7});
}

/* "C and E stay" */
static struct str say_kept(struct claim_context *ctx, struct triad a, struct triad b)
{
    struct tone x[3], y[3], kept[3];
    uint32_t n = 0;
    triad_tones(a, x);
    triad_tones(b, y);
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            if (tone_pc(x[i]) == tone_pc(y[k]))
                kept[n++] = x[i];
    return n ? say_text(ctx, "%.*s %s", STR_ARG(say_tones(ctx, kept, n)), n > 1 ? "stay" : "stays")
             : STR("no tone stays");
}

/* The shortest words in P, L and R that lead from one to the other, in the order P L R; returns how many
 * letters they have, 0 for one triad twice. Five letters reach every triad. */
static int shortest(struct triad from, struct triad to, char words[][WORD_MAX], int max, int *found)
{
    enum { LONGEST = 5 };
    *found = 0;
    for (int n = 0; n <= LONGEST && *found == 0; n++) {
        int total = 1;
        for (int i = 0; i < n; i++)
            total *= BASIC;
        for (int code = 0; code < total && *found < max; code++) {
            struct triad t = from;
            char word[WORD_MAX] = "";
            for (int i = 0, rest = code, weight = total / BASIC; i < n; i++, weight /= BASIC) {
                const struct exchange *e = &exchanges[rest / weight];
                rest %= weight;
                word[i] = e->letter;
                t = apply(t, e);
            }
            if (same_triad(t, to))
                memcpy(words[(*found)++], word, sizeof word);
        }
        if (*found)
            return n;
    }
    return 0;
}

/* The plainest name: a single letter of the six, else the first of the shortest words; empty for one triad.
 */
static struct str plainest(struct claim_context *ctx, struct triad from, struct triad to)
{
    char words[1][WORD_MAX];
    int found;
    for (int i = 0; i < EXCHANGES; i++)
        if (same_triad(apply(from, &exchanges[i]), to))
            return say_text(ctx, "%c", exchanges[i].letter);
    shortest(from, to, words, 1, &found);
    return found ? say_text(ctx, "%s", words[0]) : STR("");
}

/* "R, the relative exchange", "PL", "LPR, or S, the slide" */
static struct str say_truth(struct claim_context *ctx, struct triad from, struct triad to)
{
    enum { SHOWN = 4 };
    char words[SHOWN][WORD_MAX];
    struct str list[SHOWN + 1];
    int found;
    uint32_t n = 0;
    if (ctx->mute)
        return STR("");
    if (same_triad(from, to))
        return STR("one triad twice");
    for (int i = 0; i < EXCHANGES; i++)
        if (same_triad(apply(from, &exchanges[i]), to))
            list[n++] = say_text(ctx, "%c, %s", exchanges[i].letter, exchanges[i].name);
    int letters = shortest(from, to, words, SHOWN, &found);
    for (int i = 0; letters > 1 && i < found; i++)
        list[n++] = say_text(ctx, "%s", words[i]);
    return say_list(ctx, list, n, "or");
}

/* ---- two chords ---------------------------------------------------------------------------------- */

static bool is_plain_word(struct claim_context *ctx, struct str word)
{
    if (word.n <= WORD_MAX)
        return true;
    claim_undecided(ctx, "%.*s has %u letters; at most %d are followed", STR_ARG(word), word.n, WORD_MAX);
    return false;
}

static void check_pair(struct claim_context *ctx, const struct match *m, const struct chord_ref *from_ref,
                       const struct chord_ref *to_ref)
{
    struct triad from, to;
    struct str word = m->exchange;
    if (!is_plain_word(ctx, word) || !read_triad(ctx, from_ref, &from) || !read_triad(ctx, to_ref, &to))
        return;
    struct triad reached = apply_word(from, word);
    struct str a = say_triad(ctx, from), b = say_triad(ctx, to), path = say_path(ctx, from, word);
    if (same_triad(reached, to)) {
        bool spelled = tone_eq(reached.root, to.root);
        claim_holds(ctx, "%.*s%s%.*s; %.*s", STR_ARG(path), spelled ? "" : ", which sounds as ",
                    STR_ARG(spelled ? STR("") : b), STR_ARG(say_kept(ctx, from, to)));
        return;
    }
    claim_fails(ctx, "%.*s leads to %.*s; %.*s to %.*s is %.*s, for %.*s", STR_ARG(path),
                STR_ARG(say_triad(ctx, reached)), STR_ARG(a), STR_ARG(b), STR_ARG(say_truth(ctx, from, to)),
                STR_ARG(say_kept(ctx, from, to)));
    struct str name = plainest(ctx, from, to);
    if (name.n)
        claim_instead(ctx, "%.*s to %.*s is %.*s", STR_ARG(from_ref->words), STR_ARG(to_ref->words),
                      STR_ARG(name));
}

/* ---- chains -------------------------------------------------------------------------------------- */

/* Different triads one after the other. */
struct chain {
    struct triad *items;
    const struct moment **moments;
    uint32_t n;
    const struct passage *passage;
};

static bool read_chain(struct claim_context *ctx, const struct match *m, struct chain *out)
{
    struct stream s = stream_harmony(&m->stream[0]);
    struct moments chords;
    if (!stream_chords(ctx, m, &s, 2, &chords))
        return false;
    *out = (struct chain){ARENA_NEW_ARRAY(ctx->arena, struct triad, chords.n),
                          ARENA_NEW_ARRAY(ctx->arena, const struct moment *, chords.n), 0, chords.passage};
    for (uint32_t i = 0; i < chords.n; i++) {
        struct triad t;
        const struct moment *moment = &chords.items[i];
        if (!find_triad(moment, &t)) {
            report_no_triad(
                ctx,
                say_text(ctx, "the chord at %.*s", STR_ARG(say_place(ctx, chords.passage, moment->onset))),
                moment);
            claim_place(ctx, moment->where, "no major or minor triad");
            return false;
        }
        if (out->n && same_triad(out->items[out->n - 1], t))
            continue;
        out->moments[out->n] = moment;
        out->items[out->n++] = t;
    }
    if (out->n >= 2)
        return true;
    claim_undecided(ctx, "%.*s has one triad there: a move needs two", STR_ARG(m->stream[0].words));
    return false;
}

/* "C Cm Ab": the triads as spelled where they stand. */
static struct str say_chain(struct claim_context *ctx, const struct chain *c)
{
    struct buf b = {0};
    for (uint32_t i = 0; !ctx->mute && i < c->n; i++)
        buf_printf(&b, "%s%.*s", i ? " " : "", STR_ARG(say_triad(ctx, c->items[i])));
    return buf_take(&b, ctx->arena);
}

/* The moves as one word, if each is a single letter; else empty. */
static struct str chain_word(struct claim_context *ctx, const struct chain *c)
{
    struct buf b = {0};
    bool single = true;
    for (uint32_t i = 1; i < c->n; i++) {
        struct str word = plainest(ctx, c->items[i - 1], c->items[i]);
        single = single && word.n == 1;
        buf_str_put(&b, word);
    }
    struct str all = buf_take(&b, ctx->arena);
    return single && all.n <= WORD_MAX ? all : STR("");
}

/* Each move in turn, beginning again where the word ends. */
static void check_chain(struct claim_context *ctx, const struct match *m)
{
    struct chain c;
    struct str word = m->exchange;
    if (!is_plain_word(ctx, word) || !read_chain(ctx, m, &c))
        return;
    struct str list = say_chain(ctx, &c);
    for (uint32_t i = 1; i < c.n; i++) {
        const struct exchange *e = exchange_of(word.p[(i - 1) % word.n]);
        struct triad from = c.items[i - 1], to = c.items[i];
        if (same_triad(apply(from, e), to))
            continue;
        claim_fails(ctx, "%.*s to %.*s at %.*s is %.*s, not %c", STR_ARG(say_triad(ctx, from)),
                    STR_ARG(say_triad(ctx, to)), STR_ARG(say_place(ctx, c.passage, c.moments[i]->onset)),
                    STR_ARG(say_truth(ctx, from, to)), e->letter);
        claim_place(ctx, c.moments[i]->where, "not %c", e->letter);
        struct str truth = ctx->mute ? STR("") : chain_word(ctx, &c);
        if (truth.n)
            claim_instead(ctx, "%.*s %.*s by %.*s%.*s", STR_ARG(m->stream[0].words),
                          STR_ARG(tell_verb(ctx, &m->stream[0], "move")), STR_ARG(truth),
                          STR_ARG(tell_span(ctx, m)));
        return;
    }
    if (c.n - 1 < word.n)
        claim_fails(ctx, "%.*s: %.*s, fewer than the %u of %.*s", STR_ARG(list),
                    STR_ARG(say_count(ctx, c.n - 1, "move", "moves")), word.n, STR_ARG(word));
    else
        claim_holds(ctx, "%.*s: %.*s, by %.*s in turn", STR_ARG(list),
                    STR_ARG(say_count(ctx, c.n - 1, "move", "moves")), STR_ARG(word));
}

static uint32_t different(const struct chain *c)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < c->n; i++) {
        bool before = false;
        for (uint32_t k = 0; k < i; k++)
            before = before || same_triad(c->items[k], c->items[i]);
        n += !before;
    }
    return n;
}

/* P and L in alternation give six triads, P and R eight; then the first comes back. */
static void check_cycle(struct claim_context *ctx, const struct match *m)
{
    enum { HEXATONIC, OCTATONIC };
    static const char letters[][2] = {{'P', 'L'}, {'P', 'R'}};
    static const uint32_t sizes[] = {6, 8};
    int kind = m->choice[0];
    const char *name = kind == HEXATONIC ? "hexatonic" : "octatonic";
    struct chain c;
    if (!read_chain(ctx, m, &c))
        return;
    struct str list = say_chain(ctx, &c);
    bool p_first = same_triad(apply(c.items[0], exchange_of('P')), c.items[1]);
    for (uint32_t i = 1; i < c.n; i++) {
        char letter = letters[kind][(i - 1 + !p_first) % 2];
        if (same_triad(apply(c.items[i - 1], exchange_of(letter)), c.items[i]))
            continue;
        claim_fails(ctx, "%.*s to %.*s at %.*s is %.*s; in the %s cycle it would be %c",
                    STR_ARG(say_triad(ctx, c.items[i - 1])), STR_ARG(say_triad(ctx, c.items[i])),
                    STR_ARG(say_place(ctx, c.passage, c.moments[i]->onset)),
                    STR_ARG(say_truth(ctx, c.items[i - 1], c.items[i])), name, letter);
        claim_place(ctx, c.moments[i]->where, "not %c", letter);
        return;
    }
    uint32_t n = different(&c);
    if (n == sizes[kind])
        claim_holds(ctx, "%.*s: all %.*s of the cycle, by %c and %c in turn", STR_ARG(list),
                    STR_ARG(say_count(ctx, n, "triad", "triads")), letters[kind][!p_first],
                    letters[kind][p_first]);
    else
        claim_fails(ctx, "%.*s: %u of the %u triads of the cycle, a part of it", STR_ARG(list), n,
                    sizes[kind]);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch (pattern) {
    case CHAIN:
    case CHAIN_LETTERS:
    case ALTERNATES:
        check_chain(ctx, m);
        return;
    case CYCLE:
        check_cycle(ctx, m);
        return;
    case OF:
        check_pair(ctx, m, &m->chord[1], &m->chord[0]);
        return;
    default:
        check_pair(ctx, m, &m->chord[0], &m->chord[1]);
        return;
    }
}

const struct claim_kind claim_kind_transform = {
    .name = "transform",
    .patterns = patterns,
    .meaning = "Whether one major or minor triad becomes another by the exchanges P, L, R, S, N, H or a row "
               "of them.",
    .page = claim_page_transform,
    .check = check,
    .fails = DIAG_FAILS_transform,
};
