/* markdown_text.h - text as CommonMark.
 *
 * Purpose: escapes what CommonMark would read as markup, writes inline runs; the numbers of claims, facts,
 *          readings, sources.
 * Owner:   the writer borrows buffer, model and arena.
 * Errors:  none.
 * Source:  CommonMark 0.30; core syntax only.
 */
#ifndef DESCANT_BACK_MARKDOWN_TEXT_H
#define DESCANT_BACK_MARKDOWN_TEXT_H

#include "base/buf.h"
#include "sema/model.h"

/* What carries which number in the notes: "C1" is the first claim listed. */
struct numbered {
    const void *thing;
    char letter;
    uint32_t number;
};

struct md {
    struct buf *out;
    const struct model *m;
    struct arena *arena;      /* scratch */
    bool line_start;          /* nothing is on the line yet */
    struct numbered *numbers; /* sorted by thing */
    uint32_t n_numbers;
};

/* Gives numbers to all that is listed: the episode's own, and what it uses of its libraries. */
void md_number(struct md *w);
/* NULL: not listed. */
const struct numbered *md_number_of(const struct md *w, const void *thing);

/* Markup as it is. */
void md_raw(struct md *w, const char *z);
void md_printf(struct md *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Text that must come out as these characters. White space is folded. */
void md_text(struct md *w, struct str s);
/* One of our own messages, in which names stand in backquotes: those become code spans. */
void md_message(struct md *w, struct str s);
void md_heading(struct md *w, int level, struct str text);
/* "- " at a depth from 0; then text. */
void md_bullet(struct md *w, int depth);
void md_end_line(struct md *w);
/* A blank line, after a paragraph or a list. */
void md_gap(struct md *w);
void md_code(struct md *w, struct str s);
/* A say block as paragraphs, each followed by a blank line; its links as marks. */
void md_prose(struct md *w, const struct prose *p);

#endif
