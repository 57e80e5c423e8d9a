/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_DISCHARGE_H
#define PRESOLDER_WORDS_DISCHARGE_H

#include "tongue.h"

/* Emptying the capacitors of a set. */

static const char words_discharge_microcoulombs[] = "%.3g uC";
static const char words_discharge_millicoulombs[] = "%.3g mC";
static const char words_discharge_never[] = "never";
static const char words_discharge_at_once[] = "at once";
static const char words_discharge_not_yet[] = "not yet";
static const char words_discharge_settled[] = "settled";
static const char words_discharge_highest[] = "highest";
static const char words_discharge_energy[] = "energy";
static const char words_discharge_charge[] = "charge";
static const char words_discharge_to_safe[] = "to %.0f V,";
static const char words_discharge_cold[] = "cold";
static const char words_discharge_hot[] = "hot";
static const char words_discharge_set[] = "the whole set";
#define words_discharge_table                                                                      \
    US_UK("Energy and charge at the highest voltage of the turn-on, each capacitor by itself. "    \
          "Cold: what stays connected discharges it from its settled voltage, while the tubes "    \
          "draw nothing. Hot: switched off while they play; a moment later they are cold.",        \
          "Energy and charge at the highest voltage of the turn-on, each capacitor by itself. "    \
          "Cold: what stays connected discharges it from its settled voltage, while the valves "   \
          "draw nothing. Hot: switched off while they play; a moment later they are cold.")
/* a capacitor: volts */
static const char words_discharge_left_at[] = "%s%s%s at %s";
#define words_discharge_nothing_empties                                                            \
    US_UK("With cold tubes nothing you typed in empties %s: switched off before the tubes play, "  \
          "the charge stays for hours, or for good. Discharge it. What a new part may leak is no " \
          "bleeder.",                                                                              \
          "With cold valves nothing you typed in empties %s: switched off before the valves "      \
          "play, the charge stays for hours, or for good. Discharge it. What a new part may leak " \
          "is no bleeder.")
#define words_discharge_leak_only                                                                  \
    US_UK("With cold tubes hardly anything but the leakage you typed in empties %s. It falls "     \
          "while a part re-forms, and then the charge stays for hours.",                           \
          "With cold valves hardly anything but the leakage you typed in empties %s. It falls "    \
          "while a part re-forms, and then the charge stays for hours.")
/* seconds; volts of each capacitor */
#define words_discharge_still                                                                      \
    US_UK("%s after hot tubes were switched off, this is still there%s: %s.",                      \
          "%s after hot valves were switched off, this is still there%s: %s.")
static const char words_discharge_still_one[] = "s";
#define words_discharge_if_sound                                                                   \
    US_UK("These times hold only if what bleeds the set is sound. An open resistor, or a tube "    \
          "out of its socket, and the charge stays.",                                              \
          "These times hold only if what bleeds the set is sound. An open resistor, or a valve "   \
          "out of its valveholder, and the charge stays.")
static const char words_discharge_no_watts[] = "of more watts than usual sizes have";
/* ohms, watts */
static const char words_discharge_wirewound[] = "%s, %s wirewound";
/* how many, of how many ohms, watts each */
static const char words_discharge_in_series[] = "%d resistors of %s in series, each %s wirewound";
static const char words_discharge_tool[] = "The tool to discharge it with";
/* the customary tool: kilohms, watts, volts, seconds held on */
static const char words_discharge_rule_serves[] =
    "The customary tool will do for this set: %.0f kohm, %.0f W wirewound, rated %.0f V, held on "
    "for %.0f s (common practice, no source).";
/* the same; watts at the start, time to a safe voltage, that voltage; what to take */
static const char words_discharge_rule_fails[] = "The customary %.0f kohm, %.0f W, %.0f V held on "
                                                 "for %.0f s will not do for this set (%s at the "
                                                 "start, %s to %.0f V): take %s.";
/* volts it must stand, watts at first; the customary watts, how many times them it stands;
 * joules; a safe voltage, time to it */
static const char words_discharge_must_stand[] =
    "It must withstand %s; it dissipates %s at first (a %.0f W wirewound withstands %s times its "
    "watts "
    "for 5 s, from memory) and takes up %s in all. With all capacitors joined, they are below %.0f "
    "V in %s.";
/* a safe voltage */
static const char words_discharge_each_in_turn[] =
    "Put it on every capacitor in turn, then read with the meter: under %.0f V. A digital meter's "
    "own 10 Mohm will not discharge one in useful time.";
/* name, make, least and most volts that come back; per cent: of aluminium, of paper, of film */
static const char words_discharge_creeps[] =
    "Charge creeps back: minutes after a short discharge %s (%s) could be back at %s to %s. "
    "Estimate, from memory: %.0f to %.0f %% of what an aluminium electrolytic was charged to, %.0f "
    "to %.0f %% of paper, under %.0f %% of film. Wait five minutes, read again, empty again, and "
    "leave a clip lead across it.";
#define words_discharge_prongs                                                                     \
    US_UK("Between the prongs of the plug, pulled at the crest (tubes cold)",                      \
          "Between the prongs of the plug, pulled at the crest (valves cold)")
/* volts at once; volts and seconds three times */
#define words_discharge_prongs_volts                                                               \
    US_UK("%s at once, %s after %.0f s, %s after %.0f s, %s after %.0f s, with the set's switch "  \
          "as the scenario has it. Behind an open switch, or with a part of its way open, a line " \
          "capacitor keeps its voltage: do not touch the prongs.",                                 \
          "%s at once, %s after %.0f s, %s after %.0f s, %s after %.0f s, with the set's switch "  \
          "as the scenario has it. Behind an open switch, or with a part of its way open, a "      \
          "mains capacitor keeps its voltage: do not touch the prongs.")
/* the limit, its source */
static const char words_discharge_over[] = "Over: %s (%s)";
#define words_discharge_limits                                                                     \
    US_UK("Above the limits regarded as harmless in new equipment (tubes cold)",                   \
          "Above the limits regarded as harmless in new equipment (valves cold)")
static const char words_discharge_no_limit[] =
    "No capacitor exceeds the limits for parts that may be touched.";
static const char words_discharge_none[] = "There is no capacitor in this set.";
static const char words_discharge_heading[] = "What the capacitors hold";

#endif
