/* normal.h - one form for each text.
 *
 * Purpose: an accent typed as one character and as two is the same letter: texts are kept in NFC (Unicode Standard Annex 15).
 * Owner:   the result is the text itself where it is normal already, else arena text.
 * Errors:  none; text that is not UTF-8 is given back as it is.
 */
#ifndef DESCANT_NORMAL_H
#define DESCANT_NORMAL_H

#include "base/arena.h"
#include "base/str.h"

struct str text_normal(struct arena *a, struct str text);

#endif
