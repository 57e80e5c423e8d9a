/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tolerances as they are written: what they mean, where one stands behind a value, what is refused,
 * and that a value is read as if it were not there. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "tolerance.h"

static void check(const char *text, double low, double high, bool relative, enum unit unit)
{
    struct tolerance t;
    struct complaint why;
    assert_true(tolerance_parse(text, &t, &why));
    near_abs(t.low, low, 1e-15, "");
    near_abs(t.high, high, 1e-15, "");
    assert_int_equal(t.relative, relative);
    assert_int_equal(t.unit, unit);
}

static void forms_are_understood(void **state)
{
    (void)state;
    check("10 %", -0.1, 0.1, true, UNIT_PERCENT);
    check("+-5 %", -0.05, 0.05, true, UNIT_PERCENT);
    check("+/- 5 %", -0.05, 0.05, true, UNIT_PERCENT);
    check("\xC2\xB1"
          "5%",
          -0.05, 0.05, true, UNIT_PERCENT);
    check("-20/+100 %", -0.2, 1, true, UNIT_PERCENT);
    check("-20 % / +100 %", -0.2, 1, true, UNIT_PERCENT);
    check("-20..+100 %", -0.2, 1, true, UNIT_PERCENT);
    check("\xE2\x88\x92"
          "10/+50 %",
          -0.1, 0.5, true, UNIT_PERCENT);
    check("+-3 V", -3, 3, false, UNIT_VOLT);
    check("exact", 0, 0, true, UNIT_PERCENT);
    check("gold", -0.05, 0.05, true, UNIT_PERCENT);
    check("silver", -0.1, 0.1, true, UNIT_PERCENT);
}

static void others_are_refused(void **state)
{
    (void)state;
    static const char *const wrong[] = {
        "",         "5",          "+-",        "-5 %",   "+-5 furlongs", "copper",    "+-100 %",
        "-20/-5 %", "-120/+20 %", "-1 V/+2 A", "10 % 5", "+-5 % or",     "+-5 %/+6 %"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct tolerance t;
        struct complaint why;
        if (tolerance_parse(wrong[i], &t, &why)) fail_msg("`%s` was taken", wrong[i]);
        assert_true(why.message[0] && why.hint[0]);
    }
}

static void behind_a_value(void **state)
{
    (void)state;
    assert_string_equal(tolerance_behind("117 V +-5 %"), "+-5 %");
    assert_string_equal(tolerance_behind("117 V+-5%"), "+-5%");
    assert_string_equal(tolerance_behind("8 uF -20/+100 %"), "-20/+100 %");
    assert_string_equal(tolerance_behind("60 mA at 225 V +/-10 %"), "+/-10 %");
    assert_string_equal(tolerance_behind("8 uF exact"), "exact");
    assert_null(tolerance_behind("117 V"));
    assert_null(tolerance_behind("-16.5 V"));
    assert_null(tolerance_behind("+67 %"));
    assert_null(tolerance_behind("-20/+100 %"));
    assert_null(tolerance_behind("inexact"));
    assert_null(tolerance_behind("1/2 W"));
}

static void a_value_is_read_without_it(void **state)
{
    (void)state;
    double value;
    struct complaint why;
    assert_true(quantity_parse("117 V +-5 %", UNIT_VOLT, &value, &why));
    near_rel(value, 117, 1e-15, "V");
    assert_true(quantity_parse("8 uF exact", UNIT_FARAD, &value, &why));
    near_rel(value, 8e-6, 1e-15, "F");
    assert_false(quantity_parse("117 V +-5 furlongs", UNIT_VOLT, &value, &why));
    assert_non_null(strstr(why.message, "no tolerance"));
    struct token t[QUANTITY_TOKENS];
    assert_int_equal(quantity_scan("60 mA at 225 V +-10 %", t, &why), 3);
}

static void ranges(void **state)
{
    (void)state;
    double low, high;
    const struct tolerance share = {-0.2, 1, true, UNIT_PERCENT}, volts = {-3, 3, false, UNIT_VOLT};
    tolerance_range(&share, 8e-6, &low, &high);
    near_rel(low, 6.4e-6, 1e-14, "F");
    near_rel(high, 16e-6, 1e-14, "F");
    tolerance_range(&share, -10, &low, &high); /* of what is negative, the size counts */
    near_rel(low, -12, 1e-14, "V");
    near_abs(high, 0, 1e-14, "V");
    tolerance_range(&volts, 117, &low, &high);
    near_rel(low, 114, 1e-14, "V");
    near_rel(high, 120, 1e-14, "V");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms_are_understood),
        cmocka_unit_test(others_are_refused),
        cmocka_unit_test(behind_a_value),
        cmocka_unit_test(a_value_is_read_without_it),
        cmocka_unit_test(ranges),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
