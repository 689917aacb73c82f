/* model.h - one checked episode.
 *
 * Purpose: what claims are checked against and outputs are written from. Built by resolve.c and music.c; read only
 *          afterwards: outputs never re-derive it and never see the tree.
 * Units:   music in wholes (fractions of a whole note) from the passage's first sounding position: with a pickup, bar 0
 *          begins at 0; clocks in seconds as exact ratios; pitches sounding unless said otherwise.
 * Owner:   everything lives in the compilation arena, or in the context for what the standard library defines.
 * Errors:  what was wrong has been reported and is left out, or marked `open` where the author left a hole.
 */
#ifndef DESCANT_MODEL_H
#define DESCANT_MODEL_H

#include "base/arena.h"
#include "base/ratio.h"
#include "diag/diag.h"
#include "source/source.h"
#include "theory/chord.h"
#include "theory/meter.h"
#include "theory/motion.h"
#include "theory/scale.h"
#include "theory/timecode.h"

/* Something with a name and a place where it is defined. First member of every named struct. */
struct symbol {
    struct str name;
    struct span where;  /* the name in its definition */
    bool library;       /* comes from a used library, not from the episode itself */
};

/* ---- what the standard library, or a file, defines ---------------------------------------- */

struct instrument {
    struct symbol symbol;       /* id: english-horn */
    const struct str *names;    /* "English horn", "cor anglais"; the first is shown */
    uint32_t n_names;
    const struct str *families; /* woodwind …; the first is the main one */
    uint32_t n_families;
    struct str reed;            /* "double", "single", "free", "none" or empty */
    struct interval sounds;     /* written -> sounding; {0,0} as written */
    struct pitch low, high;               /* sounding; outside is an error */
    struct pitch common_low, common_high; /* sounding; outside is a warning */
    bool has_range, has_common;
    struct str clef;
    int program;                /* General MIDI, 1 to 128; 0: none */
    struct str source;
};

enum accidental_style { ACCIDENTALS_WORDS, ACCIDENTALS_SIGNS, ACCIDENTALS_PLAIN };

struct caption_profile {
    struct symbol symbol;
    struct str title;          /* "online, adult" */
    int line, lines;           /* characters a line; lines */
    struct ratio rate_note;    /* characters a second: note above */
    struct ratio rate_error;   /* error above */
    struct ratio speech;       /* words a minute */
    struct ratio shortest, longest; /* seconds */
    struct ratio gap;          /* seconds, or frames where gap_frames */
    bool gap_frames;
    struct ratio close;        /* seconds: a shorter pause is closed to the gap */
    enum accidental_style accidentals;
};

struct theory_library {
    struct chord_dict chords;
    const struct chord_quality *qualities;
    uint32_t n_qualities;
    const struct scale *scales;
    uint32_t n_scales;
    const struct instrument *instruments;
    uint32_t n_instruments;
    const struct caption_profile *profiles;
    uint32_t n_profiles;
};

/* ---- works, recordings, sources ------------------------------------------------------------ */

struct work {
    struct symbol symbol;
    struct str title, from, composer, kind, rights, rights_holder;
    int year; /* 0: not given */
};

enum recording_kind { RECORDING_PICTURE, RECORDING_AUDIO, RECORDING_EDIT };

/* This clock shows `here` when the clock of `other` shows `there` (both in seconds). */
struct anchor {
    struct ratio here, there;
    const struct recording *other;
    struct span where;
};

struct recording {
    struct symbol symbol;
    const struct work *work;
    enum recording_kind kind;
    bool has_frames, drop;
    struct frame_rate rate;
    struct ratio starts;   /* seconds shown by the clock at its first frame; 0 */
    struct ratio length;   /* seconds; num 0: not given */
    struct str track, title, label;
    struct ratio speed;    /* 1 unless given: 25/24 for a 25-frame transfer of 24-frame picture */
    struct ratio tuning;   /* hertz of A4; 440 unless given */
    struct anchor *anchors;
    uint32_t n_anchors;
};

struct score {
    struct symbol symbol;
    const struct work *work;
    struct str edition, publisher, file, pages;
    int year;
};

struct citation {
    struct symbol symbol;
    struct str author, title, publisher, url, page, note;
    int year;
    uint32_t uses; /* references from narration and facts */
};

struct fact {
    struct symbol symbol;
    struct str text;
    struct span text_where;        /* with its quotes */
    const struct citation *source; /* NULL: none given */
    bool open;                     /* the author left the source open: a hole */
    struct str page;
};

struct reading {
    struct symbol symbol;
    struct str text;
    struct span text_where;
};

struct spelling {
    struct str right;
    const struct str *wrong;
    uint32_t n_wrong;
    struct str said; /* empty: as spelled */
    struct span where;
    bool library;
};

struct erratum {
    struct str claim; /* name */
    struct str date, said, truth;
    struct span where;
};

/* A hole the author knows of. */
struct hole {
    struct str text;
    struct span where;
};

/* ---- music --------------------------------------------------------------------------------- */

struct note {
    struct pitch pitch;   /* sounding */
    struct pitch written; /* what the part prints; equal to pitch in a part that is `sounding` */
    struct ratio onset, length; /* wholes; a held note is one note */
    uint32_t voice;       /* 0 is the lowest voice of the part */
    bool uncertain;
    struct span where;    /* the pitch as typed */
};

/* Notes of one part that begin together. */
struct stack {
    struct ratio onset, length;
    uint32_t first, n;   /* notes[first .. first + n), lowest voice first */
    struct span where;
};

enum extent_kind { EXTENT_REST, EXTENT_OPEN };
/* A written rest, or a stretch the author left open. */
struct extent {
    enum extent_kind kind;
    struct ratio onset, length;
    struct span where;
};

struct part {
    struct symbol symbol;
    struct passage *passage;
    const struct instrument **instruments;
    const struct str *called;      /* each of them by the library's name that the part uses: "trombones"; NULL: by its title */
    uint32_t n_instruments;
    bool muted, solo, written;
    const struct str *voice_names; /* lowest voice first; NULL: not named */
    uint32_t n_voices;             /* largest stack, or number of names */
    bool voices_known; /* all stacks of one size, or every note has a named voice */
    struct note *notes;
    uint32_t n_notes;
    struct stack *stacks;          /* in order of onset */
    uint32_t n_stacks;
    struct extent *extents;
    uint32_t n_extents;
};

enum { LAYERS_MAX = 6 };

enum reading_kind { HARMONY_CHORD, HARMONY_ROMAN, HARMONY_NONE /* N.C. */ };

/* What a harmony symbol says. Layers are as written: upper first; one for an ordinary chord. */
struct harmony {
    enum reading_kind kind;
    struct str text;                /* as typed, signs as ASCII: "D over Eb" */
    struct chord layers[LAYERS_MAX];
    struct pitch *voicing[LAYERS_MAX]; /* lowest first; NULL where no `as (…)` was written */
    uint32_t n_voicing[LAYERS_MAX];
    uint32_t n_layers;
    struct span where;
};

struct harmony_event {
    struct ratio onset, length;
    struct harmony harmony;
    bool uncertain;
    bool unread; /* its row could not be read whole (reported): where it stands is not certain */
    struct span where;
};

struct bar {
    int number;           /* as printed; the pickup is 0 */
    struct ratio onset, length; /* wholes; a pickup is short */
    struct meter meter;
    bool transcribed;     /* some part writes this bar */
};

struct key_change {
    struct ratio at;
    struct key key;
    struct span where;
};

enum basis_kind { BASIS_EAR, BASIS_REDUCTION, BASIS_GUESS, BASIS_SCORE };

/* Where a passage is heard on a recording's clock. */
struct heard {
    const struct recording *recording;
    struct ratio from, to;  /* seconds on its clock */
    struct span where;
};

struct passage {
    struct symbol symbol;
    const struct work *work;
    struct heard *heard;
    uint32_t n_heard;
    enum basis_kind basis;
    bool has_basis;
    const struct score *score; /* BASIS_SCORE */
    struct str score_bars;     /* "bars 12 to 16", as typed */
    struct bar *bars;
    uint32_t n_bars;
    struct ratio pickup;       /* wholes; 0 without */
    struct ratio length;       /* wholes, all bars */
    struct tempo_change *tempos;
    uint32_t n_tempos;
    struct key_change *keys;
    uint32_t n_keys;
    struct part **parts;       /* in order of definition */
    uint32_t n_parts;
    struct harmony_event *harmony; /* in order of onset */
    uint32_t n_harmony;
    struct figure **figures;
    uint32_t n_figures;
    bool unread;               /* some of its music could not be read (reported): what is there is not all */
    bool notes_unread;         /* in its parts */
};

/* A line with a name: notes in order, one at a time. */
struct figure {
    struct symbol symbol;
    struct passage *passage;   /* NULL for a figure written out in a library */
    struct part *part;         /* NULL as well then */
    struct note *notes;        /* onsets from the passage's start (or from 0) */
    uint32_t n_notes;
    struct ratio onset, length; /* the span it was cut from */
};

/* ---- positions ------------------------------------------------------------------------------ */

/* A stretch of a passage: [onset, end) in wholes. `last_beat` tells that it was given up to a beat: an
 * event that sounds there belongs to it. */
struct stretch {
    struct ratio onset, end;
    bool given;          /* false: the whole passage */
    struct span where;
};

/* ---- claims ---------------------------------------------------------------------------------- */

enum verdict { VERDICT_HOLDS, VERDICT_FAILS, VERDICT_UNDECIDED };

struct claim_place {
    struct span where;
    struct str words;    /* "voice 6 falls A4 to F#4, a minor third" */
    struct claim_place *next;
};

struct claim {
    struct symbol symbol;
    struct span sentence;      /* where the sentence stands */
    struct str text;           /* the sentence, spaces folded */
    const struct claim_kind *kind; /* NULL: no pattern fits (reported) */
    bool negated;
    enum verdict verdict;
    struct str evidence;       /* the computation in one line, for every verdict */
    struct str reason;         /* one line: what the verdict rests on (holds), the counter-example (fails), what is missing (undecided) */
    struct str instead;        /* a true sentence of the kind, or empty */
    struct str convention;     /* "parallel sounding", or empty */
    struct claim_place *places;
    const struct passage *passage; /* the passage it speaks of, NULL if none */
    struct stretch read;       /* of that passage: the music that was looked at; given: false if none was */
    bool on_uncertain;         /* rests on a note marked uncertain */
    bool by_ear;               /* the basis of its passage is not a score */
    uint32_t uses;             /* links from narration */
    bool unchecked;            /* what it speaks of could not be read: undecided, and reported there */
};

/* ---- timeline --------------------------------------------------------------------------------- */

enum run_kind {
    RUN_TEXT,       /* words */
    RUN_BREAK,      /* soft or hard line break */
    RUN_PARAGRAPH,  /* between blocks */
    RUN_PICTURE     /* an image with the scheme show: */
};

enum link_kind { LINK_NONE, LINK_CLAIM, LINK_CITE, LINK_FACT, LINK_PASSAGE, LINK_FIGURE, LINK_READING, LINK_WEB };

struct link {
    enum link_kind kind;
    struct str target;     /* the name after the scheme, or a URL */
    const void *thing;     /* struct claim, citation …; NULL if unknown (reported) */
    struct span where;     /* the words that link, in the source */
};

/* A piece of narration: text with one set of attributes. */
struct run {
    enum run_kind kind;
    struct str text;       /* UTF-8, normalised to NFC, entities and escapes resolved */
    bool emphasis, strong, code;
    bool hard;               /* RUN_BREAK: a hard break, the author's own cut in captions */
    const struct link *link; /* NULL: none */
    struct span where;       /* the source it came from, as near as is known */
    /* For each byte of the text, and for its end, the offset in the file; NULL: it stands there byte for
     * byte. */
    const uint32_t *places;
};

struct prose {
    struct span where;     /* between the braces */
    struct str source;     /* the CommonMark, byte for byte, line ends as LF */
    struct run *runs;
    uint32_t n_runs;
    uint32_t n_words;
};

enum item_kind { ITEM_CHAPTER, ITEM_SAY, ITEM_PLAY, ITEM_DEMO, ITEM_SHOW, ITEM_SILENCE };

struct item {
    enum item_kind kind;
    struct span where;
    struct span begins;     /* the words that place it: `at 0:05`, `then`, `0:05 to 0:12` */
    bool timed;             /* `at`; false: `then` */
    bool time_lost;         /* its time could not be read (reported): nothing more is said of when it lies */
    bool estimated;         /* start or length is an estimate */
    struct ratio start, length; /* seconds on the edit's clock; a chapter has length 0 */
    struct str title;       /* chapter */
    struct span title_where; /* with its quotes */
    struct prose prose;     /* say */
    const struct passage **passages; /* play, demo: one or more; show: one, or none where figures are shown */
    uint32_t n_passages;
    const struct figure *figure;     /* show, demo of a figure */
    const struct recording *recording; /* play */
    struct ratio clip_from, clip_to;   /* play: seconds on the recording's clock */
    struct stretch stretch; /* play, demo, show */
    struct str form;        /* show: staff motion keyboard timeline */
    struct str name;        /* demo: file stem, "demo-1-lamp" */
};

struct convention_values; /* sema/conventions.h */
struct claim_index;       /* claims/match.h: names of the file */
struct claim_lexicon;     /* claims/match.h: patterns and names of the library */

struct model {
    struct arena *arena;
    struct source_list *sources;
    struct diag_list *diags;
    const struct theory_library *library; /* standard plus the file's own */
    const struct convention_values *conventions;
    const struct caption_profile *profile;

    bool verdicts_only;       /* evidence of claims that hold is not wanted */
    bool is_library;          /* the file is a library: no timeline */
    struct str title, series, number, language, date;
    struct frame_rate rate;   /* the edit's; 25 unless given */
    bool drop;
    struct str file;          /* as given on the command line */
    const struct str *dependencies; /* every file read, the first is `file` */
    uint32_t n_dependencies;

    struct work **works;
    struct recording **recordings;
    struct score **scores;
    struct citation **citations;
    struct fact **facts;
    struct reading **readings;
    struct passage **passages;
    struct figure **figures;  /* all, those of passages too */
    struct claim **claims;
    struct spelling **spellings;
    struct erratum **errata;
    struct hole **holes;
    struct item **items;
    uint32_t n_works, n_recordings, n_scores, n_citations, n_facts, n_readings, n_passages, n_figures, n_claims,
        n_spellings, n_errata, n_holes, n_items;
    struct ratio length;      /* seconds, end of the last item */
    bool timeline_lost;       /* a statement of it could not be read (reported): what is there is not all */
    struct claim_index *claim_index; /* names, built by the first claim_run; NULL before */
    const struct claim_lexicon *lexicon; /* of the library; set before claims run */
};

/* ---- questions outputs and claims ask (sema/query.c) ------------------------------------------- */

/* The bar that holds a position; NULL past the end. */
const struct bar *passage_bar_at(const struct passage *p, struct ratio at);
const struct bar *passage_bar(const struct passage *p, int number);
/* "bar 3 beat 2", "bar 3 beat 2 1/2"; into the arena. */
struct str place_text(struct arena *a, const struct passage *p, struct ratio at);
/* Seconds on a recording's clock for a position; false where the passage is not heard there or has no
 * tempo. Interpolates between `from` and `to` in the proportion of the tempo map. */
bool passage_clock(const struct passage *p, const struct heard *h, struct ratio at, struct ratio *seconds);
/* Seconds of music from onset to end by the tempo map; false without a tempo. */
bool passage_seconds(const struct passage *p, struct stretch s, struct ratio *seconds);
/* The key in force; NULL: none stated. */
const struct key_change *passage_key_at(const struct passage *p, struct ratio at);
const struct harmony_event *passage_harmony_at(const struct passage *p, struct ratio at);
/* Notes of all parts that sound at a position, lowest first (by sound; ties in part order); returns how
 * many (<= max). */
struct sounding {
    const struct note *note;
    const struct part *part;
};
uint32_t passage_sounding(const struct passage *p, struct ratio at, struct sounding *out, uint32_t max);
/* Index of the first stack of a part that ends after a position; n_stacks if none does. */
uint32_t part_stack_after(const struct part *part, struct ratio at);
/* True if every bar that the stretch touches is transcribed and no part left it open. */
bool passage_known(const struct passage *p, struct stretch s);
struct str instrument_title(const struct instrument *i); /* display name */
/* Where a part of a run's text, from byte lo up to hi, stands in the file. */
struct span run_span(const struct run *r, uint32_t lo, uint32_t hi);
/* A web address that is its own words, `<https://…>`: not narration. */
bool run_is_address(const struct run *r);
/* "0:33", "1:02:33.250": seconds for people. floor: rounded down to whole seconds. */
struct str clock_text(struct arena *a, struct ratio seconds, bool floor);
/* By a recording's own clock: timecode where it has frames. */
struct str recording_text(struct arena *a, const struct recording *r, struct ratio seconds);

#endif
