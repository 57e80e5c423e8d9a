/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The folder for the results is made first, so that one that cannot be written to is told before
 * the work; the files come into place only when everything is there. The first signal ends the run
 * at its next period, and what it has found by then is written, marked as partial; the second one
 * ends the program with old results as they were. */
#include <unistd.h>

#include "ends.h"
#include "figures_csv.h"
#include "job_outcome.h"
#include "progress.h"
#include "summary.h"
#include "tolerances.h"
#include "trace_csv.h"
#include "words_errors.h"
#include "words_help.h"
#include "words_trouble.h"

static struct drawing make_pictures(struct job *job, struct writer *w, const struct turn_on *t,
                                    const struct trace *csv, const struct trace *restart)
{
    struct drawing d = {0};
    struct plot_options options = job_plot_options(job);
    if (job->options->no_plots) return d;
    struct plots plots = plot_write(w, job->diags, job->arena, t, csv, restart, &options);
    for (int i = 0; i < PLOTS; i++)
        if (plots.written[i]) array_push(job->arena, &d.names, plot_names[i]);
    job_draw(job, w, &d);
    return d;
}

/* ---- the whole ---- */

static enum status failed(struct job *job, const struct turn_on *t)
{
    const struct result *bad = t->restart ? t->restart : t->run; /* none after a failed run */
    job_error(job, words_errors_kept, "%s%s", bad == t->run ? "" : words_errors_restart,
              words_trouble(job->arena, t->status, &bad->trouble));
    return t->status;
}

static enum status write_all(struct job *job, struct writer *w, const struct turn_on *t,
                             const char *folder)
{
    figures_csv_write(w, "figures.csv", t->judgement);
    const struct trace *csv = trace_csv_write(w, job->arena, "trace.csv", t->run, 0);
    const struct trace *restart = NULL;
    if (t->restart) restart = trace_csv_write(w, job->arena, "restart.csv", t->restart, 0);
    struct result record = run_heat(t->run);
    trace_csv_write(w, job->arena, "heat.csv", &record, 0);
    writer_pause(w);
    struct drawing pictures = make_pictures(job, w, t, csv, restart);
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    bool written = writer_commit(w) == STATUS_OK;
    const char *figures = arena_printf(job->arena, "%s/figures.csv", folder);
    if (!job->options->quiet) summary_write(job->out, job->arena, t, written ? figures : NULL);
    if (!written) {
        job_error(job, NULL, "%s", writer_message(w));
        return STATUS_WRITE;
    }
    if (!job->options->quiet) job_tell_pictures(job, &pictures, folder);
    if (!job_interrupted()) return STATUS_OK;
    if (t->status == STATUS_OK) fputs(words_errors_after, job->err);
    return STATUS_INTERRUPTED;
}

static int on_progress(void *context, double done)
{
    progress_show(context, done);
    return job_interrupted();
}

static int on_check(void *context, double done)
{
    (void)context;
    (void)done;
    return job_interrupted();
}

static const struct turn_on *simulate(struct job *job, const struct scenario *s,
                                      const struct setup *setup)
{
    bool seen = isatty(STDERR_FILENO) && !job->options->quiet;
    struct progress progress =
        progress_begin(seen ? job->err : NULL, job->options->quiet ? NULL : job->err);
    struct run_options options = run_defaults();
    options.duration = job->options->duration;
    options.trace = true;
    options.progress = on_progress;
    options.progress_context = &progress;
    options.pace = &progress.pace;
    options.every_cycle = job->options->every_cycle;
    struct turn_on *t = turn_on(job->arena, setup, &options);
    progress_clear(&progress);
    const struct ends_options ends = {
        .jobs = job->options->jobs, .progress = on_check, .progress_context = NULL};
    const struct tolerances_options bands = {.jobs = job->options->jobs,
                                             .only_steady = !job->options->tolerances,
                                             .interrupted = job_interrupted};
    const bool asked = job->options->tolerances || !ends_take_long(setup);
    if (t->warm && asked && !job->options->quiet)
        t->ends = ends_study(job->arena, s, job->options->variant, setup, &ends);
    if (!job->options->quiet && asked && (t->warm || job->options->tolerances))
        t->bands = tolerances_bands(job->arena, s, job->options->variant, &bands);
    return t;
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    if (!s) return STATUS_SCENARIO;
    const struct setup *setup = scenario_setup(job->arena, job->diags, s, job->options->variant);
    if (!setup) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    const struct turn_on *t = simulate(job, s, setup);
    if (t->status != STATUS_OK && t->status != STATUS_INTERRUPTED) return failed(job, t);
    enum status status = write_all(job, w, t, folder);
    job_warn_of_audit(job, "the run", t->run);
    if (t->restart) job_warn_of_audit(job, "the hot restart", t->restart);
    if (status == STATUS_OK && job->options->strict && t->judgement->over > 0)
        return STATUS_OVER_RATING;
    return status;
}

const struct command command_switch_on = {
    .name = "switch-on",
    .takes = "SCENARIO",
    .says = words_help_switch_on_says,
    .tells = words_help_switch_on,
    .example = "presolder switch-on scenarios/field-coil.yaml --out out/field-coil",
    .least = 1,
    .most = 1,
    .bit = FOR_SWITCH_ON,
    .run = run,
};
