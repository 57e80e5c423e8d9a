/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One arena holds everything; when memory runs out, the program comes back here and says so. */
#include <errno.h>
#include <gsl/gsl_errno.h>
#include <setjmp.h>
#include <string.h>

#include "command.h"
#include "complete.h"
#include "html.h"
#include "manual.h"
#include "page.h"
#include "version.h"

static enum status run(struct job *job, int argc, char *const *argv, struct options *options)
{
    if (argc > 1 && strcmp(argv[1], "complete") == 0) return complete_run(job, argc - 2, argv + 2);
    if (argc > 1 && strcmp(argv[1], "manual") == 0) return manual_run(job, argc - 2, argv + 2);
    *options = options_read(job->arena, job->diags, argc, argv);
    job->options = options;
    if (diags_errors(job->diags) > 0) return STATUS_USAGE;
    if (options->version) {
        version_write(job->out);
        return STATUS_OK;
    }
    if (options->help) {
        help_write(job->out, job->arena, options->command);
        return STATUS_OK;
    }
    struct html *html = options->html ? html_part(writer_stream(job->arena, job->out)) : NULL;
    page_style_set((struct page_style){
        .full = options->full, .cautions = options->cautions || options->full, .html = html});
    if (options->command) {
        enum status status = options->command->run(job);
        if (html) html_part_end(html);
        bool done = status == STATUS_OK || status == STATUS_OVER_RATING;
        return done && job->unbalanced && !options->force ? STATUS_SOLUTION : status;
    }
    help_usage(job->err);
    return STATUS_USAGE;
}

/* What went to the terminal or a pipe may have been lost: a full disk is told only now. */
static enum status flushed(enum status status, FILE *out, FILE *err)
{
    errno = 0;
    bool lost = fflush(out) != 0 || ferror(out);
    if (!lost) return status;
    fprintf(err, "error: standard output: %s\n", errno ? strerror(errno) : "cannot write");
    return status == STATUS_OK || status == STATUS_OVER_RATING ? STATUS_WRITE : status;
}

int main(int argc, char **argv)
{
    gsl_set_error_handler_off();
    struct arena *arena = arena_new();
    jmp_buf exhausted;
    if (!arena || setjmp(exhausted) != 0) {
        fputs("error: out of memory\n", stderr);
        arena_free(arena);
        return status_exit_code(STATUS_SOLUTION);
    }
    arena_on_exhausted(arena, &exhausted);
    struct job job = {.arena = arena, .diags = diags_new(arena), .out = stdout, .err = stderr};
    struct options options;
    enum status status = run(&job, argc, argv, &options);
    diags_print(job.diags, stderr);
    status = flushed(status, stdout, stderr);
    arena_free(arena);
    return status_exit_code(status);
}
