/* dump.h - each stage as text, one thing a line in a stable order, for tests and bug reports. */
#ifndef DESCANT_DUMP_H
#define DESCANT_DUMP_H

#include "driver/driver.h"
#include "syntax/parser.h"

void dump_stage(struct compilation *c, const struct parser *p, enum dump_stage stage, struct buf *out);

#endif
