/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Circuits whose answer is an elementary function: steps and discharges from a textbook, a step
 * into choke and capacitor, the discharge of filter capacitors. The exact value is computed beside
 * each; the printed one is met to its last digit. */
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

/* A source, a resistance and one or two storing parts in a ring. */
struct ring {
    double frequency; /* that cycles are counted by [Hz] */
    double source;    /* [V]; 0: none */
    double ohms, henries, farads;
    double amperes, volts; /* in coil and capacitor at the start */
    bool diode;
};

static struct handmade ring_new(const struct ring *g)
{
    struct handmade h = handmade_new(g->frequency);
    const char *at = "0";
    if (g->source > 0) hand_steady(&h, "S", at = "a", "0", g->source);
    if (g->farads > 0 && !(g->source > 0)) hand_c(&h, "C", at = "a", "0", g->farads, g->volts);
    if (g->diode) hand_diode(&h, "D", at, "k", 0, 0), at = "k";
    if (g->henries > 0) hand_l(&h, "L", at, "l", g->henries, g->amperes), at = "l";
    if (g->farads > 0 && g->source > 0) {
        hand_r(&h, "R", at, "c", g->ohms);
        hand_c(&h, "C", "c", "0", g->farads, g->volts);
    } else {
        hand_r(&h, "R", at, "0", g->ohms);
    }
    return h;
}

/* J. O. Bird, Electrical Circuit Theory and Technology, 2nd ed. 2003, pages in the table: what is
 * asked at an instant, as printed, with half its last digit (or what its rounding costs). The exact
 * value is to + (from - to) exp(-time / tau). */
static const struct bird {
    const char *name;
    struct ring ring;
    const char *point; /* its volts; NULL: the current through R */
    double time;       /* [s] */
    double printed, half_digit;
    double from, to, tau;
} bird[] = {
    {"p. 903, 50 V step, amperes",
     {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     NULL,
     0.15,
     24.89e-6,
     0.005e-6,
     50 / 1e5,
     0,
     0.05},
    {"p. 903, capacitor",
     {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     "c",
     0.08,
     39.91,
     0.005,
     0,
     50,
     0.05},
    {"p. 903, resistor at 35 V",
     {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     "c",
     17.83e-3,
     50 - 35,
     0.005,
     0,
     50,
     0.05},
    {"p. 905, 5 uF into 2 M",
     {1, 0, 2e6, 0, 5e-6, 0, 200, false},
     "a",
     20,
     27.07,
     0.005,
     200,
     0,
     10},
    {"p. 907, 110 V step, amperes",
     {50, 110, 5, 50e-3, 0, 0, 0, false},
     NULL,
     4e-3,
     7.25,
     0.005,
     0,
     22,
     0.01},
    {"p. 907, resistor",
     {50, 110, 5, 50e-3, 0, 0, 0, false},
     "l",
     6e-3,
     49.63,
     0.005,
     0,
     110,
     0.01},
    {"p. 907, 15 A", {50, 110, 5, 50e-3, 0, 0, 0, false}, NULL, 11.45e-3, 15, 0.005, 0, 22, 0.01},
    {"p. 909, 5 A in 2 H", {50, 0, 10, 2, 0, 5, 0, false}, NULL, 0.644, 0.200, 0.0005, 5, 0, 0.2},
    {"p. 262, 120 V step",
     {10, 120, 47e3, 0, 15e-6, 0, 0, false},
     "c",
     0.705,
     75.85,
     0.005,
     0,
     120,
     0.705},
    {"p. 262, half the volts",
     {10, 120, 47e3, 0, 15e-6, 0, 0, false},
     "c",
     0.48867,
     60,
     0.005,
     0,
     120,
     0.705},
    {"p. 267, 16 uF into 50 k",
     {10, 0, 50e3, 0, 16e-6, 0, 100, false},
     "a",
     1.29,
     20,
     0.1,
     100,
     0,
     0.8},
    {"p. 267, after a second",
     {10, 0, 50e3, 0, 16e-6, 0, 100, false},
     "a",
     1,
     28.7,
     0.05,
     100,
     0,
     0.8},
};

static double value_at(struct handmade *h, const char *point, double time)
{
    double value[2];
    if (point) hand_sample(h, point, time, value, 2);
    else hand_sample_current(h, "R", time, value, 2);
    hand_run(h, time);
    return value[1];
}

static void test_steps_and_discharges(void **state)
{
    (void)state;
    struct table t = table_new("steps and discharges");
    for (int k = 0; k < LENGTH(bird); k++) {
        const struct bird *b = &bird[k];
        struct handmade h = ring_new(&b->ring);
        double value = value_at(&h, b->point, b->time);
        table_row(&t, "%s", b->name);
        table_level(&t, "value", value, b->to + (b->from - b->to) * exp(-b->time / b->tau));
        near_abs(value, b->printed, b->half_digit, "printed unit");
        handmade_free(&h);
    }
    table_end(&t);
}

/* Bird p. 909: the coil's 5 A in 10 ohm stand at 50 V at once. */
static void test_coil_into_resistance(void **state)
{
    (void)state;
    const struct ring ring = {.frequency = 50, .ohms = 10, .henries = 2, .amperes = 5};
    struct handmade h = ring_new(&ring);
    hand_watch(&h, "l");
    const struct result *r = hand_run(&h, 4);
    near_rel(hand_figure(r, "l", MEASURE_HIGHEST_VOLTAGE), 50, 2e-4, "V");
    near_rel(hand_figure(r, "R", MEASURE_ENERGY), 25, 2e-4, "J");
    handmade_free(&h);
}

/* Bird p. 913: 5 uF at 10 V into 1.5 H and 90 ohm: i = 0.0183 exp(-30 t) sin(363.9 t). */
static void test_oscillatory_discharge(void **state)
{
    (void)state;
    const struct ring ring = {
        .frequency = 50, .ohms = 90, .henries = 1.5, .farads = 5e-6, .volts = 10};
    const double decay = 90 / (2 * 1.5), w = sqrt(1 / (1.5 * 5e-6) - sq(decay));
    const double amperes = 10 / (1.5 * w);
    struct worst worst = {0};
    double i[60];
    struct handmade h = ring_new(&ring);
    hand_sample_current(&h, "R", 1e-3, i, LENGTH(i));
    hand_run(&h, 0.07);
    near_abs(w, 363.9, 0.05, "rad/s");
    near_abs(amperes, 0.0183, 0.00005, "A");
    for (int k = 0; k < LENGTH(i); k++) {
        double t = k * 1e-3, wanted = amperes * exp(-decay * t) * sin(w * t);
        worst_take(&worst, (i[k] - wanted) / amperes, 0, "against the amplitude");
    }
    worst_check(&worst, "oscillatory discharge", 2e-4);
    handmade_free(&h);
}

/* Rashid, Power Electronics, 4th ed., Ex. 2.4: a capacitor at 220 V, a diode and 44 ohm: 5 A and
 * 2.42 mJ; 139.64 V after 2 us follows from the data. */
static void test_diode_and_capacitor(void **state)
{
    (void)state;
    const struct ring ring = {
        .frequency = 5e4, .ohms = 44, .farads = 0.1e-6, .volts = 220, .diode = true};
    double volts[2];
    struct handmade h = ring_new(&ring);
    hand_sample(&h, "a", 2e-6, volts, 2);
    const struct result *r = hand_run(&h, 100e-6);
    near_rel(hand_figure(r, "D", MEASURE_INRUSH_PEAK_CURRENT), 5, 2e-4, "A");
    near_rel(hand_figure(r, "R", MEASURE_ENERGY), 2.42e-3, 2e-4, "J");
    near_rel(volts[1], 220 * exp(-2 / 4.4), 2e-4, "V");
    near_abs(volts[1], 139.64, 0.005, "V");
    handmade_free(&h);
}

/* Rashid Ex. 2.7: 220 V, diode, 160 ohm, 2 mH, 0.05 uF: half a ring at 91 652 rad/s, 34.28 us; then
 * the capacitor keeps 220 (1 + exp(-40 000 pi / 91 652)) V. */
static void test_diode_and_ring(void **state)
{
    (void)state;
    const struct ring ring = {.frequency = 5e3,
                              .source = 220,
                              .ohms = 160,
                              .henries = 2e-3,
                              .farads = 0.05e-6,
                              .diode = true};
    const double decay = 160 / (2 * 2e-3), w = sqrt(1 / (2e-3 * 0.05e-6) - sq(decay));
    struct handmade h = ring_new(&ring);
    hand_watch(&h, "c");
    const struct result *r = hand_run(&h, 200e-6);
    near_abs(w, 91652, 0.5, "rad/s");
    near_rel(hand_figure(r, "D", MEASURE_PEAK_DURATION), PI / w, 2e-4, "s");
    near_abs(hand_figure(r, "D", MEASURE_PEAK_DURATION), 34.28e-6, 0.005e-6, "s");
    near_rel(hand_figure(r, "c", MEASURE_HIGHEST_VOLTAGE), 220 * (1 + exp(-decay * PI / w)), 2e-4,
             "V");
    handmade_free(&h);
}

/* A step into choke and capacitor with load: final V R / (R + Rc), w0^2 = (1 + Rc/R) / (L C),
 * zeta = (Rc/L + 1/(R C)) / (2 w0), overshoot exp(-pi zeta / sqrt(1 - zeta^2)): closed form. */
static const struct step {
    double source, henries, choke, farads, ohms;
    double final, peak, at, overshoot, current, current_at;
} step[] = {
    {300, 10, 200, 16e-6, 20000, 297.029703, 484.143695, 0.0399666274, 0.6299504, 0.317782739,
     0.0186229678},
    {300, 10, 200, 16e-6, 5000, 288.461538, 439.583292, 0.0397831343, 0.5238887, 0.324383195,
     0.0192906655},
    {250, 20, 400, 8e-6, 50000, 248.015873, 406.186226, 0.0399840098, 0.6377429, 0.132231134,
     0.0185804583},
    {100, 0.05, 5, 1000e-6, 100, 95.2380952, 121.486416, 0.0234323272, 0.2756074, 9.02779215,
     0.0093008133},
};

static struct handmade step_new(const struct step *s, bool diode)
{
    struct handmade h = handmade_new(50);
    hand_steady(&h, "S", "a", "0", s->source);
    if (diode) hand_diode(&h, "D", "a", "k", 0, 0);
    hand_l(&h, "L", diode ? "k" : "a", "l", s->henries, 0);
    hand_r(&h, "Rc", "l", "+", s->choke);
    hand_c(&h, "C", "+", "0", s->farads, 0);
    hand_r(&h, "R", "+", "0", s->ohms);
    hand_watch(&h, "+");
    hand_watch_current(&h, "L");
    return h;
}

static void check_peaks(struct table *t, const struct result *r, const struct step *s)
{
    const struct figure *peak = run_figure(r, "+", MEASURE_HIGHEST_VOLTAGE);
    const struct figure *current = run_figure(r, "L", MEASURE_HIGHEST_CURRENT);
    assert_true(peak && current);
    table_level(t, "peak", peak->value, s->peak);
    table_peak(t, "its time", peak->time, s->at);
    table_level(t, "highest current", current->value, s->current);
    table_peak(t, "the time of that", current->time, s->current_at);
}

static void test_step(void **state)
{
    (void)state;
    struct table t = table_new("step into choke and capacitor");
    for (int k = 0; k < LENGTH(step); k++) {
        const struct step *s = &step[k];
        struct handmade h = step_new(s, false);
        const struct result *r = hand_run_settled(&h, 2);
        double final = hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE);
        table_row(&t, "%g V %g H %g uF %g ohm", s->source, s->henries, s->farads * 1e6, s->ohms);
        table_level(&t, "final", final, s->final);
        check_peaks(&t, r, s);
        table_peak(&t, "overshoot", hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE) / final - 1,
                   s->overshoot);
        handmade_free(&h);
    }
    table_end(&t);
}

/* With a rectifier before the choke the first peak is the same, as the current is still positive at
 * the peak; then the capacitor can only discharge into the load. */
static void test_step_through_rectifier(void **state)
{
    (void)state;
    struct table t = table_new("step through a rectifier");
    for (int k = 0; k < LENGTH(step); k++) {
        const struct step *s = &step[k];
        struct handmade h = step_new(s, true);
        const struct result *r = hand_run(&h, 2);
        table_row(&t, "%g V %g H %g uF %g ohm", s->source, s->henries, s->farads * 1e6, s->ohms);
        check_peaks(&t, r, s);
        assert_true(hand_figure(r, "D", MEASURE_PEAK_DURATION) > s->at);
        handmade_free(&h);
    }
    table_end(&t);
}

/* t = R C ln(V0 / V); the energy and the exponential's figure of 30 V follow likewise. */
static const struct {
    double volts, ohms, farads;
    double to[4]; /* [s] to 60, 50, 42.4 and 34 V */
    double joules;
} bleed[] = {
    {350, 220e3, 47e-6, {18.23551, 20.12071, 21.82551, 24.10846}, 2.87875},
    {165, 1e6, 40e-6, {40.46404, 47.75690, 54.35188, 63.18340}, 0.5445},
    {300, 10e6, 16e-6, {257.5101, 286.6815, 313.0615, 348.3875}, 0.72},
};

static void test_bleed_down(void **state)
{
    (void)state;
    static const double volts[] = {60, 50, 42.4, 34};
    struct table t = table_new("bleeding down");
    for (int k = 0; k < LENGTH(bleed); k++) {
        const struct ring ring = {.frequency = 1,
                                  .ohms = bleed[k].ohms,
                                  .farads = bleed[k].farads,
                                  .volts = bleed[k].volts};
        table_row(&t, "%g V %g ohm", bleed[k].volts, bleed[k].ohms);
        for (int j = 0; j < LENGTH(volts); j++) {
            struct handmade h = ring_new(&ring);
            table_level(&t, "volts", value_at(&h, "a", bleed[k].to[j]), volts[j]);
            handmade_free(&h);
        }
        struct handmade h = ring_new(&ring);
        hand_watch_capacitor(&h, "C");
        const struct result *r = hand_run(&h, 1e-3);
        double left = bleed[k].ohms * bleed[k].farads * log(bleed[k].volts / 30) - 1e-3;
        table_level(&t, "stored energy", hand_figure(r, "C", MEASURE_STORED_ENERGY),
                    bleed[k].joules);
        table_level(&t, "time to 30 V", hand_figure(r, "C", MEASURE_BLEED_DOWN_TIME), left);
        handmade_free(&h);
    }
    table_end(&t);
}

/* A new capacitor across an old leaky one: one capacitor C1 + C2 with load R beside Rk, whose heat
 * is all in the old part. */
static void test_leaky_capacitor_left_in(void **state)
{
    (void)state;
    const double leak = 13200, ohms = 3500;
    struct supply two = {.kind = SUPPLY_CENTRE_TAP,
                         .frequency = 60,
                         .peak = 300 * sqrt(2),
                         .source = 150,
                         .farads = 20e-6,
                         .ohms = ohms};
    struct supply one = two;
    one.farads = 28e-6;
    one.ohms = ohms * leak / (ohms + leak);
    struct handmade h = supply_new(&two), g = supply_new(&one);
    hand_c(&h, "old", "+", "0", 8e-6, 0);
    hand_r(&h, "leak", "+", "0", leak);
    const struct result *r = hand_run_settled(&h, 2), *q = hand_run_settled(&g, 2);
    near_rel(hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE),
             hand_figure(q, "+", MEASURE_SETTLED_VOLTAGE), 1e-8, "V");
    near_rel(hand_figure(r, "+", MEASURE_RIPPLE_PP), hand_figure(q, "+", MEASURE_RIPPLE_PP), 1e-5,
             "V");
    near_rel(hand_figure(r, "leak", MEASURE_DISSIPATION),
             sq(hand_figure(r, "+", MEASURE_RMS_VOLTAGE)) / leak, 1e-6, "W");
    handmade_free(&h);
    handmade_free(&g);
}

/* i = (V / R) (1 - exp(-R t / L)) behind many ohms: the tolerance of the coil is taken of a
 * hundredth of what the source alone drives through it at mains frequency. The error is 4e-11 of
 * that. */
static void test_coil_behind_many_ohms(void **state)
{
    enum { N = 4 };
    const double volts = 100, reactance = 2 * PI * 60;
    (void)state;
    for (int k = 0; k < 2; k++) {
        const double henries = k ? 1 : 0.01, ohms = 100 * reactance * henries;
        const double every = 3 * henries / ohms, range = 0.01 * volts / (reactance * henries);
        double amperes[N];
        struct handmade h = handmade_new(60);
        hand_steady(&h, "S", "a", "0", volts);
        hand_l(&h, "L", "a", "b", henries, 0);
        hand_r(&h, "R", "b", "0", ohms);
        hand_sample_current(&h, "R", every, amperes, N);
        hand_run(&h, N * every);
        for (int i = 0; i < N; i++)
            near_abs(amperes[i], volts / ohms * (1 - exp(-3 * i)), 1.3e-10 * range, "A");
        handmade_free(&h);
    }
}

/* A short across the output leaves half-waves Vm / Rs sin th: rms Vm / (2 Rs) in the lead of a
 * half-wave rectifier, Vm / (sqrt 2 Rs) in the common lead of a full-wave one. */
static void test_shorted_output(void **state)
{
    (void)state;
    for (int k = SUPPLY_HALF_WAVE; k <= SUPPLY_BRIDGE; k++) {
        struct supply s = {.kind = (enum supply_kind)k,
                           .frequency = 60,
                           .peak = 400,
                           .source = 150,
                           .farads = 20e-6,
                           .ohms = 3500};
        struct handmade h = supply_new(&s);
        hand_r(&h, "short", "+", "0", 0);
        hand_watch_current(&h, "short");
        const struct result *r = hand_run_settled(&h, 0.5);
        double rms = 400.0 / 150 / (k == SUPPLY_HALF_WAVE ? 2 : sqrt(2));
        near_rel(hand_figure(r, "short", MEASURE_RMS_CURRENT), rms, 2e-4, "A");
        near_abs(hand_figure(r, "+", MEASURE_HIGHEST_VOLTAGE), 0, 1e-9, "V");
        handmade_free(&h);
    }
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_steps_and_discharges),    cmocka_unit_test(test_coil_into_resistance),
        cmocka_unit_test(test_oscillatory_discharge),   cmocka_unit_test(test_diode_and_capacitor),
        cmocka_unit_test(test_diode_and_ring),          cmocka_unit_test(test_step),
        cmocka_unit_test(test_step_through_rectifier),  cmocka_unit_test(test_bleed_down),
        cmocka_unit_test(test_leaky_capacitor_left_in), cmocka_unit_test(test_shorted_output),
        cmocka_unit_test(test_coil_behind_many_ohms),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
