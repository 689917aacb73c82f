/* vl_distance.c - how many half steps the voices move from one chord to the next. */
#include "base/buf.h"
#include "claims/pages.h"
#include "claims/tones.h"
#include "claims/voices.h"

#include <inttypes.h>
#include <stdlib.h>

enum { MOVES, FROM_TO, VOICES, MOVES_SHORTEST, SHORTEST_IS, DISTANCE_IS };

#define HALF_STEPS "<semitones|half steps|half-steps>"
#define HOW "[<exactly|at most|at least>]"
#define VERBS "moves|takes|costs|needs|shifts"

static const char *const patterns[] = {
    [MOVES] = "CHORD to CHORD " VERBS " " HOW " COUNT " HALF_STEPS " [in|all|altogether] [all|total]",
    [FROM_TO] =
        "from CHORD to CHORD voices " VERBS " " HOW " COUNT " HALF_STEPS " [in|all|altogether] [all|total]",
    [VOICES] =
        "voices " VERBS " " HOW " COUNT " HALF_STEPS " [in|all|altogether] [all|total] from CHORD to CHORD",
    [MOVES_SHORTEST] = "CHORD to CHORD " VERBS " " HOW " COUNT " HALF_STEPS
                       " [in|all|altogether] [all|total] by|on shortest way|path",
    [SHORTEST_IS] = "shortest way|path from CHORD to CHORD is|takes|costs " HOW " COUNT " HALF_STEPS,
    [DISTANCE_IS] = "voice-leading distance from|between CHORD to|and CHORD is " HOW " COUNT [semitones]",
    NULL,
};

enum how { HOW_EXACTLY, HOW_AT_MOST, HOW_AT_LEAST };

static bool fits(enum how how, int64_t is, int64_t named)
{
    switch (how) {
    case HOW_EXACTLY:
        return is == named;
    case HOW_AT_MOST:
        return is <= named;
    case HOW_AT_LEAST:
        return is >= named;
    }
    return false;
}

static struct str say_total(struct claim_context *ctx, int total)
{
    return say_count(ctx, total, "half step", "half steps");
}

/* A chord as the sentence has it, with the voicing written behind its symbol. */
static struct str say_ref(struct claim_context *ctx, const struct chord_ref *c)
{
    const struct harmony *h = c->symbol;
    if (c->at_place || !h || h->n_layers != 1 || !h->voicing[0])
        return c->words;
    return say_text(ctx, "%.*s as (%.*s)", STR_ARG(c->words),
                    STR_ARG(say_pitches(ctx, h->voicing[0], h->n_voicing[0])));
}

static void decide(struct claim_context *ctx, const struct match *m, int total, struct str ways,
                   bool shortest)
{
    enum how how = m->choice[0] < 0 ? HOW_EXACTLY : (enum how)m->choice[0];
    struct str sum = say_total(ctx, total);
    if (fits(how, total, m->count[0])) {
        claim_holds(ctx, "%.*s: %.*s in all", STR_ARG(ways), STR_ARG(sum));
        return;
    }
    claim_fails(ctx, "%.*s: %.*s in all, not %s%" PRId64, STR_ARG(ways), STR_ARG(sum),
                how == HOW_AT_MOST    ? "at most "
                : how == HOW_AT_LEAST ? "at least "
                                      : "",
                m->count[0]);
    claim_instead(ctx, "%.*s to %.*s moves %d %s in all%s", STR_ARG(say_ref(ctx, &m->chord[0])),
                  STR_ARG(say_ref(ctx, &m->chord[1])), total, total == 1 ? "semitone" : "semitones",
                  shortest ? " by the shortest way" : "");
}

/* ---- the shortest way ---------------------------------------------------------------------------- */

enum { TONES_MAX = 12 };

/* Tones of a chord by sound, each once, spelled as it is met first. */
struct tone_list {
    struct tone t[TONES_MAX];
    int n;
};

static struct tone_list tones_of(const struct moment *m)
{
    struct tone_list list = {.n = 0};
    pcset seen = 0;
    for (uint32_t i = 0; i < m->n; i++) {
        pcset one = pcset_of(tone_pc(m->tones[i]));
        if (seen & one)
            continue;
        seen |= one;
        list.t[list.n++] = m->tones[i];
    }
    return list;
}

/* Half steps from tone to tone, the smaller way. */
static int tone_distance(struct tone a, struct tone b)
{
    int up = ((tone_pc(b) - tone_pc(a)) % 12 + 12) % 12;
    return up <= 6 ? up : 12 - up;
}

/* The one-to-one assignment of least total: for each set of partners taken, the least that the first tones
 * need. 2^12 sets at most. */
static int assign(struct claim_context *ctx, const struct tone_list *a, const struct tone_list *b,
                  int partner[TONES_MAX])
{
    enum { SETS = 1 << TONES_MAX, NONE = 1000 };
    int *least = ARENA_NEW_ARRAY(ctx->arena, int, SETS);
    int *last = ARENA_NEW_ARRAY(ctx->arena, int, SETS);
    int full = (1 << b->n) - 1;
    for (int set = 1; set <= full; set++) {
        int i = pcset_count((pcset)set) - 1; /* the tone whose partner is chosen last */
        least[set] = NONE;
        for (int k = 0; k < b->n; k++) {
            if (!(set >> k & 1))
                continue;
            int total = least[set & ~(1 << k)] + tone_distance(a->t[i], b->t[k]);
            if (total < least[set]) {
                least[set] = total;
                last[set] = k;
            }
        }
    }
    for (int set = full, i = a->n; i-- > 0; set &= ~(1 << partner[i]))
        partner[i] = last[set];
    return least[full];
}

static void check_shortest(struct claim_context *ctx, const struct match *m, const struct moment moments[2])
{
    struct tone_list a = tones_of(&moments[0]), b = tones_of(&moments[1]);
    int partner[TONES_MAX];
    if (a.n != b.n) {
        claim_undecided(
            ctx,
            "%.*s has %.*s, %.*s %.*s: which is doubled is not said; name chords of one size, or the "
            "voices",
            STR_ARG(m->chord[0].words), STR_ARG(say_count(ctx, a.n, "tone", "tones")),
            STR_ARG(m->chord[1].words), STR_ARG(say_count(ctx, b.n, "tone", "tones")));
        return;
    }
    int total = assign(ctx, &a, &b, partner);
    struct str *ways = ARENA_NEW_ARRAY(ctx->arena, struct str, TONES_MAX);
    for (int i = 0; i < a.n; i++) {
        struct tone to = b.t[partner[i]];
        int by = tone_distance(a.t[i], to);
        struct str name = say_tone(ctx, a.t[i]);
        ways[i] = by ? say_text(ctx, "%.*s to %.*s %d", STR_ARG(name), STR_ARG(say_tone(ctx, to)), by)
                     : say_text(ctx, "%.*s stays", STR_ARG(name));
    }
    decide(ctx, m, total, say_list(ctx, ways, (uint32_t)a.n, "and"), true);
}

/* ---- the way that is written --------------------------------------------------------------------- */

static bool same_pitches(const struct moment *a, const struct moment *b)
{
    bool same = a->n == b->n;
    for (uint32_t i = 0; same && i < a->n; i++)
        same = pitch_midi(a->pitches[i]) == pitch_midi(b->pitches[i]);
    return same;
}

static bool needs_voicing(struct claim_context *ctx, const struct match *m, const struct moment moments[2])
{
    for (int i = 0; i < 2; i++) {
        if (moments[i].source != MOMENT_SYMBOL)
            continue;
        claim_undecided(
            ctx,
            "%.*s is only a symbol, which does not tell how the voices move: write the notes, or claim it "
            "`by the shortest way`",
            STR_ARG(m->chord[i].words));
        return true;
    }
    return false;
}

static void check_written(struct claim_context *ctx, const struct match *m, struct moment moments[2])
{
    struct changes changes;
    if (needs_voicing(ctx, m, moments))
        return;
    if (same_pitches(&moments[0], &moments[1])) {
        decide(ctx, m, 0, STR("every voice keeps its note"), false);
        return;
    }
    struct moments both = {.items = moments, .n = 2, .passage = m->chord[1].passage};
    if (!moments_changes(ctx, &both, &changes))
        return;
    const struct change *c = &changes.items[0];
    if (c->missing) {
        claim_undecided(ctx, "%.*s in one of the two chords: how far they move is not known",
                        STR_ARG(say_count(ctx, c->missing, "voice rests", "voices rest")));
        return;
    }
    struct str *ways = ARENA_NEW_ARRAY(ctx->arena, struct str, c->n);
    int total = 0;
    for (uint32_t i = 0; i < c->n; i++) {
        int by = abs(change_interval(c, i).half);
        total += by;
        ways[i] = by ? say_text(ctx, "%.*s to %.*s %d", STR_ARG(say_pitch(ctx, c->from[i])),
                                STR_ARG(say_pitch(ctx, c->to[i])), by)
                     : say_text(ctx, "%.*s stays", STR_ARG(say_pitch(ctx, c->from[i])));
    }
    struct str list = say_list(ctx, ways, c->n, "and");
    decide(ctx, m, total, c->by_rank ? say_text(ctx, "%.*s (voices from low to high)", STR_ARG(list)) : list,
           false);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct moment moments[2];
    if (!chord_moment(ctx, &m->chord[0], false, &moments[0]) ||
        !chord_moment(ctx, &m->chord[1], false, &moments[1]))
        return;
    if (pattern <= VOICES)
        check_written(ctx, m, moments);
    else
        check_shortest(ctx, m, moments);
}

const struct claim_kind claim_kind_vl_distance = {
    .name = "vl-distance",
    .patterns = patterns,
    .meaning = "How many half steps all voices move together from one chord to the next, as written or by "
               "the shortest way.",
    .page = claim_page_vl_distance,
    .check = check,
    .fails = DIAG_FAILS_vl_distance,
};
