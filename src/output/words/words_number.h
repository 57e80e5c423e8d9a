/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_NUMBER_H
#define PRESOLDER_WORDS_NUMBER_H

/* 5 -> `five`; n: whole, 1 to 12. */
const char *words_number(double n);

/* 0.1 -> `a tenth`; one of 2, 3, 4, 5 or 10 parts. */
const char *words_number_part(double share);

#endif
