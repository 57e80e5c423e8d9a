/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat of windings and cores: the closed two-exponential answer of two bodies, copper by the
 * resistance method, and the forecast of a limit. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "handmade.h"
#include "kinds.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "thermal.h"

static const double room = 298.15; /* [K] */

/* A body of `law` at the room's temperature, heated by `volts` across ohms. Returns its state. */
static int warm(struct handmade *h, const char *name, struct warm_law *law, double limit)
{
    hand_r(h, name, "a", "0", law->resistance[0]);
    int d = circuit_device(h->c, name, "body", &law_warm, law);
    int s = circuit_state(h->c, d, "T",
                          (struct state){.cold = room,
                                         .range = 100,
                                         .is_temperature = true,
                                         .body = &law->body,
                                         .limit = limit});
    circuit_port(h->c, d, "port", circuit_point(h->c, "a"), 0, PORT_BASED);
    return s;
}

/* Copper of 90 J/K at 16 W on a core of 700 J/K at 8 W, 0.6 W/K between them, 0.5 W/K to the room.
 * Rises x over those at the end obey x' = -K x/C: two exponentials. */
static void test_two_bodies(void **state)
{
    const double watts[2] = {16, 8}, heat[2] = {90, 700}, way = 0.6, out = 0.5, volts = 40;
    struct warm_law law[2];
    struct handmade h = handmade_new(50);
    int s[2];
    (void)state;
    hand_steady(&h, "S", "a", "0", volts);
    for (int k = 0; k < 2; k++) {
        law[k] = (struct warm_law){.ports = 1,
                                   .resistance = {sq(volts) / watts[k]},
                                   .reference = room,
                                   .body = {.heat = heat[k],
                                            .to_ambient = k ? out : 0,
                                            .ambient = room,
                                            .links = 1,
                                            .link = {way}}};
        s[k] = warm(&h, k ? "core" : "copper", &law[k], 0);
    }
    circuit_foreign(h.c, 0, s[1]);
    circuit_foreign(h.c, 1, s[0]);
    double end[2], a = way / heat[0], b = way / heat[1], c = (way + out) / heat[1];
    end[1] = (watts[0] + watts[1]) / out;
    end[0] = end[1] + watts[0] / way;
    double half = (a + c) / 2, root = sqrt(sq((a - c) / 2) + a * b), slow = half - root,
           fast = half + root;
    struct worst worst = {0};
    for (double seconds = 1; seconds < 150; seconds *= 12) {
        /* x = p (1, u) e^(-slow t) + q (1, v) e^(-fast t), x(0) = -end; row 1: -a + a u = -slow */
        double u = 1 - slow / a, v = 1 - fast / a;
        double q = (-end[1] + u * end[0]) / (v - u), p = -end[0] - q;
        double e = p * exp(-slow * seconds), f = q * exp(-fast * seconds);
        const struct result *r = hand_run(&h, seconds);
        char row[40];
        snprintf(row, sizeof row, "after %g s", seconds);
        worst_take(&worst, hand_figure(r, "copper", MEASURE_TEMPERATURE) - room, end[0] + e + f,
                   row);
        worst_take(&worst, hand_figure(r, "core", MEASURE_TEMPERATURE) - room,
                   end[1] + u * e + v * f, row);
    }
    worst_check(&worst, "rises", 1e-6);
    handmade_free(&h);
}

/* 3.42 ohm at 20 C read 4.22 ohm hot: published 59.59 K with 0.00426 at 0 C (Kulshreshtha, Basic
 * Electrical Engineering, 2012, Ex. 2.18 p. 32, as in Python Textbook Companions); 59.532 K with
 * the straight line to -234.5 C. Copper loss of 504 W at 20 C is 613 W at 75 C (Langsdorf, Theory
 * of Alternating Current Machinery, Ex. 15 p. 33, same place). */
static void test_resistance_method(void **state)
{
    double coefficient = kind_copper_coefficient(293.15), s = 348.15, c[PORT_COEFFICIENTS], g;
    const struct warm_law law = {.ports = 1,
                                 .resistance = {3.42},
                                 .coefficient = coefficient,
                                 .reference = 293.15,
                                 .body = {.heat = 1, .ambient = 293.15}};
    (void)state;
    near_abs((4.22 / 3.42 - 1) / coefficient, 59.532, 5e-4, "K");
    near_abs((4.22 / 3.42 - 1) / coefficient, 59.59, 0.1, "K");
    law_warm.prepare(&law, &s, NULL, c);
    law_warm.current(&law, 0, c, 1, &g);
    near_abs(504 / (3.42 * (g + 1 / 3.42)), 613, 0.5, "W");
    s = 293.15 + 59.532;
    law_warm.prepare(&law, &s, NULL, c);
    law_warm.current(&law, 0, c, 1, &g);
    near_abs(1 / (g + 1 / 3.42), 4.22, 1e-5, "ohm");
}

/* One body at constant watts: T = room + P R (1 - e^(-t/RC)), told after five seconds of run. */
static void test_forecast(void **state)
{
    const double watts = 10, out = 0.1, heat = 50, limit = 373.15, volts = 20;
    struct warm_law law = {.ports = 1,
                           .resistance = {sq(volts) / watts},
                           .reference = room,
                           .body = {.heat = heat, .to_ambient = out, .ambient = room}};
    struct handmade h = handmade_new(50);
    (void)state;
    hand_steady(&h, "S", "a", "0", volts);
    warm(&h, "coil", &law, limit);
    double when = -heat / out * log(1 - (limit - room) * out / watts);
    near_rel(hand_figure(hand_run(&h, 5), "coil", MEASURE_TIME_TO_LIMIT), when, 1e-3, "s");
    handmade_free(&h);
    h = handmade_new(50); /* 75 K need 7.5 W */
    law.resistance[0] = sq(volts) / 7.4;
    hand_steady(&h, "S", "a", "0", volts);
    warm(&h, "coil", &law, limit);
    assert_true(isinf(hand_figure(hand_run(&h, 5), "coil", MEASURE_TIME_TO_LIMIT)));
    handmade_free(&h);
    law.body.heat = 0.05; /* over within the run: the instant itself */
    law.resistance[0] = sq(volts) / watts;
    h = handmade_new(50);
    hand_steady(&h, "S", "a", "0", volts);
    warm(&h, "coil", &law, limit);
    near_abs(hand_figure(hand_run(&h, 5), "coil", MEASURE_TIME_TO_LIMIT), when * 0.05 / heat, 1e-2,
             "s");
    handmade_free(&h);
}

/* Copper at a steady current: watts grow with the ohms, C x' = P (1 + a x) - x/R. */
static void test_copper_runs_ahead(void **state)
{
    struct arena *arena = arena_new();
    struct circuit *c = circuit_new(arena);
    struct warm_law law = {
        .ports = 1,
        .resistance = {1},
        .body = {.heat = 50, .to_ambient = 0.1, .ambient = room, .copper = true}};
    const double watts = 10, now = room, limit = room + 70;
    (void)state;
    int d = circuit_device(c, "coil", "body", &law_warm, &law);
    circuit_state(c, d, "T", (struct state){.body = &law.body, .limit = limit});
    double k = (0.1 - watts * kind_copper_coefficient(room)) / 50; /* [1/s] */
    near_rel(thermal_watts(c, 0, &now, 0.2), 10, 1e-12, "W");
    near_rel(thermal_time_to_limit(c, &now, &watts, 0), -log(1 - 70 * k / (watts / 50)) / k, 1e-3,
             "s");
    arena_free(arena);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_bodies),
        cmocka_unit_test(test_resistance_method),
        cmocka_unit_test(test_forecast),
        cmocka_unit_test(test_copper_runs_ahead),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
