/* smf.h - the bytes of a Standard MIDI File.
 *
 * Purpose: chunks, delta times, running status; knows no music.
 * Units:   absolute ticks; events of a track in order of their ticks.
 * Owner:   bytes go to the caller's buffer.
 * Errors:  none; ticks above SMF_TICKS_MAX are not representable and the caller's business.
 * Source:  Standard MIDI Files 1.0 (MIDI Manufacturers Association; format spec 1.1).
 */
#ifndef DESCANT_BACK_SMF_H
#define DESCANT_BACK_SMF_H

#include "base/buf.h"

/* The largest variable-length quantity. */
enum { SMF_TICKS_MAX = 0x0FFFFFFF };

enum smf_meta {
    SMF_TEXT = 0x01,
    SMF_TRACK_NAME = 0x03,
    SMF_INSTRUMENT = 0x04,
    SMF_MARKER = 0x06,
    SMF_PORT = 0x21, /* not in the standard, but common practice */
    SMF_END = 0x2F,
    SMF_TEMPO = 0x51,
    SMF_TIME_SIGNATURE = 0x58,
    SMF_KEY_SIGNATURE = 0x59
};

/* A track being written. */
struct smf {
    struct buf *out;
    size_t begin;  /* offset of its chunk's data */
    uint32_t tick; /* of the last event */
    int running;   /* status in force, 0 for none */
};

/* Seven bits a byte, most significant first; value <= SMF_TICKS_MAX. */
void smf_quantity(struct buf *out, uint32_t value);
/* Header chunk of a format 1 file: ticks a quarter note. */
void smf_header(struct buf *out, uint32_t tracks, uint32_t division);
struct smf smf_open(struct buf *out);
void smf_meta(struct smf *t, uint32_t tick, enum smf_meta type, struct str bytes);
/* A channel message: status with its channel; second < 0 for messages of one data byte. Running status is
 * used. */
void smf_channel(struct smf *t, uint32_t tick, int status, int first, int second);
/* End of Track, and the chunk's length. */
void smf_close(struct smf *t, uint32_t tick);

#endif
