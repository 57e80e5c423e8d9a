/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TURN_ON_H
#define PRESOLDER_TURN_ON_H

#include "judge.h"

struct ends;
struct tolerances;

/* What `switch-on` answers: the turn-on as the scenario says, the hot restart at the worst closing
 * angle (every cathode hot, capacitors empty: short power failure, the customary worst case for a
 * rectifier), what the set comes to when it has been on for hours, and the judgement over all. */
struct turn_on {
    const struct setup *setup;
    const struct result *run; /* the scenario's own run */
    const struct result
        *restart; /* hot restart, a few cycles long, with the figures that so few tell (extremes,
                   * first pulse); NULL when no rectifier is there, the run itself is hot or was not
                   * finished, or the mains are off at first */
    const struct result *warm; /* the set that has been on for hours (warm.h); NULL: the run has not
                                * come to its end, something has opened or shorted in it, or no
                                * steady state was found */
    const char *restart_name, *warm_name; /* their variants in the judgement */
    const struct ends *ends;        /* what turns over with an assumption, where somebody has looked
                              * (ends.h); else NULL */
    const struct tolerances *bands; /* of sound sets (tolerances_bands), where somebody has made
                                     * them; else NULL */
    struct judgement *judgement;
    enum status status; /* of the worst of the runs */
};

/* Runs it. Options as for run_simulate; the restart run keeps no trace and ignores the duration. */
struct turn_on *turn_on(struct arena *arena, const struct setup *setup,
                        const struct run_options *options);

/* A hot run of a few cycles closed at `angle` [rad], with only the figures that so few tell.
 * tolerance, trace: as in run_options. */
const struct result *turn_on_first_cycles(struct arena *arena, const struct setup *setup,
                                          double angle, double tolerance, bool trace);

#endif
