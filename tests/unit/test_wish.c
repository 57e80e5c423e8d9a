/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When a wish counts as met. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "find.h"

static void an_equal_is_met_within_a_ten_thousandth(void **state)
{
    static const double wanted[] = {250, -33, 1e-3};
    (void)state;
    for (int k = 0; k < 3; k++) {
        const struct wish wish = {.relation = '=', .value = wanted[k]};
        assert_true(wish_met(&wish, wanted[k]));
        assert_true(wish_met(&wish, wanted[k] * (1 + 0.99e-4)));
        assert_true(wish_met(&wish, wanted[k] * (1 - 0.99e-4)));
        assert_false(wish_met(&wish, wanted[k] * (1 + 1.01e-4)));
        assert_false(wish_met(&wish, wanted[k] * (1 - 1.01e-4)));
        assert_false(wish_met(&wish, (double)NAN));
    }
}

static void borders_keep_to_their_side(void **state)
{
    const struct wish less = {.relation = '<', .value = 0.2},
                      more = {.relation = '>', .value = 0.2};
    (void)state;
    assert_true(wish_met(&less, 0.2 * (1 - 1e-9)));
    assert_false(wish_met(&less, 0.2));
    assert_true(wish_met(&more, 0.2 * (1 + 1e-9)));
    assert_false(wish_met(&more, 0.2));
    assert_false(wish_met(&less, (double)NAN));
    assert_false(wish_met(&more, (double)NAN));
    assert_true(wish_met(&more, HUGE_VAL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_equal_is_met_within_a_ten_thousandth),
        cmocka_unit_test(borders_keep_to_their_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
