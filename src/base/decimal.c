/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The value times a power of ten lies between 1e8 and 1e9, and its nearest integer has the digits.
 * Power and product are each off by half a unit in the last place at most, together by less than
 * 1e9 * 2^-52 = 2.3e-7: where the fraction is nearer to a half than 1e-6, and where there is no
 * power in the table, printf decides. */
#include "decimal.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NEAR_TIE 1e-6

enum { DIGITS = 9, LEAST = -20, MOST = 20 }; /* exponents of ten in reach of the table */

/* 10^(DIGITS - 1 - e), from e = MOST down to LEAST. */
static const double powers[MOST - LEAST + 1] = {
    1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1e0,  1e1,
    1e2,   1e3,   1e4,   1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    1e16,  1e17,  1e18,  1e19, 1e20, 1e21, 1e22, 1e23, 1e24, 1e25, 1e26, 1e27, 1e28};

static int by_printf(char *text, double value)
{
    int n = snprintf(text, DECIMAL_BYTES, "%.*g", DIGITS, value);
    for (char *s = text; *s; s++)
        if (!strchr("0123456789+-einfa", *s)) *s = '.'; /* the decimal sign of some locale */
    return n;
}

/* The digits of a positive value as one integer and the exponent of ten of the first one; 0: not
 * certain or out of reach. */
static uint32_t nine_digits(double value, int *exponent)
{
    int binary;
    frexp(value, &binary);
    int e = (int)floor((binary - 1) * 0.30103); /* the right one or one less */
    if (e < LEAST || e >= MOST) return 0;
    double scaled = value * powers[MOST - e];
    if (scaled >= 1e9) scaled = value * powers[MOST - ++e];
    uint32_t n = (uint32_t)scaled;
    double fraction = scaled - n;
    if (fabs(fraction - 0.5) < NEAR_TIE) return 0;
    if (fraction > 0.5) n++;
    bool carried = n == 1000000000;
    *exponent = e + carried;
    return carried ? 100000000 : n;
}

static char *append(char *s, const char *from, int n)
{
    memcpy(s, from, (size_t)n);
    return s + n;
}

int decimal_format(char text[DECIMAL_BYTES], double value)
{
    if (!isfinite(value)) return by_printf(text, isnan(value) ? (double)NAN : value);
    int e = 0, n = DIGITS;
    uint32_t integer = value != 0 ? nine_digits(fabs(value), &e) : 0;
    if (integer == 0 && value != 0) return by_printf(text, value);
    char digits[DIGITS], *s = text;
    for (int i = DIGITS - 1; i >= 0; i--, integer /= 10) digits[i] = (char)('0' + integer % 10);
    while (n > 1 && digits[n - 1] == '0') n--;
    if (signbit(value)) *s++ = '-';
    bool power = e < -4 || e >= DIGITS;
    int whole = power ? 1 : e + 1; /* digits before the decimal sign */
    if (whole <= 0) {
        s = append(s, "0.000", 2 - whole);
        s = append(s, digits, n);
    } else {
        s = append(s, digits, whole);
        if (n > whole) *s++ = '.';
        if (n > whole) s = append(s, digits + whole, n - whole);
    }
    if (power) {
        *s++ = 'e';
        *s++ = e < 0 ? '-' : '+';
        *s++ = (char)('0' + abs(e) / 10);
        *s++ = (char)('0' + abs(e) % 10);
    }
    *s = 0;
    return (int)(s - text);
}
