/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cautions.h"

#include <assert.h>

/* --- rules --- */

static bool power_on(const struct hazards *h)
{
    return (h->occasion & OCCASION_POWER) && (h->mains || h->lethal);
}

static bool always(const struct hazards *h)
{
    return h->mains || h->lethal;
}

static bool lethal(const struct hazards *h)
{
    return h->lethal;
}

static bool charged(const struct hazards *h)
{
    return h->lethal && h->keeps_charge;
}

static bool mains(const struct hazards *h)
{
    return h->mains;
}

static bool hot_chassis(const struct hazards *h)
{
    return h->hot_chassis;
}

static bool socket(const struct hazards *h)
{
    return h->tube_rectifier && h->lethal;
}

static bool two_plates(const struct hazards *h)
{
    return h->two_plates && h->lethal;
}

static bool field_coil(const struct hazards *h)
{
    return h->field_coil && h->lethal;
}

static bool insulated_can(const struct hazards *h)
{
    return h->insulated_can;
}

static bool selenium(const struct hazards *h)
{
    return h->selenium;
}

static bool mercury(const struct hazards *h)
{
    return h->mercury;
}

static bool oil_capacitor(const struct hazards *h)
{
    return h->oil_capacitor;
}

static bool line_cord(const struct hazards *h)
{
    return h->line_cord;
}

static bool line_capacitor(const struct hazards *h)
{
    return h->line_capacitor && h->mains;
}

static bool bare_series(const struct hazards *h)
{
    return h->bare_series;
}

static bool vibrator(const struct hazards *h)
{
    return h->vibrator;
}

static bool reforming(const struct hazards *h)
{
    return h->occasion & OCCASION_REFORM;
}

static bool chassis_test(const struct hazards *h)
{
    return (h->occasion & OCCASION_CHASSIS) && h->mains;
}

/* --- the list --- */

static bool (*const rules[CAUTIONS])(const struct hazards *h) = {
    [CAUTION_RULES] = always,
    [CAUTION_UNPLUGGED] = lethal,
    [CAUTION_DISCHARGE] = charged,
    [CAUTION_FIRST_POWER] = power_on,
    [CAUTION_FIRE] = power_on,
    [CAUTION_NO_ISOLATION] = mains,
    [CAUTION_LIVE_CHASSIS] = hot_chassis,
    [CAUTION_RECTIFIER_SOCKET] = socket,
    [CAUTION_PLATE_TO_PLATE] = two_plates,
    [CAUTION_SPEAKER_PLUG] = field_coil,
    [CAUTION_INSULATED_CANS] = insulated_can,
    [CAUTION_SELENIUM] = selenium,
    [CAUTION_MERCURY] = mercury,
    [CAUTION_OIL_CAPACITORS] = oil_capacitor,
    [CAUTION_RESISTANCE_CORD] = line_cord,
    [CAUTION_LINE_CAPACITORS] = line_capacitor,
    [CAUTION_CAPACITORS_IN_SERIES] = bare_series,
    [CAUTION_VIBRATOR] = vibrator,
    [CAUTION_RE_FORMING] = reforming,
    [CAUTION_CHASSIS_TEST] = chassis_test,
};

bool cautions_apply(enum caution caution, const struct hazards *h)
{
    assert((unsigned)caution < CAUTIONS);
    return rules[caution](h);
}

bool cautions_any(const struct hazards *h)
{
    for (int i = 0; i < CAUTIONS; i++)
        if (rules[i](h)) return true;
    return false;
}
