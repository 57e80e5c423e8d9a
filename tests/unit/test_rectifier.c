/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rectifiers of every law: constants from types and from own keys, conditions, heaters, ratings,
 * the figures of their supply, and the messages. */
#include "emission.h"
#include "kinds.h"
#include "kinds_fixture.h"
#include "laws.h"
#include "numbers.h"

#define SUPPLY                                                                                     \
    "T1:\n"                                                                                        \
    "  is: power transformer\n"                                                                    \
    "  ideal: yes\n"                                                                               \
    "  primary: {rated: 120 V, resistance: 8 ohm}\n"                                               \
    "  windings:\n"                                                                                \
    "    high: {across: [p1, chassis, p2], open circuit: [350 V, 350 V], resistance: [100 ohm, "   \
    "110 ohm]}\n"                                                                                  \
    "    heater: {open circuit: 5.3 V, resistance: 0.1 ohm}\n"                                     \
    "C1: {is: capacitor, across: [B1, chassis], value: 8 uF, rated: 450 V, make: dry}\n"

static const struct diode_law *diode(const struct set *set, int which)
{
    for (int i = 0; i < set->circuit->devices.n; i++)
        if (set->circuit->devices.at[i].law == &law_diode && which-- == 0)
            return set->circuit->devices.at[i].par;
    fail_msg("no such diode");
    return NULL;
}

static void vacuum_tube_of_a_type(void **state)
{
    struct set *set = good(
        SUPPLY
        "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: heater}\n");
    (void)state;
    /* 50 V at 125 mA, peak 400 mA */
    near_rel(diode(set, 1)->perveance, 0.125 / (50 * sqrt(50.0)), 1e-12, "A/V^1.5");
    near_rel(diode(set, 1)->emission, EMISSION_EXCESS * 0.4, 1e-12, "A");
    assert_true(diode(set, 0)->heated);
    assert_int_equal(element(set, "V6", "plate 1")->gate >= 0, true);
    assert_string_equal(element(set, "V6", "plate 2")->subject, "V6.2");
    near_rel(value_of(set, "V6.heater", "heater base"), 2.5, 1e-14, "ohm");
    near_rel(limit_of(set, "V6.heater", MEASURE_RMS_VOLTAGE), 5.5, 1e-14, "V");
    assert_int_equal(probe_of(set, "V6.heater", PROBE_VOLTAGE)->flags, PROBE_HEATER);
    const struct probe *p = probe_of(set, "V6.1", PROBE_VOLTAGE);
    assert_int_equal(p->from, circuit_find_point(set->circuit, "B1"));
    assert_int_equal(p->to, circuit_find_point(set->circuit, "p1"));
    assert_int_equal(probe_of(set, "V6.2", PROBE_CURRENT)->flags, PROBE_RECTIFIER | PROBE_WATCHED);
    assert_int_equal(probe_of(set, "V6", PROBE_CURRENT)->count, 2);
}

static void ratings_of_a_tube(void **state)
{
    struct set *set =
        good(SUPPLY
             "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: heater,\n"
             "  inverse voltage: 1300 V}\n");
    (void)state;
    near_rel(limit_of(set, "V6.1", MEASURE_INVERSE_VOLTAGE), 1300, 1e-14, "V");
    assert_string_equal(rating(set, "V6.2", MEASURE_INVERSE_VOLTAGE, false)->source, "scenario");
    assert_string_equal(rating(set, "V6.2", MEASURE_INVERSE_VOLTAGE, false)->system, "");
    near_rel(limit_of(set, "V6.2", MEASURE_RUNNING_PEAK_CURRENT), 0.4, 1e-14, "A");
    assert_string_equal(rating(set, "V6.2", MEASURE_RUNNING_PEAK_CURRENT, false)->system,
                        "believed design-centre");
    near_rel(limit_of(set, "V6.1", MEASURE_INRUSH_PEAK_CURRENT), 2.5, 1e-14, "A");
    near_rel(limit_of(set, "V6", MEASURE_AVERAGE_CURRENT), 0.125, 1e-14, "A");
    near_rel(limit_of(set, "T1.high 2", MEASURE_RMS_VOLTAGE), 500, 1e-14, "V"); /* with 140 ohm */
    near_rel(limit_of(set, "V6", MEASURE_FIRST_CAPACITOR), 20e-6, 1e-12, "F");
    near_rel(fixed(set, "V6", MEASURE_FIRST_CAPACITOR), 8e-6, 1e-12, "F");
    /* 110 ohm + (350/120)^2 (8 + 0.3) ohm against 50 ohm at 350 V */
    near_rel(fixed(set, "V6.2", MEASURE_SUPPLY_IMPEDANCE), 110 + 350.0 / 120 * 350 / 120 * 8.3,
             1e-12, "ohm");
    assert_true(rating(set, "V6.2", MEASURE_SUPPLY_IMPEDANCE, true) != NULL);
    near_rel(limit_of(set, "V6.2", MEASURE_SUPPLY_IMPEDANCE), 50, 1e-12, "ohm");
}

/* Mean of v i over half-sine pulses of the peak that make up the direct current, v =
 * (i/K)^(2/3). */
static double pulsed_watts(double perveance, double peak, double direct)
{
    enum { STEPS = 2000 };
    double watts = 0, charge = 0;
    for (int k = 0; k < STEPS; k++) {
        double i = peak * sin(PI * (k + 0.5) / STEPS);
        watts += i * pow(i / perveance, 2 / 3.0) / STEPS;
        charge += i / STEPS;
    }
    return watts * direct / charge;
}

static void heat_of_the_plates(void **state)
{
    static const char base[] = SUPPLY "V6: {is: rectifier, plates: [p1, p2], cathode: B1, ";
    struct set *set;
    (void)state;
    /* 50 V at 125 mA, 125 mA direct, peak 400 mA */
    set = good(arena_printf(catalogue_arena, "%s type: 5Y3-GT, heated by: heater}\n", base));
    near_rel(limit_of(set, "V6", MEASURE_DISSIPATION),
             pulsed_watts(0.125 / pow(50, 1.5), 0.4, 0.125), 1e-4, "W");
    /* the same with half its perveance gone: its sheet is not another one */
    set = good(arena_printf(catalogue_arena,
                            "%s type: 5Y3-GT, heated by: heater, condition: weak, perveance left: "
                            "50 %%}\n",
                            base));
    near_rel(limit_of(set, "V6", MEASURE_DISSIPATION),
             pulsed_watts(0.125 / pow(50, 1.5), 0.4, 0.125), 1e-4, "W");
    /* nothing but its drop is known: three times its current in the peaks */
    set = good(
        arena_printf(catalogue_arena, "%s drop: 60 V at 125 mA, heated by: always hot}\n", base));
    near_rel(limit_of(set, "V6", MEASURE_DISSIPATION),
             pulsed_watts(0.125 / pow(60, 1.5), 0.375, 0.125), 1e-4, "W");
    assert_non_null(
        strstr(rating(set, "V6", MEASURE_DISSIPATION, false)->source, "no rating known"));
    /* an arc's volts do not grow: 15 V at 225 mA */
    set = good(arena_printf(catalogue_arena, "%s type: 83, heated by: heater}\n", base));
    near_rel(limit_of(set, "V6", MEASURE_DISSIPATION), 15 * 0.225, 1e-12, "W");
    /* one plate of two */
    set = good(SUPPLY "V6: {is: rectifier, type: 5Y3-GT, plates: [p1], cathode: B1, heated by: "
                      "heater}\n");
    near_rel(limit_of(set, "V6", MEASURE_DISSIPATION),
             pulsed_watts(0.125 / pow(50, 1.5), 0.4, 0.125) / 2, 1e-4, "W");
}

/* GZ34: 50 ohm at 300 V ... 175 ohm at 550 V; 5Y3-GT 50 ohm at 350 V, 140 ohm at 500 V. */
static void least_impedance_follows_the_volts(void **state)
{
    const struct {
        const char *type, *volts;
        double least;
    } rows[] = {{"5Y3-GT", "425 V", 95},
                {"5Y3-GT", "600 V", 200},
                {"5Y3-GT", "200 V", 50},
                {"GZ34", "550 V", 175},
                {"GZ34", "325 V", 62.5}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct set *set = good(arena_printf(
            arena,
            "T1:\n  is: power transformer\n  ideal: yes\n  primary: {rated: 120 V, resistance: 8 "
            "ohm}\n"
            "  windings: {high: {across: [p, chassis], open circuit: %s, resistance: 90 ohm}}\n"
            "C1: {is: capacitor, across: [B1, chassis], value: 8 uF, make: dry}\n"
            "V1: {is: rectifier, type: %s, plates: [p], cathode: B1, heated by: always hot}\n",
            rows[i].volts, rows[i].type));
        near_rel(limit_of(set, "V1", MEASURE_SUPPLY_IMPEDANCE), rows[i].least, 1e-12, "ohm");
    }
}

static void choke_input_has_other_limits(void **state)
{
    struct set *set = good(
        "T1:\n  is: power transformer\n  ideal: yes\n  primary: {rated: 120 V, resistance: 8 ohm}\n"
        "  windings: {high: {across: [p, chassis], open circuit: 350 V, resistance: 90 ohm}}\n"
        "C2: {is: capacitor, across: [B1, chassis], value: 10 nF}\n"
        "V1: {is: rectifier, type: 5Y3-GT, plates: [p], cathode: B1, heated by: always hot}\n");
    (void)state;
    near_rel(limit_of(set, "T1.high", MEASURE_RMS_VOLTAGE), 500, 1e-14, "V");
    assert_true(isnan(fixed(set, "V1", MEASURE_SUPPLY_IMPEDANCE)));
    assert_null(rating(set, "V1", MEASURE_SUPPLY_IMPEDANCE, true));
}

/* 0.1 uF behind the rectifier is a bypass, 1.5 uF is the first capacitor of a filter. */
static void small_capacitors_make_an_input_too(void **state)
{
    static const char text[] =
        "R1: {is: resistor, across: [line, p], resistance: 22 ohm}\n"
        "C1: {is: capacitor, across: [k, neutral], value: %s, make: film}\n"
        "V1: {is: rectifier, type: 35W4, plates: [p], cathode: k, heated by: always hot}\n";
    (void)state;
    struct set *set = good(arena_printf(arena, text, "1.5 uF"));
    near_rel(fixed(set, "V1", MEASURE_FIRST_CAPACITOR), 1.5e-6, 1e-12, "F");
    near_rel(fixed(set, "V1", MEASURE_SUPPLY_IMPEDANCE), 22.3, 1e-12, "ohm");
    set = good(arena_printf(arena, text, "0.1 uF"));
    assert_true(isnan(fixed(set, "V1", MEASURE_FIRST_CAPACITOR)));
    assert_true(isnan(fixed(set, "V1", MEASURE_SUPPLY_IMPEDANCE)));
}

/* From the line, with surge resistors before the plate and behind the cathode. */
static void line_sets_count_their_resistors(void **state)
{
    struct set *set =
        good("S1: {is: switch, across: [line, a], state: closed}\n"
             "R1: {is: resistor, across: [a, p], resistance: 22 ohm}\n"
             "R2: {is: resistor, across: [k, B1], resistance: 10 ohm}\n"
             "C1: {is: capacitor, across: [B1, neutral], value: 40 uF, make: modern}\n"
             "V1: {is: rectifier, type: 35W4, plates: [p], cathode: k, heated by: always hot}\n");
    (void)state;
    near_rel(fixed(set, "V1", MEASURE_SUPPLY_IMPEDANCE), 32.3, 1e-12, "ohm");
    near_rel(fixed(set, "V1", MEASURE_FIRST_CAPACITOR), 40e-6, 1e-12, "F");
    near_rel(limit_of(set, "mains", MEASURE_RMS_VOLTAGE), 117, 1e-12, "V");
}

/* Doubler: the second section's plate is chassis, where every capacitor ends; it has no first
 * capacitor of its own. */
static void doubler_has_one_first_capacitor(void **state)
{
    struct set *set =
        good("C1: {is: capacitor, across: [B1, neutral], value: 40 uF, make: modern}\n"
             "C2: {is: capacitor, across: [neutral, chassis], value: 40 uF, make: modern}\n"
             "C3: {is: capacitor, across: [B1, chassis], value: 10 uF, make: modern}\n"
             "R1: {is: resistor, across: [line, a], resistance: 30 ohm}\n"
             "V5: {is: rectifier, type: 25Z6-GT, plates: [a, chassis], cathodes: [B1, a],\n"
             "  heated by: always hot}\n");
    (void)state;
    near_rel(fixed(set, "V5.1", MEASURE_FIRST_CAPACITOR), 50e-6, 1e-12, "F");
    assert_true(isnan(fixed(set, "V5.2", MEASURE_FIRST_CAPACITOR)));
    near_rel(fixed(set, "V5.1", MEASURE_SUPPLY_IMPEDANCE), 30.3, 1e-12, "ohm");
    near_rel(fixed(set, "V5.2", MEASURE_SUPPLY_IMPEDANCE), 30.3, 1e-12, "ohm");
}

static void own_law(void **state)
{
    struct set *set = good("V1: {is: rectifier, plates: [a], cathode: b, drop: 60 V at 125 mA, "
                           "heated by: always hot}\n");
    (void)state;
    near_rel(diode(set, 0)->perveance, 0.125 / (60 * sqrt(60.0)), 1e-12, "A/V^1.5");
    assert_false(diode(set, 0)->heated);
    assert_true(assumed(set, "V1", "emission")->guess);
    near_rel(diode(set, 0)->emission, EMISSION_EXCESS * 3 * 0.125, 1e-12, "A");
    set = good("V1: {is: rectifier, plates: [a], cathode: b, drop: 60 V at 125 mA, "
               "heated by: always hot, average current: 70 mA}\n");
    near_rel(diode(set, 0)->emission, EMISSION_EXCESS * 3 * 0.070, 1e-12, "A");
    set = good("V1: {is: rectifier, plates: [a], cathode: b, drop: 60 V at 125 mA, "
               "heated by: always hot, average current per plate: 70 mA}\n");
    near_rel(diode(set, 0)->emission, EMISSION_EXCESS * 6 * 0.070, 1e-12, "A");
    assert_true(assumed(set, "V1", "emission")->guess);
    set = good("V1: {is: rectifier, plates: [a], cathode: b, perveance: 0.269 mA/V^1.5, heated by: "
               "always hot}\n");
    near_rel(diode(set, 0)->perveance, 2.69e-4, 1e-12, "A/V^1.5");
    set = good("V1: {is: rectifier, type: 5Y3-GT, plates: [a], cathode: b, drop: 60 V at 125 mA, "
               "heated by: always hot}\n");
    near_rel(diode(set, 0)->perveance, 0.125 / (60 * sqrt(60.0)), 1e-12, "A/V^1.5");
    set = good("V1: {is: rectifier, plates: [a], cathode: b, threshold: 0.7 V, slope: 0.04 ohm, in "
               "series: 2}\n");
    near_rel(element(set, "V1", "plate 1")->threshold, 1.4, 1e-12, "V");
    near_rel(element(set, "V1", "plate 1")->slope, 0.08, 1e-12, "ohm");
    near_rel(element(set, "V1", "plate 1")->start, 1.4, 1e-12, "V");
}

static void silicon_and_ideal(void **state)
{
    struct set *set =
        good("D1: {is: rectifier, type: silicon, plates: [a, b], cathode: c, in series: 2}\n");
    (void)state;
    near_rel(element(set, "D1", "plate 2")->threshold, 2 * 0.772, 1e-12, "V");
    near_rel(limit_of(set, "D1.2", MEASURE_INVERSE_VOLTAGE), 2000, 1e-12, "V");
    near_rel(limit_of(set, "D1.1", MEASURE_AVERAGE_CURRENT), 1, 1e-12, "A");
    near_rel(limit_of(set, "D1.1", MEASURE_INRUSH_PEAK_CURRENT), 30, 1e-12, "A");
    near_rel(limit_of(set, "D1.1", MEASURE_PEAK_I2T), 3.7, 1e-12, "A2s");
    set = good("D1: {is: rectifier, type: ideal, plates: [a], cathode: c}\n");
    near_abs(element(set, "D1", "plate 1")->threshold, 0, 0, "V");
    near_abs(element(set, "D1", "plate 1")->slope, 0, 0, "ohm");
    assert_string_equal(element(set, "D1", "plate 1")->subject, "D1");
    assert_int_equal(set->ratings.n, 0);
    set = good(
        SUPPLY
        "D1: {is: rectifier, type: 1N4007, plates: [p1, p2], cathode: B1, heated by: heater}\n");
    assert_int_equal(diags_count(diags), 1); /* a note: no heater */
    assert_int_equal(elements_of(set, "D1.heater"), 0);
    set = good(SUPPLY "D1: {is: rectifier, type: selenium 100 mA, plates: [p1, p2], cathode: B1, "
                      "in series: 3}\n");
    near_rel(limit_of(set, "T1.high 2", MEASURE_RMS_VOLTAGE), 3 * 130, 1e-12, "V");
}

static void gas_and_mercury(void **state)
{
    struct set *set = good("V1: {is: rectifier, type: 0Z4, plates: [a, b], cathode: c}\n");
    const struct element *e = element(set, "V1", "plate 1");
    (void)state;
    near_rel(e->threshold, 24, 1e-12, "V");
    near_rel(e->start, 300, 1e-12, "V");
    assert_int_equal(e->ready_state, -1);
    near_rel(rating(set, "V1", MEASURE_AVERAGE_CURRENT, true)->limit, 0.030, 1e-12, "A");
    near_rel(rating(set, "V1", MEASURE_AVERAGE_CURRENT, false)->limit, 0.090, 1e-12, "A");
    set = good(SUPPLY
               "V1: {is: rectifier, type: 83, plates: [p1, p2], cathode: B1, heated by: heater}\n");
    e = element(set, "V1", "plate 2");
    near_rel(e->threshold, 15, 1e-12, "V");
    near_rel(e->start, 16, 1e-12, "V");
    near_rel(e->ready_value, 0.9 * EMISSION_RATED_KELVIN, 1e-12, "K");
    assert_string_equal(set->circuit->states.at[e->ready_state].part, "V1.heater");
}

static void failing_rectifiers(void **state)
{
    struct set *set =
        good(SUPPLY
             "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: heater,\n"
             "  condition: one plate dead}\n");
    (void)state;
    assert_non_null(element(set, "V6", "plate 1"));
    assert_null(element(set, "V6", "plate 2"));
    assert_int_equal(probe_of(set, "V6", PROBE_CURRENT)->count, 1);
    set =
        good(SUPPLY
             "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: heater,\n"
             "  condition: weak}\n");
    near_rel(diode(set, 0)->emission, 0.3 * 0.4, 1e-12, "A");
    assert_true(assumed(set, "V6", "emission")->guess);
    set =
        good(SUPPLY
             "V6: {is: rectifier, type: 5Y3-GT, plates: [p1, p2], cathode: B1, heated by: heater,\n"
             "  condition: weak, emission: 80 mA}\n");
    near_rel(diode(set, 0)->emission, 0.080, 1e-12, "A");
    set =
        good("D1: {is: rectifier, type: 1N4007, plates: [a, b], cathode: c, condition: shorted}\n");
    near_rel(value_of(set, "D1", "short"), 1, 1e-14, "ohm");
    assert_int_equal(element(set, "D1", "plate 2")->kind, ELEMENT_RECTIFIER);
    set = good("D1: {is: rectifier, type: 1N4007, plates: [a], cathode: c, condition: open}\n");
    assert_int_equal(set->circuit->elements.n, 0);
}

#define V6(type, rest)                                                                             \
    SUPPLY "V6: {is: rectifier, type: " type                                                       \
           ", plates: [p1, p2], cathode: B1, heated by: heater, "                                  \
           "condition: " rest "}\n"

static void weak_in_several_ways(void **state)
{
    struct set *set = good(V6("5Y3-GT", "weak, emission left: 40 %"));
    const double sound = 0.125 / (50 * sqrt(50.0));
    (void)state;
    near_rel(diode(set, 0)->emission, 0.4 * 0.4, 1e-12, "A");
    near_rel(diode(set, 0)->perveance, sound, 1e-12, "A/V^1.5");
    assert_null(assumed(set, "V6", "emission"));
    set = good(V6("5Y3-GT", "weak, perveance left: 50 %"));
    near_rel(diode(set, 1)->perveance, sound / 2, 1e-12, "A/V^1.5");
    near_rel(diode(set, 1)->emission, EMISSION_EXCESS * 0.4, 1e-12, "A");
    set = good(V6("5Y3-GT", "weak, perveance left: 50 %, emission: 120 mA"));
    near_rel(diode(set, 1)->perveance, sound / 2, 1e-12, "A/V^1.5");
    near_rel(diode(set, 1)->emission, 0.120, 1e-12, "A");
}

static void either_plate_can_fail(void **state)
{
    struct set *set = good(V6("5Y3-GT", "one plate dead, plate: 1"));
    (void)state;
    assert_null(element(set, "V6", "plate 1"));
    assert_non_null(element(set, "V6", "plate 2"));
    set = good(V6("5Y3-GT", "shorted, plate: 2, short resistance: 5 ohm"));
    near_rel(value_of(set, "V6", "short"), 5, 1e-14, "ohm");
    assert_int_equal(element(set, "V6", "short")->from, circuit_find_point(set->circuit, "p2"));
    assert_int_equal(element(set, "V6", "plate 1")->kind, ELEMENT_PORT);
    set = good(V6("5Y3-GT", "shorted"));
    assert_true(assumed(set, "V6", "short resistance")->guess);
}

static void soft_tube(void **state)
{
    struct set *set = good(V6("5Y3-GT", "gas, arc: 17 V, fires back at: 600 V"));
    const struct element *e = element(set, "V6", "plate 2"),
                         *b = element(set, "V6", "plate 2 back");
    (void)state;
    assert_int_equal(e->kind, ELEMENT_RECTIFIER);
    near_rel(e->threshold, 17, 1e-14, "V");
    near_rel(e->ready_value, 0.9 * EMISSION_RATED_KELVIN, 1e-12, "K");
    near_rel(b->threshold, 17, 1e-14, "V");
    near_rel(b->start, 600, 1e-14, "V");
    assert_int_equal(b->from, e->to);
    assert_int_equal(b->to, e->from);
    assert_int_equal(b->ready_state, -1);
    assert_non_null(probe_of(set, "V6.2.back", PROBE_CURRENT));
    set = good(V6("5Y3-GT", "gas"));
    near_rel(element(set, "V6", "plate 1")->threshold, 15, 1e-14, "V");
    assert_true(assumed(set, "V6", "arc")->guess);
    assert_null(element(set, "V6", "plate 1 back"));
}

static void cathode_on_its_heater(void **state)
{
    struct set *set = good(V6("5V4-G", "heater-cathode short, short resistance: 3 ohm"));
    const struct element *e = element(set, "V6", "heater-cathode short");
    (void)state;
    near_rel(e->value, 3, 1e-14, "ohm");
    assert_int_equal(e->from, circuit_find_point(set->circuit, "B1"));
    assert_int_equal(e->to, circuit_find_point(set->circuit, "T1: heater end 1"));
    assert_non_null(probe_of(set, "V6.short", PROBE_CURRENT));
    set = good("H1: {is: heater, across: [line, a], rated: 7.5 V 0.15 A, of: V1}\n"
               "H2: {is: heater, across: [a, b], rated: 27.5 V 0.15 A, of: V1}\n"
               "V1: {is: rectifier, type: 35Z5-GT, plates: [a], cathode: k, short to: b,\n"
               "  condition: heater-cathode short}\n");
    e = element(set, "V1", "heater-cathode short");
    assert_int_equal(e->to, circuit_find_point(set->circuit, "b"));
    near_rel(e->value, 10, 1e-14, "ohm");
    assert_true(assumed(set, "V1", "short resistance")->guess);
}

/* A 5U4-G (3 A) or a 6X4 (6.3 V) in the socket of a 5Y3-GT: the heater, and what it is judged by.
 */
static void another_type_in_the_socket(void **state)
{
    struct set *set = good(
        SUPPLY
        "V6: {is: rectifier, type: 5U4-G, plates: [p1, p2], cathode: B1, heated by: heater}\n");
    (void)state;
    near_rel(value_of(set, "V6.heater", "heater base"), 5.0 / 3, 1e-14, "ohm");
    near_rel(limit_of(set, "V6", MEASURE_AVERAGE_CURRENT), 0.225, 1e-14, "A");
    set =
        good(SUPPLY
             "V6: {is: rectifier, type: 6X4, plates: [p1, p2], cathode: B1, heated by: heater}\n");
    near_rel(value_of(set, "V6.heater", "heater base"), 10.5, 1e-14, "ohm");
    near_rel(rating(set, "V6.heater", MEASURE_RMS_VOLTAGE, true)->limit, 0.9 * 6.3, 1e-12, "V");
    /* a winding made for 2 A: its copper is that of 2 A (4 % of 5.3 V at 120 V), and it is judged
     */
    set = good("T1:\n  is: power transformer\n  ideal: yes\n"
               "  primary: {rated: 120 V, resistance: 8 ohm}\n"
               "  windings: {heater: {open circuit: 5.3 V, rated: 2 A}}\n"
               "V6: {is: rectifier, type: 5U4-G, plates: [a, b], cathode: c, heated by: heater}\n");
    near_rel(limit_of(set, "T1.heater", MEASURE_RMS_CURRENT), 2, 1e-14, "A");
    near_rel(value_of(set, "T1", "heater 1 copper"), 0.04 * 5.3 / 2, 1e-12, "ohm");
}

static void separate_cathodes(void **state)
{
    struct set *set = good("V1: {is: rectifier, type: 25Z6-GT, plates: [a, b], cathodes: [c, a], "
                           "heated by: always hot}\n");
    (void)state;
    assert_int_equal(element(set, "V1", "plate 2")->to, circuit_find_point(set->circuit, "a"));
    near_rel(limit_of(set, "V1.2", MEASURE_AVERAGE_CURRENT), 0.075, 1e-12, "A");
}

#define ONE "V1: {is: rectifier, plates: [a], cathode: b"

static void mistakes_are_told(void **state)
{
    (void)state;
    bad(ONE "}\n", "neither a type nor a drop");
    bad(ONE ", drop: 60 V}\n", "drop is not understood");
    bad(ONE ", drop: 60 V at 125 mA}\n", "V1: nothing heats it");
    bad(ONE ", type: 5Y3-GT}\n", "V1: nothing heats it");
    bad(ONE ", type: 5Y3-GT, heated by: heater}\n", "there is no winding `heater`");
    bad(ONE ", drop: 60 V at 125 mA, heated by: heater}\n",
        "heater's volts and amperes are missing");
    bad(ONE ", threshold: 0.7 V}\n", "slope is missing");
    bad(ONE ", threshold: 0.7 V, slope: 0 ohm, in series: 1.5}\n", "whole number");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, in series: 2}\n", "tubes in series");
    bad(ONE ", type: 1N4007, condition: gas}\n", "only a vacuum tube can go soft");
    bad(ONE
        ", type: 35Z4-GT, heated by: always hot, condition: gas, arc: 15 V, fires back at: 9 V}\n",
        "cannot fire back below");
    bad(ONE ", type: 1N4007, condition: heater-cathode short}\n", "no heater to short");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, condition: heater-cathode short}\n",
        "its filament is its cathode");
    bad(ONE ", type: 35Z4-GT, heated by: always hot, condition: heater-cathode short}\n",
        "needs its heater in the circuit");
    bad("H: {is: heater, across: [c, d], rated: 35 V 0.15 A, of: V1}\n" ONE
        ", type: 35Z4-GT, condition: heater-cathode short, short to: a}\n",
        "`a` is no pin of its heater");
    bad(ONE ", type: 1N4007, condition: shorted, plate: 2}\n", "has but one plate");
    bad("V1: {is: rectifier, plates: [a, c], cathode: b, type: 1N4007, condition: shorted, plate: "
        "3}\n",
        "has no such plate");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, emission left: 40 %}\n",
        "no condition is given");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, condition: weak, emission left: 140 %}\n",
        "more than 100 %");
    bad(ONE ", type: 5Y3-GT, condition: weak, emission left: 40 %, emission: 1 A}\n",
        "exclude each other");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, condition: weak}\n", "can be weak");
    bad(ONE ", type: 5Y3-GT, heated by: always hot, supply impedance: 50 V}\n",
        "supply impedance is not understood");
    bad(ONE ", type: 1N4007, surge current: 8 ms}\n", "surge current is not understood");
    bad(ONE ", type: 1N4007, condition: one plate dead}\n", "has but one plate");
    bad(ONE ", law: gas, drop: 24 V at 75 mA}\n", "needs its starting voltage");
    bad(ONE ", law: gas, drop: 24 V at 75 mA, starting voltage: 20 V}\n", "cannot start below");
    bad("V1: {is: rectifier, plates: [a], type: ideal}\n", "its cathode is missing");
    bad("V1: {is: rectifier, plates: [a, b], type: ideal, cathode: c, cathodes: [c, d]}\n",
        "exclude each other");
    bad("V1: {is: rectifier, plates: [a, b], type: 5Y3-GT, cathodes: [c, d], heated by: always "
        "hot}\n",
        "one cathode for both plates");
    bad("V1: {is: rectifier, plates: [a, b], type: 35Z4-GT, cathode: c, heated by: always hot}\n",
        "its type has one plate");
    bad("V1: {is: rectifier, plates: [a, b, c], type: ideal, cathode: c}\n", "`plates` takes");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(vacuum_tube_of_a_type),
        TEST(ratings_of_a_tube),
        TEST(heat_of_the_plates),
        TEST(least_impedance_follows_the_volts),
        TEST(choke_input_has_other_limits),
        TEST(small_capacitors_make_an_input_too),
        TEST(line_sets_count_their_resistors),
        TEST(doubler_has_one_first_capacitor),
        TEST(own_law),
        TEST(silicon_and_ideal),
        TEST(gas_and_mercury),
        TEST(failing_rectifiers),
        TEST(weak_in_several_ways),
        TEST(either_plate_can_fail),
        TEST(soft_tube),
        TEST(cathode_on_its_heater),
        TEST(another_type_in_the_socket),
        TEST(separate_cathodes),
        TEST(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
