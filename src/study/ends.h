/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ENDS_H
#define PRESOLDER_ENDS_H

#include "overrides.h"
#include "trial.h"

/* Whether a verdict turns over with what was assumed: the warm set and its hot restarts with every
 * assumption of its first stage at either end of its range, one at a time. */

/* A figure that is inside its rating with the value taken and over it at an end of the range. */
struct end_turn {
    const struct assumption *assumption;
    double value;        /* the end, SI */
    const char *subject; /* of the figure */
    enum measure measure;
    double figure; /* there */
    double limit;
    bool at_least;
    bool restart; /* at a hot restart */
    double share; /* of the limit */
};

struct ends {
    ARRAY(struct end_turn) turns;              /* worst first; of each assumption and figure once */
    ARRAY(const struct assumption *) not_laid; /* no key sets them so: not looked at */
    ARRAY(const struct assumption *) not_settled; /* with them a run failed: not looked at */
    int looked_at;                                /* ends that were run */
    bool interrupted;
};

struct ends_options {
    bool cold;                                   /* the start from cold too: minutes of work */
    int jobs;                                    /* threads; 0: as many as there are processors */
    int (*progress)(void *context, double done); /* as in run_options; from several threads */
    void *progress_context;
};

/* Of a variant (NULL: the scenario itself), whose setup this is. Lives in `arena`. */
const struct ends *ends_study(struct arena *arena, const struct scenario *s, const char *variant,
                              const struct setup *setup, const struct ends_options *options);

/* A set of so many capacitors, coils and rectifiers that its ends, and what tolerances do, take
 * minutes: they are looked at where somebody asks for it. */
bool ends_take_long(const struct setup *setup);

/* Lays an assumption at `value` [SI] over a scenario. False: no key can set it, or it says nothing
 * of a warm set (how long something takes to warm up). */
bool ends_lay(struct overrides *o, const struct scenario *s, const char *variant,
              const struct assumption *a, double value);

#endif
