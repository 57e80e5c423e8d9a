/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DRAWN_H
#define PRESOLDER_DRAWN_H

#include "schematic.h"

/* Reads the schematic of a setup back from its lines: what touches is joined, what only crosses is
 * not, and that must be what the scenario says; every part and point is there once; letters,
 * call-outs and symbols lie on nothing; the second drawing is as the first; strips are as wide as
 * asked for. Fails the test with `name` and what is wrong. */
void drawn_check(struct arena *arena, const struct setup *setup, const char *name);

#endif
