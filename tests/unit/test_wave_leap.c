/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same signal measured whole and with leaps: a ripple on a parabola, whose leapt periods the
 * parabola through three periods gives back exactly; and means that settle within a leap. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "wave.h"

enum { GAP = 40, RUN = 400 };
#define PERIOD 0.02

static double signal_at(double t)
{
    return 300 + 0.003 * sq(t - RUN * PERIOD) + 2 * sin(2 * PI * t / PERIOD);
}

/* 16 steps of the running period. */
static void measure_period(struct wave *w)
{
    double start = wave_period_start(w), end = wave_period_end(w), h = (end - start) / 16;
    for (int k = 0; k < 16; k++) {
        double t0 = start + k * h, t1 = k == 15 ? end : t0 + h, samples[WAVE_NODES];
        for (int i = 0; i < WAVE_NODES; i++)
            samples[i] = signal_at(t0 + lobatto_node[i] * (t1 - t0));
        wave_step(w, t0, t1, samples, 1);
    }
}

static struct wave *measure(struct arena *arena, bool leaps)
{
    const double floor = 1e-3;
    const unsigned flags = 0;
    struct wave *w = wave_new(arena, 1, PERIOD, &floor, &flags);
    wave_start(w, 0);
    while (wave_period_end(w) < (RUN + 0.5) * PERIOD) {
        double periods = wave_period_start(w) / PERIOD;
        measure_period(w);
        if (!leaps || periods < 20 || periods > RUN - 3 * GAP) continue;
        wave_leap(w, GAP, 1);
        measure_period(w);
        measure_period(w);
        wave_leap(w, GAP, GAP + 2);
        measure_period(w);
        for (int k = 0; k < WAVE_WINDOW; k++) measure_period(w);
    }
    return w;
}

static void leaps_change_no_figure(void **state)
{
    struct arena *arena = arena_new();
    struct wave_figures whole, leapt;
    (void)state;
    wave_read(measure(arena, false), 0, &whole);
    wave_read(measure(arena, true), 0, &leapt);
    near_rel(leapt.integral, whole.integral, 1e-12, "");
    /* the square of a parabola is none: the rest is that of the fourth order */
    near_rel(leapt.square_integral, whole.square_integral, 1e-8, "");
    near_rel(leapt.mean, whole.mean, 1e-12, "");
    near_rel(leapt.ripple_rms, whole.ripple_rms, 1e-9, "");
    near_rel(leapt.ripple_pp, whole.ripple_pp, 1e-9, "");
    near_abs(leapt.highest.value, whole.highest.value, 1e-9, "");
    assert_int_equal(leapt.settled, whole.settled);
    arena_free(arena);
}

/* The means of the leapt periods are known one by one: where they come into the band is too. */
static void settling_within_a_leap_is_found(void **state)
{
    struct arena *arena = arena_new();
    struct wave_figures whole, leapt;
    (void)state;
    wave_read(measure(arena, false), 0, &whole);
    wave_read(measure(arena, true), 0, &leapt);
    assert_true(whole.settled);
    near_abs(whole.settling_time, RUN * PERIOD - sqrt(0.03 / 0.003), 2 * PERIOD, "s");
    near_abs(leapt.settling_time, whole.settling_time, 1e-9, "s");
    arena_free(arena);
}

/* Sums of 1, k and k^2 over the leapt periods 1 .. gap come out as they are. */
static void weights_are_exact_for_parabolas(void **state)
{
    (void)state;
    for (int gap = 1; gap < 5000; gap *= 3)
        for (int back = 1; back < 2000; back *= 7) {
            const double n = gap + 1.0, x[3] = {-back, 0, n};
            double w[3], sum[3] = {0}, wanted[3] = {0};
            wave_leap_weights(back, gap, w);
            for (int p = 0; p < 3; p++) {
                for (int k = 1; k <= gap; k++) wanted[p] += pow(k, p);
                for (int i = 0; i < 3; i++) sum[p] += w[i] * pow(x[i], p);
                near_rel(sum[p], wanted[p], 1e-11, "");
            }
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaps_change_no_figure),
        cmocka_unit_test(settling_within_a_leap_is_found),
        cmocka_unit_test(weights_are_exact_for_parabolas),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
