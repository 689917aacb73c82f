/* captions.h - narration cut into captions by a profile.
 *
 * Purpose: one list of timed cues; WebVTT and SubRip are forms of it.
 * Units:   seconds on the edit's clock as exact ratios, rounded to milliseconds only when written.
 * Owner:   texts live in the arena given.
 */
#ifndef DESCANT_CAPTIONS_H
#define DESCANT_CAPTIONS_H

#include "sema/model.h"

enum { CAPTION_LINES_MAX = 3 };

struct caption_run {
    struct str text;
    bool italic;
};

struct caption {
    struct ratio start, end;   /* seconds */
    struct {
        struct caption_run *runs;
        uint32_t n_runs;
    } lines[CAPTION_LINES_MAX];
    uint32_t n_lines;
    bool music;                /* describes music for viewers who cannot hear it */
    bool estimated;
};

struct caption_list {
    struct caption *items;
    uint32_t n;
};

/* Cuts all narration, and describes music that plays without speech. Text is never dropped. */
struct caption_list captions_make(const struct model *m, struct arena *a);

#endif
