#include "theory/chord.h"

#include "theory/text.h"

/* A suffix in the form that is compared: signs in ASCII, look-alikes made one; no parentheses, commas,
 * spaces. */
enum { SUFFIX_MAX = 96 };

struct suffix {
    char text[SUFFIX_MAX];
    uint32_t at[SUFFIX_MAX + 1]; /* where each byte stood in the suffix as written; [n] is its end */
    uint32_t n;
};

struct alias {
    const char *written;
    const char *plain;
};

/* Signs that different keyboards and fonts give for one mark. */
static const struct alias aliases[] = {
    {"\u266F", "#"},      /* sharp */
    {"\u266D", "b"},      /* flat */
    {"\U0001D12A", "##"}, /* double sharp */
    {"\U0001D12B", "bb"}, /* double flat */
    {"\u2212", "-"},      /* minus */
    {"\u2013", "-"},      /* en dash */
    {"\u25B3", "\u0394"}, /* white triangle: Greek delta */
    {"\u2206", "\u0394"}, /* increment: Greek delta */
    {"\u00BA", "\u00B0"}, /* ordinal: degree sign */
    {"\u00D8", "\u00F8"}, /* capital slashed o: small */
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* What does not count in a suffix. */
static bool is_ignored(char c)
{
    return c == '(' || c == ')' || c == ',' || c == ' ';
}

static const struct alias *alias_at(struct str s)
{
    for (size_t i = 0; i < sizeof aliases / sizeof aliases[0]; i++)
        if (str_starts(s, str_of(aliases[i].written)))
            return &aliases[i];
    return NULL;
}

static bool suffix_of(struct str s, struct suffix *out)
{
    out->n = 0;
    for (uint32_t i = 0; i < s.n;) {
        const struct alias *alias = alias_at(str_slice(s, i, s.n));
        struct str plain = alias ? str_of(alias->plain) : str_slice(s, i, i + 1);
        uint32_t used = alias ? (uint32_t)strlen(alias->written) : 1;
        for (uint32_t k = 0; k < plain.n && !is_ignored(plain.p[0]); k++) {
            if (out->n == SUFFIX_MAX)
                return false;
            out->at[out->n] = i;
            out->text[out->n++] = plain.p[k];
        }
        i += used;
    }
    out->at[out->n] = s.n;
    return true;
}

static struct str suffix_str(const struct suffix *s)
{
    return (struct str){s->text, s->n};
}

/* Brackets in pairs, not nested, not empty; nothing open at either end. *bad gets the offending byte. */
static bool suffix_brackets(struct str s, uint32_t *bad)
{
    bool open = false;
    char before = ' ';
    for (uint32_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        bool wrong = (c == '(' && open) || (c == ')' && (!open || before == '(')) ||
                     ((c == ',' || c == ' ') && (i == 0 || i + 1 == s.n));
        if (wrong) {
            *bad = i;
            return false;
        }
        open = c == '(' || (open && c != ')');
        before = c;
    }
    *bad = s.n;
    return !open;
}

uint32_t chord_dict_slots(uint32_t n_symbols)
{
    uint32_t n = 2;
    while (n < 2 * n_symbols)
        n *= 2;
    return n;
}

/* Index of the slot that holds the symbol, or of the empty one where it belongs. key is in compared form. */
static uint32_t slot_of(const struct chord_dict *dict, struct str key, uint32_t hash)
{
    for (uint32_t i = hash & (dict->n_slots - 1);; i = (i + 1) & (dict->n_slots - 1)) {
        const struct chord_dict_slot *slot = &dict->slots[i];
        struct suffix other;
        if (!slot->quality || (slot->hash == hash && suffix_of(slot->symbol, &other) && str_eq(suffix_str(&other), key)))
            return i;
    }
}

int chord_dict_build(struct chord_dict *dict, const struct chord_quality *qualities, uint32_t n,
                     struct chord_dict_slot *slots, uint32_t n_slots)
{
    *dict = (struct chord_dict){qualities, n, slots, n_slots};
    int clash = -1;
    for (uint32_t q = 0; q < n; q++) {
        for (uint32_t i = 0; i < qualities[q].n_symbols; i++) {
            struct suffix key;
            if (!suffix_of(qualities[q].symbols[i], &key))
                continue; /* no chord_parse can ask for it either */
            uint32_t hash = str_hash(suffix_str(&key));
            struct chord_dict_slot *slot = &slots[slot_of(dict, suffix_str(&key), hash)];
            if (!slot->quality)
                *slot = (struct chord_dict_slot){qualities[q].symbols[i], hash, &qualities[q]};
            else if (slot->quality != &qualities[q] && clash < 0)
                clash = (int)q;
        }
    }
    return clash;
}

static const struct chord_quality *quality_of(const struct chord_dict *dict, struct str key)
{
    return dict->n_slots ? dict->slots[slot_of(dict, key, str_hash(key))].quality : NULL;
}

/* The major or perfect interval of a number from 1 up. */
static struct interval natural_degree(int number)
{
    struct interval v = {0, 0};
    if (!interval_of_name(QUALITY_MAJOR, 1, number, &v))
        interval_of_name(QUALITY_PERFECT, 1, number, &v);
    return v;
}

/* Reads signs and a number from s. plus_minus: + and - are signs too, as in 7+5 and 7-9. */
static bool degree_read(struct str s, bool plus_minus, struct interval *out, int *number, uint32_t *used)
{
    int alter = 0;
    uint32_t at = 0;
    for (; at < s.n && at < 3; at++) {
        char c = s.p[at];
        if (c == '#' || (plus_minus && c == '+'))
            alter++;
        else if (c == 'b' || (plus_minus && c == '-'))
            alter--;
        else
            break;
    }
    int n = 0;
    uint32_t first = at;
    for (; at < s.n && at < first + 2 && is_digit(s.p[at]); at++)
        n = n * 10 + (s.p[at] - '0');
    if (n < 1 || n > 15 || (at < s.n && is_digit(s.p[at])))
        return false;
    struct interval v = natural_degree(n);
    v.half += alter;
    *out = v;
    *number = n;
    *used = at;
    return true;
}

bool degree_parse(struct str s, struct interval *out)
{
    struct suffix plain;
    struct interval v;
    int number;
    uint32_t used;
    for (uint32_t i = 0; i < s.n; i++)
        if (is_ignored(s.p[i]))
            return false;
    if (!suffix_of(s, &plain) || !degree_read(suffix_str(&plain), false, &v, &number, &used))
        return false;
    /* A lowered first degree would lie below the root. */
    if (used != plain.n || v.half < 0)
        return false;
    *out = v;
    return true;
}

struct degrees {
    struct interval at[CHORD_TONES_MAX];
    uint32_t n;
};

static bool degree_before(struct interval a, struct interval b)
{
    return a.steps < b.steps || (a.steps == b.steps && a.half < b.half);
}

static void degree_remove(struct degrees *d, uint32_t i)
{
    memmove(&d->at[i], &d->at[i + 1], (d->n - i - 1) * sizeof d->at[0]);
    d->n--;
}

/* Keeps order; what is there already is not put twice. False: full. */
static bool degree_add(struct degrees *d, struct interval v)
{
    uint32_t i = 0;
    while (i < d->n && degree_before(d->at[i], v))
        i++;
    if (i < d->n && interval_eq(d->at[i], v))
        return true;
    if (d->n == CHORD_TONES_MAX)
        return false;
    memmove(&d->at[i + 1], &d->at[i], (d->n - i) * sizeof d->at[0]);
    d->at[i] = v;
    d->n++;
    return true;
}

static void degree_drop_number(struct degrees *d, int number)
{
    for (uint32_t i = d->n; i-- > 0;)
        if (d->at[i].steps == number - 1)
            degree_remove(d, i);
}

static void degree_drop(struct degrees *d, struct interval v)
{
    for (uint32_t i = d->n; i-- > 0;)
        if (interval_eq(d->at[i], v))
            degree_remove(d, i);
}

static bool is_one_of(int number, const char *numbers)
{
    return number < 15 && strchr(numbers, "0123456789abcde"[number]) != NULL;
}

/* sus2, sus4, sus: the third gives way (Hutchinson, Introduction to Jazz Theory). */
static bool change_sus(struct degrees *d, struct str rest, uint32_t *used)
{
    bool two = rest.n && rest.p[0] == '2', four = rest.n && rest.p[0] == '4';
    *used = two || four;
    degree_drop_number(d, 3);
    return degree_add(d, natural_degree(two ? 2 : 4));
}

/* no3, omit5: every form of that degree goes; to name one that isn't there is harmless ("C5(no3)"). */
static bool change_no(struct degrees *d, struct str rest, uint32_t *used)
{
    struct interval v;
    int number;
    if (!degree_read(rest, false, &v, &number, used) || v.half != natural_degree(number).half ||
        !is_one_of(number, "1359bd"))
        return false;
    degree_drop_number(d, number);
    return true;
}

/* add9, add#11, and /9 as in 6/9. */
static bool change_add(struct degrees *d, struct str rest, uint32_t *used)
{
    struct interval v;
    int number;
    return degree_read(rest, true, &v, &number, used) && is_one_of(number, "24569bd") && degree_add(d, v);
}

/* b5, #9, b13: takes the place of the plain degree, or is added where there is none; so 7b9#9 has both. */
static bool change_alter(struct degrees *d, struct str rest, bool after_digit, uint32_t *used)
{
    struct interval v;
    int number;
    /* Only after a number are + and - accidentals: C7+5 is C7#5, C+7 the augmented triad with a seventh. */
    if (!degree_read(rest, after_digit, &v, &number, used) || !is_one_of(number, "24569bd"))
        return false;
    struct interval plain = natural_degree(number);
    if (interval_eq(v, plain))
        return false;
    degree_drop(d, plain);
    return degree_add(d, v);
}

static bool change_one(struct degrees *d, const struct suffix *s, uint32_t *at)
{
    struct str rest = str_slice(suffix_str(s), *at, s->n);
    uint32_t word = 0, used = 0;
    bool ok;
    if (str_starts(rest, STR("sus")))
        ok = change_sus(d, str_slice(rest, word = 3, rest.n), &used);
    else if (str_starts(rest, STR("no")))
        ok = change_no(d, str_slice(rest, word = 2, rest.n), &used);
    else if (str_starts(rest, STR("omit")))
        ok = change_no(d, str_slice(rest, word = 4, rest.n), &used);
    else if (str_starts(rest, STR("add")))
        ok = change_add(d, str_slice(rest, word = 3, rest.n), &used);
    else if (str_starts(rest, STR("/")))
        ok = change_add(d, str_slice(rest, word = 1, rest.n), &used);
    else
        ok = change_alter(d, rest, *at > 0 && is_digit(s->text[*at - 1]), &used);
    if (ok)
        *at += word + used;
    return ok;
}

static const struct chord_quality *quality_of_degrees(const struct chord_dict *dict, const struct degrees *d)
{
    for (uint32_t q = 0; q < dict->n; q++) {
        const struct chord_quality *quality = &dict->qualities[q];
        bool same = quality->n_degrees == d->n;
        for (uint32_t i = 0; same && i < d->n; i++)
            same = interval_eq(quality->degrees[i], d->at[i]);
        if (same)
            return quality;
    }
    return NULL;
}

/* What a suffix says: degrees, the quality they rest on, whether they differ from it. */
struct reading {
    struct degrees degrees;
    const struct chord_quality *quality;
    bool altered;
};

static void degrees_of_quality(const struct chord_quality *q, struct degrees *out)
{
    out->n = q->n_degrees;
    for (uint32_t i = 0; i < q->n_degrees; i++)
        out->at[i] = q->degrees[i];
}

/* The longest known beginning whose rest is understood. *furthest gets the first byte no attempt got past. */
static bool suffix_read(const struct chord_dict *dict, const struct suffix *s, struct reading *out,
                        uint32_t *furthest)
{
    *furthest = 0;
    for (uint32_t n = s->n + 1; n-- > 0;) {
        struct reading r = {.quality = quality_of(dict, str_slice(suffix_str(s), 0, n))};
        if (!r.quality)
            continue;
        degrees_of_quality(r.quality, &r.degrees);
        uint32_t at = n;
        while (at < s->n && change_one(&r.degrees, s, &at))
            ;
        if (at > *furthest)
            *furthest = at;
        if (at < s->n || r.degrees.n == 0)
            continue;
        if (n < s->n) {
            /* C-7-5 is no altered minor seventh but the half-diminished one. */
            const struct chord_quality *exact = quality_of_degrees(dict, &r.degrees);
            r.altered = exact == NULL;
            r.quality = exact ? exact : r.quality;
        }
        *out = r;
        return true;
    }
    return false;
}

/* Where the slash of a bass stands: the last one, if a capital follows (not the M of m/Maj7). s.n if none does. */
static uint32_t bass_slash(struct str s)
{
    uint32_t i = s.n;
    while (i > 0 && s.p[i - 1] != '/')
        i--;
    bool bass = i > 0 && i < s.n && s.p[i] >= 'A' && s.p[i] <= 'Z' && s.p[i] != 'M';
    return bass ? i - 1 : s.n;
}

bool chord_parse(const struct chord_dict *dict, struct str s, struct chord *out, uint32_t *bad)
{
    struct chord c = {0};
    struct suffix suffix;
    struct reading reading;
    uint32_t root_end, off;
    *bad = 0;
    if (!tone_read(s, &c.root, &root_end))
        return false;
    c.bass = c.root;
    uint32_t end = bass_slash(s);
    if (end < s.n) {
        uint32_t used;
        struct str rest = str_slice(s, end + 1, s.n);
        *bad = end + 1;
        if (!tone_read(rest, &c.bass, &used))
            return false;
        *bad += used;
        if (used < rest.n)
            return false;
        c.slash = true;
    }
    struct str written = str_slice(s, root_end, end);
    *bad = root_end;
    if (!suffix_of(written, &suffix))
        return false;
    bool paired = suffix_brackets(written, &off);
    *bad = root_end + off;
    if (!paired)
        return false;
    if (!suffix_read(dict, &suffix, &reading, &off)) {
        *bad = root_end + suffix.at[off];
        return false;
    }
    c.quality = reading.quality;
    c.altered = reading.altered;
    c.n_tones = reading.degrees.n;
    for (uint32_t i = 0; i < c.n_tones; i++)
        c.tones[i] = tone_move(c.root, reading.degrees.at[i]);
    *out = c;
    return true;
}

pcset chord_set(const struct chord *c)
{
    pcset set = pcset_of(tone_pc(c->bass));
    for (uint32_t i = 0; i < c->n_tones; i++)
        set |= pcset_of(tone_pc(c->tones[i]));
    return set;
}

/* How many tones are spelled as the quality spells one of its own. */
static uint32_t count_spelled(const struct chord_quality *q, struct tone root, const struct tone *tones,
                              uint32_t n)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < n; i++) {
        bool found = false;
        for (uint32_t d = 0; d < q->n_degrees && !found; d++)
            found = tone_eq(tone_move(root, q->degrees[d]), tones[i]);
        count += found;
    }
    return count;
}

/* The root on one pitch class: the tone given there; of several, the one that spells most of the others. */
static struct chord_match match_on(const struct chord_quality *q, int pc, const struct tone *tones,
                                   uint32_t n)
{
    struct chord_match match = {.quality = q, .root_bass = tone_pc(tones[0]) == pc};
    uint32_t most = 0;
    for (uint32_t i = 0; i < n; i++) {
        if (tone_pc(tones[i]) != pc)
            continue;
        uint32_t spelled = count_spelled(q, tones[i], tones, n);
        if (spelled > most) {
            match.root = tones[i];
            most = spelled;
        }
    }
    match.spelled = most == n;
    return match;
}

static int match_rank(const struct chord_match *m)
{
    return (m->spelled ? 0 : 2) + (m->root_bass ? 0 : 1);
}

/* Behind its equals, so that library order stands; the worst falls off a full list. */
static uint32_t match_insert(struct chord_match *list, uint32_t n, uint32_t max, struct chord_match m)
{
    uint32_t i = n;
    while (i > 0 && match_rank(&m) < match_rank(&list[i - 1]))
        i--;
    if (i == max)
        return n;
    uint32_t kept = n < max ? n : max - 1;
    memmove(&list[i + 1], &list[i], (kept - i) * sizeof list[0]);
    list[i] = m;
    return kept + 1;
}

uint32_t chord_identify(const struct chord_dict *dict, const struct tone *tones, uint32_t n,
                        struct chord_match *out, uint32_t max)
{
    pcset set = 0;
    for (uint32_t i = 0; i < n; i++)
        set |= pcset_of(tone_pc(tones[i]));
    uint32_t found = 0;
    for (uint32_t q = 0; q < dict->n && n > 0; q++) {
        const struct chord_quality *quality = &dict->qualities[q];
        int lowest = tone_pc(tones[0]);
        /* From the bass up, so that the roots of a symmetric chord come in that order. */
        for (int up = 0; up < 12; up++) {
            int pc = (lowest + up) % 12;
            if ((set & pcset_of(pc)) && pcset_transpose(quality->shape, pc) == set)
                found = match_insert(out, found, max, match_on(quality, pc, tones, n));
        }
    }
    return found;
}

/* A suffix with its accidentals as signs: b and # before a number. */
static void put_suffix_signs(struct text_out *t, struct str s)
{
    for (uint32_t i = 0; i < s.n; i++) {
        char c = s.p[i], after = i + 1 < s.n ? s.p[i + 1] : ' ';
        if ((c == 'b' || c == '#') && (is_digit(after) || after == c))
            text_put(t, c == 'b' ? "\u266D" : "\u266F");
        else
            text_str(t, str_slice(s, i, i + 1));
    }
}

const char *chord_symbol(struct tone root, const struct chord_quality *q, const struct tone *bass,
                         enum sign_style style, char *out)
{
    char tone[PITCH_TEXT_MAX];
    struct text_out t = text_begin(out, PITCH_TEXT_MAX);
    text_put(&t, tone_text(root, style, tone));
    if (style == SIGN_WORDS || !q->n_symbols) { /* the root alone would be its major triad */
        text_put(&t, " ");
        text_str(&t, q->name);
    } else if (style == SIGN_ASCII) {
        text_str(&t, q->symbols[0]);
    } else {
        put_suffix_signs(&t, q->symbols[0]);
    }
    if (bass) {
        text_put(&t, style == SIGN_WORDS ? " over " : "/");
        text_put(&t, tone_text(*bass, style, tone));
    }
    return out;
}
