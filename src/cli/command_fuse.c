/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing is written until all runs are done. */
#include "fusing_text.h"
#include "outcome.h"

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
    if (f->status != STATUS_OK) return job_failed(job, f->status, f->message);
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
    .says = "the smallest line fuse that holds, and which faults it clears in time",
    .tells =
        "Simulates switch-on cold and hot, at a zero and at the crest, the warm set, and the\n"
        "warm set with each filter capacitor and load shorted, and each heater of a rectifier or\n"
        "of a string on its cathode (10 ohm unless told), all without a fuse. The cathode of a\n"
        "`heater` part is where a variant or timed change with that fault tells it. Then every\n"
        "fuse of the catalogue from 0.25 A to 5 A is led through these line currents: does it\n"
        "hold, how soon does it open at each fault, and is that before a winding of the\n"
        "transformer passes its insulation class.\n",
    .example = "presolder fuse scenarios/field-coil.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_FUSE,
    .run = run,
};
