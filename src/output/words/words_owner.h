/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_OWNER_H
#define PRESOLDER_WORDS_OWNER_H

#include "tongue.h"

/* The page that goes back with the set. */

/* title */
static const char words_owner_title[] = "Repair record: %s";
static const char words_owner_ticket[] = "Ticket";
static const char words_owner_date[] = "Date";
static const char words_owner_complaint[] = "Complaint";
static const char words_owner_found[] = "Found";
static const char words_owner_done[] = "Done";
static const char words_owner_work[] = "What was wrong, and what was done";

static const char words_owner_old[] = "Old parts left in";
static const char words_owner_old_none[] = "No old capacitor is known to be left in.";
/* name, make */
static const char words_owner_old_part[] = "%s (%s)";
static const char words_owner_old_note[] =
    "%s. They were made with the set. They work now; nobody can say for how long. Have the set "
    "looked at when it hums, smells or runs hot.";
/* names */
static const char words_owner_age_unknown[] = "Age not known: %s.";

static const char words_owner_readings[] = "Readings";
/* name of the set, date */
static const char words_owner_set_of[] = "%s, %s";
static const char *const words_owner_readings_heads[] = {"reading", "expected", "before", "after"};
static const char words_owner_by_hand[] = "Measured before it went back";
static const char words_owner_by_hand_heads_what[] = "measured";
static const char words_owner_by_hand_heads_value[] = "value";
/* of a set with a plug, of any */
static const struct tongue words_owner_measured_plug[] = {
    EITHER("touch current, exposed metal to earth, plug one way"),
    EITHER("touch current, plug the other way"),
    US_UK_ROW("insulation, both line leads to exposed metal (how many volts)",
              "insulation, both mains leads to exposed metal (how many volts)")};
static const char *const words_owner_measured[] = {"can temperature after an hour",
                                                   "hours on the bench without a fault"};
static const char words_owner_bill_heading[] = "Bill";
static const char *const words_owner_bill[] = {"hours of work", "parts", "total"};

static const char words_owner_no_certificate[] =
    "This is no safety certificate. It says what was read on that day. The set was made to the "
    "rules of its time, not to today's.";
static const char words_owner_cautions[] =
    "Use it attended, on a surface that does not burn. Switch off and pull the plug at smoke, "
    "smell "
    "or loud hum. Do not open it: it holds a lethal charge with the plug out.";
static const char words_owner_hot_chassis[] = "Its chassis may be live: no metal part of it may be "
                                              "touched, and nothing else connected to it.";
/* version, file */
static const char words_owner_made[] = "Expected values: presolder %s, from `%s`; whole set warm.";
static const char words_owner_file[] = "The page for the owner is in %s.\n";

#endif
