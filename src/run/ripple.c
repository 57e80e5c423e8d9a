/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ripple.h"

#include <math.h>

#include "numbers.h"

#define STALE 0.01 /* of the heating */

void ripple_begin(struct ripple *r)
{
    r->since = r->way = r->sum = r->crest = r->crested = 0;
}

void ripple_step(struct ripple *r, double step, double way, double before)
{
    r->since += step;
    r->sum += step * (r->way + way) / 2;
    r->way = way;
    const double above = way - before * r->since;
    if (above > r->crest) r->crest = above, r->crested = r->since;
}

void ripple_end(struct ripple *r, double middle, double span)
{
    r->offset = r->sum / span - middle;
    r->above = r->crest - r->offset;
    r->when = r->crested;
}

/* What was seen when a cycle was followed, by the heating now; no more than the swing of watts that
 * come at one instant of the cycle. */
static double by_heating(const struct ripple *r, double seen, double gross, double period)
{
    double most = gross * period / 2;
    return clamp(r->heard > 0 ? seen * gross / r->heard : seen, -most, most);
}

double ripple_at_end(const struct ripple *r, double gross, double period)
{
    return by_heating(r, r->offset, gross, period);
}

double ripple_top(const struct ripple *r, double gross, double net, double period)
{
    return by_heating(r, r->above, gross, period) -
           (net > 0 ? net * (period - r->when) : -net * r->when);
}

bool ripple_stale(const struct ripple *r, double gross)
{
    return fabs(gross - r->heard) > STALE * gross;
}
