/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_number.h"

#include <assert.h>
#include <math.h>

const char *words_number(double n)
{
    static const char *const words[] = {"one",   "two",   "three", "four", "five",   "six",
                                        "seven", "eight", "nine",  "ten",  "eleven", "twelve"};
    assert(n == (int)n && n >= 1 && n <= sizeof words / sizeof words[0]);
    return words[(int)n - 1];
}

const char *words_number_part(double share)
{
    static const char *const words[] = {
        [2] = "half", [3] = "a third", [4] = "a quarter", [5] = "a fifth", [10] = "a tenth"};
    double parts = round(1 / share);
    assert(parts >= 2 && parts <= 10 && words[(int)parts]);
    return words[(int)parts];
}
