/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_JOB_OUTCOME_H
#define PRESOLDER_JOB_OUTCOME_H

#include "command.h"
#include "failure.h"
#include "plot.h"
#include "writer.h"

/* What the commands that run something share: interruption, where results go, pictures. */

/* From here on the first Ctrl-C, SIGTERM or SIGHUP is only noted; the second ends the program,
 * taking the partial files of `w` (NULL: none) away. */
void job_catch_signals(const struct writer *w);
bool job_interrupted(void);

/* --out, or ./presolder-out/NAME, NAME being the scenario's file name without folder and ending. */
const char *job_folder(struct job *job, const char *scenario_path);

/* Begins the results in that folder; NULL with an error when it cannot be written to. */
struct writer *job_writer(struct job *job, const char *folder);

/* Scripts in the folder plots, and what became of them. */
struct drawing {
    ARRAY(const char *) names; /* without ending */
    bool drawn;                /* gnuplot was there */
    const char *failed;        /* first script that it did not draw; NULL: none */
};

struct plot_options job_plot_options(struct job *job);

/* Has gnuplot draw the scripts among the partial files, unless it was interrupted. */
void job_draw(struct job *job, struct writer *w, struct drawing *d);

/* Tells where the pictures are, or how to get those that are missing; nothing without scripts. */
void job_tell_pictures(struct job *job, const struct drawing *d, const char *folder);

/* Puts the results in place, unless interrupted or a template was wrong (then with an error). */
enum status job_commit(struct job *job, struct writer *w);

/* The error of a run that failed or was interrupted, before anything was written; `what` (may be
 * NULL) says which or why. Returns the status. */
enum status job_failed(struct job *job, enum status status, const char *what);

/* The same of a study. */
enum status job_study_failed(struct job *job, enum status status, const struct failure *failure);

/* `failed` runs of a study do not balance: a warning, and exit code 4 without --force; 0: none. */
void job_count_audits(struct job *job, int failed);

/* The same of one run, called `what`, with how far it is off. */
void job_warn_of_audit(struct job *job, const char *what, const struct result *run);

/* Counts finished runs on the terminal, when there is one. */
struct job_counter {
    FILE *to; /* NULL: not a terminal */
    const char *what;
    double begun; /* [s] of the clock */
    bool shown;
};
struct job_counter job_counter(struct job *job, const char *what);
void job_count(void *counter, int done, int all);

/* Another line in its place, whose end nobody knows. */
void job_count_note(struct job_counter *counter, const char *says);
void job_count_clear(struct job_counter *counter);

#endif
