/* roman.h - Roman numerals with figured bass.
 *
 * Purpose: spells a numeral in a key: I, ii6, V65/V, viio7, viiø65, bVI, N6, It+6, Fr+6, Ger+6, cad64.
 * Errors:  false and *out untouched; *bad is the byte offset of what was not understood.
 * Source:  Hutchinson, Roman Numerals and Cadences; Figured Bass; Secondary Dominant Chords; The Neapolitan
 *          Chord; Augmented Sixth Chords. Diatonic sevenths (I7, IV7): common practice.
 */
#ifndef DESCANT_THEORY_ROMAN_H
#define DESCANT_THEORY_ROMAN_H

#include "theory/chord.h"
#include "theory/scale.h"

/* out: root first (augmented sixths: the lowest tone, which is their root here, first), bass by the figures;
 * slash false; quality NULL. Capitals are major triads, small letters minor; o, + and ø as written. Figures
 * name the key's own tones: I7 of C major has B, V9 of A minor has F; maj7 says a major seventh, whatever
 * the key has. Flats count from the major scale, so bVI of A minor is VI; sharps from the key's own. A
 * diminished chord on 6 or 7 of minor stands on the raised degree. cad64 is the tonic triad in second
 * inversion. Applied chords may be stacked: V/V/V. */
bool roman_parse(struct str s, struct key key, struct chord *out, uint32_t *bad);

#endif
