/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacitor input against the exact solutions of capacitor_input_table.h. Every supply starts with
 * an empty capacitor and must have settled; angles are read from a second run that begins where the
 * first one ended. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "capacitor_input_table.h"
#include "numbers.h"
#include "supply.h"
#include "table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const double volts = 300, ohms = 1000, hertz = 60;

static struct supply supply(enum supply_kind kind, double wcr, double k)
{
    return (struct supply){.kind = kind,
                           .frequency = hertz,
                           .peak = volts,
                           .source = k * ohms,
                           .farads = supply_farads(wcr, hertz, ohms),
                           .ohms = ohms};
}

static double degrees(double seconds)
{
    return seconds * hertz * 360;
}

/* First conducting stretch of a settled cycle. */
static void check_angles(struct table *t, struct supply s, const struct steady *row)
{
    struct handmade h;
    const struct result *r = supply_run_settled(s, 2, 1, &h);
    const struct figure *pulse = run_figure(r, "D1", MEASURE_PEAK_DURATION);
    assert_non_null(pulse);
    table_peak(t, "on", degrees(pulse->time), row->on);
    table_peak(t, "off", degrees(pulse->time + pulse->value), row->off);
    table_peak(t, "conduction", degrees(pulse->value), row->conduction);
    handmade_free(&h);
}

static void check_steady(struct table *t, enum supply_kind kind, const struct steady *row)
{
    struct supply s = supply(kind, row->wcr, row->k);
    struct handmade h = supply_new(&s);
    table_row(t, "wCR %g Rs/R %g", row->wcr, row->k);
    const struct result *r = hand_run_settled(&h, 2);
    double mean = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), peak, average;
    peak = hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT);
    average = hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT);
    table_level(t, "mean", mean / volts, row->mean);
    table_peak(t, "ripple peak to peak", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts,
               row->ripple_pp);
    table_peak(t, "ripple rms", hand_figure(r, "+", MEASURE_RIPPLE_RMS) / mean,
               row->ripple_rms_over_mean);
    table_peak(t, "peak", peak * ohms / volts, row->peak);
    table_peak(t, "peak over average", peak / average, row->peak_over_average);
    table_level(t, "rms over average", hand_figure(r, "D1", MEASURE_RMS_CURRENT) / average,
                row->rms_over_average);
    near_abs(hand_figure(r, "+", MEASURE_RIPPLE_FREQUENCY),
             kind == SUPPLY_HALF_WAVE ? hertz : 2 * hertz, 1e-9, "Hz");
    near_rel(average, mean / ohms / (kind == SUPPLY_HALF_WAVE ? 1 : 2), 1e-6, "A");
    handmade_free(&h);
    check_angles(t, s, row);
}

static void test_half_wave(void **state)
{
    (void)state;
    struct table t = table_new("half-wave");
    for (int k = 0; k < LENGTH(half_wave); k++) check_steady(&t, SUPPLY_HALF_WAVE, &half_wave[k]);
    table_end(&t);
}

static void test_full_wave(void **state)
{
    (void)state;
    struct table t = table_new("centre tap");
    for (int k = 0; k < LENGTH(full_wave); k++) check_steady(&t, SUPPLY_CENTRE_TAP, &full_wave[k]);
    table_end(&t);
}

static void test_bridge(void **state)
{
    (void)state;
    struct table t = table_new("bridge");
    for (int k = 0; k < LENGTH(full_wave); k++) check_steady(&t, SUPPLY_BRIDGE, &full_wave[k]);
    table_end(&t);
}

/* Inverse volts, source and capacitor currents; and, whatever the point, capacitor rms^2 = source
 * rms^2 - load rms^2 for the current in the common path (C du/dt and u/R are orthogonal). */
static void check_inverse(struct table *t, enum supply_kind kind, const struct inverse *row,
                          double inverse_volts, double source, double capacitor)
{
    struct supply s = supply(kind, row->wcr, row->k);
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 2);
    double unit = volts / ohms, out = hand_figure(r, "S", MEASURE_RMS_CURRENT), load, c;
    c = hand_figure(r, "C", MEASURE_RMS_CURRENT);
    load = hand_figure(r, "+", MEASURE_RMS_VOLTAGE) / ohms;
    table_row(t, "wCR %g Rs/R %g pulses %d", row->wcr, row->k, kind == SUPPLY_HALF_WAVE ? 1 : 2);
    table_level(t, "inverse volts", hand_figure(r, "D1", MEASURE_INVERSE_VOLTAGE) / volts,
                inverse_volts);
    table_level(t, "capacitor", c / unit, capacitor);
    if (source > 0) {
        table_level(t, "source", out / unit, source);
        near_rel(sq(c), sq(out) - sq(load), 1e-6, "A^2");
    } else { /* centre tap: both halves flow in the tap */
        near_rel(sq(c), 2 * sq(out) - sq(load), 1e-6, "A^2");
    }
    handmade_free(&h);
}

static void test_inverse(void **state)
{
    (void)state;
    struct table t = table_new("inverse volts and rms currents");
    for (int k = 0; k < LENGTH(inverse); k++) {
        const struct inverse *row = &inverse[k];
        check_inverse(&t, SUPPLY_HALF_WAVE, row, row->half_wave, row->source_half_wave,
                      row->capacitor_half_wave);
        check_inverse(&t, SUPPLY_CENTRE_TAP, row, row->centre_tap, 0, row->capacitor_full_wave);
        check_inverse(&t, SUPPLY_BRIDGE, row, row->bridge, row->source_bridge,
                      row->capacitor_full_wave);
    }
    table_end(&t);
}

static void check_schade(struct table *t, enum supply_kind kind, const struct schade *row)
{
    for (int j = 0; j < LENGTH(schade_wcr); j++) {
        struct supply s = supply(kind, schade_wcr[j], row->k);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, schade_wcr[j] > 20 ? 3 : 1);
        table_row(t, "wCR %g Rs/R %g", schade_wcr[j], row->k);
        table_level(t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE) / volts, row->mean[j]);
        handmade_free(&h);
    }
}

static void test_schade_axes(void **state)
{
    (void)state;
    struct table one = table_new("half-wave on Schade's axes");
    struct table two = table_new("full-wave on Schade's axes");
    for (int k = 0; k < LENGTH(schade_half_wave); k++) {
        check_schade(&one, SUPPLY_HALF_WAVE, &schade_half_wave[k]);
        check_schade(&two, SUPPLY_CENTRE_TAP, &schade_full_wave[k]);
    }
    table_end(&one);
    table_end(&two);
}

/* b of tan b - b = pi k / n [rad]. */
static double half_angle(double k, int pulses)
{
    double low = 0, high = PI / 2;
    for (int j = 0; j < 60; j++) {
        double b = (low + high) / 2;
        *(tan(b) - b < PI * k / pulses ? &low : &high) = b;
    }
    return (low + high) / 2;
}

/* A capacitor so large that the exact solution is within 1e-4 of that for one without limit, run
 * for 12 time constants of its charging from nine tenths of the wanted volts. */
static const struct result *run_endless(enum supply_kind kind, double k, struct handmade *h)
{
    const int pulses = kind == SUPPLY_HALF_WAVE ? 1 : 2;
    double b = half_angle(k, pulses), seconds;
    struct supply s = supply(kind, 5 / k + 300, k);
    s.initial = 0.9 * cos(b) * volts;
    seconds = 12 * s.farads * ohms / (1 + pulses * b / (PI * k));
    *h = supply_new(&s);
    return hand_run(h, ceil(seconds * hertz + 14) / hertz);
}

static void check_end(struct table *t, enum supply_kind kind, double k, const struct endless *row)
{
    struct handmade h;
    const struct result *r = run_endless(kind, k, &h);
    double average = hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT);
    table_row(t, "Rs/R %g pulses %d", k, kind == SUPPLY_HALF_WAVE ? 1 : 2);
    table_level(t, "mean", hand_settled(r, "+", MEASURE_SETTLED_VOLTAGE) / volts, row->mean);
    table_peak(t, "peak over average", hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT) / average,
               row->peak_over_average);
    near_abs(2 * half_angle(k, kind == SUPPLY_HALF_WAVE ? 1 : 2) * 180 / PI, row->angle, 1e-5,
             "degrees");
    handmade_free(&h);
}

static void test_endless_capacitor(void **state)
{
    (void)state;
    struct table t = table_new("very large C");
    for (int k = 0; k < LENGTH(ends); k++) {
        check_end(&t, SUPPLY_HALF_WAVE, ends[k].k, &ends[k].half);
        check_end(&t, SUPPLY_CENTRE_TAP, ends[k].k, &ends[k].full);
    }
    table_end(&t);
}

static void check_utilisation(struct table *t, enum supply_kind kind, double k, double wanted)
{
    struct handmade h;
    const struct result *r = run_endless(kind, k, &h);
    double load = hand_settled(r, "+", MEASURE_SETTLED_VOLTAGE) / ohms;
    table_row(t, "Rs/R %g circuit %d", k, (int)kind);
    table_level(t, "load over secondary", load / hand_figure(r, "S", MEASURE_RMS_CURRENT), wanted);
    handmade_free(&h);
}

static void test_utilisation(void **state)
{
    (void)state;
    struct table t = table_new("load current over secondary current");
    for (int k = 0; k < LENGTH(utilisation); k++) {
        const struct utilisation *row = &utilisation[k];
        check_utilisation(&t, SUPPLY_HALF_WAVE, row->k, row->half_wave);
        check_utilisation(&t, SUPPLY_CENTRE_TAP, row->k, row->centre_tap);
        check_utilisation(&t, SUPPLY_BRIDGE, row->k, row->bridge);
    }
    table_end(&t);
}

/* A constant drop of 0.02 Vm in the rectifier takes as much off the source and nothing else: the
 * same exact solution with the drop kept, full-wave, wCR 10, Rs/R 0.05. */
static void test_constant_drop(void **state)
{
    (void)state;
    struct table t = table_new("constant drop");
    struct supply s = supply(SUPPLY_CENTRE_TAP, 10, 0.05);
    s.drop = 0.02 * volts;
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 2);
    table_row(&t, "drop 0.02");
    table_level(&t, "mean", hand_settled(r, "+", MEASURE_SETTLED_VOLTAGE) / volts, 0.799353844522);
    table_peak(&t, "ripple", hand_figure(r, "+", MEASURE_RIPPLE_PP) / volts, 0.161191420231);
    table_end(&t);
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_half_wave),   cmocka_unit_test(test_full_wave),
        cmocka_unit_test(test_bridge),      cmocka_unit_test(test_inverse),
        cmocka_unit_test(test_schade_axes), cmocka_unit_test(test_endless_capacitor),
        cmocka_unit_test(test_utilisation), cmocka_unit_test(test_constant_drop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
