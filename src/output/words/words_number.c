/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_number.h"

#include <assert.h>

const char *words_number(double n)
{
    static const char *const words[] = {"one",   "two",   "three", "four", "five",   "six",
                                        "seven", "eight", "nine",  "ten",  "eleven", "twelve"};
    assert(n == (int)n && n >= 1 && n <= sizeof words / sizeof words[0]);
    return words[(int)n - 1];
}
