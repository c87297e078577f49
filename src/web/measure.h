/* A photo being measured: what the form says of it, and what came out. */
#ifndef HANKLAB_WEB_MEASURE_H
#define HANKLAB_WEB_MEASURE_H

#include "book/camera.h"
#include "book/known.h"
#include "book/photo.h"
#include "book/record.h"
#include "measure/find.h"
#include "request.h"

#define KNOWN_MOST 26 /* rows of places of known colour, each with a letter */

/* What comes back from the child that measured. */
struct measure_answer {
    bool ok;
    struct error why; /* not ok: the whole picture is refused */
    struct measure_result result;
};

#define OTHERS_MOST 7 /* photos beside this one */

/* And from the photos measured with it. */
struct measure_answers {
    struct measure_answer answer;
    struct measure_answer other[OTHERS_MOST];
};

#define COPY_MAX_BYTES (128u << 20)

/* A corrected copy, from the same child. */
struct measure_copy {
    struct measure_answer answer;
    size_t size;
    unsigned char jpeg[COPY_MAX_BYTES];
};

/* One form. A row of it is a box and whose it is; an empty one is none. */
struct measure_job {
    struct record photo;
    char *path;
    bool save, copy;    /* to be kept; a corrected copy is wanted */
    bool read;          /* the form could be read */
    const char *blamed; /* the field to put right, in the row below; or NULL */
    size_t blamed_row;
    struct measure_request request;
    size_t row_of[MEASURE_MAX_REGIONS]; /* region to row of the form */
    struct box box[MEASURE_MAX_REGIONS];
    struct photo_place place[MEASURE_MAX_REGIONS];
    bool yarn[MEASURE_MAX_REGIONS];      /* it is somebody's */
    char label[MEASURE_MAX_REGIONS][80]; /* "skein 137", "box 2" */
    int64_t card_id;
    struct known_places known;
    size_t known_of[KNOWN_MOST]; /* row to place of them, from 1; 0: none */
    struct camera *cameras;      /* the book knows */
    bool keep_camera;
    int64_t camera_id; /* kept */
    const char *assume;
    bool wet;
    /* Photos of the same skeins before this one, whose forms it carries. */
    struct measure_job *other[OTHERS_MOST];
    size_t others;
    struct pairs form; /* of one of those */
    struct joined *joined;
    size_t joined_count;
    /* What is to be looked for, and what came of it: NULL when nothing was. */
    struct find_wanted find;
    struct find_tap tap;
    const struct find_result *found;
    bool in_order; /* they were given the rows of the photo before */
    bool measured; /* the rows are readings that are kept of this photo */
};

void measure_job_free(struct measure_job *job);

/* Reads the form; what is wrong names its field in the job. */
bool measure_read(struct request *r, struct measure_job *job,
                  struct error *err);

/* How many rows the form has. */
size_t measure_rows(const struct request *r);

/*
 * Writes the page of a photo with the form as it is in r->form.
 *
 * answer  what was measured, or NULL
 * why     what to put right, or NULL
 */
bool measure_form(struct request *r, const struct measure_job *job,
                  const struct measure_answer *answer, const struct error *why,
                  struct error *err);

#endif
