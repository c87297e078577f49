/* How a message tells people what to do, in a terminal and on the page. */
#include "support.h"

#include "book/face.h"

static void check_edit(enum noun_id noun, const char *label, const char *field,
                       const char *words, const char *expected)
{
    struct text how = {0};

    face_edit(noun, label, field, words, &how);
    assert_string_equal(text_str(&how), expected);
    text_clear(&how);
}

static void test_a_terminal_is_told_a_command_to_type(void **state)
{
    (void)state;
    assert_string_equal(face_says("--round", "the round"), "--round");
    check_edit(NOUN_SKEIN, "12", "fibre", NULL,
               "hanklab skein edit 12 --fibre ...");
    check_edit(NOUN_SKEIN, "Aino/12", "fibre", NULL,
               "hanklab skein edit \"Aino/12\" --fibre ...");
    check_edit(NOUN_READING, "3", "after-entry", "7",
               "hanklab reading edit 3 --after-entry 7");
    check_edit(NOUN_READING, "3", "after-entry", "",
               "hanklab reading edit 3 --after-entry \"\"");
    check_edit(NOUN_TREATMENT, "4", "on", "4 May 2026",
               "hanklab treatment edit 4 --on \"4 May 2026\"");
}

/* The last of the tests: a program that is the page stays it. */
static void test_the_page_is_told_of_its_fields(void **state)
{
    (void)state;
    face_set_page();
    assert_string_equal(face_says("--round", "the round"), "the round");
    check_edit(NOUN_SKEIN, "12", "fibre", NULL, "change \"Yarn\" of skein 12");
    check_edit(NOUN_READING, "3", "after-entry", "7",
               "put 7 in \"After which step\" of reading 3");
    check_edit(NOUN_READING, "3", "after-entry", "",
               "empty \"After which step\" of reading 3");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_terminal_is_told_a_command_to_type),
        cmocka_unit_test(test_the_page_is_told_of_its_fields),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
