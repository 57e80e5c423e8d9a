/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DECIMAL_H
#define PRESOLDER_DECIMAL_H

/* Room for the longest text with its final 0. */
enum { DECIMAL_BYTES = 32 };

/* Writes `value` with 9 significant digits, byte for byte as printf's "%.9g" does in the C locale
 * (and in no other), and returns the number of bytes without the final 0. Infinities become `inf`
 * and `-inf`, what is not a number `nan` whatever its sign. */
int decimal_format(char text[DECIMAL_BYTES], double value);

#endif
