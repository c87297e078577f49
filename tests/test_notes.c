/*
 * Every note says what to do next time: those of the table of checks, those of
 * a file, and those written where they are given, which are read from the
 * source so that a new one cannot be forgotten. (Common practice, no source.)
 */
#include "support.h"

#include <ctype.h>
#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "measure/check.h"
#include "photo/photo.h"

/* How an advice begins; the last is one too. */
static const char *const verbs[] = {"tap ",
                                    "draw ",
                                    "copy ",
                                    "measure ",
                                    "export ",
                                    "use ",
                                    "lay ",
                                    "turn ",
                                    "let ",
                                    "show ",
                                    "expose ",
                                    "put ",
                                    "compare ",
                                    "keep ",
                                    "take ",
                                    "see ",
                                    "choose ",
                                    "check ",
                                    "send ",
                                    "give ",
                                    "go ",
                                    "switch ",
                                    "light ",
                                    "is the box ",
                                    "is it ",
                                    "set ",
                                    "enter ",
                                    "add ",
                                    "nothing needs to be done"};

/* Whether what follows a colon, a semicolon, a stop, or a comma with "but", is
 * an advice. */
static bool advises(const char *text)
{
    for (const char *p = text; *p; p++) {
        const char *from = p + 1;

        if (!strchr(":;.,", *p) || *from != ' ')
            continue;
        from++;
        if (!strncmp(from, "but ", 4))
            from += 4;
        if (!strncmp(from, "so ", 3))
            from += 3;
        if (!strncmp(from, "better ", 7))
            from += 7;
        for (size_t i = 0; i < ARRAY_LEN(verbs); i++)
            if (tolower((unsigned char)*from) == verbs[i][0] &&
                !strncmp(from + 1, verbs[i] + 1, strlen(verbs[i]) - 1))
                return true;
    }
    return false;
}

static void check_advice(const char *where, const char *text)
{
    if (!advises(text))
        fail_msg("%s: no advice in \"%s\"", where, text);
}

static void test_every_limit_advises(void **state)
{
    char text[MEASURE_NOTE_BYTES];

    (void)state;
    for (size_t i = 0; i < CHECKS; i++) {
        const struct limit *limit = &check_limits[i];

        snprintf(text, sizeof text, "%s: %s.", limit->what, limit->mend);
        check_advice("warning", text);
        if (isinf(limit->refuse))
            continue;
        assert_non_null(limit->stop);
        snprintf(text, sizeof text, "%s: %s.", limit->what, limit->stop);
        check_advice("refusal", text);
    }
}

static void test_every_note_of_a_file_advises(void **state)
{
    (void)state;
    for (int i = 0; i < PHOTO_NOTES; i++)
        check_advice("photo", photo_note_text((enum photo_note)(1u << i)));
}

/* The words of a call, its literals one after another; ends at its semicolon.
 */
static const char *words_of_call(const char *p, char *out, size_t size)
{
    size_t n = 0;
    bool inside = false;

    for (; *p && (inside || *p != ';'); p++) {
        if (*p == '"' && p[-1] != '\\')
            inside = !inside;
        else if (inside && n + 1 < size)
            out[n++] = *p;
    }
    out[n] = '\0';
    return p;
}

/* A format that is only put together of parts that come from elsewhere has
 * hardly a letter of its own. */
static bool has_words(const char *text)
{
    size_t letters = 0;

    for (; *text; text++)
        letters += *text == '%' ? 0 : isalpha((unsigned char)*text) != 0;
    return letters > 12;
}

static size_t check_calls(const char *path, const char *text, const char *name)
{
    char words[1024];
    size_t n = 0;

    for (const char *p = text; (p = strstr(p, name));) {
        p = words_of_call(p + strlen(name), words, sizeof words);
        if (!has_words(words))
            continue;
        /* one that ends with an advice of the table, which is looked at above
         */
        if (!strstr(words, " less sure: %s."))
            check_advice(path, words);
        n++;
    }
    return n;
}

static void test_every_note_in_the_source_advises(void **state)
{
    glob_t found;
    size_t n = 0;

    (void)state;
    assert_int_equal(glob("src/measure/*.c", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        size_t size;
        unsigned char *data = file_read(found.gl_pathv[i], &size);
        char *text = mem_new(size + 1, 1);

        memcpy(text, data, size);
        n += check_calls(found.gl_pathv[i], text, "notes_add(");
        n += check_calls(found.gl_pathv[i], text, "sentence(");
        free(text);
        free(data);
    }
    globfree(&found);
    assert_true(n >= 35); /* they are found at all */
}

/* The advice is looked for, not any colon. */
static void test_a_note_without_advice_is_seen(void **state)
{
    (void)state;
    assert_false(advises("The box of the white shows a texture."));
    assert_false(advises("The light is uneven: the lamp was near."));
    assert_true(advises("The light is uneven: use open shade."));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_limit_advises),
        cmocka_unit_test(test_every_note_of_a_file_advises),
        cmocka_unit_test(test_every_note_in_the_source_advises),
        cmocka_unit_test(test_a_note_without_advice_is_seen),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
