#include "base/assert.h"
#include "base/buf.h"
#include "claims/check.h"
#include "claims/match.h"
#include "claims/sound.h"


/* ---- verdicts, called by the kinds --------------------------------------------------------------- */

static struct str format_text(struct arena *a, const char *format, va_list ap)
{
    struct buf b = {0};
    buf_vprintf(&b, format, ap);
    return buf_take(&b, a);
}

/* A helper that found nothing to look at has spoken already; the first verdict stands. */
void claim_verdict_mute(struct claim_context *ctx, enum verdict v)
{
    if (ctx->claim->evidence.n)
        return;
    ctx->claim->verdict = v;
    ctx->claim->evidence = ctx->claim->reason = STR("not written out");
}

bool claim_holds_mute(struct claim_context *ctx)
{
    if (ctx->mute)
        claim_verdict_mute(ctx, VERDICT_HOLDS);
    return ctx->mute;
}

void claim_verdict(struct claim_context *ctx, enum verdict v, const char *format, ...)
{
    if (ctx->claim->evidence.n)
        return;
    va_list ap;
    va_start(ap, format);
    ctx->claim->verdict = v;
    ctx->claim->evidence = ctx->claim->reason = format_text(ctx->arena, format, ap);
    va_end(ap);
}

static struct claim_place **places_end(struct claim_place **at)
{
    while (*at)
        at = &(*at)->next;
    return at;
}

void claim_place(struct claim_context *ctx, struct span where, const char *format, ...)
{
    if (ctx->mute)
        return;
    struct claim_place *place = ARENA_NEW(ctx->arena, struct claim_place);
    va_list ap;
    va_start(ap, format);
    place->where = where;
    place->words = format_text(ctx->arena, format, ap);
    va_end(ap);
    *places_end(&ctx->claim->places) = place;
}

void claim_instead(struct claim_context *ctx, const char *format, ...)
{
    if (ctx->mute)
        return;
    va_list ap;
    va_start(ap, format);
    ctx->claim->instead = format_text(ctx->arena, format, ap);
    va_end(ap);
}

static bool convention_named(struct str list, const char *text)
{
    struct str t = str_of(text);
    for (uint32_t i = 0; i + t.n <= list.n; i++)
        if (memcmp(list.p + i, t.p, t.n) == 0)
            return true;
    return false;
}

void claim_convention(struct claim_context *ctx, enum convention c)
{
    struct claim *claim = ctx->claim;
    const char *text = convention_text(ctx->conventions, c);
    char amount[RATIO_TEXT_MAX];
    struct str one = str_of(text);
    if (!convention_info(c)->words[0] && ctx->conventions->amount[c].num != 0)
        one = str_printf(ctx->arena, "%s %s", text, ratio_text(ctx->conventions->amount[c], false, amount));
    if (convention_named(claim->convention, text))
        return;
    if (claim->convention.n)
        claim->convention = str_printf(ctx->arena, "%.*s, %.*s", STR_ARG(claim->convention), STR_ARG(one));
    else
        claim->convention = one;
}

/* ---- one clause ---------------------------------------------------------------------------------- */

struct trial {
    struct claim claim; /* what the check filled */
    enum diag_code code;
    bool touched;
    const struct passage *passage;
};

static struct trial run_once(const struct model *m, const struct claim *claim, const struct clause *clause,
                             struct uncertain *uncertain, bool without, bool mute)
{
    struct trial trial = {.claim = {.symbol = claim->symbol, .sentence = claim->sentence, .text = claim->text,
                                .kind = clause->pattern->kind, .verdict = VERDICT_UNDECIDED}};
    struct claim_context ctx = {.arena = m->arena,
                                .model = m,
                                .conventions = m->conventions,
                                .claim = &trial.claim,
                                .without_uncertain = without,
                                .mute = mute,
                                .code = clause->pattern->kind->fails,
                                .uncertain = uncertain};
    clause->pattern->kind->check(&ctx, &clause->match, clause->pattern->number);
    ASSERT(trial.claim.evidence.n); /* every check ends in a verdict */
    trial.code = ctx.code;
    trial.touched = ctx.touched_uncertain;
    trial.passage = ctx.passage;
    return trial;
}

static bool turned(enum verdict a, enum verdict b)
{
    return a != b && a != VERDICT_UNDECIDED && b != VERDICT_UNDECIDED;
}

static const char *verdict_word(enum verdict v)
{
    switch (v) {
    case VERDICT_HOLDS: return "holds";
    case VERDICT_FAILS: return "fails";
    case VERDICT_UNDECIDED: return "is undecided";
    }
    return "";
}

/* The verdict hangs on an uncertain place: says on which, by leaving out one at a time. */
static void decide_uncertain(const struct model *m, const struct claim *claim, const struct clause *clause,
                             struct uncertain *uncertain, struct trial *trial, const struct trial *without)
{
    struct buf names = {0};
    struct claim_place *places = NULL, **end = &places;
    for (uint32_t i = 0; i < uncertain->n; i++) {
        const struct uncertain_place *place = &uncertain->places[i];
        uncertain->one = true;
        uncertain->left_out = place->where;
        struct trial part = run_once(m, claim, clause, uncertain, true, false);
        if (uncertain->n > 1 && !turned(trial->claim.verdict, part.claim.verdict))
            continue;
        buf_printf(&names, "%s%.*s", names.n ? ", " : "", STR_ARG(place->words));
        struct claim_place *mark = ARENA_NEW(m->arena, struct claim_place);
        *mark = (struct claim_place){place->where, STR("marked uncertain"), NULL};
        *end = mark;
        end = &mark->next;
    }
    if (names.n == 0)
        buf_put(&names, "notes marked uncertain");
    struct str which = buf_take(&names, m->arena);
    trial->claim.reason = trial->claim.evidence = str_printf(
        m->arena, "it hangs on %.*s, marked uncertain: with it the claim %s (%.*s), without it %s (%.*s)",
        STR_ARG(which), verdict_word(trial->claim.verdict), STR_ARG(trial->claim.evidence),
        verdict_word(without->claim.verdict), STR_ARG(without->claim.evidence));
    trial->claim.verdict = VERDICT_UNDECIDED;
    trial->claim.instead = STR("");
    trial->claim.places = places;
}

/* A denied clause: what held fails, and the other way round. */
static void turn_round(const struct model *m, struct claim *c, const struct clause *clause)
{
    switch (c->verdict) {
    case VERDICT_HOLDS:
        c->verdict = VERDICT_FAILS;
        c->reason = str_printf(m->arena, "it does: %.*s", STR_ARG(c->evidence));
        c->instead = clause->affirmed;
        break;
    case VERDICT_FAILS:
        c->verdict = VERDICT_HOLDS;
        c->instead = STR("");
        break;
    case VERDICT_UNDECIDED:
        break;
    }
}

static struct trial run_clause(const struct model *m, const struct claim *claim, const struct clause *clause)
{
    struct uncertain uncertain = {0};
    if (m->verdicts_only) { /* what holds needs no words; all else is checked again with them */
        /* Without a list of uncertain notes: it would name them without words. */
        struct trial silent = run_once(m, claim, clause, NULL, false, true);
        if (silent.claim.verdict == VERDICT_HOLDS && !silent.touched && !clause->match.negated)
            return silent;
    }
    struct trial trial = run_once(m, claim, clause, &uncertain, false, false);
    if (trial.touched) {
        struct trial without = run_once(m, claim, clause, &uncertain, true, false);
        if (turned(trial.claim.verdict, without.claim.verdict))
            decide_uncertain(m, claim, clause, &uncertain, &trial, &without);
        else
            trial.claim.on_uncertain = true;
    }
    if (clause->match.negated)
        turn_round(m, &trial.claim, clause);
    return trial;
}

/* ---- the whole sentence -------------------------------------------------------------------------- */

static struct str joined(struct arena *a, struct str before, struct str more, const char *between)
{
    if (!before.n || !more.n)
        return before.n ? before : more;
    return str_printf(a, "%.*s%s%.*s", STR_ARG(before), between, STR_ARG(more));
}

/* All clauses must hold: one that fails decides, one that is undecided leaves it open. */
static void add_clause(const struct model *m, struct claim *claim, const struct trial *trial, bool first)
{
    const struct claim *c = &trial->claim;
    static const int weight[] = {[VERDICT_HOLDS] = 0, [VERDICT_UNDECIDED] = 1, [VERDICT_FAILS] = 2};
    bool worse = !first && weight[c->verdict] > weight[claim->verdict];
    if (first || worse) {
        claim->verdict = c->verdict;
        claim->reason = c->reason;
    } else if (c->verdict == VERDICT_HOLDS && claim->verdict == VERDICT_HOLDS) {
        claim->reason = joined(m->arena, claim->reason, c->reason, "; ");
    }
    claim->evidence = joined(m->arena, claim->evidence, c->evidence, "; ");
    claim->convention = joined(m->arena, claim->convention, c->convention, ", ");
    claim->instead = first ? c->instead : STR("");
    claim->on_uncertain = claim->on_uncertain || c->on_uncertain;
    if (!claim->passage)
        claim->passage = trial->passage;
    if (claim->passage == trial->passage && c->read.given)
        stretch_widen(&claim->read, c->read);
    *places_end(&claim->places) = c->places;
}

static void report(struct model *m, const struct claim *claim, enum diag_code code)
{
    struct diag_list *diags = m->diags;
    struct str name = claim->symbol.name;
    if (claim->verdict == VERDICT_HOLDS)
        return;
    bool fails = claim->verdict == VERDICT_FAILS;
    struct diag *d =
        diag_add(diags, fails ? code : DIAG_CLAIM_UNDECIDED, claim->sentence, "claim `%.*s` %s: %.*s",
                 STR_ARG(name), verdict_word(claim->verdict), STR_ARG(claim->reason));
    for (const struct claim_place *p = claim->places; p; p = p->next)
        diag_place(diags, d, p->where, "%.*s", STR_ARG(p->words));
    if (claim->convention.n)
        diag_note(diags, d, "by the convention %.*s", STR_ARG(claim->convention));
    if (claim->on_uncertain)
        diag_note(diags, d, "this rests on a note marked uncertain");
    if (claim->instead.n) {
        diag_help(diags, d, "true would be: %.*s", STR_ARG(claim->instead));
        diag_fix(diags, d, claim->sentence, claim->instead, false);
    }
}

static struct str sentence_text(struct arena *a, struct sentence s)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < s.n; i++) {
        bool tight = i == 0 || str_is(s.words[i].text, ",") || str_is(s.words[i].text, ".");
        buf_printf(&b, "%s%.*s", tight ? "" : " ", STR_ARG(s.words[i].text));
    }
    return buf_take(&b, a);
}

void claim_run(struct model *m, struct claim *claim, struct sentence sentence)
{
    struct clause clauses[CLAUSES_MAX];
    if (!claim->text.n)
        claim->text = sentence_text(m->arena, sentence);
    claim->sentence = sentence.where;
    uint32_t n = clauses_read(m, sentence, clauses);
    if (n == 0) {
        claim->verdict = VERDICT_UNDECIDED;
        claim->evidence = claim->reason = STR("the sentence is not understood");
        report_unread(m, claim, sentence);
        return;
    }
    enum diag_code code = DIAG_CLAIM_FAILS;
    claim->kind = clauses[0].pattern->kind;
    claim->negated = n == 1 && clauses[0].match.negated;
    for (uint32_t i = 0; i < n; i++) {
        struct trial trial = run_clause(m, claim, &clauses[i]);
        add_clause(m, claim, &trial, i == 0);
        if (n == 1 && !claim->negated)
            code = trial.code;
    }
    claim->by_ear = claim->passage && claim->passage->basis != BASIS_SCORE;
    report(m, claim, code);
}

struct str claims_overview(struct arena *a)
{
    struct buf b = {0};
    for (const struct claim_kind *const *k = claim_kinds(); *k; k++) {
        buf_printf(&b, "%s%s: %s\n", k == claim_kinds() ? "" : "\n", (*k)->name, (*k)->meaning);
        for (const char *const *p = (*k)->patterns; *p; p++) {
            struct str text = pattern_text(a, *p);
            buf_printf(&b, "    %.*s\n", STR_ARG(text));
        }
    }
    return buf_take(&b, a);
}
