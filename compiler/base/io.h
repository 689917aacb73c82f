/* io.h - whole files in, whole files out.
 *
 * Purpose: reads a file or standard input at once; writes a file beside its place and renames it, so that a failure leaves the
 *          old file whole and no stray one.
 * Errors:  an errno value, 0 for success; nothing is printed.
 */
#ifndef DESCANT_IO_H
#define DESCANT_IO_H

#include "base/buf.h"

/* Appends the file's bytes, and a NUL that does not count; "-" is standard input. More than `limit` bytes gives EFBIG; what
 * was read until then is in the buffer. */
int file_read(const char *path, size_t limit, struct buf *out);
/* Writes through "PATH.tmp-PID" in the same folder, which is then renamed. A file that already holds the same bytes is left
 * untouched (its time too). */
int file_write(const char *path, struct str bytes);
/* Writes all bytes to an open descriptor. */
int fd_write(int fd, struct str bytes);
/* Makes a folder and those above it. */
int folder_make(const char *path);

#endif
