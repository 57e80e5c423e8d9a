/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A wish that cannot be met writes nothing and tells what can be reached. */
#include <string.h>

#include "find_pair_text.h"
#include "find_text.h"
#include "find_words.h"
#include "outcome.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

struct task {
    struct job *job;
    const struct scenario *s;
    int n; /* values, and wishes */
    struct changed changed[FIND_MOST];
    struct wish wishes[FIND_MOST];
    struct find_options options;
};

static enum status read_task(struct task *t)
{
    struct job *job = t->job;
    const struct options *o = job->options;
    t->n = o->changes.n;
    if (t->n < 1 || t->n > FIND_MOST || o->wishes.n != t->n) {
        job_error(job, command_find_value.example,
                  "it takes one --change and one --so-that, or two of each");
        return STATUS_USAGE;
    }
    for (int i = 0; i < t->n; i++)
        wish_parse(job->arena, job->diags, o->wishes.at[i], &t->wishes[i]);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    t->s = job_scenario(job);
    if (!t->s) return STATUS_SCENARIO;
    for (int i = 0; i < t->n; i++)
        changed_parse(job->arena, job->diags, t->s, o->variant, o->changes.at[i], &t->changed[i]);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    if (t->n == 2 && strcmp(t->changed[0].path, t->changed[1].path) == 0) {
        job_error(job, "two different keys", "%s is to be changed twice", t->changed[0].path);
        return STATUS_USAGE;
    }
    t->options = (struct find_options){
        .trial = {.cold = o->cold, .duration = o->duration, .progress = on_progress},
        .jobs = o->jobs};
    return STATUS_OK;
}

/* Why there is no answer; STATUS_OK when there is one. */
static enum status refuse(struct job *job, enum status status, const char *message,
                          enum find_outcome outcome)
{
    static const char whole[] = "nothing was written; results of earlier runs are as they were";
    if (status == STATUS_INTERRUPTED) job_error(job, whole, "interrupted");
    else if (status != STATUS_OK && status != STATUS_SCENARIO) job_error(job, whole, "%s", message);
    if (status == STATUS_OK && outcome == FIND_UNKNOWN) return STATUS_USAGE;
    return status;
}

static const struct finding *find(const struct task *t)
{
    struct job *job = t->job;
    const char *variant = job->options->variant;
    if (t->n == 2)
        return find_pair(job->arena, job->diags, t->s, variant, t->changed, t->wishes, &t->options);
    return find_value(job->arena, job->diags, t->s, variant, t->changed, t->wishes, &t->options);
}

static void tell_never(const struct task *t, const struct finding *f)
{
    struct job *job = t->job;
    if (t->n == 2)
        job_error(job, find_pair_reach(job->arena, t->changed, t->wishes, f),
                  "no values of %s and %s give both %s and %s", t->changed[0].path,
                  t->changed[1].path, t->wishes[0].text, t->wishes[1].text);
    else
        job_error(job, find_reach(job->arena, t->changed, t->wishes, f), "no value of %s gives %s",
                  t->changed->path, t->wishes->text);
}

static void tell(const struct task *t, const struct finding *f, const char *figures)
{
    struct job *job = t->job;
    const char *title = scenario_title(t->s);
    bool cold = job->options->cold;
    if (t->n == 2)
        find_pair_text_write(job->out, job->arena, title, t->changed, t->wishes, f, cold, figures);
    else find_text_write(job->out, job->arena, title, t->changed, t->wishes, f, cold, figures);
}

static enum status run(struct job *job)
{
    struct task t = {.job = job};
    enum status status = read_task(&t);
    if (status != STATUS_OK) return status;
    const char *folder = job_folder(job, scenario_path(t.s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    const struct finding *f = find(&t);
    status = refuse(job, f->status, f->message, f->outcome);
    if (status != STATUS_OK) return status;
    if (f->outcome == FIND_NEVER) {
        tell_never(&t, f);
        return STATUS_SOLUTION;
    }
    find_figures_write(w, "figures.csv", f);
    job_count_audits(job, f->unbalanced);
    status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        tell(&t, f, arena_printf(job->arena, "%s/figures.csv", folder));
    return status;
}

const struct command command_find_value = {
    .name = "find-value",
    .takes = "SCENARIO",
    .says = "the value of a part, or of two, for a wanted figure each",
    .tells =
        "Finds the value of one key (--change) for which a figure becomes what is wanted\n"
        "(--so-that: any subject and measure of figures.csv, with =, < or >), then runs the\n"
        "preferred values beside it (IEC 60063, E12 and E24), tells watts or volts to buy the\n"
        "part by, and how far the answer holds when the load changes by half. Values from a\n"
        "hundredth to a hundred times the present one are looked at; bounds of your own:\n"
        "--change \"R9.resistance=10ohm..10kohm\". The part must stand in the scenario or in the\n"
        "variant; its value may be `unknown` there. A wish that cannot be met is refused with\n"
        "what can be reached. Two of each look for two values at once, so that both figures come\n"
        "out: --change R1.resistance --change R2.resistance --so-that \"B1 settled-voltage = 250 "
        "V\"\n"
        "--so-that \"B2 settled-voltage = 180 V\".\n",
    .example = "presolder find-value scenarios/field-coil.yaml --change C1.value "
               "--so-that \"B+ ripple-rms < 0.2 V\"",
    .least = 1,
    .most = 1,
    .bit = FOR_FIND_VALUE,
    .run = run,
};
