/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BLEED_H
#define PRESOLDER_BLEED_H

#include "session.h"

/* Seconds until capacitor element `element` stands below `volts` for good, when the mains are cut
 * now and all tubes are cold: through what stays connected. inf when it never gets there within
 * BLEED_LONGEST. Uses the session's state in force; exact for the linear network that is left: x(t)
 * = exp(A t) x0 (matrix exponential by GSL). */
#define BLEED_LONGEST 1e6 /* eleven days [s]; beyond, insulation that no one knows decides */
double bleed_down(const struct session *s, int element, double volts);

#endif
