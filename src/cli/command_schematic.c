/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Voltages are those of the last `switch-on` into the same folder where that is younger than the
 * scenario; else the scenario is run as `switch-on` does. */
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "followed.h"
#include "job_outcome.h"
#include "page.h"
#include "progress.h"
#include "schematic_svg.h"
#include "words_help.h"
#include "words_schematic.h"
#include "words_trouble.h"

static int on_progress(void *context, double done)
{
    progress_show(context, done);
    return job_interrupted();
}

static bool younger(const char *path, const char *than)
{
    struct stat a, b;
    if (stat(path, &a) != 0 || stat(than, &b) != 0) return false;
    if (a.st_mtim.tv_sec != b.st_mtim.tv_sec) return a.st_mtim.tv_sec > b.st_mtim.tv_sec;
    return a.st_mtim.tv_nsec > b.st_mtim.tv_nsec;
}

struct figures {
    struct schematic_readings readings;
    const struct result *run; /* NULL: from a file */
    enum status status;
    struct trouble trouble;
};

static struct figures figures_of(struct job *job, const struct scenario *s,
                                 const struct setup *setup, const char *folder)
{
    struct figures f = {.status = STATUS_OK};
    const char *path = arena_printf(job->arena, "%s/figures.csv", folder);
    if (job->options->duration <= 0 && younger(path, scenario_path(s)) &&
        schematic_readings_read(job->arena, path, setup->variant, &f.readings))
        return f;
    bool seen = isatty(STDERR_FILENO) && !job->options->quiet;
    struct progress progress =
        progress_begin(seen ? job->err : NULL, job->options->quiet ? NULL : job->err);
    struct run_options options = run_defaults();
    options.duration = job->options->duration;
    options.progress = on_progress;
    options.progress_context = &progress;
    const struct turn_on *t = turn_on(job->arena, followed_everywhere(job->arena, setup), &options);
    progress_clear(&progress);
    const struct result *bad = t->restart ? t->restart : t->run;
    f.status = t->status;
    f.trouble = bad->trouble;
    if (f.status != STATUS_OK) return f;
    f.run = t->run;
    f.readings = schematic_readings_of(job->arena, t->judgement, t->run->end);
    return f;
}

static enum status run(struct job *job)
{
    const struct options *o = job->options;
    const struct scenario *s = job_scenario(job);
    const struct setup *setup = s ? scenario_setup(job->arena, job->diags, s, o->variant) : NULL;
    if (!setup) return STATUS_SCENARIO;
    const char *folder = job_folder(job, scenario_path(s));
    struct writer *w = job_writer(job, folder);
    if (!w) return STATUS_WRITE;
    job_catch_signals(w);
    struct figures f = {.status = STATUS_OK};
    if (!o->without_voltages) f = figures_of(job, s, setup, folder);
    if (f.status != STATUS_OK)
        return job_failed(job, f.status, words_trouble(job->arena, f.status, &f.trouble));
    struct schematic_options how = {
        .zigzag = o->zigzag, .narrow = o->narrow, .black_and_white = o->black_and_white};
    writer_file(w, "schematic.svg");
    struct schematic_size size = schematic_svg_write(
        w, job->arena, setup, o->without_voltages ? NULL : &f.readings, f.run, &how);
    enum status status = job_commit(job, w);
    if (f.run) job_warn_of_audit(job, "the run", f.run);
    double longer = size.width > size.height ? size.width : size.height,
           shorter = size.width + size.height - longer;
    struct page page = page_on(job->out, job->arena);
    if (status == STATUS_OK && !o->quiet)
        page_path(&page,
                  arena_printf(job->arena, words_schematic_in, size.width, size.height,
                               longer <= 297 && shorter <= 210 ? words_schematic_a4
                                                               : words_schematic_larger),
                  arena_printf(job->arena, "%s/schematic.svg", folder));
    return status;
}

const struct command command_schematic = {
    .name = "schematic",
    .takes = "SCENARIO",
    .says = words_help_schematic_says,
    .tells = words_help_schematic,
    .example = "presolder schematic scenarios/field-coil.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_SCHEMATIC,
    .run = run,
};
