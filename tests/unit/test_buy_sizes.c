/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the buy list takes from what is sold, against published numbers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "buy_list.h"
#include "near.h"

/* IEC 60063 E6; IEC 60127 currents; two in series: 450 V and 100 uA ask for 450 kohm at ten times
 * the leakage (service practice, second hand), the same rule is used with the sheet's leakage. */
static void sizes(void **state)
{
    static const double farads[][2] = {{8, 10},  {10, 10}, {16, 22},  {20, 22}, {30, 33}, {40, 47},
                                       {50, 68}, {60, 68}, {80, 100}, {4, 4.7}, {1, 1},   {2, 2.2}};
    (void)state;
    for (size_t i = 0; i < sizeof farads / sizeof farads[0]; i++)
        near_rel(buy_farads(farads[i][0] * 1e-6), farads[i][1] * 1e-6, 1e-9, "F");
    near_abs(buy_volts(450, true), 450, 0, "V");
    near_abs(buy_volts(450.01, true), 500, 0, "V");
    near_abs(buy_volts(536, true), 550, 0, "V");
    near_abs(buy_volts(601, true), 0, 0, "V");
    near_abs(buy_volts(601, false), 630, 0, "V");
    near_abs(buy_watts(0.1), 0.5, 0, "W");
    near_abs(buy_watts(2.6), 7, 0, "W");
    near_abs(buy_fuse(0.5), 0.8, 0, "A");
    near_abs(buy_fuse(7), 0, 0, "A");
    /* 2.83 times 350 V at +10 % line: 1089 V, where one of 1000 V fails */
    assert_int_equal(buy_diodes(2 * sqrt(2) * 350 * 1.1), 2);
    assert_int_equal(buy_diodes(800), 1);
    assert_int_equal(buy_diodes(801), 2);
    assert_int_equal(buy_diodes(2401), 4);
    /* 10 uF at 620 V: two of 22 uF, 0.6 x 620 = 372 V: 400 V, which leak 0.02 x 8800 + 25 = 201 uA;
     * 400 V / 2.01 mA = 199 kohm, E12 below 180 kohm; 310 V on it 0.534 W */
    struct buy_pair p = buy_pair(10e-6, 620);
    near_rel(p.farads, 22e-6, 1e-9, "F");
    near_abs(p.rating, 400, 0, "V");
    near_rel(p.ohms, 180e3, 1e-9, "ohm");
    near_rel(p.watts, 310.0 * 310 / 180e3, 1e-12, "W");
    near_abs(p.resistor_watts, 2, 0, "W");
    /* 1 uF at 300 V: two of 2.2 uF 200 V, which leak 0.03 x 440 + 15 = 28.2 uA: 709 kohm */
    p = buy_pair(1e-6, 300);
    near_rel(p.farads, 2.2e-6, 1e-9, "F");
    near_abs(p.rating, 200, 0, "V");
    near_rel(p.ohms, 680e3, 1e-9, "ohm");
    near_abs(p.resistor_watts, 0.5, 0, "W");
    assert_true(buy_pair(1e-6, 1100).rating == 0); /* 660 V: none is sold */
}

/* Lelon RGA data sheet, 120 Hz: 0.12 to 160 V, 0.20 to 350 V, 0.25 above. */
static void losses(void **state)
{
    (void)state;
    near_abs(buy_loss(160), 0.12, 0, "");
    near_abs(buy_loss(200), 0.20, 0, "");
    near_abs(buy_loss(350), 0.20, 0, "");
    near_abs(buy_loss(400), 0.25, 0, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes),
        cmocka_unit_test(losses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
