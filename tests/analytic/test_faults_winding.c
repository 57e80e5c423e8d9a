/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Faults of transformers and coils against direct solutions: phasors where the circuit is linear,
 * the closed form of a core that saturates suddenly, and the balance of mean ampere-turns. */
#include <complex.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "catalogue.h"
#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "scenario.h"
#include "why.h"

typedef double complex phasor;
#define J ((phasor)I)

static const double omega = 2 * PI * 60;
static struct arena *arena;

static int setup_arena(void **state)
{
    (void)state;
    arena = arena_new();
    return 0;
}

static int free_arena(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(r, subject, measure);
    if (!f) fail_msg("no %s of %s", measure_table[measure].name, subject);
    return f->value;
}

/* Mean current of one element over the last `from` seconds, sampled. */
struct mean {
    const char *role;
    double from, sum;
    long n;
};

static void observe(void *context, double t, const struct equations *eq, const double *y)
{
    struct mean *m = context;
    (void)y;
    if (t < m->from) return;
    for (int k = 0; k < eq->circuit->elements.n; k++) {
        const struct element *e = &eq->circuit->elements.at[k];
        if (strcmp(e->part, "T1") != 0 || strcmp(e->role, m->role) != 0) continue;
        m->sum += equations_output(eq, OUTPUT_CURRENT, k);
        m->n++;
    }
}

static const struct result *run(const char *parts, double seconds, struct mean *mean, double hold)
{
    struct diags *diags = diags_new(arena);
    const struct catalogue *models = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const char *text = arena_printf(arena,
                                    "format: 1\ntitle: invented\n"
                                    "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, "
                                    "closes at: crest}\n"
                                    "run: {for: 1 s}\nparts:\n%s",
                                    parts);
    const struct scenario *s = scenario_parse(arena, diags, models, "set", text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    struct run_options o = run_defaults();
    o.duration = seconds;
    o.hold = hold;
    if (mean) {
        o.observe = observe;
        o.observe_context = mean;
        o.observe_every = 1.0 / (60 * 200);
    }
    const struct result *r = run_simulate(arena, setup, &o);
    if (r->status != STATUS_OK) fail_msg("%s", why(r));
    if (r->statistics.audit_failed) fail_msg("audit %.1e", r->statistics.energy_residual);
    return r;
}

/* --- shorted turns --- */

/* Linear: a core that saturates far above; nothing warms (run_options.hold). */
static const char linear[] =
    "  T1:\n"
    "    is: power transformer\n"
    "    primary: {rated: 117 V, resistance: 8 ohm}\n"
    "    magnetising current: 300 mA\n"
    "    core loss: 6 W\n"
    "    leakage inductance: 20 mH\n"
    "    saturation: 20\n"
    "    mass: 2 kg\n"
    "    windings:\n"
    "      high voltage: {across: [p1, chassis, p2], open circuit: [330 V, 350 V], resistance: "
    "[110 ohm, 130 ohm]}\n"
    "  R1: {is: resistor, across: [p1, chassis], resistance: 1 Gohm}\n"
    "  R2: {is: resistor, across: [p2, chassis], resistance: 1 Gohm}\n";

/* Current from the line with `load` [S] at the core; *core: its volts. */
static phasor line_current(phasor load, phasor *core)
{
    phasor x = J * omega * 0.020, leak = x * 1000 * cabs(x) / (x + 1000 * cabs(x)),
           y = 6 / sq(117) + 0.300 / (117 * J) + load, i = 117 / (8 + leak + 1 / y);
    *core = i / y;
    return i;
}

static void check_shorted(const char *keys, double share, double half_volts, double half_ohms,
                          double contact)
{
    phasor idle, loaded;
    line_current(0, &idle);
    double ratio = half_volts / cabs(idle) * share; /* readings are taken with no load */
    phasor i = line_current(sq(ratio) / (half_ohms * share + contact), &loaded);
    const char *at = strstr(linear, "    mass:");
    const struct result *r =
        run(arena_printf(arena, "%.*s    %s\n%s", (int)(at - linear), linear, keys, at), 1.5, NULL,
            HUGE_VAL);
    print_message("%.4f A, %.3f W from the line; sound %.3f W\n",
                  figure(r, "mains", MEASURE_LINE_CURRENT), figure(r, "mains", MEASURE_LINE_POWER),
                  creal(117 * conj(line_current(0, &idle))));
    near_rel(figure(r, "mains", MEASURE_LINE_CURRENT), cabs(i), 2e-5, "A");
    near_rel(figure(r, "mains", MEASURE_LINE_POWER), creal(117 * conj(i)), 2e-5, "W");
    double other = half_volts == 330 ? 350 : 330;
    near_rel(figure(r, half_volts == 330 ? "T1.high voltage 2" : "T1.high voltage 1",
                    MEASURE_RMS_VOLTAGE),
             other * cabs(loaded) / cabs(idle), 2e-5, "V");
    /* what is left of the half; a contact of its own ohms carries the loop's current */
    double rest = half_volts * (1 - share) * cabs(loaded) / cabs(idle);
    rest += cabs(loaded) * ratio * contact / (half_ohms * share + contact);
    near_rel(figure(r, half_volts == 330 ? "T1.high voltage 1" : "T1.high voltage 2",
                    MEASURE_RMS_VOLTAGE),
             rest, 2e-5, "V");
}

static void test_shorted_turns(void **state)
{
    (void)state;
    check_shorted("condition: shorted turns", 0.05 * 680 / 330, 330, 110, 0);
    check_shorted("condition: shorted turns\n    turns: 2 %\n    half: 2\n    contact: 3 ohm",
                  0.02 * 680 / 350, 350, 130, 3);
}

/* --- a coil --- */

/* L (1-f)^2 and L f^2 with M = k L f (1-f), the second closed on its own copper. */
static void test_coil(void **state)
{
    const double henries = 10, ohms = 300, f = 0.3, k = 0.95;
    phasor closed = ohms * f + J * omega * henries * sq(f);
    double m = k * henries * f * (1 - f);
    phasor z = ohms * (1 - f) + J * omega * henries * sq(1 - f) + sq(omega * m) / closed;
    (void)state;
    const struct result *r = run("  L1: {is: choke, across: [line, neutral], inductance: 10 H, "
                                 "resistance: 300 ohm, condition: shorted turns, turns: 30 %}\n",
                                 2, NULL, 0);
    near_rel(figure(r, "L1", MEASURE_RMS_CURRENT), 117 / cabs(z), 1e-5, "A");
    near_rel(figure(r, "L1", MEASURE_DISSIPATION), sq(117 / cabs(z)) * creal(z), 1e-5, "W");
}

/* --- saturation --- */

/* Core ideal up to Bs, air inductance beyond, switched on at the zero with remanence Br: saturates
 * at acos(1 - (Bs - Br)/Bn), then i = (V/Z) (sin(th - ph) - sin(ths - ph) e^(-(th - ths) R/X));
 * peaks from that form with 40 digits. The knee here has a width of 4 % of Bs, for which 1 % and
 * 1 degree are allowed. */
static void test_inrush(void **state)
{
    static const struct {
        double volts, hertz, ohms, air, bn, br, bs, peak, angle;
    } rows[] = {
        {117, 60, 8, 0.03, 1.3, 0.8, 1.9, 9.63165166, 152.24560},
        {117, 60, 8, 0.03, 1.3, 0, 1.9, 5.29736584, 165.15984},
        {230, 50, 5, 0.02, 1.5, 1.0, 2.0, 35.7521211, 146.66196},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        double flux = sqrt(2) * rows[k].volts / (2 * PI * rows[k].hertz) / rows[k].bn; /* per T */
        struct core_law law = {
            .magnetising = 1e5, .air = rows[k].air, .saturation = rows[k].bs * flux};
        struct handmade h = handmade_new(rows[k].hertz);
        hand_sine(&h, "S", "a", "0", sqrt(2) * rows[k].volts, 0);
        hand_r(&h, "R", "a", "b", rows[k].ohms);
        hand_r(&h, "loss", "b", "0", 1e7);
        int d = circuit_device(h.c, "core", "core", &law_core, &law);
        circuit_state(h.c, d, "flux",
                      (struct state){.cold = rows[k].br * flux, .range = rows[k].bn * flux});
        circuit_port(h.c, d, "magnetising", circuit_point(h.c, "b"), 0, PORT_BASED);
        hand_watch_current(&h, "R");
        const struct figure *peak =
            run_figure(hand_run(&h, 1 / rows[k].hertz), "R", MEASURE_HIGHEST_CURRENT);
        assert_non_null(peak);
        print_message("inrush %.4f A at %.2f deg, sharp corner %.4f A\n", peak->value,
                      peak->time * rows[k].hertz * 360, rows[k].peak);
        near_rel(peak->value, rows[k].peak, 0.01, "A");
        near_abs(peak->time * rows[k].hertz * 360, rows[k].angle, 1, "deg");
        handmade_free(&h);
    }
}

#define MAGNETISED(condition)                                                                      \
    "  T1:\n"                                                                                      \
    "    is: power transformer\n"                                                                  \
    "    primary: {rated: 117 V, resistance: 8 ohm}\n"                                             \
    "    magnetising current: 200 mA\n"                                                            \
    "    core loss: 4 W\n"                                                                         \
    "    leakage inductance: 10 mH\n"                                                              \
    "    air-core inductance: 30 mH\n"                                                             \
    "    saturation: 1.4\n" condition "    windings:\n"                                            \
    "      high voltage: {across: [p1, chassis, p2], open circuit: 600 V, resistance: 200 ohm}\n"  \
    "  V6: {is: rectifier, type: ideal, plates: [p1, p2], cathode: B+}\n"                          \
    "  R: {is: resistor, across: [B+, chassis], resistance: 5 kohm}\n"

/* A broken half leaves pulses of one direction. Nothing drives a mean current through the primary,
 * so the core's own must balance that of the secondary: its mean is the load's times the ratio. */
static void test_magnetised_by_a_dead_half(void **state)
{
    struct mean sound = {"magnetising", 4, 0, 0}, first = sound, second = sound,
                primary = {"primary resistance", 4, 0, 0};
    (void)state;
    run(MAGNETISED(""), 5, &sound, 0);
    const struct result *r =
        run(MAGNETISED("    condition: one half open\n    half: 2\n"), 5, &first, 0);
    run(MAGNETISED("    condition: one half open\n    half: 2\n"), 5, &primary, 0);
    double load = figure(r, "R", MEASURE_AVERAGE_CURRENT);
    run(MAGNETISED("    condition: one half open\n    half: 1\n"), 5, &second, 0);
    phasor x = J * omega * 0.010, leak = x * 1000 * cabs(x) / (x + 1000 * cabs(x)),
           y = 4 / sq(117) + 0.200 / (117 * J);
    double ratio = 300.0 / 117 * cabs(1 + y * (8 + leak)); /* read with no load */
    print_message("core %.6f A with the first half, %.6f A with the second, %.2e A sound; load "
                  "%.6f A times %.4f\n",
                  first.sum / (double)first.n, second.sum / (double)second.n,
                  sound.sum / (double)sound.n, load, ratio);
    near_abs(sound.sum / (double)sound.n, 0, 1e-5, "A");
    near_abs(primary.sum / (double)primary.n, 0, 5e-5, "A");
    near_rel(fabs(first.sum) / (double)first.n, ratio * load, 1e-3, "A");
    near_rel(second.sum / (double)second.n, -first.sum / (double)first.n, 1e-4, "A");
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_shorted_turns, setup_arena, free_arena),
        cmocka_unit_test_setup_teardown(test_coil, setup_arena, free_arena),
        cmocka_unit_test(test_inrush),
        cmocka_unit_test_setup_teardown(test_magnetised_by_a_dead_half, setup_arena, free_arena),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
