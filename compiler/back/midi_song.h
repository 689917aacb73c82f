/* midi_song.h - what one MIDI file holds, before it is bytes.
 *
 * Purpose: cuts passages to what is heard, joins them, sorts notes into tracks.
 * Units:   wholes from the file's start; ticks after song_divide.
 * Owner:   everything lives in the song's arena.
 * Errors:  what MIDI cannot hold is said in text events.
 */
#ifndef DESCANT_BACK_MIDI_SONG_H
#define DESCANT_BACK_MIDI_SONG_H

#include "back/smf.h"
#include "sema/model.h"

/* A note, or words about one that cannot be written. */
struct song_note {
    struct ratio on, off;
    int key;          /* 0 to 127 */
    struct str words; /* not empty: no note but a text event */
};

struct song_track {
    struct str name, players;
    int program; /* 1 to 128 */
    struct song_note *notes;
    uint32_t n, cap;
};

/* An event of the first track. */
struct song_meta {
    struct ratio at;
    enum smf_meta type;
    struct str bytes;
    uint32_t order;
};

struct song {
    struct arena *arena;
    const struct model *model;
    struct song_track *tracks;
    uint32_t n_tracks, cap_tracks;
    struct song_meta *metas;
    uint32_t n_metas, cap_metas;
    struct ratio length;
    int numerator, denominator; /* of the time signature in force; 0: none yet */
    uint32_t division;          /* ticks a quarter note */
};

/* Adds a stretch of a passage after what is there; of one figure's notes only where `figure` is given. */
void song_add_passage(struct song *s, const struct passage *p, struct stretch stretch,
                      const struct figure *figure);
/* Adds a figure that belongs to no passage. */
void song_add_figure(struct song *s, const struct figure *f);
void song_meta_add(struct song *s, struct ratio at, enum smf_meta type, struct str bytes);
/* Chooses `division` so that every event falls on a tick, up to what the format holds; says so where one
 * cannot. Sorts tracks and metas by time. */
void song_divide(struct song *s);
/* Nearest tick. */
uint32_t song_tick(const struct song *s, struct ratio at);

#endif
