/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_MARGINS_H
#define PRESOLDER_WORDS_MARGINS_H

#include "tongue.h"

/* The table of the margins. */

static const char words_margins_all_figures[] = "  All figures:";
/* share */
static const char words_margins_inside[] = "at most %s";
static const char words_margins_over[] = "%d of them over";
static const char words_margins_least[] = "under 1\x1f%";
/* how many, how far */
static const char words_margins_more[] = "  and %d more, %s";
static const char words_margins_restart[] = "restart";
static const char words_margins_restart_note[] =
    "restart: a hot restart, when the mains come back while the cathodes are hot";
static const char words_margins_warm[] = "warm";
static const char words_margins_warm_note[] =
    "warm: after hours, when coils, transformer and cans are as warm as they get";
static const char words_margins_temperature[] =
    "Per cent of a temperature means per cent of the allowed rise over the room.";
#define words_margins_stand_ins                                                                    \
    US_UK("The data sheet gives supply impedance and first capacitor in place of a peak-current "  \
          "rating. Where they disagree with the peak, go by the peak.",                            \
          "The data sheet gives supply impedance and reservoir capacitor in place of a "           \
          "peak-current "                                                                          \
          "rating. Where they disagree with the peak, go by the peak.")
static const char words_margins_heading[] = "Margins, the worst first";
static const char words_margins_no_rating[] = "No rating is known, so nothing could be judged.";
/* heads of the columns */
static const char words_margins_part[] = "part";
static const char words_margins_what[] = "what";
static const char words_margins_value[] = "value";
static const char words_margins_limit[] = "limit";
static const char words_margins_used[] = "used";
static const char words_margins_when[] = "when";

#endif
