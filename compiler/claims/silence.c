#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

enum pattern { SILENT, RESTS, NOTHING, NO_MUSIC, NO_MUSIC_ON, RECORDING_SILENT };

static const char *const patterns[] = {
    [SILENT] = "STREAM is|stays|remains silent|tacet",
    [RESTS] = "STREAM rests",
    [NOTHING] = "[there is] <no note sounds|nothing sounds|no music sounds|no music> in STREAM",
    [NO_MUSIC] = "[there is] no music from TIME to TIME of|in|on RECORDING",
    [NO_MUSIC_ON] = "RECORDING has no music from TIME to TIME",
    [RECORDING_SILENT] = "RECORDING is silent from TIME to TIME",
    NULL,
};

/* ---- in a passage --------------------------------------------------------------------------------- */

/* The part a stream stands for; NULL: all parts of its passage. */
static const struct part *stream_part(const struct stream *s)
{
    return s->kind == STREAM_PART || s->kind == STREAM_VOICE ? s->part : NULL;
}

static bool note_belongs(const struct stream *s, const struct note *n)
{
    return s->kind != STREAM_VOICE || n->voice == s->voice;
}

/* The first note of the stream that sounds in the stretch, and whose it is. */
static const struct note *first_sound(struct claim_context *ctx, const struct stream *s, struct stretch where,
                                      const struct part **whose)
{
    const struct note *found = NULL;
    for (uint32_t i = 0; i < s->passage->n_parts; i++) {
        const struct part *part = s->passage->parts[i];
        if (stream_part(s) && stream_part(s) != part)
            continue;
        for (uint32_t k = 0; k < part->n_notes; k++) {
            const struct note *n = &part->notes[k];
            if (!note_belongs(s, n) || !note_sounds(n, where) || !take_note(ctx, s->passage, n))
                continue;
            if (!found || ratio_lt(n->onset, found->onset)) {
                found = n;
                *whose = part;
            }
            break;
        }
    }
    return found;
}

static void mark_bars(const struct passage *p, struct ratio onset, struct ratio length, bool *marks)
{
    const struct bar *bar = passage_bar_at(p, onset), *end = p->bars + p->n_bars;
    struct ratio until = ratio_plus(onset, length);
    for (; bar && bar < end && ratio_lt(bar->onset, until); bar++)
        marks[bar - p->bars] = true;
}

/* Which bars are not silent for certain: a note sounds there, or nobody wrote what does. */
static const bool *loud_bars(struct claim_context *ctx, const struct stream *s, struct stretch where)
{
    const struct passage *p = s->passage;
    bool *loud = ARENA_NEW_ARRAY(ctx->arena, bool, p->n_bars);
    for (uint32_t i = 0; i < p->n_bars; i++)
        loud[i] = !p->bars[i].transcribed;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        if (stream_part(s) && stream_part(s) != part)
            continue;
        for (uint32_t k = 0; k < part->n_notes; k++)
            if (note_belongs(s, &part->notes[k]) && note_sounds(&part->notes[k], where) &&
                take_note(ctx, p, &part->notes[k]))
                mark_bars(p, part->notes[k].onset, part->notes[k].length, loud);
        for (uint32_t k = 0; k < part->n_extents; k++)
            if (part->extents[k].kind == EXTENT_OPEN)
                mark_bars(p, part->extents[k].onset, part->extents[k].length, loud);
    }
    return loud;
}

/* Whole bars of the stretch in which the stream is silent for certain: the longest run of them. */
static struct str silent_bars(struct claim_context *ctx, const struct stream *s, struct stretch where)
{
    const struct passage *p = s->passage;
    const bool *loud = loud_bars(ctx, s, where);
    int best_from = 0, best_n = 0, run = 0;
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        bool in = ratio_le(where.onset, bar->onset) && ratio_le(ratio_plus(bar->onset, bar->length), where.end);
        run = in && !loud[i] ? run + 1 : 0;
        if (run > best_n) {
            best_n = run;
            best_from = bar->number - run + 1;
        }
    }
    if (best_n == 0)
        return STR("");
    if (best_n == 1)
        return say_text(ctx, "bar %d", best_from);
    return say_text(ctx, "bars %d to %d", best_from, best_from + best_n - 1);
}

static void fail_sounds(struct claim_context *ctx, const struct stream *s, struct stretch where,
                        const struct note *n, const struct part *part)
{
    const struct passage *p = s->passage;
    struct str pitch = say_pitch(ctx, n->pitch);
    bool held = ratio_lt(n->onset, where.onset);
    struct str at = say_place(ctx, p, held ? where.onset : n->onset);
    struct str until = say_place(ctx, p, note_end(n));
    claim_place(ctx, n->where, "`%.*s` sounds here", STR_ARG(part->symbol.name));
    if (held)
        claim_fails(ctx, "`%.*s` still holds %.*s at %.*s, up to %.*s", STR_ARG(part->symbol.name),
                    STR_ARG(pitch), STR_ARG(at), STR_ARG(until));
    else
        claim_fails(ctx, "`%.*s` plays %.*s at %.*s", STR_ARG(part->symbol.name), STR_ARG(pitch),
                    STR_ARG(at));
    struct str bars = silent_bars(ctx, s, where);
    if (bars.n)
        claim_instead(ctx, "%.*s %s silent in %.*s", STR_ARG(s->words), tell_is(ctx, s), STR_ARG(bars));
}

static void hold_silent(struct claim_context *ctx, const struct stream *s, struct stretch where)
{
    const struct passage *p = s->passage;
    struct str bars = stretch_words(ctx, p, where);
    const struct part *part = stream_part(s);
    if (part) {
        claim_holds(ctx, "%.*s: no note of `%.*s`, and every bar is transcribed", STR_ARG(bars),
                    STR_ARG(part->symbol.name));
        return;
    }
    struct str *names = ARENA_NEW_ARRAY(ctx->arena, struct str, p->n_parts);
    for (uint32_t i = 0; i < p->n_parts; i++)
        names[i] = p->parts[i]->symbol.name;
    struct str list = tell_list(ctx, names, p->n_parts);
    claim_holds(ctx, "%.*s: no note of %.*s, and every bar is transcribed", STR_ARG(bars), STR_ARG(list));
}

static void check_stream(struct claim_context *ctx, const struct match *m)
{
    const struct stream *s = &m->stream[0];
    struct stretch where;
    if (!s->passage) {
        claim_undecided(ctx, "%.*s belongs to no passage: where it is silent nothing says",
                        STR_ARG(s->words));
        return;
    }
    if (s->kind == STREAM_FIGURE || s->kind == STREAM_HARMONY) {
        claim_undecided(ctx, "a %s is not somebody who can be silent: name the passage or a part",
                        s->kind == STREAM_FIGURE ? "figure" : "harmony");
        return;
    }
    if (!match_stretch(ctx, m, s, &where))
        return;
    take_passage(ctx, s->passage);
    const struct part *part = NULL;
    const struct note *n = first_sound(ctx, s, where, &part);
    struct gap gap;
    if (n) {
        fail_sounds(ctx, s, where, n, part);
    } else if (s->passage->n_parts == 0) {
        claim_undecided(ctx, "`%.*s` has no part: write the parts with their rests",
                        STR_ARG(s->passage->symbol.name));
    } else if (passage_gap(s->passage, stream_part(s), where, &gap)) {
        claim_undecided(ctx, "%.*s, so silence is not proved: write `rest` there if nothing sounds",
                        STR_ARG(gap_words(ctx, &gap)));
    } else {
        hold_silent(ctx, s, where);
    }
}

/* ---- on a clock ------------------------------------------------------------------------------------- */

/* A stretch of a recording's clock, in seconds. */
struct clock_span {
    const struct recording *recording;
    struct ratio from, to;
};

static struct str clock_words(struct claim_context *ctx, const struct clock_span *c)
{
    struct str from = recording_text(ctx->arena, c->recording, c->from);
    struct str to = recording_text(ctx->arena, c->recording, c->to);
    return say_text(ctx, "%.*s to %.*s", STR_ARG(from), STR_ARG(to));
}

static const struct heard *passage_heard(const struct passage *p, const struct recording *r, uint32_t from)
{
    for (uint32_t i = from; i < p->n_heard; i++)
        if (p->heard[i].recording == r)
            return &p->heard[i];
    return NULL;
}

/* A note of the passage that the clock shows within the span. */
static const struct note *note_on_clock(struct claim_context *ctx, const struct passage *p,
                                        const struct heard *h, const struct clock_span *c,
                                        const struct part **whose, struct ratio *at)
{
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        for (uint32_t k = 0; k < part->n_notes; k++) {
            const struct note *n = &part->notes[k];
            struct ratio from, to;
            if (!passage_clock(p, h, n->onset, &from) || !passage_clock(p, h, note_end(n), &to))
                continue;
            if (!ratio_lt(from, c->to) || !ratio_lt(c->from, to) || !take_note(ctx, p, n))
                continue;
            *whose = part;
            *at = ratio_lt(from, c->from) ? c->from : from;
            return n;
        }
    }
    return NULL;
}

/* Is every bar that the clock shows within the span known? *why tells what is not. */
static bool known_on_clock(struct claim_context *ctx, const struct passage *p, const struct heard *h,
                           const struct clock_span *c, struct str *why)
{
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        struct stretch inside = {.onset = bar->onset, .end = ratio_plus(bar->onset, bar->length)};
        struct ratio from, to;
        struct gap gap;
        if (!passage_clock(p, h, inside.onset, &from) || !passage_clock(p, h, inside.end, &to)) {
            *why =
                say_text(ctx, "`%.*s` is heard there, but has no tempo, so its bars have no times",
                         STR_ARG(p->symbol.name));
            return false;
        }
        if (ratio_lt(from, c->to) && ratio_lt(c->from, to) && passage_gap(p, NULL, inside, &gap)) {
            *why = gap_words(ctx, &gap);
            return false;
        }
    }
    return p->n_bars > 0;
}

/* How far from `at` passages of the recording speak for the clock without a gap; *why tells why one that is
 * heard there does not. */
static struct ratio covered_to(struct claim_context *ctx, const struct clock_span *c, struct ratio at,
                               struct str *why)
{
    const struct model *model = ctx->model;
    struct ratio to = at;
    for (uint32_t i = 0; i < model->n_passages; i++) {
        const struct passage *p = model->passages[i];
        for (uint32_t k = 0; k < p->n_heard; k++) {
            const struct heard *h = &p->heard[k];
            struct clock_span part = {c->recording, at, ratio_lt(h->to, c->to) ? h->to : c->to};
            if (h->recording != c->recording || ratio_lt(at, h->from) || !ratio_lt(to, part.to))
                continue;
            if (known_on_clock(ctx, p, h, &part, why))
                to = part.to;
        }
    }
    return to;
}

/* True after a verdict: a note of some passage sounds there. */
static bool fail_on_clock(struct claim_context *ctx, const struct clock_span *c)
{
    for (uint32_t i = 0; i < ctx->model->n_passages; i++) {
        const struct passage *p = ctx->model->passages[i];
        for (const struct heard *h = passage_heard(p, c->recording, 0); h;
             h = passage_heard(p, c->recording, (uint32_t)(h - p->heard) + 1)) {
            const struct part *part;
            struct ratio at;
            const struct note *n = note_on_clock(ctx, p, h, c, &part, &at);
            if (!n)
                continue;
            struct str pitch = say_pitch(ctx, n->pitch);
            struct str place = say_place(ctx, p, n->onset);
            claim_place(ctx, n->where, "`%.*s` sounds here", STR_ARG(part->symbol.name));
            claim_fails(ctx, "`%.*s` sounds %.*s at %.*s (%.*s of `%.*s`)", STR_ARG(part->symbol.name),
                        STR_ARG(pitch), STR_ARG(recording_text(ctx->arena, c->recording, at)), STR_ARG(place),
                        STR_ARG(p->symbol.name));
            return true;
        }
    }
    return false;
}

/* The passages that speak for the clock: "`lamp` and `beam`". */
static struct str heard_words(struct claim_context *ctx, const struct clock_span *c)
{
    const struct model *m = ctx->model;
    struct str *names = ARENA_NEW_ARRAY(ctx->arena, struct str, m->n_passages);
    uint32_t n = 0;
    for (uint32_t i = 0; i < m->n_passages; i++) {
        const struct heard *h = passage_heard(m->passages[i], c->recording, 0);
        if (h && ratio_lt(h->from, c->to) && ratio_lt(c->from, h->to))
            names[n++] = say_text(ctx, "`%.*s`", STR_ARG(m->passages[i]->symbol.name));
    }
    return tell_list(ctx, names, n);
}

static void check_clock(struct claim_context *ctx, const struct match *m)
{
    struct clock_span c = {m->recording[0], m->time[0], m->time[1]};
    if (!ratio_lt(c.from, c.to)) {
        claim_undecided(ctx, "%.*s is no stretch of time: the later time comes second",
                        STR_ARG(clock_words(ctx, &c)));
        return;
    }
    if (fail_on_clock(ctx, &c))
        return;
    struct str why = STR("");
    struct ratio at = c.from;
    while (ratio_lt(at, c.to)) {
        why = STR("");
        struct ratio to = covered_to(ctx, &c, at, &why);
        if (!ratio_lt(at, to))
            break;
        at = to;
    }
    if (!ratio_lt(at, c.to)) {
        claim_holds(ctx, "%.*s: %.*s, heard there, is transcribed, and no part has a note",
                    STR_ARG(clock_words(ctx, &c)), STR_ARG(heard_words(ctx, &c)));
        return;
    }
    struct str from = recording_text(ctx->arena, c.recording, at);
    if (why.n)
        claim_undecided(ctx, "from %.*s on nothing is proved: %.*s", STR_ARG(from), STR_ARG(why));
    else
        claim_undecided(ctx, "no passage is heard in `%.*s` from %.*s on: write one with its rests",
                        STR_ARG(c.recording->symbol.name), STR_ARG(from));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    switch ((enum pattern)pattern) {
    case SILENT:
    case RESTS:
    case NOTHING:
        check_stream(ctx, m);
        return;
    case NO_MUSIC:
    case NO_MUSIC_ON:
    case RECORDING_SILENT:
        check_clock(ctx, m);
        return;
    }
}

const struct claim_kind claim_kind_silence = {
    .name = "silence",
    .patterns = patterns,
    .meaning = "no note sounds in the stretch, and the stretch is transcribed",
    .page = claim_page_silence,
    .check = check,
    .fails = DIAG_FAILS_silence,
};
