/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUSE_TIME_H
#define PRESOLDER_FUSE_TIME_H

#include "fuse.h"

/* A fuse at constant RMS current: its two temperatures obey linear equations there, since the
 * element's ohms go in proportion to its temperature, so everything is in closed form. */

/* Temperatures [K]. */
struct fuse_warmth {
    double element, body;
};

/* As the fuse is after long at `amperes`, or in the room's warmth where it would not hold them. */
struct fuse_warmth fuse_time_settled(const struct fuse_law *law, double amperes);

/* `seconds` later at a mean square of `square` [A^2]. An element beyond its melting point is not
 * followed rightly. */
struct fuse_warmth fuse_time_step(const struct fuse_law *law, struct fuse_warmth from,
                                  double square, double seconds);

#define FUSE_TIME_LONGEST 14400.0 /* [s] */

/* Seconds until the element melts at `amperes` RMS; inf: not within FUSE_TIME_LONGEST. */
double fuse_time_opens(const struct fuse_law *law, struct fuse_warmth from, double amperes);

#endif
