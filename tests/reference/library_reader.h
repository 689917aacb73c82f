/* library_reader.h - chords and scales of the standard library, for tests of the theory alone.
 *
 * Purpose: reads stdlib/chords.descant and stdlib/scales.descant without the compiler, so that these tests
 *          link only theory/ and base/. It knows just `chord ID { … }` and `scale ID { … }` with name,
 *          symbols and tones.
 * Owner:   everything lies in the caller's arena.
 * Errors:  anything else in the file ends the program with status 2.
 */
#ifndef DESCANT_TEST_LIBRARY_READER_H
#define DESCANT_TEST_LIBRARY_READER_H

#include "theory/chord.h"
#include "theory/scale.h"
#include "tsv.h"

enum { BLOCKS_MAX = 512, WORDS_MAX = 24 };

/* A chord or a scale: the two have the same form. */
struct block {
    struct str kind, id;
    struct str names[WORDS_MAX], symbols[WORDS_MAX];
    uint32_t n_names, n_symbols, n_degrees;
    struct interval degrees[CHORD_TONES_MAX];
    pcset shape;
};

/* The next word, string (without its quotes, *quoted set) or brace; empty at the end. Commas separate,
 * nothing more. */
static inline struct str library_token(struct str *rest, bool *quoted)
{
    for (;;) {
        while (rest->n && strchr(" \t\r\n,", rest->p[0]))
            *rest = str_slice(*rest, 1, rest->n);
        if (!str_starts(*rest, STR("//")))
            break;
        cut(rest, '\n');
    }
    *quoted = rest->n && rest->p[0] == '"';
    if (*quoted) {
        *rest = str_slice(*rest, 1, rest->n);
        return cut(rest, '"');
    }
    uint32_t n = 0;
    while (n < rest->n && !strchr(" \t\r\n,", rest->p[n]))
        n++;
    struct str word = str_slice(*rest, 0, n);
    *rest = str_slice(*rest, n, rest->n);
    return word;
}

static inline void library_refuse(struct str what)
{
    fprintf(stderr, "library reader: what is `%.*s`?\n", STR_ARG(what));
    exit(2);
}

static inline void library_fields(struct str *rest, struct block *b)
{
    bool quoted;
    struct str field = {"", 0};
    for (;;) {
        struct str word = library_token(rest, &quoted);
        struct interval degree;
        if (!quoted && str_is(word, "}"))
            return;
        if (quoted && str_is(field, "name") && b->n_names < WORDS_MAX) {
            b->names[b->n_names++] = word;
        } else if (quoted && str_is(field, "symbols") && b->n_symbols < WORDS_MAX) {
            b->symbols[b->n_symbols++] = word;
        } else if (str_is(field, "tones") && b->n_degrees < CHORD_TONES_MAX && degree_parse(word, &degree)) {
            b->degrees[b->n_degrees++] = degree;
            b->shape |= pcset_of(degree.half);
        } else if (!quoted && (str_is(word, "name") || str_is(word, "symbols") || str_is(word, "tones"))) {
            field = word;
        } else {
            library_refuse(word);
        }
    }
}

/* All blocks of a file, in its order. */
static inline struct block *library_blocks(struct arena *a, const char *project, const char *path,
                                           uint32_t *n)
{
    struct block *blocks = ARENA_NEW_ARRAY(a, struct block, BLOCKS_MAX);
    struct str rest = file_text(a, project, path);
    bool quoted;
    for (*n = 0;;) {
        struct str word = library_token(&rest, &quoted);
        if (word.n == 0)
            return blocks;
        if (str_is(word, "library")) {
            library_token(&rest, &quoted);
            continue;
        }
        if (*n == BLOCKS_MAX || !(str_is(word, "chord") || str_is(word, "scale")))
            library_refuse(word);
        struct block *b = &blocks[(*n)++];
        b->kind = word;
        b->id = library_token(&rest, &quoted);
        if (!str_is(library_token(&rest, &quoted), "{"))
            library_refuse(b->id);
        library_fields(&rest, b);
    }
}

/* The dictionary of stdlib/chords.descant; *clash as chord_dict_build returns it. */
static inline struct chord_dict library_chords(struct arena *a, const char *project, int *clash)
{
    uint32_t n, n_symbols = 0;
    struct block *blocks = library_blocks(a, project, "stdlib/chords.descant", &n);
    struct chord_quality *qualities = ARENA_NEW_ARRAY(a, struct chord_quality, n);
    for (uint32_t i = 0; i < n; i++) {
        struct block *b = &blocks[i];
        struct chord_quality *q = &qualities[i];
        *q = (struct chord_quality){.id = b->id,
                                    .name = b->names[0],
                                    .names = b->names,
                                    .n_names = b->n_names,
                                    .symbols = b->symbols,
                                    .n_symbols = b->n_symbols,
                                    .shape = b->shape,
                                    .n_degrees = b->n_degrees};
        memcpy(q->degrees, b->degrees, sizeof q->degrees);
        n_symbols += b->n_symbols;
    }
    uint32_t n_slots = chord_dict_slots(n_symbols);
    struct chord_dict dict;
    *clash =
        chord_dict_build(&dict, qualities, n, ARENA_NEW_ARRAY(a, struct chord_dict_slot, n_slots), n_slots);
    return dict;
}

/* The scales of stdlib/scales.descant. */
static inline struct scale *library_scales(struct arena *a, const char *project, uint32_t *n)
{
    struct block *blocks = library_blocks(a, project, "stdlib/scales.descant", n);
    struct scale *scales = ARENA_NEW_ARRAY(a, struct scale, *n);
    for (uint32_t i = 0; i < *n; i++) {
        struct block *b = &blocks[i];
        scales[i] = (struct scale){.id = b->id,
                                   .name = b->names[0],
                                   .names = b->names,
                                   .n_names = b->n_names,
                                   .shape = b->shape,
                                   .n_degrees = b->n_degrees};
        memcpy(scales[i].degrees, b->degrees, sizeof scales[i].degrees);
    }
    return scales;
}

#endif
