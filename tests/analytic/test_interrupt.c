/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run ends when its caller is asked and says so, wherever that is: counted in calls, not in
 * seconds. The circuits are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "ladder.h"
#include "near.h"
#include "shop.h"
#include "steady.h"

enum { SECTIONS = 100, LONG = 200, PLACES = 50 }; /* RC sections */

#define END 0.05 /* [s] of a run */

struct asked {
    long calls, stop_at; /* 0: never */
    double done;
};

static int ask(void *context, double done)
{
    struct asked *a = context;
    assert_true(done >= a->done && done <= 1);
    a->done = done;
    return ++a->calls == a->stop_at;
}

static const struct result *run(const struct setup *setup, struct asked *asked)
{
    struct run_options o = run_defaults();
    o.no_bleed = true;
    o.duration = END;
    o.progress = ask;
    o.progress_context = asked;
    return run_simulate(shop_arena(), setup, &o);
}

static void anywhere(void **state)
{
    const struct setup *setup = ladder_setup(shop_arena(), SECTIONS);
    struct asked whole = {0};
    (void)state;
    const struct result *r = run(setup, &whole);
    assert_int_equal(r->status, STATUS_OK);
    assert_true(whole.calls >= 5 * 3); /* often within each of three periods */
    srand(1);
    for (int k = 0; k < PLACES; k++) {
        struct asked asked = {.stop_at = 1 + rand() % whole.calls};
        r = run(setup, &asked);
        assert_int_equal(r->status, STATUS_INTERRUPTED);
        assert_int_equal(asked.calls, asked.stop_at); /* and was not asked again */
        assert_true(r->end < END);
        near_abs(shop_figure(r, "set", MEASURE_INTERRUPTED_AT), r->end, 1e-12, "s");
        assert_true(r->statistics.energy_residual < 1e-5);
    }
}

/* Before the first step, while equations are reduced: of a run, and of a steady state. */
static void reduction(void **state)
{
    const struct setup *setup = ladder_setup(shop_arena(), LONG);
    (void)state;
    for (int k = 1; k <= 2; k++) {
        struct asked asked = {.stop_at = k};
        const struct result *r = run(setup, &asked);
        assert_int_equal(r->status, STATUS_INTERRUPTED);
        assert_int_equal(asked.calls, k);
        assert_true(r->statistics.steps == 0 && r->end == 0);
    }
    struct asked asked = {.stop_at = 2}; /* 1: at once, whatever the set */
    const struct steady_options o = {.progress = ask, .progress_context = &asked};
    const struct steady *d = steady_solve(shop_arena(), setup, &o);
    assert_int_equal(d->status, STATUS_INTERRUPTED);
    assert_true(asked.calls == 2 && d->cycles == 0);
}

/* Of C1, whose volts are the only ones that change. */
static void pace(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\n"
        "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 10 ohm, "
        "across: [line, B-], closes at: crest}\n"
        "run: {for: 0.1 s}\nparts:\n"
        "  R1: {is: resistor, across: [line, A], resistance: 1 kohm}\n"
        "  C1: {is: capacitor, across: [A, B-], value: 1 uF, rated: 250 V, make: film, "
        "leakage: none}\n";
    struct asked asked = {.stop_at = 3};
    struct run_pace seen = {0};
    struct run_options o = run_defaults();
    (void)state;
    o.progress = ask;
    o.progress_context = &asked;
    o.pace = &seen;
    const struct result *r = run_simulate(shop_arena(), shop_setup(text, NULL), &o);
    assert_int_equal(r->status, STATUS_INTERRUPTED);
    assert_string_equal(seen.part, "C1");
    assert_true(seen.steps >= 24 && seen.switches == 0);
    near_abs(seen.time, 3 / 60.0, 1e-9, "s");
    assert_true(seen.step > 0 && seen.step < 1 / 60.0);
}

static void worst_angle(void **state)
{
    const struct setup *setup = ladder_setup(shop_arena(), SECTIONS);
    struct asked asked = {.stop_at = 5};
    struct run_options o = run_defaults();
    (void)state;
    o.progress = ask;
    o.progress_context = &asked;
    run_worst_angle(shop_arena(), setup, &o);
    assert_int_equal(asked.calls, 5);
    assert_true(asked.done == 0);
}

static void steady(void **state)
{
    struct asked asked = {.stop_at = 3};
    const struct steady_options o = {.progress = ask, .progress_context = &asked};
    (void)state;
    const struct steady *d = steady_solve(shop_arena(), ladder_setup(shop_arena(), SECTIONS), &o);
    assert_int_equal(d->status, STATUS_INTERRUPTED);
    assert_null(d->result);
    assert_int_equal(asked.calls, 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(anywhere, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(reduction, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(pace, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(worst_angle, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(steady, shop_open, shop_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
