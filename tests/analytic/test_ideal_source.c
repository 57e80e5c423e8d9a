/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A source without any resistance and ideal rectifiers: while one conducts the capacitor is the
 * source, so the wave is a sine and an exponential. Exact solution of the stated circuit, 40
 * digits. Where nothing limits a step of charge, the current is infinite and half the energy goes.
 */
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

static const double volts = 300, ohms = 1000, hertz = 60;

/* Relative; extremes are those of a cubic through each step, and steps without any state are the
 * longest there are (1/16 cycle). */
static const double extreme = 1e-5;

/* wCR = 2 pi f C R; volts in the source's peak Vm, amperes in Vm/R. The peak is the jump
 * wCR cos th + sin th at turn-on. */
static const struct {
    double wcr;
    int pulses;
    double mean, ripple_pp, peak, conduction; /* [degrees] */
} steady[] = {
    {5, 1, 0.6661795922, 0.6314226461, 5.01656276, 79.682027},
    {5, 2, 0.8356424849, 0.3527843615, 4.45875049, 60.977932},
    {10, 1, 0.7905895654, 0.4109452028, 8.66998572, 59.620631},
    {10, 2, 0.8981482921, 0.2151992317, 6.98228214, 44.008338},
    {50, 1, 0.9456926977, 0.1095381127, 23.6433533, 28.214418},
    {50, 2, 0.9735801258, 0.05446164907, 17.2210742, 20.142282},
    {200, 1, 0.9852609626, 0.02973025570, 49.3754857, 14.292629},
    {200, 2, 0.9927592506, 0.01472678880, 35.1827581, 10.131711},
};

static struct supply supply(enum supply_kind kind, double wcr, double degrees)
{
    return (struct supply){.kind = kind,
                           .frequency = hertz,
                           .peak = volts,
                           .degrees = degrees,
                           .farads = supply_farads(wcr, hertz, ohms),
                           .ohms = ohms};
}

static void check_steady(struct table *t, int row, enum supply_kind kind)
{
    struct supply s = supply(kind, steady[row].wcr, 0);
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 0.5);
    table_row(t, "wCR %g pulses %d", steady[row].wcr, steady[row].pulses);
    table_level(t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE) / volts, steady[row].mean);
    table_peak(t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts, steady[row].ripple_pp);
    table_peak(t, "peak", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT) * ohms / volts,
               steady[row].peak);
    near_rel(hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE), volts, extreme, "V");
    handmade_free(&h);
    r = supply_run_settled(s, 0.5, 1, &h);
    table_peak(t, "conduction", hand_figure(r, "D1", MEASURE_PEAK_DURATION) * hertz * 360,
               steady[row].conduction);
    handmade_free(&h);
}

static void test_steady(void **state)
{
    (void)state;
    struct table t = table_new("ideal source");
    for (int k = 0; k < LENGTH(steady); k++)
        check_steady(&t, k, steady[k].pulses == 1 ? SUPPLY_HALF_WAVE : SUPPLY_CENTRE_TAP);
    table_end(&t);
}

static void test_steady_bridge(void **state)
{
    (void)state;
    struct table t = table_new("ideal source, bridge");
    for (int k = 0; k < LENGTH(steady); k++)
        if (steady[k].pulses == 2) check_steady(&t, k, SUPPLY_BRIDGE);
    table_end(&t);
}

/* From the zero of the source nothing jumps but the current: it starts at w C Vm and its peak is
 * that of wCR cos th + sin th, sqrt(1 + wCR^2). */
static void test_from_the_zero(void **state)
{
    (void)state;
    struct supply s = supply(SUPPLY_HALF_WAVE, 10, 0);
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run(&h, 1 / hertz);
    near_rel(hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), sqrt(101) * volts / ohms, extreme,
             "A");
    near_abs(r->statistics.energy_booked, 0, 1e-9 * r->statistics.energy_drawn, "J");
    handmade_free(&h);
}

/* From the crest the capacitor is there at once: an infinite peak; the source gives C Vm^2, half of
 * it stays in the capacitor. */
static void check_crest(enum supply_kind kind, double degrees, double wanted_volts)
{
    struct supply s = supply(kind, 10, degrees);
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run(&h, 1 / hertz);
    double lost = s.farads * sq(wanted_volts) / 2;
    assert_true(isinf(hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT)));
    assert_true(isinf(hand_figure(r, "D1", MEASURE_PEAK_I2T)));
    near_rel(r->statistics.energy_booked, lost, 1e-9, "J");
    near_rel(hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE), volts, extreme, "V");
    handmade_free(&h);
}

static void test_from_the_crest(void **state)
{
    (void)state;
    check_crest(SUPPLY_HALF_WAVE, 90, volts);
    check_crest(SUPPLY_HALF_WAVE, 30, volts / 2);
    check_crest(SUPPLY_CENTRE_TAP, 90, volts);
    check_crest(SUPPLY_BRIDGE, 90, volts);
    check_crest(SUPPLY_BRIDGE, 60, volts * sqrt(3) / 2);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_steady),
        cmocka_unit_test(test_steady_bridge),
        cmocka_unit_test(test_from_the_zero),
        cmocka_unit_test(test_from_the_crest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
