#include "claims/match.h"

/* ---- pitches, tones, directions, keys ------------------------------------------------------------ */

static bool tone_at(const struct reader *r, uint32_t at, uint32_t limit, struct tone *out)
{
    return at < limit && r->words[at].kind == WORD_MUSIC && tone_parse(r->words[at].text, out);
}

uint32_t slot_pitch(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (at >= limit || m->n_pitches == MATCH_SLOTS || r->words[at].kind != WORD_MUSIC ||
        !pitch_parse(r->words[at].text, &m->pitch[m->n_pitches]))
        return 0;
    m->n_pitches++;
    return at + 1;
}

uint32_t slot_tone(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_tones == MATCH_SLOTS || !tone_at(r, at, limit, &m->tone[m->n_tones]))
        return 0;
    m->n_tones++;
    return at + 1;
}

/* `C, E and G`: one list a pattern. */
uint32_t slot_tones(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    uint32_t end = 0;
    m->n_list = 0;
    while (m->n_list < MATCH_TONES && tone_at(r, at, limit, &m->list[m->n_list])) {
        m->n_list++;
        end = ++at;
        while (at < limit && (is_comma(r, at) || word_is(r, at, "and")))
            at++;
    }
    return end;
}

uint32_t slot_direction(struct reader *r, uint32_t at, uint32_t limit)
{
    static const char *const up[] = {"up", "above", "higher", "upward", "over"};
    static const char *const down[] = {"down", "below", "lower", "downward", "under"};
    struct match *m = r->match;
    if (at >= limit || m->n_directions == MATCH_SLOTS)
        return 0;
    for (size_t i = 0; i < sizeof up / sizeof up[0]; i++) {
        bool rises = word_is(r, at, up[i]);
        if (!rises && !word_is(r, at, down[i]))
            continue;
        m->direction[m->n_directions++] = rises ? 1 : -1;
        return at + 1;
    }
    return 0;
}

uint32_t slot_key(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_keys == MATCH_SLOTS)
        return 0;
    if (at + 1 < limit && word_is(r, at, "key") && word_is(r, at + 1, "of"))
        at += 2;
    struct key *k = &m->key[m->n_keys];
    if (at + 1 >= limit || !tone_at(r, at, limit, &k->tonic))
        return 0;
    k->minor = word_is(r, at + 1, "minor");
    if (!k->minor && !word_is(r, at + 1, "major"))
        return 0;
    m->n_keys++;
    return at + 2;
}

/* ---- intervals ----------------------------------------------------------------------------------- */

struct sound_word {
    const char *first, *second; /* second NULL: one word */
    int half;
};

/* Names of a size by sound alone. */
static const struct sound_word sound_words[] = {
    {"half", "step", 1},     {"half-step", NULL, 1}, {"semitone", NULL, 1},   {"half", "tone", 1},
    {"half-tone", NULL, 1},  {"whole", "step", 2},   {"whole-step", NULL, 2}, {"whole", "tone", 2},
    {"whole-tone", NULL, 2}, {"tone", NULL, 2},      {"tritone", NULL, 6},
};

static uint32_t read_sound(const struct reader *r, uint32_t at, uint32_t limit, int *half)
{
    for (size_t i = 0; i < sizeof sound_words / sizeof sound_words[0]; i++) {
        const struct sound_word *w = &sound_words[i];
        uint32_t end = at + (w->second ? 2 : 1);
        if (end <= limit && word_is(r, at, w->first) && (!w->second || word_is(r, at + 1, w->second))) {
            *half = w->half;
            return end;
        }
    }
    return 0;
}

static int times_word(struct str word)
{
    static const char *const words[] = {"doubly", "triply", "quadruply"};
    for (int i = 0; i < 3; i++)
        if (str_is(word, words[i]))
            return i + 2;
    return 1;
}

static int number_at(const struct reader *r, uint32_t at)
{
    struct str word = r->words[at].text;
    int number = interval_number_word(word);
    if (number == 0 && word.n > 1 && word.p[word.n - 1] == 's')
        number = interval_number_word(str_slice(word, 0, word.n - 1));
    return number;
}

/* `major third`, `doubly augmented fourth`, `octave`, `unison`, `m3`. */
static uint32_t read_spelled(const struct reader *r, uint32_t at, uint32_t limit, struct interval *out)
{
    uint32_t first = at;
    if (at >= limit)
        return 0;
    if (interval_parse_short(r->words[at].text, out))
        return at + 1;
    int number = number_at(r, at);
    /* Unison and octave have one size that needs no quality; of a fourth, a fifth and what they are with
     * octaves the perfect one is meant (common practice). A second, third, sixth or seventh must say which.
     */
    if (number == 1 || number == 4 || number == 5 || number == 8 || number == 11 || number == 12 ||
        number == 15)
        return interval_of_name(QUALITY_PERFECT, 1, number, out) ? at + 1 : 0;
    int times = times_word(r->words[at].text);
    at += times > 1;
    enum interval_quality quality;
    if (at + 1 >= limit || !interval_quality_word(r->words[at].text, &quality))
        return 0;
    if (times > 1 && quality != QUALITY_AUGMENTED && quality != QUALITY_DIMINISHED)
        return 0;
    number = number_at(r, at + 1);
    return number && interval_of_name(quality, times, number, out) ? first + 2 + (times > 1) : 0;
}

/* One member of a sum: `two octaves`, `major third`, `three half steps`. */
static uint32_t read_member(const struct reader *r, uint32_t at, uint32_t limit, struct interval *out,
                            bool *by_sound)
{
    int64_t count = 1;
    uint32_t word = at;
    int half = 0;
    if (at < limit && word_count(&r->words[at], &count) && count >= 0 && count <= 99)
        word = at + 1;
    else
        count = 1;
    uint32_t end = read_sound(r, word, limit, &half);
    *by_sound = end > 0;
    if (end) {
        *out = (struct interval){0, (int)count * half};
        return end;
    }
    if (word < limit && number_at(r, word) == 8 && count > 0) {
        *out = (struct interval){7 * (int)count, 12 * (int)count};
        return word + 1;
    }
    return word == at ? read_spelled(r, at, limit, out) : 0;
}

static uint32_t read_cents(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out)
{
    if (at + 1 >= limit || r->words[at].kind != WORD_NUMBER || !word_is(r, at + 1, "cent"))
        return 0;
    return ratio_parse(r->words[at].text.p, r->words[at].text.n, out) ? at + 2 : 0;
}

uint32_t slot_interval(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_intervals == MATCH_SLOTS)
        return 0;
    struct interval_ref v = {.amount = RATIO_ZERO};
    uint32_t end = read_cents(r, at, limit, &v.amount);
    v.cents = end > 0;
    if (!end)
        end = read_member(r, at, limit, &v.v, &v.by_sound);
    while (end && !v.cents && end + 1 < limit && word_is(r, end, "and")) {
        struct interval more;
        bool by_sound;
        uint32_t next = read_member(r, end + 1, limit, &more, &by_sound);
        if (!next)
            break;
        v.v = (struct interval){v.v.steps + more.steps, v.v.half + more.half};
        v.by_sound = v.by_sound || by_sound;
        end = next;
    }
    if (!end)
        return 0;
    v.words = words_text(r, at, end);
    v.where = words_span(r, at, end);
    m->interval[m->n_intervals++] = v;
    return end;
}
