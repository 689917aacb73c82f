/* ambitus.c - how wide a stream is, from its lowest to its highest sounding note. */
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum { SPANS, RANGE_IS, HAS_RANGE, WITHIN, FROM_TO, FROM_TO_NOUN };

#define RANGES "range|ambitus|compass|span"
#define HOW "[<exactly|at least|at most|more than|less than>]"

static const char *const patterns[] = {
    [SPANS] = "STREAM spans|covers " HOW " [range|compass of] INTERVAL",
    [RANGE_IS] = RANGES " of STREAM is " HOW " INTERVAL",
    [HAS_RANGE] = "STREAM has " RANGES " of " HOW " INTERVAL",
    [WITHIN] = "STREAM stays|lies|remains|keeps|moves within INTERVAL",
    [FROM_TO] = "STREAM spans|ranges|reaches|extends|goes|runs [from] PITCH [up] to PITCH",
    [FROM_TO_NOUN] = RANGES " of STREAM is|runs|reaches [from] PITCH [up] to PITCH",
    NULL,
};

enum how { HOW_EXACTLY, HOW_AT_LEAST, HOW_AT_MOST, HOW_MORE, HOW_LESS };

/* The lowest and the highest of a line; of notes of one sound the first. */
struct extent_of {
    const struct note *low, *high;
    const struct passage *passage;
};

static bool read_extent(struct claim_context *ctx, const struct match *m, struct line *notes,
                        struct extent_of *out)
{
    struct stretch where;
    const struct stream *s = &m->stream[0];
    if (!match_stretch(ctx, m, s, &where) || !stream_notes(ctx, s, where, notes))
        return false;
    *out = (struct extent_of){notes->notes[0], notes->notes[0], notes->passage};
    for (uint32_t i = 1; i < notes->n; i++) {
        if (pitch_midi(notes->notes[i]->pitch) < pitch_midi(out->low->pitch))
            out->low = notes->notes[i];
        if (pitch_midi(notes->notes[i]->pitch) > pitch_midi(out->high->pitch))
            out->high = notes->notes[i];
    }
    return true;
}

/* "from E3 (bar 2) to B4 (bar 5 beat 3)" */
static struct str say_extent(struct claim_context *ctx, const struct extent_of *e)
{
    return say_text(ctx, "from %.*s (%.*s) to %.*s (%.*s)", STR_ARG(say_pitch(ctx, e->low->pitch)),
                    STR_ARG(say_place(ctx, e->passage, e->low->onset)),
                    STR_ARG(say_pitch(ctx, e->high->pitch)),
                    STR_ARG(say_place(ctx, e->passage, e->high->onset)));
}

static void point_at(struct claim_context *ctx, const struct extent_of *e)
{
    claim_place(ctx, e->low->where, "the lowest note, %.*s", STR_ARG(say_pitch(ctx, e->low->pitch)));
    claim_place(ctx, e->high->where, "the highest note, %.*s", STR_ARG(say_pitch(ctx, e->high->pitch)));
}

/* Different spellings of one sound among the notes; a sound has no more than a few. */
enum { SPELLINGS_MAX = 8 };

static int spellings_of(const struct line *notes, struct pitch sound, struct pitch out[SPELLINGS_MAX])
{
    int n = 0;
    for (uint32_t i = 0; i < notes->n && n < SPELLINGS_MAX; i++) {
        struct pitch p = notes->notes[i]->pitch;
        bool known = pitch_midi(p) != pitch_midi(sound);
        for (int k = 0; k < n; k++)
            known = known || pitch_eq(out[k], p);
        if (!known)
            out[n++] = p;
    }
    return n;
}

/* Highest and lowest may sound more than once, spelled otherwise: any pair that has the named size will do.
 */
static bool any_pair_fits(const struct interval_ref *want, const struct line *notes,
                          const struct extent_of *e)
{
    struct pitch lows[SPELLINGS_MAX], highs[SPELLINGS_MAX];
    int n_lows = spellings_of(notes, e->low->pitch, lows),
        n_highs = spellings_of(notes, e->high->pitch, highs);
    bool ignored;
    for (int i = 0; i < n_lows; i++)
        for (int k = 0; k < n_highs; k++)
            if (interval_ref_fits(want, 0, interval_between(lows[i], highs[k]), &ignored))
                return true;
    return false;
}

/* Half steps of the named interval; false for cents that are no whole number of them. */
static bool named_half(const struct interval_ref *want, int64_t *half)
{
    if (!want->cents) {
        *half = want->v.half;
        return true;
    }
    *half = want->amount.num / (want->amount.den * 100);
    return ratio_eq(want->amount, ratio_int(*half * 100));
}

static bool holds_by_sound(enum how how, int64_t is, int64_t named)
{
    switch (how) {
    case HOW_EXACTLY:
        return is == named;
    case HOW_AT_LEAST:
        return is >= named;
    case HOW_AT_MOST:
        return is <= named;
    case HOW_MORE:
        return is > named;
    case HOW_LESS:
        return is < named;
    }
    return false;
}

static void check_size(struct claim_context *ctx, const struct match *m, enum how how)
{
    static const char *const hows[] = {"", "at least ", "at most ", "more than ", "less than "};
    const struct interval_ref *want = &m->interval[0];
    struct line notes;
    struct extent_of e;
    int64_t named;
    if (!read_extent(ctx, m, &notes, &e))
        return;
    struct interval v = interval_between(e.low->pitch, e.high->pitch);
    bool known = named_half(want, &named);
    struct str size = want->by_sound || want->cents ? say_half_steps(ctx, v.half) : say_interval(ctx, v);
    struct str words = m->stream[0].words, from_to = say_extent(ctx, &e), wanted = tell_size(ctx, want);
    bool exact = how == HOW_EXACTLY;
    if (known && (exact ? any_pair_fits(want, &notes, &e) : holds_by_sound(how, v.half, named))) {
        claim_holds(ctx, "%.*s goes %.*s: %.*s", STR_ARG(words), STR_ARG(from_to),
                    STR_ARG(exact ? wanted : size));
        return;
    }
    if (known && exact && v.half == named)
        claim_fails(ctx, "%.*s goes %.*s: it %.*s", STR_ARG(words), STR_ARG(from_to),
                    STR_ARG(tell_same_sound(ctx, v)));
    else
        claim_fails(ctx, "%.*s goes %.*s: %.*s, not %s%.*s", STR_ARG(words), STR_ARG(from_to), STR_ARG(size),
                    hows[how], STR_ARG(wanted));
    point_at(ctx, &e);
    claim_instead(ctx, "%.*s %.*s %.*s%.*s", STR_ARG(words), STR_ARG(tell_verb(ctx, &m->stream[0], "span")),
                  STR_ARG(size), STR_ARG(tell_span(ctx, m)));
}

/* Is a note of this sound spelled so among those of the extreme? */
static bool spelled_so(const struct line *notes, struct pitch p)
{
    for (uint32_t i = 0; i < notes->n; i++)
        if (pitch_eq(notes->notes[i]->pitch, p))
            return true;
    return false;
}

static void check_pitches(struct claim_context *ctx, const struct match *m)
{
    struct line notes;
    struct extent_of e;
    if (!read_extent(ctx, m, &notes, &e))
        return;
    struct pitch low = m->pitch[0], high = m->pitch[1];
    bool sounds =
        pitch_midi(low) == pitch_midi(e.low->pitch) && pitch_midi(high) == pitch_midi(e.high->pitch);
    struct str words = m->stream[0].words, from_to = say_extent(ctx, &e);
    if (sounds && spelled_so(&notes, low) && spelled_so(&notes, high)) {
        claim_holds(ctx, "%.*s goes %.*s, %.*s", STR_ARG(words), STR_ARG(from_to),
                    STR_ARG(say_interval(ctx, interval_between(low, high))));
        return;
    }
    claim_fails(ctx, "%.*s goes %.*s%s", STR_ARG(words), STR_ARG(from_to),
                sounds ? ": it sounds the same, spelled otherwise" : "");
    point_at(ctx, &e);
    claim_instead(ctx, "%.*s %.*s from %.*s to %.*s%.*s", STR_ARG(words),
                  STR_ARG(tell_verb(ctx, &m->stream[0], "range")), STR_ARG(say_pitch(ctx, e.low->pitch)),
                  STR_ARG(say_pitch(ctx, e.high->pitch)), STR_ARG(tell_span(ctx, m)));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    if (pattern >= FROM_TO)
        check_pitches(ctx, m);
    else if (pattern == WITHIN)
        check_size(ctx, m, HOW_AT_MOST);
    else
        check_size(ctx, m, m->choice[0] < 0 ? HOW_EXACTLY : (enum how)m->choice[0]);
}

const struct claim_kind claim_kind_ambitus = {
    .name = "ambitus",
    .patterns = patterns,
    .meaning = "The interval from the lowest to the highest sounding note of a stream.",
    .page = claim_page_ambitus,
    .check = check,
    .fails = DIAG_FAILS_ambitus,
};
