#include "base/buf.h"
#include "claims/claims.h"
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/voices.h"

#include <stdlib.h>

#define KINDS_OF_MOTION "<real|exact|strict|chromatic|tonal|diatonic>"
#define MOVES "moves|slides|shifts|glides|steps|goes"
#define VERBS "<rises|climbs|ascends|falls|drops|sinks|descends>"
#define STEPS "<step|second|third|fourth|fifth|sixth|seventh|octave>"

enum { FIRST_TONAL = 4, FIRST_DOWN = 3 }; /* in the choices above */

static const char *const patterns[] = {
    "STREAM " MOVES " [DIRECTION [by] INTERVAL] in " KINDS_OF_MOTION " parallel motion [in KEY]",
    "STREAM " MOVES " in " KINDS_OF_MOTION " parallel motion [in KEY] DIRECTION [by] INTERVAL",
    "STREAM " VERBS " [by] [INTERVAL] in " KINDS_OF_MOTION " parallel motion [in KEY]",
    "STREAM " MOVES " DIRECTION [by] " STEPS " in " KINDS_OF_MOTION " parallel motion [in KEY]",
    "STREAM " VERBS " [by] " STEPS " in " KINDS_OF_MOTION " parallel motion [in KEY]",
    "STREAM " MOVES " DIRECTION [by] INTERVAL in parallel motion",
    "every|each|all voice of STREAM " MOVES " DIRECTION [by] INTERVAL",
    "every|each|all voice of STREAM " VERBS " [by] INTERVAL",
    "STREAM is " KINDS_OF_MOTION " planing",
    NULL,
};

/* Where a pattern keeps its choices; -1: it has none such. */
static const struct {
    int motion, verb, steps;
} slots[] = {{0, -1, -1}, {0, -1, -1},  {1, 0, -1},   {1, -1, 0}, {2, 0, 1},
             {-1, -1, -1}, {-1, -1, -1}, {-1, 0, -1}, {0, -1, -1}};

/* What the sentence asks of each move. */
struct wanted {
    bool tonal;
    int direction;                       /* 1, -1; 0: either */
    const struct interval_ref *interval; /* NULL: any */
    int steps;                           /* number of staff steps; 0: any */
    const struct key *key;               /* NULL: none named */
};

enum flaw {
    FLAW_NONE,
    FLAW_VOICES,   /* a voice does not move as the others do */
    FLAW_SPELLING, /* all sound alike, one is spelled otherwise, and spelling decides */
    FLAW_DIRECTION,
    FLAW_SIZE /* all move alike, by something else than was named */
};

/* One change, measured. */
struct judged {
    const struct change *change;
    enum parallel_kind kind;
    struct interval by;
    enum flaw flaw;
    bool same_sound; /* FLAW_SIZE, and only the spelling differs */
};

struct survey {
    const struct changes *changes;
    struct judged *items;
    uint32_t n;
    uint32_t flawed, first_flawed;
    bool all_real, all_tonal; /* every change real; one number of steps each, not all real */
    bool some_respelled;      /* a change in which spelling differs and sound does not */
};

static struct wanted read_wanted(const struct match *m, int pattern)
{
    struct wanted w = {0};
    int motion = slots[pattern].motion, verb = slots[pattern].verb, steps = slots[pattern].steps;
    w.tonal = motion >= 0 && m->choice[motion] >= FIRST_TONAL;
    if (verb >= 0)
        w.direction = m->choice[verb] >= FIRST_DOWN ? -1 : 1;
    else if (m->n_directions)
        w.direction = m->direction[0];
    if (m->n_intervals)
        w.interval = &m->interval[0];
    if (steps >= 0)
        w.steps = m->choice[steps] == 0 ? 1 : m->choice[steps];
    if (m->n_keys)
        w.key = &m->key[0];
    return w;
}

/* ---- measuring ----------------------------------------------------------------------------------- */

/* Is the named interval how at least half of the voices are spelled? Where sound decides what is
 * real, a voice that is respelled for easier reading does not change what the chord moves by. */
static bool mostly_spelled(const struct interval_ref *want, int direction, const struct change *c,
                           bool *same_sound)
{
    uint32_t spelled = 0;
    *same_sound = true;
    for (uint32_t i = 0; i < c->n; i++) {
        bool same = false;
        if (interval_ref_fits(want, direction, change_interval(c, i), &same))
            spelled++;
        else if (!same)
            *same_sound = false;
    }
    return 2 * spelled >= c->n && (*same_sound || spelled == c->n);
}

static enum flaw judge_size(const struct wanted *w, struct judged *j)
{
    if (w->direction && w->direction != (j->by.half < 0 ? -1 : 1))
        return FLAW_DIRECTION;
    if (w->steps && abs(j->by.steps) != w->steps)
        return FLAW_SIZE;
    if (!w->interval)
        return FLAW_NONE;
    if (w->tonal) /* sizes differ from voice to voice: the number of steps is what was named */
        return !w->interval->by_sound && abs(j->by.steps) == abs(w->interval->v.steps) ? FLAW_NONE
                                                                                       : FLAW_SIZE;
    return mostly_spelled(w->interval, w->direction, j->change, &j->same_sound) ? FLAW_NONE : FLAW_SIZE;
}

static enum flaw judge(const struct wanted *w, bool spelled, struct judged *j)
{
    switch (j->kind) {
    case PARALLEL_NOT:
        return FLAW_VOICES;
    case PARALLEL_TONAL:
        return w->tonal ? judge_size(w, j) : FLAW_VOICES;
    case PARALLEL_SOUNDING:
        if (w->tonal)
            return FLAW_VOICES;
        return spelled ? FLAW_SPELLING : judge_size(w, j);
    case PARALLEL_REAL:
        return judge_size(w, j);
    }
    return FLAW_VOICES;
}

static struct survey survey_changes(struct claim_context *ctx, const struct changes *changes,
                                    const struct wanted *w)
{
    struct survey s = {.changes = changes, .n = changes->n, .all_real = true, .all_tonal = true};
    bool spelled = ctx->conventions->choice[CONVENTION_PARALLEL] == 1, some_tonal = false;
    s.items = ARENA_NEW_ARRAY(ctx->arena, struct judged, s.n);
    for (uint32_t i = 0; i < s.n; i++) {
        struct judged *j = &s.items[i];
        const struct change *c = &changes->items[i];
        uint32_t odd;
        j->change = c;
        j->kind = parallel_of(c->from, c->to, c->n, &j->by, &odd);
        j->flaw = judge(w, spelled, j);
        if (j->flaw != FLAW_NONE && s.flawed++ == 0)
            s.first_flawed = i;
        bool real = j->kind == PARALLEL_REAL || (j->kind == PARALLEL_SOUNDING && !spelled);
        s.all_real = s.all_real && real;
        s.all_tonal = s.all_tonal && (j->kind == PARALLEL_TONAL || j->kind == PARALLEL_REAL);
        s.some_respelled = s.some_respelled || j->kind == PARALLEL_SOUNDING;
        some_tonal = some_tonal || j->kind == PARALLEL_TONAL;
    }
    s.all_tonal = s.all_tonal && some_tonal;
    return s;
}

/* ---- keys ---------------------------------------------------------------------------------------- */

static enum minor_form minor_in_force(const struct claim_context *ctx)
{
    return (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
}

/* A note of a change that a key does not have. */
struct foreign {
    const struct change *change; /* NULL: every note belongs */
    uint32_t voice;
    struct pitch pitch;
    bool arrival; /* the note gone to */
};

/* The first note that the key does not have, as it is spelled. */
static struct foreign find_foreign(const struct claim_context *ctx, const struct changes *changes,
                                   struct key key)
{
    for (uint32_t i = 0; i < changes->n; i++) {
        const struct change *c = &changes->items[i];
        for (uint32_t k = 0; k < c->n; k++) {
            if (!key_has_tone(key, minor_in_force(ctx), c->from[k].tone))
                return (struct foreign){c, k, c->from[k], false};
            if (!key_has_tone(key, minor_in_force(ctx), c->to[k].tone))
                return (struct foreign){c, k, c->to[k], true};
        }
    }
    return (struct foreign){.change = NULL};
}

/* A key that has all the notes: the one in force if it does, or the first. */
static bool find_key(const struct claim_context *ctx, const struct changes *changes, struct key *out)
{
    enum { KEYS = 24 };
    const struct passage *p = changes->passage;
    const struct key_change *in_force = p ? passage_key_at(p, changes->items[0].at_from) : NULL;
    if (in_force && !find_foreign(ctx, changes, in_force->key).change) {
        *out = in_force->key;
        return true;
    }
    for (int i = 0; i < KEYS; i++) {
        *out = key_of_index(i);
        if (!find_foreign(ctx, changes, *out).change)
            return true;
    }
    return false;
}

static struct str say_key(struct claim_context *ctx, struct key key)
{
    char text[PITCH_TEXT_MAX];
    if (key.minor)
        claim_convention(ctx, CONVENTION_MINOR);
    return say_text(ctx, "%s", key_text(key, SIGN_ASCII, text));
}

/* The key within which steps are counted: as named, or in force, or the first that has all the notes. */
static bool key_for_steps(const struct claim_context *ctx, const struct changes *changes,
                          const struct wanted *w, struct key *out)
{
    const struct passage *p = changes->passage;
    const struct key_change *in_force = p ? passage_key_at(p, changes->items[0].at_from) : NULL;
    if (w->key)
        *out = *w->key;
    else if (in_force)
        *out = in_force->key;
    else
        return find_key(ctx, changes, out);
    return true;
}

/* ---- words --------------------------------------------------------------------------------------- */

static struct str say_voices(struct claim_context *ctx, uint32_t n)
{
    return say_count(ctx, n, "voice", "voices");
}

/* "from bar 1 beat 1 to beat 3 ", to stand before what happens there. */
static struct str say_when(struct claim_context *ctx, const struct changes *changes, const struct change *c)
{
    if (!changes->passage)
        return STR("");
    struct str way = tell_way(ctx, changes->passage, c->at_from, c->at_to);
    return say_text(ctx, "from %.*s ", STR_ARG(way));
}

/* "Eb3 to Cb3, G3 to Eb3 and Bb3 to Gb3". */
static struct str say_pairs(struct claim_context *ctx, const struct change *c)
{
    struct str *pairs = ARENA_NEW_ARRAY(ctx->arena, struct str, c->n);
    for (uint32_t i = 0; i < c->n; i++)
        pairs[i] = tell_pitches(ctx, c->from[i], c->to[i]);
    return tell_list(ctx, pairs, c->n);
}

static const char *say_assumption(const struct changes *changes)
{
    for (uint32_t i = 0; i < changes->n; i++)
        if (changes->items[i].by_rank)
            return "; voices taken from low to high";
    for (uint32_t i = 0; i < changes->n; i++)
        if (changes->items[i].missing)
            return "; a voice is left out where it rests";
    return "";
}

static uint32_t count_moving_by(const struct change *c, struct interval by)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < c->n; i++)
        n += change_interval(c, i).half == by.half;
    return n;
}

/* Groups of voices by what they move by: "voices 1 and 2 fall a minor third; voice 3 falls a major
 * third". */
static struct str say_groups(struct claim_context *ctx, const struct change *c)
{
    struct buf b = {0};
    struct str *names = ARENA_NEW_ARRAY(ctx->arena, struct str, c->n);
    for (uint32_t i = 0; i < c->n; i++) {
        struct interval by = change_interval(c, i);
        uint32_t n = 0;
        bool told = false;
        for (uint32_t k = 0; k < c->n; k++) {
            if (!interval_eq(change_interval(c, k), by))
                continue;
            told = told || k < i;
            names[n++] = c->names[k];
        }
        if (told)
            continue;
        if (n == 1)
            buf_str_put(&b, say_voice_move(ctx, c, i));
        else
            buf_printf(&b, "%.*s %.*s", STR_ARG(tell_voices(ctx, names, n)),
                       STR_ARG(tell_move(ctx, by, true)));
        buf_put(&b, "; ");
    }
    if (b.n)
        b.n -= 2; /* the last "; " */
    return buf_take(&b, ctx->arena);
}

/* The one voice that does not move as the others do, by sound; n where there is not exactly one. */
static uint32_t odd_voice(const struct judged *j)
{
    const struct change *c = j->change;
    if (c->n < 3 || count_moving_by(c, j->by) != c->n - 1)
        return c->n;
    for (uint32_t i = 0; i < c->n; i++)
        if (change_interval(c, i).half != j->by.half)
            return i;
    return c->n;
}

/* "voice 6 falls A4 to F#4, a minor third; the other five voices fall a major third". */
static struct str say_difference(struct claim_context *ctx, const struct judged *j)
{
    const struct change *c = j->change;
    uint32_t odd = odd_voice(j);
    if (odd == c->n)
        return say_groups(ctx, c);
    return say_text(ctx, "%.*s; the other %.*s %.*s", STR_ARG(say_voice_move(ctx, c, odd)),
                    STR_ARG(say_voices(ctx, c->n - 1)), STR_ARG(tell_move(ctx, j->by, true)));
}

/* ---- true sentences ------------------------------------------------------------------------------ */

/* The sentence with what really holds, if one of the kind does. */
static void offer_instead(struct claim_context *ctx, const struct match *m, const struct survey *s)
{
    struct str stream = m->stream[0].words, span = tell_span(ctx, m);
    struct str moves = tell_verb(ctx, &m->stream[0], "move");
    struct interval by = s->items[0].by;
    bool one_size = true;
    for (uint32_t i = 1; i < s->n; i++)
        one_size = one_size && interval_eq(s->items[i].by, by);
    struct key key;
    /* say_key would name a convention, on which this verdict does not depend. */
    char key_words[PITCH_TEXT_MAX];
    if (s->all_real && one_size)
        claim_instead(ctx, "%.*s %.*s %s %.*s in real parallel motion%.*s", STR_ARG(stream), STR_ARG(moves),
                      tell_direction(by), STR_ARG(say_interval(ctx, by)), STR_ARG(span));
    else if (s->all_real)
        claim_instead(ctx, "%.*s %.*s in real parallel motion%.*s", STR_ARG(stream), STR_ARG(moves),
                      STR_ARG(span));
    else if (s->all_tonal && find_key(ctx, s->changes, &key))
        claim_instead(ctx, "%.*s %.*s in tonal parallel motion in %s%.*s", STR_ARG(stream), STR_ARG(moves),
                      key_text(key, SIGN_ASCII, key_words), STR_ARG(span));
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

/* What would put the one odd voice right, where nothing else is wrong. */
static struct str say_remedy(struct claim_context *ctx, const struct wanted *w, const struct survey *s,
                             const struct judged *j)
{
    struct judged rest = *j;
    uint32_t odd = odd_voice(j);
    bool fits = !w->interval || interval_ref_fits(w->interval, w->direction, j->by, &rest.same_sound);
    if (w->tonal || odd == j->change->n || s->flawed > 1 || j->by.half == 0 || !fits)
        return STR("");
    struct pitch right = pitch_move(j->change->from[odd], j->by);
    return say_text(ctx, "; with %.*s there the claim would hold", STR_ARG(say_pitch(ctx, right)));
}

static void fail_voices(struct claim_context *ctx, const struct wanted *w, const struct survey *s,
                        const struct judged *j)
{
    const struct change *c = j->change;
    bool steps_kept = !w->tonal && j->kind == PARALLEL_TONAL;
    claim_fails(ctx, "%.*s%.*s%.*s%s%s", STR_ARG(say_when(ctx, s->changes, c)),
                STR_ARG(say_difference(ctx, j)), STR_ARG(say_remedy(ctx, w, s, j)),
                steps_kept ? "; as written this is parallel motion, but not real" : "",
                say_assumption(s->changes));
    for (uint32_t i = 0; i < c->n; i++)
        if (change_interval(c, i).half != j->by.half)
            change_place(ctx, c, i);
}

static void fail_spelling(struct claim_context *ctx, const struct survey *s, const struct judged *j)
{
    const struct change *c = j->change;
    uint32_t odd = 0;
    while (odd + 1 < c->n && interval_eq(change_interval(c, odd), j->by))
        odd++;
    claim_fails(ctx, "%.*s%.*s goes %.*s where the others move by %.*s: it %.*s",
                STR_ARG(say_when(ctx, s->changes, c)), STR_ARG(c->names[odd]),
                STR_ARG(tell_pitches(ctx, c->from[odd], c->to[odd])), STR_ARG(say_interval(ctx, j->by)),
                STR_ARG(tell_same_sound(ctx, change_interval(c, odd))));
    change_place(ctx, c, odd);
}

static struct str say_wanted_size(struct claim_context *ctx, const struct wanted *w)
{
    return w->interval ? tell_size(ctx, w->interval) : tell_steps(ctx, w->steps);
}

static void fail_size(struct claim_context *ctx, const struct wanted *w, const struct survey *s,
                      const struct judged *j)
{
    const struct change *c = j->change;
    struct str all = tell_all(ctx, c->n, "voice", "voices"), when = say_when(ctx, s->changes, c);
    struct str move = tell_move(ctx, j->by, true);
    if (j->flaw == FLAW_DIRECTION)
        claim_fails(ctx, "%.*s%.*s %.*s, so the move is %s, not %s: %.*s", STR_ARG(when), STR_ARG(all),
                    STR_ARG(move), tell_direction(j->by), w->direction < 0 ? "down" : "up",
                    STR_ARG(say_pairs(ctx, c)));
    else if (j->same_sound)
        claim_fails(ctx, "%.*s%.*s go %.*s: this sounds the same as %.*s; spelled it is %.*s", STR_ARG(when),
                    STR_ARG(all), STR_ARG(say_pairs(ctx, c)), STR_ARG(say_wanted_size(ctx, w)),
                    STR_ARG(say_interval(ctx, j->by)));
    else
        claim_fails(ctx, "%.*s%.*s %.*s, not %.*s: %.*s", STR_ARG(when), STR_ARG(all), STR_ARG(move),
                    STR_ARG(say_wanted_size(ctx, w)), STR_ARG(say_pairs(ctx, c)));
    change_place(ctx, c, 0);
}

static void fail(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                 const struct survey *s)
{
    const struct judged *j = &s->items[s->first_flawed];
    switch (j->flaw) {
    case FLAW_NONE:
        break;
    case FLAW_VOICES:
        fail_voices(ctx, w, s, j);
        break;
    case FLAW_SPELLING:
        fail_spelling(ctx, s, j);
        break;
    case FLAW_DIRECTION:
    case FLAW_SIZE:
        fail_size(ctx, w, s, j);
        break;
    }
    offer_instead(ctx, m, s);
}

static struct str say_respelled(struct claim_context *ctx, const struct survey *s)
{
    for (uint32_t i = 0; i < s->n; i++) {
        const struct change *c = s->items[i].change;
        for (uint32_t k = 0; k < c->n; k++)
            if (!interval_eq(change_interval(c, k), s->items[i].by))
                return say_text(ctx, "; %.*s is spelled %.*s, the same by sound",
                                STR_ARG(c->names[k]), STR_ARG(tell_pitches(ctx, c->from[k], c->to[k])));
    }
    return STR("");
}

/* The size that was counted, where a distance by sound was named. */
static struct str say_by_sound(struct claim_context *ctx, const struct wanted *w)
{
    if (!w->interval || !w->interval->by_sound)
        return STR("");
    return say_text(ctx, ", %.*s by sound", STR_ARG(tell_size(ctx, w->interval)));
}

static void hold_real(struct claim_context *ctx, const struct wanted *w, const struct survey *s)
{
    enum { SHOWN = 4 };
    const struct change *first = s->items[0].change;
    struct str by_sound = say_by_sound(ctx, w), sounding = say_respelled(ctx, s);
    struct str respelled = say_text(ctx, "%.*s%.*s", STR_ARG(by_sound), STR_ARG(sounding));
    if (s->n == 1) {
        claim_holds(ctx, "%.*s: %.*s %.*s%.*s%s", STR_ARG(say_pairs(ctx, first)),
                    STR_ARG(say_voices(ctx, first->n)), STR_ARG(tell_move(ctx, s->items[0].by, true)),
                    STR_ARG(respelled), say_assumption(s->changes));
        return;
    }
    struct buf b = {0};
    for (uint32_t i = 0; i < s->n && i < SHOWN; i++) {
        const struct judged *j = &s->items[i];
        buf_printf(&b, "%s%.*sall %.*s", i ? "; " : "", STR_ARG(say_when(ctx, s->changes, j->change)),
                   STR_ARG(tell_move(ctx, j->by, true)));
    }
    if (s->n > SHOWN)
        buf_printf(&b, "; %.*s more, each by one interval in every voice",
                   STR_ARG(say_count(ctx, s->n - SHOWN, "move", "moves")));
    struct str moves = buf_take(&b, ctx->arena);
    claim_holds(ctx, "%.*s, %.*s: %.*s%.*s%s", STR_ARG(say_voices(ctx, first->n)),
                STR_ARG(say_count(ctx, s->n, "move", "moves")), STR_ARG(moves), STR_ARG(respelled),
                say_assumption(s->changes));
}

static void hold_tonal(struct claim_context *ctx, const struct survey *s, struct key key)
{
    uint32_t shown = 0;
    while (s->items[shown].kind != PARALLEL_TONAL)
        shown++;
    const struct judged *j = &s->items[shown];
    struct str all = s->n == 1 ? STR("")
                               : say_text(ctx, "; the same number of steps in %.*s",
                                          STR_ARG(tell_all(ctx, s->n, "move", "moves")));
    claim_holds(ctx, "%.*s%.*s: %.*s of %.*s for every voice, of different sizes%.*s%s",
                STR_ARG(say_when(ctx, s->changes, j->change)), STR_ARG(say_groups(ctx, j->change)),
                STR_ARG(tell_steps(ctx, j->by.steps)), STR_ARG(say_key(ctx, key)), STR_ARG(all),
                say_assumption(s->changes));
}

/* All voices take the same number of steps: within a key, and in more than one size? */
static void decide_tonal(struct claim_context *ctx, const struct match *m, const struct wanted *w,
                         const struct survey *s)
{
    struct key key, other;
    if (!s->all_tonal) {
        claim_fails(
            ctx, "%.*s%.*s: every voice moves by the same size, so this parallel motion is real, not tonal",
            STR_ARG(say_when(ctx, s->changes, s->items[0].change)),
            STR_ARG(say_groups(ctx, s->items[0].change)));
        offer_instead(ctx, m, s);
        return;
    }
    if (!key_for_steps(ctx, s->changes, w, &key)) {
        claim_fails(ctx,
                    "the voices move by the same number of steps, but no major or minor key has all of their "
                    "notes: the motion is neither real nor tonal");
        return;
    }
    struct foreign foreign = find_foreign(ctx, s->changes, key);
    if (!foreign.change) {
        hold_tonal(ctx, s, key);
        return;
    }
    const struct change *c = foreign.change;
    struct ratio at = foreign.arrival ? c->at_to : c->at_from;
    struct str place = s->changes->passage ? say_place(ctx, s->changes->passage, at) : STR("there");
    claim_fails(ctx, "every voice moves by the same number of steps, but %.*s (%.*s) does not belong to %.*s",
                STR_ARG(say_pitch(ctx, foreign.pitch)), STR_ARG(place), STR_ARG(say_key(ctx, key)));
    if (foreign.arrival && c->arrivals[foreign.voice])
        claim_place(ctx, c->arrivals[foreign.voice]->where, "foreign to %.*s", STR_ARG(say_key(ctx, key)));
    if (find_key(ctx, s->changes, &other))
        offer_instead(ctx, m, s);
}

/* ---- the check ----------------------------------------------------------------------------------- */

static bool enough_voices(struct claim_context *ctx, const struct changes *changes)
{
    for (uint32_t i = 0; i < changes->n; i++) {
        if (changes->items[i].n > 1)
            continue;
        claim_undecided(ctx, "%.*sonly one voice sounds: parallel motion takes two or more",
                        STR_ARG(say_when(ctx, changes, &changes->items[i])));
        return false;
    }
    return true;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = read_wanted(m, pattern);
    struct stretch where;
    struct moments moments;
    struct changes changes;
    if (w.tonal)
        ctx->code = DIAG_MOTION_NOT_TONAL;
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 2, &moments) ||
        !moments_changes(ctx, &moments, &changes) || !enough_voices(ctx, &changes))
        return;
    struct survey s = survey_changes(ctx, &changes, &w);
    if (s.some_respelled && !w.tonal)
        claim_convention(ctx, CONVENTION_PARALLEL);
    if (s.flawed)
        fail(ctx, m, &w, &s);
    else if (w.tonal)
        decide_tonal(ctx, m, &w, &s);
    else
        hold_real(ctx, &w, &s);
}

const struct claim_kind claim_kind_parallel = {
    .name = "parallel",
    .patterns = patterns,
    .meaning = "From each chord to the next every voice moves in one direction: by one interval (real), or "
               "by one number of steps of a key in sizes that differ (tonal).",
    .page = claim_page_parallel,
    .check = check,
    .fails = DIAG_FAILS_parallel,
};
