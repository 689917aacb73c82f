/* numerals.h - chords as Roman numerals of a key.
 *
 * Purpose: what the kinds on function have in common: whether a chord is what a numeral says, which numeral a
 *          chord is, the chords of a stretch without repeats.
 * Units:   numerals as theory/roman.h reads them; tones spelled.
 * Owner:   the claim's arena.
 * Errors:  functions that say so return false after an undecided verdict.
 * Source:  Hutchinson, Roman Numerals and Cadences; Figured Bass, Figured Bass Inversion Symbols. An incomplete
 *          triad has root and third and no fifth: the same, Cadences.
 */
#ifndef DESCANT_CLAIMS_NUMERALS_H
#define DESCANT_CLAIMS_NUMERALS_H

#include "claims/tones.h"
#include "theory/roman.h"

enum numeral_fit {
    NUMERAL_FITS,
    NUMERAL_UNVOICED,  /* the tones are right; which of them is lowest is not known */
    NUMERAL_INVERTED,  /* the tones are right, another of them is lowest */
    NUMERAL_RESPELLED, /* right by sound, spelled otherwise */
    NUMERAL_DIFFERS
};

struct numeral_report {
    enum numeral_fit fit;
    struct tones_report tones;
};

/* Compares a chord with what a numeral asks for. by_name: the chord is a symbol of the sentence itself, whose
 * bass is what it says; a symbol at a place stands for notes whose lowest is not known. */
struct numeral_report numeral_compare(struct claim_context *ctx, const struct moment *m, bool by_name,
                                      const struct chord *want);
/* Is the chord this numeral in the key? */
bool moment_is_numeral(struct claim_context *ctx, const struct moment *m, bool by_name, struct key key,
                       const char *numeral);
/* The same whatever tone is lowest. */
bool moment_is_inverted(struct claim_context *ctx, const struct moment *m, struct key key,
                        const char *numeral);
/* The plainest numeral of the chord: of the key, else Neapolitan or augmented sixth, else applied, else
 * altered. `proven` wants one that numeral_compare calls NUMERAL_FITS. False: there is none. */
bool numeral_name(struct claim_context *ctx, const struct moment *m, bool by_name, struct key key,
                  bool proven, struct str *out);
/* Are all tones of the chord, as spelled, in the key? The convention `minor` decides which a minor key has. */
bool moment_is_diatonic(struct claim_context *ctx, const struct moment *m, struct key key);

/* The stream's chords in a stretch, equal neighbours (tones and lowest note) taken as one. */
bool stream_chords(struct claim_context *ctx, const struct match *m, const struct stream *s, uint32_t least,
                   struct moments *out);
/* The same for the harmony of the passage that the stream belongs to, where it has a harmony row. */
struct stream stream_harmony(const struct stream *s);

/* The key of the sentence, else the one stated in the passage at a position. */
bool key_of_claim(struct claim_context *ctx, const struct match *m, const struct passage *p, struct ratio at,
                  struct key *out);
struct str say_key(struct claim_context *ctx, struct key k);
/* "F is missing, F# is foreign to it" */
struct str say_tone_report(struct claim_context *ctx, const struct tones_report *r);
/* The lowest note: "B", or empty where it is not known. */
struct str say_bass(struct claim_context *ctx, const struct moment *m);

#endif
