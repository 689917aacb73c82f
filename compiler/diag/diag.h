/* diag.h - what the compiler has to say, as data.
 *
 * Purpose: phases fill one list; text, JSON and SARIF are forms of it and cannot disagree.
 * Units:   spans in bytes.
 * Owner:   texts live in the compilation arena.
 * Errors:  none; the list grows in its arena.
 */
#ifndef DESCANT_DIAG_H
#define DESCANT_DIAG_H

#include "base/arena.h"
#include "base/str.h"
#include "source/span.h"

enum diag_level { LEVEL_NOTE, LEVEL_WARNING, LEVEL_UNDECIDED, LEVEL_ERROR };

enum diag_code {
#define DIAG(id, name, level, family, summary) DIAG_##id,
#include "diag/codes.def"
#undef DIAG
    DIAG_COUNT
};

/* One row of codes.def. */
struct diag_info {
    const char *name; /* "bar-too-long" */
    enum diag_level level;
    const char *family;  /* "text", "syntax", "names", "music", "time", "claims", "narration", "files" */
    const char *summary; /* one sentence, for SARIF rules and `explain` */
};

const struct diag_info *diag_info(enum diag_code code);
/* DIAG_COUNT if there is no such code. */
enum diag_code diag_by_name(struct str name);
const char *diag_level_word(enum diag_level level);

enum diag_part_kind {
    PART_LABEL, /* another place with words: the first definition, the note that breaks the claim */
    PART_NOTE,  /* a fact, no place */
    PART_HELP,  /* what to do */
    PART_FIX    /* replace `where` by `text`; `safe` if it may be applied unseen */
};

struct diag_part {
    enum diag_part_kind kind;
    struct span where; /* PART_LABEL and PART_FIX */
    struct str text;
    bool safe;
    struct diag_part *next;
};

struct diag {
    enum diag_code code;
    enum diag_level level;
    struct span where;  /* the smallest text that shows the mistake */
    struct str message; /* stands alone on one line; lower case, no full stop */
    struct str label;   /* words under the primary span; may be empty */
    struct diag_part *parts, *last_part;
    uint32_t order;     /* as added */
};

struct diag_list {
    struct arena *arena;
    struct diag *items; /* grows by doubling within the arena: keep indexes or use at once */
    uint32_t n, cap;
    uint32_t errors, warnings;
};

/* Adds a diagnostic at its code's own level. The pointer is valid until the next diag_add. */
struct diag *diag_add(struct diag_list *list, enum diag_code code, struct span where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diag_label(struct diag_list *list, struct diag *d, const char *format, ...)
    __attribute__((format(printf, 3, 4))); /* under the primary span */
void diag_place(struct diag_list *list, struct diag *d, struct span where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diag_note(struct diag_list *list, struct diag *d, const char *format, ...) __attribute__((format(printf, 3, 4)));
void diag_help(struct diag_list *list, struct diag *d, const char *format, ...) __attribute__((format(printf, 3, 4)));
void diag_fix(struct diag_list *list, struct diag *d, struct span where, struct str replacement, bool safe);

/* Sorts by file, place, order; drops exact doubles. */
void diag_sort(struct diag_list *list);

#endif
