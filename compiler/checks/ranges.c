#include "checks/checks.h"

/* How a note lies against the instruments of its part: a part for several is in order if one of them can
 * play it. */
enum reach { REACH_COMMON, REACH_POSSIBLE, REACH_NONE };

static bool within(struct pitch p, struct pitch low, struct pitch high)
{
    return pitch_midi(p) >= pitch_midi(low) && pitch_midi(p) <= pitch_midi(high);
}

static enum reach reach_of(const struct part *part, struct pitch p)
{
    enum reach best = REACH_NONE;
    for (uint32_t i = 0; i < part->n_instruments; i++) {
        const struct instrument *in = part->instruments[i];
        if (in->has_range && !within(p, in->low, in->high))
            continue;
        if (!in->has_range || !in->has_common || within(p, in->common_low, in->common_high))
            return REACH_COMMON;
        best = REACH_POSSIBLE;
    }
    return part->n_instruments ? best : REACH_COMMON;
}

/* The instrument whose range comes nearest, for the message. */
static const struct instrument *nearest(const struct part *part, struct pitch p)
{
    const struct instrument *best = part->instruments[0];
    int distance = INT32_MAX;
    for (uint32_t i = 0; i < part->n_instruments; i++) {
        const struct instrument *in = part->instruments[i];
        int below = pitch_midi(in->low) - pitch_midi(p), above = pitch_midi(p) - pitch_midi(in->high);
        int off = below > above ? below : above;
        if (off < distance) {
            distance = off;
            best = in;
        }
    }
    return best;
}

static void report(const struct model *m, const struct part *part, const struct note *n, enum reach reach)
{
    char pitch[PITCH_TEXT_MAX], written[PITCH_TEXT_MAX], low[PITCH_TEXT_MAX], high[PITCH_TEXT_MAX];
    const struct instrument *in = nearest(part, n->pitch);
    struct str title = instrument_title(in);
    bool none = reach == REACH_NONE;
    pitch_text(n->pitch, SIGN_ASCII, pitch);
    pitch_text(none ? in->low : in->common_low, SIGN_ASCII, low);
    pitch_text(none ? in->high : in->common_high, SIGN_ASCII, high);
    struct diag *d = diag_add(m->diags, none ? DIAG_OUT_OF_RANGE : DIAG_UNCOMMON_RANGE, n->where,
                              none ? "%s is outside the range of %.*s, %s to %s"
                                   : "%s is outside the common range of %.*s, %s to %s",
                              pitch, STR_ARG(title), low, high);
    if (!pitch_eq(n->pitch, n->written))
        diag_label(m->diags, d, "written %s, sounds %s", pitch_text(n->written, SIGN_ASCII, written), pitch);
    struct pitch octave = n->written;
    octave.octave = (int16_t)(octave.octave + (pitch_midi(n->pitch) < pitch_midi(in->low) ? 1 : -1));
    struct pitch sounding = n->pitch;
    sounding.octave = (int16_t)(sounding.octave + (octave.octave - n->written.octave));
    if (none && reach_of(part, sounding) == REACH_COMMON)
        diag_help(m->diags, d, "an octave %s, %s, it can be played",
                  octave.octave > n->written.octave ? "higher" : "lower",
                  pitch_text(octave, SIGN_ASCII, written));
}

/* Each pitch of a part is reported once, where it is met first. */
static bool met_before(const struct part *part, uint32_t i)
{
    for (uint32_t k = i; k-- > 0;)
        if (pitch_eq(part->notes[k].pitch, part->notes[i].pitch))
            return true;
    return false;
}

void check_ranges(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_passages; i++)
        for (uint32_t k = 0; k < m->passages[i]->n_parts; k++) {
            const struct part *part = m->passages[i]->parts[k];
            for (uint32_t n = 0; n < part->n_notes; n++) {
                enum reach reach = reach_of(part, part->notes[n].pitch);
                if (reach != REACH_COMMON && !met_before(part, n))
                    report(m, part, &part->notes[n], reach);
            }
        }
}
