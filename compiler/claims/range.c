#include "claims/pages.h"
#include "claims/places.h"
#include "claims/tell.h"

#include "base/buf.h"

#define WHICH "<range|common range|usual range|ordinary range>"

enum pattern { LIES, LIES_ITS, GOES, GOES_ITS, PITCH_LIES, CAN_PLAY, CAN_REACH };

static const char *const patterns[] = {
    [LIES] = "STREAM lies|stays|is <within|in|inside|above|below> " WHICH " of INSTRUMENT",
    [LIES_ITS] = "STREAM lies|stays|is <within|in|inside|above|below> its|their " WHICH,
    [GOES] = "STREAM <goes above|rises above|climbs above|goes below|falls below|sinks below> " WHICH
             " of INSTRUMENT",
    [GOES_ITS] =
        "STREAM <goes above|rises above|climbs above|goes below|falls below|sinks below> its|their " WHICH,
    [PITCH_LIES] = "PITCH lies|is <within|in|inside|above|below> " WHICH " of INSTRUMENT",
    [CAN_PLAY] = "INSTRUMENT can play|reach PITCH",
    [CAN_REACH] = "INSTRUMENT can play STREAM",
    NULL,
};

/* What a sentence says of the notes against a range. */
enum relation {
    WITHIN, /* every note */
    ABOVE,  /* every note is higher */
    BELOW,
    GOES_ABOVE, /* some note is */
    GOES_BELOW
};

struct range {
    const struct instrument *instrument;
    struct pitch low, high;
    bool common;
};

static struct range range_of(const struct instrument *in, bool common)
{
    return (struct range){in, common ? in->common_low : in->low, common ? in->common_high : in->high, common};
}

static bool range_known(const struct instrument *in, bool common)
{
    return common ? in->has_common : in->has_range;
}

/* -1 below the range, 1 above it, 0 within: by sound, the two ends belong to it. */
static int range_side(const struct range *r, struct pitch p)
{
    int midi = pitch_midi(p);
    return (midi > pitch_midi(r->high)) - (midi < pitch_midi(r->low));
}

/* ---- words ------------------------------------------------------------------------------------------ */

/* "C4", or "C4 (written G4)" for an instrument that sounds otherwise than it is written. */
static struct str pitch_words(struct claim_context *ctx, const struct instrument *in, struct pitch p)
{
    struct str sounding = say_pitch(ctx, p);
    if (in->sounds.steps == 0 && in->sounds.half == 0)
        return sounding;
    struct str written = say_pitch(ctx, pitch_move(p, interval_negate(in->sounds)));
    return say_text(ctx, "%.*s (written %.*s)", STR_ARG(sounding), STR_ARG(written));
}

/* "the common range of the English horn, E3 to A5" */
static struct str range_words(struct claim_context *ctx, const struct range *r)
{
    return say_text(ctx, "the %srange of the %.*s, %.*s to %.*s sounding",
                    r->common ? "common " : "", STR_ARG(instrument_title(r->instrument)),
                    STR_ARG(say_pitch(ctx, r->low)), STR_ARG(say_pitch(ctx, r->high)));
}

/* "a minor third above" the limit that a note passes; the range follows. */
static struct str beyond_words(struct claim_context *ctx, const struct range *r, struct pitch p)
{
    int side = range_side(r, p);
    struct interval by = interval_between(side > 0 ? r->high : r->low, p);
    if (by.steps == 0 && by.half == 0)
        return side > 0 ? STR("above") : STR("below");
    return say_text(ctx, "%.*s %s", STR_ARG(say_interval(ctx, by)), side > 0 ? "above" : "below");
}

/* ---- the notes --------------------------------------------------------------------------------------- */

/* The notes that are looked at: a stream's, or one pitch of the sentence. */
struct notes {
    const struct note **items; /* NULL: `single` */
    uint32_t n;
    struct pitch single;
    const struct passage *passage;
    struct str words;
};

static struct pitch notes_pitch(const struct notes *notes, uint32_t i)
{
    return notes->items ? notes->items[i]->pitch : notes->single;
}

/* The lowest and the highest. */
static void notes_limits(const struct notes *notes, uint32_t *low, uint32_t *high)
{
    *low = *high = 0;
    for (uint32_t i = 1; i < notes->n; i++) {
        int midi = pitch_midi(notes_pitch(notes, i));
        if (midi < pitch_midi(notes_pitch(notes, *low)))
            *low = i;
        if (midi > pitch_midi(notes_pitch(notes, *high)))
            *high = i;
    }
}

static bool relation_fits(const struct range *r, enum relation relation, struct pitch p)
{
    int side = range_side(r, p);
    switch (relation) {
    case WITHIN:
        return side == 0;
    case ABOVE:
    case GOES_ABOVE:
        return side > 0;
    case BELOW:
    case GOES_BELOW:
        return side < 0;
    }
    return false;
}

static bool relation_some(enum relation relation)
{
    return relation == GOES_ABOVE || relation == GOES_BELOW;
}

/* The note that decides: of a claim on every note one that breaks it (n: none), of a claim on some note one
 * that proves it. The one furthest out where notes leave the range, so that the message names the worst. */
static uint32_t deciding_note(const struct range *r, enum relation relation, const struct notes *notes)
{
    bool some = relation_some(relation);
    uint32_t low, high;
    notes_limits(notes, &low, &high);
    const uint32_t tries[] = {high, low};
    for (size_t i = 0; i < sizeof tries / sizeof tries[0]; i++)
        if (relation_fits(r, relation, notes_pitch(notes, tries[i])) == some)
            return tries[i];
    return notes->n;
}

static bool relation_holds(const struct range *r, enum relation relation, const struct notes *notes)
{
    bool found = deciding_note(r, relation, notes) < notes->n;
    return relation_some(relation) ? found : !found;
}

/* ---- verdicts -------------------------------------------------------------------------------------------
 */

/* A sentence of the kind that is true of the notes. */
static void suggest(struct claim_context *ctx, const struct range *r, const struct notes *notes)
{
    static const char *const words[] = {
        [WITHIN] = "within",    [ABOVE] = "above",      [BELOW] = "below",
        [GOES_ABOVE] = "above", [GOES_BELOW] = "below",
    };
    struct str title = instrument_title(r->instrument);
    for (int i = WITHIN; i <= GOES_BELOW; i++) {
        if (!relation_holds(r, (enum relation)i, notes))
            continue;
        struct str verb =
            tell_verb(ctx, &(struct stream){.words = notes->words}, i < GOES_ABOVE ? "lie" : "go");
        claim_instead(ctx, "%.*s %.*s %s the %srange of the %.*s", STR_ARG(notes->words), STR_ARG(verb),
                      words[i], r->common ? "common " : "", STR_ARG(title));
        return;
    }
}

static struct str span_words(struct claim_context *ctx, const struct range *r, const struct notes *notes)
{
    uint32_t low, high;
    notes_limits(notes, &low, &high);
    struct str a = pitch_words(ctx, r->instrument, notes_pitch(notes, low));
    if (pitch_eq(notes_pitch(notes, low), notes_pitch(notes, high)))
        return a;
    return say_text(ctx, "%.*s to %.*s", STR_ARG(a),
                    STR_ARG(pitch_words(ctx, r->instrument, notes_pitch(notes, high))));
}

static struct str note_words(struct claim_context *ctx, const struct range *r, const struct notes *notes,
                             uint32_t i)
{
    struct str pitch = pitch_words(ctx, r->instrument, notes_pitch(notes, i));
    if (!notes->items || !notes->passage)
        return pitch;
    return say_text(ctx, "%.*s at %.*s", STR_ARG(pitch),
                    STR_ARG(say_place(ctx, notes->passage, notes->items[i]->onset)));
}

/* All notes lie as is said, or, of a claim on some note, none does: then the one that comes nearest is named.
 */
static void decide_together(struct claim_context *ctx, const struct range *r, enum relation relation,
                            const struct notes *notes)
{
    static const char *const words[] = {[WITHIN] = "within", [ABOVE] = "above", [BELOW] = "below"};
    struct str range = range_words(ctx, r);
    if (!relation_some(relation)) {
        claim_holds(ctx, "%.*s %s %s %.*s", STR_ARG(span_words(ctx, r, notes)), notes->n > 1 ? "lie" : "lies",
                    words[relation], STR_ARG(range));
        return;
    }
    uint32_t low, high;
    notes_limits(notes, &low, &high);
    bool above = relation == GOES_ABOVE;
    claim_fails(ctx, "the %s note, %.*s, does not leave %.*s", above ? "highest" : "lowest",
                STR_ARG(note_words(ctx, r, notes, above ? high : low)), STR_ARG(range));
    suggest(ctx, r, notes);
}

static void decide(struct claim_context *ctx, const struct range *r, enum relation relation,
                   const struct notes *notes)
{
    uint32_t i = deciding_note(r, relation, notes);
    if (i == notes->n) {
        decide_together(ctx, r, relation, notes);
        return;
    }
    struct str range = range_words(ctx, r);
    struct pitch p = notes_pitch(notes, i);
    struct str note = note_words(ctx, r, notes, i);
    struct str where = range_side(r, p) ? beyond_words(ctx, r, p) : STR("within");
    if (notes->items)
        claim_place(ctx, notes->items[i]->where, "%.*s the range", STR_ARG(where));
    if (relation_some(relation)) {
        claim_holds(ctx, "%.*s lies %.*s %.*s", STR_ARG(note), STR_ARG(where), STR_ARG(range));
        return;
    }
    claim_fails(ctx, "%.*s lies %.*s %.*s", STR_ARG(note), STR_ARG(where), STR_ARG(range));
    suggest(ctx, r, notes);
}

/* True after an undecided verdict: the library knows no such range. */
static bool range_missing(struct claim_context *ctx, const struct instrument *in, bool common)
{
    if (range_known(in, common))
        return false;
    claim_undecided(ctx, "the library gives no %srange for %.*s: add `%s` to an `instrument` of your own",
                    common ? "common " : "", STR_ARG(instrument_title(in)), common ? "common" : "range");
    return true;
}

/* ---- `its` range
 * -------------------------------------------------------------------------------------------- */

static const struct part *stream_part(const struct stream *s)
{
    return s->part ? s->part : s->figure ? s->figure->part : NULL;
}

/* The part's own instruments; where it names several they must agree, or the sentence must say whose range is
 * meant. */
static void decide_its(struct claim_context *ctx, const struct stream *s, enum relation relation, bool common,
                       const struct notes *notes)
{
    const struct part *part = stream_part(s);
    if (!part || part->n_instruments == 0) {
        claim_undecided(ctx, "%.*s has no instrument of its own: say `the range of` and its name",
                        STR_ARG(s->words));
        return;
    }
    uint32_t holding = 0;
    for (uint32_t i = 0; i < part->n_instruments; i++) {
        if (range_missing(ctx, part->instruments[i], common))
            return;
        struct range r = range_of(part->instruments[i], common);
        holding += relation_holds(&r, relation, notes);
    }
    if (holding != 0 && holding != part->n_instruments) {
        struct str a = instrument_title(part->instruments[0]);
        claim_undecided(
            ctx,
            "`%.*s` is for several instruments, and the notes do not lie alike in all their ranges: name "
            "one, as in `the range of the %.*s`",
            STR_ARG(part->symbol.name), STR_ARG(a));
        return;
    }
    struct range r = range_of(part->instruments[0], common);
    decide(ctx, &r, relation, notes);
}

/* ---- sentences
 * ----------------------------------------------------------------------------------------------- */

static enum relation relation_lies(int choice)
{
    static const enum relation relations[] = {WITHIN, WITHIN, WITHIN, ABOVE, BELOW};
    return relations[choice];
}

static enum relation relation_goes(int choice)
{
    return choice < 3 ? GOES_ABOVE : GOES_BELOW;
}

static bool stream_read(struct claim_context *ctx, const struct match *m, struct notes *out)
{
    const struct stream *s = &m->stream[0];
    struct stretch where;
    struct line line;
    if (!match_stretch(ctx, m, s, &where) || !stream_notes(ctx, s, where, &line))
        return false;
    *out = (struct notes){.items = line.notes, .n = line.n, .passage = line.passage, .words = s->words};
    return true;
}

static void check_stream(struct claim_context *ctx, const struct match *m, enum relation relation,
                         bool common)
{
    struct notes notes;
    if (!stream_read(ctx, m, &notes))
        return;
    if (m->n_instruments == 0) {
        decide_its(ctx, &m->stream[0], relation, common, &notes);
        return;
    }
    if (range_missing(ctx, m->instrument[0], common))
        return;
    struct range r = range_of(m->instrument[0], common);
    decide(ctx, &r, relation, &notes);
}

static void check_pitch(struct claim_context *ctx, const struct match *m, enum relation relation, bool common)
{
    const struct instrument *in = m->instrument[0];
    if (range_missing(ctx, in, common))
        return;
    struct notes notes = {.n = 1, .single = m->pitch[0], .words = say_pitch(ctx, m->pitch[0])};
    struct range r = range_of(in, common);
    decide(ctx, &r, relation, &notes);
}

static void check(struct claim_context *ctx, const struct match *m, int pattern)
{
    bool common = m->n_choices > 1 && m->choice[1] > 0;
    switch ((enum pattern)pattern) {
    case LIES:
    case LIES_ITS:
        check_stream(ctx, m, relation_lies(m->choice[0]), common);
        return;
    case GOES:
    case GOES_ITS:
        check_stream(ctx, m, relation_goes(m->choice[0]), common);
        return;
    case PITCH_LIES:
        check_pitch(ctx, m, relation_lies(m->choice[0]), common);
        return;
    case CAN_PLAY:
        check_pitch(ctx, m, WITHIN, false);
        return;
    case CAN_REACH:
        check_stream(ctx, m, WITHIN, false);
        return;
    }
}

const struct claim_kind claim_kind_range = {
    .name = "range",
    .patterns = patterns,
    .meaning = "how sounding notes lie against what an instrument can play, or ordinarily plays",
    .page = claim_page_range,
    .check = check,
    .fails = DIAG_FAILS_range,
};
