/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading and printing values with units. Prefixes, degree Celsius and degree of angle: BIPM, The
 * International System of Units, 9th ed. 2019, tables 7 and 8, section 2.3.1. Pound: international
 * yard and pound agreement of 1959. What old drawings mean by mfd, mmf, cps: common practice, no
 * source. Every value must come out as the nearest double, so the tolerance is zero unless said
 * otherwise. */
#include <locale.h>
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

struct reading {
    const char *text;
    enum unit unit;
    double value; /* SI */
};

static void check_readings(const struct reading *readings, size_t n)
{
    for (size_t i = 0; i < n; i++)
        near_abs(parsed(readings[i].text, readings[i].unit), readings[i].value, 0,
                 readings[i].text);
}

#define CHECK_READINGS(readings) check_readings(readings, sizeof(readings) / sizeof((readings)[0]))

static void test_prefixes_and_units(void **state)
{
    (void)state;
    static const struct reading readings[] = {
        {"47 uF", UNIT_FARAD, 47e-6},
        {"0.047uF", UNIT_FARAD, 0.047e-6},
        {"100 pF", UNIT_FARAD, 100e-12},
        {"2.2 nF", UNIT_FARAD, 2.2e-9},
        {"1 F", UNIT_FARAD, 1},
        {"1.5 kohm", UNIT_OHM, 1500},
        {"4.7 Mohm", UNIT_OHM, 4.7e6},
        {"1 Mohm", UNIT_OHM, 1e6},
        {"1 mohm", UNIT_OHM, 1e-3},
        {"3 ohms", UNIT_OHM, 3},
        {"2 Gohm", UNIT_OHM, 2e9},
        {"5 volts", UNIT_VOLT, 5},
        {"1 Volt", UNIT_VOLT, 1},
        {"-50 V", UNIT_VOLT, -50},
        {"+6.3V", UNIT_VOLT, 6.3},
        {"64 mV", UNIT_VOLT, 64e-3},
        {"1.4 kV", UNIT_VOLT, 1400},
        {"56 mA", UNIT_AMPERE, 56e-3},
        {"64 ma", UNIT_AMPERE, 64e-3},
        {"10 uA", UNIT_AMPERE, 10e-6},
        {"0.3 A", UNIT_AMPERE, 0.3},
        {"2 amps", UNIT_AMPERE, 2},
        {"1e-3 A", UNIT_AMPERE, 1e-3},
        {"2.5E+2 V", UNIT_VOLT, 250},
        {"10 H", UNIT_HENRY, 10},
        {"250 mH", UNIT_HENRY, 0.25},
        {"30 henries", UNIT_HENRY, 30},
        {"10 W", UNIT_WATT, 10},
        {"10 watts", UNIT_WATT, 10},
        {"1/2 W", UNIT_WATT, 0.5},
        {"60 Hz", UNIT_HERTZ, 60},
        {"1 kHz", UNIT_HERTZ, 1000},
        {"30 s", UNIT_SECOND, 30},
        {"20 ms", UNIT_SECOND, 20e-3},
        {"5 us", UNIT_SECOND, 5e-6},
        {"30min", UNIT_SECOND, 1800},
        {"2 h", UNIT_SECOND, 7200},
        {"1.5 hours", UNIT_SECOND, 5400},
        {"25 C", UNIT_CELSIUS, 298.15},
        {"-10 degC", UNIT_CELSIUS, -10 + 273.15},
        {"40 deg C", UNIT_CELSIUS, 313.15},
        {"2.5 J", UNIT_JOULE, 2.5},
        {"3.2 kg", UNIT_KILOGRAM, 3.2},
        {"250 g", UNIT_KILOGRAM, 0.25},
        {"2 lb", UNIT_KILOGRAM, 2 * 0.45359237},
        {"0.269 mA/V^1.5", UNIT_PERVEANCE, 0.269e-3},
        {"269 uA/V^1.5", UNIT_PERVEANCE, 269e-6},
        {"3.7 A2s", UNIT_I2T, 3.7},
        {"21 deg", UNIT_DEGREE, 21 * (PI / 180)},
        {"5 %", UNIT_PERCENT, 0.05},
        {"50 K/W", UNIT_KELVIN_PER_WATT, 50},
        {"12 J/K", UNIT_JOULE_PER_KELVIN, 12},
        {"3", UNIT_NUMBER, 3},
        {".5", UNIT_NUMBER, 0.5},
        {"5.", UNIT_NUMBER, 5},
        {"  7  ", UNIT_NUMBER, 7},
    };
    CHECK_READINGS(readings);
}

static void test_old_names(void **state)
{
    (void)state;
    static const struct reading readings[] = {
        {"8 mfd", UNIT_FARAD, 8e-6},
        {"8 MFD", UNIT_FARAD, 8e-6},
        {"8 mfd.", UNIT_FARAD, 8e-6},
        {"16 UF", UNIT_FARAD, 16e-6},
        {"8 microfarads", UNIT_FARAD, 8e-6},
        {"250 mmf", UNIT_FARAD, 250e-12},
        {"250 MMFD", UNIT_FARAD, 250e-12},
        {"250 uuF", UNIT_FARAD, 250e-12},
        {"250 micromicrofarads", UNIT_FARAD, 250e-12},
        {"60 cps", UNIT_HERTZ, 60},
        {"60 cycles", UNIT_HERTZ, 60},
        {"60 c/s", UNIT_HERTZ, 60},
        {"455 kc", UNIT_HERTZ, 455e3},
        {"2 megohms", UNIT_OHM, 2e6},
        {"10 Kilohms", UNIT_OHM, 10e3},
        {"64 milliamperes", UNIT_AMPERE, 64e-3},
    };
    CHECK_READINGS(readings);
}

/* Every spelling there is, where those above leave one out. */
static void test_other_spellings(void **state)
{
    (void)state;
    static const struct reading readings[] = {
        {"3 v", UNIT_VOLT, 3},
        {"1 volt", UNIT_VOLT, 1},
        {"117 vac", UNIT_VOLT, 117},
        {"6.3 VAC", UNIT_VOLT, 6.3},
        {"250 vdc", UNIT_VOLT, 250},
        {"5 Vrms", UNIT_VOLT, 5},
        {"2 a", UNIT_AMPERE, 2},
        {"1 amp", UNIT_AMPERE, 1},
        {"1 ampere", UNIT_AMPERE, 1},
        {"2 amperes", UNIT_AMPERE, 2},
        {"8 ufd", UNIT_FARAD, 8e-6},
        {"100 uufd", UNIT_FARAD, 100e-12},
        {"100 uuf", UNIT_FARAD, 100e-12},
        {"47 nf", UNIT_FARAD, 47e-9},
        {"1 farad", UNIT_FARAD, 1},
        {"10 picofarads", UNIT_FARAD, 10e-12},
        {"22 nanofarads", UNIT_FARAD, 22e-9},
        {"4 mh", UNIT_HENRY, 4e-3},
        {"30 uh", UNIT_HENRY, 30e-6},
        {"1 henry", UNIT_HENRY, 1},
        {"2 henrys", UNIT_HENRY, 2},
        {"5 w", UNIT_WATT, 5},
        {"1 watt", UNIT_WATT, 1},
        {"2 kW", UNIT_WATT, 2000},
        {"60 hz", UNIT_HERTZ, 60},
        {"50 HZ", UNIT_HERTZ, 50},
        {"25 hertz", UNIT_HERTZ, 25},
        {"60 c.p.s.", UNIT_HERTZ, 60},
        {"60 ~", UNIT_HERTZ, 60},
        {"1 cycle", UNIT_HERTZ, 1},
        {"9 sec", UNIT_SECOND, 9},
        {"9 secs", UNIT_SECOND, 9},
        {"1 second", UNIT_SECOND, 1},
        {"9 seconds", UNIT_SECOND, 9},
        {"1 min", UNIT_SECOND, 60},
        {"2 mins", UNIT_SECOND, 120},
        {"1 minute", UNIT_SECOND, 60},
        {"2 minutes", UNIT_SECOND, 120},
        {"1 hr", UNIT_SECOND, 3600},
        {"2 hrs", UNIT_SECOND, 7200},
        {"1 hour", UNIT_SECOND, 3600},
        {"25 celsius", UNIT_CELSIUS, 298.15},
        {"3 Ws", UNIT_JOULE, 3},
        {"1 joule", UNIT_JOULE, 1},
        {"2 joules", UNIT_JOULE, 2},
        {"5 gram", UNIT_KILOGRAM, 5e-3},
        {"5 grams", UNIT_KILOGRAM, 5e-3},
        {"1 lbs", UNIT_KILOGRAM, 0.45359237},
        {"1 pound", UNIT_KILOGRAM, 0.45359237},
        {"1 pounds", UNIT_KILOGRAM, 0.45359237},
        {"2 mA/V^3/2", UNIT_PERVEANCE, 2e-3},
        {"2 mA/V^(3/2)", UNIT_PERVEANCE, 2e-3},
        {"2 mA/V1.5", UNIT_PERVEANCE, 2e-3},
        {"2 mperv", UNIT_PERVEANCE, 2e-3},
        {"2 A^2s", UNIT_I2T, 2},
        {"90 degree", UNIT_DEGREE, 90 * (PI / 180)},
        {"90 degrees", UNIT_DEGREE, 90 * (PI / 180)},
        {"7 percent", UNIT_PERCENT, 0.07},
        {"5 C/W", UNIT_KELVIN_PER_WATT, 5},
        {"5 degC/W", UNIT_KELVIN_PER_WATT, 5},
        {"5 J/C", UNIT_JOULE_PER_KELVIN, 5},
        {"5 J/degC", UNIT_JOULE_PER_KELVIN, 5},
    };
    CHECK_READINGS(readings);
}

static void test_signs_of_other_keyboards(void **state)
{
    (void)state;
    static const struct reading readings[] = {
        {"47 \xC2\xB5"
         "F",
         UNIT_FARAD, 47e-6},
        {"47 \xCE\xBC"
         "F",
         UNIT_FARAD, 47e-6},
        {"5 k\xCE\xA9", UNIT_OHM, 5000},
        {"5 \xE2\x84\xA6", UNIT_OHM, 5},
        {"25 \xC2\xB0"
         "C",
         UNIT_CELSIUS, 298.15},
        {"25 \xE2\x84\x83", UNIT_CELSIUS, 298.15},
        {"90\xC2\xB0", UNIT_DEGREE, 90 * (PI / 180)},
        {"3.7 A\xC2\xB2\xC2\xB7s", UNIT_I2T, 3.7},
        {"\xE2\x88\x92"
         "6 V",
         UNIT_VOLT, -6},
        {"6\xC2\xA0V", UNIT_VOLT, 6},
        {"6\t\nV", UNIT_VOLT, 6},
    };
    CHECK_READINGS(readings);
}

static void test_kind_of_current_is_passed_over(void **state)
{
    (void)state;
    static const struct reading readings[] = {
        {"117 V AC", UNIT_VOLT, 117},  {"117 VAC", UNIT_VOLT, 117},
        {"450 VDC", UNIT_VOLT, 450},   {"450 volts dc", UNIT_VOLT, 450},
        {"6.3 V rms", UNIT_VOLT, 6.3}, {"2 A DC", UNIT_AMPERE, 2},
    };
    CHECK_READINGS(readings);
}

/* A phrase as `[value unit]` and `<word>`. */
static void phrase(const char *text, char *out, size_t room)
{
    struct token tokens[QUANTITY_TOKENS];
    struct complaint why;
    int n = quantity_scan(text, tokens, &why);
    snprintf(out, room, "%s", n < 0 ? why.message : "");
    for (int i = 0; i < n; i++) {
        size_t used = strlen(out);
        if (tokens[i].is_word) snprintf(out + used, room - used, "<%s>", tokens[i].word);
        else
            snprintf(out + used, room - used, "[%g %s]", tokens[i].value,
                     quantity_symbol(tokens[i].unit));
    }
}

static void test_phrases(void **state)
{
    (void)state;
    static const char *const phrases[][2] = {
        {"", ""},
        {"25 mA at 330 V", "[0.025 A]<at>[330 V]"},
        {"25mA @ 330V", "[0.025 A]<at>[330 V]"},
        {"1500 ohm cold", "[1500 ohm]<cold>"},
        {"10 H at 60 mA", "[10 H]<at>[0.06 A]"},
        {"60 W 120 V", "[60 W][120 V]"},
        {"6.3 V, 0.3 A", "[6.3 V][0.3 A]"},
        {"6.3 V 0.3 A", "[6.3 V][0.3 A]"},
        {"117 V AC 60 cycles", "[117 V][60 Hz]"},
        {"at 20 s", "<at>[20 s]"},
        {"unknown", "<unknown>"},
        {"Tubes in", "<Tubes><in>"},
        {"25 at 330 V", "[25 ]<at>[330 V]"},
        {"3 4", "[3 ][4 ]"},
        {"90 deg cold", "[1.5708 rad]<cold>"},
        {"90 deg V", "[1.5708 rad]<V>"},
    };
    for (size_t i = 0; i < sizeof phrases / sizeof phrases[0]; i++) {
        char out[200];
        phrase(phrases[i][0], out, sizeof out);
        assert_string_equal(out, phrases[i][1]);
    }
}

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

/* A decimal comma of the system changes nothing. */
static void test_no_locale(void **state)
{
    (void)state;
    static const char *const with_comma[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8", "de_DE"};
    bool set = false;
    for (int i = 0; i < 4 && !set; i++) set = setlocale(LC_ALL, with_comma[i]) != NULL;
    if (!set) skip();
    char out[32];
    double value = parsed("4.7 uF", UNIT_FARAD);
    quantity_text(4.7e-6, UNIT_FARAD, 3, out, sizeof out);
    setlocale(LC_ALL, "C");
    near_abs(value, 4.7e-6, 0, "F");
    assert_string_equal(out, "4.7 uF");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_prefixes_and_units),
        cmocka_unit_test(test_old_names),
        cmocka_unit_test(test_other_spellings),
        cmocka_unit_test(test_signs_of_other_keyboards),
        cmocka_unit_test(test_kind_of_current_is_passed_over),
        cmocka_unit_test(test_phrases),
        cmocka_unit_test(test_units_that_are_refused),
        cmocka_unit_test(test_numbers_that_are_refused),
        cmocka_unit_test(test_wanted_unit),
        cmocka_unit_test(test_examples_are_read),
        cmocka_unit_test(test_any_bytes),
        cmocka_unit_test(test_no_locale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
