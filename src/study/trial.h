/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRIAL_H
#define PRESOLDER_TRIAL_H

#include "overrides.h"
#include "turn_on.h"

/* One run of a study of many: the settled figures, and the peaks when a warm set is closed onto
 * empty capacitors. */

struct trial_options {
    bool cold;       /* the main run begins cold, as the scenario says, and lasts as long as it */
    double duration; /* of the main run, at most [s]; 0: the scenario's, hot 30 s at least */
    bool whole;      /* a hot run lasts `duration`, settled or not */
    int (*progress)(void *context, double done); /* as in run_options; from several threads */
    void *progress_context;
};

/* Hot, the main run begins with warm cathodes and empty capacitors, closed at the crest, and after
 * some pulses goes to its steady state (steady.h; where that is not found it ends once the
 * capacitors' volts have settled): its first pulse is the hot restart at the crest. Cold, the
 * crest is a short run of its own. The closing at zero is a short hot run in both. Without mains to
 * close there are no short runs. */
struct trial {
    const struct setup *setup;
    const struct result *run;
    const struct result *crest; /* NULL when the main run is it, or there is none */
    const struct result *zero;
    const char *crest_name, *zero_name; /* their variants in the judgement */
    struct judgement *judgement;
    enum status status;     /* of the worst of the runs */
    struct trouble trouble; /* why not STATUS_OK */
};

struct trial *trial_run(struct arena *arena, const struct setup *setup,
                        const struct trial_options *options);

/* A trial of a variant with keys laid over it, called `label`. NULL with errors
 * when it cannot be set up. */
const struct trial *trial_with(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const char *label,
                               const struct overrides *overrides,
                               const struct trial_options *options);

/* True when no run of the trial failed its audit. */
bool trial_balanced(const struct trial *trial);

/* True when the volts of all capacitors had settled at the end of a run. */
bool trial_volts_settled(const struct result *run);

#endif
