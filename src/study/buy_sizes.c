/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of what is sold; each rule takes the least that does. */
#include <math.h>

#include "buy_list.h"
#include "numbers.h"
#include "preferred.h"

#define LEAST_WATTS 0.5 /* [W] */
#define CLOSE 1e-9      /* a need within it of a size is met by it */

static double least(const double *sizes, int n, double need)
{
    for (int i = 0; i < n; i++)
        if (need <= sizes[i] * (1 + CLOSE)) return sizes[i];
    return 0;
}

double buy_farads(double farads)
{
    static const int tenths[] = {10, 15, 22, 33, 47, 68, 100};
    double decade = pow(10, floor(log10(farads)));
    for (int i = 0; i < 7; i++) {
        double value = preferred_above(PREFERRED_E12, tenths[i] * decade / 10);
        if (farads <= value * (1 + CLOSE)) return value;
    }
    return farads;
}

/* Two neighbours differ by less than a factor of 1/0.6. */
double buy_farads_below(double farads)
{
    return buy_farads(0.6 * farads);
}

double buy_volts(double volts, bool electrolytic)
{
    static const double cans[] = {10,  16,  25,  35,  50,  63,  100, 160,
                                  200, 250, 350, 400, 450, 500, 550, 600};
    static const double films[] = {160, 250, 400, 450, 630, 800, 1000, 1200};
    return electrolytic ? least(cans, sizeof cans / sizeof cans[0], volts)
                        : least(films, sizeof films / sizeof films[0], volts);
}

double buy_watts(double watts)
{
    return larger(LEAST_WATTS, preferred_watts(2 * watts));
}

int buy_diodes(double inverse)
{
    return (int)larger(1, ceil(inverse / (BUY_DIODE_SHARE * BUY_DIODE_VOLTS) - CLOSE));
}

double buy_fuse(double amperes)
{
    static const double sizes[] = {0.032, 0.04,  0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2,
                                   0.25,  0.315, 0.4,  0.5,   0.63, 0.8, 1,     1.25, 1.6,
                                   2,     2.5,   3.15, 4,     5,    6.3, 8,     10};
    return least(sizes, sizeof sizes / sizeof sizes[0], BUY_FUSE_TIMES * amperes);
}

double buy_loss(double rating)
{
    return rating <= 160 ? 0.12 : rating <= 350 ? 0.20 : 0.25;
}

struct buy_pair buy_pair(double farads, double volts)
{
    struct buy_pair p = {.farads = buy_farads(2 * farads),
                         .rating = buy_volts(BUY_SHARE_WORST * volts, true),
                         .volts = volts / 2};
    if (p.rating <= 0) return p;
    double leakage = capacitor_modern_leakage(p.farads, p.rating);
    p.ohms = preferred_below(PREFERRED_E12, p.rating / (BUY_BLEED * leakage));
    p.watts = sq(p.volts) / p.ohms;
    p.resistor_watts = buy_watts(p.watts);
    return p;
}
