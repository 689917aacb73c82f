#include "claims/melody.h"

#include "base/buf.h"

enum { WORDS_NOTES_MAX = 12 };

struct str interval_sentence(struct claim_context *ctx, struct interval v)
{
    char text[INTERVAL_TEXT_MAX];
    return say_text(ctx, "%s", interval_phrase(v, true, text));
}

struct str line_words(struct claim_context *ctx, const struct line *l)
{
    struct pitch pitches[WORDS_NOTES_MAX];
    uint32_t n = l->n < WORDS_NOTES_MAX ? l->n : WORDS_NOTES_MAX;
    for (uint32_t i = 0; i < n; i++)
        pitches[i] = l->notes[i]->pitch;
    struct str words = say_pitches(ctx, pitches, n);
    return n == l->n ? words : say_text(ctx, "%.*s ...", STR_ARG(words));
}

struct str melodic_words(struct claim_context *ctx, struct pitch from, struct pitch to)
{
    struct interval v = interval_between(from, to);
    struct str a = say_pitch(ctx, from);
    struct str b = say_pitch(ctx, to);
    if (pitch_eq(from, to))
        return say_text(ctx, "repeats %.*s", STR_ARG(a));
    const char *verb = v.half > 0 ? "rises" : v.half < 0 ? "falls" : "goes";
    struct str name = interval_sentence(ctx, v);
    return say_text(ctx, "%s %.*s to %.*s, %.*s", verb, STR_ARG(a), STR_ARG(b), STR_ARG(name));
}

struct str note_at(struct claim_context *ctx, const struct line *l, uint32_t i)
{
    if (!l->passage)
        return STR("");
    struct str place = say_place(ctx, l->passage, l->notes[i]->onset);
    return say_text(ctx, " at %.*s", STR_ARG(place));
}

bool streams_same(const struct stream *a, const struct stream *b)
{
    return a->kind == b->kind && a->figure == b->figure && a->part == b->part && a->passage == b->passage &&
           a->voice == b->voice;
}

bool melody_line(struct claim_context *ctx, const struct match *m, int index, uint32_t least,
                 struct line *out)
{
    struct stretch where;
    struct match whole = *m;
    whole.span.given = m->span.given && index == 0;
    const struct stream *s = &m->stream[index];
    return match_stretch(ctx, &whole, s, &where) && stream_line(ctx, s, where, least, out);
}

uint32_t lines_rhythm_differ(const struct line *a, const struct line *b, bool *attack)
{
    uint32_t n = a->n < b->n ? a->n : b->n;
    for (uint32_t i = 0; i < n; i++) {
        *attack = !ratio_eq(ratio_minus(a->notes[i]->onset, a->notes[0]->onset),
                            ratio_minus(b->notes[i]->onset, b->notes[0]->onset));
        if (*attack || !ratio_eq(a->notes[i]->length, b->notes[i]->length))
            return i;
    }
    return n;
}
