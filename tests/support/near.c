/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Failures go through fail_msg's underlying _fail so that file and line are those of the caller. */
#include "near.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

void near_abs_at(double value, double wanted, double tolerance, const char *unit, const char *name,
                 const char *file, int line)
{
    if (fabs(value - wanted) <= tolerance) return;
    print_error("%s = %.12g %s, wanted %.12g, off by %.3g, tolerance %.3g\n", name, value, unit,
                wanted, value - wanted, tolerance);
    _fail(file, line);
}

void near_rel_at(double value, double wanted, double tolerance, const char *unit, const char *name,
                 const char *file, int line)
{
    if (fabs(value - wanted) <= tolerance * fabs(wanted)) return;
    print_error("%s = %.12g %s, wanted %.12g, off by %.3g relative, tolerance %.3g\n", name, value,
                unit, wanted, value / wanted - 1, tolerance);
    _fail(file, line);
}

double worst_take(struct worst *w, double value, double wanted, const char *row)
{
    double deviation = wanted == 0 ? fabs(value) : fabs(value / wanted - 1);
    if (!(deviation <= w->deviation) || w->row[0] == 0) {
        w->deviation = isnan(deviation) ? HUGE_VAL : deviation;
        snprintf(w->row, sizeof w->row, "%s", row);
    }
    return deviation;
}

void worst_check(const struct worst *w, const char *table, double limit)
{
    print_message("%s: worst deviation %.2e at %s (limit %.0e)\n", table, w->deviation, w->row,
                  limit);
    if (w->row[0] == 0 || !(w->deviation <= limit)) fail_msg("%s: over its limit", table);
}
