/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_REFORM_TEXT_H
#define PRESOLDER_REFORM_TEXT_H

#include <stdio.h>

#include "plot.h"
#include "reform.h"

/* What `reform` shows: current and volts against time for each series resistor, watts, when it is
 * within the limit, when to stop, cautions. At most 80 columns. */
void reform_text_write(FILE *to, struct arena *arena, const struct reform_task *task,
                       const struct reform_course courses[REFORM_RESISTORS], const char *file);

/* A row a resistor and time, SI units. */
void reform_csv_write(struct writer *w, const char *name, const struct reform_task *task,
                      const struct reform_course courses[REFORM_RESISTORS]);

/* The script plots/reform.gp. Errors of the template are in `diags`. */
void reform_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                       const struct reform_task *task,
                       const struct reform_course courses[REFORM_RESISTORS],
                       const struct plot_options *options);

#endif
