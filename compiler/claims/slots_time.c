#include "claims/match.h"

/* ---- places and spans --------------------------------------------------------------------------- */

static bool read_number(const struct reader *r, uint32_t at, uint32_t limit, int *out)
{
    int64_t v;
    if (at >= limit || !word_count(&r->words[at], &v) || v < 0 || v > INT32_MAX)
        return false;
    *out = (int)v;
    return true;
}

/* `2`, `2.5`, `2 1/2`: a beat, counted from 1. */
static uint32_t read_beat(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out)
{
    if (at >= limit)
        return 0;
    const struct word *w = &r->words[at];
    int whole;
    if (w->kind == WORD_NUMBER) {
        if (!ratio_parse(w->text.p, w->text.n, out))
            return 0;
    } else if (read_number(r, at, limit, &whole)) {
        *out = ratio_int(whole);
    } else {
        return 0;
    }
    struct ratio rest;
    at++;
    if (out->den == 1 && at < limit && r->words[at].kind == WORD_FRACTION &&
        ratio_parse(r->words[at].text.p, r->words[at].text.n, &rest) && ratio_lt(rest, RATIO_ONE) &&
        ratio_add(*out, rest, out))
        at++;
    return at;
}

/* `beat 2` after a bar, or nothing; a comma may stand before it. */
static uint32_t read_beat_after(const struct reader *r, uint32_t at, uint32_t limit, struct place_ref *out)
{
    uint32_t word = is_comma(r, at) ? at + 1 : at;
    uint32_t end = word < limit && word_is(r, word, "beat") ? read_beat(r, word + 1, limit, &out->beat) : 0;
    out->has_beat = end > 0;
    if (!out->has_beat)
        out->beat = RATIO_ONE;
    return end ? end : at;
}

static bool is_bar(const struct reader *r, uint32_t at)
{
    return word_is(r, at, "bar") || word_is(r, at, "measure");
}

uint32_t read_place(const struct reader *r, uint32_t at, uint32_t limit, struct place_ref *out)
{
    struct place_ref p = {.beat = RATIO_ONE};
    uint32_t end = 0;
    if (at + 1 >= limit)
        return 0;
    if (is_bar(r, at) && read_number(r, at + 1, limit, &p.bar)) {
        end = read_beat_after(r, at + 2, limit, &p);
    } else if (word_is(r, at, "beat")) {
        uint32_t of = read_beat(r, at + 1, limit, &p.beat);
        if (of == 0 || of + 2 >= limit || !(word_is(r, of, "of") || word_is(r, of, "in")) ||
            !is_bar(r, of + 1) || !read_number(r, of + 2, limit, &p.bar))
            return 0;
        p.has_beat = true;
        end = of + 3;
    }
    if (end == 0)
        return 0;
    p.where = words_span(r, at, end);
    *out = p;
    return end;
}

static bool is_until(const struct reader *r, uint32_t at)
{
    static const char *const marks[] = {"-", "\u2013", "\u2014"}; /* `bars 1-2` with any dash */
    for (size_t i = 0; at < r->n && i < sizeof marks / sizeof marks[0]; i++)
        if (str_is(r->words[at].text, marks[i]))
            return true;
    return word_is(r, at, "to") || word_is(r, at, "through") || word_is(r, at, "until") ||
           word_is(r, at, "and");
}

/* What may follow `to`: `bar 6 [beat 1]`, `beat 3` of the same bar, or the bare number of a bar. */
static uint32_t read_span_end(const struct reader *r, uint32_t at, uint32_t limit, struct span_ref *s)
{
    uint32_t end = read_place(r, at, limit, &s->to);
    if (end)
        return end;
    struct place_ref to = s->from;
    if (at < limit && s->from.has_beat && word_is(r, at, "beat")) {
        end = read_beat(r, at + 1, limit, &to.beat);
    } else if (read_number(r, at, limit, &to.bar)) {
        end = read_beat_after(r, at + 1, limit, &to);
    }
    if (end) {
        to.where = words_span(r, at, end);
        s->to = to;
    }
    return end;
}

uint32_t read_span(const struct reader *r, uint32_t at, uint32_t limit, struct span_ref *out)
{
    static const char *const prepositions[] = {"in",   "from",   "at",      "on",
                                               "over", "during", "through", "throughout"};
    while (at < limit && is_comma(r, at))
        at++;
    uint32_t first = at;
    for (size_t i = 0; at < limit && i < sizeof prepositions / sizeof prepositions[0]; i++) {
        if (word_is(r, at, prepositions[i])) {
            at++;
            break;
        }
    }
    struct span_ref s = {.given = true};
    uint32_t end = read_place(r, at, limit, &s.from);
    if (end == 0)
        return 0;
    s.to = s.from;
    if (end < limit && is_until(r, end)) {
        uint32_t last = read_span_end(r, end + 1, limit, &s);
        end = last ? last : end;
    }
    s.where = words_span(r, first, end);
    *out = s;
    return end;
}

uint32_t slot_place(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    uint32_t end = m->n_places < MATCH_SLOTS ? read_place(r, at, limit, &m->place[m->n_places]) : 0;
    m->n_places += end > 0;
    return end;
}

/* ---- numbers, note values, lengths --------------------------------------------------------------- */

uint32_t slot_count(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (at >= limit || m->n_counts == MATCH_SLOTS || !word_count(&r->words[at], &m->count[m->n_counts]))
        return 0;
    m->n_counts++;
    return at + 1;
}

struct value_word {
    const char *word;
    int num, den;
    bool bare; /* needs no `note` behind it */
};

static const struct value_word value_words[] = {
    {"breve", 2, 1, true},          {"semibreve", 1, 1, true},        {"minim", 1, 2, true},
    {"crotchet", 1, 4, true},       {"quaver", 1, 8, true},           {"semiquaver", 1, 16, true},
    {"demisemiquaver", 1, 32, true}, {"hemidemisemiquaver", 1, 64, true},
    {"whole", 1, 1, false},         {"half", 1, 2, false},            {"quarter", 1, 4, true},
    {"eighth", 1, 8, true},         {"sixteenth", 1, 16, true},       {"thirty-second", 1, 32, true},
    {"sixty-fourth", 1, 64, true},
};

/* `quarter note`, `dotted crotchet`, `triplet eighth`: a dot adds a half, a triplet takes two thirds. */
static uint32_t read_named_value(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out)
{
    struct ratio factor = RATIO_ONE;
    if (at < limit && word_is(r, at, "dotted"))
        factor = (struct ratio){3, 2};
    else if (at < limit && word_is(r, at, "double-dotted"))
        factor = (struct ratio){7, 4};
    else if (at < limit && word_is(r, at, "triplet"))
        factor = (struct ratio){2, 3};
    if (factor.den != 1)
        at++;
    for (size_t i = 0; at < limit && i < sizeof value_words / sizeof value_words[0]; i++) {
        const struct value_word *v = &value_words[i];
        if (!word_is(r, at, v->word))
            continue;
        bool note = at + 1 < limit && word_is(r, at + 1, "note");
        if (!note && !v->bare)
            return 0;
        return ratio_mul((struct ratio){v->num, v->den}, factor, out) ? at + 1 + note : 0;
    }
    return 0;
}

uint32_t read_value(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out)
{
    if (at >= limit)
        return 0;
    const struct word *w = &r->words[at];
    struct ratio v;
    if (w->kind == WORD_FRACTION && ratio_parse(w->text.p, w->text.n, &v) && ratio_lt(RATIO_ZERO, v)) {
        *out = v;
        bool note = at + 1 < limit && word_is(r, at + 1, "note");
        return at + 1 + note;
    }
    return read_named_value(r, at, limit, out);
}

uint32_t slot_value(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    uint32_t end = m->n_values < MATCH_SLOTS ? read_value(r, at, limit, &m->value[m->n_values]) : 0;
    m->n_values += end > 0;
    return end;
}

struct unit_word {
    const char *word;
    enum length_unit unit;
    int factor;
};

static const struct unit_word unit_words[] = {
    {"bar", LENGTH_BARS, 1},     {"measure", LENGTH_BARS, 1},    {"beat", LENGTH_BEATS, 1},
    {"frame", LENGTH_FRAMES, 1}, {"second", LENGTH_SECONDS, 1},  {"sec", LENGTH_SECONDS, 1},
    {"s", LENGTH_SECONDS, 1},    {"minute", LENGTH_SECONDS, 60}, {"min", LENGTH_SECONDS, 60},
};

/* `4`, `2.5`, `2 1/2`, `3/2`, `two`. */
static uint32_t read_amount(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out)
{
    if (at < limit && r->words[at].kind == WORD_FRACTION &&
        ratio_parse(r->words[at].text.p, r->words[at].text.n, out))
        return at + 1;
    return read_beat(r, at, limit, out);
}

static bool clock_seconds(struct str s, struct ratio *out);

/* Does `a` stand before the word? `a beat after` is one beat. */
static bool is_one(const struct reader *r, uint32_t at)
{
    uint32_t origin = at < r->n ? r->origin[at] : 0;
    return origin > 0 && str_is(r->written[origin - 1].text, "a");
}

static uint32_t read_length(const struct reader *r, uint32_t at, uint32_t limit, struct length_ref *out)
{
    if (at < limit && r->words[at].kind == WORD_TIME && clock_seconds(r->words[at].text, &out->amount)) {
        out->unit = LENGTH_SECONDS;
        return at + 1;
    }
    uint32_t unit = read_amount(r, at, limit, &out->amount);
    if (!unit && is_one(r, at)) {
        out->amount = RATIO_ONE;
        unit = at;
    }
    for (size_t i = 0; unit && unit < limit && i < sizeof unit_words / sizeof unit_words[0]; i++) {
        if (!word_is(r, unit, unit_words[i].word))
            continue;
        out->unit = unit_words[i].unit;
        return ratio_mul(out->amount, ratio_int(unit_words[i].factor), &out->amount) ? unit + 1 : 0;
    }
    struct ratio value, count;
    uint32_t end = read_amount(r, at, limit, &count);
    end = end ? read_named_value(r, end, limit, &value) : 0;
    out->unit = LENGTH_WHOLES;
    if (end)
        return ratio_mul(count, value, &out->amount) ? end : 0;
    return read_value(r, at, limit, &out->amount);
}

uint32_t slot_length(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_lengths == MATCH_SLOTS)
        return 0;
    struct length_ref *l = &m->length[m->n_lengths];
    uint32_t end = read_length(r, at, limit, l);
    if (end) {
        l->words = words_text(r, at, end);
        m->n_lengths++;
    }
    return end;
}

/* ---- times --------------------------------------------------------------------------------------- */

/* `0:33`, `1:02:33.250` in seconds. */
static bool clock_seconds(struct str s, struct ratio *out)
{
    struct ratio sum = RATIO_ZERO, field;
    uint32_t from = 0, fields = 0;
    for (uint32_t i = 0; i <= s.n; i++) {
        if (i < s.n && s.p[i] != ':')
            continue;
        if (!ratio_parse(s.p + from, i - from, &field) || (fields > 0 && !ratio_lt(field, ratio_int(60))))
            return false;
        if (!ratio_mul(sum, ratio_int(60), &sum) || !ratio_add(sum, field, &sum))
            return false;
        fields++;
        from = i + 1;
    }
    if (fields < 2 || fields > 3)
        return false;
    *out = sum;
    return true;
}

/* A timecode counts in the frames of the recording that the sentence names, or else of the edit. */
static bool time_seconds(const struct reader *r, struct str s, struct ratio *out)
{
    struct timecode t;
    if (!timecode_parse(s, &t))
        return clock_seconds(s, out);
    const struct recording *recording = r->recording;
    if (recording && !recording->has_frames)
        return false;
    struct frame_rate rate = recording ? recording->rate : r->model->rate;
    bool drop = recording ? recording->drop : r->model->drop;
    if (rate.nominal == 0 || timecode_check(rate, t) != TIMECODE_OK || t.drop != drop)
        return false;
    *out = frames_seconds(rate, timecode_frames(rate, t));
    return true;
}

uint32_t slot_time(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (at >= limit || m->n_times == MATCH_SLOTS || r->words[at].kind != WORD_TIME ||
        !time_seconds(r, r->words[at].text, &m->time[m->n_times]))
        return 0;
    m->n_times++;
    return at + 1;
}
