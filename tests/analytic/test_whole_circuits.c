/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole supplies with real values. Straight-line rectifiers: exact solution of the stated circuit
 * (piecewise-linear closed form, 40 digits) confirmed by a fixed-step fourth-order integration.
 * 3/2-law rectifiers: that integration at 20 000 and 40 000 steps a cycle, digits that agree.
 * Perveances are given numbers, not any tube's data. */
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

/* rms of the current in the common path: the two halves never conduct together */
static double path(const struct result *r)
{
    return sqrt(sq(hand_figure(r, "D1", MEASURE_RMS_CURRENT)) +
                sq(hand_figure(r, "D2", MEASURE_RMS_CURRENT)));
}

struct wanted {
    double mean, ripple_pp, ripple_rms, peak, rms_path, inverse; /* V, V, V, A, A, V */
};

static void check_tap(struct table *t, const struct result *r, const struct wanted *w)
{
    table_level(t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), w->mean);
    table_peak(t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP), w->ripple_pp);
    table_peak(t, "ripple rms", hand_figure(r, "+", MEASURE_RIPPLE_RMS), w->ripple_rms);
    table_peak(t, "peak", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT), w->peak);
    table_peak(t, "peak of D2", hand_figure(r, "D2", MEASURE_RUNNING_PEAK_CURRENT), w->peak);
    table_level(t, "rms", path(r), w->rms_path);
    table_level(t, "inverse volts", hand_figure(r, "D2", MEASURE_INVERSE_VOLTAGE), w->inverse);
}

static const struct supply tap_300 = {.kind = SUPPLY_CENTRE_TAP,
                                      .frequency = 60,
                                      .peak = 300 * 1.41421356237309505,
                                      .source = 150,
                                      .farads = 20e-6,
                                      .ohms = 3500};

/* 300-0-300 V, 60 Hz, 150 ohm each half, 20 uF, 3500 ohm */
static void test_centre_tap(void **state)
{
    (void)state;
    static const struct wanted w = {358.045277, 28.282811,  8.9117847,
                                    0.43039287, 0.18738979, 787.95151};
    struct table t = table_new("300-0-300 V, ideal rectifiers");
    struct supply s = tap_300;
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 2);
    table_row(&t, "from the zero");
    check_tap(&t, r, &w);
    table_peak(&t, "first peak", hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), 1.53313780);
    handmade_free(&h);
    s.degrees = 90;
    h = supply_new(&s);
    r = hand_run_settled(&h, 2);
    table_row(&t, "from the crest");
    table_peak(&t, "first peak", hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), 2.82842712);
    table_level(&t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), w.mean);
    table_end(&t);
    handmade_free(&h);
}

/* half-wave 230 V, 50 Hz, 120 ohm; 32 uF - 1 kohm - 32 uF; 3300 ohm */
static void test_half_wave_filter(void **state)
{
    (void)state;
    struct table t = table_new("half-wave with R-C filter");
    struct supply s = {.frequency = 50,
                       .peak = 230 * sqrt(2),
                       .source = 120,
                       .farads = 32e-6,
                       .ohms = 3300,
                       .load = "B+"};
    struct handmade h = supply_new(&s);
    hand_r(&h, "R1", "+", "B+", 1000);
    hand_c(&h, "C2", "B+", "0", 32e-6, 0);
    hand_watch(&h, "B+");
    const struct result *r = hand_run_settled(&h, 3);
    table_row(&t, "230 V");
    table_level(&t, "first mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), 264.62707);
    table_level(&t, "second mean", hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE), 203.085891);
    table_peak(&t, "first ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP), 30.909167);
    table_peak(&t, "second ripple", hand_figure(r, "B+", MEASURE_RIPPLE_PP), 2.5120026);
    table_peak(&t, "first ripple rms", hand_figure(r, "+", MEASURE_RIPPLE_RMS), 9.3325619);
    table_peak(&t, "second ripple rms", hand_figure(r, "B+", MEASURE_RIPPLE_RMS), 0.83482594);
    table_peak(&t, "peak", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT), 0.47798046);
    table_level(&t, "rms", hand_figure(r, "D1", MEASURE_RMS_CURRENT), 0.15315397);
    table_level(&t, "inverse volts", hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE), 588.42174);
    table_peak(&t, "first peak", hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), 1.5296033);
    table_end(&t);
    handmade_free(&h);
}

/* bridge 12.6 V, 60 Hz, 2 ohm, 2200 uF, 50 ohm, 0.7 V in each of four rectifiers */
static void test_bridge_with_drop(void **state)
{
    (void)state;
    struct table t = table_new("bridge with a constant drop");
    struct supply s = {.kind = SUPPLY_BRIDGE,
                       .frequency = 60,
                       .peak = 12.6 * sqrt(2),
                       .source = 2,
                       .drop = 0.7,
                       .farads = 2200e-6,
                       .ohms = 50};
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 1);
    table_row(&t, "12.6 V");
    table_level(&t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), 13.9232662);
    table_peak(&t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP), 0.717237334);
    table_peak(&t, "peak", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT), 1.23409977);
    table_end(&t);
    handmade_free(&h);
}

static void check_tube(struct table *t, struct supply s, const struct wanted *w, double first,
                       double first_at)
{
    s.perveance = 2.6896e-4;
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 2);
    const struct figure *peak = run_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT);
    table_row(t, "Rs %g", s.source);
    check_tap(t, r, w);
    assert_non_null(peak);
    table_peak(t, "first peak", peak->value, first);
    table_peak(t, "its time", peak->time, first_at);
    handmade_free(&h);
}

/* The same 300-0-300 V with a 3/2-law rectifier, emission there at once. */
static void test_vacuum_rectifier(void **state)
{
    (void)state;
    static const struct wanted resistance = {287.50754,  18.728793,  6.1691769,
                                             0.25858012, 0.12874179, 713.58676};
    static const struct wanted none = {310.980425, 21.926257,  7.1475258,
                                       0.32059321, 0.14837453, 738.21339};
    struct table t = table_new("300-0-300 V, 3/2-law rectifier");
    struct supply s = tap_300;
    check_tube(&t, s, &resistance, 0.80366607, 3.5133e-3);
    s.source = 0;
    check_tube(&t, s, &none, 1.2558019, 3.1254e-3);
    table_end(&t);
}

/* 350-0-350 V, 60 Hz, 75 ohm each, 40 uF - 5 H 60 ohm - 40 uF, 2500 ohm */
static const struct supply pi_filter = {.kind = SUPPLY_CENTRE_TAP,
                                        .frequency = 60,
                                        .peak = 350 * 1.41421356237309505,
                                        .source = 75,
                                        .perveance = 7.7090e-4,
                                        .farads = 40e-6,
                                        .henries = 5,
                                        .choke = 60,
                                        .farads2 = 40e-6,
                                        .ohms = 2500};

static void check_turn_on(struct table *t, const struct result *r)
{
    const struct figure *first = run_figure(r, "+", MEASURE_HIGHEST_VOLTAGE);
    const struct figure *second = run_figure(r, "B+", MEASURE_HIGHEST_VOLTAGE);
    assert_true(first && second);
    table_level(t, "first maximum", first->value, 396.7026);
    table_level(t, "second maximum", second->value, 389.06958);
    table_peak(t, "time of the first", first->time, 80.41e-3);
    table_peak(t, "time of the second", second->time, 50.02e-3);
    table_peak(t, "first peak", hand_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT), 2.1703472);
}

/* Both outputs overshoot; the highest inverse volts wanted are those of the settled supply, so they
 * are read in a second run that begins where the first one ended. */
static void test_vacuum_rectifier_with_choke(void **state)
{
    (void)state;
    static const struct wanted w = {376.140187, 18.60825,   6.0222391,
                                    0.53452362, 0.24792345, 872.83847};
    struct table t = table_new("350-0-350 V, 3/2-law rectifier, pi filter");
    struct handmade h = supply_new(&pi_filter);
    table_row(&t, "pi filter");
    check_turn_on(&t, hand_run_settled(&h, 3));
    handmade_free(&h);
    const struct result *r = supply_run_settled(pi_filter, 3, 30, &h);
    assert_true(r->settled);
    check_tap(&t, r, &w);
    table_level(&t, "second mean", hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE), 367.324401);
    table_peak(&t, "second ripple", hand_figure(r, "B+", MEASURE_RIPPLE_PP), 0.14638258);
    table_peak(&t, "second ripple rms", hand_figure(r, "B+", MEASURE_RIPPLE_RMS), 0.0516246);
    table_end(&t);
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_centre_tap),
        cmocka_unit_test(test_half_wave_filter),
        cmocka_unit_test(test_bridge_with_drop),
        cmocka_unit_test(test_vacuum_rectifier),
        cmocka_unit_test(test_vacuum_rectifier_with_choke),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
