/* What notes say, kept for looking up by their words. See said.h. */
#include "book/said.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static_assert(NOUN_COUNT <= 64, "a kind has no place in the rowid");

/* ---- keeping ---------------------------------------------------------------
 */

static bool run(struct book *book, struct text *sql,
                const struct touched_kind *k, struct error *err)
{
    struct stmt q;
    bool ok = stmt_prepare(book, text_str(sql), &q, err);

    text_clear(sql);
    if (!ok)
        return false;
    if (sqlite3_bind_parameter_index(q.st, ":act"))
        stmt_int(&q, ":act", book->act_id);
    if (k) {
        stmt_int(&q, ":from", k->from);
        stmt_int(&q, ":to", k->to);
    }
    return stmt_run(&q, err);
}

static void add_insert(struct text *sql, const struct noun *noun)
{
    text_addf(sql,
              "INSERT INTO said (rowid, note, of_table) SELECT id * 64 + %d,"
              " note, '%s' FROM %s WHERE note IS NOT NULL AND withdrawn = 0",
              (int)noun->id, noun->name, noun->name);
}

/* Those that are new in the open act. */
static bool add_new(struct book *book, const struct noun *noun,
                    const struct touched_kind *k, struct error *err)
{
    struct text sql = {0};

    add_insert(&sql, noun);
    text_add(&sql, " AND id BETWEEN :from AND :to");
    return run(book, &sql, k, err);
}

/* Those whose note is another now. */
static bool renew(struct book *book, const struct noun *noun,
                  const struct touched_kind *k, struct error *err)
{
    struct text sql = {0}, which = {0};
    bool ok;

    text_addf(&which,
              "(SELECT row_id FROM history WHERE act_id = :act AND of_table ="
              " '%s' AND field IN ('note', 'withdrawn') AND row_id NOT BETWEEN"
              " :from AND :to)",
              noun->name);
    text_addf(&sql,
              "DELETE FROM said WHERE rowid IN (SELECT row_id * 64 + %d FROM"
              " %s)",
              (int)noun->id, text_str(&which));
    ok = run(book, &sql, k, err);
    add_insert(&sql, noun);
    text_addf(&sql, " AND id IN %s", text_str(&which));
    ok = ok && run(book, &sql, k, err);
    text_clear(&sql);
    text_clear(&which);
    return ok;
}

bool said_refresh(struct book *book, const struct touched *t, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < noun_count; i++) {
        const struct touched_kind *k = &t->of[i];
        if (!noun_field(&nouns[i], "note"))
            continue;
        ok = (k->to < 0 || add_new(book, &nouns[i], k, err)) &&
             (!k->noted || renew(book, &nouns[i], k, err));
    }
    return ok;
}

/* The index is made from the table first: a broken one could not be emptied. */
bool said_rebuild(struct book *book, struct error *err)
{
    bool ok = store_exec(book,
                         "INSERT INTO said (said) VALUES ('rebuild');"
                         " DELETE FROM said",
                         err);

    for (size_t i = 0; ok && i < noun_count; i++) {
        struct text sql = {0};
        if (!noun_field(&nouns[i], "note"))
            continue;
        add_insert(&sql, &nouns[i]);
        ok = run(book, &sql, NULL, err);
    }
    return ok;
}

/* ---- asking ----------------------------------------------------------------
 */

/* A letter or digit of any script: what is not ASCII is taken for one. */
static bool is_letter(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') ||
           (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* A word between double quotes is a word, whatever stands in it. What is no
 * letter or digit parts words, so that it is left out here. */
bool said_asked(const char *words, char *out, size_t size, struct error *err)
{
    struct text t = {0};
    bool any = false, ok;

    text_add(&t, out);
    for (const char *s = words; *s;) {
        size_t n = 0;
        while (is_letter(s[n]))
            n++;
        if (n) {
            text_add(&t, t.len ? " \"" : "\"");
            text_add_n(&t, s, n);
            text_add(&t, "\"*");
            any = true;
        }
        s += n ? n : 1;
    }
    ok = any ? t.len < size ||
                   error_set(err, ERR_LIMIT,
                             "text: that is too long; the words that matter "
                             "are enough")
             : error_set(err, ERR_INPUT,
                         "text: write words of a note, not \"%s\"", words);
    if (ok)
        memcpy(out, text_str(&t), t.len + 1);
    text_clear(&t);
    return ok;
}

/* Notes of one kind of record, and those records; the rest of a line is looked
 * up from these, so that none begins with a look at all there is. */
#define HIT(table) "FROM hit WHERE hit.kind = :of_" table
#define HIT_X(table)                                                           \
    "FROM hit CROSS JOIN " table " x ON hit.kind = :of_" table " AND x.id = "  \
    "hit.id"
/* Beyond any step. */
#define ALONE ", 1000000000 "

/* By way of doses (d), baths from a round on (b) and treatments (t), a way a
 * line. */
/* clang-format off */
const char said_skeins[] =
    "WITH hit AS MATERIALIZED (SELECT rowid % 64 AS kind, rowid / 64 AS id FROM said WHERE said MATCH :text),"
    " d (id) AS (SELECT hit.id " HIT("dose")
    " UNION SELECT d.id " HIT_X("material") " CROSS JOIN dose d ON d.material_id = x.id"
    " UNION SELECT d.id " HIT_X("alias") " CROSS JOIN dose d ON d.material_id = x.material_id"
    " UNION SELECT d.id " HIT_X("supply") " CROSS JOIN dose d ON d.supply_id = x.id),"
    " b (id, since) AS (SELECT hit.id, 0 " HIT("bath")
    " UNION SELECT b.id, 0 " HIT_X("water") " CROSS JOIN bath b ON b.water_id = x.id"
    " UNION SELECT x.bath_id, 0 " HIT_X("extraction")
    " UNION SELECT x.bath_id, coalesce(x.before_round, 0) " HIT_X("pour")
    " UNION SELECT x.bath_id, 0 " HIT_X("ph") " WHERE x.treatment_id IS NULL"
    " UNION SELECT bath_id, coalesce(before_round, 0) FROM d CROSS JOIN dose USING (id) WHERE withdrawn = 0 AND bath_id IS NOT NULL),"
    " t (id) AS (SELECT hit.id " HIT("treatment")
    " UNION SELECT x.treatment_id " HIT_X("ph") " WHERE x.treatment_id IS NOT NULL"
    " UNION SELECT treatment_id FROM d CROSS JOIN dose USING (id) WHERE withdrawn = 0 AND treatment_id IS NOT NULL"
    " UNION SELECT t.id FROM b CROSS JOIN treatment t ON t.bath_id = b.id AND (t.round IS NULL OR b.since <= t.round))"
    " SELECT s.skein_id, s.ordinal FROM t CROSS JOIN step s ON s.treatment_id = t.id"
    " UNION ALL SELECT s.skein_id, s.ordinal " HIT_X("entry") " CROSS JOIN step s ON s.skein_id = x.skein_id AND s.entry_id = x.id"
    " UNION ALL SELECT hit.id" ALONE HIT("skein")
    " UNION ALL SELECT s.id" ALONE HIT_X("fibre") " CROSS JOIN skein s ON s.fibre_id = x.id"
    " UNION ALL SELECT x.child_id" ALONE HIT_X("origin")
    " UNION ALL SELECT x.skein_id" ALONE HIT_X("reading") " WHERE x.skein_id IS NOT NULL"
    " UNION ALL SELECT x.skein_id" ALONE HIT_X("sight")
    " UNION ALL SELECT g.skein_id" ALONE HIT_X("photo") " CROSS JOIN sight g ON g.photo_id = x.id AND g.withdrawn = 0"
    " UNION ALL SELECT r.skein_id" ALONE HIT_X("photo") " CROSS JOIN region p ON p.photo_id = x.id AND p.withdrawn = 0 CROSS JOIN reading r ON r.id = p.reading_id AND r.withdrawn = 0 WHERE r.skein_id IS NOT NULL"
    " UNION ALL SELECT x.skein_id" ALONE HIT_X("test");
/* clang-format on */

void said_bind(struct stmt *q)
{
    for (size_t i = 0; i < noun_count; i++) {
        char param[32];

        snprintf(param, sizeof param, ":of_%s", nouns[i].name);
        if (sqlite3_bind_parameter_index(q->st, param) > 0)
            stmt_int(q, param, nouns[i].id);
    }
}
