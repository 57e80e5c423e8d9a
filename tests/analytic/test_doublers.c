/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Both voltage doublers with ideal rectifiers against exact solutions of the stated circuits:
 * stretches in closed form, their ends by root finding, 40 digits. wCR = 2 pi f C R with C of each
 * capacitor; volts in the source's peak Vm. */
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

static const double volts = 165, ohms = 3000, hertz = 60;

/* Both capacitors in series across the load, one Rs in the lead from the source to both
 * rectifiers; the source's other end between the capacitors. */
static const struct {
    double wcr, k, mean, ripple_pp, ripple_rms_over_mean;
    double peak_over_average, rms_over_average, conduction; /* of one rectifier; [degrees] */
} full_wave[] = {
    {10, 0.02, 1.306895080, 0.4443711327, 0.110957789, 6.24716231, 2.21284927, 90.628651},
    {50, 0.01, 1.671998931, 0.1396988620, 0.0263201019, 8.50265120, 2.60029753, 64.430299},
    {100, 0.02, 1.556563070, 0.05892941514, 0.0121496717, 7.02179864, 2.36586251, 77.562121},
    {100, 0.1, 1.033426573, 0.02775188172, 0.00912453512, 4.67091231, 1.92562987, 117.76531},
};

/* upper, lower: volts of the capacitors at the start */
static struct handmade full_wave_doubler(double farads, double rs, double load, double upper,
                                         double lower)
{
    struct handmade h = handmade_new(hertz);
    hand_sine(&h, "S", "a", "m", volts, 0);
    hand_r(&h, "Rs", "a", "p", rs);
    hand_diode(&h, "D1", "p", "+", 0, 0);
    hand_diode(&h, "D2", "0", "p", 0, 0);
    hand_c(&h, "C1", "+", "m", farads, upper);
    hand_c(&h, "C2", "m", "0", farads, lower);
    if (load > 0) hand_r(&h, "R", "+", "0", load);
    hand_watch(&h, "+");
    hand_watch(&h, "m");
    return h;
}

static void check_conduction(struct table *t, double farads, double rs, double wanted)
{
    double out[2], middle[2];
    struct handmade h = full_wave_doubler(farads, rs, ohms, 0, 0);
    hand_sample(&h, "+", 4, out, 2);
    hand_sample(&h, "m", 4, middle, 2);
    hand_run(&h, 4);
    handmade_free(&h);
    h = full_wave_doubler(farads, rs, ohms, out[1] - middle[1], middle[1]);
    const struct result *r = hand_run(&h, 1 / hertz);
    table_peak(t, "conduction of D1", hand_figure(r, "D1", MEASURE_PEAK_DURATION) * 360 * hertz,
               wanted);
    table_peak(t, "conduction of D2", hand_figure(r, "D2", MEASURE_PEAK_DURATION) * 360 * hertz,
               wanted);
    handmade_free(&h);
}

static void test_full_wave_doubler(void **state)
{
    (void)state;
    struct table t = table_new("full-wave doubler");
    for (int k = 0; k < LENGTH(full_wave); k++) {
        double farads = supply_farads(full_wave[k].wcr, hertz, ohms), rs = full_wave[k].k * ohms;
        struct handmade h = full_wave_doubler(farads, rs, ohms, 0, 0);
        const struct result *r = hand_run_settled(&h, 4);
        double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE);
        double average = hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT);
        table_row(&t, "wCR %g Rs/R %g", full_wave[k].wcr, full_wave[k].k);
        table_level(&t, "mean", mean / volts, full_wave[k].mean);
        table_peak(&t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts,
                   full_wave[k].ripple_pp);
        table_peak(&t, "ripple rms", hand_figure(r, "+", MEASURE_RIPPLE_RMS) / mean,
                   full_wave[k].ripple_rms_over_mean);
        table_peak(&t, "peak", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT) / average,
                   full_wave[k].peak_over_average);
        table_level(&t, "rms", hand_figure(r, "D1", MEASURE_RMS_CURRENT) / average,
                    full_wave[k].rms_over_average);
        table_level(&t, "rms of D2", hand_figure(r, "D2", MEASURE_RMS_CURRENT) / average,
                    full_wave[k].rms_over_average);
        near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY), 2 * hertz, 1e-9, "Hz");
        near_rel(average, mean / ohms, 1e-6, "A");
        handmade_free(&h);
        check_conduction(&t, farads, rs, full_wave[k].conduction);
    }
    table_end(&t);
}

/* Common terminal: C1 in series with source and Rs, C2 across the load. */
static const struct {
    double wc1r, wc2r, k, mean, ripple_pp, peak_over_average2, peak_over_average1;
} half_wave[] = {
    {20, 20, 0.02, 1.333913079, 0.3157687881, 6.13819339, 7.02351376},
    {50, 50, 0.02, 1.509627757, 0.1490019178, 6.85246062, 7.04125051},
    {100, 50, 0.02, 1.535778407, 0.1521459061, 6.92212067, 7.05266973},
};

static struct handmade half_wave_doubler(double first, double second, double rs, double load)
{
    struct handmade h = handmade_new(hertz);
    hand_sine(&h, "S", "a", "0", volts, 0);
    hand_r(&h, "Rs", "a", "b", rs);
    hand_c(&h, "C1", "p", "b", first, 0);
    hand_diode(&h, "D1", "0", "p", 0, 0);
    hand_diode(&h, "D2", "p", "+", 0, 0);
    hand_c(&h, "C2", "+", "0", second, 0);
    if (load > 0) hand_r(&h, "R", "+", "0", load);
    hand_watch(&h, "+");
    return h;
}

static void test_half_wave_doubler(void **state)
{
    (void)state;
    struct table t = table_new("half-wave doubler");
    for (int k = 0; k < LENGTH(half_wave); k++) {
        struct handmade h = half_wave_doubler(supply_farads(half_wave[k].wc1r, hertz, ohms),
                                              supply_farads(half_wave[k].wc2r, hertz, ohms),
                                              half_wave[k].k * ohms, ohms);
        const struct result *r = hand_run_settled(&h, 4);
        double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), one, two;
        table_row(&t, "wC1R %g wC2R %g Rs/R %g", half_wave[k].wc1r, half_wave[k].wc2r,
                  half_wave[k].k);
        table_level(&t, "mean", mean / volts, half_wave[k].mean);
        table_peak(&t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts,
                   half_wave[k].ripple_pp);
        one = hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT) /
              hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT);
        two = hand_figure(r, "D2", MEASURE_RUNNING_PEAK_CURRENT) /
              hand_figure(r, "D2", MEASURE_AVERAGE_CURRENT);
        table_peak(&t, "peak of D1", one, half_wave[k].peak_over_average1);
        table_peak(&t, "peak of D2", two, half_wave[k].peak_over_average2);
        near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY), hertz, 1e-9, "Hz");
        near_rel(hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT), mean / ohms, 1e-6, "A");
        handmade_free(&h);
    }
    table_end(&t);
}

/* Without load both charge to twice the peak, and each rectifier sees as much in reverse (every
 * textbook; follows from the peaks on both capacitors). */
static void check_no_load(struct handmade *h)
{
    const struct result *r = hand_run(h, 2);
    near_rel(hand_settled(r, "+", MEASURE_SETTLED_VOLTAGE), 2 * volts, 2e-4, "V");
    near_rel(hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE), 2 * volts, 2e-4, "V");
    near_rel(hand_figure(r, "D2", MEASURE_INVERSE_VOLTAGE), 2 * volts, 2e-4, "V");
    assert_true(hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE) <= 2 * volts * (1 + 1e-9));
    handmade_free(h);
}

static void test_no_load(void **state)
{
    (void)state;
    const double farads = supply_farads(20, hertz, ohms);
    struct handmade h = full_wave_doubler(farads, 30, 0, 0, 0);
    check_no_load(&h);
    h = half_wave_doubler(farads, farads, 30, 0);
    check_no_load(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_full_wave_doubler),
        cmocka_unit_test(test_half_wave_doubler),
        cmocka_unit_test(test_no_load),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
