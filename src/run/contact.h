/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CONTACT_H
#define PRESOLDER_CONTACT_H

#include "meter.h"

/* What a vibrator's contact makes, carries and breaks, and how far the windings swing beyond their
 * flat top. Internal to the layer. */
struct contact;

/* Half periods that are looked back on at the end of a run. */
enum { CONTACT_KEPT = 24 };

/* NULL when the first source of the mains is no square wave. */
struct contact *contact_new(struct arena *arena, const struct meter *m);

/* The contact breaks, or makes, at the session's time; the meter's last sample is the instant
 * itself. */
void contact_breaks(struct contact *c, const struct meter *m);
void contact_makes(struct contact *c, const struct meter *m);

/* A step has been sampled. */
void contact_step(struct contact *c, const struct meter *m, double from);

/* Enters contact-peak-current, make-current (highest of the first tenth of a half period) and
 * break-current of `mains` [A], the greatest of the last CONTACT_KEPT half periods; of each winding
 * flat-top-voltage (mean of its size when the contact breaks) [V], overshoot-voltage (greatest size
 * beyond it) [V] and overshoot-share (of the flat top). */
void contact_report(const struct contact *c, const struct meter *m);

#endif
