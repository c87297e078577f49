/* Where a folder is. See base/place.h. */
#include "base/place.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/magic.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <sys/vfs.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/text.h"

bool place_is_remote(const char *dir)
{
    /* statfs(2) */
    static const uint32_t remote[] = {
        NFS_SUPER_MAGIC,  SMB_SUPER_MAGIC,  SMB2_SUPER_MAGIC, CIFS_SUPER_MAGIC,
        CEPH_SUPER_MAGIC, CODA_SUPER_MAGIC, AFS_SUPER_MAGIC,  AFS_FS_MAGIC,
        NCP_SUPER_MAGIC,  V9FS_MAGIC};
    struct statfs fs;
    struct stat st;

    if (statfs(dir, &fs))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(remote); i++)
        if ((uint32_t)fs.f_type == remote[i])
            return true;
    return (uint32_t)fs.f_type == FUSE_SUPER_MAGIC && stat(dir, &st) == 0 &&
           major(st.st_dev) == 0;
}

static bool lock(int fd)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};

    return fcntl(fd, F_SETLK, &whole) == 0;
}

/* A process is never kept out by its own locks, so another one tries. */
static bool keeps_out(int fd)
{
    const pid_t other = fork();
    int status = 0;

    if (other == 0)
        _exit(lock(fd) ? 1 : 0);
    while (other > 0 && waitpid(other, &status, 0) < 0 && errno == EINTR)
        continue;
    return status == 0;
}

bool place_locks(const char *dir)
{
    struct text path = {0};
    bool ok;
    int fd;

    text_addf(&path, "%s/new-XXXXXX", dir);
    fd = mkstemp(path.s);
    ok = fd < 0 || (lock(fd) && keeps_out(fd));
    if (fd >= 0) {
        close(fd);
        unlink(path.s);
    }
    text_clear(&path);
    return ok;
}
