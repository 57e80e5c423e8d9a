/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text is first made plain (one spelling of micro, ohm, degree, minus and blank), then cut at
 * blanks. A number is kept as its digits without a point and a power of ten; the prefix joins that
 * power and only then strtod rounds, once: `47 uF` is the double nearest to 47e-6, and no locale's
 * decimal point comes into it. */
#include "quantity.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tolerance.h"
#include "unit_impl.h"

enum {
    PLAIN_ROOM = 200,
    QUOTE_ROOM = 44
}; /* bytes of the longest text read, of a piece quoted in a message */

struct number {
    const char *start;       /* as written, in the plain text */
    int n;                   /* its bytes there */
    char digits[PLAIN_ROOM]; /* sign and digits without the point */
    int exponent;            /* of ten */
    double divisor;          /* of a fraction such as 1/2, else 1 */
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_end(char c)
{
    return c == 0 || c == ' ' || c == ',';
}

static const char *quote(const char *text, int n, char out[QUOTE_ROOM])
{
    char piece[PLAIN_ROOM];
    assert(n >= 0 && n < PLAIN_ROOM);
    memcpy(piece, text, (size_t)n);
    piece[n] = 0;
    return unit_clip(piece, out, QUOTE_ROOM);
}

/* ---- the plain text ---- */

static const struct {
    const char *written, *plain;
} spellings[] = {
    {"\xC2\xB5", "u"},        /* micro sign */
    {"\xCE\xBC", "u"},        /* Greek mu */
    {"\xCE\xA9", "ohm"},      /* Greek Omega */
    {"\xE2\x84\xA6", "ohm"},  /* ohm sign */
    {"\xC2\xB0", "deg"},      /* degree sign */
    {"\xE2\x84\x83", "degC"}, /* degree Celsius in one character */
    {"\xC2\xB2", "2"},        /* raised two */
    {"\xC2\xB7", ""},         /* middle dot, as in A2·s */
    {"\xE2\x88\x92", "-"},    /* minus sign */
    {"\xC2\xA0", " "},        /* no-break blank */
    {"\xE2\x80\x89", " "},    /* thin blank */
    {"\xE2\x80\xAF", " "},    /* narrow no-break blank */
    {"\t", " "},
    {"\n", " "},
    {"\r", " "},
    {"@", " at "},
};

static size_t spelled(const char *s, const char **plain)
{
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        if (*s != *spellings[i].written) continue;
        size_t n = strlen(spellings[i].written);
        if (strncmp(s, spellings[i].written, n) != 0) continue;
        *plain = spellings[i].plain;
        return n;
    }
    return 0;
}

/* False when it does not fit: no quantity is that long. */
static bool make_plain(const char *text, char out[PLAIN_ROOM])
{
    size_t used = 0;
    while (*text) {
        char one[2] = {*text, 0};
        const char *plain = one;
        size_t taken = spelled(text, &plain), n = strlen(plain);
        if (used + n >= PLAIN_ROOM) return false;
        memcpy(out + used, plain, n);
        used += n;
        text += taken ? taken : 1;
    }
    out[used] = 0;
    return true;
}

/* ---- numbers ---- */

/* `4,7 uF`: a comma may be a decimal point or set thousands apart; three digits behind it leave
 * both open. */
static void complain_comma(const char *s, struct complaint *why)
{
    char pointed[QUOTE_ROOM], whole[QUOTE_ROOM], rest[QUOTE_ROOM];
    size_t n = strspn(s, "+-0123456789.,"), w = 0, commas = 0, behind = 0;
    for (size_t i = 0; i < n && w < QUOTE_ROOM - 1; i++) {
        if (s[i] != ',') whole[w++] = s[i];
        commas += s[i] == ',';
        behind = s[i] == ',' ? 0 : behind + 1;
    }
    whole[w] = 0;
    quote(s, (int)n, pointed);
    for (char *c = pointed; *c; c++)
        if (*c == ',') *c = '.';
    bool point = commas == 1 && strchr(s, '.') == NULL, thousands = behind == 3 && s[0] != '0';
    unit_clip(s + n, rest, sizeof rest);
    snprintf(why->message, sizeof why->message, "there is a comma inside a number");
    if (point && !thousands)
        snprintf(why->hint, sizeof why->hint, "the decimal sign is a point: write %s%s", pointed,
                 rest);
    else if (point)
        snprintf(why->hint, sizeof why->hint, "write %s if it sets thousands apart, %s if decimals",
                 whole, pointed);
    else snprintf(why->hint, sizeof why->hint, "write it without commas: %s%s", whole, rest);
}

static void complain_number(const char *s, struct complaint *why)
{
    char piece[QUOTE_ROOM];
    int n = 0;
    while (!is_end(s[n])) n++;
    snprintf(why->message, sizeof why->message, "`%s` is no number", quote(s, n, piece));
    snprintf(why->hint, sizeof why->hint, "write one value with its unit, such as 4.7 uF");
}

static bool starts_number(const char *s)
{
    if (*s == '+' || *s == '-') s++;
    if (*s == '.') s++;
    return is_digit(*s);
}

static const char *read_exponent(const char *s, struct number *number)
{
    if (*s != 'e' && *s != 'E') return s;
    const char *e = s + 1;
    bool down = *e == '-';
    if (*e == '+' || *e == '-') e++;
    if (!is_digit(*e)) return s;
    int exponent = 0;
    for (; is_digit(*e); e++)
        if (exponent < 10000) exponent = 10 * exponent + (*e - '0');
    number->exponent += down ? -exponent : exponent;
    return e;
}

/* Reads digits with a point, an exponent, or a plain fraction (1/2); NULL with the complaint when
 * there is none. */
static const char *read_number(const char *s, struct number *number, struct complaint *why)
{
    *number = (struct number){.start = s, .divisor = 1};
    const char *begin = s;
    int n = 0, point = 0;
    if (*s == '+' || *s == '-') number->digits[n++] = *s++;
    for (; is_digit(*s) || (*s == '.' && !point); s++) {
        if (*s == '.') point = 1;
        else number->digits[n++] = *s, number->exponent -= point;
    }
    if (*s == ',' && is_digit(s[1])) {
        complain_comma(begin, why);
        return NULL;
    }
    if (*s == '/' && s[1] >= '1' && is_digit(s[1]) && !point) {
        number->divisor = 0;
        for (s++; is_digit(*s); s++) number->divisor = 10 * number->divisor + (*s - '0');
    } else {
        s = read_exponent(s, number);
    }
    number->n = (int)(s - begin);
    return s;
}

/* The SI value, rounded once from the decimal text. False when it is out of range. */
static bool number_value(const struct number *number, const struct unit_match *unit, double *value)
{
    char decimal[PLAIN_ROOM + 16];
    snprintf(decimal, sizeof decimal, "%se%d", number->digits, number->exponent + unit->exponent);
    double bare = strtod(decimal, NULL);
    *value = bare / number->divisor * unit->factor + unit->offset;
    return isfinite(*value) && (bare != 0 || !strpbrk(number->digits, "123456789"));
}

/* ---- units ---- */

/* Words that may follow a number without unit; anything else there was meant as a unit. */
static bool is_joining(const char *word)
{
    static const char *const joining[] = {"at",   "to", "and",  "or",  "of",
                                          "with", "x",  "cold", "hot", "times"};
    for (size_t i = 0; i < sizeof joining / sizeof joining[0]; i++)
        if (strcmp(word, joining[i]) == 0) return true;
    return false;
}

static int word_length(const char *s)
{
    int n = 0;
    while (s[n] && s[n] != ' ' && !(s[n] == ',' && is_end(s[n + 1]))) n++;
    return n;
}

static const char *next_word(const char *s)
{
    while (*s == ' ' || *s == ',') s++;
    return s;
}

/* `V AC` and `V DC` are volts. `deg C` is a temperature. Returns the end of what belongs to the
 * unit. */
static const char *read_unit_tail(const char *s, struct unit_match *unit)
{
    static const char *const kinds[] = {"AC", "DC", "RMS", "a.c.", "d.c.", "r.m.s."};
    char word[QUOTE_ROOM];
    const char *next = next_word(s);
    int n = word_length(next);
    quote(next, n, word);
    if (unit->unit == UNIT_DEGREE && unit_find(word, unit)) {
        if (unit->unit == UNIT_CELSIUS) return next + n;
        unit_find("deg", unit);
    }
    if (unit->unit != UNIT_VOLT && unit->unit != UNIT_AMPERE) return s;
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        if (unit_same(word, kinds[i])) return next + n;
    return s;
}

/* Reads the unit behind a number; none at the end, before another number or a joining word. NULL
 * with the complaint. */
static const char *read_unit(const char *s, const struct number *number, struct unit_match *unit,
                             struct complaint *why)
{
    char word[QUOTE_ROOM], figure[QUOTE_ROOM];
    const char *next = next_word(s);
    int n = word_length(next);
    *unit = (struct unit_match){UNIT_NUMBER, 0, 1, 0};
    if (n == 0 || (next > s && starts_number(next))) return s;
    quote(next, n, word);
    if (next > s && is_joining(word)) return s;
    if (strchr("+-.0123456789", *next)) {
        complain_number(number->start, why);
        return NULL;
    }
    if (!unit_find(word, unit)) {
        unit_complain(quote(number->start, number->n, figure), word, why);
        return NULL;
    }
    return read_unit_tail(next + n, unit);
}

static const char *take_value(const char *s, struct token *token, struct complaint *why)
{
    char figure[QUOTE_ROOM];
    struct number number;
    struct unit_match unit;
    s = read_number(s, &number, why);
    if (s) s = read_unit(s, &number, &unit, why);
    if (!s) return NULL;
    token->unit = unit.unit;
    if (number_value(&number, &unit, &token->value)) return s;
    snprintf(why->message, sizeof why->message, "`%s` is out of range",
             quote(number.start, number.n, figure));
    snprintf(why->hint, sizeof why->hint, "look at its power of ten");
    return NULL;
}

static const char *take_word(const char *s, struct token *token, struct complaint *why)
{
    static const char *const no_numbers[] = {"inf", "infinity", "nan"};
    char piece[QUOTE_ROOM];
    int n = word_length(s);
    quote(s, n, piece);
    if (n >= QUANTITY_WORD) {
        snprintf(why->message, sizeof why->message, "`%s` is too long for a word in a value",
                 piece);
        return NULL;
    }
    for (int i = 0; i < 3; i++) {
        if (!unit_same(piece, no_numbers[i])) continue;
        snprintf(why->message, sizeof why->message, "`%s` is no number", piece);
        snprintf(why->hint, sizeof why->hint, "write a number with its unit, or leave the key out");
        return NULL;
    }
    token->is_word = true;
    memcpy(token->word, piece, (size_t)n + 1);
    return s + n;
}

/* A tolerance behind a value is no part of it. False when it is none, or stands alone. */
static bool cut_tolerance(const char *text, char out[PLAIN_ROOM], struct complaint *why)
{
    struct tolerance unused;
    const char *behind = tolerance_behind(text);
    size_t n = behind ? (size_t)(behind - text) : strlen(text);
    if (behind && !tolerance_parse(behind, &unused, why)) return false;
    if (n >= PLAIN_ROOM) n = PLAIN_ROOM - 1; /* too long anyhow */
    memcpy(out, text, n);
    out[n] = 0;
    return true;
}

int quantity_scan(const char *text, struct token tokens[QUANTITY_TOKENS], struct complaint *why)
{
    char plain[PLAIN_ROOM], bare[PLAIN_ROOM];
    int n = 0;
    *why = (struct complaint){0};
    if (!cut_tolerance(text, bare, why)) return -1;
    if (strlen(text) >= PLAIN_ROOM || !make_plain(bare, plain)) {
        snprintf(why->message, sizeof why->message, "too long for a value with its unit");
        return -1;
    }
    for (const char *s = next_word(plain); *s; s = next_word(s)) {
        if (n == QUANTITY_TOKENS) {
            snprintf(why->message, sizeof why->message, "too many words for a value with its unit");
            return -1;
        }
        tokens[n] = (struct token){0};
        if (starts_number(s)) s = take_value(s, &tokens[n], why);
        else if (strchr("+-.", *s)) complain_number(s, why), s = NULL;
        else s = take_word(s, &tokens[n], why);
        if (!s) return -1;
        n++;
    }
    return n;
}

/* ---- one value of a wanted unit ---- */

static void hint_example(enum unit want, const char *number, struct complaint *why)
{
    const char *unit = unit_usual(want);
    snprintf(why->hint, sizeof why->hint, "write it as in `%s%s%s`", number, *unit ? " " : "",
             unit);
}

static void complain_kind(const char *text, const struct token *token, bool alone, enum unit want,
                          struct complaint *why)
{
    if (token->unit == UNIT_NUMBER) {
        snprintf(why->message, sizeof why->message, "`%s` has no unit: %s belong here", text,
                 quantity_kind(want));
        hint_example(want, alone ? text : unit_usual_number(want), why);
    } else if (want == UNIT_NUMBER) {
        snprintf(why->message, sizeof why->message, "`%s` is in %s where a plain number belongs",
                 text, quantity_kind(token->unit));
        hint_example(want, unit_usual_number(want), why);
    } else {
        snprintf(why->message, sizeof why->message, "`%s` is in %s where %s belong", text,
                 quantity_kind(token->unit), quantity_kind(want));
        hint_example(want, unit_usual_number(want), why);
    }
}

bool quantity_parse(const char *text, enum unit want, double *value, struct complaint *why)
{
    struct token tokens[QUANTITY_TOKENS];
    char shown[QUOTE_ROOM];
    int n = quantity_scan(text, tokens, why);
    if (n < 0) return false;
    unit_clip(text, shown, sizeof shown);
    if (n == 0) {
        snprintf(why->message, sizeof why->message, "the value is missing");
        hint_example(want, unit_usual_number(want), why);
    } else if (tokens[0].is_word) {
        snprintf(why->message, sizeof why->message, "`%s` is no value", shown);
        hint_example(want, unit_usual_number(want), why);
    } else if (tokens[0].unit != want) {
        complain_kind(shown, &tokens[0], n == 1, want, why);
    } else if (n > 1) {
        snprintf(why->message, sizeof why->message, "`%s` holds more than one value", shown);
        hint_example(want, unit_usual_number(want), why);
    } else {
        *value = tokens[0].value;
        return true;
    }
    return false;
}
