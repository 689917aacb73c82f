/* Runs two commands by turns and prints what each took.
 *
 *   measure RUNS COMMAND [ARGUMENT…] -- COMMAND [ARGUMENT…]
 *
 * One line a command: the median and the least wall time of the whole process in microseconds, from its start until it has been
 * waited for, and the most memory it held (maximum resident set) in KiB. By turns, so that a busy machine is as busy for the
 * one as for the other. What the commands print goes to /dev/null.
 */
#define _DEFAULT_SOURCE /* wait4 */

#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

extern char **environ;

enum { COMMANDS = 2, RUNS_MAX = 100000 };

struct command {
    char **argv;
    long *us; /* of each run */
    long kib; /* the most of all runs */
};

static void fail(const char *what)
{
    fprintf(stderr, "measure: %s\n", what);
    exit(2);
}

static long now_us(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (long)t.tv_sec * 1000000 + t.tv_nsec / 1000;
}

static void run_once(struct command *c, int run, const posix_spawn_file_actions_t *silent)
{
    pid_t pid;
    int status;
    struct rusage used;
    long start = now_us();
    if (posix_spawnp(&pid, c->argv[0], silent, NULL, c->argv, environ) != 0 || wait4(pid, &status, 0, &used) != pid)
        fail("a command cannot be run");
    c->us[run] = now_us() - start;
    if (!WIFEXITED(status) || WEXITSTATUS(status) > 1)
        fail("a command failed");
    if (used.ru_maxrss > c->kib)
        c->kib = used.ru_maxrss;
}

static int compare(const void *a, const void *b)
{
    long x = *(const long *)a, y = *(const long *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    int runs = argc > 1 ? atoi(argv[1]) : 0, split = 2;
    while (split < argc && strcmp(argv[split], "--") != 0)
        split++;
    if (runs < 1 || runs > RUNS_MAX || split == 2 || split + 1 >= argc)
        fail("usage: measure RUNS COMMAND [ARGUMENT...] -- COMMAND [ARGUMENT...]");
    argv[split] = NULL;
    struct command commands[COMMANDS] = {{.argv = argv + 2}, {.argv = argv + split + 1}};
    posix_spawn_file_actions_t silent;
    posix_spawn_file_actions_init(&silent);
    posix_spawn_file_actions_addopen(&silent, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&silent, 2, "/dev/null", O_WRONLY, 0);
    for (int i = 0; i < COMMANDS; i++)
        if (!(commands[i].us = calloc((size_t)runs, sizeof *commands[i].us)))
            fail("out of memory");
    for (int run = 0; run < runs; run++)
        for (int i = 0; i < COMMANDS; i++)
            run_once(&commands[i], run, &silent);
    for (int i = 0; i < COMMANDS; i++) {
        qsort(commands[i].us, (size_t)runs, sizeof *commands[i].us, compare);
        printf("%ld %ld %ld\n", commands[i].us[runs / 2], commands[i].us[0], commands[i].kib);
        free(commands[i].us);
    }
    posix_spawn_file_actions_destroy(&silent);
    return 0;
}
