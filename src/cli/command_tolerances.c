/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One that is interrupted writes what was done, marked as such. */
#include "busy.h"
#include "job_outcome.h"
#include "tolerances_csv.h"
#include "tolerances_plot.h"
#include "tolerances_text.h"
#include "words_errors.h"
#include "words_help.h"

enum { SAMPLES = 1000 };

#define FAILED_MOST 0.01 /* of the sets may be left out and the rest still stand for all */

static enum status run(struct job *job)
{
    const struct options *o = job->options;
    struct drawing d = {0};
    const struct scenario *s = job_scenario(job);
    if (!s) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    struct job_counter counter = job_counter(job, "sets");
    const struct tolerances_options options = {.samples = o->samples > 0 ? o->samples : SAMPLES,
                                               .seed = o->seed > 0 ? (unsigned long)o->seed : 1,
                                               .jobs = o->jobs,
                                               .cold = o->cold,
                                               .duration = o->duration,
                                               .interrupted = job_interrupted,
                                               .done = job_count,
                                               .done_context = &counter};
    job_catch_signals(w);
    struct busy busy = busy_begin();
    const struct tolerances *t = tolerances_make(job->arena, job->diags, s, o->variant, &options);
    busy_end(&busy);
    job_count_clear(&counter);
    bool some = t->status == STATUS_INTERRUPTED && t->done > 0;
    if (t->status != STATUS_OK && !some) return job_study_failed(job, t->status, &t->why);
    tolerances_csv_write(w, t);
    if (!o->no_plots) {
        struct plot_options plot_options = job_plot_options(job);
        plot_list names = tolerances_plot_write(w, job->diags, job->arena, t, &plot_options);
        for (int i = 0; i < names.n; i++) array_push(job->arena, &d.names, names.at[i]);
        job_draw(job, w, &d);
    }
    job->unbalanced = (double)t->failed > FAILED_MOST * (double)t->asked;
    enum status status = some ? writer_commit(w) : job_commit(job, w);
    if (status != STATUS_OK || o->quiet) return status == STATUS_OK ? t->status : status;
    tolerances_text_write(job->out, job->arena, t, folder);
    job_tell_pictures(job, &d, folder);
    busy_write(job->out, &busy, (int)(t->done + t->failed), o->jobs);
    return t->status;
}

const struct command command_tolerances = {
    .name = "tolerances",
    .takes = "SCENARIO",
    .says = words_help_tolerances_says,
    .tells = words_help_tolerances,
    .example = "presolder tolerances scenarios/field-coil.yaml --samples 300",
    .least = 1,
    .most = 1,
    .bit = FOR_TOLERANCES,
    .run = run,
};
