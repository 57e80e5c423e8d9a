/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Failing capacitors in circuits small enough for closed forms, which stand beside each. Leakage
 * does not grow here unless it says so: the heat of the can has tests of its own. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "capacitor.h"
#include "handmade.h"
#include "near.h"
#include "numbers.h"
#include "written.h"

#define STILL "leakage grows: 1 times by 60 C"
#define IDEAL "series resistance: 0 ohm, leakage: none"

/* --- an old one and a new one side by side -------------------------------------------------- */

/* Half-wave, 150 V RMS, 60 Hz, 50 ohm. */
#define SUPPLY                                                                                     \
    "mains: {voltage: 150 V, frequency: 60 Hz, across: [line, '0'], resistance: 50 ohm, closes "   \
    "at: "                                                                                         \
    "zero}\n"                                                                                      \
    "run: {for: 3 s}\n"                                                                            \
    "parts:\n"                                                                                     \
    "  D1: {is: rectifier, type: ideal, plates: [line], cathode: B+}\n"                            \
    "  R1: {is: resistor, across: [B+, '0'], resistance: 3 kohm}\n"

/* What alternates and what is direct, together, RMS. */
static double whole_volts(const struct result *r)
{
    return hypot(hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE),
                 hand_figure(r, "B+", MEASURE_RIPPLE_RMS));
}

/* Side by side they are one capacitor of their sum, with the old one's leakage across it: a
 * capacitor of C1 + C2 and a resistor in place of the leakage give the same volts. The ripple
 * current parts as the capacitances, and the leakage's watts are the old one's alone. */
static void test_new_across_old(void **state)
{
    (void)state;
    struct written w = written_run(
        SUPPLY
        "  C1: {is: capacitor, across: [B+, '0'], value: 8 uF, make: dry, condition: leaky,\n"
        "       leakage: 20 mA at 200 V, series resistance: 0 ohm, " STILL "}\n"
        "  C1 new: {is: capacitor, across: [B+, '0'], value: 22 uF, " IDEAL "}\n");
    struct written one =
        written_run(SUPPLY "  C1: {is: capacitor, across: [B+, '0'], value: 30 uF, " IDEAL "}\n"
                           "  R2: {is: resistor, across: [B+, '0'], resistance: 10 kohm}\n");
    const enum measure same[] = {MEASURE_SETTLED_VOLTAGE, MEASURE_RIPPLE_RMS, MEASURE_RIPPLE_PP,
                                 MEASURE_HIGHEST_VOLTAGE};
    for (int k = 0; k < 4; k++)
        near_rel(hand_settled(w.r, "B+", same[k]), hand_figure(one.r, "B+", same[k]),
                 k ? 1e-6 : 1e-8, "V");
    near_rel(hand_figure(w.r, "D1", MEASURE_RMS_CURRENT),
             hand_figure(one.r, "D1", MEASURE_RMS_CURRENT), 1e-7, "A");
    double ripple = hand_figure(one.r, "C1", MEASURE_RMS_CURRENT), rms = whole_volts(w.r);
    near_rel(hand_figure(w.r, "C1 new", MEASURE_RMS_CURRENT), ripple * 22 / 30, 1e-7, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), hypot(ripple * 8 / 30, rms / 10e3), 1e-6,
             "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), sq(rms) / 10e3, 1e-6, "W");
    near_rel(hand_figure(one.r, "R2", MEASURE_DISSIPATION), sq(rms) / 10e3, 1e-6, "W");
    assert_null(run_figure(w.r, "C1 new", MEASURE_DISSIPATION));
    near_rel(capacitor_leaks(written_part(&w, "C1"), 200, 298.15), 0.02, 1e-12, "A");
    written_free(&one);
    written_free(&w);
}

/* Equal time constants 8 uF 11 ohm and 22 uF 4 ohm: one of 30 uF and 44/15 ohm; currents and series
 * heat part 8 to 22. */
static void test_series_resistances(void **state)
{
    (void)state;
    struct written w = written_run(
        SUPPLY "  C1: {is: capacitor, across: [B+, '0'], value: 8 uF, make: dry, leakage: none,\n"
               "       series resistance: 11 ohm, condition: dried out, value now: 8 uF, series "
               "resistance now: 11 ohm}\n"
               "  C2: {is: capacitor, across: [B+, '0'], value: 22 uF, leakage: none, series "
               "resistance: 4 ohm}\n");
    struct written one = written_run(
        SUPPLY "  C1: {is: capacitor, across: [B+, '0'], value: 30 uF, leakage: none, series "
               "resistance: 2.9333333333333333 ohm}\n");
    double ripple = hand_figure(one.r, "C1", MEASURE_RMS_CURRENT),
           watts = hand_figure(one.r, "C1", MEASURE_DISSIPATION);
    near_rel(hand_settled(w.r, "B+", MEASURE_SETTLED_VOLTAGE),
             hand_figure(one.r, "B+", MEASURE_SETTLED_VOLTAGE), 1e-8, "V");
    near_rel(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), ripple * 8 / 30, 1e-6, "A");
    near_rel(hand_figure(w.r, "C2", MEASURE_RMS_CURRENT), ripple * 22 / 30, 1e-6, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), watts * 8 / 30, 1e-6, "W");
    near_rel(hand_figure(w.r, "C2", MEASURE_DISSIPATION), watts * 22 / 30, 1e-6, "W");
    assert_true(capacitor_series(written_part(&w, "C1")) == 11);
    written_free(&one);
    written_free(&w);
}

/* An open one beside a good one is not there. */
static void test_open_beside_good(void **state)
{
    (void)state;
    struct written w = written_run(
        SUPPLY "  C1: {is: capacitor, across: [B+, '0'], value: 8 uF, condition: open}\n"
               "  C2: {is: capacitor, across: [B+, '0'], value: 22 uF, " IDEAL "}\n");
    struct written one =
        written_run(SUPPLY "  C2: {is: capacitor, across: [B+, '0'], value: 22 uF, " IDEAL "}\n");
    near_rel(hand_figure(w.r, "B+", MEASURE_SETTLED_VOLTAGE),
             hand_figure(one.r, "B+", MEASURE_SETTLED_VOLTAGE), 1e-12, "V");
    assert_null(run_figure(w.r, "C1", MEASURE_RMS_CURRENT));
    written_free(&one);
    written_free(&w);
}

/* --- charge --------------------------------------------------------------------------------- */

/* 8 uF at 300 V put across an empty 24 uF: 75 V stay, and of 0.36 J three quarters are lost, at
 * once between ideal parts, as heat where there is resistance. */
static void test_sudden_connection(void **state)
{
    (void)state;
    const char *const series[] = {"0 ohm", "5 ohm"};
    for (int k = 0; k < 2; k++) {
        struct arena *arena = arena_new();
        struct written w = written_run(
            arena_printf(arena,
                         "parts:\n"
                         "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, starts at: 300 V, "
                         "leakage: none,\n"
                         "       series resistance: %s}\n"
                         "  C2: {is: capacitor, across: [b, '0'], value: 24 uF, leakage: none, "
                         "series resistance: "
                         "%s}\n"
                         "  S1: {is: switch, across: [a, b], state: open}\n"
                         "  B1: {is: battery, across: [c, '0'], voltage: 1 V, resistance: 0 ohm}\n"
                         "  S2: {is: switch, across: [c, b], state: open}\n"
                         "run: {for: 0.5 s}\n"
                         "at 0.1 s: {S1: {state: closed}}\n",
                         series[k], series[k]));
        const double lost = 0.75 * 8e-6 * sq(300) / 2;
        near_abs(hand_figure(w.r, "C1", MEASURE_SETTLED_VOLTAGE), 75, 1e-7, "V");
        near_abs(hand_figure(w.r, "C2", MEASURE_SETTLED_VOLTAGE), 75, 1e-7, "V");
        near_rel(k ? w.r->statistics.energy_heat : w.r->statistics.energy_booked, lost, 1e-6, "J");
        near_abs(k ? w.r->statistics.energy_booked : w.r->statistics.energy_heat, 0, 1e-9, "J");
        if (k) near_rel(hand_figure(w.r, "C1", MEASURE_ENERGY), lost / 2, 1e-6, "J");
        written_free(&w);
        arena_free(arena);
    }
}

/* Charged and cut off at 0.1 s, from good to leaky at 0.2 s, back to good at 0.4 s, shorted at
 * 0.5 s: its charge goes with it all the way. 2 uF and 50 kohm: e^-2 is left of it. */
static void test_conditions_change(void **state)
{
    (void)state;
    struct written w =
        written_run("parts:\n"
                    "  C1: {is: capacitor, across: [a, '0'], value: 2 uF, starts at: 300 V, series "
                    "resistance: 0 "
                    "ohm, leakage: none, make: dry, " STILL "}\n"
                    "  B1: {is: battery, across: [c, '0'], voltage: 1 V, resistance: 0 ohm}\n"
                    "  S2: {is: switch, across: [c, a], state: open}\n"
                    "run: {for: 0.9 s}\n"
                    "at 0.2 s: {C1: {condition: leaky, leakage: 50 kohm}}\n"
                    "at 0.4 s: {C1: {condition: good, leakage: none}}\n"
                    "at 0.5 s: {C1: {condition: shorted, short resistance: 10 ohm}}\n");
    near_rel(hand_figure(w.r, "C1", MEASURE_HIGHEST_VOLTAGE), 300, 1e-12, "V");
    near_abs(hand_figure(w.r, "C1", MEASURE_HIGHEST_CURRENT), 0, 1e-12, "A");
    near_abs(hand_figure(w.r, "C1", MEASURE_SETTLED_VOLTAGE), 0, 1e-7, "V");
    near_rel(hand_figure(w.r, "C1", MEASURE_ENERGY), 2e-6 * sq(300) / 2, 1e-7, "J");
    written_free(&w);
    w = written_run("parts:\n"
                    "  C1: {is: capacitor, across: [a, '0'], value: 2 uF, starts at: 300 V, series "
                    "resistance: 0 "
                    "ohm, leakage: none, make: dry, " STILL "}\n"
                    "  B1: {is: battery, across: [c, '0'], voltage: 1 V, resistance: 0 ohm}\n"
                    "  S2: {is: switch, across: [c, a], state: open}\n"
                    "run: {for: 0.6 s}\n"
                    "at 0.2 s: {C1: {condition: leaky, leakage: 50 kohm}}\n"
                    "at 0.4 s: {C1: {condition: good, leakage: none}}\n");
    near_rel(hand_figure(w.r, "C1", MEASURE_SETTLED_VOLTAGE), 300 * exp(-2), 1e-7, "V");
    written_free(&w);
}

/* t = R C ln(V0/V) to 30 V. 47 uF 220 kohm from 350 V; 40 uF 1 Mohm from 165 V; 16 uF and a meter
 * of 10 Mohm from 300 V (derived). Then with 100 kohm of leakage beside. */
static void test_bleed_down(void **state)
{
    (void)state;
    static const struct {
        double volts, ohms, farads;
    } rows[] = {{350, 220e3, 47e-6}, {165, 1e6, 40e-6}, {300, 10e6, 16e-6}};
    for (int k = 0; k < 6; k++) {
        const double v = rows[k / 2].volts, r = rows[k / 2].ohms, c = rows[k / 2].farads;
        bool leaky = k % 2;
        struct arena *arena = arena_new();
        struct written w = written_run(
            arena_printf(arena,
                         "parts:\n"
                         "  C1: {is: capacitor, across: [a, '0'], value: %.0f uF, starts at: %.0f "
                         "V, make: dry,\n"
                         "       series resistance: 0 ohm, leakage: %s, %s}\n"
                         "  R1: {is: resistor, across: [a, '0'], resistance: %.0f kohm}\n"
                         "  B1: {is: battery, across: [c, '0'], voltage: 1 V, resistance: 0 ohm}\n"
                         "  S2: {is: switch, across: [c, a], state: open}\n"
                         "run: {for: 1 s}\n",
                         1e6 * c, v, leaky ? "100 kohm" : "none",
                         leaky ? "condition: leaky, " STILL : STILL, r / 1e3));
        double all = leaky ? 1 / (1 / r + 1 / 100e3) : r, tau = all * c;
        near_rel(hand_figure(w.r, "C1", MEASURE_BLEED_DOWN_TIME) + 1, tau * log(v / 30), 1e-5, "s");
        near_rel(hand_figure(w.r, "C1", MEASURE_LOWEST_VOLTAGE), v * exp(-1 / tau), 1e-8, "V");
        written_free(&w);
        arena_free(arena);
    }
}

/* The same runs to the published instants: 350 V to 60, 50, 42.4 and 34 V through 220 kohm and
 * 47 uF (derived: t = R C ln(V0/V)). */
static void test_bleed_down_runs(void **state)
{
    (void)state;
    static const double rows[][2] = {
        {18.23551, 60}, {20.12071, 50}, {21.82551, 42.4}, {24.10846, 34}};
    for (int k = 0; k < 4; k++) {
        struct handmade h = handmade_new(60);
        hand_c(&h, "C", "a", "0", 47e-6, 350);
        hand_r(&h, "R", "a", "0", 220e3);
        hand_watch(&h, "a");
        near_rel(hand_figure(hand_run(&h, rows[k][0]), "a", MEASURE_LOWEST_VOLTAGE), rows[k][1],
                 1e-6, "V");
        handmade_free(&h);
    }
}

/* --- shorts --------------------------------------------------------------------------------- */

/* A short across the filter leaves half a sine behind each plate: RMS Vm/(2 R), mean Vm/(pi R),
 * and Vm/(sqrt 2 R) in the path that two plates share, R the source and the short together. The
 * capacitance beside the short carries next to nothing. */
static void test_short_across_filter(void **state)
{
    (void)state;
    struct written w = written_run(
        SUPPLY "  C1: {is: capacitor, across: [B+, '0'], value: 0.1 uF, condition: shorted,\n"
               "       leakage: none, series resistance: 5 ohm, short resistance: 1 ohm}\n");
    const double beside = 1 / (1 + 1 / 3e3); /* of 1 ohm, 3 kohm across it */
    double r = 50 + beside, crest = 150 * sqrt(2);
    near_rel(hand_figure(w.r, "D1", MEASURE_RMS_CURRENT), crest / (2 * r), 1e-6, "A");
    near_rel(hand_figure(w.r, "D1", MEASURE_AVERAGE_CURRENT), crest / (PI * r), 1e-6, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), beside * crest / (2 * r), 1e-6, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), sq(beside * crest / (2 * r)), 1e-4, "W");
    written_free(&w);
    w = written_run(
        "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, closes at: zero}\n"
        "run: {for: 1 s}\n"
        "parts:\n"
        "  T1:\n"
        "    is: power transformer\n"
        "    ideal: yes\n"
        "    primary: {across: [line, neutral], rated: 117 V, resistance: 0 ohm}\n"
        "    windings:\n"
        "      high: {across: [p1, '0', p2], open circuit: [300 V, 300 V], with line at: 117 V, "
        "resistance: [150 ohm, 150 ohm]}\n"
        "  V1: {is: rectifier, type: ideal, plates: [p1, p2], cathode: B+}\n"
        "  C1: {is: capacitor, across: [B+, '0'], value: 0.1 uF, condition: shorted, leakage: "
        "none,\n"
        "       series resistance: 5 ohm, short resistance: 1 ohm}\n"
        "  R1: {is: resistor, across: [B+, '0'], resistance: 3 kohm}\n");
    r = 150 + beside, crest = 300 * sqrt(2);
    near_rel(hand_figure(w.r, "V1.1", MEASURE_RMS_CURRENT), crest / (2 * r), 1e-6, "A");
    near_rel(hand_figure(w.r, "V1.2", MEASURE_RMS_CURRENT), crest / (2 * r), 1e-6, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), beside * crest / (sqrt(2) * r), 1e-6,
             "A");
    written_free(&w);
}

/* Shorts by itself at 0.2 s: 300 V on 8 uF go into 2 ohm, from a source of 10 kohm. */
static void test_shorts_at_a_time(void **state)
{
    (void)state;
    struct written w =
        written_run("parts:\n"
                    "  B1: {is: battery, across: [a, '0'], voltage: 300 V, resistance: 10 kohm}\n"
                    "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, starts at: 300 V, "
                    "condition: shorts at "
                    "a time,\n"
                    "       shorts at: 0.2 s, short resistance: 2 ohm, " IDEAL "}\n"
                    "run: {for: 0.6 s}\n");
    near_abs(hand_figure(w.r, "C1", MEASURE_SHORTS_AT), 0.2, 1e-9, "s");
    near_rel(hand_figure(w.r, "C1", MEASURE_SETTLED_VOLTAGE), 300 * 2 / 10002.0, 1e-6, "V");
    near_rel(hand_figure(w.r, "C1", MEASURE_ENERGY), 8e-6 * sq(300) / 2, 1e-2, "J");
    written_free(&w);
}

/* --- what conducts beside the plates -------------------------------------------------------- */

/* A wet one formed at 500 V on 600 V behind 5 kohm, 1 kohm above: 100 V over 6 kohm. */
static void test_wet_clamps(void **state)
{
    (void)state;
    struct written w = written_run(
        "parts:\n"
        "  B1: {is: battery, across: [a, '0'], voltage: 600 V, resistance: 5 kohm}\n"
        "  C1: {is: capacitor, across: [a, '0'], value: 1 uF, make: wet, forming: 500 V, forming "
        "resistance: 1 kohm,\n"
        "       leakage: none, series resistance: 0 ohm, thermal resistance: 10 K/W, heat "
        "capacity: "
        "0.1 J/K}\n"
        "run: {for: 1 s}\n");
    double volts = 500 + 100.0 / 6, amperes = 0.1 / 6;
    near_rel(hand_settled(w.r, "C1", MEASURE_SETTLED_VOLTAGE), volts, 1e-9, "V");
    near_rel(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), amperes, 1e-7, "A");
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), volts * amperes, 1e-7, "W");
    near_rel(capacitor_leaks(written_part(&w, "C1"), volts, 298.15), amperes, 1e-12, "A");
    /* its can takes all of it: 1 ms of charging beside a body of 1 s */
    near_rel(hand_figure(w.r, "C1", MEASURE_TEMPERATURE) - 298.15,
             volts * amperes * 10 * (1 - exp(-1 + 8.0e-3)), 1e-2, "K");
    written_free(&w);
}

/* Breaks down above 380 V while the volts are up, recovers when they fall: 20 V over 2 kohm, then
 * nothing but 300 V. */
static void test_breaks_down_and_recovers(void **state)
{
    (void)state;
    struct written w =
        written_run("parts:\n"
                    "  B1: {is: battery, across: [a, '0'], voltage: 400 V, resistance: 0 ohm}\n"
                    "  R1: {is: resistor, across: [a, b], resistance: 1 kohm}\n"
                    "  C1: {is: capacitor, across: [b, '0'], value: 1 uF, condition: breaks down, "
                    "breakdown: 380 "
                    "V,\n"
                    "       breakdown resistance: 1 kohm, " IDEAL ", make: dry}\n"
                    "run: {for: 1 s}\n"
                    "at 0.5 s: {B1: {voltage: 300 V}}\n");
    near_rel(hand_figure(w.r, "C1", MEASURE_HIGHEST_VOLTAGE), 390, 1e-9, "V");
    near_rel(hand_settled(w.r, "C1", MEASURE_SETTLED_VOLTAGE), 300, 1e-9, "V");
    near_abs(hand_figure(w.r, "C1", MEASURE_RMS_CURRENT), 0, 1e-9, "A");
    assert_true(isinf(hand_figure(w.r, "C1", MEASURE_SHORTS_AT)));
    written_free(&w);
}

/* The wrong way round on 100 V behind 1 kohm: 2 V, then 200 ohm; told from its own plus to minus.
 */
static void test_reversed(void **state)
{
    (void)state;
    struct written w = written_run(
        "parts:\n"
        "  B1: {is: battery, across: [a, '0'], voltage: 100 V, resistance: 1 kohm}\n"
        "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, condition: reversed, make: dry,\n"
        "       reverse threshold: 2 V, reverse resistance: 200 ohm, " IDEAL ",\n"
        "       thermal resistance: 10 K/W, heat capacity: 0.02 J/K}\n"
        "run: {for: 2 s}\n");
    double amperes = 98.0 / 1200, volts = 2 + 200 * amperes;
    near_rel(hand_settled(w.r, "C1", MEASURE_SETTLED_VOLTAGE), -volts, 1e-9, "V");
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), volts * amperes, 1e-7, "W");
    near_rel(hand_figure(w.r, "C1", MEASURE_TEMPERATURE) - 298.15, 10 * volts * amperes, 1e-4, "K");
    written_free(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_new_across_old),           cmocka_unit_test(test_series_resistances),
        cmocka_unit_test(test_open_beside_good),         cmocka_unit_test(test_sudden_connection),
        cmocka_unit_test(test_conditions_change),        cmocka_unit_test(test_bleed_down),
        cmocka_unit_test(test_bleed_down_runs),          cmocka_unit_test(test_short_across_filter),
        cmocka_unit_test(test_shorts_at_a_time),         cmocka_unit_test(test_wet_clamps),
        cmocka_unit_test(test_breaks_down_and_recovers), cmocka_unit_test(test_reversed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
