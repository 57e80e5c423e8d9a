/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_HARM_H
#define PRESOLDER_WORDS_HARM_H

#include "part.h"

/* What it means when a rating is passed: one sentence. */
const char *words_harm(enum harm harm);

#endif
