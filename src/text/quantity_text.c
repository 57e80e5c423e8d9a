/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value is first rounded to its decimal digits, then a prefix is chosen by the power of ten of
 * what was rounded, so 999.9 mA with three digits becomes 1 A. The digits are taken from printf's
 * exponent form and the point is set here, so no locale's decimal point comes into it. */
#include "unit_impl.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "numbers.h"

enum { DIGITS_MOST = 15, SCALES_MOST = 4, LOWEST = -1000 };
/* With more zeros behind the point or places before it than these, a power of ten is written. */
enum { ZEROS_MOST = 4, PLACES_MOST = 9 };

/* From 10^from on the value is written in `name`, which is 10^exponent of the unit. */
struct scale {
    int from, exponent;
    const char *name;
};

static const struct unit_words {
    const char *symbol, *kind;        /* in figures.csv; in words */
    const char *usual, *usual_number; /* for hints */
    struct scale scales[SCALES_MOST]; /* rising; name NULL ends them */
} words[] = {
    [UNIT_NUMBER] = {"", "plain numbers", "", "2", {{LOWEST, 0, ""}}},
    [UNIT_VOLT] = {"V",
                   "volts",
                   "V",
                   "255",
                   {{LOWEST, -6, "uV"}, {-3, -3, "mV"}, {-1, 0, "V"}, {4, 3, "kV"}}},
    [UNIT_AMPERE] = {"A", "amperes", "mA", "56", {{LOWEST, -6, "uA"}, {-3, -3, "mA"}, {0, 0, "A"}}},
    [UNIT_OHM] =
        {"ohm", "ohms", "ohm", "1500", {{LOWEST, 0, "ohm"}, {3, 3, "kohm"}, {6, 6, "Mohm"}}},
    [UNIT_FARAD] = {"F", "farads", "uF", "8", {{LOWEST, -12, "pF"}, {-9, -6, "uF"}, {1, 0, "F"}}},
    [UNIT_HENRY] = {"H", "henries", "H", "10", {{LOWEST, -6, "uH"}, {-3, -3, "mH"}, {-1, 0, "H"}}},
    [UNIT_WATT] = {"W", "watts", "W", "60", {{LOWEST, -3, "mW"}, {-1, 0, "W"}, {4, 3, "kW"}}},
    [UNIT_HERTZ] = {"Hz", "hertz", "Hz", "60", {{LOWEST, 0, "Hz"}, {3, 3, "kHz"}, {6, 6, "MHz"}}},
    [UNIT_SECOND] = {"s", "seconds", "s", "30", {{LOWEST, -6, "us"}, {-3, -3, "ms"}, {-1, 0, "s"}}},
    [UNIT_CELSIUS] = {"K", "degrees Celsius", "C", "25", {{LOWEST, 0, "C"}}},
    [UNIT_JOULE] = {"J", "joules", "J", "2.5", {{LOWEST, -3, "mJ"}, {-1, 0, "J"}, {3, 3, "kJ"}}},
    [UNIT_KILOGRAM] = {"kg", "kilograms", "kg", "3.2", {{LOWEST, -3, "g"}, {0, 0, "kg"}}},
    [UNIT_PERVEANCE] =
        {"A/V^1.5", "amperes per volt^1.5", "mA/V^1.5", "0.269", {{LOWEST, -3, "mA/V^1.5"}}},
    [UNIT_I2T] = {"A2s", "ampere-squared seconds", "A2s", "3.7", {{LOWEST, 0, "A2s"}}},
    [UNIT_DEGREE] = {"rad", "degrees of angle", "deg", "90", {{LOWEST, 0, "deg"}}},
    [UNIT_PERCENT] = {"", "per cent", "%", "5", {{LOWEST, 0, "%"}}},
    [UNIT_KELVIN_PER_WATT] = {"K/W", "kelvins per watt", "K/W", "50", {{LOWEST, 0, "K/W"}}},
    [UNIT_JOULE_PER_KELVIN] = {"J/K", "joules per kelvin", "J/K", "12", {{LOWEST, 0, "J/K"}}},
};

static const struct unit_words *of(enum unit unit)
{
    assert((size_t)unit < sizeof words / sizeof words[0]);
    return &words[unit];
}

const char *quantity_symbol(enum unit unit)
{
    return of(unit)->symbol;
}

const char *quantity_kind(enum unit unit)
{
    return of(unit)->kind;
}

const char *unit_usual(enum unit unit)
{
    return of(unit)->usual;
}

const char *unit_usual_number(enum unit unit)
{
    return of(unit)->usual_number;
}

/* |value| = 0.d1 d2 d3 ... * 10^(exponent + 1), trailing zeros dropped. */
struct decimal {
    char digits[DIGITS_MOST + 1];
    int n, exponent;
};

static struct decimal round_decimal(double value, int digits)
{
    struct decimal d = {.n = 0};
    char text[DIGITS_MOST + 32];
    if (digits < 1) digits = 1;
    if (digits > DIGITS_MOST) digits = DIGITS_MOST;
    snprintf(text, sizeof text, "%.*e", digits - 1, fabs(value));
    const char *s = text;
    for (; *s != 'e'; s++)
        if (*s >= '0' && *s <= '9') d.digits[d.n++] = *s;
    d.exponent = (int)strtol(s + 1, NULL, 10);
    while (d.n > 1 && d.digits[d.n - 1] == '0') d.n--;
    return d;
}

static const struct scale *pick_scale(const struct scale scales[SCALES_MOST], int exponent)
{
    const struct scale *best = &scales[0];
    for (int i = 1; i < SCALES_MOST && scales[i].name; i++)
        if (exponent >= scales[i].from) best = &scales[i];
    return best;
}

enum { DIGITS_ROOM = DIGITS_MOST + PLACES_MOST + ZEROS_MOST + 16 };

/* Writes the digits, the point behind the first `places` of them; zeros fill up on either side. */
static void put_fixed(const struct decimal *d, int places, char *out)
{
    if (places <= 0) *out++ = '0', *out++ = '.';
    for (int i = places; i < 0; i++) *out++ = '0';
    for (int i = 0; i < d->n || i < places; i++) {
        if (i == places && i > 0) *out++ = '.';
        *out++ = i < d->n ? d->digits[i] : '0';
    }
    *out = 0;
}

static void put_power(const struct decimal *d, int exponent, char *out)
{
    put_fixed(d, 1, out);
    snprintf(out + strlen(out), 8, "e%d", exponent);
}

/* What is written is not always what is kept; also picks minutes and hours. */
static double written(double value, enum unit unit, const char **name)
{
    switch (unit) {
    case UNIT_CELSIUS: return value - ZERO_CELSIUS;
    case UNIT_DEGREE: return value * 180 / PI;
    case UNIT_PERCENT: return 100 * value;
    case UNIT_SECOND:
        if (fabs(value) > 120 * 60) return *name = "h", value / 3600;
        if (fabs(value) > 120) return *name = "min", value / 60;
        return value;
    default: return value;
    }
}

const char *quantity_text(double value, enum unit unit, int digits, char *out, size_t room)
{
    char number[DIGITS_ROOM];
    const char *name = NULL;
    value = written(value, unit, &name);
    if (!isfinite(value)) {
        const char *sign = value < 0 ? "-" : "";
        snprintf(out, room, "%s%s", sign, isnan(value) ? "unknown" : "unlimited");
        return out;
    }
    struct decimal d = round_decimal(value, digits);
    struct scale scale = {0, 0, name};
    if (!name) scale = *pick_scale(of(unit)->scales, d.exponent);
    int exponent = value == 0 ? 0 : d.exponent - scale.exponent; /* in the unit written */
    if (exponent < -1 - ZEROS_MOST || exponent >= PLACES_MOST) put_power(&d, exponent, number);
    else put_fixed(&d, exponent + 1, number);
    snprintf(out, room, "%s%s%s%s", value < 0 ? "-" : "", number, scale.name[0] ? " " : "",
             scale.name);
    return out;
}
