/* midi.c - Standard MIDI Files: one a demo, one a passage.
 *
 * Format 1. The first track holds name, tempo, meter, key and markers, and nothing sounds in it: readers
 * disagree on tempo anywhere else. Pitches are sounding. A key that is struck again while it sounds on one
 * track is let go first, since the note-off of the first would end the second. */
#include "back/back.h"
#include "back/midi_song.h"
#include "back/segments.h"

#include <inttypes.h>
#include <stdlib.h>

enum {
    VELOCITY = 80,
    CHANNELS = 15, /* without the tenth, which is percussion in General MIDI */
    PERCUSSION = 9,
    STATUS_OFF = 0x80,
    STATUS_ON = 0x90,
    STATUS_CONTROL = 0xB0,
    STATUS_PROGRAM = 0xC0,
    CONTROL_PEDAL = 64
};

/* In the order in which they are written at one tick. */
enum event_kind { EVENT_OFF, EVENT_TEXT, EVENT_ON };

struct event {
    uint32_t tick;
    enum event_kind kind;
    int key;
    struct str words;
};

static int by_event(const void *a, const void *b)
{
    const struct event *x = a, *y = b;
    if (x->tick != y->tick)
        return x->tick < y->tick ? -1 : 1;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    return (x->key > y->key) - (x->key < y->key);
}

/* Notes, sorted by onset, as pairs of events; every key sounds once at a time. */
static struct event *events_make(const struct song *s, const struct song_track *t, uint32_t *n_out)
{
    struct event *events = ARENA_NEW_ARRAY(s->arena, struct event, (size_t)t->n * 2);
    int64_t off_of[128]; /* index of the note-off of the key's last note */
    for (int i = 0; i < 128; i++)
        off_of[i] = -1;
    uint32_t n = 0;
    for (uint32_t i = 0; i < t->n; i++) {
        const struct song_note *note = &t->notes[i];
        uint32_t on = song_tick(s, note->on), off = song_tick(s, note->off);
        if (note->words.n) {
            events[n++] = (struct event){on, EVENT_TEXT, 0, note->words};
            continue;
        }
        if (off <= on)
            off = on + 1; /* shorter than a tick */
        struct event *last = off_of[note->key] < 0 ? NULL : &events[off_of[note->key]];
        if (last && last->tick > on) {
            if (off < last->tick)
                off = last->tick;
            if (last[-1].tick == on) { /* a unison of two voices: one note */
                last->tick = off;
                continue;
            }
            last->tick = on;
        }
        events[n++] = (struct event){on, EVENT_ON, note->key, {"", 0}};
        off_of[note->key] = n;
        events[n++] = (struct event){off, EVENT_OFF, note->key, {"", 0}};
    }
    if (n)
        qsort(events, n, sizeof *events, by_event);
    *n_out = n;
    return events;
}

static void write_track(const struct song *s, uint32_t index, struct buf *b)
{
    const struct song_track *t = &s->tracks[index];
    int channel = (int)(index % CHANNELS);
    channel += channel >= PERCUSSION;
    uint32_t n, end = song_tick(s, s->length);
    const struct event *events = events_make(s, t, &n);
    struct smf track = smf_open(b);
    smf_meta(&track, 0, SMF_TRACK_NAME, t->name);
    smf_meta(&track, 0, SMF_INSTRUMENT, t->players);
    if (s->n_tracks > CHANNELS) {
        char port = (char)(index / CHANNELS);
        smf_meta(&track, 0, SMF_PORT, (struct str){&port, 1});
    }
    smf_channel(&track, 0, STATUS_CONTROL | channel, CONTROL_PEDAL, 0);
    smf_channel(&track, 0, STATUS_PROGRAM | channel, t->program - 1, -1);
    for (uint32_t i = 0; i < n; i++) {
        const struct event *e = &events[i];
        if (end < e->tick)
            end = e->tick;
        switch (e->kind) {
        case EVENT_OFF:
            smf_channel(&track, e->tick, STATUS_OFF | channel, e->key, 0);
            break;
        case EVENT_ON:
            smf_channel(&track, e->tick, STATUS_ON | channel, e->key, VELOCITY);
            break;
        case EVENT_TEXT:
            smf_meta(&track, e->tick, SMF_TEXT, e->words);
            break;
        }
    }
    smf_channel(&track, end, STATUS_CONTROL | channel, CONTROL_PEDAL, 0);
    smf_close(&track, end);
}

static void write_song(struct song *s, struct str title, struct buf *b)
{
    if (s->n_tracks > CHANNELS)
        song_meta_add(s, RATIO_ZERO, SMF_TEXT, STR("more parts than channels: further ports are used"));
    song_divide(s);
    smf_header(b, s->n_tracks + 1, s->division);
    struct smf track = smf_open(b);
    smf_meta(&track, 0, SMF_TRACK_NAME, title);
    for (uint32_t i = 0; i < s->n_metas; i++)
        smf_meta(&track, song_tick(s, s->metas[i].at), s->metas[i].type, s->metas[i].bytes);
    smf_close(&track, song_tick(s, s->length));
    for (uint32_t i = 0; i < s->n_tracks; i++)
        write_track(s, i, b);
}

static struct str passage_title(const struct passage *p, struct arena *a)
{
    if (!p->work || p->work->title.n == 0)
        return p->symbol.name;
    return str_printf(a, "%.*s: %.*s", STR_ARG(p->work->title), STR_ARG(p->symbol.name));
}

static void output_midi(struct output_list *out, struct song *s, struct str title, struct str name)
{
    struct buf b = {0};
    write_song(s, title, &b);
    struct str suffix = str_printf(s->arena, "%.*s.mid", STR_ARG(name)); /* ends with a NUL */
    output_add(out, suffix.p, &b);
}

static void write_passage(const struct model *m, const struct passage *p, struct output_list *out)
{
    struct arena scratch = {0};
    struct song s = {.arena = &scratch, .model = m, .length = RATIO_ZERO};
    song_add_passage(&s, p, passage_whole(p), NULL);
    bool sounds = false;
    for (uint32_t i = 0; i < s.n_tracks; i++)
        sounds = sounds || s.tracks[i].n > 0;
    if (sounds)
        output_midi(out, &s, passage_title(p, &scratch),
                    str_printf(&scratch, "passage-%.*s", STR_ARG(p->symbol.name)));
    arena_free(&scratch);
}

static void write_demo(const struct model *m, const struct item *item, struct output_list *out)
{
    struct arena scratch = {0};
    struct song s = {.arena = &scratch, .model = m, .length = RATIO_ZERO};
    struct str title = item->name;
    const struct figure *f = item->figure;
    if (f) {
        title = f->symbol.name;
        if (f->passage)
            song_add_passage(&s, f->passage,
                             (struct stretch){.onset = f->onset, .end = ratio_plus(f->onset, f->length)}, f);
        else
            song_add_figure(&s, f);
    } else {
        for (uint32_t i = 0; i < item->n_passages; i++)
            song_add_passage(&s, item->passages[i], item_stretch(item, i), NULL);
        if (item->n_passages == 1)
            title = passage_title(item->passages[0], &scratch);
    }
    if (s.n_tracks == 0)
        song_meta_add(&s, RATIO_ZERO, SMF_TEXT, STR("nothing here has been written out in notes"));
    output_midi(out, &s, title, item->name);
    arena_free(&scratch);
}

void back_midi(const struct model *m, struct output_list *out)
{
    for (uint32_t i = 0; i < m->n_items; i++)
        if (m->items[i]->kind == ITEM_DEMO)
            write_demo(m, m->items[i], out);
    for (uint32_t i = 0; i < m->n_passages; i++)
        if (!m->passages[i]->symbol.library)
            write_passage(m, m->passages[i], out);
}
