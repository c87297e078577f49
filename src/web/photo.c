/*
 * Kept photos: /photo/7 as it is, /photo/7/480 a small upright copy, made in a
 * child, once, and kept in the book's cache.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "child.h"
#include "photo/preview.h"
#include "photos.h"
#include "routes.h"

#define PREVIEW_MAX_BYTES (4u << 20)

static const char *const sizes[] = {PHOTO_SMALL, PHOTO_LARGE};

struct preview_job {
    char *path, *cached;
    uint32_t longest;
};

struct preview {
    size_t size;
    unsigned char jpeg[PREVIEW_MAX_BYTES];
};

static void job_clear(void *job)
{
    struct preview_job *j = job;

    free(j->path);
    free(j->cached);
    free(j);
}

static bool make_preview(const void *job, const int *photo, void *result,
                         struct error *err)
{
    const struct preview_job *j = job;
    struct preview *out = result;
    unsigned char *data = NULL, *jpeg = NULL;
    size_t size;
    bool ok =
        file_load_from(*photo, j->path, PHOTO_MAX_BYTES, &data, &size, err) &&
        photo_preview(data, size, j->longest, &jpeg, &out->size, err);

    if (ok && out->size > sizeof out->jpeg)
        ok = error_set(err, ERR_LIMIT, "the small copy is not small");
    if (ok)
        memcpy(out->jpeg, jpeg, out->size);
    free(jpeg);
    free(data);
    return ok;
}

/* What does not get there is made anew another time. */
static void put_by(const char *path, const struct preview *p)
{
    struct text begun = {0};
    FILE *f;
    bool ok;

    text_addf(&begun, "%s.%ld", path, (long)getpid());
    f = fopen(text_str(&begun), "wb");
    ok = f && fwrite(p->jpeg, 1, p->size, f) == p->size;
    if (f)
        ok = !fclose(f) && ok;
    if (!ok || rename(text_str(&begun), path))
        unlink(text_str(&begun));
    text_clear(&begun);
}

/* The photo itself stands in for a copy that could not be made. */
static void send_itself(struct request *r, const struct preview_job *job,
                        struct error *err)
{
    *err = (struct error){0};
    r->file = mem_text(job->path);
    r->lasting = false;
}

static bool send_preview(struct request *r, struct error *err)
{
    struct preview_job *job = r->job;
    const struct preview *p = child_result(r->child, err);

    if (!p) {
        send_itself(r, job, err);
        return true;
    }
    put_by(job->cached, p);
    text_add_n(&r->out, (const char *)p->jpeg, p->size);
    return true;
}

/* "7/480" -> 7 and 480 of `sizes`, or NULL for the photo as it is. */
static bool read_address(const struct request *r, char *id, size_t size,
                         const char **longest, struct error *err)
{
    const char *part = request_part(r, "/photo/");
    const char *slash = strchr(part, '/');

    snprintf(id, size, "%.*s", slash ? (int)(slash - part) : 20, part);
    *longest = NULL;
    for (size_t i = 0; slash && i < ARRAY_LEN(sizes); i++)
        if (!strcmp(slash + 1, sizes[i]))
            *longest = sizes[i];
    return !slash || *longest ||
           error_set(err, ERR_MISSING, "there is no such photo");
}

static char *cache_path(struct request *r, const struct record *photo,
                        const char *longest)
{
    struct text path = {0};

    text_addf(&path, "%s/cache/%s-%s.jpg", book_folder(r->book),
              record_get(photo, "sha256")->words, longest);
    return text_take(&path);
}

bool photo_send(struct request *r, struct error *err)
{
    struct preview_job *job;
    struct record photo;
    const char *longest;
    char id[24], *cached;

    if (!read_address(r, id, sizeof id, &longest, err) ||
        !photos_find(r, id, &photo, &r->file, err))
        return false;
    r->type = "image/jpeg";
    r->lasting = true;
    cached = longest ? cache_path(r, &photo, longest) : NULL;
    record_clear(&photo);
    if (!cached)
        return true;
    if (!access(cached, R_OK)) {
        free(r->file);
        r->file = cached;
        return true;
    }
    job = mem_new(1, sizeof *job);
    *job = (struct preview_job){r->file, cached,
                                (uint32_t)strtoul(longest, NULL, 10)};
    r->file = NULL;
    r->job = job;
    r->job_clear = job_clear;
    if (child_start(
            r,
            &(struct child_task){.work = make_preview,
                                 .job = job,
                                 .size = sizeof(struct preview),
                                 .photo = (const char *const *)&job->path,
                                 .photos = 1},
            send_preview, err))
        return true;
    send_itself(r, job, err);
    return true;
}
