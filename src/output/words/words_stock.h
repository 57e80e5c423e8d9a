/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_STOCK_H
#define PRESOLDER_WORDS_STOCK_H

#include "tongue.h"

/* What is in the drawer, and what is left to order. */

/* the file */
static const char words_stock_heading[] = "In the drawer (%s), and to order";
static const char *const words_stock_heads[6] = {"part",   "what",  "pieces",
                                                 "drawer", "order", "  price"};
/* value, rating, kind */
static const char words_stock_what[] = "%s%s%s %s";
static const char words_stock_kept[] = "keep";
static const char words_stock_total[] = "total";
static const char words_stock_blank[] = "  ________";
/* per cent */
#define words_stock_note                                                                           \
    US_UK("From the drawer: capacitors from the value drawn up to the one to buy, of at least "    \
          "its voltage; resistors within %.0f\x1f%% of at least the watts; the same type of tube " \
          "or diode. Check what has lain there for years before you fit it. `keep`: what is "      \
          "fitted may stay.",                                                                      \
          "From the drawer: capacitors from the value drawn up to the one to buy, of at least "    \
          "its voltage; resistors within %.0f\x1f%% of at least the watts; the same type of "      \
          "valve or diode. Check what has lain there for years before you fit it. `keep`: what "   \
          "is fitted may stay.")

#endif
