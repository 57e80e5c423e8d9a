/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help is printed from the tables of commands, options and exit codes. */
#include <string.h>

#include "command.h"
#include "page.h"
#include "words_help.h"
#include "words_status.h"

const struct command *const commands_all[] = {
    &command_new,         &command_check,      &command_switch_on,   &command_compare,
    &command_try,         &command_find_value, &command_tolerances,  &command_diagnose,
    &command_discharge,   &command_reform,     &command_hot_chassis, &command_fuse,
    &command_bench_sheet, &command_buy_list,   &command_schematic,   &command_report,
    &command_exercise,    &command_parts,      &command_schema,      NULL};

static void put_pair(const struct page *page, const char *left, const char *right)
{
    page_say(page, arena_printf(page->arena, "  %-22s ", left), "%s", right);
}

static void put_options(const struct page *page, unsigned bit)
{
    fputs(words_help_options, page->to);
    for (const struct option *o = options_all; o->name; o++) {
        if (!(o->commands & bit)) continue;
        char left[64];
        snprintf(left, sizeof left, "%s%s%s", o->name, o->takes ? " " : "",
                 o->takes ? o->takes : "");
        put_pair(page, left, o->says);
    }
}

const char *help_condition(enum status status)
{
    return status == STATUS_OVER_RATING ? words_help_only_strict
           : status == STATUS_SOLUTION  ? words_help_unless_forced
                                        : "";
}

static void put_exit_codes(FILE *to)
{
    fputs(words_help_exit_codes, to);
    for (int i = 0; i < STATUS_COUNT; i++)
        fprintf(to, "  %d  %s%s\n", status_exit_code((enum status)i), words_status((enum status)i),
                help_condition((enum status)i));
}

static void put_program(const struct page *page)
{
    FILE *to = page->to;
    fputs(words_help_commands, to);
    for (int i = 0; commands_all[i]; i++) {
        const struct command *c = commands_all[i];
        char left[64];
        snprintf(left, sizeof left, "%s %s", c->name, c->takes);
        put_pair(page, left, c->says);
    }
    fputs(words_help_options, to);
    put_pair(page, "--help", words_help_this);
    put_pair(page, "--version", words_help_version);
    put_exit_codes(to);
    fprintf(to, words_help_example, command_switch_on.example);
}

void help_write(FILE *to, struct arena *arena, const struct command *c)
{
    const struct page page = {.to = to, .arena = arena};
    if (!c) {
        put_program(&page);
        return;
    }
    fprintf(to, words_help_command, c->name, c->says, c->name, *c->takes ? " " : "", c->takes);
    if (c->tells) {
        page_gap(&page);
        page_say(&page, "", "%s", c->tells);
    }
    put_options(&page, c->bit);
    fprintf(to, words_help_example, c->example);
}

void help_usage(FILE *to)
{
    fputs(words_help_usage, to);
}
