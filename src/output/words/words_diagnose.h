/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_DIAGNOSE_H
#define PRESOLDER_WORDS_DIAGNOSE_H

#include "tongue.h"

/* What is wrong, by what was read. */

/* causes: part, fault */
static const char words_diagnose_cause[] = "%s: %s";
static const char words_diagnose_sound[] = "no fault found";
static const char words_diagnose_outside[] = "outside the supply, or not in this list";
#define words_diagnose_line_low US_UK("line voltage low", "mains voltage low")
#define words_diagnose_line_high US_UK("line voltage high", "mains voltage high")
static const char words_diagnose_battery_low[] = "battery voltage low";
static const char words_diagnose_battery_high[] = "battery voltage high";
#define words_diagnose_other_type                                                                  \
    US_UK("%s: another type in its socket", "%s: another type in its valveholder")
static const char words_diagnose_wrong_return[] = "%s: minus at the wrong point";

/* the answer */
/* cause, its severity in brackets or nothing */
static const char words_diagnose_first[] = "Most likely: %s%s.";
static const char words_diagnose_severity[] = " (%s%s)";
/* what it is, how much, from, to */
static const char words_diagnose_severity_range[] = " (%s%s; somewhere from %s to %s)";
/* odds, the second cause */
static const char words_diagnose_odds[] = "It is %s than the next: %s.";
static const char words_diagnose_odds_sound[] = "A sound set is %s than the next: %s.";
static const char words_diagnose_odds_three[] = "more than three times likelier";
static const char words_diagnose_odds_ten[] = "more than ten times likelier";
static const char words_diagnose_odds_hundred[] = "more than a hundred times likelier";
/* how many, times */
static const char words_diagnose_group[] =
    "These readings cannot tell the first %s apart: neither is %.0f times likelier than the other.";
static const char words_diagnose_group_many[] = "These readings cannot tell the first %s apart: "
                                                "the first is less than %.0f times likelier than "
                                                "each of the others.";
static const char words_diagnose_no_fault[] =
    "No fault found: the readings are those of a sound set, within its tolerances and the meter's.";
/* cause, per cent */
static const char words_diagnose_not_excluded[] =
    "A sound set reads like this, but these readings cannot exclude %s (%s).";
static const char words_diagnose_nothing_fits[] =
    "No fault of this list fits well. First check what you typed in, and the wiring.";
/* cause, its severity in brackets or nothing */
static const char words_diagnose_perhaps_outside[] =
    "The cause may lie outside the supply, or be none of this list. Of the list, %s%s comes "
    "nearest.";
static const char words_diagnose_no_single[] = "No single fault explains all readings.";
/* reading, what was read, what the others let expect, the cause that explains these */
static const char words_diagnose_odd[] =
    "One reading fits nothing that the others allow: %s is %s, and about %s by the others (%s). "
    "Read it again: a slip of the pen, a wrong range, or a lead that made no contact?";
static const char words_diagnose_pairs[] = "Two faults at once that come nearer:";
/* two causes with severities */
static const char words_diagnose_pair[] = "%s%s and %s%s";

/* the table of causes */
static const char words_diagnose_ranking[] = "Causes, likeliest first";
static const char words_diagnose_share[] = "share";
static const char words_diagnose_what[] = "cause";
static const char words_diagnose_how_bad[] = "how bad";
static const char words_diagnose_fit[] = "fit";
static const char words_diagnose_fit_good[] = "good";
static const char words_diagnose_fit_fair[] = "fair";
static const char words_diagnose_fit_poor[] = "poor";
#define words_diagnose_dangerous                                                                   \
    US_UK("! dangerous under power: until it is excluded give no full line voltage.",              \
          "! dangerous under power: until it is excluded give no full mains voltage.")
static const char words_diagnose_dangerous_battery[] =
    "! dangerous under power: until it is excluded leave the battery off.";

/* the table of readings */
static const char words_diagnose_beside[] = "What you read, and what each cause would give";
static const char words_diagnose_reading[] = "reading";
static const char words_diagnose_read[] = "read";
static const char words_diagnose_sound_head[] = "sound";
static const char words_diagnose_open[] = "open";
/* the name of a set of readings */
static const char words_diagnose_set[] = "  %s:";
static const char words_diagnose_set_dead[] = "the set dead";
/* names */
static const char words_diagnose_left_out[] =
    "Left out, since taken at another time: %s (`--set NAME` takes one set alone).";

/* the picture */
static const char words_diagnose_axis[] = "per cent of what the sound set reads";
static const char words_diagnose_axis_cut[] =
    "per cent of what the sound set reads (300: that or more)";

/* the next reading */
static const char words_diagnose_next[] = "Read next";
static const char words_diagnose_next_none[] = "No further reading that is safe would say much "
                                               "more. Replace or test the likeliest part, then "
                                               "read again.";
static const char words_diagnose_next_outside[] =
    "No further reading in the supply would say much more. Take your readings again, then look "
    "outside the supply.";
static const char words_diagnose_next_two[] =
    "With two faults at once no further reading says much more. Mend the surer one, then take all "
    "readings again.";
static const char words_diagnose_next_settled[] =
    "The answer is clear enough: a further reading would add little.";
static const char words_diagnose_ohms[] = "ohms from %s (plus lead) to %s, the set dead and cold";
/* a part */
static const char words_diagnose_capacitance[] =
    "the capacitance of %s, one lead lifted, with a capacitor tester";
static const char words_diagnose_leakage[] =
    "the leakage of %s at %s, one lead lifted, with a capacitor tester";
/* where, and how the set is fed */
static const char words_diagnose_dc[] = "DC voltage at %s, %s";
static const char words_diagnose_ac[] = "AC voltage at %s through a capacitor (the ripple), %s";
static const char words_diagnose_heater[] =
    "AC voltage across the heater winding or pins of %s, %s";
#define words_diagnose_line_volts                                                                  \
    US_UK("line voltage with a plug-in meter, %s", "mains voltage with a plug-in meter, %s")
#define words_diagnose_amperes                                                                     \
    US_UK("line current with a plug-in meter, %s", "mains current with a plug-in meter, %s")
#define words_diagnose_watts                                                                       \
    US_UK("line power with a plug-in meter, %s", "mains power with a plug-in meter, %s")
/* lamp */
static const char words_diagnose_on_lamp[] = "with a %s lamp in series";
#define words_diagnose_full_line US_UK("at full line voltage", "at full mains voltage")
static const char words_diagnose_battery[] = "on its battery";
/* cause, what it lets expect */
static const char words_diagnose_expects[] = "%s -> %s";
static const char words_diagnose_or[] = "Or, less telling for the work:";
#define words_diagnose_dead_drill_battery                                                          \
    US_UK("Take the battery off. Discharge every filter capacitor through 10 kohm, 5 W, for 30 "   \
          "s; check that it is under 30 V. Wait until the reading has settled: the meter charges " \
          "the capacitors.",                                                                       \
          "Take the battery off. Discharge every smoothing capacitor through 10 kohm, 5 W, for "   \
          "30 s; check that it is under 30 V. Wait until the reading has settled: the meter "      \
          "charges the capacitors.")
static const char words_diagnose_live_drill_battery[] =
    "Battery off, discharge, check under 30 V; clip both leads on. Hands away, one in the pocket; "
    "battery on, read, battery off, discharge before you touch a clip. Smoke or a hot can: off at "
    "once.";
#define words_diagnose_dead_drill                                                                  \
    US_UK("Plug out of the wall. Discharge every filter capacitor through 10 kohm, 5 W, for 30 "   \
          "s; check that it is under 30 V. Tubes cold. Wait until the reading has settled: the "   \
          "meter charges the capacitors.",                                                         \
          "Plug out of the wall. Discharge every smoothing capacitor through 10 kohm, 5 W, for "   \
          "30 s; check that it is under 30 V. Valves cold. Wait until the reading has settled: "   \
          "the meter charges the capacitors.")
#define words_diagnose_live_drill                                                                  \
    US_UK("Plug out, discharge, check under 30 V; clip both leads on. Hands away, one in the "     \
          "pocket; power on, read, power off, plug out, discharge before you touch a clip. Red "   \
          "plates, smoke or a hot can: off at once.",                                              \
          "Plug out, discharge, check under 30 V; clip both leads on. Hands away, one in the "     \
          "pocket; power on, read, power off, plug out, discharge before you touch a clip. Red "   \
          "anodes, smoke or a hot can: off at once.")
#define words_diagnose_plug_drill                                                                  \
    US_UK("Plug out; the meter goes between plug and wall. Power on, read, power off. Red "        \
          "plates, smoke or a hot can: off at once.",                                              \
          "Plug out; the meter goes between plug and wall. Power on, read, power off. Red "        \
          "anodes, smoke or a hot can: off at once.")
#define words_diagnose_never                                                                       \
    US_UK("Never read plate to plate, at the socket of a rectifier under power, in a lead you "    \
          "open under power, or with speaker or field coil unplugged.",                            \
          "Never read anode to anode, at the valveholder of a rectifier under power, in a lead "   \
          "you open under power, or with speaker or field coil unplugged.")
#define words_diagnose_no_full_line                                                                \
    US_UK("A fault that burns parts is among the likely ones, so nothing at full line voltage is " \
          "proposed.",                                                                             \
          "A fault that burns parts is among the likely ones, so nothing at full mains voltage "   \
          "is proposed.")
static const char words_diagnose_no_power[] =
    "A fault that burns parts is among the likely ones, so nothing under power is proposed.";
#define words_diagnose_not_isolated                                                                \
    US_UK("This set has no power transformer between line and chassis. Without an isolating "      \
          "transformer no reading under power is proposed; if you have one, say `meter: "          \
          "{isolating transformer: yes}`.",                                                        \
          "This set has no mains transformer between mains and chassis. Without an isolating "     \
          "transformer no reading under power is proposed; if you have one, say `meter: "          \
          "{isolating transformer: yes}`.")

/* matched to healthy readings */
static const char words_diagnose_matched[] = "Matched to the healthy readings of %s first:";
/* key, was, is */
static const char words_diagnose_matched_value[] = "%s: %s instead of %s";
static const char words_diagnose_matched_none[] = "nothing had to be moved";
static const char words_diagnose_matched_unknown[] = "These readings say nothing of: %s.";
static const char words_diagnose_matched_unlikely[] =
    "But a healthy set hardly reads like this: check the readings, and whether it was healthy.";

/* how it was done */
/* causes, runs */
static const char words_diagnose_how[] =
    "%d causes, %ld steady states; shares count how often a fault is met, the meter's error and "
    "the "
    "tolerances of sound parts. Two faults at once, wiring errors and what no run knows make any "
    "ranking wrong now and then: confirm the part before you replace it.";
static const char words_diagnose_files[] = "All causes:";
static const char words_diagnose_noticed[] = "Noticed: %s.";

#endif
