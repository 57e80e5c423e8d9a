/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_BUYING_H
#define PRESOLDER_WORDS_BUYING_H

#include "tongue.h"

/* What to buy. */

/* volts, rated volts */
static const char words_buying_line[] = " (%s instead of %s)";
/* what; per cent of the line, and the line */
#define words_buying_head                                                                          \
    US_UK("To buy for %s. Worst cases: line at +%.0f %%%s, cold tubes, open loads. New parts are " \
          "taken as fitted and sound, electrolytics as modern; everything else is as drawn.",      \
          "To buy for %s. Worst cases: mains at +%.0f %%%s, cold valves, open loads. New parts "   \
          "are taken as fitted and sound, electrolytics as modern; everything else is as drawn.")
static const char words_buying_as_drawn[] = "the set as drawn";
/* the runs */
static const char words_buying_run_hot[] = "cathodes warm, closed at the crest, until settled";
static const char words_buying_run_cold[] = "the scenario's, through the warm-up";
static const char words_buying_run_idle[] = "as a, nothing drawn, no leakage of new parts";
static const char words_buying_run_silicon[] = "as a, 1N4007 fitted";
static const char words_buying_run_silicon_idle[] = "as c, 1N4007 fitted";
static const char words_buying_runs[] =
    "Runs, as named in figures.csv (the letter comes after a worst value):";
static const char words_buying_changes[] =
    "Parts change during this scenario's run: the worst of that counts too. A list for a repair is "
    "better made of a variant without it.";
static const char words_buying_limited[] =
    "WARNING: something limits the current in series with the plug. Ripple, watts and fuse are "
    "those after it; make the list of a variant without it.";
/* the run */
static const char words_buying_unsettled[] =
    "WARNING: `%s` had not settled after its time: ripple and watts are rough. A longer `run: "
    "{for: ...}` helps.";
static const char words_buying_two[] = "two";
static const char words_buying_celsius[] = "%.0f C";
static const char words_buying_kind[] = "%d C";
static const char words_buying_no_kind[] = "none";
static const char words_buying_capacitors[] = "Capacitors";
/* heads of two lines */
static const char *const words_buying_capacitor_heads[2][9] = {
    {"", "", "", "buy", "worst  ", "ripple to", "", "can", "buy"},
    {"part", "drawn", "buy", "volts", "volts  ", "carry", "at", "gets", "kind"}};
/* the room; the cooler kind, degrees of its can, the hotter kind */
static const char words_buying_capacitors_note[] =
    "Values: series E6 at or above (IEC 60063). Volts: the rating sold at or above the highest in "
    "any run. Ripple: RMS, the more of run a and the end of run b, to be held against the sheet at "
    "that frequency. Can: room (%s) "
    "and its own heat with the loss its sheet may allow; %d C kind up to a can of %d C, else %d C "
    "(common practice, no source).";
/* two points */
static const char words_buying_no_volts[] = "no DC voltage to speak of between `%s` and `%s`: a "
                                            "part for AC, no electrolytic.";
/* plus and its can's volts, minus and its can's volts, reference */
static const char words_buying_insulated[] =
    "plus to `%s` (%s), minus to `%s` (%s), which is not `%s`: the can must be insulated, and no "
    "other negative belongs there.";
static const char words_buying_ends[] = "plus to `%s` (%s), minus to `%s`.";
static const char words_buying_turned[] =
    "WARNING: drawn the other way round. Its plus belongs to `%s`.";
/* volts, letter of the run; volts it stands */
static const char words_buying_reversed[] =
    "WARNING: reversed by up to %s in run %c; an electrolytic withstands %.0f V (Vishay doc. "
    "28329).";
static const char words_buying_none_stands[] =
    "Neither one part nor two in series of this list withstand %s.";
/* beginning, capacitance, volts, ohms; volts and watts on one, watts to buy, in halves; share of
 * the volts, times the leakage */
static const char words_buying_pair[] =
    "%s two of %s %s in series, %s across each (%s and %s on it: buy %s%s). Each is rated for %.1f "
    "of the voltage, the worst of +-20 %%; the resistors carry %s times the leakage of a new part.";
static const char words_buying_uncommon[] = "Few make such an electrolytic; instead";
static const char words_buying_not_sold[] = "No single part is sold:";
static const char words_buying_halves[] = ", as two of half the ohms: one withstands 250 to 350 V";
/* capacitance, what, of which rectifier, per cent */
static const char words_buying_smaller[] =
    "No larger: with %s the %s of %s would be %s of its limit in run a.";
/* the same */
#define words_buying_no_size                                                                       \
    US_UK("DO NOT BUY YET: even with %s the %s of %s is %s of its limit in run a. `presolder "     \
          "try` finds what fits, and whether resistors in the plates' leads help.",                \
          "DO NOT BUY YET: even with %s the %s of %s is %s of its limit in run a. `presolder "     \
          "try` finds what fits, and whether resistors in the anodes' leads help.")
/* what, of which rectifier, per cent, per cent on the line as drawn, what kind of limit it is */
#define words_buying_raised                                                                        \
    US_UK("With the line 10 %% high the %s of %s is %s of its limit, with the line as drawn %s. "  \
          "%s",                                                                                    \
          "With the mains 10 %% high the %s of %s is %s of its limit, with the mains as drawn "    \
          "%s. %s")
#define words_buying_derived                                                                       \
    US_UK("That limit is derived; no maker gives it. A resistor in each plate lead lowers the "    \
          "peak (`presolder try`).",                                                               \
          "That limit is derived; no maker gives it. A resistor in each anode lead lowers the "    \
          "peak (`presolder try`).")
static const char words_buying_centre[] = "That limit is a design-centre one and allows for it.";
/* the rectifier */
#define words_buying_first                                                                         \
    US_UK("It is the first capacitor of %s: larger means higher peaks there; this one keeps "      \
          "within the ratings known.",                                                             \
          "It is the reservoir of %s: larger means higher peaks there; this one keeps within the " \
          "ratings known.")
/* volts */
static const char words_buying_wet[] =
    "The old wet one held the warm-up surge down by leaking; a modern one does not: up to %s now "
    "reaches every part after it (common practice, no source).";
static const char words_buying_parted[] =
    "It shares the can `%s` with sections whose negative is another: one can with one negative "
    "does not replace them.";
static const char words_buying_shares_can[] =
    "It shares the can `%s`; all sections there have the same negative.";
static const char words_buying_beside[] =
    "It lies across the same points as `%s`. One part is bought for both, and an old one is taken "
    "out, never bridged.";
static const char words_buying_hot[] =
    "No kind lives long at such a heat: a larger part, or another place.";
static const char words_buying_least_heat[] = "< 0.01 W";
static const char words_buying_several[] = "several";
static const char words_buying_resistors[] = "Resistors";
static const char *const words_buying_resistor_heads[6] = {"part",   "drawn", "buy",
                                                           "heat  ", "buy",   "highest  "};
static const char words_buying_resistors_note[] =
    "Ohms: nearest of E24 (IEC 60063). Watts: twice the heat (RMS), rounded up (common practice, "
    "no source). Mind the voltage rating of a resistor: one of half a watt usually withstands 250 "
    "to 350 V.";
/* amperes, volts, winding */
static const char words_buying_heater[] = "Its heater's %s at %s are then no longer drawn from "
                                          "`%s`: other heaters on that transformer rise a little.";
/* heater, volts, amperes; ohms, watts; to buy */
static const char words_buying_string[] =
    "In place of the heater `%s` (%s, %s) the string needs %s, %s of heat: buy %s.";
static const char words_buying_one_diode[] = "one 1N4007";
static const char words_buying_diodes[] = "%d 1N4007 in series";
static const char words_buying_in_series[] = ", in series: %d";
/* lines of a scenario */
static const char words_buying_variant[] =
    "In a variant `with silicon`, a resistor after the diodes:";
static const char words_buying_find[] =
    "Then, with the voltage that the old one gave there, `presolder find-value` with:";
#define words_buying_tube US_UK("a tube", "a valve")
static const char words_buying_diode[] = "a diode";
/* type, diodes, volts, letter of the run; per cent of the volts of a diode */
#define words_buying_silicon                                                                       \
    US_UK("%s; %s for each plate does: %s the wrong way in run %c, %.0f %% of %.0f V at most for " \
          "each (common practice, no source).",                                                    \
          "%s; %s for each anode does: %s the wrong way in run %c, %.0f %% of %.0f V at most for " \
          "each (common practice, no source).")
static const char words_buying_same_type[] = "%s: the same type, tested.";
static const char words_buying_selenium[] = "%s: old selenium is better replaced.";
/* diodes, volts, letter of the run; per cent of the volts of a diode */
#define words_buying_silicon_instead                                                               \
    US_UK("Silicon instead: %s for each plate (%s the wrong way in run %c, %.0f %% of %.0f V at "  \
          "most for each; common practice, no source). B+ rises, at once and for good: "           \
          "`presolder find-value` finds the resistor that restores it, and this list of a "        \
          "variant with silicon shows the voltages.",                                              \
          "Silicon instead: %s for each anode (%s the wrong way in run %c, %.0f %% of %.0f V at "  \
          "most for each; common practice, no source). HT rises, at once and for good: "           \
          "`presolder find-value` finds the resistor that restores it, and this list of a "        \
          "variant with silicon shows the voltages.")
static const char words_buying_rectifiers[] = "Rectifiers";
static const char words_buying_fuse[] = "Fuse";
static const char words_buying_mains[] = "mains";
/* the fuse; how many times, amperes, letter of the run */
static const char words_buying_fuse_slow[] =
    "%s slow, in the lead that feeds the set: %.1f to 2 times the %s the set takes in run %c "
    "(common practice, no source). `presolder fuse` shows which hold at switch-on and which faults "
    "they clear.";
/* amperes */
static const char words_buying_no_fuse[] = "the set takes %s: more than this list has fuses for.";
#define words_buying_transformer                                                                   \
    US_UK("The power transformer, should it have to be replaced",                                  \
          "The mains transformer, should it have to be replaced")
/* volts, hertz, volt-amperes; letter of the run */
static const char words_buying_primary[] = "primary %s, %.0f Hz, for %.0f VA or more (run %c)";
/* the volts of each half, or of the winding */
static const char words_buying_half[] = "%s RMS each side of a centre tap";
/* volts without load; milliamperes of direct current, RMS amperes of one side; letter; ohms */
static const char words_buying_plates[] =
    "%s without load, for %s of direct current or more; each side carries %s RMS (run %c). "
    "Copper of about %.0f ohm a side: less gives a higher voltage, more a lower one";
static const char words_buying_heaters[] = "%s, %s or more";
static const char words_buying_idle_winding[] = "%s without load; nothing here loads it";
static const char words_buying_transformer_note[] =
    "Ratings of makers are with load: their voltages may be some per cent lower than these. "
    "Insulation between windings and to the core is as important as the voltage.";
#define words_buying_codes                                                                         \
    US_UK("Local codes decide about cord, plug, fuse and what may be connected to the line; they " \
          "are not looked at here. Results hold for the values typed in: trust the meter.",        \
          "Local codes decide about lead, plug, fuse and what may be connected to the mains; "     \
          "they are not looked at here. Results hold for the values typed in: trust the meter.")
/* before: fits only if ... */
#define words_buying_this                                                                          \
    US_UK("What is listed, on the line as drawn,", "What is listed, on the mains as drawn,")
static const char words_buying_file[] = "The list and all figures:";

/* Rules of buy-list.csv. */

/* share */
static const char words_buying_rule_share[] = "%.1f of the voltage on each: capacitances 20 %% "
                                              "apart";
static const char words_buying_rule_e6_each[] = "each, E6 at or above, IEC 60063";
static const char words_buying_rule_e6[] = "E6 at or above, IEC 60063";
static const char words_buying_rule_volts[] = "rating sold at or above the highest voltage";
static const char words_buying_rule_ripple[] = "rating at the frequency of the ripple";
/* the cooler kind, degrees of its can; the hotter kind, of its can */
static const char words_buying_rule_kind[] =
    "%d C up to a can of %d C, %d C up to %d C; common practice, no source";
/* volts */
static const char words_buying_rule_reverse[] = "at most %.0f V, Vishay doc. 28329";
/* how many */
static const char words_buying_rule_bleed[] =
    "%s times the leakage of the Lelon RGA data sheet, each";
static const char words_buying_rule_watts[] = "twice the watts; common practice, no source";
static const char words_buying_rule_each[] = "each";
static const char words_buying_rule_e24[] = "E24 nearest, IEC 60063";
static const char words_buying_rule_highest[] = "highest";
/* per cent, volts */
static const char words_buying_rule_diodes[] =
    "1N4007, each at most %.0f %% of %.0f V; common practice, no source";
static const char words_buying_rule_in_series[] = "rating of all in series";
static const char words_buying_rule_e24_above[] = "E24 at or above, IEC 60063";
/* per cent */
static const char words_buying_rule_heater_watts[] =
    "twice the watts at +%.0f %% current; common practice, no source";
/* how many */
static const char words_buying_rule_fuse[] =
    "slow, %.1f to 2 times the running current, R10; common practice, no source";

#endif
