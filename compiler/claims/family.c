#include "claims/pages.h"
#include "claims/places.h"
#include "claims/sound.h"
#include "claims/tell.h"

#include "base/buf.h"

enum pattern { IS, BELONGS, MEMBER, ONLY, ONLY_INSTRUMENT, NONE_OF, ALL_OF, BOTH };

static const char *const patterns[] = {
    [IS] = "INSTRUMENT is FAMILY",
    [BELONGS] = "INSTRUMENT belongs to FAMILY [family]",
    [MEMBER] = "INSTRUMENT is member|instrument of FAMILY [family]",
    [ONLY] = "only FAMILY plays|sounds|enters [in|of PASSAGE]",
    [ONLY_INSTRUMENT] = "only INSTRUMENT plays|sounds|enters [in|of PASSAGE]",
    [NONE_OF] = "no FAMILY plays|sounds|enters [in|of PASSAGE]",
    [ALL_OF] = "every instrument of|in PASSAGE is FAMILY",
    [BOTH] = "[both] INSTRUMENT and INSTRUMENT is FAMILY",
    NULL,
};

/* ---- one instrument ---------------------------------------------------------------------------------- */

/* Families and kinds of reed are the library's words; a reed is named by its word and `reed`. */
static bool instrument_is(const struct instrument *in, struct str family)
{
    static const char tail[] = " reed";
    uint32_t n = sizeof tail - 1;
    if (family.n > n && memcmp(family.p + family.n - n, tail, n) == 0)
        return str_eq(in->reed, str_slice(family, 0, family.n - n));
    for (uint32_t i = 0; i < in->n_families; i++)
        if (str_eq(in->families[i], family))
            return true;
    return false;
}

/* A family for people: "bowed strings" for the library's `bowed-strings`. */
static struct str family_words(struct claim_context *ctx, struct str family)
{
    char *p = arena_copy(ctx->arena, family.p, family.n);
    for (uint32_t i = 0; i < family.n; i++)
        if (p[i] == '-')
            p[i] = ' ';
    return (struct str){p, family.n};
}

/* More than one of a family: "woodwinds"; "strings", "brass" and "percussion" are so already. */
static struct str family_plural(struct claim_context *ctx, struct str family)
{
    struct str words = family_words(ctx, family);
    static const char collective[] = "sion";
    uint32_t n = sizeof collective - 1;
    bool plural = words.n == 0 || words.p[words.n - 1] == 's' ||
                  (words.n > n && memcmp(words.p + words.n - n, collective, n) == 0);
    return plural ? words : say_text(ctx, "%.*ss", STR_ARG(words));
}

static bool has_reed(const struct instrument *in)
{
    return in->reed.n && !str_is(in->reed, "none");
}

/* "woodwind, double reed" */
static struct str instrument_families(struct claim_context *ctx, const struct instrument *in)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < in->n_families; i++)
        buf_printf(&b, "%s%.*s", i ? ", " : "", STR_ARG(family_words(ctx, in->families[i])));
    if (has_reed(in))
        buf_printf(&b, "%s%.*s reed", b.n ? ", " : "", STR_ARG(in->reed));
    if (b.n == 0)
        buf_put(&b, "of no family named");
    return buf_take(&b, ctx->arena);
}

/* Does the definition stand in a file of the author's? */
static bool instrument_own(const struct claim_context *ctx, const struct instrument *in)
{
    const struct source_list *sources = ctx->model->sources;
    return in->symbol.where.file < sources->n && !sources->items[in->symbol.where.file].builtin;
}

static void check_instrument(struct claim_context *ctx, const struct match *m, const struct instrument *in)
{
    struct str title = instrument_title(in);
    struct str families = instrument_families(ctx, in);
    bool own = instrument_own(ctx, in);
    const char *source = own ? "by the file's own entry" : "by the instrument library";
    if (own)
        claim_place(ctx, in->symbol.where, "`%.*s` is defined here", STR_ARG(in->symbol.name));
    if (instrument_is(in, m->family[0])) {
        claim_holds(ctx, "%.*s: %.*s, %s", STR_ARG(title), STR_ARG(families), source);
        return;
    }
    if (in->n_families == 0 && !has_reed(in)) {
        claim_undecided(ctx, "the entry of %.*s names no family: add `family` to it", STR_ARG(title));
        return;
    }
    claim_fails(ctx, "%.*s: %.*s, %s", STR_ARG(title), STR_ARG(families), source);
    bool reed_asked =
        m->family[0].n > 5 && str_is(str_slice(m->family[0], m->family[0].n - 4, m->family[0].n), "reed");
    if (reed_asked && has_reed(in))
        claim_instead(ctx, "%.*s is a %.*s reed", STR_ARG(title), STR_ARG(in->reed));
    else if (in->n_families)
        claim_instead(ctx, "%.*s belongs to the %.*s", STR_ARG(title),
                      STR_ARG(family_plural(ctx, in->families[0])));
}

/* The first of two that does not belong decides; if both do, the verdict names both. */
static void check_both(struct claim_context *ctx, const struct match *m)
{
    const struct instrument *first = m->instrument[0], *second = m->instrument[1];
    if (!instrument_is(first, m->family[0])) {
        check_instrument(ctx, m, first);
    } else if (!instrument_is(second, m->family[0])) {
        check_instrument(ctx, m, second);
    } else {
        struct str families = instrument_families(ctx, first), others = instrument_families(ctx, second);
        struct str title = instrument_title(first), other = instrument_title(second);
        claim_holds(ctx, "%.*s: %.*s; %.*s: %.*s", STR_ARG(title), STR_ARG(families), STR_ARG(other),
                    STR_ARG(others));
    }
}

/* ---- who plays ------------------------------------------------------------------------------------------
 */

/* What every player is tested for. */
struct wanted {
    struct str family;                   /* or */
    const struct instrument *instrument; /* one instrument by name */
};

static bool wanted_fits(const struct wanted *w, const struct instrument *in)
{
    return w->instrument ? in == w->instrument : instrument_is(in, w->family);
}

/* How many of a part's instruments fit. */
static uint32_t part_fits(const struct wanted *w, const struct part *part)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < part->n_instruments; i++)
        n += wanted_fits(w, part->instruments[i]);
    return n;
}

/* "`reed` (English horn)" */
static struct str player_words(struct claim_context *ctx, const struct part *part)
{
    struct str *names = ARENA_NEW_ARRAY(ctx->arena, struct str, part->n_instruments + 1);
    for (uint32_t i = 0; i < part->n_instruments; i++)
        names[i] = instrument_title(part->instruments[i]);
    struct str list =
        part->n_instruments ? tell_list(ctx, names, part->n_instruments) : STR("no instrument named");
    return say_text(ctx, "`%.*s` (%.*s)", STR_ARG(part->symbol.name), STR_ARG(list));
}

/* Who sounds in a stretch, sorted by whether all, some or none of the part's instruments fit. */
struct players {
    const struct part **all, **some, **none;
    const struct note **none_notes; /* the first note of each of those that do not fit */
    const struct note **all_notes;
    uint32_t n_all, n_some, n_none;
};

static struct players players_read(struct claim_context *ctx, const struct passage *p, struct stretch where,
                                   const struct wanted *w)
{
    struct players out = {
        .all = ARENA_NEW_ARRAY(ctx->arena, const struct part *, p->n_parts),
        .some = ARENA_NEW_ARRAY(ctx->arena, const struct part *, p->n_parts),
        .none = ARENA_NEW_ARRAY(ctx->arena, const struct part *, p->n_parts),
        .none_notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, p->n_parts),
        .all_notes = ARENA_NEW_ARRAY(ctx->arena, const struct note *, p->n_parts),
    };
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        const struct note *n = part_note_in(ctx, part, where);
        if (!n)
            continue;
        uint32_t fits = part_fits(w, part);
        if (fits && fits == part->n_instruments) {
            out.all_notes[out.n_all] = n;
            out.all[out.n_all++] = part;
        } else if (fits || part->n_instruments == 0) {
            out.some[out.n_some++] = part;
        } else {
            out.none_notes[out.n_none] = n;
            out.none[out.n_none++] = part;
        }
    }
    return out;
}

static struct str players_list(struct claim_context *ctx, const struct part *const *parts, uint32_t n)
{
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, n);
    for (uint32_t i = 0; i < n; i++)
        words[i] = player_words(ctx, parts[i]);
    return tell_list(ctx, words, n);
}

/* "`reed` (English horn) plays E4 at bar 3 beat 1" */
static struct str plays_words(struct claim_context *ctx, const struct part *part, const struct note *n,
                              struct stretch where)
{
    struct ratio at = ratio_lt(n->onset, where.onset) ? where.onset : n->onset;
    return say_text(ctx, "%.*s plays %.*s at %.*s", STR_ARG(player_words(ctx, part)),
                    STR_ARG(say_pitch(ctx, n->pitch)), STR_ARG(say_place(ctx, part->passage, at)));
}

/* True after an undecided verdict: a bar is not transcribed, or a part mixes instruments. */
static bool players_unknown(struct claim_context *ctx, const struct passage *p, struct stretch where,
                            const struct players *players)
{
    struct gap gap;
    if (players->n_some) {
        claim_undecided(ctx,
                        "%.*s: the part does not tell which of its players sounds; write a part for each",
                        STR_ARG(player_words(ctx, players->some[0])));
        return true;
    }
    if (passage_gap(p, NULL, where, &gap)) {
        claim_undecided(ctx, "%.*s, so others may play there", STR_ARG(gap_words(ctx, &gap)));
        return true;
    }
    return false;
}

/* Whole bars at the beginning of the stretch in which only those who fit play: the sentence that is true of
 * them. */
static void suggest_bars(struct claim_context *ctx, const struct passage *p, struct stretch where,
                         const struct wanted *w)
{
    struct stretch good = {.onset = where.onset, .end = where.onset};
    for (uint32_t i = 0; i < p->n_bars; i++) {
        const struct bar *bar = &p->bars[i];
        struct stretch inside = {.onset = bar->onset, .end = ratio_plus(bar->onset, bar->length)};
        struct gap gap;
        if (!ratio_eq(inside.onset, good.end) || ratio_lt(where.end, inside.end))
            continue;
        struct players players = players_read(ctx, p, inside, w);
        if (players.n_none || players.n_some || players.n_all == 0 || passage_gap(p, NULL, inside, &gap))
            break;
        good.end = inside.end;
    }
    if (ratio_eq(good.onset, good.end))
        return;
    struct str who = w->instrument
                         ? say_text(ctx, "the %.*s", STR_ARG(instrument_title(w->instrument)))
                         : family_plural(ctx, w->family);
    claim_instead(ctx, "only %.*s play%s in %.*s, %.*s", STR_ARG(who), w->instrument ? "s" : "",
                  STR_ARG(p->symbol.name), STR_ARG(stretch_words(ctx, p, good)));
}

static void check_only(struct claim_context *ctx, const struct passage *p, struct stretch where,
                       const struct wanted *w)
{
    struct players players = players_read(ctx, p, where, w);
    struct str bars = stretch_words(ctx, p, where);
    if (players.n_none) {
        claim_place(ctx, players.none_notes[0]->where, "`%.*s` plays here",
                    STR_ARG(players.none[0]->symbol.name));
        claim_fails(ctx, "%.*s", STR_ARG(plays_words(ctx, players.none[0], players.none_notes[0], where)));
        suggest_bars(ctx, p, where, w);
        return;
    }
    if (players_unknown(ctx, p, where, &players))
        return;
    if (players.n_all == 0) {
        claim_undecided(ctx, "nothing sounds in %.*s, so nobody plays there", STR_ARG(bars));
        return;
    }
    claim_holds(ctx, "%.*s: %.*s, and no other part has a note there", STR_ARG(bars),
                STR_ARG(players_list(ctx, players.all, players.n_all)));
}

static void check_none(struct claim_context *ctx, const struct passage *p, struct stretch where,
                       const struct wanted *w)
{
    struct players players = players_read(ctx, p, where, w);
    struct str bars = stretch_words(ctx, p, where);
    if (players.n_all) {
        claim_place(ctx, players.all_notes[0]->where, "`%.*s` plays here",
                    STR_ARG(players.all[0]->symbol.name));
        claim_fails(ctx, "%.*s", STR_ARG(plays_words(ctx, players.all[0], players.all_notes[0], where)));
        return;
    }
    if (players_unknown(ctx, p, where, &players))
        return;
    if (players.n_none == 0)
        claim_holds(ctx, "%.*s: no part has a note there", STR_ARG(bars));
    else
        claim_holds(ctx, "%.*s: only %.*s", STR_ARG(bars),
                    STR_ARG(players_list(ctx, players.none, players.n_none)));
}

/* The passage that the sentence names, or the only one there is. */
static const struct passage *passage_meant(struct claim_context *ctx, const struct match *m,
                                           struct stream *out)
{
    if (m->n_streams) {
        *out = m->stream[0];
        return m->stream[0].passage;
    }
    if (ctx->model->n_passages != 1) {
        claim_undecided(ctx, "%s: end the sentence with `in` and the passage's name",
                        ctx->model->n_passages ? "more than one passage could be meant"
                                               : "there is no passage");
        return NULL;
    }
    const struct passage *p = ctx->model->passages[0];
    *out = (struct stream){.kind = STREAM_ALL, .passage = p, .words = p->symbol.name};
    return p;
}

static void check_players(struct claim_context *ctx, const struct match *m, const struct wanted *w, bool none)
{
    struct stream s;
    struct stretch where;
    const struct passage *p = passage_meant(ctx, m, &s);
    if (!p || !match_stretch(ctx, m, &s, &where))
        return;
    take_passage(ctx, p);
    if (none)
        check_none(ctx, p, where, w);
    else
        check_only(ctx, p, where, w);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    struct wanted w = {0};
    if (m->n_families)
        w.family = m->family[0];
    switch ((enum pattern)pattern) {
    case IS:
    case BELONGS:
    case MEMBER:
        check_instrument(ctx, m, m->instrument[0]);
        return;
    case BOTH:
        check_both(ctx, m);
        return;
    case ONLY_INSTRUMENT:
        w.instrument = m->instrument[0];
        check_players(ctx, m, &w, false);
        return;
    case ONLY:
    case ALL_OF:
        check_players(ctx, m, &w, false);
        return;
    case NONE_OF:
        check_players(ctx, m, &w, true);
        return;
    }
}

const struct claim_kind claim_kind_family = {
    .name = "family",
    .patterns = patterns,
    .meaning = "the family of an instrument, or of all that play in a stretch, by the instrument library",
    .page = claim_page_family,
    .check = check,
    .fails = DIAG_FAILS_family,
};
