/* captions.c - the timed list of captions. */
#include "back/captions.h"

#include "back/caption_parts.h"
#include "back/clock.h"
#include "back/segments.h"

#include <stdlib.h>

/* Used where a file names no profile at all: the figures of the standard library's "adult". */
static const struct caption_profile plain_profile = {.line = 42,
                                                     .lines = 2,
                                                     .rate_note = {17, 1},
                                                     .rate_error = {20, 1},
                                                     .speech = {150, 1},
                                                     .shortest = {1, 1},
                                                     .longest = {7, 1},
                                                     .gap = {2, 1},
                                                     .gap_frames = true,
                                                     .close = {1, 1},
                                                     .accidentals = ACCIDENTALS_WORDS};

struct timed {
    struct caption caption;
    uint32_t order;
};

struct cutter {
    const struct model *m;
    const struct caption_profile *profile;
    struct arena *arena;
    struct timed *items; /* grows by doubling */
    uint32_t n, cap;
};

static struct timed *timed_add(struct cutter *c)
{
    if (c->n == c->cap) {
        uint32_t cap = c->cap ? c->cap * 2 : 64;
        struct timed *items = ARENA_NEW_ARRAY(c->arena, struct timed, cap);
        if (c->n)
            memcpy(items, c->items, c->n * sizeof *items);
        c->items = items;
        c->cap = cap;
    }
    struct timed *t = &c->items[c->n];
    *t = (struct timed){.order = c->n++};
    return t;
}

/* start + length * part / whole. */
static struct ratio time_at(struct ratio start, struct ratio length, uint32_t part, uint32_t whole)
{
    struct ratio share, at;
    if (whole && ratio_make(part, whole, &share) && ratio_mul(length, share, &at) &&
        ratio_add(start, at, &at))
        return at;
    /* Only clocks with absurd denominators come here. */
    int64_t ms = seconds_ms(start) + (whole ? seconds_ms(length) * part / whole : 0);
    return ms_seconds(ms);
}

/* Adds text to a line; neighbours with the same slant become one run. */
static void line_put(struct caption *caption, uint32_t line, struct str text, bool italic, struct arena *a)
{
    struct caption_run *runs = caption->lines[line].runs;
    uint32_t n = caption->lines[line].n_runs;
    if (n && runs[n - 1].italic == italic) {
        struct buf b = {0};
        buf_str_put(&b, runs[n - 1].text);
        buf_str_put(&b, text);
        runs[n - 1].text = buf_take(&b, a);
        return;
    }
    runs[n] = (struct caption_run){text, italic};
    caption->lines[line].n_runs = n + 1;
}

static void line_fill(struct caption *caption, uint32_t line, const struct caption_word *words, uint32_t n,
                      struct arena *a)
{
    uint32_t room = 0;
    for (uint32_t i = 0; i < n; i++)
        room += words[i].n_runs + 1;
    caption->lines[line].runs = ARENA_NEW_ARRAY(a, struct caption_run, room);
    for (uint32_t i = 0; i < n; i++) {
        const struct caption_word *word = &words[i];
        if (i > 0) {
            bool italic = words[i - 1].runs[words[i - 1].n_runs - 1].italic && word->runs[0].italic;
            line_put(caption, line, STR(" "), italic, a);
        }
        for (uint32_t k = 0; k < word->n_runs; k++)
            line_put(caption, line, word->runs[k].text, word->runs[k].italic, a);
    }
}

/* Cuts words into cues over a stretch of time. */
static void cut(struct cutter *c, struct caption_words words, struct ratio start, struct ratio length,
                bool music, bool estimated)
{
    uint32_t lines = c->profile->lines < 1 ? 1 : (uint32_t)c->profile->lines;
    struct caption_limits limits = {.line = c->profile->line < 1 ? 1 : (uint32_t)c->profile->line,
                                    .lines = lines > CAPTION_LINES_MAX ? CAPTION_LINES_MAX : lines,
                                    .shortest_ms = seconds_ms(c->profile->shortest),
                                    .longest_ms = seconds_ms(c->profile->longest),
                                    .length_ms = seconds_ms(length)};
    const uint8_t *cuts = cuts_plan(words, &limits, c->arena);
    uint32_t total = 0, before = 0;
    for (uint32_t i = 0; i < words.n; i++)
        total += words.items[i].chars + 1;
    struct timed *t = NULL;
    for (uint32_t i = 0; i < words.n;) {
        if (cuts[i] == CUT_CUE) {
            t = timed_add(c);
            t->caption.start = time_at(start, length, before, total);
            t->caption.music = music;
            t->caption.estimated = estimated;
        }
        uint32_t end = i;
        do {
            before += words.items[end].chars + 1;
            end++;
        } while (end < words.n && cuts[end] == CUT_NONE);
        line_fill(&t->caption, t->caption.n_lines++, &words.items[i], end - i, c->arena);
        t->caption.end = time_at(start, length, before, total);
        i = end;
    }
}

/* ---- items ----------------------------------------------------------------------------------- */

static void cut_music(struct cutter *c, const struct item *item, const struct speech_list *speech)
{
    struct speech slot;
    if (!speech_pause(speech, item, c->profile->shortest, &slot))
        return;
    struct marked_text text = {.text = {0}};
    marked_put_music(&text, c->m, item, c->profile->accidentals, c->arena);
    struct caption_words words = marked_words(&text, c->arena);
    marked_free(&text);
    uint32_t chars = 0;
    for (uint32_t i = 0; i < words.n; i++)
        chars += words.items[i].chars + 1;
    /* A description stands for as long as a reader needs, not through a long example. */
    uint32_t room = (uint32_t)(c->profile->line * c->profile->lines);
    struct ratio wanted, length = ratio_minus(slot.to, slot.from);
    if (room && ratio_mul(c->profile->longest, ratio_int((chars + room - 1) / room), &wanted) &&
        ratio_lt(wanted, length))
        length = wanted;
    cut(c, words, slot.from, length, true, item->estimated);
}

static void cut_speech(struct cutter *c, const struct item *item)
{
    struct marked_text text = {.text = {0}};
    marked_put_prose(&text, &item->prose, c->profile->accidentals);
    struct caption_words words = marked_words(&text, c->arena);
    marked_free(&text);
    cut(c, words, item->start, item->length, false, item->estimated);
}

/* ---- ends --------------------------------------------------------------------------------------- */

static int by_start(const void *a, const void *b)
{
    const struct timed *x = a, *y = b;
    int c = ratio_cmp(x->caption.start, y->caption.start);
    return c ? c : (x->order > y->order) - (x->order < y->order);
}

static uint32_t caption_chars(const struct caption *c)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < c->n_lines; i++)
        for (uint32_t k = 0; k < c->lines[i].n_runs; k++)
            for (uint32_t j = 0; j < c->lines[i].runs[k].text.n; j++)
                n += ((unsigned char)c->lines[i].runs[k].text.p[j] & 0xC0) != 0x80;
    return n;
}

/* How long the caption should stand: the profile's shortest, or what its rate asks for if that is more. */
static struct ratio wanted_length(const struct caption *c, const struct caption_profile *p)
{
    struct ratio read;
    if (p->rate_note.num > 0 && ratio_div(ratio_int(caption_chars(c)), p->rate_note, &read) &&
        ratio_lt(p->shortest, read))
        return read;
    return p->shortest;
}

static struct ratio gap_length(const struct cutter *c)
{
    struct ratio gap;
    if (!c->profile->gap_frames)
        return c->profile->gap;
    if (c->m->rate.fps.num > 0 && ratio_div(c->profile->gap, c->m->rate.fps, &gap))
        return gap;
    return RATIO_ZERO;
}

/* A hurried caption borrows from the pause after it; a pause shorter than `close` is closed to the gap; none
 * outlasts `longest`, nor the next one's start. */
static void set_ends(struct cutter *c)
{
    struct ratio gap = gap_length(c);
    for (uint32_t i = 0; i < c->n; i++) {
        struct caption *now = &c->items[i].caption;
        const struct caption *next = i + 1 < c->n ? &c->items[i + 1].caption : NULL;
        struct ratio wanted = ratio_plus(now->start, wanted_length(now, c->profile));
        if (ratio_lt(now->end, wanted))
            now->end = wanted;
        struct ratio longest = ratio_plus(now->start, c->profile->longest);
        if (c->profile->longest.num > 0 && ratio_lt(longest, now->end))
            now->end = longest;
        if (!next)
            continue;
        struct ratio latest = ratio_minus(next->start, gap);
        if (!ratio_lt(now->start, latest))
            latest = next->start; /* no room for a gap */
        bool overlaps = ratio_lt(latest, now->end);
        bool close =
            ratio_lt(ratio_minus(next->start, now->end), c->profile->close) && ratio_le(latest, longest);
        if (overlaps || close)
            now->end = latest;
    }
}

struct caption_list captions_make(const struct model *m, struct arena *a)
{
    struct cutter c = {.m = m, .profile = m->profile ? m->profile : &plain_profile, .arena = a};
    struct speech_list speech = speech_make(m, a);
    for (uint32_t i = 0; i < m->n_items; i++) {
        switch (m->items[i]->kind) {
        case ITEM_SAY:
            cut_speech(&c, m->items[i]);
            break;
        case ITEM_PLAY:
        case ITEM_DEMO:
        case ITEM_SILENCE:
            cut_music(&c, m->items[i], &speech);
            break;
        case ITEM_CHAPTER:
        case ITEM_SHOW:
            break;
        }
    }
    if (c.n)
        qsort(c.items, c.n, sizeof *c.items, by_start);
    set_ends(&c);
    struct caption_list list = {ARENA_NEW_ARRAY(a, struct caption, c.n), c.n};
    for (uint32_t i = 0; i < c.n; i++)
        list.items[i] = c.items[i].caption;
    return list;
}
