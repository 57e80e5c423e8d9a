/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UNCERTAIN_H
#define PRESOLDER_UNCERTAIN_H

#include "overrides.h"
#include "uncertain_part.h"

/* The uncertain values of a scenario, and a set with some of them. */

/* Those of a variant (NULL: the scenario itself), whose setup this is: of its first stage. Texts
 * live in `arena` or as long as scenario and setup. */
struct uncertain_list uncertain_of(struct arena *arena, const struct scenario *s,
                                   const char *variant, const struct setup *setup);

/* The value at quantile u (0..1) of its spread [SI], and the standard deviation and mean of it. */
double uncertain_quantile(const struct uncertain *v, double u);
double uncertain_deviation(const struct uncertain *v);
double uncertain_mean(const struct uncertain *v);

/* values[i] for each value of the list from u[g] of its group. */
void uncertain_values(const struct uncertain_list *list, const double *u, double *values);

/* Lays a value [SI] over the scenario; what its text says beside it (`at 225 V`, `cold`, the other
 * half of a winding in proportion) stays. */
void uncertain_lay(struct overrides *o, const struct uncertain *v, double value);

/* Lays all values of the list. Lay faults after it: what is laid later wins. */
void uncertain_lay_all(struct overrides *o, const struct uncertain_list *list,
                       const double *values);

#endif
