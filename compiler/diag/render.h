/* render.h - diagnostics as text, JSON Lines and SARIF.
 *
 * Purpose: three forms of one list of diagnostics.
 * Units:   lines and columns from 1; columns count code points, carets count display cells; an end column is the one after the
 *          last character.
 * Owner:   everything is appended to the caller's buffer.
 * Errors:  none. Bytes that are not UTF-8 and characters that a terminal would act on are shown escaped, as <FF> or <U+202E>.
 */
#ifndef DESCANT_RENDER_H
#define DESCANT_RENDER_H

#include "base/buf.h"
#include "diag/diag.h"
#include "source/source.h"

enum text_style {
    STYLE_PLAIN,
    STYLE_ANSI, /* terminal colours */
    STYLE_TAGS  /* <error>…</error>, for tests */
};

struct text_options {
    enum text_style style;
    uint32_t width; /* cells; source lines are cut and notes wrapped to it; 0: no limit */
};

/* One diagnostic: its line, the places in the source, notes, help and fixes. */
void render_text(struct buf *b, struct source_list *sources, const struct diag *d, const struct text_options *o);
/* Appends text with what a terminal would act on escaped. */
void put_shown(struct buf *b, struct str text);

struct cJSON;

/* A text as JSON string: what is not UTF-8 becomes U+FFFD. The caller owns the node. */
struct cJSON *json_text(struct str text);
/* Adds "file", "line", "column", "endLine" and "endColumn". */
void json_place(struct cJSON *object, struct source_list *sources, struct span where);
/* One object on one line with its line end; takes the object. */
void json_line(struct buf *b, struct cJSON *object);
/* The diagnostic as one line of JSON. */
void render_json(struct buf *b, struct source_list *sources, const struct diag *d);

/* A SARIF 2.1.0 log being built; the files of a run go into one. */
struct sarif_log;

struct sarif_log *sarif_open(const char *version);
void sarif_add(struct sarif_log *log, struct source_list *sources, const struct diag_list *diags);
/* Writes the log and frees it. */
void sarif_close(struct sarif_log *log, int exit_status, struct buf *b);

#endif
