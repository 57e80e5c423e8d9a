/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_STATUS_H
#define PRESOLDER_WORDS_STATUS_H

#include "status.h"

/* How a command ended, where nothing more is known: `the solution failed`. */
const char *words_status(enum status status);

#endif
