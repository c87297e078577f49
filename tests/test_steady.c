/*
 * What every answer must hold to, asked as its command: it does not change with
 * the order in which records were made, with records of other things, nor with
 * the locale; and a reading that is not to be gone by never changes it, and is
 * said to be there.
 */
#define _XOPEN_SOURCE 700 /* nftw */

#include "goes_support.h"

#include <fcntl.h>
#include <ftw.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "book/book.h"
#include "cli/cli.h"
#include "shelf_support.h"

#define WORDS 16

/* Questions to the book of goes; with --owner where a question would take in
 * other dyers' yarn. */
static const char *const questions[][WORDS] = {
    {"find", "olive", "--owner", "me"},
    {"find", "--like", "1", "--owner", "me"},
    {"find", "--lab", "55,20,25", "--owner", "me"},
    {"grid", "--owner", "me"},
    {"grid", "--rows", "per-fibre", "--columns", "bath", "--pin",
     "35 to 70 %,bath 1", "--owner", "me"},
    {"grid", "--rows", "round", "--columns", "dip", "--owner", "me"},
    {"fade", "1"},
    {"fade", "6", "--next", "30 g"},
    {"fade", "8"},
    {"repeat", "1"},
    {"repeat", "3"},
    {"repeat", "61"},
    {"match", "57,40,27", "--owner", "me"},
    {"match", "olive", "--owner", "me"},
    {"match", "13", "--owner", "me"},
    {"compare", "1", "13", "25"},
    {"palette", "5", "--owner", "me"},
    {"palette", "4", "--even", "--owner", "me"},
    {"palette", "2", "--one-pot", "--owner", "me"},
    {"palette", "4", "--foretold", "--keep", "foretold 1 alum", "--owner",
     "me"},
    {"palette", "2", "--foretold", "--one-pot", "--bath", "6"},
    {"palette", "--fit", "olive", "--fit", "60,35,25", "--fit", "61", "--owner",
     "me"},
};

/* And to a random shelf. */
static const char *const others[][WORDS] = {
    {"find", "brown"},
    {"find", "--lab", "50,10,30"},
    {"grid", "--rows", "dyestuff", "--columns", "round"},
    {"grid", "--rows", "bath", "--columns", "dip"},
    {"fade", "1"},
    {"fade", "4"},
    {"fade", "7"},
    {"repeat", "7"},
    {"repeat", "30"},
    {"repeat", "55"},
    {"repeat", "121"},
    {"match", "45,5,25"},
    {"palette", "5"},
    {"palette", "6", "--even"},
    {"palette", "2", "--one-pot"},
    {"palette", "--fit", "olive", "--fit", "70,10,30"},
};

/* ---- asking -------------------------------------------------------------- */

static char folder[] = "/tmp/hanklab-steady-XXXXXX";
static char locales[64]; /* a folder with the locale "comma", "" without one */

static void path_in(char out[96], const char *name)
{
    snprintf(out, 96, "%s/%s", folder, name);
}

static void output_to(int fd, const char *path)
{
    const int to = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);

    dup2(to, fd);
    close(to);
}

static bool use_comma_locale(void)
{
    return !setenv("LOCPATH", locales, 1) && !setenv("LC_ALL", "comma", 1) &&
           setlocale(LC_ALL, "") && !strcmp(localeconv()->decimal_point, ",");
}

/* Does not come back. */
static void answer(const char *const *words, const char *book, bool comma)
{
    static char name[] = "hanklab", json[] = "--json", option[] = "--book";
    char *argv[WORDS + 4] = {name};
    char path[96];
    int argc = 1;

    if (comma && !use_comma_locale())
        exit(99);
    for (; words[argc - 1]; argc++)
        argv[argc] = mem_text(words[argc - 1]);
    argv[argc++] = json;
    argv[argc++] = option;
    path_in(path, book);
    argv[argc++] = mem_text(path);
    path_in(path, "out");
    output_to(STDOUT_FILENO, path);
    path_in(path, "err");
    output_to(STDERR_FILENO, path);
    exit(cli_main(argc, argv));
}

/* Ids follow the order in which records were made; nothing else may. */
static void take_ids_out(char *s)
{
    static const char key[] = "id\":";
    char *to = s;

    while (*s) {
        if (!strncmp(s, key, sizeof key - 1)) {
            s += sizeof key - 1;
            s += strspn(s, "0123456789");
        } else {
            *to++ = *s++;
        }
    }
    *to = '\0';
}

/* What a command answers; release with free(). */
static char *asked(const char *const *words, const char *book, bool comma)
{
    char path[96], *out;
    int status = 0;
    size_t n;
    pid_t child;

    fflush(NULL);
    child = fork();
    assert_true(child >= 0);
    if (child == 0)
        answer(words, book, comma);
    assert_int_equal(waitpid(child, &status, 0), child);
    path_in(path, status ? "err" : "out");
    out = (char *)file_read(path, &n);
    out = mem_resize(out, n + 1, 1);
    out[n] = '\0';
    if (status)
        fail_msg("%s %s: status %d: %s", words[0], words[1], status, out);
    take_ids_out(out);
    return out;
}

/* Fails unless two books say the same, naming the question and where. */
static void check_same(const char *const *words, const char *x, const char *y,
                       bool comma)
{
    char *a = asked(words, x, false), *b = asked(words, y, comma);
    size_t i = 0;

    assert_true(strlen(a) > 100);
    while (a[i] && a[i] == b[i])
        i++;
    if (a[i] || b[i])
        fail_msg("%s %s: \"...%.60s\" became \"...%.60s\"", words[0], words[1],
                 a + (i > 20 ? i - 20 : 0), b + (i > 20 ? i - 20 : 0));
    free(a);
    free(b);
}

/* ---- the books ----------------------------------------------------------- */

static struct book *new_book(const char *name)
{
    struct book *book;
    struct error err;
    char path[96];

    path_in(path, name);
    check_ok(book_create(path, "Mine", &err), &err);
    check_ok(book_open(path, &book, &err), &err);
    return book;
}

static void make_goes(const char *name, uint64_t seed, const char *decoy,
                      bool unrelated)
{
    struct book *book = new_book(name);

    goes_write(book, seed, decoy);
    if (unrelated)
        goes_add_unrelated(book);
    book_close(book);
}

static void make_shelf(const char *name, const struct shelf *s, uint64_t seed)
{
    struct book *book = new_book(name);
    struct ids ids;

    shelf_write(s, book, seed, &ids);
    book_close(book);
}

/* A locale with a decimal comma of our own making, where there is the program
 * that makes them. */
static void make_locale(void)
{
    static const char source[] =
        "LC_CTYPE\ncopy \"POSIX\"\nEND LC_CTYPE\n"
        "LC_COLLATE\ncopy \"POSIX\"\nEND LC_COLLATE\n"
        "LC_NUMERIC\ndecimal_point \",\"\nthousands_sep \".\"\n"
        "grouping 3;3\nEND LC_NUMERIC\n";
    char from[96], to[96];
    int status = 0;
    pid_t child;
    FILE *f;

    path_in(from, "comma.src");
    path_in(to, "comma");
    f = fopen(from, "w");
    assert_non_null(f);
    fputs(source, f);
    assert_int_equal(fclose(f), 0);
    fflush(NULL);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        output_to(STDOUT_FILENO, "/dev/null");
        output_to(STDERR_FILENO, "/dev/null");
        execlp("localedef", "localedef", "-c", "-i", from, to, (char *)NULL);
        _exit(127);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    path_in(to, "comma/LC_NUMERIC");
    if (access(to, R_OK) == 0)
        snprintf(locales, sizeof locales, "%s", folder);
}

static int make_books(void **state)
{
    static struct shelf shelf;

    (void)state;
    assert_non_null(mkdtemp(folder));
    make_locale();
    make_goes("plain", 1, "50,60,-40", false);
    make_goes("shuffled", 2, "50,60,-40", false);
    make_goes("among-others", 1, "50,60,-40", true);
    make_goes("other-decoys", 1, "20,-50,-5", false);
    shelf_make(&shelf, 20261103);
    make_shelf("shelf", &shelf, 1);
    make_shelf("shelf-shuffled", &shelf, 2);
    return 0;
}

static int take_away(const char *path, const struct stat *s, int type,
                     struct FTW *at)
{
    (void)s;
    (void)type;
    (void)at;
    return remove(path);
}

static int remove_books(void **state)
{
    (void)state;
    return nftw(folder, take_away, 8, FTW_DEPTH | FTW_PHYS);
}

/* ---- the tests ----------------------------------------------------------- */

static void the_order_of_records_changes_no_answer(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        check_same(questions[i], "plain", "shuffled", false);
    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        check_same(others[i], "shelf", "shelf-shuffled", false);
}

static void unrelated_records_change_no_answer(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        check_same(questions[i], "plain", "among-others", false);
}

static void a_decimal_comma_changes_no_answer(void **state)
{
    (void)state;
    if (!locales[0])
        skip();
    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        check_same(questions[i], "plain", "plain", true);
    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        check_same(others[i], "shelf", "shelf", true);
}

/* Wet, by eye, for D65 and 10 degree, of the exposed half, from before the
 * last step, withdrawn: whatever colour they have, no answer knows it. */
static void readings_not_to_be_gone_by_change_no_answer(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        check_same(questions[i], "plain", "other-decoys", false);
}

/* The number behind a key; -1 when it is not there. */
static long count_of(const char *json, const char *key)
{
    char look[40];
    const char *at;

    snprintf(look, sizeof look, "\"%s\":", key);
    at = strstr(json, look);
    return at ? strtol(at + strlen(look), NULL, 10) : -1;
}

/* Each of the skeins that have only such readings is counted, by its reason,
 * wherever it would have been in the answer. */
static void readings_not_to_be_gone_by_are_said(void **state)
{
    static const char *const keys[] = {"other_light", "by_eye", "other_part",
                                       "wetness", "earlier_step"};
    static const char *const asks[][WORDS] = {
        {"find", "--lab", "50,10,30"},
        {"find", "olive"},
        {"grid"},
        {"fade", "1"},
        {"repeat", "4"},
        {"match", "50,10,30"},
        {"palette", "4"},
        {"palette", "4", "--even"},
        {"palette", "4", "--foretold"},
        {"palette", "--fit", "olive"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(asks); i++) {
        char *out = asked(asks[i], "plain", false);
        for (size_t k = 0; k < ARRAY_LEN(keys); k++)
            if (count_of(out, keys[k]) < 1)
                fail_msg("%s %s: %s is %ld", asks[i][0],
                         asks[i][1] ? asks[i][1] : "", keys[k],
                         count_of(out, keys[k]));
        free(out);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_order_of_records_changes_no_answer),
        cmocka_unit_test(unrelated_records_change_no_answer),
        cmocka_unit_test(a_decimal_comma_changes_no_answer),
        cmocka_unit_test(readings_not_to_be_gone_by_change_no_answer),
        cmocka_unit_test(readings_not_to_be_gone_by_are_said),
    };

    return cmocka_run_group_tests(tests, make_books, remove_books);
}
