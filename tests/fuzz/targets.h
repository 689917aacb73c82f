/* targets.h - what is fuzzed.
 *
 * Purpose: one function a target: any bytes in, laws checked; libFuzzer (libfuzzer.c) and the replayer
 * (replay.c) call the same ones. Owner:   the standard library is read once a process and kept; all else is
 * freed by the call that made it. Errors:  a broken law is told on standard error and aborts, as a
 * sanitizer's report does.
 */
#ifndef DESCANT_FUZZ_TARGETS_H
#define DESCANT_FUZZ_TARGETS_H

#include "driver/driver.h"

struct fuzz_target {
    const char *name;
    void (*run)(struct context *context, struct str bytes);
};

/* compile claim narration format outputs words; a NULL name ends. */
const struct fuzz_target *fuzz_targets(void);
/* NULL if there is none of that name. */
const struct fuzz_target *fuzz_target_by_name(const char *name);
/* Opened at the first call. */
struct context *fuzz_context(void);

/* A law that holds for all bytes. */
#define LAW(fact) ((fact) ? (void)0 : fuzz_broken(__FILE__, __LINE__, #fact))
_Noreturn void fuzz_broken(const char *file, int line, const char *fact);

/* A copy that ends where the bytes end, so that a sanitizer sees each read past the NUL. Free it. */
char *fuzz_copy(struct str bytes);

/* Pitches, chord symbols, numerals, intervals, meters, numbers, timecode: what the parsers of theory/ read.
 */
void fuzz_words(struct context *context, struct str bytes);
/* The layout of a file: twice is once, and nothing but blanks changes. */
void fuzz_format(struct context *context, struct str bytes);

#endif
