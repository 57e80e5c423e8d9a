/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_TRY_H
#define PRESOLDER_WORDS_TRY_H

#include "tongue.h"

/* One or two values over a list or range. */

/* how many, of what */
static const char words_try_head[] = "%d value%s of %s%s%s.";
static const char words_try_head_many[] = "s";
static const char words_try_head_and[] = " and ";
static const char words_try_cold[] = "Each run begins cold and is as long as the scenario says; "
                                     "besides, short hot restarts at crest and zero.";
static const char words_try_hot[] =
    "The warm set: after hours, each part as warm as its own watts make it. Besides, hot restarts "
    "onto empty capacitors, closed at the crest and at zero. The start from cold is not in it "
    "(--cold).";
static const char words_try_nearest[] = "nearest to its limit";
/* per cent */
#define words_try_marks                                                                            \
    US_UK("! over its rating, ^ over %.0f %% of it. Of two plates or halves the worse one.",       \
          "! over its rating, ^ over %.0f %% of it. Of two anodes or halves the worse one.")
/* how many shown, of how many, the file */
static const char words_try_first_rows[] = "The first %d rows; all %d are in %s.";
static const char words_try_unsettled[] =
    "* had not settled: the mean of the last cycles (run longer: --for 60s).";
static const char words_try_audit[] = "THE AUDIT OF %d RUN%s FAILED: do not rely on their figures.";
static const char words_try_audit_many[] = "S";
/* what stands before; figure, value, share of its limit */
static const char words_try_over[] = "%s%s%s (%s, %s of its limit)";
static const char words_try_none_over[] =
    "In the warm set every value fits: no known rating is exceeded.";
/* values */
static const char words_try_something_over[] = "Over a rating: %s%s.";
static const char words_try_more[] = "; and %d more";
/* values */
static const char words_try_inside[] = "Fits (no known rating is exceeded in the warm set): %s%s.";
static const char words_try_never_inside[] = "None of these values keeps everything within rating.";
/* a value */
static const char words_try_as_far[] = ", the largest tried,";
static const char words_try_hot_restart_peak[] = "peak at a hot restart";
/* a figure, share of its limit */
static const char words_try_share[] = "its %s then uses %s of the limit";
/* ohms */
#define words_try_no_value                                                                         \
    US_UK("; with %s per plate no value does", "; with %s per anode no value does")
/* ohms */
#define words_try_any                                                                              \
    US_UK("; with %s per plate its peaks set no limit, but the sheet's own figure is not known: "  \
          "take no larger one than the hum asks for",                                              \
          "; with %s per anode its peaks set no limit, but the sheet's own figure is not known: "  \
          "take no larger one than the hum asks for")
/* ohms, capacitance, share */
#define words_try_up_to                                                                            \
    US_UK("; with %s per plate up to %s (%s)", "; with %s per anode up to %s (%s)")
/* ohms */
static const char words_try_of_which[] = ", of which %s are there already";
/* capacitance, whose */
#define words_try_sheet_alone                                                                      \
    US_UK("The sheet says up to %s for the first capacitor%s; no rating of its peaks is known.",   \
          "The sheet says up to %s for the reservoir%s; no rating of its peaks is known.")
/* capacitance, whose; what the peak allows; share */
#define words_try_sheet_more                                                                       \
    US_UK("The sheet says up to %s for the first capacitor%s, a stand-in for the peak current; "   \
          "the peak current itself would allow %s (proven by a run: %s). A larger one is charged " \
          "over many cycles, each with a peak near the first.",                                    \
          "The sheet says up to %s for the reservoir%s, a stand-in for the peak current; the "     \
          "peak current itself would allow %s (proven by a run: %s). A larger one is charged "     \
          "over many cycles, each with a peak near the first.")
/* capacitance, whose; share */
#define words_try_sheet_counts                                                                     \
    US_UK("The sheet says up to %s for the first capacitor%s. Its peak current sets no limit "     \
          "here (at the largest tried %s); the sheet's figure counts.",                            \
          "The sheet says up to %s for the reservoir%s. Its peak current sets no limit here (at "  \
          "the largest tried %s); the sheet's figure counts.")
#define words_try_sheet_less                                                                       \
    US_UK("The sheet says up to %s for the first capacitor%s, a stand-in for the peak current; "   \
          "here the peak current itself allows less.",                                             \
          "The sheet says up to %s for the reservoir%s, a stand-in for the peak current; here "    \
          "the peak current itself allows less.")
/* ohms of the sheet, ohms there, a resistor */
#define words_try_asks_more                                                                        \
    US_UK("It asks for at least %s before each plate with that; there are only %s: a resistor of " \
          "%s or more in each plate's lead makes it up.",                                          \
          "It asks for at least %s before each anode with that; there are only %s: a resistor of " \
          "%s or more in each anode's lead makes it up.")
/* ohms of the sheet, ohms there */
#define words_try_asks                                                                             \
    US_UK("It asks for at least %s before each plate with that; there are %s.",                    \
          "It asks for at least %s before each anode with that; there are %s.")
static const char words_try_not_found[] =
    "How large the capacitor may be for %s could not be found.";
static const char words_try_no_rating[] =
    "No rating of %s is known that the capacitor could exceed.";
/* least value, part, rectifier */
static const char words_try_even[] = "Even with %s as %s, %s is over its ratings%s.";
/* part, capacitance, rectifier, share */
static const char words_try_stays[] =
    "%s up to %s stays inside the ratings of %s in this set (proven by a run: %s)%s.";
/* the same */
#define words_try_stays_sheet                                                                      \
    US_UK("%s up to %s stays inside the ratings of %s and its sheet's first capacitor in this "    \
          "set (proven by a run: %s).",                                                            \
          "%s up to %s stays inside the ratings of %s and its sheet's reservoir capacitor in "     \
          "this set "                                                                              \
          "(proven by a run: %s).")
#define words_try_not_looked                                                                       \
    US_UK("The turn-on was not looked at: while the tubes warm up, capacitors and rectifier may "  \
          "see more (--cold looks at it).",                                                        \
          "The turn-on was not looked at: while the valves warm up, capacitors and rectifier may " \
          "see more (--cold looks at it).")
/* a value, rectifier; a measure, share, limit; what is over elsewhere */
static const char words_try_fit[] = "%s fits %s: nearest to its limit is its %s, at %s of %s.%s";
static const char words_try_fit_but[] = " But something else is over its rating, see above.";
/* a value, ohms, rectifier; a measure, share, limit */
#define words_try_fit_with                                                                         \
    US_UK("%s fits only with %s in each plate's lead: without, %s has a %s that is %s of %s.",     \
          "%s fits only with %s in each anode's lead: without, %s has a %s that is %s of %s.")
/* a value, capacitance */
#define words_try_fit_sheet                                                                        \
    US_UK("%s does not fit, because the sheet allows %s for the first capacitor.",                 \
          "%s does not fit, because the sheet allows %s for the reservoir.")
/* a value, rectifier; a measure, share, limit */
static const char words_try_fit_not[] =
    "%s does not fit, because %s then has a %s that is %s of %s.";
/* a value, rectifier; a measure, share, limit; what helps */
static const char words_try_fit_band[] =
    "%s is on the border: %s then has a %s that is %s of %s, a limit that is itself derived and no "
    "better than some 10\x1f%%.%s";
/* ohms */
#define words_try_fit_eased                                                                        \
    US_UK(" With %s in each plate's lead it fits.", " With %s in each anode's lead it fits.")
/* a value, rectifier */
static const char words_try_fit_unknown[] =
    "Nobody can say whether %s fits: no current or voltage rating of %s is known.";
static const char words_try_table[] = "The table:";

#endif
