/* Row D4: files are written whole or not at all, and what does not change is not touched. */
#include "base/io.h"
#include "unit/test.h"

#include <errno.h>
#include <sys/stat.h>
#include <unistd.h>

struct place {
    char folder[64];
    char path[96];
};

static const char *at(struct place *p, const char *name)
{
    snprintf(p->path, sizeof p->path, "%s/%s", p->folder, name);
    return p->path;
}

static bool holds(const char *path, const char *want)
{
    struct buf b = {0};
    bool same = file_read(path, 1000, &b) == 0 && str_is(buf_str(&b), want);
    buf_free(&b);
    return same;
}

static void test_write(struct test *t, struct place *p)
{
    struct stat before, after;
    CHECK(t, file_write(at(p, "a"), STR("one")) == 0 && holds(p->path, "one"));
    CHECK(t, chmod(p->path, 0600) == 0 && stat(p->path, &before) == 0);
    CHECK(t, file_write(p->path, STR("one")) == 0 && stat(p->path, &after) == 0);
    CHECK(t, before.st_ino == after.st_ino);
    CHECK(t, file_write(p->path, STR("two")) == 0 && holds(p->path, "two") && stat(p->path, &after) == 0);
    CHECK(t, before.st_ino != after.st_ino && (after.st_mode & 0777) == 0600);
    CHECK(t, file_write(p->path, STR("")) == 0 && holds(p->path, ""));
    CHECK(t, file_write(at(p, "none/a"), STR("x")) == ENOENT);
    CHECK(t, file_write(at(p, "a/b"), STR("x")) == ENOTDIR);
    CHECK(t, file_write(p->folder, STR("x")) == EISDIR);
    CHECK(t, file_write("/dev/full", STR("x")) == ENOSPC);
    CHECK(t, file_write("/dev/null", STR("x")) == 0);
}

/* A link goes on pointing to where it pointed. */
static void test_link(struct test *t, struct place *p)
{
    struct stat st;
    struct place link = *p;
    CHECK(t, file_write(at(p, "target"), STR("one")) == 0);
    CHECK(t, symlink("target", at(&link, "link")) == 0);
    CHECK(t, file_write(link.path, STR("two")) == 0 && holds(p->path, "two"));
    CHECK(t, lstat(link.path, &st) == 0 && S_ISLNK(st.st_mode));
}

static void test_read(struct test *t, struct place *p)
{
    struct buf b = {0};
    CHECK(t, file_write(at(p, "long"), STR("0123456789")) == 0);
    CHECK(t, file_read(p->path, 10, &b) == 0 && b.n == 10);
    b.n = 0;
    CHECK(t, file_read(p->path, 9, &b) == EFBIG);
    b.n = 0;
    CHECK(t, file_read(at(p, "none"), 9, &b) == ENOENT);
    CHECK(t, file_read(p->folder, 9, &b) == EISDIR);
    buf_free(&b);
}

static void test_folder(struct test *t, struct place *p)
{
    struct stat st;
    CHECK(t, folder_make(at(p, "x/y//z/")) == 0 && stat(p->path, &st) == 0 && S_ISDIR(st.st_mode));
    CHECK(t, folder_make(p->path) == 0);
    CHECK(t, folder_make(p->folder) == 0 && folder_make("/") == 0 && folder_make(".") == 0);
    CHECK(t, folder_make(at(p, "a/y")) == ENOTDIR);
    CHECK(t, folder_make(at(p, "a")) == ENOTDIR);
}

/* Takes the test's files away; a stray temporary file makes rmdir fail, which is a failure here. */
static void clean(struct test *t, struct place *p)
{
    static const char *const names[] = {"a", "target", "link", "long"};
    static const char *const folders[] = {"x/y/z", "x/y", "x"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        unlink(at(p, names[i]));
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++)
        rmdir(at(p, folders[i]));
    CHECK(t, rmdir(p->folder) == 0);
}

int main(void)
{
    struct test t = {.name = "io"};
    struct place p = {.folder = "/tmp/descant-io-XXXXXX"};
    if (!CHECK(&t, mkdtemp(p.folder) != NULL))
        return test_end(&t);
    test_write(&t, &p);
    test_link(&t, &p);
    test_read(&t, &p);
    test_folder(&t, &p);
    clean(&t, &p);
    return test_end(&t);
}
