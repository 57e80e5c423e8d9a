/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SHIPPED_H
#define PRESOLDER_SHIPPED_H

#include "scenario.h"

/* The scenarios that the program comes with, for tests and benchmarks. */

/* Names (`field-coil`) in the order of the alphabet, *n of them. */
const char *const *shipped_names(struct arena *arena, int *n);

/* One of them. NULL when it has mistakes, which are printed. */
const struct scenario *shipped_scenario(struct arena *arena, const char *name);

/* Set up; variant NULL: base. NULL when it has mistakes, which are printed. */
const struct setup *shipped_setup(struct arena *arena, const char *name, const char *variant);

#endif
