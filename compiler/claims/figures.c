#include "claims/figures.h"

#include "base/buf.h"
#include "claims/level.h"
#include "claims/melody.h"

/* The two melodies of one question. */
struct pair {
    struct str a_name, b_name;
    struct str b_claim; /* the second as a sentence names it, b_name as prose does */
    struct str lead;    /* what evidence calls the model's notes; may be empty */
    const char *verb;   /* of a sentence: "repeats", "reverses" */
    bool plain;         /* the verb of `repeats` or `inverts` themselves */
    struct line a, b;
    struct pitch *got;   /* what the first figure sounds */
    struct pitch *model; /* what it is held against: the second figure, turned over where that is asked */
    uint32_t n;
    const struct figure_question *q;
};

/* How the notes of a pair lie against one level. */
struct fit {
    struct interval by;
    bool by_sound;
    uint32_t n;       /* notes that lie there */
    uint32_t misfits; /* notes that do not */
    uint32_t first;   /* the first of those */
};

/* ---- words ---------------------------------------------------------------------------------- */

/* 1 up, -1 down, 0 neither: by sound, by letters where the sound stays. */
static int direction_of(struct interval v)
{
    int by = v.half ? v.half : v.steps;
    return (by > 0) - (by < 0);
}

/* "lies a major third higher", "keeps its pitch". */
static struct str level_words(struct claim_context *ctx, const struct figure_level *level)
{
    int direction = direction_of(level->v);
    if (direction == 0)
        return STR("keeps its pitch");
    struct str name = level->by_sound && level->words.n ? level->words : interval_sentence(ctx, level->v);
    return say_text(ctx, "lies %.*s %s", STR_ARG(name), direction > 0 ? "higher" : "lower");
}

/* What was claimed of the level: "a major third higher", "at the same pitch". */
static struct str level_adverb(struct claim_context *ctx, const struct figure_level *level)
{
    struct str words = level_words(ctx, level);
    return direction_of(level->v) ? str_slice(words, sizeof "lies", words.n) : STR("at the same pitch");
}

/* The same for a sentence of the language: "up a major third", "at the same pitch". */
static struct str level_sentence(struct claim_context *ctx, struct interval v)
{
    int direction = direction_of(v);
    if (direction == 0)
        return STR("at the same pitch");
    struct str name = interval_sentence(ctx, v);
    return say_text(ctx, "%s %.*s", direction > 0 ? "up" : "down", STR_ARG(name));
}

/* The model's notes, "call read backwards (G4 E4 C4)" where they were made from another figure's. */
static struct str model_words(struct claim_context *ctx, const struct pair *p)
{
    struct str notes = line_words(ctx, &p->b);
    return p->lead.n ? say_text(ctx, "%.*s (%.*s)", STR_ARG(p->lead), STR_ARG(notes)) : notes;
}

/* "a third", "an octave and a third": a number of steps without a quality. */
static struct str steps_words(struct claim_context *ctx, int steps)
{
    static const char *const names[] = {"unison", "second", "third", "fourth", "fifth", "sixth", "seventh"};
    int n = steps < 0 ? -steps : steps;
    if (n < 7)
        return say_text(ctx, "a %s", names[n]);
    struct str octaves = n / 7 == 1 ? STR("an octave") : say_count(ctx, n / 7, "octave", "octaves");
    if (n % 7 == 0)
        return octaves;
    return say_text(ctx, "%.*s and a %s", STR_ARG(octaves), names[n % 7]);
}

/* ---- rhythm ------------------------------------------------------------------------ */

/* "note 3, B5 at bar 4 beat 2, lasts 1/4, in call 1/8". The first attack that comes elsewhere follows a note
 * of another length or a rest, so lengths are compared first. */
static struct str rhythm_words(struct claim_context *ctx, const struct pair *p, uint32_t i, bool attack)
{
    char a[RATIO_TEXT_MAX], b[RATIO_TEXT_MAX];
    struct str pitch = say_pitch(ctx, p->got[i]);
    struct str at = note_at(ctx, &p->a, i);
    struct ratio got = p->a.notes[i]->length, want = p->b.notes[i]->length;
    if (attack) {
        got = ratio_minus(p->a.notes[i]->onset, p->a.notes[0]->onset);
        want = ratio_minus(p->b.notes[i]->onset, p->b.notes[0]->onset);
    }
    return say_text(ctx, "note %u, %.*s%.*s, %s %s%s, in %.*s %s%s", i + 1, STR_ARG(pitch),
                    STR_ARG(at), attack ? "comes" : "lasts", ratio_text(got, true, a),
                    attack ? " after the first" : "", STR_ARG(p->b_name), ratio_text(want, true, b),
                    attack ? " after it" : "");
}

/* "; every value is twice as long": augmentation and diminution (Hutchinson, Melodic Alteration), which the
 * ear takes for the same rhythm. Empty where the values are not in one proportion. */
static struct str scaled_words(struct claim_context *ctx, const struct pair *p)
{
    struct ratio scale, here, at;
    if (!ratio_div(p->a.notes[0]->length, p->b.notes[0]->length, &scale))
        return STR("");
    for (uint32_t i = 0; i < p->n; i++) {
        struct ratio from = ratio_minus(p->a.notes[i]->onset, p->a.notes[0]->onset);
        struct ratio model = ratio_minus(p->b.notes[i]->onset, p->b.notes[0]->onset);
        if (!ratio_mul(p->b.notes[i]->length, scale, &here) || !ratio_mul(model, scale, &at) ||
            !ratio_eq(here, p->a.notes[i]->length) || !ratio_eq(at, from))
            return STR("");
    }
    char text[RATIO_TEXT_MAX];
    if (ratio_eq(scale, ratio_int(2)))
        return STR("; every value is twice as long: augmentation");
    if (ratio_eq(scale, (struct ratio){1, 2}))
        return STR("; every value is half as long: diminution");
    return say_text(ctx, "; every value is %s times as long: %s", ratio_text(scale, false, text),
                    ratio_lt(RATIO_ONE, scale) ? "augmentation" : "diminution");
}

/* ---- comparing -------------------------------------------------------------------------------- */

static struct interval apart(const struct pair *p, uint32_t i)
{
    return interval_between(p->model[i], p->got[i]);
}

static bool level_same(struct interval a, struct interval b, bool by_sound)
{
    return by_sound ? a.half == b.half : interval_eq(a, b);
}

static struct fit fit_level(const struct pair *p, struct interval by, bool by_sound)
{
    struct fit f = {.by = by, .by_sound = by_sound, .first = p->n};
    for (uint32_t i = 0; i < p->n; i++) {
        if (level_same(apart(p, i), by, by_sound)) {
            f.n++;
        } else {
            if (f.misfits++ == 0)
                f.first = i;
        }
    }
    return f;
}

static struct fit fit_commonest(struct claim_context *ctx, const struct pair *p, bool by_sound)
{
    return fit_level(p, level_commonest(ctx->arena, p->model, p->got, p->n, by_sound), by_sound);
}

/* What note i would have to be. Of a level by sound that no note has, the spelling is a guess: the plainest.
 */
static struct pitch pitch_wanted(const struct pair *p, const struct fit *fit, uint32_t i)
{
    struct pitch model = p->model[i];
    if (fit->by_sound && fit->n == 0)
        return pitch_of_midi(pitch_midi(model) + fit->by.half, model.tone.alter < 0);
    return pitch_move(model, fit->by);
}

/* A level by sound is told in the spelling that most of the notes have which lie there. */
static void fit_spell(struct claim_context *ctx, const struct pair *p, struct fit *fit)
{
    level_spell(ctx->arena, p->model, p->got, p->n, &fit->by);
}

/* Every note the same number of letters away? */
static bool letters_agree(const struct pair *p)
{
    for (uint32_t i = 1; i < p->n; i++)
        if (apart(p, i).steps != apart(p, 0).steps)
            return false;
    return true;
}

static bool rhythm_agrees(const struct pair *p)
{
    bool attack;
    return lines_rhythm_differ(&p->a, &p->b, &attack) == p->n;
}

/* ---- tonal ------------------------------------------------------------------------------------- */

static enum minor_form minor_in_force(const struct claim_context *ctx)
{
    return (enum minor_form)ctx->conventions->choice[CONVENTION_MINOR];
}

/* The key stated where a line begins. */
static bool line_key(const struct line *l, struct key *out)
{
    const struct key_change *k = l->passage && l->n ? passage_key_at(l->passage, l->notes[0]->onset) : NULL;
    if (k)
        *out = k->key;
    return k != NULL;
}

static bool pair_key(const struct pair *p, struct key *out)
{
    if (p->q->has_key) {
        *out = p->q->key;
        return true;
    }
    return line_key(&p->a, out) || line_key(&p->b, out);
}

/* The one major key that spells all notes of both, to suggest where none is stated; false if there are
 * several or none. */
static bool pair_key_only(const struct pair *p, struct key *out)
{
    int found = 0;
    for (int k = 0; k < 12; k++) {
        struct key key = key_of_index(k);
        bool all = true;
        for (uint32_t i = 0; i < p->n && all; i++)
            all = key_has_tone(key, MINOR_ALL, p->got[i].tone) &&
                  key_has_tone(key, MINOR_ALL, p->b.notes[i]->pitch.tone);
        if (all) {
            *out = key;
            found++;
        }
    }
    return found == 1;
}

/* A tone of the key answers a tone of the key; a chromatic note keeps its alteration. A note of the model
 * turned over keeps the letter of the mirror only, so there the model's own tone decides. */
static bool note_keeps_key(const struct claim_context *ctx, const struct pair *p, struct key key, uint32_t i)
{
    struct tone from = p->b.notes[i]->pitch.tone;
    struct tone to = p->got[i].tone;
    enum minor_form form = minor_in_force(ctx);
    if (key_has_tone(key, form, from))
        return key_has_tone(key, form, to);
    int degree, from_alter, to_alter;
    key_degree(key, from, &degree, &from_alter);
    key_degree(key, to, &degree, &to_alter);
    return to_alter == (p->q->mirrored ? -from_alter : from_alter);
}

static uint32_t first_outside_key(const struct claim_context *ctx, const struct pair *p, struct key key)
{
    for (uint32_t i = 0; i < p->n; i++)
        if (!note_keeps_key(ctx, p, key, i))
            return i;
    return p->n;
}

/* The sentence that claims the same tonally; empty where it would not hold. */
static struct str tonal_sentence(struct claim_context *ctx, const struct pair *p, bool rhythm)
{
    struct key key;
    if (!letters_agree(p) || (!pair_key(p, &key) && !pair_key_only(p, &key)) ||
        first_outside_key(ctx, p, key) < p->n)
        return STR("");
    char text[PITCH_TEXT_MAX];
    const char *in = key_text(key, SIGN_ASCII, text);
    const char *tail = rhythm ? "" : " in pitch only";
    int steps = apart(p, 0).steps;
    if (p->q->mirrored || steps == 0 || !p->plain)
        return say_text(ctx, "%.*s %s %.*s tonally in %s%s", STR_ARG(p->a_name), p->verb,
                        STR_ARG(p->b_claim), in, tail);
    struct str by = steps_words(ctx, steps);
    return say_text(ctx, "%.*s %s %.*s tonally, %s %.*s in %s%s", STR_ARG(p->a_name), p->verb,
                    STR_ARG(p->b_claim), steps > 0 ? "up" : "down", STR_ARG(by), in, tail);
}

/* ---- sentences that would hold ------------------------------------------------------------------- */

/* Where the mirror stands: "around E4", or by the first note where the axis falls between two letters or two
 * half steps. */
static struct str mirror_words(struct claim_context *ctx, const struct pair *p, struct interval by)
{
    if (by.steps % 2 == 0 && by.half % 2 == 0) {
        struct pitch axis = pitch_move(p->model[0], (struct interval){by.steps / 2, by.half / 2});
        struct str name = say_pitch(ctx, axis);
        return say_text(ctx, "around %.*s", STR_ARG(name));
    }
    return level_sentence(ctx, by);
}

static void suggest_level(struct claim_context *ctx, const struct pair *p, struct interval by, bool rhythm)
{
    struct str level = p->q->mirrored ? mirror_words(ctx, p, by) : level_sentence(ctx, by);
    claim_instead(ctx, "%.*s %s %.*s %.*s%s", STR_ARG(p->a_name), p->verb, STR_ARG(p->b_claim),
                  STR_ARG(level), rhythm ? "" : " in pitch only");
}

/* After a difference of pitches: tonally, or with some notes changed, if that is true. */
static void suggest_looser(struct claim_context *ctx, const struct pair *p, const struct fit *most)
{
    bool rhythm = rhythm_agrees(p);
    struct str tonal = tonal_sentence(ctx, p, rhythm);
    struct fit spelled = fit_level(p, most->by, false);
    if (tonal.n) {
        claim_instead(ctx, "%.*s", STR_ARG(tonal));
        return;
    }
    if (p->q->mirrored || !p->plain)
        return;
    if (fit_level(p, most->by, true).misfits == 0) {
        /* Only the spelling differs, and distances in half steps leave it out. */
        struct str half =
            say_count(ctx, most->by.half < 0 ? -most->by.half : most->by.half, "semitone", "semitones");
        claim_instead(ctx, "%.*s repeats %.*s %s %.*s%s", STR_ARG(p->a_name), STR_ARG(p->b_name),
                      most->by.half < 0 ? "down" : "up", STR_ARG(half), rhythm ? "" : " in pitch only");
        return;
    }
    /* More than half of the notes must agree, or the level is an accident of one pair of notes. */
    if (!rhythm || spelled.misfits == 0 || spelled.n * 2 <= p->n)
        return;
    bool moved =
        most->by.steps || most->by.half; /* `with one note changed` alone means any level, its own too */
    struct str level = moved ? level_sentence(ctx, most->by) : STR("");
    struct str count = say_count(ctx, spelled.misfits, "note", "notes");
    claim_instead(ctx, "%.*s repeats %.*s %.*s%swith %.*s changed", STR_ARG(p->a_name), STR_ARG(p->b_name),
                  STR_ARG(level), moved ? " " : "", STR_ARG(count));
}

/* ---- verdicts -------------------------------------------------------------------------------------- */

/* The rhythm decides once the pitches are right; `pitches` says how they are. */
static void decide_rhythm(struct claim_context *ctx, const struct pair *p, struct str pitches,
                          struct interval by)
{
    bool attack;
    uint32_t i = lines_rhythm_differ(&p->a, &p->b, &attack);
    switch (p->q->rhythm) {
    case FIGURE_RHYTHM_FREE:
        claim_holds(ctx, "%.*s (pitches only%s)", STR_ARG(pitches),
                    i == p->n ? "; the rhythm is the same too" : "; the rhythm differs");
        return;
    case FIGURE_RHYTHM_SAME:
        if (i == p->n) {
            claim_holds(ctx, "%.*s, in the same rhythm", STR_ARG(pitches));
            return;
        }
        break;
    case FIGURE_RHYTHM_OTHER:
        if (i < p->n) {
            struct str words = rhythm_words(ctx, p, i, attack);
            claim_holds(ctx, "%.*s, in another rhythm: %.*s", STR_ARG(pitches), STR_ARG(words));
            return;
        }
        claim_fails(ctx, "%.*s, but in the same rhythm, not another", STR_ARG(pitches));
        suggest_level(ctx, p, by, true);
        return;
    }
    struct str words = rhythm_words(ctx, p, i, attack);
    claim_place(ctx, p->a.notes[i]->where, "another rhythm from here on");
    claim_fails(ctx, "the pitches agree, the rhythm does not: %.*s%.*s", STR_ARG(words),
                STR_ARG(scaled_words(ctx, p)));
    struct str tonal = p->q->tonal ? tonal_sentence(ctx, p, false) : STR("");
    if (tonal.n)
        claim_instead(ctx, "%.*s", STR_ARG(tonal));
    else if (p->q->changed == 0)
        suggest_level(ctx, p, by, false);
}

/* "; by sound: note 4 is spelled G5, not F##5" */
static struct str spelling_remark(struct claim_context *ctx, const struct pair *p, struct interval by)
{
    struct fit spelled = fit_level(p, by, false);
    if (spelled.misfits == 0)
        return STR("");
    struct str got = say_pitch(ctx, p->got[spelled.first]);
    struct str want = say_pitch(ctx, pitch_move(p->model[spelled.first], by));
    return say_text(ctx, " by sound (note %u is spelled %.*s, not %.*s)", spelled.first + 1,
                    STR_ARG(got), STR_ARG(want));
}

static void real_holds(struct claim_context *ctx, const struct pair *p, const struct figure_level *level,
                       const struct fit *fit)
{
    struct str model = model_words(ctx, p);
    struct str got = line_words(ctx, &p->a);
    struct str remark = fit->by_sound && !level->given ? spelling_remark(ctx, p, fit->by) : STR("");
    if (remark.n)
        claim_convention(ctx, CONVENTION_PARALLEL);
    struct str text;
    if (p->q->mirrored) {
        struct str where = mirror_words(ctx, p, fit->by);
        text = say_text(ctx,
                        "%.*s turned over %s%.*s is %.*s: every interval keeps its size and changes "
                        "direction%.*s",
                        STR_ARG(model), str_starts(where, STR("around")) ? "" : "and moved ",
                        STR_ARG(where), STR_ARG(got), STR_ARG(remark));
    } else if (fit->misfits) {
        struct str odd = say_pitch(ctx, p->got[fit->first]);
        struct str at = note_at(ctx, &p->a, fit->first);
        struct str want = say_pitch(ctx, pitch_wanted(p, fit, fit->first));
        struct str words = level_words(ctx, level);
        text = say_text(ctx,
                        "%.*s becomes %.*s: every note %.*s but for %.*s, the first being %.*s%.*s "
                        "where %.*s would repeat",
                        STR_ARG(model), STR_ARG(got), STR_ARG(words),
                        STR_ARG(say_count(ctx, fit->misfits, "note", "notes")), STR_ARG(odd), STR_ARG(at),
                        STR_ARG(want));
    } else {
        struct str words = level_words(ctx, level);
        struct str becomes = str_eq(line_words(ctx, &p->b), got) ? STR("comes back as it is")
                                                : say_text(ctx, "becomes %.*s", STR_ARG(got));
        text = say_text(ctx, "%.*s %.*s: every note %.*s%.*s", STR_ARG(model), STR_ARG(becomes),
                        STR_ARG(words), STR_ARG(remark));
    }
    decide_rhythm(ctx, p, text, fit->by);
}

/* All notes lie at one level, which is not the one named. */
static void fail_other_level(struct claim_context *ctx, const struct pair *p,
                             const struct figure_level *level, const struct fit *most)
{
    struct figure_level true_level = {.given = true, .v = most->by};
    struct str is = level_words(ctx, &true_level);
    struct str not = level_adverb(ctx, level);
    struct str from = say_pitch(ctx, p->b.notes[0]->pitch);
    struct str to = say_pitch(ctx, p->got[0]);
    bool sounds = level->v.half == most->by.half;
    if (p->q->mirrored) {
        struct str where = mirror_words(ctx, p, most->by);
        struct str claimed = level->by_sound ? level_adverb(ctx, level) : mirror_words(ctx, p, level->v);
        claim_fails(ctx, "it is the inversion %.*s, not %.*s: %.*s begins on %.*s, %.*s on %.*s%s",
                    STR_ARG(where), STR_ARG(claimed), STR_ARG(p->b_name), STR_ARG(from), STR_ARG(p->a_name),
                    STR_ARG(to), sounds ? "; it sounds the same, but is spelled otherwise" : "");
    } else if (sounds) {
        claim_fails(ctx, "it sounds the same; spelled, every note %.*s (%.*s to %.*s first), not %.*s",
                    STR_ARG(is), STR_ARG(from), STR_ARG(to), STR_ARG(not ));
    } else {
        claim_fails(ctx, "every note %.*s (%.*s to %.*s first), not %.*s", STR_ARG(is), STR_ARG(from),
                    STR_ARG(to), STR_ARG(not ));
    }
    suggest_level(ctx, p, most->by, p->q->rhythm == FIGURE_RHYTHM_SAME ? rhythm_agrees(p) : false);
}

/* "; F##5 would repeat it": what the odd note would have to be. */
static struct str wanted_words(struct claim_context *ctx, const struct pair *p, const struct fit *use)
{
    struct str name = say_pitch(ctx, pitch_wanted(p, use, use->first));
    const char *verb = p->q->mirrored ? "invert" : "repeat";
    claim_place(ctx, p->a.notes[use->first]->where, "%.*s would %s %.*s", STR_ARG(name), verb,
                STR_ARG(p->b_name));
    return say_text(ctx, "; %.*s would %s it", STR_ARG(name), verb);
}

/* What the notes that agree do: "; the other three notes lie an octave and a major third higher, not …". */
static struct str rest_words(struct claim_context *ctx, const struct pair *p,
                             const struct figure_level *asked, const struct fit *use)
{
    struct figure_level level = {.given = true, .v = use->by};
    bool named = asked->given && level_same(asked->v, use->by, asked->by_sound);
    struct str count = use->n == 1 ? STR("note") : say_count(ctx, use->n, "note", "notes");
    if (letters_agree(p))
        return say_text(ctx, "; letter by letter %s",
                        p->q->mirrored ? "it is turned over, as within a key"
                                       : "they agree, as in a tonal answer");
    if (fit_level(p, use->by, true).misfits == 0)
        return say_text(ctx, "; by sound every note %.*s", STR_ARG(level_words(ctx, &level)));
    if (use->n * 2 <= p->n && !named)
        return say_text(ctx, "; no level fits more than %u of %u notes", use->n, p->n);
    if (p->q->mirrored)
        return say_text(ctx, "; the other %.*s agree%s", STR_ARG(count), use->n == 1 ? "s" : "");
    struct str adverb = level_adverb(ctx, &level);
    struct str not = asked->given && !named
                         ? say_text(ctx, ", not %.*s", STR_ARG(level_adverb(ctx, asked)))
                         : STR("");
    return say_text(ctx, "; the other %.*s %s %.*s%.*s", STR_ARG(count),
                    use->n == 1 ? "lies" : "lie", STR_ARG(adverb), STR_ARG(not ));
}

/* ", so its inversion falls": the model's move, turned over. */
static const char *turned_words(const struct pair *p, struct interval by)
{
    if (!p->q->mirrored || by.half == 0)
        return "";
    return by.half > 0 ? ", so its inversion falls as much" : ", so its inversion rises as much";
}

/* The first note that differs, with the interval that leads to it in both. */
static void fail_first_note(struct claim_context *ctx, const struct pair *p, const struct figure_level *asked,
                            const struct fit *use)
{
    uint32_t i = use->first;
    uint32_t from = i ? i - 1 : 0, to = i ? i : 1;
    struct pitch b_from = p->b.notes[from]->pitch, b_to = p->b.notes[to]->pitch;
    struct str a = melodic_words(ctx, p->got[from], p->got[to]);
    struct str b = melodic_words(ctx, b_from, b_to);
    struct str want = wanted_words(ctx, p, use);
    bool sounds = apart(p, i).half == use->by.half;
    claim_fails(ctx, "note %u%.*s %s: %.*s %.*s; %.*s %.*s%s%.*s%.*s", i + 1, STR_ARG(note_at(ctx, &p->a, i)),
                sounds ? "sounds right, but is spelled otherwise" : "differs", STR_ARG(p->a_name), STR_ARG(a),
                STR_ARG(p->b_name), STR_ARG(b), turned_words(p, interval_between(b_from, b_to)),
                STR_ARG(want), STR_ARG(rest_words(ctx, p, asked, use)));
}

/* The figure is the model again, not turned over. */
static bool fail_not_mirrored(struct claim_context *ctx, const struct pair *p)
{
    struct figure_question plain = *p->q;
    plain.mirrored = false;
    struct pair straight = *p;
    straight.q = &plain;
    straight.model = ARENA_NEW_ARRAY(ctx->arena, struct pitch, p->n);
    for (uint32_t i = 0; i < p->n; i++)
        straight.model[i] = p->b.notes[i]->pitch;
    struct fit f = fit_commonest(ctx, &straight, false);
    if (!p->q->mirrored || f.misfits)
        return false;
    struct figure_level level = {.given = true, .v = f.by};
    struct str words = level_words(ctx, &level);
    claim_fails(ctx, "it is not turned over: every interval of %.*s keeps its direction, and every note %.*s",
                STR_ARG(p->b_name), STR_ARG(words));
    return true;
}

static void fail_changed_count(struct claim_context *ctx, const struct pair *p, const struct fit *use)
{
    struct figure_level level = {.given = true, .v = use->by};
    struct str words = level_words(ctx, &level);
    if (use->misfits == 0) {
        claim_fails(ctx, "no note differs: every note %.*s", STR_ARG(words));
        suggest_level(ctx, p, use->by, rhythm_agrees(p));
        return;
    }
    struct str odd = say_count(ctx, use->misfits, "note differs", "notes differ");
    struct str want = wanted_words(ctx, p, use);
    claim_fails(ctx, "%.*s, first note %u, %.*s%.*s%.*s; every other note %.*s", STR_ARG(odd), use->first + 1,
                STR_ARG(say_pitch(ctx, p->got[use->first])), STR_ARG(note_at(ctx, &p->a, use->first)),
                STR_ARG(want), STR_ARG(words));
    suggest_looser(ctx, p, use);
}

static void real_fails(struct claim_context *ctx, const struct pair *p, const struct figure_level *level,
                       const struct fit *fit)
{
    struct fit most = fit_commonest(ctx, p, fit->by_sound);
    if (p->q->changed > 0) {
        fail_changed_count(ctx, p, fit);
        return;
    }
    if (level->given && most.misfits == 0) {
        fail_other_level(ctx, p, level, &most);
        return;
    }
    if (fail_not_mirrored(ctx, p))
        return;
    const struct fit *use = level->given && fit->n >= most.n ? fit : &most;
    fail_first_note(ctx, p, level, use);
    suggest_looser(ctx, p, use);
}

/* The level that is asked: named, from the axis, both, or none. */
static struct figure_level level_asked(const struct pair *p)
{
    struct figure_level level = p->q->level;
    if (p->q->has_axis) {
        /* A mirror around P sends x to 2P - x; the mirror around the model's first note sends it to 2b - x.
         */
        struct interval half = interval_between(p->model[0], p->q->axis);
        level.v = (struct interval){level.v.steps + 2 * half.steps, level.v.half + 2 * half.half};
        level.given = true;
    }
    return level;
}

static void check_real(struct claim_context *ctx, const struct pair *p)
{
    struct figure_level level = level_asked(p);
    bool sounding = ctx->conventions->choice[CONVENTION_PARALLEL] == 0;
    struct fit fit;
    if (level.given) {
        fit = fit_level(p, level.v, level.by_sound);
        if (level.by_sound)
            fit_spell(ctx, p, &fit);
    } else {
        fit = fit_commonest(ctx, p, sounding);
        level.v = fit.by;
        /* Spelling decides here, and the author should know it. */
        if (!sounding && fit.misfits && fit_commonest(ctx, p, true).misfits == 0)
            claim_convention(ctx, CONVENTION_PARALLEL);
    }
    if (fit.misfits == (uint64_t)p->q->changed)
        real_holds(ctx, p, &level, &fit);
    else
        real_fails(ctx, p, &level, &fit);
}

/* The first note that is another number of steps away than most. */
static void fail_tonal_steps(struct claim_context *ctx, const struct pair *p)
{
    int most = level_steps(ctx->arena, p->model, p->got, p->n);
    uint32_t i = 0;
    while (apart(p, i).steps == most)
        i++;
    uint32_t from = i ? i - 1 : 0, to = i ? i : 1;
    struct str a = melodic_words(ctx, p->got[from], p->got[to]);
    struct str b = melodic_words(ctx, p->b.notes[from]->pitch, p->b.notes[to]->pitch);
    struct str at = note_at(ctx, &p->a, i);
    claim_place(ctx, p->a.notes[i]->where, "another number of steps");
    claim_fails(ctx, "note %u%.*s differs even in steps: %.*s %.*s; %.*s %.*s", i + 1, STR_ARG(at),
                STR_ARG(p->a_name), STR_ARG(a), STR_ARG(p->b_name), STR_ARG(b));
}

static void tonal_holds(struct claim_context *ctx, const struct pair *p, struct key key)
{
    char text[PITCH_TEXT_MAX];
    struct str model = model_words(ctx, p);
    struct str got = line_words(ctx, &p->a);
    const char *in = key_text(key, SIGN_ASCII, text);
    int steps = apart(p, 0).steps;
    struct fit most = fit_commonest(ctx, p, false);
    const char *real =
        most.misfits ? ", the sizes as the key gives them" : ", and every interval keeps its size";
    struct str words;
    if (p->q->mirrored)
        words = say_text(ctx, "%.*s turned over in steps of %s is %.*s%s", STR_ARG(model), in,
                         STR_ARG(got), real);
    else if (steps == 0)
        words = say_text(ctx, "%.*s comes back as %.*s on the same steps of %s%s", STR_ARG(model),
                         STR_ARG(got), in, real);
    else
        words = say_text(ctx, "%.*s becomes %.*s: every note lies %.*s %s in %s%s", STR_ARG(model),
                         STR_ARG(got), STR_ARG(steps_words(ctx, steps)), steps > 0 ? "higher" : "lower", in,
                         real);
    decide_rhythm(ctx, p, words, most.by);
}

/* Steps of the key where the level asked is right or open; else the level that is true. */
static bool tonal_level_right(struct claim_context *ctx, const struct pair *p, struct key key, bool has_key)
{
    int steps = apart(p, 0).steps;
    int asked = p->q->steps;
    if (p->q->has_axis)
        asked = 2 * interval_between(p->model[0], p->q->axis).steps;
    if ((!p->q->has_steps && !p->q->has_axis) || asked == steps)
        return true;
    struct str is = steps_words(ctx, steps), not = steps_words(ctx, asked);
    if (p->q->has_axis) {
        struct str axis = say_pitch(ctx, p->q->axis);
        claim_fails(ctx, "every note lies %.*s %s than the mirror around %.*s puts it",
                    STR_ARG(steps_words(ctx, steps - asked)), steps > asked ? "higher" : "lower",
                    STR_ARG(axis));
    } else {
        claim_fails(ctx, "every note lies %.*s %s, not %.*s %s", STR_ARG(is), steps >= 0 ? "higher" : "lower",
                    STR_ARG(not ), asked >= 0 ? "higher" : "lower");
    }
    if (has_key && first_outside_key(ctx, p, key) == p->n)
        claim_instead(ctx, "%.*s", STR_ARG(tonal_sentence(ctx, p, rhythm_agrees(p))));
    return false;
}

/* "; Eb4 would": the key's own tone on that letter. A chromatic note of the model has no single answer. */
static struct str key_wanted(struct claim_context *ctx, const struct pair *p, struct key key, uint32_t i)
{
    if (!key_has_tone(key, minor_in_force(ctx), p->b.notes[i]->pitch.tone))
        return STR("");
    int degree, alter;
    struct pitch want = p->got[i];
    key_degree(key, want.tone, &degree, &alter);
    want.tone.alter = (int16_t)(want.tone.alter - alter);
    return say_text(ctx, "; %.*s would", STR_ARG(say_pitch(ctx, want)));
}

static void check_tonal(struct claim_context *ctx, const struct pair *p)
{
    struct key key = {0};
    char text[PITCH_TEXT_MAX];
    if (!letters_agree(p)) {
        fail_tonal_steps(ctx, p);
        return;
    }
    bool has_key = pair_key(p, &key);
    if (!tonal_level_right(ctx, p, key, has_key))
        return;
    if (!has_key) {
        claim_undecided(
            ctx, "letter by letter they agree, but no key says which steps count: end the sentence with "
                 "`in C major` or whichever key it is, or state `key` in the passage");
        return;
    }
    if (key.minor)
        claim_convention(ctx, CONVENTION_MINOR);
    uint32_t i = first_outside_key(ctx, p, key);
    if (i == p->n) {
        tonal_holds(ctx, p, key);
        return;
    }
    struct str got = say_pitch(ctx, p->got[i]);
    struct str from = say_pitch(ctx, p->b.notes[i]->pitch);
    struct str at = note_at(ctx, &p->a, i);
    claim_place(ctx, p->a.notes[i]->where, "foreign to %s", key_text(key, SIGN_ASCII, text));
    claim_fails(ctx, "note %u, %.*s%.*s, does not keep to %s as %.*s does in %.*s%.*s", i + 1, STR_ARG(got),
                STR_ARG(at), key_text(key, SIGN_ASCII, text), STR_ARG(from), STR_ARG(p->b_name),
                STR_ARG(key_wanted(ctx, p, key, i)));
    struct fit most = fit_commonest(ctx, p, false);
    if (most.misfits == 0)
        suggest_level(ctx, p, most.by, rhythm_agrees(p));
}

/* The figures have different numbers of notes: how far the beginning agrees. */
static void fail_count(struct claim_context *ctx, struct pair *p)
{
    uint32_t same = 0;
    struct figure_level level = level_asked(p);
    struct interval by = level.given ? level.v : apart(p, 0);
    while (same < p->n && level_same(apart(p, same), by, level.by_sound))
        same++;
    const char *what = "";
    if (same == p->n)
        what = p->a.n > p->b.n ? "; all of it is there, with notes added at the end"
                               : "; only the beginning is there";
    struct str a = say_count(ctx, p->a.n, "note", "notes");
    struct str b = say_count(ctx, p->b.n, "note", "notes");
    struct str agree = same ? say_count(ctx, same, "note agrees", "notes agree") : STR("none agrees");
    claim_fails(ctx, "%.*s has %.*s, %.*s has %.*s: from the beginning %.*s%s", STR_ARG(p->a_name),
                STR_ARG(a), STR_ARG(p->b_name), STR_ARG(b), STR_ARG(agree), what);
}

void figures_compare(struct claim_context *ctx, const struct figure_pair *pair, const struct figure_question *q)
{
    struct pair p = {.a_name = pair->a_name, .b_name = pair->b_name, .b_claim = pair->b_claim, .lead = pair->lead,
                     .verb = pair->verb, .plain = pair->plain, .a = pair->a, .b = pair->b, .q = q};
    p.n = p.a.n < p.b.n ? p.a.n : p.b.n;
    p.got = ARENA_NEW_ARRAY(ctx->arena, struct pitch, p.n);
    p.model = ARENA_NEW_ARRAY(ctx->arena, struct pitch, p.n);
    struct pitch first = p.b.notes[0]->pitch;
    for (uint32_t i = 0; i < p.n; i++) {
        p.got[i] = p.a.notes[i]->pitch;
        p.model[i] = p.b.notes[i]->pitch;
        if (q->mirrored)
            p.model[i] = pitch_move(first, interval_negate(interval_between(first, p.model[i])));
    }
    if (p.a.n != p.b.n)
        fail_count(ctx, &p);
    else if (q->tonal)
        check_tonal(ctx, &p);
    else
        check_real(ctx, &p);
}
