/* tsv.h - tables of reference data.
 *
 * Purpose: reads a tab-separated file whose first line names its columns; a test asks for cells by column
 *          name.
 * Owner:   everything lies in the caller's arena.
 * Errors:  a missing file or column ends the program with status 2: a test without its data has not passed.
 */
#ifndef DESCANT_TEST_TSV_H
#define DESCANT_TEST_TSV_H

#include "base/arena.h"
#include "base/str.h"

#include <stdio.h>
#include <stdlib.h>

struct tsv {
    const char *name;
    struct str *cells;      /* row after row; row 0 holds the column names */
    uint32_t rows, columns; /* rows without the first */
};

/* The whole of PROJECT/PATH, NUL-terminated. */
static inline struct str file_text(struct arena *a, const char *project, const char *path)
{
    size_t room = strlen(project) + strlen(path) + 2;
    char *full = arena_alloc(a, room);
    snprintf(full, room, "%s/%s", project, path);
    FILE *f = fopen(full, "rb");
    if (!f || fseek(f, 0, SEEK_END) != 0) {
        fprintf(stderr, "can't read %s\n", full);
        exit(2);
    }
    long n = ftell(f);
    char *text = arena_alloc(a, (size_t)n + 1);
    rewind(f);
    if (fread(text, 1, (size_t)n, f) != (size_t)n)
        exit(2);
    fclose(f);
    return (struct str){text, (uint32_t)n};
}

/* What stands before the first of the given byte; *rest gets what stands after it. */
static inline struct str cut(struct str *rest, char byte)
{
    uint32_t n = 0;
    while (n < rest->n && rest->p[n] != byte)
        n++;
    struct str head = str_slice(*rest, 0, n);
    *rest = str_slice(*rest, n + 1, rest->n);
    return head;
}

static inline uint32_t count_byte(struct str s, char byte)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < s.n; i++)
        n += s.p[i] == byte;
    return n;
}

/* path below tests/reference/data/. A short row ends in empty cells. */
static inline struct tsv tsv_read(struct arena *a, const char *project, const char *path)
{
    char full[256];
    snprintf(full, sizeof full, "tests/reference/data/%s", path);
    struct str text = file_text(a, project, full);
    struct tsv t = {.name = path, .rows = count_byte(text, '\n') - 1};
    struct str head = text;
    t.columns = count_byte(cut(&head, '\n'), '\t') + 1;
    t.cells = ARENA_NEW_ARRAY(a, struct str, (size_t)(t.rows + 1) * t.columns);
    for (uint32_t r = 0; r <= t.rows; r++) {
        struct str line = cut(&text, '\n');
        for (uint32_t c = 0; c < t.columns; c++)
            t.cells[r * t.columns + c] = cut(&line, '\t');
    }
    return t;
}

/* The column whose name begins so; several may, then the first counts. */
static inline uint32_t tsv_column(const struct tsv *t, const char *name)
{
    for (uint32_t c = 0; c < t->columns; c++)
        if (str_starts(t->cells[c], str_of(name)))
            return c;
    fprintf(stderr, "%s has no column %s\n", t->name, name);
    exit(2);
}

/* row from 0, the column names not counted. */
static inline struct str tsv_cell(const struct tsv *t, uint32_t row, const char *column)
{
    return t->cells[(row + 1) * t->columns + tsv_column(t, column)];
}

static inline int64_t tsv_int(const struct tsv *t, uint32_t row, const char *column)
{
    char digits[32] = "";
    struct str s = tsv_cell(t, row, column);
    snprintf(digits, sizeof digits, "%.*s", STR_ARG(s));
    return strtoll(digits, NULL, 10);
}

static inline double tsv_double(const struct tsv *t, uint32_t row, const char *column)
{
    char digits[32] = "";
    struct str s = tsv_cell(t, row, column);
    snprintf(digits, sizeof digits, "%.*s", STR_ARG(s));
    return strtod(digits, NULL);
}

#endif
