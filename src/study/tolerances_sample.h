/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_SAMPLE_H
#define PRESOLDER_TOLERANCES_SAMPLE_H

#include "steady.h"
#include "tolerances.h"

/* One sample of `tolerances`: a setup with all its values laid, and the runs made of it. */

/* What all samples share; only read while they are made. */
struct tolerances_common {
    const struct scenario *scenario;
    const char *variant;
    const struct uncertain_list *list;
    const struct tolerances_options *options;
    const char *names[3];        /* by enum tolerances_of */
    const struct steady *near;   /* of the scenario as it is; NULL: none found */
    const struct steady *before; /* the same before the tubes draw; NULL: not wanted */
    const char *const *waiting;  /* loads that wait for a heater */
    int waits;
    double angle; /* of a turn-on [rad] */
};

struct tolerances_sample {
    enum status status;
    struct failure why;                   /* not OK */
    const struct judgement *judgement[3]; /* by enum tolerances_of; NULL: there is none */
    bool waited[3]; /* no steady state was found: that run is of a hot set, waited for as long as it
                       settles */
    double closing_angle;
};

/* values: of the list; NULL: the scenario as it is. Lives in `arena`. */
struct tolerances_sample *tolerances_sample_make(struct arena *arena,
                                                 const struct tolerances_common *common,
                                                 const double *values);

/* Progress of what a study does, `common` its context: whether it is interrupted. */
int tolerances_sample_asks(void *common, double done);

/* The setup without its timed changes. */
const struct setup *tolerances_sample_untimed(struct arena *arena, const struct setup *setup);

/* Of the scenario as it is: its steady states, which loads wait, names. */
void tolerances_sample_prepare(struct arena *arena, const struct setup *setup,
                               struct tolerances_common *common);

#endif
