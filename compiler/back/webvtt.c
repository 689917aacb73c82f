/* webvtt.c - captions and chapters as WebVTT.
 *
 * Source: W3C, WebVTT: The Web Video Text Tracks Format, sections on the file's syntax. The plainest form is
 * written: no regions, styles or settings, which players treat unlike one another. */
#include "back/back.h"
#include "back/captions.h"
#include "back/clock.h"

#include <inttypes.h>
#include <stdlib.h>

/* Cue text and chapter titles: references for & < >, so that "-->" cannot occur either; line ends become
 * spaces. */
static void put_text(struct buf *b, struct str s)
{
    for (uint32_t i = 0; i < s.n; i++) {
        switch (s.p[i]) {
        case '&':
            buf_put(b, "&amp;");
            break;
        case '<':
            buf_put(b, "&lt;");
            break;
        case '>':
            buf_put(b, "&gt;");
            break;
        case '\n':
        case '\r':
            buf_byte(b, ' ');
            break;
        default:
            buf_byte(b, s.p[i]);
        }
    }
}

static void put_head(struct buf *b, const struct model *m)
{
    buf_put(b, "WEBVTT\n\nNOTE ");
    put_text(b, m->title);
    buf_put(b, "\n\nNOTE language: ");
    put_text(b, m->language.n ? m->language : STR("en"));
    buf_put(b, "\n\n");
}

static void put_times(struct buf *b, int64_t start, int64_t end)
{
    buf_stamp(b, start, '.');
    buf_put(b, " --> ");
    /* A cue must end after it starts. */
    buf_stamp(b, end > start ? end : start + 1, '.');
    buf_byte(b, '\n');
}

static void put_draft_note(struct buf *b, const struct caption_list *list)
{
    uint32_t estimated = 0;
    for (uint32_t i = 0; i < list->n; i++)
        estimated += list->items[i].estimated;
    if (estimated)
        buf_printf(b,
                   "NOTE DRAFT: the times of %" PRIu32 " of %" PRIu32
                   " captions are estimates, from the speed of speech and the tempo of the music.\n\n",
                   estimated, list->n);
}

static void write_captions(const struct model *m, struct output_list *out)
{
    struct arena scratch = {0};
    struct caption_list list = captions_make(m, &scratch);
    struct buf b = {0};
    put_head(&b, m);
    put_draft_note(&b, &list);
    for (uint32_t i = 0; i < list.n; i++) {
        const struct caption *c = &list.items[i];
        buf_printf(&b, "%" PRIu32 "\n", i + 1);
        put_times(&b, seconds_ms(c->start), seconds_ms(c->end));
        for (uint32_t k = 0; k < c->n_lines; k++) {
            for (uint32_t r = 0; r < c->lines[k].n_runs; r++) {
                const struct caption_run *run = &c->lines[k].runs[r];
                buf_put(&b, run->italic ? "<i>" : "");
                put_text(&b, run->text);
                buf_put(&b, run->italic ? "</i>" : "");
            }
            buf_byte(&b, '\n');
        }
        buf_byte(&b, '\n');
    }
    b.n--; /* one line end closes the file */
    output_add(out, "vtt", &b);
    arena_free(&scratch);
}

struct chapter {
    int64_t start;
    struct str title;
    uint32_t order;
};

static int by_start(const void *a, const void *b)
{
    const struct chapter *x = a, *y = b;
    if (x->start != y->start)
        return x->start < y->start ? -1 : 1;
    return x->order < y->order ? -1 : 1;
}

/* Chapters end where the next begins: disjoint cues, as a chapters track asks. Titles are text without tags.
 */
static void write_chapters(const struct model *m, struct output_list *out)
{
    struct arena scratch = {0};
    struct chapter *chapters = ARENA_NEW_ARRAY(&scratch, struct chapter, m->n_items);
    uint32_t n = 0;
    for (uint32_t i = 0; i < m->n_items; i++)
        if (m->items[i]->kind == ITEM_CHAPTER)
            chapters[n++] = (struct chapter){seconds_ms(m->items[i]->start), m->items[i]->title, i};
    if (n == 0) {
        arena_free(&scratch);
        return;
    }
    qsort(chapters, n, sizeof *chapters, by_start);
    struct buf b = {0};
    put_head(&b, m);
    int64_t last = seconds_ms(m->length);
    for (uint32_t i = 0; i < n; i++) {
        uint32_t next = i + 1;
        while (next < n && chapters[next].start == chapters[i].start)
            next++;
        buf_printf(&b, "%s%" PRIu32 "\n", i ? "\n" : "", i + 1);
        put_times(&b, chapters[i].start, next < n ? chapters[next].start : last);
        put_text(&b, chapters[i].title.n ? chapters[i].title : STR("-"));
        buf_byte(&b, '\n');
    }
    output_add(out, "chapters.vtt", &b);
    arena_free(&scratch);
}

void back_webvtt(const struct model *m, struct output_list *out)
{
    write_captions(m, out);
    write_chapters(m, out);
}
