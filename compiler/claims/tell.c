#include "claims/tell.h"

#include "base/buf.h"
#include "claims/tones.h"

#include <inttypes.h>
#include <stdlib.h>

struct str tell_list(struct claim_context *ctx, const struct str *items, uint32_t n)
{
    return say_list(ctx, items, n, "and");
}

struct str tell_move(struct claim_context *ctx, struct interval by, bool many)
{
    if (by.half == 0 && by.steps == 0)
        return many ? STR("stay") : STR("stays");
    if (by.half == 0)
        return many ? STR("are respelled") : STR("is respelled");
    const char *verb = by.half < 0 ? "fall" : "rise";
    return say_text(ctx, "%s%s %.*s", verb, many ? "" : "s", STR_ARG(say_interval(ctx, by)));
}

struct str tell_pitches(struct claim_context *ctx, struct pitch from, struct pitch to)
{
    return say_text(ctx, "%.*s to %.*s", STR_ARG(say_pitch(ctx, from)), STR_ARG(say_pitch(ctx, to)));
}

const char *tell_direction(struct interval by)
{
    return by.half < 0 ? "down" : by.half > 0 ? "up" : "";
}

struct str tell_steps(struct claim_context *ctx, int steps)
{
    static const char *const names[] = {
        "no step", "a step", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave",
    };
    enum { NAMES = sizeof names / sizeof names[0] };
    int n = abs(steps);
    return n < NAMES ? str_of(names[n]) : say_text(ctx, "%d steps", n);
}

static struct str place_words(struct claim_context *ctx, struct place_ref place)
{
    if (!place.has_beat)
        return say_text(ctx, "bar %d", place.bar);
    int64_t whole = ratio_floor(place.beat);
    struct ratio rest = ratio_minus(place.beat, ratio_int(whole));
    if (rest.num == 0)
        return say_text(ctx, "bar %d beat %" PRId64, place.bar, whole);
    char text[RATIO_TEXT_MAX];
    return say_text(ctx, "bar %d beat %" PRId64 " %s", place.bar, whole,
                    ratio_text(rest, true, text));
}

struct str tell_span(struct claim_context *ctx, const struct match *m)
{
    if (!m->span.given)
        return STR("");
    struct str from = place_words(ctx, m->span.from), to = place_words(ctx, m->span.to);
    if (str_eq(from, to))
        return say_text(ctx, ", %.*s", STR_ARG(from));
    return say_text(ctx, ", %.*s to %.*s", STR_ARG(from), STR_ARG(to));
}

struct str tell_between(struct claim_context *ctx, const struct passage *p, struct ratio from,
                        struct ratio to)
{
    if (!p)
        return STR("within the figure");
    return say_text(ctx, "between %.*s and %.*s", STR_ARG(say_place(ctx, p, from)),
                    STR_ARG(say_place(ctx, p, to)));
}

struct str tell_way(struct claim_context *ctx, const struct passage *p, struct ratio from, struct ratio to)
{
    struct str a = say_place(ctx, p, from), b = say_place(ctx, p, to);
    const struct bar *bar = p ? passage_bar_at(p, from) : NULL;
    if (bar && bar == passage_bar_at(p, to)) {
        struct str prefix = say_text(ctx, "bar %d ", bar->number);
        if (str_starts(b, prefix))
            b = str_slice(b, prefix.n, b.n);
    }
    return say_text(ctx, "%.*s to %.*s", STR_ARG(a), STR_ARG(b));
}

struct str tell_short(const struct stream *s)
{
    static const char link[] = " of ";
    uint32_t link_n = sizeof link - 1;
    if (!s->passage || s->words.n <= s->passage->symbol.name.n + link_n)
        return s->words;
    uint32_t at = s->words.n - s->passage->symbol.name.n;
    bool named = str_eq(str_slice(s->words, at, s->words.n), s->passage->symbol.name) &&
                 str_is(str_slice(s->words, at - link_n, at), link);
    return named ? str_slice(s->words, 0, at - link_n) : s->words;
}

/* The word that follows `part` in `text`; empty if there is none. */
static struct str word_after(struct str text, struct str part)
{
    for (uint32_t i = 0; i + part.n < text.n; i++) {
        if (!str_eq(str_slice(text, i, i + part.n), part) || text.p[i + part.n] != ' ')
            continue;
        uint32_t from = i + part.n + 1, to = from;
        while (to < text.n && text.p[to] != ' ')
            to++;
        return str_slice(text, from, to);
    }
    return STR("");
}

static bool ends_in_s(struct str word)
{
    return word.n > 1 && word.p[word.n - 1] == 's' && word.p[word.n - 2] != 's';
}

/* By the verb that follows the stream in the sentence; where another subject follows (`strings and horn of
 * lamp enter`), by the stream's own name. */
static bool is_plural(const struct claim_context *ctx, const struct stream *s)
{
    /* Without the first letter, which may be a capital in the sentence as written. */
    struct str words = s->words.n > 1 ? str_slice(s->words, 1, s->words.n) : s->words;
    struct str used = word_after(ctx->claim->text, words);
    if (str_is(used, "and"))
        return ends_in_s(tell_short(s));
    return used.n && used.p[used.n - 1] != 's';
}

struct str tell_verb(struct claim_context *ctx, const struct stream *s, const char *verb)
{
    bool o = verb[strlen(verb) - 1] == 'o'; /* "goes" */
    return str_printf(ctx->arena, "%s%s", verb, is_plural(ctx, s) ? "" : o ? "es" : "s");
}

const char *tell_is(struct claim_context *ctx, const struct stream *s)
{
    return is_plural(ctx, s) ? "are" : "is";
}

struct str tell_voices(struct claim_context *ctx, const struct str *names, uint32_t n)
{
    struct str *numbers = ARENA_NEW_ARRAY(ctx->arena, struct str, n);
    for (uint32_t i = 0; i < n; i++) {
        if (n == 1 || !str_starts(names[i], STR("voice ")) || memchr(names[i].p + 6, ' ', names[i].n - 6))
            return tell_list(ctx, names, n);
        numbers[i] = str_slice(names[i], 6, names[i].n);
    }
    return say_text(ctx, "voices %.*s", STR_ARG(tell_list(ctx, numbers, n)));
}

struct str tell_size(struct claim_context *ctx, const struct interval_ref *v)
{
    char text[INTERVAL_TEXT_MAX];
    if (v->cents)
        return v->words;
    if (!v->by_sound)
        return say_interval(ctx, v->v);
    const char *words = half_steps_words(v->v.half, text);
    bool counted = words[0] >= '0' && words[0] <= '9';
    return say_text(ctx, "%s%s", counted ? "" : "a ", words);
}

struct str tell_how_many(struct claim_context *ctx, uint32_t n, const char *one, const char *many)
{
    if (n == 0)
        return say_text(ctx, "none %s", one);
    return say_count(ctx, n, one, many);
}

struct str tell_times(struct claim_context *ctx, int64_t n)
{
    if (n == 1)
        return STR("once");
    if (n == 2)
        return STR("twice");
    return say_count(ctx, n, "time", "times");
}

struct str tell_all(struct claim_context *ctx, uint32_t n, const char *one, const char *many)
{
    if (n == 1)
        return say_text(ctx, "the only %s", one);
    if (n == 2)
        return say_text(ctx, "both %s", many);
    return say_text(ctx, "all %.*s", STR_ARG(say_count(ctx, n, one, many)));
}

struct str tell_same_sound(struct claim_context *ctx, struct interval spelled)
{
    return say_text(ctx, "sounds the same; spelled it is %.*s", STR_ARG(say_interval(ctx, spelled)));
}
