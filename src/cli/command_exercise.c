/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the command line says goes before what a recipe says. */
#include <string.h>

#include "exercise_pages.h"
#include "exercise_plot.h"
#include "exercise_recipe.h"
#include "job_outcome.h"
#include "words_errors.h"
#include "words_help.h"

enum { PUPILS = 12 };

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static int told(int option, int recipe, int otherwise)
{
    return option > 0 ? option : recipe > 0 ? recipe : otherwise;
}

static bool choose(struct job *job, const struct exercise_recipe *recipe,
                   struct exercise_options *o)
{
    const struct options *options = job->options;
    o->fault = options->fault ? options->fault : recipe->fault ? recipe->fault : "any";
    o->level = told(options->level, recipe->level, 1);
    o->seed = (unsigned long)told(options->seed, recipe->seed, 1);
    o->pupils = told(options->pupils, recipe->pupils, PUPILS);
    if (o->level > EXERCISE_LEVELS)
        job_error(job, words_errors_levels, words_errors_no_level, o->level);
    if (o->pupils > EXERCISE_PUPILS)
        job_error(job, words_errors_two_classes, words_errors_pupils, EXERCISE_PUPILS);
    return diags_errors(job->diags) == 0;
}

/* The command that makes the same sheets again. */
static const char *again(struct job *job, const struct exercise_options *o)
{
    return arena_printf(job->arena,
                        "presolder exercise %s --fault \"%s\" --level %d --seed %lu --pupils %d",
                        job->options->argument[0], o->fault, o->level, o->seed, o->pupils);
}

static void write_pages(struct job *job, struct writer *w, const struct exercise_pages *p,
                        struct drawing *pictures)
{
    const struct plot_options plot_options = {.templates =
                                                  arena_printf(job->arena, "%s/plots", job->data),
                                              .format = "svg",
                                              .black_and_white = !p->colour};
    plot_list names = exercise_plot_write(w, job->diags, job->arena, p->e, &plot_options);
    for (int i = 0; i < names.n; i++) array_push(job->arena, &pictures->names, names.at[i]);
    job_draw(job, w, pictures);
    exercise_pupils_write(p);
    exercise_key_write(p);
    exercise_show_write(p);
}

static enum status run(struct job *job)
{
    struct exercise_recipe recipe;
    struct exercise_options options;
    const char *path = job->options->argument[0];
    if (!exercise_recipe_read(job->arena, job->diags, path, &recipe)) return STATUS_SCENARIO;
    if (!choose(job, &recipe, &options)) return STATUS_USAGE;
    const struct scenario *s = job_scenario_of(job, recipe.scenario);
    if (!s || diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    const char *folder = job_folder(job, path);
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    struct job_counter counter = job_counter(job, "runs");
    options.common = (struct responses_options){.jobs = job->options->jobs,
                                                .progress = on_progress,
                                                .done = job_count,
                                                .done_context = &counter};
    struct exercise *e = exercise_make(job->arena, job->diags, s, &options);
    if (e->status == STATUS_OK) exercise_switch_on(job->arena, e, &options);
    job_count_clear(&counter);
    if (e->status != STATUS_OK) return job_study_failed(job, e->status, &e->failure);
    struct exercise_pages pages = exercise_pages_of(w, job->arena, e, options.fault);
    pages.colour = job->options->colour;
    pages.zigzag = job->options->zigzag;
    pages.command = again(job, &options);
    struct drawing pictures = {0};
    write_pages(job, w, &pages, &pictures);
    enum status status = job_commit(job, w);
    job_count_audits(job, e->unbalanced);
    if (status != STATUS_OK || job->options->quiet) return status;
    exercise_text_write(job->out, &pages, folder);
    if (!pictures.drawn || pictures.failed) job_tell_pictures(job, &pictures, folder);
    return status;
}

const struct command command_exercise = {
    .name = "exercise",
    .takes = "SCENARIO",
    .says = words_help_exercise_says,
    .tells = words_help_exercise,
    .example = "presolder exercise scenarios/field-coil.yaml --level 2 --seed 7 --pupils 12",
    .least = 1,
    .most = 1,
    .bit = FOR_EXERCISE,
    .run = run,
};
