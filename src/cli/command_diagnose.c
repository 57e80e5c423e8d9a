/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings come from the command line, else from a file, else from the scenario. */
#include <string.h>

#include "diagnose_plot.h"
#include "diagnose_text.h"
#include "find.h"
#include "job_outcome.h"
#include "readings.h"
#include "words_errors.h"
#include "words_help.h"

#define MATCHED "matched to healthy readings"

static int on_progress(void *context, double done)
{
    (void)context, (void)done;
    return job_interrupted();
}

/* --reading "B+ settled-voltage = 181 V": name and value at the last `=`. */
static const struct scenario *from_words(struct job *job, const struct scenario *s)
{
    const struct words *words = &job->options->readings;
    const char *name[WORDS_MOST], *value[WORDS_MOST];
    for (int i = 0; i < words->n; i++)
        if (!wish_split(job->arena, words->at[i], &name[i], &value[i]))
            job_error(job, words_errors_reading, words_errors_no_reading, words->at[i]);
    if (diags_errors(job->diags) > 0) return NULL;
    return readings_instead(job->arena, s, words->n, words->at, name, value);
}

static const struct scenario *with_readings(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    const struct options *o = job->options;
    if (s && o->readings.n > 0) return from_words(job, s);
    if (s && o->readings_file)
        return readings_from_file(job->arena, job->diags, s, o->readings_file);
    return s;
}

/* --match-healthy: the sound set as it read when it was healthy, as a variant of that name. */
static const struct scenario *matched(struct job *job, const struct scenario *s,
                                      const struct responses_options *options,
                                      const struct match **match)
{
    const struct options *o = job->options;
    if (o->readings_file && strcmp(o->readings_file, o->healthy_file) == 0) {
        job_error(job, words_errors_two_files, words_errors_not_both);
        return NULL;
    }
    const struct scenario *healthy = readings_from_file(job->arena, job->diags, s, o->healthy_file);
    if (!healthy) return NULL;
    *match = match_healthy(job->arena, job->diags, healthy, o->variant, options);
    if ((*match)->status != STATUS_OK) return NULL;
    return overrides_scenario(&(*match)->overrides, job->diags, s, o->variant, MATCHED);
}

static enum status run(struct job *job)
{
    const struct scenario *s = with_readings(job);
    if (!s || diags_errors(job->diags) > 0) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    struct job_counter counter = job_counter(job, "causes");
    struct responses_options options = {.jobs = job->options->jobs,
                                        .progress = on_progress,
                                        .done = job_count,
                                        .done_context = &counter};
    const struct match *match = NULL;
    const char *variant = job->options->variant;
    if (job->options->healthy_file) {
        s = matched(job, s, &options, &match);
        variant = MATCHED;
        if (match) options.known = &match->known;
    }
    if (!s) return job_failed(job, match ? match->status : STATUS_SCENARIO, NULL);
    const struct diagnosis *d =
        diagnose(job->arena, job->diags, s, variant, job->options->set, &options);
    job_count_clear(&counter);
    if (d->status != STATUS_OK)
        return job_failed(job, d->status,
                          d->status == STATUS_SOLUTION ? words_errors_no_steady : NULL);
    diagnose_csv_write(w, "diagnosis.csv", d);
    struct drawing pictures = {0};
    if (!job->options->no_plots) {
        struct plot_options plot_options = job_plot_options(job);
        if (diagnose_plot_write(w, job->diags, job->arena, d, &plot_options))
            array_push(job->arena, &pictures.names, "diagnosis");
        job_draw(job, w, &pictures);
    }
    enum status status = job_commit(job, w);
    if (status != STATUS_OK || job->options->quiet) return status;
    if (match) diagnose_text_matched(job->out, job->arena, match, job->options->healthy_file);
    diagnose_text_write(job->out, job->arena, d,
                        arena_printf(job->arena, "%s/diagnosis.csv", folder));
    job_tell_pictures(job, &pictures, folder);
    return status;
}

const struct command command_diagnose = {
    .name = "diagnose",
    .takes = "SCENARIO",
    .says = words_help_diagnose_says,
    .tells = words_help_diagnose,
    .example = "presolder diagnose scenarios/field-coil.yaml --reading \"B+ DC = 181 V\" "
               "--reading \"first filter DC = 290 V\"",
    .least = 1,
    .most = 1,
    .bit = FOR_DIAGNOSE,
    .run = run,
};
