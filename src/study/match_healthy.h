/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MATCH_HEALTHY_H
#define PRESOLDER_MATCH_HEALTHY_H

#include "responses.h"

/* A set as it reads when it is healthy: its uncertain values moved inside their tolerances to where
 * they are likeliest by readings that were taken before it failed, or at its twin. In standard
 * deviations z of the tolerances the readings are y0 + J z + errors of meter and model, so the
 * likeliest z is J' (J J' + D)^-1 (y - y0), and its covariance 1 - J' (J J' + D)^-1 J (linear
 * regression with a normal prior). */

#define MATCH_MOVED 0.25  /* standard deviations from which a value counts as moved */
#define MATCH_UNKNOWN 0.9 /* share of its standard deviation left, from which it is not known */
#define MATCH_UNLIKELY 1e-3

struct match_value {
    const struct uncertain *value; /* the first of its group */
    const char *key;               /* of the group */
    double now;                    /* [SI] */
    double moved;                  /* by so many standard deviations */
    double left;                   /* share of its standard deviation that is left */
};

struct match {
    ARRAY(struct match_value) values;
    struct overrides overrides; /* to be laid over the scenario */
    struct known known;         /* of the tolerances about it; n is 0 where it is not known */
    double chance; /* that a healthy set of these tolerances reads as far off, or farther */
    enum status status;
};

/* Matches the scenario to the readings in it, which are declared healthy. STATUS_SCENARIO with
 * errors in diags when they name nothing. */
const struct match *match_healthy(struct arena *arena, struct diags *diags,
                                  const struct scenario *s, const char *variant,
                                  const struct responses_options *options);

#endif
