/* A record of a file that came, and is not here yet. See take.h. */
#include "book/take.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/kept.h"
#include "book/photo.h"
#include "book/record.h"
#include "photo/photo.h"

#define SKEINS_TOLD 12

char *take_key(const struct row_table *table, size_t key,
               const struct take_record *r)
{
    char name[32];
    size_t at;
    const struct row_column *c;

    snprintf(name, sizeof name, "%.*s",
             (int)(strlen(table->column[key].name) - strlen("_key")),
             table->column[key].name);
    c = take_column(table, name, &at);
    if (!c || r->value[at].is != TAKE_TEXT)
        return NULL;
    return c->field->kind == FIELD_CODE ? code_key(r->value[at].text)
                                        : text_fold(r->value[at].text);
}

/* ---- names that are there already ---------------------------------------- */

/* Which record has a name; of a material, or of that dyer where names are each
 * dyer's own. 0: none, or names need not be unlike. */
static bool by_name(struct take *t, enum noun_id noun, int64_t dyer,
                    const char *name, int64_t *id, struct error *err)
{
    const bool owned = nouns[noun].owner != NULL;
    struct text sql = {0};
    struct stmt q;
    bool row = false, ok;
    char *key;

    *id = 0;
    if (noun == NOUN_MATERIAL || noun == NOUN_ALIAS)
        text_add(&sql, "SELECT id FROM material WHERE name_key = :key AND "
                       "withdrawn = 0 UNION ALL SELECT a.material_id FROM "
                       "alias a JOIN material m ON m.id = a.material_id WHERE "
                       "a.name_key = :key AND a.withdrawn = 0 AND m.withdrawn "
                       "= 0");
    else if (noun == NOUN_FIBRE || noun == NOUN_WATER || noun == NOUN_CARD ||
             noun == NOUN_PROJECT)
        text_addf(&sql,
                  "SELECT id FROM %s WHERE name_key = :key AND withdrawn = 0 "
                  "AND dyer_id = :dyer",
                  nouns[noun].name);
    else if (noun == NOUN_DYER)
        text_add(&sql, "SELECT id FROM dyer WHERE fold(name) = :key AND "
                       "withdrawn = 0");
    else
        return true;
    ok = stmt_prepare(t->book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    key = text_fold(name);
    stmt_text(&q, ":key", key);
    if (owned)
        stmt_int(&q, ":dyer", dyer);
    ok = stmt_step(&q, &row, err);
    if (ok) {
        *id = row ? stmt_get_int(&q, 0) : 0;
        stmt_done(&q);
    }
    free(key);
    return ok;
}

bool take_name_taken(struct take *t, enum noun_id noun, int64_t dyer,
                     const char *name, int64_t but, bool *taken,
                     struct error *err)
{
    int64_t id;

    if (!by_name(t, noun, dyer, name, &id, err))
        return false;
    *taken = id && id != but;
    return true;
}

/* Gives it a name nobody has: "dock (Aino)", "dock (Aino 2)" ... The name is
 * put into the record's json, where its text lies. */
static bool give_name(struct take *t, struct take_record *r, size_t name,
                      struct error *err)
{
    const char *was = r->value[name].text;
    char *there = mem_text(was);
    struct text is = {0};
    bool taken = true, ok = true;
    size_t dyer;
    const int64_t whose =
        take_column(r->table, "dyer_id", &dyer) ? r->value[dyer].whole : 0;

    for (int n = 1; ok && taken; n++) {
        text_reset(&is);
        if (r->table->noun->id == NOUN_DYER)
            text_addf(&is, "%s (%d)", there, n + 1);
        else if (n == 1)
            text_addf(&is, "%s (%s)", there, t->taken->from);
        else
            text_addf(&is, "%s (%s %d)", there, t->taken->from, n);
        ok = take_name_taken(t, r->table->noun->id, whose, text_str(&is), 0,
                             &taken, err);
    }
    if (ok) {
        json_object_set_new(r->json, "name", json_string(text_str(&is)));
        r->value[name].text =
            json_string_value(json_object_get(r->json, "name"));
        t->taken->count[EXCHANGE_RENAMED]++;
        take_tell(t, EXCHANGE_RENAMED, r->table->noun, mem_text(text_str(&is)),
                  "Name", mem_text(text_str(&is)), mem_text(there));
    }
    text_clear(&is);
    free(there);
    return ok;
}

/* Whether it can be one thing with a material of the same name: of one kind,
 * and not known to be another species. */
static bool is_same_material(struct take *t, const struct take_record *r,
                             int64_t id, bool *is, struct error *err)
{
    size_t kind = 0, latin = 0, none = 0;
    struct stmt q;
    bool row = false;

    take_column(r->table, "kind", &kind);
    take_column(r->table, "latin", &latin);
    take_column(r->table, "none", &none);
    if (!stmt_begin(t->book, STMT_CAME_MATERIAL, &q, err))
        return false;
    stmt_int(&q, ":id", id);
    take_bind(&q, ":kind", &r->value[kind]);
    take_bind(&q, ":latin", &r->value[latin]);
    take_bind(&q, ":none", &r->value[none]);
    if (!stmt_step(&q, &row, err))
        return false;
    *is = row;
    stmt_done(&q);
    return true;
}

static bool no_mordant(struct take *t, int64_t *id, struct error *err)
{
    struct stmt q;
    bool row = false;

    if (!stmt_begin(t->book, STMT_CAME_NONE, &q, err) ||
        !stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static bool adopt_material(struct take *t, struct take_record *r, size_t name,
                           int64_t *id, struct error *err)
{
    size_t none = 0;
    bool is = true;

    take_column(r->table, "none", &none);
    if (r->value[none].whole)
        return no_mordant(t, id, err);
    if (!by_name(t, NOUN_MATERIAL, 0, r->value[name].text, id, err))
        return false;
    if (*id && !is_same_material(t, r, *id, &is, err))
        return false;
    if (!*id || is)
        return true;
    *id = 0;
    return give_name(t, r, name, err);
}

/* A name of its material that is known here already adds nothing; one that
 * means another material here is told. */
static bool adopt_alias(struct take *t, const struct take_record *r,
                        size_t name, bool *drop, struct error *err)
{
    size_t at = 0;
    const struct row_column *c = take_column(r->table, "material_id", &at);
    struct take_value here = {.is = TAKE_WHOLE};

    if (!by_name(t, NOUN_ALIAS, 0, r->value[name].text, &here.whole, err))
        return false;
    *drop = here.whole != 0;
    if (here.whole == r->value[at].whole) {
        t->taken->same++;
    } else if (*drop) {
        t->taken->count[EXCHANGE_YOURS]++;
        take_tell(t, EXCHANGE_YOURS, r->table->noun,
                  mem_text(r->value[name].text), c->field->title,
                  take_words(t, c, &here), take_words(t, c, &r->value[at]));
    }
    return true;
}

/* The same picture, whoever's copy it is. */
static bool adopt_photo(struct take *t, const struct take_record *r,
                        int64_t *id, struct error *err)
{
    size_t sha = 0, original = 0;
    struct stmt q;
    bool row = false;

    take_column(r->table, "sha256", &sha);
    take_column(r->table, "original_sha256", &original);
    if (!stmt_begin(t->book, STMT_CAME_PHOTO, &q, err))
        return false;
    take_bind(&q, ":sha256", &r->value[sha]);
    take_bind(&q, ":original", &r->value[original]);
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

bool take_adopt(struct take *t, struct take_record *r, int64_t *id, bool *drop,
                struct error *err)
{
    const enum noun_id noun = r->table->noun->id;
    size_t name = 0, dyer = 0;
    int64_t whose = 0;
    bool taken;

    *id = 0;
    if (noun == NOUN_PHOTO)
        return adopt_photo(t, r, id, err);
    if (!take_column(r->table, "name", &name) || r->value[name].is != TAKE_TEXT)
        return true;
    if (noun == NOUN_MATERIAL)
        return adopt_material(t, r, name, id, err);
    if (noun == NOUN_ALIAS)
        return adopt_alias(t, r, name, drop, err);
    if (take_column(r->table, "dyer_id", &dyer))
        whose = r->value[dyer].whole;
    if (noun == NOUN_DYER || noun == NOUN_PROJECT) /* two of one name are two */
        return take_name_taken(t, noun, whose, r->value[name].text, 0, &taken,
                               err) &&
               (!taken || give_name(t, r, name, err));
    return by_name(t, noun, whose, r->value[name].text, id, err);
}

/* ---- photos -------------------------------------------------------------- */

static bool wrong_photo(const struct take_record *r, const char *why,
                        struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "photo %zu of the file %s: ask for the file again",
                     r->number, why);
}

static bool is_as_said(const struct take_record *r, const char *name,
                       uint32_t is)
{
    size_t at = 0;

    take_column(r->table, name, &at);
    return r->value[at].is == TAKE_NONE || r->value[at].whole == is;
}

static bool check_photo(const struct take_record *r, const unsigned char *data,
                        size_t size, struct error *err)
{
    struct photo photo;
    struct error why;
    uint32_t w, h;
    bool ok;

    if (!is_as_said(r, "bytes", (uint32_t)size))
        return wrong_photo(r, "is not the one it says it is", err);
    if (!photo_open(data, size, &photo, &why))
        return wrong_photo(r, "is no photo", err);
    photo_upright_size(&photo, &w, &h);
    ok = is_as_said(r, "width_px", w) && is_as_said(r, "height_px", h);
    photo_clear(&photo);
    return ok || wrong_photo(r, "has another size than it says", err);
}

/* Reads it out of the file, and keeps it unless it is only looked at. */
static bool take_photo(struct take *t, const struct take_record *r,
                       struct error *err)
{
    struct text name = {0};
    unsigned char *data = NULL, sha256[32];
    struct kept_file kept;
    size_t at = 0, size = 0;
    bool ok;

    take_column(r->table, "sha256", &at);
    text_addf(&name, "%sphotos/", t->folder);
    for (int i = 0; i < 32; i++)
        text_addf(&name, "%02x", r->value[at].bytes[i]);
    text_add(&name, ".jpg");
    ok = archive_read(t->archive, text_str(&name), PHOTO_MAX_BYTES, &data,
                      &size, err);
    text_clear(&name);
    if (!ok)
        return false;
    kept_hash(data, size, sha256);
    if (memcmp(sha256, r->value[at].bytes, 32) != 0)
        ok = wrong_photo(r, "is not what it was when it was packed", err);
    ok = ok && check_photo(r, data, size, err) &&
         (t->look || photo_keep(t->book, data, size, &kept, err));
    free(data);
    return ok;
}

/* ---- adding -------------------------------------------------------------- */

/* A number of that dyer that is taken gives way to the next free one. */
static bool free_number(struct take *t, struct take_record *r,
                        struct error *err)
{
    const bool skein = r->table->noun->id == NOUN_SKEIN;
    struct take_value *v;
    size_t number, dyer;
    struct stmt q;
    bool row = false;

    if (!take_column(r->table, "number", &number) ||
        !take_column(r->table, "dyer_id", &dyer))
        return true; /* steps are numbered within their project */
    v = &r->value[number];
    if (!stmt_begin(t->book, skein ? STMT_CAME_SKEIN : STMT_CAME_BATH, &q, err))
        return false;
    stmt_int(&q, ":dyer", r->value[dyer].whole);
    stmt_int(&q, ":number", v->whole);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row && !stmt_is_null(&q, 0)) {
        char words[2][24];
        snprintf(words[0], sizeof words[0], "%lld",
                 (long long)stmt_get_int(&q, 0));
        snprintf(words[1], sizeof words[1], "%lld", (long long)v->whole);
        v->whole = stmt_get_int(&q, 0);
        t->taken->count[EXCHANGE_RENAMED]++;
        take_tell(t, EXCHANGE_RENAMED, r->table->noun, mem_text(words[0]),
                  "Number", mem_text(words[0]), mem_text(words[1]));
    }
    stmt_done(&q);
    return true;
}

static bool insert(struct take *t, const struct take_record *r, int64_t *id,
                   struct error *err)
{
    const struct row_table *table = r->table;
    struct text sql = {0}, marks = {0};
    struct stmt q = {0};
    bool ok;

    text_addf(&sql, "INSERT INTO %s (uid, withdrawn", table->noun->name);
    for (size_t i = 0; i < table->count; i++)
        if (!table->column[i].own) {
            text_addf(&sql, ", %s", table->column[i].name);
            text_addf(&marks, ", :%s", table->column[i].name);
        }
    text_addf(&sql, ") VALUES (:uid, :withdrawn%s)", text_str(&marks));
    ok = stmt_prepare(t->book, text_str(&sql), &q, err);
    text_clear(&sql);
    text_clear(&marks);
    if (!ok)
        return false;
    stmt_blob(&q, ":uid", r->uid, 16);
    stmt_int(&q, ":withdrawn", r->withdrawn);
    for (size_t i = 0; i < table->count; i++) {
        char name[40], *key = NULL;
        if (table->column[i].own)
            continue;
        snprintf(name, sizeof name, ":%s", table->column[i].name);
        if (table->column[i].key) {
            key = take_key(table, i, r);
            stmt_text(&q, name, key);
        } else {
            take_bind(&q, name, &r->value[i]);
        }
        free(key);
    }
    ok = stmt_run(&q, err);
    if (!ok &&
        (sqlite3_extended_errcode(t->book->db) & 0xFF) == SQLITE_CONSTRAINT)
        error_set(err, ERR_INPUT,
                  "in the file, the facts of %s %zu do not go together: ask "
                  "for it again",
                  table->noun->name, r->number);
    *id = sqlite3_last_insert_rowid(t->book->db);
    return ok;
}

/* What a record names besides its skein has to be of that skein. */
static bool is_of_skein(struct take *t, const struct take_record *r,
                        const char *column, enum stmt_id whose,
                        const char *skein, struct error *err)
{
    size_t at, of = 0;
    struct stmt q;
    bool row = false;

    if (!take_column(r->table, column, &at) || r->value[at].is == TAKE_NONE)
        return true;
    take_column(r->table, skein, &of);
    if (!stmt_begin(t->book, whose, &q, err))
        return false;
    stmt_int(&q, ":of", r->value[at].whole);
    if (!stmt_step(&q, &row, err))
        return false;
    row = row && stmt_get_int(&q, 0) == r->value[of].whole;
    stmt_done(&q);
    return row || error_set(err, ERR_INPUT,
                            "in the file, %s %zu is after a step, or by a "
                            "reading, of another skein: ask for it again",
                            r->table->noun->name, r->number);
}

bool take_check(struct take *t, const struct take_record *r, struct error *err)
{
    const char *skein =
        r->table->noun->id == NOUN_ORIGIN ? "parent_id" : "skein_id";

    return is_of_skein(t, r, "after_entry_id", STMT_ENTRY_SKEIN, skein, err) &&
           is_of_skein(t, r, "before_id", STMT_READING_SKEIN, skein, err) &&
           is_of_skein(t, r, "after_id", STMT_READING_SKEIN, skein, err);
}

static bool tell_skein(struct take *t, int64_t id, struct error *err)
{
    struct text label = {0};

    if (t->taken->fresh[NOUN_SKEIN] > SKEINS_TOLD)
        return true;
    text_add(&label, t->taken->skeins);
    if (label.len)
        text_add(&label, ", ");
    if (t->taken->fresh[NOUN_SKEIN] == SKEINS_TOLD)
        text_add(&label, "...");
    else if (!record_label(t->book, NOUN_SKEIN, id, &label, err))
        return false;
    free(t->taken->skeins);
    t->taken->skeins = text_take(&label);
    return true;
}

bool take_new(struct take *t, struct take_record *r, struct error *err)
{
    const enum noun_id noun = r->table->noun->id;
    int64_t id;

    if ((noun == NOUN_PHOTO && !take_photo(t, r, err)) ||
        !take_check(t, r, err) || !free_number(t, r, err) ||
        !insert(t, r, &id, err) || !take_note(t, r, id, err))
        return false;
    t->taken->fresh[noun]++;
    return noun != NOUN_SKEIN || tell_skein(t, id, err);
}
