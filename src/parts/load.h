/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LOAD_H
#define PRESOLDER_LOAD_H

#include "heater.h"
#include "fault.h"

/* What is known of a load between reading and writing; only for its own files, but for load_scale.
 */

enum { LOAD_LINEUP = 24, LOAD_OVER = 4 };

struct load_tube {
    const struct model *model;
    double volts, amperes; /* of its heater, rated */
    double current;        /* customary [A]; 0: none */
    double at;             /* plate volts that belong to it */
    struct heater_kind heating;
};

enum load_condition { LOAD_GOOD, LOAD_OPEN, LOAD_SHORTED, LOAD_TOO_MUCH };

/* What `like: output stage` tells; volts and amperes without signal. */
struct load_output {
    int number;              /* equal tubes in parallel */
    double factor;           /* amplification factor */
    double cathode;          /* bias resistor [ohm]; 0: none */
    double bias;             /* fixed volts at the grid, <= 0 */
    bool customary;          /* the bias resistor follows from the tube's customary bias */
    double leak, from;       /* of the coupling capacitor [ohm], 0: sound; volts before it */
    double grid;             /* grid resistor [ohm] */
    const struct part *view; /* the part with the values of its tube */
};

struct load {
    int from, to;
    enum load_condition condition;
    enum load_kind like;
    bool told;             /* what it is like */
    double amperes, volts; /* what it draws; volts 0: not known */
    double drop;           /* told by the drop over `over` [V]; 0: told otherwise */
    double over_ohms;
    const char *over[LOAD_OVER];
    int over_count;
    double bridge;                       /* ohms of a short */
    double scale;                        /* `scaled by` */
    double now_amperes, now_volts, more; /* too much: what it draws, or that many times the usual */
    bool heaters_out;                    /* open: its tubes are out of their sockets */
    struct load_output output;
    struct load_tube tube[LOAD_LINEUP];
    int tubes;
    bool always_hot;
    bool customary; /* what it draws is the sum of its tubes' */
};

/* What a load's `scaled by` reads; 1 where it is left out. */
double load_scale(const struct part *part);

/* Settles what tubes of which only the types are known draw, once all parts are read. */
void load_customary(struct set *set, const struct part *part, struct load *l);

extern const struct part_fault load_faults[];

/* Reads `lineup`, or the `tube` of an output stage. */
void load_lineup(struct set *set, const struct part *part, struct load *load);

/* Stamps the heaters of a load's tubes; fills the emitters and the share of the current of each.
 * Returns how many, 0 when nothing heats it; -1 when it complained. */
int load_heaters(struct set *set, struct part *part, int emitter[DEVICE_FOREIGN],
                 double weight[DEVICE_FOREIGN]);

/* Reads what belongs to its condition. */
void load_fault(struct set *set, const struct part *part, struct load *load);

/* Reads what an output stage adds, once it is known what the load draws. */
void load_output_read(struct set *set, const struct part *part, struct load *load);

/* Writes the stage into the circuit; `emitter` and `weight` as of load_heaters, `tubes` of them.
 * Fills the elements of plate and screen; returns how many, 0 when it complained. */
int load_output_stamp(struct set *set, const struct part *part, int tubes, const int *emitter,
                      const double *weight, int element[2]);

#endif
