/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "bounds.h"

enum { UNITS = UNIT_JOULE_PER_KELVIN + 1 };

static void ends_belong_to_the_range(void **state)
{
    struct complaint why;
    (void)state;
    assert_true(bounds_between(5, UNIT_HERTZ, 5, 1000, &why));
    assert_true(bounds_between(1000, UNIT_HERTZ, 5, 1000, &why));
    assert_false(bounds_between(4.99, UNIT_HERTZ, 5, 1000, &why));
    assert_string_equal(why.message, "4.99 Hz is not between 5 Hz and 1 kHz");
    assert_false(bounds_between((double)NAN, UNIT_HERTZ, 5, 1000, &why));
}

/* Every unit has bounds; zero is left to the reader of the key, and the sign does not matter. */
static void every_unit_has_bounds(void **state)
{
    struct complaint why;
    (void)state;
    for (int unit = 0; unit < UNITS; unit++) {
        assert_true(bounds_hold(0, unit, &why));
        assert_true(bounds_hold(10, unit, &why));
        assert_true(bounds_hold(-10, unit, &why));
        assert_false(bounds_hold(1e-20, unit, &why));
        assert_false(bounds_hold(-1e20, unit, &why));
    }
    assert_false(bounds_hold(1e12, UNIT_VOLT, &why));
    assert_string_equal(why.message, "1e9 kV is not between 1 uV and 100 kV");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ends_belong_to_the_range),
        cmocka_unit_test(every_unit_has_bounds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
