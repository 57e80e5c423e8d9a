/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_GUESSES_H
#define PRESOLDER_WORDS_GUESSES_H

/* What was assumed, and the readings that would replace it. */

/* from, to */
static const char words_guesses_range[] = ", could be %s to %s";
static const char words_guesses_none[] = "No value is a guess.";
static const char words_guesses_one[] = "1 value is a guess: %s.";
static const char words_guesses_several[] = "%d values are guesses: %s.";
static const char words_guesses_about[] =
    "Figures that depend on %s are marked `about` (`~` in narrow columns).";
static const char words_guesses_it[] = "it";
static const char words_guesses_one_of_them[] = "one of them";
static const char words_guesses_them[] = "them";
/* how many, plural or not, it or them */
static const char words_guesses_defaults[] =
    "In use besides: %d default value%s; `presolder check` lists %s.";
static const char words_guesses_default_many[] = "s";
static const char words_guesses_no_basis[] = "no basis";
/* how many, plural or not, parts; how many defaults */
static const char words_guesses_brief[] =
    "%d guess%s (%s, marked ~), %d default%s: `presolder check` lists them.";
static const char words_guesses_brief_many[] = "es";
/* how many */
static const char words_guesses_brief_none[] =
    "No guesses, %d default%s: `presolder check` lists them.";
static const char words_guesses_heading[] = "Readings that would replace the guesses";
/* names, the reading, values */
static const char words_guesses_reading[] = "%s: %s. Taken as %s.";
static const char words_guesses_unmeasurable[] = "Not simply measured, taken as: %s.";

#endif
