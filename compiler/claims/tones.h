/* tones.h - what sounds, as spelled tones, and the chords it makes.
 *
 * Purpose: shared by the claim kinds on chords, keys and collections: gathers the tones of a stream or a
 * chord with the places they come from, compares them with what a name asks for, and names chords in words.
 * Units:   tones are spelled; sets (pcset) are by sound.
 * Owner:   all in the claim's arena.
 * Errors:  functions that return false have called claim_undecided.
 */
#ifndef DESCANT_CLAIMS_TONES_H
#define DESCANT_CLAIMS_TONES_H

#include "base/buf.h"
#include "claims/claims.h"

/* Different spelled tones in the order in which they were met. */
struct tone_bag {
    struct tone *t;
    uint32_t n;
};

/* Room for cap tones. */
struct tone_bag bag_new(struct arena *a, uint32_t cap);
/* Adds the tone unless the bag has it, spelled so. The bag must have room. */
void bag_add(struct tone_bag *b, struct tone t);
bool bag_has(const struct tone_bag *b, struct tone t);
pcset bag_set(const struct tone_bag *b);
/* The first tone of the bag on a pitch class; false: none. */
bool bag_on(const struct tone_bag *b, int pc, struct tone *out);

/* The tones of a moment, lowest first; of a symbol, all layers and slash basses, lowest layer first. */
struct tone_bag bag_of_moment(struct arena *a, const struct moment *m);
struct tone_bag bag_of_chord(struct arena *a, const struct chord *c);
struct tone_bag bag_of_harmony(struct arena *a, const struct harmony *h);
/* A quality on a root. */
struct tone_bag bag_of_quality(struct arena *a, struct tone root, const struct chord_quality *q);

/* ---- comparing with what a name asks for ----------------------------------------------------------- */

enum tones_fit {
    TONES_COMPLETE,  /* every tone asked for, and no other */
    TONES_SHORT,     /* the same, but a tone is left out that the chord may leave out */
    TONES_RESPELLED, /* complete or short by sound, spelled otherwise */
    TONES_DIFFER
};

struct tones_report {
    enum tones_fit fit;
    struct tone_bag missing; /* asked for, not there (spelled); what is left out where the fit is short */
    struct tone_bag foreign; /* there, not asked for (spelled) */
};

/* Compares what is there with the tones of one chord on a root. A chord with a seventh may leave out a
 * perfect fifth, one with an eleventh or thirteenth also its major ninth, one with a thirteenth its perfect
 * eleventh. Source: Hutchinson, Voice Leading Successive Seventh Chords ("incomplete": without the fifth);
 * ninths and elevenths: common practice. */
struct tones_report tones_compare(struct arena *a, const struct tone_bag *have, const struct tone_bag *want,
                                  struct tone root);
/* The same without tones that may be left out. */
struct tones_report tones_compare_all(struct arena *a, const struct tone_bag *have,
                                      const struct tone_bag *want);

/* ---- where tones come from ------------------------------------------------------------------------- */

struct tone_place {
    struct tone tone;
    struct span where;
    struct str words; /* "bar 3 beat 2"; empty for a bare symbol */
};

struct tone_source {
    struct tone_place *items; /* each spelled tone once, where it is met first */
    uint32_t n, cap;
    struct tone_bag bag; /* the same tones */
    pcset set;
    uint32_t sounding, symbols; /* chords or notes read from notes, and from a symbol alone */
    struct str words;           /* "the harmony of lamp", "C and F#" */
    struct str span; /* ", bar 1 to bar 3" as the sentence gave it, to end a sentence with; or empty */
};

/* All tones of a stream in the sentence's span: harmony by its chords, anything else by its notes. */
bool source_of_stream(struct claim_context *ctx, const struct match *m, const struct stream *s,
                      struct tone_source *out);
/* All tones of n chords together. */
bool source_of_chords(struct claim_context *ctx, const struct chord_ref *chords, int n,
                      struct tone_source *out);
/* The source behind `of`: "lamp" for "all of lamp". */
struct str source_name(const struct tone_source *s);
/* " (by the chord symbols alone)" or the like, empty where notes were read. */
struct str source_basis(struct claim_context *ctx, const struct tone_source *s);

/* ---- words ----------------------------------------------------------------------------------------- */

/* "a", "a or b", "a, b or c"; `last` is "or" or "and". */
struct str say_list(struct claim_context *ctx, const struct str *items, uint32_t n, const char *last);
/* What a moment holds: "C4 E4 G4" or "C, E and G by its symbol C". */
struct str say_moment(struct claim_context *ctx, const struct moment *m);
/* The same for what CHORD denotes: a symbol that stands for itself is just its tones. */
struct str say_chord(struct claim_context *ctx, const struct chord_ref *c, const struct moment *m);
/* "two tones, E and G", "no tone": shared tones with their number. */
struct str say_shared(struct claim_context *ctx, pcset shared, struct str tones);
/* "; G is not among them": tones the sentence names that are not shared, by sound; or empty. */
struct str say_not_shared(struct claim_context *ctx, const struct match *m, pcset shared);
/* The symbols of the chords that exactly these tones make, lowest tone first: "C6 or Am7/C"; those spelled
 * so, or, if none is, those by sound (*spelled tells which). Empty if they make none. */
struct str say_chord_names(struct claim_context *ctx, const struct tone_bag *tones, bool *spelled);
/* "C7 (without Bb, with B)": the chord whose tones differ least, at most one tone too many and one missing;
 * or empty. */
struct str say_nearest_chord(struct claim_context *ctx, const struct tone_bag *tones);
/* "C", "Am7/C" */
struct str say_symbol(struct claim_context *ctx, const struct chord_match *c, struct tone bass);
/* A harmony as the author typed it, or its chord's symbol. */
struct str say_harmony(struct claim_context *ctx, const struct harmony *h);
/* "a minor third"; past the octave both names: "a minor tenth (an octave and a minor third)". */
struct str say_size(struct claim_context *ctx, struct interval v);
/* "a half step", "a tritone", "3 half steps": a distance by sound. */
struct str say_half_steps(struct claim_context *ctx, int half);
/* The interval a sentence names, with its article: "a tritone", "4 semitones", "a major tenth". */
struct str say_named(struct claim_context *ctx, const struct interval_ref *want);
/* The best reading of tones as one chord; false if the library has none with exactly these tones. */
bool chord_reading(struct claim_context *ctx, const struct tone_bag *tones, struct chord_match *out);
/* The readings a musician would name, best first: the best one, and beside it only triads and seventh chords.
 * All are spelled as the first is, or all by sound. Returns how many, at most READINGS_MAX. */
enum { READINGS_MAX = 3 };
uint32_t chord_readings(struct claim_context *ctx, const struct tone_bag *tones, struct chord_match *out);
/* A triad or seventh chord: third and fifth of any kind, and a seventh where there is a fourth tone. */
bool chord_is_tertian(const struct chord_quality *q);

#endif
