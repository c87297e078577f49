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

#include "base/bytes.h"
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

/* The folder that a path lies in. */
static char *folder_of(const char *path)
{
    const char *slash = strrchr(path, '/');

    if (!slash)
        return mem_text(".");
    return slash == path ? mem_text("/")
                         : mem_text_n(path, (size_t)(slash - path));
}

/* One folder, and its name on the disk. */
static bool make_folder(const char *path, struct error *err)
{
    char *above;
    bool ok;

    if (mkdir(path, 0777))
        return errno == EEXIST ||
               error_set(err, ERR_STORE, "cannot make the folder %s: %s", path,
                         strerror(errno));
    above = folder_of(path);
    ok = disk_sync_folder(above, err);
    free(above);
    return ok;
}

bool disk_folder(const char *dir, struct error *err)
{
    char *path = mem_text(dir);
    size_t n = strlen(path);
    bool ok = true;

    while (n > 1 && path[n - 1] == '/')
        path[--n] = '\0';
    for (char *p = path; ok && *p && (p = strchr(p + 1, '/'));) {
        *p = '\0';
        ok = access(path, F_OK) == 0 || make_folder(path, err);
        *p = '/';
    }
    ok = ok && make_folder(path, err);
    free(path);
    return ok;
}

static bool write_as(const char *path, const void *data, size_t size,
                     mode_t mode, const char *what, struct error *err)
{
    char *folder = folder_of(path);
    struct text name = {0};
    bool ok;
    int fd;

    text_addf(&name, "%s/new-XXXXXX", folder);
    fd = mkstemp(name.s);
    ok = fd >= 0 && bytes_write(fd, data, size) && fchmod(fd, mode) == 0 &&
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
