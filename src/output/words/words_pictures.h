/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PICTURES_H
#define PRESOLDER_WORDS_PICTURES_H

#include "tongue.h"

/* What is written in the pictures. */

static const char words_pictures_opens[] = "opens";
static const char words_pictures_shorts[] = "shorts";
/* What the volts of a rated level are above. */
static const char words_pictures_above[] = "%s above %s";
/* title */
static const char words_pictures_interrupted[] = "INTERRUPTED: %s";
static const char words_pictures_rated[] = "rated";
static const char words_pictures_surge[] = "surge";
/* the reference */
static const char words_pictures_volts_to[] = "voltage to %s [V]";
static const char words_pictures_chassis[] = "chassis";
static const char words_pictures_milliamperes[] = "currents [mA]";
static const char words_pictures_amperes[] = "currents [A]";
/* seconds */
static const char words_pictures_from[] = "from %.4g s on";
static const char words_pictures_after[] = "after switch-on";
/* the axis of a whole run, and its marks when its scale changes */
static const char words_pictures_time_short[] = "time after switch-on [s]";
static const char words_pictures_time_long[] =
    "time after switch-on: the first 30 s, then at a smaller scale";
static const char words_pictures_seconds[] = "%.0f s";
static const char words_pictures_minutes[] = "%.0f min";
static const char words_pictures_hours[] = "%.0f h";
/* which cycles, from when */
static const char words_pictures_time[] = "%s: time [ms] %s";
static const char words_pictures_first_cycles[] = "first cycles";
#define words_pictures_plates US_UK("plates [V]", "anodes [V]")
#define words_pictures_hot_restart                                                                 \
    US_UK("hot restart (tubes hot, capacitors empty)", "hot restart (valves hot, capacitors "      \
                                                       "empty)")
static const char words_pictures_last_cycles[] = "last cycles";
/* how many times, volts, volts */
#define words_pictures_crest                                                                       \
    US_UK("%.1f x %s RMS at the plate: %s", "%.1f x %s RMS at the anode: %s")
/* seconds */
static const char words_pictures_at[] = " at %.3g s";
/* volts, when */
static const char words_pictures_highest[] = "highest: %s%s";
/* seconds */
static const char words_pictures_time_from[] = "time [ms] from %.4g s on";
#define words_pictures_inverse                                                                     \
    US_UK("inverse voltage, cathode to plate [V]", "inverse voltage, cathode to anode [V]")
static const char words_pictures_limit[] = "limit";

static const char words_pictures_settled_volts[] = "settled voltage [V]";
static const char words_pictures_ripple[] = "ripple RMS [V]";
static const char words_pictures_peaks[] = "peaks [A]";
static const char words_pictures_winding[] = "winding RMS [mA]";
static const char words_pictures_running_rated[] = "running peak, rated";
static const char words_pictures_restart_rated[] = "hot restart, rated";

#endif
