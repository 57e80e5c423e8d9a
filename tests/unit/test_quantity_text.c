/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printing values in the trade's form (common practice, no source), and reading them back. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "quantity.h"

enum { UNITS = UNIT_JOULE_PER_KELVIN + 1 };

static double parsed(const char *text, enum unit unit)
{
    struct complaint why;
    double value = (double)NAN;
    if (!quantity_parse(text, unit, &value, &why))
        print_error("%s: %s (%s)\n", text, why.message, why.hint);
    return value;
}

struct printing {
    double value;
    enum unit unit;
    int digits;
    const char *text;
};

static void test_printing(void **state)
{
    (void)state;
    static const struct printing printings[] = {
        {47e-6, UNIT_FARAD, 3, "47 uF"},
        {0.047e-6, UNIT_FARAD, 3, "0.047 uF"},
        {1e-9, UNIT_FARAD, 3, "0.001 uF"},
        {470e-12, UNIT_FARAD, 3, "470 pF"},
        {22000e-6, UNIT_FARAD, 3, "22000 uF"},
        {1500, UNIT_OHM, 3, "1.5 kohm"},
        {999.6, UNIT_OHM, 3, "1 kohm"},
        {0.04, UNIT_OHM, 3, "0.04 ohm"},
        {4.7e6, UNIT_OHM, 2, "4.7 Mohm"},
        {0.06418, UNIT_AMPERE, 3, "64.2 mA"},
        {0.99996, UNIT_AMPERE, 3, "1 A"},
        {455.4, UNIT_VOLT, 3, "455 V"},
        {455.4, UNIT_VOLT, 2, "460 V"},
        {-455.4, UNIT_VOLT, 1, "-500 V"},
        {1414, UNIT_VOLT, 3, "1410 V"},
        {0.7, UNIT_VOLT, 3, "0.7 V"},
        {0, UNIT_VOLT, 3, "0 V"},
        {-0.0, UNIT_FARAD, 3, "0 uF"},
        {3.2, UNIT_SECOND, 3, "3.2 s"},
        {0.0032, UNIT_SECOND, 3, "3.2 ms"},
        {120, UNIT_SECOND, 3, "120 s"},
        {150, UNIT_SECOND, 3, "2.5 min"},
        {9000, UNIT_SECOND, 3, "2.5 h"},
        {298.15, UNIT_CELSIUS, 3, "25 C"},
        {PI / 2, UNIT_DEGREE, 3, "90 deg"},
        {0.05, UNIT_PERCENT, 3, "5 %"},
        {2.69e-4, UNIT_PERVEANCE, 3, "0.269 mA/V^1.5"},
        {0.25, UNIT_KILOGRAM, 3, "250 g"},
        {12, UNIT_JOULE_PER_KELVIN, 3, "12 J/K"},
        {3, UNIT_NUMBER, 3, "3"},
        {1e12, UNIT_NUMBER, 3, "1e12"},
        {1.25e-9, UNIT_NUMBER, 3, "1.25e-9"},
        {(double)INFINITY, UNIT_SECOND, 3, "unlimited"},
        {-(double)INFINITY, UNIT_SECOND, 3, "-unlimited"},
        {1.7e308, UNIT_PERCENT, 3, "unlimited"}, /* a hundred times that is no double */
        {(double)NAN, UNIT_SECOND, 3, "unknown"},
    };
    for (size_t i = 0; i < sizeof printings / sizeof printings[0]; i++) {
        const struct printing *p = &printings[i];
        char out[64];
        assert_string_equal(quantity_text(p->value, p->unit, p->digits, out, sizeof out), p->text);
    }
}

static void test_printing_into_little_room(void **state)
{
    (void)state;
    char out[8] = "xxxxxxx";
    assert_string_equal(quantity_text(0.06418, UNIT_AMPERE, 3, out, 5), "64.2");
    assert_int_equal(out[5], 'x');
    assert_ptr_equal(quantity_text(1, UNIT_AMPERE, 3, out, 0), out);
    assert_string_equal(out, "64.2");
}

/* What is printed is read back within half of its last digit; in degrees Celsius that is a digit of
 * the Celsius value. */
static void check_round_trip(double value, enum unit unit, int digits)
{
    char text[64], shown[80];
    quantity_text(value, unit, digits, text, sizeof text);
    double zero = unit == UNIT_CELSIUS ? 273.15 : 0, rounding = 4e-16 * (fabs(value) + zero);
    double half_digit = 0.5 * pow(10, 1 - digits) * fabs(value - zero);
    snprintf(shown, sizeof shown, "(%s)", text);
    near_abs(parsed(text, unit), value, half_digit + rounding, shown);
}

static void test_round_trip(void **state)
{
    (void)state;
    uint64_t seed = 1; /* linear congruential generator, multiplier from memory (Knuth's MMIX) */
    for (int unit = 0; unit < UNITS; unit++)
        for (int digits = 1; digits <= 15; digits++)
            for (int power = -14; power <= 14; power++) {
                seed = seed * UINT64_C(6364136223846793005) + 1;
                double mantissa = 1 + 9 * (double)(seed >> 11) / 9007199254740992.0;
                double value = mantissa * pow(10, power);
                check_round_trip(value, unit, digits);
                check_round_trip(-value, unit, digits);
                check_round_trip(9.9999999999 * pow(10, power), unit, digits);
            }
}

static void test_symbols(void **state)
{
    (void)state;
    static const char *const symbols[UNITS] = {"",        "V",   "A",   "ohm", "F",   "H",
                                               "W",       "Hz",  "s",   "K",   "J",   "kg",
                                               "A/V^1.5", "A2s", "rad", "",    "K/W", "J/K"};
    for (int unit = 0; unit < UNITS; unit++)
        assert_string_equal(quantity_symbol(unit), symbols[unit]);
    assert_string_equal(quantity_kind(UNIT_VOLT), "volts");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_printing),
        cmocka_unit_test(test_printing_into_little_room),
        cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_symbols),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
