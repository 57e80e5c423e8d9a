/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help is printed from the tables of commands, options and exit codes. */
#include <string.h>

#include "command.h"
#include "words_help.h"
#include "words_status.h"

const struct command *const commands_all[] = {&command_new,
                                              &command_check,
                                              &command_switch_on,
                                              &command_compare,
                                              &command_try,
                                              &command_find_value,
                                              &command_tolerances,
                                              &command_diagnose,
                                              &command_discharge,
                                              &command_reform,
                                              &command_hot_chassis,
                                              &command_fuse,
                                              &command_bench_sheet,
                                              &command_buy_list,
                                              &command_schematic,
                                              &command_report,
                                              &command_exercise,
                                              &command_parts,
                                              NULL};

static void put_pair(FILE *to, const char *left, const char *right)
{
    fprintf(to, "  %-22s %s\n", left, right);
}

static void put_options(FILE *to, unsigned bit)
{
    fputs(words_help_options, to);
    for (const struct option *o = options_all; o->name; o++) {
        if (!(o->commands & bit)) continue;
        char left[64];
        snprintf(left, sizeof left, "%s%s%s", o->name, o->takes ? " " : "",
                 o->takes ? o->takes : "");
        put_pair(to, left, o->says);
    }
}

static void put_exit_codes(FILE *to)
{
    fputs(words_help_exit_codes, to);
    for (int i = 0; i < STATUS_COUNT; i++)
        fprintf(to, "  %d  %s%s\n", status_exit_code((enum status)i), words_status((enum status)i),
                i == STATUS_OVER_RATING ? words_help_only_strict
                : i == STATUS_SOLUTION  ? words_help_unless_forced
                                        : "");
}

static void put_program(FILE *to)
{
    fputs(words_help_commands, to);
    for (int i = 0; commands_all[i]; i++) {
        const struct command *c = commands_all[i];
        char left[64];
        snprintf(left, sizeof left, "%s %s", c->name, c->takes);
        put_pair(to, left, c->says);
    }
    fputs(words_help_options, to);
    put_pair(to, "--help", words_help_this);
    put_pair(to, "--version", words_help_version);
    put_exit_codes(to);
    fprintf(to, words_help_example, command_switch_on.example);
}

void help_write(FILE *to, const struct command *c)
{
    if (!c) {
        put_program(to);
        return;
    }
    fprintf(to, words_help_command, c->name, c->says, c->name, c->takes);
    if (c->tells) fprintf(to, "\n%s", c->tells);
    put_options(to, c->bit);
    fprintf(to, words_help_example, c->example);
}

void help_usage(FILE *to)
{
    fputs(words_help_usage, to);
}
