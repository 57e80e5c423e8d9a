/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_KEEP_H
#define PRESOLDER_WORDS_KEEP_H

#include "keep.h"

/* Keep or replace: one row a capacitor. What is done with old parts is common practice, no source.
 */

static const char words_keep_heading[] = "Keep or replace: the capacitors";
static const char *const words_keep_what[] = {[KEEP_IT] = "keep",
                                              [KEEP_REFORM] = "re-form",
                                              [KEEP_TEST] = "test first",
                                              [KEEP_REPLACE] = "replace"};
/* by enum capacitor_make */
static const char *const words_keep_make[] = {[MAKE_MODERN] = "modern",
                                              [MAKE_DRY] = "old, dry",
                                              [MAKE_WET] = "old, wet",
                                              [MAKE_FILM] = "film",
                                              [MAKE_PAPER] = "old, paper"};
static const char words_keep_make_unknown[] = "make not given";
/* what to do, names, why */
static const char words_keep_brief[] = "%s %s.%s";
/* names, why */
static const char words_keep_brief_test[] = "test %s first.%s";
/* before the first of them, before the others */
static const char words_keep_brief_first[] = "Capacitors: ";
static const char words_keep_brief_next[] = "            ";
/* make; volts; can */
static const char words_keep_row[] = "%s%s%s.%s";
/* volts, rated; where it swings: peak volts, rated */
static const char words_keep_volts[] = "; %s of %s";
static const char words_keep_peaks[] = "; peaks of %s, rated %s";
static const char words_keep_volts_alone[] = "; %s";
/* volts, surge */
static const char words_keep_highest[] = ", up to %s of %s for a short time";
/* temperature */
static const char words_keep_can[] = "; can %s";
/* by enum keep_why; a condition fills the first */
static const char words_keep_faulty[] = " Its condition: %s.";
static const char words_keep_reform[] =
    "Re-form: see `presolder reform`; keep one only if its leakage comes down and it reads its "
    "value (common practice, no source).";
/* amperes, rated */
static const char words_keep_ripple[] = " Its ripple current, %s of %s, heats it.";
static const char *const words_keep_why[KEEP_WHYS] = {
    [KEEP_SOUND] = "",
    [KEEP_REVERSED] = " The voltage on it reverses.",
    [KEEP_VOLTS] = " Over the working voltage: buy a higher rating.",
    [KEEP_SURGE] = " Over the surge voltage: buy a higher rating.",
    [KEEP_HOT] = " Too hot: it needs another place or a larger part.",
    [KEEP_WET] = " Wet ones have dried out or corroded by now.",
    [KEEP_PAPER] = " Old paper leaks, the more the warmer it is.",
    [KEEP_OLD] = " Re-form it before first power.",
    [KEEP_MAKE] = " Age not known: read leakage and value before first power, or name the make.",
    [KEEP_UNRATED] = " Its voltage rating is not given: read the marking."};

#endif
