/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The 3/2 law of a diode and the emission of its cathode. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "emission.h"
#include "laws.h"
#include "near.h"

enum { COEFFICIENTS = DEVICE_PORTS * PORT_COEFFICIENTS };

/* 60 V at 125 mA, drop of the type 80 (hobby summary of makers' sheets): I = K V^1.5. */
static void diode_follows_three_halves(void **state)
{
    struct diode_law law = {.perveance = 0.125 / (60 * sqrt(60.0))};
    double c[COEFFICIENTS], g;
    (void)state;
    law_diode.prepare(&law, NULL, NULL, c);
    near_rel(law_diode.current(&law, 0, c, 60, &g), 0.125, 1e-14, "A");
    near_rel(g, 1.5 * 0.125 / 60, 1e-14, "S");
    near_rel(law_diode.current(&law, 0, c, 240, &g), 1.0, 1e-14, "A");
    near_abs(law_diode.current(&law, 0, c, -5, &g), 0, 0, "A");
    near_abs(g, 0, 0, "S");
}

static void diode_is_limited_by_emission(void **state)
{
    struct diode_law law = {.perveance = 1e-3, .emission = 0.2, .heated = 1};
    double c[COEFFICIENTS], g, kelvin = EMISSION_RATED_KELVIN;
    (void)state;
    law_diode.prepare(&law, NULL, &kelvin, c);
    near_rel(law_diode.current(&law, 0, c, 10, &g), 1e-3 * 10 * sqrt(10.0), 2e-4, "A");
    near_rel(law_diode.current(&law, 0, c, 3000, &g), 0.2, 1e-6, "A");
    kelvin = 300;
    law_diode.prepare(&law, NULL, &kelvin, c);
    near_abs(law_diode.current(&law, 0, c, 500, &g), 0, 1e-12, "A");
}

/* Richardson-Dushman by hand: ln of the ratio at two temperatures, work function 1 eV, k from
 * CODATA 2018. */
static void emission_follows_richardson(void **state)
{
    const double k = 8.617333262e-5; /* [eV/K] */
    double slope;
    (void)state;
    near_rel(emission_saturation(EMISSION_RATED_KELVIN, &slope), 1, 1e-14, "");
    for (double t = 400; t < 1200; t += 50) {
        double wanted =
            2 * log(t / EMISSION_RATED_KELVIN) - (1 / t - 1 / EMISSION_RATED_KELVIN) / k;
        near_abs(log(emission_saturation(t, &slope)), wanted, 5e-5, "");
    }
}

static void emission_slopes_are_derivatives(void **state)
{
    double (*const functions[])(double, double *) = {emission_saturation, emission_perveance,
                                                     emission_share};
    (void)state;
    for (int f = 0; f < 3; f++)
        for (double t = 350; t < 1300; t += 7.3) {
            double slope, unused, h = 1e-3;
            functions[f](t, &slope);
            double numeric =
                (functions[f](t + h, &unused) - functions[f](t - h, &unused)) / (2 * h);
            near_abs(slope, numeric, 1e-6 * fabs(numeric) + 1e-12, "1/K");
        }
}

static void emission_share_rises_from_nothing(void **state)
{
    double before = 0, slope;
    (void)state;
    near_abs(emission_share(300, &slope), 0, 1e-9, "");
    near_abs(emission_share(EMISSION_RATED_KELVIN, &slope), 1, 1e-4, "");
    for (double t = 300; t < 1200; t += 5) {
        double share = emission_share(t, &slope);
        assert_true(share > before && slope > 0);
        before = share;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(diode_follows_three_halves),
        cmocka_unit_test(diode_is_limited_by_emission),
        cmocka_unit_test(emission_follows_richardson),
        cmocka_unit_test(emission_slopes_are_derivatives),
        cmocka_unit_test(emission_share_rises_from_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
