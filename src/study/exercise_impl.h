/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_IMPL_H
#define PRESOLDER_EXERCISE_IMPL_H

#include "exercise.h"

/* Among the files of the exercise. */

/* Chooses the faults of all sheets. False with an error in diags: there is none to choose; or
 * ended, with the status. */
bool exercise_draw(struct arena *arena, struct diags *diags, struct exercise *e,
                   const struct exercise_options *options);

/* Fills status and failure where work was ended before it was done: somebody asked for it, or
 * memory ran out. Returns false. */
bool exercise_ended(struct exercise *e, const struct exercise_options *options);

/* The word that a run with the answers y [r.width] gives a sign; -1: none. */
int exercise_noticed(const struct exercise *e, int sign, const double *y);

/* What the owner says of it. */
struct exercise_complaint exercise_complains(const struct exercise *e, const double *y);
bool exercise_complains_of_nothing(const struct exercise_complaint *c);

#endif
