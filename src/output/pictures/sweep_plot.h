/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SWEEP_PLOT_H
#define PRESOLDER_SWEEP_PLOT_H

#include "overlay.h"
#include "try_text.h"

/* Pictures of `try`: figures against the value, with the lines of ratings. One sweep: `volts`,
 * `ripple`, `peaks` and `winding`, each with the columns of that group. Two: of each group its last
 * column (of the peaks, the running one), a curve for each value of the second, at most
 * SWEEP_CURVES, evenly chosen. */

enum { SWEEP_CURVES = 6, SWEEP_PLOTS = 4 };

/* Writes the scripts plots/NAME.gp and returns their names. */
plot_list sweep_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                           const struct try_study *study, const struct plot_options *options);

#endif
