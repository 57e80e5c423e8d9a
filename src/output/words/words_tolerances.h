/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_TOLERANCES_H
#define PRESOLDER_WORDS_TOLERANCES_H

#include "tongue.h"

/* Parts and readings are off by so much: do the figures hold? */

/* how many done, of how many */
static const char words_tolerances_interrupted[] = "INTERRUPTED after %ld of %ld sets.";
/* how many */
static const char words_tolerances_hold[] =
    "Yes, the figures hold: with every value somewhere in its range, nothing is outside its rating "
    "in any of %ld sets.";
/* share of the sets, what, share of the sets */
static const char words_tolerances_some[] =
    "Not always: in %s of the sets something is outside its rating, most often %s (in %s).";
/* what, share of the sets */
static const char words_tolerances_nominal[] =
    "No: with the values as typed already %s is outside its rating. With values somewhere in their "
    "ranges, something is outside its rating in %s of the sets.";
static const char words_tolerances_unrated[] = "No part of this set has a rating to hold against.";
/* sets, values, some of them together or not, seed */
static const char words_tolerances_drawn[] =
    "%ld sets were run, each with its %d uncertain values somewhere in their ranges%s (seed %lu).";
static const char words_tolerances_drawn_together[] = ", some of them moving together";
static const char words_tolerances_hot[] = "Each is the set long after switch-on, everything as "
                                           "warm as it gets. First pulses are left out "
                                           "(--cold has them).";
/* seconds */
static const char words_tolerances_cold[] =
    "Each is a turn-on of %s from cold, and the hot restart at the same closing angle.";
#define words_tolerances_before                                                                    \
    US_UK("Before the tubes draw: what each set comes to without load, scaled by one turn-on of "  \
          "the set as typed.",                                                                     \
          "Before the valves draw: what each set comes to without load, scaled by one turn-on of " \
          "the set as typed.")
#define words_tolerances_race                                                                      \
    US_UK("In this set rectifier and tubes warm up together, and these voltages depend on which "  \
          "is first: only turn-ons (--cold) show how far they go.",                                \
          "In this set rectifier and valves warm up together, and these voltages depend on which " \
          "is first: only turn-ons (--cold) show how far they go.")
/* how many, the first reason */
static const char words_tolerances_failed[] =
    "Left out for want of a solution that balances: %ld more. The first: %s.";
/* how many */
static const char words_tolerances_restless[] =
    "Of %ld of them no steady state was found: something may run away or trip. Their figures are "
    "those of half a minute hot, without temperatures and extremes.";
static const char words_tolerances_exact[] =
    "Every value of this set is exact: there is nothing to vary.";

static const char words_tolerances_readings[] = "What the meter may read";
static const char words_tolerances_typed[] = "as typed";
static const char words_tolerances_p05[] = "5 %";
static const char words_tolerances_p50[] = "half";
static const char words_tolerances_p95[] = "95 %";
static const char words_tolerances_least[] = "least";
static const char words_tolerances_most[] = "most";
static const char words_tolerances_chart[] = "chart";
static const char words_tolerances_columns[] =
    "5 %%, half, 95 %%: so many of the sets read less. Nine of ten lie between 5 %% and 95 %%.";

static const char words_tolerances_over[] = "Outside its rating, in how many of the sets";
static const char words_tolerances_near[] = "Nearest to its rating";
static const char words_tolerances_limit[] = "limit";
static const char words_tolerances_share[] = "outside in";
/* how many */
static const char words_tolerances_more_over[] = "And %d more: see the file.";

static const char words_tolerances_influence[] = "What moves it most";
/* value, share, error [per cent] */
static const char words_tolerances_moved[] = "%s%s %.0f\x1f%% (+-%.0f)";
static const char words_tolerances_method[] =
    "The share of the figure's variance that goes when that value is known and the others still "
    "vary (first-order Sobol index, by regression on Legendre polynomials), with its standard "
    "error.";
/* samples */
static const char words_tolerances_too_few[] =
    "Too few sets to see which value moves what: %ld are needed.";

static const char words_tolerances_first[] = "Which reading to take first";
/* place, value, the reading */
static const char words_tolerances_take[] = "%s: %s.";
#define words_tolerances_better_meter                                                              \
    US_UK("read them again with a more exact meter, and all tubes out",                            \
          "read them again with a more exact meter, and all valves out")
/* of what, band then, band now */
static const char words_tolerances_narrows[] =
    "%s then lies within about %s instead of %s (nine of ten sets).";
static const char words_tolerances_none[] = "No single reading narrows these figures much.";
static const char words_tolerances_at_battery[] = "read it at the battery with the set on";
#define words_tolerances_at_outlet                                                                 \
    US_UK("read it at the outlet while you read the set",                                          \
          "read it at the mains socket while you read the set")

static const char words_tolerances_together[] = "What moves together";
static const char words_tolerances_batch[] = "bought together, one batch.";
static const char words_tolerances_age[] = "one make and age.";
static const char words_tolerances_ac[] = "read with one meter on AC.";
static const char words_tolerances_dc[] = "read with one meter on DC.";
/* values */
static const char words_tolerances_kept[] = "Guesses that were not varied: %s.";

/* names of values */
static const char words_tolerances_battery[] = "battery voltage";
#define words_tolerances_line US_UK("line voltage", "mains voltage")
static const char words_tolerances_wiring[] = "house wiring";
static const char words_tolerances_leads[] = "battery leads";
static const char words_tolerances_room[] = "room temperature";
static const char words_tolerances_current[] = "current";
static const char words_tolerances_meter_ac[] = "AC voltages as read";
static const char words_tolerances_meter_dc[] = "DC voltages as read";
/* figure, before the tubes draw */
#define words_tolerances_of_before US_UK("%s before the tubes draw", "%s before valves draw")
static const char words_tolerances_of_restart[] = "%s, hot restart";

static const char words_tolerances_file[] = "All figures:";
static const char words_tolerances_influence_file[] = "What moves them:";
static const char words_tolerances_ranges_file[] = "Ranges and their sources:";

/* pictures */
static const char words_tolerances_volts_axis[] = "voltage [V]";
static const char words_tolerances_share_axis[] = "share of the variance [%]";
static const char words_tolerances_band_key[] = "nine of ten sets";
static const char words_tolerances_extremes_key[] = "all sets";
static const char words_tolerances_typed_key[] = "as typed";
static const char words_tolerances_half_key[] = "half of the sets read less";

#endif
