/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing is written until all runs are done. */
#include <string.h>

#include "chassis_text.h"
#include "job_outcome.h"
#include "words_errors.h"
#include "words_help.h"

enum { POINTS_MOST = WORDS_MOST }; /* as many as can be asked for */

/* Those asked for, or those whose names tell that they may be touched; 0 with an error. */
static int points_of(struct job *job, const struct setup *setup, const char **points)
{
    const struct words *asked = &job->options->points;
    const struct circuit *c = setup->stages.at[0].circuit;
    int n = 0;
    for (int i = 0; i < asked->n; i++) {
        if (circuit_find_point(c, asked->at[i]) < 0) {
            job_error(job, words_errors_as_written, words_errors_no_point, asked->at[i]);
            return 0;
        }
        points[n++] = asked->at[i];
    }
    if (n == 0) n = chassis_points(setup, points, POINTS_MOST);
    if (n == 0) job_error(job, words_errors_name_touched, words_errors_earthed);
    return n;
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    const struct setup *setup =
        s ? scenario_setup(job->arena, job->diags, s, job->options->variant) : NULL;
    const char *points[POINTS_MOST];
    if (!setup) return STATUS_SCENARIO;
    int n = points_of(job, setup, points);
    if (n == 0) return STATUS_USAGE;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    const struct chassis *c = chassis_study(job->arena, job->diags, s, job->options->variant,
                                            points, n, job->options->jobs, job_interrupted);
    if (c->status != STATUS_OK) return job_study_failed(job, c->status, &c->failure);
    chassis_csv_write(w, "hot-chassis.csv", c);
    job_count_audits(job, c->unbalanced);
    enum status status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        chassis_text_write(job->out, job->arena, c, job->options->variant,
                           arena_printf(job->arena, "%s/hot-chassis.csv", folder));
    return status;
}

const struct command command_hot_chassis = {
    .name = "hot-chassis",
    .takes = "SCENARIO",
    .says = words_help_hot_chassis_says,
    .tells = words_help_hot_chassis,
    .example = "presolder hot-chassis scenarios/ac-dc.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_HOT_CHASSIS,
    .run = run,
};
