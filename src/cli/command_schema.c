/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "command.h"
#include "schema.h"
#include "words_help.h"

static enum status run(struct job *job)
{
    if (!job_catalogue(job)) return STATUS_SCENARIO;
    schema_write(job->out, job->arena, job->catalogue);
    return STATUS_OK;
}

const struct command command_schema = {
    .name = "schema",
    .takes = "",
    .says = words_help_schema_says,
    .tells = words_help_schema,
    .example = "presolder schema > scenario.schema.json",
    .least = 0,
    .most = 0,
    .bit = FOR_SCHEMA,
    .run = run,
};
