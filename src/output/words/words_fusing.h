/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_FUSING_H
#define PRESOLDER_WORDS_FUSING_H

#include "tongue.h"

/* Which fuse to take. */

static const char words_fusing_never[] = "never";
/* amperes, watts */
#define words_fusing_running                                                                       \
    US_UK("Running warm it draws %s RMS and %s from the line.",                                    \
          "Running warm it draws %s RMS and %s from the mains.")
/* the fuse */
static const char words_fusing_bridged[] = "The fuse `%s` of the scenario was bridged.";
static const char words_fusing_surges[] = "Switch-on";
static const char words_fusing_cold_zero[] = "cold, at a zero";
static const char words_fusing_cold_crest[] = "cold, at the crest";
static const char words_fusing_hot_zero[] = "hot, at a zero";
static const char words_fusing_hot_crest[] = "hot, at the crest";
static const char words_fusing_peak[] = "peak";
static const char words_fusing_clamp[] = "RMS, 100 ms";
static const char words_fusing_half_cycle[] = "half cycle";
static const char words_fusing_ten_cycles[] = "ten cycles";
static const char words_fusing_surges_note[] =
    "RMS over the first 100 ms: about what a clamp meter shows as inrush; the peak is higher. "
    "Without any fuse, which would take a little off. Heaters cold or hot, capacitors empty. Of "
    "both zeros and both crests the worse, and a core is taken as left magnetised either way, by "
    "half of its saturation or by what you give if that is more (common practice, no source).";
static const char words_fusing_slow[] = "slow";
static const char words_fusing_fast[] = "fast";
/* why the next smaller fuse does not do */
static const char words_fusing_too_small[] = "is below what the set draws";
static const char words_fusing_melts[] = "melts at switch-on";
static const char words_fusing_no_smaller[] = "there is no smaller one";
static const char words_fusing_smallest[] =
    "The smallest that survive switch-on and normal running";
/* of the standard; times its rating */
static const char words_fusing_carries[] = "carry %.2g times its rating";
static const char words_fusing_carries_rated[] = "carry its rating";
/* fuse, its standard, what it has to carry, share used running, share of melting, the next smaller
 * one */
static const char words_fusing_class[] =
    "%s (%s; its standard has it %s): the running current is %s of the "
    "most it may carry, and switch-on takes it to %s of its melting point; %s.";
/* least and most amperes of the catalogue */
static const char words_fusing_none_holds[] = "None of the catalogue from %.2g A to %.2g A does.";
/* per cent used of one to UL 248-14; cycles counted over a share of the melting I2t */
static const char words_fusing_shares_note[] =
    "A fuse is used up to its rating, one to UL 248-14 (3AG) up to %.0f %% of it (customary, from "
    "memory). The first %d cycles are compared with %.2f of its melting I2t: a fuse withstands "
    "that a "
    "thousand times (makers' selection guides, from memory).";
static const char words_fusing_line[] = "drawn";
static const char words_fusing_winding[] = "winding";
static const char words_fusing_faults[] =
    "Faults: when a winding is too hot, and when each fuse opens";
static const char words_fusing_no_fault[] = "No part of this set can be shorted.";
#define words_fusing_faults_note                                                                   \
    US_UK("Drawn: RMS from the line. Winding: until the first winding or the core passes its "     \
          "insulation class, in a set that has played for hours, by its copper and iron "          \
          "(`presolder check` shows what was assumed); never: the fault does not overheat the "    \
          "transformer; -: there is none. ! opens too late or not at all.",                        \
          "Drawn: RMS from the mains. Winding: until the first winding or the core passes its "    \
          "insulation class, in a set that has played for hours, by its copper and iron "          \
          "(`presolder check` shows what was assumed); never: the fault does not overheat the "    \
          "transformer; -: there is none. ! opens too late or not at all.")
static const char words_fusing_take[] = "What to take";
/* the fuse, faults at which it opens, those at which not */
#define words_fusing_no_transformer                                                                \
    US_UK("There is no power transformer to save. %s opens within a minute at: %s%s%s.",           \
          "There is no mains transformer to save. %s opens within a minute at: %s%s%s.")
static const char words_fusing_none_of_these[] = "none of these";
static const char words_fusing_not_at[] = "; not at: ";
/* fuse, its standard, faults */
static const char words_fusing_best[] = "%s (%s): the smallest that holds%s%s%s.";
static const char words_fusing_clears[] = " and clears in time: ";
static const char words_fusing_clears_none[] = ", though it clears no fault in time";
/* faults */
#define words_fusing_not_saved                                                                     \
    US_UK("It does not save the transformer from: %s. A fuse in the centre tap of the "            \
          "high-voltage winding, or in B+, sees such faults sooner (common practice, no source).", \
          "It does not save the transformer from: %s. A fuse in the centre tap of the "            \
          "high-voltage winding, or in HT, sees such faults sooner (common practice, no source).")
/* faults */
#define words_fusing_no_more                                                                       \
    US_UK("No more than usual is drawn at: %s. No fuse in the line can see that.",                 \
          "No more than usual is drawn at: %s. No fuse in the mains can see that.")
static const char words_fusing_protects[] =
    "A fuse protects wiring and transformer, never a person, and no larger one cures one that "
    "blows: one that goes seconds after switch-on points past the rectifier (common practice, no "
    "source).";
#define words_fusing_taken                                                                         \
    US_UK("Faults are taken as dead shorts in a warm set on the full line; with one that draws "   \
          "less the fuse opens later. Opening times are typical: the standards' limits are a "     \
          "factor of ten or more apart.",                                                          \
          "Faults are taken as dead shorts in a warm set on the full mains; with one that draws "  \
          "less the fuse opens later. Opening times are typical: the standards' limits are a "     \
          "factor of ten or more apart.")

#endif
