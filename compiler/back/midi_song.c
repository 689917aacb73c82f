#include "back/midi_song.h"

#include "back/segments.h"

#include <stdlib.h>

/* What General MIDI has for muted brass; the strings' own programs are muted as well as not. */
enum { PROGRAM_PIANO = 1, PROGRAM_TRUMPET = 57, PROGRAM_MUTED_TRUMPET = 60 };

enum { MICROSECONDS_DEFAULT = 500000 /* a quarter note at 120 a minute */ };

/* ---- growing lists -------------------------------------------------------------------------------- */

static void *grown(struct arena *a, const void *items, uint32_t n, uint32_t *cap, size_t size)
{
    uint32_t more = *cap ? *cap * 2 : 16;
    void *p = arena_array(a, more, size);
    if (n)
        memcpy(p, items, n * size);
    *cap = more;
    return p;
}

void song_meta_add(struct song *s, struct ratio at, enum smf_meta type, struct str bytes)
{
    if (s->n_metas == s->cap_metas)
        s->metas = grown(s->arena, s->metas, s->n_metas, &s->cap_metas, sizeof *s->metas);
    s->metas[s->n_metas] = (struct song_meta){at, type, bytes, s->n_metas};
    s->n_metas++;
}

static void note_add(struct song *s, struct song_track *t, struct song_note note)
{
    if (t->n == t->cap)
        t->notes = grown(s->arena, t->notes, t->n, &t->cap, sizeof *t->notes);
    t->notes[t->n++] = note;
}

/* The track with that name and program, or a new one: a part goes on through several passages. */
static struct song_track *track_get(struct song *s, struct str name, struct str players, int program)
{
    for (uint32_t i = 0; i < s->n_tracks; i++)
        if (s->tracks[i].program == program && str_eq(s->tracks[i].name, name) &&
            str_eq(s->tracks[i].players, players))
            return &s->tracks[i];
    if (s->n_tracks == s->cap_tracks)
        s->tracks = grown(s->arena, s->tracks, s->n_tracks, &s->cap_tracks, sizeof *s->tracks);
    struct song_track *t = &s->tracks[s->n_tracks++];
    *t = (struct song_track){.name = name, .players = players, .program = program};
    return t;
}

/* ---- notes ----------------------------------------------------------------------------------------- */

/* A stretch of music and where it begins in the file. */
struct segment {
    const struct passage *passage;
    struct stretch stretch;
    struct ratio offset;
};

static struct ratio segment_at(const struct segment *g, struct ratio at)
{
    return ratio_plus(g->offset, ratio_minus(at, g->stretch.onset));
}

/* Adds what is heard of a note; one that began before is struck where the stretch begins. */
static void pitch_add(struct song *s, struct song_track *t, const struct segment *g, struct pitch pitch,
                      struct ratio onset, struct ratio length)
{
    struct ratio end = ratio_plus(onset, length);
    if (!ratio_lt(onset, g->stretch.end) || ratio_le(end, g->stretch.onset))
        return;
    if (ratio_lt(onset, g->stretch.onset))
        onset = g->stretch.onset;
    if (ratio_lt(g->stretch.end, end))
        end = g->stretch.end;
    struct song_note note = {segment_at(g, onset), segment_at(g, end), pitch_midi(pitch), {"", 0}};
    if (note.key < 0 || note.key > 127) {
        char text[PITCH_TEXT_MAX];
        note.words = str_printf(s->arena, "%s lies outside the notes of MIDI and is left out",
                                pitch_text(pitch, SIGN_ASCII, text));
    }
    note_add(s, t, note);
}

static int part_program(const struct part *part)
{
    int program = part->n_instruments ? part->instruments[0]->program : 0;
    if (program < 1 || program > 128)
        return PROGRAM_PIANO;
    return part->muted && program == PROGRAM_TRUMPET ? PROGRAM_MUTED_TRUMPET : program;
}

static struct str part_players(const struct part *part, struct arena *a)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < part->n_instruments; i++) {
        buf_put(&b, i ? ", " : "");
        buf_str_put(&b, instrument_title(part->instruments[i]));
    }
    if (part->muted)
        buf_put(&b, ", muted");
    if (part->solo)
        buf_put(&b, ", solo");
    return buf_take(&b, a);
}

static struct song_track *part_track(struct song *s, const struct part *part)
{
    return track_get(s, part->symbol.name, part_players(part, s->arena), part_program(part));
}

static void add_parts(struct song *s, const struct segment *g)
{
    for (uint32_t i = 0; i < g->passage->n_parts; i++) {
        const struct part *part = g->passage->parts[i];
        if (!part_sounds(part, g->stretch))
            continue;
        struct song_track *t = part_track(s, part);
        for (uint32_t k = 0; k < part->n_notes; k++)
            pitch_add(s, t, g, part->notes[k].pitch, part->notes[k].onset, part->notes[k].length);
    }
}

/* Where no part is written out, the voicings of the harmony row sound. A bare symbol has no register and
 * stays silent. */
static void add_voicings(struct song *s, const struct segment *g)
{
    struct song_track *t = NULL;
    uint32_t first, n = harmony_in(g->passage, g->stretch, &first);
    for (uint32_t i = first; i < first + n; i++) {
        const struct harmony_event *event = &g->passage->harmony[i];
        for (uint32_t k = 0; k < event->harmony.n_layers; k++) {
            if (!event->harmony.voicing[k])
                continue;
            if (!t)
                t = track_get(s, STR("harmony"), STR("voicings of the harmony row"), PROGRAM_PIANO);
            for (uint32_t v = 0; v < event->harmony.n_voicing[k]; v++)
                pitch_add(s, t, g, event->harmony.voicing[k][v], event->onset, event->length);
        }
    }
}

/* ---- tempo, meter, key, bars -------------------------------------------------------------------------- */

static void tempo_add(struct song *s, struct ratio at, uint32_t microseconds)
{
    char bytes[3] = {(char)(microseconds >> 16), (char)(microseconds >> 8 & 0xFF),
                     (char)(microseconds & 0xFF)};
    song_meta_add(s, at, SMF_TEMPO, (struct str){arena_copy(s->arena, bytes, 3), 3});
}

/* The first track says which tempo holds from its first tick; many readers take no other for granted. */
static void add_tempos(struct song *s, const struct segment *g)
{
    const struct passage *p = g->passage;
    uint32_t in_force = 0;
    while (in_force + 1 < p->n_tempos && ratio_le(p->tempos[in_force + 1].at, g->stretch.onset))
        in_force++;
    if (p->n_tempos == 0) {
        song_meta_add(s, g->offset, SMF_TEXT,
                      STR("no tempo is given: 120 quarter notes a minute are assumed"));
        tempo_add(s, g->offset, MICROSECONDS_DEFAULT);
    }
    for (uint32_t i = in_force; i < p->n_tempos && ratio_lt(p->tempos[i].at, g->stretch.end); i++) {
        struct ratio at = i == in_force ? g->offset : segment_at(g, p->tempos[i].at);
        uint32_t microseconds;
        if (tempo_midi(p->tempos[i], &microseconds)) {
            tempo_add(s, at, microseconds);
        } else {
            song_meta_add(s, at, SMF_TEXT, STR("this tempo is slower or faster than MIDI can say"));
            if (i == in_force)
                tempo_add(s, at, MICROSECONDS_DEFAULT);
        }
    }
}

static int log2_of(int64_t power)
{
    int n = 0;
    while (power > 1 && power % 2 == 0) {
        power /= 2;
        n++;
    }
    return power == 1 ? n : -1;
}

static void signature_add(struct song *s, struct ratio at, int64_t numerator, int64_t denominator)
{
    if (numerator == s->numerator && denominator == s->denominator)
        return;
    int power = log2_of(denominator);
    if (numerator < 1 || numerator > 255 || power < 0) {
        song_meta_add(s, at, SMF_TEXT, STR("this meter is larger than MIDI can say"));
        return;
    }
    s->numerator = (int)numerator;
    s->denominator = (int)denominator;
    /* A click is a beat: 24 MIDI clocks are a quarter note. Compound meters click in dotted values. */
    int64_t clocks = 96 / denominator;
    if (denominator >= 8 && numerator > 3 && numerator % 3 == 0)
        clocks *= 3;
    char bytes[4] = {(char)numerator, (char)power, (char)(clocks < 1 ? 1 : clocks), 8};
    song_meta_add(s, at, SMF_TIME_SIGNATURE, (struct str){arena_copy(s->arena, bytes, 4), 4});
}

/* A pickup, or the rest of a bar, gets a meter of its own length, so that the next bar line falls where it
 * should. */
static void add_meter(struct song *s, struct ratio at, struct meter meter, struct ratio length)
{
    int64_t numerator = meter_beats(meter), denominator = meter.unit;
    if (!ratio_eq(length, meter_length(meter)) && log2_of(length.den) >= 0 && length.den <= 128) {
        denominator = length.den > denominator ? length.den : denominator;
        numerator = length.num * (denominator / length.den);
    }
    signature_add(s, at, numerator, denominator);
}

static void add_bars(struct song *s, const struct segment *g)
{
    const struct passage *p = g->passage;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        struct ratio end = ratio_plus(bar->onset, bar->length);
        if (ratio_le(end, g->stretch.onset) || !ratio_lt(bar->onset, g->stretch.end))
            continue;
        bool whole = ratio_le(g->stretch.onset, bar->onset);
        struct ratio from = whole ? bar->onset : g->stretch.onset;
        add_meter(s, segment_at(g, from), bar->meter, ratio_minus(end, from));
        song_meta_add(s, segment_at(g, from), SMF_MARKER,
                      whole ? str_printf(s->arena, "bar %d", bar->number) : place_text(s->arena, p, from));
    }
}

static void key_add(struct song *s, struct ratio at, struct key key)
{
    int fifths = key_fifths(key);
    if (fifths < -7 || fifths > 7) {
        char text[PITCH_TEXT_MAX];
        song_meta_add(s, at, SMF_TEXT,
                      str_printf(s->arena, "%s has no key signature", key_text(key, SIGN_ASCII, text)));
        return;
    }
    char bytes[2] = {(char)fifths, key.minor};
    song_meta_add(s, at, SMF_KEY_SIGNATURE, (struct str){arena_copy(s->arena, bytes, 2), 2});
}

static void add_keys(struct song *s, const struct segment *g)
{
    const struct passage *p = g->passage;
    const struct key_change *in_force = passage_key_at(p, g->stretch.onset);
    if (in_force)
        key_add(s, g->offset, in_force->key);
    for (uint32_t i = 0; i < p->n_keys; i++)
        if (ratio_lt(g->stretch.onset, p->keys[i].at) && ratio_lt(p->keys[i].at, g->stretch.end))
            key_add(s, segment_at(g, p->keys[i].at), p->keys[i].key);
}

/* ---- claims ---------------------------------------------------------------------------------------------
 */

/* A note or chord as typed, and when it sounds. */
struct spot {
    struct span where;
    struct ratio at;
};

static int by_where(const void *a, const void *b)
{
    const struct spot *x = a, *y = b;
    if (x->where.file != y->where.file)
        return x->where.file < y->where.file ? -1 : 1;
    if (x->where.lo != y->where.lo)
        return x->where.lo < y->where.lo ? -1 : 1;
    return ratio_cmp(x->at, y->at);
}

static struct spot *spots_make(struct song *s, const struct passage *p, uint32_t *n_out)
{
    uint32_t n = p->n_harmony;
    for (uint32_t i = 0; i < p->n_parts; i++)
        n += p->parts[i]->n_notes + p->parts[i]->n_stacks;
    struct spot *spots = ARENA_NEW_ARRAY(s->arena, struct spot, n);
    n = 0;
    for (uint32_t i = 0; i < p->n_harmony; i++)
        spots[n++] = (struct spot){p->harmony[i].where, p->harmony[i].onset};
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_notes; k++)
            spots[n++] = (struct spot){part->notes[k].where, part->notes[k].onset};
        for (uint32_t k = 0; k < part->n_stacks; k++)
            spots[n++] = (struct spot){part->stacks[k].where, part->stacks[k].onset};
    }
    if (n)
        qsort(spots, n, sizeof *spots, by_where);
    *n_out = n;
    return spots;
}

/* The earliest spot typed at that place; NULL if the place is no note or chord of the passage. */
static const struct spot *spot_find(const struct spot *spots, uint32_t n, struct span where)
{
    uint32_t lo = 0, hi = n;
    while (lo < hi) {
        uint32_t middle = lo + (hi - lo) / 2;
        struct span w = spots[middle].where;
        if (w.file < where.file || (w.file == where.file && w.lo < where.lo))
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo < n && spots[lo].where.file == where.file && spots[lo].where.lo == where.lo ? &spots[lo] : NULL;
}

static struct str claim_marker(struct song *s, const struct claim *claim)
{
    const char *verdict = "undecided";
    switch (claim->verdict) {
    case VERDICT_HOLDS:
        verdict = "holds";
        break;
    case VERDICT_FAILS:
        verdict = "fails";
        break;
    case VERDICT_UNDECIDED:
        break;
    }
    return str_printf(s->arena, "claim %.*s: %s", STR_ARG(claim->symbol.name), verdict);
}

/* Marks a claim at its counter-example, once a moment; else where the music that it was decided from begins.
 */
static void add_claim(struct song *s, const struct segment *g, const struct claim *claim,
                      const struct spot *spots, uint32_t n)
{
    struct str text = claim_marker(s, claim);
    struct ratio last = {-1, 1};
    bool anywhere = false;
    for (const struct claim_place *place = claim->places; place; place = place->next) {
        const struct spot *spot = spot_find(spots, n, place->where);
        if (!spot)
            continue;
        anywhere = true;
        bool heard = ratio_le(g->stretch.onset, spot->at) && ratio_lt(spot->at, g->stretch.end);
        if (!heard || ratio_eq(spot->at, last))
            continue;
        last = spot->at;
        song_meta_add(s, segment_at(g, spot->at), SMF_MARKER, text);
    }
    if (anywhere || !claim_touches(claim, g->passage, g->stretch))
        return;
    bool later = claim->read.given && ratio_lt(g->stretch.onset, claim->read.onset);
    song_meta_add(s, later ? segment_at(g, claim->read.onset) : g->offset, SMF_MARKER, text);
}

static void add_claims(struct song *s, const struct segment *g)
{
    struct spot *spots = NULL;
    uint32_t n = 0;
    for (uint32_t i = 0; i < s->model->n_claims; i++) {
        const struct claim *claim = s->model->claims[i];
        if (claim->passage != g->passage)
            continue;
        if (!spots)
            spots = spots_make(s, g->passage, &n);
        add_claim(s, g, claim, spots, n);
    }
}

/* ---- segments
 * ---------------------------------------------------------------------------------------------- */

void song_add_passage(struct song *s, const struct passage *p, struct stretch stretch,
                      const struct figure *figure)
{
    if (!ratio_lt(stretch.onset, stretch.end))
        return;
    struct segment g = {p, stretch, s->length};
    s->length = ratio_plus(s->length, ratio_minus(stretch.end, stretch.onset));
    add_tempos(s, &g);
    add_keys(s, &g);
    add_bars(s, &g);
    if (figure) {
        struct song_track *t = part_track(s, figure->part);
        for (uint32_t i = 0; i < figure->n_notes; i++)
            pitch_add(s, t, &g, figure->notes[i].pitch, figure->notes[i].onset, figure->notes[i].length);
        return;
    }
    add_claims(s, &g);
    bool played = false;
    for (uint32_t i = 0; i < p->n_parts; i++)
        played = played || p->parts[i]->n_notes > 0;
    if (played)
        add_parts(s, &g);
    else
        add_voicings(s, &g);
}

void song_add_figure(struct song *s, const struct figure *f)
{
    struct ratio end = f->onset;
    for (uint32_t i = 0; i < f->n_notes; i++) {
        struct ratio stop = ratio_plus(f->notes[i].onset, f->notes[i].length);
        if (ratio_lt(end, stop))
            end = stop;
    }
    struct segment g = {NULL, {.onset = f->onset, .end = end}, s->length};
    s->length = ratio_plus(s->length, ratio_minus(end, f->onset));
    song_meta_add(s, g.offset, SMF_TEXT, STR("no tempo is given: 120 quarter notes a minute are assumed"));
    tempo_add(s, g.offset, MICROSECONDS_DEFAULT);
    struct song_track *t = track_get(s, f->symbol.name, STR("piano"), PROGRAM_PIANO);
    for (uint32_t i = 0; i < f->n_notes; i++)
        pitch_add(s, t, &g, f->notes[i].pitch, f->notes[i].onset, f->notes[i].length);
}

/* ---- ticks
 * --------------------------------------------------------------------------------------------------- */

enum {
    DIVISION_MAX = 32767,  /* fifteen bits */
    DIVISION_FINE = 480,   /* at least this, so that a tick is inaudible */
    DIVISION_ROUND = 27720 /* divides by 1 to 12: for music that no division fits */
};

static int64_t gcd(int64_t a, int64_t b)
{
    while (b) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* Takes a position into the division; false once it no longer fits. */
static bool divide_for(int64_t *division, struct ratio at)
{
    int64_t den = at.den / gcd(at.den, 4); /* of the position in quarter notes */
    int64_t factor = den / gcd(den, *division);
    if (factor > DIVISION_MAX / *division)
        return false;
    *division *= factor;
    return true;
}

static int by_time(const void *a, const void *b)
{
    const struct song_meta *x = a, *y = b;
    int c = ratio_cmp(x->at, y->at);
    return c ? c : (x->order > y->order) - (x->order < y->order);
}

static int by_note(const void *a, const void *b)
{
    const struct song_note *x = a, *y = b;
    int c = ratio_cmp(x->on, y->on);
    if (c == 0)
        c = (x->key > y->key) - (x->key < y->key);
    return c ? c : ratio_cmp(x->off, y->off);
}

void song_divide(struct song *s)
{
    int64_t division = 1;
    bool exact = divide_for(&division, s->length);
    for (uint32_t i = 0; i < s->n_metas; i++)
        exact = divide_for(&division, s->metas[i].at) && exact;
    for (uint32_t i = 0; i < s->n_tracks; i++) {
        const struct song_track *t = &s->tracks[i];
        for (uint32_t k = 0; k < t->n; k++)
            exact = divide_for(&division, t->notes[k].on) && divide_for(&division, t->notes[k].off) && exact;
    }
    if (exact)
        division *= (DIVISION_FINE + division - 1) / division;
    else
        division = DIVISION_ROUND;
    s->division = (uint32_t)division;
    if (!exact)
        song_meta_add(s, RATIO_ZERO, SMF_TEXT,
                      STR("no division fits these note values: times are rounded to the nearest "
                          "tick"));
    if (s->n_metas)
        qsort(s->metas, s->n_metas, sizeof *s->metas, by_time);
    for (uint32_t i = 0; i < s->n_tracks; i++)
        if (s->tracks[i].n)
            qsort(s->tracks[i].notes, s->tracks[i].n, sizeof *s->tracks[i].notes, by_note);
}

uint32_t song_tick(const struct song *s, struct ratio at)
{
    __int128 quarters = (__int128)at.num * 4 * s->division;
    __int128 tick = (2 * quarters + at.den) / ((__int128)2 * at.den);
    return tick > SMF_TICKS_MAX ? SMF_TICKS_MAX : (uint32_t)tick;
}
