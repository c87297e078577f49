/* Zip files, by libzip. See archive.h. */
#include "book/archive.h"

#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <zip.h>

#include "base/mem.h"
#include "base/text.h"

#define MEMBERS_MAX 1000000
#define SQUEEZED_MAX 200 /* bytes out of one; records come to 10 or 20 */

struct archive {
    zip_t *zip; /* NULL: it is unpacked elsewhere */
    struct archive_far far;
};

/* ---- writing ------------------------------------------------------------- */

static bool refuse_write(const char *path, const zip_error_t *why,
                         struct error *err)
{
    if (zip_error_code_system(why) == ENOSPC)
        return error_set(err, ERR_STORE,
                         "the disk is full: %s was not written; make room and "
                         "try again",
                         path);
    return error_set(err, ERR_STORE, "cannot write %s: %s", path,
                     zip_error_strerror((zip_error_t *)why));
}

bool archive_begin(const char *path, struct archive **out, struct error *err)
{
    int code = 0;
    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_EXCL, &code);
    zip_error_t why;

    if (!zip && code == ZIP_ER_EXISTS)
        return error_set(err, ERR_INPUT,
                         "there is a file \"%s\" already: name one that is not "
                         "there",
                         path);
    if (!zip) {
        zip_error_init_with_code(&why, code);
        refuse_write(path, &why, err);
        zip_error_fini(&why);
        return false;
    }
    *out = mem_new(1, sizeof **out);
    (*out)->zip = zip;
    return true;
}

static bool add_source(struct archive *to, const char *name,
                       zip_source_t *source, bool packed, struct error *err)
{
    const zip_int64_t at =
        source ? zip_file_add(to->zip, name, source, ZIP_FL_ENC_UTF_8) : -1;

    if (at >= 0 && (packed || !zip_set_file_compression(
                                  to->zip, (zip_uint64_t)at, ZIP_CM_STORE, 0)))
        return true;
    if (source && at < 0)
        zip_source_free(source);
    return error_set(err, ERR_STORE, "cannot pack %s: %s", name,
                     zip_strerror(to->zip));
}

bool archive_add_text(struct archive *to, const char *name, char *text,
                      size_t size, struct error *err)
{
    zip_source_t *source = zip_source_buffer(to->zip, text, size, 1);

    if (!source)
        free(text);
    return add_source(to, name, source, true, err);
}

/* A member that is made when it is opened. */
struct made {
    archive_make *make;
    void *self;
    size_t which, said;
    unsigned char *data; /* while it is open */
    size_t size, at;
    zip_error_t error;
};

static zip_int64_t made_open(struct made *m)
{
    m->at = 0;
    if (m->make(m->self, m->which, &m->data, &m->size) && m->size == m->said)
        return 0;
    zip_error_set(&m->error, ZIP_ER_CHANGED, 0);
    return -1;
}

static zip_int64_t made_read(struct made *m, void *to, zip_uint64_t room)
{
    const size_t left = m->size - m->at, n = room < left ? (size_t)room : left;

    memcpy(to, m->data + m->at, n);
    m->at += n;
    return (zip_int64_t)n;
}

static zip_int64_t made_stat(const struct made *m, void *to, zip_uint64_t room)
{
    zip_stat_t *st = to;

    if (room < sizeof *st)
        return -1;
    zip_stat_init(st);
    st->size = m->said;
    st->valid = ZIP_STAT_SIZE;
    return sizeof *st;
}

/* What libzip asks of a source. */
static zip_int64_t made_do(void *self, void *data, zip_uint64_t size,
                           zip_source_cmd_t what)
{
    struct made *m = self;

    switch ((int)what) { /* libzip has more, for sources that can be written */
    case ZIP_SOURCE_SUPPORTS:
        return zip_source_make_command_bitmap(
            ZIP_SOURCE_OPEN, ZIP_SOURCE_READ, ZIP_SOURCE_CLOSE, ZIP_SOURCE_STAT,
            ZIP_SOURCE_ERROR, ZIP_SOURCE_FREE, -1);
    case ZIP_SOURCE_OPEN:
        return made_open(m);
    case ZIP_SOURCE_READ:
        return made_read(m, data, size);
    case ZIP_SOURCE_CLOSE:
        free(m->data);
        m->data = NULL;
        return 0;
    case ZIP_SOURCE_STAT:
        return made_stat(m, data, size);
    case ZIP_SOURCE_ERROR:
        return zip_error_to_data(&m->error, data, size);
    case ZIP_SOURCE_FREE:
        free(m->data);
        free(m);
        return 0;
    default:
        zip_error_set(&m->error, ZIP_ER_OPNOTSUPP, 0);
        return -1;
    }
}

bool archive_add_made(struct archive *to, const char *name, size_t size,
                      archive_make *make, void *self, size_t which,
                      struct error *err)
{
    struct made *m = mem_new(1, sizeof *m);
    zip_source_t *source;

    *m =
        (struct made){.make = make, .self = self, .which = which, .said = size};
    zip_error_init(&m->error);
    source = zip_source_function(to->zip, made_do, m);
    if (!source)
        free(m);
    return add_source(to, name, source, false, err);
}

bool archive_write(struct archive *to, const char *path, struct error *err)
{
    const bool ok = zip_close(to->zip) == 0;

    if (!ok) {
        refuse_write(path, zip_get_error(to->zip), err);
        zip_discard(to->zip);
    }
    free(to);
    return ok;
}

void archive_close(struct archive *archive)
{
    if (archive && archive->zip)
        zip_discard(archive->zip);
    free(archive);
}

/* ---- reading ------------------------------------------------------------- */

static bool is_inside(const char *name)
{
    if (!*name || *name == '/' || strpbrk(name, "\\:") ||
        !text_is_utf8(name, strlen(name)))
        return false;
    for (const char *p = name; *p; p++)
        if ((unsigned char)*p < 0x20 || *p == 0x7F)
            return false;
    for (const char *p = name; p; p = strchr(p, '/')) {
        p += *p == '/';
        if (!strncmp(p, "..", 2) && (p[2] == '/' || !p[2]))
            return false;
    }
    return true;
}

static bool check_members(struct archive *a, struct error *err)
{
    const zip_int64_t count = zip_get_num_entries(a->zip, 0);

    if (count > MEMBERS_MAX)
        return error_set(err, ERR_LIMIT,
                         "the file holds %lld members; at most %d can be read",
                         (long long)count, MEMBERS_MAX);
    for (zip_int64_t i = 0; i < count; i++) {
        const char *name =
            zip_get_name(a->zip, (zip_uint64_t)i, ZIP_FL_ENC_GUESS);
        if (!name || !is_inside(name))
            return error_set(err, ERR_INPUT,
                             "member %lld of the file has a name that leads "
                             "out of its folder: nobody's hanklab wrote it, do "
                             "not use it",
                             (long long)i + 1);
    }
    return true;
}

static bool opened(zip_t *zip, struct archive **out, struct error *err)
{
    struct archive *a = mem_new(1, sizeof *a);

    a->zip = zip;
    if (check_members(a, err)) {
        *out = a;
        return true;
    }
    archive_close(a);
    return false;
}

static bool no_zip(struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "this is not a zip file, or not all of it: ask for it "
                     "again");
}

bool archive_open(const char *path, struct archive **out, struct error *err)
{
    int code = 0;
    zip_t *zip = zip_open(path, ZIP_RDONLY | ZIP_CHECKCONS, &code);

    if (!zip && code == ZIP_ER_NOENT)
        return error_set(err, ERR_MISSING, "there is no file \"%s\"", path);
    return zip ? opened(zip, out, err) : no_zip(err);
}

bool archive_open_bytes(const void *data, size_t size, struct archive **out,
                        struct error *err)
{
    zip_source_t *source = zip_source_buffer_create(data, size, 0, NULL);
    zip_t *zip =
        source ? zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, NULL)
               : NULL;

    if (!zip) {
        zip_source_free(source);
        return no_zip(err);
    }
    return opened(zip, out, err);
}

bool archive_open_far(const struct archive_far *far, struct archive **out,
                      struct error *err)
{
    if (!archive_far_open(far, err))
        return false;
    *out = mem_new(1, sizeof **out);
    (*out)->far = *far;
    return true;
}

static char *zip_folder(zip_t *zip, const char *name)
{
    const zip_int64_t count = zip_get_num_entries(zip, 0);
    const size_t n = strlen(name);
    char *folder = NULL;

    for (zip_int64_t i = 0; i < count; i++) {
        const char *is = zip_get_name(zip, (zip_uint64_t)i, 0);
        const size_t len = is ? strlen(is) : 0;
        if (!is || len < n || strcmp(is + len - n, name) != 0 ||
            (len > n && is[len - n - 1] != '/') ||
            !strncmp(is, "__MACOSX/", 9)) /* what one packer adds */
            continue;
        if (folder) {
            free(folder);
            return NULL;
        }
        folder = mem_text_n(is, len - n);
    }
    return folder;
}

char *archive_folder(struct archive *from, const char *name, struct error *err)
{
    char *folder;

    if (!from->zip)
        return archive_far_folder(&from->far, name, err);
    folder = zip_folder(from->zip, name);
    if (!folder)
        error_set(err, ERR_MISSING, "%s is not in the file, or more than once",
                  name);
    return folder;
}

/* A few hundred bytes can unpack to as many gigabytes. */
static bool check_size(const zip_stat_t *st, const char *name, size_t max,
                       struct error *err)
{
    if (!(st->valid & ZIP_STAT_SIZE) || !(st->valid & ZIP_STAT_COMP_SIZE))
        return error_set(err, ERR_INPUT, "%s in the file is damaged", name);
    if (st->size > max)
        return error_set(err, ERR_LIMIT,
                         "%s in the file unpacks to %llu MiB; at most %zu MiB "
                         "can be read",
                         name, (unsigned long long)(st->size >> 20), max >> 20);
    if (st->size > 1u << 20 && st->size / SQUEEZED_MAX > st->comp_size)
        return error_set(err, ERR_LIMIT,
                         "%s in the file would unpack to more than %d times "
                         "its size: no honest file does",
                         name, SQUEEZED_MAX);
    return true;
}

static bool zip_read(zip_t *zip, const char *name, size_t max,
                     unsigned char **data, size_t *size, struct error *err)
{
    zip_stat_t st;
    zip_file_t *f;
    unsigned char *bytes = NULL;
    size_t room = 0, n = 0;
    zip_int64_t got = 1;

    if (zip_stat(zip, name, 0, &st))
        return error_set(err, ERR_INPUT, "%s is missing in the file", name);
    if (!check_size(&st, name, max, err))
        return false;
    f = zip_fopen(zip, name, 0);
    while (f && got > 0 && n <= st.size) {
        if (n == room) {
            room = room ? 2 * room : 65536;
            bytes = mem_resize(bytes, room + 1, 1);
        }
        got = zip_fread(f, bytes + n, room - n);
        n += got > 0 ? (size_t)got : 0;
    }
    if (f && zip_fclose(f))
        got = -1;
    if (!f || got < 0 || n != st.size) {
        free(bytes);
        return error_set(err, ERR_INPUT,
                         "%s in the file is damaged, or locked with a "
                         "password: ask for it again",
                         name);
    }
    bytes[n] = '\0';
    *data = bytes;
    *size = n;
    return true;
}

bool archive_read(struct archive *from, const char *name, size_t max,
                  unsigned char **data, size_t *size, struct error *err)
{
    return from->zip ? zip_read(from->zip, name, max, data, size, err)
                     : archive_far_read(&from->far, name, max, data, size, err);
}
