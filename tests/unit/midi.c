/* Standard MIDI Files: quantities, the specification's own example, and a model written and read back. */
#include "back/back.h"
#include "back/smf.h"
#include "reference/tsv.h"
#include "unit/test.h"

/* ---- a reader, for what is written ---------------------------------------------------------------- */

enum { EVENTS_MAX = 512, TRACKS_MAX = 24 };

struct read_event {
    uint32_t tick;
    int status; /* 0xFF for meta */
    int a, b;   /* data bytes; a is the type of a meta event */
    struct str text;
};

struct read_track {
    struct read_event events[EVENTS_MAX];
    uint32_t n;
    bool ended; /* End of Track is its last event */
};

struct read_file {
    uint32_t format, n_tracks, division;
    struct read_track tracks[TRACKS_MAX];
    bool whole; /* chunks and file end together, and every byte was understood */
};

struct reader {
    struct str s;
    uint32_t at;
    bool bad;
};

static uint32_t read_byte(struct reader *r)
{
    if (r->at >= r->s.n) {
        r->bad = true;
        return 0;
    }
    return (unsigned char)r->s.p[r->at++];
}

static uint32_t read_be(struct reader *r, int n)
{
    uint32_t v = 0;
    while (n-- > 0)
        v = v << 8 | read_byte(r);
    return v;
}

static uint32_t read_quantity(struct reader *r)
{
    uint32_t v = 0, byte;
    int n = 0;
    do {
        byte = read_byte(r);
        v = v << 7 | (byte & 0x7F);
    } while (byte & 0x80 && ++n < 4);
    return v;
}

static bool read_tag(struct reader *r, const char *tag)
{
    bool same = r->at + 4 <= r->s.n && memcmp(r->s.p + r->at, tag, 4) == 0;
    r->at += 4;
    return same;
}

static void read_events(struct reader *r, uint32_t end, struct read_track *t)
{
    uint32_t tick = 0, running = 0;
    while (r->at < end && !r->bad && t->n < EVENTS_MAX) {
        struct read_event e = {.tick = tick += read_quantity(r)};
        uint32_t byte = read_byte(r);
        t->ended = false;
        if (byte == 0xFF) {
            e.status = 0xFF;
            e.a = (int)read_byte(r);
            uint32_t n = read_quantity(r);
            e.text = str_slice(r->s, r->at, r->at + n);
            r->at += n;
            running = 0;
            t->ended = e.a == 0x2F && n == 0;
        } else {
            running = byte & 0x80 ? byte : running;
            r->bad = r->bad || running == 0;
            e.status = (int)running;
            e.a = (int)(byte & 0x80 ? read_byte(r) : byte);
            bool one = (running & 0xE0) == 0xC0;
            e.b = one ? -1 : (int)read_byte(r);
        }
        t->events[t->n++] = e;
    }
}

static void read_file(struct str bytes, struct read_file *f)
{
    memset(f, 0, sizeof *f);
    struct reader r = {bytes, 0, false};
    bool tag = read_tag(&r, "MThd") && read_be(&r, 4) == 6;
    f->format = read_be(&r, 2);
    f->n_tracks = read_be(&r, 2);
    f->division = read_be(&r, 2);
    bool ended = true;
    for (uint32_t i = 0; tag && i < f->n_tracks && i < TRACKS_MAX; i++) {
        tag = read_tag(&r, "MTrk");
        uint32_t n = read_be(&r, 4), end = r.at + n;
        read_events(&r, end, &f->tracks[i]);
        ended = ended && f->tracks[i].ended && r.at == end;
    }
    f->whole = tag && ended && !r.bad && r.at == bytes.n;
}

/* The nth event of a kind; NULL if there are not so many. A meta event is asked for by type, others by
 * status. */
static const struct read_event *find(const struct read_track *t, int status, int type, uint32_t n)
{
    for (uint32_t i = 0; i < t->n; i++) {
        const struct read_event *e = &t->events[i];
        bool fits = status == 0xFF ? e->status == 0xFF && e->a == type : (e->status & 0xF0) == status;
        if (fits && n-- == 0)
            return e;
    }
    return NULL;
}

static bool has_text(const struct read_track *t, int type, const char *words)
{
    const struct read_event *e;
    for (uint32_t n = 0; (e = find(t, 0xFF, type, n)) != NULL; n++)
        if (str_is(e->text, words))
            return true;
    return false;
}

struct read_note {
    uint32_t on, off;
    int key;
};

/* Pairs note-ons with the next note-off of the key; false where one is missing or a key sounds twice. */
static bool read_notes(const struct read_track *t, struct read_note *out, uint32_t *n_out)
{
    int64_t open[128];
    for (int i = 0; i < 128; i++)
        open[i] = -1;
    uint32_t n = 0;
    bool fine = true;
    for (uint32_t i = 0; i < t->n; i++) {
        const struct read_event *e = &t->events[i];
        if ((e->status & 0xF0) == 0x90 && e->b > 0) {
            fine = fine && open[e->a] < 0;
            open[e->a] = n;
            out[n++] = (struct read_note){e->tick, 0, e->a};
        } else if ((e->status & 0xF0) == 0x80 || (e->status & 0xF0) == 0x90) {
            fine = fine && open[e->a] >= 0;
            if (open[e->a] >= 0)
                out[open[e->a]].off = e->tick;
            open[e->a] = -1;
        }
    }
    for (int i = 0; i < 128; i++)
        fine = fine && open[i] < 0;
    *n_out = n;
    return fine;
}

/* ---- the format ------------------------------------------------------------------------------------- */

/* tests/reference/data/midi-vlq.tsv: the table of Standard MIDI Files 1.0. */
static void check_quantities(struct test *t, struct arena *a, const char *project)
{
    struct tsv table = tsv_read(a, project, "midi-vlq.tsv");
    for (uint32_t i = 0; i < table.rows; i++) {
        struct str value = tsv_cell(&table, i, "value (hex)"), want = tsv_cell(&table, i, "bytes (hex)");
        struct buf b = {0}, hex = {0};
        smf_quantity(&b, (uint32_t)strtoul(arena_copy(a, value.p, value.n), NULL, 16));
        for (size_t k = 0; k < b.n; k++)
            buf_printf(&hex, "%s%02X", k ? " " : "", (unsigned)(unsigned char)b.p[k]);
        CHECK_TEXT(t, hex.p, arena_copy(a, want.p, want.n));
        buf_free(&b);
        buf_free(&hex);
    }
    CHECK(t, table.rows == 12);
}

static struct str example_bytes(struct arena *a, const char *project)
{
    struct str hex = file_text(a, project, "tests/reference/data/smf-spec-example-format-1.hex");
    struct buf b = {0};
    const char *p = hex.p;
    for (;;) {
        char *end;
        unsigned long byte = strtoul(p, &end, 16);
        if (end == p)
            break;
        buf_byte(&b, (int)byte);
        p = end;
    }
    return buf_take(&b, a);
}

static void example_voice(struct buf *b, int channel, int program, uint32_t on, const int (*notes)[2], int n)
{
    struct smf t = smf_open(b);
    smf_channel(&t, 0, 0xC0 | channel, program, -1);
    for (int i = 0; i < n; i++)
        smf_channel(&t, on, 0x90 | channel, notes[i][0], notes[i][1]);
    for (int i = 0; i < n; i++)
        smf_channel(&t, 384, 0x90 | channel, notes[i][0], 0);
    smf_close(&t, 384);
}

static void describe(const struct read_event *e, char *out, size_t room)
{
    const unsigned char *p = (const unsigned char *)e->text.p;
    int channel = (e->status & 0x0F) + 1;
    if (e->status == 0xFF && e->a == SMF_END)
        snprintf(out, room, "end of track");
    else if (e->status == 0xFF && e->a == SMF_TEMPO)
        snprintf(out, room, "set tempo %d microseconds a quarter", p[0] << 16 | p[1] << 8 | p[2]);
    else if (e->status == 0xFF)
        snprintf(out, room, "time signature %d/%d clocks %d thirty-seconds %d", p[0], 1 << p[1], p[2], p[3]);
    else if ((e->status & 0xF0) == 0xC0)
        snprintf(out, room, "program change channel %d program %d", channel, e->a);
    else
        snprintf(out, room, "note on channel %d note %d velocity %d", channel, e->a, e->b);
}

/* tests/reference/data/smf-spec-example-events.tsv, in the order of the file. */
static void check_example_events(struct test *t, struct arena *a, const char *project,
                                 const struct read_file *f)
{
    struct tsv table = tsv_read(a, project, "smf-spec-example-events.tsv");
    uint32_t next[TRACKS_MAX] = {0}, rows = 0;
    for (uint32_t i = 0; i < table.rows; i++) {
        if (tsv_int(&table, i, "format") != 1)
            continue;
        int64_t track = tsv_int(&table, i, "track");
        const struct read_event *e = &f->tracks[track].events[next[track]++];
        struct str event = tsv_cell(&table, i, "event"), values = tsv_cell(&table, i, "values");
        struct str want = str_printf(a, "%.*s%s%.*s", STR_ARG(event), values.n ? " " : "", STR_ARG(values));
        char got[96];
        describe(e, got, sizeof got);
        CHECK_TEXT(t, got, want.p);
        CHECK(t, e->tick == tsv_int(&table, i, "absolute tick"));
        rows++;
    }
    CHECK(t, rows == 3 + 4 + 4 + 6);
}

/* The example at the end of the specification, byte for byte, and read back. */
static void check_example(struct test *t, struct arena *a, const char *project)
{
    static const int high[][2] = {{76, 32}}, middle[][2] = {{67, 64}}, low[][2] = {{48, 96}, {60, 96}};
    struct buf b = {0};
    smf_header(&b, 4, 96);
    struct smf conductor = smf_open(&b);
    smf_meta(&conductor, 0, SMF_TIME_SIGNATURE, STR("\x04\x02\x18\x08"));
    smf_meta(&conductor, 0, SMF_TEMPO, STR("\x07\xA1\x20"));
    smf_close(&conductor, 384);
    example_voice(&b, 0, 5, 192, high, 1);
    example_voice(&b, 1, 46, 96, middle, 1);
    example_voice(&b, 2, 70, 0, low, 2);
    struct str want = example_bytes(a, project);
    CHECK(t, want.n == 118);
    CHECK(t, str_eq(buf_str(&b), want));
    buf_free(&b);

    static struct read_file f;
    read_file(want, &f);
    CHECK(t, f.whole && f.format == 1 && f.n_tracks == 4 && f.division == 96);
    check_example_events(t, a, project, &f);
    struct read_note notes[8];
    uint32_t n;
    CHECK(t, read_notes(&f.tracks[3], notes, &n) && n == 2 && notes[1].key == 60 && notes[1].off == 384);
    CHECK(t, read_notes(&f.tracks[1], notes, &n) && n == 1 && notes[0].on == 192);
}

/* ---- a model made by hand --------------------------------------------------------------------------------
 */

enum { PARTS = 18 };

struct sample {
    struct model m;
    struct source_list sources;
    struct instrument trumpet, flute, none;
    const struct instrument *trumpets[1], *flutes[1], *nones[1];
    struct passage p;
    struct bar bars[4];
    struct tempo_change tempos[2];
    struct key_change keys[2];
    struct part part[PARTS];
    struct part *parts[PARTS];
    struct note trumpet_notes[5], flute_notes[6], other_notes[1];
    struct stack trumpet_stacks[4], flute_stacks[6], other_stacks[1];
    struct claim claim;
    struct claim_place place;
    struct claim *claims[1];
    struct passage *passages[1];
    struct item demo;
    struct item *items[1];
    const struct passage *played[2];
};

static const struct meter common_time = {{4}, 1, 4}, five_eight = {{3, 2}, 2, 8};

static void set_note(struct note *n, int letter, int alter, int octave, struct ratio onset,
                     struct ratio length, uint32_t lo)
{
    *n = (struct note){.pitch = {{(int8_t)letter, (int16_t)alter}, (int16_t)octave},
                       .onset = onset,
                       .length = length,
                       .where = {0, lo, lo + 2}};
}

static void set_stack(struct stack *s, const struct note *n, uint32_t first, uint32_t size)
{
    *s = (struct stack){n->onset, n->length, first, size, n->where};
}

/* A pickup of an eighth, a bar of 4/4, two of 3+2/8. */
static void sample_frame(struct sample *s)
{
    static const struct ratio onsets[] = {{0, 1}, {1, 8}, {9, 8}, {7, 4}},
                              lengths[] = {{1, 8}, {1, 1}, {5, 8}, {5, 8}};
    for (int i = 0; i < 4; i++)
        s->bars[i] = (struct bar){i, onsets[i], lengths[i], i < 2 ? common_time : five_eight, true};
    s->tempos[0] = (struct tempo_change){RATIO_ZERO, {1, 4}, {130, 1}};
    s->tempos[1] = (struct tempo_change){{9, 8}, {1, 8}, {144, 1}};
    s->keys[0] = (struct key_change){RATIO_ZERO, {{2, -1}, false}, {0}}; /* Eb major */
    s->keys[1] = (struct key_change){{9, 8}, {{0, 1}, true}, {0}};       /* C# minor */
    s->p = (struct passage){.symbol = {.name = STR("lamp")},
                            .bars = s->bars,
                            .n_bars = 4,
                            .pickup = {1, 8},
                            .length = {19, 8},
                            .tempos = s->tempos,
                            .n_tempos = 2,
                            .keys = s->keys,
                            .n_keys = 2,
                            .parts = s->parts,
                            .n_parts = PARTS};
}

static void sample_parts(struct sample *s)
{
    struct ratio eighth = {1, 8}, half = {1, 2}, triplet = {1, 12};
    /* A key struck again as it ends; then a unison of two voices of which one is longer; then the same key
     * again. */
    set_note(&s->trumpet_notes[0], 0, 0, 4, RATIO_ZERO, eighth, 100);
    set_note(&s->trumpet_notes[1], 0, 0, 4, eighth, eighth, 110);
    set_note(&s->trumpet_notes[2], 4, 0, 4, (struct ratio){1, 4}, eighth, 120);
    set_note(&s->trumpet_notes[3], 4, 0, 4, (struct ratio){1, 4}, half, 130);
    set_note(&s->trumpet_notes[4], 4, 0, 4, half, eighth, 140);
    for (uint32_t i = 0; i < 4; i++)
        set_stack(&s->trumpet_stacks[i], &s->trumpet_notes[i == 3 ? 4 : i], i == 3 ? 4 : i, i == 2 ? 2 : 1);
    s->part[0] = (struct part){.symbol = {.name = STR("brass")},
                               .instruments = s->trumpets,
                               .n_instruments = 1,
                               .muted = true,
                               .notes = s->trumpet_notes,
                               .n_notes = 5,
                               .stacks = s->trumpet_stacks,
                               .n_stacks = 4};
    for (int i = 0; i < 3; i++) {
        struct ratio onset = ratio_plus((struct ratio){1, 8}, (struct ratio){i, 12});
        set_note(&s->flute_notes[i], 0, 0, 5, onset, triplet, 200);
    }
    set_note(&s->flute_notes[3], 0, -1, -1, (struct ratio){9, 8}, eighth, 230); /* Cb-1: -1, below MIDI */
    set_note(&s->flute_notes[4], 6, 1, 4, (struct ratio){10, 8}, eighth, 240);  /* B#4 sounds as C5 */
    set_note(&s->flute_notes[5], 0, 0, 6, (struct ratio){7, 4}, (struct ratio){5, 8}, 250);
    for (uint32_t i = 0; i < 6; i++)
        set_stack(&s->flute_stacks[i], &s->flute_notes[i], i, 1);
    s->part[1] = (struct part){.symbol = {.name = STR("pipe")},
                               .instruments = s->flutes,
                               .n_instruments = 1,
                               .notes = s->flute_notes,
                               .n_notes = 6,
                               .stacks = s->flute_stacks,
                               .n_stacks = 6};
    set_note(&s->other_notes[0], 0, 0, 3, RATIO_ZERO, (struct ratio){19, 8}, 300);
    set_stack(&s->other_stacks[0], &s->other_notes[0], 0, 1);
    static const struct str names[] = {STR("c"), STR("d"), STR("e"), STR("f"), STR("g"), STR("h"),
                                       STR("i"), STR("j"), STR("k"), STR("l"), STR("m"), STR("n"),
                                       STR("o"), STR("p"), STR("q"), STR("r")};
    for (int i = 2; i < PARTS; i++)
        s->part[i] = (struct part){.symbol = {.name = names[i - 2]},
                                   .instruments = s->nones,
                                   .n_instruments = 1,
                                   .notes = s->other_notes,
                                   .n_notes = 1,
                                   .stacks = s->other_stacks,
                                   .n_stacks = 1};
    for (int i = 0; i < PARTS; i++)
        s->parts[i] = &s->part[i];
}

static void sample_make(struct sample *s)
{
    memset(s, 0, sizeof *s);
    s->trumpet = (struct instrument){.symbol = {.name = STR("trumpet")}, .program = 57};
    s->flute = (struct instrument){.symbol = {.name = STR("flute")}, .program = 74};
    s->none = (struct instrument){.symbol = {.name = STR("slide-whistle")}, .program = 0};
    s->trumpets[0] = &s->trumpet;
    s->flutes[0] = &s->flute;
    s->nones[0] = &s->none;
    sample_frame(s);
    sample_parts(s);
    s->place = (struct claim_place){.where = {0, 240, 242}};
    s->claim = (struct claim){
        .symbol = {.name = STR("slide")}, .verdict = VERDICT_HOLDS, .places = &s->place, .passage = &s->p};
    s->claims[0] = &s->claim;
    s->passages[0] = &s->p;
    s->played[0] = s->played[1] = &s->p;
    s->demo =
        (struct item){.kind = ITEM_DEMO, .name = STR("demo-1-lamp"), .passages = s->played, .n_passages = 1};
    s->demo.stretch = (struct stretch){.onset = {9, 8}, .end = {7, 4}, .given = true};
    s->items[0] = &s->demo;
    s->m = (struct model){.sources = &s->sources,
                          .passages = s->passages,
                          .n_passages = 1,
                          .claims = s->claims,
                          .n_claims = 1,
                          .items = s->items,
                          .n_items = 1,
                          .length = RATIO_ZERO};
}

static void write_sample(struct sample *s, struct arena *a, const char *name, struct read_file *f)
{
    struct output_list out = {.arena = a, .stem = STR("x")};
    back_midi(&s->m, &out);
    memset(f, 0, sizeof *f);
    for (uint32_t i = 0; i < out.n; i++)
        if (str_is(out.items[i].name, name))
            read_file(out.items[i].bytes, f);
}

static bool text_is(const struct read_event *e, uint32_t tick, struct str bytes)
{
    return e && e->tick == tick && str_eq(e->text, bytes);
}

/* Quarter notes to ticks. */
static uint32_t quarters(const struct read_file *f, int num, int den)
{
    return f->division * (uint32_t)num / (uint32_t)den;
}

static void check_conductor(struct test *t, const struct read_file *f)
{
    const struct read_track *c = &f->tracks[0];
    uint32_t bar2 = quarters(f, 9, 2), bar3 = quarters(f, 7, 1);
    /* 130 quarters a minute are 461538 microseconds; 144 eighths a minute 833333. */
    CHECK(t, text_is(find(c, 0xFF, 0x51, 0), 0, STR("\x07\x0A\xE2")));
    CHECK(t, text_is(find(c, 0xFF, 0x51, 1), bar2, STR("\x0C\xB7\x35")));
    CHECK(t, text_is(find(c, 0xFF, 0x58, 0), 0, STR("\x01\x03\x0C\x08"))); /* the pickup, 1/8 */
    CHECK(t, text_is(find(c, 0xFF, 0x58, 1), quarters(f, 1, 2), STR("\x04\x02\x18\x08"))); /* 4/4 */
    CHECK(t, text_is(find(c, 0xFF, 0x58, 2), bar2, STR("\x05\x03\x0C\x08")));              /* 3+2/8 */
    CHECK(t, find(c, 0xFF, 0x58, 3) == NULL);
    CHECK(t, text_is(find(c, 0xFF, 0x59, 0), 0, STR("\xFD\x00")));
    CHECK(t, text_is(find(c, 0xFF, 0x59, 1), bar2, STR("\x04\x01")));
    CHECK(t, text_is(find(c, 0xFF, 0x06, 0), 0, STR("claim slide: holds")) ||
                 has_text(c, 0x06, "claim slide: holds"));
    CHECK(t, has_text(c, 0x06, "bar 0") && has_text(c, 0x06, "bar 3"));
    const struct read_event *e;
    for (uint32_t n = 0; (e = find(c, 0xFF, 0x06, n)) != NULL; n++) {
        if (str_is(e->text, "claim slide: holds"))
            CHECK(t, e->tick == quarters(f, 5, 1));
        if (str_is(e->text, "bar 3"))
            CHECK(t, e->tick == bar3);
    }
    CHECK(t, c->events[c->n - 1].tick == quarters(f, 19, 2));
    CHECK(t, find(c, 0x90, 0, 0) == NULL);
}

static bool note_is(const struct read_file *f, struct read_note n, int key, int on_num, int on_den,
                    int off_num, int off_den)
{
    return n.key == key && n.on == quarters(f, on_num, on_den) && n.off == quarters(f, off_num, off_den);
}

static void check_passage(struct test *t, struct arena *a)
{
    static struct sample s;
    static struct read_file f;
    sample_make(&s);
    write_sample(&s, a, "x.passage-lamp.mid", &f);
    if (!CHECK(t, f.whole && f.format == 1 && f.n_tracks == PARTS + 1 && f.division % 6 == 0 &&
                      f.division >= 480))
        return;
    check_conductor(t, &f);
    struct read_note n[16];
    uint32_t count;
    CHECK(t, read_notes(&f.tracks[1], n, &count) && count == 4);
    CHECK(t, note_is(&f, n[0], 60, 0, 1, 1, 2) && note_is(&f, n[1], 60, 1, 2, 1, 1));
    /* The unison becomes one note; the G struck again while it sounds cuts it, and lasts as long as it would
     * have. */
    CHECK(t, note_is(&f, n[2], 67, 1, 1, 2, 1) && note_is(&f, n[3], 67, 2, 1, 3, 1));
    CHECK(t, read_notes(&f.tracks[2], n, &count) && count == 5);
    CHECK(t, note_is(&f, n[0], 72, 1, 2, 5, 6) && note_is(&f, n[1], 72, 5, 6, 7, 6) &&
                 note_is(&f, n[2], 72, 7, 6, 3, 2));
    CHECK(t, note_is(&f, n[3], 72, 5, 1, 11, 2));
    CHECK(t, has_text(&f.tracks[2], 0x01, "Cb-1 lies outside the notes of MIDI and is left out"));
    CHECK(t, has_text(&f.tracks[1], 0x03, "brass") && has_text(&f.tracks[1], 0x04, "trumpet, muted"));
    bool channels = true, pedals = true, ends = true;
    for (uint32_t i = 1; i < f.n_tracks; i++) {
        const struct read_track *track = &f.tracks[i];
        int channel = (int)((i - 1) % 15);
        channel += channel >= 9;
        const struct read_event *port = find(track, 0xFF, 0x21, 0);
        const struct read_event *program = find(track, 0xC0, 0, 0), *first = find(track, 0xB0, 0, 0),
                                *last = find(track, 0xB0, 0, 1);
        int want = i == 1 ? 60 : i == 2 ? 74 : 1;
        channels = channels && program && program->status == (0xC0 | channel) && program->a == want - 1;
        channels = channels && port && port->text.n == 1 && port->text.p[0] == (char)((i - 1) / 15);
        pedals = pedals && first && first->tick == 0 && first->a == 64 && first->b == 0 && last &&
                 last->a == 64 && last->b == 0;
        ends = ends && track->events[track->n - 1].tick == quarters(&f, 19, 2);
    }
    CHECK(t, channels);
    CHECK(t, pedals);
    CHECK(t, ends);
}

/* Bar 2 of it: what held over is struck again, later bars are left out. */
static void check_demo(struct test *t, struct arena *a)
{
    static struct sample s;
    static struct read_file f;
    sample_make(&s);
    write_sample(&s, a, "x.demo-1-lamp.mid", &f);
    /* Without the trumpet, which is silent there. */
    if (!CHECK(t, f.whole && f.n_tracks == PARTS))
        return;
    struct read_note n[16];
    uint32_t count;
    CHECK(t, read_notes(&f.tracks[1], n, &count) && count == 1 && note_is(&f, n[0], 72, 1, 2, 1, 1));
    CHECK(t, read_notes(&f.tracks[2], n, &count) && count == 1 && note_is(&f, n[0], 48, 0, 1, 5, 2));
    CHECK(t, text_is(find(&f.tracks[0], 0xFF, 0x51, 0), 0, STR("\x0C\xB7\x35")));
    CHECK(t, text_is(find(&f.tracks[0], 0xFF, 0x58, 0), 0, STR("\x05\x03\x0C\x08")));
    CHECK(t, text_is(find(&f.tracks[0], 0xFF, 0x59, 0), 0, STR("\x04\x01")));
    CHECK(t, f.tracks[0].events[f.tracks[0].n - 1].tick == quarters(&f, 5, 2));
    /* Two passages one after the other, on the same tracks. */
    s.demo.n_passages = 2;
    s.p.n_parts = 2;
    write_sample(&s, a, "x.demo-1-lamp.mid", &f);
    if (!CHECK(t, f.whole && f.n_tracks == 3))
        return;
    CHECK(t, read_notes(&f.tracks[1], n, &count) && count == 8 && note_is(&f, n[4], 60, 19, 2, 10, 1));
    CHECK(t, find(&f.tracks[1], 0xFF, 0x21, 0) == NULL);
}

/* A figure of a library; then values that no division fits. */
static void check_figure(struct test *t, struct arena *a)
{
    static struct sample s;
    static struct read_file f;
    sample_make(&s);
    struct note notes[2];
    set_note(&notes[0], 2, 0, 4, RATIO_ZERO, (struct ratio){1, 4}, 0);
    set_note(&notes[1], 3, 0, 4, (struct ratio){1, 4}, (struct ratio){1, 2}, 0);
    struct figure keeper = {.symbol = {.name = STR("keeper"), .library = true},
                            .notes = notes,
                            .n_notes = 2,
                            .onset = RATIO_ZERO,
                            .length = {3, 4}};
    s.demo.figure = &keeper;
    s.demo.n_passages = 0;
    write_sample(&s, a, "x.demo-1-lamp.mid", &f);
    struct read_note n[4];
    uint32_t count;
    CHECK(t, f.whole && f.n_tracks == 2 && f.division == 480);
    CHECK(t, read_notes(&f.tracks[1], n, &count) && count == 2 && note_is(&f, n[1], 65, 1, 1, 3, 1));
    CHECK(t, has_text(&f.tracks[0], 0x01, "no tempo is given: 120 quarter notes a minute are assumed"));
    CHECK(t, text_is(find(&f.tracks[0], 0xFF, 0x51, 0), 0, STR("\x07\xA1\x20")));
    notes[0].length = notes[1].onset = (struct ratio){1, 65537};
    notes[1].length = (struct ratio){1, 65537};
    write_sample(&s, a, "x.demo-1-lamp.mid", &f);
    CHECK(t, f.whole && f.division == 27720);
    CHECK(t, read_notes(&f.tracks[1], n, &count) && count == 2 && n[0].off == 2 && n[1].on == 2 &&
                 n[1].off == 3);
    CHECK(t, has_text(&f.tracks[0], 0x01,
                      "no division fits these note values: times are rounded to the nearest tick"));
}

int main(int argc, char **argv)
{
    struct test t = {.name = "midi"};
    struct arena a = {0};
    const char *project = argc > 1 ? argv[1] : ".";
    check_quantities(&t, &a, project);
    check_example(&t, &a, project);
    check_passage(&t, &a);
    check_demo(&t, &a);
    check_figure(&t, &a);
    arena_free(&a);
    return test_end(&t);
}
