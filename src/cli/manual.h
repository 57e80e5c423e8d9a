/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MANUAL_H
#define PRESOLDER_MANUAL_H

#include "command.h"

/* `presolder manual FOLDER`, for the build: writes the manual pages presolder.1,
 * presolder-COMMAND.1 of every command and presolder-scenario.5 into the folder, which must be
 * there. */
enum status manual_run(struct job *job, int argc, char *const *argv);

#endif
