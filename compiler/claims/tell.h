/* tell.h - words that several kinds use to tell what happens.
 *
 * Purpose: moves, lists and spans of bars are worded once, so that every verdict reads alike.
 * Units:   as in sema/model.h.
 * Owner:   texts live in the compilation arena (ctx->arena).
 * Errors:  none.
 */
#ifndef DESCANT_CLAIMS_TELL_H
#define DESCANT_CLAIMS_TELL_H

#include "claims/claims.h"

/* "a", "a and b", "a, b and c". */
struct str tell_list(struct claim_context *ctx, const struct str *items, uint32_t n);
/* What an interval does: "falls a major third", many: "fall a major third"; no motion: "stays", "is
 * respelled". */
struct str tell_move(struct claim_context *ctx, struct interval by, bool many);
/* "F#4 to A4". */
struct str tell_pitches(struct claim_context *ctx, struct pitch from, struct pitch to);
/* The direction of a move by sound: "up", "down"; empty for none. */
const char *tell_direction(struct interval by);
/* "a step", "a third", "a fourth" … for a number of staff steps of either sign. */
struct str tell_steps(struct claim_context *ctx, int steps);
/* What the sentence gave as its stretch, for a sentence of the same kind: ", bar 1 beat 1 to bar 1
 * beat 3"; empty where it gave none. */
struct str tell_span(struct claim_context *ctx, const struct match *m);
/* "between bar 1 beat 1 and bar 1 beat 3". */
struct str tell_between(struct claim_context *ctx, const struct passage *p, struct ratio from,
                        struct ratio to);
/* The same as a way: "bar 1 beat 1 to beat 3", "bar 1 beat 3 to bar 2 beat 1". */
struct str tell_way(struct claim_context *ctx, const struct passage *p, struct ratio from, struct ratio to);
/* A stream without its passage: "pipe", "the bass". */
struct str tell_short(const struct stream *s);
/* A verb for the stream as the sentence uses it, so that a suggestion reads like the author:
 * "strings of lamp move", "the harmony of lamp moves". `verb` is the plain form. */
struct str tell_verb(struct claim_context *ctx, const struct stream *s, const char *verb);
/* "is" or "are" in the same way. */
const char *tell_is(struct claim_context *ctx, const struct stream *s);
/* Names of voices: "voice 3", "voices 1, 2 and 4", "alto and tenor". */
struct str tell_voices(struct claim_context *ctx, const struct str *names, uint32_t n);
/* An interval of a sentence, with its article: "a major third", "a tritone", "4 half steps". */
struct str tell_size(struct claim_context *ctx, const struct interval_ref *v);
/* "none is a step", "one is a step", "four are steps". */
struct str tell_how_many(struct claim_context *ctx, uint32_t n, const char *one, const char *many);
/* "once", "twice", "three times". */
struct str tell_times(struct claim_context *ctx, int64_t n);
/* "the only move", "both moves", "all five moves". */
struct str tell_all(struct claim_context *ctx, uint32_t n, const char *one, const char *many);
/* "sounds the same; spelled it is a diminished fourth". */
struct str tell_same_sound(struct claim_context *ctx, struct interval spelled);

#endif
