/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LADDER_H
#define PRESOLDER_LADDER_H

#include "scenario.h"

/* RC sections of 10 ohm and 1 uF behind a full-wave silicon rectifier with 10 uF, 5 kohm at the end
 * (invented). NULL when it has mistakes, which are printed. */
const struct setup *ladder_setup(struct arena *arena, int sections);

#endif
