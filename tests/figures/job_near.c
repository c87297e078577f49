/*
 * The 20 skeins nearest to a colour by CIEDE2000, among more and more. The
 * yardstick is the same question in SQL: every colour held against the target
 * in a function, put in order. Its table is plain: colours, recipes, and where
 * a skein stands among those equally far.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "guild.h"

enum { SIZES = 4, NEAREST = 20 };

static const long sizes[SIZES] = {1000, 10000, 100000, 1000000};
static const char *folder[SIZES];
static char plain[SIZES][600]; /* a database beside each book */

static const char *const words[][2] = {{"dyestuff", "madder"},
                                       {"mordant", "alum"}};

/* ---- in SQL -------------------------------------------------------------- */

static void sql_de00(sqlite3_context *c, int n, sqlite3_value **v)
{
    double x[6] = {0};

    for (int i = 0; i < n; i++)
        x[i] = sqlite3_value_double(v[i]);
    sqlite3_result_double(c, lab_de00((struct lab){x[0], x[1], x[2]},
                                      (struct lab){x[3], x[4], x[5]}));
}

static struct book *open_plain(int size)
{
    struct book *book = guild_open(folder[size]);
    struct stmt q;
    struct error err;

    sqlite3_create_function(book->db, "de00", 6, SQLITE_UTF8, NULL, sql_de00,
                            NULL, NULL);
    guild_must(stmt_prepare(book, "ATTACH :path AS plain", &q, &err), &err);
    stmt_text(&q, ":path", plain[size]);
    guild_must(stmt_run(&q, &err), &err);
    return book;
}

static const char made[] =
    "CREATE TABLE plain.colour (id INTEGER PRIMARY KEY, L REAL, a REAL, b"
    " REAL, recipe INTEGER, dyer INTEGER, number INTEGER)";
static const char row_of[] = "INSERT INTO plain.colour VALUES (:id, :L, :a,"
                             " :b, :recipe, :dyer, :number)";

static struct book *new_plain(int size)
{
    fclose(bench_open(plain[size], "w")); /* attaching makes no file */
    return open_plain(size);
}

static void fill_plain(int size)
{
    struct book *book = new_plain(size);
    const struct ask_filter any = ask_filter_any();
    struct scan scan;
    struct scan_row row;
    struct stmt q;
    struct error err;
    bool there, none;

    guild_must(store_exec(book, made, &err) &&
                   store_exec(book, "BEGIN", &err) &&
                   stmt_prepare(book, row_of, &q, &err) &&
                   scan_begin(book, &any, SCAN_COLOUR | SCAN_WHO, &scan, &err),
               &err);
    for (;;) {
        guild_must(scan_next(&scan, &row, &there, &err), &err);
        if (!there)
            break;
        if (row.lack != ASK_HAS_COLOUR)
            continue;
        stmt_int(&q, ":id", row.id);
        stmt_real(&q, ":L", row.lab.L);
        stmt_real(&q, ":a", row.lab.a);
        stmt_real(&q, ":b", row.lab.b);
        stmt_int(&q, ":recipe", row.recipe);
        stmt_int(&q, ":dyer", (int64_t)row.dyer);
        stmt_int(&q, ":number", row.number);
        guild_must(stmt_step(&q, &none, &err), &err);
        sqlite3_reset(q.st);
    }
    scan_end(&scan);
    stmt_done(&q);
    guild_must(store_exec(book, "COMMIT", &err), &err);
    book_close(book);
}

#define NEAR(where)                                                            \
    "SELECT id FROM plain.colour" where " ORDER BY de00(L, a, b, :L, :a, :b)," \
    " dyer, number LIMIT 20"
static const char all_of_them[] = NEAR("");
static const char filtered[] =
    NEAR(" WHERE recipe IN (SELECT r.id FROM recipe r JOIN material d ON"
         " d.name = 'madder' AND instr(r.last_dyestuffs, ',' || d.id || ',')"
         " JOIN material m ON m.name = 'alum' AND instr(r.mordants, ',' || m.id"
         " || ','))");

static size_t by_sql(struct book *book, const char *sql, struct lab target,
                     int64_t out[NEAREST])
{
    struct stmt q;
    struct error err;
    bool row;
    size_t n = 0;

    guild_must(stmt_prepare(book, sql, &q, &err), &err);
    stmt_real(&q, ":L", target.L);
    stmt_real(&q, ":a", target.a);
    stmt_real(&q, ":b", target.b);
    for (;; n++) {
        guild_must(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
        out[n] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    return n;
}

/* ---- ours ---------------------------------------------------------------- */

static size_t by_find(struct book *book, bool filter, struct lab target,
                      int64_t out[NEAREST])
{
    struct find_request r = {.filter = ask_filter_any(),
                             .has_target = true,
                             .target = target,
                             .tolerance = 2,
                             .limit = NEAREST};
    struct find_answer a;
    struct error err;
    size_t n;

    for (size_t i = 0; filter && i < ARRAY_LEN(words); i++)
        guild_must(
            ask_filter_read(book, &r.filter, words[i][0], words[i][1], &err),
            &err);
    guild_must(ask_find(book, &r, &a, &err), &err);
    for (n = 0; n < a.count; n++)
        out[n] = a.row[n].skein.id;
    find_answer_clear(&a);
    return n;
}

static void compare(int size, bool filter)
{
    struct book *book = open_plain(size);
    int64_t one[NEAREST], two[NEAREST];

    for (size_t i = 0; i < GUILD_TARGETS; i++) {
        const size_t n = by_find(book, filter, guild_target[i], one);
        if (n != NEAREST ||
            n != by_sql(book, filter ? filtered : all_of_them, guild_target[i],
                        two) ||
            memcmp(one, two, sizeof one))
            bench_die("near", "not the same skeins in the same order");
    }
    book_close(book);
}

static void prepare(const char *where)
{
    for (int i = 0; i < SIZES; i++) {
        folder[i] = guild_book(sizes[i]);
        snprintf(plain[i], sizeof plain[i], "%s/plain-%d.db", where, i);
        fill_plain(i);
        compare(i, false);
        compare(i, true);
    }
}

/* ---- steps --------------------------------------------------------------- */

static int ask_sql(int size, const char *sql)
{
    struct book *book = open_plain(size);
    int64_t out[NEAREST];

    for (size_t i = 0; i < GUILD_TARGETS; i++)
        by_sql(book, sql, guild_target[i], out);
    book_close(book);
    return 0;
}

static int ask_us(int size, bool filter)
{
    struct book *book = guild_open(folder[size]);
    int64_t out[NEAREST];

    for (size_t i = 0; i < GUILD_TARGETS; i++)
        by_find(book, filter, guild_target[i], out);
    book_close(book);
    return 0;
}

/* ---- far from all -------------------------------------------------------- */

/* An indigo blue and a green, which nothing gives that the books are of. */
static const struct lab far_off[] = {{30, 2, -20}, {45, -45, 30}};

static int far_by_sql(void)
{
    struct book *book = open_plain(SIZES - 1);
    int64_t out[NEAREST];

    for (size_t i = 0; i < ARRAY_LEN(far_off); i++)
        by_sql(book, all_of_them, far_off[i], out);
    book_close(book);
    return 0;
}

static int far_by_find(void)
{
    struct book *book = guild_open(folder[SIZES - 1]);
    int64_t out[NEAREST];

    for (size_t i = 0; i < ARRAY_LEN(far_off); i++)
        by_find(book, false, far_off[i], out);
    book_close(book);
    return 0;
}

static void tell(void)
{
    const struct bench_step sql = {"", far_by_sql}, find = {"", far_by_find};
    struct cost one, two;

    if (cost_of(&sql, &one) || cost_of(&find, &two))
        bench_die("near", "failed");
    printf("\nTo two colours that no skein comes near, an indigo blue and a "
           "green, find takes %.2f of SQL's processor time among a million.\n",
           two.cpu_s / one.cpu_s);
}

/* ---- at each size -------------------------------------------------------- */

/* A step is a function without arguments: four for each size. */
#define STEPS_OF(i)                                                            \
    static int sql_##i(void)                                                   \
    {                                                                          \
        return ask_sql(i, all_of_them);                                        \
    }                                                                          \
    static int find_##i(void)                                                  \
    {                                                                          \
        return ask_us(i, false);                                               \
    }                                                                          \
    static int filtered_sql_##i(void)                                          \
    {                                                                          \
        return ask_sql(i, filtered);                                           \
    }                                                                          \
    static int filtered_find_##i(void)                                         \
    {                                                                          \
        return ask_us(i, true);                                                \
    }

STEPS_OF(0)
STEPS_OF(1)
STEPS_OF(2)
STEPS_OF(3)

/* clang-format off */
#define NAMED(i, n)                                                            \
    {n ", SQL in order of a function", sql_##i}, {n ", find", find_##i},       \
    {n ", SQL, madder on alum", filtered_sql_##i},                             \
    {n ", find, madder on alum", filtered_find_##i}
#define POINTS(n)                                                              \
    {"SQL", n}, {"find", n}, {"SQL, filtered", n}, {"find, filtered", n}
/* clang-format on */

static const struct bench_growth growth = {
    .title =
        "The 20 nearest to each of twenty colours: processor time, 1 being "
        "SQL among 1,000",
    .along = "skeins",
    .point = {POINTS(1e3), POINTS(1e4), POINTS(1e5), POINTS(1e6)},
};

const struct bench_job job_near = {
    .name = "near",
    .title = "the 20 nearest to each of twenty colours, the larger the book "
             "(opening it counted)",
    .prepare = prepare,
    .step = {NAMED(0, "1,000"), NAMED(1, "10,000"), NAMED(2, "100,000"),
             NAMED(3, "1,000,000")},
    .growth = &growth,
    .tell = tell,
    .reach = {{"among 10,000, of SQL", 5, 4, BENCH_CPU, false, 0.5, NULL},
              {"among 100,000", 9, 8, BENCH_CPU, false, 0.03, NULL},
              {"among 1,000,000", 13, 12, BENCH_CPU, false, 0.005, NULL},
              {"filtered, among 10,000", 7, 6, BENCH_CPU, false, 1.2, NULL},
              {"filtered, among 100,000", 11, 10, BENCH_CPU, false, 1.2, NULL},
              {"filtered, among 1,000,000", 15, 14, BENCH_CPU, false, 1.2,
               NULL}},
};
