/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_READINGS_IMPL_H
#define PRESOLDER_READINGS_IMPL_H

#include "readings.h"
#include "scenario_impl.h"

/* Among the files of the readings. */

struct readings {
    struct arena *arena;
    struct diags *diags;
    const struct reading_names *points, *parts;
    struct setup *setup;
    struct measured *measured;
};

/* `noticed:` of one set of readings: a phrase or a list of them. */
void noticed_read(const struct readings *r, const struct node *node, struct reading_set *set);

/* The keys `meter`, `measured` and `noticed` of the scenario. */
void reading_sets_read(const struct readings *r, const struct scenario *s);

#endif
