/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DEVICE_H
#define PRESOLDER_DEVICE_H

#include <stdbool.h>

/* What is not a constant linear element: a device has one or more ports (two points each), and
 * states of its own (temperatures, flux) that move with what happens at its ports; its current may
 * also depend on states of other devices (a rectifier on the temperature of its cathode). Each law
 * is one const table with analytic derivatives. */

enum {
    DEVICE_PORTS = 8,    /* most ports of one device */
    DEVICE_STATES = 4,   /* most own states */
    DEVICE_FOREIGN = 12, /* most states of other devices it looks at */
    PORT_COEFFICIENTS = 2
};

/* Partial derivatives at one operating point. Entries not filled stay zero. */
struct device_slopes {
    double i_s[DEVICE_PORTS][DEVICE_STATES]; /* d port current / d own state, at constant voltage */
    double i_x[DEVICE_PORTS][DEVICE_FOREIGN];   /* d port current / d foreign state */
    double ds_v[DEVICE_STATES][DEVICE_PORTS];   /* d rate / d port voltage */
    double ds_s[DEVICE_STATES][DEVICE_STATES];  /* d rate / d own state */
    double ds_x[DEVICE_STATES][DEVICE_FOREIGN]; /* d rate / d foreign state */
};

/* A body of one temperature T that is heated by a device's watts:
 * heat dT/dt = watts - to_ambient (T - ambient) - sum of link[k] (T - x[k]), x the foreign states
 * of its device, temperatures of other bodies. */
struct thermal_body {
    double heat;                 /* heat capacity [J/K] */
    double to_ambient;           /* [W/K] */
    double ambient;              /* [K] */
    int links;                   /* as many as the device has foreign states */
    double link[DEVICE_FOREIGN]; /* [W/K] */
    bool copper; /* its watts grow with its temperature as copper's ohms do, at a given current */
};

struct device_law {
    const char *name;
    bool straight; /* port currents are straight lines in their volts: no iteration is needed for
                      them */

    /* Once per instant: the coefficients of every port's current law from the states.
     * c[port*PORT_COEFFICIENTS ...], s own states, x foreign states. */
    void (*prepare)(const void *par, const double *s, const double *x, double *c);

    /* Current of one port [A] at v [V] with its coefficients; *g = d i / d v [S]. Current counts
     * from `from` to `to`. */
    double (*current)(const void *par, int port, const double *c, double v, double *g);

    /* ds[states]: rates of the own states at port voltages v. NULL without states. */
    void (*rates)(const void *par, const double *v, const double *s, const double *c, double *ds);

    /* Everything but d i / d v. `slopes` comes zeroed. */
    void (*slopes)(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *slopes);

    /* Energy [J] stored in the states and given back by the ports (a core's field); NULL: all v*i
     * is heat. */
    double (*stored)(const void *par, const double *s);

    /* Bit j set: own state j moves little within a cycle, and its rate looks at the port voltages
     * by their squares alone: a cycle's mean squares serve as well as the instant's. NULL: none. */
    unsigned (*slow)(const void *par);
};

#endif
