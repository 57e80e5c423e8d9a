/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One pass over the arguments: what begins with a dash is looked up in the table and put into the
 * field the table names; the first other word is the command, the rest are its arguments. */
#include "options.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "hint.h"
#include "quantity.h"
#include "words_help.h"

#define FIELD(name) offsetof(struct options, name)

#define FOR_STUDIES (FOR_COMPARE | FOR_TRY | FOR_FIND_VALUE | FOR_BUY_LIST | FOR_TOLERANCES)
#define FOR_RUNS (FOR_SWITCH_ON | FOR_STUDIES | FOR_SCHEMATIC | FOR_REPORT)
#define FOR_PICTURES                                                                               \
    (FOR_SWITCH_ON | FOR_COMPARE | FOR_TRY | FOR_REFORM | FOR_TOLERANCES | FOR_DIAGNOSE)
#define FOR_BENCH                                                                                  \
    (FOR_DISCHARGE | FOR_REFORM | FOR_HOT_CHASSIS | FOR_FUSE | FOR_BENCH_SHEET | FOR_DIAGNOSE)
#define FOR_SHEETS (FOR_BENCH | FOR_EXERCISE)

const struct option options_all[] = {
    {"--out", "DIR", words_help_option_out, OPTION_TEXT, FOR_RUNS | FOR_SHEETS, FIELD(out)},
    {"--variant", "VARIANT", words_help_option_variant, OPTION_WORDS, FOR_RUNS | FOR_BENCH,
     FIELD(variants)},
    {"--change", "PART.KEY", words_help_option_change, OPTION_WORDS, FOR_FIND_VALUE,
     FIELD(changes)},
    {"--so-that", "WISH", words_help_option_so_that, OPTION_WORDS, FOR_FIND_VALUE, FIELD(wishes)},
    {"--reading", "READING", words_help_option_reading, OPTION_WORDS, FOR_DIAGNOSE,
     FIELD(readings)},
    {"--readings", "FILE", words_help_option_readings, OPTION_TEXT, FOR_DIAGNOSE,
     FIELD(readings_file)},
    {"--set", "SET", words_help_option_set, OPTION_TEXT, FOR_DIAGNOSE, FIELD(set)},
    {"--match-healthy", "FILE", words_help_option_match_healthy, OPTION_TEXT, FOR_DIAGNOSE,
     FIELD(healthy_file)},
    {"--value", "FARADS", words_help_option_value, OPTION_TEXT, FOR_REFORM, FIELD(value)},
    {"--rated", "VOLTS", words_help_option_rated, OPTION_TEXT, FOR_REFORM, FIELD(rated)},
    {"--at", "VOLTS", words_help_option_at, OPTION_TEXT, FOR_REFORM, FIELD(at)},
    {"--part", "PART", words_help_option_part, OPTION_TEXT, FOR_REFORM, FIELD(part)},
    {"--point", "POINT", words_help_option_point, OPTION_WORDS, FOR_HOT_CHASSIS, FIELD(points)},
    {"--for", "TIME", words_help_option_for, OPTION_FOR,
     (FOR_RUNS & ~FOR_REPORT) | FOR_DISCHARGE | FOR_FUSE, FIELD(duration)},
    {"--for", "TIME|owner", words_help_option_for_report, OPTION_FOR, FOR_REPORT, FIELD(duration)},
    {"--stock", "FILE", words_help_option_stock, OPTION_TEXT, FOR_BUY_LIST, FIELD(stock)},
    {"--include", "SHEET", words_help_option_include, OPTION_WORDS, FOR_REPORT, FIELD(includes)},
    {"--every-cycle", NULL, words_help_option_every_cycle, OPTION_FLAG, FOR_SWITCH_ON | FOR_COMPARE,
     FIELD(every_cycle)},
    {"--cold", NULL, words_help_option_cold, OPTION_FLAG, FOR_TRY | FOR_FIND_VALUE | FOR_TOLERANCES,
     FIELD(cold)},
    {"--tolerances", NULL, words_help_option_tolerances, OPTION_FLAG,
     FOR_SWITCH_ON | FOR_BENCH_SHEET, FIELD(tolerances)},
    {"--samples", "N", words_help_option_samples, OPTION_COUNT, FOR_TOLERANCES, FIELD(samples)},
    {"--fault", "any|NAME", words_help_option_fault, OPTION_TEXT, FOR_EXERCISE, FIELD(fault)},
    {"--level", "1..3", words_help_option_level, OPTION_COUNT, FOR_EXERCISE, FIELD(level)},
    {"--pupils", "N", words_help_option_pupils, OPTION_COUNT, FOR_EXERCISE, FIELD(pupils)},
    {"--seed", "N", words_help_option_seed, OPTION_COUNT, FOR_TOLERANCES | FOR_EXERCISE,
     FIELD(seed)},
    {"--jobs", "N", words_help_option_jobs, OPTION_COUNT,
     FOR_STUDIES | FOR_HOT_CHASSIS | FOR_BENCH_SHEET | FOR_DIAGNOSE | FOR_REPORT | FOR_EXERCISE,
     FIELD(jobs)},
    {"--strict", NULL, words_help_option_strict, OPTION_FLAG, FOR_SWITCH_ON | FOR_COMPARE,
     FIELD(strict)},
    {"--force", NULL, words_help_option_force, OPTION_FLAG, FOR_RUNS | FOR_SHEETS, FIELD(force)},
    {"--sources", NULL, words_help_option_sources, OPTION_FLAG, FOR_PARTS, FIELD(sources)},
    {"--full", NULL, words_help_option_full, OPTION_FLAG, FOR_SWITCH_ON, FIELD(full)},
    {"--cautions", NULL, words_help_option_cautions, OPTION_FLAG,
     FOR_SWITCH_ON | FOR_STUDIES | FOR_BENCH, FIELD(cautions)},
    {"--quiet", NULL, words_help_option_quiet, OPTION_FLAG,
     FOR_NEW | FOR_CHECK | FOR_RUNS | FOR_SHEETS, FIELD(quiet)},
    {"--html", NULL, words_help_option_html, OPTION_FLAG, FOR_SWITCH_ON | FOR_STUDIES | FOR_SHEETS,
     FIELD(html)},
    {"--format", "svg|png", words_help_option_format, OPTION_CHOICE, FOR_PICTURES, FIELD(format)},
    {"--black-and-white", NULL, words_help_option_black_and_white, OPTION_FLAG,
     FOR_PICTURES | FOR_SCHEMATIC | FOR_REPORT, FIELD(black_and_white)},
    {"--colour", NULL, words_help_option_colour, OPTION_FLAG, FOR_EXERCISE, FIELD(colour)},
    {"--zigzag", NULL, words_help_option_zigzag, OPTION_FLAG,
     FOR_SCHEMATIC | FOR_REPORT | FOR_EXERCISE, FIELD(zigzag)},
    {"--narrow", NULL, words_help_option_narrow, OPTION_FLAG, FOR_SCHEMATIC, FIELD(narrow)},
    {"--without-voltages", NULL, words_help_option_without_voltages, OPTION_FLAG, FOR_SCHEMATIC,
     FIELD(without_voltages)},
    {"--no-plots", NULL, words_help_option_no_plots, OPTION_FLAG, FOR_PICTURES | FOR_REPORT,
     FIELD(no_plots)},
    {"--help", NULL, words_help_option_help, OPTION_FLAG, FOR_ALL, FIELD(help)},
    {"--version", NULL, words_help_option_version, OPTION_FLAG, 0, FIELD(version)},
    {NULL, NULL, NULL, OPTION_FLAG, 0, 0},
};

enum { NAMES_MOST = 48 };

struct command_line {
    struct arena *arena;
    struct diags *diags;
    struct options *options;
    char *const *next; /* the argument after the present one */
    const struct option *used[NAMES_MOST];
    int uses;
};

static const struct place nowhere = {NULL, 0, 0};

static void complain(struct command_line *r, const char *hint, const char *what, const char *word)
{
    diags_add(r->diags, DIAG_ERROR, nowhere, hint, "%s `%s`", what, word);
}

/* ---- looking up ---- */

static const char *near_hint(struct command_line *r, const char *word, const char *const *names,
                             int n, const char *otherwise)
{
    const char *near = hint_nearest(word, names, n);
    return near ? arena_printf(r->arena, "did you mean `%s`?", near) : otherwise;
}

static const struct option *find_option(const char *word, size_t n)
{
    for (const struct option *o = options_all; o->name; o++)
        if (strlen(o->name) == n && strncmp(o->name, word, n) == 0) return o;
    return NULL;
}

static void unknown_option(struct command_line *r, const char *word, size_t n)
{
    const char *names[NAMES_MOST];
    int count = 0;
    for (const struct option *o = options_all; o->name && count < NAMES_MOST; o++)
        names[count++] = o->name;
    const char *name = arena_text(r->arena, word, n);
    const struct command *command = r->options->command;
    const char *help =
        command ? arena_printf(r->arena, "`presolder %s --help` lists them all", command->name)
                : "`presolder --help` lists what there is";
    complain(r, near_hint(r, name, names, count, help), "unknown option", name);
}

static void unknown_command(struct command_line *r, const char *word)
{
    const char *names[NAMES_MOST];
    int count = 0;
    for (; count < NAMES_MOST && commands_all[count]; count++)
        names[count] = commands_all[count]->name;
    complain(r, near_hint(r, word, names, count, "`presolder --help` lists them all"),
             "unknown command", word);
}

static const struct command *find_command(const char *word)
{
    for (int i = 0; commands_all[i]; i++)
        if (strcmp(commands_all[i]->name, word) == 0) return commands_all[i];
    return NULL;
}

/* ---- values ---- */

static void take_time(struct command_line *r, const struct option *o, const char *text,
                      double *field)
{
    struct complaint why;
    if (!quantity_parse(text, UNIT_SECOND, field, &why))
        diags_add(r->diags, DIAG_ERROR, nowhere, why.hint[0] ? why.hint : NULL, "%s: %s", o->name,
                  why.message);
    else if (!(*field > 0))
        diags_add(r->diags, DIAG_ERROR, nowhere, "write for instance `--for 10s`",
                  "%s: the run must last longer than nothing", o->name);
}

/* The word of `svg|png` that the text is. */
static void take_choice(struct command_line *r, const struct option *o, const char *text,
                        const char **field)
{
    for (const char *s = o->takes; *s;) {
        size_t n = strcspn(s, "|");
        if (strlen(text) == n && strncmp(s, text, n) == 0) *field = text;
        if (strlen(text) == n && strncmp(s, text, n) == 0) return;
        s += n + (s[n] == '|');
    }
    diags_add(r->diags, DIAG_ERROR, nowhere, arena_printf(r->arena, "it takes %s", o->takes),
              "%s does not take `%s`", o->name, text);
}

static void take_count(struct command_line *r, const struct option *o, const char *text, int *field)
{
    size_t n = strspn(text, "0123456789");
    if (n > 0 && n <= 4 && !text[n]) *field = atoi(text);
    if (*field > 0) return;
    diags_add(r->diags, DIAG_ERROR, nowhere, arena_printf(r->arena, "for instance %s 2", o->name),
              "%s takes a whole number from 1 to 9999, not `%s`", o->name, text);
}

static void take_words(struct command_line *r, const struct option *o, const char *text,
                       struct words *field)
{
    if (field->n < WORDS_MOST) field->at[field->n++] = text;
    else
        diags_add(r->diags, DIAG_ERROR, nowhere, NULL, "%s may be given %d times at most", o->name,
                  WORDS_MOST);
}

/* Whom the report is for, or how long the run is. */
static void take_for(struct command_line *r, const struct option *o, const char *text,
                     double *duration)
{
    if (strcmp(text, "owner") == 0) r->options->owner = true;
    else take_time(r, o, text, duration);
}

static void take_value(struct command_line *r, const struct option *o, const char *value)
{
    char *field = (char *)r->options + o->at;
    if (o->kind == OPTION_FLAG) *(bool *)field = true;
    else if (!value || !value[0])
        diags_add(r->diags, DIAG_ERROR, nowhere, NULL, "%s needs a value: %s", o->name, o->takes);
    else if (o->kind == OPTION_TEXT) *(const char **)(void *)field = value;
    else if (o->kind == OPTION_FOR) take_for(r, o, value, (double *)(void *)field);
    else if (o->kind == OPTION_COUNT) take_count(r, o, value, (int *)(void *)field);
    else if (o->kind == OPTION_WORDS) take_words(r, o, value, (struct words *)(void *)field);
    else take_choice(r, o, value, (const char **)(void *)field);
}

static void take_option(struct command_line *r, const char *word)
{
    size_t n = strcspn(word, "=");
    const struct option *o =
        strcmp(word, "-h") == 0 ? find_option("--help", 6) : find_option(word, n);
    if (!o) {
        unknown_option(r, word, n);
        return;
    }
    const char *value = word[n] == '=' ? word + n + 1 : NULL;
    if (value && o->kind == OPTION_FLAG)
        diags_add(r->diags, DIAG_ERROR, nowhere, NULL, "%s takes no value", o->name);
    else if (!value && o->kind != OPTION_FLAG && *r->next) value = *r->next++;
    take_value(r, o, value);
    if (r->uses < NAMES_MOST) r->used[r->uses++] = o;
}

static void take_word(struct command_line *r, const char *word)
{
    struct options *o = r->options;
    if (!o->command) {
        o->command = find_command(word);
        if (!o->command) unknown_command(r, word);
        return;
    }
    if (o->arguments < ARGUMENTS_MOST && o->arguments < o->command->most) {
        o->argument[o->arguments++] = word;
        return;
    }
    diags_add(r->diags, DIAG_ERROR, nowhere,
              arena_printf(r->arena,
                           "usage: presolder %s%s%s [options]; put names with blanks in quotes",
                           o->command->name, *o->command->takes ? " " : "", o->command->takes),
              "one word too many: `%s`", word);
}

/* A row of that name, since one may be told otherwise of another command. */
static bool has_option(const struct command *command, const char *name)
{
    for (const struct option *o = options_all; o->name; o++)
        if (strcmp(o->name, name) == 0 && o->commands & command->bit) return true;
    return false;
}

/* Options before the command are allowed, so what belongs together is known only at the end. */
static void check_all(struct command_line *r)
{
    const struct options *o = r->options;
    const struct command *command = o->command;
    if (o->help || o->version || !command) return;
    for (int i = 0; i < r->uses; i++) {
        if (has_option(command, r->used[i]->name)) continue;
        const char *list =
            arena_printf(r->arena, "`presolder %s --help` lists its options", command->name);
        diags_add(r->diags, DIAG_ERROR, nowhere, list, "`%s` has no option `%s`", command->name,
                  r->used[i]->name);
        return;
    }
    if (o->owner && command->bit != FOR_REPORT)
        diags_add(r->diags, DIAG_ERROR, nowhere, "write for instance `--for 10s`",
                  "only `report` is made `--for owner`");
    if (o->arguments >= command->least) return;
    const char *usage =
        arena_printf(r->arena, "usage: presolder %s %s [options]", command->name, command->takes);
    diags_add(r->diags, DIAG_ERROR, nowhere, usage, "`%s` needs more than that", command->name);
}

struct options options_read(struct arena *arena, struct diags *diags, int argc, char *const *argv)
{
    struct options options = {.format = "svg"};
    struct command_line r = {
        .arena = arena, .diags = diags, .options = &options, .next = argc > 0 ? argv + 1 : argv};
    bool only_words = false;
    while (*r.next && diags_errors(diags) == 0) {
        const char *word = *r.next++;
        if (!only_words && strcmp(word, "--") == 0) only_words = true;
        else if (!only_words && word[0] == '-' && word[1]) take_option(&r, word);
        else take_word(&r, word);
    }
    if (options.variants.n > 0) options.variant = options.variants.at[options.variants.n - 1];
    if (diags_errors(diags) == 0) check_all(&r);
    return options;
}
