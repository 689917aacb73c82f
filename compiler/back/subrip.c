/* subrip.c - captions as SubRip.
 *
 * There is no standard. By custom: a counter, two times with a comma, text, one blank line; <i> works, &
 * stands for itself. What a reader could take for a tag or a time line is parted by a space, since nothing
 * can be escaped. */
#include "back/back.h"
#include "back/captions.h"
#include "back/clock.h"

#include <inttypes.h>

static bool letter_or_mark(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '/' || c == '!';
}

static void put_text(struct buf *b, struct str s)
{
    for (uint32_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        bool arrow = c == '>' && i >= 2 && s.p[i - 1] == '-' && s.p[i - 2] == '-';
        if (arrow)
            buf_byte(b, ' ');
        buf_byte(b, c == '\n' || c == '\r' ? ' ' : c);
        if (c == '<' && i + 1 < s.n && letter_or_mark(s.p[i + 1]))
            buf_byte(b, ' ');
    }
}

void back_subrip(const struct model *m, struct output_list *out)
{
    struct arena scratch = {0};
    struct caption_list list = captions_make(m, &scratch);
    struct buf b = {0};
    for (uint32_t i = 0; i < list.n; i++) {
        const struct caption *c = &list.items[i];
        int64_t start = seconds_ms(c->start), end = seconds_ms(c->end);
        buf_printf(&b, "%s%" PRIu32 "\n", i ? "\n" : "", i + 1);
        buf_stamp(&b, start, ',');
        buf_put(&b, " --> ");
        buf_stamp(&b, end > start ? end : start + 1, ',');
        buf_byte(&b, '\n');
        for (uint32_t k = 0; k < c->n_lines; k++) {
            for (uint32_t r = 0; r < c->lines[k].n_runs; r++) {
                const struct caption_run *run = &c->lines[k].runs[r];
                buf_put(&b, run->italic ? "<i>" : "");
                put_text(&b, run->text);
                buf_put(&b, run->italic ? "</i>" : "");
            }
            buf_byte(&b, '\n');
        }
    }
    output_add(out, "srt", &b);
    arena_free(&scratch);
}
