/* json.c - the checked model and the verdicts, for other programs.
 *
 * Keys are stable; more may be added. Numbers are integers only: whatever has a fraction is text. */
#include "back/back.h"
#include "back/clock.h"
#include "back/json_parts.h"
#include "back/segments.h"
#include "claims/claims.h"
#include "sema/conventions.h"

#include <stdlib.h>

/* ---- helpers --------------------------------------------------------------------------------------- */

static cJSON *need(cJSON *item)
{
    if (!item)
        abort(); /* out of memory */
    return item;
}

cJSON *json_object(void)
{
    return need(cJSON_CreateObject());
}

cJSON *json_array(void)
{
    return need(cJSON_CreateArray());
}

void json_push(cJSON *array, cJSON *item)
{
    cJSON_AddItemToArray(array, need(item));
}

void json_set(cJSON *object, const char *key, cJSON *item)
{
    /* Keys are literals: they need no copy. */
    cJSON_AddItemToObjectCS(object, key, need(item));
}

static cJSON *string_json(struct json *j, struct str s)
{
    struct arena_mark mark = arena_mark(j->arena);
    cJSON *item = need(cJSON_CreateString(arena_copy(j->arena, s.n ? s.p : "", s.n)));
    arena_reset(j->arena, mark);
    return item;
}

void json_str(struct json *j, cJSON *object, const char *key, struct str s)
{
    json_set(object, key, string_json(j, s));
}

void json_some(struct json *j, cJSON *object, const char *key, struct str s)
{
    if (s.n)
        json_str(j, object, key, s);
}

void json_int(cJSON *object, const char *key, int64_t value)
{
    json_set(object, key, cJSON_CreateNumber((double)value));
}

void json_bool(cJSON *object, const char *key, bool value)
{
    json_set(object, key, cJSON_CreateBool(value));
}

void json_ratio(cJSON *object, const char *key, struct ratio r)
{
    char text[RATIO_TEXT_MAX];
    json_set(object, key, cJSON_CreateString(ratio_text(r, false, text)));
}

void json_seconds(struct json *j, cJSON *object, const char *key, struct ratio r)
{
    json_ratio(object, key, r);
    struct buf b = {0};
    buf_seconds(&b, seconds_ms(r));
    cJSON *text = string_json(j, buf_str(&b));
    buf_free(&b);
    struct str name = str_printf(j->arena, "%s_seconds", key);
    cJSON_AddItemToObject(object, name.p, text);
}

void json_strings(struct json *j, cJSON *object, const char *key, const struct str *items, uint32_t n)
{
    cJSON *list = json_array();
    for (uint32_t i = 0; i < n; i++)
        json_push(list, string_json(j, items[i]));
    json_set(object, key, list);
}

void json_pitch(cJSON *object, const char *key, struct pitch p)
{
    char text[PITCH_TEXT_MAX];
    json_set(object, key, cJSON_CreateString(pitch_text(p, SIGN_ASCII, text)));
}

struct str base_name(struct str path)
{
    for (uint32_t i = path.n; i > 0; i--)
        if (path.p[i - 1] == '/')
            return str_slice(path, i, path.n);
    return path;
}

void json_where(struct json *j, cJSON *object, struct span where)
{
    if (!j->m->sources || where.file >= j->m->sources->n)
        return;
    struct position at = source_position(j->m->sources, where.file, where.lo);
    if (where.file != 0)
        json_str(j, object, "file", base_name(j->m->sources->items[where.file].name));
    json_int(object, "line", at.line);
    json_int(object, "column", at.column);
}

cJSON *json_named(struct json *j, const struct symbol *s)
{
    cJSON *o = json_object();
    json_str(j, o, "name", s->name);
    if (s->library)
        json_bool(o, "library", true);
    json_where(j, o, s->where);
    return o;
}

/* ---- works, recordings, sources ------------------------------------------------------------------------ */

static cJSON *work_json(struct json *j, const struct work *w)
{
    cJSON *o = json_named(j, &w->symbol);
    json_some(j, o, "title", w->title);
    json_some(j, o, "from", w->from);
    json_some(j, o, "composer", w->composer);
    json_some(j, o, "kind", w->kind);
    if (w->year)
        json_int(o, "year", w->year);
    json_some(j, o, "rights", w->rights);
    json_some(j, o, "rights_holder", w->rights_holder);
    return o;
}

static const char *recording_word(enum recording_kind kind)
{
    switch (kind) {
    case RECORDING_PICTURE:
        return "picture";
    case RECORDING_AUDIO:
        return "audio";
    case RECORDING_EDIT:
        return "edit";
    }
    return "";
}

static cJSON *recording_json(struct json *j, const struct recording *r)
{
    cJSON *o = json_named(j, &r->symbol);
    if (r->work)
        json_str(j, o, "work", r->work->symbol.name);
    json_str(j, o, "kind", str_of(recording_word(r->kind)));
    json_some(j, o, "title", r->title);
    json_some(j, o, "track", r->track);
    json_some(j, o, "label", r->label);
    if (r->has_frames) {
        json_ratio(o, "frames", r->rate.fps);
        json_bool(o, "drop", r->drop);
    }
    json_seconds(j, o, "starts", r->starts);
    if (r->length.num > 0)
        json_seconds(j, o, "length", r->length);
    json_ratio(o, "speed", r->speed);
    json_ratio(o, "tuning", r->tuning);
    cJSON *anchors = json_array();
    for (uint32_t i = 0; i < r->n_anchors; i++) {
        cJSON *anchor = json_object();
        json_seconds(j, anchor, "here", r->anchors[i].here);
        json_seconds(j, anchor, "there", r->anchors[i].there);
        if (r->anchors[i].other)
            json_str(j, anchor, "other", r->anchors[i].other->symbol.name);
        json_push(anchors, anchor);
    }
    json_set(o, "anchors", anchors);
    return o;
}

static cJSON *score_json(struct json *j, const struct score *s)
{
    cJSON *o = json_named(j, &s->symbol);
    if (s->work)
        json_str(j, o, "work", s->work->symbol.name);
    json_some(j, o, "edition", s->edition);
    json_some(j, o, "publisher", s->publisher);
    if (s->year)
        json_int(o, "year", s->year);
    json_some(j, o, "pages", s->pages);
    json_some(j, o, "source", s->file);
    return o;
}

static cJSON *citation_json(struct json *j, const struct citation *c)
{
    cJSON *o = json_named(j, &c->symbol);
    json_some(j, o, "author", c->author);
    json_some(j, o, "title", c->title);
    json_some(j, o, "publisher", c->publisher);
    if (c->year)
        json_int(o, "year", c->year);
    json_some(j, o, "page", c->page);
    json_some(j, o, "url", c->url);
    json_some(j, o, "note", c->note);
    json_int(o, "uses", c->uses);
    return o;
}

static cJSON *fact_json(struct json *j, const struct fact *f)
{
    cJSON *o = json_named(j, &f->symbol);
    json_str(j, o, "text", f->text);
    if (f->source)
        json_str(j, o, "source", f->source->symbol.name);
    json_some(j, o, "page", f->page);
    return o;
}

static cJSON *reading_json(struct json *j, const struct reading *r)
{
    cJSON *o = json_named(j, &r->symbol);
    json_str(j, o, "text", r->text);
    json_bool(o, "proven", false);
    return o;
}

static cJSON *spelling_json(struct json *j, const struct spelling *s)
{
    cJSON *o = json_object();
    json_str(j, o, "right", s->right);
    json_strings(j, o, "never", s->wrong, s->n_wrong);
    json_some(j, o, "said", s->said);
    json_where(j, o, s->where);
    return o;
}

static cJSON *erratum_json(struct json *j, const struct erratum *e)
{
    cJSON *o = json_object();
    json_str(j, o, "claim", e->claim);
    json_some(j, o, "date", e->date);
    json_str(j, o, "said", e->said);
    json_str(j, o, "true", e->truth);
    json_where(j, o, e->where);
    return o;
}

static cJSON *hole_json(struct json *j, const struct hole *h)
{
    cJSON *o = json_object();
    json_str(j, o, "text", h->text);
    json_where(j, o, h->where);
    return o;
}

/* ---- claims
 * ------------------------------------------------------------------------------------------------ */

static const char *verdict_word(enum verdict v)
{
    switch (v) {
    case VERDICT_HOLDS:
        return "holds";
    case VERDICT_FAILS:
        return "fails";
    case VERDICT_UNDECIDED:
        return "undecided";
    }
    return "";
}

static cJSON *claim_json(struct json *j, const struct claim *c)
{
    cJSON *o = json_named(j, &c->symbol);
    json_str(j, o, "sentence", c->text);
    if (c->kind)
        json_str(j, o, "kind", str_of(c->kind->name));
    json_bool(o, "negated", c->negated);
    json_str(j, o, "verdict", str_of(verdict_word(c->verdict)));
    json_some(j, o, "evidence", c->evidence);
    json_some(j, o, "reason", c->reason);
    json_some(j, o, "instead", c->instead);
    json_some(j, o, "convention", c->convention);
    if (c->passage)
        json_str(j, o, "passage", c->passage->symbol.name);
    if (c->read.given) {
        json_ratio(o, "onset", c->read.onset);
        json_ratio(o, "end", c->read.end);
    }
    json_bool(o, "by_ear", c->by_ear);
    json_bool(o, "on_uncertain", c->on_uncertain);
    json_int(o, "uses", c->uses);
    cJSON *places = json_array();
    for (const struct claim_place *p = c->places; p; p = p->next) {
        cJSON *place = json_object();
        json_str(j, place, "words", p->words);
        json_where(j, place, p->where);
        json_push(places, place);
    }
    json_set(o, "places", places);
    return o;
}

/* ---- timeline
 * ------------------------------------------------------------------------------------------------ */

static const char *link_word(enum link_kind kind)
{
    switch (kind) {
    case LINK_NONE:
        return "none";
    case LINK_CLAIM:
        return "claim";
    case LINK_CITE:
        return "cite";
    case LINK_FACT:
        return "fact";
    case LINK_PASSAGE:
        return "passage";
    case LINK_FIGURE:
        return "figure";
    case LINK_READING:
        return "reading";
    case LINK_WEB:
        return "web";
    }
    return "";
}

static const char *run_word(enum run_kind kind)
{
    switch (kind) {
    case RUN_TEXT:
        return "text";
    case RUN_BREAK:
        return "break";
    case RUN_PARAGRAPH:
        return "paragraph";
    case RUN_PICTURE:
        return "picture";
    }
    return "";
}

static cJSON *run_json(struct json *j, const struct run *r)
{
    cJSON *o = json_object();
    json_str(j, o, "kind", str_of(run_word(r->kind)));
    json_some(j, o, "text", r->text);
    if (r->emphasis)
        json_bool(o, "emphasis", true);
    if (r->strong)
        json_bool(o, "strong", true);
    if (r->code)
        json_bool(o, "code", true);
    if (r->hard)
        json_bool(o, "hard", true);
    if (r->link) {
        json_str(j, o, "link", str_of(link_word(r->link->kind)));
        json_str(j, o, "target", r->link->target);
    }
    return o;
}

static const char *item_word(enum item_kind kind)
{
    switch (kind) {
    case ITEM_CHAPTER:
        return "chapter";
    case ITEM_SAY:
        return "say";
    case ITEM_PLAY:
        return "play";
    case ITEM_DEMO:
        return "demo";
    case ITEM_SHOW:
        return "show";
    case ITEM_SILENCE:
        return "silence";
    }
    return "";
}

/* Passages with the stretch that is heard or seen of each. */
static cJSON *item_music(struct json *j, const struct item *item)
{
    cJSON *list = json_array();
    for (uint32_t i = 0; i < item->n_passages; i++) {
        struct stretch s = item_stretch(item, i);
        cJSON *o = json_object();
        json_str(j, o, "passage", item->passages[i]->symbol.name);
        json_ratio(o, "onset", s.onset);
        json_ratio(o, "end", s.end);
        json_push(list, o);
    }
    return list;
}

static cJSON *item_json(struct json *j, const struct item *item)
{
    cJSON *o = json_object();
    json_str(j, o, "kind", str_of(item_word(item->kind)));
    json_bool(o, "timed", item->timed);
    json_bool(o, "estimated", item->estimated);
    json_seconds(j, o, "start", item->start);
    json_seconds(j, o, "length", item->length);
    json_some(j, o, "title", item->title);
    if (item->n_passages)
        json_set(o, "music", item_music(j, item));
    if (item->figure)
        json_str(j, o, "figure", item->figure->symbol.name);
    if (item->recording) {
        json_str(j, o, "recording", item->recording->symbol.name);
        json_seconds(j, o, "clip_from", item->clip_from);
        json_seconds(j, o, "clip_to", item->clip_to);
    }
    json_some(j, o, "form", item->form);
    json_some(j, o, "output", item->name);
    if (item->kind == ITEM_SAY) {
        json_int(o, "words", item->prose.n_words);
        cJSON *runs = json_array();
        for (uint32_t i = 0; i < item->prose.n_runs; i++)
            json_push(runs, run_json(j, &item->prose.runs[i]));
        json_set(o, "runs", runs);
    }
    json_where(j, o, item->where);
    return o;
}

/* ---- the whole
 * ---------------------------------------------------------------------------------------------------- */

static cJSON *episode_json(struct json *j)
{
    const struct model *m = j->m;
    cJSON *o = json_object();
    json_str(j, o, "file", base_name(m->file));
    json_bool(o, "library", m->is_library);
    json_str(j, o, "title", m->title);
    json_some(j, o, "series", m->series);
    json_some(j, o, "number", m->number);
    json_some(j, o, "language", m->language);
    json_some(j, o, "date", m->date);
    json_ratio(o, "frames", m->rate.fps);
    json_bool(o, "drop", m->drop);
    json_seconds(j, o, "length", m->length);
    if (m->profile)
        json_str(j, o, "caption_profile", m->profile->symbol.name);
    return o;
}

static cJSON *conventions_json(struct json *j)
{
    cJSON *o = json_object();
    const struct convention_values *v = j->m->conventions;
    for (int c = 0; v && c < CONVENTION_COUNT; c++) {
        const struct convention_info *info = convention_info((enum convention)c);
        if (info->words[0])
            json_str(j, o, info->name, str_of(info->words[v->choice[c]]));
        else
            json_ratio(o, info->name, v->amount[c]);
    }
    return o;
}

static cJSON *summary_json(const struct model *m)
{
    int64_t holds = 0, fails = 0, undecided = 0;
    for (uint32_t i = 0; i < m->n_claims; i++) {
        holds += m->claims[i]->verdict == VERDICT_HOLDS;
        fails += m->claims[i]->verdict == VERDICT_FAILS;
        undecided += m->claims[i]->verdict == VERDICT_UNDECIDED;
    }
    cJSON *o = json_object();
    json_int(o, "holds", holds);
    json_int(o, "fails", fails);
    json_int(o, "undecided", undecided);
    return o;
}

/* "KEY": [ … ] of a list of pointers in the model. */
#define SET_LIST(key, items, n, make)                                                                        \
    do {                                                                                                     \
        cJSON *list = json_array();                                                                          \
        for (uint32_t i = 0; i < (n); i++)                                                                   \
            json_push(list, make(&j, (items)[i]));                                                           \
        json_set(root, key, list);                                                                           \
    } while (0)

void back_json(const struct model *m, struct output_list *out)
{
    struct arena scratch = {0};
    struct json j = {m, &scratch};
    cJSON *root = json_object();
    json_int(root, "version", 1);
    json_set(root, "episode", episode_json(&j));
    json_set(root, "summary", summary_json(m));
    json_set(root, "conventions", conventions_json(&j));
    SET_LIST("works", m->works, m->n_works, work_json);
    SET_LIST("recordings", m->recordings, m->n_recordings, recording_json);
    SET_LIST("scores", m->scores, m->n_scores, score_json);
    SET_LIST("sources", m->citations, m->n_citations, citation_json);
    SET_LIST("facts", m->facts, m->n_facts, fact_json);
    SET_LIST("readings", m->readings, m->n_readings, reading_json);
    SET_LIST("passages", m->passages, m->n_passages, json_passage);
    SET_LIST("figures", m->figures, m->n_figures, json_figure);
    SET_LIST("claims", m->claims, m->n_claims, claim_json);
    SET_LIST("timeline", m->items, m->n_items, item_json);
    SET_LIST("spellings", m->spellings, m->n_spellings, spelling_json);
    SET_LIST("errata", m->errata, m->n_errata, erratum_json);
    SET_LIST("holes", m->holes, m->n_holes, hole_json);
    char *text = cJSON_Print(root);
    if (!text)
        abort();
    struct buf b = {0};
    buf_put(&b, text);
    buf_byte(&b, '\n');
    cJSON_free(text);
    cJSON_Delete(root);
    output_add(out, "json", &b);
    arena_free(&scratch);
}
