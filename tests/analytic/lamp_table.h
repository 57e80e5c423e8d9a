/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LAMP_TABLE_H
#define PRESOLDER_LAMP_TABLE_H

/* Volts that a series lamp leaves a set on 120 V, the set taken as a resistance of so many watts at
 * 120 V and the lamp's amperes as its volts to the power 0.55: customary, no source. The last set
 * is one of about 65 W with its first filter capacitor shorted. */
enum { TABLE_LAMPS = 5, TABLE_SETS = 5, TABLE_SHORT = 4 };

static const double table_sets[TABLE_SETS] = {30, 45, 65, 100, 240};   /* [W] */
static const double table_lamps[TABLE_LAMPS] = {25, 40, 60, 100, 150}; /* [W] */
static const double table_left[TABLE_LAMPS][TABLE_SETS] = {{63, 48, 36, 25, 11},
                                                           {82, 66, 52, 37, 17},
                                                           {95, 82, 67, 51, 25},
                                                           {108, 99, 87, 70, 38},
                                                           {114, 108, 100, 86, 52}};

#endif
