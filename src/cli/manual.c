/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Made of the tables that --help is printed from, so a command or option that is there is
 * described. */
#include "manual.h"

#include <errno.h>
#include <string.h>

#include "scenario_page.h"
#include "troff.h"
#include "version.h"
#include "words_cautions.h"
#include "words_errors.h"
#include "words_help.h"
#include "words_manual.h"
#include "words_status.h"

static const char version[] = "presolder " PRESOLDER_VERSION;

static void put_options(FILE *to, unsigned bit)
{
    troff_section(to, "options");
    troff_list(to);
    for (const struct option *o = options_all; o->name; o++)
        if (o->commands & bit) troff_term(to, o->name, o->takes, o->says);
    troff_end_list(to);
}

static void write_command(FILE *to, const char *name, const struct command *c)
{
    troff_head(to, &(struct troff_head){name, c->says, version_date, version, 1});
    troff_section(to, "synopsis");
    fprintf(to, ".Nm presolder %s\n", c->name);
    if (*c->takes) fprintf(to, ".Ar %s\n", c->takes);
    fputs(".Op Ar options\n", to);
    troff_section(to, "description");
    troff_text(to, c->tells);
    put_options(to, c->bit);
    troff_section(to, "examples");
    troff_example(to, c->example);
    troff_section(to, "see also");
    troff_text(to, words_manual_see_command);
    troff_reference(to, "presolder", 1, " .");
}

static void put_exit_codes(struct job *job, FILE *to)
{
    troff_section(to, "exit status");
    troff_list(to);
    for (int i = 0; i < STATUS_COUNT; i++)
        troff_term(to, arena_printf(job->arena, "%d", status_exit_code((enum status)i)), NULL,
                   arena_printf(job->arena, "%s%s", words_status((enum status)i),
                                help_condition((enum status)i)));
    troff_end_list(to);
}

static void put_cautions(struct job *job, FILE *to)
{
    static const enum caution always[] = {CAUTION_UNPLUGGED,    CAUTION_DISCHARGE,
                                          CAUTION_FIRST_POWER,  CAUTION_FIRE,
                                          CAUTION_NO_ISOLATION, CAUTION_RULES};
    troff_section(to, "cautions");
    troff_text(to, words_manual_cautions);
    troff_list(to);
    for (size_t i = 0; i < sizeof always / sizeof always[0]; i++)
        troff_term(to, words_cautions_name(always[i]), NULL,
                   words_cautions_text(job->arena, always[i]));
    troff_end_list(to);
}

static void write_program(struct job *job, FILE *to)
{
    troff_head(to, &(struct troff_head){"presolder", words_manual_says, version_date, version, 1});
    troff_section(to, "synopsis");
    fputs(".Nm\n.Ar command\n.Op Ar arguments\n.Op Ar options\n.Nm\n.Fl \\-help | \\-version\n",
          to);
    troff_section(to, "description");
    troff_text(to, words_manual_program);
    troff_reference(to, "presolder-scenario", 5, " .");
    troff_section(to, "commands");
    troff_list(to);
    for (int i = 0; commands_all[i]; i++) {
        const struct command *c = commands_all[i];
        fprintf(to, ".It Xr presolder-%s 1", c->name);
        if (*c->takes) fprintf(to, " Ar \"%s\"", c->takes);
        fputc('\n', to);
        troff_text(to, c->says);
    }
    troff_end_list(to);
    put_cautions(job, to);
    troff_section(to, "options");
    troff_list(to);
    troff_term(to, "--help", NULL, words_help_this);
    troff_term(to, "--version", NULL, words_help_version);
    troff_end_list(to);
    troff_section(to, "environment");
    troff_list(to);
    troff_term(to, "PRESOLDER_DATA", NULL, words_manual_data);
    troff_end_list(to);
    troff_section(to, "files");
    troff_list(to);
    troff_term(to, "presolder-out/NAME", NULL, words_manual_out);
    troff_term(to, PRESOLDER_EXAMPLES, NULL, words_manual_examples);
    troff_end_list(to);
    put_exit_codes(job, to);
    troff_section(to, "examples");
    troff_example(to, command_switch_on.example);
    troff_section(to, "see also");
    troff_reference(to, "gnuplot", 1, " ,");
    troff_reference(to, "presolder-scenario", 5, "");
}

/* Opens FOLDER/NAME.SECTION; NULL with an error. */
static FILE *page(struct job *job, const char *folder, const char *name, int section)
{
    const char *path = arena_printf(job->arena, "%s/%s.%d", folder, name, section);
    FILE *to = fopen(path, "w");
    if (!to) job_error(job, NULL, "%s: %s", path, strerror(errno));
    return to;
}

static bool closed(struct job *job, FILE *to)
{
    bool lost = ferror(to) != 0;
    if (fclose(to) == 0 && !lost) return true;
    job_error(job, NULL, "cannot write the manual pages");
    return false;
}

enum status manual_run(struct job *job, int argc, char *const *argv)
{
    if (argc != 1) {
        job_error(job, NULL, "usage: presolder manual FOLDER");
        return STATUS_USAGE;
    }
    FILE *to = page(job, argv[0], "presolder", 1);
    if (!to) return STATUS_WRITE;
    write_program(job, to);
    if (!closed(job, to)) return STATUS_WRITE;
    for (int i = 0; commands_all[i]; i++) {
        const char *name = arena_printf(job->arena, "presolder-%s", commands_all[i]->name);
        to = page(job, argv[0], name, 1);
        if (!to) return STATUS_WRITE;
        write_command(to, name, commands_all[i]);
        if (!closed(job, to)) return STATUS_WRITE;
    }
    to = page(job, argv[0], "presolder-scenario", 5);
    if (!to) return STATUS_WRITE;
    scenario_page_write(to, job->arena, version, version_date);
    return closed(job, to) ? STATUS_OK : STATUS_WRITE;
}
