#include "theory/scale.h"

#include "theory/text.h"

/* The key's tones in half steps above the tonic, one a letter (Hutchinson, Minor Scales and Keys). */
static const int major_half[7] = {0, 2, 4, 5, 7, 9, 11};
static const int natural_half[7] = {0, 2, 3, 5, 7, 8, 10};
static const int harmonic_half[7] = {0, 2, 3, 5, 7, 8, 11};
static const int melodic_half[7] = {0, 2, 3, 5, 7, 9, 11};

pcset scale_set(const struct scale *s, int tonic_pc)
{
    return pcset_transpose(s->shape, tonic_pc);
}

uint32_t scale_spell(const struct scale *s, struct tone tonic, struct tone out[SCALE_TONES_MAX])
{
    for (uint32_t i = 0; i < s->n_degrees; i++)
        out[i] = tone_move(tonic, s->degrees[i]);
    return s->n_degrees;
}

int scale_transpositions(const struct scale *s)
{
    /* The smallest move that maps the set onto itself. */
    int half = 1;
    while (half < 12 && pcset_transpose(s->shape, half) != s->shape)
        half++;
    return half;
}

/* The forms that count, each once; returns how many. */
static int key_forms(struct key k, enum minor_form form, const int *out[3])
{
    if (!k.minor) {
        out[0] = major_half;
        return 1;
    }
    switch (form) {
    case MINOR_ALL:
        out[0] = natural_half;
        out[1] = harmonic_half;
        out[2] = melodic_half;
        return 3;
    case MINOR_NATURAL:
        out[0] = natural_half;
        return 1;
    case MINOR_HARMONIC:
        out[0] = harmonic_half;
        return 1;
    case MINOR_MELODIC:
        out[0] = melodic_half;
        return 1;
    }
    return 0;
}

pcset key_set(struct key k, enum minor_form form)
{
    const int *forms[3];
    int n = key_forms(k, form, forms);
    pcset set = 0;
    for (int f = 0; f < n; f++)
        for (int i = 0; i < 7; i++)
            set |= pcset_of(tone_pc(k.tonic) + forms[f][i]);
    return set;
}

bool key_has_tone(struct key k, enum minor_form form, struct tone t)
{
    const int *forms[3];
    int n = key_forms(k, form, forms);
    struct interval above = interval_between_tones(k.tonic, t);
    for (int f = 0; f < n; f++)
        if (forms[f][above.steps] == above.half)
            return true;
    return false;
}

int key_fifths(struct key k)
{
    /* Fifths above C of C D E F G A B; a sharp is seven more. */
    static const int letter_fifths[7] = {0, 2, 4, -1, 1, 3, 5};
    return letter_fifths[k.tonic.letter] + 7 * k.tonic.alter - (k.minor ? 3 : 0);
}

bool key_contains(struct key k, enum minor_form form, pcset set)
{
    return (set & ~key_set(k, form) & 0xFFF) == 0;
}

struct key key_of_index(int index)
{
    bool minor = index >= 12;
    /* The spelling with fewer accidentals in the signature; six flats or six sharps by custom. */
    int pc = index % 12;
    bool sharps = minor ? pc == 1 || pc == 6 || pc == 8 : pc == 6;
    return (struct key){pitch_of_midi(pc, !sharps).tone, minor};
}

void key_degree(struct key k, struct tone t, int *degree_from_0, int *alter)
{
    struct interval above = interval_between_tones(k.tonic, t);
    *degree_from_0 = above.steps;
    *alter = above.half - (k.minor ? natural_half : major_half)[above.steps];
}

const char *key_text(struct key k, enum sign_style style, char *out)
{
    tone_text(k.tonic, style, out);
    struct text_out t = {out, (uint32_t)strlen(out), PITCH_TEXT_MAX};
    text_put(&t, k.minor ? " minor" : " major");
    return out;
}
