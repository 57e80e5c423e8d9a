/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of standards for what may be touched, for other equipment than old radios: they tell how
 * far a set is from what is counted harmless today. */
#include <math.h>

#include "discharge.h"

/* Volts from which a charged part counts at all. */
#define LIVE 42.4 /* [V peak or DC], IEC 60335-1 clause 8.1.4 */

static bool charge(const struct stored *c)
{
    return c->highest > LIVE && c->coulombs > 45e-6;
}

static bool energy(const struct stored *c)
{
    return c->highest > LIVE && c->joules > 0.35;
}

static bool capacitance(const struct stored *c)
{
    return c->highest > LIVE && c->highest <= 450 && c->farads > 0.1e-6;
}

static bool worker(const struct stored *c)
{
    double most = c->highest < 100 ? 100 : c->highest <= 400 ? 1 : 0.25;
    return c->joules > most;
}

static bool two_seconds(const struct stored *c)
{
    return fabs(c->cold_marks.at[1]) > 60;
}

static bool five_seconds(const struct stored *c)
{
    return fabs(c->cold_marks.at[2]) > 60;
}

static bool five_minutes(const struct stored *c)
{
    return c->to_50 > 300;
}

static const struct charge_limit list[] = {
    {"charge at most 45 uC",
     "IEC 61010-1, 6.3.1 c, as told in an engineer's summary on the emc-pstc list; IEC 60335-1, "
     "8.1.4, has it from 450 V up, second hand",
     charge},
    {"energy at most 350 mJ",
     "IEC 60335-1, 8.1.4, second hand (there above 15 kV); IEC 60065, 9.1.6, from memory", energy},
    {"capacitance at most 0.1 uF from 42.4 V to 450 V", "IEC 60335-1, 8.1.4, second hand",
     capacitance},
    {"energy at most 1 J (100 V to 400 V), 0.25 J above: a capacitor hazard for who works on it",
     "NFPA 70E article 360 (2021), from memory", worker},
    {"below 60 V within 2 s", "IEC 62368-1, from memory", two_seconds},
    {"below 60 V within 5 s",
     "IEC 60204-1, second hand (sdev.dk, protection against residual voltage)", five_seconds},
    {"below 50 V within 5 min, as the bleeder of a power capacitor must bring it",
     "second hand, electrotechnik.net, bleeder resistors; NEC 460.6 has 1 min up to 600 V, from "
     "memory",
     five_minutes},
};

/* Most speak of them only where 45 uC or 0.1 uF are exceeded; here they are held against all. */
static const struct pin_limit pins[] = {
    {"below 37 % of the crest 1 s after the plug is pulled",
     "IEC 60950, second hand (emc-pstc list)", 0, 0.37},
    {"below 34 V 1 s after the plug is pulled, where more than 0.1 uF lie across the line",
     "second hand (classcycles.fr, 2013)", 0, 34},
    {"below 60 V 2 s after the plug is pulled", "IEC 62368-1, from memory", 1, 60},
    {"below 60 V 5 s after the plug is pulled",
     "IEC 61010-1, 6.10.3, as told in an engineer's summary on the emc-pstc list", 2, 60},
};

int charge_limits_count(void)
{
    return (int)(sizeof list / sizeof list[0]);
}

const struct charge_limit *charge_limit_at(int i)
{
    return &list[i];
}

int pin_limits_count(void)
{
    return (int)(sizeof pins / sizeof pins[0]);
}

const struct pin_limit *pin_limit_at(int i)
{
    return &pins[i];
}

bool pin_limit_over(const struct pin_limit *limit, const struct decay_seen *seen)
{
    double most = limit->volts > 1 ? limit->volts : limit->volts * fabs(seen->start);
    return fabs(seen->start) > LIVE && fabs(seen->at[limit->mark]) > most;
}
