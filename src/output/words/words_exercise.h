/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_EXERCISE_H
#define PRESOLDER_WORDS_EXERCISE_H

#include <stdbool.h>

#include "exercise_table.h"
#include "tongue.h"

/* Sheets for the class, the trainer's key, the demonstration. Nothing on a pupil's sheet may depend on
 * the fault but the owner's words and the readings. */

/* ---- the pupils ---- */

/* the set */
static const char words_exercise_pupils_title[] = "Fault-finding exercise: %s";
/* number, series */
static const char words_exercise_sheet[] = "Sheet %d, series %s";
static const char words_exercise_name[] = "Name and date:";
static const char words_exercise_owner[] = "The owner says";
static const char words_exercise_task[] = "Your task";
static const char words_exercise_task_one[] =
    "One part of this power supply has failed. Find it with as few readings as you can.";
static const char words_exercise_task_two[] =
    "Two parts of this power supply have failed. Find both with as few readings as you can.";
static const char words_exercise_rules[] =
    "Choose a reading from the list and write down why you ask for it. Only then take its card. "
    "Each reading costs the minutes in the list. Readings in a dead set come first: power is for "
    "what they cannot tell you.";
static const char words_exercise_chart[] = "Service chart";
static const char words_exercise_chart_point[] = "Point";
static const char words_exercise_chart_volts[] = "DC voltage";
static const char words_exercise_no_chart[] = "There is no service chart for this set.";
/* the set */
static const char words_exercise_schematic_of[] = "Power supply of: %s";
static const char words_exercise_cautions[] = "Cautions";
static const char words_exercise_list[] = "Readings you may ask for";
static const char words_exercise_list_card[] = "Card";
static const char words_exercise_list_reading[] = "Reading";
static const char words_exercise_list_minutes[] = "Minutes";
static const char words_exercise_log[] = "What you asked for";
static const char words_exercise_log_card[] = "Card";
static const char words_exercise_log_why[] = "Why I ask for this";
static const char words_exercise_log_read[] = "It reads";
static const char words_exercise_log_follows[] = "What I conclude";
static const char words_exercise_answer[] = "Your answer";
static const char words_exercise_question[] = "Question";
static const char words_exercise_part[] = "Which part has failed?";
static const char words_exercise_kind[] = "What is wrong with it?";
static const char words_exercise_part_both[] = "Which two parts have failed?";
static const char words_exercise_kind_both[] = "What is wrong with each?";
static const char words_exercise_severity[] =
    "How bad is it, in ohms or microfarads? Or: cannot be said";
/* the reading */
static const char words_exercise_after[] = "After the repair I expect: %s";
static const char words_exercise_minutes[] = "Minutes used";
static const char words_exercise_safe[] =
    "What must be done before a hand or a meter lead goes into this set?";
/* number, series */
static const char words_exercise_cards[] = "Cards of sheet %d, series %s";
static const char words_exercise_cards_how[] =
    "For the trainer: cut the cards out and hand out each one when it is asked for, or fold the "
    "lower part of each card behind the upper one.";
/* sheet, card */
static const char words_exercise_card[] = "Sheet %d, card %d";
static const char words_exercise_fold[] = "fold here";
/* value */
static const char words_exercise_reads[] = "Reads: %s";
static const char words_exercise_off_scale[] = "more than the tester can give";
static const char words_exercise_cannot[] = "does not settle, or the set was switched off again";

/* the owner */
static const char words_exercise_fuse_blows[] = "\"The fuse blows the moment I switch it on.\"";
static const char words_exercise_fuse_burns[] =
    "\"The fuse blows some seconds after I switch it on.\"";
static const char words_exercise_no_fuse_blows[] =
    "\"It hums, gets hot at once and smells. I switched it off.\"";
static const char words_exercise_no_fuse_burns[] =
    "\"After a minute it gets hot and smells. I switched it off.\"";
#define words_exercise_dark                                                                        \
    US_UK("\"It is dead: no tube glows.\"", "\"It is dead: no valve glows.\"")
#define words_exercise_dead                                                                        \
    US_UK("\"No sound at all, though the tubes glow.\"",                                           \
          "\"No sound at all, though the valves glow.\"")
static const char words_exercise_silent[] = "\"No sound at all.\"";
static const char words_exercise_weak[] = "\"It plays, but weak and distorted.\"";
static const char words_exercise_faint[] = "\"I hear next to nothing. It used to be loud.\"";
static const char words_exercise_strained[] =
    "\"It plays, but everything in it gets hotter than it used to.\"";
static const char words_exercise_hum_low[] = "\"There is a low, steady hum.\"";
static const char words_exercise_hum_raspy[] = "\"There is a loud, raspy hum.\"";

/* ---- the key ---- */

/* the set */
static const char words_exercise_key_title[] = "Trainer's key: %s";
static const char words_exercise_key_keep[] = "For the trainer only. Keep it away from the sheets.";
static const char words_exercise_all[] = "All sheets";
static const char words_exercise_all_sheet[] = "Sheet";
static const char words_exercise_all_fault[] = "Fault";
static const char words_exercise_all_class[] = "How it may be shown";
static const char words_exercise_all_owner[] = "The owner says";
static const char words_exercise_use[] = "How to use it";
static const char words_exercise_use_print[] = "Print pupils.html. Every sheet is followed by its "
                                               "cards. Sheets differ; this key has them all.";
static const char words_exercise_use_readings[] =
    "The cards show what a meter reads, computed for the set as it was typed in, with all other "
    "parts at their marked values. A real set differs by its tolerances.";
static const char words_exercise_use_class[] =
    "How a fault may be shown to a class is common practice, no source. Your local rules and your "
    "own judgement go first.";
/* command */
static const char words_exercise_use_again[] = "The same sheets again: `%s`";
/* number */
static const char words_exercise_key_sheet[] = "Sheet %d";
/* fault, how bad in brackets or nothing, what it is */
static const char words_exercise_fault[] = "%s%s: %s.";
static const char words_exercise_in_brackets[] = " (%s)";
/* class, reason, how */
static const char words_exercise_shown[] = "May be shown %s: %s. %s";
/* class */
static const char words_exercise_together[] = "Both together may be shown %s.";
static const char words_exercise_owner_from[] = "What the owner says";
/* reading, value, sound value */
static const char words_exercise_from[] = "from %s: %s; the sound set has %s";
/* a load or a field coil */
static const char words_exercise_takes[] = "what %s takes";
/* share, cause; share of the fault */
#define words_exercise_misleads                                                                    \
    US_UK("What misleads: complaint and B+ alone point at another part, %s (%s); the fault "       \
          "itself has %s. More readings put it right.",                                            \
          "What misleads: complaint and HT alone point at another part, %s (%s); the fault "       \
          "itself has %s. More readings put it right.")
static const char words_exercise_found[] = "All cards together put it first among %d causes.";
static const char words_exercise_found_group[] =
    "All cards together leave it among the first %d of %d causes, which they can hardly tell "
    "apart: "
    "take each of them for right if the reasons are good.";
static const char words_exercise_found_pair[] =
    "No single fault explains all cards; this pair does.";
static const char words_exercise_moved[] = "Readings that changed, and why";
static const char words_exercise_moved_sound[] = "Sound";
static const char words_exercise_moved_now[] = "Here";
static const char words_exercise_moved_why[] = "Why";
/* cards */
static const char words_exercise_unmoved[] = "Cards on which a meter shows no clear change: %s.";
static const char words_exercise_all_moved[] = "Every reading changed.";
static const char words_exercise_why_itself[] = "read across the failed part itself";
static const char words_exercise_why_beside[] =
    "the failed part lies across these points, or on the way between them";
static const char words_exercise_why_tester[] = "the tester reads the failed part itself";
static const char words_exercise_why_string[] =
    "the voltage divides in another way along the heaters";
static const char words_exercise_why_gone[] = "the set does not settle, or trips";
static const char words_exercise_why_follows[] = "follows from the other changes";
/* fault, why */
static const char words_exercise_why_of[] = "%s: %s";
static const char words_exercise_before[] = "Before and after";
static const char words_exercise_before_name[] = "sound";
static const char words_exercise_after_name[] = "with the fault";
/* point, sheet */
static const char words_exercise_picture[] =
    "%s from switch-on, sound and with the fault of sheet %d. The band is the ripple.";
/* point; mean and volts at the end of both */
static const char words_exercise_picture_alt[] =
    "Curves of the voltage at %s. At the end of the run the sound set has %s, the set with the "
    "fault %s.";
/* script */
static const char words_exercise_no_picture[] =
    "The picture was not drawn. To get it: gnuplot %s, in the folder plots.";
static const char words_exercise_harm[] = "What would suffer, and when";
static const char words_exercise_harm_time[] = "From";
static const char words_exercise_harm_what[] = "What";
static const char words_exercise_harm_none[] =
    "Nothing: no known rating is exceeded that the sound set keeps.";
static const char words_exercise_harm_nobody[] = "Trust the order, not the times. What is over its "
                                                 "rating could fail at once, in minutes, or not "
                                                 "for years.";
/* how many */
static const char words_exercise_harm_more[] = "and %d more later";
static const char words_exercise_marking[] = "Marking";
static const char words_exercise_marking_question[] = "Question";
static const char words_exercise_marking_right[] = "Right";
static const char words_exercise_marking_points[] = "Points";
/* value, from, to */
static const char words_exercise_marking_band[] = "%s (%s to %s)";
/* per cent */
static const char words_exercise_marking_how[] =
    "Figures count as right within %.0f %%. Between two pupils with equal points the one with "
    "fewer "
    "minutes is ahead; a live reading before any dead one costs a point.";
static const char words_exercise_marking_severity[] = "cannot be said in figures";
static const char words_exercise_marking_safe[] =
    "Plug out, discharge through a resistor, check under 30 V, one hand in the pocket.";

/* ---- the demonstration ---- */

/* the set */
static const char words_exercise_show_title[] = "Demonstration: %s";
/* seconds */
static const char words_exercise_show_end[] =
    "All read %s after switch-on from cold: with one of these changes the set never settles.";
static const char words_exercise_show_class[] = "For the class: predict first";
static const char words_exercise_show_predict[] =
    "Write down what you expect before it is shown: up, down or the same, and how much. A wrong "
    "guess with a reason is worth more than a right one without.";
static const char words_exercise_show_figure[] = "Figure";
static const char words_exercise_show_now[] = "Sound set";
/* a column of what is shown */
static const char words_exercise_show_guess[] = "%s: I expect";
static const char words_exercise_show_shown[] = "Shown";
static const char words_exercise_show_why[] = "Because";
/* part */
#define words_exercise_show_silicon                                                                \
    US_UK("Tube %s, then silicon diodes in its place", "Valve %s, then silicon diodes in its "     \
                                                       "place")
#define words_exercise_show_no_silicon                                                             \
    US_UK("This set has no rectifier tube, so there is nothing to replace by silicon.",            \
          "This set has no rectifier valve, so there is nothing to replace by silicon.")
/* part, part, new part */
static const char words_exercise_show_old[] =
    "Old %s, dried out and leaking, then a new capacitor of its size connected across it";
#define words_exercise_show_no_old                                                                 \
    US_UK("This set has no filter capacitor with a rated voltage, so none is shown old.",          \
          "This set has no smoothing capacitor with a rated voltage, so none is shown old.")
static const char words_exercise_show_trainer[] = "For the trainer: what is shown";
static const char words_exercise_show_with_silicon[] = "Silicon";
static const char words_exercise_show_with_old[] = "Old one";
static const char words_exercise_show_with_new[] = "New one across it";
#define words_exercise_show_say_silicon                                                            \
    US_UK("Silicon conducts at once and drops next to nothing: every capacitor gets the crest "    \
          "before a tube draws current, and the set runs higher ever after. A resistor in the "    \
          "plate or cathode lead brings the old voltage back, not the slow start.",                \
          "Silicon conducts at once and drops next to nothing: every capacitor gets the crest "    \
          "before a valve draws current, and the set runs higher ever after. A resistor in the "   \
          "anode or cathode lead brings the old voltage back, not the slow start.")
static const char words_exercise_show_say_old[] =
    "The hum goes and the set seems cured, but the old capacitor still leaks and heats. Only when "
    "it "
    "is cut out is the set as the chart has it.";
static const char words_exercise_show_live[] =
    "Show this on paper or on the screen. A leaking capacitor under power heats until it vents; "
    "silicon in an old set overvolts its capacitors.";
/* measures */
static const char words_exercise_show_volts[] = "%s, DC, settled";
static const char words_exercise_show_highest[] = "%s, highest after switch-on";
static const char words_exercise_show_ripple[] = "%s, ripple (AC)";
static const char words_exercise_show_watts[] = "%s, heat";
#define words_exercise_show_power US_UK("Power from the line", "Power from the mains")
/* the point */
static const char words_exercise_show_picture[] = "%s from switch-on. The band is the ripple.";

/* ---- the terminal ---- */

/* how many, level, seed, series */
static const char words_exercise_made[] = "%d sheet%s of level %d, seed %lu, series %s.";
static const char words_exercise_files_pupils[] = "For the class:";
static const char words_exercise_files_key[] = "For the trainer only:";
static const char words_exercise_files_show[] = "Demonstration:";

const char *words_exercise_class(enum exercise_class class);
/* `battery`: the set runs on one. */
const char *words_exercise_how(enum exercise_class class, bool battery);
const char *words_exercise_reason(enum exercise_reason reason);

/* Kinds of readings that faults move each in its own way. */
enum exercise_what { EXERCISE_DC, EXERCISE_RIPPLE, EXERCISE_LINE, EXERCISE_HEATER, EXERCISE_WHATS };

/* Why a fault of this effect moves such a reading up or down. */
const char *words_exercise_why(enum exercise_effect effect, enum exercise_what what, bool up);

#endif
