/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first pulse against inrush_table.h, and the question of overshoot. Without inductance there
 * is none: du/dt = f(u, t) of one variable with f periodic in t keeps two solutions in order
 * (comparison theorem), and as u(T) >= u(0) = 0, every cycle lies above the one before it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "inrush_table.h"
#include "numbers.h"
#include "supply.h"
#include "table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const double volts = 400, ohms = 2500, hertz = 50;

enum { PER_CYCLE = 24, CYCLES = 120 };

static struct supply supply(enum supply_kind kind, double wcr, double k, double degrees)
{
    return (struct supply){.kind = kind,
                           .frequency = hertz,
                           .peak = volts,
                           .degrees = degrees,
                           .source = k * ohms,
                           .farads = supply_farads(wcr, hertz, ohms),
                           .ohms = ohms};
}

/* Volts at the end of the first pulse, and the highest so far. */
static void check_end(struct table *t, struct supply s, double angle, double at_end, double highest)
{
    double u[2], seconds = angle / (360 * hertz);
    struct handmade h = supply_new(&s);
    hand_sample(&h, "+", seconds, u, 2);
    const struct result *r = hand_run(&h, seconds);
    table_level(t, "volts at the end", u[1] / volts, at_end);
    table_peak(t, "highest volts", hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE) / volts, highest);
    handmade_free(&h);
}

static void test_from_zero(void **state)
{
    (void)state;
    struct table t = table_new("switched on at the zero");
    for (int k = 0; k < LENGTH(from_zero); k++) {
        struct supply s = supply(SUPPLY_HALF_WAVE, from_zero[k].wcr, from_zero[k].k, 0);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run(&h, 1 / hertz);
        const struct figure *peak = run_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT);
        assert_non_null(peak);
        table_row(&t, "wCR %g Rs/R %g", from_zero[k].wcr, from_zero[k].k);
        table_peak(&t, "peak", peak->value * ohms / volts, from_zero[k].peak);
        table_peak(&t, "time of the peak", peak->time * hertz * 360, from_zero[k].peak_angle);
        table_peak(&t, "end", hand_figure(r, "D1", MEASURE_PEAK_DURATION) * hertz * 360,
                   from_zero[k].end);
        handmade_free(&h);
        check_end(&t, s, from_zero[k].end, from_zero[k].volts_at_end, from_zero[k].highest);
    }
    table_end(&t);
}

static void test_from_crest(void **state)
{
    (void)state;
    struct table t = table_new("switched on at the crest");
    for (int k = 0; k < LENGTH(from_crest); k++) {
        struct supply s = supply(SUPPLY_HALF_WAVE, from_crest[k].wcr, from_crest[k].k, 90);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run(&h, 1 / hertz);
        const struct figure *peak = run_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT);
        assert_non_null(peak);
        table_row(&t, "wCR %g Rs/R %g", from_crest[k].wcr, from_crest[k].k);
        table_peak(&t, "peak", peak->value * s.source / volts, 1);
        near_abs(peak->time, 0, 1e-12, "s");
        table_peak(&t, "end", 90 + hand_figure(r, "D1", MEASURE_PEAK_DURATION) * hertz * 360,
                   from_crest[k].end);
        handmade_free(&h);
        check_end(&t, s, from_crest[k].end - 90, from_crest[k].volts_at_end, from_crest[k].highest);
    }
    table_end(&t);
}

static void test_no_load(void **state)
{
    (void)state;
    struct table t = table_new("no load");
    for (int k = 0; k < LENGTH(no_load); k++) {
        struct supply s = {.frequency = hertz, .peak = volts, .source = 100};
        s.farads = supply_farads(no_load[k].x, hertz, s.source);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run(&h, 1 / hertz);
        const struct figure *peak = run_figure(r, "D1", MEASURE_INRUSH_PEAK_CURRENT);
        assert_non_null(peak);
        table_row(&t, "x %g", no_load[k].x);
        table_peak(&t, "peak", peak->value * s.source / volts, no_load[k].peak);
        table_peak(&t, "time of the peak", peak->time * hertz * 360, no_load[k].angle);
        handmade_free(&h);
    }
    table_end(&t);
}

/* Every cycle above the one before, and nothing ever above the settled wave. */
static void check_no_overshoot(enum supply_kind kind, int row, double degrees, double wanted,
                               struct worst *w)
{
    static double u[CYCLES * PER_CYCLE];
    struct supply s = supply(kind, from_zero[row].wcr, from_zero[row].k, degrees);
    struct handmade h = supply_new(&s);
    char text[64];
    hand_sample(&h, "+", 1 / (hertz * PER_CYCLE), u, LENGTH(u));
    const struct result *r = hand_run_settled(&h, CYCLES / hertz);
    for (int k = PER_CYCLE; k < LENGTH(u); k++)
        if (!(u[k] >= u[k - PER_CYCLE] - 1e-7 * volts))
            fail_msg("overshoot of %.3g V at sample %d", u[k - PER_CYCLE] - u[k], k);
    double highest = hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE) / volts;
    if (highest > wanted + 1e-6) fail_msg("highest %.9g over %.9g", highest, wanted);
    snprintf(text, sizeof text, "wCR %g Rs/R %g from %g deg",
             s.frequency * 2 * PI * s.farads * ohms, from_zero[row].k, degrees);
    worst_take(w, highest, wanted, text);
    handmade_free(&h);
}

static void test_no_overshoot(void **state)
{
    (void)state;
    struct worst one = {0}, two = {0};
    for (int k = 0; k < LENGTH(from_zero); k++)
        for (int degrees = 0; degrees <= 90; degrees += 90) {
            check_no_overshoot(SUPPLY_HALF_WAVE, k, degrees, from_zero[k].highest_half_wave, &one);
            check_no_overshoot(SUPPLY_BRIDGE, k, degrees, from_zero[k].highest_full_wave, &two);
        }
    worst_check(&one, "highest volts ever, half-wave", 2e-4);
    worst_check(&two, "highest volts ever, bridge", 2e-4);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_from_zero),
        cmocka_unit_test(test_from_crest),
        cmocka_unit_test(test_no_load),
        cmocka_unit_test(test_no_overshoot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
