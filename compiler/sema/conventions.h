/* conventions.h - definitions that textbooks disagree on, chosen and stated.
 *
 * Purpose: each disputed definition is a named convention with a default; the one in force is printed with every verdict
 *          that depends on it.
 * Owner:   one table, static; values are small enums or ratios in a struct of the compilation.
 */
#ifndef DESCANT_CONVENTIONS_H
#define DESCANT_CONVENTIONS_H

#include "base/ratio.h"
#include "base/str.h"

enum convention {
    CONVENTION_PARALLEL,       /* sounding | spelled */
    CONVENTION_PEDAL,          /* foreign | drone */
    CONVENTION_PEDAL_GAP,      /* a note value, 1/4 */
    CONVENTION_MINOR,          /* all | natural | harmonic | melodic: values equal enum minor_form */
    CONVENTION_PRIME_FORM,     /* rahn | forte */
    CONVENTION_MEDIANT,        /* common-tone | root-only */
    CONVENTION_COMPOUND,       /* strict | reduced */
    CONVENTION_CLUSTER,        /* three-neighbours | seconds */
    CONVENTION_SIX_FOUR,       /* cadential | tonic */
    CONVENTION_HALF_STEP,      /* either | diatonic */
    CONVENTION_TIME_TOLERANCE, /* one frame, or a length */
    CONVENTION_FAULT_HIDDEN,   /* outer | any */
    CONVENTION_COUNT
};

struct convention_values {
    int choice[CONVENTION_COUNT];        /* index into the row's words; 0 is the default */
    struct ratio amount[CONVENTION_COUNT]; /* for those that hold a value */
};

struct convention_info {
    const char *name;
    const char *words[5]; /* choices, NULL-terminated; none for a value */
    const char *meaning;  /* a sentence for `explain` */
    const char *source;
};

const struct convention_info *convention_info(enum convention c);
/* CONVENTION_COUNT if unknown. */
enum convention convention_by_name(struct str name);
void convention_defaults(struct convention_values *v);
/* "parallel sounding", static text for choices; for values the name only. */
const char *convention_text(const struct convention_values *v, enum convention c);

#endif
