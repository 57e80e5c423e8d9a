/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Byte for byte against printf's "%.9g", which rounds exactly and sees to ties. */
#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "decimal.h"

static void same_as_printf(double value)
{
    char got[DECIMAL_BYTES], wanted[64];
    int n = snprintf(wanted, sizeof wanted, "%.9g", value);
    memset(got, '#', sizeof got);
    if (decimal_format(got, value) != n || strcmp(got, wanted) != 0)
        fail_msg("%a: %.*s instead of %s", value, DECIMAL_BYTES, got, wanted);
}

/* With either sign, and its neighbours. */
static void around(double value)
{
    double below = value, above = value;
    for (int i = 0; i < 4; i++) {
        same_as_printf(below);
        same_as_printf(-below);
        same_as_printf(above);
        same_as_printf(-above);
        below = nextafter(below, -HUGE_VAL);
        above = nextafter(above, HUGE_VAL);
    }
}

static void edges(void **state)
{
    (void)state;
    static const double values[] = {
        0, DBL_TRUE_MIN, DBL_MIN, DBL_MAX, 1e300, 1e-300, 0.0001, 330 + 1.0 / 3, 4294967295.5,
        /* ties, or next to one */
        1.000000005, 1.0000000050000002, 99999.99995, 0.00009999999995, 0.000099999999949,
        999999998.5, 999999999.5, 99999999.95, 100000000.5};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) around(values[i]);
}

static void not_finite(void **state)
{
    (void)state;
    char text[DECIMAL_BYTES];
    same_as_printf(HUGE_VAL);
    same_as_printf(-HUGE_VAL);
    assert_int_equal(decimal_format(text, copysign((double)NAN, -1)), 3);
    assert_string_equal(text, "nan");
}

static void powers_of_ten(void **state)
{
    (void)state;
    for (int e = -330; e <= 308; e++) {
        char text[64];
        double value;
        static const char *const digits[] = {"1", "9.999999995", "9.99999999499", "1.000000005",
                                             "4.999999995"};
        for (size_t i = 0; i < sizeof digits / sizeof digits[0]; i++) {
            snprintf(text, sizeof text, "%se%d", digits[i], e);
            assert_int_equal(sscanf(text, "%lf", &value), 1);
            around(value);
        }
    }
}

/* Marsaglia, "Xorshift RNGs", J. Stat. Software 8 (2003) no. 14. */
static uint64_t next(uint64_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 7;
    return *seed ^= *seed << 17;
}

static void any_bits(void **state)
{
    (void)state;
    uint64_t seed = 20240229;
    for (int i = 0; i < 50000; i++) {
        uint64_t bits = next(&seed);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isnan(value)) same_as_printf(value);
    }
}

/* Of the sizes that traces hold, with few digits and with many. */
static void decimals(void **state)
{
    (void)state;
    uint64_t seed = 88172645463325252;
    for (int i = 0; i < 100000; i++) {
        double value =
            (double)(next(&seed) % 1000000007) * pow(10, (double)(next(&seed) % 20) - 14);
        if (i % 2) value = -value / 7;
        same_as_printf(value);
    }
}

/* Ten digits of which the last is a five: half a unit of the ninth, or a hair beside it. */
static void ties(void **state)
{
    (void)state;
    uint64_t seed = 42;
    for (int i = 0; i < 20000; i++) {
        double tenth = (double)(next(&seed) % 900000000 + 100000000) * 10 + 5;
        same_as_printf(tenth / 10); /* exact */
        same_as_printf(tenth / pow(10, (double)(next(&seed) % 24)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(edges),    cmocka_unit_test(not_finite), cmocka_unit_test(powers_of_ten),
        cmocka_unit_test(any_bits), cmocka_unit_test(decimals),   cmocka_unit_test(ties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
