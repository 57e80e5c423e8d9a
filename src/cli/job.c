/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps every command begins with. */
#include <stdarg.h>
#include <string.h>

#include "command.h"
#include "tongue.h"

void job_error(struct job *job, const char *hint, const char *format, ...)
{
    char text[1024];
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    struct place nowhere = {NULL, 0, 0};
    diags_add(job->diags, DIAG_ERROR, nowhere, hint, "%s", text);
}

void job_diag(struct job *job, const struct diag *diag)
{
    struct place at = diag->at;
    if (at.file) at.file = arena_text(job->arena, at.file, strlen(at.file));
    diags_add(job->diags, diag->severity, at, diag->hint, "%s", diag->message);
}

bool job_catalogue(struct job *job)
{
    job->data = scenario_data_folder(job->arena);
    if (!job->data) {
        job_error(job, "set PRESOLDER_DATA to the folder that holds `models`, or install again",
                  "the catalogue of parts was not found");
        return false;
    }
    const char *models = arena_printf(job->arena, "%s/models", job->data);
    job->catalogue = catalogue_read(job->arena, job->diags, models);
    return job->catalogue && diags_errors(job->diags) == 0;
}

const struct scenario *job_scenario(struct job *job)
{
    return job_scenario_of(job, job->options->argument[0]);
}

const struct scenario *job_scenario_of(struct job *job, const char *path)
{
    if (!job_catalogue(job)) return NULL;
    const struct scenario *s = scenario_read(job->arena, job->diags, job->catalogue, path);
    if (s && scenario_uk(s)) tongue_set(true);
    return s;
}
