/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Splitting the samples into their even and odd part about the middle of the step gives the
 * coefficients in a few operations: with r = 1/sqrt5, even: c0 + c2 = e1, c0 + c2 r^2 = e2; odd: c1
 * + c3 = o1, r (c1 + c3 r^2) = o2. Equal samples give exactly zero slopes, so a constant stays a
 * constant. */
#include "cubic.h"

#include <math.h>

#include "numbers.h"

#define ROOT5 2.23606797749978969641

const double cubic_node[4] = {-1, -1 / ROOT5, 1 / ROOT5, 1};

struct cubic cubic_through(const double v[4])
{
    double e1 = 0.5 * (v[0] + v[3]), e2 = 0.5 * (v[1] + v[2]);
    double o1 = 0.5 * (v[3] - v[0]), o2 = 0.5 * (v[2] - v[1]);
    double c2 = 1.25 * (e1 - e2), c3 = 1.25 * (o1 - ROOT5 * o2);
    return (struct cubic){e1 - c2, o1 - c3, c2, c3};
}

double cubic_at(const struct cubic *p, double x)
{
    return p->c0 + x * (p->c1 + x * (p->c2 + x * p->c3));
}

/* Real roots of a + b x + c x^2, ascending, without cancellation. */
static int quadratic(double a, double b, double c, double root[2])
{
    double discriminant = b * b - 4 * a * c;
    if (!(discriminant > 0)) return 0; /* none, or a saddle: no extreme */
    double q = -0.5 * (b + copysign(sqrt(discriminant), b));
    if (c == 0) {
        root[0] = a / q;
        return 1;
    }
    double r1 = q / c, r2 = a / q;
    root[0] = r1 < r2 ? r1 : r2;
    root[1] = r1 < r2 ? r2 : r1;
    return 2;
}

int cubic_stationary(const struct cubic *p, double from, double to, double x[2])
{
    double a = p->c1, b = 2 * p->c2, c = 3 * p->c3;
    /* Bernstein form of the slope on -1 .. 1 */
    double left = a - b + c, middle = a - c, right = a + b + c;
    if ((left >= 0 && middle >= 0 && right >= 0) || (left <= 0 && middle <= 0 && right <= 0))
        return 0;
    double root[2];
    int found = quadratic(a, b, c, root), kept = 0;
    for (int i = 0; i < found; i++)
        if (root[i] > from && root[i] < to) x[kept++] = root[i];
    return kept;
}

double cubic_highest(const struct cubic *p, double from, double to)
{
    double x[2], most = larger(cubic_at(p, from), cubic_at(p, to));
    for (int k = cubic_stationary(p, from, to, x) - 1; k >= 0; k--)
        most = larger(most, cubic_at(p, x[k]));
    return most;
}

double cubic_crossing(const struct cubic *p, double a, double b)
{
    enum { HALVINGS = 54 }; /* of a length below 2: down to the last digit */
    int rising = cubic_at(p, b) > cubic_at(p, a);
    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (a + b);
        if ((cubic_at(p, middle) > 0) == rising) b = middle;
        else a = middle;
    }
    return 0.5 * (a + b);
}

double cubic_square_integral(const struct cubic *p, double a, double b)
{
    static const double point[2] = {0.339981043584856264803, 0.861136311594052575224};
    static const double weight[2] = {0.652145154862546142627, 0.347854845137453857373};
    double half = 0.5 * (b - a), centre = 0.5 * (a + b), sum = 0;
    for (int i = 0; i < 2; i++) {
        double low = cubic_at(p, centre - half * point[i]),
               high = cubic_at(p, centre + half * point[i]);
        sum += weight[i] * (low * low + high * high);
    }
    return half * sum;
}
