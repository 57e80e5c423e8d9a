/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A signal only sets a flag, which runs in all threads look at. */
#include "job_outcome.h"

#include <signal.h>
#include <stdatomic.h>
#include <string.h>
#include <unistd.h>

#include "browser.h"
#include "gnuplot.h"
#include "progress.h"
#include "words_errors.h"
#include "words_failure.h"
#include "words_progress.h"
#include "words_status.h"

/* ---- interruption ---- */

static atomic_int interrupted;
static const struct writer *volatile partial; /* what the runs have written so far */

static void on_signal(int number)
{
    (void)number;
    if (atomic_exchange(&interrupted, 1)) {
        if (partial) writer_drop(partial);
        _exit(status_exit_code(STATUS_INTERRUPTED));
    }
}

/* A signal that whoever started the program had it ignore stays ignored. */
void job_catch_signals(const struct writer *w)
{
    static const int signals[] = {SIGINT, SIGTERM, SIGHUP};
    struct sigaction before, action = {.sa_handler = on_signal};
    partial = w;
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof signals / sizeof signals[0]; i++)
        if (sigaction(signals[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(signals[i], &action, NULL);
}

bool job_interrupted(void)
{
    return atomic_load(&interrupted) != 0 || browser_stopped();
}

/* ---- where the results go ---- */

const char *job_folder(struct job *job, const char *path)
{
    if (job->options->out) return job->options->out;
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    size_t n = dot && dot > name ? (size_t)(dot - name) : strlen(name);
    if (n == 0 || name[0] == '.') name = "scenario", n = strlen(name);
    return arena_printf(job->arena, "./presolder-out/%.*s", (int)n, name);
}

struct writer *job_writer(struct job *job, const char *folder)
{
    struct writer *w = writer_begin(job->arena, folder);
    if (!writer_message(w)) return w;
    job_error(job, words_errors_other_folder, "%s", writer_message(w));
    return NULL;
}

enum status job_commit(struct job *job, struct writer *w)
{
    if (job_interrupted()) {
        job_error(job, words_errors_kept, words_errors_drawing);
        return STATUS_INTERRUPTED;
    }
    if (diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    if (writer_commit(w) == STATUS_OK) return STATUS_OK;
    job_error(job, NULL, "%s", writer_message(w));
    return STATUS_WRITE;
}

enum status job_failed(struct job *job, enum status status, const char *what)
{
    if (status == STATUS_INTERRUPTED) what = words_errors_interrupted;
    if (status == STATUS_SCENARIO && diags_errors(job->diags) > 0) return status;
    job_error(job, words_errors_kept, "%s", what ? what : words_status(status));
    return status;
}

enum status job_study_failed(struct job *job, enum status status, const struct failure *f)
{
    if (f->cause == FAILURE_NONE) return job_failed(job, status, NULL);
    const char *which = words_failure_which(job->arena, f), *why = words_failure_why(job->arena, f),
               *hint = words_failure_hint(job->arena, f->cause);
    if (which) why = arena_printf(job->arena, words_failure_of, which, why);
    if (!hint) return job_failed(job, status, why);
    job_error(job, hint, "%s", why);
    return status;
}

void job_count_audits(struct job *job, int failed)
{
    if (failed <= 0) return;
    job->unbalanced = true;
    diags_add(job->diags, DIAG_WARNING, (struct place){NULL, 0, 0}, words_errors_not_rely_many,
              failed == 1 ? words_errors_one_unbalanced : words_errors_many_unbalanced, failed);
}

/* In the summary it stands first; here it is told to those who do not read it as well. */
void job_warn_of_audit(struct job *job, const char *what, const struct result *run)
{
    const struct statistics *st = &run->statistics;
    if (!st->audit_failed) return;
    job->unbalanced = true;
    diags_add(job->diags, DIAG_WARNING, (struct place){NULL, 0, 0}, words_errors_not_rely,
              words_errors_unbalanced, what, st->energy_residual, st->charge_residual,
              st->charge_point && *st->charge_point ? st->charge_point : words_errors_nowhere);
}

/* ---- how far it is ---- */

struct job_counter job_counter(struct job *job, const char *what)
{
    bool wanted = isatty(STDERR_FILENO) && !job->options->quiet;
    return (struct job_counter){
        .to = wanted ? job->err : NULL, .what = what, .begun = progress_now()};
}

void job_count(void *counter, int done, int all)
{
    struct job_counter *c = counter;
    browser_progress((double)done / all);
    if (!c->to || done <= 0) return;
    long left = (long)((progress_now() - c->begun) * (all - done) / done + 0.5);
    fprintf(c->to, words_progress_counter, done, all, c->what, left / 60, left % 60);
    fflush(c->to);
    c->shown = true;
}

void job_count_note(struct job_counter *c, const char *says)
{
    if (!c->to) return;
    fputs(says, c->to);
    fflush(c->to);
    c->shown = true;
}

void job_count_clear(struct job_counter *c)
{
    if (c->to && c->shown) fprintf(c->to, "\r%*s\r", PROGRESS_LINE, "");
}

/* ---- pictures ---- */

struct plot_options job_plot_options(struct job *job)
{
    const char *templates = arena_printf(job->arena, "%s/plots", job->data);
    return (struct plot_options){templates, job->options->format, job->options->black_and_white};
}

void job_draw(struct job *job, struct writer *w, struct drawing *d)
{
    const char *gnuplot = gnuplot_find(job->arena);
    d->drawn = gnuplot != NULL;
    if (!gnuplot || job_interrupted()) return;
    d->failed = plot_draw_scripts(w, job->arena, d->names.at, d->names.n, job->options->format,
                                  gnuplot, job_interrupted);
}

/* Once in place the scripts are ordinary files. */
void job_tell_pictures(struct job *job, const struct drawing *d, const char *folder)
{
    if (IN_BROWSER || d->names.n == 0) return; /* the page draws them itself */
    if (d->drawn && !d->failed && !job_interrupted()) {
        fprintf(job->options->html ? job->err : job->out, words_progress_pictures, folder,
                job->options->format);
        return;
    }
    if (job_interrupted()) fprintf(job->err, words_progress_not_drawn, folder, d->names.at[0]);
    else if (d->drawn)
        fprintf(job->err, words_progress_gnuplot_failed, d->failed, folder, d->failed);
    else fprintf(job->err, words_progress_no_gnuplot, folder, d->names.at[0]);
}
