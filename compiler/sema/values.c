#include "sema/sema.h"

#include "base/array.h"
#include "parse.h"

struct str value_text(struct sema *s, const struct node *n)
{
    if (!n || value_hole(s, n))
        return (struct str){"", 0};
    if (n->kind == NODE_STRING)
        return node_string(s->arena, n);
    return n->text;
}

bool value_hole(struct sema *s, const struct node *n)
{
    if (n->kind != NODE_OPEN)
        return false;
    struct hole *h = ARENA_NEW(s->arena, struct hole);
    *h = (struct hole){node_string(s->arena, n->first), n->where};
    ARRAY_PUSH(s->arena, s->model->holes, s->model->n_holes, h);
    return true;
}

/* A text or a word where a number should stand. */
static bool number_fault(struct sema *s, const struct node *n)
{
    struct ratio r;
    bool quoted = n->kind == NODE_STRING && ratio_parse(n->text.p, n->text.n, &r);
    struct diag *d = diag_add(s->diags, DIAG_BAD_NUMBER, n->where, "`%.*s` is not a number",
                              STR_ARG(source_text(s->sources, n->where)));
    if (quoted) {
        diag_help(s->diags, d, "a number stands without quotation marks: `%.*s`", STR_ARG(n->text));
        diag_fix(s->diags, d, n->where, n->text, true);
    }
    return false;
}

bool value_int(struct sema *s, const struct node *n, int64_t low, int64_t high, int64_t *out)
{
    if (value_hole(s, n))
        return false;
    struct ratio r;
    if (n->kind == NODE_NUMBER && ratio_parse(n->text.p, n->text.n, &r) && r.den == 1 && r.num >= low &&
        r.num <= high) {
        *out = r.num;
        return true;
    }
    if (n->kind != NODE_NUMBER && n->kind != NODE_VALUE)
        return number_fault(s, n);
    diag_add(s->diags, DIAG_BAD_NUMBER, n->where, "`%.*s` is not a whole number from %lld to %lld",
             STR_ARG(n->text), (long long)low, (long long)high);
    return false;
}

bool value_ratio(struct sema *s, const struct node *n, struct ratio *out)
{
    if (value_hole(s, n))
        return false;
    struct ratio r;
    if ((n->kind == NODE_NUMBER || n->kind == NODE_VALUE) && ratio_parse(n->text.p, n->text.n, &r) &&
        r.num > 0) {
        *out = r;
        return true;
    }
    if (n->kind != NODE_NUMBER && n->kind != NODE_VALUE)
        return number_fault(s, n);
    bool zero = n->text.n && strspn(n->text.p, "0./") >= n->text.n;
    diag_add(s->diags, DIAG_BAD_NUMBER, n->where,
             zero ? "`%.*s` is not above 0" : "`%.*s` has more digits than can be held exactly",
             STR_ARG(n->text));
    return false;
}

bool value_note(struct sema *s, const struct node *n, struct ratio *out)
{
    struct ratio r;
    if (!ratio_parse(n->text.p, n->text.n, &r) || r.num == 0) {
        struct diag *d =
            diag_add(s->diags, DIAG_BAD_VALUE, n->where, "`%.*s` is not a note value", STR_ARG(n->text));
        diag_help(
            s->diags, d,
            "note values are fractions of a whole note: 1/4, 3/8 (dotted quarter), 1/12 (triplet eighth)");
        return false;
    }
    if (r.den > NOTE_DENOMINATOR_MAX || ratio_cmp(r, ratio_int(64)) > 0) {
        bool long_one = ratio_cmp(r, ratio_int(64)) > 0;
        struct diag *d = diag_add(s->diags, DIAG_BAD_VALUE, n->where, "the note value `%.*s` is too %s",
                                  STR_ARG(n->text), long_one ? "long" : "fine");
        if (long_one)
            diag_note(s->diags, d, "one event lasts at most 64 whole notes; `hold` makes it longer");
        else
            diag_note(s->diags, d,
                      "values are fractions down to 1/%d: every tuplet of 3, 5, 7 and 9 down to 64ths",
                      NOTE_DENOMINATOR_MAX);
        return false;
    }
    *out = r;
    return true;
}

static bool time_fault(struct sema *s, const struct node *n, const char *why)
{
    diag_add(s->diags, DIAG_BAD_TIME, n->where, "`%.*s` is not a time: %s", STR_ARG(n->text), why);
    return false;
}

/* 2.5 s, 1500 ms, 12 frames, 3 min */
static bool length_read(struct sema *s, const struct node *n, const struct frame_rate *rate,
                        struct ratio *out)
{
    const struct node *number = n->first, *unit = number->next;
    struct ratio r;
    if (!ratio_parse(number->text.p, number->text.n, &r))
        return time_fault(s, number, "the number is too large");
    static const struct {
        const char *word;
        int num, den;
    } units[] = {{"s", 1, 1},     {"seconds", 1, 1}, {"second", 1, 1},
                 {"ms", 1, 1000}, {"min", 60, 1},    {"minutes", 60, 1}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (str_is(unit->text, units[i].word))
            return ratio_mul(r, (struct ratio){units[i].num, units[i].den}, out);
    if (str_is(unit->text, "frames") || str_is(unit->text, "frame")) {
        if (rate)
            return ratio_div(r, rate->fps, out);
        struct diag *d = diag_add(s->diags, DIAG_BAD_TIME, n->where,
                                  "frames cannot be counted here: this clock has no frame rate");
        diag_help(s->diags, d, "give it one, as in `frames 25`, or write seconds: `0.5 s`");
        return false;
    }
    diag_add(s->diags, DIAG_BAD_TIME, unit->where, "`%.*s` is not a unit of time: write s, ms, min or frames",
             STR_ARG(unit->text));
    return false;
}

static void timecode_no_drop(struct sema *s, const struct node *n, const char *fps)
{
    struct diag *d = diag_add(s->diags, DIAG_BAD_TIMECODE, n->where,
                              "`%.*s` is drop-frame timecode, which %s frames a second do not have",
                              STR_ARG(n->text), fps);
    diag_note(s->diags, d, "only 29.97 and 59.94 frames a second are counted so");
    char *plain = arena_copy(s->arena, n->text.p, n->text.n);
    for (uint32_t i = 0; i < n->text.n; i++)
        if (plain[i] == ';')
            plain[i] = ':';
    struct str text = {plain, n->text.n};
    diag_help(s->diags, d, "write `%.*s`", STR_ARG(text));
    diag_fix(s->diags, d, n->where, text, false);
}

static bool timecode_read(struct sema *s, const struct node *n, const struct frame_rate *rate,
                          struct ratio *out)
{
    struct timecode t;
    if (!rate) {
        struct diag *d = diag_add(s->diags, DIAG_BAD_TIME, n->where,
                                  "`%.*s` counts frames, and this clock has no frame rate", STR_ARG(n->text));
        diag_help(s->diags, d, "give it one, as in `frames 25`, or write the time without frames: `1:02:33`");
        return false;
    }
    if (!timecode_parse(n->text, &t))
        return time_fault(s, n, "timecode is hours:minutes:seconds:frames");
    char fps[RATIO_TEXT_MAX];
    ratio_text(rate->fps, false, fps);
    switch (timecode_check(*rate, t)) {
    case TIMECODE_OK:
        *out = frames_seconds(*rate, timecode_frames(*rate, t));
        return true;
    case TIMECODE_MINUTES:
        return time_fault(s, n, "minutes and seconds end at 59");
    case TIMECODE_FRAMES:
        diag_add(s->diags, DIAG_BAD_TIMECODE, n->where,
                 "`%.*s` does not exist: at %s frames a second, frames go from 00 to %d", STR_ARG(n->text),
                 fps, rate->nominal - 1);
        return false;
    case TIMECODE_DROPPED: {
        struct diag *d = diag_add(s->diags, DIAG_BAD_TIMECODE, n->where,
                                  "`%.*s` does not exist: drop-frame counting skips it", STR_ARG(n->text));
        diag_note(
            s->diags, d,
            "the first %d frame numbers of each minute are left out, except in minutes that ten divides",
            rate->nominal / 15);
        diag_help(s->diags, d, "the next frame is `%02d:%02d:%02d;%02d`", t.hours, t.minutes, t.seconds,
                  rate->nominal / 15);
        return false;
    }
    case TIMECODE_NO_DROP:
        timecode_no_drop(s, n, fps);
        return false;
    }
    return false;
}

/* m:s, h:m:s, with decimals of a second */
static bool clock_read(struct sema *s, const struct node *n, struct ratio *out)
{
    struct ratio total = RATIO_ZERO;
    uint32_t from = 0;
    for (uint32_t i = 0; i <= n->text.n; i++) {
        if (i < n->text.n && n->text.p[i] != ':')
            continue;
        struct ratio part;
        if (!ratio_parse(n->text.p + from, i - from, &part) || !ratio_mul(total, ratio_int(60), &total) ||
            !ratio_add(total, part, &total))
            return time_fault(s, n, "it is too large or has too many digits");
        if (from > 0 && ratio_le(ratio_int(60), part))
            return time_fault(s, n, "minutes and seconds end at 59");
        from = i + 1;
    }
    *out = total;
    return true;
}

bool value_time(struct sema *s, const struct node *n, const struct frame_rate *rate, struct ratio *out)
{
    if (value_hole(s, n))
        return false;
    if (n->kind == NODE_SECONDS)
        return length_read(s, n, rate, out);
    if (n->kind != NODE_TIME)
        return time_fault(s, n, "write 0:33, 1:02:33.250 or 01:02:33:12");
    uint32_t colons = 0, semicolons = 0;
    for (uint32_t i = 0; i < n->text.n; i++) {
        colons += n->text.p[i] == ':';
        semicolons += n->text.p[i] == ';';
    }
    return colons + semicolons == 3 ? timecode_read(s, n, rate, out) : clock_read(s, n, out);
}

bool value_rate(struct sema *s, const struct node *field, struct frame_rate *rate, bool *drop)
{
    const struct node *n = field->first;
    struct ratio fps;
    if (!value_ratio(s, n, &fps))
        return false;
    if (!frame_rate_of(fps, rate)) {
        struct diag *d = diag_add(s->diags, DIAG_BAD_RATE, n->where, "`%.*s` is not a frame rate in use",
                                  STR_ARG(n->text));
        diag_help(
            s->diags, d,
            "rates: 24000/1001 (23.976), 24, 25, 30000/1001 (29.97), 30, 48, 50, 60000/1001 (59.94), 60");
        return false;
    }
    *drop = n->next != NULL;
    if (*drop && !frame_rate_can_drop(*rate)) {
        struct diag *d = diag_add(s->diags, DIAG_BAD_RATE, n->next->where,
                                  "%.*s frames a second have no drop-frame count", STR_ARG(n->text));
        diag_help(s->diags, d, "take `drop` out: only 29.97 and 59.94 frames a second are counted so");
        *drop = false;
    }
    return true;
}
