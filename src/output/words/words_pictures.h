/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PICTURES_H
#define PRESOLDER_WORDS_PICTURES_H

/* What is written in the pictures. */

static const char words_pictures_opens[] = "opens";
static const char words_pictures_shorts[] = "shorts";
/* title */
static const char words_pictures_interrupted[] = "INTERRUPTED: %s";
static const char words_pictures_rated[] = "rated";
static const char words_pictures_surge[] = "surge";
/* the reference */
static const char words_pictures_volts_to[] = "volts to %s [V]";
static const char words_pictures_chassis[] = "chassis";
static const char words_pictures_milliamperes[] = "currents [mA]";
static const char words_pictures_amperes[] = "currents [A]";
/* seconds */
static const char words_pictures_from[] = "from %.6g s on";
static const char words_pictures_after[] = "after switch-on";
/* which cycles, from when */
static const char words_pictures_time[] = "%s: time [ms] %s";
static const char words_pictures_first_cycles[] = "first cycles";
static const char words_pictures_last_cycles[] = "last cycles";
/* how many times, volts */
static const char words_pictures_crest[] = "%.1f x %.3g V RMS at the plate";
/* seconds */
static const char words_pictures_at[] = " at %.3g s";
/* volts, when */
static const char words_pictures_highest[] = "highest: %.3g V%s";
/* seconds */
static const char words_pictures_time_from[] = "time [ms] from %.6g s on";
static const char words_pictures_limit[] = "limit";

static const char words_pictures_settled_volts[] = "settled volts [V]";
static const char words_pictures_ripple[] = "ripple RMS [V]";
static const char words_pictures_peaks[] = "peaks [A]";
static const char words_pictures_winding[] = "winding RMS [mA]";
static const char words_pictures_running_rated[] = "running peak, rated";
static const char words_pictures_restart_rated[] = "hot restart, rated";

#endif
