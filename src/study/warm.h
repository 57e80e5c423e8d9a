/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WARM_H
#define PRESOLDER_WARM_H

#include "steady.h"

/* The warm set: what all studies mean by settled. A set that has been on for hours, in its last
 * stage: heaters, cathodes, coils, transformers and cans are as warm as their own watts make
 * them. */

struct warm_options {
    bool pulses; /* the first cycles of a hot restart at the crest belong to it: first pulses, and
                        the greater of each extreme. Without mains to close there are none */
    bool bleed;  /* the times to bleed down are wanted */
    double duration; /* of the run that is waited for where no steady state is found [s]; 0: the
                        scenario's, 30 s at least */
    double tolerance;
    int (*progress)(void *context, double done); /* of that run; of a search, with nothing done */
    void *progress_context;
};

/* Its figures; of a steady state where statistics.steady says so, else of a hot run that ends once
 * the volts of all capacitors have settled. Lives in `arena`. */
const struct result *warm_run(struct arena *arena, const struct setup *setup,
                              const struct warm_options *options);

/* Only the steady state, without pulses; NULL where there is none, or when interrupted. Of the options
 * bleed and progress count. */
const struct result *warm_steady(struct arena *arena, const struct setup *setup,
                                 const struct warm_options *options);

/* The variant that rows of the warm state bear beside those of another run: `base (warm)`. */
const char *warm_name(struct arena *arena, const char *variant);

#endif
