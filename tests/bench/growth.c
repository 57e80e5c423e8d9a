/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the cost grows, in seconds of user time: with the number of parts (a ladder of RC sections
 * behind a rectifier, one second each), and with length (bridged-capacitor, 10 s to an hour).
 * Prints; asserts nothing.
 *
 *   growth [SECONDS]: nothing larger is begun behind a row that took longer (60) */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>

#include <gsl/gsl_errno.h>

#include "ladder.h"
#include "run.h"
#include "shipped.h"
#include "why.h"

static double user_seconds(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_utime.tv_sec + 1e-6 * (double)usage.ru_utime.tv_usec;
}

struct asked {
    double last, longest; /* [s] */
};

static int note(void *context, double done)
{
    struct asked *a = context;
    double now = user_seconds();
    (void)done;
    if (now - a->last > a->longest) a->longest = now - a->last;
    a->last = now;
    return 0;
}

struct cost {
    double run;     /* [s] */
    double unasked; /* the longest time in which nobody was asked whether to end */
    const struct result *result;
};

static struct cost simulate(struct arena *arena, const struct setup *setup, double seconds)
{
    double begun = user_seconds();
    struct asked asked = {.last = begun};
    struct run_options o = run_defaults();
    o.duration = seconds;
    o.progress = note;
    o.progress_context = &asked;
    struct cost c = {.result = run_simulate(arena, setup, &o)};
    note(&asked, 1);
    c.run = asked.last - begun;
    c.unasked = asked.longest;
    return c;
}

static const char *told(const struct result *r)
{
    return r->status == STATUS_OK ? "" : why(r);
}

static void with_parts(double most)
{
    static const int sections[] = {10, 20, 50, 100, 200, 400};
    printf("RC sections, 1 s from cold: seconds of user time\n"
           "  sections   reading  first second  longest without asking     steps\n");
    for (size_t k = 0; k < sizeof sections / sizeof sections[0]; k++) {
        struct arena *arena = arena_new();
        double begun = user_seconds();
        const struct setup *setup = ladder_setup(arena, sections[k]);
        double read = user_seconds() - begun;
        if (setup) {
            struct cost c = simulate(arena, setup, 1);
            printf("%10d %9.2f %13.2f %23.2f %9ld  %s\n", sections[k], read, c.run, c.unasked,
                   c.result->statistics.steps, told(c.result));
        }
        arena_free(arena);
        fflush(stdout);
        if (user_seconds() - begun <= most) continue;
        printf("  longer ladders were left out: this one took over %g s\n", most);
        return;
    }
}

static void with_length(double most)
{
    static const double lengths[] = {10, 30, 100, 300, 900, 1800, 3600};
    struct arena *arena = arena_new();
    const struct setup *setup = shipped_setup(arena, "bridged-capacitor", NULL);
    printf("bridged-capacitor from cold: seconds of user time\n"
           "    length      cost     steps   leaps   cycles leapt of all\n");
    for (size_t k = 0; setup && k < sizeof lengths / sizeof lengths[0]; k++) {
        struct cost c = simulate(arena, setup, lengths[k]);
        const struct statistics *s = &c.result->statistics;
        printf("%8.0f s %9.2f %9ld %7ld %9ld of %ld  %s\n", lengths[k], c.run, s->steps, s->leaps,
               s->leapt, s->cycles, told(c.result));
        fflush(stdout);
        if (c.run <= most) continue;
        printf("  longer runs were left out: this one took over %g s\n", most);
        break;
    }
    arena_free(arena);
}

int main(int argc, char **argv)
{
    double most = argc > 1 ? strtod(argv[1], NULL) : 60;
    gsl_set_error_handler_off();
    with_parts(most);
    with_length(most);
    return 0;
}
