/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_SCHEMATIC_H
#define PRESOLDER_WORDS_SCHEMATIC_H

#include "tongue.h"

/* What stands on a schematic beside names and values. */

static const char words_schematic_title[] = "Schematic of %s";
static const char words_schematic_variant[] = "%s: %s";

/* heads of the column */
static const char words_schematic_point[] = "Point";
static const char words_schematic_dc[] = "DC";
static const char words_schematic_ac[] = "AC, RMS";
/* the reference */
static const char words_schematic_to[] =
    "Voltages are measured to %s. AC on a DC point is its ripple.";
static const char words_schematic_reference[] = "All voltages are measured to %s.";
/* a point */
static const char words_schematic_ends[] = "Arrows without a number: %s goes on.";
/* the sentence before, volts */
#define words_schematic_line                                                                       \
    US_UK("%s Line voltage at the set: %s AC.", "%s Mains voltage at the set: %s AC.")
/* a point */
static const char words_schematic_earthed[] = "%s, earth";
/* the sentence before, the reference */
static const char words_schematic_gaps[] =
    "%s A dash: floating, since nothing here joins that point to %s.";
static const char words_schematic_gaps_file[] =
    "%s A dash: nothing here joins that point to %s, or the run did not record it.";
/* time */
static const char words_schematic_run[] = "Voltages of a run of %s from switch-on.";
/* file, time */
static const char words_schematic_last_run[] = "Voltages of the last run (%s).";

static const char words_schematic_over[] = "Outside its rating";
/* part; measure, value, limit */
static const char words_schematic_over_row[] = "%s: %s %s, at most %s";
static const char words_schematic_under_row[] = "%s: %s %s, at least %s";
/* time, what changes */
static const char words_schematic_change[] = "At %s: %s";

/* for screen readers: title, parts; a part, its values, its ends; a point, DC, AC */
static const char words_schematic_describes[] =
    "Circuit of the power supply, mains on the left, load on the right. Parts: %s";
static const char words_schematic_between[] = "%s: from %s to %s";
static const char words_schematic_in[] = "The drawing (%.0f x %.0f mm%s):";
static const char words_schematic_a4[] = ", fits A4";
static const char words_schematic_larger[] = ", larger than A4: print it on larger paper or scaled";

#endif
