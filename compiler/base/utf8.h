/* utf8.h - well-formed UTF-8 (Unicode Standard, table 3-7: no overlong forms, no surrogates, up to U+10FFFF). */
#ifndef DESCANT_UTF8_H
#define DESCANT_UTF8_H

#include <stdint.h>

/* Bytes of the well-formed sequence at p[0..n), 0 if it is not one. */
uint32_t utf8_length(const unsigned char *p, uint32_t n);

#endif
