/* What the files of "hanklab measure" share. */
#ifndef HANKLAB_CLI_MEASURE_H
#define HANKLAB_CLI_MEASURE_H

#include "base/json.h"
#include "book/known.h"
#include "book/record.h"
#include "cli/cli.h"
#include "cli/measure_find.h"
#include "draw/terminal.h"
#include "measure/measure.h"

/* One --region, --skein or --fibre, in the order given. */
struct measure_place {
    const char *words; /* as typed, before the box: "137", or NULL */
    int64_t skein_id, fibre_id;
    long long number; /* of the skein, 0 for others */
    char label[64];   /* "137", "Aino/137", cut short */
    int64_t reading_id;
};

/* One photo and what was asked of it. */
struct measure_job {
    struct measure_place place[MEASURE_MAX_REGIONS];
    struct box box[MEASURE_MAX_REGIONS];
    bool yarn[MEASURE_MAX_REGIONS]; /* it is kept as some yarn's */
    struct taps taps;
    size_t places;
    bool stores;            /* something is to be kept in the book */
    struct camera *cameras; /* the book knows */
    int64_t camera_id;      /* kept */
    struct measure_request request;
    struct known_places known;
    int64_t card_id;
    unsigned char *data;
    size_t size;
    struct measure_result *result; /* filled once it was measured */
};

struct measure_job *measure_job_new(void);
void measure_job_free(struct measure_job *job); /* NULL allowed */

/* Reads the options given and measures the photo; keeps nothing. */
bool measure_job_do(struct cli *cli, const char *path, struct measure_job *job,
                    struct error *err);

/* Its parts, for another command that measures a place: a box or a tap, the
 * next of the job's; where the card lies, --card-box or --card-tap; what it is,
 * --card, --card-lab and --card-u; --assume-profile; the book's cameras, if
 * there is a book. Then the photo is measured. All options of measure are read
 * by measure_request_read. */
bool measure_where_read(struct measure_job *job, const char *words,
                        const char *option, struct error *err);
bool measure_card_place_read(struct cli *cli, struct measure_job *job,
                             struct error *err);
bool measure_card_read(struct cli *cli, struct measure_job *job,
                       struct error *err);
bool measure_profile_read(struct cli *cli, struct measure_job *job,
                          struct error *err);
bool measure_cameras_read(struct cli *cli, struct measure_job *job,
                          struct error *err);
bool measure_job_run(const char *path, struct measure_job *job,
                     struct error *err);

bool measure_request_read(struct cli *cli, struct measure_job *job,
                          struct error *err);

/* Keeps what is to be kept of a photo that was measured. */
bool measure_keep(struct cli *cli, struct measure_job *job, struct error *err);

/* Several photos of the same skeins: --and, --set. */
bool measure_set(struct cli *cli, struct error *err);

/* Many photos, each for itself: --list. */
bool measure_list(struct cli *cli, struct error *err);

/* Who it is in "137=X,Y,W,H"; ERR_INPUT, ERR_MISSING. */
bool measure_owner_read(struct cli *cli, const char *option, const char *words,
                        enum noun_id noun, struct measure_place *place,
                        struct error *err);

/* Whether any place was given that could do as the card. */
bool measure_known_given(const struct cli *cli);

bool measure_known_read(struct cli *cli, struct known_places *out,
                        struct error *err);

/* "method" and what else says how good the correction is. */
void measure_method_json(struct json *j, const struct measure_method *method);

/* One line for people; nothing where the card was alone. */
void measure_method_tell(struct text *out, const struct measure_method *method);

/* ---- telling: src/cli/measure_tell.c ------------------------------------ */

#define MEASURE_COLOUR "CIELAB, D50, 2 degree, from a photo"

/* "skein 137", "grey wool", "region 2". */
void measure_json_skein(struct json *j, const struct measure_place *place);
void measure_label(const struct measure_place *place, size_t nth, char *out,
                   size_t size);

/* Members of the open object: "photo", "card", "method" and "readings"; a
 * colour; "notes". */
void measure_json_photo(struct json *j, const struct measure_job *job);
void measure_json_colour(struct json *j, const struct measure_region *region);
void measure_json_notes(struct json *j, const struct measure_notes *notes);

void measure_table_begin(struct text_table *t);
void measure_table_add(struct text_table *t, const char *who,
                       const struct measure_region *region);
void measure_table_end(struct cli *cli, struct text_table *t);
void measure_tell_notes(struct cli *cli, const char *who,
                        const struct measure_notes *notes);

/* A photo that is older than what was done last to the skein in it, and one
 * that it was measured in before. */
bool measure_tell_doubt(struct cli *cli, const char *who, int64_t reading,
                        struct error *err);

/* All of one photo; a refusal also on standard error. */
bool measure_tell(struct cli *cli, const struct measure_job *job,
                  struct error *err);
void measure_refuse_json(struct cli *cli, const struct measure_notes *notes,
                         const struct error *err);

#endif
