/*
 * The world as a test wants it, between a program and its C library
 * (LD_PRELOAD):
 *
 *     WORLD_RECORD=FILE    every change of a file or folder is noted there, in
 *                          order; tests/power_support.c reads it
 *     WORLD_CLOCK=SECONDS  the clock is that far off; -86400 is a day back
 *     WORLD_LOCKS=none     no file can be locked, as on some network drives
 *     WORLD_LOCKS=fake     any lock is given to everybody
 *     WORLD_REMOTE=1       every folder is one of a network
 */
#define _GNU_SOURCE /* RTLD_NEXT, F_OFD_SETLK */

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <time.h>
#include <unistd.h>

#define NFS 0x6969 /* statfs(2), NFS_SUPER_MAGIC */

/* The C library's own function NAME. A function pointer is no data pointer in
 * C; POSIX has it that dlsym gives one all the same. */
#define REAL(name, type, ...)                                                  \
    static type (*real)(__VA_ARGS__);                                          \
    if (!real)                                                                 \
    *(void **)&real = dlsym(RTLD_NEXT, name)

static ssize_t put(int fd, const void *data, size_t size)
{
    REAL("write", ssize_t, int, const void *, size_t);
    return real(fd, data, size);
}

/* ---- what changes -------------------------------------------------------- */

/* A line, and the bytes of a write behind it; in one piece. */
static void note(const void *data, size_t size, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

static void note(const void *data, size_t size, const char *fmt, ...)
{
    static int fd = -1;
    const char *path = getenv("WORLD_RECORD");
    const int was = errno;
    char line[PATH_MAX * 2 + 64];
    va_list args;
    int n;

    if (!path)
        return;
    if (fd < 0) {
        REAL("open64", int, const char *, int, ...);
        fd = real(path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    }
    va_start(args, fmt);
    n = vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    if (fd < 0 || put(fd, line, (size_t)n) != n ||
        put(fd, data, size) != (ssize_t)size)
        abort();
    errno = was;
}

/* The number of a regular file; 0 of anything else. */
static unsigned long long file(int fd)
{
    struct stat st;

    return fstat(fd, &st) == 0 && S_ISREG(st.st_mode)
               ? (unsigned long long)st.st_ino
               : 0;
}

static void note_made(int fd, const char *path)
{
    if (fd >= 0 && file(fd))
        note(NULL, 0, "made %llu %s\n", file(fd), path);
}

static void note_write(int fd, long long at, const void *data, ssize_t n)
{
    if (n > 0 && file(fd))
        note(data, (size_t)n, "write %llu %lld %zd\n", file(fd), at, n);
}

int open(const char *path, int flags, ...)
{
    REAL("open64", int, const char *, int, ...);
    struct stat st;
    const bool there = stat(path, &st) == 0;
    va_list args;
    mode_t mode;
    int fd;

    va_start(args, flags);
    mode = flags & O_CREAT ? va_arg(args, mode_t) : 0;
    va_end(args);
    fd = real(path, flags, mode);
    if ((flags & O_CREAT) && !there)
        note_made(fd, path);
    else if ((flags & O_TRUNC) && fd >= 0 && file(fd))
        note(NULL, 0, "size %llu 0\n", file(fd));
    return fd;
}

int mkstemp(char *path)
{
    REAL("mkstemp64", int, char *);
    const int fd = real(path);

    note_made(fd, path);
    return fd;
}

ssize_t write(int fd, const void *data, size_t size)
{
    const long long at = lseek(fd, 0, SEEK_CUR);
    const ssize_t n = put(fd, data, size);

    note_write(fd, at, data, n);
    return n;
}

ssize_t pwrite(int fd, const void *data, size_t size, off_t at)
{
    REAL("pwrite64", ssize_t, int, const void *, size_t, off_t);
    const ssize_t n = real(fd, data, size, at);

    note_write(fd, at, data, n);
    return n;
}

int ftruncate(int fd, off_t size)
{
    REAL("ftruncate64", int, int, off_t);
    const int rc = real(fd, size);

    if (!rc && file(fd))
        note(NULL, 0, "size %llu %lld\n", file(fd), (long long)size);
    return rc;
}

/* A sync takes its time and changes nothing for a program that is not cut off,
 * so it is only noted. */
static int note_sync(int fd)
{
    char link[32], path[PATH_MAX];
    ssize_t n;

    if (file(fd)) {
        note(NULL, 0, "sync %llu\n", file(fd));
        return 0;
    }
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    n = readlink(link, path, sizeof path);
    if (n > 0)
        note(NULL, 0, "kept %.*s\n", (int)n, path);
    return 0;
}

int fsync(int fd)
{
    REAL("fsync", int, int);
    return getenv("WORLD_RECORD") ? note_sync(fd) : real(fd);
}

int fdatasync(int fd)
{
    REAL("fdatasync", int, int);
    return getenv("WORLD_RECORD") ? note_sync(fd) : real(fd);
}

int unlink(const char *path)
{
    REAL("unlink", int, const char *);
    const int rc = real(path);

    if (!rc)
        note(NULL, 0, "gone %s\n", path);
    return rc;
}

int rename(const char *from, const char *to)
{
    REAL("rename", int, const char *, const char *);
    const int rc = real(from, to);

    if (!rc)
        note(NULL, 0, "name %s\t%s\n", from, to);
    return rc;
}

int mkdir(const char *path, mode_t mode)
{
    REAL("mkdir", int, const char *, mode_t);
    const int rc = real(path, mode);

    if (!rc)
        note(NULL, 0, "folder %s\n", path);
    return rc;
}

/* What a command answers is what it acknowledges. */
size_t fwrite(const void *data, size_t size, size_t n, FILE *to)
{
    REAL("fwrite", size_t, const void *, size_t, size_t, FILE *);

    if (to == stdout)
        note(NULL, 0, "said\n");
    return real(data, size, n, to);
}

/* ---- what is not as it should be ----------------------------------------- */

static long clock_off(void)
{
    const char *s = getenv("WORLD_CLOCK");

    return s ? strtol(s, NULL, 10) : 0;
}

int clock_gettime(clockid_t which, struct timespec *t)
{
    REAL("clock_gettime", int, clockid_t, struct timespec *);
    const int rc = real(which, t);

    if (!rc && which == CLOCK_REALTIME)
        t->tv_sec += clock_off();
    return rc;
}

time_t time(time_t *out)
{
    struct timespec t;

    clock_gettime(CLOCK_REALTIME, &t);
    if (out)
        *out = t.tv_sec;
    return t.tv_sec;
}

int fcntl(int fd, int what, ...)
{
    REAL("fcntl64", int, int, int, ...);
    const char *locks = getenv("WORLD_LOCKS");
    va_list args;
    void *rest;

    va_start(args, what);
    rest = va_arg(args, void *);
    va_end(args);
    if (locks && (what == F_SETLK || what == F_SETLKW || what == F_OFD_SETLK)) {
        errno = ENOLCK;
        return strcmp(locks, "none") ? 0 : -1;
    }
    return real(fd, what, rest);
}

int statfs(const char *path, struct statfs *out)
{
    REAL("statfs64", int, const char *, struct statfs *);
    const int rc = real(path, out);

    if (!rc && getenv("WORLD_REMOTE"))
        out->f_type = NFS;
    return rc;
}
