/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ROOT_H
#define PRESOLDER_ROOT_H

#include "arena.h"
#include "status.h"

enum { ROOT_ITERATIONS = 40 };

/* An interval and the function at its ends, of opposite signs (0 counts as negative). */
struct root_bracket {
    double x[2], f[2];
};

/* Where f(x, context) crosses zero in the bracket, by Brent's method (GSL): until the interval is
 * narrower than `close` or |f| <= enough, after ROOT_ITERATIONS at the latest, and no longer than
 * *status, which f may set, is STATUS_OK. The ends are not evaluated again. GSL's solver is
 * `arena`'s, given back with it, also where f runs out of memory. */
double root_close_in(struct arena *arena, const struct root_bracket *bracket,
                     double (*f)(double x, void *context), void *context, double close,
                     double enough, enum status *status);

#endif
