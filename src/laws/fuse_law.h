/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUSE_LAW_H
#define PRESOLDER_FUSE_LAW_H

#include "laws.h"

/* What is known of a fuse, at 25 deg C. */
struct fuse_rating {
    double amperes;       /* rated */
    double cold;          /* resistance [ohm] */
    double i2t;           /* melts the element when no heat leaves it [A^2 s] */
    double opens_ever;    /* times rated: opens at last above, never below; > 1 */
    double opens_at_once; /* times rated: the element melts even while its body is cold; above
                             opens_ever */
    double body_time;     /* time constant of the body towards the room [s] */
    double melts;         /* [K] */
    double coefficient;   /* of resistance [1/K] */
};

/* Heat of the element from i2t (heat dT = I^2 R(T) dt), conductances from the two currents that
 * hold it at its melting point, heat of the body from its time constant. */
struct fuse_law fuse_law_of(const struct fuse_rating *rating, double ambient);

/* Temperatures [K] of element and body that have carried `amperes` RMS for long; below opens_ever
 * times rated. */
void fuse_settled(const struct fuse_law *law, double amperes, double *element, double *body);

#endif
