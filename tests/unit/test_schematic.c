/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing of every shipped scenario, of each of its variants, of odd sets, and of large ones
 * made up at random. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "drawn.h"
#include "shipped.h"

static struct arena *arena;

static int begin(void **state)
{
    (void)state;
    arena = arena_new();
    return 0;
}

static int end(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static void shipped_all(void **state)
{
    (void)state;
    int n, seen = 0;
    const char *const *names = shipped_names(arena, &n);
    for (int i = 0; i < n; i++) {
        const struct scenario *s = shipped_scenario(arena, names[i]);
        for (int k = -1; k < scenario_variants(s); k++, seen++)
            drawn_check(arena,
                        shipped_setup(arena, names[i], k < 0 ? NULL : scenario_variant(s, k)),
                        names[i]);
    }
    assert_true(seen > 60);
}

/* Drawings of shipped sets may not become worse: crossings of all bases together. The tap of a
 * winding crosses the lead of a plate in most. */
static void few_crossings(void **state)
{
    (void)state;
    int n, sum = 0;
    const char *const *names = shipped_names(arena, &n);
    for (int i = 0; i < n; i++)
        sum += schematic_make(arena, shipped_setup(arena, names[i], NULL), NULL, 0, 0)->crossings;
    assert_true(sum <= 8);
}

/* Every end of a strip but the reference's is told apart: by a number or, on an inner point, a letter. */
static void strips_go_on(void **state)
{
    (void)state;
    int letters = 0;
    const struct schematic *d =
        schematic_make(arena, shipped_setup(arena, "first-power", "on the dial"), NULL, 0, 100);
    for (int i = 0; i < d->ends.n; i++) {
        const struct schematic_net *net = &d->nets.at[d->ends.at[i].net];
        bool reference = strcmp(net->name, "chassis") == 0;
        assert_true((net->number > 0) + (net->letter != 0) == !reference);
        letters += net->letter != 0;
    }
    assert_true(letters > 0);
}

/* ---- odd sets ---- */

/* Two tubes side by side, a transformer for filaments, a bias supply, a floating supply, line
 * capacitors. */
static const char odd_a[] =
    "format: 1\n"
    "title: Two tubes side by side, filament transformer, bias supply, floating supply\n"
    "mains: {voltage: 117 V}\n"
    "parts:\n"
    "  F1: {is: fuse, across: [line, fused], rated: 1 A slow}\n"
    "  T1:\n"
    "    is: power transformer\n"
    "    primary: {across: [fused, neutral], rated: 117 V, resistance: 3 ohm}\n"
    "    windings:\n"
    "      high: {across: [plate 1, chassis, plate 2], open circuit: [350 V, 350 V], resistance: "
    "[50 ohm, 50 ohm]}\n"
    "      bias: {across: [bias AC, chassis], open circuit: 40 V, resistance: 20 ohm}\n"
    "      apart: {across: [f1, f2], open circuit: 60 V, resistance: 20 ohm}\n"
    "  T2:\n"
    "    is: power transformer\n"
    "    primary: {across: [fused, neutral], rated: 117 V, resistance: 20 ohm}\n"
    "    windings:\n"
    "      filaments: {open circuit: 5.3 V}\n"
    "  V1: {is: rectifier, law: vacuum, drop: 60 V at 125 mA, heater: 5 V 2 A, heating: direct, "
    "plates: [plate 1, plate 2], cathode: p0, heated by: filaments}\n"
    "  V2: {is: rectifier, law: vacuum, drop: 60 V at 125 mA, heater: 5 V 2 A, heating: direct, "
    "plates: [plate 1, plate 2], cathode: p0, heated by: filaments}\n"
    "  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [bias], cathode: bias AC}\n"
    "  C1: {is: capacitor, across: [chassis, bias], value: 50 uF, rated: 63 V}\n"
    "  R1: {is: resistor, across: [chassis, bias], resistance: 10 kohm}\n"
    "  D2: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [f1], cathode: float plus}\n"
    "  C3: {is: capacitor, across: [float plus, f2], value: 50 uF, rated: 100 V}\n"
    "  R3: {is: resistor, across: [float plus, f2], resistance: 10 kohm}\n"
    "  C2: {is: capacitor, across: [p0, chassis], value: 8 uF, rated: 450 V}\n"
    "  L1: {is: choke, across: [p0, B+], resistance: 200 ohm, inductance: 10 H}\n"
    "  C4: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V}\n"
    "  CX: {is: capacitor, across: [plate 1, chassis], value: 10 nF, rated: 1000 V, make: paper}\n"
    "  CL: {is: capacitor, across: [line, earth], value: 5 nF, rated: 400 V, make: paper}\n"
    "  CE: {is: capacitor, across: [chassis, earth], value: 5 nF, rated: 400 V, make: paper}\n"
    "  tubes: {is: load, across: [B+, chassis], draws: 100 mA at 350 V}\n";

/* A cascade doubler; a switch and a resistor in the negative lead; a lamp in the string; chords. */
static const char odd_b[] =
    "format: 1\n"
    "title: Half-wave doubler, negative lead, lamp over part of the string\n"
    "reference: B-\n"
    "mains: {voltage: 117 V, across: [line, neutral]}\n"
    "parts:\n"
    "  S1: {is: switch, across: [neutral, return], state: closed}\n"
    "  R9: {is: resistor, across: [return, B-], resistance: 30 ohm, rated: 2 W}\n"
    "  C9: {is: capacitor, across: [B-, return], value: 25 uF, rated: 25 V}\n"
    "  C1: {is: capacitor, across: [mid, line], value: 40 uF, rated: 160 V}\n"
    "  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [return], cathode: mid}\n"
    "  D2: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [mid], cathode: first}\n"
    "  C2: {is: capacitor, across: [first, B-], value: 40 uF, rated: 350 V}\n"
    "  R1: {is: resistor, across: [first, B+], resistance: 1 kohm, rated: 5 W}\n"
    "  R2: {is: resistor, across: [B+, screen], resistance: 10 kohm, rated: 1 W}\n"
    "  R5: {is: resistor, across: [first, screen], resistance: 100 kohm, rated: 1 W}\n"
    "  C5: {is: capacitor, across: [B+, first], value: 0.1 uF, rated: 400 V, make: paper}\n"
    "  C3: {is: capacitor, across: [B+, B-], value: 40 uF, rated: 350 V}\n"
    "  C4: {is: capacitor, across: [screen, B-], value: 8 uF, rated: 350 V}\n"
    "  tubes: {is: load, across: [B+, B-], draws: 50 mA at 200 V}\n"
    "  screens: {is: load, across: [screen, B-], draws: 5 mA at 150 V}\n"
    "  H1: {is: heater, across: [line, s1], rated: 50 V 0.15 A, of: tubes}\n"
    "  H2: {is: heater, across: [s1, s2], rated: 35 V 0.15 A, of: tubes}\n"
    "  H3: {is: heater, across: [s2, s3], rated: 12.6 V 0.15 A, of: tubes}\n"
    "  lamp: {is: lamp, across: [s3, s4], rated: 6.3 V 0.15 A}\n"
    "  RL: {is: resistor, across: [s3, s4], resistance: 120 ohm}\n"
    "  H4: {is: heater, across: [s4, return], rated: 12.6 V 0.15 A, of: tubes}\n";

/* Two batteries and no mains. */
static const char odd_d[] =
    "format: 1\n"
    "title: Battery set\n"
    "parts:\n"
    "  A: {is: battery, across: [A+, chassis], voltage: 1.5 V}\n"
    "  B: {is: battery, across: [B raw, chassis], voltage: 90 V}\n"
    "  S1: {is: switch, across: [B raw, B+], state: closed}\n"
    "  C1: {is: capacitor, across: [B+, chassis], value: 10 uF, rated: 150 V}\n"
    "  R1: {is: resistor, across: [A+, filaments], resistance: 1 ohm}\n"
    "  R2: {is: resistor, across: [filaments, chassis], resistance: 5 ohm}\n"
    "  tubes: {is: load, across: [B+, chassis], draws: 10 mA at 90 V}\n";

/* What stands between wall and plug. */
#define SMALL                                                                                      \
    "parts:\n  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [line], cathode: B+}\n" \
    "  C1: {is: capacitor, across: [B+, chassis], value: 40 uF, rated: 160 V}\n"                   \
    "  R1: {is: resistor, across: [B+, chassis], resistance: 3 kohm}\n"
static const char odd_bench[] =
    "format: 1\ntitle: bench\nmains: {voltage: 117 V, across: [line, chassis], "
    "through: {fuse: 1 A slow, isolation transformer: 150 VA, variable transformer: 60 V, "
    "lamp: 60 W 120 V}}\n" SMALL;
static const char odd_three[] =
    "format: 1\ntitle: three parts\nmains: {voltage: 117 V, across: [line, chassis]}\n" SMALL;

static const struct setup *parsed(const char *text)
{
    struct diags *diags = diags_new(arena);
    const struct catalogue *catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "test", text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    return setup;
}

static void odd_sets(void **state)
{
    (void)state;
    drawn_check(arena, parsed(odd_a), "two tubes");
    drawn_check(arena, parsed(odd_b), "cascade");
    drawn_check(arena, parsed(odd_d), "batteries");
    drawn_check(arena, parsed(odd_bench), "bench");
    drawn_check(arena, parsed(odd_three), "three parts");
}

/* ---- made up ---- */

struct text {
    char at[60000];
    int n;
};

__attribute__((format(printf, 2, 3))) static void put(struct text *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    t->n += vsnprintf(t->at + t->n, sizeof t->at - (size_t)t->n, format, args);
    va_end(args);
    assert_true((size_t)t->n < sizeof t->at);
}

static unsigned seed;

static int any(int below)
{
    seed = seed * 1664525u + 1013904223u;
    return (int)(seed >> 8) % below;
}

static const char supply[] =
    "format: 1\ntitle: made up\nmains: {voltage: 117 V}\nparts:\n"
    "  T1:\n    is: power transformer\n"
    "    primary: {across: [line, neutral], rated: 117 V, resistance: 3 ohm}\n    windings:\n"
    "      high: {across: [plate 1, chassis, plate 2], open circuit: [350 V, 350 V], "
    "resistance: [50 ohm, 50 ohm]}\n      bias: {across: [bias AC, chassis], open circuit: 40 V, "
    "resistance: 20 ohm}\n"
    "  V1: {is: rectifier, law: gas, drop: 24 V at 75 mA, starting voltage: 30 V, "
    "plates: [plate 1, plate 2], cathode: p0}\n"
    "  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [bias], cathode: bias AC}\n"
    "  C1: {is: capacitor, across: [chassis, bias], value: 50 uF, rated: 63 V}\n"
    "  R1: {is: resistor, across: [chassis, bias], resistance: 10 kohm}\n"
    "  C2: {is: capacitor, across: [p0, chassis], value: 8 uF, rated: 450 V}\n";

/* A tree of filters behind a rectifier; `tangle` of a hundred parts join any two points. */
static const struct setup *made_up(int parts, int tangle)
{
    struct text *t = ARENA_NEW(arena, struct text);
    int points = 1;
    put(t, "%s", supply);
    for (int i = 7; i < parts;) {
        int from = any(points < 6 ? points : 6), near = points - 1 - from;
        if (points > 2 && any(100) < tangle) {
            int to = any(points);
            if (to == near) continue;
            put(t, "  X%d: {is: resistor, across: [p%d, p%d], resistance: 47 kohm}\n", i++, near,
                to);
            continue;
        }
        put(t, "  L%d: {is: %s, across: [p%d, p%d], resistance: 200 ohm}\n", i,
            any(2) ? "choke" : "resistor", near, points);
        i++;
        put(t, "  C%d: {is: capacitor, across: [p%d, chassis], value: 8 uF, rated: 450 V}\n", i++,
            points);
        if (any(3) == 0)
            put(t, "  load %d: {is: load, across: [p%d, chassis], draws: 2 mA at 200 V}\n", i++,
                points);
        points++;
    }
    return parsed(t->at);
}

static void large(void **state)
{
    (void)state;
    for (seed = 1; seed < 9; seed++) {
        unsigned first = seed;
        drawn_check(arena, made_up(60, 0), arena_printf(arena, "60 parts, seed %u", first));
        seed = first;
        drawn_check(arena, made_up(60, 25),
                    arena_printf(arena, "60 parts tangled, seed %u", first));
        seed = first;
    }
    seed = 3;
    drawn_check(arena, made_up(200, 5), "200 parts");
}

/* A single filter chain is drawn as one: not one wire crosses another but the tap's. */
static void a_chain_is_straight(void **state)
{
    (void)state;
    struct text *t = ARENA_NEW(arena, struct text);
    put(t, "%s", supply);
    for (int i = 0; i < 20; i++)
        put(t,
            "  L%d: {is: choke, across: [p%d, p%d], resistance: 9 ohm}\n"
            "  K%d: {is: capacitor, across: [p%d, chassis], value: 8 uF}\n",
            i, i, i + 1, i, i + 1);
    const struct schematic *d = schematic_make(arena, parsed(t->at), NULL, 0, 0);
    double y = 0;
    for (int i = 0; i < d->symbols.n; i++) {
        if (d->symbols.at[i].shape != SHAPE_COIL) continue;
        if (y == 0) y = d->symbols.at[i].y;
        assert_true(d->symbols.at[i].y == y && d->symbols.at[i].turn == 1);
    }
    assert_true(y > 0);
    assert_true(d->crossings <= 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(shipped_all, begin, end),
        cmocka_unit_test_setup_teardown(few_crossings, begin, end),
        cmocka_unit_test_setup_teardown(strips_go_on, begin, end),
        cmocka_unit_test_setup_teardown(odd_sets, begin, end),
        cmocka_unit_test_setup_teardown(large, begin, end),
        cmocka_unit_test_setup_teardown(a_chain_is_straight, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
