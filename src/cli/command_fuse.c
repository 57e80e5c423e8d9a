/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing is written until all runs are done. */
#include "fusing_text.h"
#include "job_outcome.h"
#include "words_help.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    if (!s || !scenario_setup(job->arena, job->diags, s, job->options->variant))
        return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    struct run_options options = run_defaults();
    options.duration = job->options->duration;
    options.progress = on_progress;
    job_catch_signals(w);
    const struct fusing *f =
        fusing_study(job->arena, job->diags, job->catalogue, s, job->options->variant, &options);
    if (f->status != STATUS_OK) return job_study_failed(job, f->status, &f->failure);
    fusing_csv_write(w, "fuse.csv", f);
    job_count_audits(job, f->unbalanced);
    enum status status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        fusing_text_write(job->out, job->arena, f, arena_printf(job->arena, "%s/fuse.csv", folder));
    return status;
}

const struct command command_fuse = {
    .name = "fuse",
    .takes = "SCENARIO",
    .says = words_help_fuse_says,
    .tells = words_help_fuse,
    .example = "presolder fuse scenarios/field-coil.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_FUSE,
    .run = run,
};
