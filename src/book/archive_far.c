/*
 * A zip that another process unpacks: it is asked for a member after another
 * through one pipe and answers through a second. Who asks believes nothing of
 * an answer but that it is bytes. See archive.h.
 */
#include "book/archive.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/bytes.h"
#include "base/mem.h"
#include "base/text.h"
#include "book/exchange.h"

#define NAME_MAX_BYTES 65535 /* the zip format has no longer names */

struct asked {
    bool folder;      /* where a member of that name lies, not the member */
    size_t max, name; /* bytes */
};

struct answered {
    struct error err; /* ERR_NONE: it can be had, and so many bytes follow */
    size_t size;
};

static bool whole(int fd, void *data, size_t size)
{
    return bytes_read(fd, data, size) == (ssize_t)size;
}

/* ---- who unpacks --------------------------------------------------------- */

static bool answer(int fd, const struct error *err, const void *data,
                   size_t size)
{
    const struct answered a = {*err, err->kind == ERR_NONE ? size : 0};

    return bytes_write(fd, &a, sizeof a) && bytes_write(fd, data, a.size);
}

static bool answer_one(struct archive *from, const struct asked *asked,
                       const char *name, int fd)
{
    unsigned char *data = NULL;
    struct error err = {0};
    size_t size = 0;
    bool ok;

    if (asked->folder) {
        data = (unsigned char *)archive_folder(from, name, &err);
        size = data ? strlen((char *)data) : 0;
    } else if (archive_read(from, name, asked->max, &data, &size, &err)) {
        err.kind = ERR_NONE;
    }
    ok = answer(fd, &err, data, size);
    free(data);
    return ok;
}

void exchange_unpack(const unsigned char *data, size_t size, int ask, int to)
{
    struct archive *from = NULL;
    struct error err = {0};
    struct asked asked;
    bool ok = archive_open_bytes(data, size, &from, &err);

    ok = answer(to, &err, "", 0) && ok;
    while (ok && whole(ask, &asked, sizeof asked)) {
        char *name = mem_new(asked.name + 1, 1);
        ok = whole(ask, name, asked.name) && answer_one(from, &asked, name, to);
        free(name);
    }
    archive_close(from);
}

/* ---- who asks ------------------------------------------------------------ */

/* The next answer, of at most max bytes; release with free(). */
static bool take_answer(int fd, size_t max, unsigned char **data, size_t *size,
                        struct error *err)
{
    struct answered a;
    unsigned char *bytes = NULL;

    if (!whole(fd, &a, sizeof a) || a.size > max)
        goto ended;
    a.err.text[sizeof a.err.text - 1] = '\0';
    if (!text_is_utf8(a.err.text, strlen(a.err.text)))
        goto ended;
    if (a.err.kind != ERR_NONE)
        return error_set(err,
                         a.err.kind == ERR_LIMIT || a.err.kind == ERR_MISSING
                             ? a.err.kind
                             : ERR_INPUT,
                         "%s", a.err.text);
    bytes = mem_new(a.size + 1, 1);
    if (!whole(fd, bytes, a.size))
        goto ended;
    *data = bytes;
    *size = a.size;
    return true;

ended:
    free(bytes);
    return error_set(err, ERR_INPUT,
                     "the file could not be unpacked to its end: ask for it "
                     "again");
}

static bool ask_for(const struct archive_far *far, bool folder,
                    const char *name, size_t max, unsigned char **data,
                    size_t *size, struct error *err)
{
    const struct asked asked = {folder, max, strlen(name)};

    /* What cannot be asked is not answered either. */
    if (bytes_write(far->ask, &asked, sizeof asked))
        bytes_write(far->ask, name, asked.name);
    return take_answer(far->answer, max, data, size, err);
}

bool archive_far_open(const struct archive_far *far, struct error *err)
{
    unsigned char *nothing = NULL;
    size_t size;
    const bool ok = take_answer(far->answer, 0, &nothing, &size, err);

    free(nothing);
    return ok;
}

char *archive_far_folder(const struct archive_far *far, const char *name,
                         struct error *err)
{
    unsigned char *folder = NULL;
    size_t size;

    return ask_for(far, true, name, NAME_MAX_BYTES, &folder, &size, err)
               ? (char *)folder
               : NULL;
}

bool archive_far_read(const struct archive_far *far, const char *name,
                      size_t max, unsigned char **data, size_t *size,
                      struct error *err)
{
    return ask_for(far, false, name, max, data, size, err);
}
