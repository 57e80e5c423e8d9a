/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A power transformer from its readings: ratios, copper, what is guessed from its load, and the
 * messages. */
#include "heater.h"
#include "kinds.h"
#include "kinds_fixture.h"
#include "laws.h"
#include "numbers.h"

static const char table_set[] =
    "T1:\n"
    "  is: power transformer\n"
    "  primary: {across: [line, neutral], rated: 117 V, resistance: 8.4 ohm}\n"
    "  windings:\n"
    "    high voltage: {across: [p1, chassis, p2], open circuit: [344 V, 346 V], with line at: 121 "
    "V,\n"
    "      resistance: [112 ohm, 121 ohm]}\n"
    "    rectifier heater: {open circuit: 5.3 V}\n"
    "    tube heaters: {across: [h, chassis], open circuit: 6.7 V, resistance: 0.1 ohm}\n"
    "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: rectifier "
    "heater}\n"
    "C1: {is: capacitor, across: [B1, chassis], value: 8 uF, rated: 450 V, make: dry}\n"
    "tubes: {is: load, across: [B1, chassis], draws: 56 mA at 255 V, lineup: [6A8-G, 6K7-G, 6Q7-G, "
    "6F6-G],\n"
    "  heated by: tube heaters}\n";

static void windings_have_their_ratio(void **state)
{
    struct set *set = good(table_set);
    double first = value_of(set, "T1", "high voltage 1"),
           second = value_of(set, "T1", "high voltage 2");
    (void)state;
    near_rel(second / first, 346.0 / 344, 1e-12, "");
    near_rel(first, 344.0 / 121, 0.02, ""); /* a little more: see no_load_readings_come_back */
    near_rel(value_of(set, "T1", "high voltage 1 copper"), 112, 1e-14, "ohm");
    near_rel(value_of(set, "T1", "high voltage 2 copper"), 121, 1e-14, "ohm");
    assert_string_equal(element(set, "T1", "high voltage 1")->subject, "T1.high voltage 1");
    assert_string_equal(element(set, "T1", "tube heaters 1")->subject, "T1.tube heaters");
    assert_non_null(probe_of(set, "T1.high voltage 2", PROBE_CURRENT));
    assert_int_equal(probe_of(set, "T1.primary", PROBE_VOLTAGE)->flags, PROBE_WINDING);
    /* both halves in one sense: end to end they add */
    assert_int_equal(element(set, "T1", "high voltage 1")->to,
                     circuit_find_point(set->circuit, "chassis"));
    assert_int_equal(element(set, "T1", "high voltage 2")->from,
                     circuit_find_point(set->circuit, "chassis"));
}

static void windings_are_found_by_name(void **state)
{
    struct set *set = good(table_set);
    const char *from, *to;
    double volts;
    (void)state;
    assert_true(set_winding(set, "rectifier heater", &from, &to, &volts));
    near_rel(volts, 5.3 * 120 / 117, 1e-12, "V");
    assert_true(circuit_find_point(set->circuit, from) >= 0 &&
                circuit_find_point(set->circuit, to) >= 0);
    assert_true(set_winding(set, "high voltage", &from, &to, &volts));
    near_rel(volts, 690.0 * 120 / 121, 1e-12, "V");
    assert_string_equal(from, "p1");
    assert_string_equal(to, "p2");
    assert_false(set_winding(set, "bias", &from, &to, &volts));
}

/* Heaters 10 W and 6.3 V times 0.3 + 0.3 + 0.3 + 0.7 A, loads 1.4 times 14.28 W, over 0.85. */
static void iron_is_guessed_from_the_load(void **state)
{
    struct set *set = good(table_set);
    double va = (10 + 6.3 * 1.6 + 1.4 * 0.056 * 255) / 0.85, omega = 2 * PI * 60;
    (void)state;
    near_rel(assumed(set, "T1", "magnetising current")->value, 0.20 * va / 117, 1e-12, "A");
    assert_true(assumed(set, "T1", "magnetising current")->guess);
    near_rel(value_of(set, "T1", "core loss"), sq(117) / (0.07 * va), 1e-12, "ohm");
    near_rel(value_of(set, "T1", "leakage"), 0.02 * sq(117) / va / omega, 1e-12, "H");
    near_rel(value_of(set, "T1", "leakage loss"), 1000 * 0.02 * sq(117) / va, 1e-12, "ohm");
    near_rel(assumed(set, "T1.rectifier heater", "resistance")->value, 0.04 * 5.3 / 2, 1e-12,
             "ohm");
    assert_null(assumed(set, "T1.tube heaters", "resistance"));
}

/* Silicon in place of the tube leaves the guesses where they were. */
static void iron_stays_when_the_rectifier_changes(void **state)
{
    struct set *set = good(table_set);
    double before = value_of(set, "T1", "leakage");
    char text[sizeof table_set];
    (void)state;
    memcpy(text, table_set, sizeof text);
    memcpy(strstr(text, "5Y3-GT"), "1N4007", 6);
    set = good(text);
    near_rel(value_of(set, "T1", "leakage"), before, 0.02, "H");
}

/* Current of the magnetising branch at rated line, RMS over a cycle, as told. */
static void magnetising_current_is_as_told(void **state)
{
    struct set *set =
        good("T1:\n"
             "  is: power transformer\n"
             "  magnetising current: 90 mA\n"
             "  core loss: 5 W\n"
             "  remanence: 0.4\n"
             "  primary: {rated: 117 V 60 Hz, resistance: 8.4 ohm}\n"
             "  windings: {heaters: {across: [a, b], open circuit: 6.7 V, resistance: 0.1 ohm}}\n");
    const struct core_law *law = set->circuit->devices.at[0].par;
    double sum = 0, peak = sqrt(2) * 117 / (2 * PI * 60);
    const struct core_law cold = {
        .magnetising = law->magnetising, .air = law->air, .saturation = law->saturation};
    (void)state;
    for (int i = 0; i < 1000; i++) {
        double flux = peak * sin(2 * PI * (i + 0.5) / 1000), c[PORT_COEFFICIENTS], g;
        law_core.prepare(&cold, &flux, NULL, c);
        sum += sq(law_core.current(&cold, 0, c, 0, &g));
    }
    near_rel(sqrt(sum / 1000), 0.090, 1e-4, "A");
    near_rel(law->saturation, 1.4 * peak, 1e-12, "V s");
    near_rel(set->circuit->states.at[0].cold, 0.4 * 1.4 * peak, 1e-12, "V s");
    near_rel(value_of(set, "T1", "core loss"), sq(117) / 5, 1e-12, "ohm");
    assert_null(assumed(set, "T1", "core loss"));
    assert_non_null(assumed(set, "T1", "air-core inductance"));
}

/* With nothing connected the secondary must read what was told: primary copper and leakage before
 * loss and magnetising branch, as impedances at the line's frequency. */
static void no_load_readings_come_back(void **state)
{
    struct set *set =
        good("T1:\n"
             "  is: power transformer\n"
             "  magnetising current: 100 mA\n"
             "  core loss: 8 W\n"
             "  leakage inductance: 20 mH\n"
             "  primary: {rated: 117 V, resistance: 15 ohm}\n"
             "  windings: {high: {across: [a, b], open circuit: 300 V, resistance: 200 ohm}}\n");
    double x = 2 * PI * 60 * 0.020, r = 15 + x / 1000; /* series; leakage loss 1000 x beside x */
    double g = 8 / sq(117), b = 0.100 / 117;           /* shunt admittance g - jb */
    double real = 1 + r * g + x * b, imaginary = x * g - r * b;
    (void)state;
    near_rel(value_of(set, "T1", "high 1") / sqrt(sq(real) + sq(imaginary)), 300.0 / 117, 1e-5, "");
}

static void ideal_transformer(void **state)
{
    struct set *set =
        good("T1:\n"
             "  is: power transformer\n"
             "  ideal: yes\n"
             "  primary: {across: [x, y], rated: 100 V, resistance: 0 ohm}\n"
             "  windings: {high: {across: [a, t, b], open circuit: 700 V, resistance: 300 ohm}}\n");
    (void)state;
    near_rel(value_of(set, "T1", "high 1"), 3.5, 1e-14, "");
    near_rel(value_of(set, "T1", "high 2"), 3.5, 1e-14, "");
    near_rel(value_of(set, "T1", "high 2 copper"), 150, 1e-14, "ohm");
    near_rel(value_of(set, "T1", "primary"), 1, 1e-14, "");
    assert_int_equal(set->circuit->devices.n, 0);
    assert_int_equal(set->assumptions.n, 0);
    assert_int_equal(elements_of(set, "T1"), 6);
}

static void readings_with_tubes_in(void **state)
{
    struct set *set =
        good("T1:\n"
             "  is: power transformer\n"
             "  ideal: yes\n"
             "  primary: {rated: 100 V, resistance: 0 ohm}\n"
             "  windings: {high: {across: [a, b], open circuit: 300 V, with: tubes in,\n"
             "    resistance: 300 ohm}}\n");
    (void)state;
    near_rel(value_of(set, "T1", "high 1"), 3 * 1.04, 1e-12, "");
    assert_true(assumed(set, "T1.high", "open circuit")->guess);
}

/* Half winding, and primary with mains carried over by the square of the ratio (the definition of
 * makers' data sheets: JJ Electronic, GZ34S). */
static void plates_know_their_supply(void **state)
{
    struct set *set = good(table_set);
    struct plate_supply supply;
    (void)state;
    assert_true(transformer_plate(set, circuit_find_point(set->circuit, "p2"), &supply));
    near_rel(supply.ohms, 121 + sq(346.0 / 121) * 8.7, 1e-12, "ohm");
    near_rel(supply.volts, 346.0 * 120 / 121, 1e-12, "V");
    assert_string_equal(supply.subject, "T1.high voltage 2");
    assert_false(transformer_plate(set, circuit_find_point(set->circuit, "B1"), &supply));
}

/* Nothing of it is known but what it feeds: 300 V at 60 mA and 5 V 2 A make (1.4 x 18 + 10)
 * W over 0.85: 41 VA, between the 35 ohm of 30 VA and the 14.5 ohm of 50 VA. */
static void unknown_transformer(void **state)
{
    struct set *set = good(
        "T1:\n"
        "  is: power transformer\n"
        "  primary: {rated: 120 V, resistance: unknown}\n"
        "  windings:\n"
        "    high: {across: [p1, chassis, p2], open circuit: unknown, resistance: unknown}\n"
        "    five: {open circuit: unknown, resistance: unknown}\n"
        "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: five}\n"
        "tubes: {is: load, across: [B1, chassis], draws: 60 mA at 300 V, heated by: always hot}\n");
    const double va = (1.4 * 18 + 10) / 0.85, share = log(va / 30) / log(50 / 30.0);
    const double ohms = 35 * pow(14.5 / 35, share), half = 2 * sq(260 / 120.0) * ohms;
    (void)state;
    near_rel(value_of(set, "T1", "primary resistance"), ohms, 1e-9, "ohm");
    near_rel(assumed(set, "T1.primary", "resistance")->value, ohms, 1e-9, "ohm");
    near_rel(assumed(set, "T1.high", "open circuit")->value, 2 * 260, 1e-12, "V");
    near_rel(assumed(set, "T1.five", "open circuit")->value, 1.06 * 5, 1e-12, "V");
    near_rel(value_of(set, "T1", "high 1 copper"), half, 1e-9, "ohm");
    near_rel(assumed(set, "T1.high", "resistance")->high, smaller(4.4 * half, 800), 1e-9, "ohm");
    assert_true(assumed(set, "T1.high", "resistance")->guess);
    bad("T1:\n"
        "  is: power transformer\n"
        "  primary: {rated: 120 V, resistance: 8 ohm}\n"
        "  windings: {spare: {across: [a, b], open circuit: unknown}}\n",
        "neither a heater nor a rectifier");
}

#define HEAD "T1:\n  is: power transformer\n  primary: {rated: 117 V, resistance: 8 ohm}\n"

static void mistakes_are_told(void **state)
{
    (void)state;
    bad(HEAD
        "  windings: {high: {across: [a, b], open circuit: [300 V, 300 V], resistance: 1 ohm}}\n",
        "two halves need a tap");
    bad(HEAD "  windings: {high: {across: [a, b], open circuit: 300 V}}\n",
        "T1.high: the resistance of a high-voltage winding is missing");
    bad(HEAD "  windings: {high: {across: [a, b], resistance: 300 ohm}}\n",
        "`open circuit` of T1.high is missing");
    bad(HEAD "  windings: {high: {across: [a, b], open circuit: 0 V}}\n",
        "0 V is not between 0.1 V and 10 kV");
    bad(HEAD "  windings: {high: {across: [a, b], open circuit: [300 V, 1, 2]}}\n",
        "takes one value or two");
    bad(HEAD "  windings: {high: {across: [a, t, b], open circuit: [300 V, -1 V]}}\n",
        "may not be negative");
    bad(HEAD "  windings: {high: {across: [a, b], open circut: 300 V}}\n", "open circut");
    bad(HEAD "  windings: {high: 300 V}\n", "T1.high takes keys");
    bad(HEAD "  windings: none\n", "there are no windings");
    bad(HEAD "  windings: {a.b: {open circuit: 5 V}}\n", "the name of a winding holds a point");
    bad(HEAD "  remanence: 2\n  windings: {h: {open circuit: 5 V}}\n", "remanence is at most 1");
    bad("T1:\n  is: power transformer\n  primary: 117 V\n  windings: {h: {open circuit: 5 V}}\n",
        "the primary takes keys");
    bad("T1:\n  is: power transformer\n  primary: {rated: 117 V}\n  windings: {h: {open circuit: 5 "
        "V}}\n",
        "`resistance` of T1.primary is missing");
}

/* --- heat and faults ------------------------------------------------------------------------ */

/* 2.7 kg: 0.7 kg of copper and 2.0 kg of iron, 65 K at 24 W of which 16 W in copper (estimate). The
 * copper goes as volts^2/ohms. */
static void mass_makes_bodies(void **state)
{
    char text[sizeof table_set + 40];
    (void)state;
    snprintf(text, sizeof text, "T1:\n  mass: 2.7 kg\n%s", table_set + 4);
    struct set *set = good(text);
    const struct circuit *c = set->circuit;
    double heat = 0, rise = 0, primary = 0, high = 0, joined = 0;
    for (int k = 0; k < c->states.n; k++) {
        const struct thermal_body *b = c->states.at[k].body;
        if (!b || strcmp(c->states.at[k].part, "T1") != 0) continue;
        heat += b->heat;
        if (b->to_ambient > 0) rise += 24 / b->to_ambient;
        if (strcmp(c->states.at[k].role, "primary") == 0) primary = b->heat;
        if (strcmp(c->states.at[k].role, "high voltage") == 0) high = b->heat;
        if (strcmp(c->states.at[k].role, "core") != 0) joined += b->link[0];
    }
    near_rel(heat, 0.7 * 385 + 2.0 * 460, 0.002, "J/K");
    near_rel(high / primary, (sq(344.0 / 121) / 112 + sq(346.0 / 121) / 121) * 8.4, 1e-9, "");
    assert_true(rise > 40 && rise < 55 && rise + 16 / joined > 60 && rise + 16 / joined < 75);
    near_rel(limit_of(set, "T1.high voltage", MEASURE_TEMPERATURE), 95 + 273.15, 1e-12, "K");
    near_rel(limit_of(set, "T1.core", MEASURE_TEMPERATURE), 105 + 273.15, 1e-12, "K");
    assert_null(assumed(set, "T1", "mass"));
    assert_non_null(assumed(set, "T1", "insulation class"));
    set = good(table_set);
    assert_int_equal(assumed(set, "T1", "mass")->known_by, KNOWN_BY_SCALES);
}

#define FAULTY(keys)                                                                               \
    "T1:\n  is: power transformer\n  primary: {across: [line, neutral], rated: 117 V, "            \
    "resistance: "                                                                                 \
    "8.4 ohm}\n"                                                                                   \
    "  windings:\n    high: {across: [a, chassis, b], open circuit: [300 V, 200 V], resistance: "  \
    "[100 ohm, 80 ohm]}\n    low: {open circuit: 5 V}\n" keys

/* 5 % of 500 V are 25 V, in the half of 200 V an eighth of its turns and ohms. */
static void faults_cut_the_half(void **state)
{
    (void)state;
    struct set *set = good(FAULTY("  condition: shorted turns\n  half: 2\n"));
    near_rel(value_of(set, "T1", "high 2 copper"), 10, 1e-9, "ohm");
    near_rel(value_of(set, "T1", "high 2 beyond the fault copper"), 70, 1e-9, "ohm");
    near_rel(value_of(set, "T1", "high 2") / value_of(set, "T1", "high 2 beyond the fault"),
             1.0 / 7, 1e-9, "");
    near_rel(value_of(set, "T1", "high 1 copper"), 100, 1e-9, "ohm");
    assert_int_equal(element(set, "T1", "contact")->to,
                     circuit_find_point(set->circuit, "chassis"));
    assert_non_null(assumed(set, "T1", "turns"));
    set = good(FAULTY("  condition: winding grounded\n  at: 80 %\n  contact: 3 ohm\n"));
    near_rel(value_of(set, "T1", "high 2 copper"), 40, 1e-9, "ohm");
    near_rel(value_of(set, "T1", "contact"), 3, 1e-12, "ohm");
    set = good(FAULTY("  condition: one half open\n"));
    assert_null(element(set, "T1", "high 1 copper"));
    near_rel(value_of(set, "T1", "break"), 1e9, 1e-12, "ohm");
    near_rel(value_of(set, "T1", "high 1") / value_of(set, "T1", "high 2"), 1.5, 1e-9, "");
}

static void wrong_faults_are_told(void **state)
{
    (void)state;
    bad(FAULTY("  condition: shorted turn\n"), "shorted turn");
    bad(FAULTY("  turns: 5 %\n"), "`turns` says nothing about a transformer that is `good`");
    bad(FAULTY("  condition: shorted turns\n  winding: hihg\n"), "has no winding `hihg`");
    bad(FAULTY("  condition: shorted turns\n  turns: 50 %\n  half: 2\n"), "not all turns");
    bad(FAULTY("  condition: one half open\n  half: 3\n"), "has two halves");
    bad(FAULTY("  condition: winding grounded\n  winding: low\n"), "nothing is joined to the ends");
    bad(FAULTY("  condition: winding grounded\n  at: 130 %\n"), "outside the winding");
    bad(FAULTY("  condition: winding grounded\n  at: 60 %\n"), "as built");
    bad(FAULTY("  insulation class: C\n"), "C");
    bad(FAULTY("  mass: 2.5 W\n"), "kilograms");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(windings_have_their_ratio),
        TEST(windings_are_found_by_name),
        TEST(iron_is_guessed_from_the_load),
        TEST(iron_stays_when_the_rectifier_changes),
        TEST(magnetising_current_is_as_told),
        TEST(no_load_readings_come_back),
        TEST(ideal_transformer),
        TEST(readings_with_tubes_in),
        TEST(plates_know_their_supply),
        TEST(unknown_transformer),
        TEST(mistakes_are_told),
        TEST(mass_makes_bodies),
        TEST(faults_cut_the_half),
        TEST(wrong_faults_are_told),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
