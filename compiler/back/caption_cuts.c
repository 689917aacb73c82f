/* caption_cuts.c - where lines and cues are cut.
 *
 * A plan's cost is a sum over its cues, and a cue's over its lines, so dynamic programming over the words
 * finds the cheapest plan: best[j] is the least over cues [i, j) of best[i] + the cue's cost. A cue holds few
 * words, which bounds j; the whole is linear in the number of words, and in the square of those in a line.
 * Short cues are not worth a bad cut, nor full lines a broken phrase: linguistic units come before geometry
 * (BBC Subtitle Guidelines 3.5). */
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

/* What a cue costs before its lines are looked at. */
static int64_t cue_base(const struct sums *s, uint32_t first, uint32_t end)
{
    const struct caption_word *word = &s->words->items[first];
    int64_t cost = COST_CUE + duration_cost(s, first, end);
    if (end - first == 1 && s->words->n > 1)
        cost += COST_ORPHAN_CUE;
    if (first > 0 && word->force == SEAM_FREE)
        cost += word->seam == SEAM_PROTECTED ? SEAM_PROTECTED : word->seam * CUE_SEAM;
    return cost;
}

/* One of several lines of a cue. */
static int64_t one_of_lines_cost(const struct sums *s, uint32_t i, uint32_t j)
{
    int64_t cost = line_cost(s, i, j);
    return cost != cost_impossible && j - i == 1 ? cost + COST_ORPHAN_LINE : cost;
}

/* A new line before this word. */
static int64_t break_cost(const struct sums *s, uint32_t at)
{
    const struct caption_word *word = &s->words->items[at];
    switch (word->force) {
    case SEAM_FREE: return COST_LINE + word->seam;
    case SEAM_LINE: return COST_LINE;
    case SEAM_PARAGRAPH: return COST_LINE + COST_PARAGRAPH;
    }
    return COST_LINE;
}

static int64_t balance_cost(uint32_t upper, uint32_t lower)
{
    return upper > lower ? (int64_t)UPPER_LONGER * (upper - lower) : (int64_t)LOWER_LONGER * (lower - upper);
}

/* The cue [begins[0], end) whose lines begin at begins[0 .. n). */
static int64_t cue_cost(const struct sums *s, const uint32_t *begins, uint32_t n, uint32_t end)
{
    int64_t cost = cue_base(s, begins[0], end);
    for (uint32_t k = 0; k < n; k++) {
        uint32_t to = k + 1 < n ? begins[k + 1] : end;
        int64_t line = n > 1 ? one_of_lines_cost(s, begins[k], to) : line_cost(s, begins[k], to);
        if (line == cost_impossible)
            return cost_impossible;
        cost += line;
        if (k > 0)
            cost += break_cost(s, begins[k]) +
                    balance_cost(stretch_chars(s, begins[k - 1], begins[k]), stretch_chars(s, begins[k], to));
    }
    return cost;
}

/* The cheapest way to lay words [i, j) out as one cue. */
struct cue_layout {
    int64_t cost; /* of its lines; cost_impossible: there is no way */
    uint32_t begins[CAPTION_LINES_MAX];
    uint32_t n;
};

/* A line of several words that is too long is never part of the cheapest plan: cutting it costs less. */
static bool line_fits(const struct sums *s, uint32_t i, uint32_t j)
{
    return j - i == 1 || stretch_chars(s, i, j) <= s->limits->line;
}

/* Of two layouts that cost the same, that with the earlier first cut is taken, then that with fewer lines. */
static bool layout_before(const struct cue_layout *a, const struct cue_layout *b)
{
    for (uint32_t k = 1; k < a->n && k < b->n; k++)
        if (a->begins[k] != b->begins[k])
            return a->begins[k] < b->begins[k];
    return a->n < b->n;
}

static void layout_offer(struct cue_layout *best, struct cue_layout offer)
{
    if (offer.cost < best->cost || (offer.cost == best->cost && layout_before(&offer, best)))
        *best = offer;
}

/* The layouts of the cues that begin at word i. */
struct window {
    const struct sums *s;
    uint32_t i;
    struct cue_layout *layouts; /* of [i, i + 1 + index) */
    uint32_t n;
    struct upper {             /* for three lines: the two upper ones, by where the second begins */
        uint32_t begin, chars; /* chars: of the second line */
        int64_t cost;
    } * uppers, *longer, *shorter;
};

static void window_offer(struct window *w, uint32_t end, struct cue_layout offer)
{
    uint32_t index = end - w->i - 1;
    for (; w->n <= index; w->n++)
        w->layouts[w->n].cost = cost_impossible;
    layout_offer(&w->layouts[index], offer);
}

static void lay_one_line(struct window *w)
{
    for (uint32_t j = w->i + 1; j <= w->s->words->n && line_fits(w->s, w->i, j); j++) {
        int64_t cost = line_cost(w->s, w->i, j);
        if (cost == cost_impossible)
            return;
        window_offer(w, j, (struct cue_layout){cost, {w->i}, 1});
    }
}

/* The cost of two lines [i, k) and [k, j), with the cut between them. */
static int64_t two_lines_cost(const struct sums *s, uint32_t i, uint32_t k, uint32_t j)
{
    int64_t upper = one_of_lines_cost(s, i, k), lower = one_of_lines_cost(s, k, j);
    if (upper == cost_impossible || lower == cost_impossible)
        return cost_impossible;
    return upper + lower + break_cost(s, k) + balance_cost(stretch_chars(s, i, k), stretch_chars(s, k, j));
}

static void lay_two_lines(struct window *w)
{
    const struct sums *s = w->s;
    for (uint32_t k = w->i + 1; k < s->words->n && line_fits(s, w->i, k); k++)
        for (uint32_t j = k + 1; j <= s->words->n && line_fits(s, k, j); j++) {
            int64_t cost = two_lines_cost(s, w->i, k, j);
            if (cost == cost_impossible)
                break;
            window_offer(w, j, (struct cue_layout){cost, {w->i, k}, 2});
        }
}

/* Fills w->uppers with the pairs of lines [i, k) and [k, l), by falling k: the second line grows. Returns how
 * many. */
static uint32_t uppers_before(struct window *w, uint32_t l)
{
    const struct sums *s = w->s;
    uint32_t n = 0;
    for (uint32_t k = l - 1; k > w->i && line_fits(s, k, l); k--) {
        int64_t cost = line_fits(s, w->i, k) ? two_lines_cost(s, w->i, k, l) : cost_impossible;
        if (cost != cost_impossible)
            w->uppers[n++] = (struct upper){k, stretch_chars(s, k, l), cost};
    }
    return n;
}

/* The third line costs by how its length differs from the second's: so much a character longer, so much a
 * character shorter. For each number of uppers, the cheapest among those whose second line is longest, and
 * among those where it is shortest. */
static void uppers_sort_out(struct window *w, uint32_t n)
{
    for (uint32_t u = 0; u < n; u++) {
        struct upper at = w->uppers[u];
        at.cost -= (int64_t)LOWER_LONGER * at.chars;
        w->shorter[u] = u && w->shorter[u - 1].cost < at.cost ? w->shorter[u - 1] : at;
    }
    for (uint32_t u = n; u-- > 0;) {
        struct upper at = w->uppers[u];
        at.cost += (int64_t)UPPER_LONGER * at.chars;
        w->longer[u] = u + 1 < n && w->longer[u + 1].cost <= at.cost ? w->longer[u + 1] : at;
    }
}

static void lay_three_lines(struct window *w)
{
    const struct sums *s = w->s;
    for (uint32_t l = w->i + 2; l < s->words->n; l++) {
        uint32_t n = uppers_before(w, l), short_ones = 0;
        if (n == 0)
            return; /* two lines do not reach so far, and no farther */
        uppers_sort_out(w, n);
        for (uint32_t j = l + 1; n && j <= s->words->n && line_fits(s, l, j); j++) {
            int64_t line = one_of_lines_cost(s, l, j);
            if (line == cost_impossible)
                break;
            uint32_t chars = stretch_chars(s, l, j);
            while (short_ones < n && w->uppers[short_ones].chars <= chars)
                short_ones++;
            line += break_cost(s, l);
            if (short_ones) {
                const struct upper *u = &w->shorter[short_ones - 1];
                window_offer(w, j,
                             (struct cue_layout){
                                 u->cost + (int64_t)LOWER_LONGER * chars + line, {w->i, u->begin, l}, 3});
            }
            if (short_ones < n) {
                const struct upper *u = &w->longer[short_ones];
                window_offer(w, j,
                             (struct cue_layout){
                                 u->cost - (int64_t)UPPER_LONGER * chars + line, {w->i, u->begin, l}, 3});
            }
        }
    }
}

/* Every layout of a cue that begins at word i. */
static void lay_out(struct window *w, uint32_t i)
{
    w->i = i;
    w->n = 0;
    lay_one_line(w);
    if (w->s->limits->lines > 1)
        lay_two_lines(w);
    if (w->s->limits->lines > 2)
        lay_three_lines(w);
}

static struct window window_make(const struct sums *s, struct arena *a)
{
    /* A line holds at most half as many words as characters, and one that is too long. */
    size_t most = ((size_t)s->limits->line / 2 + 2) * CAPTION_LINES_MAX;
    return (struct window){.s = s,
                           .layouts = ARENA_NEW_ARRAY(a, struct cue_layout, most),
                           .uppers = ARENA_NEW_ARRAY(a, struct upper, most),
                           .longer = ARENA_NEW_ARRAY(a, struct upper, most),
                           .shorter = ARENA_NEW_ARRAY(a, struct upper, most)};
}

uint8_t *cuts_plan(struct caption_words words, const struct caption_limits *limits, struct arena *a)
{
    uint8_t *cuts = ARENA_NEW_ARRAY(a, uint8_t, words.n);
    if (words.n == 0)
        return cuts;
    struct arena_mark mark = arena_mark(a);
    struct sums sums = sums_make(&words, limits, a);
    struct window window = window_make(&sums, a);
    struct cue_layout *last =
        ARENA_NEW_ARRAY(a, struct cue_layout, (size_t)words.n + 1); /* the cue that ends here */
    int64_t *best = ARENA_NEW_ARRAY(a, int64_t, (size_t)words.n + 1);
    for (uint32_t j = 1; j <= words.n; j++)
        best[j] = cost_impossible;
    for (uint32_t i = 0; i < words.n; i++) {
        lay_out(&window, i);
        for (uint32_t k = 0; k < window.n; k++) {
            const struct cue_layout *layout = &window.layouts[k];
            uint32_t j = i + 1 + k;
            if (layout->cost == cost_impossible)
                continue;
            int64_t cost = best[i] + cue_base(&sums, i, j) + layout->cost;
            if (cost <= best[j]) { /* of plans that cost the same the last cue is the shortest */
                best[j] = cost;
                last[j] = *layout;
            }
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
