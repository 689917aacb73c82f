/* Recordings against bars, and against one another. */
#include "checks/checks.h"

#include "base/buf.h"

#include <math.h>

/* Lengths in bars and on the recording may differ by so much: language.md section 5 of the design, two per
 * cent. */
static const struct ratio tolerance = {2, 100};

/* A passage that is heard all over the place is compared with so many of its stretches. */
enum { COMPARED_MAX = 100 };

static struct ratio absolute(struct ratio r)
{
    return r.num < 0 ? (struct ratio){-r.num, r.den} : r;
}

static struct str seconds_text(struct arena *a, struct ratio r)
{
    return str_printf(a, "%.2f s", ratio_double(r));
}

static void check_speed(const struct model *m, const struct recording *r)
{
    if (ratio_eq(r->speed, RATIO_ONE))
        return;
    double cents = speed_cents(r->speed), percent = (ratio_double(r->speed) - 1) * 100;
    const char *side = cents > 0 ? "high" : "low";
    struct diag *d =
        diag_add(m->diags, DIAG_CLOCK_SPEED, r->symbol.where,
                 "`%.*s` runs %.2f %% %s: its pitch is %.2f semitone %s and its tempo %.2f %% %s",
                 STR_ARG(r->symbol.name), fabs(percent), percent > 0 ? "fast" : "slow", fabs(cents) / 100,
                 side, fabs(percent), side);
    diag_note(m->diags, d, "keys and tempos heard there are those of the transfer, not of the music");
}

/* A straight line through the outer anchors to one clock; how far those between lie from it. */
static void check_anchors(const struct model *m, const struct recording *r)
{
    if (r->n_anchors < 3)
        return;
    const struct anchor *first = &r->anchors[0], *last = &r->anchors[r->n_anchors - 1];
    struct ratio run = ratio_minus(last->here, first->here), rise = ratio_minus(last->there, first->there),
                 slope;
    if (run.num == 0 || !ratio_div(rise, run, &slope))
        return;
    for (uint32_t i = 1; i + 1 < r->n_anchors; i++) {
        struct ratio on_line;
        if (r->anchors[i].other != first->other ||
            !ratio_mul(ratio_minus(r->anchors[i].here, first->here), slope, &on_line) ||
            !ratio_add(on_line, first->there, &on_line))
            continue;
        struct ratio residual = ratio_minus(r->anchors[i].there, on_line);
        if (fabs(ratio_double(residual)) < 0.0005)
            continue;
        diag_add(m->diags, DIAG_CLOCK_ANCHORS, r->anchors[i].where,
                 "this anchor lies %.0f ms %s the line through the outer ones",
                 fabs(ratio_double(residual)) * 1000, residual.num < 0 ? "before" : "after");
    }
}

static void check_heard_in_recording(const struct model *m, const struct heard *h)
{
    const struct recording *r = h->recording;
    if (ratio_le(h->to, h->from)) {
        struct str to = recording_text(m->arena, r, h->to);
        diag_add(m->diags, DIAG_HEARD_BACKWARDS, h->where, "this stretch ends at %.*s, %s it begins",
                 STR_ARG(to), ratio_eq(h->to, h->from) ? "where" : "before");
        return;
    }
    struct ratio end = ratio_plus(r->starts, r->length);
    if (ratio_lt(h->from, r->starts)) {
        struct str from = recording_text(m->arena, r, h->from);
        struct diag *d = diag_add(m->diags, DIAG_HEARD_BACKWARDS, h->where,
                                  "this stretch begins at %.*s, before `%.*s` does", STR_ARG(from),
                                  STR_ARG(r->symbol.name));
        diag_place(m->diags, d, r->symbol.where, "its clock starts at %.*s",
                   STR_ARG(recording_text(m->arena, r, r->starts)));
    } else if (r->length.num && ratio_lt(end, h->to)) {
        struct str to = recording_text(m->arena, r, h->to);
        struct diag *d = diag_add(m->diags, DIAG_HEARD_BACKWARDS, h->where,
                                  "this stretch goes on to %.*s, after `%.*s` has ended", STR_ARG(to),
                                  STR_ARG(r->symbol.name));
        diag_place(m->diags, d, r->symbol.where, "ends at %.*s", STR_ARG(recording_text(m->arena, r, end)));
    }
}

/* 25/24 within a third of a per cent: the transfer of film to a 25-frame release. */
static bool is_transfer_longer(struct ratio by)
{
    double q = ratio_double(by);
    return q > 1.040 && q < 1.0445;
}

static bool is_transfer_shorter(struct ratio by)
{
    double q = ratio_double(by);
    return q > 0.9575 && q < 0.9620;
}

static const char *speed_hint(struct ratio by)
{
    if (is_transfer_longer(by))
        return "slower than the tempo says, as 25-frame picture played at 24 is";
    if (is_transfer_shorter(by))
        return "faster than the tempo says, as 24-frame picture played at 25 is: pitch would be 0.71 semitone "
               "high";
    return NULL;
}

/* "`1/4 = 76.8`": the one tempo at which the bars last as long as the recording has them. */
static struct str fitting_tempo(const struct model *m, const struct passage *p, const struct heard *h,
                                struct ratio clock, struct ratio bars)
{
    char beat[RATIO_TEXT_MAX];
    double bpm = ratio_double(p->tempos[0].bpm) * ratio_double(bars) /
                 (ratio_double(clock) * ratio_double(h->recording->speed));
    return str_printf(m->arena, "a tempo of %s = %.1f", ratio_text(p->tempos[0].beat, false, beat), bpm);
}

/* Of recordings that agree with one another, the first is told: the slip is in the bars or the tempo. */
static bool is_told(const struct passage *p, const struct heard *h)
{
    struct ratio here = ratio_minus(h->to, h->from), off;
    for (const struct heard *other = p->heard; other < h && other < p->heard + COMPARED_MAX; other++) {
        struct ratio there = ratio_minus(other->to, other->from);
        if (there.num > 0 && ratio_eq(other->recording->speed, h->recording->speed) &&
            ratio_div(ratio_minus(here, there), there, &off) && ratio_le(absolute(off), tolerance))
            return true;
    }
    return false;
}

static void check_bars(const struct model *m, const struct passage *p, const struct heard *h)
{
    struct stretch whole = {RATIO_ZERO, p->length, false, p->symbol.where};
    struct ratio bars, clock = ratio_minus(h->to, h->from), expected, off;
    if (!p->n_tempos || !p->n_bars || clock.num <= 0 || !passage_seconds(p, whole, &bars) ||
        !ratio_div(bars, h->recording->speed, &expected) ||
        !ratio_div(ratio_minus(clock, expected), expected, &off))
        return;
    if (ratio_le(absolute(off), tolerance) || is_told(p, h))
        return;
    struct diag *d = diag_add(
        m->diags, DIAG_CLOCK_BARS, h->where, "%u %s %.*s at the tempo given, and %.*s in `%.*s`", p->n_bars,
        p->n_bars == 1 ? "bar lasts" : "bars last", STR_ARG(seconds_text(m->arena, expected)),
        STR_ARG(seconds_text(m->arena, clock)), STR_ARG(h->recording->symbol.name));
    diag_label(m->diags, d, "%.2f %% %s", fabs(ratio_double(off)) * 100, off.num > 0 ? "longer" : "shorter");
    struct ratio by;
    if (ratio_div(clock, expected, &by) && speed_hint(by))
        diag_note(m->diags, d, "%s", speed_hint(by));
    if (p->n_tempos == 1)
        diag_note(m->diags, d, "%.*s would fill the stretch", STR_ARG(fitting_tempo(m, p, h, clock, bars)));
    diag_help(m->diags, d,
              "mend the tempo, the times or the bars; a recording that runs fast says `speed 25/24`");
}

/* A passage heard in two recordings, a twenty-fourth longer in one of them: one was transferred from 24
 * frames a second to 25, and neither says so. */
static void check_transfer(const struct model *m, const struct heard *a, const struct heard *b)
{
    struct ratio la = ratio_minus(a->to, a->from), lb = ratio_minus(b->to, b->from), by;
    if (la.num <= 0 || lb.num <= 0 || a->recording == b->recording ||
        !ratio_eq(a->recording->speed, RATIO_ONE) || !ratio_eq(b->recording->speed, RATIO_ONE) ||
        !ratio_div(la, lb, &by))
        return;
    const struct heard *fast = is_transfer_longer(by)    ? b
                               : is_transfer_shorter(by) ? a
                                                         : NULL; /* by: a against b */
    if (!fast)
        return;
    const struct heard *slow = fast == a ? b : a;
    struct diag *d = diag_add(
        m->diags, DIAG_CLOCK_SPEED, fast->where,
        "this stretch is %.2f %% shorter than that in `%.*s`, as 24-frame picture is when played at 25",
        100 - 100 * ratio_double(ratio_minus(fast->to, fast->from)) /
                  ratio_double(ratio_minus(slow->to, slow->from)),
        STR_ARG(slow->recording->symbol.name));
    diag_place(m->diags, d, slow->where, "the longer one");
    diag_note(m->diags, d, "if so, `%.*s` sounds 0.71 semitone high, and its tempo is 4.17 %% high",
              STR_ARG(fast->recording->symbol.name));
    diag_help(m->diags, d, "say `speed 25/24` in `%.*s`, or mend the times",
              STR_ARG(fast->recording->symbol.name));
}

/* Two keys a half step apart, of one work, heard in recordings of different speed; told? */
static bool check_keys(const struct model *m, const struct passage *a, const struct passage *b)
{
    if (a->work != b->work || !a->work || !a->n_keys || !b->n_keys || !a->n_heard || !b->n_heard)
        return false;
    const struct recording *ra = a->heard[0].recording, *rb = b->heard[0].recording;
    int half = (tone_pc(a->keys[0].key.tonic) - tone_pc(b->keys[0].key.tonic) + 12) % 12;
    if (a->keys[0].key.minor != b->keys[0].key.minor || (half != 1 && half != 11) ||
        ratio_eq(ra->speed, rb->speed))
        return false;
    bool a_fast = ratio_lt(rb->speed, ra->speed);
    if (a_fast != (half == 1))
        return false;
    struct diag *d =
        diag_add(m->diags, DIAG_CLOCK_KEYS, b->keys[0].where,
                 "this key and that of `%.*s` are a half step apart, which the speed of `%.*s` explains",
                 STR_ARG(a->symbol.name), STR_ARG((a_fast ? ra : rb)->symbol.name));
    diag_place(m->diags, d, a->keys[0].where, "the other key");
    return true;
}

/* Each stretch of a recording against those before it. */
static void check_stretches(const struct model *m, const struct passage *p)
{
    for (uint32_t k = 0; k < p->n_heard; k++) {
        check_heard_in_recording(m, &p->heard[k]);
        if (!p->unread)
            check_bars(m, p, &p->heard[k]);
        for (uint32_t j = 0; j < k && j < COMPARED_MAX; j++)
            check_transfer(m, &p->heard[j], &p->heard[k]);
    }
}

void check_clocks(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_recordings; i++) {
        check_speed(m, m->recordings[i]);
        check_anchors(m, m->recordings[i]);
    }
    for (uint32_t i = 0; i < m->n_passages; i++) {
        const struct passage *p = m->passages[i];
        check_stretches(m, p);
        for (uint32_t k = 0; k < i && !check_keys(m, m->passages[k], p); k++)
            ; /* one is enough */
    }
}
