/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HANDMADE_H
#define PRESOLDER_HANDMADE_H

#include "run.h"

enum { HAND_SAMPLED = 6 };

/* Circuits made by hand for tests, without a scenario file. Points by name; every source is on
 * from t = 0. */
struct handmade {
    struct arena *arena;
    struct circuit *c;
    struct setup setup;
    double frequency;
    double every; /* [s] between samples */
    int sampled;
    struct {
        const char *name;
        bool current;
        double *values;
        int n;
    } sample[HAND_SAMPLED];
};

struct handmade handmade_new(double frequency);
void handmade_free(struct handmade *h);

void hand_sine(struct handmade *h, const char *name, const char *a, const char *b, double peak,
               double degrees);
void hand_steady(struct handmade *h, const char *name, const char *a, const char *b, double volts);
void hand_r(struct handmade *h, const char *name, const char *a, const char *b, double ohms);
void hand_c(struct handmade *h, const char *name, const char *a, const char *b, double farads,
            double initial);
void hand_l(struct handmade *h, const char *name, const char *a, const char *b, double henries,
            double initial);
/* Straight-line rectifier with probes for its current and inverse volts. */
void hand_diode(struct handmade *h, const char *name, const char *plate, const char *cathode,
                double drop, double slope);
/* 3/2-law rectifier, unlimited emission. */
void hand_tube(struct handmade *h, const char *name, const char *plate, const char *cathode,
               double perveance);
/* Load of constant current or 3/2 law at volts. */
void hand_load(struct handmade *h, const char *name, const char *a, const char *b, double amperes,
               double volts, bool tubes);
/* Probe of a point's volts (as of a capacitor), of the volts between two points, of an element's
 * current by part name. */
void hand_watch(struct handmade *h, const char *point);
void hand_watch_between(struct handmade *h, const char *subject, const char *a, const char *b);
void hand_watch_current(struct handmade *h, const char *part);
/* The same counted the other way, told as `PART backwards`: its running peak is the
 * lowest, with the sign turned. */
void hand_watch_backwards(struct handmade *h, const char *part);

/* The volts of a capacitor, with its stored energy and the time to bleed down in the figures. */
void hand_watch_capacitor(struct handmade *h, const char *part);
/* Asks for the volts of a point, or the current of a part's first element, at t = 0, every,
 * 2 every, ... (n of them, NaN where the run is too short) to be put into values[n] by the next
 * run. At most HAND_SAMPLED of them, all with one `every` [s]. */
void hand_sample(struct handmade *h, const char *point, double every, double *values, int n);
void hand_sample_current(struct handmade *h, const char *part, double every, double *values, int n);

/* The circuit as a setup of one stage, for runs with options of their own. */
const struct setup *hand_setup(struct handmade *h);

/* Runs for `seconds` at default settings; fails the test when the run fails or its audit does.
 * `hand_run_settled` also fails unless every watched quantity has settled. */
const struct result *hand_run(struct handmade *h, double seconds);
const struct result *hand_run_settled(struct handmade *h, double seconds);

/* A figure's value; fails the test when absent. `hand_settled` also fails unless the subject's
 * `settled` is 1. */
double hand_figure(const struct result *r, const char *subject, enum measure measure);
double hand_settled(const struct result *r, const char *subject, enum measure measure);

/* The largest finite magnitude of its subject's figures in its unit; at least 1e-9. */
double hand_largest(const struct result *r, const struct figure *like);

#endif
