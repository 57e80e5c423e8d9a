/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worked examples of textbooks: our value equals the exact solution of the book's circuit, and the
 * book's value is off by what its rule costs; both are printed. See worked_examples_table.h for the
 * sources of the first part. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "table.h"
#include "worked_examples_table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const char *const quantity_name[] = {
    [MEAN] = "mean [V]",
    [RIPPLE_PP] = "ripple peak to peak [V]",
    [RIPPLE_RMS] = "ripple rms [V]",
    [RIPPLE_SHARE] = "ripple rms over mean",
    [PEAK] = "peak current [A]",
    [AVERAGE] = "average current [A]",
    [CONDUCTION] = "conduction [degrees]",
};

static double measured(const struct result *r, const struct supply *s, enum quantity what)
{
    struct handmade h;
    double value;
    switch (what) {
    case MEAN: return hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE);
    case RIPPLE_PP: return hand_figure(r, "+", MEASURE_RIPPLE_PP);
    case RIPPLE_RMS: return hand_figure(r, "+", MEASURE_RIPPLE_RMS);
    case RIPPLE_SHARE:
        return hand_figure(r, "+", MEASURE_RIPPLE_RMS) /
               hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE);
    case PEAK: return hand_figure(r, "D1", MEASURE_RUNNING_PEAK_CURRENT);
    case AVERAGE: return hand_figure(r, "D1", MEASURE_AVERAGE_CURRENT);
    case CONDUCTION: break;
    }
    value =
        hand_figure(supply_run_settled(*s, 180 / s->frequency, 1, &h), "D1", MEASURE_PEAK_DURATION);
    handmade_free(&h);
    return value * 360 * s->frequency;
}

static void check_example(struct table *t, const struct example *e)
{
    struct handmade h = supply_new(&e->supply);
    const struct result *r = hand_run_settled(&h, 180 / e->supply.frequency);
    table_row(t, "%.55s", e->source);
    print_message("%s\n", e->source);
    for (int k = 0; k < LENGTH(e->answer) && e->answer[k].exact > 0; k++) {
        enum quantity what = e->answer[k].what;
        double value = measured(r, &e->supply, what), published = e->answer[k].published;
        bool level = what == MEAN || what == AVERAGE;
        (level ? table_level : table_peak)(t, quantity_name[what], value, e->answer[k].exact);
        if (published > 0) {
            double error = 100 * (published / value - 1);
            print_message("  %s: %.5g, published %.5g (%+.1f %%)\n", quantity_name[what], value,
                          published, error);
            near_abs(error, e->answer[k].error, 0.06, "%");
        }
    }
    handmade_free(&h);
}

static void test_capacitor_input(void **state)
{
    (void)state;
    struct table t = table_new("worked examples");
    for (int k = 0; k < LENGTH(examples); k++) check_example(&t, &examples[k]);
    table_end(&t);
}

/* Sedra & Smith's peak of 638 mA and their mean while the diode conducts, 324 mA; and what a
 * resistance in the source makes of it. */
static void test_peak_and_source(void **state)
{
    (void)state;
    struct table t = table_new("the first example with a source resistance");
    struct supply s = examples[0].supply;
    struct handmade h = supply_new(&s);
    double average = hand_figure(hand_run_settled(&h, 3), "D1", MEASURE_AVERAGE_CURRENT);
    double mean_on = average * 360 / measured(NULL, &s, CONDUCTION);
    handmade_free(&h);
    table_row(&t, "no resistance");
    table_peak(&t, "mean while on", mean_on, 0.31214);
    near_abs(100 * (0.324 / mean_on - 1), 3.8, 0.06, "%");
    for (int k = 0; k < LENGTH(with_source); k++) {
        s.source = with_source[k].ohms;
        h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 6);
        table_row(&t, "%g ohm", s.source);
        table_peak(&t, "peak", measured(r, &s, PEAK), with_source[k].peak);
        table_level(&t, "mean", measured(r, &s, MEAN), with_source[k].mean);
        handmade_free(&h);
    }
    table_end(&t);
}

/* Mehta's example with the 1.4 V kept as the drop of two rectifiers. */
static void test_kept_drop(void **state)
{
    (void)state;
    struct supply s = SUPPLY(BRIDGE, 60, 11.5 * sqrt(2), 2.2e3, 50e-6);
    s.drop = 0.7;
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 3);
    near_rel(measured(r, &s, MEAN), 14.395, 2e-4, "V");
    near_rel(measured(r, &s, RIPPLE_PP), 0.9652, 1e-3, "V");
    handmade_free(&h);
}

static double over(enum supply_kind kind, double wcr, double k)
{
    struct supply s = {.kind = kind,
                       .frequency = 60,
                       .peak = 300,
                       .source = k * 1000,
                       .farads = supply_farads(wcr, 60, 1000),
                       .ohms = 1000};
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 3);
    double amperes = measured(r, &s, MEAN) / s.ohms, pulses = kind == SUPPLY_HALF_WAVE ? 1 : 2;
    double percent =
        100 * (amperes / (pulses * s.frequency * s.farads) / measured(r, &s, RIPPLE_PP) - 1);
    handmade_free(&h);
    return percent;
}

static void test_ripple_rule(void **state)
{
    (void)state;
    for (int k = 0; k < LENGTH(rule); k++) {
        double one = over(SUPPLY_HALF_WAVE, rule[k].wcr, 0);
        double two = over(SUPPLY_CENTRE_TAP, rule[k].wcr, 0);
        print_message("Idc/(n f C) at wCR %g: half-wave %+.1f %%, full-wave %+.1f %%\n",
                      rule[k].wcr, one, two);
        near_abs(one, rule[k].half_wave, 0.6, "%");
        near_abs(two, rule[k].full_wave, 0.6, "%");
    }
    near_abs(over(SUPPLY_HALF_WAVE, 50, 0.05), 28.3, 0.1, "%");
    near_abs(over(SUPPLY_CENTRE_TAP, 10, 0.05), 56.4, 0.1, "%");
    near_abs(over(SUPPLY_CENTRE_TAP, 50, 0.1), 72.6, 0.1, "%");
}

/* Cascade of one stage: Khalifa, High Voltage Engineering, 2nd ed. 2000, Ex. 16.1 p. 556: 100 kV
 * rms, 50 Hz, C1 0.01 uF, C2 0.05 uF, 5 mA: ripple I/(f C2) = 2000 V, mean 271.84 kV, 3.89 % down.
 * Balance of charges without resistance; ours has 1 kohm. */
static void test_high_voltage_doubler(void **state)
{
    (void)state;
    struct handmade h = handmade_new(50);
    hand_sine(&h, "S", "a", "0", 100e3 * sqrt(2), 0);
    hand_r(&h, "Rs", "a", "b", 1000);
    hand_c(&h, "C1", "p", "b", 0.01e-6, 135e3);
    hand_diode(&h, "D1", "0", "p", 0, 0);
    hand_diode(&h, "D2", "p", "+", 0, 0);
    hand_c(&h, "C2", "+", "0", 0.05e-6, 272e3);
    hand_load(&h, "load", "+", "0", 5e-3, 270e3, false);
    hand_watch(&h, "+");
    const struct result *r = hand_run(&h, 2);
    double mean = hand_settled(r, "+", MEASURE_SETTLED_VOLTAGE),
           ripple = hand_figure(r, "+", MEASURE_RIPPLE_PP);
    print_message("doubler: mean %.6g V, published 271.84 kV (%+.2f %%); ripple %.5g V, published "
                  "2 kV (%+.1f %%)\n",
                  mean, 100 * (271.84e3 / mean - 1), ripple, 100 * (2000 / ripple - 1));
    near_rel(271.84e3, mean, 0.02, "V");
    near_rel(2000, ripple, 0.2, "V");
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_capacitor_input),
        cmocka_unit_test(test_peak_and_source),
        cmocka_unit_test(test_kept_drop),
        cmocka_unit_test(test_ripple_rule),
        cmocka_unit_test(test_high_voltage_doubler),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
