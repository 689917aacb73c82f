/* extreme.c - which note of a stream is the highest or the lowest. */
#include "base/buf.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

enum {
    PITCH_IS,
    TONE_IS,
    EXTREME_IS,
    EXTREME_IS_TONE,
    AT_PLACE,
    STANDS_AT,
    HAS_AT,
    REACHES,
    GOES_NO_FURTHER,
    NEVER,
    PART_HAS
};

#define EXTREME_WORDS "<highest|top|topmost|peak|summit|lowest|bottom|deepest>"
#define EXTREMES EXTREME_WORDS " [note|pitch|tone|point]"

static const char *const patterns[] = {
    [PITCH_IS] = "PITCH is " EXTREMES " of|in STREAM",
    [TONE_IS] = "TONE is " EXTREMES " of|in STREAM",
    [EXTREME_IS] = EXTREMES " of|in STREAM is PITCH",
    [EXTREME_IS_TONE] = EXTREMES " of|in STREAM is TONE",
    [AT_PLACE] = "PITCH at|in PLACE is " EXTREMES " of|in STREAM",
    [STANDS_AT] = EXTREMES " of|in STREAM stands|comes|falls|lies|sounds at|in|on PLACE",
    [HAS_AT] = "STREAM has|reaches its <highest|lowest> note|point|pitch at|in|on PLACE",
    [REACHES] = "STREAM <peaks|culminates|bottoms out> at|on|in PITCH",
    [GOES_NO_FURTHER] = "STREAM goes|rises|falls|climbs|sinks no <higher|lower> than PITCH",
    [NEVER] = "STREAM never goes|rises|falls|climbs|sinks <above|below> PITCH",
    [PART_HAS] = "PART has|plays|takes|holds " EXTREME_WORDS " note|pitch|tone|point of|in PASSAGE",
    NULL,
};

/* All notes of a stream that share the extreme sound. */
struct extreme {
    bool high;
    struct line notes;
    const struct note **ties;
    uint32_t n;
};

static bool asks_high(const struct match *m, int pattern)
{
    enum { LOWEST = 5, BOTTOMS_OUT = 2, LOWER = 1 };
    int first_low = LOWEST;
    if (pattern == REACHES)
        first_low = BOTTOMS_OUT;
    else if (pattern == GOES_NO_FURTHER || pattern == NEVER || pattern == HAS_AT)
        first_low = LOWER;
    return m->choice[0] < first_low;
}

static const char *say_which(const struct extreme *e)
{
    return e->high ? "highest" : "lowest";
}

static bool read_extreme(struct claim_context *ctx, const struct match *m, const struct stream *s, bool high,
                         struct extreme *out)
{
    struct stretch where;
    struct extreme e = {.high = high};
    if (!match_stretch(ctx, m, s, &where) || !stream_notes(ctx, s, where, &e.notes))
        return false;
    e.ties = ARENA_NEW_ARRAY(ctx->arena, const struct note *, e.notes.n);
    for (uint32_t i = 0; i < e.notes.n; i++) {
        const struct note *note = e.notes.notes[i];
        int by = e.n ? pitch_midi(note->pitch) - pitch_midi(e.ties[0]->pitch) : 0;
        if (high ? by > 0 : by < 0)
            e.n = 0;
        if (e.n == 0 || by == 0)
            e.ties[e.n++] = note;
    }
    *out = e;
    return true;
}

/* "A5 at bar 4 beat 3 and bar 6": one sound, every place, at most four. */
static struct str say_ties(struct claim_context *ctx, const struct extreme *e)
{
    enum { SHOWN = 4 };
    struct str places[SHOWN + 1];
    uint32_t n = 0;
    if (ctx->mute)
        return STR("");
    for (uint32_t i = 0; i < e->n && n < SHOWN; i++) {
        struct str place = say_place(ctx, e->notes.passage, e->ties[i]->onset);
        if (n == 0 || !str_eq(places[n - 1], place))
            places[n++] = place;
    }
    if (n == SHOWN && e->n > SHOWN)
        places[n++] = STR("other places");
    return say_text(ctx, "%.*s at %.*s", STR_ARG(say_pitch(ctx, e->ties[0]->pitch)),
                    STR_ARG(say_list(ctx, places, n, "and")));
}

static void point_at(struct claim_context *ctx, const struct extreme *e)
{
    claim_place(ctx, e->ties[0]->where, "%.*s is the %s note", STR_ARG(say_pitch(ctx, e->ties[0]->pitch)),
                say_which(e));
}

static bool tie_is_spelled(const struct extreme *e, struct pitch p)
{
    for (uint32_t i = 0; i < e->n; i++)
        if (pitch_eq(e->ties[i]->pitch, p))
            return true;
    return false;
}

static void offer_pitch(struct claim_context *ctx, const struct match *m, const struct stream *s,
                        const struct extreme *e)
{
    claim_instead(ctx, "%.*s is the %s note of %.*s%.*s", STR_ARG(say_pitch(ctx, e->ties[0]->pitch)),
                  say_which(e), STR_ARG(s->words), STR_ARG(tell_span(ctx, m)));
}

/* ---- one check a question ------------------------------------------------------------------------ */

static void check_pitch(struct claim_context *ctx, const struct match *m, struct extreme *e)
{
    const struct stream *s = &m->stream[0];
    struct pitch p = m->pitch[0];
    int by = pitch_midi(p) - pitch_midi(e->ties[0]->pitch);
    struct str ties = say_ties(ctx, e), name = say_pitch(ctx, p);
    if (by == 0 && tie_is_spelled(e, p)) {
        claim_holds(ctx, "the %s note of %.*s is %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties));
        return;
    }
    if (by == 0)
        claim_fails(ctx, "the %s note of %.*s is %.*s: it sounds the same as %.*s, spelled otherwise",
                    say_which(e), STR_ARG(s->words), STR_ARG(ties), STR_ARG(name));
    else
        claim_fails(ctx, "the %s note of %.*s is %.*s, not %.*s", say_which(e), STR_ARG(s->words),
                    STR_ARG(ties), STR_ARG(name));
    point_at(ctx, e);
    offer_pitch(ctx, m, s, e);
}

static void check_tone(struct claim_context *ctx, const struct match *m, struct extreme *e)
{
    const struct stream *s = &m->stream[0];
    struct str ties = say_ties(ctx, e);
    for (uint32_t i = 0; i < e->n; i++) {
        if (!tone_eq(e->ties[i]->pitch.tone, m->tone[0]))
            continue;
        claim_holds(ctx, "the %s note of %.*s is %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties));
        return;
    }
    bool sounds = tone_pc(e->ties[0]->pitch.tone) == tone_pc(m->tone[0]);
    claim_fails(ctx, "the %s note of %.*s is %.*s, %s %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties),
                sounds ? "which sounds the same and is not spelled" : "not",
                STR_ARG(say_tone(ctx, m->tone[0])));
    point_at(ctx, e);
    claim_instead(ctx, "%.*s is the %s note of %.*s%.*s", STR_ARG(say_tone(ctx, e->ties[0]->pitch.tone)),
                  say_which(e), STR_ARG(s->words), STR_ARG(tell_span(ctx, m)));
}

/* Does a note of the extreme sound somewhere in the place? A bar is taken whole. */
static bool tie_at(const struct match *m, const struct extreme *e, struct ratio at)
{
    const struct passage *p = m->stream[0].passage;
    const struct bar *bar = passage_bar_at(p, at);
    struct ratio end = bar && !m->place[0].has_beat ? ratio_plus(bar->onset, bar->length) : at;
    for (uint32_t i = 0; i < e->n; i++) {
        const struct note *n = e->ties[i];
        bool begun = ratio_le(n->onset, at), sounds = ratio_lt(at, ratio_plus(n->onset, n->length));
        bool later = ratio_lt(at, n->onset) && ratio_lt(n->onset, end);
        if (((begun && sounds) || later) && (!m->n_pitches || pitch_eq(n->pitch, m->pitch[0])))
            return true;
    }
    return false;
}

static void check_place(struct claim_context *ctx, const struct match *m, struct extreme *e)
{
    const struct stream *s = &m->stream[0];
    struct ratio at;
    if (!s->passage) {
        claim_undecided(ctx, "%.*s belongs to no passage, so it has no bars", STR_ARG(s->words));
        return;
    }
    if (!place_position(ctx, s->passage, m->place[0], &at))
        return;
    struct str ties = say_ties(ctx, e);
    if (tie_at(m, e, at)) {
        claim_holds(ctx, "the %s note of %.*s is %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties));
        return;
    }
    claim_fails(ctx, "the %s note of %.*s is %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties));
    point_at(ctx, e);
    claim_instead(ctx, "the %s note of %.*s stands at %.*s%.*s", say_which(e), STR_ARG(s->words),
                  STR_ARG(say_place(ctx, s->passage, e->ties[0]->onset)), STR_ARG(tell_span(ctx, m)));
}

/* `goes no higher than`: the note named need not be there. */
static void check_limit(struct claim_context *ctx, const struct match *m, struct extreme *e)
{
    const struct stream *s = &m->stream[0];
    int by = pitch_midi(e->ties[0]->pitch) - pitch_midi(m->pitch[0]);
    struct str ties = say_ties(ctx, e), limit = say_pitch(ctx, m->pitch[0]);
    if (e->high ? by <= 0 : by >= 0) {
        claim_holds(ctx, "the %s note of %.*s is %.*s", say_which(e), STR_ARG(s->words), STR_ARG(ties));
        return;
    }
    claim_fails(ctx, "%.*s of %.*s lies %s %.*s", STR_ARG(ties), STR_ARG(s->words),
                e->high ? "above" : "below", STR_ARG(limit));
    point_at(ctx, e);
    claim_instead(ctx, "%.*s %.*s no %s than %.*s%.*s", STR_ARG(s->words),
                  STR_ARG(tell_verb(ctx, s, e->high ? "rise" : "fall")), e->high ? "higher" : "lower",
                  STR_ARG(say_pitch(ctx, e->ties[0]->pitch)), STR_ARG(tell_span(ctx, m)));
}

/* Whose note a tie is. */
static const struct part *part_of_note(const struct passage *p, const struct note *n)
{
    for (uint32_t i = 0; i < p->n_parts; i++)
        if (n >= p->parts[i]->notes && n < p->parts[i]->notes + p->parts[i]->n_notes)
            return p->parts[i];
    return NULL;
}

static void check_part(struct claim_context *ctx, const struct match *m, struct extreme *e)
{
    const struct stream *part = &m->stream[0], *whole = &m->stream[1];
    struct str *others = ARENA_NEW_ARRAY(ctx->arena, struct str, e->n + 1);
    uint32_t n = 0;
    const struct part *first = NULL;
    bool has = false;
    for (uint32_t i = 0; i < e->n; i++) {
        const struct part *p = part_of_note(whole->passage, e->ties[i]);
        has = has || p == part->part;
        bool told = !p || p == part->part;
        for (uint32_t k = 0; !told && k < n; k++)
            told = str_eq(others[k], p->symbol.name);
        if (told)
            continue;
        first = first ? first : p;
        others[n++] = p->symbol.name;
    }
    struct str ties = say_ties(ctx, e), list = say_list(ctx, others, n, "and");
    if (has) {
        claim_holds(ctx, "the %s note of %.*s is %.*s, in %.*s%s%.*s", say_which(e), STR_ARG(whole->words),
                    STR_ARG(ties), STR_ARG(part->words), n ? ", and also in " : "", STR_ARG(list));
        return;
    }
    claim_fails(ctx, "the %s note of %.*s is %.*s, in %.*s", say_which(e), STR_ARG(whole->words),
                STR_ARG(ties), STR_ARG(list));
    point_at(ctx, e);
    if (first)
        claim_instead(ctx, "%.*s has the %s note of %.*s%.*s", STR_ARG(first->symbol.name), say_which(e),
                      STR_ARG(whole->words), STR_ARG(tell_span(ctx, m)));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct extreme e;
    const struct stream *s = &m->stream[pattern == PART_HAS ? 1 : 0];
    if (!read_extreme(ctx, m, s, asks_high(m, pattern), &e))
        return;
    switch (pattern) {
    case TONE_IS:
    case EXTREME_IS_TONE:
        check_tone(ctx, m, &e);
        return;
    case AT_PLACE:
    case STANDS_AT:
    case HAS_AT:
        check_place(ctx, m, &e);
        return;
    case GOES_NO_FURTHER:
    case NEVER:
        check_limit(ctx, m, &e);
        return;
    case PART_HAS:
        check_part(ctx, m, &e);
        return;
    default:
        check_pitch(ctx, m, &e);
        return;
    }
}

const struct claim_kind claim_kind_extreme = {
    .name = "extreme",
    .patterns = patterns,
    .meaning = "The highest or lowest sounding note of a stream, with every place where it sounds.",
    .page = claim_page_extreme,
    .check = check,
    .fails = DIAG_FAILS_extreme,
};
