/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rectifier that charges a battery through a resistance: half a sine cut off at the battery's
 * volts, integrated in closed form. Bimbhra, Power Electronics, Ex. 3.9 p. 71: 230 V, 50 Hz,
 * half-wave, 150 V, 8 ohm; his figures (4.97 A, 9.29 A, 745.11 W, power factor 0.672, 690.74 W,
 * 475.27 V inverse) are rounded on the way, the exact ones stand beside them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "supply.h"
#include "table.h"

static const double rms_volts = 230, battery = 150, ohms = 8, hertz = 50;

struct answer {
    double average, rms, watts, factor, resistor_watts, inverse; /* A, A, W, 1, W, V */
};

static struct answer charge(double phase)
{
    struct supply s = {
        .frequency = hertz, .peak = rms_volts * sqrt(2), .degrees = phase, .source = ohms};
    struct handmade h = supply_new(&s);
    hand_steady(&h, "battery", "+", "0", battery);
    const struct result *r = hand_run_settled(&h, 0.5);
    struct answer a = {.average = hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT),
                       .rms = hand_figure(r, "D1", MEASURE_RMS_CURRENT),
                       .resistor_watts = hand_figure(r, "Rs", MEASURE_DISSIPATION),
                       .inverse = hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE)};
    a.watts = battery * a.average;
    a.factor = (a.watts + a.resistor_watts) / (rms_volts * a.rms);
    near_rel(hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT), 21.9086399, 1e-3, "A");
    near_abs(hand_figure(r, "D1", MEASURE_DISSIPATION), 0, 1e-9, "W");
    handmade_free(&h);
    return a;
}

static void test_battery(void **state)
{
    (void)state;
    struct table t = table_new("battery charger");
    for (int phase = 0; phase < 360; phase += 40) {
        struct answer a = charge(phase);
        table_row(&t, "from %d degrees", phase);
        table_level(&t, "average", a.average, 4.96932182);
        table_level(&t, "rms", a.rms, 9.29202720);
        table_level(&t, "watts into the battery", a.watts, 745.398273);
        table_level(&t, "power factor", a.factor, 0.671979742);
        table_level(&t, "watts in the resistance", a.resistor_watts, 690.734156);
        table_level(&t, "inverse volts", a.inverse, 475.269119);
    }
    table_end(&t);
}

/* The book's own figures, to the last digit it gives or as far off as its rounding is. */
static void test_published(void **state)
{
    (void)state;
    struct answer a = charge(0);
    near_abs(a.average, 4.97, 0.005, "A");
    near_abs(a.rms, 9.29, 0.005, "A");
    near_abs(a.resistor_watts, 690.74, 0.01, "W");
    near_abs(a.factor, 0.672, 0.0005, "1");
    near_abs(a.inverse, 475.27, 0.005, "V");
    near_abs(745.11 / a.watts - 1, -3.9e-4, 1e-5, "1");
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_battery),
        cmocka_unit_test(test_published),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
