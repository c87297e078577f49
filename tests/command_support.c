/* "hanklab" as a process of its own. See command_support.h. */
#include "command_support.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/text.h"
#include "jpeg_make.h"
#include "picture.h"

static char hanklab[128], said_path[128];

void command_begin(const char *folder)
{
    const char *build = getenv("BUILD");

    snprintf(hanklab, sizeof hanklab, "%s/hanklab",
             build ? build : "build/gcc");
    snprintf(said_path, sizeof said_path, "%s/said", folder);
}

static void go_to(int fd, const char *path)
{
    int to = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);

    dup2(to, fd);
    close(to);
}

pid_t command_start(const char *const *words)
{
    char *argv[COMMAND_WORDS + 2] = {hanklab};
    pid_t child = fork();

    assert_true(child >= 0);
    if (child)
        return child;
    for (int i = 0; words[i]; i++)
        argv[i + 1] = mem_text(words[i]);
    go_to(STDOUT_FILENO, "/dev/null");
    go_to(STDERR_FILENO, said_path);
    execv(hanklab, argv);
    _exit(127);
}

int command_end(pid_t child)
{
    int status = 0;

    while (waitpid(child, &status, 0) < 0)
        assert_int_equal(errno, EINTR);
    return status;
}

int command_run(const char *const *words)
{
    return command_end(command_start(words));
}

char *command_said(void)
{
    size_t n;
    char *s = (char *)file_read(said_path, &n);

    s = mem_resize(s, n + 1, 1);
    s[n] = '\0';
    return s;
}

void command_failed(const char *what)
{
    char *s = command_said();

    fail_msg("%s: %s", what, s);
}

void command_does(const char *const *words)
{
    if (command_run(words))
        command_failed(words[0]);
}

/* ---- what is in a book --------------------------------------------------- */

static void add_value(sqlite3_stmt *row, int column, struct text *out)
{
    const bool blob = sqlite3_column_type(row, column) == SQLITE_BLOB;
    const unsigned char *s = sqlite3_column_blob(row, column);

    text_add(out, "|");
    for (int i = 0; i < sqlite3_column_bytes(row, column); i++)
        text_addf(out, blob || s[i] == '\n' ? "%02x" : "%c", s[i]);
}

char *book_contents(const char *dir)
{
    static const char tables[] =
        "SELECT name FROM sqlite_schema s WHERE type = 'table' AND name NOT IN"
        " ('shelf', 'recipe') AND name NOT LIKE 'said%' AND EXISTS"
        " (SELECT 1 FROM pragma_table_info(s.name) WHERE name = 'id')"
        " ORDER BY 1";
    struct text out = {0};
    sqlite3_stmt *table, *row;
    char sql[96], path[96];
    sqlite3 *db;

    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, tables, -1, &table, NULL),
                     SQLITE_OK);
    while (sqlite3_step(table) == SQLITE_ROW) {
        const char *name = (const char *)sqlite3_column_text(table, 0);
        snprintf(sql, sizeof sql, "SELECT * FROM %s ORDER BY id", name);
        assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &row, NULL),
                         SQLITE_OK);
        while (sqlite3_step(row) == SQLITE_ROW) {
            text_add(&out, name);
            for (int i = 0; i < sqlite3_column_count(row); i++)
                add_value(row, i, &out);
            text_add(&out, "\n");
        }
        sqlite3_finalize(row);
    }
    sqlite3_finalize(table);
    sqlite3_close(db);
    return text_take(&out);
}

/* Length of "TABLE|ID|". */
static size_t key(const char *line)
{
    const char *id = strchr(line, '|') + 1;

    return (size_t)(strchr(id, '|') + 1 - line);
}

struct book_difference book_difference(const char *was, const char *is)
{
    struct book_difference d = {0, 0};

    while (*is) {
        const size_t n = strcspn(is, "\n") + 1, k = key(is);

        if (!strncmp(was, is, n)) {
            was += n;
        } else if (!strncmp(was, is, k)) {
            was += strcspn(was, "\n") + 1;
            d.other++;
        } else {
            d.more++;
        }
        is += n;
    }
    if (*was)
        fail_msg("a record is lost: %.*s", (int)strcspn(was, "\n"), was);
    return d;
}

void photo_fresh(const char *path)
{
    static unsigned taken;
    static struct jpeg_bytes plain;
    char comment[16];
    struct jpeg_bytes j;
    FILE *f;

    if (!plain.data) {
        const struct picture p = picture_plain();
        plain.data = picture_jpeg(&p, &plain.size);
    }
    j = (struct jpeg_bytes){mem_new(plain.size + 1, 1), plain.size};
    memcpy(j.data, plain.data, plain.size);
    snprintf(comment, sizeof comment, "%u", taken++);
    jpeg_add(&j, 0xFE, comment, strlen(comment));
    f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(j.data, 1, j.size, f), j.size);
    assert_int_equal(fclose(f), 0);
    free(j.data);
}
