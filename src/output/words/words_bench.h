/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_BENCH_H
#define PRESOLDER_WORDS_BENCH_H

#include "tongue.h"

/* The sheet for the bench. */

static const char words_bench_interrupted[] =
    "INTERRUPTED: this is what was worked out by then. What is missing was not looked at.";
static const char words_bench_reading[] = "reading";
static const char words_bench_expect[] = "expect";
static const char words_bench_you_read[] = "you read";
static const char words_bench_glow[] = "glow";
static const char words_bench_dark[] = "dark";
static const char words_bench_dull_red[] = "dull red";
static const char words_bench_orange[] = "orange";
static const char words_bench_dim_yellow[] = "dim yellow";
static const char words_bench_bright_lamp[] = "bright";
static const char words_bench_lamp_volts[] = "lamp V";
#define words_bench_line_amperes US_UK("line mA", "mains mA")
#define words_bench_line_watts US_UK("line W", "mains W")
static const char words_bench_heater_volts[] = "heater V";
static const char words_bench_point_volts[] = "%s V";
static const char words_bench_ripple[] = "ripple V";
static const char words_bench_megohm[] = "over 1\x1fMohm";
/* headings of the sections */
static const char words_bench_ohms[] =
    "Before power: ohms, plug out of the wall, switch on, capacitors empty";
static const char words_bench_in_place[] = " (in place)";
static const char words_bench_ohms_note[] =
    "All as the set is wired and cold, plus of the meter at the point named first. No "
    "reading: open; near 0: a short.";
/* ohms of a sound filter, ohms at least */
#define words_bench_filter_note                                                                    \
    US_UK("Across a filter capacitor wait until it has charged: above %s it is not shorted; "      \
          "below %s give no power (common practice, no source), unless a bleeder makes it less "   \
          "here. A good reading at the meter's few volts says nothing about working voltage.",     \
          "Across a smoothing capacitor wait until it has charged: above %s it is not shorted; "   \
          "below %s give no power (common practice, no source), unless a bleeder makes it less "   \
          "here. A good reading at the meter's few volts says nothing about working voltage.")
/* ohms */
static const char words_bench_string[] = "The heaters are one string: %s at the plug means that "
                                         "one of them, or a part in series with them, is open.";
static const char words_bench_halves[] =
    "Halves differ a little, the outer one is longer. No "
    "ohmmeter shows a few shorted turns: the next two steps do.";
#define words_bench_ratio                                                                          \
    US_UK("Ratio test: all tubes out, a small AC voltage on the plug",                             \
          "Ratio test: all valves out, a small AC voltage on the plug")
static const char words_bench_alternating[] = "%s AC";
/* volts on the plug; the share with 6.3 V */
#define words_bench_ratio_note                                                                     \
    US_UK("With %s AC on the plug; with 6.3 V they are %.2f of that. Each plate to the centre "    \
          "tap, never plate to plate: at full line that is beyond the range of many meters.",      \
          "With %s AC on the plug; with 6.3 V they are %.2f of that. Each anode to the centre "    \
          "tap, never anode to anode: at full mains that is beyond the range of many meters.")
#define words_bench_alone                                                                          \
    US_UK("Transformer alone: all tubes out, full line (through a lamp first)",                    \
          "Transformer alone: all valves out, full mains (through a lamp first)")
/* per cent of the turns; watts, amperes; seconds */
static const char words_bench_turns_shorted[] =
    "With %.0f %% of a winding's turns shorted: %s and %s after %s seconds, falling as they heat. "
    "Watts well above the first line: stop, the transformer burns.";
/* watts, volts, per cent of the line */
#define words_bench_take_lamp                                                                      \
    US_UK("Take the %d W %.0f V lamp: the smallest that leaves the sound set %d %% of the line.",  \
          "Take the %d W %.0f V lamp: the smallest that leaves the sound set %d %% of the mains "  \
          "voltage.")
/* the same */
#define words_bench_largest_lamp                                                                   \
    US_UK("Take the %d W %.0f V lamp, the largest here; it leaves the sound set less than %d %% "  \
          "of the line.",                                                                          \
          "Take the %d W %.0f V lamp, the largest here; it leaves the sound set less than %d %% "  \
          "of the mains voltage.")
/* watts */
#define words_bench_lamp_rule                                                                      \
    US_UK("The set takes %s at full line; the trade takes a lamp of about that or somewhat more "  \
          "(common practice, no source).",                                                         \
          "The set takes %s at full mains; the trade takes a lamp of about that or somewhat more " \
          "(common practice, no source).")
/* a point, volts, seconds */
#define words_bench_climbs                                                                         \
    US_UK("From cold %s first climbs to %s at %s and falls when the tubes draw; if it does not "   \
          "fall, they do not draw.",                                                               \
          "From cold %s first climbs to %s at %s and falls when the valves draw; if it does not "  \
          "fall, they do not draw.")
/* the reference, twice */
static const char words_bench_live[] =
    "%s may be live, on the lamp as well: an isolating transformer goes between the wall and the "
    "lamp. Read all DC voltages from %s, never from earth.";
static const char words_bench_ladder[] =
    "Up the ladder: a lamp in series with the plug, the sound set";
/* the rectifier, watts of the lamp, its volts, glow, seconds, milliamperes, volts of heaters */
#define words_bench_no_rectifier                                                                   \
    US_UK("First all tubes in but %s, on the %d W lamp: %s on the lamp (%s) after %d s, %s, "      \
          "heater %s. A lamp that stays brighter: a heater or plate short.",                       \
          "First all valves in but %s, on the %d W lamp: %s on the lamp (%s) after %d s, %s, "     \
          "heater %s. A lamp that stays brighter: a heater or anode short.")
/* seconds */
static const char words_bench_all_parts[] =
    "With all parts in, after %d s, nine of ten sound sets:";
static const char words_bench_all_wide[] = "With all parts in, after %d s, a sound set, about:";
static const char words_bench_milliamperes[] = "mA";
static const char words_bench_sound[] = "sound";
/* readings */
/* by enum bench_reading */
static const struct tongue words_bench_readings[] = {EITHER("lamp"),
                                                     US_UK_ROW("line current", "mains current"),
                                                     US_UK_ROW("line power", "mains power"),
                                                     EITHER("heater"),
                                                     US_UK_ROW("first filter", "reservoir"),
                                                     US_UK_ROW("second filter", "second smoothing"),
                                                     US_UK_ROW("first ripple", "reservoir ripple")};
#define words_bench_full_line US_UK("full line", "full mains")
static const char words_bench_outside[] = "! outside the sound set's band. The most telling: %s.";
/* faults */
static const char words_bench_alike[] = "Reads like a sound set here: %s.";
/* seconds, volts */
#define words_bench_switch_off                                                                     \
    US_UK("SWITCH OFF when after %d s the lamp is still above %s, or at once at red plates, "      \
          "smoke, smell or a warm can.",                                                           \
          "SWITCH OFF when after %d s the lamp is still above %s, or at once at red anodes, "      \
          "smoke, smell or a warm can.")
/* seconds */
static const char words_bench_bright[] =
    "Do not wait for it when the lamp stays bright for 5 s: on this lamp a short loads the winding "
    "more than the sound set does.";
/* a fault, amperes on the lamp, on the line, of the sound set */
#define words_bench_plates                                                                         \
    US_UK("With %s the high voltage carries %s on the lamp, %s on the bare line; the sound set "   \
          "%s.",                                                                                   \
          "With %s the high voltage carries %s on the lamp, %s straight on the mains; the sound "  \
          "set "                                                                                   \
          "%s.")
static const char words_bench_dial[] = "On a variable transformer, all parts in, sound and warm";
static const char words_bench_dial_set[] = "set to V";
#define words_bench_dial_note                                                                      \
    US_UK("After some minutes at each setting; below about half the line cathodes stay too cool "  \
          "for these to be exact. Line mA and W are read at the outlet, with what the variable "   \
          "transformer takes for itself. The dial limits voltage, not current: a short draws all " \
          "it can, so keep the lamp or a fuse in series. It isolates nothing.",                    \
          "After some minutes at each setting; below about half the mains voltage cathodes stay "  \
          "too cool "                                                                              \
          "for these to be exact. Mains mA and W are read at the mains socket, with what the "     \
          "variable transformer takes for itself. The dial limits voltage, not current: a short "  \
          "draws all it can, so keep the lamp or a fuse in series. It isolates nothing.")
#define words_bench_leads                                                                          \
    US_UK("Whose leads are these? An unknown power transformer",                                   \
          "Whose leads are these? An unknown mains transformer")
static const char words_bench_leads_ohms[] = "ohms cold";
static const char words_bench_leads_fed[] = "V AC with %s on the primary";
static const char words_bench_leads_primary[] = "primary";
/* volts fed, the line */
static const char words_bench_leads_note[] =
    "Out of the set: read ohms between every pair of leads; pairs that read nothing belong to "
    "different windings. The most ohms, with a lead half way between, is the high voltage; some "
    "ohms the primary; next to none the heaters. Then feed %s AC, through a fuse of half an "
    "ampere, into the primary and into nothing else: the same on a heater winding would make "
    "hundreds of volts on the others. Each reading times %.3g is what that winding gives at %s. A "
    "lead that gets hot at once, or a blown fuse: shorted turns, or the wrong winding.";
static const char words_bench_found[] = "How these were found";
/* how many, seconds; per cent: line, capacitors down and up; load */
#define words_bench_runs                                                                           \
    US_UK("%d runs of the scenario. Lamp steps and their faults: from cold, read at %d s; full "   \
          "line: warm set, settled. Timed changes of the scenario are left out.",                  \
          "%d runs of the scenario. Lamp steps and their faults: from cold, read at %d s; full "   \
          "mains: warm set, settled. Timed changes of the scenario are left out.")
/* samples */
#define words_bench_bands                                                                          \
    US_UK("Bands: nine of ten of %d sound sets, parts, line and readings somewhere in their "      \
          "ranges (`presolder tolerances`); how far these lie apart was found with the warm set.", \
          "Bands: nine of ten of %d sound sets, parts, mains voltage and readings somewhere in "   \
          "their "                                                                                 \
          "ranges (`presolder tolerances`); how far these lie apart was found with the warm set.")
/* steps; line, capacitors down and up [per cent], load or none; how long it was waited */
#define words_bench_about                                                                          \
    US_UK("Bands of %s are about: line +-%.0f %%, capacitors -%.0f/+%.0f %%%s (common practice, "  \
          "no source), since too few such sets settle%s.",                                         \
          "Bands of %s are about: mains +-%.0f %%, capacitors -%.0f/+%.0f %%%s (common practice, " \
          "no source), since too few such sets settle%s.")
/* per cent */
static const char words_bench_wide[] =
    "Bands are +-%.0f %% of each reading, as service data allow (common practice, no source): in "
    "so "
    "large a set it takes long to find better ones (--tolerances does).";
static const char words_bench_at_once[] = " at once (--tolerances waits for them)";
static const char words_bench_load_band[] = ", load +-%.0f %%";
static const char words_bench_no_load[] = "; no load can be scaled";
/* seconds */
static const char words_bench_small_lamps[] =
    "On small lamps cathodes stay cool and warm up slowly: their voltages still move after %d s.";
/* a winding, a point */
static const char words_bench_columns[] = "heater V: %s, RMS. ripple V: AC across %s.";
static const char words_bench_audit[] =
    "THE AUDIT OF %d RUN%s FAILED: do not rely on their figures (%s).";
static const char words_bench_audit_many[] = "S";
/* volts */
#define words_bench_head                                                                           \
    US_UK("Bench sheet for a line of %s. Local codes and licensed practice go before it; a "       \
          "measured reading wins.",                                                                \
          "Bench sheet for %s mains. Local codes and licensed practice go before it; a "           \
          "measured reading wins.")
/* watts, seconds */
static const char words_bench_lamp_faults[] =
    "On the %d W lamp, after %d s: sound, and what each fault reads";
#define words_bench_line_faults                                                                    \
    US_UK("At full line: sound, and what each fault reads",                                        \
          "At full mains: sound, and what each fault reads")
static const char words_bench_table[] = "The sheet as a table:";

#endif
