/* shown.h - source text as it can be shown on a terminal.
 *
 * Purpose: one place decides what a character looks like and how many cells it takes, so that carets stand under what they
 *          mean.
 * Units:   byte offsets into the text given; display cells.
 * Owner:   plain values.
 * Errors:  none; a byte that is not UTF-8 is shown as <FF>.
 */
#ifndef DESCANT_SHOWN_H
#define DESCANT_SHOWN_H

#include "base/str.h"

enum { GLYPH_TEXT_MAX = 12 };

/* One code point or bad byte. */
struct glyph {
    uint32_t bytes; /* taken from the text */
    uint32_t cells;
    char text[GLYPH_TEXT_MAX]; /* what is shown, NUL-terminated */
};

/* The glyph at byte `at` of a text; `cell` is where it will stand (tabs go to stops of 8). */
struct glyph glyph_at(struct str text, uint32_t at, uint32_t cell);

#endif
