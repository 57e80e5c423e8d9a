/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_KNOWN_BY_H
#define PRESOLDER_WORDS_KNOWN_BY_H

#include "part.h"

/* The reading that would replace a guess; NULL: it is not simply measured. */
const char *words_known_by(enum known_by known_by);

#endif
