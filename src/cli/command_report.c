/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything is run before anything is written. The pictures' scripts need the files that
 * `switch-on` and `compare` write, so those come into the folder too. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "curves.h"
#include "ends.h"
#include "figures_csv.h"
#include "followed.h"
#include "job_outcome.h"
#include "overlay.h"
#include "owner_html.h"
#include "report_html.h"
#include "several.h"
#include "trace_csv.h"
#include "words_errors.h"
#include "words_help.h"
#include "words_owner.h"
#include "words_report.h"
#include "words_trouble.h"

enum { SAMPLES = 1000, VARIANTS_MOST = 8 };

/* ---- what was asked for ---- */

enum sheet { SHEET_SHOPPING, SHEET_BENCH, SHEET_TOLERANCES, SHEETS };
static const char *const sheet_names[SHEETS] = {"shopping-list", "bench-sheet", "tolerances"};

struct reporting {
    struct job *job;
    const struct scenario *s;
    const struct setup *setups[VARIANTS_MOST];
    const char *names[VARIANTS_MOST];
    bool wanted[SHEETS];
    struct report report;
};

static bool choose_sheet(struct reporting *p, const char *name, size_t n)
{
    for (int i = 0; i < SHEETS; i++) {
        if (strlen(sheet_names[i]) != n || strncmp(sheet_names[i], name, n) != 0) continue;
        p->wanted[i] = true;
        return true;
    }
    job_error(p->job, "it takes shopping-list, bench-sheet, tolerances",
              "--include does not know `%.*s`", (int)n, name);
    return false;
}

/* `a,b` and several options. */
static bool choose_sheets(struct reporting *p)
{
    const struct words *includes = &p->job->options->includes;
    for (int i = 0; i < includes->n; i++) {
        const char *text = includes->at[i];
        do {
            size_t n = strcspn(text, ",");
            if (!choose_sheet(p, text, n)) return false;
            text += n + (text[n] != 0);
        } while (*text);
    }
    return true;
}

/* Today, or what SOURCE_DATE_EPOCH says (reproducible-builds.org); NULL with an error. */
static const char *date(struct job *job)
{
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    char *end = NULL, text[32];
    struct tm broken;
    time_t now = time(NULL);
    errno = 0;
    if (epoch && *epoch) now = (time_t)strtoll(epoch, &end, 10);
    bool good = !end || (*end == 0 && errno == 0 && now >= 0);
    if (good) good = end ? gmtime_r(&now, &broken) != NULL : localtime_r(&now, &broken) != NULL;
    if (good && strftime(text, sizeof text, "%Y-%m-%d", &broken) > 0)
        return arena_text(job->arena, text, strlen(text));
    job_error(job, "unset it, or set it to seconds since 1970",
              "SOURCE_DATE_EPOCH is no number of seconds: `%s`", epoch);
    return NULL;
}

static bool add_variant(struct reporting *p, const char *variant)
{
    struct report *r = &p->report;
    if (r->n == VARIANTS_MOST) {
        job_error(p->job, NULL, "a report takes at most %d variants", VARIANTS_MOST);
        return false;
    }
    const struct setup *setup = scenario_setup(p->job->arena, p->job->diags, p->s, variant);
    for (int i = 0; setup && i < r->n; i++)
        if (strcmp(p->names[i], setup->variant) == 0) return true;
    if (!setup) return false;
    p->setups[r->n] = followed_everywhere(p->job->arena, setup);
    p->names[r->n++] = setup->variant;
    return true;
}

static enum status set_up(struct reporting *p)
{
    struct job *job = p->job;
    const struct words *variants = &job->options->variants;
    if (!choose_sheets(p)) return STATUS_USAGE;
    if (job->options->owner && (variants->n > 1 || job->options->includes.n > 0)) {
        job_error(job, "write `--variant NAME` once, and no `--include`",
                  "the page for the owner is of one set, as it goes back");
        return STATUS_USAGE;
    }
    p->report.date = date(job);
    if (!p->report.date) return STATUS_USAGE;
    p->s = job_scenario(job);
    bool good = p->s && (variants->n > 0 || add_variant(p, NULL));
    for (int i = 0; i < variants->n && good; i++) good = add_variant(p, variants->at[i]);
    if (!good) return STATUS_SCENARIO;
    const char *path = scenario_path(p->s), *slash = strrchr(path, '/');
    p->report.names = p->names;
    p->report.file = slash ? slash + 1 : path;
    p->report.version = PRESOLDER_VERSION;
    p->report.black_and_white = job->options->black_and_white;
    p->report.zigzag = job->options->zigzag;
    return STATUS_OK;
}

/* ---- the work ---- */

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

static enum status failed(struct reporting *p, const struct turn_on **turn_ons, enum status status)
{
    for (int i = 0; i < p->report.n; i++) {
        const struct turn_on *t = turn_ons[i];
        if (t && t->status == STATUS_OK) continue;
        const struct result *bad = !t ? NULL : t->run->status != STATUS_OK ? t->run : t->restart;
        return job_failed(p->job, status,
                          bad ? words_trouble(p->job->arena, status, &bad->trouble)
                              : words_errors_memory);
    }
    return status;
}

static enum status simulate(struct reporting *p)
{
    struct job *job = p->job;
    struct report *r = &p->report;
    struct several_options options = {.run = run_defaults(), .jobs = job->options->jobs};
    struct job_counter counter = job_counter(job, "runs");
    const struct turn_on **turn_ons = ARENA_ARRAY(job->arena, const struct turn_on *, r->n);
    options.run.duration = job->options->duration;
    options.run.trace = true;
    options.run.progress = on_progress;
    options.done = job_count;
    options.done_context = &counter;
    enum status status = several_turn_on(job->arena, p->setups, r->n, &options, turn_ons);
    job_count_clear(&counter);
    if (status != STATUS_OK) return failed(p, turn_ons, status);
    const struct ends_options ends = {.jobs = job->options->jobs, .progress = on_progress};
    const struct tolerances_options bands = {
        .jobs = job->options->jobs, .only_steady = true, .interrupted = job_interrupted};
    for (int i = 0; i < r->n && !job->options->owner; i++) {
        struct turn_on *t = ARENA_NEW(job->arena, struct turn_on);
        *t = *turn_ons[i];
        if (t->warm && !ends_take_long(p->setups[i])) {
            t->bands = tolerances_bands(job->arena, p->s, p->names[i], &bands);
            t->ends = ends_study(job->arena, p->s, p->names[i], p->setups[i], &ends);
        }
        turn_ons[i] = t;
    }
    r->turn_ons = turn_ons;
    if (r->n > 1) r->comparison = compare_make(job->arena, turn_ons, p->names, r->n);
    return job_interrupted() ? job_failed(job, STATUS_INTERRUPTED, NULL) : STATUS_OK;
}

static enum status shop(struct reporting *p, struct job_counter *counter)
{
    struct job *job = p->job;
    const struct buy_options options = {.duration = job->options->duration,
                                        .jobs = job->options->jobs,
                                        .progress = on_progress,
                                        .done = job_count,
                                        .done_context = counter};
    const struct buy_list **lists = ARENA_ARRAY(job->arena, const struct buy_list *, p->report.n);
    for (int i = 0; i < p->report.n; i++) {
        lists[i] = buy_list(job->arena, job->diags, p->s, p->names[i], &options);
        if (lists[i]->status != STATUS_OK)
            return job_study_failed(job, lists[i]->status, &lists[i]->failure);
    }
    p->report.buy = lists;
    return STATUS_OK;
}

static enum status bench(struct reporting *p, struct job_counter *counter)
{
    struct job *job = p->job;
    const struct bench_options options = {.jobs = job->options->jobs,
                                          .interrupted = job_interrupted,
                                          .progress = on_progress,
                                          .done = job_count,
                                          .done_context = counter};
    const struct bench_sheet **sheets =
        ARENA_ARRAY(job->arena, const struct bench_sheet *, p->report.n);
    for (int i = 0; i < p->report.n; i++) {
        sheets[i] = bench_sheet_make(job->arena, job->diags, p->s, p->names[i], &options);
        if (sheets[i]->status != STATUS_OK)
            return job_study_failed(job, sheets[i]->status, &sheets[i]->failure);
        job_count_audits(job, sheets[i]->unbalanced);
    }
    p->report.bench = sheets;
    return STATUS_OK;
}

static enum status tolerate(struct reporting *p, struct job_counter *counter)
{
    struct job *job = p->job;
    const struct tolerances_options options = {.samples = SAMPLES,
                                               .seed = 1,
                                               .jobs = job->options->jobs,
                                               .duration = job->options->duration,
                                               .interrupted = job_interrupted,
                                               .done = job_count,
                                               .done_context = counter};
    const struct tolerances **all = ARENA_ARRAY(job->arena, const struct tolerances *, p->report.n);
    for (int i = 0; i < p->report.n; i++) {
        all[i] = tolerances_make(job->arena, job->diags, p->s, p->names[i], &options);
        if (all[i]->status != STATUS_OK) return job_study_failed(job, all[i]->status, &all[i]->why);
    }
    p->report.tolerances = all;
    return STATUS_OK;
}

static enum status study(struct reporting *p)
{
    static enum status (*const studies[SHEETS])(struct reporting *, struct job_counter *) = {
        [SHEET_SHOPPING] = shop, [SHEET_BENCH] = bench, [SHEET_TOLERANCES] = tolerate};
    for (int i = 0; i < SHEETS; i++) {
        struct job_counter counter = job_counter(p->job, i == SHEET_TOLERANCES ? "sets" : "runs");
        if (!p->wanted[i]) continue;
        enum status status = studies[i](p, &counter);
        job_count_clear(&counter);
        if (status != STATUS_OK) return status;
    }
    return STATUS_OK;
}

/* ---- pictures ---- */

static void add_picture(struct reporting *p, struct drawing *d, const char *name, const char *point)
{
    struct report_picture picture = {name, point};
    array_push(p->job->arena, &d->names, name);
    array_push(p->job->arena, &p->report.pictures, picture);
}

static void write_scripts(struct reporting *p, struct writer *w, struct drawing *d)
{
    struct job *job = p->job;
    const struct report *r = &p->report;
    struct plot_options options = job_plot_options(job);
    if (r->n > 1) {
        overlay_pictures all = overlay_write(w, job->diags, job->arena, r->comparison, &options);
        for (int i = 0; i < all.n; i++) add_picture(p, d, all.at[i].name, all.at[i].point);
        return;
    }
    const struct turn_on *t = r->turn_ons[0];
    const struct trace *csv = trace_csv_write(w, job->arena, "trace.csv", t->run, 0), *hot = NULL;
    if (t->restart) hot = trace_csv_write(w, job->arena, "restart.csv", t->restart, 0);
    struct result record = run_heat(t->run);
    trace_csv_write(w, job->arena, "heat.csv", &record, 0);
    writer_pause(w);
    struct plots plots = plot_write(w, job->diags, job->arena, t, csv, hot, &options);
    for (int i = 0; i < PLOTS; i++)
        if (plots.written[i]) add_picture(p, d, plot_names[i], NULL);
}

static struct drawing draw(struct reporting *p, struct writer *w)
{
    struct drawing d = {0};
    if (p->job->options->no_plots) {
        p->report.without = words_report_not_wanted;
        return d;
    }
    write_scripts(p, w, &d);
    job_draw(p->job, w, &d);
    if (!d.drawn) p->report.without = words_report_no_gnuplot;
    return d;
}

/* ---- the whole ---- */

static enum status write_owner(struct reporting *p, struct writer *w, const char *folder)
{
    struct job *job = p->job;
    owner_html_write(w, job->arena, "owner.html", p->s, &p->report);
    enum status status = job_commit(job, w);
    if (status == STATUS_OK && !job->options->quiet)
        fprintf(job->out, words_owner_file, arena_printf(job->arena, "%s/owner.html", folder));
    return status;
}

static enum status write_all(struct reporting *p, struct writer *w, const char *folder)
{
    struct job *job = p->job;
    figures_csv_begin(w, "figures.csv");
    for (int i = 0; i < p->report.n; i++) figures_csv_add(w, p->report.turn_ons[i]->judgement);
    struct drawing pictures = draw(p, w);
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    report_html_write(w, job->arena, "report.html", &p->report);
    enum status status = job_commit(job, w);
    if (status != STATUS_OK || job->options->quiet) return status;
    fprintf(job->out, words_report_file, arena_printf(job->arena, "%s/report.html", folder));
    if (!pictures.drawn || pictures.failed) job_tell_pictures(job, &pictures, folder);
    return status;
}

static enum status run(struct job *job)
{
    struct reporting p = {.job = job};
    enum status status = set_up(&p);
    if (status != STATUS_OK) return status;
    const char *folder = job_folder(job, scenario_path(p.s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    status = simulate(&p);
    if (status == STATUS_OK) status = study(&p);
    if (status == STATUS_OK)
        status = (job->options->owner ? write_owner : write_all)(&p, w, folder);
    for (int i = 0; status == STATUS_OK && i < p.report.n; i++)
        job_warn_of_audit(job, p.names[i], p.report.turn_ons[i]->run);
    return status;
}

const struct command command_report = {
    .name = "report",
    .takes = "SCENARIO",
    .says = words_help_report_says,
    .tells = words_help_report,
    .example = "presolder report scenarios/field-coil.yaml --include shopping-list,tolerances",
    .least = 1,
    .most = 1,
    .bit = FOR_REPORT,
    .run = run,
};
