/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of the least and the greatest magnitude of each unit. None has a source: they are far
 * beyond what is found in a set. */
#include "bounds.h"

#include <math.h>
#include <stdio.h>

static const struct {
    double least, most;
} bounds[] = {
    [UNIT_NUMBER] = {1e-9, 1e6},
    [UNIT_VOLT] = {1e-6, 1e5},
    [UNIT_AMPERE] = {1e-12, 1e4},
    [UNIT_OHM] = {1e-6, 1e12},
    [UNIT_FARAD] = {1e-15, 10},
    [UNIT_HENRY] = {1e-6, 1e4},
    [UNIT_WATT] = {1e-6, 1e6},
    [UNIT_HERTZ] = {5, 1e3},
    [UNIT_SECOND] = {1e-6, 1e8},
    [UNIT_CELSIUS] = {1, ZERO_CELSIUS + 5000},
    [UNIT_JOULE] = {1e-9, 1e6},
    [UNIT_KILOGRAM] = {1e-6, 1e3},
    [UNIT_PERVEANCE] = {1e-9, 10},
    [UNIT_I2T] = {1e-9, 1e9},
    [UNIT_DEGREE] = {1e-9, 1e3},
    [UNIT_PERCENT] = {1e-9, 1e4},
    [UNIT_KELVIN_PER_WATT] = {1e-3, 1e5},
    [UNIT_JOULE_PER_KELVIN] = {1e-6, 1e6},
};

void bounds_of(enum unit unit, double *least, double *most)
{
    *least = bounds[unit].least;
    *most = bounds[unit].most;
}

static void complain(double value, enum unit unit, double least, double most, struct complaint *why)
{
    char is[40], low[40], high[40];
    *why = (struct complaint){0};
    snprintf(why->message, sizeof why->message, "%s is not between %s and %s",
             quantity_text(value, unit, 3, is, sizeof is),
             quantity_text(least, unit, 3, low, sizeof low),
             quantity_text(most, unit, 3, high, sizeof high));
    snprintf(why->hint, sizeof why->hint, "look at its unit and its power of ten");
}

bool bounds_between(double value, enum unit unit, double least, double most, struct complaint *why)
{
    if (value >= least && value <= most) return true;
    complain(value, unit, least, most, why);
    return false;
}

bool bounds_hold(double value, enum unit unit, struct complaint *why)
{
    double size = fabs(value);
    if (size == 0 || (size >= bounds[unit].least && size <= bounds[unit].most)) return true;
    complain(value, unit, bounds[unit].least, bounds[unit].most, why);
    return false;
}
