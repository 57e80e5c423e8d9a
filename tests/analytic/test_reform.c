/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Re-forming against the one published curve and against closed forms of its parts. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "near.h"
#include "reform.h"
#include "shop.h"

static struct reform_task old_part(double at)
{
    struct reform_task task = {.name = "C", .make = "dry", .farads = 20e-6, .rated = 450, .at = at};
    struct diags *diags = diags_new(shop_arena());
    assert_true(reform_prepare(shop_arena(), diags, shop_catalogue(), &task));
    return task;
}

static struct reform_course course(const struct reform_task *task, const struct reform_law *law,
                                   double ohms)
{
    struct reform_course c;
    assert_true(reform_run(shop_arena(), task, law, ohms, &c));
    return c;
}

/* A restorer's account: an 80-year-old 20 uF 450 V part at 350 V. The supply is taken as stiff. */
static void published_curve(void **state)
{
    static const struct {
        int k; /* of reform_times */
        double seconds, amperes;
    } rows[] = {{0, 20, 4.5e-3}, {3, 900, 1e-3}, {4, 3600, 0.12e-3}, {5, 10800, 0.05e-3}};
    (void)state;
    struct reform_task task = old_part(350);
    struct reform_course c = course(&task, &reform_specimen, 100);
    for (int i = 0; i < 4; i++) {
        near_rel(reform_times[rows[i].k], rows[i].seconds, 0, "s");
        near_rel(c.at[rows[i].k].amperes, rows[i].amperes, 0.15, "A");
    }
}

/* JAN-C-62 and a tester's table, second hand: 8, 16, 20 and 40 uF of 450 V. */
static void limits(void **state)
{
    (void)state;
    near_rel(reform_limit(8e-6, 450), 0.62e-3, 1e-9, "A");
    near_rel(reform_limit(16e-6, 450), 0.94e-3, 1e-9, "A");
    near_rel(reform_limit(20e-6, 450), 1.1e-3, 1e-9, "A");
    near_rel(reform_limit(40e-6, 450), 1.9e-3, 1e-9, "A");
    near_rel(reform_limit(20e-6, 100), 0.5e-3, 1e-9, "A");
    near_rel(reform_limit(20e-6, 250), 0.7e-3, 1e-9, "A");
    near_rel(reform_limit(20e-6, 350), 0.8e-3, 1e-9, "A");
}

/* Nothing heals and nothing grows: a resistor of 1/(a3 C) across 20 uF, charged through 470 kohm.
 */
static void charging(void **state)
{
    (void)state;
    struct reform_task task = old_part(450);
    struct reform_law law = {.a3 = 0.1, .tau1 = 1e30, .tau2 = 1e30, .vr = 1}; /* 500 kohm */
    task.growth = 0;
    struct reform_course c = course(&task, &law, 470e3);
    const double leak = 500e3, series = 470e3, end = 450 * leak / (leak + series),
                 tau = 20e-6 * leak * series / (leak + series);
    for (int k = 0; k < REFORM_TIMES; k++) {
        near_rel(c.at[k].volts, end * (1 - exp(-reform_times[k] / tau)), 1e-6, "V");
        near_rel(c.at[k].resistor_watts, pow(450 - c.at[k].volts, 2) / series, 1e-9, "W");
    }
    /* 0.9 mA at the full 450 V: within the 1.1 mA of a good part from the start */
    near_abs(c.accepted, 0, 0, "s");
    /* end^2/leak held for long, against its own warming */
    near_rel(c.at[REFORM_TIMES - 1].kelvin - task.ambient,
             end * end / leak * task.thermal_resistance, 1e-5, "K");
}

/* One kind of spots on a stiff supply at vr: i = C v a1 e^(-t/tau1), so the limit is met at tau1
 * ln(C v a1/limit); at half of vr it takes twice as long. */
static void healing(void **state)
{
    (void)state;
    const struct reform_law law = {.a1 = 0.6, .tau1 = 600, .tau2 = 1, .vr = 350.0 / 450};
    struct reform_task task = old_part(350);
    task.growth = 0;
    struct reform_course c = course(&task, &law, 1);
    near_rel(c.at[3].volts * task.farads * 0.6 * exp(-900.0 / 600), c.at[3].amperes, 1e-3, "A");
    near_rel(c.accepted, 600 * log(20e-6 * 350 * 0.6 / 1.1e-3), 1e-3, "s");
    task.at = 175;
    task.limit = 1.1e-3 / 2;
    c = course(&task, &law, 1);
    near_rel(c.accepted, 1200 * log(20e-6 * 350 * 0.6 / 1.1e-3), 1e-3, "s");
}

/* A shorted part never gets there, and its leakage alone would burn the resistor's V^2/R. */
static void never(void **state)
{
    (void)state;
    const struct reform_law law = {.a3 = 1e3, .tau1 = 1, .tau2 = 1, .vr = 1};
    struct reform_task task = old_part(350);
    struct reform_course c = course(&task, &law, 10e3);
    assert_true(isinf(c.accepted));
    near_rel(c.resistor_most, 12.25, 1e-12, "W");
    assert_true(c.at[0].volts < 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(published_curve), cmocka_unit_test(limits),
                                       cmocka_unit_test(charging), cmocka_unit_test(healing),
                                       cmocka_unit_test(never)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
