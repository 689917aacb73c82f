/* chord_quality.c - whether a chord is of a quality, on whatever root. */
#include "claims/pages.h"
#include "claims/tones.h"

enum { IS, IS_MODE, EVERY_CHORD, EVERY_MODE };

#define MODES "<major|minor|diminished|augmented>"

static const char *const patterns[] = {
    [IS] = "CHORD is|forms|makes QUALITY [chord]",
    [IS_MODE] = "CHORD is " MODES,
    [EVERY_CHORD] = "every|each chord|triad of|in STREAM is QUALITY [chord]",
    [EVERY_MODE] = "every|each chord|triad of|in STREAM is " MODES,
    NULL,
};

/* How near the tones come to the quality, on the root that comes nearest. */
struct nearness {
    struct tone root;
    struct tones_report report;
};

static bool is_nearer(const struct tones_report *a, const struct tones_report *b)
{
    if (a->fit != b->fit)
        return a->fit < b->fit;
    return a->missing.n + a->foreign.n < b->missing.n + b->foreign.n;
}

static struct nearness nearest_root(struct claim_context *ctx, const struct tone_bag *have,
                                    const struct chord_quality *q)
{
    struct nearness best = {.report = {.fit = TONES_DIFFER}};
    for (uint32_t i = 0; i < have->n; i++) {
        struct tone_bag want = bag_of_quality(ctx->arena, have->t[i], q);
        struct tones_report r = tones_compare(ctx->arena, have, &want, have->t[i]);
        if (i == 0 || is_nearer(&r, &best.report))
            best = (struct nearness){have->t[i], r};
    }
    return best;
}

/* "a dominant seventh", "an added ninth" */
static struct str say_quality(struct claim_context *ctx, const struct chord_quality *q)
{
    bool vowel = q->name.n && strchr("aeio", q->name.p[0]) != NULL;
    return say_text(ctx, "%s %.*s", vowel ? "an" : "a", STR_ARG(q->name));
}

/* "C, E, G and Bb are a dominant seventh on C (C7)" or that they make none: then how near they come, to the
 * quality in question before any other. */
static struct str say_truth(struct claim_context *ctx, const struct tone_bag *have,
                            const struct chord_quality *q, const struct nearness *near)
{
    struct chord_match match;
    if (!chord_reading(ctx, have, &match)) {
        if (near->report.missing.n == 0 && near->report.foreign.n == 1) {
            match = (struct chord_match){.root = near->root, .quality = q};
            return str_printf(ctx->arena, "it is %.*s with %.*s added",
                              STR_ARG(say_symbol(ctx, &match, near->root)),
                              STR_ARG(say_tone(ctx, near->report.foreign.t[0])));
        }
        struct str nearest = say_nearest_chord(ctx, have);
        return nearest.n ? say_text(ctx, "the nearest chord is %.*s", STR_ARG(nearest))
                         : STR("its tones make no chord of the library");
    }
    return say_text(ctx, "it %s %.*s on %.*s (%.*s)", match.spelled ? "is" : "sounds like",
                    STR_ARG(say_quality(ctx, match.quality)), STR_ARG(say_tone(ctx, match.root)),
                    STR_ARG(say_symbol(ctx, &match, have->t[0])));
}

/* "; on C, F would have to be E" */
static struct str say_way_out(struct claim_context *ctx, const struct nearness *near)
{
    const struct tones_report *r = &near->report;
    if (r->missing.n != 1 || r->foreign.n > 1)
        return STR("");
    struct str root = say_tone(ctx, near->root), missing = say_tone(ctx, r->missing.t[0]);
    if (!r->foreign.n)
        return say_text(ctx, "; on %.*s it would need %.*s as well", STR_ARG(root),
                        STR_ARG(missing));
    return say_text(ctx, "; on %.*s, %.*s would have to be %.*s", STR_ARG(root),
                    STR_ARG(say_tone(ctx, r->foreign.t[0])), STR_ARG(missing));
}

static void report_difference(struct claim_context *ctx, struct str words, struct str what,
                              const struct tone_bag *have, const struct chord_quality *q,
                              const struct nearness *near)
{
    struct str quality = say_quality(ctx, q);
    if (near->report.fit == TONES_RESPELLED) {
        struct tone_bag want = bag_of_quality(ctx->arena, near->root, q);
        claim_fails(ctx, "%.*s (%.*s) sounds the same as %.*s; spelled it is not: on %.*s that is %.*s",
                    STR_ARG(words), STR_ARG(what), STR_ARG(quality), STR_ARG(say_tone(ctx, near->root)),
                    STR_ARG(say_tones(ctx, want.t, want.n)));
        return;
    }
    claim_fails(ctx, "%.*s (%.*s) is not %.*s: %.*s%.*s", STR_ARG(words), STR_ARG(what), STR_ARG(quality),
                STR_ARG(say_truth(ctx, have, q, near)), STR_ARG(say_way_out(ctx, near)));
}

/* What stands at fault, where the notes are known. */
static void point_at_foreign(struct claim_context *ctx, const struct moment *moment,
                             const struct nearness *near)
{
    if (!moment->notes || near->report.foreign.n > 2)
        return;
    for (uint32_t i = 0; i < moment->n; i++)
        if (bag_has(&near->report.foreign, moment->tones[i]))
            claim_place(ctx, moment->notes[i]->where, "%.*s", STR_ARG(say_pitch(ctx, moment->pitches[i])));
}

static bool fits(const struct nearness *near)
{
    return near->report.fit == TONES_COMPLETE || near->report.fit == TONES_SHORT;
}

static void check_one(struct claim_context *ctx, const struct match *m, const struct chord_quality *q)
{
    struct str words = m->chord[0].words;
    struct moment moment;
    struct chord_match match;
    if (!chord_moment(ctx, &m->chord[0], false, &moment))
        return;
    struct tone_bag have = bag_of_moment(ctx->arena, &moment);
    struct nearness near = nearest_root(ctx, &have, q);
    if (fits(&near)) {
        struct str left_out = near.report.fit == TONES_COMPLETE
                                  ? STR("")
                                  : say_text(ctx, ", its %.*s left out",
                                             STR_ARG(say_tones(ctx, near.report.missing.t,
                                                               near.report.missing.n)));
        claim_holds(ctx, "%.*s: %.*s on %.*s%.*s", STR_ARG(say_moment(ctx, &moment)),
                    STR_ARG(say_quality(ctx, q)), STR_ARG(say_tone(ctx, near.root)), STR_ARG(left_out));
        return;
    }
    report_difference(ctx, words, say_chord(ctx, &m->chord[0], &moment), &have, q, &near);
    point_at_foreign(ctx, &moment, &near);
    if (chord_reading(ctx, &have, &match) && match.spelled)
        claim_instead(ctx, "%.*s is %.*s", STR_ARG(words), STR_ARG(say_quality(ctx, match.quality)));
}

static void check_every(struct claim_context *ctx, const struct match *m, const struct chord_quality *q)
{
    struct stretch where;
    struct moments moments;
    struct tone_bag roots;
    if (!match_stretch(ctx, m, &m->stream[0], &where) ||
        !stream_moments(ctx, &m->stream[0], where, 1, &moments))
        return;
    roots = bag_new(ctx->arena, moments.n);
    for (uint32_t i = 0; i < moments.n; i++) {
        struct moment *moment = &moments.items[i];
        struct tone_bag have = bag_of_moment(ctx->arena, moment);
        struct nearness near = nearest_root(ctx, &have, q);
        if (!fits(&near)) {
            struct str words = say_text(ctx, "the chord at %.*s",
                                        STR_ARG(say_place(ctx, moments.passage, moment->onset)));
            report_difference(ctx, words, say_moment(ctx, moment), &have, q, &near);
            claim_place(ctx, moment->where, "%.*s", STR_ARG(say_truth(ctx, &have, q, &near)));
            return;
        }
        bag_add(&roots, near.root);
    }
    claim_holds(ctx, "%.*s, each %.*s: on %.*s",
                STR_ARG(say_count(ctx, (int64_t)moments.n, "chord", "chords")), STR_ARG(say_quality(ctx, q)),
                STR_ARG(say_tones(ctx, roots.t, roots.n)));
}

/* `is minor` is short for the triad, whatever the library calls it else; NULL: the library has no such name.
 */
static const struct chord_quality *mode_quality(const struct claim_context *ctx, int choice)
{
    static const char *const names[] = {"major triad", "minor triad", "diminished triad", "augmented triad"};
    const struct theory_library *lib = ctx->model->library;
    for (uint32_t i = 0; i < lib->n_qualities; i++)
        for (uint32_t k = 0; k < lib->qualities[i].n_names; k++)
            if (str_is(lib->qualities[i].names[k], names[choice]))
                return &lib->qualities[i];
    return NULL;
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    bool mode = pattern == IS_MODE || pattern == EVERY_MODE;
    const struct chord_quality *q = mode ? mode_quality(ctx, m->choice[0]) : m->quality[0];
    if (!q)
        claim_undecided(ctx, "the library defines no triad of that name");
    else if (pattern == EVERY_CHORD || pattern == EVERY_MODE)
        check_every(ctx, m, q);
    else
        check_one(ctx, m, q);
}

const struct claim_kind claim_kind_chord_quality = {
    .name = "chord-quality",
    .patterns = patterns,
    .meaning = "Whether the tones of a chord are those of a quality of the library, on any of them as root, "
               "as spelled.",
    .page = claim_page_chord_quality,
    .check = check,
    .fails = DIAG_FAILS_chord_quality,
};
