/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerance.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "unit_impl.h"

enum { ROOM = 80 };

/* Colours: IEC 60062, from memory. */
static const struct {
    const char *word;
    double share;
} words[] = {{"exact", 0}, {"gold", 0.05}, {"silver", 0.10}};

static const char *const signs[] = {"+-", "+/-", "+\xE2\x88\x92", "\xC2\xB1"};

/* Bytes of a plus-minus sign at the start; 0: none. */
static size_t sign_at(const char *s)
{
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++)
        if (strncmp(s, signs[i], strlen(signs[i])) == 0) return strlen(signs[i]);
    return 0;
}

static bool minus_at(const char *s)
{
    return *s == '-' || strncmp(s, "\xE2\x88\x92", 3) == 0;
}

/* Where the second of two limits begins, `+100 %` of `-20/+100 %` or `-20..+100 %`; NULL: none. */
static const char *second_limit(const char *s)
{
    for (; *s; s++) {
        size_t n = *s == '/' ? 1 : strncmp(s, "..", 2) == 0 ? 2 : 0;
        if (n > 0 && s[n + strspn(s + n, " ")] == '+') return s + n + strspn(s + n, " ");
    }
    return NULL;
}

const char *tolerance_behind(const char *text)
{
    for (const char *s = text; *s; s++) {
        bool word = s > text && s[-1] == ' ';
        if (s > text && sign_at(s) > 0) return s;
        if (word && (strcmp(s, "exact") == 0 || (minus_at(s) && second_limit(s)))) return s;
    }
    return NULL;
}

static bool complain(struct complaint *why, const char *text)
{
    char shown[44];
    snprintf(why->message, sizeof why->message, "`%s` is no tolerance",
             unit_clip(text, shown, sizeof shown));
    snprintf(why->hint, sizeof why->hint,
             "write it as in `+-5 %%`, `-20/+100 %%`, `+-3 V`, `silver` or `exact`");
    return false;
}

/* A quantity; without a unit it takes that of the other limit. */
static bool one(const char *text, size_t n, enum unit other, double *value, enum unit *unit)
{
    char piece[ROOM];
    struct token t[QUANTITY_TOKENS];
    struct complaint unused;
    if (n >= sizeof piece) return false;
    memcpy(piece, text, n);
    piece[n] = 0;
    if (quantity_scan(piece, t, &unused) != 1 || t[0].is_word) return false;
    *value = t[0].unit == UNIT_NUMBER && other == UNIT_PERCENT ? t[0].value / 100 : t[0].value;
    *unit = t[0].unit == UNIT_NUMBER ? other : t[0].unit;
    return *unit != UNIT_NUMBER;
}

bool tolerance_parse(const char *text, struct tolerance *t, struct complaint *why)
{
    enum unit low_unit = UNIT_NUMBER, unit = UNIT_NUMBER;
    *why = (struct complaint){0};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(text, words[i].word) != 0) continue;
        *t = (struct tolerance){-words[i].share, words[i].share, true, UNIT_PERCENT};
        return true;
    }
    const char *plain = text + sign_at(text), *second = second_limit(text);
    if (plain == text && second && minus_at(text)) {
        size_t n = (size_t)(second - text);
        while (n > 0 && (text[n - 1] == '/' || text[n - 1] == '.' || text[n - 1] == ' ')) n--;
        if (!one(second, strlen(second), UNIT_NUMBER, &t->high, &unit) ||
            !one(text, n, unit, &t->low, &low_unit) || low_unit != unit)
            return complain(why, text);
    } else {
        while (*plain == ' ') plain++;
        if (!one(plain, strlen(plain), UNIT_NUMBER, &t->high, &unit)) return complain(why, text);
        t->low = -t->high;
    }
    t->relative = unit == UNIT_PERCENT;
    t->unit = unit;
    if (t->low > 0 || t->high < 0 || (t->relative && t->low <= -1)) return complain(why, text);
    return true;
}

void tolerance_range(const struct tolerance *t, double value, double *low, double *high)
{
    double size = t->relative ? fabs(value) : 1;
    *low = value + t->low * size;
    *high = value + t->high * size;
}
