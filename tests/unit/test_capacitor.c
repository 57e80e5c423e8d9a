/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The failings of a capacitor: which elements, ratings and guesses come of their keys, what its can
 * is like, and every message. Electrical physics stands in test_capacitor_faults, heat in test_can.
 */
#include "capacitor.h"
#include "kinds_fixture.h"
#include "kinds.h"
#include "numbers.h"

#define C1 "C1: {is: capacitor, across: [a, b], value: 8 uF, rated: 450 V, "
#define DRY C1 "make: dry, "

static const struct capacitor *data(const struct set *set, const char *name)
{
    return set_find(set, name)->data;
}

static const struct rectifier_like {
    double volts, ohms;
} none = {0, 0};

/* Threshold and slope of a way beside the plates; it runs from the first point's side to b. */
static struct rectifier_like knee(const struct set *set, const char *role)
{
    const struct element *e = element(set, "C1", role);
    if (!e) return none;
    assert_int_equal(e->kind, ELEMENT_RECTIFIER);
    assert_string_equal(set->circuit->points.at[e->to], "b");
    return (struct rectifier_like){e->threshold, e->slope};
}

/* --- leakage -------------------------------------------------------------------------------- */

static void leakage_in_limits(void **state)
{
    (void)state;
    /* 0.04 mA/uF and 0.3 mA above 350 V: JAN-C-62 */
    struct set *set = good(DRY "condition: leaky, leakage: 50 times limit}\n");
    near_rel(value_of(set, "C1", "leakage"), 450 / (50 * 0.62e-3), 1e-12, "ohm");
    /* 0.02 C V + 25 uA: Lelon RGA data sheet */
    set = good(C1 "make: modern, condition: leaky, leakage: 10 times limit}\n");
    near_rel(value_of(set, "C1", "leakage"), 450 / (10 * (0.02e-6 * 8 * 450 + 25e-6)), 1e-12,
             "ohm");
    /* and 0.03 C V + 15 uA up to 1000 uF V */
    set = good("C1: {is: capacitor, across: [a, b], value: 2 uF, rated: 450 V, make: modern, "
               "condition: leaky, leakage: 10 times limit}\n");
    near_rel(value_of(set, "C1", "leakage"), 450 / (10 * (0.03e-6 * 2 * 450 + 15e-6)), 1e-12,
             "ohm");
    bad(DRY "leakage: 50 times}\n", "leakage is not understood");
    bad(DRY "leakage: -3 times limit}\n", "leakage is not understood");
    bad(DRY "condition: leaky, leakage: none}\n", "needs its leakage");
}

static void leakage_grows(void **state)
{
    (void)state;
    struct set *set = good(DRY "leakage: 10 mA at 300 V, leakage grows: 3 times by 60 C}\n");
    near_rel(data(set, "C1")->growth, log(3) / 40, 1e-12, "1/K");
    assert_null(assumed(set, "C1", "leakage grows"));
    set = good(DRY "leakage: 10 mA at 300 V}\n");
    near_rel(data(set, "C1")->growth, log(2.5) / 40, 1e-12, "1/K");
    assert_non_null(assumed(set, "C1", "leakage grows"));
    const char *const wrong[] = {"3 times", "0.5 times by 60 C", "3 times by 15 C", "60 C", "3"};
    for (int k = 0; k < 5; k++)
        bad(arena_printf(arena, DRY "leakage grows: %s}\n", wrong[k]), "grows is not understood");
}

/* --- ways of failing ------------------------------------------------------------------------ */

static void breaks_down(void **state)
{
    (void)state;
    struct set *set = good(DRY "condition: breaks down, breakdown: 380 V}\n");
    near_rel(knee(set, "breakdown").volts, 380, 1e-14, "V");
    near_rel(knee(set, "breakdown").ohms, 1000, 1e-14, "ohm");
    assert_true(assumed(set, "C1", "breakdown resistance")->guess);
    set =
        good(DRY "condition: leaky, leakage: 60 kohm, breakdown: 380 V, breakdown resistance: 470 "
                 "ohm}\n");
    near_rel(knee(set, "breakdown").ohms, 470, 1e-14, "ohm");
    set = good(DRY "condition: good, breakdown: 380 V}\n"); /* laid over by a variant */
    assert_true(knee(set, "breakdown").volts == 0);
}

static void reversed(void **state)
{
    (void)state;
    struct set *set = good(C1 "make: modern, condition: reversed, starts at: 10 V}\n");
    near_rel(knee(set, "backwards").volts, 2, 1e-14, "V");
    near_rel(knee(set, "backwards").ohms, 200, 1e-14, "ohm");
    assert_true(assumed(set, "C1", "reverse threshold")->guess);
    assert_true(assumed(set, "C1", "reverse resistance")->guess);
    /* told from its own plus, on b; its charge still counts from a */
    const struct probe *p = probe_of(set, "C1", PROBE_VOLTAGE);
    assert_string_equal(set->circuit->points.at[p->from], "b");
    near_abs(element(set, "C1", "capacitance")->initial, 10, 0, "V");
    near_abs(limit_of(set, "C1", MEASURE_LOWEST_VOLTAGE), -1, 0, "V");
}

static void wet_ones_clamp(void **state)
{
    (void)state;
    struct set *set = good("C1: {is: capacitor, across: [a, b], type: wet 16 uF 450 V}\n");
    near_rel(knee(set, "forming").volts, 500, 1e-14, "V");
    near_rel(knee(set, "forming").ohms, 500, 1e-12, "ohm"); /* 1 kohm at 8 uF, by area */
    assert_null(assumed(set, "C1", "forming"));
    assert_true(assumed(set, "C1", "forming resistance")->guess);
    set = good(C1 "make: wet}\n");
    near_rel(knee(set, "forming").volts, 500, 1e-12, "V");
    assert_true(assumed(set, "C1", "forming")->guess);
    set = good(C1 "make: wet, forming: 470 V, forming resistance: 800 ohm, condition: leaky, "
                  "leakage: 5 mA at 300 V}\n");
    near_rel(knee(set, "forming").volts, 470, 1e-14, "V");
    assert_null(assumed(set, "C1", "forming resistance"));
    set = good(DRY "forming: 470 V}\n"); /* a dry one in its place: a note */
    assert_int_equal(diags_count(diags), 1);
    assert_null(element(set, "C1", "forming"));
    set = good("C1: {is: capacitor, across: [a, b], type: wet 8 uF 450 V, make: dry}\n");
    assert_int_equal(diags_count(diags), 0);
    assert_null(element(set, "C1", "forming"));
    set = good(C1 "make: wet, condition: open}\n");
    assert_int_equal(set->circuit->elements.n, 0);
}

static void shorts_by_itself(void **state)
{
    (void)state;
    struct set *set = good(C1 "make: modern, shorts at: 20 s}\n");
    const struct element *e = element(set, "C1", "timed");
    assert_true(e->trips && !e->starts_closed && e->trip_state < 0);
    near_rel(e->trip_value, 20, 1e-14, "s");
    near_rel(value_of(set, "C1", "timed short"), 1, 1e-14, "ohm");
    set =
        good(C1 "make: modern, condition: shorts at a time, shorts at: 2 min, short resistance: 5 "
                "ohm}\n");
    near_rel(element(set, "C1", "timed")->trip_value, 120, 1e-14, "s");
    near_rel(value_of(set, "C1", "timed short"), 5, 1e-14, "ohm");
    assert_int_equal(set->circuit->devices.n, 0);
}

static void shorts_when_hot(void **state)
{
    (void)state;
    struct set *set = good(C1 "make: modern, condition: shorts when hot}\n");
    const struct element *e = element(set, "C1", "hot");
    near_rel(e->trip_value, 273.15 + 85, 1e-14, "K"); /* Vishay doc. 28329 */
    assert_string_equal(set->circuit->states.at[e->trip_state].part, "C1");
    /* it must get there: 20 times what a sound one leaks */
    near_rel(value_of(set, "C1", "leakage"), 450 / (20 * (0.02e-6 * 8 * 450 + 25e-6)), 1e-12,
             "ohm");
    assert_true(assumed(set, "C1", "leakage")->guess);
    set = good(DRY "shorts at temperature: 70 C}\n");
    near_rel(element(set, "C1", "hot")->trip_value, 343.15, 1e-14, "K");
    /* the leaky one fails when it boils, unless it is told to at a time */
    set = good(DRY "condition: leaky, leakage: 60 kohm}\n");
    near_rel(element(set, "C1", "hot")->trip_value, 273.15 + 115, 1e-14, "K");
    set = good(DRY "condition: leaky, leakage: 60 kohm, shorts at: 20 s}\n");
    assert_null(element(set, "C1", "hot"));
}

/* --- the can -------------------------------------------------------------------------------- */

static void sound_cans_are_left_out(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int devices;
    } rows[] = {
        {C1 "make: modern}\n", 0},
        {C1 "make: film}\n", 0},
        {C1 "make: modern, leakage: 110 uA at 450 V}\n", 0},
        {C1 "make: modern, condition: open}\n", 0},
        {DRY "condition: shorted}\n", 0},
        {DRY "}\n", 1},
        {C1 "make: wet}\n", 1},
        {C1 "make: modern, condition: dried out}\n", 1},
        {C1 "make: modern, leakage: 5 mA at 450 V}\n", 1},
        {C1 "make: modern, thermal resistance: 20 K/W}\n", 1},
        {C1 "make: modern, heat capacity: 20 J/K}\n", 1},
    };
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        if (good(rows[k].text)->circuit->devices.n != rows[k].devices) fail_msg("%s", rows[k].text);
}

/* Of a dry 8 uF 450 V: 26 cm3, so 2.55 cm wide and 5.1 cm high, 51 cm2 at 10 W/(m2 K), 2 J/(cm3 K).
 */
static void size_of_a_can(void **state)
{
    (void)state;
    struct set *set = good(DRY "}\n");
    const struct can_law *law = &data(set, "C1")->can->law;
    double wide = cbrt(2 * 26e-6 / PI), area = PI * wide * 2 * wide + 2 * PI / 4 * sq(wide);
    near_rel(law->thermal_resistance, 1 / (10 * area), 1e-9, "K/W");
    near_rel(law->heat, 52, 1e-9, "J/K");
    near_rel(assumed(set, "C1", "thermal resistance")->value, law->thermal_resistance, 1e-12,
             "K/W");
    near_rel(limit_of(set, "C1", MEASURE_TEMPERATURE), 273.15 + 60, 1e-12, "K");
    near_rel(limit_of(set, "C1", MEASURE_DISSIPATION), 40 / log(2.5) / law->thermal_resistance,
             1e-9, "W");
    set = good(DRY "thermal resistance: 12 K/W, heat capacity: 80 J/K}\n");
    law = &data(set, "C1")->can->law;
    near_rel(law->thermal_resistance, 12, 1e-12, "K/W");
    near_rel(law->heat, 80, 1e-12, "J/K");
    assert_null(assumed(set, "C1", "thermal resistance"));
    assert_null(assumed(set, "C1", "heat capacity"));
}

/* The can of 16 uF in one piece, with the ports of both sections, whose heat stays their own. */
static void sections_share_a_can(void **state)
{
    (void)state;
    struct set *set =
        good("C1: {is: capacitor, across: [a, '0'], value: 8 uF, rated: 450 V, make: dry, "
             "can: twin}\n"
             "C2: {is: capacitor, across: [b, '0'], value: 8 uF, rated: 450 V, make: dry, "
             "can: twin, condition: leaky, leakage: 20 kohm}\n");
    const struct can_law *law = &data(set, "C1")->can->law;
    assert_ptr_equal(data(set, "C1")->can, data(set, "C2")->can);
    assert_int_equal(set->circuit->devices.n, 1);
    assert_int_equal(set->circuit->states.n, 1);
    assert_int_equal(law->ports, 4);
    near_rel(law->heat, 52 * pow(2, 0.6), 1e-9, "J/K");
    assert_string_equal(capacitor_can(set_find(set, "C2")), "twin");
    assert_non_null(rating(set, "twin", MEASURE_TEMPERATURE, false));
    assert_non_null(element(set, "C1", "warming"));
    assert_non_null(element(set, "C2", "series heat"));
    assert_int_equal(elements_of(set, "twin"), 0);
    set = good("C1: {is: capacitor, across: [a, '0'], value: 8 uF, make: dry}\n"
               "C2: {is: capacitor, across: [b, '0'], value: 8 uF, make: dry, can: C1}\n");
    assert_string_equal(capacitor_can(set_find(set, "C2")), "C1");
    assert_int_equal(set->circuit->devices.n, 1);
}

static void what_others_ask(void **state)
{
    (void)state;
    struct set *set =
        good(DRY "condition: leaky, leakage: 10 kohm, leakage grows: 3 times by 60 C, "
                 "value now: 3 uF, series resistance now: 40 ohm, "
                 "thermal resistance: 20 K/W, breakdown: 400 V, breakdown resistance: "
                 "500 ohm}\n");
    const struct part *c = set_find(set, "C1");
    near_rel(capacitor_farads(c), 3e-6, 1e-12, "F");
    near_rel(capacitor_series(c), 40, 1e-12, "ohm");
    near_rel(capacitor_leaks(c, 300, 298.15), 0.03, 1e-12, "A");
    near_rel(capacitor_leaks(c, 300, 338.15), 0.09, 1e-9, "A");
    near_rel(capacitor_leaks(c, 450, 298.15), 0.045 + 0.1, 1e-9, "A");
    near_rel(capacitor_leak_most(c, 300), 40 / log(3) / (exp(1) * 20 * 300), 1e-9, "A");
    set = good(C1 "make: modern, condition: open}\n");
    near_abs(capacitor_leaks(set_find(set, "C1"), 300, 298.15), 0, 0, "A");
    near_abs(capacitor_farads(set_find(set, "C1")), 0, 0, "F");
    assert_true(isinf(capacitor_series(set_find(set, "C1"))));
    set = good(C1 "make: modern, leakage: 1 Mohm, condition: shorted, short resistance: 3 ohm}\n");
    near_rel(capacitor_leaks(set_find(set, "C1"), 300, 298.15), 100, 1e-5, "A");
    assert_null(capacitor_can(set_find(set, "C1")));
    assert_true(isinf(capacitor_leak_most(set_find(set, "C1"), 300)));
}

/* IEC 60384-4, from memory: 1.15 times the rated volts up to 315 V, 1.10 times above; 525 V for old
 * parts of 450 V, from memory; a film capacitor has none beyond its working volts. */
static void surge_volts_by_make(void **state)
{
    static const struct {
        const char *make, *rated;
        double surge;
    } rows[] = {{"modern", "250 V", 1.15 * 250}, {"modern", "315 V", 1.15 * 315},
                {"modern", "350 V", 1.10 * 350}, {"modern", "450 V", 1.10 * 450},
                {"dry", "450 V", 525},           {"film", "400 V", 400}};
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        struct set *set = good(arena_printf(
            arena, "C1: {is: capacitor, across: [a, b], value: 8 uF, rated: %s, make: %s}\n",
            rows[k].rated, rows[k].make));
        near_rel(limit_of(set, "C1", MEASURE_HIGHEST_VOLTAGE), rows[k].surge, 1e-12, "V");
    }
    struct set *set = good(C1 "make: modern, surge: 475 V}\n");
    near_rel(limit_of(set, "C1", MEASURE_HIGHEST_VOLTAGE), 475, 1e-12, "V");
}

/* --- mistakes ------------------------------------------------------------------------------- */

/* The text is wrong, and one message with its hint hold these words. */
static void hinted(const char *text, const char *words, const char *hint)
{
    bad(text, words);
    for (int i = 0; i < diags_count(diags); i++)
        if (diags_at(diags, i)->hint && strstr(diags_at(diags, i)->hint, hint)) return;
    diags_print(diags, stderr);
    fail_msg("no hint holds `%s`", hint);
}

static void mistakes(void **state)
{
    (void)state;
    hinted(DRY "condition: breaks down}\n", "needs its `breakdown`", "breakdown: 380 V");
    hinted(DRY "condition: shorts at a time}\n", "needs `shorts at`", "shorts at: 20 s");
    hinted(DRY "condition: leaky}\n", "needs its leakage", "50 times limit");
    hinted(DRY "breakdown: 380 V}\n", "`breakdown` is given without a condition",
           "condition: breaks down");
    hinted(DRY "breakdown resistance: 1 kohm}\n", "is given without a condition", "breaks down");
    hinted(DRY "value now: 2 uF}\n", "`value now` is given without a condition", "dried out");
    hinted(DRY "reverse threshold: 2 V}\n", "is given without a condition", "reversed");
    hinted(DRY "short resistance: 2 ohm}\n", "`short resistance` is given without", "shorted");
    good(DRY "shorts at: 20 s, short resistance: 2 ohm}\n");
    hinted(DRY "shorts at temperature: 85}\n", "`85` has no unit", "85 C");
    bad(DRY "shorts at temperature: 85 V}\n", "`85 V` is in volts");
    bad(DRY "shorts at temperature: 10 C}\n", "must be at least 25 C");
    hinted(DRY "shorts at: 20}\n", "`20` has no unit", "20 s");
    bad(DRY "shorts at: 0 s}\n", "must be at least");
    bad(DRY "shorts at: 20 s, shorts at temperature: 85 C}\n", "either at a time or at a temp");
    hinted(DRY "condition: breaks down, breakdown: 380}\n", "`380` has no unit", "380 V");
    hinted(C1 "forming: 500 V}\n", "`forming` is of a wet capacitor", "make: wet");
    bad(C1 "forming resistance: 500 ohm}\n", "`forming resistance` is of a wet capacitor");
    bad(C1 "make: film, condition: reversed}\n", "a film capacitor has no plus and minus");
    bad(DRY "condition: reversd}\n", "`reversd`");
    bad("R1: {is: resistor, across: [a, b], resistance: 1 kohm}\n" DRY "can: R1}\n",
        "`R1` is no can, it is a resistor");
    bad("C2: {is: capacitor, across: [a, b], value: 8 uF, can: twin}\n" DRY "can: C2}\n",
        "C2 sits in the can `twin` itself");
    const char *five = "";
    for (int k = 0; k < 5; k++)
        five = arena_printf(
            arena, "%sC%d: {is: capacitor, across: [a, b], value: 8 uF, make: dry, can: five}\n",
            five, k);
    bad(five, "has 5 sections; at most 4");
    bad(DRY "thermal resistance: 0 K/W}\n", "must be at least");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(leakage_in_limits), TEST(leakage_grows),
        TEST(breaks_down),       TEST(reversed),
        TEST(wet_ones_clamp),    TEST(shorts_by_itself),
        TEST(shorts_when_hot),   TEST(sound_cans_are_left_out),
        TEST(size_of_a_can),     TEST(sections_share_a_can),
        TEST(what_others_ask),   TEST(surge_volts_by_make),
        TEST(mistakes),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
