/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_QUIET_H
#define PRESOLDER_QUIET_H

#include "network.h"

/* Finds r->quiet: ports that stand with their base resistance in a path that is open in this pattern:
 * what moves their volts is rounding, against 1 per volt and their own ohms per ampere. What others do
 * to these in r->z becomes zero. Internal to the layer. */
void quiet_find(struct arena *arena, const struct network *network, struct reduced *r);

#endif
