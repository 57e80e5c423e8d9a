/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A wish that cannot be met writes nothing and tells what can be reached. */
#include <string.h>

#include "ends.h"
#include "find_common.h"
#include "find_pair_text.h"
#include "find_text.h"
#include "job_outcome.h"
#include "overrides.h"
#include "words_errors.h"
#include "words_help.h"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

#define FOUND_LABEL "as found"

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
        job_error(job, command_find_value.example, words_errors_one_or_two);
        return STATUS_USAGE;
    }
    for (int i = 0; i < t->n; i++)
        wish_parse(job->arena, job->diags, o->wishes.at[i], &t->wishes[i]);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    t->s = job_scenario(job);
    if (!t->s) return STATUS_SCENARIO;
    for (int i = 0; i < t->n; i++)
        t->wishes[i].subject = scenario_point(job->arena, t->s, t->wishes[i].subject);
    for (int i = 0; i < t->n; i++)
        wish_parse_changed(job->arena, job->diags, t->s, o->variant, o->changes.at[i],
                           &t->changed[i]);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    if (t->n == 2 && strcmp(t->changed[0].path, t->changed[1].path) == 0) {
        job_error(job, words_errors_two_keys, words_errors_twice, t->changed[0].path);
        return STATUS_USAGE;
    }
    t->options = (struct find_options){
        .trial = {.cold = o->cold, .duration = o->duration, .progress = on_progress},
        .jobs = o->jobs};
    return STATUS_OK;
}

/* Why there is no answer; STATUS_OK when there is one. */
static enum status refuse(struct job *job, const struct finding *f)
{
    if (f->status != STATUS_OK) return job_study_failed(job, f->status, &f->failure);
    return f->outcome == FIND_UNKNOWN ? STATUS_USAGE : STATUS_OK;
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
                  words_errors_no_values, t->changed[0].path, t->changed[1].path, t->wishes[0].text,
                  t->wishes[1].text);
    else
        job_error(job, find_reach(job->arena, t->changed, t->wishes, f), words_errors_no_value,
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

/* Of the value that is proposed, else of the exact one; NULL: it was not looked at. */
static const struct ends *look_at_ends(const struct task *t, const struct finding *f)
{
    struct job *job = t->job;
    const struct find_point *p = f->best >= 0 ? &f->near[f->best] : &f->exact;
    struct overrides o = overrides_new(job->arena);
    struct diags *diags = diags_new(job->arena);
    if (f->outcome != FIND_VALUE || job->options->cold) return NULL;
    for (int i = 0; i < t->n; i++) {
        char out[64];
        const struct changed *c = &t->changed[i];
        quantity_text(p->value[i], c->unit, OVERRIDES_DIGITS, out, sizeof out);
        const char *value = arena_printf(job->arena, "%s%s%s", out, *c->tail ? " " : "", c->tail);
        if (!overrides_assign(&o, diags, c->path, value)) return NULL;
    }
    const struct scenario *s =
        overrides_scenario(&o, diags, t->s, job->options->variant, FOUND_LABEL);
    const struct setup *setup = s ? scenario_setup(job->arena, diags, s, FOUND_LABEL) : NULL;
    const struct ends_options options = {.jobs = job->options->jobs, .progress = on_progress};
    return setup ? ends_study(job->arena, s, FOUND_LABEL, setup, &options) : NULL;
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
    status = refuse(job, f);
    if (status != STATUS_OK) return status;
    if (f->outcome == FIND_NEVER) {
        tell_never(&t, f);
        return STATUS_SOLUTION;
    }
    struct finding found = *f;
    if (!job->options->quiet) found.ends = look_at_ends(&t, f);
    find_figures_write(w, "figures.csv", f);
    job_count_audits(job, f->unbalanced);
    status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        tell(&t, &found, arena_printf(job->arena, "%s/figures.csv", folder));
    return status;
}

const struct command command_find_value = {
    .name = "find-value",
    .takes = "SCENARIO",
    .says = words_help_find_value_says,
    .tells = words_help_find_value,
    .example = "presolder find-value scenarios/field-coil.yaml --change C1.value "
               "--so-that \"B+ ripple-rms < 0.2 V\"",
    .least = 1,
    .most = 1,
    .bit = FOR_FIND_VALUE,
    .run = run,
};
