/* The book that is made for measuring how fast a large one is. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "book/ask.h"
#include "book/check.h"
#include "book/noun.h"
#include "book/store.h"

enum { SKEINS = 400 };

static struct book *made(const char *dir)
{
    const char *build = getenv("BUILD");
    char guild[512], skeins[16];
    const pid_t child = fork();
    struct book *book;
    struct error err;
    int status = -1;

    snprintf(guild, sizeof guild, "%s/guild", build ? build : "build/gcc");
    snprintf(skeins, sizeof skeins, "%d", SKEINS);
    if (child == 0) {
        execl(guild, guild, dir, skeins, (char *)NULL);
        _exit(127);
    }
    assert_true(child > 0 && waitpid(child, &status, 0) == child);
    assert_int_equal(status, 0);
    check_ok(book_open(dir, &book, &err), &err);
    return book;
}

static void unmake(struct book *book, const char *dir)
{
    char path[64];

    book_close(book);
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(unlink(path), 0);
    rmdir(dir);
}

static int64_t number(struct book *book, const char *sql)
{
    struct stmt q;
    struct error err;
    bool row;
    int64_t n;

    check_ok(stmt_prepare(book, sql, &q, &err), &err);
    check_ok(stmt_step(&q, &row, &err), &err);
    n = stmt_get_int(&q, 0);
    stmt_done(&q);
    return n;
}

/* Written past the triggers and the checks of the tables. */
static void its_records_are_as_if_they_had_been_typed(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    const struct check_wish only_look = {0};
    struct book *book;
    struct check c;
    struct error err;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    check_ok(check_book(book, &only_look, &c, &err), &err);
    assert_int_equal(c.skeins, SKEINS);
    assert_in_range(c.readings, SKEINS / 2, 2 * SKEINS);
    assert_int_equal(c.faults, c.photos); /* all are missing, and no more */
    check_clear(&c);
    for (size_t i = 0; i < noun_count; i++) {
        char sql[256];
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM %s x WHERE NOT EXISTS (SELECT 1 FROM"
                 " history h WHERE h.of_table = '%s' AND h.row_id = x.id AND"
                 " h.field IS NULL)",
                 nouns[i].name, nouns[i].name);
        assert_int_equal(number(book, sql), 0);
    }
    assert_int_equal(number(book, "SELECT count(*) FROM sqlite_schema WHERE"
                                  " type = 'trigger'"),
                     3 * (int64_t)noun_count);
    unmake(book, dir);
}

/* All but what init says of itself. */
static void it_is_the_same_each_time(void **state)
{
    static const char sum[] =
        "SELECT sum(unicode(uid) * id % 1000003) + sum(round(1000 * (L + a +"
        " b))) FROM reading";
    char one[] = "/tmp/hanklab-guild-XXXXXX",
         two[] = "/tmp/hanklab-guild-XXXXXX";
    struct book *first, *second;

    (void)state;
    assert_non_null(mkdtemp(one));
    assert_non_null(mkdtemp(two));
    first = made(one);
    second = made(two);
    assert_int_equal(number(first, sum), number(second, sum));
    assert_true(number(first, sum) > 0);
    unmake(first, one);
    unmake(second, two);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(its_records_are_as_if_they_had_been_typed),
        cmocka_unit_test(it_is_the_same_each_time),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
