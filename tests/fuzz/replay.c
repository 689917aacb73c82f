/* The fuzz targets without a fuzzer: every seed and every kept crasher, then random changes of the seeds.
 *
 *   replay [--target NAME] [--seed N] [--cases N] [--crash FILE] FOLDER...     FOLDER/TARGET/ holds the files
 *   replay --target NAME --file FILE                                           one file, as it is
 *
 * The same seed gives the same cases. A case that crashes, hangs or takes more than a second a megabyte (at
 * least a quarter of a second; of processor time) is written to the crash file, and named. */
#define _DEFAULT_SOURCE

#include "base/io.h"
#include "fuzz/mutate.h"
#include "fuzz/targets.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <time.h>
#include <unistd.h>

enum { BYTES_MAX = 64 * 1024, HANG_SECONDS = 60 };

struct texts {
    struct arena arena;
    struct str *items;
    uint32_t n, cap;
};

/* The case that runs: all that a signal handler can see. */
static struct {
    const char *target;
    const char *crash_file;
    char name[300];
    struct str bytes;
} now;

static void say(const char *z)
{
    if (write(STDERR_FILENO, z, strlen(z)) < 0)
        _exit(3);
}

static void keep_case(const char *what)
{
    say("fuzz replay: ");
    say(now.target);
    say(": ");
    say(now.name);
    say(what);
    int fd = open(now.crash_file, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    if (fd >= 0 && write(fd, now.bytes.p, now.bytes.n) == (ssize_t)now.bytes.n) {
        say("; kept as ");
        say(now.crash_file);
    }
    say("\n");
}

static void on_signal(int number)
{
    keep_case(number == SIGALRM ? " hangs" : " crashes");
    _exit(1);
}

/* A sanitizer's report ends in SIGABRT, and the handler above. */
const char *__asan_default_options(void);
const char *__ubsan_default_options(void);
const char *__asan_default_options(void)
{
    return "abort_on_error=1:handle_abort=0:handle_segv=0:detect_leaks=1:allocator_may_return_null=0";
}
const char *__ubsan_default_options(void)
{
    return "abort_on_error=1:print_stacktrace=1";
}

#if defined(__SANITIZE_ADDRESS__)
enum { SLOWER = 15 };
#else
enum { SLOWER = 1 };
#endif

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* False where it took too long. */
static bool run_case(const struct fuzz_target *target, struct str bytes)
{
    now.bytes = bytes;
    alarm(HANG_SECONDS);
    double from = seconds(), megabytes = (double)bytes.n / 1e6;
    target->run(fuzz_context(), bytes);
    double took = seconds() - from, allowed = (megabytes > 0.25 ? megabytes : 0.25) * SLOWER;
    alarm(0);
    if (took <= allowed)
        return true;
    char words[80];
    snprintf(words, sizeof words, " takes %.2f s for %u bytes", took, bytes.n);
    keep_case(words);
    return false;
}

/* ---- seeds ------------------------------------------------------------------------------------------ */

static int by_name(const void *a, const void *b)
{
    return str_cmp(*(const struct str *)a, *(const struct str *)b);
}

/* Names of the files of a folder, sorted; a folder that is not there is empty. */
static void list_folder(struct texts *names, const char *folder)
{
    DIR *dir = opendir(folder);
    for (struct dirent *e = dir ? readdir(dir) : NULL; e; e = readdir(dir)) {
        if (e->d_name[0] == '.')
            continue;
        if (names->n == names->cap) {
            struct str *old = names->items;
            names->cap = names->cap ? names->cap * 2 : 64;
            names->items = ARENA_NEW_ARRAY(&names->arena, struct str, names->cap);
            if (names->n)
                memcpy(names->items, old, names->n * sizeof *old);
        }
        names->items[names->n++] = str_printf(&names->arena, "%s/%s", folder, e->d_name);
    }
    if (dir)
        closedir(dir);
    if (names->n)
        qsort(names->items, names->n, sizeof *names->items, by_name);
}

static struct texts read_seeds(const char *target, char **folders, int n_folders, unsigned *failed)
{
    struct texts seeds = {0};
    for (int i = 0; i < n_folders; i++)
        list_folder(&seeds, str_printf(&seeds.arena, "%s/%s", folders[i], target).p);
    for (uint32_t i = 0; i < seeds.n; i++) {
        struct buf b = {0};
        snprintf(now.name, sizeof now.name, "%s", seeds.items[i].p);
        if (file_read(seeds.items[i].p, SOURCE_MAX, &b) != 0) {
            fprintf(stderr, "fuzz replay: cannot read %s\n", seeds.items[i].p);
            ++*failed;
        }
        seeds.items[i] = buf_take(&b, &seeds.arena);
        *failed += !run_case(fuzz_target_by_name(target), seeds.items[i]);
    }
    return seeds;
}

/* ---- the run ------------------------------------------------------------------------------------------ */

struct replay {
    const char *only, *file;
    uint64_t seed;
    unsigned cases, passed, failed;
};

static void run_target(struct replay *p, const struct fuzz_target *target, char **folders, int n_folders)
{
    now.target = target->name;
    struct texts seeds = read_seeds(target->name, folders, n_folders, &p->failed);
    if (seeds.n == 0) {
        fprintf(stderr, "fuzz replay: %s has no seeds\n", target->name);
        p->failed++;
        return;
    }
    p->passed += seeds.n;
    unsigned slow = 0; /* all changed texts together count as one check */
    struct rng r = {p->seed ^ str_hash(str_of(target->name))};
    for (unsigned i = 0; i < p->cases; i++) {
        struct buf b = {0};
        struct str text = seeds.items[rng_next(&r) % seeds.n], other = seeds.items[rng_next(&r) % seeds.n];
        mutate(&r, text, other, BYTES_MAX, &b);
        snprintf(now.name, sizeof now.name, "case %u of seed %llu", i, (unsigned long long)p->seed);
        slow += !run_case(target, buf_str(&b));
        buf_free(&b);
    }
    p->passed += slow == 0;
    p->failed += slow;
    arena_free(&seeds.arena);
}

static int run_file(const struct replay *p)
{
    const struct fuzz_target *target = p->only ? fuzz_target_by_name(p->only) : NULL;
    struct buf b = {0};
    if (!target || file_read(p->file, SOURCE_MAX, &b) != 0) {
        fprintf(stderr, "replay: --file needs a target and a file that can be read\n");
        return 2;
    }
    now.target = target->name;
    snprintf(now.name, sizeof now.name, "%s", p->file);
    bool fine = run_case(target, buf_str(&b));
    buf_free(&b);
    context_close(fuzz_context());
    return fine ? 0 : 1;
}

int main(int argc, char **argv)
{
    struct replay p = {.seed = LAW_SEED, .cases = 1000};
    int i = 1;
    now.crash_file = "build/fuzz-crash";
    for (; i + 1 < argc && strncmp(argv[i], "--", 2) == 0; i += 2) {
        if (strcmp(argv[i], "--target") == 0)
            p.only = argv[i + 1];
        else if (strcmp(argv[i], "--file") == 0)
            p.file = argv[i + 1];
        else if (strcmp(argv[i], "--crash") == 0)
            now.crash_file = argv[i + 1];
        else if (strcmp(argv[i], "--seed") == 0)
            p.seed = strtoull(argv[i + 1], NULL, 10);
        else if (strcmp(argv[i], "--cases") == 0)
            p.cases = (unsigned)strtoul(argv[i + 1], NULL, 10);
    }
    static const int signals[] = {SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGALRM};
    for (size_t k = 0; k < sizeof signals / sizeof *signals; k++)
        signal(signals[k], on_signal);
    if (p.file)
        return run_file(&p);
    printf("fuzz replay: seed %llu\n", (unsigned long long)p.seed);
    for (const struct fuzz_target *t = fuzz_targets(); t->name; t++)
        if (!p.only || strcmp(p.only, t->name) == 0)
            run_target(&p, t, argv + i, argc - i);
    context_close(fuzz_context());
    printf("fuzz replay: %u passed, %u failed\n", p.passed, p.failed);
    return p.failed > 0;
}
