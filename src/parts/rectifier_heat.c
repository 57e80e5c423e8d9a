/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The heat the plates of a rectifier tube may shed. Sheets of rectifiers hardly give it, so it is
 * what their other ratings imply: the full direct current, in pulses as high as the peak allows. */
#include <math.h>

#include "kinds.h"
#include "rectifier.h"

/* Half-sine pulses of peak P that make up a direct current I: of a 3/2-law tube the mean of v i is
 * (pi/2) s I V(P), s = mean of sin^(5/3) over half a period = Gamma(4/3)/(sqrt(pi) Gamma(11/6)) =
 * 0.5356 (derived). */
#define PULSED 0.8413

/* A direct current in such pulses: peak and mean of types whose sheets have both. */
#define USUAL_PEAK 3.0

/* Volts at so many amperes of one plate. */
static double volts_at(const struct rectifier *r, double amperes)
{
    return r->law == VACUUM ? pow(amperes / r->perveance, 2 / 3.0) : r->threshold;
}

/* Direct amperes of the plates in use; *known: by a rating. */
static double direct(struct set *set, const struct rectifier *r, bool *known)
{
    const struct part *v = &r->view;
    double amperes, sections = r->sections;
    *known = true;
    if (part_value(set, v, "average current per plate", UNIT_AMPERE, 1e-6, &amperes))
        return amperes * r->sections;
    if (part_node(v, "sections")) part_value(set, v, "sections", UNIT_NUMBER, 1, &sections);
    if (part_value(set, v, "average current", UNIT_AMPERE, 1e-6, &amperes))
        return amperes * r->sections / sections;
    *known = false;
    return r->drop_amperes;
}

void rectifier_read_heat(struct set *set, struct rectifier *r)
{
    double peak, total;
    if (r->law != VACUUM && r->law != GAS && r->law != MERCURY) return;
    if (r->law == VACUUM && !(r->perveance > 0)) return;
    total = direct(set, r, &r->rated_heat);
    if (!part_value(set, &r->view, "running peak current", UNIT_AMPERE, 1e-6, &peak))
        peak = USUAL_PEAK * total;
    r->plate_watts = (r->law == VACUUM ? PULSED : 1) * total * volts_at(r, peak);
}

void rectifier_rate_heat(struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    if (!(r->plate_watts > 0)) return;
    set_rate(set, (struct rating){
                      .subject = part->name,
                      .measure = MEASURE_DISSIPATION,
                      .limit = r->plate_watts,
                      .source = r->rated_heat
                                    ? "derived: its rated direct current, in pulses of its rated "
                                      "peak, over its drop"
                                    : "no rating known: what it turns into heat at the current of "
                                      "its drop",
                      .system = "",
                      .harm = HARM_RECTIFIER_HEAT});
}
