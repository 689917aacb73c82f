/* collection.c - whether all tones come from a scale or collection. */
#include "claims/pages.h"
#include "claims/tell.h"
#include "claims/tones.h"

#define VERBS "<lies in|lies within|stays in|fits into|fits|belongs to|draws on|comes from>"

enum { STREAM_LIES, CHORD_LIES, EVERY_NOTE, CONTAINS_STREAM, CONTAINS_CHORD, USES_ONLY, STREAM_IS, USES_ALL };

static const char *const patterns[] = {
    [STREAM_LIES] = "STREAM " VERBS " SCALE",
    [CHORD_LIES] = "CHORD " VERBS " SCALE",
    [EVERY_NOTE] = "[all|every] note|tone of STREAM " VERBS " SCALE",
    [CONTAINS_STREAM] = "SCALE contains STREAM",
    [CONTAINS_CHORD] = "SCALE contains CHORD",
    [USES_ONLY] = "STREAM uses only [<notes of|tones of>] SCALE",
    [STREAM_IS] = "STREAM is SCALE",
    [USES_ALL] = "STREAM uses <all of|every tone of|every note of|all tones of|all notes of> SCALE",
    NULL,
};

/* A scale on a tonic. */
struct placed {
    const struct scale *scale;
    struct tone tonic;
};

static pcset placed_set(struct placed p)
{
    return scale_set(p.scale, tone_pc(p.tonic));
}

static bool has_all(struct placed p, pcset set)
{
    return !(set & ~placed_set(p));
}

/* The usual name of a tonic: that of the major key on it. */
static struct tone plain_tonic(int pc)
{
    return key_of_index(pc).tonic;
}

/* "D dorian", "octatonic on C": symmetric collections and small ones have no tonic to lead the name. */
static struct str say_placed(struct claim_context *ctx, struct placed p)
{
    struct str tonic = say_tone(ctx, p.tonic);
    if (scale_transpositions(p.scale) < 12)
        return say_text(ctx, "%.*s on %.*s", STR_ARG(p.scale->name), STR_ARG(tonic));
    return say_text(ctx, "%.*s %.*s", STR_ARG(tonic), STR_ARG(p.scale->name));
}

static struct str say_scale_tones(struct claim_context *ctx, struct placed p)
{
    struct tone tones[SCALE_TONES_MAX];
    uint32_t n = scale_spell(p.scale, p.tonic, tones);
    return say_tones(ctx, tones, n);
}

/* ---- other collections that fit -------------------------------------------------------------------- */

/* Larger collections fit almost anything, so that naming them tells nothing. */
enum { OTHERS_MAX = 3, LARGEST_OFFERED = 8 };

struct others {
    struct placed items[OTHERS_MAX];
    uint32_t n;
};

/* Not the claimed one, and none that only adds tones to one that is listed. */
static void others_add(struct others *o, struct placed p, pcset set, const struct placed *without)
{
    if (o->n == OTHERS_MAX || p.scale->n_degrees > LARGEST_OFFERED || !has_all(p, set))
        return;
    if (without && placed_set(*without) == placed_set(p))
        return;
    for (uint32_t i = 0; i < o->n; i++)
        if (has_all(p, placed_set(o->items[i])))
            return;
    o->items[o->n++] = p;
}

static void add_other_scales(const struct claim_context *ctx, struct others *o, pcset set,
                             const struct placed *claimed)
{
    const struct theory_library *lib = ctx->model->library;
    for (uint32_t i = 0; i < lib->n_scales; i++)
        others_add(o, (struct placed){&lib->scales[i], claimed->tonic}, set, claimed);
}

static void add_other_tonics(struct others *o, pcset set, const struct placed *claimed)
{
    for (int pc = 0; pc < 12; pc++)
        others_add(o, (struct placed){claimed->scale, plain_tonic(pc)}, set, claimed);
}

/* What is nearest to the claim first: a symmetric collection has few transpositions, so another of them; else
 * another scale on the same tonic. Then the library in its order, which begins with the common ones. */
static struct others find_others(const struct claim_context *ctx, pcset set, const struct placed *claimed)
{
    const struct theory_library *lib = ctx->model->library;
    struct others o = {.n = 0};
    if (claimed && scale_transpositions(claimed->scale) < 12)
        add_other_tonics(&o, set, claimed);
    if (claimed)
        add_other_scales(ctx, &o, set, claimed);
    for (uint32_t i = 0; i < lib->n_scales; i++)
        for (int pc = 0; pc < 12; pc++)
            others_add(&o, (struct placed){&lib->scales[i], plain_tonic(pc)}, set, claimed);
    return o;
}

static struct str say_others(struct claim_context *ctx, const struct others *o)
{
    struct str words[OTHERS_MAX];
    for (uint32_t i = 0; i < o->n; i++)
        words[i] = say_placed(ctx, o->items[i]);
    return say_list(ctx, words, o->n, "and");
}

/* ---- the verdict
 * ------------------------------------------------------------------------------------------------- */

static struct str say_source(struct claim_context *ctx, const struct tone_source *s)
{
    return say_text(ctx, "%.*s%.*s", STR_ARG(say_tones(ctx, s->bag.t, s->bag.n)),
                    STR_ARG(source_basis(ctx, s)));
}

/* "F# (bar 2 beat 1) and C (bar 3)" */
static struct str say_foreign(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, s->n);
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->n; i++) {
        const struct tone_place *t = &s->items[i];
        if (placed_set(p) & pcset_of(tone_pc(t->tone)))
            continue;
        words[n++] = t->words.n ? say_text(ctx, "%.*s (%.*s)", STR_ARG(say_tone(ctx, t->tone)),
                                           STR_ARG(t->words))
                                : say_tone(ctx, t->tone);
        if (t->words.n)
            claim_place(ctx, t->where, "%.*s", STR_ARG(say_tone(ctx, t->tone)));
    }
    struct str list = say_list(ctx, words, n, "and");
    return say_text(ctx, "%.*s %s foreign", STR_ARG(list), n > 1 ? "are" : "is");
}

/* Tones of the scale that do not sound. */
static struct tone_bag unused_tones(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    struct tone tones[SCALE_TONES_MAX];
    uint32_t n = scale_spell(p.scale, p.tonic, tones);
    struct tone_bag unused = bag_new(ctx->arena, n);
    for (uint32_t i = 0; i < n; i++)
        if (!(s->set & pcset_of(tone_pc(tones[i]))))
            bag_add(&unused, tones[i]);
    return unused;
}

static void offer(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    /* `C major` alone would be read as the key. */
    bool key = str_is(p.scale->name, "major") || str_is(p.scale->name, "minor");
    struct str lies = tell_verb(ctx, &(struct stream){.words = s->words}, "lie");
    claim_instead(ctx, "%.*s %.*s in %s%.*s%s%.*s", STR_ARG(s->words), STR_ARG(lies), key ? "the " : "",
                  STR_ARG(say_placed(ctx, p)), key ? " scale" : "", STR_ARG(s->span));
}

static void report_foreign(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    struct others o = find_others(ctx, s->set, &p);
    struct str foreign = say_foreign(ctx, s, p);
    struct str fits = o.n ? say_text(ctx, "%.*s would fit", STR_ARG(say_others(ctx, &o)))
                          : STR("no collection of the library holds all its tones");
    claim_fails(ctx, "%.*s to %.*s (%.*s) in %.*s; %.*s", STR_ARG(foreign), STR_ARG(say_placed(ctx, p)),
                STR_ARG(say_scale_tones(ctx, p)), STR_ARG(source_name(s)), STR_ARG(fits));
    if (o.n)
        offer(ctx, s, o.items[0]);
}

static void report_fit(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    if (claim_holds_mute(ctx))
        return;
    struct tone_bag unused = unused_tones(ctx, s, p);
    struct others o = find_others(ctx, s->set, &p);
    struct str rest = unused.n ? say_text(ctx, "; %.*s %s not sound",
                                          STR_ARG(say_tones(ctx, unused.t, unused.n)),
                                          unused.n > 1 ? "do" : "does")
                               : STR("; every tone of it sounds");
    struct str also = unused.n && o.n ? say_text(ctx, ", so that %.*s would fit as well",
                                                 STR_ARG(say_others(ctx, &o)))
                                      : STR("");
    claim_holds(ctx, "%.*s of %.*s all belong to %.*s (%.*s)%.*s%.*s", STR_ARG(say_source(ctx, s)),
                STR_ARG(source_name(s)), STR_ARG(say_placed(ctx, p)), STR_ARG(say_scale_tones(ctx, p)),
                STR_ARG(rest), STR_ARG(also));
}

static void check_use_of_all(struct claim_context *ctx, const struct tone_source *s, struct placed p)
{
    struct tone_bag unused = unused_tones(ctx, s, p);
    if (!has_all(p, s->set)) {
        report_foreign(ctx, s, p);
    } else if (unused.n) {
        claim_fails(ctx, "%.*s never sounds %.*s of %.*s (%.*s); what sounds is %.*s", STR_ARG(s->words),
                    STR_ARG(say_tones(ctx, unused.t, unused.n)), STR_ARG(say_placed(ctx, p)),
                    STR_ARG(say_scale_tones(ctx, p)), STR_ARG(say_source(ctx, s)));
        offer(ctx, s, p);
    } else {
        report_fit(ctx, s, p);
    }
}

/* ---- without a tonic
 * ------------------------------------------------------------------------------------------------ */

/* A symmetric collection has several tones it may be counted from: the first that sounds, if one does. */
static struct tone sounding_tonic(const struct tone_source *s, int pc, int transpositions)
{
    for (uint32_t i = 0; i < s->n; i++)
        if (tone_pc(s->bag.t[i]) % transpositions == pc)
            return s->bag.t[i];
    return plain_tonic(pc);
}

/* Every transposition is tried: `a whole-tone collection` is either of the two. */
static void check_any_tonic(struct claim_context *ctx, const struct tone_source *s, const struct scale *scale,
                            bool all)
{
    enum { SHOWN = 4 };
    struct str words[SHOWN + 1];
    int transpositions = scale_transpositions(scale), fitting = 0;
    uint32_t shown = 0;
    for (int pc = 0; pc < transpositions; pc++) {
        struct placed p = {scale, sounding_tonic(s, pc, transpositions)};
        if (!has_all(p, s->set) || (all && placed_set(p) != s->set))
            continue;
        if (shown < SHOWN)
            words[shown++] = say_text(ctx, "%.*s (%.*s)", STR_ARG(say_placed(ctx, p)),
                                      STR_ARG(say_scale_tones(ctx, p)));
        fitting++;
    }
    if (fitting > SHOWN)
        words[shown++] = say_count(ctx, fitting - SHOWN, "more", "more");
    if (fitting) {
        claim_holds(ctx, "%.*s of %.*s all belong to %.*s", STR_ARG(say_source(ctx, s)),
                    STR_ARG(source_name(s)), STR_ARG(say_list(ctx, words, shown, "and to")));
        return;
    }
    struct others o = find_others(ctx, s->set, NULL);
    struct str fits = o.n ? say_text(ctx, "%.*s would fit", STR_ARG(say_others(ctx, &o)))
                          : STR("no collection of the library holds all its tones");
    claim_fails(ctx, "%.*s of %.*s %s none of the %d transpositions of %.*s; %.*s",
                STR_ARG(say_source(ctx, s)), STR_ARG(source_name(s)), all ? "are" : "fit", transpositions,
                STR_ARG(scale->name), STR_ARG(fits));
    if (o.n && !all)
        offer(ctx, s, o.items[0]);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct tone_source s;
    bool chord = pattern == CHORD_LIES || pattern == CONTAINS_CHORD;
    if (!(chord ? source_of_chords(ctx, m->chord, 1, &s) : source_of_stream(ctx, m, &m->stream[0], &s)))
        return;
    if (!m->scale_has_tonic[0]) {
        check_any_tonic(ctx, &s, m->scale[0], pattern == USES_ALL);
        return;
    }
    struct placed p = {m->scale[0], m->scale_tonic[0]};
    if (pattern == USES_ALL)
        check_use_of_all(ctx, &s, p);
    else if (has_all(p, s.set))
        report_fit(ctx, &s, p);
    else
        report_foreign(ctx, &s, p);
}

const struct claim_kind claim_kind_collection = {
    .name = "collection",
    .patterns = patterns,
    .meaning = "Whether every tone belongs, by sound, to a scale or collection; without a tonic, to any "
               "transposition of it.",
    .page = claim_page_collection,
    .check = check,
    .fails = DIAG_FAILS_collection,
};
