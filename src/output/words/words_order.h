/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_ORDER_H
#define PRESOLDER_WORDS_ORDER_H

/* What gives way first. */

/* the change */
static const char words_order_change[] = "change: %s";
/* a part */
static const char words_order_could[] = "%s could %s";
static const char words_order_open[] = "open";
static const char words_order_short[] = "become a short";
static const char words_order_to_the_end[] = ", to the end";
/* seconds */
static const char words_order_for[] = ", for %s";
/* a part, a measure; down or up, value, limit; how long */
static const char words_order_passes[] = "%s %s: %s to %s where %s is allowed%s";
static const char words_order_down[] = "down";
static const char words_order_up[] = "up";
/* a part, a temperature */
static const char words_order_forecast[] = "%s could pass its %s, if nothing changes";
static const char words_order_heading[] = "What gives way first, in order of time";
/* what was passed; the harm */
static const char words_order_passed[] = "%s, and no longer at the end. %s";
static const char words_order_more[] = "and %d more later.";
static const char words_order_nobody[] =
    "What is over its rating could fail at once, in minutes, or not for years: nobody knows.";

#endif
