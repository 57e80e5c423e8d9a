/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_GNUPLOT_H
#define PRESOLDER_GNUPLOT_H

#include <stdbool.h>

#include "arena.h"

/* The gnuplot program of this machine: the first of that name in an absolute folder of $PATH that
 * may be run; NULL: none. Relative folders are passed over: a script's folder must not bring its
 * own. */
const char *gnuplot_find(struct arena *arena);

enum {
    GNUPLOT_SECONDS = 60, /* for a picture, which takes a tenth of one */
    GNUPLOT_ENDED = 128 + 9
};

/* Runs `program` (an absolute path) on the script of that name in `folder`, with that as its
 * working folder, no input, its messages thrown away and no start-up file of the user. Started
 * directly, not through a shell; waits for it. 0 when all went well, 128 + the number of the signal
 * that ended it, otherwise its exit code or -1 when it could not be started. It is ended by SIGKILL
 * after `most` seconds, or as soon as stop() is true (NULL: never): GNUPLOT_ENDED. */
int gnuplot_run(const char *program, const char *folder, const char *script, double most,
                bool (*stop)(void));

#endif
