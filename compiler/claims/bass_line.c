#include "base/buf.h"
#include "claims/claims.h"
#include "claims/lines.h"
#include "claims/pages.h"
#include "claims/tell.h"

#define VERBS "<rises|climbs|ascends|walks up|falls|drops|sinks|descends|walks down>"
#define MANNERS "<by step|stepwise|chromatically|by half step|by semitone|by whole step>"

enum { FIRST_DOWN = 4 }; /* in VERBS */

static const char *const patterns[] = {
    "STREAM " VERBS " " MANNERS " from TONE [down|up] to TONE",
    "STREAM " VERBS " from TONE [down|up] to TONE " MANNERS,
    "STREAM " VERBS " from TONE [down|up] to TONE",
    "STREAM moves DIRECTION " MANNERS " from TONE to TONE",
    "STREAM is <chromatic|diatonic> lament [bass|line] [in KEY]",
    "STREAM is lament [bass|line] [in KEY]",
    NULL,
};

enum { PATTERN_LAST_LINE = 3, PATTERN_LAMENT_KIND = 4 };

static const enum manner manners[] = {MANNER_STEP,      MANNER_STEP,      MANNER_HALF_STEP,
                                      MANNER_HALF_STEP, MANNER_HALF_STEP, MANNER_WHOLE_STEP};

struct wanted {
    int direction;
    enum manner manner;
    struct tone from, to;
};

/* ---- named lines --------------------------------------------------------------------------------- */

enum { LAMENT_MAX = 6 };

/* A line by its distances from the first note, in spelled intervals downward. */
struct named_line {
    const char *name;
    uint32_t n;
    struct interval below[LAMENT_MAX];
    const char *degrees;
};

/* The diatonic lament is the upper tetrachord of natural minor; the chromatic one fills its half
 * steps in. Source: Hutchinson, Descending Chromatic Bass Lines (1 7 b7 6 b6 5); the diatonic form:
 * Open Music Theory, The lament progression, named from memory. */
static const struct named_line laments[] = {
    {"chromatic lament", 6, {{0, 0}, {-1, -1}, {-1, -2}, {-2, -3}, {-2, -4}, {-3, -5}}, "1 7 b7 6 b6 5"},
    {"diatonic lament", 4, {{0, 0}, {-1, -2}, {-2, -4}, {-3, -5}}, "1 b7 b6 5"},
};

enum { LAMENTS = sizeof laments / sizeof laments[0] };

/* Number of notes that agree with the named line from the start; the tonic is the line's first note. */
static uint32_t agree_with(const struct moves *moves, const struct named_line *named)
{
    struct pitch first = moves->items[0].from->pitch;
    uint32_t n = 1;
    while (n < named->n && n - 1 < moves->n &&
           interval_eq(interval_between(first, moves->items[n - 1].to->pitch), named->below[n]))
        n++;
    return n;
}

static const struct named_line *name_line(const struct moves *moves)
{
    for (int i = 0; i < LAMENTS; i++)
        if (moves->n + 1 == laments[i].n && agree_with(moves, &laments[i]) == laments[i].n)
            return &laments[i];
    return NULL;
}

/* ---- from one note to another -------------------------------------------------------------------- */

static struct wanted read_wanted(const struct match *m, int pattern)
{
    enum { MANNER_FIRST, MANNER_LAST, NO_MANNER, WITH_DIRECTION };
    struct wanted w = {.from = m->tone[0], .to = m->tone[1], .manner = MANNER_ANY};
    if (pattern == WITH_DIRECTION) {
        w.direction = m->direction[0];
        w.manner = manners[m->choice[0]];
        return w;
    }
    w.direction = m->choice[0] >= FIRST_DOWN ? -1 : 1;
    if (pattern != NO_MANNER)
        w.manner = manners[m->choice[1]];
    return w;
}

/* An end of the line: is it the note that was named? Reports it if not. */
static bool check_end(struct claim_context *ctx, const struct moves *moves, const struct note *note,
                      struct tone named, const char *verb)
{
    if (tone_eq(note->pitch.tone, named))
        return true;
    bool same_sound = tone_pc(note->pitch.tone) == tone_pc(named);
    struct str place = moves->line->passage ? say_place(ctx, moves->line->passage, note->onset)
                                            : STR("there");
    claim_fails(ctx, "the line %s on %.*s (%.*s), not on %.*s%s", verb, STR_ARG(say_pitch(ctx, note->pitch)),
                STR_ARG(place), STR_ARG(say_tone(ctx, named)),
                same_sound ? ": it sounds the same, the spelling differs" : "");
    claim_place(ctx, note->where, "the line %s here", verb);
    return false;
}

/* The line's own sentence, if it goes one way in one manner. */
static bool offer_whole(struct claim_context *ctx, const struct match *m, const struct moves *moves)
{
    static const enum manner order[] = {MANNER_HALF_STEP, MANNER_WHOLE_STEP, MANNER_STEP, MANNER_ANY};
    int direction = moves->items[0].by.half < 0 ? -1 : 1;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        if (moves_first_misfit(ctx, moves, order[i], direction) < moves->n)
            continue;
        const char *manner = order[i] == MANNER_HALF_STEP ? "chromatically" : manner_words(order[i]);
        struct str verb = tell_verb(ctx, &m->stream[0], direction < 0 ? "fall" : "rise");
        claim_instead(ctx, "%.*s %.*s %s%sfrom %.*s to %.*s%.*s", STR_ARG(m->stream[0].words), STR_ARG(verb),
                      manner, manner[0] ? " " : "", STR_ARG(say_tone(ctx, moves->items[0].from->pitch.tone)),
                      STR_ARG(say_tone(ctx, moves->items[moves->n - 1].to->pitch.tone)),
                      STR_ARG(tell_span(ctx, m)));
        return true;
    }
    return false;
}

/* A run within the line for which the claim holds; *first and *last are indexes of moves. */
static bool find_run(const struct claim_context *ctx, const struct moves *moves, const struct wanted *w,
                     uint32_t *first, uint32_t *last)
{
    for (*first = 0; *first < moves->n; (*first)++) {
        if (!tone_eq(moves->items[*first].from->pitch.tone, w->from))
            continue;
        for (*last = *first;
             *last < moves->n && move_fits(ctx, &moves->items[*last], w->manner, w->direction); (*last)++)
            if (tone_eq(moves->items[*last].to->pitch.tone, w->to))
                return true;
    }
    return false;
}

static void offer_instead(struct claim_context *ctx, const struct match *m, const struct moves *moves,
                          const struct wanted *w)
{
    uint32_t first, last;
    const struct passage *p = moves->line->passage;
    if (p && find_run(ctx, moves, w, &first, &last)) {
        const char *manner = w->manner == MANNER_HALF_STEP ? "chromatically" : manner_words(w->manner);
        struct str verb = tell_verb(ctx, &m->stream[0], w->direction < 0 ? "fall" : "rise");
        claim_instead(ctx, "%.*s %.*s %s%sfrom %.*s to %.*s, %.*s to %.*s", STR_ARG(m->stream[0].words),
                      STR_ARG(verb), manner, manner[0] ? " " : "", STR_ARG(say_tone(ctx, w->from)),
                      STR_ARG(say_tone(ctx, w->to)),
                      STR_ARG(say_place(ctx, p, moves->items[first].from->onset)),
                      STR_ARG(say_place(ctx, p, moves->items[last].to->onset)));
        return;
    }
    offer_whole(ctx, m, moves);
}

static void fail_move(struct claim_context *ctx, const struct moves *moves, const struct wanted *w,
                      const struct move *misfit)
{
    bool wrong_way = w->direction != (misfit->by.half < 0 ? -1 : 1);
    struct str place = say_move_place(ctx, moves, misfit);
    if (wrong_way)
        claim_fails(ctx, "the line %s %.*s, %.*s", misfit->by.half < 0 ? "falls" : "rises", STR_ARG(place),
                    STR_ARG(say_interval(ctx, misfit->by)));
    else
        claim_fails(ctx, "%.*s is %.*s, not %s", STR_ARG(place), STR_ARG(say_move_kind(ctx, misfit)),
                    w->manner == MANNER_STEP        ? "a step"
                    : w->manner == MANNER_HALF_STEP ? "a half step"
                                                    : "a whole step");
    claim_place(ctx, misfit->to->where, "%.*s", STR_ARG(tell_move(ctx, misfit->by, false)));
}

static void hold(struct claim_context *ctx, const struct moves *moves, const struct wanted *w)
{
    const struct named_line *named = name_line(moves);
    struct interval span = interval_between(moves->items[0].from->pitch,
                                            moves->items[moves->n - 1].to->pitch);
    struct str count = say_count(ctx, moves->n, manner_noun(w->manner, false), manner_noun(w->manner, true));
    struct str lament = STR("");
    if (named)
        lament = say_text(ctx, "; with %.*s as tonic these are the degrees %s, the %s",
                          STR_ARG(say_tone(ctx, moves->items[0].from->pitch.tone)), named->degrees,
                          named->name);
    claim_holds(ctx, "%.*s: %.*s %s, %.*s in all%.*s", STR_ARG(say_line(ctx, moves)), STR_ARG(count),
                tell_direction(span), STR_ARG(say_interval(ctx, span)), STR_ARG(lament));
}

static void decide_line(struct claim_context *ctx, const struct match *m, const struct moves *moves,
                        int pattern)
{
    struct wanted w = read_wanted(m, pattern);
    moves_conventions(ctx, moves, w.manner);
    uint32_t misfit = moves_first_misfit(ctx, moves, w.manner, w.direction);
    bool ends = check_end(ctx, moves, moves->items[0].from, w.from, "begins") &&
                check_end(ctx, moves, moves->items[moves->n - 1].to, w.to, "ends");
    if (ends && misfit == moves->n) {
        hold(ctx, moves, &w);
        return;
    }
    if (ends)
        fail_move(ctx, moves, &w, &moves->items[misfit]);
    offer_instead(ctx, m, moves, &w);
}

/* ---- laments ------------------------------------------------------------------------------------- */

/* The tonic: of the key named, else in force; false where there is none. */
static bool find_tonic(const struct match *m, const struct moves *moves, struct key *out)
{
    const struct passage *p = moves->line->passage;
    const struct key_change *in_force = p ? passage_key_at(p, moves->items[0].from->onset) : NULL;
    if (m->n_keys)
        *out = m->key[0];
    else if (in_force)
        *out = in_force->key;
    else
        return false;
    return true;
}

static void fail_lament(struct claim_context *ctx, const struct match *m, const struct moves *moves,
                        const struct named_line *named)
{
    uint32_t agreed = agree_with(moves, named);
    struct pitch first = moves->items[0].from->pitch;
    if (agreed == named->n) {
        const struct note *extra = moves->items[agreed - 1].to;
        claim_fails(ctx, "%.*s: the %s from %.*s is complete, and the line goes on to %.*s",
                    STR_ARG(say_line(ctx, moves)), named->name, STR_ARG(say_pitch(ctx, first)),
                    STR_ARG(say_pitch(ctx, extra->pitch)));
        claim_place(ctx, extra->where, "goes on");
    } else {
        struct str due = say_pitch(ctx, pitch_move(first, named->below[agreed]));
        bool ends = agreed - 1 >= moves->n;
        const struct note *at = ends ? moves->items[moves->n - 1].to : moves->items[agreed - 1].to;
        claim_fails(ctx, "%.*s: the %s from %.*s (%s) goes on to %.*s%s%.*s", STR_ARG(say_line(ctx, moves)),
                    named->name, STR_ARG(say_pitch(ctx, first)), named->degrees, STR_ARG(due),
                    ends ? ", where the line ends on " : ", the line to ",
                    STR_ARG(say_pitch(ctx, at->pitch)));
        claim_place(ctx, at->where, "%.*s is due", STR_ARG(due));
    }
    const struct named_line *real = name_line(moves);
    if (real)
        claim_instead(ctx, "%.*s is a %s%.*s", STR_ARG(m->stream[0].words), real->name,
                      STR_ARG(tell_span(ctx, m)));
    else
        offer_whole(ctx, m, moves);
}

static void decide_lament(struct claim_context *ctx, const struct match *m, const struct moves *moves,
                          int pattern)
{
    const struct named_line *named = name_line(moves);
    const struct named_line *asked = pattern == PATTERN_LAMENT_KIND ? &laments[m->choice[0]] : NULL;
    struct key key;
    char text[PITCH_TEXT_MAX];
    if (!named || (asked && asked != named)) {
        fail_lament(ctx, m, moves, asked ? asked : &laments[0]);
        return;
    }
    if (!find_tonic(m, moves, &key)) {
        claim_undecided(
            ctx,
            "%.*s: the line of a %s, if %.*s is the tonic; name the key (`in %.*s minor`) or state it in "
            "the passage",
            STR_ARG(say_line(ctx, moves)), named->name,
            STR_ARG(say_tone(ctx, moves->items[0].from->pitch.tone)),
            STR_ARG(say_tone(ctx, moves->items[0].from->pitch.tone)));
        return;
    }
    struct str key_words = say_text(ctx, "%s", key_text(key, SIGN_ASCII, text));
    if (!tone_eq(key.tonic, moves->items[0].from->pitch.tone)) {
        claim_fails(ctx, "%.*s: the line of a %s, but it begins on %.*s, not on the tonic of %.*s",
                    STR_ARG(say_line(ctx, moves)), named->name,
                    STR_ARG(say_pitch(ctx, moves->items[0].from->pitch)), STR_ARG(key_words));
        offer_whole(ctx, m, moves);
        return;
    }
    claim_holds(ctx, "%.*s: degrees %s of %.*s, the %s", STR_ARG(say_line(ctx, moves)), named->degrees,
                STR_ARG(key_words), named->name);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct stretch where;
    struct line line;
    struct moves moves;
    if (!match_stretch(ctx, m, &m->stream[0], &where) || !stream_line(ctx, &m->stream[0], where, 2, &line) ||
        !line_moves(ctx, &line, &moves))
        return;
    if (pattern <= PATTERN_LAST_LINE)
        decide_line(ctx, m, &moves, pattern);
    else
        decide_lament(ctx, m, &moves, pattern);
}

const struct claim_kind claim_kind_bass_line = {
    .name = "bass-line",
    .patterns = patterns,
    .meaning = "The line begins and ends on the notes named and goes from one to the other in one "
               "direction, by step or by half step; a lament is such a line by its degrees.",
    .page = claim_page_bass_line,
    .check = check,
    .fails = DIAG_FAILS_bass_line,
};
