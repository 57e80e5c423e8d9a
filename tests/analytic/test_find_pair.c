/* SPDX-License-Identifier: GPL-3.0-or-later */
/* find-value for two values at once against Ohm's and Kirchhoff's laws: two droppers in a row whose
 * currents are known, so that both resistors are known exactly. Sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "find_pair.h"
#include "near.h"
#include "shop.h"

static struct arena *arena;
static struct diags *diags;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    diags = diags_new(arena);
    return bad;
}

/* 300 V, R1 to plates, R2 from there to screens; at both points what `loads` says. A load has 1
 * Gohm across it, up to 2e-5 of its current here. */
static const struct scenario *droppers(const char *loads)
{
    static const char film[] =
        "rated: 350 V, leakage: none, series resistance: 0.1 ohm, make: film";
    return shop_scenario(
        arena_printf(arena,
                     "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"
                     "  B1: {is: battery, across: [A, B-], voltage: 300 V, resistance: 0 ohm}\n"
                     "  R1: {is: resistor, across: [A, plates], resistance: unknown}\n"
                     "  R2: {is: resistor, across: [plates, screens], resistance: 500 ohm}\n"
                     "  C1: {is: capacitor, across: [plates, B-], value: 1 uF, %s}\n"
                     "  C2: {is: capacitor, across: [screens, B-], value: 1 uF, %s}\n%s",
                     film, film, loads));
}

static const char currents[] = "  V1: {is: load, across: [plates, B-], draws: 30 mA, like: "
                               "constant current, heated by: always "
                               "hot}\n"
                               "  V2: {is: load, across: [screens, B-], draws: 20 mA, like: "
                               "constant current, heated by: always "
                               "hot}\n";

static const char resistors[] = "  R3: {is: resistor, across: [plates, B-], resistance: 10 kohm}\n"
                                "  R4: {is: resistor, across: [screens, B-], resistance: 5 kohm}\n";

struct question {
    struct changed changed[2];
    struct wish wishes[2];
};

static const struct finding *find(const struct scenario *s, const char *first, const char *second,
                                  const char *one, const char *other, int jobs)
{
    struct question *q = ARENA_NEW(arena, struct question);
    struct find_options o = {.jobs = jobs};
    assert_true(wish_parse_changed(arena, diags, s, NULL, first, &q->changed[0]));
    assert_true(wish_parse_changed(arena, diags, s, NULL, second, &q->changed[1]));
    assert_true(wish_parse(arena, diags, one, &q->wishes[0]));
    assert_true(wish_parse(arena, diags, other, &q->wishes[1]));
    const struct finding *f = find_pair(arena, diags, s, NULL, q->changed, q->wishes, &o);
    if (f->status != STATUS_OK) print_error("%s\n", f->failure.message);
    assert_int_equal(f->status, STATUS_OK);
    return f;
}

/* R1 = (300 V - 253 V) / 50 mA, R2 = (253 V - 200 V) / 20 mA. */
static void known_currents(void **state)
{
    (void)state;
    const struct scenario *s = droppers(currents);
    const struct finding *f =
        find(s, "R1.resistance", "R2.resistance", "plates settled-voltage = 253 V",
             "screens settled-voltage = 200 V", 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], 940, 2e-5, "ohm");
    near_rel(f->exact.value[1], 2650, 2e-5, "ohm");
    near_rel(f->exact.figure[0], 253, 1e-6, "V");
    near_rel(f->exact.figure[1], 200, 1e-6, "V");
    /* of 910 or 1000 ohm with 2.4 or 2.7 kohm, 254.5 V and 200.5 V is the least off */
    assert_true(f->best >= 0);
    near_rel(f->near[f->best].value[0], 910, 1e-9, "ohm");
    near_rel(f->near[f->best].value[1], 2700, 1e-9, "ohm");
    near_rel(f->near[f->best].figure[1], 300 - 0.05 * 910 - 0.02 * 2700, 1e-5, "V");
    near_rel(run_figure(f->near[f->best].trial->run, "R1", MEASURE_DISSIPATION)->value, 2.275, 1e-4,
             "W");
    /* a quarter more load: 62.5 mA and 25 mA */
    assert_int_equal(f->load_count, FIND_LOADS);
    near_rel(f->loads[2].figure[0], 300 - 0.0625 * 910, 1e-5, "V");
    near_rel(f->loads[2].figure[1], 300 - 0.0625 * 910 - 0.025 * 2700, 1e-5, "V");

    /* keys and wishes the other way round; other threads: nothing is different but the order */
    const struct finding *g =
        find(s, "R2.resistance", "R1.resistance", "screens settled-voltage = 200 V",
             "plates settled-voltage = 253 V", 1);
    near_rel(g->exact.value[0], 2650, 2e-5, "ohm");
    near_rel(g->exact.value[1], 940, 2e-5, "ohm");
    g = find(s, "R1.resistance", "R2.resistance", "plates settled-voltage = 253 V",
             "screens settled-voltage = 200 V", 1);
    assert_true(g->exact.value[0] == f->exact.value[0] && g->exact.value[1] == f->exact.value[1]);
    assert_int_equal(g->iterations, f->iterations);
}

/* 22 mA in 10 kohm at 220 V and 30 mA in 5 kohm at 150 V: R1 = 80 V / 52 mA, R2 = 70 V / 30 mA. */
static void known_resistors(void **state)
{
    (void)state;
    const struct finding *f =
        find(droppers(resistors), "R1.resistance=100ohm..20kohm", "R2.resistance",
             "plates settled-voltage = 220 V", "screens settled-voltage = 150 V", 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], 80 / 0.052, 1e-5, "ohm");
    near_rel(f->exact.value[1], 70 / 0.030, 1e-5, "ohm");
    assert_int_equal(f->load_count, 0);
}

/* The borders are (300 V - 249 V) / 50 mA and (249 V - 201 V) / 20 mA. */
static void limits(void **state)
{
    (void)state;
    const struct scenario *s = droppers(currents);
    const struct finding *f =
        find(s, "R1.resistance", "R2.resistance", "plates settled-voltage > 249 V",
             "screens settled-voltage < 201 V", 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], 1020, 2e-5, "ohm");
    near_rel(f->exact.value[1], 2400, 2e-5, "ohm");
    /* 1 kohm with 2.7 kohm: 250 V and 196 V; 1 kohm with 2.4 kohm would give 202 V */
    assert_true(f->best >= 0);
    near_rel(f->near[f->best].value[0], 1000, 1e-9, "ohm");
    near_rel(f->near[f->best].value[1], 2700, 1e-9, "ohm");

    /* wanted just so: 250 V is nearer than the 245 V of 1.1 kohm with 2.4 kohm, whose 197 V are
     * nearer to the limit */
    f = find(s, "R1.resistance", "R2.resistance", "plates settled-voltage = 249 V",
             "screens settled-voltage < 201 V", 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    assert_true(f->best >= 0);
    near_rel(f->near[f->best].value[0], 1000, 1e-9, "ohm");
    near_rel(f->near[f->best].value[1], 2700, 1e-9, "ohm");

    f = find(s, "R1.resistance=100ohm..200ohm", "R2.resistance=100ohm..200ohm",
             "plates settled-voltage > 200 V", "screens settled-voltage > 200 V", 2);
    assert_int_equal(f->outcome, FIND_ANY);
}

static void out_of_reach(void **state)
{
    (void)state;
    const struct scenario *s = droppers(currents);
    const char *first = "R1.resistance=100ohm..2kohm", *second = "R2.resistance=100ohm..2kohm";
    const struct finding *f = find(s, first, second, "plates settled-voltage = 250 V",
                                   "screens settled-voltage = 260 V", 2);
    assert_int_equal(f->outcome, FIND_NEVER);
    near_rel(f->least[0].figure[0], 300 - 0.05 * 2000, 1e-4, "V");
    near_rel(f->most[0].figure[0], 300 - 0.05 * 100, 1e-4, "V");
    near_rel(f->least[1].figure[1], 300 - 0.05 * 2000 - 0.02 * 2000, 1e-4, "V");
    /* where R1 gives 250 V, R2 takes 2 V to 40 V more */
    near_rel(f->most_beside, 248, 1e-3, "V");
    near_rel(f->least_beside, 210, 1e-3, "V");

    f = find(s, first, second, "plates settled-voltage = 350 V", "screens settled-voltage = 260 V",
             2);
    assert_int_equal(f->outcome, FIND_NEVER);
    assert_true(isnan(f->most_beside));

    int before = diags_count(diags);
    f = find(s, first, second, "plates settled-voltage = 250 V", "screens setled-voltage = 200 V",
             2);
    assert_int_equal(f->outcome, FIND_UNKNOWN);
    assert_non_null(strstr(diags_at(diags, before)->message, "no figure `setled-voltage`"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_currents),
        cmocka_unit_test(known_resistors),
        cmocka_unit_test(limits),
        cmocka_unit_test(out_of_reach),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
