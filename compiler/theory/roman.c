#include "theory/roman.h"

/* What stands before the figures. */
enum roman_quality { ROMAN_MAJOR, ROMAN_MINOR, ROMAN_DIMINISHED, ROMAN_HALF_DIMINISHED, ROMAN_AUGMENTED };

/* The triad in half steps above the root. */
static const int triad_half[][2] = {
    [ROMAN_MAJOR] = {4, 7},           [ROMAN_MINOR] = {3, 7},     [ROMAN_DIMINISHED] = {3, 6},
    [ROMAN_HALF_DIMINISHED] = {3, 6}, [ROMAN_AUGMENTED] = {4, 8},
};

struct roman_head {
    int degree; /* 0 … 6 */
    int alter;  /* accidentals before the numeral */
    bool upper;
    enum roman_quality quality;
};

struct roman_figures {
    const char *text;
    int tones;     /* 3 a triad, 4 with its seventh, 5 with its ninth */
    int inversion; /* which tone is the bass */
};

/* Longer ones before their beginnings (Hutchinson, Figured Bass Inversion Symbols). */
static const struct roman_figures all_figures[] = {
    {"6/5", 4, 1}, {"6/4", 3, 2}, {"4/3", 4, 2}, {"4/2", 4, 3}, {"65", 4, 1}, {"64", 3, 2}, {"63", 3, 1},
    {"43", 4, 2},  {"42", 4, 3},  {"53", 3, 0},  {"6", 3, 1},   {"7", 4, 0},  {"9", 5, 0},  {"2", 4, 3},
};

/* Augmented sixths: tones in half steps above the tonic, the lowest first (Hutchinson, Augmented Sixth
 * Chords). */
struct sixth_chord {
    const char *name;
    const char *figures; /* the other way to figure it */
    int n;
    struct interval above[4];
};

static const struct sixth_chord sixth_chords[] = {
    {"It", "", 3, {{5, 8}, {0, 0}, {3, 6}, {0, 0}}},
    {"Fr", "43", 4, {{5, 8}, {0, 0}, {1, 2}, {3, 6}}},
    {"Ger", "65", 4, {{5, 8}, {0, 0}, {2, 3}, {3, 6}}},
};

static bool take(struct str s, uint32_t *at, const char *word)
{
    if (!str_starts(str_slice(s, *at, s.n), str_of(word)))
        return false;
    *at += (uint32_t)strlen(word);
    return true;
}

static int read_accidentals(struct str s, uint32_t *at)
{
    int alter = 0;
    for (;;) {
        if (take(s, at, "#") || take(s, at, "\u266F"))
            alter++;
        else if (take(s, at, "b") || take(s, at, "\u266D"))
            alter--;
        else
            return alter;
    }
}

static bool read_numeral(struct str s, uint32_t *at, int *degree, bool *upper)
{
    /* A longer numeral before its beginning: VII, VI, V; IV before I. */
    static const struct {
        const char *upper, *lower;
        int degree;
    } numerals[] = {{"VII", "vii", 6}, {"VI", "vi", 5}, {"III", "iii", 2}, {"II", "ii", 1},
                    {"IV", "iv", 3},   {"V", "v", 4},   {"I", "i", 0}};
    for (size_t i = 0; i < sizeof numerals / sizeof numerals[0]; i++) {
        *upper = take(s, at, numerals[i].upper);
        if (*upper || take(s, at, numerals[i].lower)) {
            *degree = numerals[i].degree;
            return true;
        }
    }
    return false;
}

/* Accidentals, numeral and quality sign. */
static bool read_head(struct str s, uint32_t *at, struct roman_head *head)
{
    head->alter = read_accidentals(s, at);
    if (!read_numeral(s, at, &head->degree, &head->upper))
        return false;
    head->quality = head->upper ? ROMAN_MAJOR : ROMAN_MINOR;
    uint32_t sign = *at;
    if (take(s, at, "o") || take(s, at, "\u00B0"))
        head->quality = ROMAN_DIMINISHED;
    else if (take(s, at, "\u00F8") || take(s, at, "\u00D8"))
        head->quality = ROMAN_HALF_DIMINISHED;
    else if (take(s, at, "+"))
        head->quality = ROMAN_AUGMENTED;
    /* Small letters have a minor third, capitals a major one: V with a diminished sign says two things. */
    bool minor_third = triad_half[head->quality][0] == 3;
    if (minor_third == head->upper) {
        *at = sign;
        return false;
    }
    return true;
}

/* The tone of the key on a degree: the major scale, or natural minor. */
static struct interval key_interval(struct key key, int degree)
{
    static const int major[7] = {0, 2, 4, 5, 7, 9, 11};
    static const int minor[7] = {0, 2, 3, 5, 7, 8, 10};
    return (struct interval){degree, (key.minor ? minor : major)[degree]};
}

/* The root of a numeral. Flats lower the major scale, so that bVI is one chord in C major and in C minor
 * (Hutchinson, Mode Mixture); sharps raise the key's own scale. A diminished chord on 6 or 7 of minor stands
 * on the raised degree. */
static struct tone head_root(struct roman_head head, struct key key)
{
    struct key scale = {key.tonic, key.minor && head.alter >= 0};
    struct interval above = key_interval(scale, head.degree);
    bool diminished = head.quality == ROMAN_DIMINISHED || head.quality == ROMAN_HALF_DIMINISHED;
    int raised = key.minor && diminished && head.alter == 0 && head.degree >= 5;
    above.half += head.alter + raised;
    return tone_move(key.tonic, above);
}

/* The key's own tone so many letters above a root, as an interval; else the fallback. */
static struct interval own_above(struct key key, struct tone root, struct interval low, struct interval high,
                                 struct interval fallback)
{
    int degree = (interval_between_tones(key.tonic, root).steps + low.steps) % 7;
    struct tone own = tone_move(key.tonic, key_interval(key, degree));
    struct interval above = interval_between_tones(root, own);
    above.steps += low.steps - low.steps % 7;
    above.half += 12 * (low.steps / 7);
    return interval_eq(above, low) || interval_eq(above, high) ? above : fallback;
}

/* The seventh that figures ask for. Figures name the key's own tones, so I7 and IV7 of a major key have a
 * major seventh (common practice; Hutchinson writes Imaj7, which is read too). Minor and diminished triads,
 * and major ones on foreign roots (bVII7), have the one that their symbol says. */
static struct interval seventh_of(struct roman_head head, struct tone root, struct key key,
                                  bool major_seventh)
{
    struct interval minor = {6, 10}, major = {6, 11}, diminished = {6, 9};
    if (major_seventh)
        return major;
    switch (head.quality) {
    case ROMAN_DIMINISHED:
        return diminished;
    case ROMAN_MINOR:
    case ROMAN_HALF_DIMINISHED:
        return minor;
    case ROMAN_MAJOR:
    case ROMAN_AUGMENTED:
        break;
    }
    int degree, alter;
    key_degree(key, root, &degree, &alter);
    return alter ? minor : own_above(key, root, minor, major, minor);
}

static void chord_begin(struct chord *c, struct tone root)
{
    *c = (struct chord){.root = root, .bass = root};
    c->tones[c->n_tones++] = root;
}

static void chord_add(struct chord *c, struct interval above_root)
{
    c->tones[c->n_tones++] = tone_move(c->root, above_root);
}

static const struct roman_figures *read_figures(struct str s, uint32_t *at)
{
    static const struct roman_figures none = {"", 3, 0};
    for (size_t i = 0; i < sizeof all_figures / sizeof all_figures[0]; i++)
        if (take(s, at, all_figures[i].text))
            return &all_figures[i];
    return &none;
}

static bool read_numeral_chord(struct str s, uint32_t *at, struct key key, struct chord *out)
{
    struct roman_head head;
    if (!read_head(s, at, &head))
        return false;
    bool major_seventh = take(s, at, "maj") || take(s, at, "M") || take(s, at, "\u0394");
    uint32_t before = *at;
    const struct roman_figures *figures = read_figures(s, at);
    if (major_seventh && figures->tones < 4) {
        *at = before;
        return false;
    }
    int tones = figures->tones;
    /* The slashed o means a seventh chord, figured or not; a triad's inversion contradicts it. */
    if (head.quality == ROMAN_HALF_DIMINISHED && tones < 4) {
        if (figures->text[0]) {
            *at = before;
            return false;
        }
        tones = 4;
    }
    struct tone root = head_root(head, key);
    chord_begin(out, root);
    chord_add(out, (struct interval){2, triad_half[head.quality][0]});
    chord_add(out, (struct interval){4, triad_half[head.quality][1]});
    if (tones > 3)
        chord_add(out, seventh_of(head, root, key, major_seventh));
    if (tones > 4)
        chord_add(out, own_above(key, root, (struct interval){8, 13}, (struct interval){8, 14},
                                 (struct interval){8, 14}));
    out->bass = out->tones[figures->inversion];
    return true;
}

/* It+6, Fr+6, Ger+6; also It6, and Fr43 and Ger65 by the figures of their usual bass. */
static bool read_sixth_chord(struct str s, uint32_t *at, struct key key, struct chord *out)
{
    for (size_t i = 0; i < sizeof sixth_chords / sizeof sixth_chords[0]; i++) {
        const struct sixth_chord *sixth = &sixth_chords[i];
        if (!take(s, at, sixth->name))
            continue;
        take(s, at, "+");
        bool figured = sixth->figures[0] && take(s, at, sixth->figures);
        if (!figured && !take(s, at, "6"))
            return false;
        chord_begin(out, tone_move(key.tonic, sixth->above[0]));
        for (int t = 1; t < sixth->n; t++)
            out->tones[out->n_tones++] = tone_move(key.tonic, sixth->above[t]);
        return true;
    }
    return false;
}

static void make_triad(struct tone root, bool minor, int inversion, struct chord *out)
{
    enum roman_quality quality = minor ? ROMAN_MINOR : ROMAN_MAJOR;
    chord_begin(out, root);
    chord_add(out, (struct interval){2, triad_half[quality][0]});
    chord_add(out, (struct interval){4, triad_half[quality][1]});
    out->bass = out->tones[inversion];
}

/* One chord without what it is applied to. */
static bool read_chord(struct str s, uint32_t *at, struct key key, struct chord *out)
{
    if (take(s, at, "cad64") || take(s, at, "Cad64")) {
        make_triad(key.tonic, key.minor, 2, out);
        return true;
    }
    if (take(s, at, "N")) {
        const struct roman_figures *figures = read_figures(s, at);
        if (figures->tones != 3)
            return false;
        make_triad(tone_move(key.tonic, (struct interval){1, 1}), false, figures->inversion, out);
        return true;
    }
    uint32_t start = *at;
    if (read_sixth_chord(s, at, key, out))
        return true;
    return *at == start && read_numeral_chord(s, at, key, out);
}

/* The slash before what the chord is applied to: the first one that no figure follows. */
static uint32_t applied_slash(struct str s)
{
    uint32_t at = 0;
    while (at < s.n && (s.p[at] != '/' || (at + 1 < s.n && s.p[at + 1] >= '0' && s.p[at + 1] <= '9')))
        at++;
    return at;
}

/* V7/V is the V7 of the key whose tonic is V, major for a capital numeral (Hutchinson, Secondary Dominants).
 * A diminished or augmented triad is no tonic. */
static bool apply_key(struct str s, uint32_t *at, struct key *key)
{
    struct roman_head head;
    if (!read_head(s, at, &head) || (head.quality != ROMAN_MAJOR && head.quality != ROMAN_MINOR))
        return false;
    *key = (struct key){head_root(head, *key), !head.upper};
    return true;
}

bool roman_parse(struct str s, struct key key, struct chord *out, uint32_t *bad)
{
    struct chord c;
    uint32_t end = applied_slash(s);
    /* V/V/V: the last numeral stands in the key itself, each one before in the key after it. */
    for (uint32_t hi = s.n; hi > end;) {
        uint32_t slash = hi - 1;
        while (s.p[slash] != '/')
            slash--;
        uint32_t at = slash + 1;
        bool ok = apply_key(str_slice(s, 0, hi), &at, &key);
        *bad = at;
        if (!ok || at != hi)
            return false;
        hi = slash;
    }
    uint32_t at = 0;
    bool ok = read_chord(str_slice(s, 0, end), &at, key, &c);
    *bad = at;
    if (!ok || at != end)
        return false;
    *out = c;
    return true;
}
