/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COMPLETE_H
#define PRESOLDER_COMPLETE_H

#include "command.h"

/* `presolder complete WORD...`, for the shells: what the last WORD, begun or empty, may become
 * after the others, one a line, each whole. Before them goes a line that says what else may stand
 * there: `none`, `files`, `folders`, or `open` when a match is not yet all of the word. A scenario
 * that is named among the words is looked into; nothing is ever complained of. */
enum status complete_run(struct job *job, int argc, char *const *argv);

#endif
