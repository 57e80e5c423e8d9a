/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCENARIO_PAGE_H
#define PRESOLDER_SCENARIO_PAGE_H

#include <stdio.h>

#include "arena.h"

/* Writes the manual page presolder-scenario(5): every key of a scenario, and every kind of part
 * with its keys and faults, from the tables they are read by. `date` as of troff_head. */
void scenario_page_write(FILE *to, struct arena *arena, const char *version, const char *date);

#endif
