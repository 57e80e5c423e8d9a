/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a steady state costs: cycles simulated and milliseconds of user time, from a hot start and
 * from the one found; and how far it is from a run of so many seconds that waits for it. Prints;
 * asserts nothing.
 *
 *   steady_cost [SCENARIO [VARIANT [SECONDS [TIMES]]]]: so many times from the one found (1) */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "handmade.h"
#include "shipped.h"
#include "steady.h"
#include "why.h"

static double user_seconds(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_utime.tv_sec + 1e-6 * (double)usage.ru_utime.tv_usec;
}

static const struct steady *solve(struct arena *arena, const struct setup *setup,
                                  const struct steady *near, const char *how)
{
    const struct steady_options o = {.near = near};
    double begun = user_seconds();
    const struct steady *d = steady_solve(arena, setup, &o);
    printf("  %s: %ld cycles, %.1f ms%s\n", how, d->cycles, 1e3 * (user_seconds() - begun),
           d->status == STATUS_OK ? "" : ": none");
    if (d->result && d->result->statistics.audit_failed)
        printf("    audit failed: energy %.1e, charge %.1e at %s\n",
               d->result->statistics.energy_residual, d->result->statistics.charge_residual,
               d->result->statistics.charge_point);
    return d;
}

static bool settles(enum measure m)
{
    return m == MEASURE_SETTLED_VOLTAGE || m == MEASURE_RMS_VOLTAGE || m == MEASURE_RMS_CURRENT ||
           m == MEASURE_AVERAGE_CURRENT || m == MEASURE_LINE_CURRENT || m == MEASURE_LINE_POWER ||
           m == MEASURE_DISSIPATION || m == MEASURE_RIPPLE_RMS || m == MEASURE_RIPPLE_PP ||
           m == MEASURE_RUNNING_PEAK_CURRENT || m == MEASURE_TEMPERATURE;
}

static void compare(struct arena *arena, const struct setup *setup, const struct steady *d,
                    double seconds)
{
    struct run_options o = run_defaults();
    o.hot = 1;
    o.duration = seconds;
    o.no_bleed = true;
    double begun = user_seconds();
    const struct result *r = run_simulate(arena, setup, &o);
    printf("  run of %g s: %.1f s, settled %d %s\n", seconds, user_seconds() - begun, r->settled,
           r->status == STATUS_OK ? "" : why(r));
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        const struct figure *g =
            settles(f->measure) ? run_figure(d->result, f->subject, f->measure) : NULL;
        if (!g || !(fabs(f->value) > 0)) continue;
        double off = fabs(g->value - f->value) / hand_largest(r, f);
        if (off > 3e-6)
            printf("    %.1e %s %s: %.9g run, %.9g here\n", off, f->subject,
                   measure_table[f->measure].name, f->value, g->value);
    }
}

static void row(const char *name, const char *variant, double seconds, int times)
{
    struct arena *arena = arena_new();
    const struct setup *setup = shipped_setup(arena, name, variant);
    printf("%s %s\n", name, variant ? variant : "");
    if (!setup) return;
    const struct steady *d = solve(arena, setup, NULL, "from a hot start");
    if (d->status == STATUS_OK) {
        for (int k = 0; k < times; k++) solve(arena, setup, d, "from there");
        if (seconds > 0) compare(arena, setup, d, seconds);
    }
    fflush(stdout);
    arena_free(arena);
}

int main(int argc, char **argv)
{
    struct arena *arena = arena_new();
    int n = 1;
    const char *const *names = shipped_names(arena, &n);
    if (argc > 1) {
        row(argv[1], argc > 2 && argv[2][0] ? argv[2] : NULL, argc > 3 ? atof(argv[3]) : 0,
            argc > 4 ? atoi(argv[4]) : 1);
    } else {
        for (int i = 0; i < n; i++) row(names[i], NULL, 0, 1);
    }
    arena_free(arena);
    return 0;
}
