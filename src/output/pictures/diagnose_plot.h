/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAGNOSE_PLOT_H
#define PRESOLDER_DIAGNOSE_PLOT_H

#include "diagnose.h"
#include "plot.h"

/* Writes the script `plots/diagnosis.gp`: each reading beside what the leaders let expect. False
 * when there is nothing to draw. Errors of the template are in `diags`. */
bool diagnose_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                         const struct diagnosis *d, const struct plot_options *options);

#endif
