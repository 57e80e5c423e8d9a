/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferred numbers against IEC 60063 (Preferred number series for resistors and capacitors), table
 * of E12 and E24, from memory; and against the rule behind them: 10^(k/24) rounded to two digits,
 * from which the series departs at 2.7 3.0 3.3 3.6 3.9 4.3 4.7 and 8.2. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "preferred.h"

static const double table[24] = {1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0,
                                 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1};

static void series_are_complete(void **state)
{
    (void)state;
    for (int k = 0; k < 24; k++) {
        near_abs(preferred_decade(PREFERRED_E24)[k], table[k], 1e-15, "");
        if (k % 2 == 0) near_abs(preferred_decade(PREFERRED_E12)[k / 2], table[k], 1e-15, "");
    }
}

static void follow_the_rule_but_for_eight(void **state)
{
    int odd = 0;
    (void)state;
    for (int k = 0; k < 24; k++) {
        double rule = round(10 * pow(10, k / 24.0)) / 10;
        bool departs = fabs(rule - table[k]) > 1e-9;
        odd += departs;
        if (departs) near_abs(table[k], rule, 0.1001, "");
        assert_int_equal(departs, (k >= 10 && k <= 16) || k == 22);
    }
    assert_int_equal(odd, 8);
}

static void neighbours(void **state)
{
    (void)state;
    for (int decade = -12; decade <= 6; decade++)
        for (int k = 0; k < 24; k++) {
            double v = table[k] * pow(10, decade), next = table[(k + 1) % 24] * pow(10, decade);
            if (k == 23) next *= 10;
            near_rel(preferred_below(PREFERRED_E24, v), v, 1e-9, "");
            near_rel(preferred_above(PREFERRED_E24, v), v, 1e-9, "");
            near_rel(preferred_below(PREFERRED_E24, 1.001 * v), v, 1e-9, "");
            near_rel(preferred_above(PREFERRED_E24, 1.001 * v), next, 1e-9, "");
            assert_true(preferred_is(PREFERRED_E24, v));
            assert_int_equal(preferred_is(PREFERRED_E12, v), k % 2 == 0);
        }
    near_rel(preferred_below(PREFERRED_E12, 9.5e3), 8.2e3, 1e-12, "");
    near_rel(preferred_above(PREFERRED_E12, 9.5e3), 10e3, 1e-12, "");
    near_rel(preferred_above(PREFERRED_E24, 9.5e-6), 10e-6, 1e-12, "");
    assert_true(preferred_below(PREFERRED_E24, 4.7e-6) == 4.7e-6);
    assert_true(preferred_above(PREFERRED_E24, 220) == 220);
}

static void watts(void **state)
{
    (void)state;
    near_abs(preferred_watts(0.1), 0.25, 0, "W");
    near_abs(preferred_watts(2), 2, 0, "W");
    near_abs(preferred_watts(10.4), 15, 0, "W");
    assert_true(isinf(preferred_watts(101)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(series_are_complete),
        cmocka_unit_test(follow_the_rule_but_for_eight),
        cmocka_unit_test(neighbours),
        cmocka_unit_test(watts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
