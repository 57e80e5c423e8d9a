/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_INFLUENCE_H
#define PRESOLDER_INFLUENCE_H

#include "overrides.h"

/* How much hangs on a guess: the volts of the warm set where its load is fed, with the guess at
 * either end of its range. */
struct influence {
    const struct assumption *assumption;
    const char *point;      /* the first end of the first load */
    double volts[2], taken; /* at the low and the high end, and with the value taken [V]; NaN: no
                               steady state there */
};

/* Of one guess of a variant (NULL: the scenario itself), whose setup this is. False when it has no
 * range, no key can set it, it moves no volts (a leakage inductance, a core loss ...), or the set
 * has no load. Everything lives in `arena`. */
bool influence_of(struct arena *arena, const struct scenario *s, const char *variant,
                  const struct setup *setup, const struct assumption *assumption,
                  struct influence *influence);

#endif
