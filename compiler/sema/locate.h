/* locate.h - where the texts of narration stand in the file.
 *
 * Purpose: libcmark gives texts without reliable places, with escapes and entities resolved and markup
 *          taken out. They come in the order of the source; so each is looked for behind the one before.
 * Units:   bytes into the source that cmark was given.
 * Owner:   maps live in the arena.
 * Errors:  a text that is not found (`found` is false) has the empty stretch where it was looked for.
 */
#ifndef DESCANT_LOCATE_H
#define DESCANT_LOCATE_H

#include "base/arena.h"
#include "base/str.h"

struct locator {
    struct arena *arena;
    struct str source;
    uint32_t at; /* where the next text is looked for */
};

struct located {
    bool found;
    uint32_t lo, hi;
    /* For each byte of the text, and for its end, its place in the source; NULL: it stands there byte for
     * byte. */
    const uint32_t *map;
};

/* A text of narration, or of a code span, in which escapes and entities mean themselves. Goes on behind
 * it. */
struct located locate_text(struct locator *l, struct str text, bool code);
/* The target of the link whose words end at l->at. Not found: it is not written there, as in
 * `[words][label]` or `<https://…>`. Goes on behind the link. */
struct located locate_target(struct locator *l, struct str target);
/* The target of the picture that begins at or behind l->at. Goes on behind the picture. */
struct located locate_picture(struct locator *l, struct str target);
/* The places of the normal form of a text (base/normal.h); NULL if it stands in the source byte for byte. */
const uint32_t *locate_normal(struct locator *l, const struct located *at, struct str text,
                              struct str normal);

#endif
