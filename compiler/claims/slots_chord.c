#include "base/buf.h"
#include "claims/match.h"

static bool is_word(const struct reader *r, uint32_t at, uint32_t limit, const char *word)
{
    return at < limit && word_is(r, at, word);
}

/* `C half-diminished seventh`: the quality may have no symbol. */
static struct chord chord_on(struct tone root, const struct chord_quality *quality)
{
    struct chord c = {.root = root, .bass = root, .n_tones = quality->n_degrees, .quality = quality};
    for (uint32_t i = 0; i < quality->n_degrees; i++)
        c.tones[i] = tone_move(root, quality->degrees[i]);
    return c;
}

/* `Cm7`, or `C minor seventh` by the names of the library. */
static uint32_t read_layer(const struct reader *r, uint32_t at, uint32_t limit, struct chord *out)
{
    const struct chord_dict *dict = &r->model->library->chords;
    uint32_t bad;
    if (at >= limit || r->words[at].kind != WORD_MUSIC)
        return 0;
    struct tone root;
    const struct chord_quality *quality = NULL;
    uint32_t end = tone_parse(r->words[at].text, &root) ? read_quality(r, at + 1, limit, &quality) : 0;
    if (!end && tone_parse(r->words[at].text, &root) && (is_word(r, at + 1, limit, "major") ||
                                                       is_word(r, at + 1, limit, "minor"))) {
        /* `C minor` is short for the triad. */
        bool minor = word_is(r, at + 1, "minor");
        struct str symbol = str_printf(r->arena, "%.*s%s", STR_ARG(r->words[at].text), minor ? "m" : "");
        return chord_parse(dict, symbol, out, &bad) ? at + 2 : 0;
    }
    if (end) {
        *out = chord_on(root, quality);
        return end;
    }
    return chord_parse(dict, r->words[at].text, out, &bad) ? at + 1 : 0;
}

/* `(B4 D5 F#5)`, lowest first. */
static uint32_t read_voicing(const struct reader *r, uint32_t at, uint32_t limit, struct harmony *h,
                             uint32_t layer)
{
    struct pitch pitches[SENTENCE_WORDS_MAX];
    uint32_t n = 0;
    if (!is_word(r, at, limit, "("))
        return 0;
    for (at++; at < limit && r->words[at].kind == WORD_MUSIC; at++) {
        if (!pitch_parse(r->words[at].text, &pitches[n]))
            return 0;
        n++;
    }
    if (n == 0 || !is_word(r, at, limit, ")"))
        return 0;
    h->voicing[layer] = ARENA_NEW_ARRAY(r->arena, struct pitch, n);
    memcpy(h->voicing[layer], pitches, n * sizeof *pitches);
    h->n_voicing[layer] = n;
    return at + 1;
}

/* ` as (…) over (…)`: as many as there are layers. */
static uint32_t read_voicings(const struct reader *r, uint32_t at, uint32_t limit, struct harmony *h)
{
    for (uint32_t i = 0; i < h->n_layers; i++) {
        if (!is_word(r, at, limit, i == 0 ? "as" : "over"))
            return 0;
        at = read_voicing(r, at + 1, limit, h, i);
        if (!at)
            return 0;
    }
    return at;
}

/* A symbol, or several with `over` between them, upper first. */
static uint32_t read_symbol(const struct reader *r, uint32_t at, uint32_t limit, struct chord_ref *out)
{
    struct harmony h = {.kind = HARMONY_CHORD};
    uint32_t end = read_layer(r, at, limit, &h.layers[0]);
    if (!end)
        return 0;
    h.n_layers = 1;
    while (h.n_layers < LAYERS_MAX && is_word(r, end, limit, "over")) {
        uint32_t next = read_layer(r, end + 1, limit, &h.layers[h.n_layers]);
        if (!next)
            break;
        h.n_layers++;
        end = next;
    }
    h.text = words_plain(r, at, end);
    uint32_t voiced = read_voicings(r, end, limit, &h);
    if (voiced) {
        end = voiced;
    } else {
        memset(h.voicing, 0, sizeof h.voicing);
        memset(h.n_voicing, 0, sizeof h.n_voicing);
    }
    h.where = words_span(r, at, end);
    struct harmony *kept = ARENA_NEW(r->arena, struct harmony);
    *kept = h;
    *out = (struct chord_ref){.words = h.text, .symbol = kept, .at = RATIO_ZERO, .where = h.where};
    return end;
}

/* `chord at bar 1 of lamp`, `harmony at bar 3 beat 2`. A place that the passage does not have is left to
 * chord_moment to report. */
static uint32_t read_place_chord(struct reader *r, uint32_t at, uint32_t limit, struct chord_ref *out)
{
    if (!is_word(r, at, limit, "chord") && !is_word(r, at, limit, "harmony"))
        return 0;
    uint32_t first = at;
    struct place_ref place;
    const struct passage *passage = NULL;
    uint32_t end = at + 1;
    /* Both orders: `at bar 1 of lamp`, `of lamp at bar 1`. */
    bool early = (is_word(r, end, limit, "of") || is_word(r, end, limit, "in")) &&
                 read_of_passage(r, end, limit, &passage, &end);
    if (!is_word(r, end, limit, "at") && !is_word(r, end, limit, "on") && !is_word(r, end, limit, "in"))
        return 0;
    end = read_place(r, end + 1, limit, &place);
    if (!end || (!early && !read_of_passage(r, end, limit, &passage, &end)))
        return 0;
    *out = (struct chord_ref){.words = words_text(r, first, end),
                              .passage = passage,
                              .at_place = true,
                              .place = place,
                              .at = RATIO_ZERO,
                              .where = words_span(r, first, end)};
    const struct bar *bar = passage ? passage_bar(passage, place.bar) : NULL;
    if (bar && place_in_bar(bar, place, &out->at)) {
        const struct harmony_event *event = passage_harmony_at(passage, out->at);
        out->symbol = event ? &event->harmony : NULL;
    }
    return end;
}

/* The place of the first chord of a passage, or of its last: of the harmony row, else of what sounds. */
static struct place_ref end_place(const struct passage *p, bool last, struct ratio *at)
{
    *at = RATIO_ZERO;
    if (p->n_harmony) {
        *at = p->harmony[last ? p->n_harmony - 1 : 0].onset;
    } else {
        bool any = false;
        for (uint32_t i = 0; i < p->n_parts; i++) {
            const struct part *part = p->parts[i];
            if (part->n_notes == 0)
                continue;
            struct ratio onset = part->notes[last ? part->n_notes - 1 : 0].onset;
            if (!any || (last ? ratio_lt(*at, onset) : ratio_lt(onset, *at)))
                *at = onset;
            any = true;
        }
    }
    struct place_ref place = {.beat = RATIO_ONE, .has_beat = true};
    const struct bar *bar = passage_bar_at(p, *at);
    struct ratio beats;
    if (bar && ratio_mul(ratio_minus(*at, bar->onset), ratio_int(bar->meter.unit), &beats)) {
        place.bar = bar->number;
        place.beat = ratio_plus(beats, RATIO_ONE);
    }
    return place;
}

/* `the last chord of lamp`; `the first chord of bar 3 of lamp` is the chord at bar 3. */
static uint32_t read_end_chord(struct reader *r, uint32_t at, uint32_t limit, struct chord_ref *out)
{
    static const char *const firsts[] = {"first", "opening"}, *const lasts[] = {"last", "final", "closing"};
    bool first = false, last = false;
    for (size_t i = 0; i < sizeof firsts / sizeof firsts[0]; i++)
        first = first || is_word(r, at, limit, firsts[i]);
    for (size_t i = 0; i < sizeof lasts / sizeof lasts[0]; i++)
        last = last || is_word(r, at, limit, lasts[i]);
    bool of = is_word(r, at + 2, limit, "of") || is_word(r, at + 2, limit, "in");
    if ((!first && !last) || !is_word(r, at + 1, limit, "chord") || !of)
        return 0;
    struct place_ref place = {0};
    const struct passage *passage = NULL;
    struct ratio position = RATIO_ZERO;
    uint32_t end = first ? read_place(r, at + 3, limit, &place) : 0;
    bool in_bar = end > 0 && !place.has_beat;
    if (!read_of_passage(r, in_bar ? end : at + 2, limit, &passage, &end) || !passage ||
        (!in_bar && end == at + 2))
        return 0;
    if (!in_bar)
        place = end_place(passage, last, &position);
    const struct bar *bar = passage_bar(passage, place.bar);
    bool there = bar && place_in_bar(bar, place, &position);
    const struct harmony_event *event = there ? passage_harmony_at(passage, position) : NULL;
    place.where = words_span(r, at, end);
    *out = (struct chord_ref){.words = words_text(r, at, end),
                              .symbol = event ? &event->harmony : NULL,
                              .passage = passage,
                              .at_place = true,
                              .place = place,
                              .at = position,
                              .where = place.where};
    return end;
}

uint32_t slot_symbol(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_chords == MATCH_SLOTS)
        return 0;
    uint32_t end = read_symbol(r, at, limit, &m->chord[m->n_chords]);
    m->n_chords += end > 0;
    return end;
}

static uint32_t read_chord(struct reader *r, uint32_t at, uint32_t limit, struct chord_ref *out)
{
    uint32_t end = read_place_chord(r, at, limit, out);
    if (!end)
        end = read_end_chord(r, at, limit, out);
    return end ? end : read_symbol(r, at, limit, out);
}

uint32_t slot_chord(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_chords == MATCH_SLOTS)
        return 0;
    struct chord_ref *out = &m->chord[m->n_chords];
    struct reader_memos *memos = &r->memos;
    uint32_t i = 0;
    while (i < memos->n_chords && (memos->chords[i].at != at || memos->chords[i].limit != limit))
        i++;
    if (r->lenient || i == MEMOS_MAX) {
        uint32_t end = read_chord(r, at, limit, out);
        m->n_chords += end > 0;
        return end;
    }
    struct chord_memo *memo = &memos->chords[i];
    if (i == memos->n_chords) {
        memo->at = at;
        memo->limit = limit;
        memo->end = read_chord(r, at, limit, &memo->value);
        memos->n_chords++;
    }
    if (!memo->end)
        return 0;
    *out = memo->value;
    m->n_chords++;
    return memo->end;
}
