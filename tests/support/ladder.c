/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ladder.h"

#include <stdio.h>

#include "catalogue.h"

const struct setup *ladder_setup(struct arena *arena, int sections)
{
    struct diags *diags = diags_new(arena);
    const char *text = "format: 1\n"
                       "title: RC sections (invented)\n"
                       "mains: {voltage: 117 V, frequency: 60 Hz, closes at: crest}\n"
                       "parts:\n"
                       "  T1: {is: power transformer,"
                       " primary: {across: [line, neutral], rated: 117 V, resistance: 8 ohm},"
                       " windings: {hv: {across: [p1, chassis, p2], open circuit: [300 V, 300 V],"
                       " resistance: [100 ohm, 100 ohm]}}}\n"
                       "  D1: {is: rectifier, type: silicon, plates: [p1, p2], cathode: n0}\n"
                       "  C0: {is: capacitor, across: [n0, chassis], value: 10 uF, rated: 500 V}\n";
    for (int k = 1; k <= sections; k++)
        text = arena_printf(arena,
                            "%s  R%d: {is: resistor, across: [n%d, n%d], resistance: 10 ohm}\n"
                            "  C%d: {is: capacitor, across: [n%d, chassis], value: 1 uF,"
                            " rated: 500 V}\n",
                            text, k, k - 1, k, k, k);
    text =
        arena_printf(arena, "%s  L: {is: resistor, across: [n%d, chassis], resistance: 5 kohm}\n",
                     text, sections);
    const struct catalogue *models = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const struct scenario *s = models ? scenario_parse(arena, diags, models, "ladder", text) : NULL;
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    return setup;
}
