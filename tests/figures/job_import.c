/* A list of skeins from a spreadsheet into a new book, against the sqlite3
 * shell with a staging table (import.sql) and a script with csv and sqlite3,
 * which make the same records; they read no words, know no units, and make
 * nothing for finding. */
#include "bench.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "guild.h"
#include "peer.h"

enum { ROWS = 20000 };

static char folder[512], script[PATH_MAX];

/* Of all books after a first time. */
static const char same[] =
    "SELECT count(*), count(DISTINCT code_key), total(weight_g), (SELECT "
    "count(*) FROM entry), (SELECT total(amount_low) FROM dose), (SELECT "
    "count(*) FROM treatment WHERE on_from >= '2025-06'), (SELECT count(*) "
    "FROM history) FROM skein";

static const char *in_folder(const char *name)
{
    static char path[600];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void write_rows(void)
{
    FILE *to = bench_open(in_folder("rows.csv"), "w");

    fputs("name,code,weight,mordant,dyestuff,date\n", to);
    for (int i = 0; i < ROWS; i++)
        fprintf(to, "hank %d,K%d,%d g,alum %d %%,madder %d %%,2025-%02d-%02d\n",
                i + 1, i + 1, 5 + i % 16, 10 + i % 6, 40 + i % 60, 1 + i % 12,
                1 + i % 28);
    if (fclose(to))
        bench_die(folder, "the list cannot be written");
}

/* A copy of one of the two that are new. */
static int new_book(const char *name, const char *of)
{
    char path[600], kept[600];

    snprintf(kept, sizeof kept, "%s/%s", folder, of);
    snprintf(path, sizeof path, "%s/%s", folder, name);
    bench_run((const char *const[]){"/bin/rm", "-rf", path, NULL});
    bench_run((const char *const[]){"/bin/cp", "-r", kept, path, NULL});
    return 0;
}

static int by_shell(void)
{
    return new_book("shell", "plain") || chdir(folder) ||
                   !freopen(script, "r", stdin) ||
                   execlp("sqlite3", "sqlite3", "-bail", "shell/book.db",
                          (char *)NULL)
               ? BENCH_NOT_THERE
               : 0;
}

static int by_script(void)
{
    char list[600], book[600];

    snprintf(list, sizeof list, "%s", in_folder("rows.csv"));
    snprintf(book, sizeof book, "%s", in_folder("script/book.db"));
    if (!new_book("script", "plain"))
        execl(PEER_PYTHON, PEER_PYTHON, "tests/figures/peers/import_csv.py",
              book, list, (char *)NULL);
    return BENCH_NOT_THERE;
}

static int by_us(void)
{
    char program[512], list[600], book[600];

    snprintf(program, sizeof program, "%s", bench_program("hanklab-exchange"));
    snprintf(list, sizeof list, "%s", in_folder("rows.csv"));
    snprintf(book, sizeof book, "%s", in_folder("ours"));
    if (new_book("ours", "new") || !freopen("/dev/null", "w", stderr))
        return 1;
    execl(program, "hanklab", "import", list, "--yes", "--book", book,
          (char *)NULL);
    return 1;
}

static bool shell_there(void)
{
    char said[64];

    return bench_ask((const char *const[]){"/usr/bin/env", "sqlite3",
                                           "--version", NULL},
                     said, sizeof said) == 0;
}

static void ask(const char *book, char *out, size_t size)
{
    char path[600];

    snprintf(path, sizeof path, "%s/%s/book.db", folder, book);
    if (bench_ask(
            (const char *const[]){"/usr/bin/env", "sqlite3", path, same, NULL},
            out, size))
        bench_die(path, "cannot be asked");
}

/* Whether it makes the records that we make; where it is not there, it is
 * told as such. */
static void check(int (*run)(void), const char *book, const char *ours)
{
    const struct bench_step step = {"", run};
    char theirs[256];
    struct cost cost;
    const int status = cost_of(&step, &cost);

    if (status == BENCH_NOT_THERE)
        return;
    if (status != 0)
        bench_die(book, "the list was not taken in");
    ask(book, theirs, sizeof theirs);
    if (strcmp(theirs, ours) != 0)
        bench_die(book, "other records than ours were made");
}

/* Triggers in SQL for who does not know the function that ours call. */
static const char in_sql[] =
    "SELECT group_concat('DROP TRIGGER ' || name || '; CREATE TRIGGER ' || name"
    " || ' AFTER INSERT ON ' || tbl_name || ' BEGIN INSERT INTO history"
    " (act_id, of_table, row_id) VALUES ((SELECT max(id) FROM act), ''' ||"
    " tbl_name || ''', new.id); END', ';') FROM sqlite_schema WHERE type ="
    " 'trigger' AND name LIKE 'history%new'";

static void make_books(void)
{
    char path[600];
    struct book *book;
    struct stmt q;
    struct error err;
    char *sql;
    bool row;

    snprintf(path, sizeof path, "%s", in_folder("new"));
    guild_must(book_create(path, "Bench", &err), &err);
    new_book("plain", "new");
    book = guild_open(in_folder("plain"));
    guild_must(stmt_prepare(book, in_sql, &q, &err) &&
                   stmt_step(&q, &row, &err),
               &err);
    sql = mem_text(stmt_get_text(&q, 0));
    stmt_done(&q);
    guild_must(store_exec(book, sql, &err), &err);
    free(sql);
    book_close(book);
}

static void prepare(const char *where)
{
    const struct bench_step us = {"", by_us};
    char ours[256] = "";
    struct cost cost;

    snprintf(folder, sizeof folder, "%s", where);
    if (!getcwd(script, sizeof script - 32))
        bench_die("the folder", "has no name");
    strcat(script, "/tests/figures/import.sql");
    write_rows();
    make_books();
    if (!shell_there())
        return;
    if (cost_of(&us, &cost))
        bench_die(folder, "the list was not taken in");
    ask("ours", ours, sizeof ours);
    check(by_shell, "shell", ours);
    check(by_script, "script", ours);
}

const struct bench_job job_import = {
    .name = "import",
    .title = "a list of 20,000 skeins taken into a new book",
    .prepare = prepare,
    .step = {{"the sqlite3 shell, a staging table", by_shell},
             {"hanklab import", by_us},
             {"Python, csv and sqlite3's executemany", by_script}},
    .reach = {{"hanklab import, of the shell", 1, 0, BENCH_CPU, false, 1,
               NULL}},
};
