/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LOAD_H
#define PRESOLDER_LOAD_H

#include "heater.h"
#include "part.h"

/* What is known of a load between reading and writing; only for its own files. */

enum { LOAD_LINEUP = 24, LOAD_OVER = 4 };

struct load_tube {
    const struct model *model;
    double volts, amperes; /* of its heater, rated */
    double current;        /* customary [A]; 0: none */
    double at;             /* plate volts that belong to it */
    struct heater_kind heating;
};

struct load {
    int from, to;
    int condition;
    enum load_kind like;
    double amperes, volts; /* what it draws; volts 0: not known */
    double drop;           /* told by the drop over `over` [V]; 0: told otherwise */
    double over_ohms;
    const char *over[LOAD_OVER];
    int over_count;
    double bridge; /* ohms of a short */
    struct load_tube tube[LOAD_LINEUP];
    int tubes;
    bool always_hot;
};

/* Reads `lineup`. */
void load_lineup(struct set *set, const struct part *part, struct load *load);

/* Stamps the heaters of a load's tubes; fills the emitters and the share of the current of each.
 * Returns how many, 0 when nothing heats it; -1 when it complained. */
int load_heaters(struct set *set, struct part *part, int emitter[DEVICE_FOREIGN],
                 double weight[DEVICE_FOREIGN]);

#endif
