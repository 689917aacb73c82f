#include "claims/clocks.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

enum pattern { LASTS, LASTS_IN, LASTS_WITHIN, LASTS_IN_WITHIN, LONG, AS_LONG, TIMES_LONG };

static const char *const patterns[] = {
    [LASTS] = "STREAM lasts|takes [exactly] LENGTH",
    [LASTS_IN] = "STREAM lasts|takes [exactly] LENGTH in|on RECORDING",
    [LASTS_WITHIN] = "STREAM lasts|takes [about] LENGTH within LENGTH",
    [LASTS_IN_WITHIN] = "STREAM lasts|takes [about] LENGTH in|on RECORDING within LENGTH",
    [LONG] = "STREAM is LENGTH long",
    [AS_LONG] = "STREAM lasts as long as STREAM",
    [TIMES_LONG] = "STREAM lasts|is <half|twice|three times|four times> as long as STREAM",
    NULL,
};

/* ---- what a stream covers --------------------------------------------------------------------------------
 */

/* From where to where a stream goes on: a passage from its first bar line to its last, or through the
 * sentence's SPAN; a figure or part from its first attack to the end of its last note. */
struct extent_of {
    const struct passage *passage; /* NULL: a figure of a library */
    struct ratio onset, end;
    bool sounding; /* measured from note to note */
    struct str words;
};

static bool covers_bars(const struct stream *s)
{
    return s->kind == STREAM_ALL || s->kind == STREAM_HARMONY || s->kind == STREAM_OUTER ||
           s->kind == STREAM_BASS || s->kind == STREAM_TOP;
}

static bool extent_read(struct claim_context *ctx, const struct match *m, int index, struct extent_of *out)
{
    const struct stream *s = &m->stream[index];
    struct stretch where;
    struct line notes;
    if (!match_stretch(ctx, m, s, &where))
        return false;
    *out = (struct extent_of){s->passage, where.onset, where.end, !covers_bars(s), s->words};
    if (covers_bars(s)) {
        take_passage(ctx, s->passage);
        return true;
    }
    if (!stream_notes(ctx, s, where, &notes))
        return false;
    out->onset = notes.notes[0]->onset;
    out->end = note_end(notes.notes[0]);
    for (uint32_t i = 1; i < notes.n; i++)
        if (ratio_lt(out->end, note_end(notes.notes[i])))
            out->end = note_end(notes.notes[i]);
    return true;
}

static struct ratio extent_wholes(const struct extent_of *e)
{
    return ratio_minus(e->end, e->onset);
}

/* "bars 1 to 6", "from E4 to its last note": where it was measured. */
static struct str extent_words(struct claim_context *ctx, const struct extent_of *e)
{
    if (!e->passage)
        return STR("first to last note");
    if (e->sounding)
        return say_text(ctx, "from %.*s up to %.*s", STR_ARG(say_place(ctx, e->passage, e->onset)),
                        STR_ARG(say_place(ctx, e->passage, e->end)));
    return stretch_words(ctx, e->passage, (struct stretch){.onset = e->onset, .end = e->end});
}

/* ---- in music
 * ------------------------------------------------------------------------------------------------ */

/* The length in the unit asked; false after a verdict. */
static bool music_length(struct claim_context *ctx, const struct extent_of *e, enum length_unit unit,
                         struct ratio *out)
{
    if (unit == LENGTH_WHOLES) {
        *out = extent_wholes(e);
        return true;
    }
    if (!e->passage) {
        claim_undecided(
            ctx,
            "%.*s is written out without a meter, so it has no beats: give its length in note values, as "
            "in `lasts 3/4`",
            STR_ARG(e->words));
        return false;
    }
    if (e->passage->n_bars == 0) {
        claim_undecided(ctx, "no bar of `%.*s` is written, so its bars are not known",
                        STR_ARG(e->passage->symbol.name));
        return false;
    }
    bool fits = unit == LENGTH_BARS ? passage_bars_between(e->passage, e->onset, e->end, out)
                                    : passage_beats(e->passage, e->onset, e->end, out);
    if (!fits)
        claim_undecided(ctx, "the length is out of range");
    return fits;
}

static struct str music_words(struct claim_context *ctx, enum length_unit unit, struct ratio r)
{
    if (unit == LENGTH_BARS)
        return amount_words(ctx, r, "bar", "bars");
    if (unit == LENGTH_BEATS)
        return amount_words(ctx, r, "beat", "beats");
    return value_words(ctx, r);
}

/* Bars "of 4/4", beats "in 4/4" or "in changing meters", and what a pickup adds. */
static struct str meter_words(struct claim_context *ctx, const struct extent_of *e, enum length_unit unit)
{
    char text[METER_TEXT_MAX], value[RATIO_TEXT_MAX];
    const struct meter *meter = NULL;
    bool changes = false;
    for (uint32_t i = 0; e->passage && i < e->passage->n_bars; i++) {
        const struct bar *bar = &e->passage->bars[i];
        if (!ratio_lt(bar->onset, e->end) || !ratio_lt(e->onset, ratio_plus(bar->onset, bar->length)))
            continue;
        changes = changes || (meter && !meter_eq(*meter, bar->meter));
        meter = &bar->meter;
    }
    if (!meter)
        return STR("");
    bool pickup = !e->sounding && e->passage->pickup.num > 0 && ratio_lt(e->onset, e->passage->pickup);
    const char *how = !pickup ? "" : unit == LENGTH_BARS ? ", after a pickup of " : ", with the pickup of ";
    return str_printf(ctx->arena, " %s %s%s%s", unit == LENGTH_BARS ? "of" : "in",
                      changes ? "changing meters" : meter_text(*meter, text), how,
                      pickup ? ratio_text(e->passage->pickup, true, value) : "");
}

static void check_music(struct claim_context *ctx, const struct match *m, const struct extent_of *e)
{
    const struct length_ref *want = &m->length[0];
    struct ratio is;
    if (!music_length(ctx, e, want->unit, &is))
        return;
    struct str words = music_words(ctx, want->unit, is);
    struct str meter = want->unit == LENGTH_WHOLES ? STR("") : meter_words(ctx, e, want->unit);
    struct str where = extent_words(ctx, e);
    if (ratio_eq(is, want->amount)) {
        claim_holds(ctx, "%.*s: %.*s%.*s", STR_ARG(where), STR_ARG(words), STR_ARG(meter));
        return;
    }
    claim_fails(ctx, "%.*s: %.*s%.*s, not %.*s", STR_ARG(where), STR_ARG(words), STR_ARG(meter),
                STR_ARG(want->words));
    claim_instead(ctx, "%.*s lasts %.*s%.*s", STR_ARG(e->words), STR_ARG(words), STR_ARG(tell_span(ctx, m)));
}

/* ---- in time
 * -------------------------------------------------------------------------------------------------- */

/* One way to measure: a recording's clock, or the tempo. */
struct measure {
    struct ratio seconds;
    struct ratio tolerance;
    const struct recording *recording; /* NULL: the tempo */
    struct ratio from, to;             /* what the clock shows */
    bool fits;
};

enum { MEASURES_MAX = 16 };

struct measures {
    struct measure items[MEASURES_MAX];
    uint32_t n, fits;
};

/* Adds a measure with its verdict; false where numbers run out of range or a tolerance is no time. */
static bool measure_add(const struct claim_context *ctx, const struct match *m, struct measures *all,
                        struct measure one)
{
    struct ratio want, off;
    if (all->n == MEASURES_MAX)
        return true;
    one.tolerance = clock_tolerance(ctx, one.recording);
    if (m->n_lengths > 1 && !clock_length(ctx, &m->length[1], one.recording, &one.tolerance))
        return false;
    if (!clock_length(ctx, &m->length[0], one.recording, &want) || !ratio_sub(one.seconds, want, &off))
        return false;
    if (off.num < 0)
        off.num = -off.num;
    one.fits = ratio_le(off, one.tolerance);
    all->fits += one.fits;
    all->items[all->n++] = one;
    return true;
}

static bool measures_read(const struct claim_context *ctx, const struct match *m, const struct extent_of *e,
                          const struct recording *only, struct measures *all)
{
    const struct passage *p = e->passage;
    for (uint32_t i = 0; i < p->n_heard; i++) {
        struct measure one = {.recording = p->heard[i].recording};
        if (only && one.recording != only)
            continue;
        if (!clock_at(p, &p->heard[i], e->onset, &one.from) || !clock_at(p, &p->heard[i], e->end, &one.to) ||
            !ratio_sub(one.to, one.from, &one.seconds))
            continue;
        if (!measure_add(ctx, m, all, one))
            return false;
    }
    struct measure by_tempo = {0};
    struct stretch where = {.onset = e->onset, .end = e->end};
    if (only || p->n_bars == 0 || !passage_seconds(p, where, &by_tempo.seconds))
        return true;
    return measure_add(ctx, m, all, by_tempo);
}

/* Seconds, and frames where the sentence counts frames. */
static struct str measured_words(struct claim_context *ctx, const struct measure *one, enum length_unit unit)
{
    struct str seconds = clock_seconds_words(ctx, one->seconds);
    struct ratio frames;
    if (unit != LENGTH_FRAMES || !ratio_mul(one->seconds, clock_rate(ctx, one->recording).fps, &frames))
        return seconds;
    return say_text(ctx, "%.*s, %.*s", STR_ARG(amount_words(ctx, frames, "frame", "frames")),
                    STR_ARG(seconds));
}

/* "in picture 01:12:48:00 to 01:13:06:00: 18 s", "by its tempo: 18 s" */
static struct str measure_words(struct claim_context *ctx, const struct measure *one, enum length_unit unit)
{
    struct str seconds = measured_words(ctx, one, unit);
    const struct recording *r = one->recording;
    if (!r)
        return say_text(ctx, "by its tempo: %.*s", STR_ARG(seconds));
    return say_text(ctx, "in `%.*s` %.*s to %.*s: %.*s", STR_ARG(r->symbol.name),
                    STR_ARG(recording_text(ctx->arena, r, one->from)),
                    STR_ARG(recording_text(ctx->arena, r, one->to)), STR_ARG(seconds));
}

static struct str measures_words(struct claim_context *ctx, const struct measures *all, enum length_unit unit)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < all->n; i++)
        buf_printf(&b, "%s%.*s", i ? "; " : "", STR_ARG(measure_words(ctx, &all->items[i], unit)));
    return buf_take(&b, ctx->arena);
}

static void missing_time(struct claim_context *ctx, const struct passage *p, const struct recording *only)
{
    if (only)
        claim_undecided(ctx, "`%.*s` is not heard in `%.*s` by this file: add `heard in %.*s … to …` to it",
                        STR_ARG(p->symbol.name), STR_ARG(only->symbol.name), STR_ARG(only->symbol.name));
    else
        claim_undecided(ctx, "`%.*s` has neither a tempo nor a `heard in`, so nothing tells its time",
                        STR_ARG(p->symbol.name));
}

static void check_time(struct claim_context *ctx, const struct match *m, const struct extent_of *e)
{
    const struct recording *only = m->n_recordings ? m->recording[0] : NULL;
    struct measures all = {.n = 0};
    if (!e->passage) {
        claim_undecided(ctx, "%.*s belongs to no passage, so no clock and no tempo measures it",
                        STR_ARG(e->words));
        return;
    }
    claim_convention(ctx, CONVENTION_TIME_TOLERANCE);
    if (!measures_read(ctx, m, e, only, &all)) {
        claim_undecided(
            ctx, "a clock measures seconds and frames: leave out the recording and the tolerance to count "
                 "bars or beats");
        return;
    }
    if (all.n == 0) {
        missing_time(ctx, e->passage, only);
        return;
    }
    struct str words = measures_words(ctx, &all, m->length[0].unit);
    struct str tolerance =
        clock_tolerance_words(ctx, m->n_lengths < 2 && clock_tolerance_is_frame(ctx), all.items[0].tolerance);
    if (all.fits == all.n) {
        claim_holds(ctx, "%.*s (right within %.*s)", STR_ARG(words), STR_ARG(tolerance));
    } else if (all.fits > 0) {
        claim_undecided(
            ctx, "the clocks disagree: %.*s; end the sentence with `in` and the recording that is meant",
            STR_ARG(words));
    } else {
        claim_fails(ctx, "%.*s, not %.*s (give or take %.*s)", STR_ARG(words), STR_ARG(m->length[0].words),
                    STR_ARG(tolerance));
        struct str true_time = clock_seconds_words(ctx, all.items[0].seconds);
        if (all.n == 1 && !str_starts(true_time, STR("about")))
            claim_instead(ctx, "%.*s lasts %.*s%s%.*s%.*s", STR_ARG(e->words), STR_ARG(true_time),
                          only ? " in " : "", STR_ARG(only ? only->symbol.name : STR("")),
                          STR_ARG(tell_span(ctx, m)));
    }
}

/* ---- against another
 * --------------------------------------------------------------------------------------------- */

static void check_against(struct claim_context *ctx, const struct match *m, struct ratio factor)
{
    struct extent_of a, b;
    struct ratio want, share;
    if (!extent_read(ctx, m, 0, &a) || !extent_read(ctx, m, 1, &b))
        return;
    struct ratio is = extent_wholes(&a), other = extent_wholes(&b);
    if (other.num == 0 || !ratio_mul(other, factor, &want) || !ratio_div(is, other, &share)) {
        claim_undecided(ctx, "the lengths cannot be compared");
        return;
    }
    struct str words = say_text(ctx, "%.*s lasts %.*s, %.*s %.*s", STR_ARG(a.words),
                                STR_ARG(music_words(ctx, LENGTH_WHOLES, is)), STR_ARG(b.words),
                                STR_ARG(music_words(ctx, LENGTH_WHOLES, other)));
    if (ratio_eq(is, want)) {
        claim_holds(ctx, "%.*s", STR_ARG(words));
        return;
    }
    char text[RATIO_TEXT_MAX];
    claim_fails(ctx, "%.*s: %s times as long", STR_ARG(words), ratio_text(share, false, text));
    static const struct {
        struct ratio share;
        const char *words;
    } near[] = {{{1, 1}, "as"},
                {{1, 2}, "half as"},
                {{2, 1}, "twice as"},
                {{3, 1}, "three times as"},
                {{4, 1}, "four times as"}};
    for (size_t i = 0; i < sizeof near / sizeof near[0]; i++)
        if (ratio_eq(share, near[i].share))
            claim_instead(ctx, "%.*s lasts %s long as %.*s", STR_ARG(a.words), near[i].words,
                          STR_ARG(b.words));
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    static const struct ratio factors[] = {{1, 2}, {2, 1}, {3, 1}, {4, 1}};
    struct extent_of e;
    switch ((enum pattern)pattern) {
    case AS_LONG:
        check_against(ctx, m, RATIO_ONE);
        return;
    case TIMES_LONG:
        check_against(ctx, m, factors[m->choice[0]]);
        return;
    case LASTS:
    case LASTS_IN:
    case LASTS_WITHIN:
    case LASTS_IN_WITHIN:
    case LONG:
        break;
    }
    if (!extent_read(ctx, m, 0, &e))
        return;
    bool time = m->length[0].unit == LENGTH_SECONDS || m->length[0].unit == LENGTH_FRAMES;
    if (time || m->n_recordings || m->n_lengths > 1)
        check_time(ctx, m, &e);
    else
        check_music(ctx, m, &e);
}

const struct claim_kind claim_kind_length = {
    .name = "length",
    .patterns = patterns,
    .meaning = "how long a passage, part or figure lasts: exactly in bars, beats or note values, to a "
               "tolerance in time",
    .page = claim_page_length,
    .check = check,
    .fails = DIAG_FAILS_length,
};
