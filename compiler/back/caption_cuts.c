/* caption_cuts.c - where lines and cues are cut.
 *
 * A plan's cost is a sum over its cues, and a cue's over its lines, so dynamic programming over the words
 * finds the cheapest plan: best[j] is the least over cues [i, j) of best[i] + the cue's cost. A cue holds few
 * words, which bounds i; the whole is linear in the number of words. Short cues are not worth a bad cut, nor
 * full lines a broken phrase: linguistic units come before geometry (BBC Subtitle Guidelines 3.5). */
#include "back/caption_parts.h"

enum {
    COST_CUE = 70,        /* each cue: fewer, fuller ones */
    COST_LINE = 14,       /* each line after the first */
    COST_SENTENCE = 40,   /* a sentence ends inside a line */
    COST_PARAGRAPH = 200, /* a paragraph ends inside a cue: only to save one that is too short */
    COST_ORPHAN_CUE = 60, /* one word alone */
    COST_ORPHAN_LINE = 40,
    CUE_SEAM = 3, /* a cut between cues weighs as much as this many between lines */
    UPPER_LONGER =
        2, /* a character by which the upper line is longer, or the lower: the upper is better the */
    LOWER_LONGER = 1, /* shorter (Code of Good Subtitling Practice, item 20) */
    SHORT_MS = 1,     /* milliseconds too short, or too long, for one unit of cost */
    LONG_MS = 10,
    LONG_MOST = 200 /* slow speech is not worth cues of single words */
};

static const int64_t cost_impossible = INT64_MAX;

/* Sums over the words before each, so that any stretch is a difference. */
struct sums {
    const struct caption_words *words;
    const struct caption_limits *limits;
    uint32_t *chars;     /* of the words before, each with the space after it */
    uint32_t *sentences; /* sentence ends among the words before */
    uint32_t *lines;     /* words among those before that begin a line by force */
};

static struct sums sums_make(const struct caption_words *words, const struct caption_limits *limits,
                             struct arena *a)
{
    size_t n = (size_t)words->n + 1;
    struct sums s = {words, limits, ARENA_NEW_ARRAY(a, uint32_t, n), ARENA_NEW_ARRAY(a, uint32_t, n),
                     ARENA_NEW_ARRAY(a, uint32_t, n)};
    for (uint32_t i = 0; i < words->n; i++) {
        const struct caption_word *word = &words->items[i];
        s.chars[i + 1] = s.chars[i] + word->chars + 1;
        s.sentences[i + 1] = s.sentences[i] + word->sentence_end;
        s.lines[i + 1] = s.lines[i] + (word->force != SEAM_FREE);
    }
    return s;
}

/* Characters of words [i, j), spaces between them included; i < j. */
static uint32_t stretch_chars(const struct sums *s, uint32_t i, uint32_t j)
{
    return s->chars[j] - s->chars[i] - 1;
}

/* A line may only be too long where one word is: each character over costs more than the worst cut. */
static int64_t line_cost(const struct sums *s, uint32_t i, uint32_t j)
{
    if (s->lines[j] != s->lines[i + 1])
        return cost_impossible;
    int64_t cost = 0;
    uint32_t chars = stretch_chars(s, i, j);
    if (chars > s->limits->line)
        cost += (int64_t)SEAM_PROTECTED * (1 + chars - s->limits->line);
    if (j - i > 1)
        cost += (int64_t)COST_SENTENCE * (s->sentences[j - 1] - s->sentences[i]);
    return cost;
}

static int64_t duration_cost(const struct sums *s, uint32_t i, uint32_t j)
{
    const struct caption_limits *limits = s->limits;
    int64_t ms = (int64_t)((__int128)limits->length_ms * (s->chars[j] - s->chars[i]) / s->chars[s->words->n]);
    if (ms < limits->shortest_ms)
        return (limits->shortest_ms - ms) / SHORT_MS;
    if (ms > limits->longest_ms) {
        int64_t cost = (ms - limits->longest_ms) / LONG_MS;
        return cost < LONG_MOST ? cost : LONG_MOST;
    }
    return 0;
}

/* The cue [begins[0], end) whose lines begin at begins[0 .. n). */
static int64_t cue_cost(const struct sums *s, const uint32_t *begins, uint32_t n, uint32_t end)
{
    const struct caption_word *words = s->words->items;
    uint32_t first = begins[0];
    int64_t cost = COST_CUE + duration_cost(s, first, end);
    if (end - first == 1 && s->words->n > 1)
        cost += COST_ORPHAN_CUE;
    if (first > 0 && words[first].force == SEAM_FREE)
        cost += words[first].seam == SEAM_PROTECTED ? SEAM_PROTECTED : words[first].seam * CUE_SEAM;
    for (uint32_t k = 0; k < n; k++) {
        uint32_t to = k + 1 < n ? begins[k + 1] : end;
        int64_t line = line_cost(s, begins[k], to);
        if (line == cost_impossible)
            return cost_impossible;
        cost += line;
        if (n > 1 && to - begins[k] == 1)
            cost += COST_ORPHAN_LINE;
        if (k == 0)
            continue;
        cost += COST_LINE;
        if (words[begins[k]].force == SEAM_FREE)
            cost += words[begins[k]].seam;
        else if (words[begins[k]].force == SEAM_PARAGRAPH)
            cost += COST_PARAGRAPH;
        uint32_t upper = stretch_chars(s, begins[k - 1], begins[k]), lower = stretch_chars(s, begins[k], to);
        cost +=
            upper > lower ? (int64_t)UPPER_LONGER * (upper - lower) : (int64_t)LOWER_LONGER * (lower - upper);
    }
    return cost;
}

/* The cheapest way to lay words [i, j) out as one cue. */
struct cue_layout {
    int64_t cost;
    uint32_t begins[CAPTION_LINES_MAX];
    uint32_t n;
};

/* A line of several words that is too long is never part of the cheapest plan: cutting it costs less. */
static bool line_fits(const struct sums *s, uint32_t i, uint32_t j)
{
    return j - i == 1 || stretch_chars(s, i, j) <= s->limits->line;
}

static void try_lines(const struct sums *s, uint32_t *begins, uint32_t n, uint32_t end,
                      struct cue_layout *best)
{
    uint32_t last = begins[n - 1];
    int64_t cost = line_fits(s, last, end) ? cue_cost(s, begins, n, end) : cost_impossible;
    if (cost < best->cost) {
        best->cost = cost;
        best->n = n;
        memcpy(best->begins, begins, n * sizeof *begins);
    }
    if (n == s->limits->lines)
        return;
    for (uint32_t k = last + 1; k < end && line_fits(s, last, k); k++) {
        begins[n] = k;
        try_lines(s, begins, n + 1, end, best);
    }
}

static struct cue_layout lay_out(const struct sums *s, uint32_t i, uint32_t j)
{
    struct cue_layout best = {.cost = cost_impossible};
    uint32_t begins[CAPTION_LINES_MAX] = {i};
    try_lines(s, begins, 1, j, &best);
    return best;
}

uint8_t *cuts_plan(struct caption_words words, const struct caption_limits *limits, struct arena *a)
{
    uint8_t *cuts = ARENA_NEW_ARRAY(a, uint8_t, words.n);
    if (words.n == 0)
        return cuts;
    struct arena_mark mark = arena_mark(a);
    struct sums sums = sums_make(&words, limits, a);
    struct cue_layout *last =
        ARENA_NEW_ARRAY(a, struct cue_layout, (size_t)words.n + 1); /* the cue that ends here */
    int64_t *best = ARENA_NEW_ARRAY(a, int64_t, (size_t)words.n + 1);
    for (uint32_t j = 1; j <= words.n; j++) {
        best[j] = cost_impossible;
        for (uint32_t i = j; i-- > 0;) {
            struct cue_layout layout = lay_out(&sums, i, j);
            if (layout.cost == cost_impossible)
                break; /* too much for one cue: with a word more it is no less */
            if (best[i] + layout.cost >= best[j])
                continue;
            best[j] = best[i] + layout.cost;
            last[j] = layout;
        }
    }
    for (uint32_t j = words.n; j > 0; j = last[j].begins[0]) {
        cuts[last[j].begins[0]] = CUT_CUE;
        for (uint32_t k = 1; k < last[j].n; k++)
            cuts[last[j].begins[k]] = CUT_LINE;
    }
    arena_reset(a, mark);
    return cuts;
}

int64_t cuts_cost(struct caption_words words, const struct caption_limits *limits, const uint8_t *cuts,
                  struct arena *a)
{
    if (words.n == 0)
        return 0;
    struct sums sums = sums_make(&words, limits, a);
    int64_t total = 0;
    uint32_t begins[CAPTION_LINES_MAX], n = 0;
    for (uint32_t i = 0; i < words.n; i++) {
        if (cuts[i] == CUT_NONE)
            continue;
        if (cuts[i] == CUT_CUE)
            n = 0;
        if (n == limits->lines)
            return cost_impossible;
        begins[n++] = i;
        uint32_t end = i + 1;
        while (end < words.n && cuts[end] == CUT_NONE)
            end++;
        if (end < words.n && cuts[end] == CUT_LINE)
            continue;
        int64_t cost = cue_cost(&sums, begins, n, end);
        if (cost == cost_impossible)
            return cost_impossible;
        total += cost;
    }
    return total;
}
