/* The timeline: what happens when in the edit. Times that the file does not give are estimated from speech
 * and tempo. */
#include "sema/sema.h"

#include "base/array.h"
#include "diag/suggest.h"
#include "parse.h"

/* A demo rings out before the next item. Common practice; matches the release of rendered examples. */
static const struct ratio no_time = {0, 1};

static const char *const show_forms[] = {"staff", "motion", "keyboard", "timeline"};

/* ---- names -------------------------------------------------------------------------------------------- */

/* A passage, or a figure where no passage has the name. */
static void item_subject(struct sema *s, struct item *item, const struct node *name)
{
    struct symbol *figure = thing_find(s, THING_FIGURE, name->text);
    if (figure && !thing_find(s, THING_PASSAGE, name->text)) {
        item->figure = (const struct figure *)(const void *)figure;
        return;
    }
    const struct passage *p = (const struct passage *)(const void *)name_resolve(s, THING_PASSAGE, name);
    if (!p)
        return;
    ARRAY_PUSH(s->arena, item->passages, item->n_passages, p);
}

static void item_stretch(struct sema *s, struct item *item, const struct node *places)
{
    const struct passage *p = item->n_passages ? item->passages[0] : NULL;
    item->stretch = (struct stretch){no_time, p ? p->length : no_time, false, item->where};
    if (!places || !p)
        return;
    if (item->n_passages > 1) {
        struct diag *d =
            diag_add(s->diags, DIAG_BAR_UNKNOWN, places->where, "these could be bars of several passages");
        diag_help(s->diags, d, "give each passage a statement of its own");
        return;
    }
    stretch_read(s, p, places, &item->stretch);
}

/* ---- lengths ------------------------------------------------------------------------------------------- */

static struct ratio speech_seconds(const struct sema *s, uint32_t words)
{
    struct ratio minutes, seconds;
    if (ratio_div(ratio_int(words), s->model->profile->speech, &minutes) &&
        ratio_mul(minutes, ratio_int(60), &seconds))
        return seconds;
    return no_time;
}

/* Music without a tempo is rendered at 120 quarter notes a minute (back/midi_song.c). */
enum { SECONDS_A_WHOLE = 2 };

static struct ratio stretch_seconds(const struct passage *p, struct stretch stretch)
{
    struct ratio seconds;
    if (p && passage_seconds(p, stretch, &seconds))
        return seconds;
    bool held = ratio_mul(ratio_minus(stretch.end, stretch.onset), ratio_int(SECONDS_A_WHOLE), &seconds);
    return held ? seconds : no_time;
}

static struct ratio music_seconds(const struct item *item)
{
    struct ratio total = no_time;
    for (uint32_t i = 0; i < item->n_passages; i++) {
        struct stretch whole = {no_time, item->passages[i]->length, false, item->where};
        total = ratio_plus(total,
                           stretch_seconds(item->passages[i], item->n_passages == 1 ? item->stretch : whole));
    }
    return total;
}

static struct ratio figure_seconds(const struct figure *f)
{
    struct stretch of = {f->onset, ratio_plus(f->onset, f->length), true, f->symbol.where};
    return stretch_seconds(f->passage, of);
}

static const struct heard *heard_in(const struct passage *p, const struct recording *r)
{
    for (uint32_t i = 0; i < p->n_heard; i++)
        if (!r || p->heard[i].recording == r)
            return &p->heard[i];
    return NULL;
}

/* Bars of a recording are found by the tempo. */
static void bars_without_times(struct sema *s, const struct item *item, const struct passage *p)
{
    if (is_spoiled(s, p->symbol.name))
        return;
    struct diag *d = diag_add(s->diags, DIAG_NOT_HEARD, item->stretch.where,
                              "where these bars lie on `%.*s` is not known: `%.*s` has no tempo",
                              STR_ARG(item->recording->symbol.name), STR_ARG(p->symbol.name));
    diag_help(s->diags, d, "write its tempo, as in `tempo 1/4 = 80`, or play the passage whole");
}

static void play_read(struct sema *s, struct item *item, const struct node *name)
{
    const struct node *places = NULL, *recording = NULL;
    for (const struct node *n = name->next; n; n = n->next)
        if (n->kind == NODE_PLACES)
            places = n;
        else
            recording = n;
    item_subject(s, item, name);
    item_stretch(s, item, places);
    item->clip_from = item->clip_to = no_time;
    if (recording && !(item->recording = (const struct recording *)(const void *)name_resolve(
                           s, THING_RECORDING, recording)))
        return;
    const struct passage *p = item->n_passages ? item->passages[0] : NULL;
    if (!p)
        return;
    const struct heard *h = heard_in(p, item->recording);
    if (!h && (is_spoiled(s, p->symbol.name) || (recording && is_spoiled(s, item->recording->symbol.name))))
        return;
    if (!h) {
        struct diag *d =
            recording ? diag_add(s->diags, DIAG_NOT_HEARD, recording->where, "`%.*s` is not heard in `%.*s`",
                                 STR_ARG(p->symbol.name), STR_ARG(item->recording->symbol.name))
                      : diag_add(s->diags, DIAG_NOT_HEARD, name->where,
                                 "`%.*s` is not heard in any recording", STR_ARG(p->symbol.name));
        struct str where = recording ? item->recording->symbol.name : STR("NAME");
        diag_help(s->diags, d, "write `heard in %.*s 0:21 to 0:39` in the passage", STR_ARG(where));
        return;
    }
    item->recording = h->recording;
    item->clip_from = h->from;
    item->clip_to = h->to;
    if (item->stretch.given && (!passage_clock(p, h, item->stretch.onset, &item->clip_from) ||
                                !passage_clock(p, h, item->stretch.end, &item->clip_to)))
        bars_without_times(s, item, p);
    item->length = ratio_minus(item->clip_to, item->clip_from);
    if (item->length.num < 0) /* the stretch runs backwards: reported where it is heard */
        item->length = no_time;
    item->estimated = item->stretch.given; /* from the tempo, not from the recording */
}

static struct ratio recut_time(const struct sema *s, struct ratio t)
{
    struct ratio moved = t;
    for (uint32_t i = 0; i < s->n_recuts; i++)
        if (ratio_le(s->recuts[i].at, t))
            moved = ratio_plus(moved, s->recuts[i].by);
    return moved;
}

/* `from T to T`: the narration as it was recorded. */
static void say_times(struct sema *s, struct item *item, const struct node *range)
{
    struct ratio from, to;
    if (!value_time(s, range->first, &s->model->rate, &from) ||
        !value_time(s, range->last, &s->model->rate, &to)) {
        item->time_lost = true;
        return;
    }
    from = recut_time(s, from);
    to = recut_time(s, to);
    if (ratio_le(to, from)) {
        diag_add(s->diags, DIAG_TIME_BACKWARDS, range->where, "this narration ends %s it begins",
                 ratio_eq(to, from) ? "when" : "before");
        return;
    }
    if (item->timed && !ratio_eq(item->start, from)) {
        struct diag *d = diag_add(s->diags, DIAG_TIME_BACKWARDS, range->first->where,
                                  "`at` and `say from` name different times");
        diag_place(s->diags, d, item->begins, "the other time");
        diag_note(s->diags, d, "the time after `say from` is taken");
    }
    if (!item->timed)
        item->begins = range->where;
    item->start = from;
    item->length = ratio_minus(to, from);
    item->timed = true;
    item->estimated = false;
}

static void say_read(struct sema *s, struct item *item, const struct node *prose)
{
    narration_read(s, prose, &item->prose);
    item->length = speech_seconds(s, item->prose.n_words);
    item->estimated = true;
    if (prose->next)
        say_times(s, item, prose->next);
}

static void show_read(struct sema *s, struct item *item, const struct node *names)
{
    for (const struct node *n = names->first; n; n = n->next)
        item_subject(s, item, n);
    const struct node *form = names->next;
    item->form = form->text;
    item_stretch(s, item, form->next);
    for (size_t i = 0; i < sizeof show_forms / sizeof *show_forms; i++)
        if (str_is(form->text, show_forms[i]))
            return;
    struct diag *d = diag_add(s->diags, DIAG_BAD_SHOW, form->where, "`%.*s` is not a form of picture",
                              STR_ARG(form->text));
    struct suggest near;
    suggest_start(&near, form->text);
    for (size_t i = 0; i < sizeof show_forms / sizeof *show_forms; i++)
        suggest_offer(&near, str_of(show_forms[i]));
    if (near.n)
        diag_fix(s->diags, d, form->where, near.best[0], false);
    diag_help(s->diags, d, "pictures are drawn as `staff`, `motion`, `keyboard` or `timeline`");
}

static void demo_read(struct sema *s, struct item *item, const struct node *names, uint32_t number)
{
    for (const struct node *n = names->first; n; n = n->next)
        item_subject(s, item, n);
    item_stretch(s, item, names->next);
    item->length = music_seconds(item);
    if (item->figure && !item->n_passages)
        item->length = figure_seconds(item->figure);
    item->estimated = true;
    struct str subject = item->n_passages ? item->passages[0]->symbol.name
                         : item->figure ? item->figure->symbol.name : STR("nothing");
    item->name = str_printf(s->arena, "demo-%u-%.*s", number, STR_ARG(subject));
}

/* ---- items
 * ----------------------------------------------------------------------------------------------- */

static void action_read(struct sema *s, struct item *item, const struct node *action, uint32_t *demos)
{
    const struct node *first = action->first;
    item->length = no_time;
    switch (action->word) {
    case TOK_CHAPTER:
        item->kind = ITEM_CHAPTER;
        item->title = node_string(s->arena, first);
        item->title_where = first->where;
        if (!item->title.n)
            diag_add(s->diags, DIAG_BAD_FIELD, first->where, "the chapter has no title");
        break;
    case TOK_SAY: item->kind = ITEM_SAY; say_read(s, item, first); break;
    case TOK_PLAY: item->kind = ITEM_PLAY; play_read(s, item, first); break;
    case TOK_DEMO: item->kind = ITEM_DEMO; demo_read(s, item, first, ++*demos); break;
    case TOK_SHOW: item->kind = ITEM_SHOW; show_read(s, item, first); break;
    case TOK_SILENCE:
        item->kind = ITEM_SILENCE;
        if (first)
            item->time_lost |= !value_time(s, first, &s->model->rate, &item->length);
        break;
    }
}

/* Where a statement starts: its own time, moved by recuts, else the end of the one before. */
static void item_start(struct sema *s, struct item *item, const struct node *statement, struct ratio now)
{
    item->start = now;
    item->begins = (struct span){item->where.file, item->where.lo, item->where.lo + 4}; /* `then` */
    if (statement->word != TOK_AT)
        return;
    item->begins.hi = statement->first->where.hi;
    struct ratio at;
    if (!value_time(s, statement->first, &s->model->rate, &at)) {
        item->time_lost = true;
        return;
    }
    item->start = recut_time(s, at);
    item->timed = true;
    if (item->start.num < 0) {
        diag_add(s->diags, DIAG_TIME_BACKWARDS, statement->first->where,
                 "after the recut this lies before the edit begins");
        item->start = no_time;
        item->time_lost = true;
    }
}

static void push_item(struct sema *s, struct item *item, struct ratio *now)
{
    struct model *m = s->model;
    ARRAY_PUSH(s->arena, m->items, m->n_items, item);
    struct ratio end;
    if (!ratio_add(item->start, item->length, &end)) {
        diag_add(s->diags, DIAG_BAD_TIME, item->where, "this lies too far into the edit");
        end = *now;
    }
    *now = ratio_lt(end, item->start) ? item->start : end;
    if (ratio_lt(m->length, *now))
        m->length = *now;
}

void timeline_build(struct sema *s)
{
    struct ratio now = no_time;
    uint32_t demos = 0;
    s->model->length = no_time;
    s->unit = &s->units[s->n_units - 1]; /* the file itself is the last unit */
    s->model->timeline_lost =
        lost_statement(s->unit->lost, TOK_AT) || lost_statement(s->unit->lost, TOK_THEN);
    bool told = false;
    for (const struct node *c = s->unit->root->first; c; c = c->next) {
        if (c->kind != NODE_STATEMENT || (c->word != TOK_AT && c->word != TOK_THEN))
            continue;
        struct item *item = ARENA_NEW(s->arena, struct item);
        item->where = c->where;
        item_start(s, item, c, now);
        if (s->model->is_library && !told) {
            struct diag *d =
                diag_add(s->diags, DIAG_LIBRARY_TIMELINE, item->begins, "a library has no timeline");
            diag_help(s->diags, d,
                      "what is said and played belongs in an episode, which may `use` this library");
            told = true;
        }
        action_read(s, item, c->last, &demos);
        push_item(s, item, &now);
    }
}
