/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waveforms of sources: values, derivatives against differences, corners. Which volts are direct. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "circuit.h"
#include "near.h"
#include "numbers.h"

static double volts(const struct waveform *w, double t)
{
    double u, u1, u2;
    circuit_waveform_at(w, t, &u, &u1, &u2);
    return u;
}

static void sine_and_its_derivatives(void **state)
{
    const struct waveform w = {.kind = WAVEFORM_SINE, .peak = 165, .frequency = 60, .phase = 0.4};
    const double h = 1e-5;
    (void)state;
    for (double t = -0.02; t < 0.02; t += 0.0011) {
        double u, u1, u2, before, after, unused;
        circuit_waveform_at(&w, t, &u, &u1, &u2);
        near_abs(u, 165 * sin(2 * PI * 60 * t + 0.4), 1e-11, "V");
        near_abs(u1, (volts(&w, t + h) - volts(&w, t - h)) / (2 * h), 0.5, "V/s");
        circuit_waveform_at(&w, t - h, &unused, &before, &unused);
        circuit_waveform_at(&w, t + h, &unused, &after, &unused);
        near_abs(u2, (after - before) / (2 * h), 100, "V/s2");
    }
}

/* 100 Hz, 0.8 of each half period of 5 ms at full volts: 0.5 to 4.5 ms, and 5.5 to 9.5 ms. */
static void square_and_its_corners(void **state)
{
    const struct waveform w = {.kind = WAVEFORM_SQUARE, .peak = 6, .frequency = 100, .dwell = 0.8};
    const double corners[] = {0.5e-3, 4.5e-3, 5.5e-3, 9.5e-3, 10.5e-3};
    const double levels[] = {0, 6, 0, -6, 0, 6};
    (void)state;
    double t = 0;
    for (int k = 0; k < 5; k++) {
        double next = circuit_waveform_corner(&w, t);
        near_abs(next, corners[k], 1e-12, "s");
        for (double part = 0.02; part < 1; part += 0.06) {
            double u, u1, u2;
            circuit_waveform_at(&w, t + part * (next - t), &u, &u1, &u2);
            near_abs(u, levels[k], 0, "V");
            assert_true(u1 == 0 && u2 == 0);
        }
        t = next;
    }
}

static void steady_has_no_corner(void **state)
{
    const struct waveform w = {.kind = WAVEFORM_STEADY, .peak = 90};
    double u, u1, u2;
    (void)state;
    circuit_waveform_at(&w, 3, &u, &u1, &u2);
    assert_true(u == 90 && u1 == 0 && u2 == 0);
    assert_true(isinf(circuit_waveform_corner(&w, 3)));
}

/* Of a bridge of 282 V the AC ends have a mean of 141 V and 120 V beside it: no supply. A first
 * filter of half a wave with little capacitance has nearly as much ripple, and is one. */
static void direct_volts_are_filtered_ones(void **state)
{
    struct arena *arena = arena_new();
    struct circuit *c = circuit_new(arena);
    (void)state;
    const int filter = circuit_point(c, "first filter");
    circuit_point(c, "AC in");
    circuit_probe(c, (struct probe){.kind = PROBE_VOLTAGE,
                                    .flags = PROBE_CAPACITOR,
                                    .subject = "C1",
                                    .from = filter,
                                    .to = -1});
    assert_false(circuit_direct(c, "AC in", 141, 120));
    assert_true(circuit_direct(c, "AC in", -141, 60));
    assert_true(circuit_direct(c, "first filter", 97, 60));
    assert_true(circuit_direct(c, "first filter", -97, 60));
    assert_false(circuit_direct(c, "first filter", 20, 60));
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sine_and_its_derivatives),
        cmocka_unit_test(square_and_its_corners),
        cmocka_unit_test(steady_has_no_corner),
        cmocka_unit_test(direct_volts_are_filtered_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
