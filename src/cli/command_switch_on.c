/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The folder for the results is made first, so that one that cannot be written to is told before
 * the work; the files come into place only when everything is there. The first signal ends the run
 * at its next period, and what it has found by then is written, marked as partial; the second one
 * ends the program with old results as they were. */
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "command.h"
#include "figures_csv.h"
#include "gnuplot.h"
#include "plot.h"
#include "progress.h"
#include "summary.h"
#include "trace_csv.h"
#include "turn_on.h"
#include "writer.h"

/* ---- progress and interruption ---- */

static volatile sig_atomic_t interrupted;
static const char *volatile partial_folder; /* empty while the run lasts */

static void on_signal(int number)
{
    (void)number;
    if (interrupted) {
        if (partial_folder) rmdir(partial_folder);
        _exit(status_exit_code(STATUS_INTERRUPTED));
    }
    interrupted = 1;
}

/* A signal that whoever started the program had it ignore stays ignored. */
static void catch_signals(const struct writer *w)
{
    static const int signals[] = {SIGINT, SIGTERM};
    struct sigaction before, action = {.sa_handler = on_signal};
    partial_folder = writer_partial(w);
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof signals / sizeof signals[0]; i++)
        if (sigaction(signals[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(signals[i], &action, NULL);
}

/* ---- where the results go ---- */

/* ./presolder-out/NAME, NAME being the scenario's file name without folder and ending. */
static const char *default_folder(struct job *job, const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    size_t n = dot && dot > name ? (size_t)(dot - name) : strlen(name);
    if (n == 0 || name[0] == '.') name = "scenario", n = strlen(name);
    return arena_printf(job->arena, "./presolder-out/%.*s", (int)n, name);
}

struct pictures {
    struct plots plots;
    bool wanted, drawn;
    const char *failed; /* first script that gnuplot did not draw */
};

static bool any_plot(const struct plots *plots)
{
    for (int i = 0; i < PLOTS; i++)
        if (plots->written[i]) return true;
    return false;
}

static struct pictures make_pictures(struct job *job, struct writer *w, const struct turn_on *t)
{
    struct pictures p = {.wanted = !job->options->no_plots};
    const char *templates = arena_printf(job->arena, "%s/plots", job->data);
    struct plot_options options = {templates, job->options->format, job->options->black_and_white};
    if (!p.wanted) return p;
    p.plots = plot_write(w, job->diags, job->arena, t, &options);
    const char *gnuplot = gnuplot_find(job->arena);
    p.drawn = gnuplot != NULL;
    if (gnuplot && !interrupted) p.failed = plot_draw(w, job->arena, &p.plots, gnuplot);
    return p;
}

/* How to get what is missing; once in place the scripts are ordinary files. */
static void tell_pictures(struct job *job, const struct pictures *p, const char *folder)
{
    if (!p->wanted || !any_plot(&p->plots)) return;
    if (p->drawn && !p->failed && !interrupted) {
        fprintf(job->out, "Pictures: %s/plots/*.%s\n", folder, p->plots.format);
        return;
    }
    const char *script = p->failed;
    for (int i = 0; i < PLOTS && !script; i++)
        if (p->plots.written[i]) script = arena_printf(job->arena, "%s.gp", plot_names[i]);
    if (interrupted)
        fprintf(job->err,
                "note: an interrupted run is not drawn. In the folder %s/plots:\n"
                "  gnuplot %s\n"
                "and so for every script there.\n",
                folder, script);
    else if (p->drawn)
        fprintf(job->err,
                "note: gnuplot did not draw %s; to see why: cd '%s/plots', then gnuplot %s\n",
                script, folder, script);
    else
        fprintf(job->err,
                "note: no pictures, since gnuplot is not installed. To get them:\n"
                "  apt install gnuplot-nox\n"
                "then in the folder %s/plots:\n"
                "  gnuplot %s\n"
                "and so for every script there.\n",
                folder, script);
}

/* ---- the whole ---- */

static enum status failed(struct job *job, const struct turn_on *t)
{
    const struct result *bad = t->restart ? t->restart : t->run; /* none after a failed run */
    const char *what = bad && bad->message ? bad->message : status_text(t->status);
    job_error(job, "nothing was written; results of earlier runs are as they were", "%s%s",
              bad == t->run ? "" : "hot restart: ", what);
    return t->status;
}

static enum status write_all(struct job *job, struct writer *w, const struct turn_on *t,
                             const char *folder)
{
    figures_csv_write(w, "figures.csv", t->judgement);
    trace_csv_write(w, job->arena, "trace.csv", t->run, 0);
    struct result record = result_heat(t->run);
    trace_csv_write(w, job->arena, "heat.csv", &record, 0);
    writer_pause(w);
    struct pictures pictures = make_pictures(job, w, t);
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    bool written = writer_commit(w) == STATUS_OK;
    const char *figures = arena_printf(job->arena, "%s/figures.csv", folder);
    if (!job->options->quiet) summary_write(job->out, job->arena, t, written ? figures : NULL);
    if (!written) {
        job_error(job, NULL, "%s", writer_message(w));
        return STATUS_WRITE;
    }
    if (!job->options->quiet) tell_pictures(job, &pictures, folder);
    return interrupted ? STATUS_INTERRUPTED : STATUS_OK;
}

/* In the summary it stands first; here it is told to those who do not read it as well. */
static void warn_of_audit(struct job *job, const struct result *run)
{
    const struct statistics *st = &run->statistics;
    if (!st->audit_failed) return;
    diags_add(job->diags, DIAG_WARNING, (struct place){NULL, 0, 0}, "do not rely on its figures",
              "the run does not balance: energy to %.1e, charge to %.1e at %s", st->energy_residual,
              st->charge_residual,
              st->charge_point && *st->charge_point ? st->charge_point : "none");
}

static int on_progress(void *context, double done)
{
    progress_show(context, done);
    return interrupted;
}

static const struct turn_on *simulate(struct job *job, const struct setup *setup)
{
    bool seen = isatty(STDERR_FILENO) && !job->options->quiet;
    struct progress progress = progress_begin(seen ? job->err : NULL);
    struct run_options options = run_defaults();
    options.duration = job->options->duration;
    options.trace = true;
    options.progress = on_progress;
    options.progress_context = &progress;
    options.every_cycle = job->options->every_cycle;
    const struct turn_on *t = turn_on(job->arena, setup, &options);
    progress_clear(&progress);
    return t;
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    if (!s) return STATUS_SCENARIO;
    const struct setup *setup = scenario_setup(job->arena, job->diags, s, job->options->variant);
    if (!setup) return STATUS_SCENARIO;
    const char *folder = job->options->out;
    if (!folder) folder = default_folder(job, scenario_path(s));
    struct writer *w = writer_begin(job->arena, folder);
    if (writer_message(w)) {
        job_error(job, "name another folder with --out", "%s", writer_message(w));
        return STATUS_WRITE;
    }
    catch_signals(w);
    const struct turn_on *t = simulate(job, setup);
    if (t->status != STATUS_OK && t->status != STATUS_INTERRUPTED) return failed(job, t);
    enum status status = write_all(job, w, t, folder);
    warn_of_audit(job, t->run);
    if (status == STATUS_OK && job->options->strict && t->judgement->over > 0)
        return STATUS_OVER_RATING;
    return status;
}

const struct command command_switch_on = {
    .name = "switch-on",
    .takes = "SCENARIO",
    .says = "simulate the turn-on: summary, figures, trace, pictures",
    .tells =
        "Simulates the set from switch-on, and its hot restart, judges every figure against its\n"
        "rating and shows a summary. Writes figures.csv, trace.csv and, in the folder plots,\n"
        "gnuplot scripts with their pictures. Files come into place all together at the end.\n"
        "Ctrl-C ends the run early: what it has found by then is written, marked as partial.\n"
        "A second Ctrl-C, or a failed run, writes nothing and leaves old results as they were.\n"
        "In runs longer than a minute many cycles are leapt over when all has settled but for\n"
        "slow warming; --every-cycle simulates each one.\n",
    .example = "presolder switch-on scenarios/field-coil.yaml --out out/field-coil",
    .least = 1,
    .most = 1,
    .bit = FOR_SWITCH_ON,
    .run = run,
};
