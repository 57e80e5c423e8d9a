/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The forms are files of the data folder, scenarios/new/new-KIND.yaml: what can be asked for is
 * what lies there. Its second line tells what it is for; the first, about the licence, is not
 * copied into the user's file. */
#include <errno.h>
#include <string.h>

#include "command.h"
#include "file.h"
#include "suggest.h"
#include "words_errors.h"
#include "words_help.h"
#include "writer.h"

enum { FORM_BYTES = 1 << 16 };

static const char *forms_folder(struct job *job)
{
    return arena_printf(job->arena, "%s/scenarios/new", job->data);
}

/* The KIND of `new-KIND.yaml`; NULL for other files. */
static const char *kind_of(struct job *job, const char *file)
{
    size_t n = strlen(file), head = strlen("new-"), tail = strlen(".yaml");
    if (n <= head + tail || strncmp(file, "new-", head) != 0) return NULL;
    if (strcmp(file + n - tail, ".yaml") != 0) return NULL;
    return arena_text(job->arena, file + head, n - head - tail);
}

suggest_words command_new_forms(struct job *job)
{
    suggest_words kinds = {0};
    struct file_names names;
    if (!job->data) job->data = scenario_data_folder(job->arena);
    if (!job->data) return kinds;
    if (file_list(job->arena, forms_folder(job), &names) == ENOMEM) arena_exhausted(job->arena);
    for (int i = 0; i < names.n; i++) {
        const char *kind = kind_of(job, names.at[i]);
        if (kind) array_push(job->arena, &kinds, kind);
    }
    return kinds;
}

/* The form from its second line on; NULL with an error. */
static const char *read_form(struct job *job, const char *kind)
{
    const char *path = arena_printf(job->arena, "%s/new-%s.yaml", forms_folder(job), kind);
    char *text = arena_alloc(job->arena, FORM_BYTES);
    size_t n;
    int error = file_read(path, text, FORM_BYTES - 1, &n);
    const char *second = memchr(text, '\n', n);
    if (!error && second) return second + 1;
    job_error(job, NULL, "%s: %s", path, error ? strerror(error) : "not a form");
    return NULL;
}

static enum status show_kinds(struct job *job, const suggest_words *kinds)
{
    for (int i = 0; i < kinds->n; i++) {
        const char *text = read_form(job, kinds->at[i]);
        if (!text) return STATUS_SCENARIO;
        text += strspn(text, "# ");
        fprintf(job->out, "  %-14s %.*s\n", kinds->at[i], (int)strcspn(text, "\n"), text);
    }
    return STATUS_OK;
}

static bool has_kind(const suggest_words *kinds, const char *kind)
{
    for (int i = 0; i < kinds->n; i++)
        if (strcmp(kinds->at[i], kind) == 0) return true;
    return false;
}

static enum status write_form(struct job *job, const char *kind, const char *file)
{
    const char *text = read_form(job, kind);
    if (!text) return STATUS_SCENARIO;
    const char *trouble = writer_new_file(job->arena, file, text, strlen(text));
    if (trouble) {
        job_error(job, words_errors_other_file, "%s", trouble);
        return STATUS_WRITE;
    }
    if (!job->options->quiet) fprintf(job->out, words_help_written, file, file, file);
    return STATUS_OK;
}

static enum status run(struct job *job)
{
    suggest_words kinds = command_new_forms(job);
    if (kinds.n == 0) {
        job_error(job, words_errors_set_forms, words_errors_no_forms);
        return STATUS_SCENARIO;
    }
    const struct options *o = job->options;
    if (o->arguments == 0) {
        fputs(words_help_kinds, job->out);
        return show_kinds(job, &kinds);
    }
    const char *kind = o->argument[0];
    if (!has_kind(&kinds, kind)) {
        job_error(job, suggest(job->arena, kind, &kinds), words_errors_no_kind, kind);
        return STATUS_USAGE;
    }
    return write_form(
        job, kind, o->arguments > 1 ? o->argument[1] : arena_printf(job->arena, "%s.yaml", kind));
}

const struct command command_new = {
    .name = "new",
    .takes = "[KIND [FILE]]",
    .says = words_help_new_says,
    .tells = words_help_new,
    .example = "presolder new field-coil my-set.yaml",
    .least = 0,
    .most = 2,
    .bit = FOR_NEW,
    .run = run,
};
