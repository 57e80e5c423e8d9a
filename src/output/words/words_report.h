/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_REPORT_H
#define PRESOLDER_WORDS_REPORT_H

#include "tongue.h"

/* What the report says itself; most of it is said by the words of the summary and the studies. */

/* question and answer */
static const char words_report_one[] =
    "Is every part within its rating, from switch-on until the set is warm?";
/* how many */
static const char words_report_many[] =
    "Which of these %d keep every part within its rating, from switch-on until the set is warm?";
/* a part; what, how much */
static const char words_report_yes[] =
    "Yes, as far as ratings are known. The smallest margin: %s, %s.";
static const char words_report_if[] =
    "Only if what was assumed is about right: see below which value decides it. The smallest "
    "margin: %s, %s.";
static const char words_report_no[] = "No: %d ratings are exceeded. The worst: %s, %s.";
static const char words_report_no_one[] = "No. One rating is exceeded: %s, %s.";
static const char words_report_unknown[] = "Not known: no rating could be judged.";
static const char words_report_unbalanced[] =
    "Not known: a run failed its audit, so no figure can be relied on.";
/* what opened, or why */
static const char words_report_dead[] = " The set is dead at the end.";

static const char words_report_side_by_side[] = "Side by side";
static const char words_report_as_drawn[] = "As drawn (base)";

/* schematic; the variant or nothing */
static const char words_report_schematic[] = "Schematic";
static const char words_report_schematic_caption[] =
    "How it is wired, with the voltages at the end of the run%s";

/* readings */
static const char words_report_readings[] = "What the meter should read, and why you read it";
static const char words_report_readings_warm[] = "Readings with the set warm";
static const char words_report_readings_end[] = "Readings at the end of the run";
static const char *const words_report_readings_heads[] = {
    "point", "expect", "9 of 10", "AC on top", "chart", "you read", "why"};
#define words_report_why_first                                                                     \
    US_UK("Low with more AC: the first filter capacitor is dried out. Low with less AC: the "      \
          "rectifier is weak. High: the tubes do not draw.",                                       \
          "Low with more AC: the reservoir capacitor is dried out. Low with less AC: the "         \
          "rectifier is weak. High: the valves do not draw.")
#define words_report_why_second                                                                    \
    US_UK("Low with the point before it right: too much is drawn from here, or the capacitor "     \
          "here leaks. High: the tubes do not draw.",                                              \
          "Low with the point before it right: too much is drawn from here, or the capacitor "     \
          "here leaks. High: the valves do not draw.")
static const char words_report_why_bias[] =
    "Bias. Less of it: too little current in this lead, or a wrong resistor. AC here is hum.";
static const char words_report_why_point[] = "Compare it first with the point that feeds it.";
#define words_report_why_plates                                                                    \
    US_UK("Each half to the centre tap. One missing: open winding. Both low with the heaters "     \
          "low: shorted turns, or a low line.",                                                    \
          "Each half to the centre tap. One missing: open winding. Both low with the heaters "     \
          "low: shorted turns, or low mains.")
#define words_report_why_heater                                                                    \
    US_UK("Within 10 %. Lower: cathodes too cool. Higher: tubes wear out.",                        \
          "Within 10 %. Lower: cathodes too cool. Higher: valves wear out.")
/* a lamp between plug and set, any other */
#define words_report_why_plug_lamp                                                                 \
    US_UK("More: the set draws too much. Nearly the line voltage: a short.",                       \
          "More: the set draws too much. Nearly the mains voltage: a short.")
static const char words_report_why_lamp[] =
    "More: too much current. Dark with voltage across it: burnt out.";
#define words_report_why_current                                                                   \
    US_UK("More: shorted turns, a leaking filter capacitor, or tubes that draw too much. Less: "   \
          "something does not draw.",                                                              \
          "More: shorted turns, a leaking smoothing capacitor, or valves that draw too much. "     \
          "Less: something does not draw.")
static const char words_report_why_power[] = "As the current; what is too much here becomes heat.";
static const char words_report_why_same[] = "As above.";
static const char words_report_why_source[] =
    "What these readings mean is common practice, no source.";

/* pictures */
static const char words_report_pictures[] = "Pictures";
static const char words_report_no_gnuplot[] = "No pictures: gnuplot was not found when this report "
                                              "was made. Install it (Debian: `apt install "
                                              "gnuplot-nox`) and make the report again.";
static const char words_report_not_drawn[] =
    "No picture of `%s`: gnuplot did not draw it. All its figures are in the tables.";
static const char words_report_not_wanted[] = "Pictures were left out (`--no-plots`).";
/* which picture answers what */
static const struct tongue words_report_questions[] = {
    US_UK_ROW("What do the filter capacitors see at switch-on?",
              "What do the smoothing capacitors see at switch-on?"),
    EITHER("How high are the first current pulses?"),
    EITHER("What repeats in every cycle when the set is warm?"),
    EITHER("How much voltage must the rectifier hold back?"),
    EITHER("Where does the heat go, and how warm does it get?")};
/* point */
static const char words_report_question_point[] = "How does the voltage at %s come up in each?";
/* question */
static const char words_report_alt[] =
    "%s Curves against time. What counts in them is in the tables of this report.";

/* what was assumed */
static const char words_report_assumed[] = "What was assumed";

/* included sheets; the variant */
static const char words_report_shopping[] = "Shopping list";
static const char words_report_bench[] = "Bench sheet";
static const char words_report_tolerances[] = "Tolerances";
static const char words_report_with_variant[] = "%s: %s";

/* how it was made */
static const char words_report_made[] = "How this report was made";
/* date, program, version, file */
static const char words_report_made_with[] = "Made on %s with presolder %s from `%s`.";
/* heads of the table */
static const char *const words_report_audit_heads[] = {"run", "seconds", "energy off by",
                                                       "charge off by", "audit"};
static const char words_report_audit[] = "Audit of the runs";
/* per cent */
static const char words_report_audit_note[] = "Audit: energy drawn against heat and stored energy, "
                                              "and the charge of every capacitor; at most "
                                              "%.4f\x1f%% of each may be missing.";
static const char words_report_passed[] = "passed";
static const char words_report_failed[] = "FAILED";
static const char words_report_hot_restart[] = "hot restart";
static const char words_report_run[] = "from switch-on";
static const char words_report_file[] = "The report is in %s.\n";

#endif
