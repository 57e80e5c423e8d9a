/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Uncertain values: what is found in a scenario, with which range and in which company; that a
 * tolerance of the user's wins; and that every shipped scenario can be set up at both ends and in
 * the middle of all its ranges. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "shipped.h"
#include "shop.h"
#include "uncertain.h"

static const char text[] =
    "format: 1\nmains: {voltage: 117 V +-5 %, frequency: 60 Hz, resistance: 0.5 ohm}\n"
    "parts:\n"
    "  T1:\n"
    "    is: power transformer\n"
    "    primary: {rated: 117 V, resistance: 8 ohm exact}\n"
    "    windings:\n"
    "      high voltage: {across: [p, chassis, q], open circuit: [328 V, 330 V], resistance: 240 "
    "ohm}\n"
    "    mass: 2 kg\n"
    "  V1: {is: rectifier, type: 5Y3-GT, plates: [p, q], cathode: B+, heated by: always hot}\n"
    "  C1: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V, make: modern}\n"
    "  C2: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V, make: modern}\n"
    "  C3: {is: capacitor, across: [B+, chassis], value: 8 uF -10/+30 %, rated: 450 V}\n"
    "  C4: {is: capacitor, across: [B+, chassis], value: 4 uF, rated: 450 V, make: dry}\n"
    "  C5: {is: capacitor, across: [B+, chassis], value: 16 uF, rated: 450 V, make: dry,\n"
    "       tolerance: {series resistance: 50 %}, series resistance: 5 ohm}\n"
    "  R1: {is: resistor, across: [B+, chassis], resistance: 20 kohm, rated: 5 W, tolerance: "
    "gold}\n"
    "  R2: {is: resistor, across: [B+, chassis], resistance: 47 kohm, rated: 5 W}\n"
    "  tubes: {is: load, across: [B+, chassis], draws: 60 mA at 225 V, heated by: always hot}\n";

static struct uncertain_list list_of(const struct scenario *s)
{
    struct diags *diags = diags_new(shop_arena());
    const struct setup *setup = scenario_setup(shop_arena(), diags, s, NULL);
    assert_non_null(setup);
    return uncertain_of(shop_arena(), s, NULL, setup);
}

static const struct uncertain *find(const struct uncertain_list *list, const char *part,
                                    const char *key)
{
    for (int i = 0; i < list->values.n; i++)
        if (strcmp(list->values.at[i].part, part) == 0 && strcmp(list->values.at[i].key, key) == 0)
            return &list->values.at[i];
    return NULL;
}

static void check(const struct uncertain_list *list, const char *part, const char *key, double low,
                  double high, enum uncertain_from from)
{
    const struct uncertain *v = find(list, part, key);
    if (!v) fail_msg("%s.%s is not uncertain", part, key);
    near_rel(v->low, low, 1e-12, quantity_symbol(v->unit));
    near_rel(v->high, high, 1e-12, quantity_symbol(v->unit));
    assert_int_equal(v->from, from);
    assert_true(v->source && v->source[0]);
}

static void what_is_found(void **state)
{
    (void)state;
    struct uncertain_list list = list_of(shop_scenario(text));
    check(&list, "mains", "voltage", 117 * 0.95, 117 * 1.05, UNCERTAIN_STATED);
    check(&list, "T1", "windings.high voltage.open circuit", 328 * 0.97, 328 * 1.03,
          UNCERTAIN_READING);
    check(&list, "C1", "value", 6.4e-6, 9.6e-6, UNCERTAIN_TOLERANCE);
    check(&list, "C3", "value", 7.2e-6, 10.4e-6, UNCERTAIN_STATED);
    check(&list, "C4", "value", 3.2e-6, 8e-6, UNCERTAIN_TOLERANCE);
    check(&list, "C5", "series resistance", 2.5, 7.5, UNCERTAIN_STATED);
    check(&list, "R1", "resistance", 19e3, 21e3, UNCERTAIN_STATED);
    check(&list, "R2", "resistance", 42.3e3, 51.7e3, UNCERTAIN_TOLERANCE);
    check(&list, "tubes", "draws", 48e-3, 72e-3, UNCERTAIN_READING);
    assert_int_equal(find(&list, "T1", "core loss")->from, UNCERTAIN_GUESS);
    assert_int_equal(find(&list, "C4", "value")->spread, SPREAD_LOG);
    assert_null(find(&list, "T1", "primary.resistance")); /* exact */
    assert_null(find(&list, "mains", "resistance"));      /* typed */
    assert_null(find(&list, "T1", "mass"));
    assert_null(find(&list, "C1", "rated"));
    assert_null(find(&list, "C1", "leakage")); /* laid, it would be a bleeder */
}

static void what_moves_together(void **state)
{
    (void)state;
    struct uncertain_list list = list_of(shop_scenario(text));
    const struct uncertain *c1 = find(&list, "C1", "value"), *c2 = find(&list, "C2", "value"),
                           *c3 = find(&list, "C3", "value"), *c4 = find(&list, "C4", "value"),
                           *c5 = find(&list, "C5", "value");
    assert_int_equal(c1->group, c2->group); /* bought together */
    assert_int_not_equal(c1->group, c3->group);
    assert_int_equal(c4->group, c5->group); /* one make and age */
    assert_int_not_equal(c1->group, c4->group);
    assert_int_equal(list.groups.at[c1->group].together, TOGETHER_BATCH);
    assert_int_equal(list.groups.at[c1->group].n, 2);
    assert_string_equal(list.groups.at[c1->group].key, "C1.value, C2.value");
    assert_int_equal(list.groups.at[c4->group].together, TOGETHER_AGE);
    double u[64] = {0}, values[64];
    u[c1->group] = 0.25;
    u[c4->group] = 0.5;
    uncertain_values(&list, u, values);
    near_rel(values[c1 - list.values.at], 7.2e-6, 1e-12, "F");
    near_rel(values[c2 - list.values.at], 7.2e-6, 1e-12, "F");
    near_rel(values[c4 - list.values.at], 4e-6 * sqrt(0.8 * 2), 1e-12, "F");
    near_rel(values[c5 - list.values.at], 16e-6 * sqrt(0.8 * 2), 1e-12, "F");
}

static void lines(void **state)
{
    (void)state;
    static const struct {
        const char *mains;
        double low, high;
    } rows[] = {{"{voltage: 121 V, frequency: 60 Hz}", 114, 126},
                {"{voltage: 220 V, frequency: 50 Hz}", 207, 253},
                {"{voltage: 60 V, frequency: 60 Hz}", 58.2, 61.8},
                {"{voltage: 117 V +-3 V, frequency: 60 Hz}", 114, 120},
                {"{voltage: 117 V, frequency: 60 Hz, tolerance: 10 %}", 105.3, 128.7}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char scenario[400];
        snprintf(scenario, sizeof scenario,
                 "format: 1\nmains: %s\nparts:\n"
                 "  R1: {is: resistor, across: [line, neutral], resistance: 1 kohm exact}\n",
                 rows[i].mains);
        struct uncertain_list list = list_of(shop_scenario(scenario));
        const struct uncertain *v = find(&list, "mains", "voltage");
        assert_non_null(v);
        near_rel(v->low, rows[i].low, 1e-12, "V");
        near_rel(v->high, rows[i].high, 1e-12, "V");
        assert_null(find(&list, "R1", "resistance"));
    }
}

static const struct setup *laid(const struct scenario *s, const struct uncertain_list *list,
                                const double *values)
{
    struct overrides o = overrides_new(shop_arena());
    struct diags *diags = diags_new(shop_arena());
    uncertain_lay_all(&o, list, values);
    const struct setup *setup = overrides_setup(&o, diags, s, NULL, "laid");
    if (!setup) diags_print(diags, stderr);
    return setup;
}

/* The other words and the other half stay beside a value. */
static void what_is_laid(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(text);
    struct uncertain_list list = list_of(s);
    double u[64], values[64];
    for (int g = 0; g < list.groups.n; g++) u[g] = 1;
    uncertain_values(&list, u, values);
    const struct setup *setup = laid(s, &list, values);
    assert_non_null(setup);
    near_rel(setup->stages.at[0].set->line_volts, 117 * 1.05, 1e-11, "V");
    const struct part *t1 = set_find(setup->stages.at[0].set, "T1"),
                      *load = set_find(setup->stages.at[0].set, "tubes");
    const struct node *open =
        node_get(node_get(node_get(t1->map, "windings"), "high voltage"), "open circuit");
    assert_int_equal(open->n, 2);
    assert_string_equal(open->items[0]->text, "337.84 V");
    assert_string_equal(open->items[1]->text, "339.9 V");
    assert_string_equal(node_get(load->map, "draws")->text, "72 mA at 225 V");
}

/* What was assumed is assumed no longer once it is laid. */
static void guesses_are_replaced(const struct uncertain_list *list, const struct setup *setup)
{
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < list->values.n; i++) {
        const struct uncertain *v = &list->values.at[i];
        for (int k = 0; k < set->assumptions.n; k++)
            if (strcmp(set->assumptions.at[k].part, v->part) == 0 &&
                strcmp(set->assumptions.at[k].key, v->key) == 0)
                fail_msg("%s.%s is still assumed", v->part, v->key);
    }
}

static void shipped_scenarios(void **state)
{
    (void)state;
    int n;
    const char *const *names = shipped_names(shop_arena(), &n);
    assert_true(n > 10);
    for (int i = 0; i < n; i++) {
        const struct scenario *s = shipped_scenario(shop_arena(), names[i]);
        struct uncertain_list list = list_of(s);
        double *u = ARENA_ARRAY(shop_arena(), double, list.groups.n),
               *values = ARENA_ARRAY(shop_arena(), double, list.values.n);
        assert_true(list.groups.n >= 8);
        for (int k = 0; k < 3; k++) {
            for (int g = 0; g < list.groups.n; g++) u[g] = k / 2.0;
            uncertain_values(&list, u, values);
            const struct setup *setup = laid(s, &list, values);
            if (!setup) fail_msg("%s cannot be set up at u = %g", names[i], k / 2.0);
            guesses_are_replaced(&list, setup);
        }
    }
}

/* Against sums over many quantiles. */
static void moments_of_spreads(void **state)
{
    (void)state;
    const struct uncertain spreads[] = {{.low = 0.8, .high = 2, .spread = SPREAD_LOG},
                                        {.low = -3, .high = 5, .spread = SPREAD_EVEN}};
    for (int k = 0; k < 2; k++) {
        enum { N = 100000 };
        double sum = 0, squares = 0;
        for (int i = 0; i < N; i++) {
            double v = uncertain_quantile(&spreads[k], (i + 0.5) / N);
            sum += v;
            squares += v * v;
        }
        double mean = sum / N;
        near_rel(uncertain_mean(&spreads[k]), mean, 1e-8, "");
        near_rel(uncertain_deviation(&spreads[k]), sqrt(squares / N - mean * mean), 1e-6, "");
    }
}

static void wrong_tolerances(void **state)
{
    (void)state;
#define SET(r1)                                                                                    \
    "format: 1\nmains: {voltage: 117 V, frequency: 60 Hz}\nparts:\n"                               \
    "  R1: {is: resistor, across: [line, neutral], " r1 "}\n"
    shop_refused(SET("resistance: 1 kohm, tolerance: 5"), "no tolerance");
    shop_refused(SET("resistance: 1 kohm +-5 furlongs"), "no tolerance");
    shop_refused(SET("resistance: 1 kohm, tolerance: {resistence: 5 %}"), "has no key");
    shop_refused(SET("resistance: 1 kohm, tolerance: [5 %]"), "`tolerance` takes");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_found),
        cmocka_unit_test(what_moves_together),
        cmocka_unit_test(lines),
        cmocka_unit_test(what_is_laid),
        cmocka_unit_test(shipped_scenarios),
        cmocka_unit_test(moments_of_spreads),
        cmocka_unit_test(wrong_tolerances),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
