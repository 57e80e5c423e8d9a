/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The closed form of a fuse at constant current against what its rating was made from, and against
 * Runge-Kutta steps of the law that runs use. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "fuse_time.h"
#include "near.h"
#include "numbers.h"

#define ROOM 298.15

/* 1 A slow, IEC 60127-2 sheet 3 (Littelfuse 213 and 218 series). */
static const struct fuse_rating slow = {.amperes = 1,
                                        .cold = 0.117,
                                        .i2t = 19.2,
                                        .opens_ever = 1.8,
                                        .opens_at_once = 2.5,
                                        .body_time = 20,
                                        .melts = 505.08,
                                        .coefficient = 0.00393};

/* A surge that leaves no time for heat to go melts it by its I2t. */
static void short_surges(void **state)
{
    (void)state;
    const struct fuse_law law = fuse_law_of(&slow, ROOM);
    const struct fuse_warmth cold = {ROOM, ROOM};
    near_rel(sq(1000) * fuse_time_opens(&law, cold, 1000), 19.2, 1e-3, "A2s");
    near_rel(sq(200) * fuse_time_opens(&law, cold, 200), 19.2, 1e-2, "A2s");
}

static void long_currents(void **state)
{
    (void)state;
    const struct fuse_law law = fuse_law_of(&slow, ROOM);
    const struct fuse_warmth cold = {ROOM, ROOM};
    double element, body;
    assert_true(isinf(fuse_time_opens(&law, cold, 1.79)));
    assert_true(fuse_time_opens(&law, cold, 1.82) < FUSE_TIME_LONGEST);
    fuse_settled(&law, 1.5, &element, &body);
    struct fuse_warmth long_after = fuse_time_step(&law, cold, sq(1.5), 5000);
    near_rel(long_after.element - ROOM, element - ROOM, 1e-9, "K");
    near_rel(long_after.body - ROOM, body - ROOM, 1e-9, "K");
    near_rel(fuse_time_settled(&law, 1.5).element, element, 1e-12, "K");
    near_rel(fuse_time_settled(&law, 3).element, ROOM, 1e-12, "K");
    /* a warm one opens sooner; one that has melted at once */
    assert_true(fuse_time_opens(&law, fuse_time_settled(&law, 1.5), 3) <
                0.9 * fuse_time_opens(&law, cold, 3));
    near_abs(fuse_time_opens(&law, (struct fuse_warmth){510, 300}, 1), 0, 0, "s");
}

/* The rates of the law itself at the volts that this current makes. */
static void rates(const struct fuse_law *law, double amperes, const double s[2], double ds[2])
{
    double c[2], v[1];
    law_fuse.prepare(law, s, NULL, c);
    v[0] = amperes / c[1];
    law_fuse.rates(law, v, s, c, ds);
}

static void against_the_law(void **state)
{
    (void)state;
    const struct fuse_law law = fuse_law_of(&slow, ROOM + 10);
    double s[2] = {320, 305}, h = 1e-3;
    struct fuse_warmth w = fuse_time_step(&law, (struct fuse_warmth){s[0], s[1]}, sq(2.2), 3);
    for (int n = 0; n < 3000; n++) {
        double k1[2], k2[2], k3[2], k4[2], y[2];
        rates(&law, 2.2, s, k1);
        for (int i = 0; i < 2; i++) y[i] = s[i] + h / 2 * k1[i];
        rates(&law, 2.2, y, k2);
        for (int i = 0; i < 2; i++) y[i] = s[i] + h / 2 * k2[i];
        rates(&law, 2.2, y, k3);
        for (int i = 0; i < 2; i++) y[i] = s[i] + h * k3[i];
        rates(&law, 2.2, y, k4);
        for (int i = 0; i < 2; i++) s[i] += h / 6 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
    }
    near_rel(w.element, s[0], 1e-9, "K");
    near_rel(w.body, s[1], 1e-9, "K");
    /* two halves are the whole, and nothing cools to the room */
    struct fuse_warmth half = fuse_time_step(&law, (struct fuse_warmth){320, 305}, sq(2.2), 1.5);
    half = fuse_time_step(&law, half, sq(2.2), 1.5);
    near_rel(half.element, w.element, 1e-12, "K");
    near_rel(fuse_time_step(&law, w, 0, 5000).body, ROOM + 10, 1e-9, "K");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(short_surges),
                                       cmocka_unit_test(long_currents),
                                       cmocka_unit_test(against_the_law)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
