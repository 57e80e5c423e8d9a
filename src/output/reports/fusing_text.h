/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUSING_TEXT_H
#define PRESOLDER_FUSING_TEXT_H

#include <stdio.h>

#include "fusing.h"
#include "writer.h"

/* What `fuse` shows: the line current running and at switch-on, the smallest fuse of each kind that
 * holds, what each fault draws and how soon these open, and which of them to take. At most 80
 * columns. */
void fusing_text_write(FILE *to, struct arena *arena, const struct fusing *f, const char *file);

/* Every fuse with every fault, SI units; without faults a row a fuse. */
void fusing_csv_write(struct writer *w, const char *name, const struct fusing *f);

#endif
