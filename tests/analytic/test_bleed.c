/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How capacitors empty by themselves, against the closed forms beside each. The runs last 1 ms,
 * in which nothing to speak of happens. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "handmade.h"
#include "near.h"
#include "written.h"

/* Something must feed a set: a battery behind an open switch. */
#define FEED                                                                                       \
    "  B0: {is: battery, across: [feed, '0'], voltage: 1 V, resistance: 1 ohm}\n"                  \
    "  S0: {is: switch, across: [feed, a], state: open}\n"
#define RUN "run: {for: 1 ms}\n"
#define C1(leakage)                                                                                \
    "  C1: {is: capacitor, across: [a, '0'], value: 20 uF, rated: 450 V, starts at: 300 V, make: " \
    "modern, series resistance: 0 ohm" leakage "}\n"
#define NONE C1(", leakage: none")

static double time_of(const char *parts, const char *capacitor, enum measure measure)
{
    struct arena *arena = arena_new();
    struct written w = written_run(arena_printf(arena, "parts:\n" FEED "%s" RUN, parts));
    double t = hand_figure(w.r, capacitor, measure);
    written_free(&w);
    arena_free(arena);
    return t;
}

static double safe(const char *parts)
{
    return time_of(parts, "C1", MEASURE_BLEED_DOWN_TIME);
}

#define R1 "  R1: {is: resistor, across: [a, '0'], resistance: 1 Mohm}\n"

/* R C ln(V/V1): a resistor, or leakage that was typed in. */
static void what_is_typed_in_bleeds(void **state)
{
    const double tau = 20;
    (void)state;
    near_rel(safe(NONE R1), tau * log(300 / 30.0), 1e-4, "s");
    near_rel(time_of(NONE R1, "C1", MEASURE_BLEED_TO_50V_TIME), tau * log(300 / 50.0), 1e-4, "s");
    near_rel(safe(C1(", leakage: 1 Mohm")), tau * log(300 / 30.0), 1e-4, "s");
    near_rel(safe(C1("") R1), tau * log(300 / 30.0), 1e-4, "s"); /* and no guess beside it */
}

static void guesses_and_cold_tubes_do_not(void **state)
{
    (void)state;
    assert_true(isinf(safe(C1(""))));
    assert_true(isinf(safe(NONE "  L: {is: load, across: [a, '0'], draws: 1 uA at 300 V, like: "
                                "tubes, heated by: always hot}\n")));
    near_rel(safe(NONE "  L: {is: load, across: [a, '0'], draws: 0.3 mA at 300 V, like: "
                       "resistance}\n"),
             20 * log(300 / 30.0), 1e-4, "s");
}

/* What is closed stays closed; a battery is taken out, whatever is behind it. */
static void switches_and_batteries(void **state)
{
    (void)state;
    const char *battery = "  B1: {is: battery, across: [c, '0'], voltage: 300 V, resistance: 1 "
                          "ohm}\n  S1: {is: switch, across: [a, c], state: closed}\n" NONE;
    assert_true(isinf(safe(battery)));
    const char *fused = "  F1: {is: fuse, across: [a, b], rated: 1 A slow}\n"
                        "  R1: {is: resistor, across: [b, '0'], resistance: 1 Mohm}\n" NONE;
    near_rel(safe(fused), 20 * log(300 / 30.0), 1e-4, "s");
    const char *open = "  S1: {is: switch, across: [a, b], state: open}\n"
                       "  R1: {is: resistor, across: [b, '0'], resistance: 1 Mohm}\n" NONE;
    assert_true(isinf(safe(open)));
}

/* Two sections: C1 at 300 V, through 10 kohm C2 of 10 uF, empty, with 100 kohm across it. With
 * g = 1/R12: C1 v1' = -g (v1 - v2), C2 v2' = g (v1 - v2) - v2/R2; the slow root and its share by
 * hand. C2 rises over 50 V first and is counted by its last fall. */
static void two_sections(void **state)
{
    const double c1 = 20e-6, c2 = 10e-6, g = 1 / 10e3, g2 = 1 / 100e3;
    const double trace = -(g / c1 + (g + g2) / c2), det = g * g2 / (c1 * c2),
                 root = sqrt(trace * trace - 4 * det), slow = (trace + root) / 2,
                 fast = (trace - root) / 2;
    /* v1 = A e^(slow t) + B e^(fast t), A + B = 300, slope at 0: -g 300 / C1 */
    const double a = (-300 * g / c1 - 300 * fast) / (slow - fast);
    const double share = 1 + slow * c1 / g; /* v2 over v1 in the slow root */
    const char *parts =
        NONE "  R12: {is: resistor, across: [a, b], resistance: 10 kohm}\n"
             "  C2: {is: capacitor, across: [b, '0'], value: 10 uF, make: film, leakage: none, "
             "series resistance: 0 ohm}\n"
             "  R2: {is: resistor, across: [b, '0'], resistance: 100 kohm}\n";
    (void)state;
    near_rel(safe(parts) + 1e-3, log(a / 30) / -slow, 1e-5, "s");
    near_rel(time_of(parts, "C2", MEASURE_BLEED_TO_50V_TIME) + 1e-3, log(a * share / 50) / -slow,
             1e-5, "s");
}

/* A winding of a transformer without losses lets direct current through; one that is not joined to
 * the capacitor does no harm. */
static void windings(void **state)
{
    const char *transformer =
        "  T1: {is: power transformer, ideal: yes, primary: {across: [p, '0'], rated: 117 V, "
        "resistance: 10 ohm}, windings: {h: {across: [x, y], open circuit: 6 V, resistance: 0.1 "
        "ohm}}}\n  R2: {is: resistor, across: [x, y], resistance: 1 kohm}\n";
    struct arena *arena = arena_new();
    (void)state;
    const char *load = "  R3: {is: resistor, across: [p, '0'], resistance: 1 kohm}\n" NONE R1;
    near_rel(safe(arena_printf(arena, "%s%s", transformer, load)), 20 * log(300 / 30.0), 1e-4, "s");
    assert_true(safe(arena_printf(arena, "%s%s%s", transformer, NONE,
                                  "  R1: {is: resistor, across: [a, p], resistance: 1 kohm}\n")) <
                0.1);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_typed_in_bleeds),
        cmocka_unit_test(guesses_and_cold_tubes_do_not),
        cmocka_unit_test(switches_and_batteries),
        cmocka_unit_test(two_sections),
        cmocka_unit_test(windings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
