/* span.h - a stretch of source text.
 *
 * Purpose: the only way the program says "here". Lines and columns exist only in source/source.h.
 * Units:   byte offsets into one source, half open [lo, hi); lo <= hi <= length.
 * Owner:   a plain value; copy freely.
 */
#ifndef DESCANT_SPAN_H
#define DESCANT_SPAN_H

#include <stdint.h>

struct span {
    uint32_t file; /* index into the compilation's sources */
    uint32_t lo, hi;
};

/* The smallest span that covers both; spans of two files give the first. */
static inline struct span span_join(struct span a, struct span b)
{
    if (a.file != b.file)
        return a;
    return (struct span){a.file, a.lo < b.lo ? a.lo : b.lo, a.hi > b.hi ? a.hi : b.hi};
}

#endif
