#include "fuzz/targets.h"

#include "theory/roman.h"

#include <stdlib.h>

static void check_pitch(struct str s)
{
    struct pitch p, q;
    const struct pitch middle = {{0, 0}, 4};
    char text[PITCH_TEXT_MAX];
    if (!pitch_parse(s, &p))
        return;
    for (int style = SIGN_ASCII; style <= SIGN_UNICODE; style++)
        LAW(pitch_parse(str_of(pitch_text(p, (enum sign_style)style, text)), &q) && pitch_eq(p, q));
    pitch_text(p, SIGN_WORDS, text);
    LAW(pitch_midi(p) == pitch_midi(pitch_of_midi(pitch_midi(p), true)));
    LAW(pitch_eq(pitch_move(p, interval_between(p, middle)), middle));
}

static void check_tone(struct str s)
{
    struct tone t, again;
    char text[PITCH_TEXT_MAX];
    if (!tone_parse(s, &t))
        return;
    for (int style = SIGN_ASCII; style <= SIGN_UNICODE; style++)
        LAW(tone_parse(str_of(tone_text(t, (enum sign_style)style, text)), &again) && tone_eq(t, again));
    tone_text(t, SIGN_WORDS, text);
    LAW(tone_pc(t) >= 0 && tone_pc(t) < 12);
}

static void check_interval(struct str s)
{
    struct interval v, again;
    char text[INTERVAL_TEXT_MAX];
    if (degree_parse(s, &v))
        LAW(v.steps >= 0);
    if (!interval_parse_short(s, &v))
        return;
    LAW(interval_parse_short(str_of(interval_short(v, text)), &again) && interval_eq(v, again));
    interval_words(v, text);
    interval_phrase(v, true, text);
    interval_phrase(interval_negate(v), false, text);
    struct interval_name name = interval_describe(v);
    LAW(interval_of_name(name.quality, name.times, name.number, &again) && interval_eq(v, again));
    interval_class_spelled(v);
}

/* Whatever chord was read: its tones are named again. */
static void check_chord_value(const struct chord_dict *dict, const struct chord *c)
{
    struct chord_match found[8];
    char text[PITCH_TEXT_MAX];
    LAW(c->n_tones > 0 && c->n_tones <= CHORD_TONES_MAX);
    chord_set(c);
    uint32_t n = chord_identify(dict, c->tones, c->n_tones, found, 8);
    LAW(n <= 8);
    for (uint32_t i = 0; i < n; i++)
        for (int style = SIGN_ASCII; style <= SIGN_WORDS; style++)
            chord_symbol(found[i].root, found[i].quality, &c->bass, (enum sign_style)style, text);
}

static void check_chord(const struct chord_dict *dict, struct str s)
{
    struct chord c, again;
    char text[PITCH_TEXT_MAX];
    uint32_t bad = 0;
    if (!chord_parse(dict, s, &c, &bad)) {
        LAW(bad <= s.n);
        return;
    }
    check_chord_value(dict, &c);
    if (!c.quality || c.altered)
        return;
    for (int style = SIGN_ASCII; style <= SIGN_UNICODE; style++) {
        chord_symbol(c.root, c.quality, c.slash ? &c.bass : NULL, (enum sign_style)style, text);
        LAW(chord_parse(dict, str_of(text), &again, &bad));
        LAW(chord_set(&again) == chord_set(&c) && again.quality == c.quality && tone_eq(again.bass, c.bass));
    }
}

static void check_roman(const struct chord_dict *dict, struct str s)
{
    static const struct key keys[] = {
        {{0, 0}, false}, {{5, 0}, true}, {{0, -1}, false}, {{3, 2}, true}, {{6, -2}, true}};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        struct chord c;
        uint32_t bad = 0;
        if (roman_parse(s, keys[i], &c, &bad))
            check_chord_value(dict, &c);
        else
            LAW(bad <= s.n);
    }
}

static void check_timecode(struct str s)
{
    static const struct ratio rates[] = {{24000, 1001}, {24, 1},       {25, 1}, {30000, 1001}, {30, 1},
                                         {48, 1},       {48000, 1001}, {50, 1}, {60000, 1001}, {60, 1}};
    struct timecode t, again;
    char text[TIMECODE_TEXT_MAX];
    if (!timecode_parse(s, &t))
        return;
    LAW(timecode_parse(str_of(timecode_text(t, text)), &again));
    for (size_t i = 0; i < sizeof rates / sizeof *rates; i++) {
        struct frame_rate rate;
        LAW(frame_rate_of(rates[i], &rate));
        if (timecode_check(rate, t) != TIMECODE_OK)
            continue;
        int64_t frames = timecode_frames(rate, t);
        again = timecode_of_frames(rate, frames, t.drop);
        LAW(again.hours == t.hours && again.minutes == t.minutes && again.seconds == t.seconds &&
            again.frames == t.frames);
        LAW(seconds_frames(rate, frames_seconds(rate, frames)) == frames);
        LAW(seconds_frames_floor(rate, frames_seconds(rate, frames)) == frames);
    }
}

static void check_numbers(struct str s)
{
    struct ratio r, again;
    struct meter m, same;
    struct frame_rate rate;
    char text[RATIO_TEXT_MAX], meter[METER_TEXT_MAX];
    if (ratio_parse(s.p, s.n, &r)) {
        ratio_text(r, false, text);
        LAW(ratio_parse(text, (uint32_t)strlen(text), &again) && ratio_eq(r, again));
        ratio_floor(r);
        ratio_round(r);
        frame_rate_of(r, &rate);
    }
    if (meter_parse(s, &m)) {
        LAW(meter_parse(str_of(meter_text(m, meter)), &same) && meter_eq(m, same));
        LAW(meter_beats(m) > 0 && ratio_lt(RATIO_ZERO, meter_length(m)));
    }
}

void fuzz_words(struct context *context, struct str bytes)
{
    const struct chord_dict *dict = &context_library(context)->chords;
    char *copy = fuzz_copy(bytes);
    struct str rest = {copy, bytes.n};
    while (rest.n) { /* each word by itself */
        uint32_t n = str_find(rest, STR(" "));
        struct str word = str_slice(rest, 0, n);
        check_pitch(word);
        check_tone(word);
        check_interval(word);
        check_chord(dict, word);
        check_roman(dict, word);
        check_timecode(word);
        check_numbers(word);
        rest = str_slice(rest, n + 1, rest.n);
    }
    free(copy);
}
