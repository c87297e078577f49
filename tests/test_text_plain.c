/* src/base/text.c on a machine without the C.UTF-8 locale.
 * link: -Wl,--wrap=newlocale
 */
#include "support.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <wctype.h>

#include "base/text.h"

locale_t __real_newlocale(int mask, const char *name, locale_t base);
locale_t __wrap_newlocale(int mask, const char *name, locale_t base);

locale_t __wrap_newlocale(int mask, const char *name, locale_t base)
{
    return strcmp(name, "C") ? (locale_t)0 : __real_newlocale(mask, name, base);
}

static void encode(wint_t c, char out[3])
{
    out[0] = (char)(0xC0 | c >> 6);
    out[1] = (char)(0x80 | (c & 0x3F));
    out[2] = '\0';
}

/* Every two-byte letter of Latin-1, Latin Extended-A, the Greek and Cyrillic
 * capitals against the C library, where this machine has C.UTF-8. */
static void test_text_fold_has_its_own_lower_case(void **state)
{
    static const wint_t blocks[][2] = {
        {0xC0, 0x17F}, {0x391, 0x3C9}, {0x400, 0x45F}};
    locale_t utf8 = __real_newlocale(LC_CTYPE_MASK, "C.UTF-8", (locale_t)0);

    (void)state;
    if (!utf8)
        skip();
    for (size_t i = 0; i < ARRAY_LEN(blocks); i++)
        for (wint_t c = blocks[i][0]; c <= blocks[i][1]; c++) {
            char from[3], want[3], *key;

            if (c ==
                0x130) /* i with a dot: lower case is a matter of language */
                continue;
            encode(c, from);
            encode(towlower_l(c, utf8), want);
            key = text_fold(from);
            check_text(from, key, c < 0xC0 ? from : want);
            free(key);
        }
    freelocale(utf8);
}

static void test_text_width_still_knows_marks(void **state)
{
    (void)state;
    assert_int_equal(text_width("A\xCC\x88iti"), 4);
    assert_int_equal(text_width("caf\xE9"), 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text_fold_has_its_own_lower_case),
        cmocka_unit_test(test_text_width_still_knows_marks),
    };

    return cmocka_run_group_tests_name("text_plain", tests, NULL, NULL);
}
