#include "claims/attacks.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

#include <inttypes.h>

#define HOW_MANY "[<exactly|only|at least|at most|no more than|up to>] COUNT <voices|notes|parts>"
#define SOUND "sound|play|sing|speak [at once|together]"
#define GROWS                                                                                                \
    "<thickens|thins|grows thicker|grows thinner|gets thicker|gets thinner|becomes thicker|becomes thinner>"

enum pattern { SOUNDS_IN, SOUNDS_OF, THERE_ARE, IS_IN, TEXTURE, STREAM_GROWS };

static const char *const patterns[] = {
    [SOUNDS_IN] = HOW_MANY " " SOUND " [in|of STREAM]",
    [SOUNDS_OF] = HOW_MANY " of STREAM " SOUND,
    [THERE_ARE] = "there are|is " HOW_MANY " [in|of STREAM]",
    [IS_IN] = "STREAM is in COUNT <voices|notes|parts> [throughout]",
    [TEXTURE] = "texture [of|in STREAM] " GROWS " [out]",
    [STREAM_GROWS] = "STREAM <thickens|thins> [out]",
    NULL,
};

enum bound { EXACTLY, AT_LEAST, AT_MOST };
enum what { NOTES, PARTS };

/* ---- what sounds, moment by moment ----------------------------------------------------------- */

struct sample {
    struct ratio at;
    uint32_t n;
    bool begins;      /* some note begins there, or sounds where the stretch begins */
    struct str words; /* "C4 E4 G4" */
    struct span where;
};

struct samples {
    struct sample *items;
    uint32_t n, most, least;
    const struct passage *passage;
    enum what what;
};

static bool belongs(const struct stream *s, const struct moment *m, uint32_t i)
{
    switch (s->kind) {
    case STREAM_PART:
        return m->parts[i] == s->part;
    case STREAM_VOICE:
        return m->parts[i] == s->part && m->notes[i]->voice == s->voice;
    case STREAM_FIGURE:
    case STREAM_BASS:
    case STREAM_TOP:
    case STREAM_OUTER:
    case STREAM_HARMONY:
    case STREAM_ALL:
        return true;
    }
    return true;
}

static bool part_counted(const struct moment *m, uint32_t i)
{
    for (uint32_t k = 0; k < i; k++)
        if (m->parts[k] == m->parts[i])
            return true;
    return false;
}

static struct sample sample_at(struct claim_context *ctx, const struct stream *s, const struct samples *all,
                               struct ratio at, bool first)
{
    struct moment m;
    struct sample out = {.at = at};
    if (!moment_sounding(ctx, all->passage, at, &m))
        return out;
    struct pitch *pitches = ARENA_NEW_ARRAY(ctx->arena, struct pitch, m.n);
    uint32_t n = 0;
    for (uint32_t i = 0; i < m.n; i++) {
        if (!belongs(s, &m, i))
            continue;
        out.begins = out.begins || first || ratio_eq(m.notes[i]->onset, at);
        out.where = m.notes[i]->where;
        out.n += all->what == NOTES || !part_counted(&m, i);
        pitches[n++] = m.notes[i]->pitch;
    }
    out.words = say_pitches(ctx, pitches, n);
    return out;
}

/* False after an undecided verdict. */
static bool samples_read(struct claim_context *ctx, const struct stream *s, struct stretch where,
                         enum what what, struct samples *out)
{
    uint32_t n;
    *out = (struct samples){.passage = s->passage, .what = what};
    if (s->passage->n_parts == 0) {
        claim_undecided(ctx, "`%.*s` has no part, and symbols do not tell how many voices sound",
                        STR_ARG(s->passage->symbol.name));
        return false;
    }
    bool one = s->kind == STREAM_PART || s->kind == STREAM_VOICE;
    if (!stretch_known(ctx, s->passage, one ? s->part : NULL, where))
        return false;
    struct ratio *at = passage_changes(ctx, s->passage, where, &n);
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct sample, n);
    for (uint32_t i = 0; i < n; i++) {
        struct sample x = sample_at(ctx, s, out, at[i], i == 0);
        out->least = out->n == 0 || x.n < out->least ? x.n : out->least;
        out->most = x.n > out->most ? x.n : out->most;
        out->items[out->n++] = x;
    }
    return true;
}

static struct str count_words(struct claim_context *ctx, enum what what, uint32_t n)
{
    if (n == 0)
        return what == NOTES ? STR("no voice") : STR("no part");
    return what == NOTES ? say_count(ctx, n, "voice", "voices") : say_count(ctx, n, "part", "parts");
}

static struct str sample_words(struct claim_context *ctx, const struct samples *all, const struct sample *x)
{
    struct str at = say_place(ctx, all->passage, x->at), n = count_words(ctx, all->what, x->n);
    if (x->n == 0)
        return say_text(ctx, "%.*s at %.*s", STR_ARG(n), STR_ARG(at));
    return say_text(ctx, "%.*s at %.*s (%.*s)", STR_ARG(n), STR_ARG(at), STR_ARG(x->words));
}

/* " of strings of lamp", or " in lamp": what a true sentence must name. */
static struct str of_words(struct claim_context *ctx, const struct match *m)
{
    return m->n_streams ? say_text(ctx, " of %.*s", STR_ARG(m->stream[0].words)) : STR("");
}

/* ---- so many --------------------------------------------------------------------------------- */

static bool count_fits(enum bound bound, uint32_t n, int64_t want)
{
    switch (bound) {
    case EXACTLY:
        return n == want;
    case AT_LEAST:
        return n >= want;
    case AT_MOST:
        return n <= want;
    }
    return false;
}

static void suggest_count(struct claim_context *ctx, const struct match *m, const struct samples *all)
{
    bool even = all->least == all->most;
    uint32_t n = even || all->least > 0 ? all->least : all->most;
    const char *bound = even ? "" : all->least > 0 ? "at least " : "at most ";
    struct str of = of_words(ctx, m), words = count_words(ctx, all->what, n);
    claim_instead(ctx, "%s%.*s%.*s sound%s%.*s", bound, STR_ARG(words), STR_ARG(of), n == 1 ? "s" : "",
                  STR_ARG(tell_span(ctx, m)));
}

static void decide_count(struct claim_context *ctx, const struct match *m, const struct stream *s,
                         struct stretch where, const struct samples *all, enum bound bound)
{
    int64_t want = m->count[0];
    struct str bars = stretch_words(ctx, all->passage, where);
    if (all->most == 0 && want == 0) {
        claim_holds(ctx, "%.*s: no note, and every bar is transcribed", STR_ARG(bars));
        return;
    }
    if (all->most == 0) {
        nothing_sounds(ctx, s, all->passage, where);
        return;
    }
    for (uint32_t i = 0; i < all->n; i++) {
        const struct sample *x = &all->items[i];
        if (count_fits(bound, x->n, want))
            continue;
        if (x->n)
            claim_place(ctx, x->where, "%.*s sound here", STR_ARG(count_words(ctx, all->what, x->n)));
        claim_fails(ctx, "%.*s", STR_ARG(sample_words(ctx, all, x)));
        suggest_count(ctx, m, all);
        return;
    }
    struct str first = sample_words(ctx, all, &all->items[0]);
    if (all->least == all->most)
        claim_holds(ctx, "%.*s: %.*s, and so throughout", STR_ARG(bars), STR_ARG(first));
    else
        claim_holds(ctx, "%.*s: never fewer than %" PRIu32 ", never more than %" PRIu32 "; %.*s",
                    STR_ARG(bars), all->least, all->most, STR_ARG(first));
}

/* ---- more and more --------------------------------------------------------------------------- */

/* Moments at which something begins; where notes only end, the texture is not compared. */
static struct samples beginnings(struct claim_context *ctx, const struct samples *all)
{
    struct samples out = *all;
    out.items = ARENA_NEW_ARRAY(ctx->arena, struct sample, all->n);
    out.n = 0;
    for (uint32_t i = 0; i < all->n; i++)
        if (all->items[i].begins)
            out.items[out.n++] = all->items[i];
    return out;
}

/* Does the number go on in one direction, without turning, from sample i to the next? */
static bool goes_on(const struct samples *s, uint32_t i, int direction)
{
    return direction > 0 ? s->items[i].n <= s->items[i + 1].n : s->items[i].n >= s->items[i + 1].n;
}

/* The longest run that grows, or thins, by as much as any. */
static void suggest_run(struct claim_context *ctx, const struct match *m, const struct samples *s,
                        int direction)
{
    uint32_t best = 0, from = 0, to = 0;
    for (uint32_t i = 0, first = 0; i < s->n; i++) {
        uint32_t a = s->items[first].n, b = s->items[i].n;
        uint32_t by = direction > 0 ? (b > a ? b - a : 0) : (a > b ? a - b : 0);
        if (by > best) {
            best = by;
            from = first;
            to = i;
        }
        if (i + 1 < s->n && !goes_on(s, i, direction))
            first = i + 1;
    }
    if (best == 0)
        return;
    struct str a = say_place(ctx, s->passage, s->items[from].at),
               b = say_place(ctx, s->passage, s->items[to].at);
    claim_instead(ctx, "the texture%.*s %s, %.*s to %.*s", STR_ARG(of_words(ctx, m)),
                  direction > 0 ? "thickens" : "thins", STR_ARG(a), STR_ARG(b));
}

static void decide_growth(struct claim_context *ctx, const struct match *m, const struct stream *s,
                          struct stretch where, const struct samples *all, int direction)
{
    struct samples at = beginnings(ctx, all);
    if (at.n == 0) {
        nothing_sounds(ctx, s, all->passage, where);
        return;
    }
    const struct sample *first = &at.items[0], *last = &at.items[at.n - 1];
    if (at.n == 1) {
        claim_undecided(ctx, "only one moment to compare: %.*s", STR_ARG(sample_words(ctx, all, first)));
        return;
    }
    struct str a = sample_words(ctx, all, first), b = sample_words(ctx, all, last);
    bool back = direction > 0 ? last->n < first->n : last->n > first->n;
    for (uint32_t i = 0; i + 1 < at.n; i++) {
        if (goes_on(&at, i, direction))
            continue;
        const struct sample *x = &at.items[i], *y = &at.items[i + 1];
        claim_place(ctx, y->where, "%.*s sound here", STR_ARG(count_words(ctx, all->what, y->n)));
        claim_fails(ctx, "%.*s, then %.*s", STR_ARG(sample_words(ctx, all, x)),
                    STR_ARG(sample_words(ctx, all, y)));
        suggest_run(ctx, m, &at, back ? -direction : direction);
        return;
    }
    if (first->n == last->n) {
        claim_fails(ctx, "%.*s, and so at every attack", STR_ARG(a));
        return;
    }
    claim_holds(ctx, "%.*s; %.*s; at no attack between is it %s", STR_ARG(a), STR_ARG(b),
                direction > 0 ? "thinner than before" : "thicker than before");
}

/* ---- the sentence ---------------------------------------------------------------------------- */

/* The stream that the sentence names, or its passage; false after a verdict. */
static bool stream_meant(struct claim_context *ctx, const struct match *m, struct stream *out)
{
    if (m->n_streams) {
        *out = m->stream[0];
    } else {
        const struct passage *p = passage_of_sentence(ctx);
        if (!p)
            return false;
        *out = (struct stream){.kind = STREAM_ALL, .passage = p, .words = p->symbol.name};
    }
    switch (out->kind) {
    case STREAM_ALL:
    case STREAM_PART:
    case STREAM_VOICE:
        return true;
    case STREAM_FIGURE:
    case STREAM_BASS:
    case STREAM_TOP:
    case STREAM_OUTER:
    case STREAM_HARMONY:
        claim_undecided(ctx, "of %.*s the number of voices is plain, or not told: name the passage or a part",
                        STR_ARG(out->words));
        return false;
    }
    return false;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    static const enum bound bounds[] = {EXACTLY, EXACTLY, AT_LEAST, AT_MOST, AT_MOST, AT_MOST};
    struct stream s;
    struct stretch where;
    struct samples all;
    bool growth = pattern == TEXTURE || pattern == STREAM_GROWS;
    int unit = growth ? 0 : pattern == IS_IN ? m->choice[0] : m->choice[1];
    if (!stream_meant(ctx, m, &s) || !match_stretch(ctx, m, &s, &where))
        return;
    take_passage(ctx, s.passage);
    if (!samples_read(ctx, &s, where, unit == 2 ? PARTS : NOTES, &all))
        return;
    if (growth)
        decide_growth(ctx, m, &s, where, &all, m->choice[0] % 2 == 0 ? 1 : -1);
    else
        decide_count(ctx, m, &s, where, &all,
                     pattern == IS_IN || m->choice[0] < 0 ? EXACTLY : bounds[m->choice[0]]);
}

const struct claim_kind claim_kind_density = {
    .name = "density",
    .patterns = patterns,
    .meaning = "how many voices or parts sound at once, and whether they become more or fewer",
    .page = claim_page_density,
    .check = check,
    .fails = DIAG_FAILS_density,
};
