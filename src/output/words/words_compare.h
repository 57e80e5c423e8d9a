/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_COMPARE_H
#define PRESOLDER_WORDS_COMPARE_H

#include "tongue.h"

/* Variants side by side. */

static const char words_compare_restart_peak[] = "hot restart peak";
/* a figure */
static const char words_compare_restart[] = "%s, hot restart";
/* beside the current of a whole tube: that of one diode, or the other way round */
static const char words_compare_each[] = " (*)";
/* a figure, its limit */
static const char words_compare_of[] = "%s of %s%s";
static const char words_compare_at_least[] = "at least ";
/* a figure, its value, the other's */
static const char words_compare_instead[] = "%s %s instead of %s";
/* the figures before */
static const char words_compare_more[] = "%s; and %d more in the table";
/* a time */
static const char words_compare_at[] = " at %s";
/* a winding, amperes, those before */
#define words_compare_winding                                                                      \
    US_UK("Look at it: %s carries %s instead of %s, and no rating of it is known. A winding is "   \
          "made for the tubes the set left the factory with (common practice, no source); "        \
          "`rated:` with the winding has it judged.",                                              \
          "Look at it: %s carries %s instead of %s, and no rating of it is known. A winding is "   \
          "made for the valves the set left the factory with (common practice, no source); "       \
          "`rated:` with the winding has it judged.")
/* the same */
static const char words_compare_relieved[] =
    "%s is relieved: %s instead of %s; the other heaters on that transformer rise a little.";
/* why */
static const char words_compare_dead[] = "Dead: %s. What counts is what came before.";
static const char words_compare_nothing_in[] = "nothing comes in at the end";
/* two columns */
static const char words_compare_beside[] = "%s, beside %s";
static const char words_compare_better[] = "Better";
static const char words_compare_worse[] = "Worse";
static const char words_compare_over_now[] = "Over its rating now";
static const char words_compare_over_still[] = "Over, and no better or worse there";
static const char words_compare_nothing[] =
    "Nothing that counts changes, and nothing is over its rating.";
static const char words_compare_worse_than_built[] = "Worse than as built";
static const char words_compare_over_sheet[] = "Over the sheet, but no worse than as built";
/* a column; a figure, its value and limit */
static const char words_compare_fit_not[] = "`%s` does not fit, because %s is %s.";
/* a column, ohms; a figure, its value and limit */
#define words_compare_fit_with                                                                     \
    US_UK("`%s` fits only with %s in each plate lead: without, %s is %s.",                         \
          "`%s` fits only with %s in each anode lead: without, %s is %s.")
/* the same of what stands in for the peak current */
static const char words_compare_fit_sheet[] =
    "`%s` goes beyond the data sheet (%s %s), but no peak current is over its rating.";
/* a column, the first; a figure */
static const char words_compare_fit_as_before[] =
    "`%s` fits no worse than `%s`: %s is over its rating in both.";
/* a column */
static const char words_compare_fit[] = "`%s` fits: no known rating is exceeded.";
static const char words_compare_fit_hot[] =
    "A hot run does not look at the turn-on: run it from cold before you solder.";
/* columns */
static const char words_compare_missing[] =
    "INTERRUPTED: these columns were not finished and are left out: %s";
static const char words_compare_one_column[] = "One column:";
static const char words_compare_columns[] = "%d columns side by side: each";
/* columns, seconds, hot or cold */
static const char words_compare_head[] =
    "%s a turn-on of %s from %s with its hot restart, for what is highest; %s";
static const char words_compare_warm[] =
    "voltages, ripple, RMS, running peaks and watts are those of the warm set, after hours.";
static const char words_compare_not_warm[] =
    "voltages, ripple, RMS, running peaks and watts are those of the warm set, after hours, or of "
    "the end of the run where no warm state was found.";
/* per cent, the first column */
#define words_compare_marks                                                                        \
    US_UK("! over its rating, ^ over %.0f %% of it; after it the difference from %s. ~ depends "   \
          "on a guess. Of two plates or halves the worse one.%s",                                  \
          "! over its rating, ^ over %.0f %% of it; after it the difference from %s. ~ depends "   \
          "on a guess. Of two anodes or halves the worse one.%s")
#define words_compare_each_note                                                                    \
    US_UK(" (*) not comparable: one is of the whole tube, the other of each diode.",               \
          " (*) not comparable: one is of the whole valve, the other of each diode.")
/* columns */
static const char words_compare_unsettled[] =
    "Not settled by the end; run longer for final voltages (--for 60s): %s.";
/* a column */
static const char words_compare_audit[] = "THE AUDIT OF %s FAILED. Trust none of its figures.";
/* a column */
static const char words_compare_over_in[] = "Over its rating in %s";

#endif
