/* Claims from a hand-built model: sentences are read, notes are found, verdicts are given. No parser is
 * involved. */
#include "unit/claims_model.h"
#include "unit/test.h"

#include "claims/match.h"
#include "claims/sound.h"

#include "base/buf.h"
#include "diag/suggest.h"

/* ---- slots --------------------------------------------------------------------------------------- */

/* Reads the words by one slot; returns how many of them it took, 0 for none. */
static uint32_t slot_takes(struct builder *b, enum slot slot, const char *text, struct match *m)
{
    struct reader r;
    struct sentence s = sentence_of(b, text);
    memset(m, 0, sizeof *m);
    if (!reader_start(&r, &b->model, s.words, s.n))
        return 0;
    r.match = m;
    uint32_t end = slot_read(&r, slot, 0, r.n);
    return end == r.n ? end : 0;
}

static void test_intervals(struct test *t, struct builder *b)
{
    static const struct {
        const char *text;
        int steps, half;
        bool by_sound;
    } rows[] = {
        {"a major third", 2, 4, false},
        {"m3", 2, 3, false},
        {"P5", 4, 7, false},
        {"an octave and a major third", 9, 16, false},
        {"a major tenth", 9, 16, false},
        {"two octaves", 14, 24, false},
        {"two octaves and a perfect fifth", 18, 31, false},
        {"a perfect fifth and two octaves", 18, 31, false},
        {"a doubly augmented fourth", 3, 7, false},
        {"an octave", 7, 12, false},
        {"a half step", 0, 1, true},
        {"a semitone", 0, 1, true},
        {"a whole tone", 0, 2, true},
        {"a tritone", 0, 6, true},
        {"5 semitones", 0, 5, true},
        {"three half steps", 0, 3, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct match m;
        bool ok = slot_takes(b, SLOT_INTERVAL, rows[i].text, &m) > 0 && m.n_intervals == 1 &&
                  m.interval[0].v.half == rows[i].half && m.interval[0].by_sound == rows[i].by_sound &&
                  (rows[i].by_sound || m.interval[0].v.steps == rows[i].steps);
        if (!CHECK(t, ok))
            fprintf(stderr, "    in: %s\n", rows[i].text);
    }
    static const char *const wrong[] = {
        "a third", "a perfect third", "major", "a doubly major third", "octaves and", "lamp"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct match m;
        CHECK(t, slot_takes(b, SLOT_INTERVAL, wrong[i], &m) == 0);
    }
    struct match m;
    CHECK(t, slot_takes(b, SLOT_INTERVAL, "an octave and a major third", &m) &&
                 str_is(m.interval[0].words, "an octave and a major third"));
    CHECK(t, slot_takes(b, SLOT_INTERVAL, "702 cents", &m) && m.interval[0].cents &&
                 m.interval[0].amount.num == 702);
}

static void test_values(struct test *t, struct builder *b)
{
    static const struct {
        const char *text;
        int num, den;
    } rows[] = {
        {"1/4", 1, 4},
        {"a quarter note", 1, 4},
        {"a crotchet", 1, 4},
        {"dotted quarter note", 3, 8},
        {"triplet eighth", 1, 12},
        {"half note", 1, 2},
        {"dotted minim", 3, 4},
        {"semiquavers", 1, 16},
        {"breve", 2, 1},
        {"double-dotted half note", 7, 8},
    };
    struct match m;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        CHECK(t, slot_takes(b, SLOT_VALUE, rows[i].text, &m) && m.value[0].num == rows[i].num &&
                     m.value[0].den == rows[i].den);
    CHECK(t, slot_takes(b, SLOT_VALUE, "half", &m) == 0);
    CHECK(t, slot_takes(b, SLOT_LENGTH, "4 bars", &m) && m.length[0].unit == LENGTH_BARS &&
                 m.length[0].amount.num == 4);
    CHECK(t, slot_takes(b, SLOT_LENGTH, "2.5 s", &m) && m.length[0].unit == LENGTH_SECONDS &&
                 m.length[0].amount.den == 2);
    CHECK(t, slot_takes(b, SLOT_LENGTH, "two beats", &m) && m.length[0].unit == LENGTH_BEATS);
    CHECK(t, slot_takes(b, SLOT_LENGTH, "1:30", &m) && m.length[0].amount.num == 90);
    CHECK(t, slot_takes(b, SLOT_LENGTH, "three half notes", &m) && m.length[0].unit == LENGTH_WHOLES &&
                 m.length[0].amount.num == 3 && m.length[0].amount.den == 2);
    CHECK(t, slot_takes(b, SLOT_COUNT, "twice", &m) && m.count[0] == 2);
    CHECK(t, slot_takes(b, SLOT_COUNT, "no", &m) && m.count[0] == 0);
    CHECK(t, slot_takes(b, SLOT_TIME, "1:02:33.250", &m) && m.time[0].num == 15013 && m.time[0].den == 4);
    CHECK(t, slot_takes(b, SLOT_TIME, "0:75", &m) == 0);
}

static void test_names(struct test *t, struct builder *b)
{
    struct match m;
    CHECK(t, slot_takes(b, SLOT_KEY, "Eb minor", &m) && m.key[0].minor && m.key[0].tonic.alter == -1);
    CHECK(t, slot_takes(b, SLOT_SCALE, "D dorian", &m) && m.scale[0] == &scales[0] && m.scale_has_tonic[0]);
    CHECK(t, slot_takes(b, SLOT_SCALE, "octatonic on C", &m) && m.scale[0] == &scales[2] &&
                 m.scale_has_tonic[0]);
    CHECK(t, slot_takes(b, SLOT_SCALE, "the octatonic scale on C#", &m) && m.scale_tonic[0].alter == 1);
    CHECK(t, slot_takes(b, SLOT_SCALE, "a whole-tone collection", &m) && m.scale[0] == &scales[1] &&
                 !m.scale_has_tonic[0]);
    CHECK(t, slot_takes(b, SLOT_SCALE, "whole tone scale", &m) && m.scale[0] == &scales[1]);
    CHECK(t,
          slot_takes(b, SLOT_QUALITY, "Half-Diminished seventh chord", &m) && m.quality[0] == &qualities[3]);
    CHECK(t, slot_takes(b, SLOT_QUALITY, "half diminished sevenths", &m) && m.quality[0] == &qualities[3]);
    CHECK(t, slot_takes(b, SLOT_INSTRUMENT, "English horns", &m) && m.instrument[0] == &instruments[0]);
    CHECK(t, slot_takes(b, SLOT_INSTRUMENT, "english horn", &m) && m.instrument[0] == &instruments[0]);
    CHECK(t, slot_takes(b, SLOT_FAMILY, "a double reed", &m) && str_is(m.family[0], "double reed"));
    CHECK(t, slot_takes(b, SLOT_FAMILY, "string instrument", &m) && str_is(m.family[0], "strings"));
    CHECK(t, slot_takes(b, SLOT_FAMILY, "woodwinds", &m) && str_is(m.family[0], "woodwind"));
    CHECK(t, slot_takes(b, SLOT_CHORD, "D over Eb", &m) && m.chord[0].symbol->n_layers == 2 &&
                 str_is(m.chord[0].symbol->text, "D over Eb"));
    CHECK(t, slot_takes(b, SLOT_CHORD, "the chord at bar 1 beat 3 of lamp", &m) && m.chord[0].at_place &&
                 m.chord[0].at.den == 2 && str_is(m.chord[0].words, "the chord at bar 1 beat 3 of lamp"));
    CHECK(t,
          slot_takes(b, SLOT_CHORD, "G dominant seventh", &m) && m.chord[0].symbol->layers[0].n_tones == 4);
    CHECK(t, slot_takes(b, SLOT_SYMBOL, "C as (E3 G3 C4)", &m) && m.chord[0].symbol->n_voicing[0] == 3);
    CHECK(t, slot_takes(b, SLOT_TONES, "C, E and G#", &m) && m.n_list == 3 && m.list[2].alter == 1);
    CHECK(t, slot_takes(b, SLOT_PLACE, "bar 3 beat 2 1/2", &m) && m.place[0].beat.num == 5 &&
                 m.place[0].beat.den == 2);
    CHECK(t, slot_takes(b, SLOT_PLACE, "beat 2 of bar 3", &m) && m.place[0].bar == 3 && m.place[0].has_beat);
}

static void test_streams(struct test *t, struct builder *b)
{
    static const struct {
        const char *text;
        enum stream_kind kind;
    } rows[] = {
        {"strings of lamp", STREAM_PART},       {"strings", STREAM_PART},
        {"the harmony of lamp", STREAM_HARMONY}, {"the chords of lamp", STREAM_HARMONY},
        {"roots of lamp", STREAM_HARMONY},      {"harmony", STREAM_HARMONY},
        {"call", STREAM_FIGURE},                {"the figure call", STREAM_FIGURE},
        {"bass of lamp", STREAM_BASS},          {"the bass", STREAM_BASS},
        {"the top voice of lamp", STREAM_TOP},  {"voice 3 of strings of lamp", STREAM_VOICE},
        {"voice 3 of strings", STREAM_VOICE},   {"the outer voices of lamp", STREAM_OUTER},
        {"all of lamp", STREAM_ALL},            {"lamp", STREAM_ALL},
        {"the top voice of strings", STREAM_VOICE}, {"the English horn", STREAM_PART},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct match m;
        bool ok = slot_takes(b, SLOT_STREAM, rows[i].text, &m) > 0 && m.stream[0].kind == rows[i].kind &&
                  m.stream[0].passage == b->model.passages[0] && str_is(m.stream[0].words, rows[i].text);
        if (!CHECK(t, ok))
            fprintf(stderr, "    in: %s\n", rows[i].text);
    }
    struct match m;
    CHECK(t, slot_takes(b, SLOT_STREAM, "voice 3 of strings", &m) && m.stream[0].voice == 2);
    CHECK(t, slot_takes(b, SLOT_STREAM, "voice 7 of strings", &m) == 0);
    CHECK(t, slot_takes(b, SLOT_STREAM, "lmap", &m) == 0);
    CHECK(t, slot_takes(b, SLOT_FIGURE, "strings", &m) == 0);
    CHECK(t, slot_takes(b, SLOT_PART, "call", &m) == 0);
}

/* ---- patterns ------------------------------------------------------------------------------------ */

/* Every pattern compiles; a literal word in capitals would be a slot that nobody knows. */
static void test_patterns(struct test *t, struct builder *b)
{
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++) {
        CHECK(t, claim_kind_by_name(str_of((*k)->name)) == *k);
        for (int i = 0; (*k)->patterns[i]; i++) {
            struct pattern p;
            pattern_compile(&b->arena, *k, i, &p);
            bool ok = p.n_words > 0;
            for (uint32_t w = 0; w < p.n_words; w++) {
                struct str text = pattern_word_text(&p, &p.words[w]);
                ok = ok && !(text.n > 2 && text.p[0] >= 'A' && text.p[0] <= 'Z' && text.p[1] >= 'A' && text.p[1] <= 'Z');
            }
            if (!CHECK(t, ok))
                fprintf(stderr, "    in: %s\n", (*k)->patterns[i]);
        }
    }
    struct str text =
        pattern_text(&b->arena, "STREAM moves [DIRECTION INTERVAL] in <real|tonal> parallel motion");
    CHECK(t, str_is(text, "STREAM moves [up|down INTERVAL] in real|tonal parallel motion"));
}

static void test_stems(struct test *t)
{
    static const char *const same[][2] = {{"moves", "move"},  {"are", "is"},         {"has", "have"},
                                          {"passes", "pass"}, {"octaves", "octave"}, {"Moves", "move"}};
    static const char *const other[][2] = {{"bass", "bas"}, {"real", "tonal"}, {"is", "i"}};
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++)
        CHECK(t, stem_hash(str_of(same[i][0])) == stem_hash(str_of(same[i][1])));
    for (size_t i = 0; i < sizeof other / sizeof other[0]; i++)
        CHECK(t, stem_hash(str_of(other[i][0])) != stem_hash(str_of(other[i][1])));
}

/* ---- from names to notes ------------------------------------------------------------------------- */

struct scene {
    struct claim claim;
    struct claim_context ctx;
    struct match m;
};

/* Reads a stream and a span, as a kind would get them. */
static bool scene_start(struct builder *b, struct scene *s, const char *stream, const char *span)
{
    struct reader r;
    *s = (struct scene){.claim = {.verdict = VERDICT_UNDECIDED}};
    s->ctx = (struct claim_context){.arena = &b->arena, .model = &b->model, .conventions = &b->conventions,
                                    .claim = &s->claim};
    if (!slot_takes(b, SLOT_STREAM, stream, &s->m))
        return false;
    if (!span)
        return true;
    struct sentence words = sentence_of(b, span);
    return reader_start(&r, &b->model, words.words, words.n) && read_span(&r, 0, r.n, &s->m.span) == r.n;
}

static void test_stretches(struct test *t, struct builder *b)
{
    static const struct {
        const char *span;
        struct ratio onset, end;
    } rows[] = {
        {"bar 3", {2, 1}, {3, 1}},
        {"in bars 3 to 6", {2, 1}, {6, 1}},
        {"bar 3 to bar 6", {2, 1}, {6, 1}},
        {"from bar 1 beat 1 to bar 1 beat 3", {0, 1}, {3, 4}},
        {"bar 1 beat 3 to bar 2", {1, 2}, {2, 1}},
        {"at bar 3 beat 1", {2, 1}, {17, 8}}, /* up to the note on the half beat */
        {", bar 3 beat 1 to beat 2", {2, 1}, {5, 2}},
    };
    struct scene s;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct stretch where = {.onset = RATIO_ZERO, .end = RATIO_ZERO};
        bool ok = scene_start(b, &s, "lamp", rows[i].span) &&
                  match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                  ratio_eq(where.onset, rows[i].onset) && ratio_eq(where.end, rows[i].end);
        if (!CHECK(t, ok))
            fprintf(stderr, "    in: %s, end %lld/%lld\n", rows[i].span, (long long)where.end.num,
                    (long long)where.end.den);
    }
    struct stretch where;
    CHECK(t, scene_start(b, &s, "lamp", "bar 9") && !match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where));
    CHECK(t, str_is(s.claim.reason, "bar 9 does not exist in `lamp`, which has bars 1 to 6"));
    CHECK(t,
          scene_start(b, &s, "lamp", "bar 2 beat 5") && !match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where));
    CHECK(t, scene_start(b, &s, "lamp", "bar 4 to bar 2") &&
                 !match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where));
    CHECK(t, s.claim.verdict == VERDICT_UNDECIDED && s.claim.reason.n);
}

static void test_lines(struct test *t, struct builder *b)
{
    struct scene s;
    struct stretch where;
    struct line l;
    CHECK(t, scene_start(b, &s, "call", NULL) && match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_line(&s.ctx, &s.m.stream[0], where, 2, &l) && l.n == 4);
    CHECK(t, scene_start(b, &s, "voice 6 of strings", "bars 1 to 2") &&
                 match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_line(&s.ctx, &s.m.stream[0], where, 2, &l) && l.n == 4 &&
                 pitch_midi(l.notes[0]->pitch) == 69);
    CHECK(t, scene_start(b, &s, "strings", NULL) && match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 !stream_line(&s.ctx, &s.m.stream[0], where, 2, &l));
    CHECK(t, str_is(s.claim.reason,
                    "`strings` sounds several notes at once; name a voice: `voice 1 of strings`"));
    CHECK(t, scene_start(b, &s, "reed", "bar 5") && match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 !stream_line(&s.ctx, &s.m.stream[0], where, 1, &l) &&
                 has_text(s.claim.reason, "nothing sounds there"));
    CHECK(t, scene_start(b, &s, "bass of lamp", NULL) &&
                 match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_line(&s.ctx, &s.m.stream[0], where, 2, &l) && l.n == 8);
    CHECK(t, pitch_midi(l.notes[0]->pitch) == 51 && pitch_midi(l.notes[7]->pitch) == 31);
    CHECK(t, scene_start(b, &s, "lamp", "bar 3") && match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_notes(&s.ctx, &s.m.stream[0], where, &l) && l.n == 11);
    CHECK(t, s.ctx.passage == b->model.passages[0]);
}

static void test_moments(struct test *t, struct builder *b)
{
    struct scene s;
    struct stretch where;
    struct moments list;
    CHECK(t, scene_start(b, &s, "harmony of lamp", "bar 1 beat 1 to bar 1 beat 3") &&
                 match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_moments(&s.ctx, &s.m.stream[0], where, 2, &list) && list.n == 2);
    CHECK(t, list.items[0].source == MOMENT_SOUNDING && list.items[0].n == 6 &&
                 list.items[0].symbol->n_layers == 2);
    CHECK(t, scene_start(b, &s, "harmony of lamp", "bar 3 to bar 6") &&
                 match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_moments(&s.ctx, &s.m.stream[0], where, 2, &list) && list.n == 2 &&
                 list.items[0].n == 8);
    CHECK(t, scene_start(b, &s, "outer voices of lamp", "bar 3") &&
                 match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_moments(&s.ctx, &s.m.stream[0], where, 1, &list) && list.n == 1 &&
                 list.items[0].n == 2);
    CHECK(t, pitch_midi(list.items[0].pitches[1]) == 69 && list.items[0].length.num == 1);
    CHECK(t, scene_start(b, &s, "lamp", "bar 3") && match_stretch(&s.ctx, &s.m, &s.m.stream[0], &where) &&
                 stream_moments(&s.ctx, &s.m.stream[0], where, 1, &list) && list.n == 4);
    struct moment m;
    CHECK(t, slot_takes(b, SLOT_CHORD, "D over Eb", &s.m) && !chord_moment(&s.ctx, &s.m.chord[0], true, &m) &&
                 has_text(s.claim.reason, "needs a voicing"));
    CHECK(t, chord_moment(&s.ctx, &s.m.chord[0], false, &m) && m.source == MOMENT_SYMBOL && m.n == 6 &&
                 m.tones[0].letter == 2);
    CHECK(t, slot_takes(b, SLOT_CHORD, "chord at bar 2 of lamp", &s.m) &&
                 chord_moment(&s.ctx, &s.m.chord[0], true, &m) && m.n == 6);
}

static void test_fits(struct test *t)
{
    struct interval_ref third = {.v = {2, 4}, .amount = RATIO_ZERO};
    struct interval_ref sound = {.by_sound = true, .v = {0, 4}, .amount = RATIO_ZERO};
    bool same;
    CHECK(t, interval_ref_fits(&third, -1, (struct interval){-2, -4}, &same) && !same);
    CHECK(t, !interval_ref_fits(&third, 1, (struct interval){-2, -4}, &same) && !same);
    CHECK(t, interval_ref_fits(&third, 0, (struct interval){-2, -4}, &same));
    CHECK(t, !interval_ref_fits(&third, 0, (struct interval){3, 4}, &same) && same);
    CHECK(t, interval_ref_fits(&sound, 1, (struct interval){3, 4}, &same) && !same);
    CHECK(t, !interval_ref_fits(&sound, -1, (struct interval){3, 4}, &same));
}

/* ---- whole claims -------------------------------------------------------------------------------- */

static void test_verdicts(struct test *t, struct builder *b)
{
    static const struct {
        const char *text;
        enum verdict verdict;
    } rows[] = {
        {"the harmony of lamp moves down a major third in real parallel motion, bar 1 beat 1 to bar 1 beat 3",
         VERDICT_HOLDS},
        {"the harmony of lamp moves down a minor third in real parallel motion, bar 1 beat 1 to bar 1 beat 3",
         VERDICT_FAILS},
        {"the layers of the chord at bar 1 of lamp lie a minor second apart", VERDICT_HOLDS},
        {"the harmony of lamp alternates two chords, bar 1 to bar 2", VERDICT_HOLDS},
        {"answer repeats call up an octave and a major third", VERDICT_HOLDS},
        {"answer does not repeat call up an octave and a major third", VERDICT_FAILS},
        {"answer does not repeat call up an octave and a minor third", VERDICT_HOLDS},
        {"G is a bass pedal in lamp, bar 3 to bar 6", VERDICT_HOLDS},
        {"no major or minor key contains the harmony of lamp", VERDICT_HOLDS},
        {"English horn is a double reed", VERDICT_HOLDS},
        {"the English horn is not a double reed", VERDICT_FAILS},
        {"reed enters at bar 9", VERDICT_UNDECIDED},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        uint32_t before = b->diags.n;
        struct claim c = claim_of(b, rows[i].text);
        bool ok = c.kind && c.verdict == rows[i].verdict && c.evidence.n && c.reason.n &&
                  (b->diags.n > before) == (c.verdict != VERDICT_HOLDS);
        if (!CHECK(t, ok))
            fprintf(stderr, "    in: %s\n    %.*s\n", rows[i].text, STR_ARG(c.reason));
    }
    struct claim c = claim_of(b, "answer does not repeat call up an octave and a major third");
    CHECK(t, c.negated && str_is(c.instead, "answer repeats call up an octave and a major third"));
    CHECK(t, last_diag(b)->code == DIAG_CLAIM_FAILS && last_diag(b)->where.hi > 40);
    c = claim_of(b, "answer repeats call up an octave and a minor third");
    CHECK(t, c.verdict == VERDICT_FAILS && last_diag(b)->code == DIAG_FAILS_repeats && c.by_ear);
    CHECK(t, has_text(last_diag(b)->message, "claim `it` fails: "));
    c = claim_of(b, "reed enters at bar 9");
    CHECK(t, last_diag(b)->code == DIAG_CLAIM_UNDECIDED);
}

static void test_joined(struct test *t, struct builder *b)
{
    struct claim c = claim_of(b, "bass of lamp moves by step and falls throughout, bar 5 to bar 6");
    CHECK(t, c.kind && str_is(str_of(c.kind->name), "stepwise"));
    c = claim_of(b, "answer repeats call up an octave and a major third and English horn is a double reed");
    CHECK(t, c.verdict == VERDICT_HOLDS && has_text(c.evidence, "; "));
    c = claim_of(b,
                 "answer repeats call up an octave and a major third and English horn is not a double reed");
    CHECK(t, c.verdict == VERDICT_FAILS && last_diag(b)->code == DIAG_CLAIM_FAILS);
    c = claim_of(b, "voice 1 of strings falls throughout and rises throughout, bar 1");
    CHECK(t, c.verdict == VERDICT_FAILS);
}

static void test_unread(struct test *t, struct builder *b)
{
    struct claim c = claim_of(b, "the harmony of lmap moves down a major third in real parallel motion");
    const struct diag *d = last_diag(b);
    CHECK(t, !c.kind && d->code == DIAG_CLAIM_NAME && d->where.lo == 15 && d->where.hi == 19);
    CHECK(t, d->last_part && d->last_part->kind == PART_FIX && str_is(d->last_part->text, "lamp"));
    claim_of(b, "answr repeats call");
    d = last_diag(b);
    CHECK(t, d->code == DIAG_CLAIM_NAME && d->where.lo == 0 && str_is(d->last_part->text, "answer"));
    claim_of(b, "answer repeats strings");
    d = last_diag(b);
    CHECK(t, d->code == DIAG_CLAIM_NAME && d->parts && has_text(d->parts->text, "`strings` is a part"));
    claim_of(b, "english hron is a double reed");
    CHECK(t, last_diag(b)->code == DIAG_CLAIM_NAME);
    c = claim_of(b, "the harmony of lamp wobbles like a jelly");
    d = last_diag(b);
    CHECK(t, !c.kind && c.verdict == VERDICT_UNDECIDED && d->code == DIAG_CLAIM_UNKNOWN);
    CHECK(t, has_text(d->message, "the harmony of lamp"));
    c = claim_of(b, "lamp is sad");
    CHECK(t, !c.kind && last_diag(b)->code == DIAG_CLAIM_UNKNOWN);
    c = claim_of(b, "in bars 1 to 2, the harmony of lamp alternates two chords");
    CHECK(t, c.verdict == VERDICT_HOLDS);
    claim_of(b, "nobody has ever heard such a thing");
    CHECK(t, last_diag(b)->code == DIAG_CLAIM_UNKNOWN);
    claim_of(b, "");
    CHECK(t, last_diag(b)->code == DIAG_CLAIM_UNKNOWN);
}

static void test_uncertain(struct test *t)
{
    struct builder b;
    builder_start(&b);
    struct passage *p = passage_new(&b, "sketch", 2);
    struct part *part = part_new(&b, p, "line");
    static const char *const pitches[] = {"C4", "D4", "E4", "A4?"};
    for (int i = 0; i < 4; i++) {
        struct ratio onset;
        ratio_make(i, 4, &onset);
        stack_new(&b, part, onset, (struct ratio){1, 4}, pitches[i]);
    }
    stack_new(&b, part, RATIO_ONE, RATIO_ONE, "F4");
    struct claim c = claim_of(&b, "line moves by step");
    CHECK(t, c.verdict == VERDICT_UNDECIDED && has_text(c.reason, "A4 at bar 1 beat 4"));
    CHECK(t, c.places && c.places->where.lo == part->notes[3].where.lo);
    c = claim_of(&b, "line moves by step, bar 1 beat 1 to bar 1 beat 3");
    CHECK(t, c.verdict == VERDICT_HOLDS && !c.on_uncertain);
    c = claim_of(&b, "line falls throughout");
    CHECK(t, c.verdict == VERDICT_FAILS && c.on_uncertain);
    arena_free(&b.arena);
}

/* A stack of more notes than its part has named voices is heard whole. */
static void test_thick_stack(struct test *t)
{
    static const struct str names[] = {STR("low")};
    struct builder b;
    builder_start(&b);
    struct passage *p = passage_new(&b, "hall", 1);
    struct part *part = part_new(&b, p, "choir");
    stack_new(&b, part, RATIO_ZERO, RATIO_ONE, "C3 E3 G3 C4 E4 G4 C5 E5 G5 C6 E6 G6");
    part->voice_names = names;
    part->n_voices = 1;
    struct claim_context ctx = {.arena = &b.arena, .model = &b.model, .conventions = &b.conventions};
    struct claim claim = {.verdict = VERDICT_UNDECIDED};
    ctx.claim = &claim;
    struct moment m;
    CHECK(t, moment_sounding(&ctx, p, RATIO_ZERO, &m) && m.n == 12 && pitch_midi(m.pitches[11]) == 91);
    arena_free(&b.arena);
}

/* Two passages: a name that both have must be told apart. */
static void test_two_passages(struct test *t)
{
    struct builder b;
    builder_start(&b);
    for (int i = 0; i < 2; i++) {
        struct passage *p = passage_new(&b, i ? "dusk" : "dawn", 2);
        struct part *part = part_new(&b, p, "line");
        stack_new(&b, part, RATIO_ZERO, RATIO_ONE, "C4");
        stack_new(&b, part, RATIO_ONE, RATIO_ONE, i ? "D4" : "G4");
    }
    struct claim c = claim_of(&b, "line of dusk moves by step");
    CHECK(t, c.verdict == VERDICT_HOLDS && c.passage == b.model.passages[1]);
    c = claim_of(&b, "line of dawn moves by step");
    CHECK(t, c.verdict == VERDICT_FAILS);
    claim_of(&b, "line moves by step");
    CHECK(t, last_diag(&b)->code == DIAG_CLAIM_NAME &&
                 has_text(last_diag(&b)->message, "2 passages have a part"));
    b.model.passages[1]->bars[1].transcribed = false;
    c = claim_of(&b, "line of dusk moves by step");
    CHECK(t, c.verdict == VERDICT_UNDECIDED && str_is(c.reason, "bar 2 of `dusk` is not transcribed"));
    arena_free(&b.arena);
}

/* ---- diagnostics, suggestions, conventions ------------------------------------------------------- */

static void test_lists(struct test *t)
{
    struct suggest s;
    suggest_start(&s, STR("lmap"));
    suggest_offer(&s, STR("lamp"));
    suggest_offer(&s, STR("tower"));
    CHECK(t, s.n == 1 && str_is(s.best[0], "lamp") && s.distance[0] == 1);
    CHECK(t, name_distance(STR("kitten"), STR("sitting"), 9) == 3 &&
                 name_distance(STR("Lamp"), STR("lamp"), 1) == 0);
    CHECK(t, name_distance(STR("ca"), STR("abc"), 9) == 3); /* restricted: the unrestricted distance is 2 */
    struct arena a = {0};
    struct diag_list list = {.arena = &a};
    for (int i = 0; i < 40; i++)
        diag_add(&list, DIAG_CLAIM_NAME, (struct span){0, (uint32_t)(40 - i % 20), 50}, "no %d", i % 20);
    diag_sort(&list);
    CHECK(t, list.n == 20 && list.errors == 20 && list.items[0].where.lo == 21);
    CHECK(t, diag_by_name(STR("claim-undecided")) == DIAG_CLAIM_UNDECIDED &&
                 diag_by_name(STR("x")) == DIAG_COUNT);
    CHECK(t, convention_by_name(STR("pedal-gap")) == CONVENTION_PEDAL_GAP);
    struct convention_values v;
    convention_defaults(&v);
    v.choice[CONVENTION_MINOR] = 2;
    CHECK_TEXT(t, convention_text(&v, CONVENTION_MINOR), "minor harmonic");
    CHECK_TEXT(t, convention_text(&v, CONVENTION_PARALLEL), "parallel sounding");
    struct str text = clock_text(&a, (struct ratio){15013, 4}, false);
    CHECK(t, str_is(text, "1:02:33.250"));
    CHECK(t, str_is(clock_text(&a, (struct ratio){67, 2}, true), "0:33"));
    arena_free(&a);
}

int main(void)
{
    struct test t = {.name = "claims_core"};
    struct builder b;
    builder_start(&b);
    build_lamp(&b);
    test_stems(&t);
    test_patterns(&t, &b);
    test_intervals(&t, &b);
    test_values(&t, &b);
    test_names(&t, &b);
    test_streams(&t, &b);
    test_stretches(&t, &b);
    test_lines(&t, &b);
    test_moments(&t, &b);
    test_fits(&t);
    test_verdicts(&t, &b);
    test_joined(&t, &b);
    test_unread(&t, &b);
    arena_free(&b.arena);
    test_uncertain(&t);
    test_thick_stack(&t);
    test_two_passages(&t);
    test_lists(&t);
    return test_end(&t);
}
