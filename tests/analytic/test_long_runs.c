/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs of minutes, in which cycles are leapt over: against closed forms, and against the same run
 * with every cycle. The circuits are invented; their heat capacities are small, so that the whole
 * run can be afforded. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "why.h"

enum { SEEN_MOST = 16 };

/* What is watched on the way: volts of a point and the first device state, every `every` seconds.
 */
struct seen {
    const char *point;
    int n;
    double volts[SEEN_MOST], state[SEEN_MOST];
    double stop_at; /* [s]: the run is interrupted there; 0: never */
    double share;   /* done by then */
};

static void see(void *context, double t, const struct equations *eq, const double *y)
{
    struct seen *seen = context;
    (void)t;
    assert_true(seen->n < SEEN_MOST);
    seen->volts[seen->n] =
        equations_output(eq, OUTPUT_POTENTIAL, circuit_find_point(eq->circuit, seen->point));
    seen->state[seen->n++] = y[eq->r->nw];
}

static int stop(void *context, double done)
{
    const struct seen *seen = context;
    return seen->stop_at > 0 && done >= seen->share;
}

static const struct result *run(struct handmade *h, double seconds, bool every_cycle, double every,
                                struct seen *seen)
{
    struct run_options o = run_defaults();
    o.hold = -1; /* leaps by themselves: where they are tried nothing is held */
    if (h->setup.stages.n == 0)
        array_push(h->arena, &h->setup.stages,
                   (struct stage){
                       .circuit = h->c, .mains_switch = -1, .mains_source = -1, .mains_on = true});
    h->setup.frequency = h->frequency;
    h->setup.title = h->setup.variant = "by hand";
    seen->n = 0;
    o.duration = seconds;
    o.angle = 0;
    o.every_cycle = every_cycle;
    o.trace = true;
    seen->share = run_done(&o, seen->stop_at);
    o.progress = stop;
    o.progress_context = seen;
    if (every > 0) {
        o.observe = see;
        o.observe_context = seen;
        o.observe_every = every;
    }
    const struct result *r = run_simulate(h->arena, &h->setup, &o);
    if (r->status != STATUS_OK && !(seen->stop_at > 0)) fail_msg("run failed: %s", why(r));
    if (r->statistics.audit_failed)
        fail_msg("audit: energy %.3g, charge %.3g", r->statistics.energy_residual,
                 r->statistics.charge_residual);
    printf("%s: %ld leaps over %ld of %ld cycles, estimate %.1e, audit %.1e and %.1e\n",
           every_cycle ? "whole" : "leaps", r->statistics.leaps, r->statistics.leapt,
           r->statistics.cycles, r->statistics.leap_error, r->statistics.energy_residual,
           r->statistics.charge_residual);
    return r;
}

static int warm_part(struct handmade *h, const char *a, const char *b, const struct warm_law *law)
{
    hand_r(h, "body", a, b, law->resistance[0]);
    int device = circuit_device(h->c, "body", "copper", &law_warm, law);
    int state = circuit_state(
        h->c, device, "temperature",
        (struct state){.cold = 298, .hot = 340, .range = 100, .is_temperature = true});
    circuit_port(h->c, device, "warming", circuit_point(h->c, a), circuit_point(h->c, b),
                 PORT_BASED);
    return state;
}

/* Alternating current through a constant resistance: P (1 - cos 2 w t) into a thermal body with
 * the time constant tau = Rth heat. With x = 2 w tau:
 * T = Ta + P Rth (1 - e^(-t/tau) - (cos 2wt + x sin 2wt - e^(-t/tau)) / (1 + x^2)). */
#define BODY_TAU 120.0
static const struct warm_law body = {.ports = 1,
                                     .resistance = {100},
                                     .reference = 298,
                                     .body = {.heat = 6, .to_ambient = 1.0 / 20, .ambient = 298}};
#define BODY_WATTS 4.0

static double body_kelvin(double t)
{
    double x = 2 * 2 * PI * 60 * BODY_TAU, decay = exp(-t / BODY_TAU), angle = 4 * PI * 60 * t;
    return 298 +
           BODY_WATTS * 20 * (1 - decay - (cos(angle) + x * sin(angle) - decay) / (1 + x * x));
}

static struct handmade warming_body(void)
{
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "0", sqrt(2 * BODY_WATTS * 100), 0);
    hand_r(&h, "R", "a", "b", 0);
    warm_part(&h, "b", "0", &body);
    hand_watch(&h, "b");
    return h;
}

static void warming_follows_its_closed_form(void **state)
{
    struct handmade h = warming_body();
    struct seen seen = {.point = "b"};
    (void)state;
    const struct result *r = run(&h, 600, false, 100, &seen);
    assert_true((double)r->statistics.leapt > 0.9 * (double)r->statistics.cycles);
    for (int k = 0; k < seen.n; k++) near_abs(seen.state[k], body_kelvin(100 * k), 5e-5, "K");
    assert_int_equal(seen.n, 7);
    near_rel(hand_figure(r, "body", MEASURE_ENERGY), BODY_WATTS * 600, 1e-7, "J");
    const double simulated = 600 - (double)r->statistics.leapt / 60;
    near_rel(r->statistics.energy_drawn, BODY_WATTS * simulated, 1e-7, "J");
    handmade_free(&h);
}

/* It trips within the run: no leap goes over that. */
static void trip_in_a_long_run(void **state)
{
    struct handmade h = warming_body();
    struct seen seen = {.point = "b"};
    const double kelvin = 375;
    double t = 390; /* before the first crossing of the closed form: its ripple is 0.9 mK */
    (void)state;
    hand_r(&h, "beside", "a", "c", 100);
    circuit_trip(h.c, "F1", "trip", circuit_point(h.c, "c"), circuit_point(h.c, "0"), false, 0,
                 kelvin);
    const struct result *r = run(&h, 600, false, 0, &seen);
    assert_true(r->statistics.leaps > 3);
    while (body_kelvin(t) < kelvin) t += 1e-5;
    near_abs(hand_figure(r, "F1", MEASURE_SHORTS_AT), t, 1e-3, "s");
    handmade_free(&h);
}

/* A rating passed while cycles are leapt over: since when is found between them, to the bend of the
 * curve within one gap. */
static void rating_passed_in_a_leap(void **state)
{
    struct handmade h = warming_body();
    struct seen seen = {.point = "b"};
    struct set set = {.arena = h.arena};
    const double kelvin = 360, when = -BODY_TAU * log(1 - (kelvin - 298) / (BODY_WATTS * 20));
    (void)state;
    array_push(h.arena, &set.ratings,
               (struct rating){"body", MEASURE_TEMPERATURE, kelvin, UNIT_CELSIUS, false, "", "",
                               HARM_NONE});
    array_push(
        h.arena, &h.setup.stages,
        (struct stage){
            .circuit = h.c, .set = &set, .mains_switch = -1, .mains_source = -1, .mains_on = true});
    const struct result *r = run(&h, 600, false, 0, &seen);
    assert_int_equal(r->excesses.n, 1);
    near_abs(r->excesses.at[0].first, when, 0.5, "s");
    near_abs(r->excesses.at[0].seconds, 600 - when, 0.5, "s");
    near_abs(r->excesses.at[0].last, 600, 1e-9, "s");
    near_abs(r->excesses.at[0].worst, body_kelvin(600), 1e-3, "K");
    handmade_free(&h);
}

/* A rectifier, a choke that warms (copper: IEC 60028), filter and load; every figure. */
static struct handmade warming_choke(void)
{
    static const struct warm_law copper = {
        .ports = 1,
        .resistance = {1500},
        .coefficient = 1 / 254.5,
        .reference = 293,
        .body = {.heat = 5, .to_ambient = 1.0 / 8, .ambient = 298}};
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "0", 450, 0);
    hand_r(&h, "Rs", "a", "plate", 120);
    hand_tube(&h, "D1", "plate", "+", 2.5e-4);
    hand_c(&h, "C1", "+", "0", 8e-6, 0);
    hand_l(&h, "L1", "+", "m", 12, 0);
    warm_part(&h, "m", "B+", &copper);
    hand_c(&h, "C2", "B+", "0", 16e-6, 0);
    hand_load(&h, "tubes", "B+", "0", 0.05, 250, true);
    hand_watch(&h, "B+");
    hand_watch_capacitor(&h, "C1");
    hand_watch_current(&h, "L1");
    return h;
}

/* Instants are compared to a part of the run, other values to a part of themselves, or of what their
 * subject has most where they are as good as nothing beside it. */
static void compare(const struct result *a, const struct result *b, double limit)
{
    struct worst worst = {0};
    for (int k = 0; k < a->figures.n; k++) {
        const struct figure *f = &a->figures.at[k];
        const struct figure *g = run_figure(b, f->subject, f->measure);
        char row[96];
        if (f->measure == MEASURE_LEAPS || f->measure == MEASURE_CYCLES_LEAPT ||
            f->measure == MEASURE_AUDIT_ENERGY || f->measure == MEASURE_AUDIT_CHARGE)
            continue; /* of the run, not of the set */
        assert_non_null(g);
        snprintf(row, sizeof row, "%s %s", f->subject, measure_table[f->measure].name);
        if (f->unit == UNIT_SECOND && isfinite(f->value)) /* within a block of the history */
            near_abs(f->value, g->value, a->end / 256, "s");
        else if (f->value == g->value) continue;
        else if (fabs(g->value) < 1e-6 * hand_largest(b, g))
            worst_take(&worst, (f->value - g->value) / hand_largest(b, g), 0, row);
        else worst_take(&worst, f->value, g->value, row);
    }
    worst_check(&worst, "leaps against every cycle", limit);
}

static void leaps_agree_with_every_cycle(void **state)
{
    struct handmade h = warming_choke();
    struct seen leapt = {.point = "B+"}, whole = {.point = "B+"};
    (void)state;
    const struct result *a = run(&h, 120, false, 20, &leapt);
    const struct result *b = run(&h, 120, true, 20, &whole);
    assert_int_equal(b->statistics.leaps, 0);
    assert_true(a->statistics.leaps > 3);
    assert_int_equal(leapt.n, whole.n);
    for (int k = 1; k < leapt.n; k++) {
        near_rel(leapt.volts[k], whole.volts[k], 1e-5, "V");
        near_rel(leapt.state[k] - 298, whole.state[k] - 298, 1e-5, "K");
    }
    compare(a, b, 1e-5);
    handmade_free(&h);
}

/* A second stage with more load: it begins at its very instant, and what follows agrees. */
static void timed_change_is_hit(void **state)
{
    const double when = 70.0123;
    struct handmade h = warming_choke(), later = warming_choke();
    struct seen seen = {.point = "B+"};
    (void)state;
    hand_r(&later, "extra", "B+", "0", 30e3);
    struct stage stage = {.circuit = h.c, .mains_switch = -1, .mains_source = -1, .mains_on = true};
    array_push(h.arena, &h.setup.stages, stage);
    stage.circuit = later.c;
    stage.time = when;
    array_push(h.arena, &h.setup.stages, stage);
    const struct result *a = run(&h, 100, false, 0, &seen);
    const struct result *b = run(&h, 100, true, 0, &seen);
    assert_true(a->statistics.leaps > 3);
    compare(a, b, 1e-5);
    int at = 0;
    while (at < trace_rows(a->trace) && trace_time(a->trace, at) < when) at++;
    assert_true(at < trace_rows(a->trace) && trace_time(a->trace, at) == when);
    handmade_free(&h);
    handmade_free(&later);
}

/* Cut short, it is a run of that length; the message and a figure tell. */
static void interrupted_run_is_a_shorter_run(void **state)
{
    const double cuts[] = {0.5, 75};
    (void)state;
    for (int k = 0; k < 2; k++) {
        struct handmade h = warming_choke();
        struct seen cut = {.point = "B+", .stop_at = cuts[k]}, full = {.point = "B+"};
        const struct result *a = run(&h, 120, false, 0, &cut);
        assert_int_equal(a->status, STATUS_INTERRUPTED);
        assert_int_equal(a->trouble.cause, TROUBLE_INTERRUPTED);
        near_abs(a->trouble.time, a->end, 0, "s");
        near_abs(a->trouble.until, 120, 0, "s");
        near_abs(hand_figure(a, "set", MEASURE_INTERRUPTED_AT), a->end, 0, "s");
        assert_true(a->end >= cuts[k] && a->end < 120 - 1);
        near_abs(trace_time(a->trace, trace_rows(a->trace) - 1), a->end, 0, "s");
        const struct result *b = run(&h, a->end, true, 0, &full);
        near_rel(hand_figure(a, "B+", MEASURE_SETTLED_VOLTAGE),
                 hand_figure(b, "B+", MEASURE_SETTLED_VOLTAGE), 1e-5, "V");
        near_rel(hand_figure(a, "B+", MEASURE_RIPPLE_RMS), hand_figure(b, "B+", MEASURE_RIPPLE_RMS),
                 1e-4, "V");
        near_rel(hand_figure(a, "tubes", MEASURE_ENERGY), hand_figure(b, "tubes", MEASURE_ENERGY),
                 1e-5, "J");
        handmade_free(&h);
    }
}

/* Up to four seconds nothing is leapt over; twice the same run gives the same digits. */
static void short_runs_and_the_same_digits(void **state)
{
    struct handmade h = warming_body();
    struct seen seen = {.point = "b"};
    (void)state;
    assert_int_equal(run(&h, 4, false, 0, &seen)->statistics.leaps, 0);
    const struct result *a = run(&h, 300, false, 0, &seen), *b = run(&h, 300, false, 0, &seen);
    assert_true(a->statistics.leaps > 0);
    for (int k = 0; k < a->figures.n; k++)
        near_abs(a->figures.at[k].value, b->figures.at[k].value, 0, "");
    handmade_free(&h);
}

/* --- what warms and then gives way: each against every cycle --- */

/* Figures of both runs of a circuit agree; so does the instant of `what` at `part`, if any [s]. */
static double both(struct handmade *h, double seconds, double limit, const char *part,
                   enum measure what)
{
    struct seen seen = {.point = "+"};
    const struct result *a = run(h, seconds, false, 0, &seen);
    const struct result *b = run(h, seconds, true, 0, &seen);
    assert_true(a->statistics.leapt > a->statistics.cycles / 4);
    compare(a, b, limit);
    if (!part) return 0;
    double when = hand_figure(a, part, what);
    near_rel(when, hand_figure(b, part, what), 1e-4, "s");
    return when;
}

static int hand_device(struct handmade *h, const char *part, const struct device_law *law,
                       const void *par, int states, const char *a, const char *b)
{
    const struct state cold = {.cold = 298, .hot = 330, .range = 100, .is_temperature = true};
    int device = circuit_device(h->c, part, "body", law, par);
    int state = circuit_state(h->c, device, "temperature", cold);
    for (int k = 1; k < states; k++) circuit_state(h->c, device, "case", cold);
    circuit_port(h->c, device, "port", circuit_point(h->c, a), circuit_point(h->c, b), PORT_BASED);
    return state;
}

/* A leakage that grows with the warmth it makes, until it is a short (can_law of laws.h). */
static void leakage_runs_away(void **state)
{
    static const struct can_law can = {.ports = 1,
                                       .port = {{.siemens = 1 / 40e3, .growth = 0.05}},
                                       .reference = 298,
                                       .ambient = 298,
                                       .thermal_resistance = 20,
                                       .heat = 4};
    struct handmade h = handmade_new(60);
    (void)state;
    hand_sine(&h, "S", "a", "0", 300, 0);
    hand_r(&h, "Rs", "a", "plate", 100);
    hand_tube(&h, "D1", "plate", "+", 2.5e-4);
    hand_c(&h, "C1", "+", "0", 8e-6, 0);
    hand_r(&h, "load", "+", "0", 10e3);
    hand_r(&h, "leak", "+", "0", 40e3);
    int warmth = hand_device(&h, "leak", &law_can, &can, 1, "+", "0");
    hand_r(&h, "short", "+", "s", 2e3);
    circuit_trip(h.c, "C1", "short", circuit_point(h.c, "s"), circuit_point(h.c, "0"), false,
                 warmth, 308);
    hand_watch(&h, "+");
    double when = both(&h, 80, 1e-4, "C1", MEASURE_SHORTS_AT);
    assert_true(when > 30 && when < 75);
    handmade_free(&h);
}

/* A fuse that carries too much by little (fuse_law of laws.h) melts after a minute. */
static void slow_overload_melts(void **state)
{
    static const struct fuse_law fuse = {.cold = 0.1,
                                         .coefficient = 0.004,
                                         .melts = 480,
                                         .heat = 0.01,
                                         .body_heat = 0.6,
                                         .to_body = 0.005,
                                         .to_room = 0.01,
                                         .ambient = 298};
    struct handmade h = handmade_new(60);
    (void)state;
    hand_sine(&h, "S", "a", "0", 20 * sqrt(2), 0);
    hand_r(&h, "F1", "a", "b", fuse.cold * (1 + fuse.coefficient * (fuse.melts - 298.15)));
    int warmth = hand_device(&h, "F1", &law_fuse, &fuse, 2, "a", "b");
    circuit_trip(h.c, "F1", "melting", circuit_point(h.c, "b"), circuit_point(h.c, "+"), true,
                 warmth, fuse.melts);
    hand_r(&h, "load", "+", "0", 9.8);
    hand_watch(&h, "+");
    double when = both(&h, 160, 1e-4, "F1", MEASURE_OPENS_AT);
    assert_true(when > 40 && when < 150);
    handmade_free(&h);
}

/* An inrush thermistor (thermistor_law of laws.h) takes a minute to settle. */
static void thermistor_warms(void **state)
{
    static const struct thermistor_law thermistor = {
        .resistance = 50, .b = 3000, .loss = 0.02, .power = 1.25, .heat = 4, .ambient = 298};
    struct handmade h = handmade_new(60);
    (void)state;
    hand_sine(&h, "S", "a", "0", 100, 0);
    hand_r(&h, "NTC", "a", "+", thermistor.resistance);
    hand_device(&h, "NTC", &law_thermistor, &thermistor, 1, "a", "+");
    hand_r(&h, "load", "+", "0", 100);
    hand_watch(&h, "+");
    both(&h, 120, 5e-5, NULL, MEASURE_NONE);
    handmade_free(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(warming_follows_its_closed_form),
        cmocka_unit_test(trip_in_a_long_run),
        cmocka_unit_test(rating_passed_in_a_leap),
        cmocka_unit_test(leaps_agree_with_every_cycle),
        cmocka_unit_test(timed_change_is_hit),
        cmocka_unit_test(interrupted_run_is_a_shorter_run),
        cmocka_unit_test(leakage_runs_away),
        cmocka_unit_test(slow_overload_melts),
        cmocka_unit_test(thermistor_warms),
        cmocka_unit_test(short_runs_and_the_same_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
