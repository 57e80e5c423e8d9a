/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All values are set up once before the first run, so a wrong one is told at once. Each run then
 * sets itself up again in an arena of its own; when it is its turn its figures go into the file,
 * the few of the table are kept, and the arena is given back. */
#include <math.h>
#include <string.h>

#include "busy.h"
#include "figures_csv.h"
#include "job_outcome.h"
#include "pool.h"
#include "sweep_plot.h"
#include "words_errors.h"
#include "words_help.h"
#include "words_progress.h"
#include "words_status.h"
#include "words_trouble.h"

enum { SWEEPS_MOST = 2, AHEAD = 64 };

struct trying {
    struct job *job;
    const struct scenario *scenario;
    const struct setup *setup; /* without the values */
    struct sweep sweeps[SWEEPS_MOST];
    int n, pieces;
    struct trial_options options;
    struct writer *w;
    struct trial_table table;
    struct slot {
        struct arena *arena;
        const struct trial *trial;
    } slots[AHEAD];
    struct job_counter counter;
    struct busy busy;
    enum status status;
    const char *trouble;
};

/* ---- what is asked for ---- */

static bool check_pieces(struct trying *t)
{
    struct job *job = t->job;
    t->pieces = sweep_pieces(t->sweeps, t->n);
    if (t->pieces > SWEEP_MOST) {
        job_error(job, words_errors_fewer, words_errors_too_many, t->pieces, SWEEP_MOST);
        return false;
    }
    struct arena *scratch = arena_scratch(job->arena);
    for (int i = 0; i < t->pieces && !job_interrupted(); i++) {
        int changed = 0; /* a value only matters with the first of the others */
        for (int k = 0; k < t->n; k++) changed += sweep_index(t->sweeps, t->n, k, i) > 0;
        if (changed > 1) continue;
        struct diags *diags = diags_new(scratch);
        bool good = sweep_setup(scratch, diags, t->scenario, job->options->variant, t->sweeps, t->n,
                                i) != NULL;
        for (int k = 0; !good && k < diags_count(diags); k++) job_diag(job, diags_at(diags, k));
        arena_clear(scratch);
        if (!good) return false;
    }
    return true;
}

static enum status read_sweeps(struct trying *t)
{
    struct job *job = t->job;
    t->n = job->options->arguments - 1;
    for (int k = 0; k < t->n; k++)
        sweep_parse(job->arena, job->diags, job->options->argument[k + 1], &t->sweeps[k]);
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    t->scenario = job_scenario(job);
    if (!t->scenario) return STATUS_SCENARIO;
    t->setup = scenario_setup(job->arena, job->diags, t->scenario, job->options->variant);
    if (!t->setup) return STATUS_SCENARIO;
    return check_pieces(t) ? STATUS_OK : STATUS_USAGE;
}

/* ---- the runs ---- */

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static void make(void *context, int i)
{
    struct trying *t = context;
    struct slot *slot = &t->slots[i % AHEAD];
    const struct setup *setup = sweep_setup(slot->arena, diags_new(slot->arena), t->scenario,
                                            t->job->options->variant, t->sweeps, t->n, i);
    if (setup) slot->trial = trial_run(slot->arena, setup, &t->options);
}

static void work(void *context, int i)
{
    struct trying *t = context;
    struct slot *slot = &t->slots[i % AHEAD];
    *slot = (struct slot){arena_new(), NULL};
    pool_within(slot->arena, make, context, i);
}

static bool take(void *context, int i)
{
    struct trying *t = context;
    struct slot *slot = &t->slots[i % AHEAD];
    const struct trial *trial = slot->trial;
    t->status = trial ? trial->status : STATUS_SOLUTION;
    if (t->status == STATUS_OK) {
        if (i == 0) trial_table_begin(t->job->arena, &t->table, trial, t->options.cold);
        trial_table_add(t->job->arena, &t->table, trial);
        figures_csv_add(t->w, trial->judgement);
    } else if (t->status == STATUS_INTERRUPTED)
        t->trouble = arena_printf(t->job->arena, words_errors_interrupted_in, i + 1, t->pieces);
    else
        t->trouble =
            arena_printf(t->job->arena, "%s: %s", sweep_label(t->job->arena, t->sweeps, t->n, i),
                         trial ? words_trouble(t->job->arena, trial->status, &trial->trouble)
                               : words_errors_memory);
    if (slot->arena) arena_free(slot->arena);
    slot->arena = NULL;
    job_count(&t->counter, i + 1, t->pieces);
    return t->status == STATUS_OK;
}

static void give_back_rest(void *trying)
{
    struct trying *t = trying;
    for (int i = 0; i < AHEAD; i++) {
        arena_free(t->slots[i].arena);
        t->slots[i].arena = NULL;
    }
}

static void run_all(struct trying *t)
{
    int jobs = t->job->options->jobs > 0 ? t->job->options->jobs : pool_processors();
    if (jobs > AHEAD) jobs = AHEAD;
    figures_csv_begin(t->w, "figures.csv");
    t->counter = job_counter(t->job, "runs");
    t->status = STATUS_OK;
    t->busy = busy_begin();
    arena_at_free(t->job->arena, give_back_rest, t);
    if (!pool_run_in(t->job->arena, t->pieces, jobs, AHEAD, work, take, t) &&
        t->status == STATUS_OK)
        t->status = STATUS_SOLUTION, t->trouble = words_errors_thread;
    busy_end(&t->busy);
    job_count_clear(&t->counter);
    give_back_rest(t);
}

/* A value that is in the list as well stands in the figures already. */
static void add_proof(struct trying *t, const struct trial *proof)
{
    if (!proof || proof->status != STATUS_OK) return;
    for (int i = 0; i < t->pieces; i++)
        if (strcmp(sweep_label(t->job->arena, t->sweeps, t->n, i), proof->setup->variant) == 0)
            return;
    figures_csv_add(t->w, proof->judgement);
}

/* The largest first capacitor, without and with resistors in the plates' leads, side by side. */
enum { LIMITS = 2 };
struct limiting {
    struct trying *t;
    const char *rectifier;
    struct limit *limits;
    struct arena *arena[LIMITS];
};

static void find_limit(void *context, int i)
{
    struct limiting *l = context;
    struct trying *t = l->t;
    l->limits[i] =
        limit_capacitor(l->arena[i], t->scenario, t->job->options->variant, t->sweeps[0].path,
                        l->rectifier, i ? LIMIT_EASING : 0, &t->options);
}

static void work_limit(void *context, int i)
{
    struct limiting *l = context;
    l->arena[i] = arena_new();
    l->limits[i].status = STATUS_SOLUTION; /* until it is found */
    pool_within(l->arena[i], find_limit, context, i);
}

static bool take_limit(void *context, int i)
{
    const struct limiting *l = context;
    return l->limits[i].status != STATUS_INTERRUPTED;
}

static void give_back_limits(void *limiting)
{
    struct limiting *l = limiting;
    for (int k = 0; k < LIMITS; k++) arena_free(l->arena[k]);
}

/* Their proofs join the figures. */
static void find_limits(struct trying *t, struct try_study *study, struct limit limits[LIMITS])
{
    struct job *job = t->job;
    const char *rectifier = limit_rectifier(t->setup, t->sweeps[0].path);
    const int jobs = job->options->jobs > 0 ? job->options->jobs : pool_processors();
    if (!rectifier || t->n > 1) return;
    struct limiting *l = ARENA_NEW(job->arena, struct limiting);
    *l = (struct limiting){.t = t, .rectifier = rectifier, .limits = limits};
    memset(limits, 0, LIMITS * sizeof *limits);
    study->rectifier = rectifier;
    study->ohms = LIMIT_EASING;
    study->limits = limits;
    job_count_note(&t->counter, words_progress_limit);
    arena_at_free(job->arena, give_back_limits, l);
    pool_run(LIMITS, jobs < LIMITS ? jobs : LIMITS, LIMITS, work_limit, take_limit, l);
    job_count_clear(&t->counter);
    if (limits[0].beyond) limits[1] = (struct limit){.beyond = true};
    for (int k = 0; k < LIMITS; k++) {
        add_proof(t, limits[k].proof);
        add_proof(t, limits[k].sheet_proof);
    }
    if (job_interrupted()) t->status = STATUS_INTERRUPTED, t->trouble = words_errors_interrupted;
}

/* Of the values that fit the one that is nearest to a limit: with it a verdict turns over first. */
static void look_at_ends(struct trying *t, struct try_study *study)
{
    struct job *job = t->job;
    int row = -1;
    if (t->options.cold) return;
    for (int i = 0; i < t->table.rows.n; i++) {
        const struct trial_row *r = &t->table.rows.at[i];
        if (r->over > 0 || isnan(r->share)) continue;
        if (row < 0 || r->share > t->table.rows.at[row].share) row = i;
    }
    if (row < 0) return;
    struct diags *diags = diags_new(job->arena);
    const struct scenario *s =
        sweep_scenario(job->arena, diags, t->scenario, job->options->variant, t->sweeps, t->n, row);
    const char *label = sweep_label(job->arena, t->sweeps, t->n, row);
    const struct setup *setup = s ? scenario_setup(job->arena, diags, s, label) : NULL;
    const struct ends_options options = {.jobs = job->options->jobs, .progress = on_progress};
    if (!setup) return;
    study->ends = ends_study(job->arena, s, label, setup, &options);
    study->ends_row = row;
    if (job_interrupted()) t->status = STATUS_INTERRUPTED, t->trouble = words_errors_interrupted;
}

/* ---- the results ---- */

/* Whole runs of an interrupted list stay under a name of their own. */
static enum status stopped(struct trying *t, const char *folder)
{
    struct job *job = t->job;
    const char *kept = words_errors_kept;
    if (t->status == STATUS_INTERRUPTED && t->table.rows.n > 0) {
        writer_rename(t->w, "figures.csv", "interrupted.csv");
        writer_retire_none(t->w);
        if (writer_commit(t->w) == STATUS_OK)
            kept = arena_printf(job->arena, words_errors_whole_runs, t->table.rows.n, folder);
    }
    job_error(job, kept, "%s", t->trouble ? t->trouble : words_status(t->status));
    return t->status;
}

static enum status write_all(struct trying *t, const struct try_study *study, const char *folder)
{
    struct job *job = t->job;
    struct drawing d = {0};
    try_csv_write(t->w, "try.csv", study);
    if (!job->options->no_plots) {
        struct plot_options options = job_plot_options(job);
        plot_list names = sweep_plot_write(t->w, job->diags, job->arena, study, &options);
        for (int i = 0; i < names.n; i++) array_push(job->arena, &d.names, names.at[i]);
        job_draw(job, t->w, &d);
    }
    int unbalanced = 0;
    for (int i = 0; i < t->table.rows.n; i++) unbalanced += !t->table.rows.at[i].balanced;
    job_count_audits(job, unbalanced);
    enum status status = job_commit(job, t->w);
    if (status != STATUS_OK || job->options->quiet) return status;
    try_text_write(job->out, job->arena, study, arena_printf(job->arena, "%s/figures.csv", folder),
                   arena_printf(job->arena, "%s/try.csv", folder));
    job_tell_pictures(job, &d, folder);
    busy_write(job->out, &t->busy, t->pieces,
               job->options->jobs < AHEAD ? job->options->jobs : AHEAD);
    return STATUS_OK;
}

static enum status run(struct job *job)
{
    struct trying *t = ARENA_NEW(job->arena, struct trying);
    t->job = job;
    t->options = (struct trial_options){
        .cold = job->options->cold, .duration = job->options->duration, .progress = on_progress};
    job_catch_signals(NULL);
    enum status status = read_sweeps(t);
    if (status != STATUS_OK) return status;
    const char *folder = job_folder(job, scenario_path(t->scenario));
    t->w = job_writer(job, folder);
    if (!t->w) return STATUS_WRITE;
    job_catch_signals(t->w);
    run_all(t);
    struct limit limits[2];
    struct try_study study = {.title = scenario_title(t->scenario),
                              .setup = t->setup,
                              .sweeps = t->sweeps,
                              .n = t->n,
                              .cold = t->options.cold,
                              .table = &t->table};
    if (t->status == STATUS_OK) find_limits(t, &study, limits);
    if (t->status == STATUS_OK && !job->options->quiet) look_at_ends(t, &study);
    if (t->status != STATUS_OK) return stopped(t, folder);
    return write_all(t, &study, folder);
}

const struct command command_try = {
    .name = "try",
    .takes = "SCENARIO KEY=LIST",
    .says = words_help_try_says,
    .tells = words_help_try,
    .example = "presolder try scenarios/field-coil.yaml C1.value=4.7uF,10uF,22uF,47uF",
    .least = 2,
    .most = 3,
    .bit = FOR_TRY,
    .run = run,
};
