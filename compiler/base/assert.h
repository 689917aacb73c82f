/* assert.h - our own mistakes: kept in release builds, unlike assert(). */
#ifndef DESCANT_ASSERT_H
#define DESCANT_ASSERT_H

#include <stdlib.h>

#define ASSERT(condition) ((condition) ? (void)0 : abort())

#endif
