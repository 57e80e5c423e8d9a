/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MAINS_H
#define PRESOLDER_MAINS_H

#include "part.h"

enum { MAINS_THROUGH = 6 };

/* The mains of one stage: a source, its resistance, what is in series with the plug, the switch. */
struct mains {
    bool given;
    const char *hot, *cold; /* points at the outlet's line and neutral, after `plugged` */
    double volts;           /* as stated: RMS of a sine, crest of a square wave [V] */
    double frequency;       /* [Hz] */
    double resistance;      /* of the source [ohm] */
    double series;          /* resistor in series with the plug [ohm]; 0: none */
    struct pair through[MAINS_THROUGH]; /* parts in series with the plug, as if the scenario had
                                           written them: name (`mains lamp`) and keys */
    int through_count;
    int outlet, plug; /* points before and behind them; -1: there are none */
    /* a transformer stands between: line volts and watts are those at the outlet */
    bool transformed;
    int back; /* point of the return at the outlet; -1: `cold`, nothing isolates it */
    bool square;
    double dwell;  /* square: fraction of each half period at full voltage */
    bool gap_open; /* square: an open contact between; else no volts, as if shorted */
    bool on;
    bool closes_given, closes_worst;
    double closes_at;    /* [rad] */
    int source, breaker; /* elements, once stamped */
};

/* Points of the mains and where they are named, as written in the map of the mains; line and
 * neutral when it names no two. */
void mains_points(const struct node *map, const char *points[2], struct place at[2]);

/* Reads the keys of `mains` (NULL: no mains) and fills line_volts, frequency, mains_resistance and
 * line of the set. The parts of `through` are left to the caller to make. Complaints go to the set;
 * what is wrong is replaced by something harmless so that the parts can be read. */
void mains_read(struct set *set, const struct node *map, struct mains *mains);

/* Writes its elements and probes. `earthed`: some part ends on the point `earth`. */
void mains_stamp(struct set *set, struct mains *mains, bool earthed);

#endif
