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
    {"ac-dc", {{1750, 0, 27695, 1750, 2, 442, 610}, {2081, 24, 40370, 2081, 2, 118, 286}}},
    {"amplifier", {{4601, 44, 86434, 4601, 3, 323, 497}, {4265, 130, 112583, 4265, 3, 153, 328}}},
    {"back-bias", {{4568, 405, 102937, 4568, 3, 325, 447}, {4329, 88, 102675, 4329, 3, 215, 337}}},
    {"bridge", {{2515, 44, 34581, 2515, 3, 277, 364}, {2369, 8, 32499, 2369, 3, 89, 176}}},
    {"bridged-capacitor",
     {{4745, 453, 107545, 4745, 3, 261, 380}, {4238, 96, 102733, 4238, 3, 151, 270}}},
    {"choke-input",
     {{4878, 339, 145613, 4878, 4, 439, 552}, {6613, 351, 148101, 6613, 4, 271, 384}}},
    {"doubler", {{2059, 0, 41686, 2059, 3, 231, 338}, {2667, 52, 65929, 2667, 3, 91, 198}}},
    {"field-coil", {{4630, 458, 105357, 4630, 3, 258, 374}, {4352, 90, 105217, 4352, 3, 148, 264}}},
    {"first-power",
     {{4120, 382, 92837, 4120, 3, 274, 390}, {4226, 105, 102882, 4226, 3, 210, 326}}},
    {"line-cord", {{1751, 0, 27747, 1751, 2, 24, 204}, {2180, 93, 40418, 2180, 2, 24, 204}}},
    {"selenium-portable", {{1767, 0, 20851, 1767, 2, 61, 122}, {1764, 0, 20915, 1764, 2, 61, 122}}},
    {"tube-faults", {{4065, 37, 77238, 4065, 3, 262, 497}, {4201, 117, 102602, 4201, 3, 91, 326}}},
    {"vibrator", {{11423, 106, 135627, 11423, 6, 152, 265}, {9315, 23, 104151, 9315, 6, 131, 244}}},
    {"winding-faults",
     {{4625, 459, 105410, 4625, 3, 258, 374}, {4352, 90, 105152, 4352, 3, 148, 264}}},
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
