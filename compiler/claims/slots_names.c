#include "base/buf.h"
#include "claims/match.h"

static bool is_word(const struct reader *r, uint32_t at, uint32_t limit, const char *word)
{
    return at < limit && word_is(r, at, word);
}

static bool is_of(const struct reader *r, uint32_t at, uint32_t limit)
{
    return is_word(r, at, limit, "of") || is_word(r, at, limit, "in");
}

static const struct named *named_at(const struct reader *r, uint32_t at, uint32_t limit)
{
    if (at >= limit || r->words[at].kind != WORD_NAME)
        return NULL;
    return name_find(r->index, r->words[at].text);
}

static const struct part *part_of(const struct passage *p, struct str name)
{
    for (uint32_t i = 0; p && i < p->n_parts; i++)
        if (str_eq(p->parts[i]->symbol.name, name))
            return p->parts[i];
    return NULL;
}

static const struct figure *figure_of(const struct passage *p, struct str name)
{
    for (uint32_t i = 0; p && i < p->n_figures; i++)
        if (str_eq(p->figures[i]->symbol.name, name))
            return p->figures[i];
    return NULL;
}

/* The passage meant where none is named here: the one that the sentence names, or the only one there is. */
static const struct passage *assumed(const struct reader *r)
{
    return r->named ? r->named : r->index->only_passage;
}

/* ---- passages ------------------------------------------------------------------------------------ */

static uint32_t read_passage(struct reader *r, uint32_t at, uint32_t limit, const struct passage **out)
{
    if (is_word(r, at, limit, "passage") && at + 1 < limit)
        at++;
    const struct named *named = named_at(r, at, limit);
    if (named && named->passage) {
        *out = named->passage;
        return at + 1;
    }
    *out = NULL;
    bool name = at < limit && r->words[at].kind == WORD_NAME;
    return name && bad_name(r, at, at + 1, NAME_PASSAGE) ? at + 1 : 0;
}

bool read_of_passage(struct reader *r, uint32_t at, uint32_t limit, const struct passage **out, uint32_t *end)
{
    if (is_of(r, at, limit)) {
        const struct named *named = named_at(r, at + 1, limit);
        bool word = is_word(r, at + 1, limit, "passage");
        /* `in` may begin something else (`in parallel motion`), so only `of` is sure to be followed by a
         * name. */
        if (word || (named && named->passage) || word_is(r, at, "of")) {
            *end = read_passage(r, at + 1, limit, out);
            if (*end)
                return true;
        }
    }
    *end = at;
    *out = assumed(r);
    return *out || bad_use(r, at - 1, at, STR("several passages could be meant"),
                           STR("say which: `of` and its name"));
}

uint32_t slot_passage(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    const struct passage *p;
    uint32_t end = m->n_streams < MATCH_SLOTS ? read_passage(r, at, limit, &p) : 0;
    if (!end)
        return 0;
    m->stream[m->n_streams++] = (struct stream){
        .kind = STREAM_ALL, .words = words_text(r, at, end), .passage = p, .where = words_span(r, at, end)};
    return end;
}

/* ---- parts and figures --------------------------------------------------------------------------- */

/* What a reading of one name gives; the end is 0 where it does not stand there. */
struct reading_of {
    enum stream_kind kind;
    const struct passage *passage;
    const struct part *part;
    const struct figure *figure;
    uint32_t voice;
    uint32_t end;
};

static struct reading_of of_part(const struct part *part, uint32_t end)
{
    return (struct reading_of){.kind = STREAM_PART, .passage = part->passage, .part = part, .end = end};
}

static struct reading_of of_figure(const struct figure *figure, uint32_t end)
{
    return (struct reading_of){
        .kind = STREAM_FIGURE, .passage = figure->passage, .figure = figure, .end = end};
}

static struct str which(const struct reader *r, struct str name, const struct passage *p)
{
    return str_printf(r->arena, "`%.*s of %.*s`", STR_ARG(name), STR_ARG(p->symbol.name));
}

static struct reading_of taken(bool lenient, uint32_t end)
{
    return (struct reading_of){.kind = STREAM_ALL, .end = lenient ? end : 0};
}

/* NAME of PASSAGE, where the passage is known. */
static struct reading_of name_in(struct reader *r, uint32_t at, uint32_t end, const struct passage *p,
                                 int classes)
{
    struct str name = r->words[at].text;
    const struct figure *figure = classes & NAME_FIGURE ? figure_of(p, name) : NULL;
    if (figure)
        return of_figure(figure, end);
    const struct part *part = classes & NAME_PART ? part_of(p, name) : NULL;
    if (part)
        return of_part(part, end);
    struct str trouble = str_printf(r->arena, "`%.*s` has no %s `%.*s`", STR_ARG(p->symbol.name),
                                    classes & NAME_PART ? "part" : "figure", STR_ARG(name));
    return taken(r->lenient && bad_use(r, at, at + 1, trouble, STR("")), end);
}

/* NAME alone: what it can only mean. */
static struct reading_of name_alone(struct reader *r, uint32_t at, int classes)
{
    struct str name = r->words[at].text;
    const struct named *named = named_at(r, at, at + 1);
    const struct figure *figure = named && (classes & NAME_FIGURE) ? named->figure : NULL;
    const struct part *part = named && (classes & NAME_PART) ? named->part : NULL;
    if (figure) {
        const struct figure *here = figure_of(assumed(r), name);
        if (here || named->n_figures == 1)
            return of_figure(here ? here : figure, at + 1);
        struct str trouble =
            str_printf(r->arena, "%u figures are named `%.*s`", named->n_figures, STR_ARG(name));
        struct str instead = figure->passage ? which(r, name, figure->passage) : STR("");
        return taken(r->lenient && bad_use(r, at, at + 1, trouble, instead), at + 1);
    }
    if ((classes & NAME_PASSAGE) && named && named->passage)
        return (struct reading_of){.kind = STREAM_ALL, .passage = named->passage, .end = at + 1};
    if (part) {
        const struct part *here = part_of(assumed(r), name);
        if (here || named->n_parts == 1)
            return of_part(here ? here : part, at + 1);
        struct str trouble =
            str_printf(r->arena, "%u passages have a part `%.*s`", named->n_parts, STR_ARG(name));
        return taken(r->lenient && bad_use(r, at, at + 1, trouble, which(r, name, part->passage)), at + 1);
    }
    return taken(r->lenient && bad_name(r, at, at + 1, classes), at + 1);
}

/* An instrument that one part plays, and no other, stands for the part. */
static struct reading_of by_instrument(struct reader *r, uint32_t at, uint32_t limit)
{
    const struct instrument *instrument;
    struct reading_of none = {.end = 0};
    uint32_t end = read_instrument(r, at, limit, &instrument);
    const struct passage *p;
    if (!end || r->lenient || !read_of_passage(r, end, limit, &p, &end))
        return none;
    const struct part *found = NULL;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_instruments; k++) {
            if (part->instruments[k] != instrument)
                continue;
            if (found && found != part)
                return none;
            found = part;
        }
    }
    return found ? of_part(found, end) : none;
}

/* [part|figure|passage] NAME [of PASSAGE], or an instrument for its part. */
static struct reading_of read_name(struct reader *r, uint32_t at, uint32_t limit, int classes)
{
    static const struct {
        const char *word;
        int class;
    } nouns[] = {{"part", NAME_PART}, {"figure", NAME_FIGURE}, {"passage", NAME_PASSAGE}};
    for (size_t i = 0; i < sizeof nouns / sizeof nouns[0]; i++) {
        if ((classes & nouns[i].class) && is_word(r, at, limit, nouns[i].word) && at + 1 < limit &&
            r->words[at + 1].kind == WORD_NAME) {
            at++;
            classes = nouns[i].class;
            break;
        }
    }
    struct reading_of none = {.end = 0};
    if (at >= limit)
        return none;
    if (r->words[at].kind == WORD_NAME) {
        const struct named *passage = is_of(r, at + 1, limit) ? named_at(r, at + 2, limit) : NULL;
        const struct named *named = named_at(r, at, limit);
        bool ours = named && (named->n_parts || named->n_figures);
        if (passage && passage->passage && (ours || r->lenient)) {
            struct reading_of found = ours ? name_in(r, at, at + 3, passage->passage, classes) : none;
            if (!ours && bad_name(r, at, at + 1, classes & ~NAME_PASSAGE))
                found = taken(true, at + 3);
            return found;
        }
        if (r->lenient && ours && is_word(r, at + 1, limit, "of") && at + 2 < limit &&
            r->words[at + 2].kind == WORD_NAME && !named_at(r, at + 2, limit) &&
            bad_name(r, at + 2, at + 3, NAME_PASSAGE))
            return taken(true, at + 3);
        if (!r->lenient || named) {
            struct reading_of found = name_alone(r, at, classes);
            if (found.end)
                return found;
        }
    }
    struct reading_of played = (classes & NAME_PART) ? by_instrument(r, at, limit) : none;
    if (played.end || r->words[at].kind != WORD_NAME)
        return played;
    return r->lenient ? name_alone(r, at, classes) : none;
}

static struct stream stream_read(const struct reader *r, uint32_t at, struct reading_of found)
{
    return (struct stream){.kind = found.kind, .words = words_text(r, at, found.end), .passage = found.passage,
                           .part = found.part, .figure = found.figure, .voice = found.voice,
                           .where = words_span(r, at, found.end)};
}

static uint32_t store(struct reader *r, uint32_t at, struct reading_of found)
{
    struct match *m = r->match;
    if (!found.end || m->n_streams == MATCH_SLOTS)
        return 0;
    m->stream[m->n_streams++] = stream_read(r, at, found);
    return found.end;
}

uint32_t slot_figure(struct reader *r, uint32_t at, uint32_t limit)
{
    return store(r, at, read_name(r, at, limit, NAME_FIGURE));
}

uint32_t slot_part(struct reader *r, uint32_t at, uint32_t limit)
{
    return store(r, at, read_name(r, at, limit, NAME_PART));
}

uint32_t slot_recording(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    if (at >= limit || m->n_recordings == MATCH_SLOTS || r->words[at].kind != WORD_NAME)
        return 0;
    const struct named *named = named_at(r, at, limit);
    if (!(named && named->recording) && !bad_name(r, at, at + 1, NAME_RECORDING))
        return 0;
    m->recording[m->n_recordings++] = named ? named->recording : NULL;
    return at + 1;
}

/* ---- voices -------------------------------------------------------------------------------------- */

static int voice_by_name(const struct part *part, struct str name)
{
    for (uint32_t i = 0; part->voice_names && i < part->n_voices; i++)
        if (str_eq(part->voice_names[i], name))
            return (int)i;
    /* The voices of a choir by their first letters: `voices s a t b`. */
    static const char *const choir[] = {"soprano", "alto", "tenor", "bass"};
    for (size_t k = 0; k < sizeof choir / sizeof choir[0]; k++)
        for (uint32_t i = 0; str_is(name, choir[k]) && part->voice_names && i < part->n_voices; i++)
            if (part->voice_names[i].n == 1 && part->voice_names[i].p[0] == choir[k][0])
                return (int)i;
    return -1;
}

/* `voice 3 of PART`, counted from the lowest. */
static struct reading_of read_voice_number(struct reader *r, uint32_t at, uint32_t limit)
{
    struct reading_of none = {.end = 0};
    int64_t number;
    if (!is_word(r, at, limit, "voice") || at + 3 >= limit || !word_count(&r->words[at + 1], &number) ||
        number < 1 || !is_of(r, at + 2, limit))
        return none;
    struct reading_of found = read_name(r, at + 3, limit, NAME_PART);
    if (!found.end || !found.part)
        return found;
    if (number > found.part->n_voices) {
        struct str trouble = str_printf(r->arena, "`%.*s` has %u voices", STR_ARG(found.part->symbol.name),
                                        found.part->n_voices);
        return taken(r->lenient && bad_use(r, at, at + 2, trouble, STR("")), found.end);
    }
    found.kind = STREAM_VOICE;
    found.voice = (uint32_t)number - 1;
    return found;
}

/* `s of choir`: a voice by its name. */
static struct reading_of read_voice_name(struct reader *r, uint32_t at, uint32_t limit)
{
    struct reading_of none = {.end = 0};
    if (at + 2 >= limit || r->words[at].kind != WORD_NAME || !is_of(r, at + 1, limit))
        return none;
    const struct named *named = named_at(r, at + 2, limit);
    if (!named || !named->n_parts)
        return none;
    struct reading_of found = read_name(r, at + 2, limit, NAME_PART);
    if (!found.end || !found.part)
        return none;
    int voice = voice_by_name(found.part, r->words[at].text);
    if (voice < 0) {
        bool took = bad_name(r, at, at + 1, NAME_VOICE);
        if (took)
            r->bad[r->n_bad - 1].part = found.part;
        return taken(took, found.end);
    }
    found.kind = STREAM_VOICE;
    found.voice = (uint32_t)voice;
    return found;
}

/* ---- what is heard of a whole passage ------------------------------------------------------------ */

struct heard_words {
    const char *first, *second; /* second NULL: one word */
    enum stream_kind kind;
};

static const struct heard_words heard[] = {
    {"outer", "voice", STREAM_OUTER},
    {"outer", "part", STREAM_OUTER},
    {"bass", "line", STREAM_BASS},
    {"bass", "voice", STREAM_BASS},
    {"bass", NULL, STREAM_BASS},
    {"lowest", "voice", STREAM_BASS},
    {"bottom", "voice", STREAM_BASS},
    {"top", "voice", STREAM_TOP},
    {"top", "line", STREAM_TOP},
    {"highest", "voice", STREAM_TOP},
    {"chord", "progression", STREAM_HARMONY},
    {"harmony", NULL, STREAM_HARMONY},
    {"harmonies", NULL, STREAM_HARMONY},
    {"chords", NULL, STREAM_HARMONY},
    {"roots", NULL, STREAM_HARMONY},
    {"all", "parts", STREAM_ALL},
    {"all", "voices", STREAM_ALL},
    {"all", "notes", STREAM_ALL},
    {"all", NULL, STREAM_ALL},
};

/* The top, or bottom, voice of one part, where its voices can be told apart. */
static struct reading_of heard_of_part(enum stream_kind kind, struct reading_of part)
{
    const struct part *p = part.part;
    bool voice = kind == STREAM_TOP || kind == STREAM_BASS;
    if (kind == STREAM_OUTER || (voice && (!p || p->n_voices == 0)))
        return (struct reading_of){.end = 0};
    if (voice) {
        part.kind = STREAM_VOICE;
        part.voice = kind == STREAM_TOP ? p->n_voices - 1 : 0;
    }
    return part;
}

static struct reading_of read_heard(struct reader *r, uint32_t at, uint32_t limit)
{
    for (size_t i = 0; i < sizeof heard / sizeof heard[0]; i++) {
        const struct heard_words *h = &heard[i];
        uint32_t end = at + (h->second ? 2 : 1);
        if (end > limit || !word_is(r, at, h->first) || (h->second && !word_is(r, at + 1, h->second)))
            continue;
        const struct named *named = is_of(r, end, limit) ? named_at(r, end + 1, limit) : NULL;
        if (named && named->n_parts && !named->passage) {
            struct reading_of part = read_name(r, end + 1, limit, NAME_PART);
            if (part.end && part.part)
                return heard_of_part(h->kind, part);
        }
        struct reading_of found = {.kind = h->kind};
        if (read_of_passage(r, end, limit, &found.passage, &found.end))
            return found;
        return (struct reading_of){.end = 0};
    }
    return (struct reading_of){.end = 0};
}

/* Does the name at `at` belong to something of the file? A part called `bass` goes before the bass of its own
 * passage only: the bass of another passage is still its lowest sounding note. */
static bool is_named(const struct reader *r, uint32_t at, uint32_t limit)
{
    const struct named *named = named_at(r, at, limit);
    if (!named || named->n_figures || named->passage)
        return named && (named->n_figures || named->passage);
    const struct named *of = is_of(r, at + 1, limit) ? named_at(r, at + 2, limit) : NULL;
    const struct passage *passage = of && of->passage ? of->passage : assumed(r);
    return named->n_parts && (!passage || part_of(passage, r->words[at].text));
}

static struct reading_of read_stream(struct reader *r, uint32_t at, uint32_t limit)
{
    const struct named *named = named_at(r, at, limit);
    struct reading_of found = {.end = 0};
    if (!is_named(r, at, limit))
        found = read_heard(r, at, limit);
    if (!found.end)
        found = read_voice_number(r, at, limit);
    if (!found.end && !(named && named->passage))
        found = read_voice_name(r, at, limit);
    if (!found.end)
        found = read_name(r, at, limit, NAME_PART | NAME_FIGURE | NAME_PASSAGE);
    return found;
}

uint32_t slot_stream(struct reader *r, uint32_t at, uint32_t limit)
{
    struct match *m = r->match;
    struct reader_memos *memos = &r->memos;
    uint32_t i = 0;
    while (i < memos->n_streams && (memos->streams[i].at != at || memos->streams[i].limit != limit))
        i++;
    if (r->lenient || i == MEMOS_MAX)
        return store(r, at, read_stream(r, at, limit));
    struct stream_memo *memo = &memos->streams[i];
    if (i == memos->n_streams) {
        struct reading_of found = read_stream(r, at, limit);
        *memo = (struct stream_memo){at, limit, found.end, {.kind = STREAM_ALL}};
        if (found.end)
            memo->value = stream_read(r, at, found);
        memos->n_streams++;
    }
    if (!memo->end || m->n_streams == MATCH_SLOTS)
        return 0;
    m->stream[m->n_streams++] = memo->value;
    return memo->end;
}
