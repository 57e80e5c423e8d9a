/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What wire resists when it is warm: tungsten and copper. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "laws.h"
#include "near.h"

enum { COEFFICIENTS = DEVICE_PORTS * PORT_COEFFICIENTS };

/* Tungsten from 300 K to 2800 K: resistivity 5.65 and 81.04 microohm cm, ratio 14.3 (Jones and
 * Langmuir, General Electric Review 30, 1927); the power law holds it within 5 %. */
static void filament_is_tungsten(void **state)
{
    const double rho[] = {5.65,  8.06,  10.56, 13.23, 16.09, 19.00, 21.94, 24.93, 27.94,
                          30.98, 34.08, 37.19, 40.36, 43.55, 46.78, 50.05, 53.35, 56.67,
                          60.06, 63.48, 66.91, 70.39, 73.91, 77.49, 81.04, 84.70, 88.33};
    struct heater_law lamp = {.sections = 1,
                              .parallel = 1,
                              .resistance = {100},
                              .watts = {100},
                              .wire_kelvin = 1600,
                              .ambient = 298,
                              .wire_heat = {0.01}};
    struct worst worst = {0};
    (void)state;
    for (int k = 0; k < (int)(sizeof rho / sizeof rho[0]); k++) {
        double s = 300 + 100 * k, c[COEFFICIENTS], g;
        char row[32];
        law_heater.prepare(&lamp, &s, NULL, c);
        law_heater.current(&lamp, 0, c, 1, &g);
        snprintf(row, sizeof row, "%g K", s);
        worst_take(&worst, 1 / (g + 1 / lamp.resistance[0]), 100 * rho[k] / rho[13], row);
    }
    worst_check(&worst, "tungsten's resistance", 0.06);
}

/* Copper rises by 0.393 % per kelvin at 20 deg C (IEC 60028): 50 K by 19.6 %. */
static void copper_warms(void **state)
{
    struct warm_law law = {.ports = 1,
                           .resistance = {1000},
                           .coefficient = 1 / 254.5,
                           .reference = 293.15,
                           .body = {.heat = 100, .to_ambient = 0.1, .ambient = 293.15}};
    double s = 293.15 + 50, c[COEFFICIENTS], g, ds, v = 100;
    (void)state;
    law_warm.prepare(&law, &s, NULL, c);
    law_warm.current(&law, 0, c, v, &g);
    near_rel(1 / (g + 1 / law.resistance[0]), 1000 * (1 + 50 / 254.5), 1e-12, "ohm");
    law_warm.rates(&law, &v, &s, c, &ds);
    near_rel(ds, (v * v / (1000 * (1 + 50 / 254.5)) - 5) / 100, 1e-12, "K/s");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(filament_is_tungsten),
        cmocka_unit_test(copper_warms),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
