#include "claims/pedal.h"

#include "base/buf.h"
#include "claims/pages.h"
#include "claims/places.h"
#include "claims/tell.h"

#define ROLES "<bass|inner|inverted|upper|top>"
#define NOUN "pedal [point|note|tone]"
#define WHERE "[in|of|under|below|through|throughout PASSAGE]"
#define FROM_TO "[from|in|at] PLACE [to|through PLACE]"
#define ENDS "that|which|and <resolves|never resolves|refuses to resolve>"

static const char *const patterns[] = {
    "TONE is|forms " ROLES " " NOUN " " WHERE,
    "TONE is|forms " ROLES " " NOUN " " WHERE " " ENDS,
    "TONE is|forms " ROLES " " NOUN " " ENDS " " WHERE,
    "TONE is|forms " ROLES " " NOUN " " WHERE " " FROM_TO " " ENDS,
    "TONE is|forms " NOUN " " WHERE,
    "TONE is|forms " NOUN " " WHERE " " ENDS,
    "TONE is|forms " NOUN " " ENDS " " WHERE,
    "TONE is|forms " NOUN " " WHERE " " FROM_TO " " ENDS,
    "PASSAGE has|stands [on|over] " ROLES " " NOUN " on TONE",
    "PASSAGE has|stands [on|over] " NOUN " on TONE",
    "PASSAGE has " NOUN " on TONE in <bass|middle|treble|top>",
    "bass [of PASSAGE] holds|has|keeps " NOUN " on TONE",
    "TONE and TONE is|form double " NOUN " " WHERE,
    "TONE is|forms <tonic|dominant> [bass] " NOUN " " WHERE " [in KEY]",
    "PASSAGE has|stands [on|over] <tonic|dominant> [bass] " NOUN " [in KEY]",
    NULL,
};

enum { PATTERN_ROLE_LAST = 10, PATTERN_BASS_HOLDS, PATTERN_DOUBLE, PATTERN_DEGREE, PATTERN_HAS_DEGREE };

/* Where a pattern keeps its choices; -1: it has none such. */
static const struct {
    int role, ending;
} slots[] = {{0, -1}, {0, 1},   {0, 1},  {0, 1},   {-1, -1}, {-1, 0},  {-1, 0}, {-1, 0},
             {0, -1}, {-1, -1}, {0, -1}, {-1, -1}, {-1, -1}, {-1, -1}, {-1, -1}};

static const enum pedal_role role_choices[] = {PEDAL_BASS, PEDAL_INNER, PEDAL_INVERTED, PEDAL_INVERTED,
                                               PEDAL_INVERTED};
static const enum pedal_role place_choices[] = {PEDAL_BASS, PEDAL_INNER, PEDAL_INVERTED, PEDAL_INVERTED};

enum ending { ENDING_ANY, ENDING_RESOLVES, ENDING_NEVER };

struct wanted {
    bool any_role;
    enum pedal_role role;
    enum ending ending;
};

/* All that is asked again and again of one passage. */
struct question {
    struct claim_context *ctx;
    const struct match *match;
    const struct passage *passage;
    struct stretch where;
    struct wanted wanted;
};

static struct wanted read_wanted(const struct match *m, int pattern)
{
    int role = slots[pattern].role, ending = slots[pattern].ending;
    struct wanted w = {.any_role = role < 0 && pattern < PATTERN_BASS_HOLDS, .role = PEDAL_BASS};
    if (pattern == PATTERN_DOUBLE)
        w.any_role = true;
    if (role >= 0)
        w.role = pattern == PATTERN_ROLE_LAST ? place_choices[m->choice[role]]
                                              : role_choices[m->choice[role]];
    if (ending >= 0)
        w.ending = m->choice[ending] == 0 ? ENDING_RESOLVES : ENDING_NEVER;
    return w;
}

/* ---- words --------------------------------------------------------------------------------------- */

static const char *role_words(enum pedal_role role)
{
    switch (role) {
    case PEDAL_BASS:
        return "a bass pedal";
    case PEDAL_INNER:
        return "an inner pedal";
    case PEDAL_INVERTED:
        return "an inverted pedal";
    case PEDAL_ROLES:
        break;
    }
    return "a pedal";
}

static struct str say_at(const struct question *q, struct ratio at)
{
    return say_place(q->ctx, q->passage, at);
}

static struct str say_gap(struct claim_context *ctx, struct ratio gap)
{
    char text[RATIO_TEXT_MAX];
    return say_text(ctx, "%s", ratio_text(gap, true, text));
}

/* "G1 in deep". */
static struct str say_note(struct claim_context *ctx, const struct note *n, const struct part *part)
{
    return say_text(ctx, "%.*s in %.*s", STR_ARG(say_pitch(ctx, n->pitch)),
                    STR_ARG(part->symbol.name));
}

static struct str say_chords(const struct question *q, struct tone tone, const struct pedal_chords *chords)
{
    enum { SHOWN = 6 };
    struct claim_context *ctx = q->ctx;
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, chords->n + 1);
    uint32_t n = 0;
    for (uint32_t i = 0; i < chords->n && n < SHOWN; i++) {
        const struct pedal_chord *c = &chords->items[i];
        words[n++] = say_text(ctx, "%.*s (%s %.*s)", STR_ARG(c->words),
                              c->foreign ? "foreign to" : "contains", STR_ARG(say_tone(ctx, tone)));
    }
    if (chords->n > SHOWN)
        words[n++] = say_count(ctx, chords->n - SHOWN, "more", "more");
    return tell_list(ctx, words, n);
}

/* "G1 in deep is held", "C2 in basses is struck four times (silent for 1/4 at most)". */
static struct str say_pedal(const struct question *q, const struct pedal_finding *f)
{
    struct claim_context *ctx = q->ctx;
    struct str note = say_note(ctx, f->first, f->part);
    if (f->strikes == 1)
        return say_text(ctx, "%.*s is held", STR_ARG(note));
    struct str times = tell_times(ctx, f->strikes);
    if (f->longest_gap.num == 0)
        return say_text(ctx, "%.*s is struck %.*s without a gap", STR_ARG(note), STR_ARG(times));
    return say_text(ctx, "%.*s is struck %.*s (silent for %.*s at most)", STR_ARG(note),
                    STR_ARG(times), STR_ARG(say_gap(ctx, f->longest_gap)));
}

/* ---- one pedal ----------------------------------------------------------------------------------- */

/* What stands against it, if anything; the order is that of certainty. */
enum verdict_of {
    IS_PEDAL,
    NOT_SOUNDING,  /* see the finding */
    NO_HARMONY,    /* no chords are known over it */
    ONE_HARMONY,   /* nothing changes over it */
    NEVER_FOREIGN, /* it belongs to every chord */
    NOT_RESOLVED,  /* ends on a foreign chord */
    RESOLVED       /* a later chord takes it in */
};

struct result {
    enum verdict_of is;
    enum pedal_role role;
    struct pedal_finding finding;
    struct pedal_chords chords;
};

static enum verdict_of judge_ending(enum ending ending, const struct pedal_chords *chords)
{
    if (ending == ENDING_RESOLVES)
        return chords->items[chords->n - 1].foreign ? NOT_RESOLVED : IS_PEDAL;
    bool clashed = false;
    for (uint32_t i = 0; ending == ENDING_NEVER && i < chords->n; i++) {
        if (clashed && !chords->items[i].foreign)
            return RESOLVED;
        clashed = clashed || chords->items[i].foreign;
    }
    return IS_PEDAL;
}

static enum verdict_of judge_chords(const struct question *q, const struct pedal_chords *chords)
{
    bool drone = q->ctx->conventions->choice[CONVENTION_PEDAL] == 1;
    if (chords->n == 0 || (chords->n == 1 && !chords->read))
        return NO_HARMONY;
    if (chords->n == 1)
        return ONE_HARMONY;
    if (chords->foreign == 0 && !drone)
        return NEVER_FOREIGN;
    return judge_ending(q->wanted.ending, chords);
}

static struct result ask_role(const struct question *q, struct tone tone, enum pedal_role role)
{
    struct result r = {.role = role};
    r.finding = pedal_examine(q->ctx, q->passage, tone, role, q->where);
    if (r.finding.fault != PEDAL_SOUNDS) {
        r.is = NOT_SOUNDING;
        return r;
    }
    r.chords = pedal_harmonies(q->ctx, q->passage, tone, r.finding.first->pitch, q->where);
    r.is = judge_chords(q, &r.chords);
    return r;
}

/* In the role that was named; where none was, in the first that fits, else the one that comes
 * furthest. */
static struct result ask(const struct question *q, struct tone tone)
{
    if (!q->wanted.any_role)
        return ask_role(q, tone, q->wanted.role);
    struct result best = ask_role(q, tone, PEDAL_BASS);
    for (int role = PEDAL_INNER; role < PEDAL_ROLES && best.is == NOT_SOUNDING; role++) {
        struct result r = ask_role(q, tone, (enum pedal_role)role);
        bool further = r.finding.fault != PEDAL_ABSENT &&
                       (best.finding.fault == PEDAL_ABSENT || ratio_lt(best.finding.at, r.finding.at));
        if (r.is != NOT_SOUNDING || further)
            best = r;
    }
    return best;
}

/* ---- true sentences ------------------------------------------------------------------------------ */

static struct str say_in_passage(const struct question *q, struct str span)
{
    return str_printf(q->ctx->arena, "in %.*s%.*s", STR_ARG(q->passage->symbol.name), STR_ARG(span));
}

static bool offer(const struct question *q, struct tone tone, enum pedal_role role, struct str span)
{
    struct question other = *q;
    other.wanted = (struct wanted){.role = role};
    struct result r = ask(&other, tone);
    if (r.is != IS_PEDAL)
        return false;
    struct tone named = r.finding.spelled ? tone : r.finding.first->pitch.tone;
    claim_instead(q->ctx, "%.*s is %s %.*s", STR_ARG(say_tone(q->ctx, named)), role_words(role),
                  STR_ARG(say_in_passage(q, span)));
    return true;
}

/* The same pedal in the whole bars before it goes wrong. */
static bool offer_shorter(const struct question *q, struct tone tone, enum pedal_role role, struct ratio at)
{
    const struct bar *first = passage_bar_at(q->passage, q->where.onset),
                     *broken = passage_bar_at(q->passage, at);
    if (!first || !broken || broken->number - 1 < first->number || !ratio_eq(first->onset, q->where.onset))
        return false;
    struct question shorter = *q;
    shorter.where.end = broken->onset;
    struct str span = str_printf(q->ctx->arena, ", bar %d to bar %d", first->number, broken->number - 1);
    return offer(&shorter, tone, role, span);
}

static void offer_instead(const struct question *q, struct tone tone, const struct result *r)
{
    struct str span = tell_span(q->ctx, q->match);
    for (int role = 0; role < PEDAL_ROLES; role++)
        if ((enum pedal_role)role != r->role && offer(q, tone, (enum pedal_role)role, span))
            return;
    if (r->finding.other && offer(q, r->finding.other->pitch.tone, r->role, span))
        return;
    offer_shorter(q, tone, r->role, r->finding.at);
}

/* ---- verdicts ------------------------------------------------------------------------------------ */

/* Undecided where what goes wrong lies where the notes are not known. */
static bool is_unknown(const struct question *q, struct stretch where)
{
    struct gap gap;
    if (!passage_gap(q->passage, NULL, where, &gap))
        return false;
    claim_undecided(q->ctx,
                    "%.*s: what sounds there is not known; transcribe it, or name a stretch without it",
                    STR_ARG(gap_words(q->ctx, &gap)));
    return true;
}

static const char *cover_words(enum pedal_role role)
{
    return role == PEDAL_BASS ? "takes the bass" : "lies above it";
}

static void fail_absent(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    if (is_unknown(q, q->where))
        return;
    const char *place = r->role == PEDAL_BASS       ? "the lowest note"
                        : r->role == PEDAL_INVERTED ? "the highest note"
                                                    : "between other notes";
    claim_fails(ctx, "%.*s is never %s %.*s", STR_ARG(say_tone(ctx, tone)), place,
                STR_ARG(tell_between(ctx, q->passage, q->where.onset, q->where.end)));
    offer_instead(q, tone, r);
}

static void fail_stops(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    const struct pedal_finding *f = &r->finding;
    if (is_unknown(q, (struct stretch){.onset = f->at, .end = f->until}))
        return;
    claim_convention(ctx, CONVENTION_PEDAL_GAP);
    struct str gap = say_gap(ctx, ctx->conventions->amount[CONVENTION_PEDAL_GAP]);
    if (ratio_eq(f->at, q->where.onset))
        claim_fails(ctx, "%.*s comes in only at %.*s, later than %.*s after %.*s",
                    STR_ARG(say_note(ctx, f->first, f->part)), STR_ARG(say_at(q, f->until)), STR_ARG(gap),
                    STR_ARG(say_at(q, f->at)));
    else
        claim_fails(ctx, "%.*s stops at %.*s and is not struck again within %.*s",
                    STR_ARG(say_note(ctx, f->first, f->part)), STR_ARG(say_at(q, f->at)), STR_ARG(gap));
    claim_place(ctx, f->first->where, "the pedal");
    offer_instead(q, tone, r);
}

static void fail_covered(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    const struct pedal_finding *f = &r->finding;
    struct str other = say_note(ctx, f->other, f->other_part);
    if (f->first)
        claim_fails(ctx, "%.*s sounds from %.*s; at %.*s %.*s %s", STR_ARG(say_note(ctx, f->first, f->part)),
                    STR_ARG(say_at(q, f->begins)), STR_ARG(say_at(q, f->at)), STR_ARG(other),
                    cover_words(r->role));
    else
        claim_fails(ctx, "at %.*s the %s note is %.*s, not %.*s", STR_ARG(say_at(q, f->at)),
                    r->role == PEDAL_BASS ? "lowest" : "highest", STR_ARG(other),
                    STR_ARG(say_tone(ctx, tone)));
    claim_place(ctx, f->other->where, "%.*s %s", STR_ARG(say_pitch(ctx, f->other->pitch)),
                cover_words(r->role));
    offer_instead(q, tone, r);
}

static void fail_sounding(const struct question *q, struct tone tone, const struct result *r)
{
    switch (r->finding.fault) {
    case PEDAL_SOUNDS:
        break;
    case PEDAL_ABSENT:
        fail_absent(q, tone, r);
        break;
    case PEDAL_STOPS:
        fail_stops(q, tone, r);
        break;
    case PEDAL_COVERED:
        fail_covered(q, tone, r);
        break;
    }
}

static void fail_foreign(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    struct str *words = ARENA_NEW_ARRAY(ctx->arena, struct str, r->chords.n);
    for (uint32_t i = 0; i < r->chords.n; i++)
        words[i] = r->chords.items[i].words;
    claim_convention(ctx, CONVENTION_PEDAL);
    claim_fails(ctx,
                "%.*s, but %.*s belongs to every chord over it (%.*s): a held chord tone; with `pedal "
                "drone` it would count",
                STR_ARG(say_pedal(q, &r->finding)), STR_ARG(say_tone(ctx, tone)),
                STR_ARG(tell_list(ctx, words, r->chords.n)));
    claim_place(ctx, r->chords.items[0].where, "%.*s contains %.*s", STR_ARG(words[0]),
                STR_ARG(say_tone(ctx, tone)));
}

static void fail_ending(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    const struct pedal_chords *chords = &r->chords;
    uint32_t at = chords->n - 1;
    if (r->is == RESOLVED) {
        uint32_t clash = 0;
        while (!chords->items[clash].foreign)
            clash++;
        at = clash + 1;
        while (chords->items[at].foreign)
            at++;
    }
    const struct pedal_chord *c = &chords->items[at];
    claim_fails(ctx, "%.*s, but %.*s at %.*s %s %.*s: the pedal %s", STR_ARG(say_pedal(q, &r->finding)),
                STR_ARG(c->words), STR_ARG(say_at(q, c->onset)),
                c->foreign ? "ends the stretch without" : "contains", STR_ARG(say_tone(ctx, tone)),
                c->foreign ? "does not resolve" : "resolves there");
    claim_place(ctx, c->where, "%.*s", STR_ARG(c->words));
    offer(q, tone, r->role, tell_span(ctx, q->match));
}

/* Reports what stands against it; false if nothing does. */
static bool refuse(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    switch (r->is) {
    case IS_PEDAL:
        return is_unknown(q, q->where);
    case NOT_SOUNDING:
        fail_sounding(q, tone, r);
        break;
    case NO_HARMONY:
        claim_undecided(ctx, "%.*s, but no chords are given over it; write them in `harmony { … }`",
                        STR_ARG(say_pedal(q, &r->finding)));
        break;
    case ONE_HARMONY:
        if (!is_unknown(q, q->where))
            claim_fails(
                ctx, "%.*s, but one chord alone sounds over it (%.*s): a pedal lies under changing harmonies",
                STR_ARG(say_pedal(q, &r->finding)), STR_ARG(r->chords.items[0].words));
        break;
    case NEVER_FOREIGN:
        if (!is_unknown(q, q->where))
            fail_foreign(q, tone, r);
        break;
    case NOT_RESOLVED:
    case RESOLVED:
        if (!is_unknown(q, q->where))
            fail_ending(q, tone, r);
        break;
    }
    return true;
}

static void note_conventions(struct claim_context *ctx, const struct result *r)
{
    if (r->chords.foreign == 0)
        claim_convention(ctx, CONVENTION_PEDAL);
    else if (r->finding.longest_gap.num)
        claim_convention(ctx, CONVENTION_PEDAL_GAP);
}

static struct str say_ending(const struct question *q, const struct result *r)
{
    const struct pedal_chord *last = &r->chords.items[r->chords.n - 1];
    switch (q->wanted.ending) {
    case ENDING_ANY:
        break;
    case ENDING_RESOLVES:
        return str_printf(q->ctx->arena, "; it resolves: the last chord, %.*s, takes it in",
                          STR_ARG(last->words));
    case ENDING_NEVER:
        return STR("; it never resolves: once it is foreign no chord of the stretch takes it in");
    }
    return STR("");
}

static struct str say_result(const struct question *q, struct tone tone, const struct result *r)
{
    return str_printf(q->ctx->arena, "%.*s under %.*s%.*s", STR_ARG(say_pedal(q, &r->finding)),
                      STR_ARG(say_chords(q, tone, &r->chords)), STR_ARG(say_ending(q, r)));
}

/* A pedal by sound of which no note is spelled as the sentence has it. */
static bool refuse_spelling(const struct question *q, struct tone tone, const struct result *r)
{
    struct claim_context *ctx = q->ctx;
    struct tone real = r->finding.first->pitch.tone;
    if (r->finding.spelled)
        return false;
    claim_fails(ctx, "%.*s: it sounds the same as %.*s; spelled it is %.*s",
                STR_ARG(say_pedal(q, &r->finding)), STR_ARG(say_tone(ctx, tone)),
                STR_ARG(say_tone(ctx, real)));
    claim_place(ctx, r->finding.first->where, "spelled %.*s", STR_ARG(say_tone(ctx, real)));
    offer(q, real, r->role, tell_span(ctx, q->match));
    return true;
}

static void decide_one(const struct question *q, struct tone tone, bool say_role)
{
    struct result r = ask(q, tone);
    if (refuse(q, tone, &r) || refuse_spelling(q, tone, &r))
        return;
    note_conventions(q->ctx, &r);
    claim_holds(q->ctx, "%.*s%s%s", STR_ARG(say_result(q, tone, &r)), say_role ? ": " : "",
                say_role ? role_words(r.role) : "");
}

static void decide_double(const struct question *q, struct tone low, struct tone high)
{
    if (tone_pc(low) == tone_pc(high)) {
        claim_undecided(q->ctx, "%.*s and %.*s are one note: a double pedal has two",
                        STR_ARG(say_tone(q->ctx, low)), STR_ARG(say_tone(q->ctx, high)));
        return;
    }
    struct result a = ask(q, low), b = ask(q, high);
    if (refuse(q, low, &a) || refuse(q, high, &b) || refuse_spelling(q, low, &a) ||
        refuse_spelling(q, high, &b))
        return;
    note_conventions(q->ctx, &a);
    note_conventions(q->ctx, &b);
    claim_holds(q->ctx, "%.*s; %.*s", STR_ARG(say_result(q, low, &a)), STR_ARG(say_result(q, high, &b)));
}

/* `tone` NULL: the sentence names the degree alone. */
static void decide_degree(const struct question *q, const struct match *m, const struct tone *tone)
{
    const struct key_change *in_force = passage_key_at(q->passage, q->where.onset);
    bool dominant = m->choice[0] == 1;
    char text[PITCH_TEXT_MAX];
    if (!m->n_keys && !in_force) {
        claim_undecided(q->ctx, "no key is stated: write `key` in the passage, or name it (`in C minor`)");
        return;
    }
    struct key key = m->n_keys ? m->key[0] : in_force->key;
    struct tone degree = dominant ? tone_move(key.tonic, (struct interval){4, 7}) : key.tonic;
    if (!tone || tone_eq(degree, *tone)) {
        decide_one(q, degree, true);
        return;
    }
    claim_fails(q->ctx, "the %s of %s is %.*s, not %.*s", dominant ? "dominant" : "tonic",
                key_text(key, SIGN_ASCII, text), STR_ARG(say_tone(q->ctx, degree)),
                STR_ARG(say_tone(q->ctx, *tone)));
}

/* ---- the check ----------------------------------------------------------------------------------- */

/* The passage named, or the only one. */
static bool find_passage(struct claim_context *ctx, const struct match *m, struct stream *out)
{
    if (m->n_streams) {
        *out = m->stream[0];
        return true;
    }
    const struct model *model = ctx->model;
    if (model->n_passages == 1) {
        const struct passage *p = model->passages[0];
        *out = (struct stream){
            .kind = STREAM_ALL, .words = p->symbol.name, .passage = p, .where = m->span.where};
        return true;
    }
    claim_undecided(ctx, "%u passages could be meant: say which, `in` and its name", model->n_passages);
    return false;
}

/* The stretch may stand before `that resolves`; it is then two places. */
static struct match with_span(const struct match *m)
{
    struct match out = *m;
    if (!m->n_places)
        return out;
    const struct place_ref *last = &m->place[m->n_places - 1];
    out.span = (struct span_ref){m->place[0], *last, true, span_join(m->place[0].where, last->where)};
    return out;
}

static void check(struct claim_context *ctx, const struct match *given, int pattern)
{
    struct match spanned = with_span(given);
    const struct match *m = &spanned;
    struct stream stream;
    struct question q = {.ctx = ctx, .match = m, .wanted = read_wanted(m, pattern)};
    if (!find_passage(ctx, m, &stream) || !match_stretch(ctx, m, &stream, &q.where))
        return;
    q.passage = stream.passage;
    if (q.passage->n_parts == 0) {
        claim_undecided(ctx, "no part of %.*s is transcribed: a symbol does not tell what is held",
                        STR_ARG(stream.words));
        return;
    }
    if (pattern == PATTERN_DOUBLE)
        decide_double(&q, m->tone[0], m->tone[1]);
    else if (pattern == PATTERN_DEGREE)
        decide_degree(&q, m, &m->tone[0]);
    else if (pattern == PATTERN_HAS_DEGREE)
        decide_degree(&q, m, NULL);
    else
        decide_one(&q, m->tone[0], q.wanted.any_role);
}

const struct claim_kind claim_kind_pedal = {
    .name = "pedal",
    .patterns = patterns,
    .meaning = "One note sounds through the stretch, held or struck again, in the bass (or between, or "
               "above other voices), under at least two harmonies of which one is foreign to it.",
    .page = claim_page_pedal,
    .check = check,
    .fails = DIAG_FAILS_pedal,
};
