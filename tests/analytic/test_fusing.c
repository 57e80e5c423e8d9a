/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Line currents of sets whose integrals are known, and what follows for the fuses. Sets invented.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "fusing.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"
#include "thermal.h"

#define MAINS                                                                                      \
    "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-], "     \
    "resistance: 0 ohm}\nrun: {for: 0.5 s}\nparts:\n"

static const struct fusing *study(const char *text)
{
    struct diags *diags = diags_new(shop_arena());
    struct run_options o = run_defaults();
    const struct scenario *s =
        scenario_parse(shop_arena(), diags, shop_catalogue(), "test.yaml", text);
    assert_non_null(s);
    const struct fusing *f = fusing_study(shop_arena(), diags, shop_catalogue(), s, NULL, &o);
    if (f->status != STATUS_OK) diags_print(diags, stderr);
    assert_int_equal(f->status, STATUS_OK);
    return f;
}

static const struct fusing_fuse *fuse(const struct fusing *f, const char *name)
{
    for (int i = 0; i < f->fuses.n; i++)
        if (strcmp(f->fuses.at[i].name, name) == 0) return &f->fuses.at[i];
    fail();
    return NULL;
}

/* 0.9 A in a resistor: I2t of half a cycle 0.81/120, of ten 0.81/6. */
static void resistor(void **state)
{
    (void)state;
    const struct fusing *f =
        study(MAINS "  R1: {is: resistor, across: [line, B-], resistance: 130 ohm}\n");
    near_rel(f->running, 0.9, 1e-6, "A");
    near_rel(f->watts, 105.3, 1e-6, "W");
    assert_int_equal(f->surge_count, 4);
    for (int i = 0; i < 4; i++) {
        near_rel(f->surges[i].peak, 0.9 * sqrt(2), 1e-9, "A");
        near_rel(f->surges[i].half, 0.81 / 120, 1e-9, "A2s");
        near_rel(f->surges[i].ten, 0.81 / 6, 1e-9, "A2s");
        near_rel(f->surges[i].clamp, 0.9, 1e-9, "A");
    }
    assert_int_equal(f->faults.n, 0);
    assert_int_equal(fuse(f, "800 mA slow")->verdict, FUSING_TOO_SMALL);
    assert_int_equal(fuse(f, "1 A slow")->verdict, FUSING_HOLDS);
    /* 75 % of 1 A is too little */
    assert_int_equal(fuse(f, "3AG 1 A slow")->verdict, FUSING_TOO_SMALL);
    bool more;
    const struct fusing_fuse *least = fusing_smallest(f, 0, &more);
    assert_true(more && least && least->told.rating.amperes >= 0.9);
}

/* A rectifier and an empty capacitor at the crest: I2t = C V^2/(2 R) of a step through R, twice as
 * much as what is stored over R, for a step much shorter than a cycle. */
static void charging(void **state)
{
    (void)state;
    const struct fusing *f = study(
        MAINS "  R1: {is: resistor, across: [line, AC], resistance: 2 ohm}\n"
              "  D1: {is: rectifier, threshold: 0.001 V, slope: 0.001 ohm, plates: [AC], cathode: "
              "B+}\n"
              "  C1: {is: capacitor, across: [B+, B-], value: 100 uF, make: modern, leakage: none, "
              "series resistance: 0.001 ohm}\n"
              "  R2: {is: resistor, across: [B+, B-], resistance: 100 kohm}\n");
    const struct surge *crest = &f->surges[1];
    near_rel(crest->half, 100e-6 * 2 * sq(117) / 2 / 2, 0.05, "A2s"); /* 0.68 A2s */
    near_rel(crest->peak, 117 * sqrt(2) / 2, 0.01, "A");
    /* C1 shorted: half waves through 2 ohm and 1 ohm of the short, RMS = peak/(2 R) */
    assert_int_equal(f->faults.n, 1);
    assert_string_equal(f->faults.at[0].name, "C1 shorted");
    near_rel(f->faults.at[0].amperes, 117 * sqrt(2) / 2 / 3.002, 1e-3, "A");
    assert_true(isnan(f->faults.at[0].limit)); /* no transformer */
    assert_false(f->harmful);
    assert_true(fuse(f, "1 A fast")->opens[0] < 0.01);
    /* no fast fuse of 0.4 A stands the charging of 0.68 A2s, though it would carry the set */
    assert_int_equal(fuse(f, "400 mA fast")->verdict, FUSING_BLOWS_AT_ONCE);
}

/* A fuse that stands in the plug's lead is taken out first. */
static void standing(void **state)
{
    (void)state;
    const struct fusing *f =
        study("format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, "
              "B-], resistance: 0 ohm, through: {fuse: 1 A slow}}\nrun: {for: 0.5 s}\nparts:\n"
              "  R1: {is: resistor, across: [line, B-], resistance: 130 ohm}\n");
    assert_string_equal(f->standing, "mains fuse");
    near_rel(f->running, 0.9, 1e-6, "A");
}

/* ---- heaters on their cathodes ---- */

static const struct fusing_fault *fault(const struct fusing *f, const char *name)
{
    for (int i = 0; i < f->faults.n; i++)
        if (strcmp(f->faults.at[i].name, name) == 0) return &f->faults.at[i];
    return NULL;
}

/* The line current of a variant that stands in the text, run as switch-on runs it. */
static double by_hand(const char *text, const char *variant, double seconds)
{
    struct run_options o = run_defaults();
    o.tolerance = 1e-8; /* as of a run that a study watches */
    o.hot = 1;
    o.angle = PI / 2;
    o.duration = seconds;
    const struct result *r = run_simulate(shop_arena(), shop_setup(text, variant), &o);
    assert_int_equal(r->status, STATUS_OK);
    return shop_figure(r, "mains", MEASURE_LINE_CURRENT);
}

/* Three heaters of 0.15 A. What a variant tells of cathode, pin and ohms holds for the warm set
 * too; of the second nothing is told; the cathode of the third hangs on 1 Mohm. */
static void heaters_of_a_string(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-], "
        "resistance: 0 ohm}\nrun: {for: 0.5 s}\nparts:\n"
        "  R1: {is: resistor, across: [line, s1], resistance: 150 ohm}\n"
        "  H1: {is: heater, across: [s1, s2], rated: 50 V 0.15 A}\n"
        "  H2: {is: heater, across: [s2, s3], rated: 12.6 V 0.15 A}\n"
        "  H3: {is: heater, across: [s3, B-], rated: 32 V 0.15 A}\n"
        "  R2: {is: resistor, across: [k, B-], resistance: 2 Mohm}\n"
        "  R3: {is: resistor, across: [k, B-], resistance: 2 Mohm}\n"
        "variants:\n"
        "  now: {H1: {condition: heater-cathode short, cathode: B-, short to: s2, short "
        "resistance: "
        "20 ohm}}\n"
        "  later: {at 0.2 s: {H1: {condition: heater-cathode short, cathode: line, short to: s1}, "
        "H3: {condition: heater-cathode short, cathode: k}}}\n"
        "  third: {H3: {condition: heater-cathode short, cathode: k}}\n";
    const struct fusing *f = study(text);
    const struct fusing_fault *first = fault(f, "H1 heater-cathode short"),
                              *third = fault(f, "H3 heater-cathode short");
    (void)state;
    assert_int_equal(f->faults.n, 2);
    assert_true(first && third);
    near_rel(f->running, 0.15, 0.02, "A");
    near_rel(first->amperes, by_hand(text, "now", 30), 1e-7, "A");
    near_rel(third->amperes, by_hand(text, "third", 30), 1e-7, "A");
    /* 44.6 V fewer in the string, less what 20 ohm take */
    assert_true(first->amperes > 1.15 * f->running && !first->usual);
    /* 32 V over 1 Mohm: 32 uA */
    assert_true(third->usual);
    near_rel(third->amperes, f->running, 1e-3, "A");
}

static const struct fusing *rectifier(const char *type, char *text, size_t bytes)
{
    snprintf(text, bytes,
             MAINS "  T1: {is: power transformer, primary: {across: [line, B-], rated: 117 V, "
                   "resistance: 8 ohm}, windings: {high voltage: {across: [p1, B-, p2], open "
                   "circuit: [270 V, 270 V], resistance: [150 ohm, 150 ohm]}, heaters: {across: "
                   "[h, B-], open circuit: %s}}}\n"
                   "  V6: {is: rectifier, type: %s, plates: [p1, p2], cathode: B+, heated by: "
                   "heaters}\n"
                   "  R2: {is: resistor, across: [B+, B-], resistance: 6 kohm}\n"
                   "variants:\n  by hand: {V6: {condition: heater-cathode short}}\n",
             strcmp(type, "6X5-GT") == 0 ? "6.7 V" : "5.3 V", type);
    if (strcmp(type, "6X5-GT") != 0) *strstr(text, "variants:") = '\0';
    return study(text);
}

static void rectifiers(void **state)
{
    char text[1200];
    (void)state;
    const struct fusing *f = rectifier("6X5-GT", text, sizeof text);
    assert_int_equal(f->faults.n, 1);
    assert_string_equal(f->faults.at[0].name, "V6 heater-cathode short");
    near_rel(f->faults.at[0].amperes, by_hand(text, "by hand", 2), 1e-7, "A");
    assert_true(f->faults.at[0].amperes > 3 * f->running && isfinite(f->faults.at[0].limit));
    /* heated directly: its filament is its cathode */
    assert_int_equal(rectifier("5Y3-GT", text, sizeof text)->faults.n, 0);
}

/* Where the bodies of a transformer end, each passes on what heats it: its watts, of copper in
 * proportion to its ohms, T - 38.65 K (IEC 60028). */
static void warm_balance(void **state)
{
    (void)state;
    const struct setup *setup = shop_setup(
        "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz}\nrun: {for: 1 s}\n"
        "parts:\n"
        "  T1: {is: power transformer, primary: {rated: 117 V, resistance: 8 ohm}, windings: {high "
        "voltage: {across: [plate, B-], open circuit: 200 V, resistance: 100 ohm}}}\n"
        "  R2: {is: resistor, across: [plate, B-], resistance: 4 kohm}\n",
        NULL);
    const struct circuit *c = setup->stages.at[0].circuit;
    double kelvin[16], watts[16];
    int bodies = 0;
    assert_true(c->states.n <= 16);
    for (int k = 0; k < c->states.n; k++) {
        kelvin[k] = c->states.at[k].cold;
        watts[k] = c->states.at[k].body ? 1 + k : 0;
    }
    assert_true(thermal_settled(c, kelvin, watts));
    for (int k = 0; k < c->states.n; k++) {
        const struct thermal_body *body = c->states.at[k].body;
        if (!body) continue;
        double grown = body->copper ? (kelvin[k] - 38.65) / (c->states.at[k].cold - 38.65) : 1;
        near_rel(thermal_watts(c, k, kelvin, 0), watts[k] * grown, 1e-9, "W");
        assert_true(kelvin[k] > c->states.at[k].cold + 1);
        bodies++;
    }
    assert_true(bodies >= 3);
    /* far too many watts: copper that heats itself without end */
    for (int k = 0; k < c->states.n; k++) kelvin[k] = c->states.at[k].cold, watts[k] = 1e6;
    assert_false(thermal_settled(c, kelvin, watts));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(resistor),
                                       cmocka_unit_test(charging),
                                       cmocka_unit_test(standing),
                                       cmocka_unit_test(warm_balance),
                                       cmocka_unit_test(heaters_of_a_string),
                                       cmocka_unit_test(rectifiers)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
