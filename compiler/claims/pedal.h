/* pedal.h - does one note sound through a stretch, and what chords does it meet?
 *
 * Purpose: the two halves of a pedal point, each a question that can be asked again for another voice,
 *          another note or a shorter stretch, to find the sentence that would be true.
 * Units:   as in sema/model.h.
 * Owner:   results live in the compilation arena.
 * Errors:  none; what is wrong is returned as a finding.
 * Source:  Hutchinson, Pedal Point (section 10.8): held through changing harmonies, beginning as a
 *          chord tone before it becomes a non-chord tone; mostly in the bass, also in a higher voice,
 *          also two at once, often a fifth apart.
 */
#ifndef DESCANT_CLAIMS_PEDAL_H
#define DESCANT_CLAIMS_PEDAL_H

#include "claims/claims.h"

enum pedal_role { PEDAL_BASS, PEDAL_INNER, PEDAL_INVERTED, PEDAL_ROLES };

enum pedal_fault {
    PEDAL_SOUNDS, /* through the stretch */
    PEDAL_ABSENT, /* never in this role */
    PEDAL_STOPS,  /* silent for longer than the gap allowed */
    PEDAL_COVERED /* another note is lower (bass), higher (inverted), or none is beyond it (inner) */
};

struct pedal_finding {
    enum pedal_fault fault;
    struct ratio at;          /* where it goes wrong */
    struct ratio until;       /* PEDAL_STOPS: where the silence ends, as far as it was followed */
    const struct note *other; /* PEDAL_COVERED: the note that is in the way; NULL: nothing is beyond it */
    const struct part *other_part;
    const struct note *first; /* its first note, in the octave furthest out; NULL: it never sounds */
    const struct part *part;  /* who plays that */
    struct ratio begins;      /* where it is first heard */
    uint32_t strikes;
    bool spelled;             /* a note of it is spelled as the tone that was asked for */
    struct ratio longest_gap; /* of those that are allowed */
};

/* Does the tone, by sound, stand in this role through the stretch? */
struct pedal_finding pedal_examine(struct claim_context *ctx, const struct passage *p, struct tone tone,
                                   enum pedal_role role, struct stretch where);

/* A chord over the pedal. */
struct pedal_chord {
    struct str words;
    pcset set;
    bool foreign; /* the pedal's tone is not among its tones */
    struct ratio onset;
    struct span where;
};

struct pedal_chords {
    struct pedal_chord *items; /* neighbours differ */
    uint32_t n, foreign;
    bool read; /* from the harmony row; false: from the stacks of the parts */
};

/* The chords that sound over it; a slash bass does not count among a chord's tones. Where the
 * harmony is not written, stacks of three or more tones are chords, and two of them differ only
 * where neither contains the other. */
struct pedal_chords pedal_harmonies(struct claim_context *ctx, const struct passage *p, struct tone tone,
                                    struct pitch pedal, struct stretch where);

#endif
