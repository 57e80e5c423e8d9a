/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FOLLOWED_H
#define PRESOLDER_FOLLOWED_H

#include "scenario.h"

/* The setup with the volts of every named point followed, also of those that touch no capacitor and
 * no rectifier. Points that nothing joins to the reference are left out: theirs are not defined.
 * Parts and stages are the setup's own. Lives in `arena`. */
const struct setup *followed_everywhere(struct arena *arena, const struct setup *setup);

#endif
