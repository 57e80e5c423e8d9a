/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_METER_H
#define PRESOLDER_WORDS_METER_H

#include "tongue.h"

/* What the meter should read. */

static const char words_meter_reverse[] = "turned";
static const char words_meter_far_off[] = "far";
static const char words_meter_floating[] = "floating";
static const char words_meter_not_watched[] = "not watched";
static const char words_meter_alternating[] = " AC";
/* what an isolation transformer gives */
static const char words_meter_isolated[] = "isolation output";
#define words_meter_line US_UK("the line", "the mains")
static const char words_meter_battery_drain[] = "battery drain";
static const char words_meter_battery_power[] = "battery power";
/* seconds, points; seconds of a longer run */
static const char words_meter_moving[] =
    "Not settled after %s: %s still moved (*). The figures are means of the last cycles, not what "
    "the meter goes on to read. Run longer (--for %.0fs).";
/* seconds; seconds of a longer run */
static const char words_meter_currents_moving[] =
    "After %s the voltages had settled but some currents had not. Run longer (--for %.0fs) for "
    "final values.";
/* seconds; seconds of a longer run */
static const char words_meter_moving_brief[] =
    "* still moving at %s: go by `warm`, or use --for %.0fs. ";
/* seconds; seconds of a longer run */
static const char words_meter_currents_brief[] =
    "Some currents still moved at %s: go by `warm`, or use --for %.0fs. ";
/* seconds tubes take, seconds of the run */
#define words_meter_warming                                                                        \
    US_UK("Tubes take up to %.0f s to warm up, longer in a series string. After %s the set is "    \
          "still warming up, and most voltages are higher than they will be.",                     \
          "Valves take up to %.0f s to warm up, longer in a series string. After %s the set is "   \
          "still warming up, and most voltages are higher than they will be.")
/* points, the reference, whose */
static const char words_meter_floats[] =
    "Floating: nothing here joins %s to %s, so the voltage between them is undefined. That does "
    "not make %s safe to touch.";
static const char words_meter_it[] = "it";
static const char words_meter_them[] = "them";
static const char words_meter_difference[] =
    "diff.: how far the expected value is above (+) or below (-) the reading.";
static const char words_meter_reading_wins[] =
    "Trust the meter. Where they differ, first re-check what you typed in.";
static const char words_meter_ripple_note[] =
    "ripple: what the meter reads on AC, through a capacitor, on top of the DC voltage.";
/* heads of the columns */
static const char words_meter_point[] = "point";
/* a time */
static const char words_meter_after[] = "at %s";
static const char words_meter_warm[] = "warm";
/* the room; temperatures */
static const char words_meter_warm_note[] =
    "warm: after hours in a room at %s, each part as warm as its own watts make it%s%s.";
static const char words_meter_bodies[] = ": ";
/* what still moves; the room; the warmest; what the bands are */
static const char words_meter_warm_brief[] = "%swarm: after hours at %s%s.%s";
static const char words_meter_band_brief[] = " 9 of 10: nine in ten read this.";
/* a part, a temperature */
static const char words_meter_warmest[] = " (%s %s)";
static const char words_meter_no_warm[] =
    "No warm state was found: these figures do not show what warming coils and copper do.";
static const char words_meter_band[] = "9 of 10";
static const char words_meter_band_note[] =
    "9 of 10: nine of ten such sets read this when warm (`presolder tolerances`).";
static const char words_meter_chart[] = "chart";
static const char words_meter_off[] = "diff.";
static const char words_meter_measured[] = "measured";
static const char words_meter_ripple[] = "ripple";
static const char words_meter_more[] = "  and %d more";
static const char words_meter_heading[] = "What the meter should read";
/* why */
static const char words_meter_nothing[] = "Nothing: %s.";
static const char words_meter_none_watched[] = "no voltage or current was watched";
static const char words_meter_no_figures[] = "the run gave no figures";

#endif
