/* caption_parts.h - the steps of captions_make, for its files and their tests.
 *
 * Purpose: narration becomes marked text, marked text becomes words, words become lines and cues.
 * Units:   lengths in code points; times in milliseconds here, exact seconds in captions.h.
 * Owner:   words and plans live in the arena given; a marked_text owns its buffers until marked_words or
 * marked_free. Errors:  none.
 */
#ifndef DESCANT_CAPTION_PARTS_H
#define DESCANT_CAPTION_PARTS_H

#include "back/captions.h"
#include "base/buf.h"

/* ---- marked text ------------------------------------------------------------------------------ */

/* What stands beside each byte of a text. */
enum { MARK_ITALIC = 1, MARK_GLUE = 2 /* a space at which nothing may be cut */ };

/* Narration as one text: a space between words, LF where the author cut, FF between paragraphs. */
struct marked_text {
    struct buf text;
    struct buf marks; /* one byte a byte of text */
};

void marked_put(struct marked_text *t, struct str s, int marks);
void marked_free(struct marked_text *t);
/* The last code point written, 0 at the beginning. */
uint32_t marked_last(const struct marked_text *t);

/* Appends text with its note names and chord symbols as the style writes them. In plain text only names with
 * an accidental are taken; with `symbols` true (code spans, harmony symbols) every chord symbol is. */
void marked_put_names(struct marked_text *t, struct str s, bool symbols, enum accidental_style style,
                      int marks);
/* Appends the words of one say block. */
void marked_put_prose(struct marked_text *t, const struct prose *p, enum accidental_style style);

/* ---- words -------------------------------------------------------------------------------------- */

/* What must happen before a word. */
enum seam_force {
    SEAM_FREE,
    SEAM_LINE /* a new line, or a new cue */,
    SEAM_PARAGRAPH /* the same, a cue rather */
};

/* Above every sum of ordinary costs: a cut inside a unit such as "F sharp" or "bar 42". */
enum { SEAM_PROTECTED = 1000000 };

struct caption_word {
    struct caption_run *runs;
    uint32_t n_runs;
    struct str text; /* all runs as one */
    uint32_t chars;
    enum seam_force force;
    int32_t seam;      /* cost of a cut before this word */
    bool sentence_end; /* the word ends a sentence */
};

struct caption_words {
    struct caption_word *items;
    uint32_t n;
};

/* Splits at white space, empties the text and weighs the seams. */
struct caption_words marked_words(struct marked_text *t, struct arena *a);
/* Fills `seam` and `sentence_end` of words that have their text; marked_words has called it. */
void words_weigh(struct caption_words words);

/* ---- cuts ------------------------------------------------------------------------------------- */

struct caption_limits {
    uint32_t line, lines; /* characters, lines: at most CAPTION_LINES_MAX */
    int64_t shortest_ms, longest_ms;
    int64_t length_ms; /* how long all the words take together */
};

enum cut { CUT_NONE, CUT_LINE, CUT_CUE };

/* The cheapest plan: cuts[i] stands before word i; cuts[0] is CUT_CUE. */
uint8_t *cuts_plan(struct caption_words words, const struct caption_limits *limits, struct arena *a);
/* What a plan costs; INT64_MAX where it breaks a rule that nothing outweighs (a forced cut left out, too many
 * lines). */
int64_t cuts_cost(struct caption_words words, const struct caption_limits *limits, const uint8_t *cuts,
                  struct arena *a);

/* ---- music -------------------------------------------------------------------------------------- */

/* Appends "[♪ “…”: who plays; harmony, length]" for a play, demo or silence item. */
void marked_put_music(struct marked_text *t, const struct model *m, const struct item *item,
                      enum accidental_style style, struct arena *a);

#endif
