#include "theory/pitch.h"

#include "theory/text.h"

#include <math.h>
#include <stdlib.h>

static const char letter_name[7] = "CDEFGAB";

struct sign {
    const char *text;
    int alter;
};

static const struct sign signs[] = {
    {"#", 1}, {"b", -1}, {"x", 2}, {"\u266F", 1}, {"\u266D", -1}, {"\U0001D12A", 2}, {"\U0001D12B", -2},
};

static int letter_of(char c)
{
    const char *at = c ? memchr(letter_name, c, sizeof letter_name) : NULL;
    return at ? (int)(at - letter_name) : -1;
}

static const struct sign *sign_at(struct str s)
{
    /* Most tones have none: what follows them is an octave, a letter of a chord's name, or nothing. */
    if (s.n == 0 || !(s.p[0] == '#' || s.p[0] == 'b' || s.p[0] == 'x' || (unsigned char)s.p[0] >= 0x80))
        return NULL;
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++)
        if (str_starts(s, str_of(signs[i].text)))
            return &signs[i];
    return NULL;
}

bool tone_read(struct str s, struct tone *out, uint32_t *used)
{
    int letter = s.n ? letter_of(s.p[0]) : -1;
    if (letter < 0)
        return false;
    uint32_t at = 1;
    int alter = 0;
    const struct sign *sign;
    /* One direction only: a sharp after a flat belongs to whatever follows (Bb#11). */
    while ((sign = sign_at(str_slice(s, at, s.n))) && alter * sign->alter >= 0) {
        alter += sign->alter;
        at += (uint32_t)strlen(sign->text);
        if (abs(alter) > ALTER_MAX)
            return false;
    }
    struct str natural = STR("\u266E");
    if (alter == 0 && str_starts(str_slice(s, at, s.n), natural))
        at += natural.n;
    *out = (struct tone){(int8_t)letter, (int16_t)alter};
    *used = at;
    return true;
}

bool tone_parse(struct str s, struct tone *out)
{
    struct tone t;
    uint32_t used;
    if (!tone_read(s, &t, &used) || used != s.n)
        return false;
    *out = t;
    return true;
}

bool pitch_parse(struct str s, struct pitch *out)
{
    struct tone t;
    uint32_t at;
    if (!tone_read(s, &t, &at))
        return false;
    at += at == 1 && s.n > 1 && s.p[1] == 'n'; /* a natural; in a chord symbol it could begin `no3` */
    bool below = at < s.n && s.p[at] == '-';
    at += below;
    uint32_t first = at;
    int octave = 0;
    for (; at < s.n && s.p[at] >= '0' && s.p[at] <= '9' && octave <= OCTAVE_MAX; at++)
        octave = octave * 10 + (s.p[at] - '0');
    if (at == first || at != s.n || octave > OCTAVE_MAX)
        return false;
    *out = (struct pitch){t, (int16_t)(below ? -octave : octave)};
    return true;
}

struct pitch pitch_of_midi(int midi, bool flats)
{
    int pc = floor_mod(midi, 12);
    int letter = 0;
    if (flats) {
        while (letter_half[letter] < pc)
            letter++;
    } else {
        letter = 6;
        while (letter_half[letter] > pc)
            letter--;
    }
    struct tone t = {(int8_t)letter, (int16_t)(pc - letter_half[letter])};
    return (struct pitch){t, (int16_t)(floor_div(midi, 12) - 1)};
}

double pitch_hertz(struct pitch p, double a4)
{
    return a4 * exp2((pitch_midi(p) - 69) / 12.0);
}

/* A tone moved by several intervals can leave the range that parsers read; its signs are then counted. */
static void put_signs(struct text_out *t, int alter, const char *one, const char *two)
{
    int n = abs(alter);
    if (n > ALTER_MAX) {
        text_put(t, "(");
        text_int(t, n);
        text_put(t, one);
        text_put(t, ")");
        return;
    }
    /* Three sharps are written sharp, double sharp. */
    text_repeat(t, one, n % 2);
    text_repeat(t, two, n / 2);
}

static void put_alter_words(struct text_out *t, int alter)
{
    static const char *const many[] = {"", "", "double ", "triple ", "quadruple "};
    int n = abs(alter);
    if (n == 0)
        return;
    text_put(t, " ");
    if (n < (int)(sizeof many / sizeof many[0])) {
        text_put(t, many[n]);
    } else {
        text_int(t, n);
        text_put(t, "-fold ");
    }
    text_put(t, alter > 0 ? "sharp" : "flat");
}

static void put_tone(struct text_out *t, struct tone tone, enum sign_style style)
{
    text_str(t, (struct str){&letter_name[tone.letter], 1});
    bool up = tone.alter > 0;
    switch (style) {
    case SIGN_ASCII:
        put_signs(t, tone.alter, up ? "#" : "b", up ? "##" : "bb");
        break;
    case SIGN_UNICODE:
        put_signs(t, tone.alter, up ? "\u266F" : "\u266D", up ? "\U0001D12A" : "\U0001D12B");
        break;
    case SIGN_WORDS:
        put_alter_words(t, tone.alter);
        break;
    }
}

const char *tone_text(struct tone t, enum sign_style style, char *out)
{
    struct text_out text = text_begin(out, PITCH_TEXT_MAX);
    put_tone(&text, t, style);
    return out;
}

const char *pitch_text(struct pitch p, enum sign_style style, char *out)
{
    struct text_out text = text_begin(out, PITCH_TEXT_MAX);
    put_tone(&text, p.tone, style);
    if (style == SIGN_WORDS)
        text_put(&text, p.octave < 0 ? " minus " : " ");
    text_int(&text, style == SIGN_WORDS ? abs(p.octave) : p.octave);
    return out;
}
