#include "base/io.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static int read_all(int fd, size_t limit, struct buf *out)
{
    size_t total = 0;
    char chunk[64 * 1024];
    for (;;) {
        ssize_t n = read(fd, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return errno;
        if (n == 0) {
            buf_byte(out, '\0');
            out->n--;
            return 0;
        }
        buf_bytes(out, chunk, (size_t)n);
        total += (size_t)n;
        if (total > limit)
            return EFBIG;
    }
}

int file_read(const char *path, size_t limit, struct buf *out)
{
    if (strcmp(path, "-") == 0)
        return read_all(STDIN_FILENO, limit, out);
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return errno;
    int fault = read_all(fd, limit, out);
    close(fd);
    return fault;
}

int fd_write(int fd, struct str bytes)
{
    const char *p = bytes.p;
    size_t left = bytes.n;
    while (left) {
        ssize_t n = write(fd, p, left);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return errno;
        p += n;
        left -= (size_t)n;
    }
    return 0;
}

static bool holds_bytes(const char *path, const struct stat *st, struct str bytes)
{
    if ((uint64_t)st->st_size != bytes.n)
        return false;
    struct buf old = {0};
    bool same = file_read(path, bytes.n, &old) == 0 && str_eq(buf_str(&old), bytes);
    buf_free(&old);
    return same;
}

/* A device or pipe has no place beside it to write to. */
static int write_in_place(const char *path, struct str bytes)
{
    int fd = open(path, O_WRONLY | O_CLOEXEC);
    if (fd < 0)
        return errno;
    int fault = fd_write(fd, bytes);
    if (close(fd) != 0 && !fault)
        fault = errno;
    return fault;
}

static int write_beside(const char *path, const struct stat *old, struct str bytes)
{
    struct buf name = {0};
    buf_printf(&name, "%s.tmp-%ld", path, (long)getpid());
    int fault = 0;
    int fd = open(name.p, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0) {
        fault = errno;
        goto out;
    }
    if (old && fchmod(fd, old->st_mode & 0777) != 0)
        fault = errno;
    if (!fault)
        fault = fd_write(fd, bytes);
    /* Some file systems report a full disk only here. No fsync: an output that a power cut takes can be built again. */
    if (close(fd) != 0 && !fault)
        fault = errno;
    if (!fault && rename(name.p, path) != 0)
        fault = errno;
    if (fault)
        unlink(name.p);
out:
    buf_free(&name);
    return fault;
}

int file_write(const char *path, struct str bytes)
{
    struct stat st;
    if (stat(path, &st) != 0)
        return errno == ENOENT ? write_beside(path, NULL, bytes) : errno;
    if (S_ISDIR(st.st_mode))
        return EISDIR;
    if (!S_ISREG(st.st_mode))
        return write_in_place(path, bytes);
    if (holds_bytes(path, &st, bytes))
        return 0;
    char *target = realpath(path, NULL); /* a link stays a link */
    if (!target)
        return errno;
    int fault = write_beside(target, &st, bytes);
    free(target);
    return fault;
}

int folder_make(const char *path)
{
    struct buf part = {0};
    int fault = 0;
    for (size_t i = 0; !fault; i++) {
        if (path[i] != '/' && path[i] != '\0') {
            buf_byte(&part, path[i]);
            continue;
        }
        if (part.n) {
            buf_byte(&part, '\0');
            part.n--;
            struct stat st;
            if (mkdir(part.p, 0777) != 0)
                fault = errno;
            if (fault == EEXIST || fault == EISDIR || fault == EROFS)
                fault = stat(part.p, &st) != 0 ? errno : S_ISDIR(st.st_mode) ? 0 : ENOTDIR;
        }
        if (path[i] == '\0')
            break;
        buf_byte(&part, '/');
    }
    buf_free(&part);
    return fault;
}
