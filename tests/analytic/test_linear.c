/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Circuits whose answer is an elementary function: steps and discharges from a textbook, a step
 * into choke and capacitor, the discharge of filter capacitors. The exact value is computed beside
 * each; the printed one is met to its last digit. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "supply.h"
#include "table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

/* A source, a resistance and one or two storing parts in a ring. */
struct ring {
    double frequency; /* that cycles are counted by [Hz] */
    double source;    /* [V]; 0: none */
    double ohms, henries, farads;
    double amperes, volts; /* in coil and capacitor at the start */
    bool diode;
};

static struct handmade ring_new(const struct ring *g)
{
    struct handmade h = handmade_new(g->frequency);
    const char *at = "0";
    if (g->source > 0) hand_steady(&h, "S", at = "a", "0", g->source);
    if (g->farads > 0 && !(g->source > 0)) hand_c(&h, "C", at = "a", "0", g->farads, g->volts);
    if (g->diode) hand_diode(&h, "D", at, "k", 0, 0), at = "k";
    if (g->henries > 0) hand_l(&h, "L", at, "l", g->henries, g->amperes), at = "l";
    if (g->farads > 0 && g->source > 0) {
        hand_r(&h, "R", at, "c", g->ohms);
        hand_c(&h, "C", "c", "0", g->farads, g->volts);
    } else {
        hand_r(&h, "R", at, "0", g->ohms);
    }
    return h;
}

/* J. O. Bird, Electrical Circuit Theory and Technology, 2nd ed. 2003, pages in the table: what is
 * asked at an instant, as printed, with half its last digit. */
static const struct bird {
    const char *name;
    struct ring ring;
    const char *point; /* its volts; NULL: the current through R */
    double time;       /* [s] */
    double printed, half_digit, exact;
} bird[] = {
    {"p. 903 50 V, 100 k, 500 nF: amperes", {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     NULL, 0.15, 24.89e-6, 0.005e-6, 24.8935342e-6},
    {"p. 903 capacitor", {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     "c", 0.08, 39.91, 0.01, 39.9051741},
    {"p. 903 resistor at 35 V", {50, 50, 1e5, 0, 500e-9, 0, 0, false},
     "c", 17.83e-3, 15, 0.01, 50 - 35.0023024},
    {"p. 905 5 uF at 200 V into 2 M", {1, 0, 2e6, 0, 5e-6, 0, 200, false},
     "a", 20, 27.07, 0.005, 27.0670566},
    {"p. 907 110 V, 50 mH, 5 ohm: amperes", {50, 110, 5, 50e-3, 0, 0, 0, false},
     NULL, 4e-3, 7.25, 0.005, 7.25295899},
    {"p. 907 volts of the resistor", {50, 110, 5, 50e-3, 0, 0, 0, false},
     "l", 6e-3, 49.63, 0.005, 49.6307200},
    {"p. 907 15 A", {50, 110, 5, 50e-3, 0, 0, 0, false},
     NULL, 11.45e-3, 15, 0.005, 14.9990864},
    {"p. 909 2 H with 5 A into 10 ohm", {50, 0, 10, 2, 0, 5, 0, false},
     NULL, 0.644, 0.200, 0.0005, 0.199777634},
    {"p. 262 15 uF through 47 k to 120 V", {10, 120, 47e3, 0, 15e-6, 0, 0, false},
     "c", 0.705, 75.85, 0.005, 75.8544671},
    {"p. 262 half the volts", {10, 120, 47e3, 0, 15e-6, 0, 0, false},
     "c", 0.48867, 60, 0.005, 60.0000000},
    {"p. 267 16 uF at 100 V into 50 k", {10, 0, 50e3, 0, 16e-6, 0, 100, false},
     "a", 1.29, 20, 0.1, 19.9388},
    {"p. 267 after a second", {10, 0, 50e3, 0, 16e-6, 0, 100, false},
     "a", 1, 28.7, 0.05, 28.6504797},
};
