/* weave.h - the voices of a stream, each as a line of its own, and how two of them meet.
 *
 * Purpose: claims on fifths, crossing, resolution and suspensions follow every voice through time: a voice
 *          of a part, or, where chords were written with their notes, a place in the chord.
 * Units:   positions in wholes from the passage's start.
 * Owner:   results live in the compilation arena.
 * Errors:  what can't be followed is remembered (gap, unclear), so that a claim which one fact decides can
 *          still be decided; weave_add returns false after an undecided verdict where there are no notes to
 *          follow at all.
 */
#ifndef DESCANT_CLAIMS_WEAVE_H
#define DESCANT_CLAIMS_WEAVE_H

#include "claims/claims.h"
#include "claims/places.h"

/* One voice. */
struct strand {
    struct str name;         /* "alto", "voice 2 of strings", "reed" */
    struct str claim;        /* as a sentence names it, "alto of choir of hymn"; empty: it can't */
    const struct part *part; /* NULL: a place in written chords, or an outer voice */
    uint32_t voice;
    int side; /* which stream of the sentence it belongs to */
    const struct note **notes;
    uint32_t n;
};

struct weave {
    struct strand *items;
    uint32_t n, cap;
    const struct passage *passage;
    struct stretch stretch;
    bool ranked;  /* all are voices of one part, lowest first, that the author told apart by name */
    bool by_rank; /* places in chords, taken from low to high: whether they cross is not said */
    bool has_gap;
    struct gap gap;             /* the first stretch of which the notes are not known */
    const struct part *unclear; /* a part whose voices can't be told apart, left out; NULL: none */
};

/* Adds the voices of a stream. `eager`: every note is read as evidence; otherwise the caller takes those it
 * uses (strand_take). */
bool weave_add(struct claim_context *ctx, const struct stream *s, struct stretch where, bool eager, int side,
               struct weave *out);
/* The same for one stream alone. */
bool weave_read(struct claim_context *ctx, const struct stream *s, struct stretch where, bool eager,
                struct weave *out);
/* All parts of a passage, for what sounds around a voice. */
bool weave_passage(struct claim_context *ctx, const struct passage *p, struct stretch where,
                   struct weave *out);

/* The passage that a sentence speaks of where it names none: the file's only one; NULL: there are several. */
const struct passage *weave_only_passage(const struct model *m);

/* Where bars, or voices, are not known: true after an undecided verdict. */
bool weave_unknown(struct claim_context *ctx, const struct weave *w);
/* The undecided verdict for a part whose voices can't be told apart. */
void voices_unclear(struct claim_context *ctx, const struct part *part);

/* Takes a note as evidence; false where this run leaves it out. */
bool strand_take(struct claim_context *ctx, const struct weave *w, const struct note *n);
/* Index of the note that sounds at a position; s->n: none. */
uint32_t strand_at(const struct strand *s, struct ratio at);
/* Index of the note that begins before a position and lasts up to it; s->n: none. */
uint32_t strand_until(const struct strand *s, struct ratio at);

/* What comes after a note, or before it. */
enum next_kind {
    NEXT_NOTE,   /* without a rest between */
    NEXT_REST,   /* the voice is silent first */
    NEXT_END,    /* nothing more in the stretch */
    NEXT_UNKNOWN /* bars that are not transcribed, or left open */
};
struct next {
    enum next_kind kind;
    uint32_t index; /* NEXT_NOTE: the note; NEXT_REST: the one after the rest */
    struct gap gap; /* NEXT_UNKNOWN */
};
struct next strand_after(struct claim_context *ctx, const struct weave *w, const struct strand *s,
                         uint32_t i);
struct next strand_before(struct claim_context *ctx, const struct weave *w, const struct strand *s,
                          uint32_t i);
/* The next note of another pitch; notes struck again are passed over. */
struct next strand_moves(struct claim_context *ctx, const struct weave *w, const struct strand *s,
                         uint32_t i);
/* "nothing follows in the passage", "the voice rests first" …; for NEXT_NOTE empty. */
struct str next_words(struct claim_context *ctx, const struct weave *w, const struct strand *s, uint32_t i,
                      const struct next *next);

/* ---- two voices ------------------------------------------------------------------------------ */

/* A moment at which both sound and one of them at least begins a note. a1 and b1 sounded right up to it; NULL
 * where a voice was silent. */
struct turn {
    const struct note *a1, *b1, *a2, *b2;
    struct ratio at;
};
struct turns_of {
    const struct strand *a, *b;
    uint32_t i, k; /* the next note of each */
};
/* The next such moment; false: no more. */
bool turn_next(struct turns_of *walk, struct turn *out);

/* The interval from the lower to the higher of two notes by letters; never negative. */
struct interval interval_upward(struct pitch a, struct pitch b);
/* Unison, third, perfect fifth, sixth, octave, also past the octave. A fourth counts as dissonant, as it does
 * above the bass: common practice. */
bool interval_consonant(struct interval v);

#endif
