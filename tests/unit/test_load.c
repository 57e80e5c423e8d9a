/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a load draws, from every way of telling it, and the tubes that let it draw. */
#include "kinds.h"
#include "kinds_fixture.h"
#include "laws.h"

static const struct load_law *law_of(const struct set *set)
{
    for (int i = 0; i < set->circuit->devices.n; i++)
        if (set->circuit->devices.at[i].law == &law_load) return set->circuit->devices.at[i].par;
    fail_msg("no load law");
    return NULL;
}

static void draws_from_the_chart(void **state)
{
    struct set *set = good("tubes: {is: load, across: [B+, chassis], draws: 64 mA at 255 V}\n");
    const struct element *e = element(set, "tubes", "load");
    (void)state;
    assert_int_equal(law_of(set)->kind, LOAD_TUBES);
    near_rel(law_of(set)->amperes, 0.064, 1e-14, "A");
    near_rel(law_of(set)->volts, 255, 1e-14, "V");
    assert_int_equal(law_of(set)->tubes, 0);
    assert_int_equal(e->kind, ELEMENT_PORT);
    near_rel(e->value, 1e9, 1e-14, "ohm");
    assert_string_equal(set->circuit->points.at[e->from], "B+");
    assert_true(assumed(set, "tubes", "heated by")->guess);
    assert_non_null(probe_of(set, "tubes", PROBE_CURRENT));
    near_rel(load_watts(set->parts.at[0]), 0.064 * 255, 1e-14, "W");
    set = good(
        "tubes: {is: load, across: [B+, chassis], draws: 64 mA at 255 V, heated by: always hot}\n");
    assert_null(assumed(set, "tubes", "heated by"));
}

static void other_ways_of_drawing(void **state)
{
    struct set *set = good("L: {is: load, across: [B+, chassis], draws: 64 mA}\n");
    (void)state;
    assert_int_equal(law_of(set)->kind, LOAD_CURRENT);
    set = good(
        "L: {is: load, across: [B+, chassis], draws: 64 mA at 255 V, like: constant current}\n");
    assert_int_equal(law_of(set)->kind, LOAD_CURRENT);
    near_rel(law_of(set)->volts, 255, 1e-14, "V");
    set = good("L: {is: load, across: [B+, chassis], resistance: 5 kohm}\n");
    near_rel(value_of(set, "L", "load"), 5000, 1e-12, "ohm");
    assert_int_equal(element(set, "L", "load")->kind, ELEMENT_RESISTOR);
    assert_null(assumed(set, "L", "heated by"));
    set = good("L: {is: load, across: [B+, chassis], draws: 50 mA at 250 V, like: resistance}\n");
    near_rel(value_of(set, "L", "load"), 5000, 1e-12, "ohm");
}

static void drop_over_known_ohms(void **state)
{
    struct set *set =
        good("L1: {is: field coil, across: [B1, B+], inductance: 10 H, resistance: 1500 ohm}\n"
             "R1: {is: resistor, across: [B+, B2], resistance: 300 ohm}\n"
             "tubes: {is: load, across: [B2, chassis], draws: {drop: 108 V, over: [L1, R1], at: "
             "255 V}}\n");
    (void)state;
    near_rel(law_of(set)->amperes, 108.0 / 1800, 1e-12, "A");
    near_rel(law_of(set)->volts, 255, 1e-14, "V");
    assert_int_equal(law_of(set)->kind, LOAD_TUBES);
    set = good("tubes: {is: load, across: [B2, chassis], draws: {drop: 9 V, over: 150 ohm}}\n");
    near_rel(law_of(set)->amperes, 0.06, 1e-12, "A");
    /* a coil told cold has warmed when its drop is read */
    set = good(
        "L1: {is: field coil, across: [B1, B+], inductance: 10 H, resistance: 1500 ohm cold, "
        "rated: 6 W}\n"
        "tubes: {is: load, across: [B+, chassis], draws: {drop: 108 V, over: L1, at: 255 V}}\n");
    near_rel(law_of(set)->amperes, 108 / coil_hot_ohms(1500, 6, 108), 1e-12, "A");
    assert_true(law_of(set)->amperes < 108.0 / 1500 / 1.1);
}

#define HEATERS                                                                                    \
    "T1:\n"                                                                                        \
    "  is: power transformer\n"                                                                    \
    "  ideal: yes\n"                                                                               \
    "  primary: {rated: 120 V, resistance: 8 ohm}\n"                                               \
    "  windings: {heaters: {across: [h, chassis], open circuit: 6.7 V, resistance: 0.1 ohm}}\n"

/* 6A8-G 10.2 mA, 6K7-G, 6Q7-G with 0.3 A, 6F6-G with 0.7 A: two heaters that differ. */
static void lineup_on_a_winding(void **state)
{
    struct set *set =
        good(HEATERS "tubes: {is: load, across: [B+, chassis], draws: 56 mA at 255 V,\n"
                     "  lineup: [6A8-G, 6K7-G, 6Q7-G, 6F6-G], heated by: heaters}\n");
    const struct load_law *law = law_of(set);
    (void)state;
    assert_int_equal(law->tubes, 2);
    near_rel(law->weight[0] + law->weight[1], 1, 1e-14, "");
    assert_true(law->weight[1] > 0.5); /* the output tube draws most */
    near_rel(value_of(set, "tubes.heaters", "6.3 V 0.3 A indirect 18 s base"), 21.0 / 3, 1e-12,
             "ohm");
    near_rel(value_of(set, "tubes.heaters", "6.3 V 0.7 A indirect 18 s base"), 9, 1e-12, "ohm");
    near_rel(limit_of(set, "tubes.heaters", "rms-voltage"), 1.1 * 6.3, 1e-12, "V");
    assert_int_equal(set->circuit->states.n, 4);
    assert_non_null(assumed(set, "tubes", "warm-up"));
}

static void lineup_tells_what_it_draws(void **state)
{
    struct set *set = good(
        HEATERS
        "tubes: {is: load, across: [B+, chassis], lineup: [6A8-G, 6A8-G], heated by: heaters}\n");
    const struct assumption *a = assumed(set, "tubes", "draws");
    (void)state;
    near_rel(law_of(set)->amperes, 2 * 0.0102, 1e-12, "A");
    near_rel(law_of(set)->volts, 250, 1e-12, "V");
    assert_true(a->guess && a->low < a->value && a->high > a->value);
    assert_int_equal(law_of(set)->tubes, 1);
}

/* Heater parts go before the winding: each tube its own body, weighted by its type. */
static void lineup_in_a_string(void **state)
{
    struct set *set = good(
        "H1: {is: heater, across: [a, b], tube: 12SA7, of: tubes}\n"
        "H2: {is: heater, across: [b, c], rated: 50 V 0.15 A, of: tubes}\n"
        "tubes: {is: load, across: [B+, b], draws: 55 mA at 95 V, lineup: [12SA7, 50L6-GT]}\n");
    const struct load_law *law = law_of(set);
    (void)state;
    assert_int_equal(law->tubes, 2);
    assert_true(law->weight[1] > 0);
    near_rel(law->weight[0] + law->weight[1], 1, 1e-14, "");
    assert_null(assumed(set, "tubes", "heated by"));
    assert_null(probe_of(set, "tubes.heaters", PROBE_VOLTAGE));
}

static void failing_loads(void **state)
{
    struct set *set =
        good("L: {is: load, across: [B+, chassis], draws: 64 mA at 255 V, condition: shorted}\n");
    (void)state;
    near_rel(value_of(set, "L", "short"), 1, 1e-14, "ohm");
    assert_true(assumed(set, "L", "short resistance")->guess);
    set = good(HEATERS
               "L: {is: load, across: [B+, chassis], draws: 64 mA at 255 V, condition: open,\n"
               "  lineup: [6F6-G], heated by: heaters}\n");
    assert_int_equal(elements_of(set, "L"), 0);
    assert_int_equal(elements_of(set, "L.heaters"), 2);
}

#define LOAD "L: {is: load, across: [B+, chassis]"

static void mistakes_are_told(void **state)
{
    (void)state;
    bad(LOAD "}\n", "nothing tells what it draws");
    bad(LOAD ", draws: 64 mA at 0.2 A}\n", "what it draws is not understood");
    bad(LOAD ", draws: 255 V}\n", "what it draws is not understood");
    bad(LOAD ", draws: 64 mA, like: tubes}\n", "volts that belong to its current are missing");
    bad(LOAD ", draws: 64 mA, resistance: 5 kohm}\n", "exclude each other");
    bad(LOAD ", resistance: 5 kohm, like: tubes}\n", "like a resistance");
    bad(LOAD ", draws: 64 mA, lineup: [6A88-G]}\n", "no tube `6A88-G`");
    bad(LOAD ", draws: 64 mA, lineup: [5Y3-GT]}\n", "`5Y3-GT` is a rectifier");
    bad(LOAD ", draws: 64 mA, heated by: heaters}\n", "needs to know its tubes");
    bad(LOAD ", draws: 64 mA, lineup: [6A8-G], heated by: heaters}\n",
        "there is no winding `heaters`");
    bad(LOAD ", draws: {drop: 108 V}}\n", "`over` of L is missing");
    bad(LOAD ", draws: {drop: 108 V, over: L9}}\n", "no part `L9` with a resistance");
    bad(LOAD ", draws: {drop: 108 V, over: 0 ohm}}\n", "above zero");
    bad(LOAD ", draws: {drops: 108 V, over: 10 ohm}}\n", "drops");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(draws_from_the_chart), TEST(other_ways_of_drawing),      TEST(drop_over_known_ohms),
        TEST(lineup_on_a_winding),  TEST(lineup_tells_what_it_draws), TEST(lineup_in_a_string),
        TEST(failing_loads),        TEST(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
