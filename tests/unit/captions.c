/* Captions: note names, protected units, the plan against brute force, times, escaping. */
#include "back/back.h"
#include "back/caption_parts.h"
#include "unit/test.h"

/* ---- note names --------------------------------------------------------------------------------- */

static struct str names(struct arena *a, const char *text, bool symbols, enum accidental_style style)
{
    struct marked_text t = {.text = {0}};
    marked_put_names(&t, str_of(text), symbols, style, 0);
    struct str s = {arena_copy(a, t.text.p ? t.text.p : "", t.text.n), (uint32_t)t.text.n};
    marked_free(&t);
    return s;
}

struct name_row {
    const char *typed, *words, *signs, *plain;
};

/* Readings of lead-sheet symbols: common practice. */
static const struct name_row in_text[] = {
    {"an F♯ there", "an F sharp there", "an F♯ there", "an F# there"},
    {"an F# there", "an F sharp there", "an F♯ there", "an F# there"},
    {"B♭, then Bb3.", "B flat, then B flat 3.", "B♭, then B♭3.", "Bb, then Bb3."},
    {"(E♭m)", "(E flat minor)", "(E♭m)", "(Ebm)"},
    {"F𝄪 and B𝄫", "F double sharp and B double flat", "F𝄪 and B𝄫", "F## and Bbb"},
    {"F♮", "F natural", "F♮", "Fn"},
    {"F#m7b5", "F sharp minor seven flat five", "F♯m7♭5", "F#m7b5"},
    {"Bb7(b9)", "B flat seven flat nine", "B♭7(♭9)", "Bb7(b9)"},
    {"Ebmaj7", "E flat major seven", "E♭maj7", "Ebmaj7"},
    {"D♭/F", "D flat slash F", "D♭/F", "Db/F"},
    {"two F♯s", "two F sharps", "two F♯s", "two F#s"},
    {"B♭'s shadow", "B flat's shadow", "B♭'s shadow", "Bb's shadow"},
    {"F♯-minor", "F sharp-minor", "F♯-minor", "F#-minor"},
    {"C#-1 and B♭-1", "C sharp -1 and B flat -1", "C♯-1 and B♭-1", "C#-1 and Bb-1"},
    {"the ♭VI chord", "the flat VI chord", "the ♭VI chord", "the bVI chord"},
    {"c♯ minor", "c sharp minor", "c♯ minor", "c# minor"},
    /* Not names of notes. */
    {"Absolute Abs Ebbing Gob Dad", "Absolute Abs Ebbing Gob Dad", "Absolute Abs Ebbing Gob Dad",
     "Absolute Abs Ebbing Gob Dad"},
    {"C4 and Cm7 stay, A too", "C4 and Cm7 stay, A too", "C4 and Cm7 stay, A too", "C4 and Cm7 stay, A too"},
    {"Ex and Fx", "Ex and Fx", "Ex and Fx", "Ex and Fx"},
    {"ABb and éBb", "ABb and éBb", "ABb and éBb", "ABb and éBb"},
    {"#1 and b9", "#1 and b9", "#1 and b9", "#1 and b9"},
};

static const struct name_row in_symbols[] = {
    {"Cm7", "C minor seven", "Cm7", "Cm7"},
    {"D over Eb", "D over E flat", "D over E♭", "D over Eb"},
    {"C4 F##5", "C 4 F double sharp 5", "C4 F𝄪5", "C4 F##5"},
    {"G/B", "G slash B", "G/B", "G/B"},
    {"A6/9", "A six nine", "A6/9", "A6/9"},
    {"Bø7", "B half-diminished seven", "Bø7", "Bø7"},
    {"Gsus4", "G sus four", "Gsus4", "Gsus4"},
    {"Abc", "Abc", "Abc", "Abc"},
};

static void check_names(struct test *t, struct arena *a, const struct name_row *rows, size_t n, bool symbols)
{
    for (size_t i = 0; i < n; i++) {
        CHECK_TEXT(t, names(a, rows[i].typed, symbols, ACCIDENTALS_WORDS).p, rows[i].words);
        CHECK_TEXT(t, names(a, rows[i].typed, symbols, ACCIDENTALS_SIGNS).p, rows[i].signs);
        CHECK_TEXT(t, names(a, rows[i].typed, symbols, ACCIDENTALS_PLAIN).p, rows[i].plain);
    }
}

/* ---- units ----------------------------------------------------------------------------------------- */

static struct caption_words words_of(struct arena *a, const char *text)
{
    struct marked_text t = {.text = {0}};
    marked_put_names(&t, str_of(text), false, ACCIDENTALS_WORDS, 0);
    struct caption_words words = marked_words(&t, a);
    marked_free(&t);
    return words;
}

struct unit_row {
    const char *text;
    const char *unit; /* words that stay together */
};

static const struct unit_row units[] = {
    {"and then the E flat minor chord turns into something else", "E flat minor"},
    {"the highest voice falls from A to F♯ and stays there", "F sharp"},
    {"look again at what the horns do in bar 42 of the march", "bar 42"},
    {"all of this happens between bars 3 to 6 and nowhere else", "bars 3 to 6"},
    {"listen for it again in the slow part of Symphony No. 5 tonight", "Symphony No. 5"},
    {"the whole cue is over in no more than 6 seconds of film", "6 seconds"},
    {"one finds the same thing in \"The Drowned Bell\" much later on", "\"The Drowned Bell\""},
    {"they play it at quarter = 96 from beginning to end", "quarter = 96"},
    {"the session was led by Dr. Corrow and nobody else", "Dr. Corrow"},
    {"nobody could have written it before J. S. Bach did it here", "J. S. Bach"},
    {"all of it hangs on one chord, a strange D seven, from the start", "D seven,"},
    {"a low G double flat is what the part really says", "G double flat"},
};

static struct str join(struct arena *a, struct caption_words words, uint32_t from, uint32_t to)
{
    struct buf b = {0};
    for (uint32_t i = from; i < to; i++) {
        buf_put(&b, i > from ? " " : "");
        buf_str_put(&b, words.items[i].text);
    }
    return buf_take(&b, a);
}

static bool contains(struct str s, const char *z)
{
    return strstr(s.p, z) != NULL;
}

/* Whatever the width, the unit stands in one line. */
static void check_units(struct test *t, struct arena *a)
{
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        for (uint32_t width = 20; width <= 42; width++) {
            struct caption_words words = words_of(a, units[i].text);
            struct caption_limits limits = {width, 2, 1000, 7000, 4000};
            const uint8_t *cuts = cuts_plan(words, &limits, a);
            bool whole = false;
            for (uint32_t from = 0; from < words.n;) {
                uint32_t to = from + 1;
                while (to < words.n && cuts[to] == CUT_NONE)
                    to++;
                struct str line = join(a, words, from, to);
                whole = whole || contains(line, units[i].unit);
                from = to;
            }
            if (!CHECK(t, whole))
                fprintf(stderr, "    width %u: %s\n", width, units[i].text);
        }
    }
}

/* ---- the plan ------------------------------------------------------------------------------------------ */

static const char *const vocabulary[] = {
    "the",          "of", "and",     "harmony", "falls,",  "rises.", "a", "minor", "third",
    "bar",          "42", "slowly;", "in",      "we",      "hear",   "B", "flat",  "under",
    "unmistakable", "it", "\"Oh\"",  "which",   "settles", "No.",    "5"};

static struct caption_words random_words(struct arena *a, struct rng *r, int n)
{
    struct marked_text t = {.text = {0}};
    for (int i = 0; i < n; i++) {
        int last = (int)(sizeof vocabulary / sizeof *vocabulary) - 1;
        marked_put(&t,
                   i == 0                  ? STR("")
                   : rng_between(r, 0, 19) ? STR(" ")
                   : rng_between(r, 0, 1)  ? STR("\n")
                                           : STR("\f"),
                   0);
        marked_put(&t, str_of(vocabulary[rng_between(r, 0, last)]), 0);
    }
    struct caption_words words = marked_words(&t, a);
    marked_free(&t);
    return words;
}

/* Every way to put nothing, a line end or a cue end before each word. */
static int64_t cheapest(struct caption_words words, const struct caption_limits *limits, struct arena *a)
{
    uint8_t cuts[16] = {CUT_CUE};
    int64_t best = INT64_MAX;
    for (;;) {
        struct arena_mark mark = arena_mark(a);
        int64_t cost = cuts_cost(words, limits, cuts, a);
        arena_reset(a, mark);
        best = cost < best ? cost : best;
        uint32_t i = 1;
        while (i < words.n && cuts[i] == CUT_CUE)
            cuts[i++] = CUT_NONE;
        if (i >= words.n)
            return best;
        cuts[i]++;
    }
}

static void check_plan(struct test *t, struct arena *a, uint64_t seed)
{
    struct rng r = {seed};
    for (int i = 0; i < 120; i++) {
        int n = i % 40 == 0 ? 12 : rng_between(&r, 1, 8);
        struct caption_words words = random_words(a, &r, n);
        struct caption_limits limits = {(uint32_t)rng_between(&r, 8, 30), (uint32_t)rng_between(&r, 1, 3),
                                        1000, rng_between(&r, 1500, 7000), rng_between(&r, 0, 9000)};
        int64_t plan = cuts_cost(words, &limits, cuts_plan(words, &limits, a), a);
        if (!CHECK(t, plan == cheapest(words, &limits, a)))
            fprintf(stderr, "    %s (line %u, lines %u)\n", join(a, words, 0, words.n).p, limits.line,
                    limits.lines);
    }
}

static void check_forced(struct test *t, struct arena *a)
{
    struct marked_text m = {.text = {0}};
    marked_put(&m, STR("one two\nthree four\fFive six"), 0);
    struct caption_words words = marked_words(&m, a);
    marked_free(&m);
    struct caption_limits limits = {42, 2, 1000, 7000, 3000};
    const uint8_t *cuts = cuts_plan(words, &limits, a);
    CHECK(t, words.n == 6);
    CHECK(t, cuts[1] == CUT_NONE && cuts[2] != CUT_NONE && cuts[3] == CUT_NONE && cuts[4] != CUT_NONE &&
                 cuts[5] == CUT_NONE);
}

/* A word longer than the line is kept whole. */
static void check_long_word(struct test *t, struct arena *a)
{
    struct caption_words words = words_of(a, "an enharmonicreinterpretation of it");
    struct caption_limits limits = {12, 2, 1000, 7000, 3000};
    const uint8_t *cuts = cuts_plan(words, &limits, a);
    CHECK(t, words.n == 4 && cuts[1] != CUT_NONE && cuts[2] != CUT_NONE);
}

/* ---- a model made by hand
 * ----------------------------------------------------------------------------------- */

enum { ITEMS = 4 };

struct sample {
    struct model m;
    struct work work;
    struct instrument violin, horn;
    const struct instrument *violins[1], *horns[1];
    struct passage passage;
    struct part strings, brass;
    struct part *parts[2];
    struct note notes[4];
    struct stack stacks[2], brass_stacks[1];
    struct harmony_event harmony[2];
    struct item items[ITEMS];
    struct item *item_list[ITEMS];
    struct run runs[7];
    const struct passage *played[1];
    struct source_list sources;
};

static const struct str string_family[] = {STR("strings")};
static const struct str brass_family[] = {STR("brass")};
static const struct str violin_names[] = {STR("violin")};
static const struct str horn_names[] = {STR("horn")};

static struct run text_run(const char *text)
{
    return (struct run){.kind = RUN_TEXT, .text = str_of(text)};
}

static void sample_music(struct sample *s)
{
    s->work = (struct work){.title = STR("The Lamp"), .composer = STR("Maud Ellering")};
    s->violin = (struct instrument){
        .names = violin_names, .n_names = 1, .families = string_family, .n_families = 1, .program = 41};
    s->horn = (struct instrument){
        .names = horn_names, .n_names = 1, .families = brass_family, .n_families = 1, .program = 61};
    s->violins[0] = &s->violin;
    s->horns[0] = &s->horn;
    for (int i = 0; i < 2; i++) {
        struct ratio onset = {i, 2}, half = {1, 2};
        s->notes[i] = (struct note){.pitch = {{2, 0}, 4}, .onset = onset, .length = half};
        s->stacks[i] = (struct stack){onset, half, (uint32_t)i, 1, {0}};
        s->harmony[i] = (struct harmony_event){.onset = onset, .length = half};
        s->harmony[i].harmony =
            (struct harmony){.kind = HARMONY_CHORD, .text = i ? STR("Bb over Cb") : STR("D over Eb")};
    }
    s->brass_stacks[0] = s->stacks[0];
    s->strings = (struct part){.instruments = s->violins,
                               .n_instruments = 1,
                               .muted = true,
                               .notes = s->notes,
                               .n_notes = 2,
                               .stacks = s->stacks,
                               .n_stacks = 2};
    s->brass = (struct part){.instruments = s->horns,
                             .n_instruments = 1,
                             .notes = s->notes,
                             .n_notes = 1,
                             .stacks = s->brass_stacks,
                             .n_stacks = 1};
    s->parts[0] = &s->strings;
    s->parts[1] = &s->brass;
    s->passage = (struct passage){.work = &s->work,
                                  .length = RATIO_ONE,
                                  .parts = s->parts,
                                  .n_parts = 2,
                                  .harmony = s->harmony,
                                  .n_harmony = 2,
                                  .pickup = RATIO_ZERO};
    s->played[0] = &s->passage;
}

static void sample_make(struct sample *s)
{
    memset(s, 0, sizeof *s);
    sample_music(s);
    s->runs[0] = text_run("Then the strings drop the whole chord, every voice by the same amount: ");
    s->runs[1] = text_run("real");
    s->runs[1].emphasis = true;
    s->runs[2] = text_run(" parallel motion & a step <down> --> to F♯, and nothing");
    s->runs[3] = (struct run){.kind = RUN_BREAK};
    s->runs[4] = text_run("else moves at all in this whole long bar.");
    s->runs[5] = (struct run){.kind = RUN_PARAGRAPH};
    s->runs[6] = text_run("Listen.");
    s->items[0] = (struct item){
        .kind = ITEM_CHAPTER, .start = RATIO_ZERO, .length = RATIO_ZERO, .title = STR("A <b> & --> \"c\"")};
    s->items[1] = (struct item){.kind = ITEM_SAY, .start = {4, 1}, .length = {12, 1}, .estimated = true};
    s->items[1].prose = (struct prose){.runs = s->runs, .n_runs = 7, .n_words = 36};
    s->items[2] = (struct item){
        .kind = ITEM_PLAY, .start = {16, 1}, .length = {6, 1}, .passages = s->played, .n_passages = 1};
    s->items[3] =
        (struct item){.kind = ITEM_CHAPTER, .start = {22, 1}, .length = RATIO_ZERO, .title = STR("Last")};
    for (int i = 0; i < ITEMS; i++)
        s->item_list[i] = &s->items[i];
    s->m = (struct model){.title = STR("Sample"),
                          .language = STR("en"),
                          .items = s->item_list,
                          .n_items = ITEMS,
                          .length = {30, 1},
                          .rate = {{25, 1}, 25}};
}

static void caption_text(const struct caption *c, struct buf *b)
{
    for (uint32_t i = 0; i < c->n_lines; i++) {
        buf_put(b, b->n ? " " : "");
        for (uint32_t k = 0; k < c->lines[i].n_runs; k++)
            buf_str_put(b, c->lines[i].runs[k].text);
    }
}

static void check_list(struct test *t, struct arena *a)
{
    struct sample s;
    sample_make(&s);
    struct caption_list list = captions_make(&s.m, a);
    struct buf speech = {0}, music = {0};
    bool italic = false;
    for (uint32_t i = 0; i < list.n; i++) {
        const struct caption *c = &list.items[i];
        caption_text(c, c->music ? &music : &speech);
        CHECK(t, ratio_lt(c->start, c->end));
        CHECK(t, c->n_lines >= 1 && c->n_lines <= 2);
        CHECK(t, c->estimated == !c->music);
        if (i > 0) {
            struct ratio gap = ratio_minus(c->start, list.items[i - 1].end);
            CHECK(t, ratio_le((struct ratio){2, 25}, gap));
        }
        for (uint32_t k = 0; k < c->n_lines; k++)
            for (uint32_t r = 0; r < c->lines[k].n_runs; r++)
                italic = italic || (c->lines[k].runs[r].italic && str_is(c->lines[k].runs[r].text, "real"));
    }
    buf_byte(&speech, 0);
    buf_byte(&music, 0);
    CHECK(t, italic);
    CHECK_TEXT(t, speech.p,
               "Then the strings drop the whole chord, every voice by the same amount: real parallel motion "
               "& a step <down> --> "
               "to F sharp, and nothing else moves at all in this whole long bar. Listen.");
    CHECK_TEXT(
        t, music.p,
        "[♪ \"The Lamp\" by Maud Ellering: muted violin and horn; D over E flat to B flat over C flat, "
        "6 seconds]");
    buf_free(&speech);
    buf_free(&music);
}

/* Music under speech is not described; what sounds before the words is. */
static void check_under_speech(struct test *t, struct arena *a)
{
    struct sample s;
    sample_make(&s);
    s.items[2].start = (struct ratio){5, 1};
    struct caption_list list = captions_make(&s.m, a);
    for (uint32_t i = 0; i < list.n; i++)
        CHECK(t, !list.items[i].music);
    s.items[2].start = (struct ratio){1, 1};
    list = captions_make(&s.m, a);
    CHECK(t, list.n > 0 && list.items[0].music && ratio_le(list.items[0].end, (struct ratio){4, 1}));
}

/* ---- files
 * --------------------------------------------------------------------------------------------------- */

static const struct output *output_named(const struct output_list *list, const char *name)
{
    for (uint32_t i = 0; i < list->n; i++)
        if (str_is(list->items[i].name, name))
            return &list->items[i];
    return NULL;
}

static void check_files(struct test *t, struct arena *a)
{
    struct sample s;
    sample_make(&s);
    struct output_list out = {.arena = a, .stem = STR("x")};
    back_webvtt(&s.m, &out);
    back_subrip(&s.m, &out);
    const struct output *vtt = output_named(&out, "x.vtt"), *chapters = output_named(&out, "x.chapters.vtt");
    const struct output *srt = output_named(&out, "x.srt");
    if (!CHECK(t, vtt && chapters && srt))
        return;
    CHECK(t, str_starts(vtt->bytes, STR("WEBVTT\n\n")));
    CHECK(t, contains(vtt->bytes, "\n\nNOTE DRAFT"));
    CHECK(t, contains(vtt->bytes, "<i>real</i>"));
    CHECK(t, contains(vtt->bytes, "&amp;") && contains(vtt->bytes, "&lt;down&gt;") &&
                 contains(vtt->bytes, "--&gt;"));
    CHECK(t, contains(vtt->bytes, "00:00:04.000 --> "));
    CHECK(t, contains(chapters->bytes, "00:00:00.000 --> 00:00:22.000\nA &lt;b&gt; &amp; --&gt; \"c\"\n"));
    CHECK(t, contains(chapters->bytes, "00:00:22.000 --> 00:00:30.000\nLast\n"));
    CHECK(t, str_starts(srt->bytes, STR("1\n00:00:04,000 --> ")));
    CHECK(t, contains(srt->bytes, "< down>") && contains(srt->bytes, "-- >") && contains(srt->bytes, " & "));
    CHECK(t, !contains(srt->bytes, "\n\n\n") && !contains(vtt->bytes, "\n\n\n"));
}

int main(int argc, char **argv)
{
    struct test t = {.name = "captions"};
    struct arena a = {0};
    uint64_t seed = test_seed(&t, argc, argv);
    check_names(&t, &a, in_text, sizeof in_text / sizeof *in_text, false);
    check_names(&t, &a, in_symbols, sizeof in_symbols / sizeof *in_symbols, true);
    check_units(&t, &a);
    check_plan(&t, &a, seed);
    check_forced(&t, &a);
    check_long_word(&t, &a);
    check_list(&t, &a);
    check_under_speech(&t, &a);
    check_files(&t, &a);
    arena_free(&a);
    return test_end(&t);
}
