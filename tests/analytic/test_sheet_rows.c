/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of makers' sheets, reprints and lists that were read in part: those that are values of the
 * catalogue stand there as read, and what else they print is held against what the program makes of
 * them. The source is beside each row; where it is second hand it says so. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "fuse.h"
#include "near.h"
#include "shop.h"

#define GE_6X4 "General Electric, 6X4 Twin Diode, Description and Rating, p. 1"
#define EMISSION_LABS "Emission Labs, 5U4G-Mesh / 5Z3-Mesh data sheet"
#define SUMMARY "hobby summary of makers' sheets, second hand"
#define ARTICLE_82 "article on the 82, February 2018, citing RCA"
#define PAGE_866A "page on the 866A, second hand"
#define TRADE_1939 "trade article on the 35Z5-GT, 1939, second hand"
#define LIST_AZ12 "list of German tubes, second hand"
#define NEW_SENSOR "New Sensor, EL34EH/EL34WXT data sheet"
#define QUOTED_6V6 "public file quoting RCA and GE sheets"
#define REPRINT_2A3 "reprint of the 2A3 data sheet"
#define REPRINT_12AX7 "reprint of the 12AX7 data sheet"
#define FAIRCHILD_1N4 "Fairchild, 1N4001-1N4007, 2001"
#define FAIRCHILD_1N5 "Fairchild, 1N5400-1N5408, 2001, Rev. C"
#define EIC_US1M "US1A-US1M, EIC, rev. 06, 2008"
#define INVAC "Invac, BY127/133"
#define AMPHENOL_CL "General Electric/Amphenol, type CL, AAS-920-325D"
#define LITTELFUSE_312 "Littelfuse 312/318, 2015 and 2018"
#define LITTELFUSE_313 "Littelfuse 313/315, rev. 12/19/13"
#define LITTELFUSE_213 "Littelfuse 213 series, 03/14/14"

static const struct {
    const char *model, *key, *value, *source;
} rows[] = {
    {"6X4", "heater", "6.3 V 0.6 A", GE_6X4},
    {"6X4", "heating", "indirect", GE_6X4},
    {"6X4", "inverse voltage", "1250 V", GE_6X4},
    {"6X4", "running peak current", "245 mA", GE_6X4},
    {"6X4", "inrush peak current", "1 A", GE_6X4},
    {"6X4", "rating system", "design-maximum", GE_6X4},
    {"EZ90", "rating system", "design-maximum", GE_6X4},
    {"12X4", "rating system", "design-maximum", GE_6X4},
    {"12X4", "heater", "12.6 V 0.3 A", SUMMARY},
    {"12X4", "average current", "70 mA", SUMMARY},
    {"12X4", "drop", "22 V at 70 mA", SUMMARY},
    {"5U4-G", "heater", "5 V 3 A", EMISSION_LABS},
    {"5U4-G", "average current", "225 mA", EMISSION_LABS},
    {"5U4-G", "first capacitor", "40 uF", EMISSION_LABS},
    {"5U4-G", "plate voltage choke input", "550 V", EMISSION_LABS},
    {"5U4-G", "drop", "58 V at 225 mA", SUMMARY},
    {"5U4-G", "supply impedance", "75 ohm at 450 V", SUMMARY},
    {"5U4-G", "least choke", "3 H", SUMMARY},
    {"5T4", "drop", "45 V at 225 mA", SUMMARY},
    {"5T4", "supply impedance", "150 ohm at 450 V", SUMMARY},
    {"5T4", "first capacitor", "40 uF", SUMMARY},
    {"5R4-GY", "drop", "67 V at 250 mA", SUMMARY},
    {"5R4-GY", "inverse voltage", "2800 V", SUMMARY},
    {"5R4-GY", "first capacitor", "4 uF", SUMMARY},
    {"81", "heater", "7.5 V 1.25 A", SUMMARY},
    {"81", "plate voltage", "700 V", SUMMARY},
    {"81", "average current", "85 mA", SUMMARY},
    {"81", "drop", "91 V at 170 mA", SUMMARY},
    {"82", "heater", "2.5 V 3 A", ARTICLE_82},
    {"82", "running peak current", "400 mA", ARTICLE_82},
    {"866A", "heater", "2.5 V 5 A", SUMMARY},
    {"866A", "preheat", "15 s", SUMMARY},
    {"866A", "average current", "250 mA", SUMMARY},
    {"866A", "plate voltage choke input", "3500 V", PAGE_866A},
    {"866A", "running peak current", "1 A", PAGE_866A},
    {"EZ40", "warm-up", "35 s", SUMMARY},
    {"EZ80", "supply impedance",
     "125 ohm at 250 V, 175 ohm at 275 V, 215 ohm at 300 V, 300 ohm at 350 V", SUMMARY},
    {"EZ41", "warm-up", "22 s", SUMMARY},
    {"EZ41", "drop", "15 V at 60 mA", SUMMARY},
    {"EZ41", "average current", "60 mA", SUMMARY},
    {"AZ1", "drop", "28 V at 60 mA", SUMMARY},
    {"AZ1", "first capacitor", "60 uF", SUMMARY},
    {"AZ12", "heater", "4 V 2.4 A", LIST_AZ12},
    {"AZ12", "first capacitor", "60 uF", SUMMARY},
    {"AZ41", "drop", "23 V at 35 mA", SUMMARY},
    {"AZ41", "first capacitor", "50 uF", SUMMARY},
    {"AZ50", "heater", "4 V 3 A", SUMMARY},
    {"AZ50", "drop", "24 V at 150 mA", SUMMARY},
    {"AZ50", "first capacitor", "64 uF", SUMMARY},
    {"GZ37", "inverse voltage", "1600 V", SUMMARY},
    {"GZ37", "average current", "250 mA", SUMMARY},
    {"GZ37", "first capacitor", "4 uF", SUMMARY},
    {"35Z5-GT", "heater", "35 V 0.15 A", TRADE_1939},
    {"35Z5-GT", "tap", "7.5 V", TRADE_1939},
    {"35Z5-GT", "average current", "100 mA", TRADE_1939},
    {"7Z4", "heater", "6.3 V 0.9 A", SUMMARY},
    {"7Z4", "drop", "40 V at 100 mA", SUMMARY},
    {"7Z4", "running peak current", "300 mA", SUMMARY},
    {"7Z4", "first capacitor", "40 uF", SUMMARY},
    {"EL34", "heater", "6.3 V 1.5 A", NEW_SENSOR},
    {"EL34", "plate dissipation", "25 W", NEW_SENSOR},
    {"EL34", "screen dissipation", "8 W", NEW_SENSOR},
    {"6V6-GT", "current", "49.5 mA at 250 V", QUOTED_6V6},
    {"6V6-GT", "bias", "-12.5 V", QUOTED_6V6},
    {"6V6-GT", "screen current", "4.5 mA", QUOTED_6V6},
    {"2A3", "heater", "2.5 V 2.5 A", REPRINT_2A3},
    {"2A3", "current", "60 mA at 250 V", REPRINT_2A3},
    {"2A3", "bias", "-45 V", REPRINT_2A3},
    {"12AX7", "heater", "6.3 V 0.3 A", REPRINT_12AX7},
    {"12AX7", "current", "2.4 mA at 250 V", REPRINT_12AX7},
    {"12AX7", "bias", "-2 V", REPRINT_12AX7},
    {"EL3", "heater", "6.3 V 1.2 A", SUMMARY},
    {"EL3N", "heater", "6.3 V 0.9 A", SUMMARY},
    {"1N4007", "inverse voltage", "1000 V", FAIRCHILD_1N4},
    {"1N4007", "average current", "1 A", FAIRCHILD_1N4},
    {"1N4007", "surge current", "30 A for 8.3 ms", FAIRCHILD_1N4},
    {"1N4007", "rating system", "absolute", FAIRCHILD_1N4},
    {"1N5408", "inverse voltage", "1000 V", FAIRCHILD_1N5},
    {"1N5408", "average current", "3 A", FAIRCHILD_1N5},
    {"1N5408", "surge current", "200 A for 8.3 ms", FAIRCHILD_1N5},
    {"1N5408", "rating system", "absolute", FAIRCHILD_1N5},
    {"UF4007", "inverse voltage", "1000 V", EIC_US1M},
    {"UF4007", "average current", "1 A", EIC_US1M},
    {"BY127", "inverse voltage", "1250 V", INVAC},
    {"BY133", "inverse voltage", "1300 V", INVAC},
    {"CL-110", "least current", "0.7 A", AMPHENOL_CL},
    {"CL-120", "least current", "0.4 A", AMPHENOL_CL},
    {"CL-130", "least current", "0.4 A", AMPHENOL_CL},
    {"CL-140", "least current", "0.2 A", AMPHENOL_CL},
    {"CL-150", "least current", "1 A", AMPHENOL_CL},
    {"CL-160", "least current", "0.8 A", AMPHENOL_CL},
    {"CL-170", "least current", "0.5 A", AMPHENOL_CL},
    {"CL-180", "least current", "0.4 A", AMPHENOL_CL},
    {"CL-190", "least current", "0.5 A", AMPHENOL_CL},
    {"CL-200", "least current", "0.4 A", AMPHENOL_CL},
    {"CL-210", "least current", "0.3 A", AMPHENOL_CL},
    {"3AG 100 mA fast", "i2t", "0.00171 A2s", LITTELFUSE_312},
    {"3AG 125 mA fast", "i2t", "0.00289 A2s", LITTELFUSE_312},
    {"3AG 125 mA fast", "cold resistance", "7.145 ohm", LITTELFUSE_312},
    {"3AG 250 mA fast", "i2t", "0.0355 A2s", LITTELFUSE_312},
    {"3AG 250 mA fast", "cold resistance", "2.01 ohm", LITTELFUSE_312},
    {"3AG 2.5 A slow", "i2t", "130 A2s", LITTELFUSE_313},
    {"3AG 2.5 A slow", "cold resistance", "0.0811 ohm", LITTELFUSE_313},
    {"3.15 A slow", "i2t", "202 A2s", LITTELFUSE_213},
    {"3.15 A slow", "cold resistance", "0.0231 ohm", LITTELFUSE_213},
    {"4 A slow", "i2t", "226.505 A2s", LITTELFUSE_213},
    {"200 mA slow", "i2t", "0.225 A2s", LITTELFUSE_213},
    {"400 mA slow", "i2t", "1.36 A2s", LITTELFUSE_213},
};

static void the_catalogue_has_what_was_read(void **state)
{
    const int n = sizeof rows / sizeof rows[0];
    (void)state;
    for (int i = 0; i < n; i++) {
        const struct model *m = catalogue_find(shop_catalogue(), rows[i].model);
        const struct node *node = m ? node_get(m->values, rows[i].key) : NULL;
        if (!node || strcmp(node->text, rows[i].value) != 0)
            fail_msg("%s %s is %s, not %s (%s)", rows[i].model, rows[i].key,
                     node ? node->text : "not there", rows[i].value, rows[i].source);
    }
    printf("%d values as read\n", n);
}

/* ---- the law of an output stage at another point than it is made at ---- */

/* 6V6-GT, RCA and GE, quoted in a public file: 45 mA of plate and 4.5 mA of screen at 250 V and -12.5
 * V, as in the catalogue; 29 mA and 3 mA at 180 V and -8.5 V. Its factor of 9.6 is from memory. */
static void an_output_tube_draws_less_at_less(void **state)
{
    const double perveance = 49.5 / pow(250 / 9.6 - 12.5, 1.5);
    const struct setup *setup = shop_setup(
        arena_printf(shop_arena(),
                     "format: 1\nparts:\n"
                     "  B1: {is: battery, across: [B+, chassis], voltage: 180 V}\n"
                     "  out: {is: load, across: [B+, chassis], like: output stage, tube: 6V6-GT, "
                     "bias: -8.5 V, perveance: %.9g mA/V^1.5, heated by: always hot}\n"
                     "run: {for: 1 s}\n",
                     perveance),
        NULL);
    struct run_options o = run_defaults();
    (void)state;
    near_rel(shop_figure(run_simulate(shop_arena(), setup, &o), "out", MEASURE_AVERAGE_CURRENT),
             0.032, 0.03, "A");
}

/* ---- fuses ---- */

/* Littelfuse 213 series, later layout: millivolts across a slow 5x20 fuse at its rated current, an
 * upper bound. [A], [V] */
static const double drops[][2] = {{0.2, 1.5},  {0.25, 1.3}, {0.315, 1.1}, {0.4, 1.0},   {0.5, 0.9},
                                  {0.63, 0.3}, {0.8, 0.25}, {1, 0.15},    {1.25, 0.15}, {1.6, 0.15},
                                  {2, 0.15},   {2.5, 0.12}, {3.15, 0.1}};

/* The port lies beside a base of the melting element's ohms: both together are the fuse. */
static void slow_fuses_drop_no_more_than_printed(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof drops / sizeof drops[0]; i++) {
        const double amperes = drops[i][0];
        char rated[32];
        double s[2], c[PORT_COEFFICIENTS], g;
        quantity_text(amperes, UNIT_AMPERE, 3, rated, sizeof rated);
        const struct setup *setup = shop_setup(
            arena_printf(shop_arena(),
                         "format: 1\nmains: {voltage: 120 V}\nrun: {ambient: 25 C}\nparts:\n"
                         "  R1: {is: resistor, across: [a, neutral], resistance: 100 ohm}\n"
                         "  F1: {is: fuse, across: [line, a], type: %s slow}\n",
                         rated),
            NULL);
        const struct fuse_law *l = setup->stages.at[0].circuit->devices.at[0].par;
        fuse_settled(l, amperes, &s[0], &s[1]);
        law_fuse.prepare(l, s, NULL, c);
        law_fuse.current(l, 1, c, 1, &g);
        const double melting = l->cold * (1 + l->coefficient * (l->melts - LAWS_ROOM));
        double volts = amperes / (g + 1 / melting);
        printf("%s slow: %.0f mV at rated current (at most %.0f mV)\n", rated, 1e3 * volts,
               1e3 * drops[i][1]);
        assert_true(volts > amperes * l->cold);
        assert_true(volts < drops[i][1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_catalogue_has_what_was_read),
        cmocka_unit_test(an_output_tube_draws_less_at_less),
        cmocka_unit_test(slow_fuses_drop_no_more_than_printed),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
