/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_VERSION_H
#define PRESOLDER_VERSION_H

#include <stdio.h>

/* What the build found out: the commit, with `-dirty` when files differ from it, and its date as
 * YYYY-MM-DD. Both "" where there is no git and no archive made by it. */
extern const char version_commit[], version_date[];

/* The version of the program, its commit, and the libraries it runs with. */
void version_write(FILE *to);

#endif
