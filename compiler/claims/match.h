/* match.h - how a sentence is read by the kinds' patterns.
 *
 * Purpose: for match.c, pattern.c, example.c, words.c, slots_*.c, clauses.c and unknown.c. Patterns are compiled
 *          once for a library into small programs (lexicon.c); a sentence is run through those whose fixed words
 *          it has. Slots parse from the left and are asked for shorter and shorter readings.
 * Units:   positions are indexes into the sentence's words without articles and `not`.
 * Owner:   the index lives in the compilation arena (model->claim_index), all else in it too or on the stack.
 * Errors:  a reading that does not fit leaves how far it came and what would have fitted there; a lenient
 *          reading takes names that nothing has, and lists them.
 */
#ifndef DESCANT_CLAIMS_MATCH_H
#define DESCANT_CLAIMS_MATCH_H

#include "claims/claims.h"

/* ---- names (words.c) ----------------------------------------------------------------------------- */

/* What one name stands for in the file; the first of several, and how many there are. */
struct named {
    struct str name; /* n 0: empty place of the table */
    const struct passage *passage;
    const struct figure *figure;
    const struct part *part;
    const struct recording *recording;
    uint32_t n_figures, n_parts;
};

/* ---- patterns (pattern.c) ------------------------------------------------------------------------ */

enum slot {
    SLOT_PITCH,
    SLOT_TONE,
    SLOT_TONES,
    SLOT_PLACE,
    SLOT_STREAM,
    SLOT_CHORD,
    SLOT_SYMBOL,
    SLOT_INTERVAL,
    SLOT_DIRECTION,
    SLOT_KEY,
    SLOT_SCALE,
    SLOT_FIGURE,
    SLOT_PART,
    SLOT_PASSAGE,
    SLOT_INSTRUMENT,
    SLOT_QUALITY,
    SLOT_FAMILY,
    SLOT_COUNT,
    SLOT_VALUE,
    SLOT_LENGTH,
    SLOT_TIME,
    SLOT_RECORDING,
    SLOT_NUMERAL,
    SLOT_NUMERALS,
    SLOT_NUMBERS,
    SLOT_EXCHANGE,
    SLOTS
};

enum step_kind {
    STEP_WORDS,  /* one of words[first .. first + n) stands here */
    STEP_SLOT,
    STEP_SPLIT,  /* try the next step; failing that, go to `target` */
    STEP_JUMP,
    STEP_CHOICE, /* the choice numbered `first` takes its alternative n */
    STEP_END
};

struct step {
    enum step_kind kind;
    enum slot slot;
    uint32_t first, n;
    uint32_t target;
};

struct pattern_word {
    uint32_t stem;  /* hash of its stem */
    uint16_t at, n; /* where it stands in the pattern */
    bool common;     /* is, of, in …: tells little about the sentence */
    bool times;      /* `twice` needs no `times` */
};

enum { GROUPS_MAX = 8, GROUP_STEMS_MAX = 64 };

/* Every sentence of the pattern has one of these words. */
struct word_group {
    uint64_t bits;     /* a bit a stem: rules out most sentences */
    uint32_t first, n; /* in pattern->stems */
};

struct pattern {
    const struct claim_kind *kind;
    int number;          /* index in kind->patterns */
    struct word_group groups[GROUPS_MAX];
    uint32_t n_groups;
    const uint32_t *stems;
    const struct step *steps;
    uint32_t n_steps;
    const struct pattern_word *words;
    uint32_t n_words;
    int n_choices;
};

enum lexicon_class { LEXICON_QUALITY, LEXICON_SCALE, LEXICON_INSTRUMENT, LEXICON_FAMILY };

struct lexicon_entry {
    enum lexicon_class class;
    struct str name;
    const void *thing; /* struct chord_quality, scale, instrument; NULL for a family */
};

enum { LEXICON_BUCKETS = 1024 };

struct lexicon_bucket {
    struct lexicon_entry *entries; /* in library order */
    uint32_t n;
};

/* A set of patterns, a bit each. */
enum { PATTERNS_MAX = 1024 };
struct pattern_set {
    uint64_t bits[PATTERNS_MAX / 64];
};

/* The patterns that a sentence with this stem may fit. */
struct stem_slot {
    uint32_t stem;
    uint32_t uses; /* patterns that need the stem, or one of several with it; 0: empty place of the table */
    const struct pattern_set *told; /* those of them that are looked for by it; NULL: none */
};

enum { STEM_SLOTS = 1024 }; /* a power of two */

struct pattern_table {
    const struct pattern *patterns;
    uint32_t n_patterns;
    const struct stem_slot *stems; /* STEM_SLOTS places, open addressing */
    struct pattern_set others;     /* patterns that need no word */
};

struct claim_lexicon {
    const struct pattern_table *table;
    struct lexicon_bucket buckets[LEXICON_BUCKETS]; /* by the first two letters of the name */
};

struct claim_index {
    struct named *names;    /* open addressing, a power of two */
    uint32_t n_names;
    uint32_t own_passages;  /* passages that do not come from a library */
    const struct passage *only_passage; /* where there is one only */
};

/* The patterns that may fit a sentence with these stems: few, and no other can. */
struct pattern_set pattern_candidates(const struct pattern_table *table, const uint32_t *stems, uint32_t n);
/* As written in the pattern. */
static inline struct str pattern_word_text(const struct pattern *p, const struct pattern_word *w)
{
    return (struct str){p->kind->patterns[p->number] + w->at, w->n};
}
/* Compiles kind->patterns[number]. */
void pattern_compile(struct arena *a, const struct claim_kind *kind, int number, struct pattern *out);
/* The longest name of a class that stands at `at`; 0: none. */
struct reader;
uint32_t lexicon_longest(const struct reader *r, enum lexicon_class class, uint32_t at, uint32_t limit,
                         const struct lexicon_entry **out);
/* For people: `STREAM moves [up|down INTERVAL] in real|tonal parallel motion`. */
struct str pattern_text(struct arena *a, const char *pattern);
/* A sentence of the pattern, in the words of the sentence that was not understood where it can: "strings of
 * lamp move in contrary motion to bass of lamp". */
struct str pattern_example(const struct reader *r, const struct pattern *p);
/* Index of the slot that these capitals name; SLOTS if none. */
enum slot slot_by_name(struct str name);

/* ---- the reader ---------------------------------------------------------------------------------- */

/* Classes of names, for "a passage with a similar name". */
enum name_class {
    NAME_PASSAGE = 1,
    NAME_PART = 2,
    NAME_FIGURE = 4,
    NAME_RECORDING = 8,
    NAME_INSTRUMENT = 16,
    NAME_QUALITY = 32,
    NAME_FAMILY = 64,
    NAME_SCALE = 128,
    NAME_VOICE = 256
};

/* A name in a sentence that could not be taken as it stands. */
struct bad_name {
    struct str text;
    struct span where;
    int classes;         /* what was looked for; 0: the name is known but `trouble` says why it does not do */
    struct str trouble;
    struct str instead;  /* what to write; may be empty */
    const struct part *part; /* whose voices to offer */
};

/* What a pattern would have taken where the words did not fit. */
struct expected {
    enum slot slot;  /* SLOTS: the word */
    struct str word;
};

enum { BAD_NAMES_MAX = 2, EXPECTED_MAX = 4, SENTENCE_WORDS_MAX = 200, MEMOS_MAX = 8 };

/* What the two slots that take longest to read gave, for the next pattern that asks for the same words. */
struct reader_memos {
    struct stream_memo {
        uint32_t at, limit, end;
        struct stream value;
    } streams[MEMOS_MAX];
    struct chord_memo {
        uint32_t at, limit, end;
        struct chord_ref value;
    } chords[MEMOS_MAX];
    uint32_t n_streams, n_chords;
};

struct reader {
    struct arena *arena;
    const struct model *model;
    const struct claim_index *index;
    const struct word *words; /* articles, `not` and a full stop taken out */
    const uint32_t *stems;    /* hash of each word's stem */
    const uint32_t *origin;   /* index of each word in the sentence as written */
    const struct word *written; /* the sentence as written */
    uint32_t n;
    uint64_t have;            /* bits of the stems */
    bool negated;
    const struct passage *named;     /* the one passage that the sentence names */
    const struct recording *recording; /* the one recording */
    bool lenient;
    struct match *match;      /* being filled */
    uint32_t subject_end;     /* end of the first slot of the reading, 0: none yet */
    uint32_t literal;         /* fixed words met: the closer of two readings has more */
    uint32_t telling;         /* those of them that are not common */
    struct bad_name bad[BAD_NAMES_MAX];
    uint32_t n_bad;
    uint32_t budget;          /* steps left for one pattern */
    uint32_t *failed;         /* a bit a slot, for each word: nothing of the kind begins there; strict readings only */
    uint32_t furthest;        /* no reading understood more words than these */
    struct expected expected[EXPECTED_MAX]; /* what would have done there, in the order met */
    uint32_t n_expected;
    struct reader_memos memos; /* of strict readings; last, for only its counts are cleared */
};

/* Prepares words[0 .. n) for reading; false where there are too many. Allocates. */
bool reader_start(struct reader *r, struct model *m, const struct word *words, uint32_t n);
/* `is not`, `does not move`, `isn't`, `doesn't move`: returns how many words stand for it at words[i], 0 if
 * none; *verb gets what of them belongs to the sentence, its text empty where nothing does. */
uint32_t negation_at(const struct word *words, uint32_t i, uint32_t n, struct word *verb);
/* Has the sentence the words that the pattern needs? */
bool pattern_possible(const struct reader *r, const struct pattern *p);
/* Runs one pattern; true if it reads the whole sentence. *m is overwritten. */
bool pattern_read(struct reader *r, const struct pattern *p, struct match *m);
/* The best reading of the words; NULL if no pattern fits. */
const struct pattern *sentence_read(struct reader *r, struct match *m);

/* Words [lo, hi) as written, articles included, joined by spaces, and where they stand. */
struct str words_text(const struct reader *r, uint32_t lo, uint32_t hi);
/* The same without an article before them. */
struct str words_plain(const struct reader *r, uint32_t lo, uint32_t hi);
struct span words_span(const struct reader *r, uint32_t lo, uint32_t hi);

/* ---- words (words.c) ----------------------------------------------------------------------------- */

/* Hash of a word without the ending of plural or third person: `moves` is `move`, `are` is `is`. */
uint32_t stem_hash(struct str word);
/* As word_is, for a word whose first letter fits. */
bool word_is_whole(struct str text, const char *word);
/* Is the word at `at` this one, or its plural? `at` may be past the end. Asked so often that the first letter is compared here. */
static inline bool word_is(const struct reader *r, uint32_t at, const char *word)
{
    if (at >= r->n || r->words[at].kind == WORD_STRING)
        return false;
    struct str text = r->words[at].text;
    return text.n && (text.p[0] == word[0] || text.p[0] == word[0] - 'a' + 'A') && word_is_whole(text, word);
}
bool is_comma(const struct reader *r, uint32_t at);
/* Small whole numbers as digits or words: 3, three, twice, no. */
bool word_count(const struct word *w, int64_t *out);
/* Reads a name of several words from a library ("half-diminished seventh"), hyphens as spaces, case ignored,
 * plural or singular. Returns the end, 0 if it does not stand there. */
uint32_t words_are(const struct reader *r, uint32_t at, uint32_t limit, struct str name);
void names_build(struct claim_index *index, struct arena *a, const struct model *m);
/* NULL if nothing is named so. */
const struct named *name_find(const struct claim_index *index, struct str name);

/* ---- slots
 * -------------------------------------------------------------------------------------------------- Each
 * reads the longest text from words[at] that ends at `limit` at most, stores its value in r->match and
 * returns the end, or 0. Nothing is stored on failure. */

uint32_t slot_read(struct reader *r, enum slot slot, uint32_t at, uint32_t limit);
const char *slot_name(enum slot slot);
const char *slot_meaning(enum slot slot); /* "a pitch such as Bb3" */

/* slots_time.c */
uint32_t read_place(const struct reader *r, uint32_t at, uint32_t limit, struct place_ref *out);
/* A SPAN with its preposition, if any; articles, commas skipped. */
uint32_t read_span(const struct reader *r, uint32_t at, uint32_t limit, struct span_ref *out);
uint32_t read_value(const struct reader *r, uint32_t at, uint32_t limit, struct ratio *out);
uint32_t slot_place(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_count(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_value(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_length(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_time(struct reader *r, uint32_t at, uint32_t limit);
/* slots_music.c */
uint32_t slot_pitch(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_tone(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_tones(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_direction(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_key(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_interval(struct reader *r, uint32_t at, uint32_t limit);
/* slots_chord.c */
uint32_t slot_chord(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_symbol(struct reader *r, uint32_t at, uint32_t limit);
/* slots_tonal.c */
uint32_t slot_numeral(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_numerals(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_numbers(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_exchange(struct reader *r, uint32_t at, uint32_t limit);
/* slots_library.c */
uint32_t slot_scale(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_instrument(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_quality(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_family(struct reader *r, uint32_t at, uint32_t limit);
/* The longest quality name at `at`. */
uint32_t read_quality(const struct reader *r, uint32_t at, uint32_t limit, const struct chord_quality **out);
/* The longest instrument name at `at`. */
uint32_t read_instrument(const struct reader *r, uint32_t at, uint32_t limit, const struct instrument **out);
/* slots_names.c */
uint32_t slot_stream(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_figure(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_part(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_passage(struct reader *r, uint32_t at, uint32_t limit);
uint32_t slot_recording(struct reader *r, uint32_t at, uint32_t limit);
/* `of|in PASSAGE` if it stands there, else the passage that the sentence can only mean: *end is `at` then.
 * False where neither is so (and nothing could be assumed). */
bool read_of_passage(struct reader *r, uint32_t at, uint32_t limit, const struct passage **out,
                     uint32_t *end);
/* Notes a bad name in a lenient reading; false where there is no room for it or the reading is strict. */
bool bad_name(struct reader *r, uint32_t lo, uint32_t hi, int classes);
bool bad_use(struct reader *r, uint32_t lo, uint32_t hi, struct str trouble, struct str instead);

/* ---- what could not be read (unknown.c) ---------------------------------------------------------- */

void report_unread(struct model *m, struct claim *claim, struct sentence sentence);

#endif
