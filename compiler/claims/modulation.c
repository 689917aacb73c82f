/* modulation.c - whether the harmony leaves one key for another. */
#include "claims/numerals.h"
#include "claims/pages.h"
#include "claims/tell.h"

enum { MOVES, MODULATES_TO, MOVES_THROUGH, TO_THROUGH, TONICIZES, TONICIZES_IN, IS_PIVOT };

#define THROUGH "through|via|by|over [pivot|way|chord|means] [of]"

static const char *const patterns[] = {
    [MOVES] = "STREAM moves|modulates|goes|passes|changes [key] from KEY to|into KEY",
    [MODULATES_TO] = "STREAM modulates|moves|turns to|into KEY",
    [MOVES_THROUGH] =
        "STREAM moves|modulates|goes|passes|changes from KEY to|into KEY " THROUGH " CHORD [as pivot]",
    [TO_THROUGH] = "STREAM modulates to|into KEY " THROUGH " CHORD [as pivot]",
    [TONICIZES] = "STREAM [only] tonicizes|tonicises KEY",
    [TONICIZES_IN] = "STREAM [only] tonicizes|tonicises KEY in|within KEY",
    [IS_PIVOT] = "CHORD is pivot [chord] between|from KEY and|to KEY",
    NULL,
};

/* What the chords of a stretch do between two keys. */
enum change {
    CHANGE_MADE,         /* out of one key, into the other, and confirmed there */
    CHANGE_NO_HOME,      /* the tonic of the first key does not sound before the second one */
    CHANGE_HOME_UNKNOWN, /* it sounds, but nothing shows that it is the key */
    CHANGE_NO_CADENCE,   /* no dominant goes to the tonic of the second key */
    CHANGE_NOT_LEFT,     /* all that follows belongs to the first key as well */
    CHANGE_RETURNS,      /* the first key cadences again */
    CHANGE_NO_PIVOT      /* the chord named does not lie between the keys */
};

struct journey {
    struct moments chords;
    struct key home, goal;
    enum change is;
    uint32_t cadence; /* index of the dominant of the goal's last cadence */
    uint32_t back;    /* of the home key's cadence after it */
    uint32_t pivot;   /* index of a chord that is diatonic in both; n: none */
};

/* ---- chords in a key ----------------------------------------------------------------------------- */

static bool is_tonic(struct claim_context *ctx, const struct moment *m, struct key key)
{
    return moment_is_inverted(ctx, m, key, key.minor ? "i" : "I");
}

/* Does a cadence begin here: the dominant, then the tonic, both in root position as far as is known? */
static bool is_cadence(struct claim_context *ctx, const struct moments *c, uint32_t i, struct key key)
{
    if (i + 1 >= c->n)
        return false;
    const struct moment *v = &c->items[i], *tonic = &c->items[i + 1];
    return (moment_is_numeral(ctx, v, false, key, "V") || moment_is_numeral(ctx, v, false, key, "V7")) &&
           moment_is_numeral(ctx, tonic, false, key, key.minor ? "i" : "I");
}

/* The first, or last, cadence in [from, end); end: none. */
static uint32_t find_cadence(struct claim_context *ctx, const struct moments *c, uint32_t from, uint32_t end,
                             struct key key, bool last)
{
    uint32_t found = end;
    for (uint32_t i = from; i < end && (last || found == end); i++)
        if (is_cadence(ctx, c, i, key))
            found = i;
    return found;
}

/* Does the beginning show the home key: its tonic opens, or the passage states it, or it cadences and has a
 * chord that the goal lacks? Chords that both keys have prove neither. */
static enum change judge_home(struct claim_context *ctx, const struct journey *j)
{
    bool sounds = false, own = false;
    const struct key_change *stated =
        j->chords.passage ? passage_key_at(j->chords.passage, j->chords.items[0].onset) : NULL;
    for (uint32_t i = 0; i <= j->cadence; i++) {
        sounds = sounds || is_tonic(ctx, &j->chords.items[i], j->home);
        own = own || (moment_is_diatonic(ctx, &j->chords.items[i], j->home) &&
                      !moment_is_diatonic(ctx, &j->chords.items[i], j->goal));
    }
    if (!sounds)
        return CHANGE_NO_HOME;
    bool says_so = stated && stated->key.minor == j->home.minor && tone_eq(stated->key.tonic, j->home.tonic);
    if (says_so || is_tonic(ctx, &j->chords.items[0], j->home))
        return CHANGE_MADE;
    bool cadences = find_cadence(ctx, &j->chords, 0, j->cadence, j->home, false) < j->cadence;
    return cadences && own ? CHANGE_MADE : CHANGE_HOME_UNKNOWN;
}

/* The last chord before the goal's own chords begin that belongs to both keys. */
static uint32_t find_pivot(struct claim_context *ctx, const struct journey *j)
{
    uint32_t found = j->chords.n;
    bool begun = false; /* the goal has had a chord of its own since */
    for (uint32_t i = 0; i <= j->cadence; i++) {
        bool home = moment_is_diatonic(ctx, &j->chords.items[i], j->home);
        bool goal = moment_is_diatonic(ctx, &j->chords.items[i], j->goal);
        if (home && goal && !begun)
            found = i;
        else if (!goal)
            found = j->chords.n;
        begun = goal && (begun || !home);
    }
    return found;
}

static enum minor_form form_in_force(const struct claim_context *ctx)
{
    return (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
}

/* Does a chord after the last one of the home key alone belong to the goal alone? The dominant and tonic of F
 * are chords of C major too, and prove nothing. A goal all of whose tones the home key has (C major from A
 * minor) has no such chord. */
static bool leaves_home(struct claim_context *ctx, const struct journey *j)
{
    bool own = false;
    if (!(key_set(j->goal, form_in_force(ctx)) & ~key_set(j->home, form_in_force(ctx))))
        return true;
    for (uint32_t i = 0; i < j->chords.n; i++) {
        bool home = moment_is_diatonic(ctx, &j->chords.items[i], j->home);
        bool goal = moment_is_diatonic(ctx, &j->chords.items[i], j->goal);
        if (home && !goal && i <= j->cadence)
            own = false;
        own = own || (goal && !home);
    }
    return own;
}

static void judge_journey(struct claim_context *ctx, struct journey *j)
{
    uint32_t n = j->chords.n;
    j->pivot = n;
    j->cadence = find_cadence(ctx, &j->chords, 0, n, j->goal, true);
    if (j->cadence == n) {
        j->is = CHANGE_NO_CADENCE;
        return;
    }
    j->is = judge_home(ctx, j);
    if (j->is == CHANGE_MADE && !leaves_home(ctx, j))
        j->is = CHANGE_NOT_LEFT;
    if (j->is != CHANGE_MADE)
        return;
    j->back = find_cadence(ctx, &j->chords, j->cadence + 2, n, j->home, false);
    if (j->back < n)
        j->is = CHANGE_RETURNS;
    else
        j->pivot = find_pivot(ctx, j);
}

/* ---- words --------------------------------------------------------------------------------------- */

static struct str say_short(struct claim_context *ctx, const struct moment *m)
{
    return m->source == MOMENT_SYMBOL || (m->symbol && m->symbol->text.n) ? say_harmony(ctx, m->symbol)
                                                                          : say_moment(ctx, m);
}

/* "D7 to G at bar 4" */
static struct str say_cadence(struct claim_context *ctx, const struct moments *c, uint32_t i)
{
    return say_text(ctx, "%.*s to %.*s at %.*s", STR_ARG(say_short(ctx, &c->items[i])),
                    STR_ARG(say_short(ctx, &c->items[i + 1])),
                    STR_ARG(say_place(ctx, c->passage, c->items[i + 1].onset)));
}

static struct str say_numeral(struct claim_context *ctx, const struct moment *m, struct key key)
{
    struct str name;
    if (ctx->mute || !numeral_name(ctx, m, false, key, false, &name))
        return STR("a chord");
    return name;
}

/* "Am at bar 2 is vi in C major and ii in G major" */
static struct str say_pivot(struct claim_context *ctx, const struct journey *j, uint32_t i, const char *is)
{
    const struct moment *m = &j->chords.items[i];
    return say_text(ctx, "%.*s at %.*s%s %.*s in %.*s and %.*s in %.*s", STR_ARG(say_short(ctx, m)),
                    STR_ARG(say_place(ctx, j->chords.passage, m->onset)), is,
                    STR_ARG(say_numeral(ctx, m, j->home)), STR_ARG(say_key(ctx, j->home)),
                    STR_ARG(say_numeral(ctx, m, j->goal)), STR_ARG(say_key(ctx, j->goal)));
}

/* ---- tonicization -------------------------------------------------------------------------------- */

/* A dominant or leading-tone chord of the goal, foreign to the home key, and the goal's tonic after it; n:
 * none. */
static uint32_t find_applied(struct claim_context *ctx, const struct moments *c, struct key home,
                             struct key goal)
{
    static const char *const dominants[] = {"V", "V7", "viio", "viio7", "vii\u00F8"};
    for (uint32_t i = 0; i + 1 < c->n; i++) {
        bool dominant = false;
        for (size_t k = 0; k < sizeof dominants / sizeof dominants[0]; k++)
            dominant = dominant || moment_is_inverted(ctx, &c->items[i], goal, dominants[k]);
        if (dominant && !moment_is_diatonic(ctx, &c->items[i], home) && is_tonic(ctx, &c->items[i + 1], goal))
            return i;
    }
    return c->n;
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

/* A true sentence about the same stretch: another goal, or a tonicization. */
static void offer_true(struct claim_context *ctx, const struct match *m, const struct journey *j)
{
    enum { N_KEYS = 24 };
    struct str words = m->stream[0].words, span = tell_span(ctx, m), home = say_key(ctx, j->home);
    if (ctx->mute)
        return;
    if (find_applied(ctx, &j->chords, j->home, j->goal) < j->chords.n) {
        claim_instead(ctx, "%.*s tonicizes %.*s in %.*s%.*s", STR_ARG(words), STR_ARG(say_key(ctx, j->goal)),
                      STR_ARG(home), STR_ARG(span));
        return;
    }
    for (int i = 0; i < N_KEYS; i++) {
        struct journey other = *j;
        other.goal = key_of_index(i);
        if (tone_eq(other.goal.tonic, j->home.tonic) && other.goal.minor == j->home.minor)
            continue;
        judge_journey(ctx, &other);
        if (other.is != CHANGE_MADE)
            continue;
        claim_instead(ctx, "%.*s moves from %.*s to %.*s%.*s", STR_ARG(words), STR_ARG(home),
                      STR_ARG(say_key(ctx, other.goal)), STR_ARG(span));
        return;
    }
}

static void report_journey(struct claim_context *ctx, const struct match *m, const struct journey *j)
{
    struct str home = say_key(ctx, j->home), goal = say_key(ctx, j->goal);
    switch (j->is) {
    case CHANGE_NO_CADENCE:
        claim_fails(ctx,
                    "no cadence confirms %.*s: its dominant does not go to its tonic, both in root position",
                    STR_ARG(goal));
        offer_true(ctx, m, j);
        return;
    case CHANGE_NO_HOME:
        claim_fails(ctx, "the tonic of %.*s does not sound before %.*s, the cadence in %.*s", STR_ARG(home),
                    STR_ARG(say_cadence(ctx, &j->chords, j->cadence)), STR_ARG(goal));
        return;
    case CHANGE_HOME_UNKNOWN:
        claim_undecided(
            ctx,
            "%.*s confirms %.*s, but nothing before it shows %.*s: its tonic does not open, and no cadence "
            "with a chord of its own is there; state the key in the passage",
            STR_ARG(say_cadence(ctx, &j->chords, j->cadence)), STR_ARG(goal), STR_ARG(home));
        return;
    case CHANGE_NOT_LEFT:
        claim_fails(ctx,
                    "%.*s would be a cadence in %.*s, but no chord there is foreign to %.*s: it is not left",
                    STR_ARG(say_cadence(ctx, &j->chords, j->cadence)), STR_ARG(goal), STR_ARG(home));
        offer_true(ctx, m, j);
        return;
    case CHANGE_RETURNS:
        claim_fails(ctx, "%.*s is a cadence in %.*s, but %.*s is one in %.*s again: a tonicization",
                    STR_ARG(say_cadence(ctx, &j->chords, j->cadence)), STR_ARG(goal),
                    STR_ARG(say_cadence(ctx, &j->chords, j->back)), STR_ARG(home));
        claim_place(ctx, j->chords.items[j->back + 1].where, "%.*s again", STR_ARG(home));
        offer_true(ctx, m, j);
        return;
    case CHANGE_MADE:
    case CHANGE_NO_PIVOT:
        return;
    }
}

static void report_made(struct claim_context *ctx, const struct journey *j, bool asked_pivot)
{
    struct str pivot = STR("; no chord before it belongs to both keys: a direct change");
    if (j->pivot < j->chords.n)
        pivot = say_text(ctx, "; %s%.*s", asked_pivot ? "" : "the pivot may be ",
                         STR_ARG(say_pivot(ctx, j, j->pivot, asked_pivot ? " is" : ",")));
    claim_holds(ctx, "%.*s confirms %.*s, and %.*s does not cadence again%.*s",
                STR_ARG(say_cadence(ctx, &j->chords, j->cadence)), STR_ARG(say_key(ctx, j->goal)),
                STR_ARG(say_key(ctx, j->home)), STR_ARG(pivot));
}

/* Is it the chord that the sentence names? A symbol by its tones, a place by its position. */
static bool is_chord(struct claim_context *ctx, const struct chord_ref *ref, const struct moment *named,
                     const struct moment *m)
{
    if (ref->at_place)
        return ratio_le(m->onset, named->onset) && ratio_lt(named->onset, ratio_plus(m->onset, m->length));
    struct tone_bag a = bag_of_moment(ctx->arena, named), b = bag_of_moment(ctx->arena, m);
    struct tones_report r = tones_compare_all(ctx->arena, &b, &a);
    return r.fit == TONES_COMPLETE;
}

/* Chords that belong to one of the keys only do not lie on its wrong side. */
static bool lies_between(struct claim_context *ctx, const struct journey *j, uint32_t pivot)
{
    for (uint32_t i = 0; i <= j->cadence; i++) {
        bool home = moment_is_diatonic(ctx, &j->chords.items[i], j->home);
        bool goal = moment_is_diatonic(ctx, &j->chords.items[i], j->goal);
        if ((i < pivot && goal && !home) || (i > pivot && home && !goal))
            return false;
    }
    return true;
}

static void foreign_tones(struct claim_context *ctx, const struct moment *m, struct key key,
                          struct tone_bag *out)
{
    enum minor_form form = form_in_force(ctx);
    *out = bag_new(ctx->arena, m->n);
    for (uint32_t i = 0; i < m->n; i++)
        if (!key_has_tone(key, form, m->tones[i]))
            bag_add(out, m->tones[i]);
}

/* The chord is not diatonic in a key: says which tones are foreign. */
static void report_foreign(struct claim_context *ctx, struct str words, const struct moment *m,
                           struct key key)
{
    struct tone_bag foreign;
    foreign_tones(ctx, m, key, &foreign);
    claim_fails(ctx, "%.*s is not diatonic in %.*s: %.*s %s foreign to it", STR_ARG(words),
                STR_ARG(say_key(ctx, key)), STR_ARG(say_tones(ctx, foreign.t, foreign.n)),
                foreign.n > 1 ? "are" : "is");
}

static void check_through(struct claim_context *ctx, const struct match *m, struct journey *j)
{
    const struct chord_ref *ref = &m->chord[0];
    struct moment named;
    if (!chord_moment(ctx, ref, false, &named))
        return;
    const struct key *keys[] = {&j->home, &j->goal};
    for (int k = 0; k < 2; k++) {
        if (moment_is_diatonic(ctx, &named, *keys[k]))
            continue;
        report_foreign(ctx, ref->words, &named, *keys[k]);
        if (j->pivot < j->chords.n && j->chords.items[j->pivot].symbol)
            claim_instead(ctx, "%.*s moves from %.*s to %.*s through %.*s%.*s", STR_ARG(m->stream[0].words),
                          STR_ARG(say_key(ctx, j->home)), STR_ARG(say_key(ctx, j->goal)),
                          STR_ARG(say_harmony(ctx, j->chords.items[j->pivot].symbol)),
                          STR_ARG(tell_span(ctx, m)));
        return;
    }
    for (uint32_t i = 0; i <= j->cadence; i++) {
        if (!is_chord(ctx, ref, &named, &j->chords.items[i]) || !lies_between(ctx, j, i))
            continue;
        j->pivot = i;
        report_made(ctx, j, true);
        return;
    }
    claim_fails(
        ctx,
        "%.*s is diatonic in both keys, but does not lie between the last chord of %.*s and the first "
        "of %.*s",
        STR_ARG(ref->words), STR_ARG(say_key(ctx, j->home)), STR_ARG(say_key(ctx, j->goal)));
    if (j->pivot < j->chords.n && j->chords.items[j->pivot].symbol)
        claim_instead(ctx, "%.*s moves from %.*s to %.*s through %.*s%.*s", STR_ARG(m->stream[0].words),
                      STR_ARG(say_key(ctx, j->home)), STR_ARG(say_key(ctx, j->goal)),
                      STR_ARG(say_harmony(ctx, j->chords.items[j->pivot].symbol)),
                      STR_ARG(tell_span(ctx, m)));
}

static bool same_key(struct key a, struct key b)
{
    return tone_pc(a.tonic) == tone_pc(b.tonic) && a.minor == b.minor;
}

/* Chords and keys of a sentence; false after a verdict. `goal` is the index of the key gone to. */
static bool read_journey(struct claim_context *ctx, const struct match *m, int goal, struct journey *j)
{
    struct stream s = stream_harmony(&m->stream[0]);
    struct match without = *m;
    if (!stream_chords(ctx, m, &s, 3, &j->chords))
        return false;
    j->goal = m->key[goal];
    /* With one key in the sentence, home is the one stated in the passage. */
    bool both = m->n_keys > 1;
    if (!both)
        without.n_keys = 0;
    else
        without.key[0] = m->key[1 - goal];
    if (!key_of_claim(ctx, &without, j->chords.passage, j->chords.items[0].onset, &j->home))
        return false;
    if (j->home.minor || j->goal.minor)
        claim_convention(ctx, CONVENTION_MINOR);
    if (!same_key(j->home, j->goal))
        return true;
    claim_fails(ctx, "both keys are %.*s", STR_ARG(say_key(ctx, j->home)));
    return false;
}

static void check_move(struct claim_context *ctx, const struct match *m)
{
    struct journey j = {.is = CHANGE_MADE};
    if (!read_journey(ctx, m, m->n_keys - 1, &j))
        return;
    judge_journey(ctx, &j);
    if (j.is != CHANGE_MADE)
        report_journey(ctx, m, &j);
    else if (m->n_chords)
        check_through(ctx, m, &j);
    else
        report_made(ctx, &j, false);
}

static void check_tonicizes(struct claim_context *ctx, const struct match *m)
{
    struct journey j = {.is = CHANGE_MADE};
    if (!read_journey(ctx, m, 0, &j))
        return;
    struct str goal = say_key(ctx, j.goal), home = say_key(ctx, j.home);
    uint32_t applied = find_applied(ctx, &j.chords, j.home, j.goal);
    judge_journey(ctx, &j);
    if (j.is == CHANGE_MADE) {
        claim_fails(ctx, "more than that: %.*s confirms %.*s, and %.*s does not cadence again",
                    STR_ARG(say_cadence(ctx, &j.chords, j.cadence)), STR_ARG(goal), STR_ARG(home));
        claim_instead(ctx, "%.*s moves from %.*s to %.*s%.*s", STR_ARG(m->stream[0].words), STR_ARG(home),
                      STR_ARG(goal), STR_ARG(tell_span(ctx, m)));
        return;
    }
    if (applied == j.chords.n) {
        claim_fails(
            ctx,
            "no dominant or leading-tone chord of %.*s that is foreign to %.*s goes to the tonic of %.*s",
            STR_ARG(goal), STR_ARG(home), STR_ARG(goal));
        return;
    }
    if (j.is == CHANGE_HOME_UNKNOWN || j.is == CHANGE_NO_HOME) {
        claim_undecided(
            ctx,
            "%.*s is V to I in %.*s, but nothing before it shows %.*s: its tonic does not open, and no "
            "cadence with a chord of its own is there",
            STR_ARG(say_cadence(ctx, &j.chords, j.cadence)), STR_ARG(goal), STR_ARG(home));
        return;
    }
    claim_holds(ctx, "%.*s: %.*s is %.*s in %.*s and foreign to %.*s, which is not left",
                STR_ARG(say_cadence(ctx, &j.chords, applied)),
                STR_ARG(say_short(ctx, &j.chords.items[applied])),
                STR_ARG(say_numeral(ctx, &j.chords.items[applied], j.goal)), STR_ARG(goal), STR_ARG(home));
}

static void check_pivot(struct claim_context *ctx, const struct match *m)
{
    struct moment moment;
    const struct chord_ref *ref = &m->chord[0];
    if (!chord_moment(ctx, ref, false, &moment))
        return;
    if (m->key[0].minor || m->key[1].minor)
        claim_convention(ctx, CONVENTION_MINOR);
    for (int k = 0; k < 2; k++) {
        if (!moment_is_diatonic(ctx, &moment, m->key[k])) {
            report_foreign(ctx, ref->words, &moment, m->key[k]);
            return;
        }
    }
    claim_holds(ctx, "%.*s is %.*s in %.*s and %.*s in %.*s", STR_ARG(ref->words),
                STR_ARG(say_numeral(ctx, &moment, m->key[0])), STR_ARG(say_key(ctx, m->key[0])),
                STR_ARG(say_numeral(ctx, &moment, m->key[1])), STR_ARG(say_key(ctx, m->key[1])));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch (pattern) {
    case TONICIZES:
    case TONICIZES_IN:
        check_tonicizes(ctx, m);
        return;
    case IS_PIVOT:
        check_pivot(ctx, m);
        return;
    default:
        check_move(ctx, m);
        return;
    }
}

const struct claim_kind claim_kind_modulation = {
    .name = "modulation",
    .patterns = patterns,
    .meaning =
        "Whether the harmony leaves a key and a cadence confirms another, through a chord diatonic in both.",
    .page = claim_page_modulation,
    .check = check,
    .fails = DIAG_FAILS_modulation,
};
