/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worked examples on chokes and filters, ideal full-wave rectifier and source. Where the circuit
 * has an exact solution (closed form of the |sin| drive) ours must be that, and the book's value is
 * off by what its rule costs; where the book has only a rule of thumb, ours and the rule are
 * printed and must be as near as such a rule is. Books as in the Python Textbook Companions
 * (FOSSEE, IIT Bombay). */
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

static double ripple_share(const struct result *r)
{
    return hand_figure(r, "B+", MEASURE_RIPPLE_RMS) /
           hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE);
}

/* Choke and capacitor, or choke alone (farads 0). `volts` of direct current wanted. */
static const struct lc {
    const char *source;
    double frequency, henries, farads, ohms, volts;
    double published, exact, error;    /* ripple rms over mean; error of the first [%] */
    double ripple_pp, lowest, highest; /* [V], [A], [A]; 0: not asked */
} lc[] = {
    {"Kishore, Electronic Devices and Circuits, Ex. 3.5 p. 164", 60, 1, 41.5e-6, 90, 14, 0.02,
     0.0195902, 2.09, 0.780443, 0.14277, 0.16828},
    {"Chattopadhyay & Rakshit, Electronics, 12th ed. 2014, Ex. 5 p. 116", 50, 1, 60e-6, 100, 10,
     0.02, 0.0200506, -0.25, 0.571315, 0.08902, 0.11094},
    {"Sedha, Applied Electronics, Ex. 19.10 p. 454", 50, 1.5, 0, 100, 10, 0.05, 0.0500139, -0.03, 0,
     0, 0},
    {"Muthusubramanian & Salivahanan, Basic Electrical and Electronics Engineering, 2010, "
     "Ex. 12.8 p. 349",
     60, 1.563, 0, 100, 10, 0.04, 0.0400782, -0.20, 0, 0, 0},
};

static struct supply lc_supply(const struct lc *f)
{
    return (struct supply){.kind = SUPPLY_CENTRE_TAP,
                           .frequency = f->frequency,
                           .peak = f->volts * PI / 2,
                           .degrees = 90,
                           .henries = f->henries,
                           .farads2 = f->farads,
                           .ohms = f->ohms};
}

static void test_choke_filters(void **state)
{
    (void)state;
    struct table t = table_new("choke filters");
    for (int k = 0; k < LENGTH(lc); k++) {
        struct handmade h;
        const struct result *r = supply_run_settled(lc_supply(&lc[k]), 1, 20, &h);
        double share = ripple_share(r), error = 100 * (lc[k].published / share - 1);
        table_row(&t, "%.55s", lc[k].source);
        print_message("%s\n  ripple %.5f, published %.5f (%+.2f %%)\n", lc[k].source, share,
                      lc[k].published, error);
        table_level(&t, "mean", hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE), lc[k].volts);
        table_peak(&t, "ripple rms", share, lc[k].exact);
        near_abs(error, lc[k].error, 0.006, "%");
        if (lc[k].farads > 0) {
            table_peak(&t, "ripple", hand_figure(r, "B+", MEASURE_RIPPLE_PP), lc[k].ripple_pp);
            table_level(&t, "highest", hand_figure(r, "L", MEASURE_HIGHEST_CURRENT), lc[k].highest);
            table_level(&t, "lowest", -hand_figure(r, "L backwards", MEASURE_RUNNING_PEAK_CURRENT),
                        lc[k].lowest);
        }
        handmade_free(&h);
    }
    table_end(&t);
}

/* Chattopadhyay's other design of that page, 0.1 H and 597 uF, is just below the exact critical
 * inductance of 100 ohm at 50 Hz, 0.10526 H (his own R/950): the current stops and the mean rises a
 * little. */
static void test_just_below_critical(void **state)
{
    (void)state;
    const struct lc f = {
        .frequency = 50, .henries = 0.1, .farads = 597e-6, .ohms = 100, .volts = 10};
    struct handmade h;
    const struct result *r = supply_run_settled(lc_supply(&f), 2, 30, &h);
    double mean = hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE);
    near_abs(hand_figure(r, "L backwards", MEASURE_RUNNING_PEAK_CURRENT), 0, 1e-9, "A");
    assert_true(mean > 10 * (1 + 1e-4) && mean < 10 * 1.02);
    near_rel(0.330674087564 * 100 / (2 * PI * 50), 0.10526, 1e-4, "H");
    handmade_free(&h);
}

/* Mehta, Principles of Electronics, Ex. 6.24 p. 106: 25 ohm of choke, 750 ohm of load, rectified
 * peak 25.7 V: 15.9 V by rounded steps; 2 / pi x 25.7 x 750 / 775 = 15.833 V. */
static void test_choke_resistance(void **state)
{
    (void)state;
    struct supply s = {.kind = SUPPLY_CENTRE_TAP,
                       .frequency = 60,
                       .peak = 25.7,
                       .henries = 2,
                       .choke = 25,
                       .farads2 = 100e-6,
                       .ohms = 750};
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 3);
    double mean = hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE);
    near_rel(mean, 2 / PI * 25.7 * 750 / 775, 2e-4, "V");
    near_abs(mean, 15.833, 0.003, "V");
    near_abs(100 * (15.9 / mean - 1), 0.42, 0.01, "%");
    handmade_free(&h);
}

/* The rule of thumb for the pi filter is ripple/dc = sqrt 2 / (8 w^3 C1 C2 L R), as if the first
 * capacitor's current came in pulses of no length. Exact: fixed-step fourth-order integration,
 * 20 000 and 80 000 steps a cycle, digits that agree. */
static const struct pi {
    const char *source;
    double frequency, peak, c1, henries, choke, c2, ohms;
    double published_mean, published_share; /* mean 0: not given */
    double mean, share, error;              /* [V], [1], of the share [%] */
} pi_filter[] = {
    {"Sedha, Applied Electronics, Ex. 19.13 p. 457", 50, 100, 100e-6, 5, 0, 100e-6, 150, 0, 0.00076,
     83.19332, 6.71242e-4, 13.2},
    {"J. Paul, Electronic Devices and Circuits, 2003, Ex. 16 p. 112", 60, 300 * 1.41421356237309505,
     4e-6, 20, 200, 4e-6, 362.14 / 0.05, 362.14, 0.00146, 374.50797, 1.40954e-3, 3.6},
};

static void check_pi(struct table *t, const struct pi *f)
{
    struct supply s = {.kind = SUPPLY_CENTRE_TAP,
                       .frequency = f->frequency,
                       .peak = f->peak,
                       .farads = f->c1,
                       .henries = f->henries,
                       .choke = f->choke,
                       .farads2 = f->c2,
                       .ohms = f->ohms};
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run_settled(&h, 4);
    double share = ripple_share(r), error = 100 * (f->published_share / share - 1);
    double mean = hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE), w = 2 * PI * f->frequency;
    double rule = sqrt(2) / (8 * w * w * w * f->c1 * f->c2 * f->henries * f->ohms);
    print_message("%s\n  ripple %.4g, published %.4g (%+.1f %%)\n", f->source, share,
                  f->published_share, error);
    table_row(t, "%.55s", f->source);
    table_level(t, "mean", mean, f->mean);
    table_peak(t, "ripple rms", share, f->share);
    near_abs(error, f->error, 0.06, "%");
    near_rel(f->published_share, rule, 0.03, "1");
    if (f->published_mean > 0) {
        print_message("  mean %.5g V, published %.5g V\n", mean, f->published_mean);
        near_abs(100 * (f->published_mean / mean - 1), -3.3, 0.06, "%");
    }
    handmade_free(&h);
}

static void test_pi_filters(void **state)
{
    (void)state;
    struct table t = table_new("pi filters");
    for (int k = 0; k < LENGTH(pi_filter); k++) check_pi(&t, &pi_filter[k]);
    table_end(&t);
}

/* Tooley, Electronic Circuits, Ex. 6.3 p. 118: 10 H and a reactance of 3.18 ohm at 50 Hz pass
 * 1.01e-3; without loss 3.18 / (3141.6 - 3.18) = 1.0133e-3. The state that belongs to the steady
 * wave is given at the start. */
static void test_filter_of_reactances(void **state)
{
    (void)state;
    const double w = 2 * PI * 50, coil = w * 10, capacitor = 3.18, volts = 1;
    struct handmade h = handmade_new(50);
    hand_sine(&h, "S", "a", "0", volts, 0);
    hand_l(&h, "L", "a", "b", 10, -volts / (coil - capacitor));
    hand_c(&h, "C", "b", "0", 1 / (w * capacitor), 0);
    hand_watch(&h, "b");
    const struct result *r = hand_run(&h, 1);
    double share = hand_figure(r, "b", MEASURE_RMS_VOLTAGE) * sqrt(2) / volts;
    near_rel(share, capacitor / (coil - capacitor), 2e-4, "1");
    near_abs(share, 1.0133e-3, 1e-7, "1");
    near_abs(100 * (1.01e-3 / share - 1), -0.3, 0.03, "%");
    handmade_free(&h);
}

/* rms volts over rms current of one part, or two side by side, on a sine. */
static double impedance(double frequency, double henries, double farads, double ohms)
{
    struct handmade h = handmade_new(frequency);
    hand_sine(&h, "S", "a", "0", sqrt(2), 0);
    if (henries > 0) hand_l(&h, "L", "a", "0", henries, -sqrt(2) / (2 * PI * frequency * henries));
    if (farads > 0) hand_c(&h, "C", "a", "0", farads, 0);
    if (ohms > 0) hand_r(&h, "R", "a", "0", ohms);
    hand_watch_current(&h, "S");
    double z = 1 / hand_figure(hand_run(&h, 30 / frequency), "S", MEASURE_RMS_CURRENT);
    handmade_free(&h);
    return z;
}

/* NEETS module 7, assignment 4, items 26 and 34: 53 ohm and 7.5 k of 25 uF and 10 H at 120 Hz. US
 * Army TC 9-62 (23 June 2005), par. 4-55 to 4-60: 265 ohm and 3.8 k of 10 uF and 10 H at 60 Hz; its
 * "total resistance" of 258 ohm beside 10 k adds a reactance and a resistance as if both were
 * resistance, in quadrature it is 265.165. */
static void test_reactances(void **state)
{
    (void)state;
    near_abs(impedance(120, 0, 25e-6, 0), 53.05, 0.005, "ohm");
    near_abs(impedance(120, 10, 0, 0), 7539.8, 0.05, "ohm");
    near_abs(impedance(60, 0, 10e-6, 0), 265.26, 0.005, "ohm");
    near_abs(impedance(60, 10, 0, 0), 3769.9, 0.05, "ohm");
    double both = impedance(60, 0, 10e-6, 10e3);
    print_message("10 uF beside 10 k at 60 Hz: %.2f ohm, published 258\n", both);
    near_abs(both, 265.16494, 0.001, "ohm");
    near_abs(258 / both, 0.973, 0.001, "1");
}

/* Rules of every textbook at a point each: a section's ripple sqrt 2 / (12 w^2 L C), 0.83/(L C) at
 * 60 Hz and 1.195/(L C) at 50 Hz (H, uF); a choke alone R / (3 sqrt 2 w L). */
static void test_rules(void **state)
{
    (void)state;
    near_abs(sqrt(2) / (12 * sq(2 * PI * 60)) * 1e6, 0.829, 0.0005, "H uF");
    near_abs(sqrt(2) / (12 * sq(2 * PI * 50)) * 1e6, 1.194, 0.0005, "H uF");
    struct lc f = {.frequency = 60, .henries = 10, .farads = 16e-6, .ohms = 5000, .volts = 250};
    struct handmade h;
    const struct result *r = supply_run_settled(lc_supply(&f), 3, 30, &h);
    double share = ripple_share(r);
    handmade_free(&h);
    near_rel(0.83 / (10 * 16), share, 0.015, "1");
    f = (struct lc){.frequency = 50, .henries = 100, .ohms = 5000, .volts = 250};
    r = supply_run_settled(lc_supply(&f), 1, 20, &h);
    near_rel(5000 / (3 * sqrt(2) * 2 * PI * 50 * 100), ripple_share(r), 0.01, "1");
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_choke_filters),
        cmocka_unit_test(test_just_below_critical),
        cmocka_unit_test(test_choke_resistance),
        cmocka_unit_test(test_pi_filters),
        cmocka_unit_test(test_filter_of_reactances),
        cmocka_unit_test(test_reactances),
        cmocka_unit_test(test_rules),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
