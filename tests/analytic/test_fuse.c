/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every fuse of the catalogue against the gates that stand there with their sources (sheets of
 * Littelfuse and Schurter that print those of IEC 60127-2 and UL 248-14) and its sheet's melting
 * I2t; then fuses in circuits. The sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_odeiv2.h>

#include "fuse.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

#define ROOM 298.15

static const struct fuse_law *law_of(const char *keys)
{
    const struct setup *setup = shop_setup(
        arena_printf(shop_arena(),
                     "format: 1\nmains: {voltage: 120 V}\nrun: {ambient: 25 C}\n"
                     "parts:\n  R1: {is: resistor, across: [a, neutral], resistance: 100 ohm}\n"
                     "  F1: {is: fuse, across: [line, a], %s}\n",
                     keys),
        NULL);
    return setup->stages.at[0].circuit->devices.at[0].par;
}

static double ohms_at(const struct fuse_law *l, double kelvin)
{
    double c[PORT_COEFFICIENTS], g, s[] = {kelvin, ROOM};
    law_fuse.prepare(l, s, NULL, c);
    return 1 / c[1] + 0 * law_fuse.current(l, 0, c, 1, &g);
}

struct steady {
    const struct fuse_law *law;
    double amperes;
};

static int rates(double t, const double *s, double *ds, void *context)
{
    const struct steady *f = context;
    double c[PORT_COEFFICIENTS], v = f->amperes * ohms_at(f->law, s[0]);
    (void)t;
    law_fuse.prepare(f->law, s, NULL, c);
    law_fuse.rates(f->law, &v, s, c, ds);
    return 0;
}

/* Seconds until it melts at a constant current; inf when it has not after two hours. */
static double melting_time(const struct fuse_law *l, double amperes)
{
    struct steady f = {l, amperes};
    gsl_odeiv2_system system = {rates, NULL, 2, &f};
    gsl_odeiv2_driver *d =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rkck, 1e-6, 1e-6, 1e-8);
    double t = 0, s[2] = {ROOM, ROOM}, before = 0, kelvin = ROOM;
    double step = 1e-6 * l->heat / l->to_body;
    while (s[0] < l->melts && t < 7200) {
        before = t;
        kelvin = s[0];
        assert_int_equal(gsl_odeiv2_driver_apply(d, &t, t + step, s), 0);
        step = larger(step, 2e-3 * t);
    }
    gsl_odeiv2_driver_free(d);
    if (s[0] < l->melts) return HUGE_VAL;
    return before + (t - before) * (l->melts - kelvin) / (s[0] - kelvin);
}

/* --- the catalogue -------------------------------------------------------------------------- */

/* `0.6-10 s` as seconds; false when the model has no such gate. */
static bool gate(const struct model *m, const char *key, double *least, double *most)
{
    const struct node *node = node_get(m->values, key);
    if (!node) return false;
    char unit[8], *rest;
    *least = strtod(node->text, &rest);
    assert_int_equal(sscanf(rest, "-%lf %7s", most, unit), 2);
    double scale = strcmp(unit, "ms") == 0 ? 1e-3 : strcmp(unit, "min") == 0 ? 60 : 1;
    assert_true(scale != 1 || strcmp(unit, "s") == 0);
    *least *= scale;
    *most *= scale;
    return true;
}

static double told(const struct model *m, const char *key, enum unit unit)
{
    struct complaint why;
    double value = (double)NAN;
    const struct node *node = node_get(m->values, key);
    if (node) assert_true(quantity_parse(node->text, unit, &value, &why));
    return value;
}

static bool iec(const struct model *m)
{
    return strncmp(node_get(m->values, "standard")->text, "IEC", 3) == 0;
}

static void every_type_opens_inside_its_gates(void **state)
{
    static const double times[] = {1.35, 2, 2.1, 2.75, 4, 10};
    static const char *const keys[] = {"at 1.35", "at 2", "at 2.1", "at 2.75", "at 4", "at 10"};
    int types = 0, gates = 0;
    (void)state;
    for (int k = 0; k < catalogue_count(shop_catalogue()); k++) {
        const struct model *m = catalogue_at(shop_catalogue(), k);
        if (strcmp(m->kind, "fuse") != 0) continue;
        const struct fuse_law *l = law_of(arena_printf(shop_arena(), "type: %s", m->name));
        double rated = told(m, "rated", UNIT_AMPERE), least, most, before = HUGE_VAL;
        for (int n = 0; n < 6; n++) {
            double t = melting_time(l, times[n] * rated);
            assert_true(t <= before);
            before = t;
            if (!gate(m, keys[n], &least, &most)) continue;
            gates++;
            if (t < least || t > most)
                fail_msg("%s opens after %g s at %g times rated", m->name, t, times[n]);
        }
        /* IEC: 1.5 times for an hour; UL: its rating for 4 h and more (Littelfuse) */
        assert_true(melting_time(l, (iec(m) ? 1.5 : 1) * rated) == HUGE_VAL);
        types++;
    }
    assert_int_equal(types, 60);
    printf("%d types, %d gates\n", types, gates);
}

/* A current so high that no heat leaves the element: the sheet's I2t and cold ohms. */
static void melting_i2t_is_the_sheets(void **state)
{
    struct worst i2t = {0};
    (void)state;
    for (int k = 0; k < catalogue_count(shop_catalogue()); k++) {
        const struct model *m = catalogue_at(shop_catalogue(), k);
        if (strcmp(m->kind, "fuse") != 0 || !node_get(m->values, "i2t")) continue;
        const struct fuse_law *l = law_of(arena_printf(shop_arena(), "type: %s", m->name));
        double amperes = 100 * told(m, "rated", UNIT_AMPERE);
        worst_take(&i2t, sq(amperes) * melting_time(l, amperes), told(m, "i2t", UNIT_I2T), m->name);
        double cold = told(m, "cold resistance", UNIT_OHM);
        if (cold > 0) near_rel(ohms_at(l, ROOM), cold, 1e-12, "ohm");
    }
    worst_check(&i2t, "melting I2t", 2e-3);
}

/* At rated current the two bodies rest at the temperatures of their heat balance. */
static void settles_at_rated_current(void **state)
{
    const struct fuse_law *l = law_of("type: 1 A slow");
    double s[2], ds[2];
    struct steady f = {l, 1};
    (void)state;
    fuse_settled(l, 1, &s[0], &s[1]);
    assert_true(s[0] > s[1] && s[1] > ROOM && s[0] < l->melts);
    rates(0, s, ds, &f);
    near_abs(ds[0], 0, 1e-9, "K/s");
    near_abs(ds[1], 0, 1e-9, "K/s");
}

/* --- in circuits ---------------------------------------------------------------------------- */

static const char line[] = "format: 1\n"
                           "mains: {voltage: 120 V, frequency: 60 Hz, resistance: 0 ohm, through: "
                           "{fuse: %s}}\n"
                           "run: {for: %g s, ambient: 25 C}\nparts:\n"
                           "  R1: {is: resistor, across: [line, neutral], resistance: %.15g ohm}\n";

static double opens(const char *fuse, double ohms, double seconds)
{
    const struct result *r =
        shop_run(arena_printf(shop_arena(), line, fuse, seconds, ohms), 0, NULL, NULL);
    return shop_figure(r, "mains fuse", MEASURE_OPENS_AT);
}

/* An alternating current of the same RMS melts it when a steady one does, and the arc ends within
 * half a period. */
static void opens_in_the_plug_when_it_melts(void **state)
{
    static const double times[] = {2.1, 2.75, 4};
    (void)state;
    for (int k = 0; k < 3; k++) {
        double wanted = melting_time(law_of("type: 1 A slow"), times[k]),
               hot = 120 / times[k] - 0.16, /* less the warm fuse */
            t = opens("1 A slow", hot, 60);
        printf("%g times rated: opens at %.3f s, melts at %.3f s on DC\n", times[k], t, wanted);
        near_abs(t, wanted, 0.02 * wanted + 1.0 / 60, "s");
    }
    assert_true(opens("1 A slow", 120 / 1.5 - 0.13, 60) == HUGE_VAL);
    const struct result *r = shop_run(
        arena_printf(shop_arena(), line, "{rated: 1 A slow, condition: blown}", 0.1, 100.0), 0,
        NULL, NULL);
    near_abs(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), 0, 1e-9, "V");
    /* at four times its amperes a good one is open by now */
    r = shop_run(
        arena_printf(shop_arena(), line, "{rated: 1 A slow, condition: defeated}", 2.0, 30.0), 0,
        NULL, NULL);
    near_rel(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), 120, 0.02, "V");
}

/* Hardly over what it carries for ever it takes a minute and more, through cycles that a long run
 * leaps over. Below, it never opens. */
static void opens_late_in_a_long_run(void **state)
{
    const double times = 1.83, fuse = 0.195;
    double wanted = melting_time(law_of("type: 1 A slow"), times);
    (void)state;
    double t = opens("1 A slow", 120 / times - fuse, 200);
    printf("%g times rated: opens at %.1f s, melts at %.1f s on DC\n", times, t, wanted);
    assert_true(wanted > 60);
    near_rel(t, wanted, 0.03, "s");
    assert_true(opens("1 A slow", 120 / 1.75, 200) == HUGE_VAL);
}

/* What a shorted first filter does to the line of a set: coil and core in series with the fuse. It
 * opens at a zero of the current, and the books of energy close (the run's audit). */
static void opens_before_a_transformer(void **state)
{
    static const char text[] =
        "format: 1\n"
        "mains: {voltage: 117 V, frequency: 60 Hz, through: {fuse: 1 A slow}}\n"
        "run: {for: 12 s, ambient: 25 C}\nparts:\n"
        "  T1:\n    is: power transformer\n"
        "    primary: {across: [line, neutral], rated: 117 V, resistance: 8.4 ohm}\n"
        "    windings:\n"
        "      high voltage: {across: [plate 1, chassis, plate 2], open circuit: [330 V, 330 V], "
        "resistance: [112 ohm, 121 ohm]}\n"
        "  V6: {is: rectifier, type: silicon, plates: [plate 1, plate 2], cathode: first filter}\n"
        "  C1: {is: capacitor, across: [first filter, chassis], value: 8 uF, rated: 450 V}\n"
        "  R1: {is: resistor, across: [first filter, chassis], resistance: 6 kohm}\n"
        "at 0.5 s: {C1: {condition: shorted}}\n";
    (void)state;
    const struct result *r = shop_run(text, 0, NULL, NULL);
    double t = shop_figure(r, "mains fuse", MEASURE_OPENS_AT);
    printf("shorted first filter at 0.5 s: %.2f A at most, a 1 A slow fuse opens at %.2f s\n",
           shop_figure(r, "mains", MEASURE_HIGHEST_CURRENT), t);
    assert_true(t > 0.5 && t < 10);
    near_abs(shop_figure(r, "mains", MEASURE_LINE_CURRENT), 0, 1e-9, "A");
    assert_true(shop_figure(r, "mains fuse.element", MEASURE_TEMPERATURE) >=
                law_of("type: 1 A slow")->melts);
}

/* In the B+ lead: direct current, which has no zero until the switch is given up on. */
static void opens_in_the_b_plus_lead(void **state)
{
    (void)state;
    const struct result *r =
        shop_run("format: 1\nparts:\n"
                 "  B1: {is: battery, across: [a, chassis], voltage: 300 V}\n"
                 "  F1: {is: fuse, across: [a, b], type: 3AG 250 mA fast}\n"
                 "  R1: {is: resistor, across: [b, chassis], resistance: 300 ohm}\n"
                 "run: {for: 1 s, ambient: 25 C}\n",
                 0, NULL, NULL);
    double wanted = melting_time(law_of("type: 3AG 250 mA fast"), 1);
    near_abs(shop_figure(r, "F1", MEASURE_OPENS_AT), wanted, 0.1 * wanted + 1.0 / 100, "s");
    near_abs(shop_figure(r, "F1", MEASURE_RMS_CURRENT), 0, 1e-6, "A");
}

/* --- reading -------------------------------------------------------------------------------- */

static const struct set *set_of(const char *keys)
{
    return shop_setup(arena_printf(shop_arena(),
                                   "format: 1\nmains: {voltage: 120 V}\nrun: {ambient: 25 C}\n"
                                   "parts:\n  R1: {is: resistor, across: [a, neutral], resistance: "
                                   "100 ohm}\n  F1: {is: fuse, across: [line, a], %s}\n",
                                   keys),
                      NULL)
        ->stages.at[0]
        .set;
}

static int assumed(const struct set *set)
{
    int n = 0;
    for (int i = 0; i < set->assumptions.n; i++)
        n += strcmp(set->assumptions.at[i].part, "F1") == 0;
    return n;
}

static void what_is_not_told_is_assumed(void **state)
{
    (void)state;
    assert_int_equal(assumed(set_of("type: 1 A slow")), 0);
    assert_int_equal(assumed(set_of("type: 3AG 1 A slow")), 0);
    assert_int_equal(assumed(set_of("rated: 1.5 A slow")), 3);
    assert_int_equal(assumed(set_of("rated: 1.5 A, kind: slow, standard: UL 248-14")), 2);
    /* a scaled one behaves as its neighbours that are printed */
    const struct fuse_law *scaled = law_of("rated: 1 A slow"), *printed = law_of("type: 1 A slow");
    near_rel(melting_time(scaled, 4), melting_time(printed, 4), 0.05, "s");
    const struct rating *rating = &set_of("type: 500 mA slow")->ratings.at[0];
    assert_int_equal(rating->measure, MEASURE_RMS_CURRENT);
    near_rel(rating->limit, 0.5, 1e-12, "A");
}

static void mistakes_are_told(void **state)
{
    static const struct {
        const char *keys, *message;
    } rows[] = {
        {"type: 1 A slo", "there is no `1 A slo` in the catalogue"},
        {"rated: 1 A", "F1: fast or slow?"},
        {"rated: 1 V slow", "F1: `rated` is not understood"},
        {"rated: -1 A slow", "F1: `rated` is not understood"},
        {"rated: 1 A slow fast", "F1: `rated` is not understood"},
        {"rated: 1 A slow, standard: IEC 60127-2 sheet 2",
         "F1: there is no slow fuse to IEC 60127-2 sheet 2"},
        {"rated: 1 A slow, standard: UL", "`UL` is no word for `standard`"},
        {"rated: 1 A slow, i2t: -3 A2s", "`i2t` must be at least"},
        {"kind: slow", "`rated` of F1 is missing"},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        shop_refused(arena_printf(shop_arena(),
                                  "format: 1\nmains: {voltage: 120 V}\nparts:\n"
                                  "  F1: {is: fuse, across: [line, neutral], %s}\n",
                                  rows[k].keys),
                     rows[k].message);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_type_opens_inside_its_gates),
        cmocka_unit_test(melting_i2t_is_the_sheets),
        cmocka_unit_test(settles_at_rated_current),
        cmocka_unit_test(opens_in_the_plug_when_it_melts),
        cmocka_unit_test(opens_late_in_a_long_run),
        cmocka_unit_test(opens_before_a_transformer),
        cmocka_unit_test(opens_in_the_b_plus_lead),
        cmocka_unit_test(what_is_not_told_is_assumed),
        cmocka_unit_test(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
