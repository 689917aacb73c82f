/* common_tones.c - the tones that two chords share, by sound. */
#include "claims/pages.h"
#include "claims/tones.h"

enum {
    SHARE_COUNT,
    HAVE_COUNT,
    SHARE_TONES,
    SHARE_ONLY,
    PLACES_COUNT,
    PLACES_TONES,
    PLACES_ONLY,
    PLACES_HAVE
};

static const char *const patterns[] = {
    [SHARE_COUNT] = "CHORD and CHORD shares [exactly] COUNT [common] tone|tones|note|notes",
    [HAVE_COUNT] = "CHORD and CHORD have [exactly] COUNT [common] tone|tones|note|notes [in common]",
    [SHARE_TONES] = "CHORD and CHORD shares TONES",
    [SHARE_ONLY] = "CHORD and CHORD shares only TONES",
    [PLACES_COUNT] =
        "chords at PLACE and PLACE of PASSAGE shares [exactly] COUNT [common] tone|tones|note|notes",
    [PLACES_TONES] = "chords at PLACE and PLACE of PASSAGE shares TONES",
    [PLACES_ONLY] = "chords at PLACE and PLACE of PASSAGE shares only TONES",
    [PLACES_HAVE] =
        "chords at PLACE and PLACE of PASSAGE have [exactly] COUNT [common] tone|tones|note|notes "
        "[in common]",
    NULL,
};

struct sides {
    struct chord_ref ref[2];
    struct moment moment[2];
    struct tone_bag bag[2];
    pcset shared;
};

/* `the chords at bar 1 and bar 2 of lamp` is two chords. */
static bool read_place(struct claim_context *ctx, const struct match *m, int i, struct chord_ref *out)
{
    const struct stream *s = &m->stream[0];
    struct ratio at;
    if (!s->passage || !place_position(ctx, s->passage, m->place[i], &at))
        return false;
    const struct harmony_event *event = passage_harmony_at(s->passage, at);
    struct str words = say_text(ctx, "the chord at %.*s of %.*s",
                                STR_ARG(say_place(ctx, s->passage, at)), STR_ARG(s->passage->symbol.name));
    *out = (struct chord_ref){.words = words,
                              .symbol = event ? &event->harmony : NULL,
                              .passage = s->passage,
                              .at_place = true,
                              .place = m->place[i],
                              .at = at,
                              .where = m->place[i].where};
    return true;
}

static bool read_sides(struct claim_context *ctx, const struct match *m, int pattern, struct sides *out)
{
    for (int i = 0; i < 2; i++) {
        if (pattern < PLACES_COUNT)
            out->ref[i] = m->chord[i];
        else if (!read_place(ctx, m, i, &out->ref[i]))
            return false;
        if (!chord_moment(ctx, &out->ref[i], false, &out->moment[i]))
            return false;
        out->bag[i] = bag_of_moment(ctx->arena, &out->moment[i]);
    }
    out->shared = bag_set(&out->bag[0]) & bag_set(&out->bag[1]);
    return true;
}

/* "C and E", or "G# (spelled Ab in the other)" where the spellings differ. */
static struct str say_shared_tones(struct claim_context *ctx, const struct sides *s)
{
    struct str words[12];
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->bag[0].n && n < 12; i++) {
        struct tone t = s->bag[0].t[i], other, first;
        if (!bag_on(&s->bag[1], tone_pc(t), &other) ||
            (bag_on(&s->bag[0], tone_pc(t), &first) && !tone_eq(first, t)))
            continue;
        words[n++] = bag_has(&s->bag[1], t)
                         ? say_tone(ctx, t)
                         : say_text(ctx, "%.*s (spelled %.*s in the second)",
                                    STR_ARG(say_tone(ctx, t)), STR_ARG(say_tone(ctx, other)));
    }
    return n ? say_list(ctx, words, n, "and") : STR("");
}

/* The same part, voice and pitch in both. */
static bool is_held(const struct sides *s, uint32_t i, uint32_t k)
{
    const struct moment *a = &s->moment[0], *b = &s->moment[1];
    bool same_pitch = pitch_midi(a->pitches[i]) == pitch_midi(b->pitches[k]);
    if (a->notes && b->notes)
        return same_pitch && a->parts[i] == b->parts[k] && a->notes[i]->voice == b->notes[k]->voice;
    return false;
}

/* "; held in the same voice: G4 (strings)", apart from the verdict. */
static struct str say_held(struct claim_context *ctx, const struct sides *s)
{
    enum { SHOWN = 6 };
    struct str words[SHOWN];
    uint32_t n = 0;
    const struct moment *a = &s->moment[0], *b = &s->moment[1];
    for (uint32_t i = 0; a->notes && b->notes && i < a->n; i++)
        for (uint32_t k = 0; k < b->n && n < SHOWN; k++)
            if (is_held(s, i, k))
                words[n++] = say_text(ctx, "%.*s (%.*s)", STR_ARG(say_pitch(ctx, a->pitches[i])),
                                      STR_ARG(a->parts[i]->symbol.name));
    return n ? say_text(ctx, "; held in the same voice: %.*s",
                        STR_ARG(say_list(ctx, words, n, "and")))
             : STR("");
}

static struct str say_side(struct claim_context *ctx, const struct sides *s, int i)
{
    if (!s->ref[i].at_place)
        return say_text(ctx, "%.*s (%.*s)", STR_ARG(s->ref[i].words),
                        STR_ARG(say_tones(ctx, s->bag[i].t, s->bag[i].n)));
    return say_text(ctx, "%.*s (%.*s)", STR_ARG(s->ref[i].words),
                    STR_ARG(say_moment(ctx, &s->moment[i])));
}

static bool is_count(int pattern)
{
    return pattern == SHARE_COUNT || pattern == HAVE_COUNT || pattern == PLACES_COUNT ||
           pattern == PLACES_HAVE;
}

static bool is_true(const struct match *m, int pattern, pcset shared)
{
    pcset named = 0;
    if (is_count(pattern))
        return m->count[0] == pcset_count(shared);
    for (int i = 0; i < m->n_list; i++)
        named |= pcset_of(tone_pc(m->list[i]));
    bool only = pattern == SHARE_ONLY || pattern == PLACES_ONLY;
    return !(named & ~shared) && (!only || named == shared);
}

static void offer_true(struct claim_context *ctx, const struct match *m, int pattern, const struct sides *s)
{
    int n = pcset_count(s->shared);
    struct str subject = pattern < PLACES_COUNT
                             ? say_text(ctx, "%.*s and %.*s", STR_ARG(s->ref[0].words),
                                        STR_ARG(s->ref[1].words))
                             : say_text(ctx, "the chords at %.*s and %.*s of %.*s",
                                        STR_ARG(say_place(ctx, s->ref[0].passage, s->ref[0].at)),
                                        STR_ARG(say_place(ctx, s->ref[1].passage, s->ref[1].at)),
                                        STR_ARG(m->stream[0].passage->symbol.name));
    claim_instead(ctx, "%.*s share %.*s", STR_ARG(subject),
                  STR_ARG(n ? say_count(ctx, n, "tone", "tones") : STR("no tone")));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct sides s = {0};
    if (!read_sides(ctx, m, pattern, &s))
        return;
    struct str first = say_side(ctx, &s, 0), second = say_side(ctx, &s, 1);
    struct str shared = say_shared(ctx, s.shared, say_shared_tones(ctx, &s)), held = say_held(ctx, &s);
    if (is_true(m, pattern, s.shared)) {
        claim_holds(ctx, "%.*s and %.*s share %.*s%.*s", STR_ARG(first), STR_ARG(second), STR_ARG(shared),
                    STR_ARG(held));
        return;
    }
    claim_fails(ctx, "%.*s and %.*s share %.*s%.*s%.*s", STR_ARG(first), STR_ARG(second), STR_ARG(shared),
                STR_ARG(say_not_shared(ctx, m, s.shared)), STR_ARG(held));
    offer_true(ctx, m, pattern, &s);
}

const struct claim_kind claim_kind_common_tones = {
    .name = "common-tones",
    .patterns = patterns,
    .meaning = "Which tones two chords have in common, by sound and in any octave; those held in one voice "
               "are told apart.",
    .page = claim_page_common_tones,
    .check = check,
    .fails = DIAG_FAILS_common_tones,
};
