/* attacks.h - the moments at which a stream begins a note.
 *
 * Purpose: claims on cross rhythms and groupings ask when something is struck, not for how long it sounds.
 * Units:   positions in wholes from the passage's start, in order, each once; a note held over from before
 * the stretch is no attack in it. Owner:   the compilation arena. Errors:  attacks_read returns false after
 * an undecided verdict.
 */
#ifndef DESCANT_CLAIMS_ATTACKS_H
#define DESCANT_CLAIMS_ATTACKS_H

#include "claims/claims.h"

struct attack {
    struct ratio at;
    struct span where; /* the first note, or the symbol, that begins there */
};

struct attacks {
    struct attack *items;
    uint32_t n;
    const struct passage *passage; /* NULL: a figure of a library */
    struct str name;               /* "`reed`", "the harmony": for messages */
};

/* Of the harmony: where a symbol begins that differs from the one before. */
bool attacks_read(struct claim_context *ctx, const struct stream *s, struct stretch where,
                  struct attacks *out);
/* Of a part, whatever is known of it; none where it rests. */
void attacks_of_part(struct claim_context *ctx, const struct part *part, struct stretch where,
                     struct attacks *out);
/* Index of the first attack at or after a position; n if there is none. */
uint32_t attacks_from(const struct attacks *a, struct ratio at);
bool attacks_at(const struct attacks *a, struct ratio at);

/* The passage that the sentence's words name, or the only one there is; NULL after an undecided verdict. For
 * sentences that need no stream, such as `hemiola in bars 3 to 4 of dance`. */
const struct passage *passage_of_sentence(struct claim_context *ctx);

#endif
