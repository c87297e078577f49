/* A whole file into memory, or a line that says why not. */
#include "photo/photo.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/bytes.h"
#include "base/mem.h"
#include "photo/printable.h"

/* Opening a pipe must not wait for its writer: hence O_NONBLOCK. */
static int open_file(const char *path)
{
    int fd;

    do
        fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    while (fd < 0 && errno == EINTR);
    return fd;
}

static bool refuse_errno(const char *name, struct error *err)
{
    if (errno == ENOENT || errno == ENOTDIR)
        return error_set(err, ERR_MISSING,
                         "there is no file \"%s\": check its name and folder",
                         name);
    if (errno == EACCES || errno == EPERM)
        return error_set(err, ERR_INPUT,
                         "you may not read \"%s\": change its permissions, or "
                         "copy it to a folder of your own",
                         name);
    return error_set(err, ERR_INPUT, "cannot read \"%s\": %s", name,
                     strerror(errno));
}

static bool check_kind(const struct stat *st, const char *name, size_t max,
                       struct error *err)
{
    if (S_ISDIR(st->st_mode))
        return error_set(err, ERR_INPUT, "\"%s\" is a folder: name one photo",
                         name);
    if (!S_ISREG(st->st_mode))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is a pipe or a device, not a file: save the "
                         "photo as a file first",
                         name);
    if (st->st_size < 0 || (uintmax_t)st->st_size > max)
        return error_set(
            err, ERR_LIMIT,
            "\"%s\" has %.1f MiB; at most %.1f MiB can be read: set the camera "
            "to a smaller picture",
            name, (double)st->st_size / 0x100000, (double)max / 0x100000);
    return true;
}

static bool is_same(const struct stat *a, const struct stat *b)
{
    return a->st_size == b->st_size && a->st_mtim.tv_sec == b->st_mtim.tv_sec &&
           a->st_mtim.tv_nsec == b->st_mtim.tv_nsec;
}

bool file_open(const char *path, int *fd, struct error *err)
{
    char name[129];

    printable_copy(path, strlen(path), name, sizeof name);
    *fd = open_file(path);
    return *fd >= 0 || refuse_errno(name, err);
}

bool file_load_from(int fd, const char *path, size_t max, unsigned char **data,
                    size_t *size, struct error *err)
{
    struct stat before, after;
    unsigned char *bytes;
    char name[129];
    size_t want;
    ssize_t got;

    printable_copy(path, strlen(path), name, sizeof name);
    if (fstat(fd, &before))
        return refuse_errno(name, err);
    if (!check_kind(&before, name, max, err))
        return false;
    want = (size_t)before.st_size;
    bytes = mem_new(want + 1, 1); /* one more, to see that it grew */
    got = bytes_read(fd, bytes, want + 1);
    if (got < 0 || fstat(fd, &after)) {
        free(bytes);
        return refuse_errno(name, err);
    }
    if ((size_t)got != want || !is_same(&before, &after)) {
        free(bytes);
        return error_set(err, ERR_INPUT,
                         "\"%s\" changed while it was read: wait until it is "
                         "copied, then try again",
                         name);
    }
    *data = bytes;
    *size = want;
    return true;
}

bool file_load(const char *path, size_t max, unsigned char **data, size_t *size,
               struct error *err)
{
    int fd;
    bool ok;

    if (!file_open(path, &fd, err))
        return false;
    ok = file_load_from(fd, path, max, data, size, err);
    close(fd);
    return ok;
}

bool file_write_new(const char *path, const unsigned char *data, size_t size,
                    struct error *err)
{
    const int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    FILE *f = fd < 0 ? NULL : fdopen(fd, "wb");
    char name[129];
    bool ok;

    printable_copy(path, strlen(path), name, sizeof name);
    if (fd < 0 && errno == EEXIST)
        return error_set(err, ERR_INPUT,
                         "there is a file \"%s\" already: name one that is "
                         "not there",
                         name);
    if (!f)
        return error_set(err, ERR_INPUT, "cannot write \"%s\": %s", name,
                         strerror(errno));
    ok = fwrite(data, 1, size, f) == size;
    ok = !fclose(f) && ok;
    if (!ok) {
        error_set(err, ERR_STORE, "cannot write \"%s\": %s", name,
                  strerror(errno));
        unlink(path);
    }
    return ok;
}
