/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a second of each shipped scenario costs, counted: steps, Newton iterations and the like are
 * the same on any machine, busy or not. None may grow by more than a tenth unnoticed. Cold, when
 * nearly all states move; and hot, when nearly all are held. With PRESOLDER_REWRITE=1 the table is
 * printed anew instead, to be put in place of the one here. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "run.h"
#include "shipped.h"

enum { STEPS, REJECTED, NEWTON, FACTORISATIONS, PATTERNS, MOVING, PORTS, COUNTERS };

static const char *const names[COUNTERS] = {"steps",
                                            "rejected steps",
                                            "Newton iterations",
                                            "factorisations",
                                            "patterns",
                                            "moving states at the ends of all cycles",
                                            "ports at the ends of all cycles"};

/* A few rejected steps more are nothing where there were hardly any. */
static const long slack[COUNTERS] = {[REJECTED] = 10};

enum { COLD, HOT, STARTS };
static const char *const starts[STARTS] = {"cold", "hot"};

/* Of the first second, the mains closing at the crest. */
struct counted {
    const char *scenario;
    long count[STARTS][COUNTERS];
};

static const struct counted table[] = {
    {"ac-dc", {{1685, 0, 31436, 1685, 2, 268, 470}, {2296, 233, 56710, 2296, 2, 103, 274}}},
    {"amplifier", {{5719, 431, 126316, 5719, 3, 231, 405}, {6176, 907, 184478, 6176, 3, 92, 267}}},
    {"back-bias", {{5756, 866, 142031, 5756, 3, 244, 366}, {5650, 727, 160890, 5650, 3, 97, 219}}},
    {"bridge", {{3681, 180, 51365, 3681, 3, 277, 364}, {3416, 75, 48633, 3416, 3, 89, 176}}},
    {"bridged-capacitor",
     {{5934, 886, 147474, 5934, 3, 241, 360}, {5676, 787, 167710, 5676, 3, 96, 215}}},
    {"choke-input",
     {{7361, 1463, 254576, 7361, 4, 287, 400}, {5252, 614, 191787, 5252, 4, 91, 204}}},
    {"doubler", {{1971, 0, 50279, 1971, 3, 165, 272}, {3505, 484, 103045, 3505, 3, 30, 137}}},
    {"field-coil", {{5877, 921, 146478, 5877, 3, 238, 354}, {5754, 946, 168333, 5754, 3, 92, 208}}},
    {"first-power",
     {{5304, 941, 134119, 5304, 3, 268, 384}, {5565, 707, 162280, 5565, 3, 156, 272}}},
    {"line-cord", {{1685, 0, 31187, 1685, 2, 24, 204}, {2364, 238, 54744, 2364, 2, 24, 204}}},
    {"selenium-portable", {{1868, 0, 24362, 1868, 2, 0, 61}, {1868, 0, 24362, 1868, 2, 0, 61}}},
    {"tube-faults",
     {{5099, 405, 113423, 5099, 3, 229, 464}, {5711, 749, 166436, 5711, 3, 91, 326}}},
    {"vibrator",
     {{14913, 7, 173338, 14913, 6, 152, 265}, {11349, 108, 127371, 11349, 6, 131, 244}}},
    {"winding-faults",
     {{5875, 925, 146355, 5875, 3, 238, 354}, {5754, 946, 168257, 5754, 3, 92, 208}}},
};
enum { ROWS = sizeof table / sizeof table[0] };

/* How large the equations are is counted at the end of every cycle: holding makes them smaller. */
static void look(void *context, double t, const struct equations *eq, const double *y)
{
    long *counts = context;
    (void)t, (void)y;
    counts[MOVING] += eq->moving;
    counts[PORTS] += eq->r->np;
}

static void count(const char *scenario, int hot, long counts[COUNTERS])
{
    struct arena *arena = arena_new();
    const struct setup *setup = shipped_setup(arena, scenario, NULL);
    struct run_options o = run_defaults();
    assert_non_null(setup);
    o.duration = 1;
    o.hot = hot;
    o.angle = PI / 2;
    o.no_bleed = true;
    o.observe = look;
    o.observe_context = counts;
    o.observe_every = 1 / setup->frequency;
    const struct result *r = run_simulate(arena, setup, &o);
    const struct statistics *s = &r->statistics;
    assert_int_equal(r->status, STATUS_OK);
    assert_int_equal(s->repeated, 0); /* the counts are of the last run */
    counts[STEPS] = s->steps;
    counts[REJECTED] = s->rejected;
    counts[NEWTON] = s->newton;
    counts[FACTORISATIONS] = s->jacobians;
    counts[PATTERNS] = s->patterns;
    arena_free(arena);
}

static void print_row(const struct counted *c)
{
    printf("    {\"%s\", {", c->scenario);
    for (int i = 0; i < STARTS; i++) {
        printf("%s", i ? ", {" : "{");
        for (int k = 0; k < COUNTERS; k++) printf("%s%ld", k ? ", " : "", c->count[i][k]);
        printf("}");
    }
    printf("}},\n");
}

/* How many counts are more than a tenth above those of the table, each of them told. */
static int dearer(const struct counted *now, const struct counted *stored)
{
    int n = 0;
    for (int i = 0; i < STARTS; i++) {
        for (int k = 0; k < COUNTERS; k++) {
            long is = now->count[i][k], was = stored->count[i][k];
            if (is <= was + was / 10 + slack[k]) continue;
            printf("%s, %s: %ld %s, more than a tenth above %ld\n", now->scenario, starts[i], is,
                   names[k], was);
            n++;
        }
    }
    return n;
}

static const struct counted *find(const char *scenario)
{
    for (int i = 0; i < ROWS; i++)
        if (strcmp(table[i].scenario, scenario) == 0) return &table[i];
    return NULL;
}

static void no_scenario_costs_more(void **state)
{
    struct arena *arena = arena_new();
    const bool rewrite = getenv("PRESOLDER_REWRITE") != NULL;
    int n, faults = 0;
    const char *const *scenarios = shipped_names(arena, &n);
    (void)state;
    for (int i = 0; i < n; i++) {
        struct counted now = {.scenario = scenarios[i]};
        const struct counted *stored = find(scenarios[i]);
        for (int k = 0; k < STARTS; k++) count(scenarios[i], k == HOT, now.count[k]);
        if (rewrite) print_row(&now);
        else if (stored) faults += dearer(&now, stored);
        else faults++, printf("%s has no row in the table\n", scenarios[i]);
    }
    if (!rewrite) assert_int_equal(n, ROWS);
    arena_free(arena);
    assert_int_equal(faults, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_scenario_costs_more)};
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
