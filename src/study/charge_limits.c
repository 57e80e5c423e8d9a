/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of standards for what may be touched, for other equipment than old radios: they tell how
 * far a set is from what is counted harmless today. */
#include <assert.h>
#include <math.h>

#include "discharge.h"

static bool charge(const struct stored *c)
{
    return c->highest > CHARGE_LIVE && c->coulombs > CHARGE_COULOMBS;
}

static bool capacitance(const struct stored *c)
{
    return c->highest > CHARGE_LIVE && c->highest <= CHARGE_FARADS_TO && c->farads > CHARGE_FARADS;
}

static bool worker(const struct stored *c)
{
    double most = c->highest < CHARGE_WORKER_FROM  ? 100
                  : c->highest <= CHARGE_WORKER_TO ? CHARGE_WORKER_BELOW
                                                   : CHARGE_WORKER_ABOVE;
    return c->joules > most;
}

static bool two_seconds(const struct stored *c)
{
    return fabs(c->cold_marks.at[1]) > CHARGE_VOLTS;
}

static bool five_seconds(const struct stored *c)
{
    return c->coulombs > CHARGE_EXEMPT && fabs(c->cold_marks.at[2]) > CHARGE_VOLTS;
}

static bool bleeder(const struct stored *c)
{
    return c->to_50 > (c->highest > CHARGE_HIGH_VOLTS ? CHARGE_BLEEDER_HIGH : CHARGE_BLEEDER);
}

static const struct {
    const char *source;
    bool (*over)(const struct stored *c);
} list[CHARGE_LIMITS] = {
    [CHARGE_LIMIT_CHARGE] =
        {"IEC 61010-1, 6.3.1 c; IEC 60335-1, 8.1.4, has it from 450 V up; both second hand",
         charge},
    [CHARGE_LIMIT_CAPACITANCE] = {"IEC 60335-1, 8.1.4, second hand", capacitance},
    [CHARGE_LIMIT_WORKER] = {"NFPA 70E article 360 (2021), from memory", worker},
    [CHARGE_LIMIT_TWO_SECONDS] = {"IEC 62368-1, from memory", two_seconds},
    [CHARGE_LIMIT_FIVE_SECONDS] =
        {"IEC 60204-1, 6.2.4, second hand: parts of 60 uC and less are exempt", five_seconds},
    [CHARGE_LIMIT_BLEEDER] = {"NEC 460.6, second hand (up to 600 V); California Title 8, section "
                              "2893 (a) above",
                              bleeder},
};

/* Most speak of them only where 45 uC or 0.1 uF are exceeded; here they are held against all. */
static const struct pin_limit pins[] = {
    {"IEC 60950, second hand", 0, 0.37, 0},
    {"IEC 60335-1, 22.5, second hand", 0, 34, CHARGE_FARADS},
    {"IEC 60204-1, 6.2.4, second hand", 0, 60, 0},
    {"IEC 62368-1, from memory", 1, 60, 0},
    {"IEC 61010-1, 6.10.3, second hand", 2, 60, 0},
};

bool charge_limit_over(enum charge_limit limit, const struct stored *c)
{
    assert((unsigned)limit < CHARGE_LIMITS);
    return list[limit].over(c);
}

const char *charge_limit_source(enum charge_limit limit)
{
    assert((unsigned)limit < CHARGE_LIMITS);
    return list[limit].source;
}

int charge_pin_limits_count(void)
{
    return (int)(sizeof pins / sizeof pins[0]);
}

const struct pin_limit *charge_pin_limit_at(int i)
{
    return &pins[i];
}

bool charge_pin_limit_over(const struct pin_limit *limit, const struct decay_seen *seen)
{
    double most = limit->volts > 1 ? limit->volts : limit->volts * fabs(seen->start);
    return fabs(seen->start) > CHARGE_LIVE && fabs(seen->at[limit->mark]) > most;
}
