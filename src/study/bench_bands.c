/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench_bands.h"

#include <math.h>

#include "bench_runs.h"
#include "tolerances.h"

/* Of the first filter capacitor; where that is open, of its point. */
static const struct tolerances_row *row_of(const struct tolerances *t,
                                           const struct bench_parts *parts, int reading)
{
    struct bench_figure f;
    bench_runs_figure(parts, (enum bench_reading)reading, &f);
    const struct tolerances_row *row = f.subject ? tolerances_find(t, f.subject, f.measure) : NULL;
    return row || !f.otherwise ? row : tolerances_find(t, f.otherwise, f.measure);
}

bool bench_bands_find(struct arena *arena, const struct scenario *s, const char *variant,
                      const struct bench_parts *parts, const struct bench_options *options,
                      struct bench_share *share)
{
    const struct tolerances_options o = {.jobs = options->jobs,
                                         .only_steady = !options->tolerances,
                                         .untimed = true,
                                         .interrupted = options->interrupted};
    const struct tolerances *t = tolerances_bands(arena, s, variant, &o);
    for (int k = 0; t && k < BENCH_READINGS; k++) {
        const struct tolerances_row *row = row_of(t, parts, k);
        share->least[k] = row ? row->spread.p05 / row->nominal : 1;
        share->most[k] = row ? row->spread.p95 / row->nominal : 1;
    }
    return t != NULL;
}

void bench_bands_lay(const struct bench_share *share, struct bench_row *row)
{
    for (int k = 0; k < BENCH_READINGS; k++) {
        double a = row->value[k] * share->least[k], b = row->value[k] * share->most[k];
        if (!isfinite(a) || !isfinite(b)) a = b = row->value[k];
        row->least[k] = fmin(a, b);
        row->most[k] = fmax(a, b);
    }
}
