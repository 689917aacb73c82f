#include "claims/clocks.h"
#include "claims/pages.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

#include <inttypes.h>

#define RUNS "runs|goes|moves|plays"
#define CLOCK "[in|on RECORDING]"
#define MARK "tempo|speed|pace"

enum pattern {
    AT_VALUE,
    TEMPO_IS,
    HAS_TEMPO,
    AT_VALUES,
    AT_BEATS,
    TEMPO_BEATS,
    AT_BPM,
    TIMES_FAST,
    HALF_FAST,
    AT_TIMES,
    AS_FAST,
    SAME_TEMPO,
    FASTER
};

static const char *const patterns[] = {
    [AT_VALUE] = "PASSAGE " RUNS " at [tempo of] VALUE =|equals COUNT " CLOCK,
    [TEMPO_IS] = "tempo of PASSAGE is VALUE =|equals COUNT " CLOCK,
    [HAS_TEMPO] = "PASSAGE has tempo [of] VALUE =|equals COUNT " CLOCK,
    [AT_VALUES] = "PASSAGE " RUNS " at COUNT VALUE [per|every] minute " CLOCK,
    [AT_BEATS] = "PASSAGE " RUNS " at LENGTH [per|every] minute " CLOCK,
    [TEMPO_BEATS] = "tempo of PASSAGE is LENGTH [per|every] minute " CLOCK,
    [AT_BPM] = "PASSAGE " RUNS " at COUNT bpm " CLOCK,
    [TIMES_FAST] = "PASSAGE is|runs|goes|moves COUNT [times] as fast as PASSAGE " CLOCK,
    [HALF_FAST] = "PASSAGE is|runs|goes|moves half as fast as PASSAGE " CLOCK,
    [AT_TIMES] = "PASSAGE " RUNS " at <half|twice|double> " MARK " of PASSAGE " CLOCK,
    [AS_FAST] = "PASSAGE is|runs|goes|moves as fast as PASSAGE " CLOCK,
    [SAME_TEMPO] = "PASSAGE and PASSAGE run|go|move|play|are at same " MARK " " CLOCK,
    [FASTER] = "PASSAGE is|runs|goes|moves <faster|slower> than PASSAGE " CLOCK,
    NULL,
};

/* ---- one tempo, measured one way ------------------------------------------------------------- */

/* A stretch in which no tempo mark changes. */
struct section {
    struct stretch where;
    const struct tempo_change *mark; /* in force; NULL: the passage states no tempo */
};

/* How fast a section runs by one clock, or by its mark. */
struct pace {
    const struct section *section;
    const struct heard *heard; /* NULL: by the mark */
    struct ratio wholes, seconds;
    struct ratio tolerance; /* seconds; 0 by the mark */
};

enum { SECTIONS_MAX = 16, CLOCKS_MAX = 16 };

struct sections {
    struct section items[SECTIONS_MAX];
    uint32_t n;
    bool changes; /* two neighbours differ */
    bool cut;     /* more than there is room for */
};

static const struct tempo_change *mark_at(const struct passage *p, struct ratio at)
{
    const struct tempo_change *found = NULL;
    for (uint32_t i = 0; i < p->n_tempos && ratio_le(p->tempos[i].at, at); i++)
        found = &p->tempos[i];
    return found;
}

static bool marks_same(const struct tempo_change *a, const struct tempo_change *b)
{
    struct ratio x, y;
    return ratio_mul(a->beat, a->bpm, &x) && ratio_mul(b->beat, b->bpm, &y) && ratio_eq(x, y);
}

static void sections_read(const struct passage *p, struct stretch where, struct sections *out)
{
    *out = (struct sections){.n = 1};
    out->items[0] = (struct section){where, mark_at(p, where.onset)};
    for (uint32_t i = 0; i < p->n_tempos; i++) {
        const struct tempo_change *c = &p->tempos[i];
        struct section *last = &out->items[out->n - 1];
        if (!ratio_lt(where.onset, c->at) || !ratio_lt(c->at, where.end) || marks_same(last->mark, c))
            continue;
        out->changes = true;
        if (out->n == SECTIONS_MAX) {
            out->cut = true;
            return;
        }
        last->where.end = c->at;
        out->items[out->n++] = (struct section){{.onset = c->at, .end = where.end}, c};
    }
}

/* How long a section takes; false where nothing tells it. */
static bool pace_read(const struct claim_context *ctx, const struct passage *p, const struct section *s,
                      const struct heard *heard, struct pace *out)
{
    struct ratio from, to;
    *out = (struct pace){.section = s, .heard = heard, .tolerance = RATIO_ZERO};
    if (!ratio_sub(s->where.end, s->where.onset, &out->wholes) || out->wholes.num <= 0)
        return false;
    if (!heard)
        return s->mark && passage_seconds(p, s->where, &out->seconds) && out->seconds.num > 0;
    out->tolerance = clock_tolerance(ctx, heard->recording);
    return clock_at(p, heard, s->where.onset, &from) && clock_at(p, heard, s->where.end, &to) &&
           ratio_sub(to, from, &out->seconds) && out->seconds.num > 0;
}

/* So many of a note value a minute; `seconds` may be longer or shorter than measured. */
static bool per_minute(struct ratio wholes, struct ratio value, struct ratio seconds, struct ratio *out)
{
    return seconds.num > 0 && ratio_div(wholes, value, out) && ratio_mul(*out, ratio_int(60), out) &&
           ratio_div(*out, seconds, out);
}

/* ---- against a number ------------------------------------------------------------------------ */

/* What the sentence says: so many of a value a minute, to so many decimals. */
struct mark_asked {
    bool beats; /* the value is the beat of each section's mark */
    struct ratio value, number;
    int decimals;
};

enum fit { FIT_YES, FIT_NO, FIT_OPEN };

struct reading_of_pace {
    struct pace pace;
    struct ratio value, measured; /* of the value, a minute */
    enum fit fit;
    bool rounded;
};

/* 6/8, 9/8, 12/8: the beat is three units. Source: Hutchinson, Basics of Rhythm, Meter. */
static bool is_compound(struct meter m)
{
    if (m.n_groups == 1)
        return m.groups[0] > 3 && m.groups[0] % 3 == 0;
    for (int i = 0; i < m.n_groups; i++)
        if (m.groups[i] != 3)
            return false;
    return true;
}

/* The note value that a beat is there: the tempo mark's, else the meter's unit, which in a compound meter is
 * no beat. */
static bool beat_value(const struct passage *p, const struct section *s, struct ratio *out)
{
    const struct bar *bar = passage_bar_at(p, s->where.onset);
    if (s->mark) {
        *out = s->mark->beat;
        return true;
    }
    if (!bar || is_compound(bar->meter))
        return false;
    *out = (struct ratio){1, bar->meter.unit};
    return true;
}

static struct ratio rounded(struct ratio v, int decimals)
{
    int64_t scale = 1;
    struct ratio scaled;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    if (!ratio_mul(v, ratio_int(scale), &scaled) || !ratio_make(ratio_round(scaled), scale, &scaled))
        return v;
    return scaled;
}

/* A mark is exact. A clock decides where the tempo it measures rounds to the number asked; where it does not,
 * but the length at that tempo is right within the tolerance, the clock is too coarse to tell. */
static enum fit fit_of(const struct reading_of_pace *r, const struct mark_asked *asked)
{
    struct ratio slow, fast, longer, shorter;
    if (ratio_eq(r->measured, asked->number))
        return FIT_YES;
    if (!r->pace.heard)
        return FIT_NO;
    if (ratio_eq(rounded(r->measured, asked->decimals), asked->number))
        return FIT_YES;
    bool bounds = ratio_add(r->pace.seconds, r->pace.tolerance, &longer) &&
                  ratio_sub(r->pace.seconds, r->pace.tolerance, &shorter) &&
                  per_minute(r->pace.wholes, r->value, longer, &slow) &&
                  per_minute(r->pace.wholes, r->value, shorter, &fast);
    return !bounds || (ratio_le(slow, asked->number) && ratio_le(asked->number, fast)) ? FIT_OPEN : FIT_NO;
}

static struct str fraction_words(struct claim_context *ctx, struct ratio value)
{
    char text[RATIO_TEXT_MAX];
    return say_text(ctx, "%s", ratio_text(value, true, text));
}

/* "1/4 = 79.82, rounded 80" */
static struct str mark_words(struct claim_context *ctx, const struct reading_of_pace *r, int decimals)
{
    bool exact, as_asked;
    struct str number = decimal_words(ctx, r->measured, 2, &exact);
    struct str words = say_text(ctx, "%.*s = %.*s", STR_ARG(fraction_words(ctx, r->value)), STR_ARG(number));
    struct str whole = decimal_words(ctx, rounded(r->measured, decimals), 2, &as_asked);
    if (!r->rounded || str_eq(number, whole))
        return words;
    return say_text(ctx, "%.*s, rounded %.*s", STR_ARG(words), STR_ARG(whole));
}

/* "by its tempo: 1/4 = 80", "in `picture`, 24 of 1/4 in 18 s: 1/4 = 80". */
static struct str reading_words(struct claim_context *ctx, const struct reading_of_pace *r, int decimals)
{
    struct ratio count, right;
    if (ctx->mute)
        return STR("");
    struct str mark = mark_words(ctx, r, decimals);
    if (!r->pace.heard)
        return say_text(ctx, "by its tempo: %.*s", STR_ARG(mark));
    const struct recording *rec = r->pace.heard->recording;
    if (!ratio_div(r->pace.wholes, r->value, &count))
        return mark;
    bool exact;
    struct str n = decimal_words(ctx, count, 2, &exact);
    struct str seconds = clock_seconds_words(ctx, r->pace.seconds);
    struct str words = say_text(ctx, "in `%.*s` %.*s times %.*s in %.*s: %.*s%s", STR_ARG(rec->symbol.name),
                                STR_ARG(n), STR_ARG(fraction_words(ctx, r->value)), STR_ARG(seconds),
                                STR_ARG(mark), r->pace.section->mark ? "" : " on average");
    if (ratio_eq(rec->speed, RATIO_ONE) || !ratio_div(r->measured, rec->speed, &right))
        return words;
    char speed[RATIO_TEXT_MAX];
    return say_text(ctx, "%.*s (it runs %s as fast as recorded: at its own speed %.*s)", STR_ARG(words),
                    ratio_text(rec->speed, false, speed), STR_ARG(decimal_words(ctx, right, 2, &exact)));
}

/* All ways in which a passage's tempo can be read, section by section. */
struct readings {
    struct reading_of_pace *items;
    uint32_t n;
    bool clocks;  /* a recording is among them */
    bool no_beat; /* beats were asked where the meter gives none */
};

static void readings_add(struct claim_context *ctx, const struct passage *p, const struct section *s,
                         const struct heard *heard, const struct mark_asked *asked, struct readings *all)
{
    struct reading_of_pace r = {.value = asked->value, .rounded = heard != NULL};
    if (!pace_read(ctx, p, s, heard, &r.pace))
        return;
    if (asked->beats && !beat_value(p, s, &r.value)) {
        all->no_beat = true;
        return;
    }
    if (!per_minute(r.pace.wholes, r.value, r.pace.seconds, &r.measured))
        return;
    r.fit = fit_of(&r, asked);
    all->clocks = all->clocks || heard;
    all->items[all->n++] = r;
}

static void readings_read(struct claim_context *ctx, const struct passage *p, const struct recording *only,
                          const struct sections *sections, const struct mark_asked *asked,
                          struct readings *all)
{
    *all = (struct readings){
        .items = ARENA_NEW_ARRAY(ctx->arena, struct reading_of_pace, (p->n_heard + 1) * sections->n)};
    for (uint32_t i = 0; i < sections->n; i++) {
        if (!only)
            readings_add(ctx, p, &sections->items[i], NULL, asked, all);
        for (uint32_t k = 0; k < p->n_heard; k++)
            if (!only || p->heard[k].recording == only)
                readings_add(ctx, p, &sections->items[i], &p->heard[k], asked, all);
    }
}

/* "bar 1 to bar 4" where a section begins and ends at bar lines; else empty. */
static struct str section_span(struct claim_context *ctx, const struct passage *p, const struct section *s)
{
    const struct bar *first = passage_bar_at(p, s->where.onset), *last = first;
    if (!first || !ratio_eq(first->onset, s->where.onset))
        return STR("");
    while (last + 1 < p->bars + p->n_bars && ratio_lt(last[1].onset, s->where.end))
        last++;
    if (!ratio_eq(ratio_plus(last->onset, last->length), s->where.end))
        return STR("");
    if (first == last)
        return say_text(ctx, ", bar %d", first->number);
    return say_text(ctx, ", bar %d to bar %d", first->number, last->number);
}

/* The number to put into a true sentence: what a clock measures, rounded to a whole; a mark must be whole. */
static bool true_mark(const struct reading_of_pace *r, struct ratio *value, int64_t *number)
{
    const struct tempo_change *mark = r->pace.section->mark;
    *value = r->value;
    *number = ratio_round(r->measured);
    if (r->pace.heard || r->measured.den == 1)
        return *number > 0;
    *value = mark->beat;
    *number = mark->bpm.num;
    return mark->bpm.den == 1;
}

/* A true sentence from one reading: the tempo of its section. */
static void suggest_mark(struct claim_context *ctx, const struct match *m, const struct sections *sections,
                         const struct reading_of_pace *r)
{
    struct ratio value;
    int64_t number;
    struct str span =
        sections->n > 1 ? section_span(ctx, m->stream[0].passage, r->pace.section) : tell_span(ctx, m);
    if ((sections->n > 1 && !span.n) || !true_mark(r, &value, &number))
        return;
    const struct recording *only = m->n_recordings ? m->recording[0] : NULL;
    claim_instead(ctx, "%.*s runs at %.*s = %" PRId64 "%s%.*s%.*s", STR_ARG(m->stream[0].words),
                  STR_ARG(fraction_words(ctx, value)), number, only ? " in " : "",
                  STR_ARG(only ? only->symbol.name : STR("")), STR_ARG(span));
}

/* Do all clocks put the same whole number on a section? Only then is a sentence without a recording true. */
static bool agree(const struct readings *all, const struct reading_of_pace *one)
{
    for (uint32_t i = 0; i < all->n; i++) {
        const struct reading_of_pace *r = &all->items[i];
        if (r->pace.section == one->pace.section &&
            (!ratio_eq(r->value, one->value) || ratio_round(r->measured) != ratio_round(one->measured)))
            return false;
    }
    return true;
}

/* A sentence that fails in one section may hold in another. */
static void suggest_tempo(struct claim_context *ctx, const struct match *m, const struct sections *sections,
                          const struct readings *all)
{
    const struct reading_of_pace *best = NULL;
    for (uint32_t i = 0; i < all->n; i++) {
        const struct reading_of_pace *r = &all->items[i];
        if (agree(all, r) && (!best || (best->fit != FIT_YES && r->fit == FIT_YES)))
            best = r;
    }
    if (best)
        suggest_mark(ctx, m, sections, best);
}

/* Each way to read the tempo, the bars before it where the tempo changes. */
static struct str readings_words(struct claim_context *ctx, const struct passage *p,
                                 const struct sections *sections, const struct readings *all, int decimals)
{
    struct buf b = {0};
    const struct section *last = NULL;
    for (uint32_t i = 0; i < all->n && !ctx->mute; i++) {
        const struct section *s = all->items[i].pace.section;
        if (i)
            buf_put(&b, "; ");
        if (sections->n > 1 && s != last)
            buf_printf(&b, "%.*s ", STR_ARG(bars_words(ctx, p, s->where)));
        last = s;
        buf_str_put(&b, reading_words(ctx, &all->items[i], decimals));
    }
    return buf_take(&b, ctx->arena);
}

static void no_tempo(struct claim_context *ctx, const struct match *m, const struct passage *p)
{
    struct str name = p->symbol.name;
    const struct recording *only = m->n_recordings ? m->recording[0] : NULL;
    bool heard = false;
    for (uint32_t i = 0; i < p->n_heard; i++)
        heard = heard || !only || p->heard[i].recording == only;
    if (only && !heard)
        claim_undecided(ctx, "`%.*s` is not heard in `%.*s` by this file: add `heard in %.*s … to …` to it",
                        STR_ARG(name), STR_ARG(only->symbol.name), STR_ARG(only->symbol.name));
    else if (heard && p->n_bars)
        claim_undecided(ctx,
                        "`%.*s` states no tempo, so only its whole length can be measured: leave out the "
                        "bars, or add `tempo`",
                        STR_ARG(name));
    else
        claim_undecided(ctx,
                        "`%.*s` has neither a tempo nor bars with a `heard in`, so nothing tells its tempo",
                        STR_ARG(name));
}

/* What all clocks together mean for a section. */
enum outcome { OUTCOME_HOLDS, OUTCOME_FAILS, OUTCOME_DISAGREE, OUTCOME_COARSE, OUTCOMES };

static enum outcome section_outcome(const struct readings *all, const struct section *s)
{
    uint32_t n[] = {[FIT_YES] = 0, [FIT_NO] = 0, [FIT_OPEN] = 0};
    for (uint32_t i = 0; i < all->n; i++)
        if (all->items[i].pace.section == s)
            n[all->items[i].fit]++;
    if (n[FIT_NO])
        return n[FIT_YES] + n[FIT_OPEN] ? OUTCOME_DISAGREE : OUTCOME_FAILS;
    return n[FIT_YES] ? OUTCOME_HOLDS : OUTCOME_COARSE;
}

static void decide_mark(struct claim_context *ctx, const struct match *m, const struct sections *sections,
                        const struct mark_asked *asked, const struct readings *all)
{
    struct str words = readings_words(ctx, m->stream[0].passage, sections, all, asked->decimals);
    uint32_t n[OUTCOMES] = {0};
    bool exact;
    struct str number = decimal_words(ctx, asked->number, 2, &exact);
    for (uint32_t i = 0; i < sections->n; i++)
        n[section_outcome(all, &sections->items[i])]++;
    if (n[OUTCOME_FAILS]) {
        claim_fails(ctx, "%.*s, not %.*s", STR_ARG(words), STR_ARG(number));
        suggest_tempo(ctx, m, sections, all);
    } else if (n[OUTCOME_DISAGREE]) {
        claim_undecided(
            ctx, "the clocks disagree: %.*s; end the sentence with `in` and the recording that is meant",
            STR_ARG(words));
    } else if (n[OUTCOME_COARSE]) {
        struct str tolerance =
            clock_tolerance_words(ctx, clock_tolerance_is_frame(ctx), clock_tolerance(ctx, NULL));
        claim_undecided(ctx, "%.*s; within %.*s the clock does not tell this from %.*s: measure more bars",
                        STR_ARG(words), STR_ARG(tolerance), STR_ARG(number));
    } else {
        claim_holds(ctx, "%.*s", STR_ARG(words));
    }
}

static void check_mark(struct claim_context *ctx, const struct match *m, struct mark_asked asked)
{
    const struct passage *p = m->stream[0].passage;
    struct stretch where;
    struct sections sections;
    struct readings all;
    if (!match_stretch(ctx, m, &m->stream[0], &where))
        return;
    take_passage(ctx, p);
    if (asked.number.num <= 0 || asked.value.num <= 0) {
        claim_undecided(ctx, "nothing runs at no beats a minute");
        return;
    }
    sections_read(p, where, &sections);
    if (sections.cut) {
        claim_undecided(ctx, "the tempo changes more than %d times there: name fewer bars", SECTIONS_MAX - 1);
        return;
    }
    readings_read(ctx, p, m->n_recordings ? m->recording[0] : NULL, &sections, &asked, &all);
    if (all.clocks)
        claim_convention(ctx, CONVENTION_TIME_TOLERANCE);
    if (all.no_beat)
        claim_undecided(
            ctx,
            "`%.*s` states no tempo, and its meter is compound, so a beat may be one of two values: "
            "name the value, as in `at 1/8 = 180`",
            STR_ARG(p->symbol.name));
    else if (all.n == 0)
        no_tempo(ctx, m, p);
    else
        decide_mark(ctx, m, &sections, &asked, &all);
}

/* 80: to the whole; 92.5: to a tenth; other fractions exactly to hundredths. */
static int decimals_of(struct ratio number)
{
    return number.den == 1 ? 0 : 10 % number.den == 0 ? 1 : 2;
}

static void check_length(struct claim_context *ctx, const struct match *m)
{
    const struct length_ref *l = &m->length[0];
    struct mark_asked asked = {.value = {1, 4}, .number = l->amount};
    bool fits = true;
    switch (l->unit) {
    case LENGTH_BEATS:
        asked.beats = true;
        break;
    case LENGTH_WHOLES: /* `92.5 quarter notes` */
        fits = ratio_div(l->amount, asked.value, &asked.number);
        break;
    case LENGTH_BARS:
    case LENGTH_SECONDS:
    case LENGTH_FRAMES:
        fits = false;
        break;
    }
    if (!fits) {
        claim_undecided(ctx,
                        "a tempo is given in beats or note values a minute, as in `1/4 = 80`, not in %.*s",
                        STR_ARG(l->words));
        return;
    }
    asked.decimals = decimals_of(asked.number);
    check_mark(ctx, m, asked);
}

/* ---- against another passage ----------------------------------------------------------------- */

/* Both passages by one clock, or by their marks: how many times as fast the first is. */
struct contest {
    struct pace a, b;
    struct ratio times, least, most; /* the last two within the tolerance */
};

static bool speed_times(const struct pace *a, struct ratio a_seconds, const struct pace *b,
                        struct ratio b_seconds, struct ratio *out)
{
    struct ratio x, y;
    return a_seconds.num > 0 && b_seconds.num > 0 && ratio_mul(a->wholes, b_seconds, &x) &&
           ratio_mul(b->wholes, a_seconds, &y) && ratio_div(x, y, out);
}

static bool contest_read(struct contest *c)
{
    struct ratio a_long, a_short, b_long, b_short;
    const struct pace *a = &c->a, *b = &c->b;
    return ratio_add(a->seconds, a->tolerance, &a_long) && ratio_sub(a->seconds, a->tolerance, &a_short) &&
           ratio_add(b->seconds, b->tolerance, &b_long) && ratio_sub(b->seconds, b->tolerance, &b_short) &&
           speed_times(a, a->seconds, b, b->seconds, &c->times) &&
           speed_times(a, a_long, b, b_short, &c->least) && speed_times(a, a_short, b, b_long, &c->most);
}

struct contests {
    struct contest items[CLOCKS_MAX];
    uint32_t n;
};

static void contests_add(const struct claim_context *ctx, const struct match *m, const struct section *a,
                         const struct section *b, const struct heard *a_heard, const struct heard *b_heard,
                         struct contests *all)
{
    struct contest c;
    if (all->n < CLOCKS_MAX && pace_read(ctx, m->stream[0].passage, a, a_heard, &c.a) &&
        pace_read(ctx, m->stream[1].passage, b, b_heard, &c.b) && contest_read(&c))
        all->items[all->n++] = c;
}

static void contests_read(const struct claim_context *ctx, const struct match *m, const struct section *a,
                          const struct section *b, struct contests *all)
{
    const struct recording *only = m->n_recordings ? m->recording[0] : NULL;
    const struct passage *p = m->stream[0].passage, *q = m->stream[1].passage;
    all->n = 0;
    if (!only)
        contests_add(ctx, m, a, b, NULL, NULL, all);
    for (uint32_t i = 0; i < p->n_heard; i++)
        for (uint32_t k = 0; k < q->n_heard; k++)
            if (p->heard[i].recording == q->heard[k].recording && (!only || p->heard[i].recording == only))
                contests_add(ctx, m, a, b, &p->heard[i], &q->heard[k], all);
}

/* "in `album` 1/4 = 119.7 against 60: 2 times as fast" */
static struct str contest_words(struct claim_context *ctx, const struct contest *c)
{
    static const struct ratio quarter = {1, 4};
    struct ratio a, b;
    bool exact;
    if (ctx->mute || !per_minute(c->a.wholes, quarter, c->a.seconds, &a) ||
        !per_minute(c->b.wholes, quarter, c->b.seconds, &b))
        return STR("");
    struct str where = c->a.heard ? say_text(ctx, "in `%.*s` ", STR_ARG(c->a.heard->recording->symbol.name))
                                  : STR("by their tempos ");
    struct str x = decimal_words(ctx, a, 2, &exact), y = decimal_words(ctx, b, 2, &exact);
    struct str times = decimal_words(ctx, c->times, 3, &exact);
    return say_text(ctx, "%.*s1/4 = %.*s against 1/4 = %.*s: %s%.*s times as fast", STR_ARG(where),
                    STR_ARG(x), STR_ARG(y), exact ? "" : "about ", STR_ARG(times));
}

static struct str contests_words(struct claim_context *ctx, const struct contests *all)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < all->n && !ctx->mute; i++)
        buf_printf(&b, "%s%.*s", i ? "; " : "", STR_ARG(contest_words(ctx, &all->items[i])));
    return buf_take(&b, ctx->arena);
}

/* What the sentence says of the first passage against the second. */
struct contest_asked {
    int order; /* 1 faster, -1 slower, 0: `times` as fast */
    struct ratio times;
};

static enum fit contest_fit(const struct contest *c, const struct contest_asked *asked)
{
    if (asked->order == 0)
        return ratio_le(c->least, asked->times) && ratio_le(asked->times, c->most) ? FIT_YES : FIT_NO;
    if (ratio_lt(RATIO_ONE, c->least))
        return asked->order > 0 ? FIT_YES : FIT_NO;
    if (ratio_lt(c->most, RATIO_ONE))
        return asked->order < 0 ? FIT_YES : FIT_NO;
    return ratio_eq(c->least, c->most) ? FIT_NO : FIT_OPEN;
}

/* A sentence that every clock proves: a plain multiple, or the order. */
static void suggest_contest(struct claim_context *ctx, const struct match *m, const struct contests *all)
{
    static const struct {
        struct contest_asked asked;
        const char *words;
    } near[] = {{{0, {1, 1}}, "as fast as"},
                {{0, {2, 1}}, "twice as fast as"},
                {{0, {1, 2}}, "half as fast as"},
                {{0, {3, 1}}, "three times as fast as"},
                {{0, {4, 1}}, "four times as fast as"},
                {{1, {0, 1}}, "faster than"},
                {{-1, {0, 1}}, "slower than"}};
    for (size_t i = 0; i < sizeof near / sizeof near[0]; i++) {
        bool all_fit = true;
        for (uint32_t k = 0; k < all->n; k++)
            all_fit = all_fit && contest_fit(&all->items[k], &near[i].asked) == FIT_YES;
        if (!all_fit)
            continue;
        const struct recording *only = m->n_recordings ? m->recording[0] : NULL;
        claim_instead(ctx, "%.*s is %s %.*s%s%.*s%.*s", STR_ARG(m->stream[0].words), near[i].words,
                      STR_ARG(m->stream[1].words), only ? " in " : "",
                      STR_ARG(only ? only->symbol.name : STR("")), STR_ARG(tell_span(ctx, m)));
        return;
    }
}

static void decide_contest(struct claim_context *ctx, const struct match *m,
                           const struct contest_asked *asked, const struct contests *all)
{
    uint32_t n[3] = {0};
    for (uint32_t i = 0; i < all->n; i++)
        n[contest_fit(&all->items[i], asked)]++;
    struct str words = contests_words(ctx, all);
    if (n[FIT_YES] == all->n) {
        claim_holds(ctx, "%.*s", STR_ARG(words));
    } else if (n[FIT_NO] == all->n) {
        claim_fails(ctx, "%.*s", STR_ARG(words));
        suggest_contest(ctx, m, all);
    } else if (n[FIT_NO]) {
        claim_undecided(
            ctx, "the clocks disagree: %.*s; end the sentence with `in` and the recording that is meant",
            STR_ARG(words));
    } else {
        claim_undecided(ctx, "%.*s: less than the clock can tell", STR_ARG(words));
    }
}

/* The one tempo of a passage; false after an undecided verdict. */
static bool steady(struct claim_context *ctx, const struct match *m, int index, struct sections *out)
{
    struct match whole = *m;
    struct stretch where;
    whole.span.given = m->span.given && index == 0; /* the sentence's bars are the first passage's */
    if (!match_stretch(ctx, &whole, &m->stream[index], &where))
        return false;
    take_passage(ctx, m->stream[index].passage);
    sections_read(m->stream[index].passage, where, out);
    if (!out->changes)
        return true;
    claim_undecided(ctx, "`%.*s` changes its tempo, so it is not one speed that could be compared%s",
                    STR_ARG(m->stream[index].passage->symbol.name),
                    index == 0 ? ": name bars of one tempo" : "");
    return false;
}

static void check_contest(struct claim_context *ctx, const struct match *m, struct contest_asked asked)
{
    struct sections a, b;
    struct contests all;
    if (m->stream[0].passage == m->stream[1].passage) {
        claim_undecided(ctx, "%.*s is compared with itself: name two passages", STR_ARG(m->stream[0].words));
        return;
    }
    if (!steady(ctx, m, 0, &a) || !steady(ctx, m, 1, &b))
        return;
    contests_read(ctx, m, &a.items[0], &b.items[0], &all);
    if (all.n == 0) {
        claim_undecided(
            ctx, "nothing measures both: state a `tempo` in each, or one recording in which both are heard");
        return;
    }
    for (uint32_t i = 0; i < all.n; i++)
        if (all.items[i].a.heard)
            claim_convention(ctx, CONVENTION_TIME_TOLERANCE);
    decide_contest(ctx, m, &asked, &all);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    static const struct ratio shares[] = {{1, 2}, {2, 1}, {2, 1}};
    struct mark_asked asked = {.number = ratio_int(m->n_counts ? m->count[0] : 0), .value = RATIO_ONE};
    if (m->n_values)
        asked.value = m->value[0];
    switch ((enum pattern)pattern) {
    case AT_VALUE:
    case TEMPO_IS:
    case HAS_TEMPO:
    case AT_VALUES:
        check_mark(ctx, m, asked);
        return;
    case AT_BPM:
        asked.beats = true;
        check_mark(ctx, m, asked);
        return;
    case AT_BEATS:
    case TEMPO_BEATS:
        check_length(ctx, m);
        return;
    case TIMES_FAST:
        check_contest(ctx, m, (struct contest_asked){0, asked.number});
        return;
    case HALF_FAST:
        check_contest(ctx, m, (struct contest_asked){0, shares[0]});
        return;
    case AT_TIMES:
        check_contest(ctx, m, (struct contest_asked){0, shares[m->choice[0]]});
        return;
    case AS_FAST:
    case SAME_TEMPO:
        check_contest(ctx, m, (struct contest_asked){0, RATIO_ONE});
        return;
    case FASTER:
        check_contest(ctx, m, (struct contest_asked){m->choice[0] == 0 ? 1 : -1, RATIO_ZERO});
        return;
    }
}

const struct claim_kind claim_kind_tempo = {
    .name = "tempo",
    .patterns = patterns,
    .meaning =
        "how fast a passage runs, by its tempo mark and by the clock of each recording, and how two passages "
        "compare",
    .page = claim_page_tempo,
    .check = check,
    .fails = DIAG_FAILS_tempo,
};
