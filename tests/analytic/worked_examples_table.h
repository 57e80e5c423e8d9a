/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORKED_EXAMPLES_TABLE_H
#define PRESOLDER_WORKED_EXAMPLES_TABLE_H

#include "supply.h"

/* Worked examples of textbooks on the capacitor-input rectifier, as the notebooks of the Python
 * Textbook Companions (FOSSEE, IIT Bombay) render them, with book and page. `peak` is what the
 * book's own diode drop leaves; ideal rectifier and source. `exact` solves that circuit (closed
 * form, roots by bisection), `error` is by how much the book's rule is off, in per cent. */

enum quantity { MEAN, RIPPLE_PP, RIPPLE_RMS, RIPPLE_SHARE, PEAK, AVERAGE, CONDUCTION };

struct example {
    const char *source;
    struct supply supply;
    struct {
        enum quantity what;
        double published, exact; /* V, V, V, 1, A, A, degrees */
        double error;            /* [%] */
    } answer[4];
};

#define SUPPLY(k, f, v, r, c)                                                                      \
    {                                                                                              \
        .kind = SUPPLY_##k, .frequency = (f), .peak = (v), .ohms = (r), .farads = (c)              \
    }

static const struct example examples[] = {
    {"Sedra & Smith, Microelectronic Circuits, 5th ed. 2004, Ex. 3.9 p. 181",
     SUPPLY(HALF_WAVE, 60, 100, 10e3, 83.3333e-6),
     {{RIPPLE_PP, 2, 1.9184, 4.25},
      {PEAK, 0.638, 0.6222, 2.54},
      {CONDUCTION, 11.46, 11.423, 0.32}}},
    {"Malvino & Bates, Electronic Principles, 7th ed. 2006, Ex. 4-6 p. 108",
     SUPPLY(HALF_WAVE, 60, 24 / 0.707, 5e3, 100e-6),
     {{MEAN, 33.95, 33.417, 1.59}, {RIPPLE_PP, 1.13, 1.0686, 5.75}}},
    {"the same, Ex. 4-8 p. 110",
     SUPPLY(BRIDGE, 60, 24 / 0.707, 5e3, 100e-6),
     {{MEAN, 33.95, 33.686, 0.78}, {RIPPLE_PP, 0.57, 0.52928, 7.69}}},
    {"the same, Ex. 4-7 p. 109",
     SUPPLY(CENTRE_TAP, 60, 12 / 0.707, 5e3, 100e-6),
     {{MEAN, 16.97, 16.843, 0.75}, {RIPPLE_PP, 0.28, 0.26464, 5.80}}},
    {"Mehta, Principles of Electronics, 11th ed. 2009, Ex. 6.23 p. 105; Floyd, Electronic Devices, "
     "7th ed. 2009, Ex. 2.7 p. 58",
     SUPPLY(BRIDGE, 60, 14.863456, 2.2e3, 50e-6),
     {{MEAN, 14.3, 14.399, -0.69}, {RIPPLE_PP, 0.079 * 14.3, 0.9598, 17.7}}},
    {"Boylestad & Nashelsky, Electronic Devices and Circuit Theory, 10th ed. 2009, Ex. 15.3-15.5",
     SUPPLY(CENTRE_TAP, 60, 30, 558, 100e-6),
     {{RIPPLE_RMS, 1.2, 1.053, 13.9},
      {MEAN, 27.9, 28.311, -1.45},
      {RIPPLE_SHARE, 0.043, 0.03721, 15.6},
      {RIPPLE_PP, 0, 3.524, 0}}},
    {"Neamen, Electronic Circuit Analysis and Design, 2nd ed. 2001, Ex. 2.2 p. 59",
     SUPPLY(CENTRE_TAP, 60, 10, 10e3, 41.67e-6),
     {{RIPPLE_PP, 0.2, 0.18576, 7.67}, {MEAN, 0, 9.9088, 0}}},
    {"the same, Ex. 2.3 p. 61",
     SUPPLY(BRIDGE, 60, 12, 100, 1667e-6),
     {{RIPPLE_PP, 0.6, 0.5295, 13.3},
      {PEAK, 2.50, 2.330, 7.30},
      {AVERAGE, 0.066, 0.05871, 12.4},
      {MEAN, 0, 11.742, 0}}},
    {"Grob's Basic Electronics (Schultz), Ex. 27-7 p. 883, half-wave, 0.7 V off",
     SUPPLY(HALF_WAVE, 60, 42.42 - 0.7, 250, 500e-6),
     {{RIPPLE_PP, 5.21, 4.8213, 8.06}, {MEAN, 39.12, 39.329, -0.53}}},
    {"the same, full-wave",
     SUPPLY(CENTRE_TAP, 60, 42.42 - 0.7, 250, 500e-6),
     {{RIPPLE_PP, 2.69, 2.3986, 12.1}, {MEAN, 40.38, 40.557, -0.44}}},
    {"Bimbhra, Power Electronics, Ex. 3.21 p. 122",
     SUPPLY(BRIDGE, 50, 325.26912, 400, 189.28e-6),
     {{MEAN, 303.79, 308.760, -1.61},
      {RIPPLE_SHARE, 0.05, 0.03321, 50.6},
      {RIPPLE_PP, 0, 34.37, 0}}},
    {"Kishore, Electronic Devices and Circuits, Ex. 3.11 p. 172",
     SUPPLY(CENTRE_TAP, 50, 33.125, 600, 80e-6),
     {{MEAN, 30, 30.673, -2.19},
      {RIPPLE_SHARE, 0.06, 0.050447, 18.9},
      {PEAK, 16.65 * 0.05, 0.4921, 69.2}}},
    {"the same, Ex. 4-9 p. 237",
     SUPPLY(CENTRE_TAP, 60, 424.26407, 1350, 10e-6),
     {{RIPPLE_SHARE, 0.18, 0.12944, 39.1}, {MEAN, 0, 355.30, 0}, {RIPPLE_PP, 0, 148.0, 0}}},
};

/* The first of them with a resistance in the source: its textbook peak needs less than 0.1 ohm. */
static const struct {
    double ohms, peak, mean; /* [ohm], [A], [V] */
} with_source[] = {
    {1, 0.43411, 98.991},
    {10, 0.21826, 97.669},
    {50, 0.12459, 93.723},
};

/* The rule Vpp = Idc / (n f C) with the true Idc, from an ideal source: too large by [%]. */
static const struct {
    double wcr, half_wave, full_wave;
} rule[] = {
    {200, 4, 6}, {50, 8.5, 12}, {20, 14, 21}, {10, 21, 31}, {5, 33, 49},
};

#endif
