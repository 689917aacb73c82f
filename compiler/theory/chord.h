/* chord.h - chord qualities, symbols, and what notes make.
 *
 * Purpose: reads lead-sheet symbols and spells them; names the chords that notes make. Qualities come from
 *          the caller's dictionary (the standard library): this file knows no quality by name.
 * Owner:   a dictionary borrows its entries; chords are plain values.
 * Errors:  parsers return false and leave *out untouched; *bad tells the first byte not understood.
 * Source:  degrees against the major scale of the root, lead-sheet convention (common practice; Hutchinson,
 *          Introduction to Jazz Theory and Chord Symbol Specifics).
 */
#ifndef DESCANT_THEORY_CHORD_H
#define DESCANT_THEORY_CHORD_H

#include "theory/interval.h"
#include "theory/pcset.h"

enum { CHORD_TONES_MAX = 12 };

/* One quality of the dictionary, e.g. the half-diminished seventh. */
struct chord_quality {
    struct str id;                 /* "half-diminished-seventh" */
    struct str name;               /* "half-diminished seventh" */
    const struct str *names;       /* every name, the first is `name` */
    uint32_t n_names;
    const struct str *symbols;     /* suffixes after the root; "" for the major triad; first is preferred */
    uint32_t n_symbols;
    struct interval degrees[CHORD_TONES_MAX]; /* ascending from the root, root included as {0,0} */
    uint32_t n_degrees;
    pcset shape;                   /* degrees by sound above root 0 */
};

/* Maps symbol suffixes to qualities. Built once over all qualities, then read only. */
struct chord_dict {
    const struct chord_quality *qualities; /* n entries, in library order */
    uint32_t n;
    const struct chord_dict_slot *slots; /* open addressing, size a power of two */
    uint32_t n_slots;
};

struct chord_dict_slot {
    struct str symbol;
    uint32_t hash;                       /* of the symbol in compared form */
    const struct chord_quality *quality; /* NULL: empty slot */
};

/* A chord that a symbol denotes. */
struct chord {
    struct tone root;
    struct tone bass;      /* equals root unless the symbol has a slash */
    bool slash;            /* the symbol names its bass */
    struct tone tones[CHORD_TONES_MAX]; /* root first, in degree order; a slash bass outside the chord is not
                                           among them */
    uint32_t n_tones;
    const struct chord_quality *quality; /* the base quality; NULL where only alterations spell the chord */
    bool altered;          /* tones differ from the quality's own (b9, add, no3 …) */
};

/* Slots the caller must provide for n symbols: a power of two at least twice as large. */
uint32_t chord_dict_slots(uint32_t n_symbols);
/* Fills dict over caller's slots (zeroed, n_slots of them). Returns the index of a quality whose symbol
 * another already has, or -1. The earlier one keeps the symbol. Sharp and flat signs in symbols are compared
 * as ASCII; parentheses, commas and spaces in a suffix do not count. */
int chord_dict_build(struct chord_dict *dict, const struct chord_quality *qualities, uint32_t n,
                     struct chord_dict_slot *slots, uint32_t n_slots);

/* Degree words of the library: "1", "b3", "#5", "bb7", "13" as ascending intervals from the root. */
bool degree_parse(struct str s, struct interval *out);

/* Reads a whole symbol: root, suffix, optional "/bass". The suffix is looked up whole; failing that, the
 * longest known beginning is followed by alterations and additions (b5 #5 b9 #9 #11 b13 add2 add4 add6 add9
 * add11 add13 no1 no3 no5 omit3 omit5 sus2 sus4), each optionally in parentheses. "/9" as in 6/9
 * belongs to the suffix, "/D" is a bass. An alteration takes the place of the plain degree or is added where
 * there is none; a "/9" or "/b9" adds. Where the outcome has exactly the degrees of another quality, that
 * one is the chord's quality, unaltered (C-7-5). False: not a chord symbol; *bad gets the byte offset of
 * what was not understood (s.n if it ended early). */
bool chord_parse(const struct chord_dict *dict, struct str s, struct chord *out, uint32_t *bad);

pcset chord_set(const struct chord *c); /* tones and slash bass, by sound */

/* A reading of notes as a chord. */
struct chord_match {
    struct tone root;
    const struct chord_quality *quality;
    bool spelled;     /* the tones are spelled as the quality from this root spells them */
    bool root_bass;   /* root is the lowest tone given */
};

/* Every quality that has exactly these tones (sound decides membership, spelling ranks), best first: spelled
 * before by-sound, root in bass before not, then library order. tones[0] is the lowest. At most max results;
 * returns how many were written. */
uint32_t chord_identify(const struct chord_dict *dict, const struct tone *tones, uint32_t n,
                        struct chord_match *out, uint32_t max);

/* "Cm7b5", "Bb/D": root + preferred suffix (+ slash bass) into out (PITCH_TEXT_MAX bytes). In SIGN_WORDS the
 * quality's name stands for the suffix: "C half-diminished seventh", "B flat major triad over D"; so it does
 * where the quality has no symbol. bass may be NULL, q not. */
const char *chord_symbol(struct tone root, const struct chord_quality *q, const struct tone *bass,
                         enum sign_style style, char *out);

#endif
