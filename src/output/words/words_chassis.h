/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_CHASSIS_H
#define PRESOLDER_WORDS_CHASSIS_H

#include "tongue.h"

/* What a hot chassis can do. */

static const char words_chassis_reversed[] = "reversed";
static const char words_chassis_as_drawn[] = "as drawn";
static const char words_chassis_on[] = "on, plug %s";
/* the switch or point at which it is open */
static const char words_chassis_off[] = "off at `%s`, plug %s";
static const char words_chassis_dead_short[] = "dead short!";
static const char words_chassis_no_current[] = "none ";
static const char words_chassis_open[] = "open";
static const char words_chassis_short[] = "short";
static const char words_chassis_ul[] = "1500 ohm";
static const char words_chassis_iec[] = "IEC body";
/* the point */
static const char words_chassis_heading[] = "From `%s` to the earth of the wall";
/* milliamperes: the limit, peak and direct of the IEC body, felt from */
static const char words_chassis_networks[] =
    "RMS. Open: a meter of 10 Mohm. Short: 1 ohm. 1500 ohm: with 0.15 uF across, the network of "
    "service leaflets and UL leakage tests, in place of a person (volts over 1500 ohm; from "
    "memory). IEC body: IEC 60990, unweighted. ! is over %.1f mA, the customary limit for exposed "
    "metal (from memory), or, for the IEC body, %.1f mA peak of AC or %.0f mA of DC (IEC 60065 and "
    "60990, second hand). About %.0f mA is barely felt (NIOSH, second hand). Off: heaters cold, "
    "the plug in, one leg open.";
/* the point, milliamperes of the limit, amperes */
static const char words_chassis_within[] = "`%s`: within %.1f mA both ways round, as far as the "
                                           "scenario shows: %s%s through a person. Old "
                                           "insulation and damp leak besides.";
static const char words_chassis_at_most[] = "at most ";
static const char words_chassis_nothing[] = "nothing";
/* the point, the state of switch and plug, volts, amperes, times the limit */
static const char words_chassis_live[] =
    "`%s`: LIVE. At worst (%s) %s open and %s through a person, %.0f times the limit.";
static const char words_chassis_off_too[] =
    "Also when it is switched off: only the plug out of the wall is off.";
/* the way round of the plug that is harmless */
#define words_chassis_one_way                                                                      \
    US_UK("Not so with the plug %s; but that depends on the outlet's wiring, and it saves no one " \
          "on the bench.",                                                                         \
          "Not so with the plug %s; but that depends on the mains socket's wiring, and it saves "  \
          "no one on the bench.")
static const char words_chassis_bench[] = "On the bench";
static const char words_chassis_feed[] =
    "Feed such a set through an isolating transformer. Never earth a hot chassis: no earth wire, "
    "no earthed instrument, no water pipe.";
/* ohms and microfarads of a person; volts across them, milliamperes: the limit */
static const char words_chassis_how[] =
    "To measure it: %.0f ohm with %.2f uF across from the metal to a sure earth, AC volts across "
    "it, both ways round of the plug, switch on and off: %.2f V is %.1f mA.";
#define words_chassis_line_capacitor                                                               \
    US_UK("A capacitor from the line passes 2 pi f C V: 0.01 uF 0.44 mA, 0.1 uF 4.4 mA at 117 V, " \
          "60 Hz. From line to chassis fit class Y only.",                                         \
          "A capacitor from the mains passes 2 pi f C V: 0.01 uF 0.44 mA, 0.1 uF 4.4 mA at 117 "   \
          "V, 60 Hz. From mains to chassis fit class Y only.")
static const char words_chassis_meaning[] = "What that means";

#endif
