/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All runs are set up before the first begins; nothing is written unless all went well. */
#include "buy_list_text.h"
#include "figures_csv.h"
#include "job_outcome.h"
#include "stock_text.h"
#include "words_help.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static enum status run(struct job *job)
{
    const struct options *o = job->options;
    const struct scenario *s = job_scenario(job);
    if (!s) return STATUS_SCENARIO;
    struct stock *stock = o->stock ? stock_read(job->arena, job->diags, o->stock) : NULL;
    if (o->stock && !stock) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    struct job_counter counter = job_counter(job, "runs");
    struct buy_options options = {.duration = o->duration,
                                  .jobs = o->jobs,
                                  .ends = !o->quiet,
                                  .progress = on_progress,
                                  .done = job_count,
                                  .done_context = &counter};
    job_catch_signals(w);
    const struct buy_list *list = buy_list(job->arena, job->diags, s, o->variant, &options);
    job_count_clear(&counter);
    if (list->status != STATUS_OK) return job_study_failed(job, list->status, &list->failure);
    buy_list_csv(w, job->arena, "buy-list.csv", list);
    if (stock) {
        stock_take(job->arena, stock, list);
        stock_csv_write(w, job->arena, "order.csv", stock);
    }
    figures_csv_begin(w, "figures.csv");
    for (int r = 0; r < BUY_RUNS; r++)
        if (list->judgement[r]) figures_csv_add(w, list->judgement[r]);
    enum status status = job_commit(job, w);
    if (status == STATUS_OK && !o->quiet)
        buy_list_write(job->out, job->arena, scenario_title(s), o->variant, list, stock,
                       arena_printf(job->arena, "%s/buy-list.csv", folder));
    for (int r = 0; r < BUY_RUNS; r++)
        if (list->run[r]) job_warn_of_audit(job, list->label[r], list->run[r]);
    return status;
}

const struct command command_buy_list = {
    .name = "buy-list",
    .takes = "SCENARIO",
    .says = words_help_buy_list_says,
    .tells = words_help_buy_list,
    .example = "presolder buy-list scenarios/back-bias.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_BUY_LIST,
    .run = run,
};
