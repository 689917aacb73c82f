/* segments.h - what a play or demo item lets us hear.
 *
 * Purpose: captions, sound and the clip log agree on the stretch of each passage.
 * Units:   wholes from the passage's start; seconds of the edit's clock for what is spoken.
 * Owner:   lists live in the arena given.
 * Errors:  none.
 */
#ifndef DESCANT_BACK_SEGMENTS_H
#define DESCANT_BACK_SEGMENTS_H

#include "sema/model.h"

/* The whole passage, as a stretch. */
struct stretch passage_whole(const struct passage *p);
/* The stretch of the item's passage number `index`: bars given with the item belong to its only passage. */
struct stretch item_stretch(const struct item *item, uint32_t index);
/* Does any note of the part sound in the stretch? */
bool part_sounds(const struct part *part, struct stretch s);
/* The harmony events that touch the stretch: harmony[first .. first + n). */
uint32_t harmony_in(const struct passage *p, struct stretch s, uint32_t *first);

/* Was the claim decided from music of the passage that lies in the stretch? A claim that was decided from
 * nothing in particular touches all of its passage. */
bool claim_touches(const struct claim *c, const struct passage *p, struct stretch s);

/* A stretch of the edit's clock. */
struct speech {
    struct ratio from, to;
};

struct speech_list {
    struct speech *items; /* in order, those that touch joined */
    uint32_t n;
};

/* Where someone speaks. */
struct speech_list speech_make(const struct model *m, struct arena *a);
/* The first stretch of the item, at least `least` long, in which no one speaks. */
bool speech_pause(const struct speech_list *list, const struct item *item, struct ratio least,
                  struct speech *out);

#endif
