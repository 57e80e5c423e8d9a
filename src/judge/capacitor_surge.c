/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacitor_surge.h"

#include <math.h>
#include <string.h>

#include "numbers.h"

static bool is_of(const struct rating *r, const char *capacitor, enum measure measure)
{
    return strcmp(r->subject, capacitor) == 0 && r->measure == measure;
}

/* What the data sheet allows for good: the least limit of its volts. */
static double working_voltage(const struct set *set, const char *capacitor)
{
    double least = (double)INFINITY;
    for (int i = 0; i < set->ratings.n; i++) {
        const struct rating *r = &set->ratings.at[i];
        if (!r->at_least && (is_of(r, capacitor, MEASURE_SETTLED_VOLTAGE) ||
                             is_of(r, capacitor, MEASURE_HIGHEST_VOLTAGE)))
            least = smaller(least, r->limit);
    }
    return least;
}

/* The rating of its highest volts that these keep; NaN: none. */
static double surge_voltage(const struct set *set, const char *capacitor, double volts)
{
    for (int i = 0; i < set->ratings.n; i++) {
        const struct rating *r = &set->ratings.at[i];
        if (is_of(r, capacitor, MEASURE_HIGHEST_VOLTAGE) && !r->at_least && volts <= r->limit)
            return r->limit;
    }
    return (double)NAN;
}

/* Seconds in all beyond that limit of its volts; *last: until when, untouched if never. */
static double seconds_beyond(const struct result *run, const char *capacitor, enum measure measure,
                             double limit, double *last)
{
    double sum = 0;
    for (int i = 0; i < run->excesses.n; i++) {
        const struct excess *e = &run->excesses.at[i];
        if (!is_of(e->rating, capacitor, measure) || e->rating->limit != limit) continue;
        sum += e->seconds;
        *last = larger(*last, e->last);
    }
    return sum;
}

static bool by_warming(const struct setup *setup, const struct result *run, double last)
{
    bool changed = setup->stages.n > 1 && last > setup->stages.at[1].time;
    return !changed && !setup->hot && last < run->end;
}

bool capacitor_surge_find(const struct setup *setup, const struct result *run,
                          const char *capacitor, struct capacitor_surge *surge)
{
    const struct figure *high = run_figure(run, capacitor, MEASURE_HIGHEST_VOLTAGE);
    const struct figure *settled = run_figure(run, capacitor, MEASURE_SETTLED_VOLTAGE);
    const struct set *set = setup->stages.at[0].set;
    double working = working_voltage(set, capacitor);
    if (!high || !settled || !(high->value > working) || fabs(settled->value) > working)
        return false;
    double last = high->time;
    double mean = seconds_beyond(run, capacitor, MEASURE_SETTLED_VOLTAGE, working, &last);
    double crest = seconds_beyond(run, capacitor, MEASURE_HIGHEST_VOLTAGE, working, &last);
    *surge = (struct capacitor_surge){.name = capacitor,
                                      .working = working,
                                      .allowed = surge_voltage(set, capacitor, high->value),
                                      .highest = high->value,
                                      .settled = settled->value,
                                      .time = high->time,
                                      .lasts = larger(mean, crest),
                                      .warming = by_warming(setup, run, last)};
    return true;
}

double capacitor_surge_below(const struct result *run, const char *capacitor, double limit)
{
    const struct figure *settled = run_figure(run, capacitor, MEASURE_SETTLED_VOLTAGE);
    double last = 0;
    if (!settled || settled->value < limit) return 0;
    return seconds_beyond(run, capacitor, MEASURE_LOWEST_VOLTAGE, limit, &last);
}
