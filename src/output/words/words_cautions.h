/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_CAUTIONS_H
#define PRESOLDER_WORDS_CAUTIONS_H

#include "arena.h"
#include "cautions.h"

static const char words_cautions_heading[] = "Cautions";

/* One or two words, and full sentences. */
const char *words_cautions_name(enum caution caution);
const char *words_cautions_text(struct arena *arena, enum caution caution);

#endif
