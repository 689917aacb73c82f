/* key_contains.c - which major and minor keys contain what sounds. */
#include "claims/pages.h"
#include "claims/tones.h"

#define MODES "<major or minor|minor or major|major|minor>"
#define VERBS "<lies in|lies within|stays in|fits into|fits|belongs to>"

enum ask { ASK_NONE, ASK_ONLY, ASK_CONTAINS };
enum subject { SUBJECT_STREAM, SUBJECT_CHORDS };

/* pattern, what is asked, of what, and which <…> of it names the modes (-1: none) */
#define FORMS(X)                                                                                             \
    X("no [" MODES "] key contains STREAM", ASK_NONE, SUBJECT_STREAM, 0)                                     \
    X("no [" MODES "] key contains CHORD", ASK_NONE, SUBJECT_CHORDS, 0)                                      \
    X("no [" MODES "] key contains [both] CHORD and CHORD", ASK_NONE, SUBJECT_CHORDS, 0)                     \
    X("only KEY contains STREAM", ASK_ONLY, SUBJECT_STREAM, -1)                                              \
    X("only KEY contains CHORD", ASK_ONLY, SUBJECT_CHORDS, -1)                                               \
    X("only KEY contains [both] CHORD and CHORD", ASK_ONLY, SUBJECT_CHORDS, -1)                              \
    X("KEY is only [" MODES "] key that contains STREAM", ASK_ONLY, SUBJECT_STREAM, 0)                       \
    X("KEY contains STREAM", ASK_CONTAINS, SUBJECT_STREAM, -1)                                               \
    X("KEY contains CHORD", ASK_CONTAINS, SUBJECT_CHORDS, -1)                                                \
    X("KEY contains [both] CHORD and CHORD", ASK_CONTAINS, SUBJECT_CHORDS, -1)                               \
    X("STREAM " VERBS " KEY", ASK_CONTAINS, SUBJECT_STREAM, -1)                                              \
    X("[all|every] note|tone of STREAM " VERBS " KEY", ASK_CONTAINS, SUBJECT_STREAM, -1)                     \
    X("no [" MODES "] key contains [all of] CHORD CHORD and CHORD", ASK_NONE, SUBJECT_CHORDS, 0)             \
    X("only KEY contains [all of] CHORD CHORD and CHORD", ASK_ONLY, SUBJECT_CHORDS, -1)                      \
    X("KEY contains [all of] CHORD CHORD and CHORD", ASK_CONTAINS, SUBJECT_CHORDS, -1)                       \
    X("CHORD " VERBS " KEY", ASK_CONTAINS, SUBJECT_CHORDS, -1)                                               \
    X("STREAM " VERBS " no [" MODES "] key", ASK_NONE, SUBJECT_STREAM, 1)

#define FORM_PATTERN(pattern, ask, subject, modes) pattern,
static const char *const patterns[] = {FORMS(FORM_PATTERN) NULL};
#undef FORM_PATTERN

struct form {
    enum ask ask;
    enum subject subject;
    int mode_choice;
};
#define FORM_ROW(pattern, ask, subject, modes) {ask, subject, modes},
static const struct form forms[] = {FORMS(FORM_ROW)};
#undef FORM_ROW

enum { N_KEYS = 24, N_FORMS_OF_MINOR = 4 };

/* Which keys are looked at. */
struct modes {
    bool major, minor;
};

static struct modes modes_of(const struct match *m, const struct form *form)
{
    enum { MAJOR_ALONE = 2, MINOR_ALONE = 3 };
    int choice = form->mode_choice >= 0 ? m->choice[form->mode_choice] : -1;
    return (struct modes){choice != MINOR_ALONE, choice != MAJOR_ALONE};
}

static struct str say_modes(struct modes modes)
{
    return modes.major && modes.minor ? STR("major or minor key")
           : modes.major              ? STR("major key")
                                      : STR("minor key");
}

static bool is_looked_at(struct modes modes, struct key k)
{
    return k.minor ? modes.minor : modes.major;
}

static bool same_key(struct key a, struct key b)
{
    return tone_pc(a.tonic) == tone_pc(b.tonic) && a.minor == b.minor;
}

static struct str say_key(struct claim_context *ctx, struct key k)
{
    char text[PITCH_TEXT_MAX];
    return say_text(ctx, "%s", key_text(k, SIGN_ASCII, text));
}

static enum minor_form form_in_force(const struct claim_context *ctx)
{
    return (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
}

/* ---- the answer ------------------------------------------------------------------------------------------
 */

static bool answer(enum ask ask, struct modes modes, struct key key, enum minor_form form, pcset set)
{
    bool others = false;
    for (int i = 0; i < N_KEYS; i++) {
        struct key k = key_of_index(i);
        if (is_looked_at(modes, k) && !(ask == ASK_ONLY && same_key(k, key)))
            others = others || key_contains(k, form, set);
    }
    switch (ask) {
    case ASK_NONE:
        return !others;
    case ASK_ONLY:
        return !others && key_contains(key, form, set);
    case ASK_CONTAINS:
        return key_contains(key, form, set);
    }
    return false;
}

/* The convention is named only where another form of minor would turn the verdict. */
static void name_convention(struct claim_context *ctx, enum ask ask, struct modes modes, struct key key,
                            pcset set)
{
    if (ctx->mute)
        return;
    bool first = answer(ask, modes, key, MINOR_ALL, set);
    for (int form = 1; form < N_FORMS_OF_MINOR; form++) {
        if (answer(ask, modes, key, (enum minor_form)form, set) != first) {
            claim_convention(ctx, CONVENTION_MINOR);
            return;
        }
    }
}

/* ---- words
 * ------------------------------------------------------------------------------------------------- */

/* The keys that contain the set, leaving out one; at most six by name. Empty if there is none. */
static struct str say_keys(struct claim_context *ctx, struct modes modes, pcset set,
                           const struct key *without, int *n_found)
{
    enum { SHOWN = 6 };
    struct str words[SHOWN + 1];
    uint32_t shown = 0;
    *n_found = 0;
    for (int i = 0; i < N_KEYS; i++) {
        struct key k = key_of_index(i);
        if (!is_looked_at(modes, k) || (without && same_key(k, *without)) ||
            !key_contains(k, form_in_force(ctx), set))
            continue;
        ++*n_found;
        if (shown < SHOWN)
            words[shown++] = say_key(ctx, k);
    }
    if (*n_found > SHOWN)
        words[shown++] = say_count(ctx, *n_found - SHOWN, "more", "more");
    return say_list(ctx, words, shown, "and");
}

/* "F# (bar 2 beat 1) and C": the tones the key lacks, with the place where each is met first. */
static struct str say_foreign(struct claim_context *ctx, const struct tone_source *s, struct key k,
                              bool with_places)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, s->n);
    pcset in = key_set(k, form_in_force(ctx));
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->n; i++) {
        const struct tone_place *p = &s->items[i];
        pcset one = pcset_of(tone_pc(p->tone));
        if (in & one)
            continue;
        in |= one; /* F# and Gb are one tone here */
        words[n++] = with_places && p->words.n
                         ? say_text(ctx, "%.*s (%.*s)", STR_ARG(say_tone(ctx, p->tone)),
                                    STR_ARG(p->words))
                         : say_tone(ctx, p->tone);
    }
    return say_list(ctx, words, n, "and");
}

static int count_foreign(const struct claim_context *ctx, pcset set, struct key k)
{
    return pcset_count((pcset)(set & ~key_set(k, form_in_force(ctx))));
}

/* "G minor comes nearest, without F# and B": the first of those that lack fewest. */
static struct str say_nearest(struct claim_context *ctx, const struct tone_source *s, struct modes modes)
{
    struct key best = {{0}, false};
    int fewest = 13;
    for (int i = 0; i < N_KEYS; i++) {
        struct key k = key_of_index(i);
        if (is_looked_at(modes, k) && count_foreign(ctx, s->set, k) < fewest) {
            fewest = count_foreign(ctx, s->set, k);
            best = k;
        }
    }
    return say_text(ctx, "%.*s comes nearest, but lacks %.*s", STR_ARG(say_key(ctx, best)),
                    STR_ARG(say_foreign(ctx, s, best, false)));
}

static struct str say_tones_of(struct claim_context *ctx, const struct tone_source *s)
{
    return say_text(ctx, "%.*s%.*s", STR_ARG(say_tones(ctx, s->bag.t, s->bag.n)),
                    STR_ARG(source_basis(ctx, s)));
}

/* A true sentence: what the keys do with these notes. */
static void offer_keys(struct claim_context *ctx, const struct tone_source *s, struct modes modes)
{
    int n;
    say_keys(ctx, modes, s->set, NULL, &n);
    for (int i = 0; i < N_KEYS; i++) {
        struct key k = key_of_index(i);
        if (!is_looked_at(modes, k) || !key_contains(k, form_in_force(ctx), s->set))
            continue;
        bool alone = n == 1 && modes.major && modes.minor;
        claim_instead(ctx, "%s%.*s contains %.*s%.*s", alone ? "only " : "", STR_ARG(say_key(ctx, k)),
                      STR_ARG(s->words), STR_ARG(s->span));
        return;
    }
    claim_instead(ctx, "no %.*s contains %.*s%.*s", STR_ARG(say_modes(modes)), STR_ARG(s->words),
                  STR_ARG(s->span));
}

/* Shows the first note of each tone that a key lacks. */
static void point_at_foreign(struct claim_context *ctx, const struct tone_source *s, struct key k)
{
    pcset in = key_set(k, form_in_force(ctx));
    struct str key = say_key(ctx, k);
    for (uint32_t i = 0; i < s->n; i++)
        if (!(in & pcset_of(tone_pc(s->items[i].tone))) && s->items[i].words.n)
            claim_place(ctx, s->items[i].where, "%.*s is foreign to %.*s",
                        STR_ARG(say_tone(ctx, s->items[i].tone)), STR_ARG(key));
}

/* ---- one check a question
 * -------------------------------------------------------------------------------------- */

static void check_none(struct claim_context *ctx, const struct tone_source *s, struct modes modes)
{
    int n;
    struct str keys = say_keys(ctx, modes, s->set, NULL, &n), tones = say_tones_of(ctx, s);
    if (n) {
        claim_fails(ctx, "the tones of %.*s are %.*s, and %.*s %s them all", STR_ARG(source_name(s)),
                    STR_ARG(tones), STR_ARG(keys), n == 1 ? "contains" : "contain");
        offer_keys(ctx, s, modes);
        return;
    }
    claim_holds(ctx, "the tones of %.*s are %.*s; of the %d keys none contains them all: %.*s",
                STR_ARG(source_name(s)), STR_ARG(tones), modes.major && modes.minor ? N_KEYS : N_KEYS / 2,
                STR_ARG(say_nearest(ctx, s, modes)));
}

/* The key does not contain everything: which tones are foreign, and what does contain it. */
static void report_foreign(struct claim_context *ctx, const struct tone_source *s, struct key key)
{
    struct modes all = {true, true};
    int n;
    struct str keys = say_keys(ctx, all, s->set, NULL, &n), foreign = say_foreign(ctx, s, key, true);
    struct str others = n ? say_text(ctx, "%.*s %s it", STR_ARG(keys),
                                     n == 1 ? "contains" : "contain")
                          : STR("no major or minor key contains it");
    claim_fails(ctx, "%.*s does not contain %.*s of %.*s; %.*s", STR_ARG(say_key(ctx, key)), STR_ARG(foreign),
                STR_ARG(source_name(s)), STR_ARG(others));
    point_at_foreign(ctx, s, key);
    offer_keys(ctx, s, all);
}

/* "; D# is spelled Eb in the key": tones that belong by sound alone. */
static struct str say_respelled(struct claim_context *ctx, const struct tone_source *s, struct key key)
{
    struct tone_bag odd = bag_new(ctx->arena, s->n);
    for (uint32_t i = 0; i < s->n; i++)
        if (!key_has_tone(key, form_in_force(ctx), s->bag.t[i]))
            bag_add(&odd, s->bag.t[i]);
    return odd.n ? say_text(ctx, " (%.*s by sound; the key spells it otherwise)",
                            STR_ARG(say_tones(ctx, odd.t, odd.n)))
                 : STR("");
}

static void check_contains(struct claim_context *ctx, const struct tone_source *s, struct key key)
{
    struct modes all = {true, true};
    int n;
    if (!key_contains(key, form_in_force(ctx), s->set)) {
        report_foreign(ctx, s, key);
        return;
    }
    if (claim_holds_mute(ctx))
        return;
    struct str keys = say_keys(ctx, all, s->set, &key, &n);
    struct str others = n ? say_text(ctx, "; %.*s %s them too", STR_ARG(keys), n == 1 ? "contains" : "contain")
                          : STR(", and no other key does");
    claim_holds(ctx, "%.*s of %.*s are all in %.*s%.*s%.*s", STR_ARG(say_tones_of(ctx, s)),
                STR_ARG(source_name(s)), STR_ARG(say_key(ctx, key)), STR_ARG(say_respelled(ctx, s, key)),
                STR_ARG(others));
}

static void check_only(struct claim_context *ctx, const struct tone_source *s, struct key key,
                       struct modes modes)
{
    int n;
    if (!key_contains(key, form_in_force(ctx), s->set)) {
        report_foreign(ctx, s, key);
        return;
    }
    struct str keys = say_keys(ctx, modes, s->set, &key, &n);
    if (n) {
        claim_fails(ctx, "%.*s contains %.*s of %.*s, but so %s %.*s", STR_ARG(say_key(ctx, key)),
                    STR_ARG(say_tones_of(ctx, s)), STR_ARG(source_name(s)), n == 1 ? "does" : "do",
                    STR_ARG(keys));
        claim_instead(ctx, "%.*s contains %.*s%.*s", STR_ARG(say_key(ctx, key)), STR_ARG(s->words),
                      STR_ARG(s->span));
        return;
    }
    claim_holds(ctx, "%.*s of %.*s are all in %.*s and in no other %.*s%.*s", STR_ARG(say_tones_of(ctx, s)),
                STR_ARG(source_name(s)), STR_ARG(say_key(ctx, key)), STR_ARG(say_modes(modes)),
                STR_ARG(say_respelled(ctx, s, key)));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    const struct form *form = &forms[pattern];
    struct modes modes = modes_of(m, form);
    struct key key = m->n_keys ? m->key[0] : (struct key){{0}, false};
    struct tone_source s;
    bool read = form->subject == SUBJECT_STREAM ? source_of_stream(ctx, m, &m->stream[0], &s)
                                                : source_of_chords(ctx, m->chord, m->n_chords, &s);
    if (!read)
        return;
    switch (form->ask) {
    case ASK_NONE:
        check_none(ctx, &s, modes);
        break;
    case ASK_ONLY:
        check_only(ctx, &s, key, modes);
        break;
    case ASK_CONTAINS:
        check_contains(ctx, &s, key);
        break;
    }
    name_convention(ctx, form->ask, modes, key, s.set);
}

const struct claim_kind claim_kind_key_contains = {
    .name = "key-contains",
    .patterns = patterns,
    .meaning = "Which of the 12 major and 12 minor keys contain, by sound, every tone of a stream or chord.",
    .page = claim_page_key_contains,
    .check = check,
    .fails = DIAG_FAILS_key_contains,
};
