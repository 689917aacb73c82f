#include "base/buf.h"
#include "claims/claims.h"

#include <inttypes.h>

/* Words that nobody reads. Not empty: callers ask whether there was anything to say. */
#define UNSAID STR("-")

struct str say_pitch(struct claim_context *ctx, struct pitch p)
{
    if (ctx->mute)
        return UNSAID;
    char text[PITCH_TEXT_MAX];
    return say_text(ctx, "%s", pitch_text(p, SIGN_ASCII, text));
}

struct str say_tone(struct claim_context *ctx, struct tone t)
{
    if (ctx->mute)
        return UNSAID;
    char text[PITCH_TEXT_MAX];
    return say_text(ctx, "%s", tone_text(t, SIGN_ASCII, text));
}

struct str say_interval(struct claim_context *ctx, struct interval v)
{
    if (ctx->mute)
        return UNSAID;
    char text[INTERVAL_TEXT_MAX];
    return say_text(ctx, "%s", interval_phrase(v, false, text));
}

struct str say_move(struct claim_context *ctx, struct interval v)
{
    if (ctx->mute)
        return UNSAID;
    /* Direction is by sound; a change of spelling alone has none. */
    const char *way = v.half > 0 ? "up " : v.half < 0 ? "down " : "";
    char text[INTERVAL_TEXT_MAX];
    return say_text(ctx, "%s%s", way, interval_phrase(v, false, text));
}

struct str say_place(struct claim_context *ctx, const struct passage *p, struct ratio at)
{
    if (ctx->mute)
        return UNSAID;
    char text[RATIO_TEXT_MAX];
    /* A figure of a library has no bars: its notes are placed by their distance from its beginning. */
    if (!p)
        return say_text(ctx, "%s after its beginning", ratio_text(at, true, text));
    return place_text(ctx->arena, p, at);
}

struct str say_pitches(struct claim_context *ctx, const struct pitch *p, uint32_t n)
{
    if (ctx->mute)
        return n ? UNSAID : STR("");
    struct buf b = {0};
    char text[PITCH_TEXT_MAX];
    for (uint32_t i = 0; i < n; i++)
        buf_printf(&b, "%s%s", i ? " " : "", pitch_text(p[i], SIGN_ASCII, text));
    return buf_take(&b, ctx->arena);
}

static const char *separator(uint32_t i, uint32_t n)
{
    return i == 0 ? "" : i + 1 == n ? " and " : ", ";
}

struct str say_tones(struct claim_context *ctx, const struct tone *t, uint32_t n)
{
    if (ctx->mute)
        return n ? UNSAID : STR("");
    struct buf b = {0};
    char text[PITCH_TEXT_MAX];
    for (uint32_t i = 0; i < n; i++)
        buf_printf(&b, "%s%s", separator(i, n), tone_text(t[i], SIGN_ASCII, text));
    return buf_take(&b, ctx->arena);
}

struct str say_set(struct claim_context *ctx, pcset set)
{
    if (ctx->mute)
        return set ? UNSAID : STR("");
    /* The commonest name of each key of a keyboard: two sharps, three flats. */
    static const struct tone plain[12] = {{0, 0},  {0, 1}, {1, 0},  {2, -1}, {2, 0},  {3, 0},
                                          {3, 1},  {4, 0}, {5, -1}, {5, 0},  {6, -1}, {6, 0}};
    struct tone tones[12];
    uint32_t n = 0;
    for (int pc = 0; pc < 12; pc++)
        if (set & pcset_of(pc))
            tones[n++] = plain[pc];
    return say_tones(ctx, tones, n);
}

struct str say_count(struct claim_context *ctx, int64_t n, const char *one, const char *many)
{
    if (ctx->mute)
        return UNSAID;
    static const char *const words[] = {"no",  "one",   "two",   "three", "four", "five",   "six",
                                        "seven", "eight", "nine", "ten",   "eleven", "twelve"};
    const char *noun = n == 1 ? one : many;
    if (n >= 0 && n < (int64_t)(sizeof words / sizeof words[0]))
        return say_text(ctx, "%s %s", words[n], noun);
    return say_text(ctx, "%" PRId64 " %s", n, noun);
}
