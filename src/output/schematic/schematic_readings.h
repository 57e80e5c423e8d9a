/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_READINGS_H
#define PRESOLDER_SCHEMATIC_READINGS_H

#include "judge.h"

/* The figures of one run that a schematic shows. */
struct schematic_reading {
    const char *subject;
    enum measure measure;
    double value; /* SI */
    double limit; /* NaN: none */
    bool over;    /* its rating */
};

struct schematic_readings {
    ARRAY(struct schematic_reading) all;
    const char *from; /* name of the file they were read from; NULL: a run of this program call */
    double seconds;   /* that this run has lasted */
};

/* Those of a judgement over a run of so many seconds and its hot restart. */
struct schematic_readings schematic_readings_of(struct arena *arena,
                                                const struct judgement *judgement, double seconds);

/* Those of a variant in a `figures.csv` that `switch-on` or `compare` wrote. False when there is no
 * such file, it is none of ours, or holds nothing of the variant. */
bool schematic_readings_read(struct arena *arena, const char *path, const char *variant,
                             struct schematic_readings *readings);

/* NaN when absent. */
double schematic_readings_find(const struct schematic_readings *readings, const char *subject,
                               enum measure measure);

/* Mean volts of a point: its own, or those of a neighbour and of the part between; NaN: neither. */
double schematic_readings_point(const struct schematic_readings *readings, const struct set *set,
                                const char *point);

#endif
