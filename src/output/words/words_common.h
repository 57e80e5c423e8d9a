/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_COMMON_H
#define PRESOLDER_WORDS_COMMON_H

/* What several reports say. */

/* before a value that a guess of weight moves; the same in a tight column */
static const char words_common_about[] = "about ";
static const char words_common_about_tight[] = "~";
static const char words_common_variant[] = "Variant: %s";
static const char words_common_figures[] = "All figures:";
static const char words_common_not_safe[] =
    "Within rating does not mean safe: no calculation can see rotten, cracked or damp insulation.";
static const char words_common_hot[] = "hot";
static const char words_common_cold[] = "cold";

/* What the source of a battery set is called. */
static const char words_common_vibrator[] = "vibrator";

#endif
