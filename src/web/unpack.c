/* Unpacking in a process of its own. See unpack.h. */
#include "unpack.h"

#include <errno.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "filter.h"
#include "photo/photo.h"
#include "request.h"

/* In the new process. What cannot be read is no zip. */
static void work_alone(int zip, int ask, int answer)
{
    unsigned char *data = NULL;
    struct error err;
    size_t size = 0;

    filter_leave((int[]){zip, ask, answer}, 3);
    tzset(); /* libzip turns days into the zone's, whose file is read once */
    filter_limit();
    filter_shut();
    file_load_from(FILTER_FIRST, "the file", UPLOAD_MAX_BYTES, &data, &size,
                   &err);
    exchange_unpack(data, size, FILTER_FIRST + 1, FILTER_FIRST + 2);
    _exit(0);
}

static bool no_process(struct error *err)
{
    return error_set(err, ERR_STORE, "no process for the file: %s",
                     strerror(errno));
}

/* Both pipes and the process; what it does not get is closed on the way. */
static bool start(int zip, struct unpacker *out, struct error *err)
{
    int ask[2], answer[2];

    if (pipe(ask))
        return no_process(err);
    if (pipe(answer)) {
        no_process(err);
        close(ask[0]);
        close(ask[1]);
        return false;
    }
    out->pid = fork();
    if (out->pid == 0)
        work_alone(zip, ask[0], answer[1]);
    close(ask[0]);
    close(answer[1]);
    out->file = (struct exchange_file){.ask = ask[1], .answer = answer[0]};
    if (out->pid > 0)
        return true;
    no_process(err);
    unpack_end(out);
    return false;
}

bool unpack_start(const char *path, struct unpacker *out, struct error *err)
{
    int zip;
    bool ok;

    *out = (struct unpacker){0};
    if (!file_open(path, &zip, err))
        return false;
    ok = start(zip, out, err);
    close(zip);
    return ok;
}

void unpack_end(struct unpacker *unpacker)
{
    if (!unpacker->file.answer)
        return;
    close(unpacker->file.ask);
    close(unpacker->file.answer);
    while (unpacker->pid > 0 && waitpid(unpacker->pid, NULL, 0) < 0 &&
           errno == EINTR)
        continue;
    *unpacker = (struct unpacker){0};
}
