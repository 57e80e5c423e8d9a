/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vibrator's contact: what it makes and breaks, against Ohm's law and against the periodic
 * solution of a coil with a buffer by matrix exponentials (exact for the stated circuit). The
 * circuits are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>
#include <gsl/gsl_linalg.h>

#include "near.h"
#include "shop.h"

/* Ideal transformer, 6 V to 60 V, 400 ohm on it: 4 ohm seen from the primary, 0.5 ohm before it.
 * 12 V give 8/3 A while the contact is closed, and 320/3 V; nothing overshoots, open gap or not. */
static void a_resistance_has_flat_tops(void **state)
{
    (void)state;
    for (int open = 0; open < 2; open++) {
        const struct result *r = shop_run(
            arena_printf(shop_arena(),
                         "format: 1\nmains: {voltage: 12 V, frequency: 100 Hz, shape: square, "
                         "dwell: 0.8, gap: %s,\n  resistance: 0.5 ohm, across: [hot, chassis]}\n"
                         "run: {for: 0.5 s}\nparts:\n"
                         "  T1:\n    is: power transformer\n    ideal: yes\n"
                         "    primary: {across: [hot, chassis], rated: 6 V, resistance: 0 ohm}\n"
                         "    windings:\n      out: {across: [a, chassis], open circuit: 60 V, "
                         "resistance: 0 ohm}\n"
                         "  R1: {is: resistor, across: [a, chassis], resistance: 400 ohm}\n",
                         open ? "open" : "shorted"),
            0, NULL, NULL);
        const double amperes = 12 / 4.5;
        near_rel(shop_figure(r, "mains", MEASURE_MAKE_CURRENT), amperes, 1e-6, "A");
        near_rel(shop_figure(r, "mains", MEASURE_BREAK_CURRENT), amperes, 1e-6, "A");
        near_rel(shop_figure(r, "mains", MEASURE_CONTACT_PEAK_CURRENT), amperes, 1e-6, "A");
        near_rel(shop_figure(r, "mains", MEASURE_LINE_CURRENT), amperes * sqrt(0.8), 1e-6, "A");
        near_rel(shop_figure(r, "T1.out", MEASURE_FLAT_TOP_VOLTAGE), 40 * amperes, 1e-6, "V");
        near_abs(shop_figure(r, "T1.out", MEASURE_OVERSHOOT_VOLTAGE), 0, 1e-4, "V");
    }
}

#define E 100.0  /* [V] */
#define RS 10.0  /* before the contact [ohm] */
#define COIL 1.0 /* [H] */
#define COPPER 20.0
#define LOAD 10e3
#define HALF (0.5 / 115) /* [s] */
#define DWELL 0.85

/* w(t) = exp(A t) w of w = (coil's amperes, volts, 1) in `seconds`; driven: the contact is closed.
 */
static void spread(double farads, bool driven, double seconds, double w[9])
{
    double a[9] = {-COPPER / COIL, 1 / COIL, 0, -1 / farads, -1 / (LOAD * farads), 0, 0, 0, 0};
    if (driven) a[4] -= 1 / (RS * farads), a[5] = E / (RS * farads);
    for (int k = 0; k < 9; k++) a[k] *= seconds;
    gsl_matrix_view from = gsl_matrix_view_array(a, 3, 3), to = gsl_matrix_view_array(w, 3, 3);
    gsl_linalg_exponential_ss(&from.matrix, &to.matrix, GSL_PREC_DOUBLE);
}

/* Every half period ends as the opposite of what it began with: (G D + 1) x = - G d, where D, d
 * belong to the closed and G to the open contact. */
static void solve_half(double farads, double *make, double *broken)
{
    double d[9], g[9], m[4], right[2], x[2];
    spread(farads, true, DWELL * HALF, d);
    spread(farads, false, (1 - DWELL) * HALF, g);
    for (int i = 0; i < 2; i++) {
        for (int j = 0; j < 2; j++)
            m[i * 2 + j] = g[i * 3] * d[j] + g[i * 3 + 1] * d[3 + j] + (i == j);
        right[i] = -(g[i * 3] * d[2] + g[i * 3 + 1] * d[5]);
    }
    double det = m[0] * m[3] - m[1] * m[2];
    x[0] = (right[0] * m[3] - m[1] * right[1]) / det;
    x[1] = (m[0] * right[1] - right[0] * m[2]) / det;
    *make = fabs(E - x[1]) / RS;
    *broken = fabs(E - (d[3] * x[0] + d[4] * x[1] + d[5])) / RS;
}

static void a_buffer_times_the_swing(void **state)
{
    static const double farads[] = {0.2e-6, 1e-6, 5e-6};
    double made[3];
    (void)state;
    for (int i = 0; i < 3; i++) {
        double make, broken;
        const struct result *r = shop_run(
            arena_printf(
                shop_arena(),
                "format: 1\nmains: {voltage: %g V, frequency: 115 Hz, shape: square, dwell: %g, "
                "gap: open,\n  resistance: %g ohm, across: [hot, chassis]}\n"
                "run: {for: 2 s, ambient: 25 C}\nparts:\n"
                "  L1: {is: choke, across: [hot, chassis], inductance: %g H, resistance: %g ohm}\n"
                "  R1: {is: resistor, across: [hot, chassis], resistance: %g ohm}\n"
                "  C1: {is: capacitor, across: [hot, chassis], value: %g uF, make: film, leakage: "
                "none, series resistance: 0 ohm}\n",
                E, DWELL, RS, COIL, COPPER, LOAD, farads[i] * 1e6),
            0, NULL, NULL);
        solve_half(farads[i], &make, &broken);
        near_rel(shop_figure(r, "mains", MEASURE_MAKE_CURRENT), make, 2e-3, "A");
        near_rel(shop_figure(r, "mains", MEASURE_BREAK_CURRENT), broken, 2e-3, "A");
        made[i] = make;
    }
    /* of the three the middle one has swung the volts over best */
    assert_true(made[1] < made[0] && made[1] < made[2]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_resistance_has_flat_tops),
                                       cmocka_unit_test(a_buffer_times_the_swing)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
