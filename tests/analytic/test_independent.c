/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shipped scenarios, and failing sets, from cold through the warm-up by three roads: the program;
 * the unreduced equations under SUNDIALS IDA; the reduced ones under GSL's msbdf. Of every
 * capacitor's volts and every coil's amperes the worst difference at common instants is told as a
 * share of the range that quantity went through. The instants lie 10.3 ms apart and so fall on all
 * parts of the cycle. The agreement of the first two says that reduction, conduction patterns and
 * step control are sound; what all three share are the laws of the devices and the sources. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "catalogue.h"
#include "handmade.h"
#include "independent.h"
#include "numbers.h"
#include "run.h"
#include "why.h"

static const double every = 0.0103; /* [s] */
static const double limit = 2e-5;   /* of the range */

/* values[instant * count + quantity]; rows that were never filled hold NaN */
struct series {
    const char *name;
    int instants, count;
    double *values;
};

static struct series series_new(struct arena *arena, const char *name, int count, double seconds)
{
    struct series s = {.name = name, .instants = (int)(seconds / every), .count = count};
    s.values = ARENA_ARRAY(arena, double, s.instants *count);
    for (int k = 0; k < s.instants * count; k++) s.values[k] = (double)NAN;
    return s;
}

/* The row of instant t; instants count from `every`. */
static double *row(struct series *s, double t)
{
    long k = lround(t / every) - 1;
    return k >= 0 && k < s->instants ? &s->values[k * s->count] : NULL;
}

static void take_other(void *context, double t, const double *values)
{
    struct series *s = context;
    double *to = row(s, t);
    for (int k = 0; k < s->count && to; k++) to[k] = values[k];
}

static void take_own(void *context, double t, const struct equations *eq, const double *y)
{
    struct series *s = context;
    double *to = row(s, t);
    (void)y;
    for (int k = 0; k < s->count && to; k++)
        to[k] = equations_output(eq, k < eq->network->capacitors ? OUTPUT_VOLTS : OUTPUT_CURRENT,
                                 eq->network->y_element[k]);
}

/* Capacitors, then coils, as both `network` and `independent` number them. */
static const struct element *quantity(const struct circuit *c, int k)
{
    const enum element_kind kinds[] = {ELEMENT_CAPACITOR, ELEMENT_INDUCTOR};
    for (int pass = 0; pass < 2; pass++)
        for (int j = 0; j < c->elements.n; j++)
            if (c->elements.at[j].kind == kinds[pass] && k-- == 0) return &c->elements.at[j];
    return NULL;
}

struct deviation {
    double share, time;
    const struct element *element;
};

static void compare(const struct circuit *c, const struct series *own, const struct series *other,
                    int k, struct deviation *worst)
{
    double low = 0, high = 0, most = 0, when = 0; /* all begin at zero */
    for (int j = 0; j < own->instants; j++) {
        double a = own->values[j * own->count + k], b = other->values[j * own->count + k];
        low = smaller(low, a);
        high = larger(high, a);
        if (fabs(a - b) <= most) continue;
        most = isfinite(a - b) ? fabs(a - b) : HUGE_VAL;
        when = (j + 1) * every;
    }
    if (!(high > low)) fail_msg("%s does not move", quantity(c, k)->part);
    if (most / (high - low) < worst->share) return;
    *worst = (struct deviation){most / (high - low), when, quantity(c, k)};
}

static void check(const struct circuit *c, const struct series *own, const struct series *other)
{
    struct deviation worst[2] = {{0}};
    for (int k = 0; k < own->count; k++)
        compare(c, own, other, k, &worst[quantity(c, k)->kind == ELEMENT_INDUCTOR]);
    for (int k = 0; k < 2; k++)
        if (worst[k].element)
            print_message("  %s: worst of the %s %.1e of the range, %s at %.2f s\n", other->name,
                          k ? "coils" : "capacitors", worst[k].share, worst[k].element->part,
                          worst[k].time);
    if (!(larger(worst[0].share, worst[1].share) <= limit))
        fail_msg("%s differs by more than %.0e", other->name, limit);
}

static const struct setup *read_setup(struct arena *arena, const char *file)
{
    struct diags *diags = diags_new(arena);
    const struct catalogue *models = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const char *path = arena_printf(arena, SOURCE_DIR "/scenarios/%s.yaml", file);
    const struct scenario *s = models ? scenario_read(arena, diags, models, path) : NULL;
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) {
        diags_print(diags, stderr);
        fail_msg("%s cannot be read", path);
    }
    return setup;
}

/* What is run. IDA's tolerance; 0: without IDA. */
struct course {
    const char *file;
    double seconds;
    bool hot; /* cathodes warm, capacitors empty */
    double tolerance;
};

static void run_own(struct arena *arena, const struct setup *setup, const struct course *course,
                    struct series *to)
{
    struct run_options o = run_defaults();
    o.angle = 0;
    o.duration = course->seconds;
    o.hot = course->hot;
    o.hold = -1; /* the equations are compared; what holding adds is looked at by test_held */
    o.observe = take_own;
    o.observe_context = to;
    o.observe_every = every;
    const struct result *r = run_simulate(arena, setup, &o);
    const struct statistics *st = &r->statistics;
    if (r->status != STATUS_OK) fail_msg("%s", why(r));
    print_message("  program: %ld steps, %d patterns, audit %.1e of energy, %.1e of charge\n",
                  st->steps, st->patterns, st->energy_residual, st->charge_residual);
    assert_false(st->audit_failed);
}

/* IDA's Newton iteration may lose its way where the voltage of a point hangs on tubes alone;
 * whether it does is a matter of the very steps it takes. */
static void run_ida(struct independent job, double tolerance, struct series *to)
{
    static const double other[] = {1, 0.7, 1.4, 0.5, 2};
    bool good = false;
    job.context = to;
    for (size_t k = 0; k < sizeof other / sizeof other[0] && !good; k++) {
        job.tolerance = other[k] * tolerance;
        good = independent_ida(&job);
    }
    if (!good) fail_msg("IDA gave up");
    print_message("  IDA at %.1e: %ld steps, %.1f s\n", job.tolerance, job.steps, job.seconds);
}

static void run_msbdf(struct independent job, double tolerance, struct series *to)
{
    job.context = to;
    job.tolerance = tolerance;
    if (!independent_odeiv2(&job, "msbdf")) fail_msg("msbdf gave up");
    print_message("  msbdf at %.1e: %ld steps, %.1f s\n", job.tolerance, job.steps, job.seconds);
}

static void three_roads(struct arena *arena, const struct setup *setup, const struct course *course)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    int count = 0;
    while (quantity(c, count)) count++;
    struct series own = series_new(arena, "program", count, course->seconds);
    struct series ida = series_new(arena, "IDA", count, course->seconds);
    struct series msbdf = series_new(arena, "msbdf", count, course->seconds);
    struct independent job = {.circuit = c,
                              .hot = course->hot,
                              .stop = course->seconds,
                              .from = every,
                              .every = every,
                              .observe = take_other};
    assert_false(setup->hot);
    assert_true(setup->stages.n == 1 || setup->stages.at[1].time > course->seconds);
    print_message("%s, %g s from %s\n", course->file, course->seconds,
                  course->hot ? "hot" : "cold");
    run_own(arena, setup, course, &own);
    if (course->tolerance > 0) {
        run_ida(job, course->tolerance, &ida);
        check(c, &own, &ida);
    }
    run_msbdf(job, 1e-9, &msbdf);
    check(c, &own, &msbdf);
}

static void shipped(struct course course)
{
    struct arena *arena = arena_new();
    three_roads(arena, read_setup(arena, course.file), &course);
    arena_free(arena);
}

static void test_field_coil(void **state)
{
    (void)state;
    shipped((struct course){"field-coil", 12, false, 1e-7});
}

static void test_back_bias(void **state)
{
    (void)state;
    shipped((struct course){"back-bias", 12, false, 1e-7});
}

static void test_amplifier(void **state)
{
    (void)state;
    shipped((struct course){"amplifier", 12, false, 1e-7});
}

/* The cathodes hang on the choke alone, and where cold ones give nothing IDA has nothing to find
 * their potential by: it runs from hot. */
static void test_choke_input(void **state)
{
    (void)state;
    shipped((struct course){"choke-input", 3, true, 1e-8});
    shipped((struct course){"choke-input", 12, false, 0});
}

/* A choke straight behind tubes on a stiff source: without any leakage inductance the tube's volts
 * go with the 2/3 power of the coil's current, infinitely steep at its start. */
static void test_bare_choke(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    const struct course course = {"choke behind tubes", 1, true, 0};
    hand_sine(&h, "S", "a", "0", 450 * sqrt(2), 0);
    hand_r(&h, "Rs", "a", "p", 75);
    hand_tube(&h, "D", "p", "k", 7.709e-4);
    hand_sine(&h, "S2", "b", "0", 450 * sqrt(2), 180);
    hand_r(&h, "Rs2", "b", "q", 75);
    hand_tube(&h, "D2", "q", "k", 7.709e-4);
    hand_l(&h, "L1", "k", "c", 10, 0);
    hand_r(&h, "RL1", "c", "d", 120);
    hand_c(&h, "C1", "d", "0", 8e-6, 0);
    hand_r(&h, "RL2", "d", "e", 120);
    hand_l(&h, "L2", "e", "+", 10, 0);
    hand_c(&h, "C2", "+", "0", 8e-6, 0);
    hand_r(&h, "R", "+", "0", 25000);
    three_roads(h.arena, hand_setup(&h), &course);
    handmade_free(&h);
}

/* Heaters in a string, no transformer: the tubes warm late. */
static void test_heater_string(void **state)
{
    (void)state;
    shipped((struct course){"doubler", 25, false, 2e-8});
}

/* Failing rectifiers. The set is invented; its windings hang on the line by a leaky core. */
#define FAULTY                                                                                     \
    "format: 1\n"                                                                                  \
    "mains: {voltage: 117 V, frequency: 60 Hz, closes at: zero}\n"                                 \
    "parts:\n"                                                                                     \
    "  T1:\n"                                                                                      \
    "    is: power transformer\n"                                                                  \
    "    primary: {rated: 117 V, resistance: 8.4 ohm}\n"                                           \
    "    windings:\n"                                                                              \
    "      high voltage: {across: [p1, chassis, p2], open circuit: [328 V, 330 V], with line at: " \
    "117 V, resistance: [112 ohm, 121 ohm]}\n"                                                     \
    "      heaters: {across: [h, chassis], open circuit: 6.6 V, resistance: 0.1 ohm}\n"            \
    "  C1: {is: capacitor, across: [B1, chassis], value: 8 uF, make: modern}\n"                    \
    "  L1: {is: field coil, across: [B1, B+], inductance: 12 H, resistance: 1500 ohm}\n"           \
    "  C2: {is: capacitor, across: [B+, chassis], value: 8 uF, make: modern}\n"                    \
    "  tubes: {is: load, across: [B+, chassis], tube: 6F6-G, draws: 40 mA at 230 V, bias "         \
    "resistor: 410 ohm, heated by: heaters, leaky coupling capacitor: 2 Mohm from 150 V}\n"        \
    "  V6: {is: rectifier, type: 6X5-GT, plates: [p1, p2], cathode: B1, heated by: heaters, "      \
    "condition: "

static void written(const char *text, struct course course)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct catalogue *models = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const struct scenario *s = scenario_parse(arena, diags, models, course.file, text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    three_roads(arena, setup, &course);
    arena_free(arena);
}

static void faulty(const char *condition, struct course course)
{
    struct arena *arena = arena_new();
    written(arena_printf(arena, FAULTY "%s}\n", condition), course);
    arena_free(arena);
}

/* One plate alone, before an output stage with a leaky coupling capacitor: from hot, then through
 * the warm-up of both tubes. */
static void test_dead_plate(void **state)
{
    (void)state;
    faulty("one plate dead, plate: 1", (struct course){"one plate dead", 1.5, true, 1e-8});
    faulty("weak, emission left: 40 %, perveance left: 70 %",
           (struct course){"weak rectifier", 16, false, 1e-7});
}

static void test_heater_short(void **state)
{
    (void)state;
    faulty("heater-cathode short, short resistance: 20 ohm",
           (struct course){"heater-cathode short", 1.5, true, 1e-8});
}

/* A heater of a string leaks to its cathode, which stands on the bias resistor of an invented set
 * without a transformer. */
static void test_string_on_a_cathode(void **state)
{
    (void)state;
    written("format: 1\nreference: B-\n"
            "mains: {voltage: 117 V, frequency: 60 Hz, closes at: zero, across: [line, B-]}\n"
            "parts:\n"
            "  V5: {is: rectifier, type: 35Z4-GT, plates: [line], cathode: B1}\n"
            "  H5: {is: heater, across: [line, s1], tube: 35Z4-GT, of: V5}\n"
            "  H4: {is: heater, across: [s1, s2], tube: 50L6-GT, of: output, condition: "
            "heater-cathode short, cathode: bias, short resistance: 200 ohm}\n"
            "  H3: {is: heater, across: [s2, B-], rated: 37.8 V 0.15 A}\n"
            "  C1: {is: capacitor, across: [B1, B-], value: 40 uF, make: modern}\n"
            "  output: {is: load, across: [B1, bias], draws: 40 mA at 110 V, like: tubes}\n"
            "  R1: {is: resistor, across: [bias, B-], resistance: 150 ohm}\n"
            "  C2: {is: capacitor, across: [bias, B-], value: 20 uF, make: modern}\n",
            (struct course){"string on a cathode", 1.5, true, 1e-8});
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_field_coil),          cmocka_unit_test(test_back_bias),
        cmocka_unit_test(test_amplifier),           cmocka_unit_test(test_choke_input),
        cmocka_unit_test(test_bare_choke),          cmocka_unit_test(test_heater_string),
        cmocka_unit_test(test_dead_plate),          cmocka_unit_test(test_heater_short),
        cmocka_unit_test(test_string_on_a_cathode),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
