/*
 * Every noun, through the command line: one of it is added with the least it
 * needs, shown, listed, edited, withdrawn (and then not listed), brought back,
 * and its history tells all of it. The table of records says which nouns
 * there are.
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/text.h"
#include "book/noun.h"
#include "cli/noun.h"

static char folder[] = "/tmp/hanklab-nouns-XXXXXX";

/* The least that makes one, behind "hanklab NOUN add", and a field to edit.
 * What stands before it in the table of the book is there already. */
static const struct {
    const char *add;
    const char *field, *words;
} walks[NOUN_COUNT] = {
    [NOUN_DYER] = {"Aino", "note", "from the guild"},
    [NOUN_MATERIAL] = {"weld", "latin", "Reseda luteola"},
    [NOUN_ALIAS] = {"krapp --material madder", "name", "garance"},
    [NOUN_SUPPLY] = {"madder", "place", "behind the barn"},
    [NOUN_FIBRE] = {"singles", "content", "wool"},
    [NOUN_WATER] = {"rain", "hardness", "soft"},
    [NOUN_SKEIN] = {"", "weight", "20 g"},
    [NOUN_ORIGIN] = {"1 --parent 2", "amount", "8 g"},
    [NOUN_BATH] = {"", "volume", "3 l"},
    [NOUN_POUR] = {"1 --parent 2", "volume", "2 l"},
    [NOUN_EXTRACTION] = {"1", "straining", "bagged"},
    [NOUN_TREATMENT] = {"wash", "vessel", "jar"},
    [NOUN_ENTRY] = {"1 --treatment '#1'", "dipped", "half"},
    [NOUN_DOSE] = {"madder --bath 1", "amount", "a handful"},
    [NOUN_PH] = {"7-8 --bath 1", "moment", "after"},
    [NOUN_PHOTO] = {"fixtures/tansy-iron.jpg", "shows", "tag"},
    [NOUN_SIGHT] = {"'#1' --skein 1", "glow", "faint"},
    [NOUN_CARD] = {"kitchen", "measured-by", "Aino"},
    [NOUN_TEST] = {"1 --start 2026-05-03", "exposure", "south window"},
    [NOUN_READING] = {"1 --source eye --lab 40,30,20", "note", "by the window"},
    [NOUN_PROJECT] = {"blanket", "hank", "100 g"},
    [NOUN_WISH] = {"stripes", "name", "gold"},
    [NOUN_TASK] = {"stripes --kind dye", "skeins", "1, 2"},
};

/* Runs "hanklab ARGUMENTS" in the book; what it wrote to both outputs.
 * Release with free(). Fails the test unless it ends with status. */
__attribute__((format(printf, 2, 3))) static char *hanklab(int status,
                                                           const char *fmt, ...)
{
    const char *build = getenv("BUILD");
    struct text command = {0}, out = {0};
    char part[4096];
    va_list args;
    FILE *f;
    size_t n;
    int ended;

    va_start(args, fmt);
    vsnprintf(part, sizeof part, fmt, args);
    va_end(args);
    text_addf(&command, "HANKLAB_BOOK=%s/book %s/hanklab %s 2>&1", folder,
              build ? build : "build/gcc", part);
    f = popen(text_str(&command), "r"); /* NOLINT(cert-env33-c): our own */
    assert_non_null(f);
    while ((n = fread(part, 1, sizeof part, f)) > 0)
        text_add_n(&out, part, n);
    ended = pclose(f);
    if (!WIFEXITED(ended) || WEXITSTATUS(ended) != status)
        fail_msg("%s\n%s", text_str(&command), text_str(&out));
    text_clear(&command);
    return text_take(&out);
}

static void run(const char *arguments)
{
    free(hanklab(0, "%s", arguments));
}

static int make_book(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    run("init");
    run("material add madder");
    run("skein add one");
    run("skein add two");
    run("project add stripes");
    run("bath add first");
    run("bath add second");
    run("treatment add dye");
    run("photo add fixtures/weld-alum.jpg");
    return 0;
}

static int remove_book(void **state)
{
    char command[64];

    (void)state;
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command); /* NOLINT(cert-env33-c): our own */
}

/* How many rows "list" has, its heading not counted. */
static size_t rows(const char *noun, const char *more)
{
    char *s = hanklab(0, "%s list --csv%s", noun, more);
    size_t n = 0;

    for (const char *p = s; *p; p++)
        n += *p == '\n';
    free(s);
    return n ? n - 1 : 0;
}

static void check_says(const char *noun, char *owned, const char *what)
{
    if (!strstr(owned, what))
        fail_msg("%s: \"%s\" is not in:\n%s", noun, what, owned);
    free(owned);
}

/* The number behind "id" of the JSON that "add" answers with. */
static long added_id(const char *noun, const char *add)
{
    char *s = hanklab(0, "%s add %s --json", noun, add);
    const char *id = strstr(s, "\"id\"");
    long n;

    if (!id) {
        fail_msg("%s add: no id in %s", noun, s);
        return 0;
    }
    n = strtol(id + strcspn(id, "0123456789"), NULL, 10);
    free(s);
    return n;
}

static void walk(const char *noun, const char *add, const char *field,
                 const char *words)
{
    size_t before = rows(noun, ""), all = rows(noun, " --withdrawn");
    long id = added_id(noun, add);

    assert_int_equal(rows(noun, ""), before + 1);
    free(hanklab(0, "%s show '#%ld'", noun, id));
    check_says(noun,
               hanklab(0, "%s edit '#%ld' --%s '%s'", noun, id, field, words),
               "changed");
    check_says(noun, hanklab(0, "%s show '#%ld' --json", noun, id), words);
    check_says(noun, hanklab(0, "%s withdraw '#%ld'", noun, id), "withdrawn");
    assert_int_equal(rows(noun, ""), before);
    assert_int_equal(rows(noun, " --withdrawn"), all + 1);
    check_says(noun, hanklab(1, "%s withdraw '#%ld'", noun, id), "already");
    check_says(noun, hanklab(0, "%s back '#%ld'", noun, id), "brought back");
    assert_int_equal(rows(noun, ""), before + 1);
    check_says(noun, hanklab(0, "history %s '#%ld'", noun, id), "began");
    check_says(noun, hanklab(0, "history %s '#%ld'", noun, id), words);
    check_says(noun, hanklab(0, "history %s '#%ld'", noun, id), "withdrawn");
}

static void test_every_noun_is_added_shown_listed_edited_withdrawn(void **state)
{
    size_t walked = 0;

    (void)state;
    for (size_t i = 0; i < noun_count; i++) {
        if (!cli_noun_is_command(&nouns[i]) || nouns[i].id == NOUN_CAMERA)
            continue;
        if (!walks[i].add) {
            fail_msg("no walk for %s", nouns[i].name);
            return;
        }
        walk(nouns[i].name, walks[i].add, walks[i].field, walks[i].words);
        walked++;
    }
    /* A region has no command; a camera is learnt (cli/measure-camera.cmd). */
    assert_int_equal(walked, NOUN_COUNT - 2);
}

static void test_acts_are_listed_and_shown(void **state)
{
    (void)state;
    check_says("act", hanklab(0, "act list --limit 1000 --csv"), "1,");
    check_says("act", hanklab(0, "act show 2"), "material madder");
    check_says("act", hanklab(2, "act withdraw 2"), "undo");
    check_says("act", hanklab(2, "act show"), "say which act");
}

static void test_an_option_goes_only_with_the_verbs_that_read_it(void **state)
{
    (void)state;
    check_says("skein", hanklab(2, "skein show 1 --weight '2 g'"),
               "\"skein show\" has no option --weight");
    check_says("skein", hanklab(2, "skein add --withdrawn"),
               "\"skein add\" has no option --withdrawn");
    check_says("skein", hanklab(1, "skein edit 1 --number 7"),
               "the number of a skein is never changed");
    check_says("photo", hanklab(2, "photo edit '#1' --skein 1"),
               "\"photo edit\" has no option --skein");
}

static void test_every_field_has_a_title_of_its_own(void **state)
{
    (void)state;
    for (size_t n = 0; n < noun_count; n++)
        for (size_t i = 0; i < nouns[n].field_count; i++) {
            const char *title = nouns[n].fields[i].title;
            assert_non_null(title);
            assert_true((*title >= 'A' && *title <= 'Z') ||
                        !strcmp(title, "pH"));
            for (size_t k = 0; k < i; k++)
                if (!strcmp(title, nouns[n].fields[k].title))
                    fail_msg("%s: %s stands twice", nouns[n].name, title);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(
            test_every_noun_is_added_shown_listed_edited_withdrawn),
        cmocka_unit_test(test_every_field_has_a_title_of_its_own),
        cmocka_unit_test(test_acts_are_listed_and_shown),
        cmocka_unit_test(test_an_option_goes_only_with_the_verbs_that_read_it),
    };

    return cmocka_run_group_tests(tests, make_book, remove_book);
}
