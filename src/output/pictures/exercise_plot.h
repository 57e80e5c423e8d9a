/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_PLOT_H
#define PRESOLDER_EXERCISE_PLOT_H

#include "exercise.h"
#include "overlay.h"

/* The name of the picture of a sheet, before and after, or of a demonstration. */
const char *exercise_plot_sheet(struct arena *arena, int number);
const char *exercise_plot_show(enum exercise_show show);

/* Writes their scripts and returns the names of those that there are; old ones of all sheets go
 * when the writer commits. */
plot_list exercise_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                              const struct exercise *e, const struct plot_options *options);

#endif
