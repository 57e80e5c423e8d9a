/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_TRY_H
#define PRESOLDER_WORDS_TRY_H

/* One or two values over a list or range. */

/* how many, of what */
static const char words_try_head[] = "%d value%s of %s%s%s.";
static const char words_try_head_many[] = "s";
static const char words_try_head_and[] = " and ";
static const char words_try_cold[] = "Each run begins cold and is as long as the scenario says; "
                                     "besides, short hot restarts at crest and zero.";
static const char words_try_hot[] =
    "Each run begins hot, with warm cathodes and empty capacitors, closed at the crest, and after "
    "its first pulses goes straight to where it settles, heaters with it: what warming up does is "
    "not in it (--cold tells). Besides, a hot restart closed at zero.";
static const char words_try_nearest[] = "nearest to its limit";
/* per cent */
static const char words_try_marks[] =
    "! over its rating, ^ over %.0f %% of it. Of two plates or halves the worse one.";
/* how many shown, of how many, the file */
static const char words_try_first_rows[] = "The first %d rows; all %d are in %s.";
static const char words_try_unsettled[] =
    "* had not settled: the mean of the last cycles (a longer run tells: --for 60s).";
static const char words_try_audit[] = "THE AUDIT OF %d RUN%s FAILED: do not rely on their figures.";
static const char words_try_audit_many[] = "S";
/* what stands before; figure, value, share of its limit */
static const char words_try_over[] = "%s%s%s (%s, %s of its limit)";
static const char words_try_none_over[] = "Nothing is over its rating at any of these values.";
/* values */
static const char words_try_something_over[] = "Something is over its rating at %s%s.";
static const char words_try_more[] = "; and %d more";
/* values */
static const char words_try_inside[] = "Everything is inside its rating at %s%s.";
static const char words_try_never_inside[] = "At no value everything is inside its rating.";
/* a value */
static const char words_try_as_far[] = ", the largest tried,";
static const char words_try_hot_restart_peak[] = "peak at a hot restart";
/* a figure, share of its limit */
static const char words_try_share[] = "its %s then uses %s of the limit";
/* ohms */
static const char words_try_no_value[] = "; with %s per plate no value does";
/* ohms, capacitance, share */
static const char words_try_up_to[] = "; with %s per plate up to %s (%s)";
/* ohms */
static const char words_try_of_which[] = ", of which %s are there already";
/* capacitance, whose */
static const char words_try_sheet_alone[] =
    "The sheet says up to %s for the first capacitor%s; no rating of its peaks is known.";
/* capacitance, whose; what the peak allows, how sure; share; with resistors */
static const char words_try_sheet_more[] =
    "The sheet says up to %s for the first capacitor%s, a stand-in for the peak current; the peak "
    "current itself would allow %s (%sproven by a run: %s)%s. A larger one is charged over many "
    "cycles, each with a peak near the first.";
static const char words_try_not_more[] = "no more was tried; ";
static const char words_try_sheet_less[] =
    "The sheet says up to %s for the first capacitor%s, a stand-in for the peak current; here the "
    "peak current itself allows less.";
/* ohms of the sheet, ohms there, a resistor */
static const char words_try_asks_more[] =
    "It asks for at least %s before each plate with that; there are only %s: a resistor of %s or "
    "more in each plate's lead makes it up.";
/* ohms of the sheet, ohms there */
static const char words_try_asks[] =
    "It asks for at least %s before each plate with that; there are %s.";
static const char words_try_not_found[] =
    "How large the capacitor may be for %s could not be found.";
static const char words_try_no_rating[] =
    "No rating of %s is known that the capacitor could exceed.";
/* least value, part, rectifier */
static const char words_try_even[] = "Even with %s as %s, %s is over its ratings%s.";
/* part, capacitance, rectifier, share */
static const char words_try_stays[] =
    "%s up to %s stays inside the ratings of %s with this transformer (proven by a run: %s)%s.";
/* the same */
static const char words_try_stays_sheet[] =
    "%s up to %s stays inside the ratings of %s and its sheet's first capacitor with this "
    "transformer (proven by a run: %s).";
static const char words_try_table[] = "The table:";

#endif
