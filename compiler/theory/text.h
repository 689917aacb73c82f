/* text.h - writing into a caller's buffer.
 *
 * Purpose: the text functions of theory/ append words to fixed buffers; none may write past the end.
 * Owner:   text_out borrows the buffer, which always holds NUL-terminated text.
 * Errors:  what does not fit is cut off.
 */
#ifndef DESCANT_THEORY_TEXT_H
#define DESCANT_THEORY_TEXT_H

#include "base/str.h"

struct text_out {
    char *p;
    uint32_t n;   /* bytes written, without the NUL */
    uint32_t max; /* bytes in p, with room for the NUL; > 0 */
};

struct text_out text_begin(char *p, uint32_t max);
void text_put(struct text_out *t, const char *z);
void text_str(struct text_out *t, struct str s);
void text_int(struct text_out *t, int value);
/* times may be 0 or negative: nothing is written. */
void text_repeat(struct text_out *t, const char *z, int times);

#endif
