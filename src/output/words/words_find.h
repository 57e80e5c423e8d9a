/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_FIND_H
#define PRESOLDER_WORDS_FIND_H

#include "tongue.h"

/* Looking for the value that does what was wanted. */

/* a value, the present one */
static const char words_find_now[] = "%s (now %s)";
static const char words_find_no_figure[] = "none ";
static const char words_find_cold[] = "Each run begins cold and is as long as the scenario says.";
static const char words_find_hot[] =
    "The warm set: after hours, each part as warm as its own watts make it; besides, hot restarts "
    "onto empty capacitors. The start from cold was not looked at (--cold).";
/* a part, volts */
#define words_find_stands                                                                          \
    US_UK("%s is %s at most once the set is warm; it may be more while the tubes warm up "         \
          "(`presolder switch-on` shows it).",                                                     \
          "%s is %s at most once the set is warm; it may be more while the valves warm up "        \
          "(`presolder switch-on` shows it).")
static const char words_find_several[] = "no usual size does: several in series";
/* watts */
static const char words_find_one[] = "a part of %s";
/* a part, watts; twice that, what to buy */
static const char words_find_heat[] =
    "%s dissipates %s; buy at least twice that, %s: %s (common practice, no source).";
/* per cent */
static const char words_find_load[] = "load %+.0f %%";
static const char words_find_as_is[] = "its present draw";
static const char words_find_no_load[] = "No part of this set is a load, so how far the answer "
                                         "holds when the load changes is not known.";
/* what it is then not */
static const char words_find_this_load[] =
    "It holds for this load only: with a quarter more or less it is no longer %s.";
/* per cent */
static const char words_find_near[] = "within %.0f %% of the target";
static const char words_find_met[] = "met";
/* what it does, loads */
static const char words_find_holds[] = "It %s with the load from %s to %s.";
/* per cent */
static const char words_find_stays_near[] = "stays within %.0f %% of the target";
static const char words_find_still_does[] = "still meets the target";

/* a value */
static const char words_find_exactly[] = "%s  exactly";
static const char words_find_proposed[] = ", proposed";
static const char words_find_off_the_wish[] = "off target";
static const char words_find_figures_over[] = "ratings exceeded";
static const char words_find_highest_volts[] = "highest voltage";
static const char words_find_heat_head[] = "heat";
/* path, value, figure */
static const char words_find_gives[] = "%s = %s gives %s.";
static const char words_find_several_values[] =
    "There are %d such values; this is the one nearest to the present.";
/* what it does, value, figure */
static const char words_find_nearest[] = "Nearest preferred value%s: %s, proven by a run: %s.";
static const char words_find_that_does_it[] = " that meets it";
static const char words_find_none_near[] = "None of the preferred neighbours meets the target.";
static const char words_find_it[] = "It";
/* before: fits only if ... */
static const char words_find_it_holds[] = "This answer";
/* subject and measure; figure and where, twice */
static const char words_find_goes[] = "%s %s goes from %s (%s=%s) to %s (%s=%s)";
/* the wish, the path */
static const char words_find_wanted[] = "Target: %s, by changing %s.";
/* from, to; how far the figure goes */
static const char words_find_every[] = "Every value from %s to %s does: %s.";

static const char words_find_and[] = "%s and %s";
static const char words_find_exactly_this[] = "exactly";
static const char words_find_over_rating[] = "exceeded";
/* two wishes, two paths */
static const char words_find_wanted_both[] = "Target: %s, and %s, by changing %s and %s.";
/* path, from, to; subject, measure, from, to */
static const char words_find_grid[] = "%s from %s to %s: %s %s goes from %s to %s.";
/* path and value, twice; figures */
static const char words_find_both_give[] = "%s = %s with %s = %s gives %s.";
/* values, figures */
static const char words_find_nearest_pair[] = "Best preferred pair: %s, proven by a run: %s.";
/* path and value, twice */
static const char words_find_both_loose[] =
    "both hold at %s=%s with %s=%s, but no pair that was "
    "tried gives exactly both: ask for one of them with `=`";
/* what stands before; subject, measure, from, to */
static const char words_find_range[] = "%s%s%s %s goes from %s to %s";
/* subject, measure, value; subject, measure, from, to */
static const char words_find_where[] = "where %s %s is %s, %s %s goes from about %s to %s";
static const char words_find_every_pair[] = "Every pair of values looked at does.";

#endif
