/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_STOP_H
#define PRESOLDER_WORDS_STOP_H

#include "tongue.h"

/* What to stop for. */

/* a figure, when; how much, its rating's source, what it does to the part; then what follows:
 * watts, for how long, peaks, design centre */
static const char words_stop_over[] = "%s%s: %s%s.%s%s%s%s%s";
/* per cent; volts of the line, of the primary */
#define words_stop_design_centre                                                                   \
    US_UK(" A design-centre rating already allows for +-%.0f %% line: with %s on a %s primary it " \
          "covers so small an excess.",                                                            \
          " A design-centre rating already allows for +-%.0f %% mains: with %s on a %s primary "   \
          "it covers so small an excess.")
/* per cent */
static const char words_stop_derived[] =
    " That limit is itself derived and no better than some %.0f\x1f%%: it is on the border.";
/* a time */
static const char words_stop_at[] = " at %s";
static const char words_stop_your_scenario[] = "your scenario";
/* measure, time, limit */
static const char words_stop_unlimited[] =
    "%s%s without any limit in the circuit, where %s are allowed";
/* measure, value, time, limit */
static const char words_stop_falls_below[] = "%s %s%s, where it must not fall below %s";
/* measure, value, time, limit */
static const char words_stop_allowed[] = "%s %s%s, where %s are allowed";
/* measure, value, time, per cent, limit */
static const char words_stop_percent[] = "%s %s%s, %s of its %s";
/* measure, value, time, kelvin over the room, kelvin allowed */
static const char words_stop_kelvin[] =
    "%s %s%s, %.0f\x1fK above the room where %.0f\x1fK are allowed";
/* joules, seconds */
static const char words_stop_joules[] = ", %s in the %s of the run";
/* a part, watts, joules */
static const char words_stop_watts[] = " %s dissipates %s%s.";
/* share, whether that rests on an assumption */
static const char words_stop_peaks_inside[] =
    " The peaks themselves stay within rating, at most %s of it%s.";
static const char words_stop_as_assumed[] = " as assumed";
/* ohms */
#define words_stop_add_ohms                                                                        \
    US_UK(" Add %s in each plate lead, or check that the peak current is within rating.",          \
          " Add %s in each anode lead, or check that the peak current is within rating.")
static const char words_stop_check_peak[] = " Check that the peak current is within rating.";
static const char words_stop_warm[] = " when all is warm";
static const char words_stop_hot_restart[] = " at a hot restart";
/* what stands before; a part, a time */
static const char words_stop_opened[] = "%s%s%s opened at %s";
/* why */
static const char words_stop_dead[] =
    "The set is dead at the end: %s. The readings then say nothing.";
static const char words_stop_nothing_in[] = "nothing comes in";
/* a part */
static const char words_stop_wet[] =
    "%s is a wet electrolytic: it leaks above its forming voltage and so clamps the warm-up. A dry "
    "or modern one in its place does not, and the whole set then sees the surge, every bypass "
    "capacitor with it.";
/* a part, a measure */
static const char words_stop_unknown_figure[] =
    "%s: %s could not be judged, the figure is unknown.";
/* a part, a measure */
static const char words_stop_no_figure[] = "%s: %s could not be judged: the run did not give it.";
static const char words_stop_more[] = "%d more ratings are exceeded: see Margins.";
static const char words_stop_one_more[] = "One more rating is exceeded: see Margins.";
static const char words_stop_unsettled[] =
    "The run had not settled: run longer to see which of these stay.";
/* how many, a share */
static const char words_stop_near_one[] = "%d figure is within %s of its rating: see Margins.";
static const char words_stop_near[] = "%d figures are within %s of their ratings: see Margins.";
/* a part, a measure, per cent */
static const char words_stop_cold_near[] =
    "%s %s from cold: %s of its limit, if what is assumed holds.";
static const char words_stop_heading[] = "Look at this first";
/* how far */
static const char words_stop_nothing_over[] = "No rating exceeded%s.";
/* how far; parts, each with what is not rated */
static const char words_stop_nothing_known_over[] =
    "No known rating is exceeded%s. Not known, so not judged: %s.";
/* how far */
static const char words_stop_nothing_but_turns[] =
    "No rating is exceeded%s, but only if an assumed value is about right:";
static const char words_stop_settled[] = " in the settled state";
static const char words_stop_hot_run[] = "A hot run: the turn-on from cold was not looked at.";
static const char words_stop_large_set[] =
    "So many parts: what other values of the guesses would change, and the usual range of each "
    "reading, were left out (`switch-on --tolerances` looks at them, for minutes).";
/* how far */
static const char words_stop_nothing_judged[] = "Nothing could be judged%s.";
static const char words_stop_as_typed[] = " in the set as typed in, which is not the one you read";
/* what stands before; a point, the reading, what is calculated, per cent or nothing */
static const char words_stop_disagrees[] = "%s%s%s reads %s where %s is calculated%s";
/* per cent */
static const char words_stop_off_by[] = " (%+.0f\x1f%%)";
/* readings */
static const char words_stop_readings[] =
    "YOUR READINGS DISAGREE with the set as typed in: %s. Find out why before you trust anything "
    "below: a value typed in is wrong, or the set has a fault.";
/* volts, a part, ohms; amperes, amperes calculated; what follows */
static const char words_stop_drop[] =
    "The %s you read across %s (%s) mean %s, where %s is calculated%s.";
static const char words_stop_draws_more[] = ": the set draws more than the loads typed in";
static const char words_stop_draws_less[] = ": the set draws less than the loads typed in";
static const char words_stop_draws_same[] = ": the current fits";
static const char words_stop_volts_at_end[] =
    "It is over its working voltage at the end of the run, which had not settled.";
#define words_stop_not_struck                                                                      \
    US_UK("It does not strike: nothing flows through it, and there is no B+.",                     \
          "It does not strike: nothing flows through it, and there is no HT.")
/* parts, each with what is not rated */
static const char words_stop_unrated[] = "No rating known, so not judged: %s.";
static const char words_stop_turns_head[] =
    "Within rating only if an assumed value is about right:";
/* a value or list */
static const char words_stop_turns_of[] = "%s fits only if an assumed value is about right:";
/* a part, when; a measure, beyond or under, limit; the assumptions */
static const char words_stop_turns[] = "%s%s: %s %s %s if %s.";
/* what was said before; part and key, its end, the figure there, the value taken; the reading */
static const char words_stop_turn[] = "%s%s%s %s is %s, not %s (%s%s)";
static const char words_stop_or[] = ", or ";
/* what was said before */
static const char words_stop_or_more[] = "%s, or if another assumed value is off (--full)";
static const char words_stop_beyond[] = "over its";
static const char words_stop_under[] = "under its least,";
/* the reading */
static const char words_stop_to_know[] = "; to find out: %s";
static const char words_stop_as_far[] = " up to where the run stopped";
/* per cent, points */
static const char words_stop_off_chart[] = "More than %.0f\x1f%% off the service chart: %s.";

/* seconds, volts */
static const char words_stop_reversed[] = " This lasts %s in all; the final value is %s.";
/* seconds */
static const char words_stop_in_all[] = "for %s in all";
/* a time */
static const char words_stop_around[] = "around %s";
/* volts, why, how long, volts at the end */
static const char words_stop_surge[] =
    " It exceeds its working %s only %s%s; in the end it is at %s.";
#define words_stop_draw_soon US_UK("before the tubes draw, ", "before the valves draw, ")
static const char words_stop_a_while[] = "for a time, ";
/* seconds */
static const char words_stop_surge_test[] = "; the surge test of such capacitors lasts %.0f\x1fs";
/* volts, whose; where it was assumed; surge test */
static const char words_stop_within[] = ", inside the %s %s may see for a short time%s%s";
/* volts */
static const char words_stop_if_assumed[] = " (assumed; it could be %s: read the can)";
static const char words_stop_they[] = "they";
static const char words_stop_it[] = "it";
/* seconds */
static const char words_stop_for_in_all[] = ", for %s in all";
/* names, whose, volts, why; volts, time, how long, within what; volts at the end */
static const char words_stop_surges[] =
    "%s exceed%s %s %s working voltage %s: up to %s at %s%s%s. At the end: %s.";
static const char words_stop_surges_one[] = "s";
static const char words_stop_their[] = "their";
static const char words_stop_its[] = "its";
#define words_stop_draw US_UK("before the tubes draw", "before the valves draw")
static const char words_stop_while[] = "for a time";

#endif
