/* test.h - counting checks and trying laws.
 *
 * Purpose: what every test program shares: CHECK counts one fact, test_laws tries statements that must hold
 *          for all values on random ones.
 * Owner:   struct test lives in main.
 * Errors:  a failed check is printed to standard error; test_end returns the exit status, 1 if any failed.
 */
#ifndef DESCANT_TEST_H
#define DESCANT_TEST_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct test {
    const char *name;
    unsigned passed, failed;
};

/* One fact. Goes on after a failure. */
#define CHECK(t, fact) test_count((t), (fact), __FILE__, __LINE__, #fact)
/* Two NUL-terminated texts are equal; prints both if not. */
#define CHECK_TEXT(t, got, want) test_text((t), (got), (want), __FILE__, __LINE__)

static inline bool test_count(struct test *t, bool ok, const char *file, int line, const char *fact)
{
    if (ok) {
        t->passed++;
    } else {
        t->failed++;
        fprintf(stderr, "%s:%d: failed: %s\n", file, line, fact);
    }
    return ok;
}

static inline void test_text(struct test *t, const char *got, const char *want, const char *file, int line)
{
    if (!test_count(t, strcmp(got, want) == 0, file, line, want))
        fprintf(stderr, "    got: %s\n", got);
}

static inline int test_end(const struct test *t)
{
    printf("%s: %u passed, %u failed\n", t->name, t->passed, t->failed);
    return t->failed > 0;
}

/* ---- laws -------------------------------------------------------------------------------------- */

enum { LAW_CASES = 10000, LAW_SEED = 20 };

/* splitmix64: small, well mixed, the same everywhere. */
struct rng {
    uint64_t state;
};

static inline uint64_t rng_next(struct rng *r)
{
    uint64_t z = (r->state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* low <= result <= high */
static inline int rng_between(struct rng *r, int low, int high)
{
    return low + (int)(rng_next(r) % (uint64_t)(high - low + 1));
}

/* A law draws its values from r and says whether it held for them. */
struct law {
    const char *name;
    bool (*holds)(struct rng *r);
};

/* The seed: the program's second argument (the first is the project's folder), or LAW_SEED. */
static inline uint64_t test_seed(const struct test *t, int argc, char **argv)
{
    uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : LAW_SEED;
    printf("%s: seed %llu\n", t->name, (unsigned long long)seed);
    return seed;
}

/* Tries each law on LAW_CASES random values; a law counts as one check, its first counter-example is named
 * by the state of the generator before it. */
static inline void test_laws(struct test *t, const struct law *laws, size_t n, uint64_t seed)
{
    for (size_t i = 0; i < n; i++) {
        struct rng r = {seed + i};
        int tried = 0;
        uint64_t before = 0;
        bool ok = true;
        for (; ok && tried < LAW_CASES; tried++) {
            before = r.state;
            ok = laws[i].holds(&r);
        }
        if (ok) {
            t->passed++;
            continue;
        }
        t->failed++;
        fprintf(stderr, "%s: law fails: %s (case %d, generator at %llu)\n", t->name, laws[i].name, tried,
                (unsigned long long)before);
    }
}

#endif
