/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WHY_H
#define PRESOLDER_WHY_H

#include "run.h"

/* Why a run failed, for the message of a test; good until the next call. */
const char *why(const struct result *r);

#endif
