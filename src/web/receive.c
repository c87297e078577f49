/* The body of a request. See receive.h. */
#include "receive.h"

#include <errno.h>
#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/bytes.h"
#include "base/mem.h"
#include "sweep.h"

#define ENVELOPE (1u << 20) /* of a form around its file */
#define STRANGER_BYTES 4096 /* a code and a name */

static bool is_stranger(const struct request *r)
{
    return !r->home && !r->device;
}

static size_t most_bytes(const struct request *r)
{
    return is_stranger(r) ? STRANGER_BYTES : UPLOAD_MAX_BYTES + ENVELOPE;
}

/*
 * The parser hands a value over in pieces with their offset, and where no byte
 * of it has come yet an empty piece first: so what follows an empty value of
 * the same name goes on with it. Of two fields of one name side by side a form
 * may therefore not need the first one when it is empty.
 */

/* ---- fields ----------------------------------------------------------------
 */

static void add_field(struct request *r, const char *name, const char *data,
                      size_t size, bool more)
{
    struct pairs *form = &r->form;
    struct pair *last = form->count ? &form->pair[form->count - 1] : NULL;
    char *value;

    more = more || (last && !*last->value && !strcmp(last->name, name));
    if (form->count >= FORM_MAX_FIELDS ||
        form->bytes + size + strlen(name) > FORM_MAX_BYTES) {
        error_set(&r->refused, ERR_LIMIT,
                  "this form holds more than hanklab takes at once: send it "
                  "in parts");
        return;
    }
    if (!more) {
        value = mem_text_n(data, size);
        pairs_add(form, name, value);
        free(value);
    } else if (last) {
        size_t had = strlen(last->value);
        last->value = mem_resize(last->value, had + size + 1, 1);
        memcpy(last->value + had, data, size);
        last->value[had + size] = '\0';
        form->bytes += size;
    }
}

/* ---- the file --------------------------------------------------------------
 */

static bool open_upload(struct request *r, const char *field, const char *name)
{
    struct text path = {0};

    text_addf(&path, "%s/cache", book_folder(r->book));
    if (mkdir(text_str(&path), 0700) && errno != EEXIST) {
        text_clear(&path);
        return error_set(&r->refused, ERR_STORE,
                         "the book's folder cannot be written: %s",
                         strerror(errno));
    }
    text_add(&path, "/" SWEEP_ARRIVING "XXXXXX");
    r->upload.fd = mkstemp(path.s);
    if (r->upload.fd < 0) {
        text_clear(&path);
        return error_set(&r->refused, ERR_STORE,
                         "the photo cannot be put down: %s", strerror(errno));
    }
    r->upload.path = text_take(&path);
    r->upload.field = mem_text(field);
    r->upload.name = mem_text(name);
    return true;
}

static void add_file(struct request *r, const char *field, const char *name,
                     const char *data, size_t size, bool more)
{
    more = more || (r->upload.path && !r->upload.size &&
                    !strcmp(r->upload.field, field));
    if (!more && r->upload.path) {
        error_set(&r->refused, ERR_LIMIT,
                  "one photo at a time: choose one, send it, then the next");
        return;
    }
    if ((!more && !open_upload(r, field, name)) || r->upload.fd < 0)
        return;
    if (r->upload.size + size > UPLOAD_MAX_BYTES) {
        error_set(&r->refused, ERR_LIMIT,
                  "the photo is over %u MiB: send it smaller, or measure it "
                  "with \"hanklab measure\"",
                  UPLOAD_MAX_BYTES >> 20);
        return;
    }
    r->upload.size += size;
    if (!bytes_write(r->upload.fd, data, size))
        error_set(&r->refused, ERR_STORE, "the photo cannot be put down: %s",
                  errno == ENOSPC ? "the disk is full" : strerror(errno));
}

/* ---- both ------------------------------------------------------------------
 */

static enum MHD_Result on_part(void *context, enum MHD_ValueKind kind,
                               const char *name, const char *file_name,
                               const char *content_type,
                               const char *transfer_encoding, const char *data,
                               uint64_t offset, size_t size)
{
    struct request *r = context;

    (void)kind;
    (void)content_type;
    (void)transfer_encoding;
    if (r->refused.kind || !name)
        return MHD_YES;
    if (!file_name)
        add_field(r, name, data, size, offset > 0);
    else if (*file_name && !is_stranger(r))
        add_file(r, name, file_name, data, size, offset > 0);
    return MHD_YES;
}

bool receive_begin(struct request *r)
{
    const char *length = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_CONTENT_LENGTH);
    long long bytes = 0;

    if (length && (!text_whole(length, &bytes) || bytes < 0 ||
                   (unsigned long long)bytes > most_bytes(r)))
        return error_set(&r->refused, ERR_LIMIT,
                         "that is over %u MiB: send the photo smaller, or "
                         "measure it with \"hanklab measure\"",
                         UPLOAD_MAX_BYTES >> 20);
    r->body = MHD_create_post_processor(r->connection, 16384, on_part, r);
    if (!r->body)
        return error_set(&r->refused, ERR_INPUT,
                         "this is not a form that a page of hanklab sends");
    return true;
}

void receive_bytes(struct request *r, const char *data, size_t size)
{
    r->received += size;
    if (r->received > most_bytes(r) && !r->refused.kind)
        error_set(&r->refused, ERR_LIMIT, "that is over %u MiB",
                  UPLOAD_MAX_BYTES >> 20);
    if (!r->refused.kind && MHD_post_process(r->body, data, size) != MHD_YES &&
        !r->refused.kind)
        error_set(&r->refused, ERR_INPUT,
                  "the form arrived damaged: send it again");
}

void receive_end(struct request *r)
{
    if (r->body && MHD_destroy_post_processor(r->body) != MHD_YES &&
        !r->refused.kind)
        error_set(&r->refused, ERR_INPUT,
                  "only a part of the form arrived: send it again");
    r->body = NULL;
    if (r->upload.fd >= 0 && close(r->upload.fd) && !r->refused.kind)
        error_set(&r->refused, ERR_STORE, "the photo cannot be put down: %s",
                  strerror(errno));
    r->upload.fd = -1;
}
