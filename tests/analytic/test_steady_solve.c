/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steady states found without a run: against closed forms, and against runs of eleven hours. The
 * circuits are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "shipped.h"
#include "shop.h"
#include "steady.h"

#define HOURS 40000.0 /* [s]: several time constants of a transformer's iron */

static const struct steady *solve(const struct setup *setup, struct steady_options o)
{
    const struct steady *d = steady_solve(shop_arena(), setup, &o);
    assert_int_equal(d->status, STATUS_OK);
    assert_false(d->result->statistics.audit_failed);
    assert_true(d->result->settled);
    return d;
}

/* 4 W in a constant resistance with 20 K/W to the room. */
static void warm_body(void **state)
{
    static const struct warm_law law = {
        .ports = 1,
        .resistance = {100},
        .reference = 298,
        .body = {.heat = 6, .to_ambient = 1.0 / 20, .ambient = 298}};
    struct handmade h = handmade_new(60);
    (void)state;
    hand_sine(&h, "S", "a", "0", sqrt(2 * 4 * 100), 0);
    hand_r(&h, "body", "a", "0", 100);
    int device = circuit_device(h.c, "body", "copper", &law_warm, &law);
    circuit_state(
        h.c, device, "T",
        (struct state){
            .cold = 298, .hot = 340, .range = 100, .is_temperature = true, .body = &law.body});
    circuit_port(h.c, device, "warming", circuit_point(h.c, "a"), circuit_point(h.c, "0"),
                 PORT_BASED);
    hand_watch(&h, "a");
    const struct setup *setup = hand_setup(&h);
    const struct steady *d = solve(setup, (struct steady_options){0}),
                        *stays = solve(setup, (struct steady_options){.bodies_stay = true});
    near_abs(hand_figure(d->result, "body", MEASURE_TEMPERATURE), 378, 1e-4, "K");
    near_abs(hand_figure(stays->result, "body", MEASURE_TEMPERATURE), 340, 0, "K");
    near_rel(hand_figure(d->result, "a", MEASURE_RMS_VOLTAGE), 20, 1e-8, "V");
    handmade_free(&h);
}

static bool settles(const struct figure *f, double end)
{
    switch (f->measure) {
    case MEASURE_SETTLED_VOLTAGE:
    case MEASURE_RMS_VOLTAGE:
    case MEASURE_RMS_CURRENT:
    case MEASURE_AVERAGE_CURRENT:
    case MEASURE_LINE_CURRENT:
    case MEASURE_LINE_POWER:
    case MEASURE_DISSIPATION: return true;
    case MEASURE_TEMPERATURE: return f->time > end / 2; /* else it was warmer while it settled */
    default: return false;
    }
}

/* Every settled figure of every shipped set. */
static void shipped(void **state)
{
    int n, compared = 0;
    const char *const *names = shipped_names(shop_arena(), &n);
    (void)state;
    for (int k = 0; k < n; k++) {
        const struct setup *setup = shipped_setup(shop_arena(), names[k], NULL);
        assert_non_null(setup);
        const struct steady *d = solve(setup, (struct steady_options){0});
        struct run_options o = run_defaults();
        o.hot = 1;
        o.duration = HOURS;
        o.no_bleed = true;
        const struct result *r = run_simulate(shop_arena(), setup, &o);
        assert_int_equal(r->status, STATUS_OK);
        for (int i = 0; i < r->figures.n; i++) {
            const struct figure *f = &r->figures.at[i], *g;
            if (!settles(f, HOURS)) continue;
            g = run_figure(d->result, f->subject, f->measure);
            assert_non_null(g);
            double off = fabs(g->value - f->value) / hand_largest(r, f);
            if (!(off <= 1e-5))
                fail_msg("%s: %s %s is %.9g, after hours %.9g", names[k], f->subject,
                         measure_table[f->measure].name, g->value, f->value);
            compared++;
        }
    }
    assert_true(compared > 500);
}

/* Begun at another one it is the same one, in fewer cycles. */
static void near_another(void **state)
{
    const struct setup *base = shipped_setup(shop_arena(), "field-coil", NULL),
                       *other = shipped_setup(shop_arena(), "field-coil", "bigger first capacitor");
    (void)state;
    const struct steady *first = solve(base, (struct steady_options){0}),
                        *far = solve(other, (struct steady_options){0}),
                        *near = solve(other, (struct steady_options){.near = first}),
                        *same = solve(base, (struct steady_options){.near = first});
    assert_true(near->cycles < far->cycles && same->cycles <= 4);
    for (int i = 0; i < far->result->figures.n; i++) {
        const struct figure *f = &far->result->figures.at[i];
        if (!settles(f, 0)) continue;
        double off = fabs(run_figure(near->result, f->subject, f->measure)->value - f->value);
        if (!(off <= 3e-6 * hand_largest(far->result, f)))
            fail_msg("%s %s: off by %g of %g", f->subject, measure_table[f->measure].name, off,
                     f->value);
    }
}

/* What a time of its own changes has been changed. */
static void long_after(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\n"
        "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: [line, B-]}\n"
        "run: {for: 5 s}\nparts:\n"
        "  R1: {is: resistor, across: [line, AC in], resistance: 30 ohm}\n"
        "  D1: {is: rectifier, type: ideal, plates: [AC in], cathode: B+}\n"
        "  C1: {is: capacitor, across: [B+, B-], value: 20 uF, rated: 200 V, make: film,"
        " leakage: none, condition: shorts at a time, shorts at: 2.5 s,"
        " short resistance: 1 ohm}\n"
        "  R2: {is: resistor, across: [B+, B-], resistance: 3 kohm}\n";
    (void)state;
    const struct steady *d = solve(shop_setup(text, NULL), (struct steady_options){0});
    /* the mean of a half-wave rectified sine, shared by 30 and 1 ohm */
    near_rel(shop_figure(d->result, "B+", MEASURE_SETTLED_VOLTAGE), 117 * sqrt(2) / PI / 31, 1e-3,
             "V");
}

/* A second source of 61 Hz: no cycle is like the one before. */
static void no_cycle(void **state)
{
    struct handmade h = handmade_new(60);
    const struct steady_options o = {0};
    (void)state;
    hand_sine(&h, "S", "a", "0", 10, 0);
    hand_sine(&h, "T", "b", "a", 10, 0);
    h.c->waveforms.at[1].frequency = 61;
    hand_r(&h, "R", "b", "0", 100);
    hand_watch(&h, "b");
    const struct steady *d = steady_solve(shop_arena(), hand_setup(&h), &o);
    assert_int_equal(d->status, STATUS_SOLUTION);
    assert_null(d->result);
    handmade_free(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(warm_body, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(shipped, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(near_another, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(long_after, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(no_cycle, shop_open, shop_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
