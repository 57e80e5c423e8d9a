/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The part is told by its values, or stands in a scenario. */
#include <string.h>

#include "capacitor.h"
#include "job_outcome.h"
#include "reform_text.h"
#include "words_errors.h"
#include "words_help.h"

/* An option's quantity above zero; false with an error. */
static bool take(struct job *job, const char *option, const char *text, enum unit unit,
                 double *value)
{
    struct complaint why;
    if (!quantity_parse(text, unit, value, &why)) {
        job_error(job, why.hint[0] ? why.hint : NULL, "%s: %s", option, why.message);
        return false;
    }
    if (*value > 0) return true;
    job_error(job, NULL, words_errors_above_zero, option);
    return false;
}

static enum status refuse(struct job *job, const char *what)
{
    job_error(job, command_reform.example, "%s", what);
    return STATUS_USAGE;
}

/* By --value, --rated and --at. */
static enum status read_values(struct job *job, struct reform_task *task)
{
    const struct options *o = job->options;
    if (!o->value || !o->rated) return refuse(job, words_errors_needs_value);
    if (o->part || o->variant) return refuse(job, words_errors_part_alone);
    task->name = "the capacitor";
    task->make = "dry";
    if (!take(job, "--value", o->value, UNIT_FARAD, &task->farads) ||
        !take(job, "--rated", o->rated, UNIT_VOLT, &task->rated))
        return STATUS_USAGE;
    return job_catalogue(job) ? STATUS_OK : STATUS_SCENARIO;
}

static enum status read_part(struct job *job, struct reform_task *task)
{
    const struct options *o = job->options;
    if (o->value || o->rated) return refuse(job, words_errors_own_value);
    if (!o->part) return refuse(job, words_errors_which);
    const struct scenario *s = job_scenario(job);
    const struct setup *setup = s ? scenario_setup(job->arena, job->diags, s, o->variant) : NULL;
    if (!setup) return STATUS_SCENARIO;
    const struct part *part = set_find(setup->stages.at[0].set, o->part);
    if (!part || !part_is(part, ROLE_CAPACITOR)) {
        job_error(job, words_errors_name_one, words_errors_no_capacitor, o->part);
        return STATUS_USAGE;
    }
    const struct capacitor *c = part->data;
    task->name = part->name;
    task->make = capacitor_makes[c->make];
    task->farads = c->nominal;
    task->rated = c->rated;
    if (capacitor_electrolytic(c) && c->rated > 0) return STATUS_OK;
    job_error(job, NULL, c->rated > 0 ? words_errors_no_electrolytic : words_errors_no_rated,
              part->name);
    return STATUS_USAGE;
}

static enum status read_task(struct job *job, struct reform_task *task)
{
    enum status status =
        job->options->arguments > 0 ? read_part(job, task) : read_values(job, task);
    if (status != STATUS_OK) return status;
    task->at = task->rated;
    if (job->options->at && !take(job, "--at", job->options->at, UNIT_VOLT, &task->at))
        return STATUS_USAGE;
    if (task->at > task->rated * (1 + 1e-9)) return refuse(job, words_errors_at_most);
    return reform_prepare(job->arena, job->diags, job->catalogue, task) ? STATUS_OK
                                                                        : STATUS_SCENARIO;
}

static enum status run(struct job *job)
{
    struct reform_task task;
    struct reform_course courses[REFORM_RESISTORS];
    struct drawing pictures = {0};
    enum status status = read_task(job, &task);
    if (status != STATUS_OK) return status;
    const char *folder =
        job_folder(job, job->options->arguments > 0 ? job->options->argument[0] : "reform");
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    for (int i = 0; i < REFORM_RESISTORS; i++)
        if (!reform_run(job->arena, &task, &reform_specimen, reform_resistors[i], &courses[i]))
            return job_failed(job, STATUS_SOLUTION, NULL);
    reform_csv_write(w, "reform.csv", &task, courses);
    writer_retire_plot(w, "reform");
    if (!job->options->no_plots) {
        struct plot_options options = job_plot_options(job);
        reform_plot_write(w, job->diags, job->arena, &task, courses, &options);
        array_push(job->arena, &pictures.names, "reform");
        job_draw(job, w, &pictures);
    }
    status = job_commit(job, w);
    if (status != STATUS_OK || job->options->quiet) return status;
    reform_text_write(job->out, job->arena, &task, courses,
                      arena_printf(job->arena, "%s/reform.csv", folder));
    job_tell_pictures(job, &pictures, folder);
    return STATUS_OK;
}

const struct command command_reform = {
    .name = "reform",
    .takes = "[SCENARIO]",
    .says = words_help_reform_says,
    .tells = words_help_reform,
    .example = "presolder reform --value 20uF --rated 450V --at 350V",
    .least = 0,
    .most = 1,
    .bit = FOR_REFORM,
    .run = run,
};
