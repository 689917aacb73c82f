/* Row T2: the interval of every pair of pitches within two octaves, with up to double accidentals, up and
 * down, against the published table of names (published/intervals.tsv). Beyond what the table names (C## to
 * Ebb), the size is that of the nearest row, augmented or diminished as many times more. F# is not Gb: no two
 * spellings of a pair share a name. */
#include "tsv.h"

#include "theory/interval.h"
#include "unit/test.h"

/* Half steps of C to B above C, for this test's own arithmetic. */
static const int naturals[7] = {0, 2, 4, 5, 7, 9, 11};

enum { ALTERS = 2, LETTERS = 7, OCTAVES = 2 };

struct row {
    int steps, half;
    char name[8];
};

static uint32_t rows_read(struct arena *a, const char *project, struct row *rows, uint32_t max)
{
    struct tsv t = tsv_read(a, project, "published/intervals.tsv");
    uint32_t n = t.rows < max ? t.rows : max;
    for (uint32_t i = 0; i < n; i++) {
        rows[i].steps = (int)tsv_int(&t, i, "diatonic steps");
        rows[i].half = (int)tsv_int(&t, i, "semitones");
        snprintf(rows[i].name, sizeof rows[i].name, "%.*s", STR_ARG(tsv_cell(&t, i, "name")));
    }
    return n;
}

/* The table's name for a size, with more A or d before it where the table ends; "" where there is none. */
static void name_of(const struct row *rows, uint32_t n, int steps, int half, char out[16])
{
    const struct row *best = NULL;
    int far = 0;
    for (uint32_t i = 0; i < n; i++)
        if (rows[i].steps == steps && (!best || abs(half - rows[i].half) < abs(far))) {
            best = &rows[i];
            far = half - best->half;
        }
    out[0] = '\0';
    if (!best || (far > 0 && best->name[0] != 'A') || (far < 0 && best->name[0] != 'd'))
        return;
    int at = 0;
    for (; at < abs(far); at++)
        out[at] = best->name[0];
    snprintf(out + at, (size_t)(16 - at), "%s", best->name);
}

static struct pitch pitch_at(int letter, int alter)
{
    return (struct pitch){{(int8_t)(letter % LETTERS), (int16_t)alter}, (int16_t)(4 + letter / LETTERS)};
}

static int sound(int letter, int alter)
{
    return 12 * (letter / LETTERS) + naturals[letter % LETTERS] + alter;
}

struct tally {
    unsigned pairs, beyond;
};

static void check_pair(struct test *t, const struct row *rows, uint32_t n, int low, int low_alter, int steps,
                       int alter, struct tally *tally)
{
    int half = sound(low + steps, alter) - sound(low, low_alter);
    char want[16], got[INTERVAL_TEXT_MAX];
    /* Below the unison nothing has a name of its own: Cb is an augmented unison under C. */
    int size = steps == 0 ? abs(half) : half;
    name_of(rows, n, steps, size, want);
    struct pitch a = pitch_at(low, low_alter), b = pitch_at(low + steps, alter);
    struct interval up = interval_between(a, b), down = interval_between(b, a);
    struct interval read;
    tally->pairs++;
    tally->beyond += want[0] == want[1] && want[1] == want[2];
    bool fine = want[0] && strcmp(interval_short(up, got), want) == 0 &&
                strcmp(interval_short(down, got), want) == 0 && interval_parse_short(str_of(want), &read) &&
                read.steps == steps && read.half == size && up.steps == steps && up.half == half &&
                interval_eq(down, interval_negate(up));
    if (!CHECK(t, fine))
        fprintf(stderr, "    letters %d to %d, alterations %d and %d: %s, should be %s\n", low, low + steps,
                low_alter, alter, interval_short(up, got), want);
}

/* Each size in sound within an octave, by how many letters apart it can be spelled: all differ in name. */
static void check_spellings(struct test *t)
{
    char names[LETTERS + 1][INTERVAL_TEXT_MAX];
    for (int half = 0; half <= 12; half++)
        for (int steps = 0; steps <= LETTERS; steps++) {
            interval_short((struct interval){steps, half}, names[steps]);
            for (int other = 0; other < steps; other++)
                CHECK(t, strcmp(names[steps], names[other]) != 0);
        }
}

int main(int argc, char **argv)
{
    struct test t = {.name = "theory_interval_pairs"};
    struct arena a = {0};
    struct row rows[100];
    struct tally tally = {0, 0};
    uint32_t n = rows_read(&a, argc > 1 ? argv[1] : ".", rows, 100);
    CHECK(&t, n == 81);
    for (int low = 0; low < LETTERS; low++)
        for (int low_alter = -ALTERS; low_alter <= ALTERS; low_alter++)
            for (int steps = 0; steps <= LETTERS * OCTAVES; steps++)
                for (int alter = -ALTERS; alter <= ALTERS; alter++)
                    check_pair(&t, rows, n, low, low_alter, steps, alter, &tally);
    CHECK(&t, tally.pairs == 7 * 5 * 15 * 5);
    CHECK(&t, tally.beyond > 200);
    check_spellings(&t);
    arena_free(&a);
    return test_end(&t);
}
