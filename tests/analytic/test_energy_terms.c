/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every kind of heat by itself, in circuits small enough for a closed form or for a quadrature that
 * shares nothing with the program: the joules of each part, and that their sum is all the heat
 * there is. Laws are written out anew here from their sources, so that a slip in one of them shows.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_odeiv2.h>

#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"

static const double limit = 1e-6;  /* of the joules; a slip of 1 % is ten thousand times that */
static const double bypass = 1e-9; /* across a conducting tube and a load [S] */
static const double hertz = 60, room = 298;

/* Wanted joules of parts, and all of them together. */
struct books {
    const struct result *r;
    struct worst worst;
    double sum;
};

static struct books open_books(struct handmade *h, double seconds)
{
    return (struct books){.r = hand_run(h, seconds)};
}

static void enter(struct books *b, const char *part, double joules)
{
    worst_take(&b->worst, hand_figure(b->r, part, MEASURE_ENERGY), joules, part);
    b->sum += joules;
}

/* Fails when a part is off, or when heat was counted that no part stands for. */
static void close_books_within(struct books *b, const char *title, double share)
{
    worst_take(&b->worst, b->r->statistics.energy_heat, b->sum, "the sum");
    worst_check(&b->worst, title, share);
}

static void close_books(struct books *b, const char *title)
{
    close_books_within(b, title, limit);
}

/* y' of an independent model; the last of its components are joules. */
typedef int model(double t, const double y[], double f[], void *context);

/* y[n] from 0 to `seconds` by Prince and Dormand's method of order 8 (GSL), far tighter than asked.
 */
static void follow(model *f, void *context, double seconds, double *y, size_t n)
{
    gsl_odeiv2_system system = {f, NULL, n, context};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-6, 1e-13, 1e-12);
    double t = 0;
    assert_non_null(driver);
    gsl_odeiv2_driver_set_hmax(driver, 1 / hertz / 32);
    assert_int_equal(gsl_odeiv2_driver_apply(driver, &t, seconds, y), GSL_SUCCESS);
    gsl_odeiv2_driver_free(driver);
}

/* ---- resistor ---- */

/* A capacitor charged through a resistor: C V^2/2 (1 - exp(-2 t/RC)). */
static void test_resistor(void **state)
{
    (void)state;
    const double volts = 100, ohms = 1000, farads = 10e-6, seconds = 0.02;
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S", "a", "0", volts);
    hand_r(&h, "R", "a", "b", ohms);
    hand_c(&h, "C", "b", "0", farads, 0);
    struct books b = open_books(&h, seconds);
    enter(&b, "R", -farads * sq(volts) / 2 * expm1(-2 * seconds / (ohms * farads)));
    close_books(&b, "resistor");
    handmade_free(&h);
}

/* ---- straight-line rectifier ---- */

/* Half wave into a resistor: i = (V sin x - threshold)/(slope + R) from x0 to pi - x0. */
static void check_rectifier(const char *title, double threshold, double slope)
{
    const double volts = 100, ohms = 70;
    const int cycles = 3;
    struct handmade h = handmade_new(hertz);
    hand_sine(&h, "S", "a", "0", volts, 0);
    hand_diode(&h, "D", "a", "b", threshold, slope);
    hand_r(&h, "R", "b", "0", ohms);
    struct books b = open_books(&h, cycles / hertz);
    double x0 = asin(threshold / volts), width = PI - 2 * x0, r = slope + ohms;
    double i1 = (2 * volts * cos(x0) - threshold * width) / r;
    double i2 = (sq(volts) * (width + sin(2 * x0)) / 2 - 4 * volts * threshold * cos(x0) +
                 sq(threshold) * width) /
                sq(r);
    double each = cycles / (2 * PI * hertz);
    enter(&b, "R", each * ohms * i2);
    enter(&b, "D", each * (threshold * i1 + slope * i2));
    close_books(&b, title);
    handmade_free(&h);
}

static void test_rectifier(void **state)
{
    (void)state;
    check_rectifier("rectifier, threshold alone", 20, 0);
    check_rectifier("rectifier, slope alone", 0, 30);
    check_rectifier("rectifier, threshold and slope", 20, 30);
}

/* ---- tube ---- */

/* So small a perveance that the bypass takes a tenth of the current: K v^1.5 + v/1e9, on v. */
static void test_tube_steady(void **state)
{
    (void)state;
    const double volts = 100, perveance = 1e-9, seconds = 0.1;
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S", "a", "0", volts);
    hand_tube(&h, "V", "a", "0", perveance);
    struct books b = open_books(&h, seconds);
    enter(&b, "V", (perveance * pow(volts, 2.5) + bypass * sq(volts)) * seconds);
    close_books(&b, "tube and its bypass");
    handmade_free(&h);
}

struct tube {
    double volts, perveance, ohms;
    bool plate; /* watts of the tube, else of the resistor */
};

/* Watts at the angle x of the source: V sin x = v + R (K v^1.5 + v/1e9), a cubic in sqrt(v). */
static double tube_watts(double x, void *context)
{
    const struct tube *c = context;
    double source = c->volts * sin(x), g = 1 + c->ohms * bypass, k = c->ohms * c->perveance;
    double s = sqrt(source);
    for (int n = 0; n < 100; n++)
        s -= (s * sq(s) * k + g * sq(s) - source) / (3 * k * sq(s) + 2 * g * s);
    double i = c->perveance * s * sq(s) + bypass * sq(s);
    return c->plate ? sq(s) * i : c->ohms * sq(i);
}

static double half_wave(struct tube *c, bool plate)
{
    gsl_integration_workspace *room_for = gsl_integration_workspace_alloc(200);
    gsl_function f = {tube_watts, c};
    double area, error;
    c->plate = plate;
    /* symmetric about the crest, where it is smooth; v^1.5 ends at the zero */
    assert_int_equal(
        gsl_integration_qags(&f, 1e-12, PI / 2, 0, 1e-11, 200, room_for, &area, &error), 0);
    gsl_integration_workspace_free(room_for);
    return 2 * area / (2 * PI * hertz);
}

static void test_tube_half_wave(void **state)
{
    (void)state;
    struct tube c = {.volts = 300, .perveance = 3e-4, .ohms = 2000};
    const int cycles = 3;
    struct handmade h = handmade_new(hertz);
    hand_sine(&h, "S", "a", "0", c.volts, 0);
    hand_tube(&h, "V", "a", "b", c.perveance);
    hand_r(&h, "R", "b", "0", c.ohms);
    struct books b = open_books(&h, cycles / hertz);
    enter(&b, "V", cycles * half_wave(&c, true));
    enter(&b, "R", cycles * half_wave(&c, false));
    /* no state controls the step: a sixteenth of a cycle, so that the quadrature alone is seen */
    close_books_within(&b, "tube on a sine", 5e-6);
    handmade_free(&h);
}

/* ---- loads ---- */

/* On half its volts, and so small that the bypass takes a tenth or more. */
static void check_load(const char *title, enum load_kind kind, double share)
{
    const double amperes = 1e-6, volts = 200, on = 100, seconds = 0.1;
    struct load_law law = {.kind = kind, .amperes = amperes, .volts = volts};
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S", "a", "0", on);
    int d = circuit_device(h.c, "load", "load", &law_load, &law);
    circuit_port(h.c, d, "load", circuit_point(h.c, "a"), circuit_point(h.c, "0"), PORT_BYPASSED);
    struct books b = open_books(&h, seconds);
    enter(&b, "load", (share * amperes * on + bypass * sq(on)) * seconds);
    close_books(&b, title);
    handmade_free(&h);
}

static void test_loads(void **state)
{
    (void)state;
    check_load("load like tubes", LOAD_TUBES, pow(0.5, 1.5));
    check_load("load of constant current", LOAD_CURRENT, 1);
    check_load("load like a resistor", LOAD_RESISTANCE, 0.5);
}

/* ---- heaters ---- */

/* Tungsten: R = R0 (T/T0)^1.2 (Jones & Langmuir, General Electric Review 30, 1927). */
static double tungsten(const struct heater_law *k, int section, double kelvin)
{
    return k->resistance[section] * pow(kelvin / k->wire_kelvin, 1.2);
}

/* Watts given off at `from` to `to`, when they are `watts` between the rated temperatures. */
static double radiated(double watts, double from, double to, double rated_from, double rated_to)
{
    return watts * (pow(from, 4) - pow(to, 4)) / (pow(rated_from, 4) - pow(rated_to, 4));
}

static void add_section(struct handmade *h, int device, const struct heater_law *k, int section,
                        const char *point, const char *role)
{
    int from = circuit_point(h->c, point), to = circuit_point(h->c, "0");
    circuit_resistor(h->c, "heater", role, from, to, k->resistance[section] / k->parallel);
    circuit_port(h->c, device, role, from, to, PORT_BASED);
}

static void add_kelvin(struct handmade *h, int device, const char *role, double kelvin)
{
    circuit_state(
        h->c, device, role,
        (struct state){.cold = kelvin, .hot = kelvin, .range = 1000, .is_temperature = true});
}

/* Three filaments that stay at a temperature chosen beforehand: the volts that hold it follow. */
static void test_filament_settled(void **state)
{
    (void)state;
    const struct heater_law k = {.sections = 1,
                                 .parallel = 3,
                                 .resistance = {2.5},
                                 .watts = {10},
                                 .wire_kelvin = 1050,
                                 .ambient = room,
                                 .wire_heat = {0.05}};
    const double kelvin = 800, seconds = 1;
    double watts = radiated(k.watts[0], kelvin, room, k.wire_kelvin, room);
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S", "a", "0", sqrt(watts * tungsten(&k, 0, kelvin)));
    int d = circuit_device(h.c, "heater", "heater", &law_heater, &k);
    add_section(&h, d, &k, 0, "a", "wire");
    add_kelvin(&h, d, "wire", kelvin);
    struct books b = open_books(&h, seconds);
    enter(&b, "heater", k.parallel * watts * seconds);
    close_books(&b, "filaments, settled");
    handmade_free(&h);
}

/* Two sections in one cathode, from cold: y = both wires, the cathode, joules. */
struct cathode {
    struct heater_law law;
    double volts[2];
};

static int warm_up(double t, const double y[], double f[], void *context)
{
    const struct cathode *c = context;
    const struct heater_law *k = &c->law;
    double received = 0;
    (void)t;
    f[3] = 0;
    for (int n = 0; n < 2; n++) {
        double in = sq(c->volts[n]) / tungsten(k, n, y[n]);
        double out = radiated(k->watts[n], y[n], y[2], k->wire_kelvin, k->cathode_kelvin);
        f[n] = (in - out) / k->wire_heat[n];
        received += out;
        f[3] += k->parallel * in;
    }
    f[2] = (received -
            radiated(k->watts[0] + k->watts[1], y[2], k->ambient, k->cathode_kelvin, k->ambient)) /
           k->cathode_heat;
    return GSL_SUCCESS;
}

static void test_heater_warming(void **state)
{
    (void)state;
    struct cathode c = {.law = {.sections = 2,
                                .has_cathode = 1,
                                .parallel = 2,
                                .resistance = {50, 180},
                                .watts = {1.1, 4.1},
                                .wire_kelvin = 1400,
                                .cathode_kelvin = 1050,
                                .ambient = room,
                                .wire_heat = {0.004, 0.016},
                                .cathode_heat = 0.04},
                        .volts = {7.0, 30}};
    const double seconds = 4;
    double y[4] = {room, room, room, 0};
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S1", "a", "0", c.volts[0]);
    hand_steady(&h, "S2", "b", "0", c.volts[1]);
    int d = circuit_device(h.c, "heater", "heater", &law_heater, &c.law);
    add_section(&h, d, &c.law, 0, "a", "wire");
    add_section(&h, d, &c.law, 1, "b", "wire 2");
    add_kelvin(&h, d, "wire", room);
    add_kelvin(&h, d, "wire 2", room);
    add_kelvin(&h, d, "cathode", room);
    follow(warm_up, &c, seconds, y, 4);
    struct books b = open_books(&h, seconds);
    enter(&b, "heater", y[3]);
    near_rel(hand_figure(b.r, "heater.cathode", MEASURE_TEMPERATURE), y[2], 1e-8, "K");
    print_message("wires at %.1f K and %.1f K, cathode at %.1f K\n", y[0], y[1], y[2]);
    close_books(&b, "heater with two sections, from cold");
    handmade_free(&h);
}

/* ---- warm coil ---- */

struct coil {
    struct warm_law law;
    double volts, henries;
};

/* y = amperes, kelvin, joules */
static int coil_warms(double t, const double y[], double f[], void *context)
{
    const struct coil *c = context;
    const struct warm_law *k = &c->law;
    double ohms = k->resistance[0] * (1 + k->coefficient * (y[1] - k->reference));
    (void)t;
    f[2] = ohms * sq(y[0]);
    f[1] = (f[2] - (y[1] - k->body.ambient) * k->body.to_ambient) / k->body.heat;
    f[0] = (c->volts - ohms * y[0]) / c->henries;
    return GSL_SUCCESS;
}

/* A coil of little mass at 40 W: 1500 ohm become 1700 within a second. */
static void test_warm_coil(void **state)
{
    (void)state;
    struct coil c = {{.ports = 1,
                      .resistance = {1500},
                      .coefficient = 1 / 254.5,
                      .reference = 293,
                      .body = {.heat = 1, .to_ambient = 0.5, .ambient = room}},
                     250,
                     12};
    const double seconds = 1;
    double y[3] = {0, room, 0};
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "S", "a", "0", c.volts);
    hand_l(&h, "L", "a", "b", c.henries, 0);
    hand_r(&h, "coil", "b", "0", c.law.resistance[0]);
    int d = circuit_device(h.c, "coil", "warm", &law_warm, &c.law);
    circuit_port(h.c, d, "warm", circuit_point(h.c, "b"), circuit_point(h.c, "0"), PORT_BASED);
    circuit_state(h.c, d, "T",
                  (struct state){.cold = room, .hot = room, .range = 100, .is_temperature = true});
    follow(coil_warms, &c, seconds, y, 3);
    struct books b = open_books(&h, seconds);
    enter(&b, "coil", y[2]);
    near_rel(hand_figure(b.r, "coil", MEASURE_TEMPERATURE), y[1], 1e-8, "K");
    print_message("coil at %.1f K\n", y[1]);
    close_books(&b, "warm coil");
    handmade_free(&h);
}

/* ---- core ---- */

struct core {
    struct core_law law;
    double volts, winding, loss; /* peak V, ohm, ohm */
};

/* The knee (a + sqrt(a^2 + b^2))/2 with b = 4 % of the saturation flux. */
static double knee(const struct core_law *k, double over)
{
    return (over + hypot(over, 0.04 * k->saturation)) / 2;
}

/* y = flux, joules in the winding, joules in the core */
static int magnetise(double t, const double y[], double f[], void *context)
{
    const struct core *c = context;
    const struct core_law *k = &c->law;
    double source = c->volts * sin(2 * PI * hertz * t);
    double amperes = y[0] / k->magnetising +
                     (knee(k, y[0] - k->saturation) - knee(k, -y[0] - k->saturation)) / k->air;
    double across = (source / c->winding - amperes) / (1 / c->winding + 1 / c->loss);
    f[0] = across;
    f[1] = sq(source - across) / c->winding;
    f[2] = sq(across) / c->loss;
    return GSL_SUCCESS;
}

/* Closed at the zero of the line, so that the core saturates: its own field is no heat. */
static void test_core_loss(void **state)
{
    (void)state;
    struct core c = {{.magnetising = 3.1, .air = 0.05, .saturation = 0.62}, 165, 8, 2300};
    const double seconds = 3.25 / hertz;
    double y[3] = {0, 0, 0};
    struct handmade h = handmade_new(hertz);
    hand_sine(&h, "S", "a", "0", c.volts, 0);
    hand_r(&h, "winding", "a", "b", c.winding);
    hand_r(&h, "core loss", "b", "0", c.loss);
    int d = circuit_device(h.c, "core", "core", &law_core, &c.law);
    circuit_port(h.c, d, "core", circuit_point(h.c, "b"), circuit_point(h.c, "0"), PORT_BASED);
    circuit_state(h.c, d, "flux", (struct state){.range = c.law.saturation});
    follow(magnetise, &c, seconds, y, 3);
    struct books b = open_books(&h, seconds);
    enter(&b, "winding", y[1]);
    enter(&b, "core loss", y[2]);
    close_books(&b, "core loss");
    assert_null(run_figure(b.r, "core", MEASURE_ENERGY));
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_resistor),       cmocka_unit_test(test_rectifier),
        cmocka_unit_test(test_tube_steady),    cmocka_unit_test(test_tube_half_wave),
        cmocka_unit_test(test_loads),          cmocka_unit_test(test_filament_settled),
        cmocka_unit_test(test_heater_warming), cmocka_unit_test(test_warm_coil),
        cmocka_unit_test(test_core_loss),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
