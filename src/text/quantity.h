/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_QUANTITY_H
#define PRESOLDER_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

/* The only module that knows prefixes and units. Everything else is SI and double. */

enum unit {
    UNIT_NUMBER,          /* no unit */
    UNIT_VOLT,            /* V */
    UNIT_AMPERE,          /* A */
    UNIT_OHM,             /* ohm */
    UNIT_FARAD,           /* F */
    UNIT_HENRY,           /* H */
    UNIT_WATT,            /* W */
    UNIT_HERTZ,           /* Hz, c/s, cps */
    UNIT_SECOND,          /* s, ms, us, min, h */
    UNIT_CELSIUS,         /* C or degC in text; kelvin inside */
    UNIT_JOULE,           /* J */
    UNIT_KILOGRAM,        /* kg, g, lb */
    UNIT_PERVEANCE,       /* A/V^1.5, with prefixes: mA/V^1.5 */
    UNIT_I2T,             /* A2s */
    UNIT_DEGREE,          /* deg in text; radian inside */
    UNIT_PERCENT,         /* % in text; fraction inside */
    UNIT_KELVIN_PER_WATT, /* K/W */
    UNIT_JOULE_PER_KELVIN /* J/K */
};

#define ZERO_CELSIUS 273.15 /* [K] */

enum { QUANTITY_TOKENS = 12, QUANTITY_WORD = 32 };

/* One piece of a phrase such as `25 mA at 330 V` (value, word, value) or `1500 ohm cold` (value,
 * word). */
struct token {
    bool is_word;
    char word[QUANTITY_WORD]; /* when is_word; lower case is kept as written */
    double value;             /* SI, when not is_word */
    enum unit unit;
};

/* Why a text could not be read: a sentence and a hint (empty text when there is none). */
struct complaint {
    char message[160];
    char hint[160];
};

/* Splits `text` into values with units and words; returns how many (at most QUANTITY_TOKENS), or -1
 * with the complaint filled: number without digits, unknown unit (nearest named), `8 MF`/`8 mF`
 * refused with the hint `old drawings mean microfarad: write 8 uF`. Old units are read: mfd, mmf,
 * mmfd, cps, cycles. A comma inside a number is refused with a hint. Infinities and NaN are
 * refused. A tolerance behind the value is passed over (tolerance.h) but must be one. A plain
 * fraction is a number (`1/2 W`); a comma with a blank behind it parts values. AC,
 * DC and RMS behind volts or amperes are passed over: who must tell them apart looks at the text.
 * Each value is the double nearest to its decimal text, prefix included, under any locale. */
int quantity_scan(const char *text, struct token tokens[QUANTITY_TOKENS], struct complaint *why);

/* One value of the wanted unit. False with the complaint filled when the unit is missing (hint
 * gives an example), of another kind (message names both kinds), or anything follows. */
bool quantity_parse(const char *text, enum unit want, double *value, struct complaint *why);

/* The value in the trade's usual form with `digits` (1..15) significant digits, trailing zeros
 * dropped: `47 uF`, `1.5 kohm`, `64.2 mA`, `455 V`, `3.2 s`. Engineering prefixes; capacitances in
 * pF below 0.001 uF, never in nF; volts to 10 kV without prefix; time above 120 s in min, above
 * 120 min in h. inf gives `unlimited`, NaN `unknown`. What it writes of a finite value,
 * quantity_parse reads. Writes at most `room` bytes with the final 0 and returns `out`. */
const char *quantity_text(double value, enum unit unit, int digits, char *out, size_t room);

/* The SI symbol of the value inside, as it stands in figures.csv: "V", "A", "ohm", "K" for
 * temperatures, "" for numbers and fractions; and the unit in words, plural ("volts"). */
const char *quantity_symbol(enum unit unit);
const char *quantity_kind(enum unit unit);

#endif
