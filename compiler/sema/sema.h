/* sema.h - from trees to the model: the workbench of this folder.
 *
 * Purpose: what declare.c, library.c, music.c, harmony.c, timeline.c and narration.c share. Outside this folder only
 *          sema_build and library_build are called.
 * Owner:   everything lives in the compilation's arena.
 * Errors:  reported as diagnostics; a name that stands in a statement that could not be read is passed over in silence.
 */
#ifndef DESCANT_SEMA_H
#define DESCANT_SEMA_H

#include "sema/conventions.h"
#include "sema/model.h"
#include "syntax/parser.h"

/* One file read: the episode, or a library it uses. */
struct unit {
    uint32_t file;
    struct node *root;
    const struct lost *lost;
    bool library;
};

enum thing {
    THING_WORK, THING_RECORDING, THING_SCORE, THING_CITATION, THING_FACT, THING_READING, THING_PASSAGE, THING_FIGURE,
    THING_CLAIM, THING_INSTRUMENT, THING_CHORD, THING_SCALE, THING_PROFILE, THING_COUNT
};

struct name_slot {
    struct symbol *symbol; /* NULL: empty */
    enum thing thing;
};

struct sema {
    struct arena *arena;
    struct model *model;
    struct diag_list *diags;
    struct source_list *sources;
    struct unit *units;
    uint32_t n_units;
    const struct unit *unit;     /* the one being read */
    struct name_slot *slots;     /* every name, hashed */
    uint32_t n_slots, n_names;
    struct theory_library library; /* standard plus own */
    struct convention_values conventions;
    struct caption_profile *profile;
    struct recut *recuts;
    uint32_t n_recuts;
    struct claim_source *claim_sources; /* in step with model->claims */
    uint32_t n_claim_sources;
    struct spoiled *spoiled;     /* names whose music could not be read whole, hashed */
    uint32_t n_spoiled, cap_spoiled;
    const struct passage *keyless; /* that it lacks a key, or that its key could not be read, is reported */
    uint64_t near_work;          /* names compared so far to suggest near ones */
};

/* The edit moved after it was timed: what lies at or after `at` shifts by `by` (seconds, may be negative). */
struct recut {
    struct ratio at, by;
    struct span where;
};

struct claim_source {
    const struct node *sentence;
};

struct spoiled {
    struct str name;
};

/* ---- names.c ---- */
const char *thing_word(enum thing t); /* "passage" */
/* Reports a second definition and returns false. */
bool name_define(struct sema *s, enum thing t, struct symbol *symbol);
/* NULL and silent if unknown. */
struct symbol *thing_find(const struct sema *s, enum thing t, struct str name);
/* Finds or reports, with near names; NULL if unknown. */
struct symbol *name_resolve(struct sema *s, enum thing t, const struct node *name);
struct symbol symbol_of(struct sema *s, const struct node *name);
void spoil(struct sema *s, struct str name);
bool is_spoiled(const struct sema *s, struct str name);
/* Was the name lost with a statement that could not be read? */
bool name_lost(const struct sema *s, enum thing t, struct str name);

/* ---- values.c: each reports what is wrong and returns false ---- */
struct str value_text(struct sema *s, const struct node *n); /* of a string; empty for NULL or a hole */
bool value_int(struct sema *s, const struct node *n, int64_t low, int64_t high, int64_t *out);
bool value_ratio(struct sema *s, const struct node *n, struct ratio *out); /* number or fraction, > 0 */
/* A note value: > 0, denominator at most NOTE_DENOMINATOR_MAX, at most 64 wholes. */
bool value_note(struct sema *s, const struct node *n, struct ratio *out);
/* A time on a clock: h:m:s with decimals, or timecode where the clock has frames; or a length (2.5 s, 12
 * frames). Seconds. */
bool value_time(struct sema *s, const struct node *n, const struct frame_rate *rate, struct ratio *out);
bool value_rate(struct sema *s, const struct node *field, struct frame_rate *rate, bool *drop);
bool value_hole(struct sema *s, const struct node *n); /* records a hole if n is NODE_OPEN */
enum { NOTE_DENOMINATOR_MAX = 20160 }; /* 64 * 315: every tuplet of 3, 5, 7, 9 down to 64ths */

/* ---- the steps, in order ---- */
void library_collect(struct sema *s, struct theory_library *into, const struct theory_library *base);
void declare_all(struct sema *s);
void music_build(struct sema *s, const struct node *statement, struct passage *p);
bool harmony_read(struct sema *s, const struct passage *p, struct ratio at, const struct node *symbol, struct harmony *out);
void figure_build(struct sema *s, const struct node *statement, struct passage *p);
void timeline_build(struct sema *s);
void narration_read(struct sema *s, const struct node *prose, struct prose *out);
/* Onset to end of a PLACES node in a passage; reports bars that do not exist. */
bool stretch_read(struct sema *s, const struct passage *p, const struct node *places, struct stretch *out);

/* ---- the whole phase ---- */
/* Fills s->model from s->units; s->library holds the standard library on entry. */
void sema_build(struct sema *s);

#endif
