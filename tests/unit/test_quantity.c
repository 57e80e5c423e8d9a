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
        cmocka_unit_test(test_no_locale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
