/* Works, recordings, scores, sources, spellings, errata, conventions and the header. */
#include "sema/sema.h"

#include "base/array.h"
#include "base/assert.h"
#include "diag/suggest.h"
#include "parse.h"
#include "sema/fields.h"

/* The statement that each declared thing came from, so that references are resolved after all names are
 * known. */
struct declared {
    const struct unit *unit;
    const struct node *statement;
    void *thing;
};

struct declarations {
    struct declared *items;
    uint32_t n;
};

/* ---- header and conventions --------------------------------------------------------------------- */

static const struct field_set header_fields = {"the head of a file",
                                               {TOK_SERIES, TOK_NUMBER, TOK_LANGUAGE, TOK_FRAMES, TOK_DATE,
                                                TOK_USE, TOK_TITLE, TOK_AUTHOR, TOK_SOURCE, TOK_NOTE}};

static void header_field(struct sema *s, const struct node *f)
{
    struct model *m = s->model;
    int64_t number;
    switch (f->word) {
    case TOK_SERIES: m->series = value_text(s, f->first); break;
    case TOK_LANGUAGE: m->language = value_text(s, f->first); break;
    case TOK_DATE: m->date = value_text(s, f->first); break;
    case TOK_FRAMES: value_rate(s, f, &m->rate, &m->drop); break;
    case TOK_NUMBER:
        if (value_int(s, f->first, 0, 1000000, &number))
            m->number = f->first->text;
        break;
    }
}

static void header_read(struct sema *s, const struct node *statement)
{
    const struct node *title = statement->first, *block = title->next;
    bool main_file = !s->unit->library;
    if (main_file) {
        s->model->title = node_string(s->arena, title);
        s->model->is_library = statement->word == TOK_LIBRARY;
        if (s->model->title.n == 0)
            diag_add(s->diags, DIAG_BAD_HEADER, title->where, "the %s has no title",
                     s->model->is_library ? "library" : "episode");
    }
    for (const struct node *f = block ? block->first : NULL; f; f = f->next)
        if (field_allowed(s, &header_fields, block, f) && main_file)
            header_field(s, f);
}

/* Exactly one `episode` or `library`, first. */
static void header_check(struct sema *s)
{
    const struct node *header = NULL;
    bool before = false;
    for (const struct node *c = s->unit->root->first; c; c = c->next) {
        bool is_header = c->kind == NODE_STATEMENT && (c->word == TOK_EPISODE || c->word == TOK_LIBRARY);
        if (is_header && header) {
            struct diag *d =
                diag_add(s->diags, DIAG_BAD_HEADER, c->where, "a file is one episode or one library");
            diag_place(s->diags, d, header->where, "this file says so here");
        } else if (is_header) {
            header = c;
            if (before)
                diag_add(s->diags, DIAG_BAD_HEADER, c->where, "`episode` or `library` comes first in a file");
            header_read(s, c);
        }
        before = before || !is_header;
    }
    const struct node *first = s->unit->root->first;
    if (header || (first && first->kind == NODE_ERROR) || lost_statement(s->unit->lost, TOK_EPISODE) ||
        lost_statement(s->unit->lost, TOK_LIBRARY))
        return;
    struct span start = {s->unit->file, 0, 0};
    struct diag *d = diag_add(s->diags, DIAG_BAD_HEADER, start, s->unit->root->first
                                  ? "the file does not say what it is" : "the file is empty");
    diag_help(
        s->diags, d,
        "begin with `episode \"the title\" { … }`, or `library \"its name\"` for a file that episodes share");
}

static bool is_convention(struct str name)
{
    return convention_by_name(name) != CONVENTION_COUNT || str_is(name, "caption-profile");
}

static void convention_unknown(struct sema *s, const struct node *n)
{
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_CONVENTION, n->where, "no convention is called `%.*s`",
                              STR_ARG(n->text));
    struct suggest near;
    suggest_start(&near, n->text);
    suggest_offer(&near, STR("caption-profile"));
    struct buf b = {0};
    for (enum convention c = 0; c < CONVENTION_COUNT; c++) {
        buf_printf(&b, ", `%s`", convention_info(c)->name);
        suggest_offer(&near, str_of(convention_info(c)->name));
    }
    if (near.n == 1) {
        diag_help(s->diags, d, "a convention with a similar name: `%.*s`", STR_ARG(near.best[0]));
        diag_fix(s->diags, d, n->where, near.best[0], false);
    } else {
        diag_note(s->diags, d, "conventions: `caption-profile`%.*s", STR_ARG(buf_str(&b)));
    }
    buf_free(&b);
}

/* "`sounding` or `spelled`" */
static struct str choices_text(struct sema *s, const struct convention_info *info)
{
    struct buf b = {0};
    for (int i = 0; info->words[i]; i++)
        buf_printf(&b, "%s`%s`", i == 0 ? "" : info->words[i + 1] ? ", " : " or ", info->words[i]);
    return buf_take(&b, s->arena);
}

static void convention_needs(struct sema *s, const struct node *name, enum convention c)
{
    const struct convention_info *info = convention_info(c);
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_CONVENTION, name->where,
                              "the convention `%s` needs a value", info->name);
    if (info->words[0])
        diag_help(s->diags, d, "write %.*s after it", STR_ARG(choices_text(s, info)));
    else
        diag_help(s->diags, d, "write one after it; `descant explain convention %s` tells which", info->name);
}

/* Reads the value of a convention from the node after its name; returns the last node read. */
static const struct node *convention_value(struct sema *s, enum convention c, const struct node *name)
{
    const struct convention_info *info = convention_info(c);
    const struct node *v = name->next;
    if (!v) {
        convention_needs(s, name, c);
        return name;
    }
    for (int i = 0; info->words[i]; i++)
        if (str_is(v->text, info->words[i])) {
            s->conventions.choice[c] = i;
            if (c == CONVENTION_TIME_TOLERANCE && v->next && str_is(v->next->text, "frame"))
                return v->next;
            return v;
        }
    struct ratio amount;
    if (!info->words[0] || c == CONVENTION_TIME_TOLERANCE) {
        if (value_ratio(s, v, &amount)) {
            s->conventions.choice[c] = -1;
            s->conventions.amount[c] = amount;
        }
        return v->next && v->next->kind == NODE_NAME && !is_convention(v->next->text) ? v->next
                                                                                      : v; /* its unit */
    }
    if (is_convention(v->text)) {
        convention_needs(s, name, c); /* the next convention stands where its value should */
        return name;
    }
    struct diag *d = diag_add(s->diags, DIAG_UNKNOWN_CONVENTION, v->where, "`%.*s` is not a choice of `%s`",
                              STR_ARG(v->text), info->name);
    diag_help(s->diags, d, "write %.*s", STR_ARG(choices_text(s, info)));
    return v;
}

static void conventions_read(struct sema *s, const struct node *statement)
{
    for (const struct node *n = statement->first->first; n; n = n->next) {
        if (n->kind == NODE_ERROR || (n->next && n->next->kind == NODE_ERROR))
            continue; /* reported, and a value may be gone with it */
        if (str_is(n->text, "caption-profile")) {
            if (!n->next || is_convention(n->next->text)) {
                diag_add(s->diags, DIAG_UNKNOWN_CONVENTION, n->where,
                         "the convention `caption-profile` needs a name");
            } else {
                n = n->next;
                struct symbol *found = name_resolve(s, THING_PROFILE, n);
                if (found)
                    s->model->profile = (const struct caption_profile *)(const void *)found;
            }
            continue;
        }
        enum convention c = convention_by_name(n->text);
        if (c == CONVENTION_COUNT) {
            convention_unknown(s, n);
            while (n->next && !is_convention(n->next->text)) /* its value, most likely */
                n = n->next;
            continue;
        }
        n = convention_value(s, c, n);
    }
}

/* ---- works, recordings, scores, sources ------------------------------------------------------------ */

static const struct field_set work_fields = {
    "a work", {TOK_TITLE, TOK_FROM, TOK_COMPOSER, TOK_YEAR, TOK_KIND, TOK_RIGHTS, TOK_RIGHTS_HOLDER}};

static void work_field(struct sema *s, struct work *w, const struct node *f)
{
    int64_t year;
    switch (f->word) {
    case TOK_TITLE: w->title = value_text(s, f->first); break;
    case TOK_FROM: w->from = value_text(s, f->first); break;
    case TOK_COMPOSER: w->composer = value_text(s, f->first); break;
    case TOK_KIND: w->kind = value_text(s, f->first); break;
    case TOK_RIGHTS: w->rights = value_text(s, f->first); break;
    case TOK_RIGHTS_HOLDER: w->rights_holder = value_text(s, f->first); break;
    case TOK_YEAR:
        if (value_int(s, f->first, 1, 9999, &year))
            w->year = (int)year;
        break;
    }
}

static void work_read(struct sema *s, struct work *w, const struct node *block)
{
    for (const struct node *f = block->first; f; f = f->next)
        if (field_allowed(s, &work_fields, block, f))
            work_field(s, w, f);
    if (!w->title.n)
        w->title = w->symbol.name;
}

static const struct field_set recording_fields = {"a recording",
                                                  {TOK_OF, TOK_KIND, TOK_FRAMES, TOK_STARTS, TOK_LENGTH,
                                                   TOK_TRACK, TOK_TITLE, TOK_LABEL, TOK_YEAR, TOK_SPEED,
                                                   TOK_TUNING, TOK_ANCHOR}};

static void recording_kind_read(struct sema *s, struct recording *r, const struct node *v)
{
    static const char *const kinds[] = {"picture", "audio", "edit"};
    for (int i = 0; i < 3; i++)
        if (str_is(v->text, kinds[i])) {
            r->kind = (enum recording_kind)i;
            return;
        }
    struct diag *d =
        diag_add(s->diags, DIAG_BAD_FIELD, v->where, "`%.*s` is no kind of recording", STR_ARG(v->text));
    diag_help(s->diags, d, "write `picture`, `audio` or `edit`");
    spoil(s, r->symbol.name);
}

static const struct frame_rate *rate_or_null(const struct recording *r)
{
    return r->has_frames ? &r->rate : NULL;
}

/* Seconds of a NODE_FIELD's only value; a hand-made SECONDS node of `2.5 s` comes as two values. */
static bool field_time(struct sema *s, const struct node *f, const struct frame_rate *rate, struct ratio *out)
{
    const struct node *v = f->first;
    if (v->kind == NODE_NUMBER && v->next && v->next->kind == NODE_NAME) {
        struct node *pair = ARENA_NEW(s->arena, struct node);
        *pair = (struct node){.kind = NODE_SECONDS, .where = span_join(v->where, v->next->where)};
        struct node *number = ARENA_NEW(s->arena, struct node), *unit = ARENA_NEW(s->arena, struct node);
        *number = *v;
        *unit = *v->next;
        number->next = unit;
        unit->next = NULL;
        pair->first = number;
        pair->last = unit;
        return value_time(s, pair, rate, out);
    }
    return value_time(s, v, rate, out);
}

static void anchor_read(struct sema *s, struct recording *r, const struct node *f)
{
    const struct node *here = f->first;
    if (here->next && here->next->next) { /* anchor T is T of NAME */
        struct anchor a = {.where = f->where};
        const struct recording *other =
            (const struct recording *)(const void *)name_resolve(s, THING_RECORDING, here->next->next);
        if (!other || !value_time(s, here, rate_or_null(r), &a.here) ||
            !value_time(s, here->next, rate_or_null(other), &a.there))
            return;
        a.other = other;
        ARRAY_PUSH(s->arena, r->anchors, r->n_anchors, a);
    }
}

static void recording_field(struct sema *s, struct recording *r, const struct node *f)
{
    bool time = f->word == TOK_STARTS || f->word == TOK_LENGTH;
    if (time && !r->has_frames && is_spoiled(s, r->symbol.name)) /* its rate may be what was lost */
        return;
    switch (f->word) {
    case TOK_OF: r->work = (const struct work *)(const void *)name_resolve(s, THING_WORK, f->first); break;
    case TOK_KIND: recording_kind_read(s, r, f->first); break;
    case TOK_STARTS: field_time(s, f, rate_or_null(r), &r->starts); break;
    case TOK_LENGTH: field_time(s, f, rate_or_null(r), &r->length); break;
    case TOK_TRACK: r->track = value_text(s, f->first); break;
    case TOK_TITLE: r->title = value_text(s, f->first); break;
    case TOK_LABEL: r->label = value_text(s, f->first); break;
    case TOK_SPEED: value_ratio(s, f->first, &r->speed); break;
    case TOK_TUNING: value_ratio(s, f->first, &r->tuning); break;
    }
}

/* The frame rate first: other fields are read by it. */
static void recording_rate(struct sema *s, struct recording *r, const struct node *block)
{
    if (fields_broken(&recording_fields, block))
        spoil(s, r->symbol.name);
    const struct node *frames = node_field(block, TOK_FRAMES);
    if (frames)
        r->has_frames = value_rate(s, frames, &r->rate, &r->drop);
}

static void recording_of_nothing(struct sema *s, const struct recording *r)
{
    struct diag *d =
        diag_add(s->diags, DIAG_BAD_FIELD, r->symbol.where,
                 "the recording `%.*s` does not say which work it is `of`", STR_ARG(r->symbol.name));
    if (s->model->n_works == 1)
        diag_help(s->diags, d, "write `of %.*s`", STR_ARG(s->model->works[0]->symbol.name));
}

static void recording_read(struct sema *s, struct recording *r, const struct node *block)
{
    for (const struct node *f = block->first; f; f = f->next)
        if (field_allowed(s, &recording_fields, block, f))
            recording_field(s, r, f);
    if (is_spoiled(s, r->symbol.name))
        return;
    if (!r->work && !node_field(block, TOK_OF))
        recording_of_nothing(s, r);
}

static const struct field_set score_fields = {
    "a score", {TOK_OF, TOK_EDITION, TOK_YEAR, TOK_PUBLISHER, TOK_FILE, TOK_PAGES, TOK_TITLE, TOK_SOURCE}};

static void score_field(struct sema *s, struct score *c, const struct node *f)
{
    int64_t year;
    switch (f->word) {
    case TOK_OF: c->work = (const struct work *)(const void *)name_resolve(s, THING_WORK, f->first); break;
    case TOK_EDITION: c->edition = value_text(s, f->first); break;
    case TOK_PUBLISHER: c->publisher = value_text(s, f->first); break;
    case TOK_FILE: c->file = value_text(s, f->first); break;
    case TOK_PAGES: c->pages = source_text(s->sources, span_join(f->first->where, f->last->where)); break;
    case TOK_YEAR:
        if (value_int(s, f->first, 1, 9999, &year))
            c->year = (int)year;
        break;
    }
}

static const struct field_set cite_fields = {
    "a source",
    {TOK_AUTHOR, TOK_TITLE, TOK_YEAR, TOK_PAGE, TOK_PAGES, TOK_PUBLISHER, TOK_URL, TOK_NOTE, TOK_DATE}};

static void cite_field(struct sema *s, struct citation *c, const struct node *f)
{
    int64_t year;
    switch (f->word) {
    case TOK_AUTHOR: c->author = value_text(s, f->first); break;
    case TOK_TITLE: c->title = value_text(s, f->first); break;
    case TOK_PUBLISHER: c->publisher = value_text(s, f->first); break;
    case TOK_URL: c->url = value_text(s, f->first); break;
    case TOK_NOTE: c->note = value_text(s, f->first); break;
    case TOK_PAGE:
    case TOK_PAGES:
        if (!value_hole(s, f->first))
            c->page = f->first == f->last
                          ? value_text(s, f->first)
                          : source_text(s->sources, span_join(f->first->where, f->last->where));
        break;
    case TOK_YEAR:
        if (value_int(s, f->first, 1, 9999, &year))
            c->year = (int)year;
        break;
    }
}

static const struct field_set errata_fields = {"a correction", {TOK_DATE, TOK_SAID, TOK_TRUE}};

static void erratum_read(struct sema *s, const struct node *statement)
{
    const struct node *name = statement->first, *block = name->next;
    struct erratum *e = ARENA_NEW(s->arena, struct erratum);
    *e = (struct erratum){.claim = name->text, .where = name->where};
    for (const struct node *f = block->first; f; f = f->next) {
        if (!field_allowed(s, &errata_fields, block, f))
            continue;
        if (f->word == TOK_DATE)
            e->date = value_text(s, f->first);
        else if (f->word == TOK_SAID)
            e->said = value_text(s, f->first);
        else
            e->truth = value_text(s, f->first);
    }
    const char *lacks = !node_field(block, TOK_DATE) ? "date" : !node_field(block, TOK_SAID) ? "said"
                        : !node_field(block, TOK_TRUE) ? "true" : NULL;
    if (lacks && !node_child(block, NODE_ERROR))
        diag_add(s->diags, DIAG_BAD_FIELD, name->where, "the correction of `%.*s` lacks its `%s`",
                 STR_ARG(name->text), lacks);
    ARRAY_PUSH(s->arena, s->model->errata, s->model->n_errata, e);
}

static void spelling_read(struct sema *s, const struct node *statement)
{
    struct spelling *sp = ARENA_NEW(s->arena, struct spelling);
    sp->right = node_string(s->arena, statement->first);
    sp->where = statement->where;
    sp->library = s->unit->library;
    const struct node *rest = statement->first->next;
    if (rest && rest->kind == NODE_LIST) {
        struct str *wrong = NULL;
        for (const struct node *w = rest->first; w; w = w->next)
            ARRAY_PUSH(s->arena, wrong, sp->n_wrong, node_string(s->arena, w));
        sp->wrong = wrong;
        rest = rest->next;
    }
    if (rest)
        sp->said = node_string(s->arena, rest);
    ARRAY_PUSH(s->arena, s->model->spellings, s->model->n_spellings, sp);
}

static void reading_read(struct sema *s, struct reading *r, const struct node *text)
{
    r->text = node_string(s->arena, text);
    r->text_where = text->where;
}

static void fact_read(struct sema *s, struct fact *f, const struct node *statement)
{
    const struct node *text = statement->first->next, *source = text->next;
    f->text = node_string(s->arena, text);
    f->text_where = text->where;
    bool unclosed = text->where.hi - text->where.lo ==
                    text->text.n + 1; /* no closing quote: its source may stand in it */
    f->open = unclosed || (source && value_hole(s, source));
    if (!source || f->open)
        return;
    struct citation *c = (struct citation *)(void *)name_resolve(s, THING_CITATION, source);
    f->source = c;
    f->open = !c; /* reported */
    if (c)
        c->uses++;
    f->page = value_text(s, source->next);
}

static void recut_read(struct sema *s, const struct node *statement)
{
    struct recut r = {.where = statement->where};
    const struct node *at = statement->first, *by = at->next;
    bool back = by->kind == NODE_EVENT;
    if (back)
        by = by->next;
    if (!value_time(s, at, &s->model->rate, &r.at) || !value_time(s, by, &s->model->rate, &r.by))
        return;
    if (back)
        r.by.num = -r.by.num;
    ARRAY_PUSH(s->arena, s->recuts, s->n_recuts, r);
}

/* ---- the two passes: names first, then what they hold ------------------------------------------------ */

#define DEFINE(type, thing, list)                                                             \
    do {                                                                                      \
        type *made = ARENA_NEW(s->arena, type);                                               \
        made->symbol = symbol_of(s, c->first);                                                \
        if (name_define(s, thing, &made->symbol)) {                                           \
            ARRAY_PUSH(s->arena, s->model->list, s->model->n_##list, made);                 \
            ARRAY_PUSH(s->arena, d->items, d->n, (struct declared){s->unit, c, made});        \
        }                                                                                     \
    } while (0)

static void define_one(struct sema *s, const struct node *c, struct declarations *d)
{
    switch (c->word) {
    case TOK_WORK: DEFINE(struct work, THING_WORK, works); break;
    case TOK_RECORDING: DEFINE(struct recording, THING_RECORDING, recordings); break;
    case TOK_SCORE: DEFINE(struct score, THING_SCORE, scores); break;
    case TOK_CITE: DEFINE(struct citation, THING_CITATION, citations); break;
    case TOK_FACT: DEFINE(struct fact, THING_FACT, facts); break;
    case TOK_READING: DEFINE(struct reading, THING_READING, readings); break;
    case TOK_PASSAGE: DEFINE(struct passage, THING_PASSAGE, passages); break;
    case TOK_CLAIM:
        DEFINE(struct claim, THING_CLAIM, claims);
        if (s->n_claim_sources < s->model->n_claims)
            ARRAY_PUSH(s->arena, s->claim_sources, s->n_claim_sources, (struct claim_source){c->first->next});
        break;
    }
}

static void fill_one(struct sema *s, const struct declared *d)
{
    const struct node *name = d->statement->first, *block = name->next;
    switch (d->statement->word) {
    case TOK_WORK: work_read(s, d->thing, block); break;
    case TOK_RECORDING: recording_read(s, d->thing, block); break;
    case TOK_FACT: fact_read(s, d->thing, d->statement); break;
    case TOK_READING: reading_read(s, d->thing, block); break;
    case TOK_SCORE:
        for (const struct node *f = block->first; f; f = f->next)
            if (field_allowed(s, &score_fields, block, f))
                score_field(s, d->thing, f);
        break;
    case TOK_CITE:
        for (const struct node *f = block->first; f; f = f->next)
            if (field_allowed(s, &cite_fields, block, f))
                cite_field(s, d->thing, f);
        break;
    }
}

/* Anchors name other recordings and use their rates: after all rates are known. */
static void fill_anchors(struct sema *s, const struct declared *d)
{
    const struct node *block = d->statement->first->next;
    for (const struct node *f = block->first; f; f = f->next)
        if (f->kind == NODE_FIELD && f->word == TOK_ANCHOR)
            anchor_read(s, d->thing, f);
}

static void unnamed_one(struct sema *s, const struct node *c)
{
    if (c->kind == NODE_OPEN)
        value_hole(s, c);
    if (c->kind != NODE_STATEMENT)
        return;
    switch (c->word) {
    case TOK_CONVENTIONS: conventions_read(s, c); break;
    case TOK_SPELL: spelling_read(s, c); break;
    case TOK_ERRATA: erratum_read(s, c); break;
    case TOK_RECUT: recut_read(s, c); break;
    }
}

static void music_one(struct sema *s, const struct declared *d)
{
    if (d->statement->word == TOK_PASSAGE)
        music_build(s, d->statement, d->thing);
}

void declare_all(struct sema *s)
{
    struct declarations d = {0};
    for (uint32_t u = 0; u < s->n_units; u++) {
        s->unit = &s->units[u];
        header_check(s);
        for (const struct node *c = s->unit->root->first; c; c = c->next)
            if (c->kind == NODE_STATEMENT)
                define_one(s, c, &d);
    }
    for (uint32_t i = 0; i < d.n; i++)
        if (d.items[i].statement->word == TOK_RECORDING) {
            struct recording *r = d.items[i].thing;
            r->starts = RATIO_ZERO;
            r->length = RATIO_ZERO;
            r->speed = RATIO_ONE;
            r->tuning = ratio_int(440);
            s->unit = d.items[i].unit;
            recording_rate(s, r, d.items[i].statement->first->next);
        }
    for (uint32_t i = 0; i < d.n; i++) {
        s->unit = d.items[i].unit;
        fill_one(s, &d.items[i]);
    }
    for (uint32_t u = 0; u < s->n_units; u++) {
        s->unit = &s->units[u];
        for (const struct node *c = s->unit->root->first; c; c = c->next)
            unnamed_one(s, c);
    }
    for (uint32_t i = 0; i < d.n; i++) {
        s->unit = d.items[i].unit;
        if (d.items[i].statement->word == TOK_RECORDING)
            fill_anchors(s, &d.items[i]);
        music_one(s, &d.items[i]);
    }
    for (uint32_t u = 0; u < s->n_units; u++) {
        s->unit = &s->units[u];
        for (const struct node *c = s->unit->root->first; c; c = c->next)
            if (c->kind == NODE_STATEMENT && c->word == TOK_FIGURE)
                figure_build(s, c, NULL);
    }
}
