/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MODES_H
#define PRESOLDER_MODES_H

#include "network.h"

/* Takes modes for the capacitors' states where there are many: charges that decay each by itself,
 * so that r->a has a diagonal block of r->modal rows and a step costs in proportion to the states.
 * With H = Q' E Q the block -H a is symmetric and not negative, as every network of resistors,
 * capacitors and ideal transformers is reciprocal; modes are the eigenvectors X of
 * (-H a) X = H X diag(rates), X' H X = 1. All matrices of r are turned to them in place. Leaves r
 * as it is where there are few states, or so fast ones that the slow would lose digits. r->rate is
 * not there yet. `work`: for passing work. False: `asked` (may be NULL) wanted an end, and r is of no
 * use. */
bool modes_take(struct arena *work, const struct network *network, struct reduced *r,
                const struct network_asked *asked);

#endif
