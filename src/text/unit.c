/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One table of names. A name is tried as it stands, behind one of its prefix letters, and, where
 * case does not count, behind a prefix word (`micro`, `kilo`). Prefix letters are listed row by
 * row, so that nonsense such as megaamperes or millifarads is not read but explained. Prefixes are
 * powers of ten, kept as exponents until the number is made. */
#include "unit_impl.h"

#include <stdio.h>
#include <string.h>

#include "hint.h"
#include "numbers.h"
#include "utf8.h"

/* [kg], exact: international yard and pound agreement of 1959 */
static const double POUND = 0.45359237;

struct unit_name {
    const char *name;
    enum unit unit;
    int exponent;         /* of ten, of the bare name */
    double factor;        /* 0 stands for 1 */
    const char *prefixes; /* letters that may stand before it; NULL none */
    bool any_case;        /* also takes prefix words */
};

static const struct unit_name names[] = {
    {"V", UNIT_VOLT, 0, 0, "umkK", false},
    {"v", UNIT_VOLT, 0, 0, "umk", false},
    {"volt", UNIT_VOLT, 0, 0, NULL, true},
    {"volts", UNIT_VOLT, 0, 0, NULL, true},
    {"vac", UNIT_VOLT, 0, 0, "mk", true},
    {"vdc", UNIT_VOLT, 0, 0, "mk", true},
    {"vrms", UNIT_VOLT, 0, 0, "mk", true},
    {"A", UNIT_AMPERE, 0, 0, "pnumk", false},
    {"a", UNIT_AMPERE, 0, 0, "um", false},
    {"amp", UNIT_AMPERE, 0, 0, "um", true},
    {"amps", UNIT_AMPERE, 0, 0, "um", true},
    {"ampere", UNIT_AMPERE, 0, 0, NULL, true},
    {"amperes", UNIT_AMPERE, 0, 0, NULL, true},
    {"ohm", UNIT_OHM, 0, 0, "umkKMG", true},
    {"ohms", UNIT_OHM, 0, 0, "umkKMG", true},
    {"F", UNIT_FARAD, 0, 0, "pPnNuU", false},
    {"f", UNIT_FARAD, 0, 0, "pnu", false},
    {"farad", UNIT_FARAD, 0, 0, NULL, true},
    {"farads", UNIT_FARAD, 0, 0, NULL, true},
    {"mfd", UNIT_FARAD, -6, 0, NULL, true},
    {"ufd", UNIT_FARAD, -6, 0, NULL, true},
    {"mmf", UNIT_FARAD, -12, 0, NULL, true},
    {"mmfd", UNIT_FARAD, -12, 0, NULL, true},
    {"uuf", UNIT_FARAD, -12, 0, NULL, true},
    {"uufd", UNIT_FARAD, -12, 0, NULL, true},
    {"H", UNIT_HENRY, 0, 0, "num", false},
    {"mh", UNIT_HENRY, -3, 0, NULL, false},
    {"uh", UNIT_HENRY, -6, 0, NULL, false},
    {"henry", UNIT_HENRY, 0, 0, NULL, true},
    {"henrys", UNIT_HENRY, 0, 0, NULL, true},
    {"henries", UNIT_HENRY, 0, 0, NULL, true},
    {"W", UNIT_WATT, 0, 0, "umkK", false},
    {"w", UNIT_WATT, 0, 0, "m", false},
    {"VA", UNIT_WATT, 0, 0, "kK", false},
    {"watt", UNIT_WATT, 0, 0, NULL, true},
    {"watts", UNIT_WATT, 0, 0, NULL, true},
    {"Hz", UNIT_HERTZ, 0, 0, "mkKMG", false},
    {"hz", UNIT_HERTZ, 0, 0, "kKM", false},
    {"HZ", UNIT_HERTZ, 0, 0, "kKM", false},
    {"hertz", UNIT_HERTZ, 0, 0, NULL, true},
    {"c/s", UNIT_HERTZ, 0, 0, "kKM", true},
    {"cps", UNIT_HERTZ, 0, 0, NULL, true},
    {"c.p.s.", UNIT_HERTZ, 0, 0, NULL, true},
    {"~", UNIT_HERTZ, 0, 0, NULL, false},
    {"cycle", UNIT_HERTZ, 0, 0, NULL, true},
    {"cycles", UNIT_HERTZ, 0, 0, NULL, true},
    {"kc", UNIT_HERTZ, 3, 0, NULL, true},
    {"s", UNIT_SECOND, 0, 0, "num", false},
    {"sec", UNIT_SECOND, 0, 0, "um", true},
    {"secs", UNIT_SECOND, 0, 0, NULL, true},
    {"second", UNIT_SECOND, 0, 0, NULL, true},
    {"seconds", UNIT_SECOND, 0, 0, NULL, true},
    {"min", UNIT_SECOND, 0, 60, NULL, true},
    {"mins", UNIT_SECOND, 0, 60, NULL, true},
    {"minute", UNIT_SECOND, 0, 60, NULL, true},
    {"minutes", UNIT_SECOND, 0, 60, NULL, true},
    {"h", UNIT_SECOND, 0, 3600, NULL, false},
    {"hr", UNIT_SECOND, 0, 3600, NULL, true},
    {"hrs", UNIT_SECOND, 0, 3600, NULL, true},
    {"hour", UNIT_SECOND, 0, 3600, NULL, true},
    {"hours", UNIT_SECOND, 0, 3600, NULL, true},
    {"C", UNIT_CELSIUS, 0, 0, NULL, false},
    {"degC", UNIT_CELSIUS, 0, 0, NULL, true},
    {"celsius", UNIT_CELSIUS, 0, 0, NULL, true},
    {"J", UNIT_JOULE, 0, 0, "umkK", false},
    {"Ws", UNIT_JOULE, 0, 0, NULL, false},
    {"joule", UNIT_JOULE, 0, 0, NULL, true},
    {"joules", UNIT_JOULE, 0, 0, NULL, true},
    {"g", UNIT_KILOGRAM, -3, 0, "mkK", false},
    {"gram", UNIT_KILOGRAM, -3, 0, NULL, true},
    {"grams", UNIT_KILOGRAM, -3, 0, NULL, true},
    {"lb", UNIT_KILOGRAM, 0, POUND, NULL, true},
    {"lbs", UNIT_KILOGRAM, 0, POUND, NULL, true},
    {"pound", UNIT_KILOGRAM, 0, POUND, NULL, true},
    {"pounds", UNIT_KILOGRAM, 0, POUND, NULL, true},
    {"A/V^1.5", UNIT_PERVEANCE, 0, 0, "um", false},
    {"A/V^3/2", UNIT_PERVEANCE, 0, 0, "um", false},
    {"A/V^(3/2)", UNIT_PERVEANCE, 0, 0, "um", false},
    {"A/V1.5", UNIT_PERVEANCE, 0, 0, "um", false},
    {"perv", UNIT_PERVEANCE, 0, 0, "um", true},
    {"A2s", UNIT_I2T, 0, 0, NULL, false},
    {"A^2s", UNIT_I2T, 0, 0, NULL, false},
    {"deg", UNIT_DEGREE, 0, PI / 180, NULL, true},
    {"degree", UNIT_DEGREE, 0, PI / 180, NULL, true},
    {"degrees", UNIT_DEGREE, 0, PI / 180, NULL, true},
    {"%", UNIT_PERCENT, -2, 0, NULL, false},
    {"percent", UNIT_PERCENT, -2, 0, NULL, true},
    {"K/W", UNIT_KELVIN_PER_WATT, 0, 0, NULL, false},
    {"C/W", UNIT_KELVIN_PER_WATT, 0, 0, NULL, false},
    {"degC/W", UNIT_KELVIN_PER_WATT, 0, 0, NULL, true},
    {"J/K", UNIT_JOULE_PER_KELVIN, 0, 0, "mk", false},
    {"J/C", UNIT_JOULE_PER_KELVIN, 0, 0, "mk", false},
    {"J/degC", UNIT_JOULE_PER_KELVIN, 0, 0, "mk", false},
};

enum { NAMES = sizeof names / sizeof names[0], WORD_ROOM = 48 };

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_start(const char *a, const char *b, size_t n)
{
    size_t i = 0;
    while (i < n && a[i] && lower(a[i]) == lower(b[i])) i++;
    return i == n;
}

bool unit_same(const char *a, const char *b)
{
    return same_start(a, b, strlen(b)) && !a[strlen(b)];
}

const char *unit_clip(const char *text, char *out, size_t room)
{
    size_t n = strlen(text);
    if (n >= room) {
        n = room - 1;
        while (n > 0 && !utf8_begins(text[n])) n--;
    }
    memcpy(out, text, n);
    out[n] = 0;
    return out;
}

static int letter_exponent(char letter)
{
    switch (letter) {
    case 'p':
    case 'P': return -12;
    case 'n':
    case 'N': return -9;
    case 'u':
    case 'U': return -6;
    case 'm': return -3;
    case 'k':
    case 'K': return 3;
    case 'M': return 6;
    default: return 9; /* G; the table holds no others */
    }
}

static const struct {
    const char *word;
    int exponent;
} prefix_words[] = {{"micromicro", -12}, {"pico", -12}, {"nano", -9}, {"micro", -6}, {"milli", -3},
                    {"kil", 3},          {"kilo", 3},   {"meg", 6},   {"mega", 6}};

static bool is_name(const struct unit_name *name, const char *word)
{
    return name->any_case ? unit_same(word, name->name) : strcmp(word, name->name) == 0;
}

/* Whether `word` is the name with a prefix or without; its power of ten. */
static bool match_name(const struct unit_name *name, const char *word, int *exponent)
{
    *exponent = name->exponent;
    if (is_name(name, word)) return true;
    if (name->prefixes && word[0] && strchr(name->prefixes, word[0]) && is_name(name, word + 1)) {
        *exponent += letter_exponent(word[0]);
        return true;
    }
    if (!name->any_case) return false;
    for (size_t i = 0; i < sizeof prefix_words / sizeof prefix_words[0]; i++) {
        size_t n = strlen(prefix_words[i].word);
        if (!same_start(word, prefix_words[i].word, n) || !is_name(name, word + n)) continue;
        *exponent += prefix_words[i].exponent;
        return name->unit != UNIT_FARAD || prefix_words[i].exponent < -3;
    }
    return false;
}

static bool find_exactly(const char *word, struct unit_match *match)
{
    for (int i = 0; i < NAMES; i++) {
        int exponent;
        if (!match_name(&names[i], word, &exponent)) continue;
        double factor = names[i].factor > 0 ? names[i].factor : 1;
        double offset = names[i].unit == UNIT_CELSIUS ? ZERO_CELSIUS : 0;
        *match = (struct unit_match){names[i].unit, exponent, factor, offset};
        return true;
    }
    return false;
}

bool unit_find(const char *word, struct unit_match *match)
{
    char bare[WORD_ROOM];
    size_t n = strlen(word);
    if (n == 0 || n >= sizeof bare) return false;
    if (find_exactly(word, match)) return true;
    if (word[n - 1] != '.') return false; /* `mfd.`, an abbreviation with its stop */
    unit_clip(word, bare, n);
    return find_exactly(bare, match);
}

/* ---- what to say when it is none ---- */

static bool complain_millifarad(const char *number, const char *word, struct complaint *why)
{
    static const char *const spellings[] = {"mf", "mf.", "millifarad", "millifarads"};
    bool found = false;
    for (int i = 0; i < 4; i++) found = found || unit_same(word, spellings[i]);
    if (!found) return false;
    snprintf(why->message, sizeof why->message, "`%s %s` can be read in two ways", number, word);
    snprintf(why->hint, sizeof why->hint, "old drawings mean microfarad: write %s uF", number);
    return true;
}

/* `64 MA` on an old drawing is 64 mA, by the rules of SI a million times a million more. */
static bool complain_capital(const char *number, const char *word, struct complaint *why)
{
    char small[WORD_ROOM];
    struct unit_match match;
    if (word[0] != 'M') return false;
    snprintf(small, sizeof small, "m%s", word + 1);
    if (!unit_find(small, &match) || match.unit == UNIT_KILOGRAM) return false;
    snprintf(why->message, sizeof why->message, "`%s %s` would be millions of %s", number, word,
             quantity_kind(match.unit));
    snprintf(why->hint, sizeof why->hint, "old drawings mean a thousandth: write %s m%s", number,
             quantity_symbol(match.unit));
    return true;
}

/* What a lone prefix most likely stands for; also the letters used as decimal point (1k5, 4R7). */
static const struct {
    const char *letters, *unit;
    bool alone;
} shorthands[] = {{"k", "kohm", true},   {"K", "kohm", true}, {"M", "Mohm", true},
                  {"meg", "Mohm", true}, {"R", "ohm", true},  {"r", "ohm", false},
                  {"u", "uF", true},     {"n", "nF", true},   {"p", "pF", true},
                  {"m", "mA", true},     {"V", "V", false},   {"H", "H", false}};

static bool complain_shorthand(const char *number, const char *word, struct complaint *why)
{
    for (size_t i = 0; i < sizeof shorthands / sizeof shorthands[0]; i++) {
        size_t n = strlen(shorthands[i].letters);
        if (n == 3 ? !same_start(word, "meg", 3) : word[0] != shorthands[i].letters[0]) continue;
        const char *digits = word + n;
        if (!*digits && shorthands[i].alone) {
            snprintf(why->message, sizeof why->message, "`%s` is no whole unit", word);
            snprintf(why->hint, sizeof why->hint, "write %s %s", number, shorthands[i].unit);
            return true;
        }
        if (!*digits || digits[strspn(digits, "0123456789")] || strchr(number, '.')) continue;
        snprintf(why->message, sizeof why->message,
                 "`%s%s` has a letter in place of the decimal point", number, word);
        snprintf(why->hint, sizeof why->hint, "write %s.%s %s", number, digits, shorthands[i].unit);
        return true;
    }
    return false;
}

static bool complain_other_scale(const char *word, struct complaint *why)
{
    if (!unit_same(word, "degF") && !unit_same(word, "fahrenheit")) return false;
    snprintf(why->message, sizeof why->message, "temperatures are read in degrees Celsius");
    snprintf(why->hint, sizeof why->hint, "take 32 off, times 5/9: 77 degrees Fahrenheit are 25 C");
    return true;
}

void unit_complain(const char *number, const char *word, struct complaint *why)
{
    static const char *const usual[] = {
        "uF",      "pF",      "nF",          "V",          "mV",
        "kV",      "mA",      "A",           "uA",         "ohm",
        "kohm",    "Mohm",    "H",           "mH",         "uH",
        "W",       "mW",      "kW",          "Hz",         "kHz",
        "MHz",     "ms",      "us",          "min",        "s",
        "h",       "C",       "degC",        "J",          "kg",
        "g",       "lb",      "%",           "deg",        "A2s",
        "K/W",     "J/K",     "mA/V^1.5",    "mfd",        "mmfd",
        "cps",     "cycles",  "volts",       "ohms",       "amperes",
        "farads",  "henries", "watts",       "hertz",      "seconds",
        "minutes", "hours",   "microfarads", "picofarads", "milliamperes",
        "kilohms", "megohms", "degrees",     "percent"};
    char figure[32], name[40];
    unit_clip(number, figure, sizeof figure);
    unit_clip(word, name, sizeof name);
    if (complain_millifarad(figure, name, why) || complain_capital(figure, name, why) ||
        complain_shorthand(figure, name, why) || complain_other_scale(name, why))
        return;
    snprintf(why->message, sizeof why->message, "unknown unit `%s` behind `%s`", name, figure);
    const char *nearest = hint_nearest(name, usual, sizeof usual / sizeof usual[0]);
    if (nearest) snprintf(why->hint, sizeof why->hint, "perhaps `%s %s` is meant", figure, nearest);
    else
        snprintf(why->hint, sizeof why->hint,
                 "units are V A ohm F H W Hz s min h C J kg deg %%, with p u m k M before them");
}
