/* SPDX-License-Identifier: GPL-3.0-or-later */
/* s' = A s + b with a 2 x 2 matrix whose off-diagonal entries are positive: both eigenvalues are
 * real, and the element warms without turning back. Each eigenvector (b, lambda - a) moves by
 * z e^(lambda t) + beta (e^(lambda t) - 1)/lambda. */
#include "fuse_time.h"

#include <math.h>

#include "numbers.h"

static double grown(double z, double beta, double lambda, double t)
{
    double x = lambda * t;
    return z * exp(x) + beta * (fabs(x) < 1e-12 ? t : expm1(x) / lambda);
}

struct fuse_warmth fuse_time_step(const struct fuse_law *l, struct fuse_warmth from, double square,
                                  double seconds)
{
    const double watts = square * l->cold; /* at 25 C */
    const double a = (watts * l->coefficient - l->to_body) / l->heat, b = l->to_body / l->heat,
                 c = l->to_body / l->body_heat, d = -(l->to_body + l->to_room) / l->body_heat;
    /* counted from the room, so that the element's own watts there drive it */
    const double drive = watts * (1 + l->coefficient * (l->ambient - LAWS_ROOM)) / l->heat;
    const double half = sqrt(sq(a - d) / 4 + b * c), fast = (a + d) / 2 - half,
                 slow = (a + d) / 2 + half, span = slow - fast;
    /* element = b (x + y), body = (slow - a) x + (fast - a) y */
    const double e = from.element - l->ambient, s = from.body - l->ambient;
    double x = (s - (fast - a) * e / b) / span, y = ((slow - a) * e / b - s) / span;
    x = grown(x, -(fast - a) * drive / b / span, slow, seconds);
    y = grown(y, (slow - a) * drive / b / span, fast, seconds);
    return (struct fuse_warmth){l->ambient + b * (x + y),
                                l->ambient + (slow - a) * x + (fast - a) * y};
}

struct fuse_warmth fuse_time_settled(const struct fuse_law *l, double amperes)
{
    struct fuse_warmth w;
    double whole = 1 / l->to_body + 1 / l->to_room;
    if (l->coefficient * sq(amperes) * l->cold * whole < 1) {
        fuse_settled(l, amperes, &w.element, &w.body);
        if (w.element < l->melts) return w;
    }
    return (struct fuse_warmth){l->ambient, l->ambient};
}

double fuse_time_opens(const struct fuse_law *l, struct fuse_warmth from, double amperes)
{
    double before = 0, after = 1e-6;
    if (from.element >= l->melts) return 0;
    while (fuse_time_step(l, from, sq(amperes), after).element < l->melts) {
        before = after;
        after *= 2;
        if (before > FUSE_TIME_LONGEST) return HUGE_VAL;
    }
    for (int k = 0; k < 100 && after - before > 1e-9 * after; k++) {
        double middle = (before + after) / 2;
        bool melted = fuse_time_step(l, from, sq(amperes), middle).element >= l->melts;
        *(melted ? &after : &before) = middle;
    }
    return after > FUSE_TIME_LONGEST ? HUGE_VAL : after;
}
