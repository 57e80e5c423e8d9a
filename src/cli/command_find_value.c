/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A wish that cannot be met writes nothing and tells what can be reached. */
#include "find_text.h"
#include "outcome.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static enum status read_task(struct job *job, const struct scenario **s, struct changed *changed,
                             struct wish *wish)
{
    const struct options *o = job->options;
    if (o->changes.n != 1 || o->wishes.n != 1) {
        job_error(job, command_find_value.example, "it takes one --change and one --so-that");
        return STATUS_USAGE;
    }
    wish_parse(job->arena, job->diags, o->wishes.at[0], wish);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    *s = job_scenario(job);
    if (!*s) return STATUS_SCENARIO;
    if (!changed_parse(job->arena, job->diags, *s, o->variant, o->changes.at[0], changed))
        return STATUS_USAGE;
    return STATUS_OK;
}

/* Why there is no answer; STATUS_OK when there is one. */
static enum status refuse(struct job *job, const struct changed *changed, const struct wish *wish,
                          const struct finding *f)
{
    static const char whole[] = "nothing was written; results of earlier runs are as they were";
    if (f->status != STATUS_OK) {
        if (f->status == STATUS_INTERRUPTED) job_error(job, whole, "interrupted");
        else if (f->status != STATUS_SCENARIO) job_error(job, whole, "%s", f->message);
        return f->status;
    }
    if (f->outcome == FIND_UNKNOWN) return STATUS_USAGE;
    if (f->outcome != FIND_NEVER) return STATUS_OK;
    job_error(job, find_reach(job->arena, changed, wish, f), "no value of %s gives %s",
              changed->path, wish->text);
    return STATUS_SOLUTION;
}

static enum status run(struct job *job)
{
    const struct scenario *s = NULL;
    struct changed changed;
    struct wish wish;
    enum status status = read_task(job, &s, &changed, &wish);
    if (status != STATUS_OK) return status;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    struct find_options options = {.trial = {.cold = job->options->cold,
                                             .duration = job->options->duration,
                                             .progress = on_progress},
                                   .jobs = job->options->jobs};
    job_catch_signals(w);
    const struct finding *f =
        find_value(job->arena, job->diags, s, job->options->variant, &changed, &wish, &options);
    status = refuse(job, &changed, &wish, f);
    if (status != STATUS_OK) return status;
    find_figures_write(w, "figures.csv", f);
    status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        find_text_write(job->out, job->arena, scenario_title(s), &changed, &wish, f,
                        job->options->cold, arena_printf(job->arena, "%s/figures.csv", folder));
    return status;
}

const struct command command_find_value = {
    .name = "find-value",
    .takes = "SCENARIO",
    .says = "the value of a part that gives a wanted figure",
    .tells =
        "Finds the value of one key (--change) for which a figure becomes what is wanted\n"
        "(--so-that: any subject and measure of figures.csv, with =, < or >), then runs the\n"
        "preferred values beside it (IEC 60063, E12 and E24), tells watts or volts to buy the\n"
        "part by, and how far the answer holds when the load changes by half. Values from a\n"
        "hundredth to a hundred times the present one are looked at; bounds of your own:\n"
        "--change \"R9.resistance=10ohm..10kohm\". The part must stand in the scenario or in the\n"
        "variant; its value may be `unknown` there. A wish that cannot be met is refused with\n"
        "what can be reached.\n",
    .example = "presolder find-value scenarios/field-coil.yaml --change C1.value "
               "--so-that \"B+ ripple-rms < 0.2 V\"",
    .least = 1,
    .most = 1,
    .bit = FOR_FIND_VALUE,
    .run = run,
};
