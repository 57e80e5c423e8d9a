/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_CHECK_H
#define PRESOLDER_WORDS_CHECK_H

/* What a scenario leaves to assumptions. */

/* value, from, to */
static const char words_check_range[] = "%s (%s to %s)";
/* ? or not, key, value */
static const char words_check_value[] = "  %s %s: %s\n";
static const char words_check_reading[] = "to find out: %s";
/* a point, volts with the guess at the low end, taken, and at the high end */
static const char words_check_influence[] =
    "%s: %s at the low end, %s as taken, %s at the high end";
static const char words_check_ok[] = "OK: %s\n";
/* parts, points, variants */
static const char words_check_counts[] = "%s, %s, %s\n";
static const char words_check_part[] = "part";
static const char words_check_parts[] = "parts";
static const char words_check_point[] = "point";
static const char words_check_points[] = "points";
static const char words_check_variant[] = "variant";
static const char words_check_variants[] = "variants";
/* variant */
static const char words_check_nothing[] = "\n%s: nothing is assumed%s\n";
static const char words_check_beyond[] = " beyond base";
/* variant; how many values, guesses */
static const char words_check_assumed[] = "%s: %s%s, of them %s%s";
static const char words_check_one_value[] = "assumed value";
static const char words_check_values[] = "assumed values";
static const char words_check_guess[] = "guess";
static const char words_check_guesses[] = "guesses";
static const char words_check_marked[] = ", marked ?";

#endif
