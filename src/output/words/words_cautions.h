/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_CAUTIONS_H
#define PRESOLDER_WORDS_CAUTIONS_H

#include "arena.h"
#include "cautions.h"

static const char words_cautions_heading[] = "Cautions";
static const char words_cautions_brief_head[] = "Cautions: ";
static const char words_cautions_all[] = " (All: --cautions.)";

/* One or two words, and full sentences. */
const char *words_cautions_name(enum caution caution);
const char *words_cautions_text(struct arena *arena, enum caution caution);

/* A sentence or two for the hands; NULL: a general one that is only told in full. */
const char *words_cautions_brief(struct arena *arena, enum caution caution);

#endif
