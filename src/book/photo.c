/* Pictures kept in the book. See book/photo.h. */
#include "book/photo.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/face.h"
#include "book/kept.h"
#include "book/store.h"

/* The folder of pictures; a book in memory has none. */
static bool has_folder(const struct book *book)
{
    return strcmp(book->dir, ":memory:") != 0;
}

char *photo_path(const struct book *book, const unsigned char sha256[32])
{
    return kept_path(book->dir, sha256);
}

bool photo_keep(struct book *book, const unsigned char *data, size_t size,
                struct kept_file *out, struct error *err)
{
    kept_hash(data, size, out->sha256);
    out->bytes = size;
    return !has_folder(book) ||
           kept_write(book->dir, out->sha256, data, size, err);
}

/* A text column, NULL when there is nothing to say. */
static void some_text(struct stmt *q, const char *name, const char *s)
{
    stmt_text(q, name, s && *s ? s : NULL);
}

/* "2026-05-03 14:05:06" fills the day columns; anything else is no day. */
static void bind_day(struct stmt *q, const char *taken)
{
    char day[11] = "";

    if (taken && strlen(taken) >= 10)
        snprintf(day, sizeof day, "%.10s", taken);
    some_text(q, ":on_words", taken);
    some_text(q, ":on_day", day);
}

bool photo_record(struct book *book, const struct kept_file *file,
                  const struct photo_facts *facts, int64_t *id,
                  struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_PHOTO_FIND, &q, err))
        return false;
    stmt_blob(&q, ":sha256", file->sha256, 32);
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    if (*id) {
        if (!stmt_begin(book, STMT_PHOTO_BACK, &q, err))
            return false;
        stmt_int(&q, ":id", *id);
        some_text(&q, ":profile", facts->profile);
        return stmt_run(&q, err);
    }
    if (!stmt_begin(book, STMT_PHOTO_ADD, &q, err))
        return false;
    stmt_int(&q, ":dyer", book->dyer_id);
    stmt_blob(&q, ":sha256", file->sha256, 32);
    stmt_int(&q, ":bytes", (int64_t)file->bytes);
    stmt_id(&q, ":width", facts->width);
    stmt_id(&q, ":height", facts->height);
    stmt_id(&q, ":orientation", facts->orientation);
    some_text(&q, ":camera", facts->camera);
    some_text(&q, ":profile", facts->profile);
    bind_day(&q, facts->taken);
    stmt_text(&q, ":shows", facts->shows);
    stmt_int(&q, ":has_gps", facts->has_gps);
    if (!stmt_run(&q, err))
        return false;
    *id = sqlite3_last_insert_rowid(book->db);
    return true;
}

static void bind_cov(struct stmt *q, const char *prefix, struct cov3 c)
{
    static const char *const axis[] = {"LL", "La", "Lb", "aa", "ab", "bb"};
    double v[] = {c.LL, c.La, c.Lb, c.aa, c.ab, c.bb};
    char name[16];

    for (int i = 0; i < 6; i++) {
        snprintf(name, sizeof name, ":%s_%s", prefix, axis[i]);
        stmt_real(q, name, v[i]);
    }
}

static void bind_lab(struct stmt *q, const char *prefix, struct lab c)
{
    static const char axis[] = "Lab";
    double v[] = {c.L, c.a, c.b};
    char name[16];

    for (int i = 0; i < 3; i++) {
        snprintf(name, sizeof name, ":%s%c", prefix, axis[i]);
        stmt_real(q, name, v[i]);
    }
}

bool photo_region_add(struct book *book, const struct photo_reading *r,
                      int64_t reading, struct error *err)
{
    struct text notes = {0};
    struct stmt q;
    bool ok;

    if (!stmt_begin(book, STMT_REGION_ADD, &q, err))
        return false;
    for (size_t i = 0; i < r->region->notes.count; i++)
        text_addf(&notes, "%s%s", i ? "\n" : "", r->region->notes.text[i]);
    stmt_int(&q, ":reading", reading);
    stmt_int(&q, ":photo", r->photo_id);
    stmt_int(&q, ":x", r->box.x);
    stmt_int(&q, ":y", r->box.y);
    stmt_int(&q, ":w", r->box.w);
    stmt_int(&q, ":h", r->box.h);
    stmt_int(&q, ":card_x", r->card_box.x);
    stmt_int(&q, ":card_y", r->card_box.y);
    stmt_int(&q, ":card_w", r->card_box.w);
    stmt_int(&q, ":card_h", r->card_box.h);
    some_text(&q, ":profile", r->assumed_profile);
    bind_lab(&q, "", r->region->lab);
    some_text(&q, ":notes", notes.s);
    some_text(&q, ":known", r->known);
    ok = stmt_run(&q, err);
    text_clear(&notes);
    return ok;
}

/* The last step of the skein's life, unless one was named. */
static bool last_entry(struct book *book, const struct photo_reading *r,
                       int64_t *entry, struct error *err)
{
    struct stmt q;
    bool row;

    *entry = r->after_entry_id;
    if (*entry || !r->skein_id)
        return true;
    if (!stmt_begin(book, STMT_ENTRY_LAST, &q, err))
        return false;
    stmt_int(&q, ":of", r->skein_id);
    if (!stmt_step(&q, &row, err))
        return false;
    *entry = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

bool photo_reading_add(struct book *book, const struct photo_reading *r,
                       int64_t *id, struct error *err)
{
    const struct measure_region *says = r->mean ? r->mean : r->region;
    struct stmt q;
    int64_t entry;

    if (!last_entry(book, r, &entry, err) ||
        !stmt_begin(book, STMT_READING_ADD, &q, err))
        return false;
    stmt_int(&q, ":dyer", book->dyer_id);
    stmt_id(&q, ":skein", r->skein_id);
    stmt_id(&q, ":after", entry);
    stmt_id(&q, ":fibre", r->fibre_id);
    stmt_text(&q, ":part", r->part);
    stmt_int(&q, ":wet", r->wet);
    bind_lab(&q, "", says->lab);
    bind_cov(&q, "set", says->set);
    bind_cov(&q, "abs", says->abs);
    bind_lab(&q, "level_", says->level);
    stmt_id(&q, ":card", r->card_id);
    bind_lab(&q, "card_", r->card);
    stmt_int(&q, ":method", MEASURE_METHOD);
    some_text(&q, ":corrected_by", r->corrected_by);
    bind_day(&q, r->taken);
    if (!stmt_run(&q, err))
        return false;
    *id = sqlite3_last_insert_rowid(book->db);
    return photo_region_add(book, r, *id, err);
}

bool photo_reading_again(struct book *book, int64_t reading, int64_t *before,
                         struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_READING_AGAIN, &q, err))
        return false;
    stmt_int(&q, ":of", reading);
    if (!stmt_step(&q, &row, err))
        return false;
    *before = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static void say_edit(int64_t reading, const char *field, const char *words,
                     struct text *out)
{
    char id[24];

    snprintf(id, sizeof id, "%lld", (long long)reading);
    face_edit(NOUN_READING, id, field, words, out);
}

/* Of the whole of a skein that was dipped in part. */
static bool add_part_doubt(struct book *book, int64_t reading, struct text *out,
                           struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_READING_PART_DOUBT, &q, err))
        return false;
    stmt_int(&q, ":of", reading);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        text_addf(out,
                  "%sonly a part (%s) was in the last step; if one part was "
                  "measured, say which, dipped or rest: ",
                  out->len ? "; " : "", stmt_get_text(&q, 0));
        say_edit(reading, "part", NULL, out);
    }
    stmt_done(&q);
    return true;
}

bool photo_reading_doubt(struct book *book, int64_t reading, struct text *out,
                         struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_READING_DOUBT, &q, err))
        return false;
    stmt_int(&q, ":of", reading);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        text_addf(out, "the photo is of %s, the last step (%s) of ",
                  stmt_get_text(&q, 0), stmt_get_text(&q, 1));
        text_addf(out, "%s; if the picture was taken before that, say so: ",
                  stmt_get_text(&q, 2));
        say_edit(reading, "after-entry",
                 stmt_is_null(&q, 3) ? "" : stmt_get_text(&q, 3), out);
    }
    stmt_done(&q);
    return add_part_doubt(book, reading, out, err);
}

bool card_values(struct book *book, int64_t *id, struct measure_card *out,
                 struct error *err)
{
    struct stmt q;
    bool row, asked = *id != 0;

    if (!stmt_begin(book, asked ? STMT_CARD : STMT_CARD_USUAL, &q, err))
        return false;
    if (asked)
        stmt_int(&q, ":id", *id);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = measure_card_unknown();
    if (row && !stmt_is_null(&q, 1)) {
        *id = stmt_get_int(&q, 0);
        out->lab = (struct lab){stmt_get_real(&q, 1), stmt_get_real(&q, 2),
                                stmt_get_real(&q, 3)};
        out->known = true;
        if (!stmt_is_null(&q, 4)) {
            out->uL = stmt_get_real(&q, 4);
            out->ua = stmt_get_real(&q, 5);
            out->ub = stmt_get_real(&q, 6);
        } else { /* stated without a width */
            out->uL = 0.5;
            out->ua = out->ub = 0.3;
        }
    } else if (row) {
        *id = stmt_get_int(&q, 0); /* a card without values is an unknown one */
    } else if (!asked) {
        *id = 0;
    }
    stmt_done(&q);
    return true;
}

bool fibre_values(struct book *book, int64_t id, struct measure_card *out,
                  struct error *err)
{
    struct stmt q;

    *out = measure_card_unknown();
    if (!stmt_begin(book, STMT_FIBRE_COLOUR, &q, err))
        return false;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &out->known, err))
        return false;
    if (out->known) {
        out->lab = (struct lab){stmt_get_real(&q, 0), stmt_get_real(&q, 1),
                                stmt_get_real(&q, 2)};
        out->uL = out->ua = out->ub = 1; /* as between photo and instrument */
        if (!stmt_is_null(&q, 3)) {
            out->uL = sqrt(stmt_get_real(&q, 3));
            out->ua = sqrt(stmt_get_real(&q, 4));
            out->ub = sqrt(stmt_get_real(&q, 5));
        }
    }
    stmt_done(&q);
    return true;
}
