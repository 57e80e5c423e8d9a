/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pulses whose peak, borders and integral of the square are closed forms: parabolas (which a cubic
 * meets exactly), half sines, exponentials. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "wave.h"

#define T (1.0 / 60) /* period [s] */

struct rig {
    struct arena *arena;
    struct wave *w;
    double t;
};

static struct rig rig_new(void)
{
    struct rig r = {.arena = arena_new()};
    const double floor[] = {1e-6};
    const unsigned flags[] = {WAVE_PULSES};
    r.w = wave_new(r.arena, 1, T, floor, flags);
    wave_start(r.w, 0);
    return r;
}

/* One step with the samples of f on s = 0 .. 1. */
static void step_of(struct rig *r, double length, double (*f)(double s, double p), double p)
{
    double samples[WAVE_NODES], to = r->t + length;
    for (int i = 0; i < WAVE_NODES; i++) samples[i] = f(lobatto_node[i], p);
    wave_step(r->w, r->t, to, samples, 1);
    r->t = to;
}

static double level(double s, double p)
{
    (void)s;
    return p;
}

/* Exactly zero up to the end of the period. */
static void rest(struct rig *r)
{
    step_of(r, wave_period_end(r->w) - r->t, level, 0);
}

/* Above zero from s = 0.2 to 0.8, peak p at 0.5; integral of the square 8/15 p^2 * 0.6 */
static double arch(double s, double p)
{
    return p * (1 - sq((s - 0.5) / 0.3));
}

static void train(struct rig *r, const double *peak, int n)
{
    for (int i = 0; i < n; i++) {
        step_of(r, 1e-3, arch, peak[i]);
        rest(r);
    }
}

static void test_first_pulse_over_one_per_cent(void **state)
{
    (void)state;
    struct rig r = rig_new();
    size_t used = arena_used(r.arena);
    struct wave_pulse p;
    step_of(&r, 1e-3, arch, 500); /* before the first closing: not recorded */
    rest(&r);
    assert_true(wave_closings(r.w) == 0);
    assert_false(wave_first_pulse(r.w, 0, 0, &p));
    wave_closing(r.w, r.t);
    assert_false(wave_first_pulse(r.w, 0, 0, &p));

    const double peaks[] = {0.9, 0.999, 1.005, 0.5, 5, 100, 50}; /* 0.999 is under 1 % of 100 */
    train(&r, peaks, 7);
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    step_of(&r, 0, level, 1000); /* no length: no pulse */
    double begin = 3 * T;        /* one period before, the third of the train */
    near_rel(p.peak, 1.005, 1e-13, "A");
    near_abs(p.peak_time, begin + 0.5e-3, 1e-14, "s");
    near_abs(p.start, begin + 0.2e-3, 1e-14, "s");
    near_abs(p.end, begin + 0.8e-3, 1e-14, "s");
    near_rel(p.square_integral, 8.0 / 15 * sq(1.005) * 0.6e-3, 1e-12, "A2s");

    wave_closing(r.w, r.t);
    assert_false(wave_first_pulse(r.w, 0, 1, &p));
    const double again[] = {0.09, 2, 1, 10}; /* 0.09 is under 1 % of 10 */
    train(&r, again, 4);
    wave_closing(r.w, r.t);
    assert_true(wave_closings(r.w) == 3);
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_rel(p.peak, 1.005, 1e-13, "A"); /* each closing keeps its own */
    assert_true(wave_first_pulse(r.w, 0, 1, &p));
    near_rel(p.peak, 2, 1e-13, "A");
    assert_false(wave_first_pulse(r.w, 0, 2, &p));
    assert_false(wave_first_pulse(r.w, 0, 3, &p));
    assert_true(arena_used(r.arena) == used);
    arena_free(r.arena);
}

static double half_sine(double s, double p)
{
    return 0.8 * sin(PI * (s + p) / 10);
}

static void test_pulse_over_many_steps(void **state)
{
    (void)state;
    struct rig r = rig_new();
    wave_closing(r.w, 0);
    step_of(&r, 2e-3, level, 0);
    for (int i = 0; i < 10; i++) step_of(&r, 0.3e-3, half_sine, i);
    rest(&r);
    struct wave_pulse p;
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_rel(p.peak, 0.8, 1e-6, "A");
    near_abs(p.peak_time, 3.5e-3, 1e-6, "s");
    near_abs(p.start, 2e-3, 1e-12, "s"); /* its first sample is zero */
    near_abs(p.end, 5e-3, 1e-12, "s");
    near_rel(p.square_integral, 0.64 * 3e-3 / 2, 1e-7, "A2s");
    arena_free(r.arena);
}

static double fading(double s, double p)
{
    return 12 * exp(-(s + p));
}

static void test_pulse_that_starts_and_ends_with_a_jump(void **state)
{
    (void)state;
    struct rig r = rig_new();
    step_of(&r, 1e-3, level, 0);
    wave_closing(r.w, r.t);
    const double surge[] = {12.5};
    for (int i = 0; i < 20; i++) {
        step_of(&r, 1e-4, fading, 0.1 * i);
        if (i == 0) wave_instant(r.w, r.t, surge);
        if (i == 9) {
            struct wave_pulse part; /* read while it runs */
            assert_true(wave_first_pulse(r.w, 0, 0, &part));
            near_abs(part.end, 2e-3, 1e-12, "s");
        }
        r.t = 1e-3 + (i + 1) * 1e-4;
    }
    rest(&r);
    step_of(&r, 1e-3, arch, 50); /* another */
    rest(&r);
    struct wave_pulse p;
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_rel(p.peak, 12.5, 1e-14, "A"); /* from one side of an instant */
    near_abs(p.peak_time, 1.1e-3, 1e-12, "s");
    near_abs(p.start, 1e-3, 1e-14, "s");
    near_abs(p.end, 3e-3, 1e-12, "s");
    arena_free(r.arena);
}

static double tenth_of_fading(double s, double p)
{
    return 12 * exp(-(0.1 * s + p));
}

static void test_square_of_an_exponential(void **state)
{
    (void)state;
    struct rig r = rig_new();
    wave_closing(r.w, 0);
    for (int i = 0; i < 20; i++) step_of(&r, 1e-4, tenth_of_fading, 0.1 * i);
    rest(&r);
    struct wave_pulse p;
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    /* integral of (12 exp(-t/1 ms))^2 over 2 ms */
    near_rel(p.square_integral, 144 * 0.5e-3 * (1 - exp(-4)), 1e-9, "A2s");
    near_rel(p.peak, 12, 1e-15, "A");
    assert_true(p.peak_time == 0);
    arena_free(r.arena);
}

static void test_closing_cuts_a_pulse(void **state)
{
    (void)state;
    struct rig r = rig_new();
    wave_closing(r.w, 0);
    step_of(&r, 1e-3, level, 2);
    wave_closing(r.w, r.t);
    step_of(&r, 1e-3, level, 3);
    rest(&r);
    struct wave_pulse p;
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_abs(p.end, 1e-3, 1e-14, "s");
    near_rel(p.square_integral, 4e-3, 1e-13, "A2s");
    assert_true(wave_first_pulse(r.w, 0, 1, &p));
    near_abs(p.start, 1e-3, 1e-14, "s");
    near_abs(p.end, 2e-3, 1e-14, "s");
    near_rel(p.square_integral, 9e-3, 1e-13, "A2s");
    arena_free(r.arena);
}

static double two_humps(double s, double p)
{
    /* x^2 - 0.1 on x = -1 .. 1: above zero at both ends, below between the roots 0.5 -+ 0.158 */
    return p * (sq(2 * s - 1) - 0.1);
}

static void test_two_pulses_in_one_step(void **state)
{
    (void)state;
    struct rig r = rig_new();
    wave_closing(r.w, 0);
    step_of(&r, 1e-3, level, -1);
    step_of(&r, 1e-3, two_humps, 3); /* nodes at x = -+0.447: both above zero, one pulse */
    rest(&r);
    struct wave_pulse p;
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_rel(p.peak, 2.7, 1e-14, "A");
    near_abs(p.start, 1e-3, 1e-14, "s");

    wave_closing(r.w, r.t);
    double begin = r.t, v[WAVE_NODES];
    for (int i = 0; i < WAVE_NODES; i++)
        v[i] = sq(2 * lobatto_node[i] - 1) - 0.36; /* roots x = -+0.6 */
    wave_step(r.w, r.t, r.t + 1e-3, v, 1);
    r.t += 1e-3;
    assert_true(wave_first_pulse(r.w, 0, 1, &p));
    near_abs(p.end, begin + 0.2e-3, 1e-14, "s");
    near_rel(p.peak, 0.64, 1e-14, "A");
    /* 1 ms/2 times the integral of (x^2 - 0.36)^2 from -1 to -0.6 */
    near_rel(p.square_integral, 0.5e-3 * ((1 - 0.07776) / 5 - 0.24 * (1 - 0.216) + 0.1296 * 0.4),
             1e-12, "A2s");
    arena_free(r.arena);
}

/* A slow warm-up: each pulse higher than the one before, more of them than are kept. */
static void grow(struct rig *r, int n, double (*peak)(int k))
{
    wave_closing(r->w, r->t);
    for (int k = 1; k <= n; k++) {
        step_of(r, 1e-3, arch, peak(k));
        rest(r);
    }
}

static double steadily(int k)
{
    return 0.02 * k;
}

static double by_tenths_of_a_per_cent(int k)
{
    return exp(1e-3 * k);
}

static void test_many_growing_pulses(void **state)
{
    (void)state;
    struct rig r = rig_new();
    struct wave_pulse p;
    grow(&r, 5001, steadily); /* highest 100.02 A: the first over 1 % is the 51st, 1.02 A */
    assert_true(wave_first_pulse(r.w, 0, 0, &p));
    near_rel(p.peak, 1.02, 1e-12, "A");
    near_abs(p.start, 50 * T + 0.2e-3, 1e-12, "s");
    grow(&r, 8000, by_tenths_of_a_per_cent); /* 4600 pulses within a ratio of 100 */
    assert_true(wave_first_pulse(r.w, 0, 1, &p));
    double least = 0.01 * exp(8);
    assert_true(p.peak > least && p.peak < 1.02 * least);
    arena_free(r.arena);
}

static void test_more_closings_than_are_told_apart(void **state)
{
    (void)state;
    struct rig r = rig_new();
    struct wave_pulse p;
    for (int k = 0; k < WAVE_CLOSINGS + 3; k++) {
        wave_closing(r.w, r.t);
        step_of(&r, 1e-3, arch, 1 + k);
        rest(&r);
    }
    assert_true(wave_closings(r.w) == WAVE_CLOSINGS);
    for (int k = 0; k < WAVE_CLOSINGS; k++) {
        assert_true(wave_first_pulse(r.w, 0, k, &p));
        near_rel(p.peak, 1 + k, 1e-13, "A");
    }
    arena_free(r.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_first_pulse_over_one_per_cent),
        cmocka_unit_test(test_pulse_over_many_steps),
        cmocka_unit_test(test_pulse_that_starts_and_ends_with_a_jump),
        cmocka_unit_test(test_square_of_an_exponential),
        cmocka_unit_test(test_closing_cuts_a_pulse),
        cmocka_unit_test(test_two_pulses_in_one_step),
        cmocka_unit_test(test_many_growing_pulses),
        cmocka_unit_test(test_more_closings_than_are_told_apart),
    };
    return cmocka_run_group_tests_name("pulses", tests, NULL, NULL);
}
