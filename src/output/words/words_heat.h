/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_HEAT_H
#define PRESOLDER_WORDS_HEAT_H

/* Where the heat goes. */

/* a temperature */
static const char words_heat_at_most[] = " (at most %s)";
static const char words_heat_at[] = " (at %s)";
/* a part, amperes, watts; its temperature */
static const char words_heat_share[] = "%s carries %s RMS and dissipates %s%s";
/* parts */
static const char words_heat_side_by_side[] =
    "Side by side: %s. A good one beside a bad one restores the capacitance, not the insulation: "
    "what leaks goes on leaking.";
static const char words_heat_warm[] = "Where the heat goes, in the warm set";
static const char words_heat_heading[] = "Where the heat goes, at the end";

#endif
