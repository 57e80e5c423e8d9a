/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sets of tubes behind series lamps beside the customary table, which takes them for resistances.
 * They are no resistances: less volts leave heaters and rectifier cooler, tubes draw as the 3/2
 * power of their volts. So a set keeps more volts than the table says, and one with a shorted first
 * filter capacitor keeps several times as many. Sets invented, their watts at 120 V within 1 % of
 * the table's; cathodes warm quickly here, which changes nothing of where they end. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "lamp_table.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

/* 0.15 A string of 122.8 V, half-wave rectifier on the line: 30 W. */
static const char ac_dc[] =
    "format: 1\n"
    "mains: {voltage: 120 V, frequency: 60 Hz, across: [line, chassis], %s}\n"
    "run: {for: 8 s}\nparts:\n"
    "  V1: {is: rectifier, type: 35Z4-GT, plates: [line], cathode: a, warm-up: 2 s}\n"
    "  H1: {is: heater, across: [line, s1], rated: 35 V 0.15 A, of: V1}\n"
    "  H2: {is: heater, across: [s1, s2], rated: 50 V 0.15 A, of: output, warm-up: 2 s}\n"
    "  H3: {is: heater, across: [s2, chassis], rated: 37.8 V 0.15 A, of: front, warm-up: 2 s}\n"
    "  C1: {is: capacitor, across: [a, chassis], value: 40 uF, rated: 150 V, make: modern}\n"
    "  R1: {is: resistor, across: [a, b], resistance: 1000 ohm}\n"
    "  C2: {is: capacitor, across: [b, chassis], value: 40 uF, rated: 150 V, make: modern}\n"
    "  output: {is: load, across: [a, chassis], draws: 51.5 mA at 120 V, like: tubes}\n"
    "  front: {is: load, across: [b, chassis], draws: 19 mA at 100 V, like: tubes}\n";

/* A set with a power transformer, choke and full-wave rectifier. */
struct radio {
    double primary, volts, ohms; /* copper; high voltage of each half */
    const char *rectifier;
    double heaters, draws; /* amperes at 6.3 V, milliamperes at 250 V */
};

static const char *alternating(const struct radio *r, const char *mains, const char *first)
{
    return arena_printf(
        shop_arena(),
        "format: 1\nmains: {voltage: 120 V, frequency: 60 Hz, %s}\nrun: {for: 8 s}\nparts:\n"
        "  T1:\n    is: power transformer\n"
        "    primary: {across: [line, neutral], rated: 120 V, resistance: %g ohm}\n"
        "    windings:\n"
        "      high voltage: {across: [p1, chassis, p2], open circuit: [%g V, %g V], resistance: "
        "[%g ohm, %g ohm]}\n"
        "      rectifier: {open circuit: 5.3 V}\n"
        "      heaters: {across: [h, chassis], open circuit: 6.7 V}\n"
        "  V1: {is: rectifier, plates: [p1, p2], cathode: a, %s}\n"
        "  C1: {is: capacitor, across: [a, chassis], value: 8 uF, rated: 450 V, make: modern%s}\n"
        "  L1: {is: choke, across: [a, b], inductance: 10 H, resistance: 400 ohm}\n"
        "  C2: {is: capacitor, across: [b, chassis], value: 8 uF, rated: 450 V, make: modern}\n"
        "  H1: {is: heater, across: [h, chassis], rated: 6.3 V %g A, of: radio, warm-up: 2 s}\n"
        "  radio: {is: load, across: [b, chassis], draws: %g mA at 250 V, like: tubes}\n",
        mains, r->primary, r->volts, r->volts, r->ohms, r->ohms, r->rectifier, first, r->heaters,
        r->draws);
}

#define WARM(type) "type: " type ", heated by: rectifier, warm-up: 2 s"
static const struct radio small = {9, 270, 180, WARM("5Y3-GT"), 1.7, 55.5},
                          middle = {6, 290, 130, WARM("5Y3-GT"), 2.6, 88.5},
                          large = {3.5, 300, 80, WARM("5U4-G"), 3.7, 148.5};

/* A sound set of the table with what stands in its plug's lead. */
static const char *set_of(int n, const char *mains)
{
    static const struct radio *const radios[TABLE_SHORT] = {NULL, &small, &middle, &large};
    return n == 0 ? arena_printf(shop_arena(), ac_dc, mains) : alternating(radios[n], mains, "");
}

static const char *behind(double watts)
{
    return arena_printf(shop_arena(), "through: {lamp: %g W 120 V}", watts);
}

static double full_watts(const char *text)
{
    return shop_figure(shop_run(text, 0, NULL, NULL), "mains", MEASURE_LINE_POWER);
}

/* As the bench sheet tells it: the line less what a meter reads at the lamp. */
static double volts_left(const char *text)
{
    return 120 - shop_figure(shop_run(text, 0, NULL, NULL), "mains lamp", MEASURE_RMS_VOLTAGE);
}

/* Sound sets keep 3 % to 31 % more than the table says (most of all the large set on the small
 * lamps: 48 V instead of 37 V on 40 W, since its rectifier hardly conducts there). A practitioner
 * tells of 10 % to 25 % on lamps of 25 W and 40 W (no source). */
static void sound_sets_keep_more(void **state)
{
    double most = 0, least = 1, sum = 0;
    (void)state;
    for (int n = 0; n < TABLE_SHORT; n++) {
        near_rel(full_watts(set_of(n, "closes at: crest")), table_sets[n], 0.01, "W");
        for (int k = 0; k < TABLE_LAMPS; k++) {
            double left = volts_left(set_of(n, behind(table_lamps[k]))),
                   more = left / table_left[k][n] - 1;
            printf("%g W set, %g W lamp: %.0f V, the table %.0f V\n", table_sets[n], table_lamps[k],
                   left, table_left[k][n]);
            most = larger(most, more);
            least = smaller(least, more);
            if (k < 2) sum += more / (2 * TABLE_SHORT);
        }
    }
    assert_true(least > 0 && most < 0.35);
    assert_true(sum > 0.10 && sum < 0.25);
}

/* The first filter capacitor of the set of 65 W shorted: 240 W at full line, as the table's. On a
 * lamp the rectifier's filament stays too cold to give what copper alone would let pass: 42 V
 * stand where the table has 11 V (25 W), 77 V where it has 52 V (150 W). With silicon and copper
 * of the same 240 W the table is met; with a tube that is hot all the same, the 3/2 law adds 5 to
 * 8 V. So on a lamp that is small for the set a short glows less brightly than the table says. */
static void shorted_sets_are_no_resistances(void **state)
{
    static const struct radio silicon = {11, 290, 265, "type: silicon", 2.6, 88.5},
                              hot = {6, 290, 130, "type: 5Y3-GT, heated by: always hot", 2.6, 88.5};
    const struct {
        const struct radio *radio;
        double least, most; /* volts over the table's */
    } rows[] = {{&silicon, -3, 3}, {&hot, 3, 8.5}, {&middle, 20, 40}};
    (void)state;
    for (int i = 0; i < 3; i++) {
        const char *first = ", condition: shorted";
        near_rel(full_watts(alternating(rows[i].radio, "closes at: crest", first)),
                 table_sets[TABLE_SHORT], 0.02, "W");
        for (int k = 0; k < TABLE_LAMPS; k++) {
            double left = volts_left(alternating(rows[i].radio, behind(table_lamps[k]), first)),
                   over = left - table_left[k][TABLE_SHORT];
            printf("%s, %g W lamp: %.0f V, the table %.0f V\n", rows[i].radio->rectifier,
                   table_lamps[k], left, table_left[k][TABLE_SHORT]);
            assert_true(over > rows[i].least && over < rows[i].most);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sound_sets_keep_more),
        cmocka_unit_test(shorted_sets_are_no_resistances),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
