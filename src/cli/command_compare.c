/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The columns are the scenario and its variants, or those asked for, or several files with what is
 * asked for of each. All are set up before the first run, so every mistake is told at once. */
#include <string.h>
#include <unistd.h>

#include "busy.h"
#include "compare_text.h"
#include "figures_csv.h"
#include "job_outcome.h"
#include "overlay.h"
#include "several.h"
#include "words_errors.h"
#include "words_help.h"
#include "words_trouble.h"

enum { COLUMNS_MOST = 40 };

/* ---- the columns ---- */

struct columns_wanted {
    struct job *job;
    const struct setup *setups[COLUMNS_MOST];
    const char *names[COLUMNS_MOST];
    const struct scenario *scenarios[COLUMNS_MOST];
    const char *variants[COLUMNS_MOST]; /* of them */
    int n;
    bool several_files;
    struct busy busy;
    /* of an interrupted comparison: what was not finished, and how far it came [s] */
    const char *missing[COLUMNS_MOST];
    double reached[COLUMNS_MOST];
    int missing_count;
};

static const char *file_name(struct job *job, const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    return arena_text(job->arena, name, dot && dot > name ? (size_t)(dot - name) : strlen(name));
}

static const char *unique_name(const struct columns_wanted *c, const char *name)
{
    int same = 1;
    for (int i = 0; i < c->n; i++)
        if (strcmp(c->names[i], name) == 0) same++;
    return same > 1 ? arena_printf(c->job->arena, "%s (%d)", name, same) : name;
}

/* With several files the columns are called by the file, and the variant where it is not base. */
static void add_column(struct columns_wanted *c, const struct scenario *s, const char *variant)
{
    struct job *job = c->job;
    if (c->n == COLUMNS_MOST) {
        job_error(job, words_errors_choose, words_errors_columns, COLUMNS_MOST);
        return;
    }
    const struct setup *setup = scenario_setup(job->arena, job->diags, s, variant);
    if (!setup) return;
    struct setup *named = ARENA_NEW(job->arena, struct setup);
    *named = *setup;
    if (c->several_files) {
        const char *file = file_name(job, scenario_path(s));
        bool base = strcmp(setup->variant, "base") == 0;
        named->variant = base ? file : arena_printf(job->arena, "%s: %s", file, setup->variant);
    }
    named->variant = unique_name(c, named->variant);
    c->setups[c->n] = named;
    c->scenarios[c->n] = s;
    c->variants[c->n] = variant;
    c->names[c->n++] = named->variant;
}

static void add_file(struct columns_wanted *c, const struct scenario *s)
{
    const struct words *wanted = &c->job->options->variants;
    for (int i = 0; i < wanted->n; i++) add_column(c, s, wanted->at[i]);
    if (wanted->n > 0) return;
    add_column(c, s, NULL);
    for (int i = 0; !c->several_files && i < scenario_variants(s); i++)
        add_column(c, s, scenario_variant(s, i));
}

static enum status set_up(struct columns_wanted *c)
{
    struct job *job = c->job;
    if (!job_catalogue(job)) return STATUS_SCENARIO;
    ARRAY(const struct scenario *) read = {0};
    c->several_files = job->options->arguments > 1;
    for (int i = 0; i < job->options->arguments; i++) {
        const struct scenario *s = job_scenario_of(job, job->options->argument[i]);
        if (s) array_push(job->arena, &read, s);
    }
    for (int i = 0; i < read.n; i++) add_file(c, read.at[i]);
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    if (c->n >= 2) return STATUS_OK;
    job_error(job, words_errors_several, words_errors_nothing);
    return STATUS_USAGE;
}

/* ---- the work ---- */

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static enum status simulate(struct columns_wanted *c, const struct writer *w,
                            const struct turn_on **turn_ons)
{
    struct job *job = c->job;
    struct several_options options = {.run = run_defaults(), .jobs = job->options->jobs};
    options.run.duration = job->options->duration;
    options.run.trace = true;
    options.run.every_cycle = job->options->every_cycle;
    options.run.progress = on_progress;
    struct job_counter counter = job_counter(job, "runs");
    options.done = job_count;
    options.done_context = &counter;
    job_catch_signals(w);
    c->busy = busy_begin();
    enum status status = several_turn_on(job->arena, c->setups, c->n, &options, turn_ons);
    busy_end(&c->busy);
    job_count_clear(&counter);
    return status;
}

static enum status failed(const struct columns_wanted *c, const struct turn_on **turn_ons,
                          enum status status)
{
    for (int i = 0; i < c->n; i++) {
        const struct turn_on *t = turn_ons[i];
        if (t && t->status == STATUS_OK) continue;
        const struct result *bad = !t ? NULL : t->run->status != STATUS_OK ? t->run : t->restart;
        const char *what = !t    ? words_errors_memory
                           : bad ? words_trouble(c->job->arena, bad->status, &bad->trouble)
                                 : "";
        job_error(c->job, words_errors_kept, "%s: %s%s", c->names[i],
                  bad && bad != t->run ? words_errors_restart : "", what);
        return status;
    }
    return status;
}

/* Leaves only the finished columns, and notes the others. */
static void keep_finished(struct columns_wanted *c, const struct turn_on **turn_ons)
{
    int kept = 0;
    for (int i = 0; i < c->n; i++) {
        const struct turn_on *t = turn_ons[i];
        if (t && t->status == STATUS_OK) {
            c->names[kept] = c->names[i];
            c->scenarios[kept] = c->scenarios[i];
            c->variants[kept] = c->variants[i];
            turn_ons[kept++] = t;
            continue;
        }
        c->reached[c->missing_count] = t ? t->run->end : 0;
        c->missing[c->missing_count++] = c->names[i];
    }
    c->n = kept;
}

static const char *missing_words(const struct columns_wanted *c)
{
    const char *words = NULL;
    for (int i = 0; i < c->missing_count; i++)
        words = arena_printf(c->job->arena, "%s%s%s", i ? words : "", i ? ", " : "", c->missing[i]);
    return words;
}

static struct drawing make_pictures(struct job *job, struct writer *w, const struct comparison *c)
{
    struct drawing d = {0};
    struct plot_options options = job_plot_options(job);
    if (job->options->no_plots) return d;
    overlay_pictures names = overlay_write(w, job->diags, job->arena, c, &options);
    for (int i = 0; i < names.n; i++) array_push(job->arena, &d.names, names.at[i].name);
    job_draw(job, w, &d);
    return d;
}

static enum status write_all(const struct columns_wanted *wanted, struct writer *w,
                             const struct comparison *c, const char *folder)
{
    struct job *job = wanted->job;
    figures_csv_begin(w, "figures.csv");
    for (int i = 0; i < c->columns; i++) figures_csv_add(w, c->turn_ons[i]->judgement);
    for (int i = 0; i < wanted->missing_count; i++)
        figures_csv_mark(w, wanted->missing[i], wanted->reached[i]);
    struct drawing pictures = make_pictures(job, w, c);
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    bool written = writer_commit(w) == STATUS_OK;
    const char *figures = arena_printf(job->arena, "%s/figures.csv", folder);
    if (!job->options->quiet) compare_text_write(job->out, job->arena, c, written ? figures : NULL);
    if (!written) {
        job_error(job, NULL, "%s", writer_message(w));
        return STATUS_WRITE;
    }
    if (!job->options->quiet) {
        job_tell_pictures(job, &pictures, folder);
        busy_write(job->out, &wanted->busy, c->columns + wanted->missing_count, job->options->jobs);
    }
    int over = 0;
    bool whole = wanted->missing_count == 0;
    for (int i = 0; i < c->columns; i++) {
        over += c->turn_ons[i]->judgement->over;
        whole &= c->turn_ons[i]->status == STATUS_OK;
    }
    if (job_interrupted() && whole) fputs(words_errors_after, job->err);
    if (job_interrupted()) return STATUS_INTERRUPTED;
    return job->options->strict && over > 0 ? STATUS_OVER_RATING : STATUS_OK;
}

static enum status run(struct job *job)
{
    struct columns_wanted c = {.job = job};
    enum status status = set_up(&c);
    if (status != STATUS_OK) return status;
    const char *folder = job_folder(job, job->options->argument[0]);
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    const struct turn_on **turn_ons = ARENA_ARRAY(job->arena, const struct turn_on *, c.n);
    status = simulate(&c, w, turn_ons);
    if (status != STATUS_OK && status != STATUS_INTERRUPTED) return failed(&c, turn_ons, status);
    keep_finished(&c, turn_ons);
    if (c.n == 0) return job_failed(job, status, NULL);
    struct comparison *comparison = compare_make(job->arena, turn_ons, c.names, c.n);
    comparison->missing = missing_words(&c);
    const struct trial_options cold = {
        .cold = true, .duration = job->options->duration, .progress = on_progress};
    for (int i = 1; i < c.n && !job_interrupted(); i++)
        compare_ease(job->arena, comparison, i, c.scenarios[i], c.variants[i], &cold);
    status = write_all(&c, w, comparison, folder);
    for (int i = 0; i < c.n; i++) {
        const struct result *restart = turn_ons[i]->restart;
        job_warn_of_audit(job, c.names[i], turn_ons[i]->run);
        if (restart)
            job_warn_of_audit(job, arena_printf(job->arena, "%s (hot restart)", c.names[i]),
                              restart);
    }
    return status;
}

const struct command command_compare = {
    .name = "compare",
    .takes = "SCENARIO...",
    .says = words_help_compare_says,
    .tells = words_help_compare,
    .example = "presolder compare scenarios/field-coil.yaml --variant base --variant silicon",
    .least = 1,
    .most = ARGUMENTS_MOST,
    .bit = FOR_COMPARE,
    .run = run,
};
