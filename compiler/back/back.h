/* back.h - outputs.
 *
 * Purpose: a back end turns the checked model into files; it reads nothing else and prints no diagnostic.
 * Owner:   file names and bytes live in the list's arena until it is freed.
 * Errors:  none: what cannot be written was reported before.
 */
#ifndef DESCANT_BACK_H
#define DESCANT_BACK_H

#include "base/buf.h"
#include "sema/model.h"

struct output {
    struct str name;  /* relative to the output folder: "lamp.vtt", "lamp.demo-1-lamp.mid" */
    struct str bytes;
};

struct output_list {
    struct arena *arena;
    struct output *items;
    uint32_t n, cap;
    struct str stem; /* the episode file's name without folder and ending: "lamp" */
};

/* Adds the file stem + "." + suffix; takes the bytes out of the buffer. */
void output_add(struct output_list *list, const char *suffix, struct buf *bytes);

struct back {
    const char *kind;    /* "md", as in --to */
    const char *what;    /* "show notes in CommonMark" */
    bool needs_episode;  /* nothing is written for a library */
    void (*write)(const struct model *m, struct output_list *out);
};

/* md vtt srt mid json, in this order; NULL kind ends. */
const struct back *backs(void);
const struct back *back_by_kind(struct str kind);

void back_markdown(const struct model *m, struct output_list *out);
void back_webvtt(const struct model *m, struct output_list *out);  /* captions and STEM.chapters.vtt */
void back_subrip(const struct model *m, struct output_list *out);
void back_midi(const struct model *m, struct output_list *out);    /* a file a demo, a file a passage */
void back_json(const struct model *m, struct output_list *out);    /* the whole model and the verdicts */

#endif
