/* The numbers alone, without camera, light or JPEG: from codes to a colour. */
#include "support.h"

#include "chain_support.h"

/* Source of the formulas: IEC 61966-2-1, CIE 15, and Bradford's cones as
 * ICC.1:2022 annex E has them; reckoned in long double beside the program. */
static void test_the_chain_agrees_with_long_double(void **state)
{
    const struct chain c = chain_compare();

    (void)state;
    print_message("worst %.6f dE00 of %zu colours, card off by %.1e\n", c.worst,
                  c.colours, c.card);
    assert_true(c.colours == (size_t)5 * 5832);
    assert_true(c.worst <= 0.001);
    assert_true(c.card <= 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_chain_agrees_with_long_double),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
