/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signals with known figures are handed in step by step. Where nothing else is said the wanted
 * value is the closed form written beside it: integrals and Fourier series of elementary waves. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "wave.h"

#define T (1.0 / 60) /* period of all tests [s] */
#define W (2 * PI / T)

enum { MOST = 4 };

/* v[] at time t; `middle` is the middle of the step, which tells the side of a jump. */
typedef void signal_fn(double t, double middle, double *v);

struct rig {
    struct arena *arena;
    struct wave *w;
    int channels;
    double t;
};

static struct rig rig_new(int channels, double start, double floor, unsigned flags)
{
    struct rig r = {.arena = arena_new(), .channels = channels, .t = start};
    double floors[MOST] = {floor, floor, floor, floor};
    unsigned all[MOST] = {flags, flags, flags, flags};
    r.w = wave_new(r.arena, channels, T, floors, all);
    wave_start(r.w, start);
    return r;
}

static void step(struct rig *r, double to, signal_fn *signal)
{
    double samples[WAVE_NODES * MOST];
    for (int i = 0; i < WAVE_NODES; i++)
        signal(r->t + (to - r->t) * lobatto_node[i], 0.5 * (r->t + to), samples + i * r->channels);
    wave_step(r->w, r->t, to, samples, r->channels);
    r->t = to;
}

static void run(struct rig *r, int periods, int steps, signal_fn *signal)
{
    for (int k = 0; k < periods; k++) {
        double end = wave_period_end(r->w), begin = r->t;
        for (int i = 1; i < steps; i++) step(r, begin + (end - begin) * i / steps, signal);
        step(r, end, signal);
    }
}

/* One step of a single channel with the samples of f on s = 0 .. 1. */
static void step_of(struct rig *r, double length, double (*f)(double s, double p), double p)
{
    double samples[WAVE_NODES], to = r->t + length;
    for (int i = 0; i < WAVE_NODES; i++) samples[i] = f(lobatto_node[i], p);
    wave_step(r->w, r->t, to, samples, r->channels);
    r->t = to;
}

static double level(double s, double p)
{
    (void)s;
    return p;
}

static struct wave_figures figures(const struct rig *r, int channel)
{
    struct wave_figures f;
    wave_read(r->w, channel, &f);
    return f;
}

/* --- steady waves --- */

static void rectified(double t, double middle, double *v)
{
    double s = sin(W * t);
    bool positive = sin(W * middle) > 0;
    v[0] = positive ? s : -s;
    v[1] = positive ? s : 0;
    v[2] = 3 * s;
}

static void test_rectified_sine(void **state)
{
    (void)state;
    struct rig r = rig_new(3, 0, 1e-3, 0);
    run(&r, 20, 128, rectified);

    struct wave_figures full = figures(&r, 0);
    near_rel(full.mean, 2 / PI, 1e-12, "V");
    near_rel(full.rms, sqrt(0.5), 1e-12, "V");
    /* sqrt(1 - 8/pi^2); the TES-2620 manual p. 19 prints 0.435 */
    near_rel(full.ripple_rms / full.rms, 0.435236178, 1e-9, "1");
    /* sqrt(pi^2/8 - 1); 0.483 in textbooks (Raju Ex. 5.3) */
    near_rel(full.ripple_rms / full.mean, 0.483426, 1e-6, "1");
    near_rel(full.harmonic[1] / sqrt(2) / full.mean, sqrt(2) / 3, 1e-9, "1");
    near_rel(full.harmonic[3], 4 / (15 * PI), 1e-8, "V"); /* 4/pi / (h^2 - 1), h even */
    near_rel(full.harmonic[5], 4 / (35 * PI), 1e-7, "V");
    near_abs(full.harmonic[0], 0, 1e-13, "V");
    near_abs(full.ripple_pp, 1, 1e-6, "V"); /* the crest lies on a border, zero too */
    assert_true(full.strongest == 2);
    assert_true(full.settled);

    struct wave_figures half = figures(&r, 1);
    near_rel(half.mean, 1 / PI, 1e-12, "V");
    near_rel(half.rms, 0.5, 1e-12, "V");
    /* sqrt(1 - 4/pi^2); the TES-2620 manual p. 19 prints 0.771 */
    near_rel(half.ripple_rms / half.rms, 0.771177843, 1e-9, "1");
    /* sqrt(pi^2/4 - 1); 1.21 in textbooks (Raju Ex. 5.1) */
    near_rel(half.ripple_rms / half.mean, 1.211363, 1e-6, "1");
    near_rel(half.harmonic[0], 0.5, 1e-10, "V");
    near_rel(half.harmonic[1], 2 / (3 * PI), 1e-9, "V"); /* 2/pi / (h^2 - 1), h even */
    assert_true(half.strongest == 1);

    struct wave_figures sine = figures(&r, 2);
    near_abs(sine.mean, 0, 1e-14, "V");
    near_rel(sine.rms, 3 / sqrt(2), 1e-12, "V");
    near_rel(sine.integral + 1, 1, 1e-14, "V s");
    near_rel(sine.square_integral, 20 * T * 4.5, 1e-12, "V2s");
    assert_true(sine.strongest == 1);
    arena_free(r.arena);
}

static void corners(double t, double middle, double *v)
{
    double x = 4 * (t / T - floor(middle / T)), m = 4 * (middle / T - floor(middle / T));
    v[0] = m < 1 ? x : m < 3 ? 2 - x : x - 4; /* triangle, -1 .. 1 */
    v[1] = m < 2 ? 1 : -1;                    /* square */
}

static void test_triangle_and_square(void **state)
{
    (void)state;
    struct rig r = rig_new(2, 0, 1e-3, 0);
    run(&r, 13, 40, corners);
    struct wave_figures triangle = figures(&r, 0), square = figures(&r, 1);
    near_rel(triangle.rms, 1 / sqrt(3), 1e-12, "V");
    near_rel(triangle.ripple_rms, 1 / sqrt(3), 1e-12, "V");
    near_rel(triangle.ripple_pp, 2, 1e-12, "V");
    near_rel(triangle.harmonic[0], 8 / sq(PI), 1e-9, "V"); /* 8/(pi h)^2, h odd */
    near_rel(triangle.harmonic[2], 8 / sq(3 * PI), 1e-7, "V");
    near_abs(triangle.harmonic[1], 0, 1e-13, "V");
    near_rel(square.rms, 1, 1e-14, "V");
    near_rel(square.ripple_pp, 2, 1e-14, "V");
    near_rel(square.harmonic[0], 4 / PI, 1e-9, "V"); /* 4/(pi h), h odd */
    near_rel(square.harmonic[4], 4 / (5 * PI), 1e-6, "V");
    arena_free(r.arena);
}

/* --- drift --- */

static void drifting(double t, double middle, double *v)
{
    double saw = 2 * t / T - floor(2 * middle / T);
    v[0] = 100 + 3 * t - 0.5 * saw;
    v[1] = 300 + 1.0 * t + 1e-3 * sin(2 * W * t);
    v[2] = 250 - 2.0 * t;
}

static void test_drift_is_no_ripple(void **state)
{
    (void)state;
    struct rig r = rig_new(3, 0, 0, 0);
    run(&r, 15, 128, drifting);

    struct wave_figures saw = figures(&r, 0); /* sawtooth, 0.5 V high, twice a period */
    near_rel(saw.ripple_rms, 0.5 / sqrt(12), 1e-10, "V");
    near_rel(saw.ripple_pp, 0.5, 1e-10, "V");
    near_rel(saw.harmonic[1], 0.5 / PI, 1e-9, "V"); /* height / (pi h) */
    near_rel(saw.harmonic[3], 0.25 / PI, 1e-9, "V");
    near_abs(saw.harmonic[0], 0, 1e-11, "V");
    near_rel(saw.mean, 99.75 + 3 * 9 * T, 1e-13, "V"); /* middle of the last 12 of 15 periods */
    near_rel(saw.final_mean, 99.75 + 3 * 14.5 * T, 1e-13, "V");
    assert_true(saw.strongest == 2);

    /* 1 mV of hum under a drift of 17 mV a period: the crests are no extremes of the voltage itself
     */
    struct wave_figures hum = figures(&r, 1);
    near_rel(hum.ripple_rms, 1e-3 / sqrt(2), 1e-8, "V");
    near_rel(hum.ripple_pp, 2e-3, 1e-6, "V");
    near_rel(hum.harmonic[1], 1e-3, 1e-8, "V");
    near_abs(hum.harmonic[0], 0, 1e-11, "V");
    assert_true(hum.strongest == 2);
    near_rel(hum.window_highest, 300 + 15 * T, 1e-12, "V");

    struct wave_figures drift = figures(&r, 2); /* nothing but drift */
    near_abs(drift.ripple_rms, 0, 1e-7, "V");
    near_abs(drift.ripple_pp, 0, 1e-12, "V");
    assert_true(drift.strongest == 0);
    arena_free(r.arena);
}

static void test_no_ripple_no_line(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 0, 1e-3, 0);
    for (int k = 0; k < 13; k++)
        while (r.t < wave_period_end(r.w) - 0.1 * T) step_of(&r, T / 8, level, 250);
    struct wave_figures f = figures(&r, 0);
    assert_true(f.mean == 250 && f.rms == 250 && f.ripple_rms == 0 && f.ripple_pp == 0);
    assert_true(f.strongest == 0 && f.settled);
    arena_free(r.arena);
}

static double hum_of(double s, double amplitude)
{
    return 5 + amplitude * sin(2 * PI * s);
}

static void hum_run(double amplitude, double floor, int strongest)
{
    struct rig r = rig_new(1, 0, floor, 0);
    for (int k = 0; k < 3; k++) {
        double samples[WAVE_NODES];
        for (int j = 0; j < 8; j++) {
            for (int i = 0; i < WAVE_NODES; i++)
                samples[i] = hum_of((j + lobatto_node[i]) / 8, amplitude);
            double to = j == 7 ? wave_period_end(r.w) : r.t + T / 8;
            wave_step(r.w, r.t, to, samples, r.channels);
            r.t = to;
        }
    }
    assert_true(figures(&r, 0).strongest == strongest);
    arena_free(r.arena);
}

static void test_ripple_below_floor(void **state)
{
    (void)state;
    hum_run(1.3e-3, 1e-3, 0); /* 0.92 mV rms, floor 1 mV */
    hum_run(1.5e-3, 1e-3, 1); /* 1.06 mV rms */
    hum_run(6e-9, 0, 0);      /* 0.85e-9 of the mean of 5 V */
    hum_run(8e-9, 0, 1);      /* 1.13e-9 */
}

/* --- settling --- */

static double rise_time; /* of the exponential below [s] */

static void rising(double t, double middle, double *v)
{
    (void)middle;
    v[0] = 300 * (1 - exp(-(t - 0.5) / rise_time));
}

/* When the mean of period k, 300 (1 - g exp(-k T/tau)) with g = tau/T (1 - exp(-T/tau)), was last
 * off the last one by over 1e-4 of it [s]. */
static double exact_settling(int periods)
{
    double g = rise_time / T * (1 - exp(-T / rise_time));
    double last = 1 - g * exp(-(periods - 1) * T / rise_time);
    int k = periods - 1;
    while (k >= 0 && last - (1 - g * exp(-k * T / rise_time)) <= 1e-4 * last) k--;
    return 0.5 + (k + 1) * T;
}

static void test_settling_time(void **state)
{
    (void)state;
    rise_time = 0.1;
    struct rig r = rig_new(1, 0.5, 1e-3, 0);
    run(&r, 60, 8, rising);
    assert_false(figures(&r, 0).settled);
    assert_true(figures(&r, 0).settling_time == HUGE_VAL);
    run(&r, 60, 8, rising);
    struct wave_figures f = figures(&r, 0);
    assert_true(f.settled);
    near_abs(f.settling_time, exact_settling(120), 1e-12, "s");
    near_abs(f.settling_time, 1.4167, 1e-4, "s"); /* about 0.5 s + tau ln(1e4) */
    near_rel(f.final_mean, 300, 1e-8, "V");
    arena_free(r.arena);
}

static void test_settling_of_a_long_run(void **state)
{
    (void)state;
    enum { PERIODS = 4000 };
    rise_time = 4;
    struct rig r = rig_new(1, 0.5, 1e-3, 0);
    size_t used = arena_used(r.arena);
    run(&r, PERIODS, 2, rising);
    struct wave_figures f = figures(&r, 0);
    double late = f.settling_time - exact_settling(PERIODS);
    assert_true(f.settled && late > -1e-9 && late < PERIODS * T / 512);
    assert_true(arena_used(r.arena) == used);
    arena_free(r.arena);
}

static void test_settling_within_a_block(void **state)
{
    (void)state;
    enum {
        BEFORE = 2001,
        AFTER = 12
    }; /* blocks of two periods: one holds the last low and the first high */
    struct rig r = rig_new(1, 0, 1e-3, 0);
    for (int k = 0; k < BEFORE + AFTER; k++)
        step_of(&r, wave_period_end(r.w) - r.t, level, k < BEFORE ? 5 : 8);
    struct wave_figures f = figures(&r, 0);
    assert_true(f.settled);
    near_abs(f.settling_time, BEFORE * T, 1e-12, "s");
    arena_free(r.arena);
}

static void test_settled_needs_a_window(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 2, 1e-3, 0);
    for (int k = 1; k <= 12; k++) {
        step_of(&r, wave_period_end(r.w) - r.t, level, 8);
        assert_true(figures(&r, 0).settled == (k == 12));
    }
    assert_true(figures(&r, 0).settling_time == 2); /* never outside: the start */
    step_of(&r, wave_period_end(r.w) - r.t, level, 8.0007);
    assert_true(figures(&r, 0).settled); /* within the floor of 1 mV, just under 1e-4 */
    step_of(&r, wave_period_end(r.w) - r.t, level, 8.0013);
    assert_false(figures(&r, 0).settled);
    for (int k = 0; k < 11; k++) step_of(&r, wave_period_end(r.w) - r.t, level, 8.0013);
    near_abs(figures(&r, 0).settling_time, 2 + 12 * T, 1e-12, "s");
    arena_free(r.arena);
}

/* --- whole run against window --- */

static void decay(double t, double middle, double *v)
{
    (void)middle;
    v[0] = 5 * exp(-t / 0.02);
    v[1] = -v[0];
}

static void test_window_and_whole_run(void **state)
{
    (void)state;
    struct rig r = rig_new(2, 0, 1e-3, 0);
    run(&r, 60, 16, decay);
    struct wave_figures f = figures(&r, 0), g = figures(&r, 1);
    double end = 60 * T;
    near_rel(f.integral, 0.1 * (1 - exp(-end / 0.02)), 1e-10, "V s");
    near_rel(f.square_integral, 0.25 * (1 - exp(-2 * end / 0.02)), 1e-9, "V2s");
    near_rel(g.integral, -f.integral, 1e-14, "V s");
    assert_true(f.highest.value == 5 && f.highest.time == 0);
    near_rel(f.window_highest, 5 * exp(-48 * T / 0.02), 1e-9, "V"); /* 48 of 60 periods before */
    near_rel(f.lowest.value, 5 * exp(-end / 0.02), 1e-9, "V");
    near_abs(f.lowest.time, end, 1e-12, "s");
    near_rel(g.lowest.value, -5, 1e-14, "V");
    arena_free(r.arena);
}

static void test_short_run(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 1, 1e-3, 0);
    struct wave_figures f = figures(&r, 0);
    assert_true(f.mean == 0 && f.rms == 0 && f.highest.value == 0 && f.highest.time == 1);
    assert_true(!f.settled && f.settling_time == HUGE_VAL);
    step_of(&r, T / 8, level, 2);
    step_of(&r, T / 8, level, 6);
    f = figures(&r, 0);
    near_rel(f.mean, 4, 1e-14, "V");
    near_rel(f.final_mean, 4, 1e-14, "V");
    near_rel(f.rms, sqrt(20), 1e-14, "V");
    near_rel(f.ripple_rms, 2, 1e-14, "V");
    near_rel(f.ripple_pp, 4, 1e-14, "V");
    near_rel(f.integral, 8 * T / 8, 1e-13, "V s");
    assert_true(f.window_highest == 6 && f.window_lowest == 2);
    assert_true(!f.settled && f.strongest == 0 && f.harmonic[0] == 0);
    arena_free(r.arena);
}

static void test_periods_are_counted(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 0.1, 1e-3, 0);
    for (int k = 1; k <= 20000; k++) {
        assert_true(wave_period_end(r.w) == 0.1 + k * T);
        /* the end is met from either side within 1e-9 of a period */
        step_of(&r, wave_period_end(r.w) - r.t + (k % 3 - 1) * 5e-10 * T, level, 1);
    }
    near_rel(figures(&r, 0).integral, 20000 * T, 1e-12, "V s");
    arena_free(r.arena);
}

/* --- extremes --- */

static double hump(double s, double p)
{
    return p * s * sq(1 - s); /* greatest 4/27 p at s = 1/3, no node of the step */
}

static double steep(double s, double p)
{
    return p * (1 - sq(2 * s - 1)) * 1.25; /* a quarter above its samples 0, p, p, 0 */
}

static void test_extreme_between_samples(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 0, 1e-3, 0);
    step_of(&r, 2e-3, hump, 27);
    struct wave_figures f = figures(&r, 0);
    near_rel(f.highest.value, 4, 1e-14, "V");
    near_rel(f.highest.time, 2e-3 / 3, 1e-12, "s");
    assert_true(f.lowest.value == 0);
    step_of(&r, 1e-3, hump, -54);
    f = figures(&r, 0);
    near_rel(f.lowest.value, -8, 1e-14, "V");
    near_rel(f.lowest.time, 2e-3 + 1e-3 / 3, 1e-12, "s");
    step_of(&r, 1e-3, steep, 3.21); /* samples well below the record, the curve just over it */
    f = figures(&r, 0);
    near_rel(f.highest.value, 4.0125, 1e-14, "V");
    near_rel(f.highest.time, 3.5e-3, 1e-12, "s");
    step_of(&r, 1e-3, steep, 3.2099); /* 4.012375 V: no record */
    near_rel(figures(&r, 0).highest.time, 3.5e-3, 1e-12, "s");
    arena_free(r.arena);
}

static void shifted_sine(double t, double middle, double *v)
{
    (void)middle;
    v[0] = sin(W * t + 0.03);
    v[1] = cos(W * t + 0.04);
}

static void test_crest_of_a_sine(void **state)
{
    (void)state;
    struct rig r = rig_new(2, 0, 1e-3, 0);
    run(&r, 3, 50, shifted_sine);
    struct wave_figures f = figures(&r, 0);
    near_rel(f.highest.value, 1, 1e-7, "V");
    near_abs(W * fmod(f.highest.time, T) + 0.03, PI / 2, 1e-4, "rad");
    near_rel(f.lowest.value, -1, 1e-7, "V");
    near_rel(f.ripple_pp, 2, 1e-7, "V");
    near_rel(figures(&r, 1).lowest.value, -1, 1e-7, "V");
    arena_free(r.arena);
}

static void test_both_sides_of_a_jump(void **state)
{
    (void)state;
    struct rig r = rig_new(1, 0, 1e-3, 0);
    step_of(&r, T / 4, level, 1);
    const double before[] = {-7}, after[] = {9};
    wave_instant(r.w, r.t, before);
    wave_instant(r.w, r.t, after);
    step_of(&r, 0, level, 11); /* no length: an extreme, no part of the mean */
    step_of(&r, T / 4, level, 3);
    struct wave_figures f = figures(&r, 0);
    assert_true(f.lowest.value == -7 && f.lowest.time == T / 4);
    assert_true(f.highest.value == 11 && f.highest.time == T / 4);
    near_rel(f.mean, 2, 1e-14, "V");
    near_rel(f.ripple_pp, 18, 1e-14, "V");
    arena_free(r.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rectified_sine),
        cmocka_unit_test(test_triangle_and_square),
        cmocka_unit_test(test_drift_is_no_ripple),
        cmocka_unit_test(test_no_ripple_no_line),
        cmocka_unit_test(test_ripple_below_floor),
        cmocka_unit_test(test_settling_time),
        cmocka_unit_test(test_settling_of_a_long_run),
        cmocka_unit_test(test_settling_within_a_block),
        cmocka_unit_test(test_settled_needs_a_window),
        cmocka_unit_test(test_window_and_whole_run),
        cmocka_unit_test(test_short_run),
        cmocka_unit_test(test_periods_are_counted),
        cmocka_unit_test(test_extreme_between_samples),
        cmocka_unit_test(test_crest_of_a_sine),
        cmocka_unit_test(test_both_sides_of_a_jump),
    };
    return cmocka_run_group_tests_name("wave", tests, NULL, NULL);
}
