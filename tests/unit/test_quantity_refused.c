/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values with units that are refused, each with what is wrong and an example that is read. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "quantity.h"

enum { UNITS = UNIT_JOULE_PER_KELVIN + 1 };

struct refusal {
    const char *text, *message, *hint;
};

static void check_refusals(const struct refusal *refusals, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        struct token tokens[QUANTITY_TOKENS];
        struct complaint why = {"", ""};
        if (quantity_scan(refusals[i].text, tokens, &why) != -1)
            fail_msg("%s was read", refusals[i].text);
        assert_string_equal(why.message, refusals[i].message);
        assert_string_equal(why.hint, refusals[i].hint);
    }
}

#define CHECK_REFUSALS(refusals) check_refusals(refusals, sizeof(refusals) / sizeof((refusals)[0]))

static void test_units_that_are_refused(void **state)
{
    (void)state;
    static const struct refusal refusals[] = {
        {"8 MF", "`8 MF` can be read in two ways", "old drawings mean microfarad: write 8 uF"},
        {"8 mF", "`8 mF` can be read in two ways", "old drawings mean microfarad: write 8 uF"},
        {"8mf.", "`8 mf.` can be read in two ways", "old drawings mean microfarad: write 8 uF"},
        {"8 millifarads", "`8 millifarads` can be read in two ways",
         "old drawings mean microfarad: write 8 uF"},
        {"64 MA", "`64 MA` would be millions of amperes",
         "old drawings mean a thousandth: write 64 mA"},
        {"8 MH", "`8 MH` would be millions of henries",
         "old drawings mean a thousandth: write 8 mH"},
        {"1k5", "`1k5` has a letter in place of the decimal point", "write 1.5 kohm"},
        {"4R7", "`4R7` has a letter in place of the decimal point", "write 4.7 ohm"},
        {"6V3", "`6V3` has a letter in place of the decimal point", "write 6.3 V"},
        {"2u2", "`2u2` has a letter in place of the decimal point", "write 2.2 uF"},
        {"100k", "`k` is no whole unit", "write 100 kohm"},
        {"1 meg", "`meg` is no whole unit", "write 1 Mohm"},
        {"47 u", "`u` is no whole unit", "write 47 uF"},
        {"77 \xC2\xB0"
         "F",
         "temperatures are read in degrees Celsius",
         "take 32 off, times 5/9: 77 degrees Fahrenheit are 25 C"},
        {"47 uX", "unknown unit `uX` behind `47`", "perhaps `47 uF` is meant"},
        {"60 herz", "unknown unit `herz` behind `60`", "perhaps `60 hertz` is meant"},
        {"60 cylces", "unknown unit `cylces` behind `60`", "perhaps `60 cycles` is meant"},
        {"30 S", "unknown unit `S` behind `30`", "perhaps `30 s` is meant"},
        {"12 sections", "unknown unit `sections` behind `12`",
         "units are V A ohm F H W Hz s min h C J kg deg %, with p u m k M before them"},
    };
    CHECK_REFUSALS(refusals);
}

static void test_numbers_that_are_refused(void **state)
{
    (void)state;
    static const char one_value[] = "write one value with its unit, such as 4.7 uF";
    static const char comma[] = "there is a comma inside a number";
    static const char no_figure[] = "write a number with its unit, or leave the key out";
    const struct refusal refusals[] = {
        {"4,7 uF", comma, "the decimal sign is a point: write 4.7 uF"},
        {"0,047uF", comma, "the decimal sign is a point: write 0.047uF"},
        {"1,500 ohm", comma, "write 1500 if it sets thousands apart, 1.500 if decimals"},
        {"1,000,000 ohm", comma, "write it without commas: 1000000 ohm"},
        {"1,234.5 ohm", comma, "write it without commas: 1234.5 ohm"},
        {"-", "`-` is no number", one_value},
        {"- 5 V", "`-` is no number", one_value},
        {". V", "`.` is no number", one_value},
        {"--5 V", "`--5` is no number", one_value},
        {"10-20 V", "`10-20` is no number", one_value},
        {"1.2.3 V", "`1.2.3` is no number", one_value},
        {"1e999 V", "`1e999` is out of range", "look at its power of ten"},
        {"1e-99999 V", "`1e-99999` is out of range", "look at its power of ten"},
        {"inf", "`inf` is no number", no_figure},
        {"Infinity V", "`Infinity` is no number", no_figure},
        {"nan", "`nan` is no number", no_figure},
        {"1 2 3 4 5 6 7 8 9 10 11 12 13", "too many words for a value with its unit", ""},
        {"abcdefghijklmnopqrstuvwxyzabcdef",
         "`abcdefghijklmnopqrstuvwxyzabcdef` is too long for a "
         "word in a value",
         ""},
    };
    CHECK_REFUSALS(refusals);
    char long_text[1000];
    memset(long_text, ' ', sizeof long_text);
    memcpy(long_text + 990, "47 uF", 6);
    const struct refusal too_long[] = {{long_text, "too long for a value with its unit", ""}};
    CHECK_REFUSALS(too_long);
    char longest[200]; /* what just fits is read to its end and not beyond */
    struct token tokens[QUANTITY_TOKENS];
    struct complaint why;
    memset(longest, '0', sizeof longest);
    longest[0] = '1', longest[1] = '.', longest[199] = 0;
    assert_int_equal(quantity_scan(longest, tokens, &why), 1);
    assert_true(tokens[0].value == 1);
}

static void test_wanted_unit(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum unit want;
        const char *message, *hint;
    } cases[] = {
        {"47", UNIT_FARAD, "`47` has no unit: farads belong here", "write it as in `47 uF`"},
        {"0", UNIT_VOLT, "`0` has no unit: volts belong here", "write it as in `0 V`"},
        {"25 at 330 V", UNIT_AMPERE, "`25 at 330 V` has no unit: amperes belong here",
         "write it as in `56 mA`"},
        {"47 V", UNIT_FARAD, "`47 V` is in volts where farads belong", "write it as in `8 uF`"},
        {"10 h", UNIT_HENRY, "`10 h` is in seconds where henries belong", "write it as in `10 H`"},
        {"2 V", UNIT_NUMBER, "`2 V` is in volts where a plain number belongs",
         "write it as in `2`"},
        {"1500 ohm cold", UNIT_OHM, "`1500 ohm cold` holds more than one value",
         "write it as in `1500 ohm`"},
        {"450 V peak", UNIT_VOLT, "`450 V peak` holds more than one value",
         "write it as in `255 V`"},
        {"much", UNIT_VOLT, "`much` is no value", "write it as in `255 V`"},
        {"", UNIT_VOLT, "the value is missing", "write it as in `255 V`"},
        {"8 MF", UNIT_FARAD, "`8 MF` can be read in two ways",
         "old drawings mean microfarad: write 8 uF"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct complaint why;
        double value = 123;
        assert_false(quantity_parse(cases[i].text, cases[i].want, &value, &why));
        assert_string_equal(why.message, cases[i].message);
        assert_string_equal(why.hint, cases[i].hint);
        assert_true(value == 123);
    }
}

/* The example of every hint must itself be readable. */
static void test_examples_are_read(void **state)
{
    (void)state;
    for (int unit = 0; unit < UNITS; unit++) {
        struct complaint why, again;
        double value;
        assert_false(quantity_parse("nothing", unit, &value, &why));
        char example[160];
        const char *start = strchr(why.hint, '`');
        assert_non_null(start);
        snprintf(example, sizeof example, "%s", start + 1);
        *strchr(example, '`') = 0;
        assert_true(quantity_parse(example, unit, &value, &again));
        assert_string_not_equal(quantity_kind(unit), "");
    }
}

/* Any bytes are read or refused with a message, in bounds (the sanitizers watch). */
static void test_any_bytes(void **state)
{
    (void)state;
    static const char alphabet[] =
        "0123456789.,+-eE/ \t%kMmuVAFWHhsohmdegC\xC2\xB5\xE2\x84\xA6\xFF@^";
    uint64_t seed = 7;
    int values = 0, refused = 0;
    for (int i = 0; i < 100000; i++) {
        char text[24];
        int n = (int)(seed >> 33) % 23;
        for (int k = 0; k < n; k++) {
            seed = seed * UINT64_C(6364136223846793005) + 1;
            text[k] = alphabet[(seed >> 33) % (sizeof alphabet - 1)];
        }
        text[n] = 0;
        seed = seed * UINT64_C(6364136223846793005) + 1;
        struct token tokens[QUANTITY_TOKENS];
        struct complaint why;
        int found = quantity_scan(text, tokens, &why);
        assert_in_range(found + 1, 0, QUANTITY_TOKENS + 1);
        if (found == -1) assert_true(why.message[0] != 0);
        for (int k = 0; k < found; k++)
            if (!tokens[k].is_word) assert_true(isfinite(tokens[k].value));
        values += found > 0;
        refused += found < 0;
    }
    assert_true(values > 1000 && refused > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_units_that_are_refused),
        cmocka_unit_test(test_numbers_that_are_refused),
        cmocka_unit_test(test_wanted_unit),
        cmocka_unit_test(test_examples_are_read),
        cmocka_unit_test(test_any_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
