/* The instruments of the standard library against published tables: instruments.tsv (see data/README.md) and orchestration.tsv,
 * read in books of orchestration (A. E. Johnstone, Instruments of the Modern Symphony Orchestra, 1917, and others, named row by row).
 * Where the library says otherwise, orchestration-disagreements.tsv has the limit and the reason, and the list is asserted exactly.
 * Capability row T8: written and sounding pitch of at least 40 instruments; part to concert to part is the identity. */
#include "rows.h"

#include "driver/driver.h"
#include "sema/model.h"

static const struct instrument *find(const struct theory_library *lib, struct str id)
{
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        if (str_eq(lib->instruments[i].symbol.name, id))
            return &lib->instruments[i];
    return NULL;
}

/* "P5 down", "as written" */
static bool sounds_of(struct str cell, struct interval *out)
{
    *out = (struct interval){0, 0};
    if (str_starts(cell, STR("as written")))
        return true;
    uint32_t n = 0;
    while (n < cell.n && cell.p[n] != ' ')
        n++;
    struct interval v;
    if (!interval_parse_short(str_slice(cell, 0, n), &v))
        return false;
    struct str way = str_slice(cell, n + 1, cell.n);
    *out = str_starts(way, STR("down")) ? interval_negate(v) : v;
    return true;
}

/* ---- books of orchestration --------------------------------------------------------------------------- */

static bool is_listed(const struct tsv *listed, struct str id, const char *limit, struct str pitch, struct str book)
{
    for (uint32_t i = 0; i < listed->rows; i++)
        if (str_eq(tsv_cell(listed, i, "instrument"), id) && str_is(tsv_cell(listed, i, "limit"), limit) &&
            str_eq(tsv_cell(listed, i, "book"), pitch) && str_eq(tsv_cell(listed, i, "book and section"), book))
            return true;
    return false;
}

static void check_books(struct test *t, struct arena *a, const char *project, const struct theory_library *lib)
{
    struct tsv books = tsv_read(a, project, "orchestration.tsv"), listed = tsv_read(a, project, "orchestration-disagreements.tsv");
    uint32_t met = 0;
    for (uint32_t i = 0; i < books.rows; i++) {
        struct str id = tsv_cell(&books, i, "instrument"), low = tsv_cell(&books, i, "lowest"), high = tsv_cell(&books, i, "highest");
        struct str book = tsv_cell(&books, i, "book and section"), sounds = tsv_cell(&books, i, "sounds");
        const struct instrument *in = find(lib, id);
        if (!CHECK(t, in != NULL))
            continue;
        struct interval v;
        if (!str_is(sounds, "-"))
            CHECK(t, sounds_of(sounds, &v) && interval_eq(v, in->sounds));
        struct pitch p;
        if (pitch_parse(low, &p)) {
            int m = pitch_midi(p);
            bool listed_here = is_listed(&listed, id, "lowest", low, book);
            bool equal = m == pitch_midi(in->low) || m == pitch_midi(in->common_low);
            CHECK(t, m >= pitch_midi(in->low));
            CHECK(t, equal != listed_here); /* agrees, or is listed with its reason, never both */
            met += listed_here;
        }
        if (pitch_parse(high, &p)) /* a top note is a habit: the book's must be playable */
            CHECK(t, pitch_midi(p) <= pitch_midi(in->high));
    }
    CHECK(t, met == listed.rows); /* nothing is listed that no book says */
    CHECK(t, books.rows >= 40);
}

/* ---- the published table -------------------------------------------------------------------------------- */

/* Its names are prose ("horn in F", "clarinet in Bb"); ids of the library that are not the name with hyphens. */
static const struct {
    const char *name, *id;
} ids[] = {
    {"clarinet in Bb", "clarinet"},
    {"clarinet in A", "clarinet-in-a"},
    {"horn in F", "horn"},
    {"trumpet in C", "trumpet"},
    {"trumpet in Bb", "trumpet-in-b-flat"},
    {"English horn", "english-horn"},
    {"bass clarinet in Bb (treble clef)", "bass-clarinet"},
    {"timpani, the usual set", "timpani"},
    {"cello", "cello"},
};

static const struct instrument *find_named(const struct theory_library *lib, struct str name)
{
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++)
        if (str_is(name, ids[i].name))
            return find(lib, str_of(ids[i].id));
    for (uint32_t i = 0; i < lib->n_instruments; i++)
        for (uint32_t k = 0; k < lib->instruments[i].n_names; k++)
            if (str_eq(lib->instruments[i].names[k], name))
                return &lib->instruments[i];
    return NULL;
}

static void check_table(struct test *t, struct arena *a, const char *project, const struct theory_library *lib)
{
    struct tsv table = tsv_read(a, project, "published/instruments.tsv");
    uint32_t found = 0;
    for (uint32_t i = 0; i < table.rows; i++) {
        const struct instrument *in = find_named(lib, tsv_cell(&table, i, "instrument"));
        if (!in)
            continue;
        found++;
        CHECK(t, in->sounds.half == tsv_int(&table, i, "semitones from written to sounding"));
        if (tsv_cell(&table, i, "General MIDI program").n)
            CHECK(t, in->program == tsv_int(&table, i, "General MIDI program"));
        struct pitch low, high;
        if (pitch_parse(tsv_cell(&table, i, "lowest, sounding"), &low) && in->has_range)
            CHECK(t, pitch_midi(low) >= pitch_midi(in->low));
        if (pitch_parse(tsv_cell(&table, i, "highest, sounding"), &high) && in->has_range)
            CHECK(t, pitch_midi(high) <= pitch_midi(in->high));
    }
    CHECK(t, found >= 30); /* those whose names are the library's or listed above */
}

/* ---- the library's own promises ----------------------------------------------------------------------------- */

static void check_library(struct test *t, const struct theory_library *lib)
{
    uint32_t transposing = 0;
    CHECK(t, lib->n_instruments >= 60);
    CHECK(t, lib->n_qualities >= 60);
    CHECK(t, lib->n_scales >= 30);
    CHECK(t, lib->n_profiles == 3);
    for (uint32_t i = 0; i < lib->n_instruments; i++) {
        const struct instrument *in = &lib->instruments[i];
        transposing += in->sounds.half != 0;
        bool identity = true;
        for (int midi = 0; midi < 128; midi++) {
            struct pitch written = pitch_of_midi(midi, midi % 2 == 0), sounding = pitch_move(written, in->sounds);
            identity = identity && pitch_eq(pitch_move(sounding, interval_negate(in->sounds)), written) &&
                       pitch_midi(sounding) == midi + in->sounds.half;
        }
        CHECK(t, identity);
    }
    CHECK(t, transposing >= 30);
}

int main(int argc, char **argv)
{
    struct test t = {.name = "reference/instruments"};
    const char *project = argc > 1 ? argv[1] : ".";
    struct arena a = {0};
    struct context *context = context_open();
    const struct theory_library *lib = context_library(context);
    check_books(&t, &a, project, lib);
    check_table(&t, &a, project, lib);
    check_library(&t, lib);
    context_close(context);
    arena_free(&a);
    return test_end(&t);
}
