/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures of all runs go into one file as they come, in an order that `--jobs` does not change.
 */
#include "bench_text.h"
#include "figures_csv.h"
#include "job_outcome.h"
#include "words_help.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static void on_judged(void *writer, const struct judgement *judgement)
{
    figures_csv_add(writer, judgement);
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    if (!s) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    figures_csv_begin(w, "figures.csv");
    struct job_counter counter = job_counter(job, "runs");
    struct bench_options options = {.jobs = job->options->jobs,
                                    .tolerances = job->options->tolerances,
                                    .interrupted = job_interrupted,
                                    .progress = on_progress,
                                    .done = job_count,
                                    .done_context = &counter,
                                    .judged = on_judged,
                                    .judged_context = w};
    const struct bench_sheet *sheet =
        bench_sheet_make(job->arena, job->diags, s, job->options->variant, &options);
    job_count_clear(&counter);
    bool some = sheet->status == STATUS_INTERRUPTED && sheet->runs > 0;
    if (sheet->status != STATUS_OK && !some)
        return job_study_failed(job, sheet->status, &sheet->failure);
    bench_csv_write(w, "bench-sheet.csv", sheet);
    job_count_audits(job, sheet->unbalanced);
    enum status status = some ? writer_commit(w) : job_commit(job, w);
    if (status != STATUS_OK) return status;
    if (!job->options->quiet)
        bench_text_write(job->out, job->arena, sheet,
                         arena_printf(job->arena, "%s/bench-sheet.csv", folder),
                         arena_printf(job->arena, "%s/figures.csv", folder));
    return sheet->status;
}

const struct command command_bench_sheet = {
    .name = "bench-sheet",
    .takes = "SCENARIO",
    .says = words_help_bench_sheet_says,
    .tells = words_help_bench_sheet,
    .example = "presolder bench-sheet scenarios/field-coil.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_BENCH_SHEET,
    .run = run,
};
