/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every law's analytic slopes against central differences of itself at seeded random points, and
 * values known from elsewhere: the energy of a core, the balance of a heater. The constants are
 * invented unless a source stands beside them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "emission.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"

enum { POINTS = 400, COEFFICIENTS = DEVICE_PORTS * PORT_COEFFICIENTS };

/* D. H. Lehmer's kind of generator with the constants of Knuth, TAOCP 2, 3.3.4 (MMIX). */
static double uniform(uint64_t *seed, double low, double high)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*seed >> 11) / 9007199254740992.0;
}

static const struct heater_law bare = {.sections = 1,
                                       .parallel = 3,
                                       .resistance = {2.5},
                                       .watts = {10},
                                       .wire_kelvin = 1050,
                                       .ambient = 298,
                                       .wire_heat = {0.05}};
static const struct heater_law sections = {.sections = 2,
                                           .has_cathode = 1,
                                           .parallel = 1,
                                           .resistance = {183, 50},
                                           .watts = {4.1, 1.1},
                                           .wire_kelvin = 1400,
                                           .cathode_kelvin = 1050,
                                           .ambient = 298,
                                           .wire_heat = {0.02, 0.005},
                                           .cathode_heat = 0.12};
static const struct diode_law cool = {.perveance = 2.69e-4, .emission = 4};
static const struct diode_law heated = {.perveance = 2.69e-4, .emission = 0.4, .heated = 1};
static const struct load_law tubes = {LOAD_TUBES, 0.064, 255, 2, {0.7, 0.3}};
static const struct load_law steady = {LOAD_CURRENT, 0.064, 255, 2, {0.25, 0.75}};
static const struct load_law plain = {LOAD_RESISTANCE, 0.064, 255, 0, {0}};
/* 0.44 mA/V^1.5 behind 410 ohm, 2 Mohm from 200 V at 250 V on 500 kohm; one with a fixed bias */
static const struct output_law self_biased = {.perveance = 4.4e-4,
                                              .factor = 6.8,
                                              .share = {0.84, 0.16},
                                              .cathode = 410,
                                              .leak = 0.16,
                                              .grid = 4e5,
                                              .soft = 0.02,
                                              .tubes = 2,
                                              .weight = {0.4, 0.6}};
static const struct output_law fixed_bias = {.perveance = 4.4e-4,
                                             .factor = 6.8,
                                             .share = {0.84, 0.16},
                                             .bias = -13.2,
                                             .leak = 0.16,
                                             .grid = 4e5,
                                             .soft = 0.02,
                                             .tubes = 1,
                                             .weight = {1}};
static const struct output_law sound_triode = {
    .perveance = 3.4e-4, .factor = 3.5, .share = {1, 0}, .cathode = 1470, .soft = 0.02};
static const struct lamp_law filament = {240, 8.4e-7, 5e-5, 0.0036, 1.7e-5, 298};
static const struct thermistor_law inrush = {120, 3900, 0.008, 1.26, 2.9, 298, 0};
static const struct thermistor_law iron = {116, 0, 0.0113, 1.25, 0.05, 298, 1.8};
static const struct fuse_law fuse = {0.117, 0.0039, 505, 0.015, 0.06, 0.006, 0.0065, 298};
static const struct can_law can = {.ports = 3,
                                   .port = {{1e-5, 0.023, 2, {{150, 1000}, {210, 300}}},
                                            {0.06, 0, 0, {{0, 0}}},
                                            {2e-6, 0.035, 0, {{0, 0}}}},
                                   .reference = 298,
                                   .ambient = 303,
                                   .thermal_resistance = 20,
                                   .heat = 50};
static const struct warm_law copper = {.ports = 1,
                                       .resistance = {1500},
                                       .coefficient = 1 / 254.5,
                                       .reference = 298,
                                       .body = {.heat = 150, .to_ambient = 0.12, .ambient = 298}};
static const struct warm_law winding = {
    .ports = 3,
    .resistance = {106, 6, 121},
    .coefficient = 1 / 254.5,
    .reference = 298,
    .body = {.heat = 60, .ambient = 298, .links = 2, .link = {0.5, 0.2}}};
static const struct core_law core = {.magnetising = 5.2, .air = 0.04, .saturation = 0.62};
static const struct coil_law choke = {.inductance = 15, .knee = 1.35, .power = 3};
static const struct coil_law swinging = {.inductance = 24, .knee = 0.8, .power = 7};
static const struct core_law warm_core = {
    .magnetising = 5.2,
    .air = 0.04,
    .saturation = 0.62,
    .loss = 3e-4,
    .body = {.heat = 700, .to_ambient = 0.5, .ambient = 298, .links = 3, .link = {0.3, 0.4, 0.1}}};

/* A law with its constants and the span of what it sees; `own` bounds its states, foreign states
 * are temperatures. */
struct sample {
    const char *name;
    const struct device_law *law;
    const void *par;
    int ports, states, foreign;
    double volts, own_low, own_high;
};

static const struct sample samples[] = {
    {"bare filament", &law_heater, &bare, 1, 1, 0, 8, 300, 1300},
    {"two heater sections", &law_heater, &sections, 2, 3, 0, 50, 300, 1600},
    {"diode that counts as hot", &law_diode, &cool, 1, 0, 0, 200, 0, 0},
    {"diode with a cathode", &law_diode, &heated, 1, 0, 1, 200, 0, 0},
    {"load like tubes", &law_load, &tubes, 1, 0, 2, 400, 0, 0},
    {"load of constant current", &law_load, &steady, 1, 0, 2, 8, 0, 0},
    {"load like a resistance", &law_load, &plain, 1, 0, 0, 400, 0, 0},
    {"output stage with bias resistor", &law_output, &self_biased, 2, 0, 2, 400, 0, 0},
    {"output stage with fixed bias", &law_output, &fixed_bias, 2, 0, 1, 400, 0, 0},
    {"output triode", &law_output, &sound_triode, 1, 0, 0, 400, 0, 0},
    {"warm copper", &law_warm, &copper, 1, 1, 0, 200, 280, 420},
    {"tungsten lamp", &law_lamp, &filament, 1, 1, 0, 170, 250, 3800},
    {"inrush thermistor", &law_thermistor, &inrush, 1, 1, 0, 60, 310, 520},
    {"thermistor below the room", &law_thermistor, &inrush, 1, 1, 0, 60, 260, 290},
    {"iron wire in gas", &law_thermistor, &iron, 1, 1, 0, 240, 305, 1200},
    {"fuse", &law_fuse, &fuse, 1, 2, 0, 0.6, 290, 504},
    {"melted fuse", &law_fuse, &fuse, 1, 2, 0, 0.6, 506, 900},
    {"can of two sections", &law_can, &can, 3, 1, 0, 300, 280, 420},
    {"winding in pieces", &law_warm, &winding, 3, 1, 2, 40, 280, 420},
    {"iron core", &law_core, &core, 1, 1, 0, 170, -1.2, 1.2},
    {"choke", &law_coil, &choke, 1, 1, 0, 170, -2, 2},
    {"swinging choke", &law_coil, &swinging, 1, 1, 0, 170, -1.5, 1.5},
    {"warm iron core", &law_core, &warm_core, 1, 2, 3, 170, -1.2, 1.2},
};
enum { SAMPLES = sizeof samples / sizeof samples[0] };

struct spot {
    double v[DEVICE_PORTS], s[DEVICE_STATES], x[DEVICE_FOREIGN];
};

static double current_at(const struct sample *p, const struct spot *at, int port)
{
    double c[COEFFICIENTS] = {0}, g;
    p->law->prepare(p->par, at->s, at->x, c);
    return p->law->current(p->par, port, c + port * PORT_COEFFICIENTS, at->v[port], &g);
}

static double rate_at(const struct sample *p, const struct spot *at, int state)
{
    double c[COEFFICIENTS] = {0}, ds[DEVICE_STATES] = {0};
    p->law->prepare(p->par, at->s, at->x, c);
    p->law->rates(p->par, at->v, at->s, c, ds);
    return ds[state];
}

typedef double probe(const struct sample *p, const struct spot *at, int which);

/* Central difference of a probe in one of the numbers of the spot. */
static double difference(const struct sample *p, probe *f, int which, struct spot *at,
                         double *number, double h)
{
    double middle = *number;
    *number = middle + h;
    double up = f(p, at, which);
    *number = middle - h;
    double down = f(p, at, which);
    *number = middle;
    return (up - down) / (2 * h);
}

static void agree(const struct sample *p, const char *what, double analytic, double numeric,
                  double scale)
{
    if (fabs(analytic - numeric) <= 2e-5 * fabs(numeric) + 1e-6 * scale) return;
    fail_msg("%s, %s: analytic %.9g, difference %.9g", p->name, what, analytic, numeric);
}

static void check_spot(const struct sample *p, struct spot *at)
{
    double c[COEFFICIENTS] = {0}, g;
    struct device_slopes d = {0};
    p->law->prepare(p->par, at->s, at->x, c);
    p->law->slopes(p->par, at->v, at->s, at->x, c, &d);
    for (int k = 0; k < p->ports; k++) {
        double i = p->law->current(p->par, k, c + k * PORT_COEFFICIENTS, at->v[k], &g),
               scale = fabs(i) + 1e-9;
        double h = 1e-5 * fabs(at->v[k]) + 1e-7;
        agree(p, "di/dv", g, difference(p, current_at, k, at, &at->v[k], h), scale / (h + 1));
        for (int j = 0; j < p->states; j++)
            agree(p, "di/ds", d.i_s[k][j],
                  difference(p, current_at, k, at, &at->s[j], 1e-5 * fabs(at->s[j]) + 1e-7), scale);
        for (int j = 0; j < p->foreign; j++)
            agree(p, "di/dx", d.i_x[k][j],
                  difference(p, current_at, k, at, &at->x[j], 1e-5 * at->x[j]), scale / 100);
    }
    for (int n = 0; n < p->states; n++) {
        double scale = fabs(rate_at(p, at, n));
        for (int k = 0; k < p->ports; k++)
            agree(p, "ds/dv", d.ds_v[n][k],
                  difference(p, rate_at, n, at, &at->v[k], 1e-5 * fabs(at->v[k]) + 1e-7), scale);
        for (int j = 0; j < p->states; j++)
            agree(p, "ds/ds", d.ds_s[n][j],
                  difference(p, rate_at, n, at, &at->s[j], 1e-5 * fabs(at->s[j]) + 1e-7), scale);
        for (int j = 0; j < p->foreign; j++)
            agree(p, "ds/dx", d.ds_x[n][j],
                  difference(p, rate_at, n, at, &at->x[j], 1e-5 * at->x[j]), scale / 100);
    }
}

static void slopes_are_derivatives(void **state)
{
    uint64_t seed = 20240611;
    (void)state;
    for (int n = 0; n < SAMPLES; n++) {
        const struct sample *p = &samples[n];
        for (int m = 0; m < POINTS; m++) {
            struct spot at = {{0}, {0}, {0}};
            for (int k = 0; k < p->ports; k++) at.v[k] = uniform(&seed, -p->volts, p->volts);
            for (int k = 0; k < p->states; k++) at.s[k] = uniform(&seed, p->own_low, p->own_high);
            for (int k = 0; k < p->foreign; k++) at.x[k] = uniform(&seed, 320, 1200);
            check_spot(p, &at);
        }
    }
}

static void every_law_has_a_sample(void **state)
{
    (void)state;
    for (int k = 0; k < laws_count; k++) {
        bool found = false;
        for (int n = 0; n < SAMPLES; n++) found = found || samples[n].law == laws_all[k];
        if (!found) fail_msg("no sample of the law `%s`", laws_all[k]->name);
    }
}

/* A law that calls itself straight must be, or the port iteration stops too early. */
static void straight_laws_are_straight(void **state)
{
    (void)state;
    for (int n = 0; n < SAMPLES; n++) {
        const struct sample *p = &samples[n];
        struct spot at = {{0}, {900, 900, 900}, {900, 900, 900}};
        if (p->law == &law_core) at.s[0] = 0.5;
        if (!p->law->straight) continue;
        for (int k = 0; k < p->ports; k++) {
            double i[3];
            for (int m = 0; m < 3; m++) {
                at.v[k] = p->volts * (m - 1);
                i[m] = current_at(p, &at, k);
            }
            near_abs(i[0] + i[2], 2 * i[1], 1e-12 * (fabs(i[0]) + fabs(i[2])), "A");
        }
    }
}

/* --- load ----------------------------------------------------------------------------------- */

static void loads_draw_what_they_are_told(void **state)
{
    const struct load_law laws[] = {{LOAD_TUBES, 0.06, 250, 0, {0}},
                                    {LOAD_CURRENT, 0.06, 250, 0, {0}},
                                    {LOAD_RESISTANCE, 0.06, 250, 0, {0}}};
    const double at_half[] = {0.06 * 0.35355339059327373, 0.06, 0.03};
    (void)state;
    for (int n = 0; n < 3; n++) {
        double c[COEFFICIENTS], g;
        law_load.prepare(&laws[n], NULL, NULL, c);
        near_rel(law_load.current(&laws[n], 0, c, 250, &g), 0.06, 1e-14, "A");
        near_rel(law_load.current(&laws[n], 0, c, 125, &g), at_half[n], 1e-14, "A");
        near_abs(law_load.current(&laws[n], 0, c, 0, &g), 0, 0, "A");
    }
}

/* Never below zero, and smooth where its pieces meet. */
static void loads_bend_without_a_step(void **state)
{
    const struct load_law laws[] = {{LOAD_TUBES, 0.06, 250, 0, {0}},
                                    {LOAD_CURRENT, 0.06, 250, 0, {0}}};
    const double joints[] = {0, 2.5};
    (void)state;
    for (int n = 0; n < 2; n++)
        for (int k = 0; k < 2; k++) {
            double c[COEFFICIENTS], below, above, g1, g2, h = 1e-9;
            law_load.prepare(&laws[n], NULL, NULL, c);
            below = law_load.current(&laws[n], 0, c, joints[k] - h, &g1);
            above = law_load.current(&laws[n], 0, c, joints[k] + h, &g2);
            near_abs(below, above, 1e-9, "A");
            if (n == 1 && k == 0) continue; /* constant current starts with a slope */
            near_abs(g1, g2, 1e-6, "S");
        }
}

static void load_follows_its_cathodes(void **state)
{
    const double x[] = {EMISSION_RATED_KELVIN, 300};
    double c[COEFFICIENTS], g, full;
    (void)state;
    law_load.prepare(&tubes, NULL, x, c);
    full = emission_share(EMISSION_RATED_KELVIN, NULL);
    near_rel(law_load.current(&tubes, 0, c, 255, &g), 0.064 * 0.7 * full, 1e-6, "A");
}

/* --- output stage --------------------------------------------------------------------------- */

static double stage_amperes(const struct output_law *l, double v)
{
    double c[COEFFICIENTS], g, sum = 0;
    law_output.prepare(l, NULL, NULL, c);
    for (int port = 0; port < (l->share[1] > 0 ? 2 : 1); port++)
        sum += law_output.current(l, port, c + port * PORT_COEFFICIENTS, v, &g);
    return sum;
}

/* The current put back into the equations it solves: grid volts by the divider, less the drop of
 * the bias resistor and of the grid's own current through the divider; i = G (vg + v/mu)^(3/2). */
static void stage_solves_its_equations(void **state)
{
    struct output_law laws[] = {self_biased, fixed_bias, sound_triode};
    (void)state;
    for (int n = 0; n < 3; n++) {
        struct output_law *l = &laws[n];
        l->tubes = 0;
        l->soft = 1e-9;
        for (double v = 60; v < 400; v += 17) {
            double i = stage_amperes(l, v), over = l->cathode * i;
            double vg = pow(i / l->perveance, 2.0 / 3) - v / l->factor;
            double drawn = vg > 0 ? l->perveance * vg * vg / sqrt(vg + 0.05) : 0;
            near_abs(vg, l->bias + l->leak * (v + over) - over - l->grid * drawn, 1e-6, "V");
        }
    }
}

/* A leak raises the current, a bias resistor holds it back, and the grid's own current ends it:
 * even with all of the plate's volts behind the grid it stands little above its cathode. */
static void leak_is_held_back(void **state)
{
    struct output_law sound = self_biased, leaky = self_biased, open = fixed_bias;
    (void)state;
    sound.tubes = leaky.tubes = open.tubes = 0;
    sound.leak = 0;
    assert_true(stage_amperes(&leaky, 235) > 1.3 * stage_amperes(&sound, 235));
    open.leak = 0;
    double before = stage_amperes(&open, 235);
    open.leak = 1;
    double after = stage_amperes(&open, 235), vg = pow(after / open.perveance, 2.0 / 3) - 235 / 6.8;
    assert_true(after > 1.5 * before);
    assert_true(vg > 0 && vg < 1.5);
    open.bias = -60;
    open.leak = 0;
    near_abs(stage_amperes(&open, 235), 0, 0, "A");
}

/* --- core ----------------------------------------------------------------------------------- */

static double core_amperes(double flux)
{
    double c[COEFFICIENTS], g;
    law_core.prepare(&core, &flux, NULL, c);
    return law_core.current(&core, 0, c, 0, &g);
}

static void core_is_odd_and_saturates(void **state)
{
    (void)state;
    near_abs(core_amperes(0), 0, 1e-15, "A");
    for (double x = 0.01; x < 2; x += 0.037)
        near_abs(core_amperes(x), -core_amperes(-x), 1e-12 * core_amperes(x), "A");
    /* far below and far beyond saturation the two straight lines */
    near_rel(core_amperes(0.1), 0.1 / 5.2, 0.12, "A"); /* the knee's tail adds the tenth */
    near_rel(core_amperes(3), 3 / 5.2 + (3 - 0.62) / 0.04, 1e-3, "A");
}

/* Energy of a field: dE = i d(flux). */
static void core_stores_what_it_is_given(void **state)
{
    double zero = 0;
    (void)state;
    near_abs(law_core.stored(&core, &zero), 0, 1e-15, "J");
    for (double x = -1.5; x < 1.5; x += 0.0171) {
        double h = 1e-5, up = x + h, down = x - h;
        double slope = (law_core.stored(&core, &up) - law_core.stored(&core, &down)) / (2 * h);
        near_abs(slope, core_amperes(x), 1e-7 * fabs(core_amperes(x)) + 1e-8, "A");
    }
}

/* --- coil ----------------------------------------------------------------------------------- */

static double coil_amperes(const struct coil_law *l, double flux)
{
    double c[COEFFICIENTS], g;
    law_coil.prepare(l, &flux, NULL, c);
    return law_coil.current(l, 0, c, 0, &g);
}

/* dx/di at a current, by differences. */
static double henries_at(const struct coil_law *l, double amperes)
{
    double x = coil_flux(l, amperes), h = 1e-5 * x + 1e-9;
    return 2 * h / (coil_amperes(l, x + h) - coil_amperes(l, x - h));
}

static void coil_meets_what_is_known(void **state)
{
    static const struct {
        double henries[2], amperes[2], power;
    } rows[] = {{{20, 5}, {0.02, 0.2}, 3},
                {{25, 5}, {0.02, 0.2}, 5},
                {{12, 11}, {0.01, 0.1}, 3},
                {{15, 10}, {0, 0.06}, 3}};
    struct coil_law l = {.inductance = 15, .power = COIL_POWER};
    (void)state;
    coil_fit_one(&l, 10, 0.06);
    near_rel(henries_at(&l, 0.06), 10, 1e-8, "H");
    near_rel(henries_at(&l, 1e-6), 15, 1e-8, "H");
    /* what lists of chokes tell, from memory: 0.6 to 0.8 at half as much current again */
    near_abs(henries_at(&l, 0.09), 7, 1, "H");
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        struct coil_law m;
        assert_true(coil_fit_two(&m, rows[k].henries, rows[k].amperes));
        near_abs(m.power, rows[k].power, 0, "1");
        for (int j = 0; j < 2; j++)
            near_rel(henries_at(&m, rows[k].amperes[j] + 1e-9), rows[k].henries[j], 1e-6, "H");
    }
    /* nothing left at ten times the current: no such curve, it would fold back */
    assert_false(coil_fit_two(&l, (double[]){24, 0.05}, (double[]){0.02, 0.2}));
}

static void coil_stores_what_it_is_given(void **state)
{
    double zero = 0;
    (void)state;
    near_abs(law_coil.stored(&swinging, &zero), 0, 1e-15, "J");
    for (double x = -1.5; x < 1.5; x += 0.0171) {
        double h = 1e-5, up = x + h, down = x - h;
        double slope =
            (law_coil.stored(&swinging, &up) - law_coil.stored(&swinging, &down)) / (2 * h);
        near_abs(slope, coil_amperes(&swinging, x), 1e-7 * fabs(slope) + 1e-8, "A");
        near_rel(coil_flux(&swinging, coil_amperes(&swinging, x)), x, 1e-9, "V s");
    }
}

/* --- heat ----------------------------------------------------------------------------------- */

static void heaters_settle_at_their_rating(void **state)
{
    double s[] = {1400, 1400, 1050}, v[2], c[COEFFICIENTS], ds[DEVICE_STATES], g;
    (void)state;
    for (int k = 0; k < 2; k++) v[k] = sqrt(sections.watts[k] * sections.resistance[k]);
    law_heater.prepare(&sections, s, NULL, c);
    law_heater.rates(&sections, v, s, c, ds);
    for (int k = 0; k < 3; k++) near_abs(ds[k], 0, 1e-9, "K/s");
    for (int k = 0; k < 2; k++)
        near_abs(law_heater.current(&sections, k, c + k * PORT_COEFFICIENTS, v[k], &g), 0, 1e-15,
                 "A");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_derivatives),
        cmocka_unit_test(every_law_has_a_sample),
        cmocka_unit_test(straight_laws_are_straight),
        cmocka_unit_test(loads_draw_what_they_are_told),
        cmocka_unit_test(loads_bend_without_a_step),
        cmocka_unit_test(load_follows_its_cathodes),
        cmocka_unit_test(stage_solves_its_equations),
        cmocka_unit_test(leak_is_held_back),
        cmocka_unit_test(core_is_odd_and_saturates),
        cmocka_unit_test(core_stores_what_it_is_given),
        cmocka_unit_test(coil_meets_what_is_known),
        cmocka_unit_test(coil_stores_what_it_is_given),
        cmocka_unit_test(heaters_settle_at_their_rating),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
