/* chord_build.c - what a chord is made of, where it is no plain stack of thirds. */
#include "claims/numerals.h"
#include "claims/pages.h"
#include "claims/tell.h"

#include <stdlib.h>

enum { IS_CLUSTER, HAS_CLUSTER, IS_STACKED, STACKED_OF, IS_ADDED, IS_SPLIT, IS_OPEN };

#define CLUSTERS "[<chromatic|diatonic|pentatonic|whole-tone>] [tone|note] cluster"

static const char *const patterns[] = {
    [IS_CLUSTER] = "CHORD is|forms " CLUSTERS,
    [HAS_CLUSTER] = "CHORD contains|holds " CLUSTERS,
    [IS_STACKED] = "CHORD is <quartal|quintal> [chord|harmony|voicing|stack]",
    [STACKED_OF] = "CHORD is [<built|stacked|made|stack>] in|of|from|on|up [of] "
                   "<fourths|perfect fourths|fifths|perfect fifths>",
    [IS_ADDED] = "CHORD is <added-note|added note|added-tone|added tone> chord",
    [IS_SPLIT] = "CHORD is <split-third|split third|mixed-third|mixed third> chord",
    [IS_OPEN] = "CHORD is <open-fifth|open fifth|bare fifth|bare-fifth|empty fifth|hollow fifth> [chord]",
    NULL,
};

/* ---- clusters ------------------------------------------------------------------------------------ */

enum cluster { CLUSTER_CHROMATIC, CLUSTER_DIATONIC, CLUSTER_PENTATONIC, CLUSTER_WHOLE_TONE, CLUSTER_NONE };

static const char *const cluster_words[] = {"chromatic", "diatonic", "pentatonic", "whole-tone", "no"};

/* Steps of the scales between neighbours, going round. */
struct step_scale {
    enum cluster kind;
    int n;
    int steps[7];
};

/* In the order in which a stack that fits several is named: C D E is diatonic before it is whole-tone. */
static const struct step_scale step_scales[] = {
    {CLUSTER_CHROMATIC, 1, {1}},
    {CLUSTER_DIATONIC, 7, {2, 2, 1, 2, 2, 2, 1}},
    {CLUSTER_WHOLE_TONE, 1, {2}},
    {CLUSTER_PENTATONIC, 5, {2, 2, 3, 2, 3}},
};
enum { STEP_SCALES = sizeof step_scales / sizeof step_scales[0], STACK_MAX = 128 };

/* Different pitches of a chord by sound, lowest first. */
struct stack_of {
    struct pitch p[STACK_MAX];
    int n;
};

/* Are the gaps neighbouring steps of the scale, from somewhere in it? */
static bool gaps_fit(const struct step_scale *s, const int *gaps, int n)
{
    for (int from = 0; from < s->n; from++) {
        int i = 0;
        while (i < n && gaps[i] == s->steps[(from + i) % s->n])
            i++;
        if (i == n)
            return true;
    }
    return false;
}

static bool cluster_fits(enum cluster kind, const int *gaps, int n)
{
    for (int i = 0; i < STEP_SCALES; i++)
        if (step_scales[i].kind == kind && gaps_fit(&step_scales[i], gaps, n))
            return true;
    return false;
}

/* The kind of a stack of three or more; CLUSTER_NONE. */
static enum cluster cluster_of(const int *gaps, int n)
{
    if (n < 2)
        return CLUSTER_NONE;
    for (int i = 0; i < STEP_SCALES; i++)
        if (gaps_fit(&step_scales[i], gaps, n))
            return step_scales[i].kind;
    return CLUSTER_NONE;
}

static struct stack_of stack_of_moment(const struct moment *m)
{
    struct stack_of s = {.n = 0};
    for (uint32_t i = 0; i < m->n && s.n < STACK_MAX; i++)
        if (s.n == 0 || pitch_midi(s.p[s.n - 1]) != pitch_midi(m->pitches[i]))
            s.p[s.n++] = m->pitches[i];
    return s;
}

/* Notes from one on up to less than an octave above it: a cluster that is doubled in octaves lies in one of
 * these windows. */
static struct stack_of window_from(const struct stack_of *all, int first)
{
    struct stack_of s = {.n = 0};
    for (int i = first; i < all->n && pitch_midi(all->p[i]) - pitch_midi(all->p[first]) < 12; i++)
        s.p[s.n++] = all->p[i];
    return s;
}

static pcset stack_set(const struct stack_of *s)
{
    pcset set = 0;
    for (int i = 0; i < s->n; i++)
        set |= pcset_of(tone_pc(s->p[i].tone));
    return set;
}

static int stack_gaps(const struct stack_of *s, int *gaps)
{
    for (int i = 1; i < s->n; i++)
        gaps[i - 1] = pitch_midi(s->p[i]) - pitch_midi(s->p[i - 1]);
    return s->n > 0 ? s->n - 1 : 0;
}

static struct str say_stack(struct claim_context *ctx, const struct stack_of *s)
{
    return say_pitches(ctx, s->p, (uint32_t)s->n);
}

/* A gap wider than a step, to name. */
static struct str say_gap(struct claim_context *ctx, const struct stack_of *s)
{
    int widest = 1;
    for (int i = 1; i < s->n; i++)
        if (pitch_midi(s->p[i]) - pitch_midi(s->p[i - 1]) >
            pitch_midi(s->p[widest]) - pitch_midi(s->p[widest - 1]))
            widest = i;
    struct interval v = interval_between(s->p[widest - 1], s->p[widest]);
    return say_text(ctx, "from %.*s to %.*s is %.*s", STR_ARG(say_pitch(ctx, s->p[widest - 1])),
                    STR_ARG(say_pitch(ctx, s->p[widest])), STR_ARG(say_interval(ctx, v)));
}

/* The whole chord as one cluster of the kind asked for (CLUSTER_NONE: of any); notes outside the window must
 * be doublings of those in it. */
static enum cluster find_whole(const struct stack_of *all, enum cluster asked, struct stack_of *out)
{
    for (int first = 0; first < all->n; first++) {
        struct stack_of s = window_from(all, first);
        int gaps[STACK_MAX], n = stack_gaps(&s, gaps);
        if (stack_set(&s) != stack_set(all) || n < 2)
            continue;
        enum cluster kind = cluster_of(gaps, n);
        if (asked != CLUSTER_NONE)
            kind = cluster_fits(asked, gaps, n) ? asked : CLUSTER_NONE;
        *out = s;
        if (kind != CLUSTER_NONE)
            return kind;
    }
    return CLUSTER_NONE;
}

/* Any three neighbouring notes in it. */
static enum cluster find_part(const struct stack_of *all, enum cluster asked, struct stack_of *out)
{
    for (int first = 0; first + 2 < all->n; first++) {
        struct stack_of s = {{all->p[first], all->p[first + 1], all->p[first + 2]}, 3};
        int gaps[STACK_MAX], n = stack_gaps(&s, gaps);
        enum cluster kind = cluster_of(gaps, n);
        if (asked != CLUSTER_NONE)
            kind = cluster_fits(asked, gaps, n) ? asked : CLUSTER_NONE;
        *out = s;
        if (kind != CLUSTER_NONE)
            return kind;
    }
    return CLUSTER_NONE;
}

/* Under the convention `seconds` notes a second apart are a cluster, two already. */
static bool is_seconds(const struct stack_of *s)
{
    int gaps[STACK_MAX], n = stack_gaps(s, gaps);
    for (int i = 0; i < n; i++)
        if (gaps[i] > 2)
            return false;
    return n > 0;
}

static bool seconds_count(const struct claim_context *ctx)
{
    return ctx->conventions->choice[CONVENTION_CLUSTER] == 1;
}

static void report_no_cluster(struct claim_context *ctx, const struct match *m, const struct stack_of *all,
                              enum cluster asked, bool part)
{
    struct stack_of found;
    enum cluster other = (part ? find_part : find_whole)(all, CLUSTER_NONE, &found);
    struct str words = m->chord[0].words, what = say_stack(ctx, all);
    if (other != CLUSTER_NONE && asked != CLUSTER_NONE) {
        claim_fails(ctx, "%.*s (%.*s) %s %s cluster, not a %s one", STR_ARG(words), STR_ARG(what),
                    part ? "contains a" : "is a", cluster_words[other], cluster_words[asked]);
        claim_instead(ctx, "%.*s %s a %s cluster", STR_ARG(words), part ? "contains" : "is",
                      cluster_words[other]);
    } else if (all->n < 3) {
        claim_fails(ctx, "%.*s (%.*s) has %.*s: a cluster has three at least", STR_ARG(words), STR_ARG(what),
                    STR_ARG(say_count(ctx, all->n, "note", "notes")));
    } else {
        claim_fails(ctx, "%.*s (%.*s) is no row of neighbouring steps of one scale: %.*s", STR_ARG(words),
                    STR_ARG(what), STR_ARG(say_gap(ctx, all)));
    }
}

static void check_cluster(struct claim_context *ctx, const struct match *m, const struct moment *moment,
                          bool part)
{
    struct stack_of all = stack_of_moment(moment), found = {.n = 0};
    enum cluster asked = m->choice[0] < 0 ? CLUSTER_NONE : (enum cluster)m->choice[0];
    enum cluster kind = (part ? find_part : find_whole)(&all, asked, &found);
    bool loose = !part && asked == CLUSTER_NONE && is_seconds(&all);
    if (loose != (kind != CLUSTER_NONE) && loose)
        claim_convention(ctx, CONVENTION_CLUSTER);
    if (kind == CLUSTER_NONE && loose && seconds_count(ctx)) {
        claim_holds(ctx, "%.*s: every note is a second from the next", STR_ARG(say_stack(ctx, &all)));
        return;
    }
    if (kind == CLUSTER_NONE) {
        report_no_cluster(ctx, m, &all, asked, part);
        return;
    }
    claim_holds(ctx, "%.*s: %.*s in neighbouring steps, a %s cluster%s", STR_ARG(say_stack(ctx, &all)),
                STR_ARG(say_count(ctx, found.n, "note", "notes")), cluster_words[kind],
                !part && found.n < all.n ? ", doubled at the octave" : "");
}

/* ---- stacks of fourths and fifths ---------------------------------------------------------------- */

/* Follows fourths (or fifths) upward from one note; true if every tone is met. Notes left over are doublings.
 */
static bool follow(const struct stack_of *all, int first, int steps, int half, struct stack_of *out)
{
    struct stack_of s = {{all->p[first]}, 1};
    for (int i = first + 1; i < all->n; i++) {
        struct interval v = interval_between(s.p[s.n - 1], all->p[i]);
        if (v.steps == steps && (half < 0 || v.half == half))
            s.p[s.n++] = all->p[i];
    }
    *out = s;
    return stack_set(&s) == stack_set(all);
}

static bool find_stack(const struct stack_of *all, int steps, int half, struct stack_of *out)
{
    for (int first = 0; first < all->n; first++)
        if (follow(all, first, steps, half, out) && out->n >= 3)
            return true;
    return false;
}

/* The first neighbours that lie otherwise apart. */
static struct str say_other_gap(struct claim_context *ctx, const struct stack_of *s, int steps, int half)
{
    for (int i = 1; i < s->n; i++) {
        struct interval v = interval_between(s->p[i - 1], s->p[i]);
        if (v.steps != steps || (half >= 0 && v.half != half))
            return say_text(ctx, "%.*s to %.*s is %.*s", STR_ARG(say_pitch(ctx, s->p[i - 1])),
                            STR_ARG(say_pitch(ctx, s->p[i])), STR_ARG(say_interval(ctx, v)));
    }
    return STR("it has fewer than three tones");
}

/* ", with A4 to D#5 an augmented fourth": members that are not perfect. */
static struct str say_imperfect(struct claim_context *ctx, const struct stack_of *s, int perfect)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, (size_t)s->n);
    uint32_t n = 0;
    for (int i = 1; !ctx->mute && i < s->n; i++) {
        struct interval v = interval_between(s->p[i - 1], s->p[i]);
        if (v.half != perfect)
            words[n++] = say_text(ctx, "%.*s to %.*s %.*s", STR_ARG(say_pitch(ctx, s->p[i - 1])),
                                  STR_ARG(say_pitch(ctx, s->p[i])), STR_ARG(say_interval(ctx, v)));
    }
    return n ? say_text(ctx, ", of them %.*s", STR_ARG(say_list(ctx, words, n, "and"))) : STR("");
}

static void check_stack(struct claim_context *ctx, const struct match *m, const struct moment *moment,
                        bool fifths, bool perfect)
{
    struct stack_of all = stack_of_moment(moment), found, other;
    int steps = fifths ? 4 : 3, half = fifths ? 7 : 5;
    const char *noun = fifths ? "fifths" : "fourths", *name = fifths ? "quintal" : "quartal";
    struct str what = say_stack(ctx, &all), words = m->chord[0].words;
    if (find_stack(&all, steps, perfect ? half : -1, &found)) {
        claim_holds(ctx, "%.*s is a stack of %s%s%.*s%s", STR_ARG(say_stack(ctx, &found)),
                    perfect ? "perfect " : "", noun, STR_ARG(say_imperfect(ctx, &found, half)),
                    found.n < all.n ? "; the other notes double it at the octave" : "");
        return;
    }
    claim_fails(ctx, "%.*s (%.*s) is no stack of %s%s: %.*s", STR_ARG(words), STR_ARG(what),
                perfect ? "perfect " : "", noun,
                STR_ARG(say_other_gap(ctx, &all, steps, perfect ? half : -1)));
    if (perfect && find_stack(&all, steps, -1, &other))
        claim_instead(ctx, "%.*s is %s", STR_ARG(words), name);
    else if (find_stack(&all, fifths ? 3 : 4, -1, &other))
        claim_instead(ctx, "%.*s is %s", STR_ARG(words), fifths ? "quartal" : "quintal");
}

/* ---- added notes, split thirds, open fifths ------------------------------------------------------ */

enum {
    STEPS_SECOND = 1,
    STEPS_THIRD = 2,
    STEPS_FOURTH = 3,
    STEPS_FIFTH = 4,
    STEPS_SIXTH = 5,
    STEPS_SEVENTH = 6
};

/* Which tones of a chord lie how many steps above one of them. */
struct above {
    struct tone root;
    bool major_third, minor_third, perfect_fifth;
    struct tone_bag added; /* seconds, fourths, sixths */
    struct tone_bag seventh;
    uint32_t others; /* altered fifths, and thirds of another size */
};

static struct above above_root(struct claim_context *ctx, const struct tone_bag *tones, struct tone root)
{
    struct above a = {
        .root = root, .added = bag_new(ctx->arena, tones->n), .seventh = bag_new(ctx->arena, tones->n)};
    for (uint32_t i = 0; i < tones->n; i++) {
        struct interval v = interval_between_tones(root, tones->t[i]);
        bool major = v.steps == STEPS_THIRD && v.half == 4, minor = v.steps == STEPS_THIRD && v.half == 3;
        bool fifth = v.steps == STEPS_FIFTH && v.half == 7;
        a.major_third = a.major_third || major;
        a.minor_third = a.minor_third || minor;
        a.perfect_fifth = a.perfect_fifth || fifth;
        if (v.steps == STEPS_SECOND || v.steps == STEPS_FOURTH || v.steps == STEPS_SIXTH)
            bag_add(&a.added, tones->t[i]);
        else if (v.steps == STEPS_SEVENTH)
            bag_add(&a.seventh, tones->t[i]);
        else if (!major && !minor && !fifth && !tone_eq(tones->t[i], root))
            a.others++;
    }
    return a;
}

static bool is_added(const struct above *a)
{
    return a->major_third != a->minor_third && a->perfect_fifth && a->added.n && !a->seventh.n && !a->others;
}

static bool is_split(const struct above *a)
{
    return a->major_third && a->minor_third && a->perfect_fifth && !a->added.n && !a->others;
}

/* Is the chord a seventh chord as well (C6 is Am7)? Then its root must be given by the symbol. */
static bool is_seventh_chord(struct claim_context *ctx, const struct tone_bag *tones)
{
    struct chord_match all[READINGS_MAX];
    uint32_t n = chord_readings(ctx, tones, all);
    for (uint32_t i = 0; i < n; i++)
        if (all[i].spelled && chord_is_tertian(all[i].quality) && all[i].quality->n_degrees == 4)
            return true;
    return false;
}

static struct str say_readings(struct claim_context *ctx, const struct tone_bag *tones)
{
    bool spelled;
    struct str names = say_chord_names(ctx, tones, &spelled);
    return names.n ? say_text(ctx, "; its notes %s %.*s", spelled ? "make" : "sound like", STR_ARG(names))
                   : STR("");
}

static void check_added(struct claim_context *ctx, const struct match *m, const struct moment *moment)
{
    struct tone_bag tones = bag_of_moment(ctx->arena, moment);
    struct str what = say_chord(ctx, &m->chord[0], moment), words = m->chord[0].words;
    bool symbol = moment->symbol && moment->symbol->n_layers == 1;
    for (uint32_t i = 0; i < tones.n; i++) {
        struct above a = above_root(ctx, &tones, tones.t[i]);
        bool named = symbol && tone_eq(moment->symbol->layers[0].root, a.root);
        if (!is_added(&a) || (symbol && !named))
            continue;
        if (!named && is_seventh_chord(ctx, &tones)) {
            claim_undecided(ctx,
                            "%.*s (%.*s) can be read as a seventh chord too%.*s: write its symbol in the "
                            "harmony row",
                            STR_ARG(words), STR_ARG(what), STR_ARG(say_readings(ctx, &tones)));
            return;
        }
        claim_holds(ctx, "%.*s is the %s triad on %.*s with %.*s added", STR_ARG(what),
                    a.minor_third ? "minor" : "major", STR_ARG(say_tone(ctx, a.root)),
                    STR_ARG(say_tones(ctx, a.added.t, a.added.n)));
        return;
    }
    claim_fails(ctx,
                "%.*s (%.*s) is no major or minor triad with a second, fourth or sixth added and without a "
                "seventh%.*s",
                STR_ARG(words), STR_ARG(what), STR_ARG(say_readings(ctx, &tones)));
}

/* Both thirds by sound, spelled as a third and something else. */
static bool sounds_split(const struct tone_bag *tones, struct tone root)
{
    pcset set = bag_set(tones);
    int pc = tone_pc(root);
    return (set & pcset_of(pc + 3)) && (set & pcset_of(pc + 4)) && (set & pcset_of(pc + 7));
}

static void check_split(struct claim_context *ctx, const struct match *m, const struct moment *moment)
{
    struct tone_bag tones = bag_of_moment(ctx->arena, moment);
    struct str what = say_chord(ctx, &m->chord[0], moment), words = m->chord[0].words;
    struct tone sounding = {0};
    bool by_sound = false;
    for (uint32_t i = 0; i < tones.n; i++) {
        struct above a = above_root(ctx, &tones, tones.t[i]);
        if (is_split(&a)) {
            claim_holds(ctx, "%.*s has both thirds above %.*s, %.*s and %.*s", STR_ARG(what),
                        STR_ARG(say_tone(ctx, a.root)),
                        STR_ARG(say_tone(ctx, tone_move(a.root, (struct interval){2, 3}))),
                        STR_ARG(say_tone(ctx, tone_move(a.root, (struct interval){2, 4}))));
            return;
        }
        if (!by_sound && sounds_split(&tones, tones.t[i])) {
            by_sound = true;
            sounding = tones.t[i];
        }
    }
    if (by_sound)
        claim_fails(ctx,
                    "%.*s (%.*s) sounds both thirds above %.*s, but they are not spelled as two thirds with "
                    "a perfect "
                    "fifth and nothing else but a seventh%.*s",
                    STR_ARG(words), STR_ARG(what), STR_ARG(say_tone(ctx, sounding)),
                    STR_ARG(say_readings(ctx, &tones)));
    else
        claim_fails(ctx, "%.*s (%.*s) has not both thirds above one root with a perfect fifth%.*s",
                    STR_ARG(words), STR_ARG(what), STR_ARG(say_readings(ctx, &tones)));
}

static void check_open(struct claim_context *ctx, const struct match *m, const struct moment *moment)
{
    struct tone_bag tones = bag_of_moment(ctx->arena, moment);
    struct str what = say_chord(ctx, &m->chord[0], moment), words = m->chord[0].words;
    struct interval v =
        tones.n == 2 ? interval_between_tones(tones.t[0], tones.t[1]) : (struct interval){0, 0};
    if (v.steps == STEPS_FIFTH && v.half == 7) {
        claim_holds(ctx, "%.*s has two tones, %.*s and a perfect fifth above it %.*s", STR_ARG(what),
                    STR_ARG(say_tone(ctx, tones.t[0])), STR_ARG(say_tone(ctx, tones.t[1])));
        return;
    }
    if (tones.n == 2)
        claim_fails(ctx, "%.*s (%.*s) is %.*s above %.*s, no perfect fifth", STR_ARG(words), STR_ARG(what),
                    STR_ARG(say_interval(ctx, v)), STR_ARG(say_tone(ctx, tones.t[0])));
    else
        claim_fails(ctx, "%.*s (%.*s) has %.*s%.*s", STR_ARG(words), STR_ARG(what),
                    STR_ARG(say_count(ctx, (int64_t)tones.n, "tone", "different tones")),
                    STR_ARG(say_readings(ctx, &tones)));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct moment moment;
    bool needs_voicing = pattern <= STACKED_OF;
    if (!chord_moment(ctx, &m->chord[0], needs_voicing, &moment))
        return;
    if (moment.n > STACK_MAX) {
        claim_undecided(ctx, "%.*s has more than %d notes; name a part", STR_ARG(m->chord[0].words),
                        STACK_MAX);
        return;
    }
    switch (pattern) {
    case IS_CLUSTER:
    case HAS_CLUSTER:
        check_cluster(ctx, m, &moment, pattern == HAS_CLUSTER);
        return;
    case IS_STACKED:
        check_stack(ctx, m, &moment, m->choice[0] == 1, false);
        return;
    case STACKED_OF:
        check_stack(ctx, m, &moment, m->choice[1] >= 2, m->choice[1] % 2 == 1);
        return;
    case IS_ADDED:
        check_added(ctx, m, &moment);
        return;
    case IS_SPLIT:
        check_split(ctx, m, &moment);
        return;
    default:
        check_open(ctx, m, &moment);
        return;
    }
}

const struct claim_kind claim_kind_chord_build = {
    .name = "chord-build",
    .patterns = patterns,
    .meaning = "Whether a chord is a cluster, a stack of fourths or fifths, a triad with added notes or with "
               "both thirds, "
               "or an open fifth.",
    .page = claim_page_chord_build,
    .check = check,
    .fails = DIAG_FAILS_chord_build,
};
