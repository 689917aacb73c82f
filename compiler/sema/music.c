/* Passages: bars, meters, tempos, keys, and the rows of their parts. */
#include "sema/rows.h"

#include "base/array.h"
#include "parse.h"

#include <stdio.h>

/* A passage longer than this is refused: positions stay small, and a slip of the pen is no memory fault. */
enum { BARS_MAX = 20000 };

/* ---- bars ------------------------------------------------------------------------------------------ */

struct meter_change {
    int bar;
    struct meter meter;
    struct span where;
};

struct bar_map {
    struct sema *s;
    struct passage *p;
    struct meter_change *changes; /* in order of bar */
    uint32_t n_changes;
    int first, last;  /* bars: the smallest number, and the largest that any row begins with */
    int reached;      /* the last bar that a row fills; first - 1: none yet */
    bool last_full;   /* something fills the last bar to its meter */
    bool meter_lost;  /* a meter could not be read: bars cannot be counted */
};

static struct meter meter_at(const struct bar_map *m, int bar)
{
    struct meter meter = {{4}, 1, 4};
    for (uint32_t i = 0; i < m->n_changes && m->changes[i].bar <= bar; i++)
        meter = m->changes[i].meter;
    return meter;
}

/* Makes bars up to a number. */
static void bars_reach(struct bar_map *m, int number)
{
    struct passage *p = m->p;
    while (p->n_bars == 0 || p->bars[p->n_bars - 1].number < number) {
        struct bar b = {.number = p->n_bars ? p->bars[p->n_bars - 1].number + 1 : m->first,
                        .onset = p->length};
        b.meter = meter_at(m, b.number);
        b.length = b.number == 0 && p->pickup.num ? p->pickup : meter_length(b.meter);
        p->length = ratio_plus(p->length, b.length);
        ARRAY_PUSH(m->s->arena, p->bars, p->n_bars, b);
    }
}

struct bar *row_bar(struct row_reader *r, int number)
{
    bars_reach(r->map, number);
    return &r->passage->bars[number - r->passage->bars[0].number];
}

/* ---- events of a row ---------------------------------------------------------------------------------- */

/* In the units of the meter where they divide it: half a bar of 6/8 is 3/8, and four eighths of it are
 * 4/8. */
static const char *wholes_text(struct ratio r, struct meter meter, char *out)
{
    if (r.den >= meter.unit || meter.unit % r.den != 0)
        return ratio_text(r, true, out);
    snprintf(out, RATIO_TEXT_MAX, "%lld/%d", (long long)(r.num * (meter.unit / r.den)), meter.unit);
    return out;
}

static void bar_fault(struct row_reader *r, enum diag_code code, const struct bar *b, struct span where,
                      struct ratio held)
{
    struct diag_list *diags = r->s->diags;
    char text[RATIO_TEXT_MAX], by[RATIO_TEXT_MAX];
    struct ratio off =
        ratio_lt(held, b->length) ? ratio_minus(b->length, held) : ratio_minus(held, b->length);
    wholes_text(held, b->meter, text);
    wholes_text(off, b->meter, by);
    struct diag *d;
    if (b->number == 0 && r->passage->pickup.num) {
        char pickup[RATIO_TEXT_MAX];
        d = diag_add(diags, code, where, "the pickup holds %s and is said to be %s", text,
                     wholes_text(r->passage->pickup, b->meter, pickup));
    } else if (!ratio_eq(b->length, meter_length(b->meter))) {
        char other[RATIO_TEXT_MAX];
        d = diag_add(diags, code, where,
                     "bar %d holds %s, and %s in another part, which leaves out the pickup's beats",
                     b->number, text, wholes_text(b->length, b->meter, other));
    } else {
        char meter[METER_TEXT_MAX];
        d = diag_add(diags, code, where, "bar %d holds %s, its meter is %s", b->number, text,
                     meter_text(b->meter, meter));
    }
    diag_label(diags, d, code == DIAG_BAR_TOO_SHORT ? "%s is missing" : "%s too much", by);
    diag_note(diags, d, "bar %d is taken as %s", b->number,
              code == DIAG_BAR_TOO_SHORT ? "not heard to its end" : "ending at its bar line");
    r->spoiled = true;
}

/* The last bar may lack what the pickup holds: the two make one bar (common practice in chorales and
 * songs). It is short from then on. */
static bool closes_pickup(struct row_reader *r, struct bar *b, struct ratio held)
{
    struct passage *p = r->passage;
    struct bar_map *m = r->map;
    if (!p->pickup.num || b->number < m->last || b != &p->bars[p->n_bars - 1] || m->last_full ||
        !ratio_eq(ratio_plus(held, p->pickup), meter_length(b->meter)))
        return false;
    b->length = held;
    p->length = ratio_plus(b->onset, held);
    return true;
}

/* The row goes on with another bar. */
static void bar_next(struct row_reader *r, int number)
{
    r->bar = number;
    if (r->map->reached < number - 1)
        r->map->reached = number - 1;
}

/* A bar line, or the end of the row: the events since the last one fill whole bars. */
static void bar_line(struct row_reader *r, bool last, struct span where)
{
    struct bar *b = row_bar(r, r->bar);
    struct ratio end = ratio_plus(b->onset, b->length);
    where = r->events.hi ? r->events : where;
    r->events = (struct span){0, 0, 0};
    if (r->spoiled || r->map->meter_lost) { /* what cannot be read cannot be counted */
        r->at = end;
        bar_next(r, r->bar + 1);
        return;
    }
    int over = ratio_cmp(r->at, end);
    if (over == 0) {
        r->map->last_full = r->map->last_full ||
                            (b->number == r->map->last && ratio_eq(b->length, meter_length(b->meter)));
        bar_next(r, r->bar + 1);
        return;
    }
    if (over < 0 && last && closes_pickup(r, b, ratio_minus(r->at, b->onset))) {
        bar_next(r, r->bar + 1);
        return;
    }
    if (over > 0 && last) { /* without bar lines a row may span bars, if it ends at one and nothing else is
                               written there */
        int next = r->bar + 1;
        struct ratio to = end;
        while (ratio_lt(to, r->at) && next != r->next_row && next - r->bar < BARS_MAX) {
            b = row_bar(r, next++);
            to = ratio_plus(b->onset, b->length);
        }
        if (ratio_eq(to, r->at)) {
            bar_next(r, next);
            return;
        }
        b = row_bar(r, r->bar);
    }
    struct ratio held = ratio_minus(r->at, b->onset);
    bar_fault(r, over < 0 ? DIAG_BAR_TOO_SHORT : DIAG_BAR_TOO_LONG, b, where, held);
    if (r->fault)
        r->fault(r, ratio_plus(b->onset, b->length));
    r->at = ratio_plus(b->onset, b->length);
    bar_next(r, r->bar + 1);
    r->event_open = false;
    r->event_lost = true;
}

static bool take_value(struct row_reader *r, const struct node *n)
{
    struct ratio v;
    r->value_given = value_note(r->s, n, &v);
    r->value_lost = false;
    if (r->value_given)
        r->value = v;
    else
        r->spoiled = true;
    return r->value_given;
}

static bool has_value(struct row_reader *r, const struct node *n)
{
    if (r->value_given)
        return true;
    if (!r->spoiled && !r->value_lost) {
        struct diag *d = diag_add(r->s->diags, DIAG_NO_VALUE, n->where, "no note value stands before `%.*s`",
                                  STR_ARG(source_text(r->s->sources, n->where)));
        diag_help(r->s->diags, d, "write one, as in `%s`; it stays until another is written",
                  r->part ? "1/4 C4 D4" : "1/2 Cm F7");
    }
    r->spoiled = true;
    return false;
}

static void rest_of_bar_open(struct row_reader *r, const struct node *n)
{
    value_hole(r->s, n);
    struct bar *b = row_bar(r, r->bar);
    struct ratio end = ratio_plus(b->onset, b->length);
    if (r->open && ratio_lt(r->at, end))
        r->open(r, ratio_minus(end, r->at), n->where);
    r->at = ratio_lt(r->at, end) ? end : r->at;
    r->event_open = false;
}

void row_nothing_before(struct row_reader *r, const struct node *n)
{
    if (r->spoiled || r->event_lost)
        return;
    const char *what = r->part ? "note" : "chord symbol";
    bool hold = n->word == TOK_HOLD;
    struct diag *d = diag_add(r->s->diags, DIAG_NOTHING_TO_HOLD, n->where, "`%s` has no %s before it",
                              hold ? "hold" : "uncertain", what);
    if (hold)
        diag_help(r->s->diags, d,
                  "it makes the %s before it longer; write the %s that begins here, or `rest`", what, what);
    else
        diag_help(r->s->diags, d, "it stands behind the %s it is about: `%s uncertain`", what,
                  r->part ? "Bb3" : "Cm7");
}

static void row_word(struct row_reader *r, const struct node *n)
{
    switch (n->word) {
    case TOK_PIPE:
        bar_line(r, false, n->where);
        return;
    case TOK_UNCERTAIN:
        if (r->event_open)
            r->uncertain(r);
        else
            row_nothing_before(r, n);
        return;
    case TOK_HOLD:
        if (!has_value(r, n))
            return;
        if (r->event_open)
            r->hold(r);
        else
            row_nothing_before(r, n);
        break;
    case TOK_REST:
        if (!has_value(r, n))
            return;
        r->rest(r, n);
        r->event_open = false;
        break;
    }
    r->at = ratio_plus(r->at, r->value);
}

/* Where a row's own position is: at the onset of its bar; events continue over a bar line that was just
 * reached. */
static void row_begin(struct row_reader *r, int bar)
{
    struct bar *b = row_bar(r, bar);
    if (!ratio_eq(r->at, b->onset))
        r->event_open = false;
    r->at = b->onset;
    r->bar = bar;
}

/* Something of the row, and so of the passage, could not be read. */
static void row_spoils(struct row_reader *r)
{
    spoil(r->s, r->passage->symbol.name);
    r->passage->notes_unread = r->passage->notes_unread || r->part;
}

static bool row_number(struct row_reader *r, const struct node *row, int *bar)
{
    int64_t number;
    if (!value_int(r->s, row->first, 0, 100000000, &number))
        return false;
    if (number - r->map->first >= BARS_MAX) {
        diag_add(r->s->diags, DIAG_BAR_UNKNOWN, row->first->where,
                 "bar %lld lies more than %d bars after the first, bar %d", (long long)number, BARS_MAX,
                 r->map->first);
        return false;
    }
    *bar = (int)number;
    return true;
}

/* Number of the next row's bar, or -1. */
static int next_row_bar(const struct node *row)
{
    for (const struct node *n = row->next; n; n = n->next) {
        struct ratio number;
        if (n->kind == NODE_ROW && ratio_parse(n->first->text.p, n->first->text.n, &number) &&
            number.den == 1 && number.num < BARS_MAX * 100)
            return (int)number.num;
    }
    return -1;
}

static void event_taken(struct row_reader *r)
{
    r->event_open = true;
    r->event_lost = false;
}

static void row_out_of_order(struct row_reader *r, const struct node *row, int bar)
{
    struct diag *d =
        diag_add(r->s->diags, DIAG_BAR_TWICE, row->first->where,
                 bar >= r->last_bar ? "bar %d is written already" : "bar %d stands after a later bar", bar);
    struct span before = r->last_row->first->where;
    if (bar > r->last_bar)
        diag_place(r->s->diags, d, before, "the row that begins here goes on to bar %d", r->bar - 1);
    else
        diag_place(r->s->diags, d, before, bar == r->last_bar ? "it begins here" : "the row before");
    diag_note(r->s->diags, d, "this row is left out");
}

static void row_read(struct row_reader *r, const struct node *row)
{
    int bar;
    if (!row_number(r, row, &bar)) {
        r->spoiled = true;
        row_spoils(r);
        return;
    }
    if (r->last_row && bar < r->bar) {
        row_out_of_order(r, row, bar);
        r->spoiled = true;
        row_spoils(r);
        return;
    }
    r->last_row = row;
    r->last_bar = bar;
    r->next_row = next_row_bar(row);
    bool before = r->spoiled;
    uint32_t symbols = r->passage->n_harmony;
    r->spoiled = false;
    row_begin(r, bar);
    r->events = (struct span){0, 0, 0};
    struct ratio from = r->at;
    for (const struct node *n = row->first->next; n; n = n->next) {
        if (!(n->kind == NODE_EVENT && n->word == TOK_PIPE))
            r->events = r->events.hi ? span_join(r->events, n->where) : n->where;
        if (n->kind == NODE_VALUE)
            take_value(r, n);
        else if (n->kind == NODE_EVENT)
            row_word(r, n);
        else if (n->kind == NODE_OPEN)
            rest_of_bar_open(r, n);
        else if (r->event(r, n))
            event_taken(r);
        if (ratio_cmp(ratio_minus(r->at, from), ratio_int(BARS_MAX)) > 0)
            break;
    }
    if (r->spoiled)
        bar_next(r, r->bar + 1); /* whatever it was meant to hold, it is written */
    else if (r->events.hi) /* after a closing `|` there is nothing left to fill */
        bar_line(r, true, (struct span){row->where.file, row->where.lo, row->first->where.hi});
    if (r->spoiled)
        row_spoils(r);
    for (; r->spoiled && symbols < r->passage->n_harmony; symbols++)
        r->passage->harmony[symbols].unread = true;
    r->spoiled = r->spoiled || before;
}

void rows_read(struct row_reader *r, const struct node *list)
{
    for (const struct node *n = list->first; n; n = n->next) {
        if (n->kind == NODE_ROW)
            row_read(r, n);
        if (n->kind != NODE_ERROR)
            continue;
        row_spoils(r);
        r->value_given = false;
        r->value_lost = r->event_lost = true;
    }
}

bool row_advance(struct row_reader *r, const struct node *n)
{
    if (!has_value(r, n))
        return false;
    r->event_at = r->at;
    r->at = ratio_plus(r->at, r->value);
    return true;
}

/* ---- what a passage says of itself
 * ---------------------------------------------------------------------- */

static void heard_read(struct sema *s, struct passage *p, const struct node *f)
{
    const struct recording *r =
        (const struct recording *)(const void *)name_resolve(s, THING_RECORDING, f->first);
    const struct node *range = f->first->next;
    if (value_hole(s, range) || !r || is_spoiled(s, r->symbol.name))
        return;
    struct heard h = {.recording = r, .where = f->where};
    const struct frame_rate *rate = r->has_frames ? &r->rate : NULL;
    if (value_time(s, range->first, rate, &h.from) && value_time(s, range->last, rate, &h.to))
        ARRAY_PUSH(s->arena, p->heard, p->n_heard, h);
}

static void basis_read(struct sema *s, struct passage *p, const struct node *f)
{
    p->has_basis = true;
    const struct node *name = f->first->next;
    switch (f->first->word) {
    case TOK_EAR: p->basis = BASIS_EAR; return;
    case TOK_REDUCTION: p->basis = BASIS_REDUCTION; return;
    case TOK_GUESS: p->basis = BASIS_GUESS; return;
    }
    p->basis = BASIS_SCORE;
    p->score = (const struct score *)(const void *)name_resolve(s, THING_SCORE, name);
    if (name->next)
        p->score_bars = source_text(s->sources, name->next->where);
}

static bool meter_read(struct sema *s, const struct node *f, struct meter *out)
{
    const struct node *v = f->first;
    if (meter_parse(v->text, out))
        return true;
    struct diag *d = diag_add(s->diags, DIAG_BAD_METER, v->where, "`%.*s` is not a meter", STR_ARG(v->text));
    diag_help(s->diags, d, "meters are written 3/4, 6/8 or 3+2/8; the lower number is 1, 2, 4 … 128");
    return false;
}

static void meter_change(struct sema *s, struct bar_map *m, int bar, const struct node *f)
{
    struct meter_change c = {.bar = bar, .where = f->where};
    if (!meter_read(s, f, &c.meter)) {
        m->meter_lost = true;
        return;
    }
    uint32_t i = m->n_changes;
    ARRAY_PUSH(s->arena, m->changes, m->n_changes, c);
    for (; i > 0 && m->changes[i - 1].bar > bar; i--)
        m->changes[i] = m->changes[i - 1];
    m->changes[i] = c;
}

static void tempo_change(struct sema *s, struct passage *p, struct ratio at, const struct node *f)
{
    struct tempo_change c = {.at = at};
    if (value_hole(s, f->first) || !value_note(s, f->first, &c.beat) ||
        !value_ratio(s, f->first->next, &c.bpm))
        return;
    if (ratio_lt(c.bpm, ratio_int(4)) || ratio_lt(ratio_int(1000), c.bpm)) {
        const struct node *bpm = f->first->next;
        diag_add(s->diags, DIAG_BAD_NUMBER, bpm->where,
                 "`%.*s` is no tempo: from 4 to 1000 beats a minute can be written", STR_ARG(bpm->text));
        return;
    }
    uint32_t i = p->n_tempos;
    ARRAY_PUSH(s->arena, p->tempos, p->n_tempos, c);
    for (; i > 0 && ratio_lt(at, p->tempos[i - 1].at); i--)
        p->tempos[i] = p->tempos[i - 1];
    p->tempos[i] = c;
}

static void key_change(struct sema *s, struct passage *p, struct ratio at, const struct node *f)
{
    if (value_hole(s, f->first))
        return;
    struct key_change c = {.at = at, .where = f->where};
    const struct node *mode = f->first->next;
    c.key.minor = str_is(mode->text, "minor");
    if (!tone_parse(f->first->text, &c.key.tonic) || !(c.key.minor || str_is(mode->text, "major"))) {
        struct span where = span_join(f->first->where, mode->where);
        struct diag *d = diag_add(s->diags, DIAG_BAD_KEY, where,
                                  "`%.*s` is not a key: a key is a tonic and `major` or `minor`",
                                  STR_ARG(source_text(s->sources, where)));
        diag_help(s->diags, d,
                  "write `key Eb minor`; for modes and collections make a claim: `… lies in D dorian`");
        spoil(s, p->symbol.name); /* numerals and tonal claims would be about another key */
        s->keyless = p;
        return;
    }
    uint32_t i = p->n_keys;
    ARRAY_PUSH(s->arena, p->keys, p->n_keys, c);
    for (; i > 0 && ratio_lt(at, p->keys[i - 1].at); i--)
        p->keys[i] = p->keys[i - 1];
    p->keys[i] = c;
}

/* The smallest and the largest bar number that any row begins with; the first is 0 with a pickup. */
static void find_ends(struct bar_map *m, const struct node *list)
{
    enum { BAR_MAX = 100000000 };
    int64_t first = INT64_MAX, last = 0;
    for (const struct node *n = list->first; n; n = n->next) {
        const struct node *rows =
            n->kind == NODE_STATEMENT && (n->word == TOK_PART || n->word == TOK_HARMONY) ? n->last : NULL;
        for (const struct node *row = rows ? rows->first : NULL; row; row = row->next) {
            struct ratio number;
            if (row->kind != NODE_ROW || !ratio_parse(row->first->text.p, row->first->text.n, &number) ||
                number.den != 1 || number.num > BAR_MAX)
                continue;
            first = number.num < first ? number.num : first;
            last = number.num > last ? number.num : last;
        }
    }
    m->last = (int)last;
    m->first = m->p->pickup.num ? 0 : first == INT64_MAX ? 1 : (int)first;
}

/* What holds for the whole passage is said once; `from bar 5: meter 3/4` says what changes. */
static void passage_once(struct sema *s, const struct node *list)
{
    static const struct {
        int word;
        const char *text;
    } once[] = {{TOK_METER, "meter"}, {TOK_TEMPO, "tempo"},   {TOK_KEY, "key"},
                {TOK_BASIS, "basis"}, {TOK_PICKUP, "pickup"}, {TOK_HARMONY, "harmony"}};
    for (size_t i = 0; i < sizeof once / sizeof *once; i++) {
        const struct node *first = NULL;
        for (const struct node *f = list->first; f; f = f->next) {
            if ((f->kind != NODE_FIELD && f->kind != NODE_STATEMENT) || f->word != once[i].word)
                continue;
            if (first) {
                struct span word = {f->where.file, f->where.lo, f->where.lo + (uint32_t)strlen(once[i].text)};
                struct diag *d =
                    diag_add(s->diags, DIAG_BAD_FIELD, word, "`%s` is given twice", once[i].text);
                diag_place(s->diags, d,
                           (struct span){first->where.file, first->where.lo,
                                         first->where.lo + (uint32_t)strlen(once[i].text)},
                           "given first here");
                if (i < 3)
                    diag_help(s->diags, d, "where it changes, write `from bar 5: %s …`", once[i].text);
            }
            first = first ? first : f;
        }
    }
}

static void passage_fields(struct sema *s, struct passage *p, struct bar_map *m, const struct node *list)
{
    for (const struct node *f = list->first; f; f = f->next) {
        if (f->kind == NODE_OPEN)
            value_hole(s, f);
        if (f->kind != NODE_FIELD)
            continue;
        switch (f->word) {
        case TOK_HEARD: heard_read(s, p, f); break;
        case TOK_BASIS: basis_read(s, p, f); break;
        case TOK_METER:
            if (node_field(list, TOK_METER) == f)
                meter_change(s, m, -1, f);
            break;
        case TOK_PICKUP: value_note(s, f->first, &p->pickup); break;
        }
    }
    for (const struct node *c = list->first; c; c = c->next) {
        int64_t bar;
        if (c->kind == NODE_CHANGE && c->last->word == TOK_METER &&
            value_int(s, c->first, 0, 100000000, &bar))
            meter_change(s, m, (int)bar, c->last);
    }
}

/* Tempo and key once bars have places. */
static void passage_changes(struct sema *s, struct passage *p, struct bar_map *m, const struct node *list)
{
    for (const struct node *c = list->first; c; c = c->next) {
        struct ratio at = RATIO_ZERO;
        const struct node *f = c;
        if (c->kind == NODE_CHANGE) {
            int64_t bar;
            f = c->last;
            if (f->word == TOK_METER || !value_int(s, c->first, 0, 100000000, &bar))
                continue;
            if (bar < m->first || bar - m->first >= BARS_MAX) {
                diag_add(s->diags, DIAG_BAR_UNKNOWN, c->first->where,
                         "bar %.*s does not exist: `%.*s` begins at bar %d", STR_ARG(c->first->text),
                         STR_ARG(p->symbol.name), m->first);
                continue;
            }
            bars_reach(m, (int)bar);
            at = p->bars[bar - m->first].onset;
        }
        if (f->kind != NODE_FIELD ||
            (f == c && node_field(list, f->word) != f)) /* given twice: the first one counts */
            continue;
        if (f->word == TOK_TEMPO)
            tempo_change(s, p, at, f);
        else if (f->word == TOK_KEY)
            key_change(s, p, at, f);
    }
    if (p->n_tempos &&
        p->tempos[0].at.num) /* the map begins at 0; the first tempo given holds before it too */
        p->tempos[0].at = RATIO_ZERO;
}

/* Bars that a stretch touches, from bar *from on, are written. Stretches come in order, so *from only moves on. */
static void mark_stretch(struct passage *p, struct ratio onset, struct ratio length, uint32_t *from)
{
    struct ratio end = ratio_plus(onset, length);
    while (*from < p->n_bars && ratio_cmp_sum(p->bars[*from].onset, p->bars[*from].length, onset) <= 0)
        ++*from;
    for (uint32_t i = *from; i < p->n_bars && ratio_lt(p->bars[i].onset, end); i++)
        p->bars[i].transcribed = true;
}

static void mark_transcribed(struct passage *p)
{
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        uint32_t sounds = 0, rests = 0;
        for (uint32_t k = 0; k < part->n_stacks; k++)
            mark_stretch(p, part->stacks[k].onset, part->stacks[k].length, &sounds);
        for (uint32_t k = 0; k < part->n_extents; k++)
            if (part->extents[k].kind == EXTENT_REST)
                mark_stretch(p, part->extents[k].onset, part->extents[k].length, &rests);
    }
}

/* A line that could not be read and may have given the length of bars: a meter, a pickup, or one of them
 * without its word, which then goes on from the line before. */
static bool is_meter_lost(const struct node *list)
{
    static const int others[] = {TOK_PART, TOK_HARMONY, TOK_FIGURE};
    for (const struct node *n = list->first; n; n = n->next) {
        bool other = n->kind != NODE_ERROR;
        for (size_t i = 0; i < sizeof others / sizeof *others; i++)
            other = other || n->word == others[i];
        if (!other)
            return true;
    }
    return false;
}

/* The passage ends with its last row, whatever is said of later bars. */
static void passage_end(struct sema *s, struct passage *p, const struct bar_map *m, const struct node *list)
{
    for (const struct node *c = list->first; c; c = c->next) {
        struct ratio bar;
        if (c->kind != NODE_CHANGE || !ratio_parse(c->first->text.p, c->first->text.n, &bar) ||
            bar.num <= m->reached || m->reached < m->first || is_spoiled(s, p->symbol.name))
            continue;
        struct diag *d = diag_add(s->diags, DIAG_BAR_UNKNOWN, c->first->where,
                                  "bar %.*s does not exist: `%.*s` ends with bar %d", STR_ARG(c->first->text),
                                  STR_ARG(p->symbol.name), m->reached);
        diag_help(s->diags, d, "write its bars in a part or in `harmony`, or take the change out");
    }
    if (m->reached < m->first || !p->n_bars)
        return;
    uint32_t n = (uint32_t)(m->reached - m->first) + 1;
    if (n < p->n_bars)
        p->n_bars = n;
    p->length = ratio_plus(p->bars[p->n_bars - 1].onset, p->bars[p->n_bars - 1].length);
}

void music_build(struct sema *s, const struct node *statement, struct passage *p)
{
    const struct node *name = statement->first, *work = name->next, *list = work->next;
    p->work = (const struct work *)(const void *)name_resolve(s, THING_WORK, work);
    p->pickup = p->length = RATIO_ZERO;
    struct bar_map map = {.s = s, .p = p, .meter_lost = is_meter_lost(list)};
    passage_once(s, list);
    passage_fields(s, p, &map, list);
    if (map.meter_lost)
        spoil(s, name->text);
    p->notes_unread = map.meter_lost;
    find_ends(&map, list);
    map.reached = map.first - 1;
    passage_changes(s, p, &map, list);
    for (const struct node *n = list->first; n; n = n->next) {
        if (n->kind == NODE_ERROR) {
            spoil(s, name->text);
            p->notes_unread = p->notes_unread || n->word != TOK_HARMONY;
            s->keyless = p; /* it may have been the key */
        }
        if (n->kind != NODE_STATEMENT)
            continue;
        if (n->word == TOK_PART)
            part_build(s, &map, p, n);
        else if (n->word == TOK_HARMONY && !p->n_harmony)
            harmony_rows(s, &map, p, n->first);
    }
    if (p->n_bars && !map.n_changes && !map.meter_lost) {
        struct diag *d = diag_add(s->diags, DIAG_NO_METER, name->where, "the passage `%.*s` has no meter",
                                  STR_ARG(name->text));
        diag_note(s->diags, d, "its bars are taken as 4/4");
        diag_help(s->diags, d, "write `meter 4/4`, or the meter it has, in the passage");
    }
    passage_end(s, p, &map, list);
    mark_transcribed(p);
    for (const struct node *n = list->first; n; n = n->next)
        if (n->kind == NODE_STATEMENT && n->word == TOK_FIGURE)
            figure_build(s, n, p);
}
