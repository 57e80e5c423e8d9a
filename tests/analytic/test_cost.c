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
    {"ac-dc", {{1445, 0, 24887, 1445, 2, 268, 470}, {1969, 27, 42080, 1969, 2, 103, 274}}},
    {"amplifier", {{4914, 71, 99700, 4914, 3, 292, 466}, {4650, 473, 150031, 4650, 3, 153, 328}}},
    {"back-bias", {{4861, 513, 120052, 4861, 3, 305, 427}, {4715, 90, 119018, 4715, 3, 215, 337}}},
    {"bridge", {{2907, 25, 42537, 2907, 3, 277, 364}, {2745, 11, 37303, 2745, 3, 89, 176}}},
    {"bridged-capacitor",
     {{5032, 516, 123340, 5032, 3, 241, 360}, {4623, 109, 118428, 4623, 3, 151, 270}}},
    {"choke-input",
     {{5017, 352, 171236, 5017, 4, 409, 522}, {6730, 408, 188747, 6730, 4, 271, 384}}},
    {"doubler", {{1831, 0, 41314, 1831, 3, 226, 333}, {2886, 85, 75071, 2886, 3, 91, 198}}},
    {"field-coil", {{4941, 532, 122070, 4941, 3, 238, 354}, {4585, 95, 116629, 4585, 3, 148, 264}}},
    {"first-power",
     {{4386, 400, 107688, 4386, 3, 268, 384}, {4608, 107, 128688, 4608, 3, 210, 326}}},
    {"line-cord", {{1445, 0, 24935, 1445, 2, 24, 204}, {2061, 86, 41806, 2061, 2, 24, 204}}},
    {"selenium-portable", {{1652, 0, 20467, 1652, 2, 61, 122}, {1648, 0, 20082, 1648, 2, 61, 122}}},
    {"tube-faults", {{4373, 55, 89483, 4373, 3, 229, 464}, {4593, 116, 119777, 4593, 3, 91, 326}}},
    {"vibrator", {{13525, 902, 165791, 13525, 6, 152, 265}, {9418, 61, 108633, 9418, 6, 131, 244}}},
    {"winding-faults",
     {{4937, 542, 122101, 4937, 3, 238, 354}, {4585, 95, 116428, 4585, 3, 148, 264}}},
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
