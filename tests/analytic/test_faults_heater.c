/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heaters that fail in a string: exact solutions of the stated circuits, which are invented. A
 * heater at its rated volts draws its rated amperes, whatever its law says of other volts. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "shop.h"

#define VOLTS 12.6
#define AMPERES 0.15

/* Three equal heaters across the rated volts of two, from warm. */
static const struct result *string(const char *second, const char *third, const char *more)
{
    return shop_run(arena_printf(shop_arena(),
                                 "format: 1\nreference: neutral\n"
                                 "mains: {voltage: %g V, frequency: 60 Hz, resistance: 0 ohm}\n"
                                 "run: {for: 60 s, start: hot}\nparts:\n"
                                 "  H1: {is: heater, across: [line, a], rated: 12.6 V 0.15 A}\n"
                                 "  H2: {is: heater, across: [a, b], rated: 12.6 V 0.15 A%s}\n"
                                 "  H3: {is: heater, across: [b, neutral], rated: 12.6 V 0.15 A%s}"
                                 "\n  R1: {is: resistor, across: [cathode, neutral], resistance: "
                                 "1 kohm}\n  R2: {is: resistor, across: [cathode, neutral], "
                                 "resistance: 1 Mohm}\n%s",
                                 2 * VOLTS, second, third, more),
                    0, NULL, NULL);
}

static void volts(const struct result *r, double first, double second, double third)
{
    near_abs(shop_figure(r, "H1", MEASURE_RMS_VOLTAGE), first, 2e-3 * VOLTS, "V");
    near_abs(shop_figure(r, "H2", MEASURE_RMS_VOLTAGE), second, 2e-3 * VOLTS, "V");
    near_abs(shop_figure(r, "H3", MEASURE_RMS_VOLTAGE), third, 2e-3 * VOLTS, "V");
}

static void a_sound_string_shares_the_line(void **state)
{
    (void)state;
    volts(string("", "", ""), 2 * VOLTS / 3, 2 * VOLTS / 3, 2 * VOLTS / 3);
}

/* The third is dark, the others take the line: now or from the start. */
static void a_heater_on_its_cathode_darkens_what_lies_behind(void **state)
{
    const char *fault =
        "condition: heater-cathode short, cathode: neutral, short resistance: 0 ohm";
    (void)state;
    for (int later = 0; later < 2; later++) {
        const struct result *r =
            later ? string("", "", arena_printf(shop_arena(), "at 5 s: {H3: {%s}}\n", fault))
                  : string("", arena_printf(shop_arena(), ", %s", fault), "");
        volts(r, VOLTS, VOLTS, 0);
        near_rel(shop_figure(r, "H1", MEASURE_RMS_CURRENT), AMPERES, 2e-3, "A");
        near_rel(shop_figure(r, "H3.short", MEASURE_RMS_CURRENT), AMPERES, 2e-3, "A");
    }
}

/* The other pin: the second's lower end is where the third's upper is. */
static void either_pin_may_touch(void **state)
{
    (void)state;
    volts(string(", condition: heater-cathode short, cathode: neutral, short to: b, short "
                 "resistance: 0 ohm",
                 "", ""),
          VOLTS, VOLTS, 0);
}

/* From its upper pin through 99 kohm to a cathode resistor of 1 kohm (999 ohm with the other): all
 * are resistances, so a string's volts are shared, and the hum at the cathode is the divider's. */
static void a_leak_hums_at_the_cathode(void **state)
{
    const struct result *r = string(
        "", ", condition: heater-cathode short, cathode: cathode, short resistance: 99 kohm", "");
    const double foot = 1e3 * 1e6 / (1e3 + 1e6);
    (void)state;
    near_rel(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE),
             shop_figure(r, "H3", MEASURE_RMS_VOLTAGE) * foot / (foot + 99e3), 1e-6, "V");
    volts(r, 2 * VOLTS / 3, 2 * VOLTS / 3, 2 * VOLTS / 3);
}

static void a_burnt_out_heater_takes_the_line(void **state)
{
    (void)state;
    for (int later = 0; later < 2; later++) {
        const struct result *r = later ? string("", "", "at 5 s: {H2: {condition: burnt out}}\n")
                                       : string(", condition: burnt out", "", "");
        near_rel(shop_figure(r, "H2", MEASURE_RMS_VOLTAGE), 2 * VOLTS, 1e-9, "V");
        near_abs(shop_figure(r, "H1", MEASURE_RMS_CURRENT), 0, 1e-12, "A");
        near_abs(shop_figure(r, "H3", MEASURE_RMS_VOLTAGE), 0, 1e-9, "V");
        near_abs(shop_figure(r, "mains", MEASURE_LINE_POWER), 0, 0, "W");
        near_abs(shop_figure(r, "mains", MEASURE_LINE_CURRENT), 0, 0, "A");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sound_string_shares_the_line),
        cmocka_unit_test(a_heater_on_its_cathode_darkens_what_lies_behind),
        cmocka_unit_test(either_pin_may_touch),
        cmocka_unit_test(a_leak_hums_at_the_cathode),
        cmocka_unit_test(a_burnt_out_heater_takes_the_line),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
