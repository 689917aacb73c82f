#include "claims/pages.h"
#include "claims/places.h"
#include "claims/tell.h"
#include "claims/tones.h"

#define TONES_OF "tones|tone|notes|note of"

enum pattern {
    AVOIDS,
    AVOIDS_TONES,
    AVOIDS_EVERY,
    USES_ONLY,
    USES_ONLY_CHORDS,
    USES_NO,
    NO_TONE_OF,
    EVERY_TONE_OF
};

static const char *const patterns[] = {
    [AVOIDS] = "STREAM avoids CHORD",
    [AVOIDS_TONES] = "STREAM avoids [all|every] " TONES_OF " CHORD",
    [AVOIDS_EVERY] = "STREAM avoids [all|every] [" TONES_OF "] every|each|all chord|chords of|in PASSAGE",
    [USES_ONLY] = "STREAM uses|has only " TONES_OF " CHORD",
    [USES_ONLY_CHORDS] = "STREAM uses|has only " TONES_OF " chords of|in PASSAGE",
    [USES_NO] = "STREAM uses|has no " TONES_OF " CHORD",
    [NO_TONE_OF] = "no " TONES_OF " STREAM belongs to CHORD",
    [EVERY_TONE_OF] = "every|each " TONES_OF " STREAM belongs to CHORD",
    NULL,
};

/* ---- what is looked at ----------------------------------------------------------------------------------
 */

/* One chord to hold the notes against. */
struct target {
    struct str words;
    pcset set;
    struct tone_bag tones; /* to spell what is shared as the chord spells it */
};

struct targets {
    struct target *items;
    uint32_t n;
};

/* The notes in question. */
struct subject {
    const struct stream *stream;
    struct line notes;
    const struct part *part; /* whose notes they are: they do not count as the chord's own */
};

static const struct part *stream_part(const struct stream *s)
{
    return s->part ? s->part : s->figure ? s->figure->part : NULL;
}

static bool subject_read(struct claim_context *ctx, const struct match *m, bool whole, struct subject *out)
{
    struct stretch where;
    struct match own = *m;
    own.span.given = m->span.given && !whole;
    *out = (struct subject){.stream = &m->stream[0], .part = stream_part(&m->stream[0])};
    return match_stretch(ctx, &own, out->stream, &where) &&
           stream_notes(ctx, out->stream, where, &out->notes);
}

/* What a moment holds without the notes of the subject's own part, which would belong to the chord by
 * sounding. False: nothing is left. */
static bool target_of_moment(struct claim_context *ctx, const struct moment *chord, const struct part *own,
                             struct str words, struct target *out)
{
    struct tone_bag bag = bag_new(ctx->arena, chord->n);
    for (uint32_t i = 0; i < chord->n; i++)
        if (!own || !chord->parts || chord->parts[i] != own)
            bag_add(&bag, chord->tones[i]);
    if (bag.n == 0 && chord->symbol)
        bag = bag_of_harmony(ctx->arena, chord->symbol);
    *out = (struct target){words, bag_set(&bag), bag};
    return bag.n > 0;
}

/* The one chord that the sentence names. */
static bool targets_one(struct claim_context *ctx, const struct match *m, const struct subject *subject,
                        struct targets *out)
{
    struct moment chord;
    if (!chord_moment(ctx, &m->chord[0], false, &chord))
        return false;
    out->items = ARENA_NEW(ctx->arena, struct target);
    out->n = 1;
    if (target_of_moment(ctx, &chord, subject->part, m->chord[0].words, out->items))
        return true;
    claim_undecided(ctx,
                    "at %.*s nothing sounds but %.*s itself: write the chord in `harmony` or in another part",
                    STR_ARG(m->chord[0].words), STR_ARG(subject->stream->words));
    return false;
}

static struct str moment_words(struct claim_context *ctx, const struct moment *chord, const struct passage *p)
{
    if (chord->symbol)
        return chord->symbol->text;
    return say_text(ctx, "the chord at %.*s", STR_ARG(say_place(ctx, p, chord->onset)));
}

/* Every chord of the passage's harmony, or of the SPAN of it; equal ones once. */
static bool targets_all(struct claim_context *ctx, const struct match *m, const struct subject *subject,
                        struct targets *out)
{
    struct stream harmony = m->stream[1];
    struct moments chords;
    struct stretch where;
    harmony.kind = STREAM_HARMONY;
    if (!match_stretch(ctx, m, &harmony, &where) || !stream_moments(ctx, &harmony, where, 1, &chords))
        return false;
    out->items = ARENA_NEW_ARRAY(ctx->arena, struct target, chords.n);
    for (uint32_t i = 0; i < chords.n; i++) {
        const struct moment *chord = &chords.items[i];
        struct target one;
        struct str words = moment_words(ctx, chord, chords.passage);
        if (!target_of_moment(ctx, chord, subject->part, words, &one))
            continue;
        bool known = false;
        for (uint32_t k = 0; k < out->n; k++)
            known = known || (out->items[k].set == one.set && str_eq(out->items[k].words, one.words));
        if (!known)
            out->items[out->n++] = one;
    }
    if (out->n == 0)
        claim_undecided(ctx, "no chord of %.*s has tones to avoid", STR_ARG(harmony.words));
    return out->n > 0;
}

/* ---- comparing --------------------------------------------------------------------------------------------
 */

/* The first note of the subject whose tone is in the set (or is not); notes.n: none. */
static uint32_t first_note(const struct subject *subject, pcset set, bool in)
{
    for (uint32_t i = 0; i < subject->notes.n; i++)
        if (((set & pcset_of(tone_pc(subject->notes.notes[i]->pitch.tone))) != 0) == in)
            return i;
    return subject->notes.n;
}

/* Different tones of the subject that are in the set (or are not), as it spells them. */
static struct tone_bag tones_against(struct claim_context *ctx, const struct subject *subject, pcset set,
                                     bool in)
{
    struct tone_bag bag = bag_new(ctx->arena, subject->notes.n);
    for (uint32_t i = 0; i < subject->notes.n; i++) {
        struct tone t = subject->notes.notes[i]->pitch.tone;
        if (((set & pcset_of(tone_pc(t))) != 0) == in)
            bag_add(&bag, t);
    }
    return bag;
}

static struct str note_words(struct claim_context *ctx, const struct subject *subject, uint32_t i)
{
    const struct note *n = subject->notes.notes[i];
    struct str pitch = say_pitch(ctx, n->pitch);
    if (!subject->notes.passage)
        return pitch;
    return say_text(ctx, "%.*s at %.*s", STR_ARG(pitch),
                    STR_ARG(say_place(ctx, subject->notes.passage, n->onset)));
}

/* "G, and D# (its Eb)": shared tones where the chord spells one otherwise say so. */
static struct str shared_words(struct claim_context *ctx, const struct tone_bag *shared,
                               const struct target *target)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, shared->n);
    for (uint32_t i = 0; i < shared->n; i++) {
        struct tone own = shared->t[i], theirs;
        words[i] = say_tone(ctx, own);
        if (bag_on(&target->tones, tone_pc(own), &theirs) && !tone_eq(own, theirs))
            words[i] =
                say_text(ctx, "%.*s (its %.*s)", STR_ARG(words[i]), STR_ARG(say_tone(ctx, theirs)));
    }
    return tell_list(ctx, words, shared->n);
}

static struct str bag_words(struct claim_context *ctx, const struct tone_bag *bag)
{
    return say_tones(ctx, bag->t, bag->n);
}

static struct str subject_words(struct claim_context *ctx, const struct subject *subject)
{
    struct tone_bag all = tones_against(ctx, subject, (pcset)0xfff, true);
    return bag_words(ctx, &all);
}

/* ---- verdicts
 * ------------------------------------------------------------------------------------------------ */

/* "C7: C, E, G and Bb; D over Eb: …" */
static struct str targets_words(struct claim_context *ctx, const struct targets *targets)
{
    enum { MOST = 4 };
    struct buf b = {0};
    for (uint32_t i = 0; i < targets->n && i < MOST; i++)
        buf_printf(&b, "%s%.*s has %.*s", i ? "; " : "", STR_ARG(targets->items[i].words),
                   STR_ARG(bag_words(ctx, &targets->items[i].tones)));
    if (targets->n > MOST)
        buf_printf(&b, "; and %u more chords", targets->n - MOST);
    return buf_take(&b, ctx->arena);
}

/* A chord of several that the notes do avoid. */
static void suggest_avoided(struct claim_context *ctx, const struct subject *subject,
                            const struct targets *targets)
{
    for (uint32_t i = 0; i < targets->n; i++) {
        if (first_note(subject, targets->items[i].set, true) < subject->notes.n)
            continue;
        claim_instead(ctx, "%.*s %.*s the tones of %.*s", STR_ARG(subject->stream->words),
                      STR_ARG(tell_verb(ctx, subject->stream, "avoid")), STR_ARG(targets->items[i].words));
        return;
    }
    if (targets->n == 1 && first_note(subject, targets->items[0].set, false) == subject->notes.n)
        claim_instead(ctx, "%.*s %.*s only tones of %.*s", STR_ARG(subject->stream->words),
                      STR_ARG(tell_verb(ctx, subject->stream, "use")), STR_ARG(targets->items[0].words));
}

static void check_avoids(struct claim_context *ctx, const struct subject *subject,
                         const struct targets *targets)
{
    for (uint32_t i = 0; i < targets->n; i++) {
        const struct target *t = &targets->items[i];
        uint32_t k = first_note(subject, t->set, true);
        if (k == subject->notes.n)
            continue;
        struct tone_bag shared = tones_against(ctx, subject, t->set, true);
        claim_place(ctx, subject->notes.notes[k]->where, "a tone of %.*s", STR_ARG(t->words));
        claim_fails(ctx, "%.*s belongs to %.*s; shared: %.*s", STR_ARG(note_words(ctx, subject, k)),
                    STR_ARG(t->words), STR_ARG(shared_words(ctx, &shared, t)));
        suggest_avoided(ctx, subject, targets);
        return;
    }
    claim_holds(ctx, "%.*s uses %.*s; %.*s: no tone in common", STR_ARG(subject->stream->words),
                STR_ARG(subject_words(ctx, subject)), STR_ARG(targets_words(ctx, targets)));
}

static void check_uses_only(struct claim_context *ctx, const struct subject *subject,
                            const struct targets *targets)
{
    pcset set = 0;
    for (uint32_t i = 0; i < targets->n; i++)
        set = (pcset)(set | targets->items[i].set);
    uint32_t k = first_note(subject, set, false);
    const char *more = targets->n > 1 ? "none of the chords" : "it";
    if (k == subject->notes.n) {
        claim_holds(ctx, "%.*s uses %.*s; %.*s", STR_ARG(subject->stream->words),
                    STR_ARG(subject_words(ctx, subject)), STR_ARG(targets_words(ctx, targets)));
        return;
    }
    struct tone_bag foreign = tones_against(ctx, subject, set, false);
    struct str note = note_words(ctx, subject, k);
    claim_place(ctx, subject->notes.notes[k]->where, "foreign");
    claim_fails(ctx, "%.*s does not belong: %.*s; foreign to %s: %.*s", STR_ARG(note),
                STR_ARG(targets_words(ctx, targets)), more, STR_ARG(bag_words(ctx, &foreign)));
    if (targets->n == 1 && first_note(subject, set, true) == subject->notes.n)
        claim_instead(ctx, "%.*s %.*s the tones of %.*s", STR_ARG(subject->stream->words),
                      STR_ARG(tell_verb(ctx, subject->stream, "avoid")), STR_ARG(targets->items[0].words));
}

/* ---- sentences
 * ------------------------------------------------------------------------------------------------ */

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    enum pattern which = (enum pattern)pattern;
    bool every = which == AVOIDS_EVERY || which == USES_ONLY_CHORDS;
    struct subject subject;
    struct targets targets = {NULL, 0};
    /* A SPAN picks the chords where the sentence names many, and the notes where it names one chord. */
    if (!subject_read(ctx, m, every && m->stream[0].kind == STREAM_FIGURE, &subject))
        return;
    if (every ? !targets_all(ctx, m, &subject, &targets) : !targets_one(ctx, m, &subject, &targets))
        return;
    switch (which) {
    case AVOIDS:
    case AVOIDS_TONES:
    case AVOIDS_EVERY:
    case USES_NO:
    case NO_TONE_OF:
        check_avoids(ctx, &subject, &targets);
        return;
    case USES_ONLY:
    case USES_ONLY_CHORDS:
    case EVERY_TONE_OF:
        check_uses_only(ctx, &subject, &targets);
        return;
    }
}

const struct claim_kind claim_kind_avoids = {
    .name = "avoids",
    .patterns = patterns,
    .meaning = "whether tones of a line belong to a chord, or to any chord of a passage, by sound",
    .page = claim_page_avoids,
    .check = check,
    .fails = DIAG_FAILS_avoids,
};
