/* scale.h - scales, collections and keys.
 *
 * Purpose: membership, by spelling or by sound, in a scale on a tonic; which keys contain a set.
 * Owner:   scale definitions come from the standard library; this file knows none by name but the three
 *          forms of minor, which a key is.
 * Source:  Hutchinson, Minor Scales and Keys; a key's minor takes natural, harmonic and melodic forms
 *          together unless the caller narrows it.
 */
#ifndef DESCANT_THEORY_SCALE_H
#define DESCANT_THEORY_SCALE_H

#include "theory/interval.h"
#include "theory/pcset.h"

enum { SCALE_TONES_MAX = 12 };

struct scale {
    struct str id;           /* "octatonic-half-whole" */
    struct str name;
    const struct str *names; /* every name, the first is `name` */
    uint32_t n_names;
    struct interval degrees[SCALE_TONES_MAX]; /* ascending from the tonic, tonic included */
    uint32_t n_degrees;
    pcset shape;             /* on tonic 0, by sound */
};

pcset scale_set(const struct scale *s, int tonic_pc);
/* Spells the scale on a tonic into out; returns n_degrees. */
uint32_t scale_spell(const struct scale *s, struct tone tonic, struct tone out[SCALE_TONES_MAX]);
/* Distinct transpositions by sound (12, or fewer for symmetric collections). */
int scale_transpositions(const struct scale *s);

/* Which forms of minor count (convention `minor`). */
enum minor_form { MINOR_ALL, MINOR_NATURAL, MINOR_HARMONIC, MINOR_MELODIC };

struct key {
    struct tone tonic;
    bool minor;
};

/* MINOR_MELODIC is the ascending form. MINOR_ALL is the union of the three. */
pcset key_set(struct key k, enum minor_form form);
/* Is the tone spelled as the key spells it? */
bool key_has_tone(struct key k, enum minor_form form, struct tone t);
/* Sharps positive, flats negative, as the signature shows: D major 2, F minor -4. */
int key_fifths(struct key k);
/* Does one form of the key contain the set? With MINOR_ALL the union counts. */
bool key_contains(struct key k, enum minor_form form, pcset set);
/* The usual key on each pitch class: 0..11 major, 12..23 minor (C, Db, D, Eb, E, F, F#, G, Ab, A, Bb, B;
 * C#m, F#m, G#m, Ebm, Bbm for the minor ones). */
struct key key_of_index(int index);
/* Steps of the key's scale between two tones' letters: 0 … 6, with the chromatic difference of `t` from the
 * key's own tone on that letter (natural minor in minor). */
void key_degree(struct key k, struct tone t, int *degree_from_0, int *alter);
/* "Eb minor", "C major". out has PITCH_TEXT_MAX bytes. */
const char *key_text(struct key k, enum sign_style style, char *out);

#endif
