/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer does not hang on how a circuit is written down: parts in another order, points under
 * other names, both plates of a full-wave rectifier exchanged, every impedance scaled (then all
 * volts stay and all currents are divided). Differences are those of rounding and step control. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "handmade.h"
#include "numbers.h"
#include "table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

enum { MOST_PARTS = 16 };

/* kind: V sine source [V], R [ohm], L [H], C [F], D ideal rectifier, T 3/2-law rectifier [A/V^1.5],
 * I load [A] at 250 V, constant current, J the same, 3/2 law. */
struct piece {
    char kind;
    const char *name, *from, *to;
    double value;
};

struct circuit_text {
    const char *name;
    bool plates; /* D1 and D2 are a pair */
    struct piece piece[MOST_PARTS];
};

static const struct circuit_text circuits[] = {
    {"full-wave, pi filter",
     true,
     {{'V', "S1", "a", "0", 450},
      {'V', "S2", "b", "0", -450},
      {'R', "R1", "a", "p", 120},
      {'R', "R2", "b", "q", 120},
      {'D', "D1", "p", "k", 0},
      {'D', "D2", "q", "k", 0},
      {'C', "C1", "k", "0", 16e-6},
      {'L', "L1", "k", "m", 12},
      {'R', "R3", "m", "B", 300},
      {'C', "C2", "B", "0", 16e-6},
      {'R', "R4", "B", "0", 5000}}},
    {"full-wave, 3/2-law rectifiers, choke input, 3/2-law load",
     true,
     {{'V', "S1", "a", "0", 450},
      {'V', "S2", "b", "0", -450},
      {'R', "R1", "a", "p", 120},
      {'R', "R2", "b", "q", 120},
      {'T', "D1", "p", "k", 3e-4},
      {'T', "D2", "q", "k", 3e-4},
      {'L', "L1", "k", "m", 12},
      {'R', "R3", "m", "B", 300},
      {'C', "C2", "B", "0", 16e-6},
      {'J', "load", "B", "0", 0.06},
      {'R', "R4", "B", "0", 50000}}},
    {"bridge with stray inductance",
     false,
     {{'V', "S1", "a", "b", 350},
      {'L', "Ls", "a", "c", 0.02},
      {'R', "R1", "c", "p", 60},
      {'D', "D1", "p", "k", 0},
      {'D', "D2", "b", "k", 0},
      {'D', "D3", "0", "b", 0},
      {'D', "D4", "0", "p", 0},
      {'C', "C1", "k", "0", 30e-6},
      {'I', "load", "k", "0", 0.1},
      {'R', "R4", "k", "0", 20000}}},
    {"full-wave doubler",
     false,
     {{'V', "S1", "a", "m", 165},
      {'R', "R1", "a", "p", 25},
      {'D', "D1", "p", "k", 0},
      {'D', "D2", "0", "p", 0},
      {'C', "C1", "k", "m", 50e-6},
      {'C', "C2", "m", "0", 30e-6},
      {'R', "R4", "k", "0", 2500}}},
    {"half-wave doubler, 3/2-law rectifiers",
     false,
     {{'V', "S1", "a", "0", 165},
      {'R', "R1", "a", "b", 25},
      {'C', "C1", "p", "b", 40e-6},
      {'T', "D1", "0", "p", 2e-3},
      {'T', "D2", "p", "k", 2e-3},
      {'C', "C2", "k", "0", 40e-6},
      {'R', "R4", "k", "0", 3000}}},
    {"back bias in the negative lead",
     true,
     {{'V', "S1", "a", "n", 450},
      {'V', "S2", "b", "n", -450},
      {'R', "R1", "a", "p", 120},
      {'R', "R2", "b", "q", 120},
      {'D', "D1", "p", "k", 0},
      {'D', "D2", "q", "k", 0},
      {'C', "C1", "k", "n", 8e-6},
      {'R', "R5", "n", "0", 150},
      {'L', "L1", "k", "m", 10},
      {'R', "R3", "m", "B", 400},
      {'C', "C2", "B", "0", 8e-6},
      {'R', "R4", "B", "0", 4500}}},
};

/* How it is written down. */
struct manner {
    const char *name;
    bool backwards, renamed, exchanged;
    double scale;
};

static const struct manner manners[] = {
    {"parts backwards", true, false, false, 1},      {"points renamed", false, true, false, 1},
    {"plates exchanged", false, false, true, 1},     {"impedances x 3", false, false, false, 3},
    {"impedances / 100", false, false, false, 0.01}, {"all of it", true, true, true, 2},
};

static const char *point(struct handmade *h, const struct manner *m, const char *name)
{
    if (!m->renamed || strcmp(name, "0") == 0) return name;
    return arena_printf(h->arena, "%c%s", 'z' - (name[0] * 7) % 23, name);
}

static const char *plate(const struct circuit_text *c, const struct manner *m,
                         const struct piece *p)
{
    const bool rectifier = p->kind == 'D' || p->kind == 'T';
    if (!m->exchanged || !c->plates || !rectifier) return p->from;
    return strcmp(p->from, "p") == 0 ? "q" : "p";
}

static void add(struct handmade *h, const struct circuit_text *c, const struct manner *m,
                const struct piece *p)
{
    const char *from = point(h, m, plate(c, m, p)), *to = point(h, m, p->to);
    const double k = m->scale, value = p->value;
    switch (p->kind) {
    case 'V': hand_sine(h, p->name, from, to, value, 30); break;
    case 'R': hand_r(h, p->name, from, to, value * k); break;
    case 'L': hand_l(h, p->name, from, to, value * k, 0); break;
    case 'C': hand_c(h, p->name, from, to, value / k, 0); break;
    case 'D': hand_diode(h, p->name, from, to, 0.7, 0); break;
    case 'T': hand_tube(h, p->name, from, to, value / k); break;
    case 'I': hand_load(h, p->name, from, to, value / k, 250, false); break;
    case 'J': hand_load(h, p->name, from, to, value / k, 250, true); break;
    default: fail_msg("kind %c", p->kind);
    }
}

static struct handmade build(const struct circuit_text *c, const struct manner *m)
{
    struct handmade h = handmade_new(60);
    int n = 0;
    while (n < MOST_PARTS && c->piece[n].kind) n++;
    for (int k = 0; k < n; k++) add(&h, c, m, &c->piece[m->backwards ? n - 1 - k : k]);
    hand_watch_between(&h, "first", point(&h, m, "k"), "0");
    return h;
}

static void compare(struct table *t, const struct result *plain, const struct result *other,
                    bool exchanged, double scale)
{
    static const enum measure volts[] = {MEASURE_SETTLED_VOLTAGE, MEASURE_HIGHEST_VOLTAGE,
                                         MEASURE_RIPPLE_PP};
    static const enum measure amperes[] = {MEASURE_AVERAGE_CURRENT, MEASURE_RMS_CURRENT,
                                           MEASURE_RUNNING_PEAK_CURRENT,
                                           MEASURE_INRUSH_PEAK_CURRENT};
    for (int k = 0; k < LENGTH(volts); k++)
        table_level(t, measure_table[volts[k]].name, hand_figure(other, "first", volts[k]),
                    hand_figure(plain, "first", volts[k]));
    for (int d = 1; d <= 2; d++) {
        const char *one = d == 1 ? "D1" : "D2", *two = (d == 1) == !exchanged ? "D1" : "D2";
        for (int k = 0; k < LENGTH(amperes); k++)
            table_level(t, measure_table[amperes[k]].name,
                        hand_figure(other, two, amperes[k]) * scale,
                        hand_figure(plain, one, amperes[k]));
        table_level(t, "inverse volts", hand_figure(other, two, MEASURE_INVERSE_VOLTAGE),
                    hand_figure(plain, one, MEASURE_INVERSE_VOLTAGE));
    }
    table_level(t, "energy drawn", other->statistics.energy_drawn * scale,
                plain->statistics.energy_drawn);
}

static void test_circuit(void **state)
{
    static const struct manner as_it_is = {.scale = 1};
    const struct circuit_text *c = *state;
    struct table t = table_new(c->name);
    struct handmade h = build(c, &as_it_is);
    const struct result *plain = hand_run(&h, 0.6);
    for (int j = 0; j < LENGTH(manners); j++) {
        struct handmade g = build(c, &manners[j]);
        table_row(&t, "%s", manners[j].name);
        compare(&t, plain, hand_run(&g, 0.6), manners[j].exchanged && c->plates, manners[j].scale);
        handmade_free(&g);
    }
    handmade_free(&h);
    worst_check(&t.level, t.name, 1e-5);
}

int main(void)
{
    struct CMUnitTest tests[LENGTH(circuits)] = {{0}};
    gsl_set_error_handler_off();
    for (int k = 0; k < LENGTH(tests); k++) {
        tests[k].name = circuits[k].name;
        tests[k].test_func = test_circuit;
        tests[k].initial_state = (void *)(uintptr_t)&circuits[k];
    }
    return cmocka_run_group_tests(tests, NULL, NULL);
}
