/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_RUN_H
#define PRESOLDER_WORDS_RUN_H

#include "tongue.h"

/* The run itself, and what is wrong with it. */

/* seconds, of seconds */
static const char words_run_interrupted[] =
    "INTERRUPTED at %.3g s of %.3g s: figures are of that part";
/* seconds, cold or hot; volts, frequency, share */
static const char words_run_vibrator[] = "%s from %s; vibrator on %s, %s, closed %s of the time.";
/* seconds, cold or hot; volts, frequency, angle */
static const char words_run_mains[] = "%s from %s; mains %s, %s, switched on at %s%s.";
static const char words_run_worst[] = " (worst case)";
/* seconds, cold or hot */
static const char words_run_batteries[] = "%s from %s.";
/* a time, the change */
static const char words_run_change[] = "At %s: %s.";
static const char words_run_a_change[] = "a change";
/* per cent of the cycles; of a range */
static const char words_run_leaps[] =
    "%.0f %% of the cycles were skipped to save time, none off by more than %.2g %%.";
/* which; residuals of energy and charge, where; what is allowed */
static const char words_run_audit[] =
    "THE AUDIT OF %s FAILED: energy does not balance to %.1e, charge to %.1e%s%s (%.1e is "
    "allowed). Trust no figure below.";
static const char words_run_audit_at[] = " at ";
/* why */
static const char words_run_failed[] = "THE SOLUTION FAILED: %s. The figures end there.";
static const char words_run_the_run[] = "THE RUN";
/* why */
static const char words_run_restart_failed[] =
    "THE HOT RESTART FAILED: %s. Its peaks are not to be relied on.";
static const char words_run_the_restart[] = "THE HOT RESTART";
/* joules */
static const char words_run_never_empty_brief[] =
    "Unplugged is not dead: the set keeps its %s for hours, or for good.";
/* joules, names */
#define words_run_never_empty                                                                      \
    US_UK("The capacitors hold %s, and with cold tubes nothing you typed in discharges %s: the "   \
          "charge stays for hours, or for good.",                                                  \
          "The capacitors hold %s, and with cold valves nothing you typed in discharges %s: the "  \
          "charge stays for hours, or for good.")
/* joules, time, volts */
static const char words_run_empty_brief[] = "Unplugged is not dead: the set holds %s and takes "
                                            "%s to "
                                            "fall to %.0f V.";
/* joules, time, volts */
#define words_run_empty                                                                            \
    US_UK("The capacitors hold %s. With cold tubes they take %s to fall to %.0f V, if the parts "  \
          "that discharge them are sound.",                                                        \
          "The capacitors hold %s. With cold valves they take %s to fall to %.0f V, if the parts " \
          "that discharge them are sound.")

/* Tolerance of the run that is shown. */
static const char words_run_repeated[] =
    "The run did not balance at first and was made again with smaller steps (tolerance %.0e).";

#endif
