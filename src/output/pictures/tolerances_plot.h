/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_PLOT_H
#define PRESOLDER_TOLERANCES_PLOT_H

#include "overlay.h"
#include "tolerances.h"

/* Pictures of `tolerances`: `bands`, the volts of points (and of capacitors before the tubes draw)
 * as bands with the ratings there; `influence`, what moves them, as bars. */

/* Writes the scripts plots/NAME.gp and returns their names. */
plot_list tolerances_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                                const struct tolerances *t, const struct plot_options *options);

#endif
