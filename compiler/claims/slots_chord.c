#include "base/buf.h"
#include "claims/match.h"

static bool is_word(const struct reader *r, uint32_t at, uint32_t limit, const char *word)
{
    return at < limit && word_is(r, at, word);
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
        char symbol[PITCH_TEXT_MAX];
        chord_symbol(root, quality, NULL, SIGN_ASCII, symbol);
        if (chord_parse(dict, str_of(symbol), out, &bad))
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

uint32_t slot_symbol(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_chords == MATCH_SLOTS)
        return 0;
    uint32_t end = read_symbol(r, at, limit, &m->chord[m->n_chords]);
    m->n_chords += end > 0;
    return end;
}

uint32_t slot_chord(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (m->n_chords == MATCH_SLOTS)
        return 0;
    struct chord_ref *out = &m->chord[m->n_chords];
    uint32_t end = read_place_chord(r, at, limit, out);
    if (!end)
        end = read_symbol(r, at, limit, out);
    m->n_chords += end > 0;
    return end;
}
