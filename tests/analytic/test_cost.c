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
    {"ac-dc", {{2645, 0, 45967, 2645, 2, 268, 470}, {3013, 229, 63887, 3013, 2, 103, 274}}},
    {"amplifier", {{5681, 422, 125135, 5681, 3, 231, 405}, {6228, 729, 183841, 6228, 3, 92, 267}}},
    {"back-bias", {{5724, 832, 141118, 5724, 3, 244, 366}, {5661, 720, 161852, 5661, 3, 97, 219}}},
    {"bridge", {{3728, 56, 51048, 3728, 3, 277, 364}, {3487, 0, 49151, 3487, 3, 89, 176}}},
    {"bridged-capacitor",
     {{5903, 848, 146723, 5903, 3, 241, 360}, {5744, 772, 170342, 5744, 3, 96, 215}}},
    {"choke-input",
     {{7330, 1442, 252960, 7330, 4, 287, 400}, {5554, 498, 200334, 5554, 4, 91, 204}}},
    {"doubler", {{2937, 0, 69623, 2937, 3, 165, 272}, {3969, 469, 106418, 3969, 3, 30, 137}}},
    {"field-coil", {{5840, 859, 145055, 5840, 3, 238, 354}, {5842, 777, 168641, 5842, 3, 92, 208}}},
    {"first-power",
     {{5233, 879, 132891, 5233, 3, 268, 384}, {5788, 680, 163584, 5788, 3, 156, 272}}},
    {"line-cord", {{2645, 0, 46048, 2645, 2, 24, 204}, {3081, 237, 61956, 3081, 2, 24, 204}}},
    {"selenium-portable", {{2698, 0, 32577, 2698, 2, 0, 61}, {2698, 0, 32577, 2698, 2, 0, 61}}},
    {"tube-faults",
     {{5056, 355, 112980, 5056, 3, 229, 464}, {5807, 612, 167624, 5807, 3, 91, 326}}},
    {"vibrator",
     {{15527, 1, 179594, 15527, 6, 152, 265}, {12497, 108, 138862, 12497, 6, 131, 244}}},
    {"winding-faults",
     {{5843, 858, 144811, 5843, 3, 238, 354}, {5842, 777, 168525, 5842, 3, 92, 208}}},
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
    o.tolerance = 1e-6; /* the usual one; what is watched is finer */
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
