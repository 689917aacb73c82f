/* chord_contains.c - tones, intervals and members that a chord has or lacks. */
#include "base/buf.h"
#include "claims/pages.h"
#include "claims/tones.h"

enum { HAS_TONES, HAS_INTERVAL, HAS_MEMBER, LACKS_MEMBER, LACKS_TONES, LACKS_INTERVAL, EVERY_INTERVAL };

#define MEMBERS "<root|second|third|fourth|fifth|sixth|seventh|ninth|eleventh|thirteenth>"
#define LACKS "<has no|contains no|lacks|is without|is missing>"

static const char *const patterns[] = {
    [HAS_TONES] = "CHORD contains|has|includes [both] TONES",
    [HAS_INTERVAL] = "CHORD contains|has|includes INTERVAL",
    [HAS_MEMBER] = "CHORD contains|has|includes [its] " MEMBERS,
    [LACKS_MEMBER] = "CHORD " LACKS " [its] " MEMBERS,
    [LACKS_TONES] = "CHORD " LACKS " TONES",
    [LACKS_INTERVAL] = "CHORD " LACKS " INTERVAL",
    [EVERY_INTERVAL] = "every|each chord|triad of|in STREAM contains|has|includes INTERVAL",
    NULL,
};

/* The words of MEMBERS and their steps above the root, octaves taken out. */
struct member {
    const char *word;
    int steps;
};
static const struct member members[] = {
    {"root", 0},  {"second", 1},  {"third", 2}, {"fourth", 3},   {"fifth", 4},
    {"sixth", 5}, {"seventh", 6}, {"ninth", 1}, {"eleventh", 3}, {"thirteenth", 5},
};

struct subject {
    struct str words;
    struct str what; /* "C4 E4 G4" */
    struct moment moment;
    struct tone_bag tones;
};

static bool read_subject(struct claim_context *ctx, const struct match *m, struct subject *out)
{
    out->words = m->chord[0].words;
    if (!chord_moment(ctx, &m->chord[0], false, &out->moment))
        return false;
    out->tones = bag_of_moment(ctx->arena, &out->moment);
    out->what = say_chord(ctx, &m->chord[0], &out->moment);
    return true;
}

/* Holds or fails by whether the chord has what is asked, and whether the sentence says that it does. The
 * evidence is the same for both. */
static void decide(struct claim_context *ctx, bool has, bool claimed, struct str evidence)
{
    if (has == claimed)
        claim_holds(ctx, "%.*s", STR_ARG(evidence));
    else
        claim_fails(ctx, "%.*s", STR_ARG(evidence));
}

static void point_at(struct claim_context *ctx, const struct subject *s, struct tone t)
{
    for (uint32_t i = 0; s->moment.notes && i < s->moment.n; i++)
        if (tone_eq(s->moment.tones[i], t))
            claim_place(ctx, s->moment.notes[i]->where, "%.*s",
                        STR_ARG(say_pitch(ctx, s->moment.pitches[i])));
}

/* ---- tones ----------------------------------------------------------------------------------------- */

/* Tones that sound as those missing do, spelled otherwise. */
static struct tone_bag twins_of(struct claim_context *ctx, const struct subject *s,
                                const struct tone_bag *missing)
{
    struct tone_bag twins = bag_new(ctx->arena, missing->n);
    for (uint32_t i = 0; i < missing->n; i++) {
        struct tone twin;
        if (bag_on(&s->tones, tone_pc(missing->t[i]), &twin))
            bag_add(&twins, twin);
    }
    return twins;
}

/* "Eb and C are in it", "D# is not in it" */
static struct str say_membership(struct claim_context *ctx, const struct tone_bag *b, bool in)
{
    return say_text(ctx, "%.*s %s %sin it", STR_ARG(say_tones(ctx, b->t, b->n)),
                    b->n > 1 ? "are" : "is", in ? "" : "not ");
}

/* What the chord does have of what was named, or whatever it has. */
static void offer_tones(struct claim_context *ctx, const struct subject *s, const struct tone_bag *present,
                        const struct tone_bag *missing, const struct tone_bag *twins)
{
    const struct tone_bag *true_tones = present->n ? present : twins;
    if (true_tones->n)
        claim_instead(ctx, "%.*s contains %.*s", STR_ARG(s->words),
                      STR_ARG(say_tones(ctx, true_tones->t, true_tones->n)));
    else
        claim_instead(ctx, "%.*s contains no %.*s", STR_ARG(s->words), STR_ARG(say_tone(ctx, missing->t[0])));
}

static void check_tones(struct claim_context *ctx, const struct match *m, bool claimed)
{
    struct subject s;
    if (!read_subject(ctx, m, &s))
        return;
    struct tone_bag missing = bag_new(ctx->arena, MATCH_TONES), present = bag_new(ctx->arena, MATCH_TONES);
    for (int i = 0; i < m->n_list; i++)
        bag_add(bag_has(&s.tones, m->list[i]) ? &present : &missing, m->list[i]);
    struct tone_bag twins = twins_of(ctx, &s, &missing);
    struct str parts[2], sound = STR("");
    uint32_t n = 0;
    if (present.n)
        parts[n++] = say_membership(ctx, &present, true);
    if (missing.n)
        parts[n++] = say_membership(ctx, &missing, false);
    if (twins.n)
        sound = say_text(ctx, ": it sounds the same; spelled it is %.*s",
                         STR_ARG(say_tones(ctx, twins.t, twins.n)));
    bool has = claimed ? missing.n == 0 : present.n > 0;
    decide(ctx, has, claimed,
           say_text(ctx, "%.*s is %.*s: %.*s%.*s", STR_ARG(s.words), STR_ARG(s.what),
                    STR_ARG(say_list(ctx, parts, n, "but")), STR_ARG(sound)));
    if (has == claimed)
        return;
    offer_tones(ctx, &s, &present, &missing, &twins);
    for (uint32_t i = 0; !claimed && i < present.n; i++)
        point_at(ctx, &s, present.t[i]);
}

/* ---- intervals ------------------------------------------------------------------------------------- */

struct found {
    bool spelled, sounding; /* the interval itself; one of the same sound */
    struct tone from, to;   /* of the first of the better kind */
    struct interval v;
};

/* Every tone against every other, both ways round, octaves taken out. */
static struct found find_interval(const struct subject *s, const struct interval_ref *want)
{
    struct found found = {0};
    struct interval_ref simple = *want;
    simple.v = interval_simple(want->v);
    for (uint32_t i = 0; i < s->tones.n; i++) {
        for (uint32_t k = 0; k < s->tones.n; k++) {
            bool same_sound = false;
            struct interval v = interval_between_tones(s->tones.t[i], s->tones.t[k]);
            bool fits = i != k && interval_ref_fits(&simple, 0, v, &same_sound);
            if (i == k || (!fits && (!same_sound || found.sounding)) || found.spelled)
                continue;
            found = (struct found){fits, !fits, s->tones.t[i], s->tones.t[k], v};
        }
    }
    return found;
}

/* "a minor third, a perfect fifth …": what the chord does have, in its tones' order. */
static struct str say_intervals(struct claim_context *ctx, const struct subject *s)
{
    enum { SHOWN = 6 };
    struct interval seen[SHOWN];
    struct str words[SHOWN];
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->tones.n; i++) {
        for (uint32_t k = i + 1; k < s->tones.n && n < SHOWN; k++) {
            struct interval v = interval_between_tones(s->tones.t[i], s->tones.t[k]);
            bool known = false;
            for (uint32_t j = 0; j < n; j++)
                known = known || interval_eq(seen[j], v);
            if (known)
                continue;
            seen[n] = v;
            words[n++] = say_interval(ctx, v);
        }
    }
    return say_list(ctx, words, n, "and");
}

/* Octaves and unisons are a matter of doubling: two notes on one tone. */
static void check_octave(struct claim_context *ctx, const struct subject *s, bool claimed)
{
    if (s->moment.source == MOMENT_SYMBOL) {
        claim_undecided(ctx, "%.*s needs a voicing: a symbol does not say which tones are doubled",
                        STR_ARG(s->words));
        return;
    }
    for (uint32_t i = 0; i < s->moment.n; i++) {
        for (uint32_t k = i + 1; k < s->moment.n; k++) {
            if (!tone_eq(s->moment.tones[i], s->moment.tones[k]) ||
                pitch_midi(s->moment.pitches[i]) == pitch_midi(s->moment.pitches[k]))
                continue;
            decide(ctx, true, claimed,
                   say_text(ctx, "%.*s is %.*s: %.*s and %.*s double %.*s", STR_ARG(s->words),
                            STR_ARG(s->what), STR_ARG(say_pitch(ctx, s->moment.pitches[i])),
                            STR_ARG(say_pitch(ctx, s->moment.pitches[k])),
                            STR_ARG(say_tone(ctx, s->moment.tones[i]))));
            return;
        }
    }
    decide(ctx, false, claimed,
           say_text(ctx, "%.*s is %.*s: no tone is doubled at the octave", STR_ARG(s->words),
                    STR_ARG(s->what)));
}

static void check_interval(struct claim_context *ctx, const struct match *m, bool claimed)
{
    const struct interval_ref *want = &m->interval[0];
    struct subject s;
    if (!read_subject(ctx, m, &s))
        return;
    if (want->v.half % 12 == 0 && want->v.steps % 7 == 0) {
        check_octave(ctx, &s, claimed);
        return;
    }
    struct found f = find_interval(&s, want);
    struct str from = say_tone(ctx, f.from), to = say_tone(ctx, f.to), what = s.what;
    struct str true_name = say_interval(ctx, f.v), evidence;
    if (f.spelled)
        evidence = say_text(ctx, "%.*s is %.*s: %.*s up to %.*s is %.*s%s", STR_ARG(s.words),
                            STR_ARG(what), STR_ARG(from), STR_ARG(to), STR_ARG(true_name),
                            want->v.steps > 7 || want->v.half > 12 ? ", octaves ignored" : "");
    else if (f.sounding)
        evidence = say_text(ctx,
                            "%.*s is %.*s: %.*s up to %.*s sounds the same as %.*s; spelled it is %.*s",
                            STR_ARG(s.words), STR_ARG(what), STR_ARG(from), STR_ARG(to),
                            STR_ARG(say_named(ctx, want)), STR_ARG(true_name));
    else
        evidence = say_text(ctx,
                            "%.*s is %.*s: from tone to tone there are %.*s (or the inversion), "
                            "never %.*s",
                            STR_ARG(s.words), STR_ARG(what), STR_ARG(say_intervals(ctx, &s)),
                            STR_ARG(say_named(ctx, want)));
    decide(ctx, f.spelled, claimed, evidence);
    if (f.spelled == claimed)
        return;
    if (f.spelled || f.sounding) {
        point_at(ctx, &s, f.from);
        point_at(ctx, &s, f.to);
    }
    if (!claimed || f.sounding)
        claim_instead(ctx, "%.*s contains %.*s", STR_ARG(s.words),
                      STR_ARG(f.sounding ? true_name : say_named(ctx, want)));
    else
        claim_instead(ctx, "%.*s does not contain %.*s", STR_ARG(s.words), STR_ARG(say_named(ctx, want)));
}

/* Every chord of a stream: the first that lacks the interval decides. */
static void check_every(struct claim_context *ctx, const struct match *m)
{
    enum { SHOWN = 4 };
    const struct interval_ref *want = &m->interval[0];
    struct stretch where;
    struct moments moments;
    struct buf shown = {0};
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 1, &moments))
        return;
    if (want->v.half % 12 == 0 && want->v.steps % 7 == 0) {
        claim_undecided(ctx, "octaves do not count inside a chord: name another interval");
        return;
    }
    for (uint32_t i = 0; i < moments.n; i++) {
        struct moment *moment = &moments.items[i];
        struct subject s = {.moment = *moment, .tones = bag_of_moment(ctx->arena, moment)};
        struct found f = find_interval(&s, want);
        struct str notes = say_moment(ctx, moment), from = say_tone(ctx, f.from), to = say_tone(ctx, f.to);
        struct str place = say_place(ctx, moments.passage, moment->onset);
        if (!f.spelled) {
            struct str sound = STR("");
            if (f.sounding)
                sound = str_printf(ctx->arena, "; %.*s up to %.*s sounds the same, spelled it is %.*s",
                                   STR_ARG(from), STR_ARG(to), STR_ARG(say_interval(ctx, f.v)));
            buf_free(&shown);
            claim_fails(ctx, "the chord at %.*s (%.*s) does not contain %.*s%.*s", STR_ARG(place),
                        STR_ARG(notes), STR_ARG(say_named(ctx, want)), STR_ARG(sound));
            claim_place(ctx, moment->where, "no such interval");
            return;
        }
        if (i < SHOWN)
            buf_printf(&shown, "%s%.*s up to %.*s at %.*s", i ? ", " : "", STR_ARG(from), STR_ARG(to),
                       STR_ARG(place));
    }
    if (moments.n > SHOWN)
        buf_put(&shown, " and so on");
    struct str list = buf_take(&shown, ctx->arena),
               count = say_count(ctx, (int64_t)moments.n, "chord", "chords");
    claim_holds(ctx, "%.*s, each with %.*s: %.*s", STR_ARG(count), STR_ARG(say_named(ctx, want)),
                STR_ARG(list));
}

/* ---- members: third, fifth … ----------------------------------------------------------------------- */

/* The root by the symbol that stands there, else by the notes; *how gets "C by the symbol C9", "D (D5)". */
static bool find_root(struct claim_context *ctx, const struct subject *s, struct tone *root, struct str *how)
{
    struct chord_match match;
    const struct harmony *symbol = s->moment.symbol;
    if (symbol && symbol->n_layers > 1) {
        claim_undecided(ctx, "%.*s is two chords at once, %.*s: name the one that is meant",
                        STR_ARG(s->words), STR_ARG(say_harmony(ctx, symbol)));
        return false;
    }
    if (symbol && symbol->n_layers == 1) {
        *root = symbol->layers[0].root;
        *how = say_text(ctx, "%.*s by the symbol %.*s", STR_ARG(say_tone(ctx, *root)),
                        STR_ARG(say_harmony(ctx, symbol)));
        return true;
    }
    if (!chord_reading(ctx, &s->tones, &match)) {
        claim_undecided(ctx,
                        "the notes %.*s make no chord of the library, so none of them is the root: name the "
                        "chord in the harmony row",
                        STR_ARG(s->what));
        return false;
    }
    struct str tone = say_tone(ctx, match.root), name = say_symbol(ctx, &match, s->tones.t[0]);
    *root = match.root;
    *how = str_eq(tone, name) ? tone : say_text(ctx, "%.*s (%.*s)", STR_ARG(tone), STR_ARG(name));
    return true;
}

/* A tone that sounds as the member usually does but is spelled as another: D# over C for a third. */
static struct str say_alike(struct claim_context *ctx, const struct subject *s, struct tone root,
                            const struct member *member)
{
    static const int usual[7][2] = {{0, 0}, {1, 2}, {3, 4}, {5, 5}, {7, 7}, {8, 9}, {10, 11}};
    for (uint32_t i = 0; i < s->tones.n; i++) {
        int half = (tone_pc(s->tones.t[i]) - tone_pc(root) + 12) % 12;
        if (half == usual[member->steps][0] || half == usual[member->steps][1])
            return say_text(ctx, "; %.*s sounds the same as a %s; spelled it is none",
                            STR_ARG(say_tone(ctx, s->tones.t[i])), member->word);
    }
    return STR("");
}

static void check_member(struct claim_context *ctx, const struct match *m, bool claimed)
{
    const struct member *member = &members[m->choice[claimed ? 0 : 1]];
    struct subject s;
    struct tone root;
    struct str how, evidence;
    if (!read_subject(ctx, m, &s) || !find_root(ctx, &s, &root, &how))
        return;
    struct tone_bag those = bag_new(ctx->arena, s.tones.n);
    for (uint32_t i = 0; i < s.tones.n; i++)
        if (interval_between_tones(root, s.tones.t[i]).steps == member->steps)
            bag_add(&those, s.tones.t[i]);
    bool has = those.n > 0;
    if (has)
        evidence = say_text(ctx, "%.*s is %.*s, root %.*s: %.*s %s its %s", STR_ARG(s.words),
                            STR_ARG(s.what), STR_ARG(how), STR_ARG(say_tones(ctx, those.t, those.n)),
                            those.n > 1 ? "are each" : "is", member->word);
    else
        evidence = say_text(ctx, "%.*s is %.*s, root %.*s: no tone is its %s%.*s", STR_ARG(s.words),
                            STR_ARG(s.what), STR_ARG(how), member->word,
                            STR_ARG(say_alike(ctx, &s, root, member)));
    decide(ctx, has, claimed, evidence);
    if (has == claimed)
        return;
    claim_instead(ctx, "%.*s has %s %s", STR_ARG(s.words), claimed ? "no" : "a", member->word);
    for (uint32_t i = 0; i < those.n; i++)
        point_at(ctx, &s, those.t[i]);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch (pattern) {
    case HAS_TONES:
    case LACKS_TONES:
        check_tones(ctx, m, pattern == HAS_TONES);
        return;
    case HAS_INTERVAL:
    case LACKS_INTERVAL:
        check_interval(ctx, m, pattern == HAS_INTERVAL);
        return;
    case EVERY_INTERVAL:
        check_every(ctx, m);
        return;
    default:
        check_member(ctx, m, pattern == HAS_MEMBER);
        return;
    }
}

const struct claim_kind claim_kind_chord_contains = {
    .name = "chord-contains",
    .patterns = patterns,
    .meaning = "Whether a chord has a tone, an interval between any two of its tones (octaves ignored), or a "
               "member such as "
               "its third.",
    .page = claim_page_chord_contains,
    .check = check,
    .fails = DIAG_FAILS_chord_contains,
};
