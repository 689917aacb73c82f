/* source.h - texts that are compiled, and where a byte of them is.
 *
 * Purpose: holds file name and bytes; maps byte offsets to lines and columns.
 * Units:   lines and columns from 1; columns count code points.
 * Owner:   name and text are borrowed and must outlive the source; the line index lives in the arena.
 * Errors:  none; offsets past the end are the end.
 */
#ifndef DESCANT_SOURCE_H
#define DESCANT_SOURCE_H

#include "base/arena.h"
#include "base/str.h"
#include "source/span.h"

/* Larger sources are refused with a diagnostic. */
enum { SOURCE_MAX = 16 * 1024 * 1024 };

struct source {
    struct str name;      /* as given on the command line, or "<stdlib>/chords.descant" */
    struct str text;      /* whole, byte-order mark included */
    bool builtin;         /* part of the embedded standard library */
    uint32_t *lines;      /* offset of each line's first byte; NULL until first asked for */
    uint32_t n_lines;
    struct source_mark *marks; /* characters counted up to here and there; NULL until a long line is met */
};

/* `count` characters end before `offset`, where one begins. */
struct source_mark {
    uint32_t offset, count;
};

struct source_list {
    struct source *items;
    uint32_t n, cap;
    struct arena *arena;
};

/* Returns the index of the new source. */
uint32_t source_add(struct source_list *list, struct str name, struct str text, bool builtin);

struct position {
    uint32_t line;   /* from 1 */
    uint32_t column; /* from 1, code points */
};

struct position source_position(struct source_list *list, uint32_t file, uint32_t offset);
/* The text of a line from 1, without its line end (LF, CRLF or CR). */
struct str source_line(struct source_list *list, uint32_t file, uint32_t line);
/* Offset of the first byte of a line from 1. */
uint32_t source_line_offset(struct source_list *list, uint32_t file, uint32_t line);
/* The bytes of a span. */
struct str source_text(const struct source_list *list, struct span where);

#endif
