/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rectifiers into a resistance, and into a capacitor without load: the factors every textbook
 * gives, exact from the Fourier series or by elementary integration, and worked examples of four of
 * them (Python Textbook Companions, FOSSEE, IIT Bombay; book and page beside each). */
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

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const double volts = 325, ohms = 500, hertz = 50;

/* mean over rms of one source; inverse volts over the peak; ripple rms over mean; watts of direct
 * current over watts, over volt-amperes of the secondary (of the centre tap: of both halves) */
static const struct {
    enum supply_kind kind;
    double mean, inverse, frequency, ripple, efficiency, utilisation;
} factor[] = {
    {SUPPLY_HALF_WAVE, 0.450158, 1, 1, 1.211363, 0.405285, 0.286580},
    {SUPPLY_CENTRE_TAP, 0.900316, 2, 2, 0.483426, 0.810569, 0.573159},
    {SUPPLY_BRIDGE, 0.900316, 1, 2, 0.483426, 0.810569, 0.810569},
};

static void test_factors(void **state)
{
    (void)state;
    struct table t = table_new("resistive load");
    for (int k = 0; k < LENGTH(factor); k++) {
        struct supply s = {.kind = factor[k].kind, .frequency = hertz, .peak = volts, .ohms = ohms};
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 0.5);
        double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), rms = volts / sqrt(2);
        double windings = s.kind == SUPPLY_CENTRE_TAP ? 2 : 1;
        double apparent = windings * rms * hand_figure(r, "S", MEASURE_RMS_CURRENT);
        table_row(&t, "circuit %d", (int)s.kind);
        table_level(&t, "mean", mean / rms, factor[k].mean);
        table_level(&t, "inverse volts", hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE) / volts,
                    factor[k].inverse);
        table_peak(&t, "ripple rms", hand_figure(r, "+", MEASURE_RIPPLE_RMS) / mean,
                   factor[k].ripple);
        table_peak(&t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts, 1);
        table_level(&t, "efficiency", sq(mean) / ohms / hand_figure(r, "R", MEASURE_DISSIPATION),
                    factor[k].efficiency);
        table_level(&t, "utilisation", sq(mean) / ohms / apparent, factor[k].utilisation);
        table_level(&t, "rms over average",
                    hand_figure(r, "D1", MEASURE_RMS_CURRENT) /
                        hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT),
                    PI / 2);
        near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY), factor[k].frequency * hertz, 1e-9,
                 "Hz");
        handmade_free(&h);
    }
    table_end(&t);
}

/* Capacitor without load: the peak, and in reverse twice the peak, of a bridge once. */
static void test_capacitor_without_load(void **state)
{
    (void)state;
    for (int k = SUPPLY_HALF_WAVE; k <= SUPPLY_BRIDGE; k++) {
        struct supply s = {.kind = (enum supply_kind)k,
                           .frequency = hertz,
                           .peak = volts,
                           .source = 10,
                           .farads = 10e-6};
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 2);
        double twice = k == SUPPLY_BRIDGE ? 1 : 2;
        near_rel(hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), volts, 2e-4, "V");
        near_rel(hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE), twice * volts, 2e-4, "V");
        assert_true(hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE) <= volts * (1 + 1e-9));
        handmade_free(&h);
    }
}

/* Mean of a half sine of peak p above a constant drop d. */
static double above_drop(double p, double d)
{
    double a = asin(d / p);
    return (p * cos(a) - d * (PI / 2 - a)) / PI;
}

/* Grob's Basic Electronics (Schultz), Ex. 27-4 to 27-6 p. 875-880: 120 V 3:1, 100 ohm, drops of
 * 0.7 V taken off the peak before the mean, which is 0.6 to 1.3 % too much. (The half-wave's
 * inverse volts are given as 56.56, peak of the winding.) */
static void test_grob(void **state)
{
    (void)state;
    static const struct {
        enum supply_kind kind;
        double peak, published, published_inverse, inverse, error; /* V, V, V, V, % */
    } row[] = {
        {SUPPLY_HALF_WAVE, 56.56854, 17.76, 56.56, 56.5685, 0.59},
        {SUPPLY_CENTRE_TAP, 28.28427, 17.54, 55.86, 55.8685, 1.32},
        {SUPPLY_BRIDGE, 56.56854, 35.08, 55.86, 55.8685, 1.32},
    };
    struct table t = table_new("Grob");
    for (int k = 0; k < LENGTH(row); k++) {
        struct supply s = {
            .kind = row[k].kind, .frequency = 60, .peak = row[k].peak, .drop = 0.7, .ohms = 100};
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 0.5);
        double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), drops = 0.7, pulses = 2;
        if (s.kind == SUPPLY_HALF_WAVE) pulses = 1;
        if (s.kind == SUPPLY_BRIDGE) drops = 1.4;
        table_row(&t, "circuit %d", (int)s.kind);
        table_level(&t, "mean", mean, pulses * above_drop(s.peak, drops));
        table_level(&t, "inverse volts", hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE),
                    row[k].inverse);
        print_message("Grob: mean %.5g V, published %.5g V\n", mean, row[k].published);
        near_abs(100 * (row[k].published / mean - 1), row[k].error, 0.03, "%");
        near_abs(row[k].published_inverse, row[k].inverse, 0.01, "V");
        near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY), 60 * pulses, 1e-9, "Hz");
        handmade_free(&h);
    }
    table_end(&t);
    near_abs(above_drop(56.56, 0.7), 17.655, 0.0006, "V");
}

/* Millman & Halkias, Integrated Electronics, 2nd ed. 2011, Ex. 4.8 p. 105: 220 V half-wave, 10 ohm
 * and 500 ohm: 0.61 A peak, 0.19 A, 0.31 A rms, -97.09 V mean across the diode, and 67.11 printed
 * as watts, which are the volt-amperes. */
static void test_millman(void **state)
{
    (void)state;
    struct supply s = {.frequency = 60, .peak = 220 * sqrt(2), .source = 10, .ohms = 500};
    struct handmade h = supply_new(&s);
    hand_watch_between(&h, "diode", "p", "+");
    const struct result *r = hand_run_settled(&h, 0.5);
    double rms = hand_figure(r, "D1", MEASURE_RMS_CURRENT), peak = 220 * sqrt(2) / 510;
    near_rel(hand_figure(r, "D1", MEASURE_HIGHEST_CURRENT), peak, 2e-4, "A");
    near_rel(hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT), peak / PI, 2e-4, "A");
    near_rel(rms, peak / 2, 2e-4, "A");
    near_abs(peak, 0.61, 0.005, "A");
    near_abs(peak / PI, 0.19, 0.005, "A");
    near_abs(rms, 0.31, 0.0051, "A");
    near_rel(hand_figure(r, "diode", MEASURE_SETTLED_VOLTAGE), -peak * 510 / PI, 2e-4, "V");
    near_abs(hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), 97.09, 0.01, "V");
    near_abs(220 * rms, 67.11, 0.01, "V A");
    handmade_free(&h);
}

/* Salivahanan, Electronic Devices and Circuits, 2nd ed. 2008, Ex. 18.4 p. 550: 23-0-23 V, 100 ohm
 * and 900 ohm: 20.71 V and 20.7 mA through both, 0.386 W, 65.05 V, ripple 10.03 V (0.2 % over:
 * from rounded figures) at 120 Hz. */
static void test_salivahanan(void **state)
{
    (void)state;
    struct supply s = {.kind = SUPPLY_CENTRE_TAP,
                       .frequency = 60,
                       .peak = 23 * sqrt(2),
                       .ohms = 900,
                       .load = "out"};
    struct handmade h = supply_new(&s);
    hand_r(&h, "Rf", "+", "out", 100);
    const struct result *r = hand_run_settled(&h, 0.5);
    double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE);
    near_rel(mean, 23 * 2 * sqrt(2) / PI, 2e-4, "V");
    near_abs(mean, 20.71, 0.005, "V");
    near_abs(sq(mean / 1000) * 900, 0.386, 0.0005, "W");
    near_abs(hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE), 65.05, 0.01, "V");
    near_rel(hand_figure(r, "+", MEASURE_RIPPLE_RMS), 0.483426 * mean, 2e-4, "V");
    near_abs(100 * (10.03 / hand_figure(r, "+", MEASURE_RIPPLE_RMS) - 1), 0.2, 0.03, "%");
    near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY), 120, 1e-9, "Hz");
    handmade_free(&h);
}

/* Bimbhra, Power Electronics, Ex. 3.17 p. 94: 230 V of direct current into 10 ohm by a bridge:
 * secondary 255.5 V, 36.13 A peak, 11.50 A, 18.06 A rms, 361.3 V, 6.53 kVA. */
static void test_bimbhra(void **state)
{
    (void)state;
    double rms = 230 * PI / (2 * sqrt(2));
    struct supply s = {.kind = SUPPLY_BRIDGE, .frequency = 50, .peak = rms * sqrt(2), .ohms = 10};
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 0.5);
    near_rel(hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), 230, 2e-4, "V");
    near_abs(rms, 255.5, 0.05, "V");
    near_abs(hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT), 36.13, 0.005, "A");
    near_abs(hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT), 11.50, 0.005, "A");
    near_abs(hand_figure(r, "D1", MEASURE_RMS_CURRENT), 18.06, 0.005, "A");
    near_abs(hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE), 361.3, 0.05, "V");
    near_abs(rms * hand_figure(r, "S", MEASURE_RMS_CURRENT) / 1000, 6.53, 0.005, "kVA");
    handmade_free(&h);
}

/* Bell, Electronic Devices and Circuits, Ex. 3.6 and 3.10 p. 88-93: a surge resistor that keeps the
 * first peak at 30 A: 0.72 ohm at 21.7 V, 0.747 ohm at 22.4 V (switched on at the crest). */
static void test_bell(void **state)
{
    (void)state;
    static const double row[][2] = {{21.7, 0.72}, {22.4, 0.747}};
    for (int k = 0; k < LENGTH(row); k++) {
        struct supply s = {.frequency = 60,
                           .peak = row[k][0],
                           .degrees = 90,
                           .source = row[k][1],
                           .farads = 1000e-6,
                           .ohms = 500};
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run(&h, 0.1);
        near_rel(hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), s.peak / s.source, 1e-6, "A");
        near_abs(hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), 30, 0.15, "A");
        handmade_free(&h);
    }
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_factors),     cmocka_unit_test(test_capacitor_without_load),
        cmocka_unit_test(test_grob),        cmocka_unit_test(test_millman),
        cmocka_unit_test(test_salivahanan), cmocka_unit_test(test_bimbhra),
        cmocka_unit_test(test_bell),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
