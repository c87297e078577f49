/* Programs beside this one. See the header. */
#include "cli/beside.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

bool beside_become(const char *name, char *const *words, struct error *err)
{
    char path[4096];
    ssize_t n = readlink("/proc/self/exe", path, sizeof path - 1);
    char *slash;

    if (n < 0)
        return error_set(err, ERR_STORE,
                         "where hanklab lies cannot be told: %s",
                         strerror(errno));
    path[n] = '\0';
    slash = strrchr(path, '/');
    if ((size_t)(slash + 1 - path) + strlen(name) >= sizeof path)
        return error_set(err, ERR_LIMIT, "hanklab lies too deep in folders");
    memcpy(slash + 1, name, strlen(name) + 1);
    execv(path, words);
    return error_set(err, ERR_MISSING,
                     "%s cannot be started: %s; is hanklab installed whole?",
                     path, strerror(errno));
}
