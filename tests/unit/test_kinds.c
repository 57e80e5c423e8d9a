/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plain kinds: which elements, values, ratings and assumptions come of their keys, and every
 * message. */
#include "kinds_fixture.h"
#include "kinds.h"
#include "lamp_law.h"
#include "laws.h"
#include "numbers.h"

static void kinds_are_found(void **state)
{
    (void)state;
    for (int i = 0; kinds_all[i]; i++) {
        assert_ptr_equal(kind_find(kinds_all[i]->name), kinds_all[i]);
        assert_true(kinds_all[i]->says[0] && kinds_all[i]->read && kinds_all[i]->stamp);
        for (const struct key *k = kinds_all[i]->keys; k->name; k++) assert_true(k->takes[0]);
    }
    assert_null(kind_find("varistor"));
}

/* --- resistor ------------------------------------------------------------------------------- */

static void resistor(void **state)
{
    struct set *set = good("R1: {is: resistor, across: [a, b], resistance: 330 ohm, rated: 5 W}\n");
    const struct element *e = element(set, "R1", "resistance");
    (void)state;
    near_rel(e->value, 330, 1e-14, "ohm");
    assert_string_equal(set->circuit->points.at[e->from], "a");
    assert_string_equal(set->circuit->points.at[e->to], "b");
    near_rel(limit_of(set, "R1", MEASURE_DISSIPATION), 5, 1e-14, "W");
    assert_string_equal(rating(set, "R1", MEASURE_DISSIPATION, false)->source, "scenario");
    assert_non_null(probe_of(set, "R1", PROBE_VOLTAGE));
    assert_int_equal(probe_of(set, "R1", PROBE_CURRENT)->count, 1);
    set = good("R1: {is: resistor, across: [a, b], resistance: 330 ohm, condition: shorted}\n");
    near_abs(value_of(set, "R1", "resistance"), 0, 0, "ohm");
    assert_int_equal(set->ratings.n, 0);
    set = good("R1: {is: resistor, across: [a, b], resistance: 330 ohm, condition: open}\n");
    assert_int_equal(set->circuit->elements.n, 0);
    bad("R1: {is: resistor, across: [a, b], resistance: -1 ohm}\n", "negative");
    bad("R1: {is: resistor, across: [a, b], resistance: unknown}\n", "must be known");
    bad("R1: {is: resistor, across: [a, b], resistance: 1 ohm, condition: burnt}\n", "`burnt`");
}

/* --- capacitor ------------------------------------------------------------------------------ */

static void capacitor_from_the_catalogue(void **state)
{
    struct set *set =
        good("C1: {is: capacitor, across: [a, b], value: 12 uF, rated: 450 V, make: modern}\n");
    const struct assumption *series = assumed(set, "C1", "series resistance");
    (void)state;
    /* nearest size 10 uF with 15 ohm: Vishay doc. 28329 */
    near_rel(value_of(set, "C1", "series"), 15 * 10.0 / 12, 1e-12, "ohm");
    near_rel(value_of(set, "C1", "capacitance"), 12e-6, 1e-12, "F");
    /* 0.02 C V + 25 uA: Lelon RGA data sheet */
    near_rel(value_of(set, "C1", "leakage"), 450 / (0.02e-6 * 12 * 450 + 25e-6), 1e-12, "ohm");
    assert_non_null(strstr(series->basis, "modern 10 uF 450 V"));
    assert_false(series->guess);
    assert_true(series->low < series->value && series->value < series->high);
    near_rel(limit_of(set, "C1", MEASURE_SETTLED_VOLTAGE), 450, 1e-14, "V");
    near_rel(limit_of(set, "C1", MEASURE_HIGHEST_VOLTAGE), 495, 1e-12, "V");
    near_abs(limit_of(set, "C1", MEASURE_LOWEST_VOLTAGE), -1, 0, "V");
}

static void capacitor_of_a_type(void **state)
{
    struct set *set =
        good("C1: {is: capacitor, across: [a, b], type: dry 8 uF 475 V, starts at: 200 V}\n");
    (void)state;
    near_rel(value_of(set, "C1", "series"), 0.08 / (2 * PI * 120 * 8e-6), 1e-12, "ohm");
    near_rel(value_of(set, "C1", "leakage"), 475 / 0.62e-3, 1e-12, "ohm");
    near_rel(limit_of(set, "C1", MEASURE_HIGHEST_VOLTAGE), 600, 1e-12, "V");
    near_abs(element(set, "C1", "capacitance")->initial, 200, 0, "V");
    assert_int_equal(set->assumptions.n, 3); /* the can's heat alone */
    assert_null(assumed(set, "C1", "series resistance"));
    assert_null(assumed(set, "C1", "leakage"));
    assert_null(assumed(set, "C1", "surge"));
    assert_non_null(
        strstr(rating(set, "C1", MEASURE_HIGHEST_VOLTAGE, false)->source, "from memory"));
}

static void capacitor_of_unknown_make(void **state)
{
    struct set *set = good("C1: {is: capacitor, across: [a, b], value: 8 uF}\n");
    (void)state;
    assert_true(assumed(set, "C1", "series resistance")->guess);
    assert_non_null(strstr(assumed(set, "C1", "series resistance")->basis, "taken as modern"));
    assert_null(rating(set, "C1", MEASURE_SETTLED_VOLTAGE, false));
    set = good("C2: {is: capacitor, across: [a, b], value: 47 nF, rated: 630 V}\n");
    assert_non_null(strstr(assumed(set, "C2", "series resistance")->basis, "taken as film"));
    assert_true(value_of(set, "C2", "series") < 10);
    assert_null(rating(set, "C2", MEASURE_LOWEST_VOLTAGE, true));
    near_rel(limit_of(set, "C2", MEASURE_HIGHEST_VOLTAGE), 630, 1e-14, "V");
}

static void ideal_capacitor(void **state)
{
    struct set *set =
        good("C1: {is: capacitor, across: [a, b], value: 8 uF, make: dry, rated: 450 V,\n"
             "     series resistance: 0 ohm, leakage: none, ripple rating: 150 mA at 100 Hz}\n");
    const struct probe *p = probe_of(set, "C1", PROBE_CURRENT);
    (void)state;
    assert_int_equal(set->circuit->elements.n, 1);
    assert_int_equal(p->count, 1);
    assert_int_equal(p->flags, PROBE_CAPACITOR | PROBE_WATCHED);
    near_rel(limit_of(set, "C1", MEASURE_RMS_CURRENT), 0.15, 1e-14, "A");
    near_rel(limit_of(set, "C1", MEASURE_HIGHEST_VOLTAGE), 525, 1e-12, "V");
    set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, make: dry,\n"
               "     series resistance: 0 ohm, leakage: 60 kohm}\n");
    p = probe_of(set, "C1", PROBE_CURRENT);
    assert_int_equal(p->count, 3); /* plates, leakage, what it grows by */
    near_rel(value_of(set, "C1", "leakage"), 60e3, 1e-14, "ohm");
}

static void failing_capacitors(void **state)
{
    struct set *set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, power factor: 10 %,\n"
                           "     condition: leaky, leakage: 25 mA at 330 V}\n");
    double sound = 0.10 / (2 * PI * 120 * 8e-6);
    (void)state;
    near_rel(value_of(set, "C1", "leakage"), 13200, 1e-12, "ohm");
    near_rel(value_of(set, "C1", "series"), sound, 1e-12, "ohm");
    set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, power factor: 10 %, condition: "
               "dried out}\n");
    near_rel(value_of(set, "C1", "capacitance"), 2e-6, 1e-12, "F");
    near_rel(value_of(set, "C1", "series"), 10 * sound, 1e-12, "ohm");
    assert_true(assumed(set, "C1", "value now")->guess);
    set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, power factor: 10 %, condition: "
               "dried out,\n"
               "     value now: 1 uF, series resistance now: 300 ohm}\n");
    near_rel(value_of(set, "C1", "capacitance"), 1e-6, 1e-12, "F");
    near_rel(value_of(set, "C1", "series"), 300, 1e-12, "ohm");
    set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, power factor: 10 %, condition: "
               "shorted}\n");
    near_rel(value_of(set, "C1", "short"), 1, 1e-14, "ohm");
    assert_int_equal(probe_of(set, "C1", PROBE_CURRENT)->count, 2);
    near_rel(capacitor_at(set, 0), 8e-6, 1e-12, "F");
    set = good("C1: {is: capacitor, across: [a, b], value: 8 uF, condition: open}\n");
    assert_int_equal(set->circuit->elements.n, 0);
    assert_int_equal(set->circuit->probes.n, 0);
    near_abs(capacitor_at(set, 0), 0, 0, "F");
}

static void capacitor_mistakes(void **state)
{
    (void)state;
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, condition: leaky}\n",
        "needs its leakage");
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, condition: leeky}\n", "`leeky`");
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, leakage: 25 mA}\n",
        "leakage is not understood");
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, leakage: 0 mA at 300 V}\n",
        "leakage is not understood");
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, ripple rating: 100 Hz}\n",
        "holds no amperes");
    bad("C1: {is: capacitor, across: [a, b], value: 8 mF}\n", "8 mF");
    bad("C1: {is: capacitor, across: [a, b], value: 8 uF, make: wett}\n", "`wett`");
}

/* --- choke and field coil ------------------------------------------------------------------- */

static void choke(void **state)
{
    struct set *set =
        good("L1: {is: choke, across: [a, b], inductance: 10 H at 60 mA, resistance: 115 ohm,\n"
             "     rated: 125 mA, starts at: 0.1 A}\n");
    (void)state;
    const struct coil_law *law = set->circuit->devices.at[0].par;
    double flux = set->circuit->states.at[0].cold, c[PORT_COEFFICIENTS], g;
    assert_ptr_equal(set->circuit->devices.at[0].law, &law_coil);
    near_rel(law->inductance, 15, 1e-14, "H");
    near_rel(assumed(set, "L1", "inductance without current")->low, 13, 1e-14, "H");
    law_coil.prepare(law, &flux, NULL, c);
    near_rel(law_coil.current(law, 0, c, 0, &g), 0.1, 1e-12, "A");
    near_rel(value_of(set, "L1", "loss"), 2000 * PI * 60 * 15, 1e-12, "ohm");
    near_rel(value_of(set, "L1", "resistance"), 115, 1e-14, "ohm");
    near_rel(limit_of(set, "L1", MEASURE_AVERAGE_CURRENT), 0.125, 1e-14, "A");
    assert_int_equal(probe_of(set, "L1", PROBE_CURRENT)->flags, PROBE_OTHER | PROBE_WATCHED);
    /* 6 W in 1500 ohm are 63.2 mA: there the inductance is the one given */
    set = good("L1: {is: field coil, across: [a, b], inductance: 12 H, resistance: 1500 ohm,\n"
               "     rated: 6 W}\n");
    law = set->circuit->devices.at[0].par;
    assert_ptr_equal(set->circuit->devices.at[0].law, &law_coil);
    struct coil_law fitted = {.inductance = 18, .power = COIL_POWER};
    coil_fit_one(&fitted, 12, sqrt(6.0 / 1500));
    near_rel(law->inductance, 18, 1e-14, "H");
    near_rel(law->knee, fitted.knee, 1e-14, "Vs");
    set = good("L1: {is: choke, across: [a, b], inductance: 10 H, resistance: 0 ohm}\n");
    assert_int_equal(set->circuit->elements.n, 1);
    assert_int_equal(set->assumptions.n, 0);
    set = good("L1: {is: choke, across: [a, b], inductance: 10 H, rated: 60 mA, resistance: 0 "
               "ohm}\n");
    assert_ptr_equal(set->circuit->devices.at[0].law, &law_coil); /* at its rated current */
    set = good("L1: {is: choke, across: [a, b], inductance: 10 H, resistance: 115 ohm, condition: "
               "shorted}\n");
    near_abs(value_of(set, "L1", "resistance"), 0, 0, "ohm");
    assert_int_equal(set->circuit->elements.n, 1);
}

/* A tenth of the turns, coupled 0.95: what is left of 115 ohm, and of 10 H beside the coupling. */
static void shorted_turns_of_a_choke(void **state)
{
    struct set *set = good("L1: {is: choke, across: [a, b], inductance: 10 H, resistance: 115 ohm, "
                           "condition: shorted turns}\n");
    (void)state;
    near_rel(assumed(set, "L1", "turns")->value, 0.1, 1e-14, "");
    assert_true(assumed(set, "L1", "turns")->guess);
    near_rel(value_of(set, "L1", "resistance"), 0.9 * 115, 1e-12, "ohm");
    near_rel(value_of(set, "L1", "leakage"), (1 - 0.95 * 0.95) * 10 * 0.9 * 0.9, 1e-12, "H");
    near_rel(value_of(set, "L1", "inductance"), 0.95 * 0.95 * 10, 1e-12, "H");
    near_rel(value_of(set, "L1", "shorted turns"), 0.95 * 0.95 * 115 / 0.1, 1e-12, "ohm");
}

static void field_coil_warms(void **state)
{
    struct set *set = good(
        "L1: {is: field coil, across: [a, b], inductance: unknown, resistance: 1500 ohm cold,\n"
        "     rated: 8 W}\n");
    const struct device *d = &set->circuit->devices.at[0];
    const struct warm_law *law = d->par;
    (void)state;
    assert_ptr_equal(d->law, &law_warm);
    near_rel(law->resistance[0], 1500, 1e-14, "ohm");
    near_rel(law->body.to_ambient, 8 / 50.0, 1e-14, "W/K");
    near_rel(value_of(set, "L1", "inductance"), 12, 1e-14, "H");
    assert_true(assumed(set, "L1", "inductance")->guess);
    assert_non_null(assumed(set, "L1", "heat capacity"));
    /* the port stands across the copper */
    const struct element *port = element(set, "L1", "warming"),
                         *base = element(set, "L1", "resistance");
    assert_int_equal(port->from, base->from);
    assert_int_equal(port->to, base->to);
    near_rel(limit_of(set, "L1", MEASURE_DISSIPATION), 8, 1e-14, "W");
    set =
        good("L1: {is: field coil, across: [a, b], inductance: 10 H, resistance: 1500 ohm hot}\n");
    assert_int_equal(set->circuit->devices.n, 0);
}

/* At the end of warming R = R0 (1 + a Rth V^2/R). */
static void coil_resistance_settles(void **state)
{
    double hot = inductor_hot_ohms(1500, 8, 108);
    (void)state;
    near_rel(hot, 1500 * (1 + 50.0 / 8 * sq(108) / hot / 254.5), 1e-12, "ohm");
    near_rel(inductor_hot_ohms(1500, 8, 0), 1500, 1e-12, "ohm");
}

static void choke_mistakes(void **state)
{
    (void)state;
    bad("L1: {is: choke, across: [a, b], resistance: 1500 ohm lukewarm}\n",
        "resistance is not understood");
    bad("L1: {is: choke, across: [a, b], resistance: 115 ohm, inductance: 60 mA}\n",
        "inductance is not understood");
    bad("L1: {is: choke, across: [a, b], resistance: 115 ohm, rated: 400 V}\n",
        "rating is not understood");
    bad("L1: {is: choke, across: [a, b], resistance: 0 ohm, condition: shorted turns}\n",
        "shorted turns need the resistance");
    bad("L1: {is: choke, across: [a, b], resistance: 115 ohm, turns: 5 %}\n",
        "`turns` says nothing about a coil without shorted turns");
    bad("L1: {is: choke, across: [a, b], resistance: 115 ohm, condition: shorted turns, turns: 100 "
        "%}\n",
        "not all turns can be shorted turns");
    bad("L1: {is: choke, across: [a, b], inductance: 10 H}\n", "`resistance` of L1 is missing");
}

/* --- battery and switch --------------------------------------------------------------------- */

static void battery(void **state)
{
    struct set *set = good("B1: {is: battery, across: [a, b], voltage: 6.3 V}\n");
    const struct waveform *w = &set->circuit->waveforms.at[0];
    (void)state;
    assert_int_equal(w->kind, WAVEFORM_STEADY);
    near_rel(w->peak, 6.3, 1e-14, "V");
    near_rel(value_of(set, "B1", "resistance"), 0.05, 1e-14, "ohm");
    assert_non_null(assumed(set, "B1", "resistance"));
    set = good("B1: {is: battery, across: [a, b], voltage: 6.3 V, resistance: 0 ohm}\n");
    assert_int_equal(set->circuit->elements.n, 1);
    assert_int_equal(set->assumptions.n, 0);
}

static void switch_of_a_set(void **state)
{
    struct set *set = good("S1: {is: switch, across: [a, b], state: open}\n"
                           "S2: {is: switch, across: [a, b], state: closed}\n");
    (void)state;
    assert_false(element(set, "S1", "contact")->starts_closed);
    assert_true(element(set, "S2", "contact")->starts_closed);
    assert_int_equal(set->circuit->gates, 2);
    bad("S1: {is: switch, across: [a, b], state: on}\n", "`on`");
    bad("S1: {is: switch, across: [a], state: open}\n", "`across` takes two names");
}

/* --- lamp, barretter, fuse ------------------------------------------------------------------ */

/* A hot restart comes a second after switch-off. */
static void lamp_has_cooled_for_a_second(void **state)
{
    struct set *set = good("P1: {is: lamp, across: [a, b], rated: 120 V 60 W, temperature: 2300 C, "
                           "gas loss: 15 %}\n");
    const struct lamp_law *law = set->circuit->devices.at[0].par;
    const struct lamp_rating rating = {
        .volts = 120, .amperes = 0.5, .kelvin = 2573.15, .gas_loss = 0.15};
    const struct lamp_law same = lamp_law_of(&rating, set->ambient);
    (void)state;
    near_rel(law->area, same.area, 1e-12, "m2");
    near_rel(law->mass, same.mass, 1e-12, "kg");
    double hot = set->circuit->states.at[0].hot;
    near_rel(hot, lamp_cooled_kelvin(law, 2573.15, 1), 1e-9, "K");
    assert_true(hot > 500 && hot < 2000);
    near_rel(limit_of(set, "P1", MEASURE_RMS_VOLTAGE), 132, 1e-12, "V");
}

/* Free convection goes with the power 5/4 of the rise (W. H. McAdams). */
static void barretter_cools_by_convection(void **state)
{
    struct set *set =
        good("B1: {is: barretter, across: [a, b], rated: 0.3 A, range: 86 V to 129 V}\n");
    const struct thermistor_law *law = set->circuit->devices.at[0].par;
    (void)state;
    near_rel(law->power, 1.25, 1e-12, "");
    near_rel(law->rise, 1.8, 1e-12, "");
    near_rel(limit_of(set, "B1", MEASURE_RMS_VOLTAGE), 129, 1e-14, "V");
}

/* A fast fuse is of silver (961.78 C), a slow one melts at a bead of tin (231.93 C). */
static void fuses_melt(void **state)
{
    struct set *set = good("F1: {is: fuse, across: [a, b], rated: 1 A fast}\n");
    (void)state;
    near_abs(element(set, "F1", "opening")->trip_value, 961.78 + 273.15, 0.01, "K");
    set = good("F1: {is: fuse, across: [a, b], rated: 1 A slow}\n");
    near_abs(element(set, "F1", "opening")->trip_value, 231.93 + 273.15, 0.01, "K");
    near_rel(limit_of(set, "F1", MEASURE_RMS_CURRENT), 1, 1e-14, "A");
}

/* What is wrong with them holds whatever `state` says, and takes their ratings away. */
static void failed_switches_and_limiters(void **state)
{
    struct set *set =
        good("S1: {is: switch, across: [a, b], state: closed, condition: dirty contacts, contact "
             "resistance: 2 ohm}\n"
             "S2: {is: switch, across: [a, b], state: open, condition: stuck closed}\n"
             "S3: {is: switch, across: [a, b], state: closed, condition: does not close}\n"
             "T1: {is: thermistor, type: CL-90, across: [a, b], condition: shorted}\n"
             "T2: {is: thermistor, type: CL-90, across: [a, b], condition: open}\n"
             "B1: {is: barretter, across: [a, b], rated: 0.3 A, range: 86 V to 129 V, condition: "
             "shorted}\n");
    (void)state;
    near_rel(element(set, "S1", "contacts")->value, 2, 1e-14, "ohm");
    assert_true(element(set, "S1", "contact")->starts_closed);
    assert_true(element(set, "S2", "contact")->starts_closed);
    assert_false(element(set, "S3", "contact")->starts_closed);
    near_abs(element(set, "T1", "base")->value, 0, 0, "ohm");
    near_abs(element(set, "B1", "base")->value, 0, 0, "ohm");
    assert_int_equal(elements_of(set, "T2"), 0);
    assert_int_equal(set->circuit->devices.n, 0);
    assert_int_equal(set->ratings.n, 0);
    bad("S1: {is: switch, across: [a, b], state: open, contact resistance: 1 ohm}\n",
        "no condition is given");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(kinds_are_found),
        TEST(resistor),
        TEST(failed_switches_and_limiters),
        TEST(capacitor_from_the_catalogue),
        TEST(capacitor_of_a_type),
        TEST(capacitor_of_unknown_make),
        TEST(ideal_capacitor),
        TEST(failing_capacitors),
        TEST(capacitor_mistakes),
        TEST(choke),
        TEST(shorted_turns_of_a_choke),
        TEST(field_coil_warms),
        TEST(coil_resistance_settles),
        TEST(choke_mistakes),
        TEST(battery),
        TEST(switch_of_a_set),
        TEST(lamp_has_cooled_for_a_second),
        TEST(barretter_cools_by_convection),
        TEST(fuses_melt),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
