/* Answers questions about the theory, one a line, so that tests in other languages can ask the library.
 *
 *   interval C4 Eb5      m10 up 15          name, direction, half steps
 *   transpose C4 -m3     A3                 a minus moves down
 *   chord Cm7b5/Gb       C Eb Gb Bb / Gb    tones, then the bass
 *   midi Cb4             59
 *
 * What is not understood is answered with `?`. argv[1] is the project's folder. */
#include "../reference/library_reader.h"

enum { LINE_MAX_BYTES = 512 };

static bool ask_interval(struct str rest)
{
    struct pitch from, to;
    char name[INTERVAL_TEXT_MAX];
    if (!pitch_parse(cut(&rest, ' '), &from) || !pitch_parse(rest, &to))
        return false;
    struct interval v = interval_between(from, to);
    int direction = interval_describe(v).direction;
    printf("%s %s %d\n", interval_short(v, name),
           direction < 0   ? "down"
           : direction > 0 ? "up"
                           : "same",
           v.half);
    return true;
}

static bool ask_transpose(struct str rest)
{
    struct pitch p;
    struct interval by;
    char text[PITCH_TEXT_MAX];
    if (!pitch_parse(cut(&rest, ' '), &p))
        return false;
    bool down = str_starts(rest, STR("-"));
    if (!interval_parse_short(str_slice(rest, down, rest.n), &by))
        return false;
    puts(pitch_text(pitch_move(p, down ? interval_negate(by) : by), SIGN_ASCII, text));
    return true;
}

static bool ask_chord(const struct chord_dict *dict, struct str rest)
{
    struct chord c;
    uint32_t bad;
    char text[PITCH_TEXT_MAX];
    if (!chord_parse(dict, rest, &c, &bad))
        return false;
    for (uint32_t i = 0; i < c.n_tones; i++)
        printf("%s ", tone_text(c.tones[i], SIGN_ASCII, text));
    printf("/ %s\n", tone_text(c.bass, SIGN_ASCII, text));
    return true;
}

static bool ask_midi(struct str rest)
{
    struct pitch p;
    if (!pitch_parse(rest, &p))
        return false;
    printf("%d\n", pitch_midi(p));
    return true;
}

int main(int argc, char **argv)
{
    struct arena arena = {0};
    int clash;
    struct chord_dict dict = library_chords(&arena, argc > 1 ? argv[1] : ".", &clash);
    char line[LINE_MAX_BYTES];
    while (fgets(line, sizeof line, stdin)) {
        struct str rest = str_slice(str_of(line), 0, (uint32_t)strcspn(line, "\n"));
        struct str word = cut(&rest, ' ');
        bool known = (str_is(word, "interval") && ask_interval(rest)) ||
                     (str_is(word, "transpose") && ask_transpose(rest)) ||
                     (str_is(word, "chord") && ask_chord(&dict, rest)) ||
                     (str_is(word, "midi") && ask_midi(rest));
        if (!known)
            puts("?");
    }
    arena_free(&arena);
    return 0;
}
