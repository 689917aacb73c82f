#include "claims/match.h"

/* ---- slots ------------------------------------------------------------------------------------- */

struct slot_row {
    const char *name;
    const char *meaning;
    uint32_t (*read)(struct reader *r, uint32_t at, uint32_t limit);
};

static const struct slot_row slots[SLOTS] = {
    [SLOT_PITCH] = {"PITCH", "a pitch such as Bb3", slot_pitch},
    [SLOT_TONE] = {"TONE", "a tone such as Bb", slot_tone},
    [SLOT_TONES] = {"TONES", "tones such as C, E and G", slot_tones},
    [SLOT_PLACE] = {"PLACE", "a place such as bar 3 beat 2", slot_place},
    [SLOT_STREAM] = {"STREAM", "a part, figure or passage, or the harmony or the bass of one", slot_stream},
    [SLOT_CHORD] = {"CHORD", "a chord symbol, or `the chord at bar 1 of` a passage", slot_chord},
    [SLOT_SYMBOL] = {"SYMBOL", "a chord symbol such as Cm7", slot_symbol},
    [SLOT_INTERVAL] = {"INTERVAL", "an interval such as a major third", slot_interval},
    [SLOT_DIRECTION] = {"DIRECTION", "up or down", slot_direction},
    [SLOT_KEY] = {"KEY", "a key such as Eb minor", slot_key},
    [SLOT_SCALE] = {"SCALE", "a scale such as D dorian", slot_scale},
    [SLOT_FIGURE] = {"FIGURE", "the name of a figure", slot_figure},
    [SLOT_PART] = {"PART", "the name of a part", slot_part},
    [SLOT_PASSAGE] = {"PASSAGE", "the name of a passage", slot_passage},
    [SLOT_INSTRUMENT] = {"INSTRUMENT", "an instrument", slot_instrument},
    [SLOT_QUALITY] = {"QUALITY", "a chord quality such as dominant seventh", slot_quality},
    [SLOT_FAMILY] = {"FAMILY", "a family of instruments such as woodwind", slot_family},
    [SLOT_COUNT] = {"COUNT", "a number", slot_count},
    [SLOT_VALUE] = {"VALUE", "a note value such as 1/4", slot_value},
    [SLOT_LENGTH] = {"LENGTH", "a length such as 4 bars or 2.5 s", slot_length},
    [SLOT_TIME] = {"TIME", "a time such as 0:33", slot_time},
    [SLOT_RECORDING] = {"RECORDING", "the name of a recording", slot_recording},
    [SLOT_NUMERAL] = {"NUMERAL", "a Roman numeral such as ii6", slot_numeral},
    [SLOT_NUMERALS] = {"NUMERALS", "Roman numerals such as ii6 V7 I", slot_numerals},
    [SLOT_NUMBERS] = {"NUMBERS", "numbers such as [0 1 4]", slot_numbers},
    [SLOT_EXCHANGE] = {"EXCHANGE", "an exchange of triads such as PL", slot_exchange},
};

enum slot slot_by_name(struct str name)
{
    int i = 0;
    while (i < (int)SLOTS && !str_is(name, slots[i].name))
        i++;
    return (enum slot)i;
}

uint32_t slot_read(struct reader *r, enum slot slot, uint32_t at, uint32_t limit)
{
    return slots[slot].read(r, at, limit);
}

const char *slot_name(enum slot slot)
{
    return slots[slot].name;
}

const char *slot_meaning(enum slot slot)
{
    return slots[slot].meaning;
}

/* ---- the index: once a compilation --------------------------------------------------------------- */

static const struct claim_index *index_of(struct model *m)
{
    if (m->claim_index)
        return m->claim_index;
    struct claim_index *index = ARENA_NEW(m->arena, struct claim_index);
    names_build(index, m->arena, m);
    m->claim_index = index;
    return index;
}

/* ---- preparing a sentence ------------------------------------------------------------------------ */

static bool is_article(const struct word *words, uint32_t i, uint32_t n)
{
    struct str t = words[i].text;
    if (words[i].kind != WORD_NAME)
        return false;
    if (str_is(t, "an") || str_is(t, "the"))
        return true;
    /* In `a of choir` the alto is meant. */
    return str_is(t, "a") && !(i + 1 < n && str_is(words[i + 1].text, "of"));
}

/* `isn't`, `doesn't`: three words of the scanner. */
static bool is_contraction(const struct word *words, uint32_t i, uint32_t n)
{
    return i + 2 < n && words[i].kind == WORD_NAME && words[i].text.n > 2 &&
           words[i].text.p[words[i].text.n - 1] == 'n' &&
           (str_is(words[i + 1].text, "'") || str_is(words[i + 1].text, "\u2019")) &&
           str_is(words[i + 2].text, "t");
}

uint32_t negation_at(const struct word *words, uint32_t i, uint32_t n, struct word *verb)
{
    *verb = words[i];
    if (words[i].kind != WORD_NAME)
        return 0;
    uint32_t used = 0;
    if (is_contraction(words, i, n)) {
        verb->text.n--;
        used = 3;
    } else if (str_is(words[i].text, "not")) {
        verb->text.n = 0;
        used = 1;
    } else if (i + 1 < n && str_is(words[i + 1].text, "not")) {
        used = 2;
    }
    if (str_is(verb->text, "does") || str_is(verb->text, "do"))
        verb->text.n = 0;
    return used;
}

static void find_names(struct reader *r)
{
    bool several = false;
    for (uint32_t i = 0; i < r->n; i++) {
        if (r->words[i].kind != WORD_NAME)
            continue;
        const struct named *named = name_find(r->index, r->words[i].text);
        if (!named)
            continue;
        if (named->passage) {
            several = several || (r->named && r->named != named->passage);
            r->named = named->passage;
        }
        if (named->recording)
            r->recording = named->recording;
    }
    if (several)
        r->named = NULL;
}

bool reader_start(struct reader *r, struct model *m, const struct word *words, uint32_t n)
{
    memset(r, 0, offsetof(struct reader, memos));
    r->memos.n_streams = r->memos.n_chords = 0;
    r->arena = m->arena;
    r->model = m;
    r->index = index_of(m);
    r->written = words;
    if (n > 0 && words[n - 1].kind == WORD_MARK && str_is(words[n - 1].text, "."))
        n--;
    if (n == 0 || n > SENTENCE_WORDS_MAX)
        return false;
    struct word *kept = ARENA_NEW_ARRAY(m->arena, struct word, n);
    uint32_t *stems = ARENA_NEW_ARRAY(m->arena, uint32_t, n);
    uint32_t *origin = ARENA_NEW_ARRAY(m->arena, uint32_t, n);
    r->failed = ARENA_NEW_ARRAY(m->arena, uint32_t, n + 1);
    for (uint32_t i = 0; i < n; i++) {
        struct word word;
        /* One `not` only: a second one is left standing and fits no pattern. */
        uint32_t denied = r->negated ? 0 : negation_at(words, i, n, &word);
        if (denied) {
            r->negated = true;
        } else {
            word = words[i];
            denied = 1;
        }
        uint32_t at = i;
        i += denied - 1;
        if (word.text.n == 0 || is_article(words, at, n))
            continue;
        kept[r->n] = word;
        origin[r->n] = at;
        stems[r->n] = stem_hash(word.text);
        r->have |= (uint64_t)1 << stems[r->n] % 64;
        r->n++;
    }
    r->words = kept;
    r->stems = stems;
    r->origin = origin;
    find_names(r);
    return r->n > 0;
}

/* ---- running a pattern --------------------------------------------------------------------------- */

/* What a reading has stored so far, to go back to. */
struct mark {
    struct match_counts counts;
    uint32_t subject_end, literal, telling, n_bad;
};

static inline struct mark mark_set(const struct reader *r)
{
    return (struct mark){r->match->counts, r->subject_end, r->literal, r->telling, r->n_bad};
}

static inline void mark_return(struct reader *r, const struct mark *k)
{
    r->match->counts = k->counts;
    r->subject_end = k->subject_end, r->literal = k->literal, r->telling = k->telling, r->n_bad = k->n_bad;
}

/* A slot, or a word, does not stand at `at`. */
static void missed(struct reader *r, uint32_t at, enum slot slot, struct str word)
{
    if (at < r->furthest)
        return;
    if (at > r->furthest)
        r->n_expected = 0;
    r->furthest = at;
    for (uint32_t i = 0; i < r->n_expected; i++)
        if (r->expected[i].slot == slot && str_eq(r->expected[i].word, word))
            return;
    if (r->n_expected < EXPECTED_MAX && (slot != SLOTS || word.n))
        r->expected[r->n_expected++] = (struct expected){slot, word};
}

static bool run(struct reader *r, const struct pattern *p, uint32_t step, uint32_t at);

static bool is_counted(const struct reader *r, uint32_t at)
{
    return word_is(r, at, "once") || word_is(r, at, "twice") || word_is(r, at, "thrice");
}

/* The word of the step that stands at `at`; NULL if none does. *used gets the words it takes in. */
static const struct pattern_word *word_at(const struct reader *r, const struct pattern *p, const struct step *s, uint32_t at,
                                          uint32_t *used)
{
    for (uint32_t i = s->first; i < s->first + s->n; i++) {
        *used = at < r->n && r->words[at].kind != WORD_STRING && r->stems[at] == p->words[i].stem;
        if (*used || (p->words[i].times && at > 0 && is_counted(r, at - 1)))
            return &p->words[i];
    }
    return NULL;
}

static bool run_words(struct reader *r, const struct pattern *p, uint32_t step, uint32_t at)
{
    uint32_t used;
    const struct pattern_word *word = word_at(r, p, &p->steps[step], at, &used);
    if (!word) {
        missed(r, at, SLOTS, pattern_word_text(p, &p->words[p->steps[step].first]));
        return false;
    }
    r->literal += used;
    r->telling += used && !word->common;
    return run(r, p, step + 1, at + used);
}

static uint32_t after_commas(const struct reader *r, uint32_t at)
{
    while (is_comma(r, at))
        at++;
    return at;
}

/* Does the way that begins with this step begin with a word that does not stand there? Most ways do, and need not be tried. */
static bool is_blocked(struct reader *r, const struct pattern *p, uint32_t step, uint32_t at)
{
    const struct step *s = &p->steps[step];
    uint32_t used;
    if (s->kind == STEP_CHOICE)
        s++;
    if (s->kind != STEP_WORDS)
        return false;
    at = after_commas(r, at);
    if (word_at(r, p, s, at, &used))
        return false;
    missed(r, at, SLOTS, pattern_word_text(p, &p->words[s->first]));
    return true;
}

static bool slot_failed(const struct reader *r, enum slot slot, uint32_t at)
{
    return !r->lenient && at <= r->n && (r->failed[at] >> slot & 1);
}

static bool run_slot(struct reader *r, const struct pattern *p, uint32_t step, uint32_t at)
{
    enum slot slot = p->steps[step].slot;
    if (slot_failed(r, slot, at)) {
        missed(r, at, slot, STR(""));
        return false;
    }
    struct mark before = mark_set(r);
    uint32_t limit = r->n, end = 0;
    while (limit > at && (end = slot_read(r, slot, at, limit)) > 0) {
        if (r->subject_end == 0)
            r->subject_end = end;
        if (run(r, p, step + 1, end))
            return true;
        mark_return(r, &before);
        limit = end - 1;
    }
    if (limit == r->n && !r->lenient) /* not even the longest: other patterns need not ask again */
        r->failed[at] |= 1u << slot;
    missed(r, at, slot, STR(""));
    return false;
}

/* After the pattern: nothing, or a SPAN, `of PASSAGE` behind it. */
static bool run_end(struct reader *r, uint32_t at)
{
    struct match *m = r->match;
    m->span = (struct span_ref){0};
    if (at == r->n)
        return true;
    uint32_t end = read_span(r, at, r->n, &m->span);
    if (end == 0) {
        missed(r, at, SLOTS, STR(""));
        m->span = (struct span_ref){0};
        return false;
    }
    if (end + 2 == r->n && (word_is(r, end, "of") || word_is(r, end, "in"))) {
        const struct named *named = name_find(r->index, r->words[end + 1].text);
        if (named && named->passage)
            end += 2;
    }
    if (end == r->n)
        return true;
    missed(r, end, SLOTS, STR(""));
    m->span = (struct span_ref){0};
    return false;
}

static bool run(struct reader *r, const struct pattern *p, uint32_t step, uint32_t at)
{
    if (step == UINT32_MAX || r->budget == 0)
        return false;
    r->budget--;
    const struct step *s = &p->steps[step];
    switch (s->kind) {
    case STEP_WORDS:
        return run_words(r, p, step, after_commas(r, at));
    case STEP_SLOT:
        return run_slot(r, p, step, after_commas(r, at));
    case STEP_SPLIT: {
        if (is_blocked(r, p, step + 1, at))
            return run(r, p, s->target, at);
        struct mark before = mark_set(r);
        if (run(r, p, step + 1, at))
            return true;
        mark_return(r, &before);
        return run(r, p, s->target, at);
    }
    case STEP_JUMP:
        return run(r, p, s->target, at);
    case STEP_CHOICE: {
        int was = r->match->choice[s->first];
        r->match->choice[s->first] = (int)s->n;
        if (run(r, p, step + 1, at))
            return true;
        r->match->choice[s->first] = was;
        return false;
    }
    case STEP_END:
        return run_end(r, at);
    }
    return false;
}

/* A pattern with many ways to read a long sentence is given up after so many steps; real sentences need a few
 * dozen. */
enum { BUDGET = 20000 };

static bool has_one(const struct reader *r, const uint32_t *stems, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        for (uint32_t k = 0; k < r->n; k++)
            if (r->stems[k] == stems[i])
                return true;
    return false;
}

bool pattern_possible(const struct reader *r, const struct pattern *p)
{
    for (uint32_t i = 0; i < p->n_groups; i++)
        if (!(p->groups[i].bits & r->have))
            return false;
    for (uint32_t i = 0; i < p->n_groups; i++) /* the bits may deceive */
        if (!has_one(r, p->stems + p->groups[i].first, p->groups[i].n))
            return false;
    return true;
}

bool pattern_read(struct reader *r, const struct pattern *p, struct match *m)
{
    memset(m, 0, sizeof *m);
    for (int i = 0; i < MATCH_SLOTS; i++)
        m->choice[i] = -1;
    m->n_choices = p->n_choices;
    m->negated = r->negated;
    r->match = m;
    r->subject_end = r->literal = r->telling = r->n_bad = 0;
    r->budget = BUDGET;
    return run(r, p, 0, 0);
}

const struct pattern *sentence_read(struct reader *r, struct match *m)
{
    const struct pattern_table *table = r->model->lexicon->table;
    struct pattern_set candidates = pattern_candidates(table, r->stems, r->n);
    const struct pattern *best = NULL;
    uint32_t literal = 0, subject_end = 0;
    struct match found;
    for (uint32_t i = 0; i < table->n_patterns; i++) {
        uint64_t ahead = candidates.bits[i / 64] >> i % 64;
        if (!(ahead & 1)) {
            i = ahead ? i + (uint32_t)__builtin_ctzll(ahead) - 1 : i | 63;
            continue;
        }
        const struct pattern *p = &table->patterns[i];
        bool begins = p->steps[0].kind != STEP_SLOT || !slot_failed(r, p->steps[0].slot, 0);
        if (!begins || !pattern_possible(r, p) || !pattern_read(r, p, &found))
            continue;
        if (!best || r->literal > literal) {
            best = p;
            *m = found;
            literal = r->literal;
            subject_end = r->subject_end;
        }
    }
    r->literal = literal;
    r->subject_end = subject_end;
    return best;
}

/* ---- names that do not do ------------------------------------------------------------------------ */

static bool bad_add(struct reader *r, struct bad_name b)
{
    if (!r->lenient || r->n_bad == BAD_NAMES_MAX)
        return false;
    r->bad[r->n_bad++] = b;
    return true;
}

bool bad_name(struct reader *r, uint32_t lo, uint32_t hi, int classes)
{
    if (!r->lenient)
        return false;
    for (uint32_t i = lo; i < hi; i++)
        if (r->words[i].kind == WORD_MARK || r->words[i].kind == WORD_STRING)
            return false;
    return bad_add(r, (struct bad_name){.text = words_plain(r, lo, hi),
                                        .where = words_span(r, lo, hi),
                                        .classes = classes});
}

bool bad_use(struct reader *r, uint32_t lo, uint32_t hi, struct str trouble, struct str instead)
{
    return bad_add(r, (struct bad_name){.text = words_text(r, lo, hi), .where = words_span(r, lo, hi),
                                        .trouble = trouble, .instead = instead});
}
