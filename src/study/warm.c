/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steady state has no first pulses and no overshoot; where they are wanted, the first cycles of
 * a hot restart are run besides and the greater of each extreme is kept. */
#include "warm.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "turn_on.h"

enum { AGAIN = 2 }; /* so often at a tenth of the tolerance where the cycle does not balance */
#define FINE 1e-7   /* a tenth of that of runs */

#define HOT_LEAST 30 /* a warm set has settled by then [s] */

const char *warm_name(struct arena *arena, const char *variant)
{
    return arena_printf(arena, "%s (warm)", variant);
}

const struct result *warm_steady(struct arena *arena, const struct setup *setup,
                                 const struct warm_options *options)
{
    struct steady_options o = {.bleed = options->bleed,
                               .progress = options->progress,
                               .progress_context = options->progress_context};
    const struct result *r = NULL;
    for (int again = 0; again <= AGAIN && (!r || r->statistics.audit_failed); again++) {
        const struct steady *steady = steady_solve(arena, setup, &o);
        if (steady->status != STATUS_OK) break;
        r = steady->result;
        o.tolerance = again == 0 ? FINE : FINE / 10;
    }
    return r;
}

static bool lower_counts(enum measure measure)
{
    return measure == MEASURE_LOWEST_VOLTAGE || measure == MEASURE_OPENS_AT ||
           measure == MEASURE_SHORTS_AT;
}

static void take(struct arena *arena, struct result *r, const struct figure *f)
{
    for (int i = 0; i < r->figures.n; i++) {
        struct figure *kept = &r->figures.at[i];
        if (kept->measure != f->measure || strcmp(kept->subject, f->subject) != 0) continue;
        bool more =
            lower_counts(f->measure) ? f->value < kept->value : fabs(f->value) > fabs(kept->value);
        if (more) *kept = *f;
        return;
    }
    array_push(arena, &r->figures, *f);
}

static const struct result *with_pulses(struct arena *arena, const struct result *steady,
                                        const struct setup *setup, double tolerance)
{
    const struct stage *first = &setup->stages.at[0];
    if (first->mains_source < 0 || !first->mains_on) return steady;
    const struct result *pulses = turn_on_first_cycles(arena, setup, PI / 2, tolerance, false);
    if (pulses->status != STATUS_OK) return pulses;
    struct result *r = ARENA_NEW(arena, struct result);
    *r = *steady;
    r->statistics.audit_failed |= pulses->statistics.audit_failed;
    for (int i = 0; i < pulses->figures.n; i++) take(arena, r, &pulses->figures.at[i]);
    return r;
}

const struct result *warm_run(struct arena *arena, const struct setup *setup,
                              const struct warm_options *options)
{
    const struct stage *first = &setup->stages.at[0];
    const struct result *steady = warm_steady(arena, setup, options);
    if (steady && !options->pulses) return steady;
    if (steady) return with_pulses(arena, steady, setup, options->tolerance);
    struct run_options o = run_defaults();
    o.hot = 1;
    o.tolerance = options->tolerance;
    o.no_bleed = !options->bleed;
    o.until_settled = true;
    o.duration = options->duration > 0 ? options->duration : larger(setup->duration, HOT_LEAST);
    if (first->mains_source >= 0 && first->mains_on) o.angle = PI / 2;
    o.progress = options->progress;
    o.progress_context = options->progress_context;
    return run_simulate(arena, setup, &o);
}
