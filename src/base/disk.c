/* Files that are whole or not there. See base/disk.h. */
#include "base/disk.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/text.h"

bool disk_no_room(const char *path, const char *what, struct error *err)
{
    if (errno == ENOSPC || errno == EDQUOT)
        return error_set(err, ERR_STORE,
                         "the disk is full: %s; make room and try again", what);
    return error_set(err, ERR_STORE, "cannot write %s: %s", path,
                     strerror(errno));
}

bool disk_sync_folder(const char *path, struct error *err)
{
    const int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    const bool ok = fd >= 0 && fsync(fd) == 0;

    if (!ok)
        disk_no_room(path, "nothing more was written", err);
    if (fd >= 0)
        close(fd);
    return ok;
}

bool disk_folder(const char *dir, struct error *err)
{
    char *path = mem_text(dir);
    bool ok = true;

    for (char *p = path + 1; ok && *p; p++) {
        if (*p != '/' || p[1] == '\0')
            continue;
        *p = '\0';
        ok = mkdir(path, 0777) == 0 || errno == EEXIST || errno == EROFS ||
             errno == EACCES;
        *p = '/';
    }
    ok = ok && (mkdir(path, 0777) == 0 || errno == EEXIST);
    if (!ok)
        error_set(err, ERR_STORE, "cannot make the folder %s: %s", dir,
                  strerror(errno));
    free(path);
    return ok;
}

static bool write_all(int fd, const unsigned char *data, size_t size)
{
    while (size) {
        const ssize_t n = write(fd, data, size);

        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return false;
        data += n;
        size -= (size_t)n;
    }
    return true;
}

static bool write_as(const char *path, const void *data, size_t size,
                     mode_t mode, const char *what, struct error *err)
{
    const char *slash = strrchr(path, '/');
    char *folder =
        slash ? mem_text_n(path, (size_t)(slash - path)) : mem_text(".");
    struct text name = {0};
    bool ok;
    int fd;

    text_addf(&name, "%s/new-XXXXXX", folder);
    fd = mkstemp(name.s);
    ok = fd >= 0 && write_all(fd, data, size) && fchmod(fd, mode) == 0 &&
         fsync(fd) == 0;
    if (!ok)
        disk_no_room(path, what, err);
    if (fd >= 0 && close(fd) && ok)
        ok = disk_no_room(path, what, err);
    if (ok && rename(name.s, path))
        ok = disk_no_room(path, what, err);
    if (!ok && fd >= 0)
        unlink(name.s);
    ok = ok && disk_sync_folder(folder, err);
    text_clear(&name);
    free(folder);
    return ok;
}

void disk_remove(const char *path)
{
    const struct dirent *entry;
    DIR *dir;

    if (unlink(path) == 0 || !(dir = opendir(path)))
        return; /* a link to a folder goes alone */
    /* cppcheck-suppress readdirCalled ; one thread */
    while ((entry = readdir(dir))) {
        struct text inside = {0};
        if (!strcmp(entry->d_name, ".") || !strcmp(entry->d_name, ".."))
            continue;
        text_addf(&inside, "%s/%s", path, entry->d_name);
        disk_remove(text_str(&inside));
        text_clear(&inside);
    }
    closedir(dir);
    rmdir(path);
}

bool disk_write(const char *path, const void *data, size_t size,
                const char *what, struct error *err)
{
    return write_as(path, data, size, 0644, what, err);
}

bool disk_write_secret(const char *path, const void *data, size_t size,
                       const char *what, struct error *err)
{
    return write_as(path, data, size, 0600, what, err);
}
