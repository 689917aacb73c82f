/* claims.h - sentences, their kinds, and verdicts with proofs.
 *
 * Purpose: a claim kind is one row (struct claim_kind) in one file NAME.c beside NAME.md, which explains it and holds its
 *          tests; kinds.def registers it. match.c reads sentences by the kinds' patterns, stream.c turns what a sentence
 *          names into notes, check.c runs the kinds and reports.
 * Units:   as in sema/model.h.
 * Owner:   all results live in the compilation arena (ctx->arena).
 * Errors:  a sentence that fits no pattern is reported with the nearest patterns; a check always ends in a verdict.
 */
#ifndef DESCANT_CLAIMS_H
#define DESCANT_CLAIMS_H

#include "base/buf.h"
#include "sema/conventions.h"
#include "sema/model.h"

/* ---- sentences ------------------------------------------------------------------------------- */

enum word_kind {
    WORD_NAME,     /* lower-case word or name: lamp, english, double-reed, down */
    WORD_MUSIC,    /* begins with A to G, or a Roman numeral: Bb3, Cm7, V7 */
    WORD_NUMBER,   /* 3, 2.5 */
    WORD_FRACTION, /* 3/8 */
    WORD_TIME,     /* 0:33, 01:02:33:12 */
    WORD_STRING,   /* text without its quotes */
    WORD_MARK      /* , ( ) [ ] < > = and the like */
};

struct word {
    enum word_kind kind;
    struct str text; /* accidental signs as ASCII in WORD_MUSIC */
    struct span where;
};

struct sentence {
    const struct word *words;
    uint32_t n;
    struct span where;
};

/* ---- what a pattern captures ------------------------------------------------------------------- */

/* Patterns are written in words, with these slots in capitals:
 *
 *   PITCH TONE TONES PLACE STREAM CHORD SYMBOL INTERVAL DIRECTION KEY SCALE FIGURE PART PASSAGE INSTRUMENT QUALITY
 *   FAMILY COUNT VALUE LENGTH TIME RECORDING NUMERAL NUMERALS NUMBERS EXCHANGE
 *
 * `[ ]` is optional, `a|b` are variants of one word, `<a|b c|d>` is a choice whose index is captured (alternatives may
 * have several words). Articles are optional everywhere in the sentence and not written in patterns. A verb matches with and
 * without its -s. `not` (`is not`, `does not move`) is taken out before matching and sets match.negated. Every pattern
 * may end in a SPAN: `, bar 3 to bar 6`, `in bars 3 to 6`, `from bar 1 beat 3 to bar 2 beat 1`, `at bar 3 beat 2`; it is
 * captured as match.span. Example:
 *
 *   "STREAM moves [DIRECTION INTERVAL] in <real|tonal> parallel motion"
 */

enum stream_kind {
    STREAM_PART,    /* reed of lamp */
    STREAM_VOICE,   /* voice 3 of strings of lamp */
    STREAM_HARMONY, /* the harmony of lamp; also `chords of lamp`, `roots of lamp` */
    STREAM_FIGURE,  /* call */
    STREAM_BASS,    /* the bass of lamp: lowest sounding note at each moment */
    STREAM_TOP,     /* the top voice of lamp */
    STREAM_OUTER,   /* the outer voices of lamp */
    STREAM_ALL      /* all of lamp, or lamp itself */
};

struct stream {
    enum stream_kind kind;
    struct str words;  /* as the author named it, with its article: "the harmony of lamp" */
    const struct passage *passage; /* NULL for a figure of a library */
    const struct part *part;       /* STREAM_PART, STREAM_VOICE */
    const struct figure *figure;   /* STREAM_FIGURE */
    uint32_t voice;                /* STREAM_VOICE, 0 = lowest */
    struct span where;
};

struct place_ref {
    int bar;
    bool has_beat;
    struct ratio beat; /* from 1 */
    struct span where;
};

/* What CHORD denotes: a symbol, or what stands at a place. */
struct chord_ref {
    struct str words;            /* "D over Eb", "the chord at bar 1 of lamp" */
    const struct harmony *symbol; /* the symbol itself, or the harmony event's at the place; NULL: none there */
    const struct passage *passage; /* NULL for a bare symbol */
    bool at_place;
    struct place_ref place;      /* as written; `at` is its position where the passage has it */
    struct ratio at;
    struct span where;
};

/* An interval as named in a sentence. */
struct interval_ref {
    bool by_sound;           /* half step, whole step, tritone, N semitones: only v.half counts */
    bool cents;              /* `N cents`: amount holds cents */
    struct interval v;       /* ascending */
    struct ratio amount;     /* cents */
    struct str words;        /* "a major third" */
    struct span where;
};

enum length_unit { LENGTH_SECONDS, LENGTH_FRAMES, LENGTH_BARS, LENGTH_BEATS, LENGTH_WHOLES };
struct length_ref {
    enum length_unit unit;
    struct ratio amount;
    struct str words;
};

/* `bar 3 to bar 6`, `bars 3 to 6`; a single place is from == to. */
struct span_ref {
    struct place_ref from, to;
    bool given;
    struct span where;
};

/* A Roman numeral as written: "ii6", "V65/V", "cad64". */
struct numeral {
    struct str text;
    struct span where;
};

enum { MATCH_SLOTS = 4, MATCH_TONES = 12, MATCH_NUMBERS = 16 };

/* How many slots of each kind are captured. A reading that does not fit goes back to the counts it began with. */
#define MATCH_COUNTS                                                                                         \
    int n_pitches, n_tones, n_list, n_places, n_streams, n_chords, n_intervals, n_directions, n_keys,         \
        n_scales, n_instruments, n_qualities, n_families, n_counts, n_values, n_lengths, n_times,             \
        n_recordings, n_numbers;
struct match_counts { MATCH_COUNTS };

/* Slots are captured in the order in which the pattern names them; each kind of slot is counted for itself. */
struct match {
    union {
        struct match_counts counts;
        struct { MATCH_COUNTS };
    };
    bool negated;
    struct span_ref span;
    int choice[MATCH_SLOTS];  /* index of each <…> met; -1: not reached (inside an absent option) */
    int n_choices;
    struct pitch pitch[MATCH_SLOTS];
    struct tone tone[MATCH_SLOTS];
    struct tone list[MATCH_TONES];       /* TONES: "C, E, G" or "C and E" */
    struct place_ref place[MATCH_SLOTS];
    struct stream stream[MATCH_SLOTS];   /* STREAM, FIGURE, PART and PASSAGE all land here, in order */
    struct chord_ref chord[MATCH_SLOTS]; /* CHORD and SYMBOL */
    struct interval_ref interval[MATCH_SLOTS];
    int direction[MATCH_SLOTS];          /* 1 up/above/higher, -1 down/below/lower */
    struct key key[MATCH_SLOTS];
    const struct scale *scale[MATCH_SLOTS]; /* "D dorian", "octatonic on C", "whole-tone collection" */
    struct tone scale_tonic[MATCH_SLOTS];
    bool scale_has_tonic[MATCH_SLOTS];
    const struct instrument *instrument[MATCH_SLOTS];
    const struct chord_quality *quality[MATCH_SLOTS];
    struct str family[MATCH_SLOTS];      /* the library's word: "bowed-strings"; a reed: "double reed" */
    int64_t count[MATCH_SLOTS];          /* digits or words: 3, three, two, no, once, twice */
    struct ratio value[MATCH_SLOTS];     /* 1/4; also "quarter note", "crotchet" */
    struct length_ref length[MATCH_SLOTS];
    struct ratio time[MATCH_SLOTS];      /* seconds, by the recording's clock where one is named */
    const struct recording *recording[MATCH_SLOTS];
    const struct numeral *numerals; uint32_t n_numerals; /* NUMERAL: one; NUMERALS: one or more; one slot a pattern */
    int number[MATCH_NUMBERS];           /* NUMBERS: "[0 1 4]", "(014)", "<1 0 1 1 0 0>" */
    struct str exchange;                 /* EXCHANGE: letters of P L R S N H, first move first */
};

/* ---- kinds -------------------------------------------------------------------------------------- */

struct claim_context;

struct claim_kind {
    const char *name;                  /* "parallel" */
    const char *const *patterns;       /* NULL-terminated */
    const char *meaning;               /* one sentence: what is computed */
    const char *page;                  /* the text of NAME.md, embedded; explains, and holds the tests */
    /* Decides. Exactly one of claim_holds, claim_fails, claim_undecided is called for the sentence without its `not`; the
     * caller turns a negated one round. `pattern` is the index of the pattern that matched. */
    void (*check)(struct claim_context *ctx, const struct match *m, int pattern);
    enum diag_code fails;              /* the code of a failing claim */
};

/* One `extern const struct claim_kind claim_kind_NAME;` a row of kinds.def. */
#define KIND(id, fail_name, fail_summary) extern const struct claim_kind claim_kind_##id;
#include "claims/kinds.def"
#undef KIND

/* All kinds in the order of kinds.def, NULL-terminated. */
const struct claim_kind *const *claim_kinds(void);
const struct claim_kind *claim_kind_by_name(struct str name);

/* What a check works with. */
struct claim_context {
    struct arena *arena;          /* results */
    const struct model *model;
    const struct convention_values *conventions;
    struct claim *claim;          /* being filled */
    bool without_uncertain;       /* second run: streams leave uncertain notes out */
    enum diag_code code;          /* set to the kind's `fails` before the check; a check may refine it */
    bool mute;                    /* only the verdict is wanted: words are left out */
    bool touched_uncertain;       /* a note marked uncertain was read */
    const struct passage *passage; /* first passage that was read: sets claim->passage and its basis */
    struct uncertain *uncertain;  /* which uncertain places were read; may be NULL; check.c and sound.c only */
};

/* ---- verdicts: call exactly one -------------------------------------------------------------------
 * The text is one line a musician can follow; it stands alone. For `holds` it is the computation, e.g. "Eb3 to Cb3, G3 to Eb3 …:
 * six voices fall a major third"; for `fails` the counter-example, e.g. "voice 6 falls A4 to F#4, a minor third; the other
 * five fall a major third"; for `undecided` what is missing and how to add it. */
#define claim_holds(ctx, ...) CLAIM_VERDICT((ctx), VERDICT_HOLDS, __VA_ARGS__)
#define claim_fails(ctx, ...) CLAIM_VERDICT((ctx), VERDICT_FAILS, __VA_ARGS__)
#define claim_undecided(ctx, ...) CLAIM_VERDICT((ctx), VERDICT_UNDECIDED, __VA_ARGS__)
/* Where nobody will read the words, what they are made of is not even worked out. */
#define CLAIM_VERDICT(ctx, verdict, ...) \
    ((ctx)->mute ? claim_verdict_mute((ctx), (verdict)) : claim_verdict((ctx), (verdict), __VA_ARGS__))
/* Where the words are long to work out: gives the verdict and returns true if nobody will read them. */
bool claim_holds_mute(struct claim_context *ctx);
void claim_verdict_mute(struct claim_context *ctx, enum verdict v);
void claim_verdict(struct claim_context *ctx, enum verdict v, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Optional, before or after the verdict. */
void claim_place(struct claim_context *ctx, struct span where, const char *format, ...)
    __attribute__((format(printf, 3, 4))); /* a place that proves or breaks it */
void claim_instead(struct claim_context *ctx, const char *format, ...) __attribute__((format(printf, 2, 3))); /* a true
    sentence of the same kind, in the language, without `claim NAME:` */
void claim_convention(struct claim_context *ctx, enum convention c); /* the verdict depends on it */

/* ---- from names to notes (stream.c) -----------------------------------------------------------------
 * Each returns false after calling claim_undecided itself when the evidence cannot show what is asked (no event in the
 * stretch, bars not transcribed, several notes at once where a line is needed): the check then just returns. Reading a note through
 * these records uncertain notes and the passage's basis. */

struct line {
    const struct note **notes; /* in order, one at a time */
    uint32_t n;
    const struct passage *passage; /* NULL: library figure */
    struct stretch stretch;    /* where the line was looked at */
};

/* Where the bass (or any moment) stands. */
enum moment_source { MOMENT_VOICED /* `as (…)` */, MOMENT_SOUNDING /* notes of the parts */, MOMENT_SYMBOL /* tones only */ };

/* One chord at one moment, lowest note first. */
struct moment {
    struct ratio onset, length;
    enum moment_source source;
    const struct harmony *symbol;  /* what the harmony row says there; NULL: nothing */
    struct pitch *pitches;         /* NULL for MOMENT_SYMBOL */
    const struct note **notes;     /* as many, NULL unless MOMENT_SOUNDING */
    const struct part **parts;     /* whose note it is, likewise */
    struct tone *tones;            /* always: spelled classes, lowest first; symbol tones bass first */
    uint32_t n;
    struct span where;
};

struct moments {
    struct moment *items;
    uint32_t n;
    const struct passage *passage;
    struct stretch stretch;
};

/* The stretch that the sentence's SPAN (m->span) or the whole stream covers; reports a bar that the passage does not have as
 * undecided. */
bool match_stretch(struct claim_context *ctx, const struct match *m, const struct stream *s, struct stretch *out);
/* Position of PLACE in a passage; false (undecided) where there is no such bar or beat. */
bool place_position(struct claim_context *ctx, const struct passage *p, struct place_ref place, struct ratio *out);
/* The same within a bar; false where it has no such beat. */
bool place_in_bar(const struct bar *bar, struct place_ref place, struct ratio *out);
/* A single line: figure, voice, part that plays one note at a time, bass or top voice. Needs at least `least` notes. */
bool stream_line(struct claim_context *ctx, const struct stream *s, struct stretch where, uint32_t least, struct line *out);
/* Successive chords: a part's stacks; the harmony's events with what they denote; `all`, `outer`: every change of what sounds.
 * Equal neighbours are kept. Needs at least `least` moments. */
bool stream_moments(struct claim_context *ctx, const struct stream *s, struct stretch where, uint32_t least,
                    struct moments *out);
/* Every note of the stream that sounds in the stretch (begins before its end, ends after its onset), by onset. */
bool stream_notes(struct claim_context *ctx, const struct stream *s, struct stretch where, struct line *out);
/* What CHORD denotes (see claims.md, Parts of a sentence). need_voicing: a mere symbol is undecided, "needs a voicing". */
bool chord_moment(struct claim_context *ctx, const struct chord_ref *c, bool need_voicing, struct moment *out);
/* The lowest sounding note of all parts through the stretch, as a line; a gap in which nothing sounds ends a note. */
bool passage_bass(struct claim_context *ctx, const struct passage *p, struct stretch where, struct line *out);

/* Does `v` (spelled, its direction as it is) equal the interval named in the sentence? By spelling, or by sound where the name
 * is by sound; *same_sound gets true if it is equal by sound only. `direction` 0 accepts both. */
bool interval_ref_fits(const struct interval_ref *want, int direction, struct interval v, bool *same_sound);

/* ---- words for evidence ------------------------------------------------------------------------------ */
/* All return arena text, ASCII signs: "Eb3", "a major third", "bar 3 beat 2"; nothing where nobody will read it. */
#define say_text(ctx, ...) ((ctx)->mute ? STR("") : str_printf((ctx)->arena, __VA_ARGS__))
struct str say_pitch(struct claim_context *ctx, struct pitch p);
struct str say_tone(struct claim_context *ctx, struct tone t);
struct str say_interval(struct claim_context *ctx, struct interval v);   /* "a major third" */
struct str say_move(struct claim_context *ctx, struct interval v);       /* "up a major third", "down a half step" never: spelled */
struct str say_place(struct claim_context *ctx, const struct passage *p, struct ratio at);
struct str say_pitches(struct claim_context *ctx, const struct pitch *p, uint32_t n); /* "Eb3 G3 Bb3" */
struct str say_tones(struct claim_context *ctx, const struct tone *t, uint32_t n);    /* "C, Eb and G" */
struct str say_set(struct claim_context *ctx, pcset set); /* "C, Eb and G": plainest spellings */
struct str say_count(struct claim_context *ctx, int64_t n, const char *one, const char *many); /* "six voices" up to twelve in words */

/* ---- the phase ------------------------------------------------------------------------------------------- */

/* Matches and checks one claim; fills claim->kind … and reports what is wrong. */
void claim_run(struct model *m, struct claim *claim, struct sentence sentence);
/* `descant explain claims`: every kind with its patterns. */
struct str claims_overview(struct arena *a);

#endif
