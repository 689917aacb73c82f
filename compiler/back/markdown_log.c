/* markdown_log.c - the record of what is quoted, and why.
 *
 * No law gives a number of seconds that is safe, so none is printed or judged. */
#include "back/clock.h"
#include "back/markdown_parts.h"
#include "back/segments.h"

#include <inttypes.h>

static const char notice[] = "Record of quotations for the maker's own review. It is not legal advice and "
                             "does not say whether a use is permitted. "
                             "Rules differ by country: ask a qualified lawyer there.";

static void put_field(struct md *w, const char *name, struct str text)
{
    if (text.n == 0)
        return;
    md_bullet(w, 1);
    md_raw(w, name);
    md_raw(w, ": ");
    md_text(w, text);
    md_end_line(w);
}

/* `film-score` is a name of one word; people write two. */
static struct str kind_words(const struct md *w, struct str kind)
{
    char *p = arena_copy(w->arena, kind.p, kind.n);
    for (uint32_t i = 0; i < kind.n; i++)
        if (p[i] == '-')
            p[i] = ' ';
    return (struct str){p, kind.n};
}

static void put_work_line(struct md *w, const struct work *work)
{
    md_text(w, work_text(w->arena, work));
    if (work->from.n) {
        md_raw(w, ", from ");
        md_text(w, work->from);
    }
    if (work->composer.n) {
        md_raw(w, ", by ");
        md_text(w, work->composer);
    }
    if (work->year)
        md_printf(w, ", %d", work->year);
    if (work->kind.n) {
        md_raw(w, " (");
        md_text(w, kind_words(w, work->kind));
        md_raw(w, ")");
    }
}

static struct str recording_words(struct arena *a, const struct recording *r)
{
    const char *kind = "";
    switch (r->kind) {
    case RECORDING_PICTURE:
        kind = "picture";
        break;
    case RECORDING_AUDIO:
        kind = "audio";
        break;
    case RECORDING_EDIT:
        kind = "edit";
        break;
    }
    struct buf b = {0};
    buf_str_put(&b, r->title.n ? r->title : r->symbol.name);
    buf_printf(&b, " (%s", kind);
    if (r->track.n)
        buf_printf(&b, ", track %.*s", STR_ARG(r->track));
    if (r->label.n)
        buf_printf(&b, ", %.*s", STR_ARG(r->label));
    buf_byte(&b, ')');
    return buf_take(&b, a);
}

/* "3.7 %" of the recording's length; tenths rounded to nearest. */
static struct str share_text(struct arena *a, struct ratio part, struct ratio whole)
{
    struct ratio share;
    if (whole.num <= 0 || !ratio_div(part, whole, &share) || !ratio_mul(share, ratio_int(1000), &share))
        return STR("not known: the recording's length is not given");
    int64_t tenths = ratio_round(share);
    return str_printf(a, "%" PRId64 ".%d %% of the recording's %.*s", tenths / 10, (int)(tenths % 10),
                      STR_ARG(clock_text(a, whole, false)));
}

/* The claims on the clip's bars that the narration refers to. */
static struct str purpose_text(struct md *w, const struct item *item)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < w->m->n_claims; i++) {
        const struct claim *claim = w->m->claims[i];
        const struct numbered *number = md_number_of(w, claim);
        bool about = false;
        for (uint32_t k = 0; k < item->n_passages; k++)
            about = about || claim_touches(claim, item->passages[k], item_stretch(item, k));
        if (about && number && claim->uses)
            buf_printf(&b, "%s%c%u %.*s", b.n ? ", " : "", number->letter, number->number,
                       STR_ARG(claim->symbol.name));
    }
    if (b.n == 0)
        buf_put(&b, "none: the narration refers to no claim about these bars");
    return buf_take(&b, w->arena);
}

static struct str passages_text(struct arena *a, const struct item *item)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < item->n_passages; i++) {
        const struct passage *p = item->passages[i];
        buf_printf(&b, "%s%.*s, %.*s", i ? "; " : "", STR_ARG(p->symbol.name),
                   STR_ARG(stretch_text(a, p, item_stretch(item, i))));
    }
    if (item->figure)
        buf_printf(&b, "%sfigure %.*s", b.n ? "; " : "", STR_ARG(item->figure->symbol.name));
    return buf_take(&b, a);
}

static struct str episode_text(struct arena *a, const struct item *item, const struct speech_list *speech)
{
    struct speech alone;
    bool some = speech_pause(speech, item, RATIO_ZERO, &alone);
    bool whole = some && ratio_eq(alone.from, item->start) &&
                 ratio_le(item->length, ratio_minus(alone.to, alone.from));
    return str_printf(a, "%.*s to %.*s, %s%s", STR_ARG(clock_text(a, item->start, false)),
                      STR_ARG(clock_text(a, ratio_plus(item->start, item->length), false)),
                      whole  ? "alone"
                      : some ? "partly under narration"
                             : "under narration",
                      item->estimated ? " (estimated)" : "");
}

static void put_rights(struct md *w, const struct work *work)
{
    put_field(w, "Rights", work->rights);
    put_field(w, "Rights holder", work->rights_holder);
}

static void put_clip(struct md *w, const struct item *item, const struct speech_list *speech, uint32_t number)
{
    const struct recording *r = item->recording;
    const struct work *work = item->n_passages && item->passages[0]->work ? item->passages[0]->work
                              : r                                         ? r->work
                                                                          : NULL;
    struct arena *a = w->arena;
    md_bullet(w, 0);
    md_printf(w, "**Clip %" PRIu32 "** ", number);
    if (work)
        put_work_line(w, work);
    md_end_line(w);
    put_field(w, "Music", passages_text(a, item));
    put_field(w, "Source", r ? recording_words(a, r) : STR("no recording named"));
    if (r) {
        put_field(w, "In", recording_text(a, r, item->clip_from));
        put_field(w, "Out", recording_text(a, r, item->clip_to));
        struct ratio length = ratio_minus(item->clip_to, item->clip_from);
        put_field(w, "Length", length_text(a, length));
        put_field(w, "Share", share_text(a, length, r->length));
    } else {
        put_field(w, "Length", length_text(a, item->length));
    }
    put_field(w, "In the episode", episode_text(a, item, speech));
    put_field(w, "Purpose", purpose_text(w, item));
    if (work)
        put_rights(w, work);
}

static void put_demo(struct md *w, const struct item *item, const struct speech_list *speech, uint32_t number)
{
    const struct work *work = item->n_passages ? item->passages[0]->work : NULL;
    if (!work && item->figure && item->figure->passage)
        work = item->figure->passage->work;
    md_bullet(w, 0);
    md_printf(w, "**Example %" PRIu32 "** ", number);
    if (work)
        put_work_line(w, work);
    md_end_line(w);
    put_field(w, "Music", passages_text(w->arena, item));
    put_field(w, "Source", STR("rendered from this file's own notes: still a use of the composition"));
    put_field(w, "Length", length_text(w->arena, item->length));
    put_field(w, "In the episode", episode_text(w->arena, item, speech));
    put_field(w, "Purpose", purpose_text(w, item));
    if (work)
        put_rights(w, work);
}

/* What is quoted of each recording in all. */
static void put_totals(struct md *w)
{
    const struct model *m = w->m;
    bool any = false;
    for (uint32_t i = 0; i < m->n_recordings; i++) {
        struct ratio total = RATIO_ZERO;
        uint32_t clips = 0;
        for (uint32_t k = 0; k < m->n_items; k++) {
            const struct item *item = m->items[k];
            if (item->kind != ITEM_PLAY || item->recording != m->recordings[i])
                continue;
            total = ratio_plus(total, ratio_minus(item->clip_to, item->clip_from));
            clips++;
        }
        if (clips == 0)
            continue;
        if (!any) {
            md_gap(w);
            md_raw(w, "In all:");
            md_gap(w);
        }
        any = true;
        md_bullet(w, 0);
        md_text(w, recording_words(w->arena, m->recordings[i]));
        md_printf(w, ": %" PRIu32 " %s, ", clips, clips == 1 ? "clip" : "clips");
        md_text(w, length_text(w->arena, total));
        if (m->recordings[i]->length.num > 0) {
            md_raw(w, ", ");
            md_text(w, share_text(w->arena, total, m->recordings[i]->length));
        }
        md_end_line(w);
    }
}

void md_clip_log(struct md *w)
{
    const struct model *m = w->m;
    uint32_t clips = 0, demos = 0;
    for (uint32_t i = 0; i < m->n_items; i++) {
        clips += m->items[i]->kind == ITEM_PLAY;
        demos += m->items[i]->kind == ITEM_DEMO;
    }
    if (clips + demos == 0)
        return;
    struct speech_list speech = speech_make(m, w->arena);
    md_heading(w, 2, STR("Clip log"));
    md_raw(w, notice);
    md_gap(w);
    clips = demos = 0;
    for (uint32_t i = 0; i < m->n_items; i++) {
        if (m->items[i]->kind == ITEM_PLAY)
            put_clip(w, m->items[i], &speech, ++clips);
        else if (m->items[i]->kind == ITEM_DEMO)
            put_demo(w, m->items[i], &speech, ++demos);
    }
    put_totals(w);
    md_gap(w);
}
