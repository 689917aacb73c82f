#include "sema/conventions.h"

static const struct convention_info infos[CONVENTION_COUNT] = {
    [CONVENTION_PARALLEL] =
        {"parallel",
         {"sounding", "spelled"},
         "What makes parallel motion real: each voice moves by the same number of half steps, or by the same "
         "spelled interval.",
         "common practice; Hutchinson, Types of Contrapuntal Motion, for the motion itself"},
    [CONVENTION_PEDAL] = {"pedal",
                          {"foreign", "drone"},
                          "Whether a pedal needs a chord over it that is foreign to it (foreign), or may "
                          "belong to every chord (drone).",
                          "Hutchinson, Pedal Tones, for the foreign chord; drone: common practice"},
    [CONVENTION_PEDAL_GAP] =
        {"pedal-gap",
         {0},
         "The longest silence, as a note value, that a pedal may leave before it is struck again.",
         "our own choice: textbooks give no number"},
    [CONVENTION_MINOR] =
        {"minor",
         {"all", "natural", "harmonic", "melodic"},
         "Which forms of a minor key count: all three together, or one of them (melodic: ascending).",
         "Hutchinson, Minor Scales and Keys"},
    [CONVENTION_PRIME_FORM] =
        {"prime-form",
         {"rahn", "forte"},
         "Which of two packings names a set class where the tables differ.",
         "J. Rahn, Basic Atonal Theory (1980); A. Forte, The Structure of Atonal Music (1973)"},
    [CONVENTION_MEDIANT] = {"mediant",
                            {"common-tone", "root-only"},
                            "Whether two chords are mediants by roots a third apart with their mode and "
                            "common tones, or by the roots alone.",
                            "Hutchinson, Chromatic Mediants; root-only: common practice"},
    [CONVENTION_COMPOUND] = {"compound",
                             {"strict", "reduced"},
                             "Whether an interval past the octave must be named as one, or may be named by "
                             "what is left without its octaves.",
                             "common practice"},
    [CONVENTION_CLUSTER] = {"cluster",
                            {"three-neighbours", "seconds"},
                            "What makes a cluster: three or more neighbouring steps of one scale, or any "
                            "notes all a second apart.",
                            "common practice"},
    [CONVENTION_SIX_FOUR] = {"six-four",
                             {"cadential", "tonic"},
                             "Whether the six-four chord before a cadential dominant counts to the dominant, "
                             "or is the tonic in second inversion.",
                             "Hutchinson, Cadential 6/4; tonic: common practice"},
    [CONVENTION_HALF_STEP] =
        {"half-step",
         {"either", "diatonic"},
         "Whether a move by half step may keep its letter (C to C#), or must go to the next one (C to Db).",
         "common practice"},
    [CONVENTION_TIME_TOLERANCE] = {"time-tolerance",
                                   {0},
                                   "How far a time may be off, in seconds; one frame unless given.",
                                   "our own choice: a frame is the least that a picture shows"},
    [CONVENTION_FAULT_HIDDEN] = {"fault-hidden",
                                 {"outer", "any"},
                                 "Whether hidden fifths and octaves are looked for between the outer voices "
                                 "only, or between any two.",
                                 "common practice"},
};

const struct convention_info *convention_info(enum convention c)
{
    return &infos[c];
}

enum convention convention_by_name(struct str name)
{
    for (int i = 0; i < (int)CONVENTION_COUNT; i++)
        if (str_is(name, infos[i].name))
            return (enum convention)i;
    return CONVENTION_COUNT;
}

void convention_defaults(struct convention_values *v)
{
    for (int i = 0; i < (int)CONVENTION_COUNT; i++) {
        v->choice[i] = 0;
        v->amount[i] = RATIO_ZERO; /* a time tolerance of 0 stands for one frame of the clock in question */
    }
    v->amount[CONVENTION_PEDAL_GAP] = (struct ratio){1, 4};
}

/* Name and choice as one text, for each row in the order of its words. */
static const char *const texts[CONVENTION_COUNT][4] = {
    [CONVENTION_PARALLEL] = {"parallel sounding", "parallel spelled"},
    [CONVENTION_PEDAL] = {"pedal foreign", "pedal drone"},
    [CONVENTION_PEDAL_GAP] = {"pedal-gap"},
    [CONVENTION_MINOR] = {"minor all", "minor natural", "minor harmonic", "minor melodic"},
    [CONVENTION_PRIME_FORM] = {"prime-form rahn", "prime-form forte"},
    [CONVENTION_MEDIANT] = {"mediant common-tone", "mediant root-only"},
    [CONVENTION_COMPOUND] = {"compound strict", "compound reduced"},
    [CONVENTION_CLUSTER] = {"cluster three-neighbours", "cluster seconds"},
    [CONVENTION_SIX_FOUR] = {"six-four cadential", "six-four tonic"},
    [CONVENTION_HALF_STEP] = {"half-step either", "half-step diatonic"},
    [CONVENTION_TIME_TOLERANCE] = {"time-tolerance"},
    [CONVENTION_FAULT_HIDDEN] = {"fault-hidden outer", "fault-hidden any"},
};

const char *convention_text(const struct convention_values *v, enum convention c)
{
    return texts[c][infos[c].words[0] ? v->choice[c] : 0];
}
