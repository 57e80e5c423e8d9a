/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CHASSIS_TEXT_H
#define PRESOLDER_CHASSIS_TEXT_H

#include <stdio.h>

#include "chassis.h"
#include "writer.h"

/* What `hot-chassis` shows: a table for each point, what is over the limit, how to measure,
 * cautions. At most 80 columns. `variant`: its name. */
void chassis_text_write(FILE *to, struct arena *arena, const struct chassis *c, const char *variant,
                        const char *file);

/* A row a point and state, SI units. */
void chassis_csv_write(struct writer *w, const char *name, const struct chassis *c);

#endif
